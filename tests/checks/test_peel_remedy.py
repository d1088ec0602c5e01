"""What is offered against an insert that peels is an edit that the recipe takes, and that mends it."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.base.remedy import ways
from generator.build.judge import judge
from generator.build.reading import read

RECIPE = Path(__file__).parents[2] / "recipes" / "gate-latch.yaml"
BONDED = ("inlays.number.adhesive=epoxy",)
THIN = (*BONDED, "cover.stock.measured=9.1", "cover.stock.depths_from=bottom face")
PROUD = (*BONDED, "inlays.number.sits=proud", "inlays.number.by=1.1")


def peeling(sets):
    return [f for f in judge(read(RECIPE, sets=sets)).findings if f.check == "peel-edge"]


@pytest.mark.parametrize("sets", [THIN, PROUD])
def test_following_the_remedy_ends_the_finding(sets):
    (found,) = peeling(sets)
    first = ways(found.remedy)[0]
    edits = tuple(f"{e.key}={e.value}" for e in first)
    assert edits
    assert not peeling((*sets, *edits))
