"""Whatever a recipe asks for: no check crashes, and what nothing forbids makes a body of the volume of its sections."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from part_samples import RECIPE, box, disc, plan_of

from generator.base.errors import GeometryError, RecipeError
from generator.base.fields import OutlineSpec
from generator.base.finding import Severity
from generator.checks import run_checks
from generator.outline.measure import area
from generator.part.layers import layers
from generator.part.mass import volume_mm3
from generator.part.part import Face, Part
from generator.part.setups import as_machined
from generator.part.slabs import slabs
from generator.recipe.model import Cover, Opening, Original, Recipe, Stock
from generator.recipe.model_bolts import Bolts, Seat
from generator.recipe.model_dowels import Dowels
from generator.recipe.model_inlay import Inlay, InsertStock
from generator.recipe.model_tools import Tool


def tenths(low: int, high: int) -> st.SearchStrategy[float]:
    return st.integers(low, high).map(lambda k: k / 10.0)


@st.composite
def outlines(draw: st.DrawFn, width: int, height: int) -> OutlineSpec:
    """Boxes and discs, some of them joined, notched and turned."""
    at = (draw(tenths(-200, 200)), draw(tenths(-120, 120)))
    round_mm = draw(st.sampled_from([0.0, 0.3, 1.0, 2.0]))
    made = draw(
        st.sampled_from(
            [
                box(draw(tenths(40, width)), draw(tenths(40, height)), at, round_mm),
                disc(draw(tenths(20, height // 2)), at),
            ]
        )
    )
    if draw(st.booleans()):
        made = replace(made, add=(box(draw(tenths(10, 200)), draw(tenths(5, 80)), (draw(tenths(-100, 100)), 0.0)),))
    if draw(st.integers(0, 3)) == 0:
        made = replace(made, cut=(disc(draw(tenths(5, 40))),))
    return replace(made, turn_rad=draw(st.sampled_from([0.0, 0.0, 0.7])))


SEATS = st.sampled_from(
    ["none", *(Seat(screw=s) for s in ("ISO 4762", "ISO 7380-1", "ISO 10642")), Seat(screw="ISO 10642", depth=5.0)]
)


@st.composite
def recipes(draw: st.DrawFn) -> Recipe:
    footprint = box(draw(tenths(300, 700)), draw(tenths(200, 400)), round_mm=draw(st.sampled_from([0.0, 1.0, 5.0])))
    places = st.tuples(tenths(-250, 250), tenths(-120, 120))
    bolts = draw(st.lists(places, max_size=3))
    outer = draw(
        st.sampled_from(
            [replace(footprint, grow_mm=draw(tenths(10, 100))), box(draw(tenths(600, 950)), draw(tenths(400, 600)))]
        )
    )
    names = st.lists(st.sampled_from(["a", "b"]), unique=True)
    return Recipe(
        name="any",
        original=Original(
            height=draw(tenths(10, 50)),
            load_bearing=draw(st.booleans()),
            footprint=footprint,
            bolts=(Bolts(thread="M5", at=tuple(bolts)),) if bolts else (),
            openings={n: Opening(outline=draw(outlines(100, 100)), clearance=0.5) for n in draw(names)},
        ),
        cover=Cover(
            stock=Stock(thickness=draw(tenths(60, 140))),
            outer=outer,
            seats=draw(SEATS),
            edge_break=draw(st.sampled_from([0.0, 0.5, 2.0])),
        ),
        inlays={
            n: Inlay(stock=InsertStock(thickness=draw(tenths(5, 20))), outline=draw(outlines(240, 120)))
            for n in draw(names)
        },
        dowels=draw(st.sampled_from(["none", Dowels(diameter=4.0), Dowels(diameter=6.0, axis="x")])),
        tools=draw(st.sampled_from([{}, {"fine": Tool(kind="end mill", diameter=2.0)}])),
    )


@settings(derandomize=True, deadline=None, max_examples=60)
@given(recipes())
def test_any_recipe_is_judged_and_what_is_not_forbidden_has_a_body(recipe: Recipe) -> None:
    try:
        plan = plan_of(recipe)
    except (RecipeError, GeometryError):
        assume(False)
    outcomes = run_checks(recipe, plan)
    assert not [(o.check, o.crash) for o in outcomes if o.crash]
    for layer in layers(plan):
        if layer.face is Face.BOTTOM:
            assert area(as_machined(layer.region, layer.face, plan.flip)) == pytest.approx(area(layer.region), rel=1e-9)
    if not [f for o in outcomes for f in o.findings if f.severity is Severity.FORBIDS]:
        for part in plan.parts:
            assert_body(part)


def assert_body(part: Part) -> None:
    """Slabs follow each other without gaps, and the volume lies between the least and the greatest sections."""
    made = slabs(part)
    assert made[-1].z_to_mm == part.thickness_mm
    assert all(a.z_to_mm == b.z_from_mm for a, b in itertools.pairwise(made))
    bounds = [sorted((area(s.lower), area(s.upper))) for s in made]
    heights = [s.z_to_mm - s.z_from_mm for s in made]
    low = sum(b[0] * h for b, h in zip(bounds, heights, strict=True))
    high = sum(b[1] * h for b, h in zip(bounds, heights, strict=True))
    assert 0.0 < low - 1e-6 <= volume_mm3(part) <= high + 1e-6


def test_the_sound_recipe_has_a_body() -> None:
    for part in plan_of(RECIPE).parts:
        assert_body(part)
