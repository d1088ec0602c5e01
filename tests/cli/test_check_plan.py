"""``coverplate check --plan``: a plan that may not be built is drawn, with what forbids it at its place."""

from __future__ import annotations

from pathlib import Path

from generator.cli import codes
from generator.cli.main import main
from generator.outputs.svg_read import read_drawing

RECIPES = Path(__file__).parents[2] / "recipes"


def words(file):
    return " ".join(t.text for t in read_drawing(file.read_bytes()).texts)


def test_what_forbids_is_drawn_with_its_number_and_its_words(tmp_path, capsys):
    file = tmp_path / "plan.svg"
    args = ["check", str(RECIPES / "gate-latch.yaml"), "--plan", str(file), "--set", "cover.stock.thickness=4.2"]
    assert main(args) == codes.FORBIDDEN
    drawing = read_drawing(file.read_bytes())
    assert {"outer-profile", "bottom-pocket"} <= {p.layer for p in drawing.paths}
    assert "forbids" in words(file)
    assert str(file) in capsys.readouterr().out


def test_what_is_fine_is_drawn_too(tmp_path, capsys):
    file = tmp_path / "plan.svg"
    assert main(["check", str(RECIPES / "well-pump.yaml"), "--plan", str(file)]) == codes.FINE
    assert "forbids" not in words(file)
    assert "notes" in words(file)


def test_one_file_holds_one_plan(tmp_path, capsys):
    file = tmp_path / "plan.svg"
    recipes = [str(RECIPES / f"{name}.yaml") for name in ("gate-latch", "well-pump")]
    assert main(["check", *recipes, "--plan", str(file)]) == codes.WRONG
    assert "one plan" in capsys.readouterr().err
    assert not file.exists()


def test_a_place_that_cannot_be_written_is_told(tmp_path, capsys):
    file = tmp_path / "nowhere" / "plan.svg"
    assert main(["check", str(RECIPES / "well-pump.yaml"), "--plan", str(file)]) == codes.INTERNAL
    assert "cannot be written" in capsys.readouterr().err
