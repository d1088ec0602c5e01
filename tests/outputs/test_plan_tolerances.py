"""The plan says how exactly things are to be cut, and its lettering stays clear."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from pathlib import Path

import pytest

from generator.build.judge import check
from generator.outputs import plan_svg
from generator.outputs.output import Work
from generator.outputs.svg_read import read_drawing

RECIPES = Path(__file__).parents[2] / "recipes"


def texts_of(name: str, general: str = "ISO 2768-mK") -> list[str]:
    """The texts of the plan of a demo recipe with these general tolerances; no two of them overlap."""
    checked = check(RECIPES / f"{name}.yaml")
    recipe = replace(checked.reading.recipe, tolerances=replace(checked.reading.recipe.tolerances, general=general))
    work = Work(checked.plan, checked.layers, checked.outcomes, "0" * 64, "", {}, recipe=recipe)
    ((_, data),) = plan_svg.write(work)
    texts = read_drawing(data).texts
    assert not [(a.text, b.text) for a, b in combinations(texts, 2) if a.box.overlaps(b.box)]
    return [t.text for t in texts]


@pytest.mark.parametrize(
    ("name", "size"), [("gate-latch", "± 0.05 mm in size, ± 0.05 mm in place"), ("canoe-yoke", "± 0.002 in in size")]
)
def test_tolerances_stand_on_the_plan_in_its_unit(name: str, size: str) -> None:
    told = " ".join(texts_of(name))
    assert size in told
    assert "General tolerances: ISO 2768-mK" in told


def test_holes_are_called_by_thread_and_fit_and_dowels_by_their_class() -> None:
    told = texts_of("gate-latch")
    assert told.count("M6 medium") == 2
    assert "Dowel holes: ⌀6 H7" in told
    assert "M6 medium" not in texts_of("canoe-yoke")


def test_without_general_tolerances_none_are_named() -> None:
    assert "General tolerances" not in " ".join(texts_of("gate-latch", " "))


def test_long_general_tolerances_wrap() -> None:
    assert "agreed" in " ".join(texts_of("gate-latch", "as " + "sketched and " * 30 + "agreed"))
