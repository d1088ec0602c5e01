"""Checks of metals, floors and bonds on any sound values: they never fail, and say less as things get better."""

from __future__ import annotations

from dataclasses import fields, replace
from math import isfinite

import pytest
from harness import NOTES
from hypothesis import given, settings
from hypothesis import strategies as st
from part_samples import COVER, CREST, ORIGINAL, RECIPE, cover, crest, plan_of, stock

from generator.base.adhesives import ADHESIVE_WORDS
from generator.base.fields import spec_of
from generator.base.finding import Finding
from generator.base.materials import MATERIAL_WORDS
from generator.base.plain_metals import PLAIN_METAL_WORDS
from generator.checks import cover as cover_checks
from generator.checks import inserts, metals
from generator.part.pressing import pressed
from generator.recipe.model import Recipe
from generator.recipe.model_conditions import Conditions
from generator.recipe.model_limits_inserts import InsertLimits
from generator.recipe.model_limits_metals import FloorLimits, MetalLimits
from generator.recipe.model_material import OwnMaterial

FLOORS = tuple(c for c in cover_checks.CHECKS if c.id.startswith("floor-") and c.id != "floor-over-gap")
HOLDING = (
    "glue-gap",
    "glue-area",
    "peel-edge",
    "press-holds",
    "insert-width",
    "insert-island",
    "flush-by-stock",
    "burr-side",
)
MINE = (*FLOORS, *metals.CHECKS, *(c for c in inserts.CHECKS if c.id in HOLDING))


def said(recipe: Recipe) -> list[Finding]:
    """What these checks say; a crash goes through."""
    plan = plan_of(recipe)
    return [f for c in MINE for f in c.run(recipe, plan)]


def some(low: float, high: float) -> st.SearchStrategy[float]:
    """Numbers from a range, its ends among them."""
    return st.one_of(st.sampled_from((low, high)), st.floats(low, high))


@st.composite
def limits(draw: st.DrawFn, kind: type) -> object:
    """A theme of limits, each anywhere that a recipe can set it."""
    chosen = {}
    for f in fields(kind):
        spec, figure = spec_of(kind, f.name), getattr(kind(), f.name)
        chosen[f.name] = figure.chosen(draw(some(float(spec.at_least or 0.0), float(spec.at_most or 100.0))))
    return kind(**chosen)


@st.composite
def own(draw: st.DrawFn) -> OwnMaterial:
    """A material of one's own of which not all is known."""
    return OwnMaterial(
        name="own",
        density=3000.0,
        anodic_index=draw(st.none() | some(0.0, 3.0)),
        expansion=draw(st.none() | some(0.1, 500.0)),
        stiffness=draw(st.none() | some(0.001, 1000.0)),
        strength=draw(st.none() | some(0.1, 5000.0)),
    )


@st.composite
def recipes(draw: st.DrawFn) -> Recipe:
    """The sound recipe with anything that these checks look at."""
    material = st.sampled_from(MATERIAL_WORDS) | own()
    sits = draw(st.sampled_from(("flush", "proud", "recessed")))
    inlay = replace(
        CREST,
        material=draw(material),
        fit=draw(st.sampled_from(("hand", "press", "glued"))),
        adhesive=draw(st.sampled_from(("", *ADHESIVE_WORDS))),
        gap=draw(st.none() | some(0.0, 1.0)),
        sits=sits,
        by=0.0 if sits == "flush" else draw(some(0.01, 1.4)),
        stock=replace(CREST.stock, tolerance=draw(st.none() | some(0.0, 1.0))),
    )
    return replace(
        RECIPE,
        original=replace(ORIGINAL, material=draw(st.sampled_from(("", *PLAIN_METAL_WORDS)))),
        cover=replace(COVER, material=draw(material), stock=replace(COVER.stock, thickness=draw(some(5.1, 20.0)))),
        inlays={"crest": inlay},
        conditions=Conditions(
            environment=draw(st.sampled_from(("indoor", "outdoor", "marine"))),
            coldest=draw(st.none() | some(-100.0, 20.0)),
            hottest=draw(st.none() | some(20.0, 300.0)),
        ),
        tolerances=replace(RECIPE.tolerances, size=draw(some(0.0, 1.0)), depth=draw(some(0.0, 1.0))),
        limits=replace(
            RECIPE.limits,
            metals=draw(limits(MetalLimits)),
            floor=draw(limits(FloorLimits)),
            inserts=draw(limits(InsertLimits)),
        ),
    )


@settings(max_examples=80, deadline=None)
@given(recipes())
def test_nothing_that_a_recipe_can_say_brings_them_down(recipe: Recipe) -> None:
    for finding in said(recipe):
        assert finding.figure is None or isfinite(finding.figure)
        assert finding.remedy
        assert "nan" not in finding.message + finding.remedy
        assert "inf" not in finding.remedy.replace("information", "")


def test_what_is_not_known_is_not_judged() -> None:
    unknown = OwnMaterial(name="own", density=3000.0)
    recipe = replace(
        cover(material=unknown), inlays={"crest": replace(CREST, material=unknown, fit="press", adhesive="none")}
    )
    outdoors = replace(recipe, conditions=Conditions(environment="marine", coldest=-100.0, hottest=300.0))
    assert {f.check for f in said(outdoors)} == {"press-holds", "burr-side"}


def test_a_hole_beside_a_pressed_in_insert_counts_as_an_edge() -> None:
    near = crest(fit="press")
    far = replace(near, original=replace(ORIGINAL, openings={}, bolts=()))
    plans = [plan_of(recipe) for recipe in (near, far)]
    walls = [pressed(r, p, p.inserts[0]) for r, p in zip((near, far), plans, strict=True)]
    assert walls[0] is not None
    assert walls[1] is not None
    # the cable's opening reaches to y = -9 + 3.5, the insert lies from 0.01 to 7.99, the cover ends at 25
    assert walls[0].ring_mm - walls[0].radius_mm == pytest.approx(5.51)
    assert walls[1].ring_mm - walls[1].radius_mm == pytest.approx(17.01)


@pytest.mark.parametrize("thinner", [3.9, 4.2, 5.0])
def test_a_thicker_plate_never_has_weaker_floors(thinner: float) -> None:
    def weak(thickness: float) -> set[tuple[str, str]]:
        recipe = replace(stock(thickness=thickness), inlays={})
        return {(f.check, f.feature) for f in said(recipe) if f.severity is not NOTES}

    assert weak(thinner + 0.3) <= weak(thinner)


def test_the_warmer_the_more_is_taken_of_a_gap() -> None:
    taken = []
    for hottest in (80.0, 120.0, 160.0):
        recipe = replace(crest(material="POM-C"), conditions=Conditions(hottest=hottest))
        taken += [f.figure for f in said(recipe) if f.check == "expansion-bond"]
    assert taken == sorted(taken)
    assert len(set(taken)) == 3
    # straight proportion to the temperature above 20 °C (closed form)
    assert taken[2] == pytest.approx(taken[0] * 140.0 / 60.0)
