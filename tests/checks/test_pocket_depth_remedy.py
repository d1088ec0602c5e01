"""A plate that is thinner than its bottom pocket is deep: the thickness offered leaves every floor sound."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from harness import FORBIDS, found
from part_samples import COVER, CREST, ORIGINAL, RECIPE, plan_of

from generator.checks import run_checks
from generator.recipe.model_bolts import Seat

PLAIN = replace(RECIPE, original=replace(ORIGINAL, openings={}))


@pytest.mark.parametrize(
    ("recipe", "needed"),
    [
        (replace(PLAIN, inlays={}, cover=replace(COVER, seats="none")), 3.4 + 0.8),
        (replace(PLAIN, cover=replace(COVER, seats="none")), 3.4 + 1.5 + 0.8),
        (replace(PLAIN, inlays={"crest": CREST}, cover=replace(COVER, seats=Seat(screw="ISO 4762", depth=2.0))),
         3.4 + 2.0 + 0.8),
    ],
    ids=["bare", "inlay", "seats"],
)  # fmt: skip
def test_the_thickness_offered_leaves_every_floor(recipe, needed):
    thin = replace(recipe, cover=replace(recipe.cover, stock=replace(COVER.stock, thickness=3.3)))
    (told,) = found(thin, "pocket-depth")
    offered = float(re.search(r"set cover.stock.thickness to at least ([\d.]+) mm", told.remedy)[1])
    assert offered >= needed - 1e-9
    assert offered == pytest.approx(needed, abs=0.011) or recipe.cover.seats != "none"
    mended = replace(thin, cover=replace(thin.cover, stock=replace(COVER.stock, thickness=offered)))
    outcomes = run_checks(mended, plan_of(mended))
    said = {f.check for o in outcomes for f in o.findings if f.severity is FORBIDS}
    assert not said & {"pocket-depth", "thin-floor", "seat-depth"}
