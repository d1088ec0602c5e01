"""The house itself: format, lint, types, rooms, sizes, registries, and the papers that describe them."""

from __future__ import annotations

import ast
import configparser
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
SOURCES = sorted((ROOT / "generator").rglob("*.py"))
TOP_LEVEL = {
    "README.md", "DEVELOPERS.md", "CHANGELOG.md", "pyproject.toml", "Makefile",
    "recipes", "generator", "schema", "tests", "out", "docs",
}  # fmt: skip


def run(*args: str) -> None:
    done = subprocess.run([sys.executable, "-m", *args], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr


def test_format():
    run("ruff", "format", "--check", "generator", "tests")


def test_lint():
    run("ruff", "check", "generator", "tests")


def test_types():
    run("mypy")


def test_rooms_import_downwards_only():
    done = subprocess.run(
        [sys.executable, "-c", "from importlinter.cli import lint_imports_command; lint_imports_command()"],
        cwd=ROOT, capture_output=True, text=True,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    assert "0 broken" in done.stdout


def test_top_level_holds_nothing_else():
    tracked = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True)
    if tracked.returncode:
        pytest.skip("not a git checkout")
    tops = {line.split("/")[0] for line in tracked.stdout.splitlines()}
    assert {t for t in tops if not t.startswith(".")} <= TOP_LEVEL


def linter_rooms() -> set[str]:
    ini = configparser.ConfigParser()
    ini.read(ROOT / ".importlinter")
    layers = ini["importlinter:contract:rooms"]["layers"]
    return {room.strip() for line in layers.split("\n") for room in line.split("|") if room.strip()}


def test_developers_page_names_every_room():
    page = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = set(re.findall(r"^\| `(\w+)(?:/|\.py)`", page, flags=re.M))
    assert named == linter_rooms()


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_file_is_not_too_long(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 400


def functions(path: Path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef):
            doc = ast.get_docstring(node, clean=False)
            lines = node.end_lineno - node.lineno + 1 - (len(doc.splitlines()) if doc else 0)
            yield node.name, lines


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_no_function_is_too_long(path):
    too_long = [(name, n) for name, n in functions(path) if n > 60]
    assert not too_long


THEMES_OF_CHECKS = sorted(p.parent.name for p in (ROOT / "generator" / "checks").glob("*/__init__.py"))


@pytest.mark.parametrize(
    ("room", "record", "registry"),
    [
        ("shapes", "SHAPE", "SHAPES"),
        ("shapes/outer", "SHAPE", "OUTER_SHAPES"),
        ("shapes/drawn", "SHAPE", "DRAWN_SHAPES"),
        ("shapes/emblems", "SHAPE", "EMBLEM_SHAPES"),
        *(("checks/" + theme, "CHECK", "CHECKS") for theme in THEMES_OF_CHECKS),
        ("outputs", "OUTPUT", "OUTPUTS"),
    ],
)
def test_every_plugin_file_is_registered(room, record, registry):
    folder = ROOT / "generator" / room
    defines = {
        p.stem for p in folder.glob("*.py") if re.search(rf"^{record}\b.*=", p.read_text(encoding="utf-8"), flags=re.M)
    }
    init = (folder / "__init__.py").read_text(encoding="utf-8")
    assert defines or room == "shapes/emblems", f"no {record} in {room}/"
    assert f"{registry}:" in init or f"{registry} =" in init
    missing = {stem for stem in defines if not re.search(rf"\b{stem}\b", init)} - {"registry"}
    assert not missing


def test_package_import_loads_nothing_heavy():
    code = (
        "import sys, generator.cli; bad = {'OCP', 'cadquery', 'ezdxf', 'PIL', 'shapely'} & set(sys.modules); print(bad)"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True)
    assert done.stdout.strip() == "set()"
