"""How far a bolt must go until the original holds its hole: the way is tried, no nearer one does."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from cases_bolts import m6
from harness import found

HOLE = 6.6
EDGE = 15.0
"""The original's upper edge, mm; its left and right ones are at 30."""


@pytest.mark.parametrize("beside", [30.0 - EDGE, 1.3 - HOLE / 2.0, 0.1 - HOLE / 2.0, -0.5])
def test_the_way_is_as_far_as_the_hole_hangs_over(beside):
    recipe = m6("none", at=((0.0, EDGE + beside),))
    (told,) = found(recipe, "bolt-in-footprint")
    needed = beside + HOLE / 2.0
    far = float(re.search(r"by at least ([\d.]+) mm towards the footprint", told.remedy)[1])
    assert far == pytest.approx(needed, abs=0.011)
    assert far >= needed - 1e-9
    group = replace(recipe.original.bolts[0], at=((0.0, EDGE + beside - far),))
    assert not found(replace(recipe, original=replace(recipe.original, bolts=(group,))), "bolt-in-footprint")
