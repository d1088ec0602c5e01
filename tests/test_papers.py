"""README and reference pages say what is there."""

from __future__ import annotations

import doctest
import importlib
import json
import re
from pathlib import Path

import pytest

from generator.build.check_pages import checks_page
from generator.build.judge import check
from generator.checks import CHECKS
from generator.cli.main import main
from generator.recipe.reference import reference_page
from generator.recipe.schema import recipe_schema
from generator.shapes import KINDS

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def without_comments(text: str) -> list[str]:
    lines = (re.sub(r"(^|\s+)#( .*|$)", "", line).rstrip() for line in text.splitlines())
    return [line for line in lines if line]


@pytest.mark.parametrize(("number", "recipe"), [(0, "gate-latch"), (1, "gate-latch-22")])
def test_readme_shows_the_recipes_that_are_there(number, recipe):
    blocks = re.findall(r"```yaml\n(.*?)```", README, flags=re.S)
    shown = [line for line in blocks[number].splitlines() if line.strip()]
    assert shown == without_comments((ROOT / "recipes" / f"{recipe}.yaml").read_text(encoding="utf-8"))


def test_readme_names_every_recipe_and_no_other():
    named = set(re.findall(r"^\| `([\w-]+\.yaml)`", README, flags=re.M))
    assert named == {p.name for p in (ROOT / "recipes").glob("*.yaml")}


@pytest.mark.parametrize(
    "page", ["README.md", "DEVELOPERS.md", *(f"docs/{p.name}" for p in (ROOT / "docs").glob("*.md"))]
)
def test_links_and_pictures_exist(page):
    file = ROOT / page
    for target in re.findall(r"\]\(([^)#\s]+)[^)]*\)", file.read_text(encoding="utf-8")):
        if "://" not in target:
            assert (file.parent / target).exists(), f"{page}: {target}"


def test_schema_and_reference_page_are_fresh():
    """If this fails: make docs."""
    assert json.loads((ROOT / "schema/recipe.schema.json").read_text(encoding="utf-8")) == recipe_schema(KINDS)
    assert (ROOT / "docs/recipe.md").read_text(encoding="utf-8") == reference_page(KINDS)


EXAMPLES = [p for p in sorted((ROOT / "generator").rglob("*.py")) if ">>>" in p.read_text(encoding="utf-8")]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_examples_in_docstrings_hold(path, monkeypatch):
    monkeypatch.chdir(ROOT)
    module = importlib.import_module(".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__"))
    result = doctest.testmod(module)
    assert result.attempted
    assert not result.failed


def test_readme_shows_what_the_command_says_of_a_wrong_recipe(tmp_path, monkeypatch, capsys):
    """The page breaks long lines; words and places are the command's."""
    shown = next(b for b in re.findall(r"```text\n(.*?)```", README, flags=re.S) if "plot-23" in b)
    lines = dict(re.findall(r"^ +(\d+) \| (.*)$", shown, flags=re.M))
    recipe = ["based_on: gate-latch.yaml", "name: gate-latch-23", "title: Plot 23", "cover:", lines["5"], lines["6"]]
    (tmp_path / "recipes").mkdir()
    (tmp_path / "recipes/plot-23.yaml").write_text("\n".join(recipe) + "\n", encoding="utf-8")
    base = (ROOT / "recipes/gate-latch.yaml").read_text(encoding="utf-8")
    (tmp_path / "recipes/gate-latch.yaml").write_text(base, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert main(["check", "recipes/plot-23.yaml"]) == 2
    assert capsys.readouterr().err.split() == shown.split()


def test_page_on_checks_is_fresh():
    """If this fails: make docs."""
    assert (ROOT / "docs/checks.md").read_text(encoding="utf-8") == checks_page()
    assert all(f"## {c.id}\n" in checks_page() for c in CHECKS)


INLAYS = re.findall(r"```yaml\n(.*?)```", (ROOT / "docs/inlays.md").read_text(encoding="utf-8"), flags=re.S)


@pytest.mark.parametrize("example", INLAYS, ids=range(len(INLAYS)))
def test_examples_of_inlays_are_sound(example, tmp_path):
    """Each is laid over the demo recipe and can be made: nothing forbids."""
    (tmp_path / "gate-latch.yaml").write_bytes((ROOT / "recipes/gate-latch.yaml").read_bytes())
    recipe = tmp_path / "example.yaml"
    recipe.write_text(f"based_on: gate-latch.yaml\nname: example\n{example}", encoding="utf-8")
    checked = check(recipe)
    assert not checked.forbids, [f.message for f in checked.findings]
