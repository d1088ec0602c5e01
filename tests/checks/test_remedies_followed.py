"""A remedy that is followed brings no warning that was not there before."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from test_bolts_remedies import sets_of, told, written

from generator.base.finding import Severity
from generator.base.remedy import ways

RECIPES = Path(__file__).parents[2] / "recipes"
OF_HEADS = (
    "weak-head",
    "seat-depth",
    "tightening-torque",
    "floor-over-gap",
    "bearing-pressure",
    "load-bearing",
    "settling",
    "heads-centred",
    "floor-deflection",
    "floor-stress",
    "floor-under-cutting",
    "pocket-depth",
)


def warned(path: str, sets: list[str] | None = None) -> set[str]:
    """The checks that warn or forbid."""
    return {key[0] for key, f in told(path, sets or []).items() if f.severity is not Severity.NOTES}


def brings_nothing(path: str, checks: tuple[str, ...] = OF_HEADS) -> int:
    """How many ways were tried."""
    before, tried = warned(path), 0
    for (check, code), finding in told(path).items():
        for way in ways(finding.remedy) if check in checks else ():
            after = warned(path, sets_of(way))
            assert after <= before, (check, code, finding.remedy, after - before)
            tried += 1
    return tried


@pytest.mark.parametrize("recipe", sorted(p.stem for p in RECIPES.glob("*.yaml")))
def test_of_the_recipes_that_are_shown(recipe):
    brings_nothing(str(RECIPES / f"{recipe}.yaml"))


SCREWS = ("ISO 4762", "ISO 7380-1", "ISO 10642")
STATED = ({}, {"torque": 4}, {"length": 16}, {"length": 12, "into": {"material": "steel", "depth": 9, "blind": True}})


@pytest.mark.parametrize("thickness", [6.5, 8.0, 10.0, 11.0])
@pytest.mark.parametrize("screw", SCREWS)
@pytest.mark.parametrize("load", [False, True])
def test_of_heads_over_thin_floors(tmp_path, load, screw, thickness):
    for stated in STATED:
        path = written(tmp_path, dict(stated), load, seats={"screw": screw}, stock={"thickness": thickness})
        brings_nothing(path)


@pytest.mark.parametrize("thickness", [10.0, 14.0, 20.0])
@pytest.mark.parametrize("depth", [1.0, 3.0, 5.5])
def test_a_head_that_stands_proud_is_sunk_and_still_held(tmp_path, depth, thickness):
    seats = {"screw": "ISO 4762", "depth": depth}
    path = written(tmp_path, {}, False, seats=seats, stock={"thickness": thickness})
    (way,) = ways(told(path)["seat-depth", "head-proud"].remedy)
    after = told(path, sets_of(way))
    assert not {code for check, code in after if check == "seat-depth"}
    assert {e.key for e in way} == {"cover.seats.depth", "cover.stock.thickness"} or thickness > 10.0


def test_bolts_whose_heads_are_let_through_do_not_stop_at_the_bottom(tmp_path):
    into = {"material": "steel", "depth": 7.2, "blind": True}
    path = written(tmp_path, {"length": 16, "into": into, "passes": 4}, True, seats="none", stock={"thickness": 8})
    (way,) = ways(told(path)["load-bearing", "in-the-joint"].remedy)
    assert "original.bolts[0].length" in {e.key for e in way}
    assert ("bolt-length", "bottoms-out") not in told(path, sets_of(way))


def test_a_thin_plate_whose_floor_rests_on_the_original_is_not_made_to_yield(tmp_path):
    # 0.8 mm over a gap of 0.2 mm come down on the original; 1.3 mm would carry the preload, and yield
    path = written(tmp_path, {}, True, seats="none", stock={"thickness": 5})
    recipe = yaml.safe_load(Path(path).read_text(encoding="utf-8"))
    recipe["original"]["footprint"] = {"rectangle": {"size": [70, 40], "radius": 6}}
    Path(path).write_text(yaml.safe_dump(recipe), encoding="utf-8")
    assert ("floor-over-gap", "yields") not in told(path)
    assert brings_nothing(path) >= 2
