"""Holes, cutters and pins too small to exist are refused where they stand, not divided by later."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.base.errors import RecipeError
from generator.build.judge import judge
from generator.build.reading import read

RECIPE = (Path(__file__).parents[2] / "recipes" / "canoe-yoke.yaml").read_text(encoding="utf-8")


def spoiled(folder, old, new):
    path = folder / "recipe.yaml"
    assert old in RECIPE
    path.write_text(RECIPE.replace(old, new, 1), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ("hole: 17/64", "hole: 1e-7/64", "original.bolts[0].hole"),
        ("diameter: 0.02,", "diameter: 1e-9,", "tools.engraver.diameter"),
        ("dowels: {diameter: 1/4", "dowels: {diameter: 1e-4", "dowels.diameter"),
    ],
)
def test_a_size_that_nothing_has_is_a_located_mistake(tmp_path, old, new, key):
    with pytest.raises(RecipeError) as told:
        read(spoiled(tmp_path, old, new))
    (mistake,) = told.value.mistakes
    assert (mistake.path, mistake.line > 0) == (key, True)


def test_the_smallest_hole_is_judged(tmp_path):
    path = spoiled(tmp_path, "hole: 17/64", "hole: 0.05 mm")
    outcomes = judge(read(path)).outcomes
    assert len(outcomes) > 80
    assert not [o.check for o in outcomes if o.crash]
