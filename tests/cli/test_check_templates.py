"""``coverplate check --templates``: paper can be tried on the real thing before the plan may be built."""

from __future__ import annotations

import io
from pathlib import Path

import pypdfium2

from generator.cli import codes
from generator.cli.main import main

RECIPES = Path(__file__).parents[2] / "recipes"
LATCH = str(RECIPES / "gate-latch.yaml")
FILES = {"footprint.pdf", "cover.pdf", "insert-number.pdf"}


def pages(folder: Path) -> dict[str, list[str]]:
    """The words of every page of every file, by another reader than the package's."""
    out = {}
    for file in folder.iterdir():
        with pypdfium2.PdfDocument(io.BytesIO(file.read_bytes())) as document:
            out[file.name] = [" ".join(page.get_textpage().get_text_bounded().split()) for page in document]
    return out


def test_a_plan_that_may_not_be_built_is_printed_and_every_sheet_says_so(tmp_path, capsys):
    folder = tmp_path / "paper"
    args = ["check", LATCH, "--templates", str(folder), "--set", "cover.stock.thickness=4.2"]
    assert main(args) == codes.FORBIDDEN
    assert "nothing may be cut by it yet" in capsys.readouterr().out
    told = pages(folder)
    assert set(told) == FILES
    for words in (page for document in told.values() for page in document):
        assert "NOT TO BE CUT: findings forbid building (" in words
        assert "scale 1:1" in words


def test_a_plan_that_may_be_built_is_printed_as_a_build_prints_it(tmp_path, capsys):
    folder = tmp_path / "paper"
    assert main(["check", LATCH, "--templates", str(folder)]) == codes.FINE
    assert "yet" not in capsys.readouterr().out.splitlines()[-1]
    assert main(["build", LATCH, "--outputs", "templates", "--out", str(tmp_path)]) == codes.FINE
    for name in FILES:
        assert (folder / name).read_bytes() == (tmp_path / "gate-latch" / "templates" / name).read_bytes()
    assert "NOT TO BE CUT" not in str(pages(folder))


def test_one_folder_holds_the_prints_of_one_plan(tmp_path, capsys):
    recipes = [LATCH, str(RECIPES / "well-pump.yaml")]
    assert main(["check", *recipes, "--templates", str(tmp_path)]) == codes.WRONG
    assert "--templates prints one plan" in capsys.readouterr().err


def test_a_folder_that_cannot_be_made_is_told(tmp_path, capsys):
    (tmp_path / "paper").write_text("a file")
    assert main(["check", LATCH, "--templates", str(tmp_path / "paper")]) == codes.INTERNAL
    assert "cannot be written" in capsys.readouterr().err
