"""Whatever a recipe says of its bolts: no check of them crashes, and every finding can be acted on."""

from __future__ import annotations

from dataclasses import replace
from math import isfinite

from cases_bolts import PLACES
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from part_samples import COVER, ORIGINAL, RECIPE, plan_of

from generator.base.errors import GeometryError, RecipeError
from generator.base.finding import Severity
from generator.base.remedy import ways
from generator.base.screws import SCREW_WORDS
from generator.base.standards import HEAD_WORDS, THREAD_WORDS
from generator.base.threads import CLASS_WORDS
from generator.checks.bolts import CHECKS
from generator.estimate.bolt_length import needed_length, needed_thread
from generator.estimate.joint import joints
from generator.estimate.preload import bearable
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import THREAD_MATERIALS, Bolts, Seat, Tapped

mm = st.integers(5, 400).map(lambda k: k / 10.0)
seats = st.one_of(st.just("none"), st.builds(Seat, screw=st.sampled_from(HEAD_WORDS), depth=st.none() | mm))
into = st.one_of(
    st.none(),
    st.just("nut"),
    st.builds(Tapped, material=st.sampled_from(THREAD_MATERIALS), depth=st.none() | mm, blind=st.booleans()),
)


@st.composite
def recipes(draw: st.DrawFn) -> Recipe:
    """Two bolts of one kind with whatever can be said of them, in plates of many thicknesses and materials."""
    bolts = Bolts(
        thread=draw(st.sampled_from(THREAD_WORDS)),
        fit=draw(st.sampled_from(["fine", "medium", "coarse"])),
        at=PLACES,
        screw=draw(st.sampled_from(SCREW_WORDS)),
        property_class=draw(st.sampled_from(CLASS_WORDS)),
        length=draw(st.none() | mm),
        passes=draw(st.none() | mm),
        into=draw(into),
        washer=draw(st.booleans()),
        threads=draw(st.sampled_from(["as received", "lubricated", "dry"])),
        torque=draw(st.none() | mm),
        holds=draw(st.sampled_from(["original", "cover only"])),
    )
    stock = replace(COVER.stock, thickness=draw(st.integers(36, 300)) / 10.0)
    cover = replace(
        COVER,
        seats=draw(seats),
        stock=stock,
        material=draw(st.sampled_from(["EN AW-6082 T6", "EN AW-5083 H111", "POM-C", "1.4301 annealed"])),
    )
    original = replace(ORIGINAL, bolts=(bolts,), openings={}, load_bearing=draw(st.booleans()))
    clearance = replace(RECIPE.clearance, above=draw(st.sampled_from([0.0, 0.05, 0.2, 1.0])))
    return replace(RECIPE, original=original, cover=cover, clearance=clearance, inlays={})


@given(recipes())
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
def test_every_finding_can_be_acted_on(recipe: Recipe) -> None:
    try:
        plan = plan_of(recipe)
    except (GeometryError, RecipeError):
        return  # sizes that the tables do not hold, or a plate without room for the pocket
    for check in CHECKS:
        for finding in check.run(recipe, plan):
            assert finding.path.startswith(("original.", "cover."))
            assert finding.remedy
            assert finding.source
            assert all(v is None or isfinite(v) for v in (finding.figure, finding.limit)), finding
            for edit in (e for way in ways(finding.remedy) for e in way):
                assert edit.key.startswith(("original.bolts[0]", "original.openings.head-", "cover.")), edit
            if finding.severity is Severity.FORBIDS:
                assert "nan" not in finding.message
                assert "inf" not in finding.message


@given(recipes())
@settings(max_examples=100, deadline=None)
def test_a_length_that_is_told_holds_and_what_bears_is_no_more_than_the_bolt(recipe: Recipe) -> None:
    try:
        plan = plan_of(recipe)
    except (GeometryError, RecipeError):
        return
    for joint in joints(recipe, plan):
        length = needed_length(recipe, joint)
        if length is not None:
            assert length >= joint.grip_mm + needed_thread(recipe, joint)[0] - 1e-5
        links = bearable(recipe, plan, joint)
        assert min(links.values()) <= links["bolt"]
        assert all(force > 0.0 for force in links.values())
