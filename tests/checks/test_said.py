"""One bolt and several are spoken of as such; what is offered can be bought and mends."""

from __future__ import annotations

from dataclasses import replace

import pytest
from cases_bolts import SUNK, m6
from cases_fit import around
from harness import found
from part_samples import RECIPE, cover, plan_of, stock

from generator.base.limits_and_fits import ISO_PINS_MM
from generator.base.remedy import ways
from generator.checks import run_checks
from generator.recipe.model_holding import Holding
from generator.recipe.model_tools import Tool

ONE = ((0.0, 0.0),)
PLURALS = ("do not", "press with", "pull with", "bend the", "they come", "have only", "hold a joint", "lose ")


@pytest.mark.parametrize("changes", [{}, {"torque": 0.1}, {"torque": 30.0}, {"length": 6.0}, {"length": 14.0}])
@pytest.mark.parametrize("load", [False, True])
def test_one_bolt_is_spoken_of_as_one(changes, load):
    recipe = m6(SUNK, at=ONE, load=load, **changes)
    for outcome in run_checks(recipe, plan_of(recipe)):
        for f in outcome.findings:
            if f.message.startswith("bolt-1"):
                assert not any(f.message.removeprefix("bolt-1 ").startswith(p) for p in PLURALS), f.message


@pytest.mark.parametrize(("by", "verb"), [("adhesive", "bears"), ("vacuum", "bears"), ("tabs", "bear")])
def test_what_holds_the_part_is_spoken_of_in_its_number(by, verb):
    recipe = replace(RECIPE, holding=Holding(by=by, width=0.5, thickness=0.3))
    limits = replace(recipe.limits.flip, hold_safety=recipe.limits.flip.hold_safety.chosen(1e6))
    recipe = replace(recipe, limits=replace(recipe.limits, flip=limits))
    if by == "vacuum":
        recipe = replace(recipe, original=replace(recipe.original, bolts=(), openings={}))
    weak = [f for f in found(recipe, "holding") if f.code == "weak"]
    assert [f.message.split(" about")[0] for f in weak] == [f"{by} {verb}"]


@pytest.mark.parametrize("thickness", [5.5, 5.0, 5.9])
def test_a_thinner_pin_is_one_that_is_made(thickness):
    (finding,) = [f for f in found(stock(thickness=thickness), "dowel-pins") if f.code == "short-hold"]
    way = ways(finding.remedy)[0]
    assert way[0].key == "dowels.diameter"
    assert float(way[0].value.removesuffix(" mm")) in ISO_PINS_MM


def test_the_stiffest_common_mill_that_goes_in_is_offered():
    recipe = replace(cover(), tools={**RECIPE.tools, "finishing": Tool(kind="end mill", diameter=0.6)})
    remedies = {f.feature: f.remedy for f in found(recipe, "depth-to-diameter")}
    assert "end mill of 8 mm" in remedies["bottom-pocket"]  # corners of 5.3 mm let 10 mm in
    assert "end mill of 8 mm" in remedies["outer-profile"]


def test_a_fit_that_is_unlikely_may_be_measured_more_exactly():
    finding = found(around(0.08), "fit-chance")[0]
    keys = {e.key for way in ways(finding.remedy) for e in way}
    assert "clearance.around" in keys
    wider = next(w for w in ways(finding.remedy) if w[0].key == "clearance.around")
    exact = [w for w in ways(finding.remedy) if w[0].key.startswith("tolerances.")]
    assert not found(around(float(wider[0].value.removesuffix(" mm"))), "fit-chance")
    for way in exact:
        key, value = way[0].key.removeprefix("tolerances."), float(way[0].value.removesuffix(" mm"))
        recipe = around(0.08)
        assert not found(replace(recipe, tolerances=replace(recipe.tolerances, **{key: value})), "fit-chance")


def test_where_turning_over_decides_turning_over_is_offered():
    recipe = around(0.3)
    loose = replace(recipe, tolerances=replace(recipe.tolerances, flip=0.9))
    told = [f for f in found(loose, "fit-chance") if "turning over" in f.message]
    assert told
    assert any(e.key == "tolerances.flip" for way in ways(told[0].remedy) for e in way)
