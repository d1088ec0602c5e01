"""Layers as the machine sees them, and the setups that cut them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from part_samples import COVER, ORIGINAL, RECIPE, box, original, plan_of

from generator.outline.measure import area, bounds, centroid
from generator.part.layers import layers
from generator.part.part import Face, FlipAxis, Layer
from generator.part.relation import disc_of
from generator.part.setups import as_machined, setups
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import Bolts, Seat
from generator.recipe.model_dowels import Dowels

LOPSIDED = replace(
    RECIPE,
    original=replace(ORIGINAL, footprint=box(60.0, 20.0, (4.0, 3.0)), openings={}),
    dowels=Dowels(diameter=6.0, through=(1.0, 0.0)),
)
"""Nothing of it is its own mirror image."""


def by_name(recipe: Recipe) -> dict[str, Layer]:
    made = layers(plan_of(recipe))
    named = {la.name: la for la in made}
    assert len(named) == len(made), "names must be unique"
    return named


def test_every_layer_is_there_once_with_its_face_and_depths() -> None:
    got = {n: (la.part, la.face.value, la.top_mm, la.bottom_mm) for n, la in by_name(RECIPE).items()}
    assert got == {
        "blank": ("blank", "bottom", 0.0, 12.0),
        "dowel-holes": ("blank", "bottom", 0.0, 12.0),
        "bottom-pocket": ("cover", "bottom", 0.0, 3.4),
        "bolt-holes": ("cover", "top", 0.0, 12.0),
        "seats": ("cover", "top", 0.0, pytest.approx(6.4)),
        "openings": ("cover", "top", 0.0, 12.0),
        "inlay-pocket-crest": ("cover", "top", 0.0, 1.5),
        "edge-break": ("cover", "top", 0.0, 0.5),
        "outer-profile": ("cover", "top", 0.0, 12.0),
        "insert-profile-crest": ("insert-crest", "top", 0.0, 1.5),
    }


def test_bottom_layers_are_mirrored_in_the_flip_axis_by_numbers() -> None:
    plan = plan_of(LOPSIDED)
    pocket = next(f for f in plan.cover.features if f.name == "bottom-pocket").region
    seen = by_name(LOPSIDED)["bottom-pocket"].region
    assert area(seen) == pytest.approx(area(pocket), rel=1e-12)  # still counter-clockwise
    assert centroid(pocket) == pytest.approx((4.0, 3.0), abs=1e-9)
    assert centroid(seen) == pytest.approx((2.0 * 1.0 - 4.0, 3.0), abs=1e-9)


def test_mirroring_about_the_x_axis() -> None:
    recipe = replace(LOPSIDED, dowels=Dowels(diameter=6.0, axis="x", through=(0.0, 5.0)))
    assert centroid(by_name(recipe)["bottom-pocket"].region) == pytest.approx((4.0, 2.0 * 5.0 - 3.0), abs=1e-9)


def test_top_layers_are_not_mirrored() -> None:
    made = by_name(LOPSIDED)
    assert centroid(made["inlay-pocket-crest"].region) == pytest.approx((0.0, 4.0), abs=1e-9)
    assert made["outer-profile"].region == plan_of(LOPSIDED).cover.profile


def test_turning_the_blank_over_brings_every_layer_back() -> None:
    plan = plan_of(LOPSIDED)
    for layer in layers(plan):
        again = as_machined(layer.region, layer.face, plan.flip)
        assert as_machined(again, layer.face, plan.flip) == layer.region


def test_dowel_holes_stay_on_the_axis_in_both_setups() -> None:
    plan = plan_of(LOPSIDED)
    seen = sorted(bounds(as_machined(plan.blank.dowel_holes, Face.BOTTOM, plan.flip)))
    assert seen == pytest.approx(sorted(bounds(plan.blank.dowel_holes)), abs=1e-12)


def test_bolt_holes_are_circles() -> None:
    region = by_name(RECIPE)["bolt-holes"].region
    assert len(region) == 2
    assert all(disc_of(type(region)((c,))) for c in region)


def test_countersinks_are_drawn_at_their_widest_and_say_so() -> None:
    seat = by_name(replace(RECIPE, cover=replace(COVER, seats=Seat(screw="ISO 10642"))))["seats"]
    assert bounds(seat.region).height_mm == pytest.approx(13.71)
    assert "90° countersink" in seat.note
    assert (seat.top_mm, seat.bottom_mm) == pytest.approx((0.0, 3.555))


def test_seats_of_two_depths_become_two_numbered_layers() -> None:
    bolts = (
        Bolts(thread="M6", at=((-20.0, 0.0),)),
        Bolts(thread="M5", at=((20.0, 0.0),)),
    )
    made = by_name(original(bolts=bolts))
    depths = {n: round(la.bottom_mm, 6) for n, la in made.items() if n.startswith("seats")}
    assert depths == {"seats-1": 6.4, "seats-2": 5.4}
    assert len(made["bolt-holes"].region) == 2


def test_a_deep_countersink_has_a_layer_for_its_straight_part() -> None:
    made = by_name(replace(RECIPE, cover=replace(COVER, seats=Seat(screw="ISO 10642", depth=5.0))))
    assert made["seats-bore"].bottom_mm == pytest.approx(made["seats"].top_mm) == pytest.approx(5.0 - 3.555)


def test_bottom_notes_say_that_they_are_mirrored() -> None:
    for layer in layers(plan_of(RECIPE)):
        assert ("mirrored in the flip axis" in layer.note) == (layer.face is Face.BOTTOM)


def test_nothing_is_cut_twice() -> None:
    twice = original(bolts=(Bolts(thread="M6", at=((0.0, 0.0), (0.0, 0.0))),), openings={})
    assert len(by_name(twice)["bolt-holes"].region) == 1


def test_no_edge_break_no_layer() -> None:
    assert "edge-break" not in by_name(replace(RECIPE, cover=replace(COVER, edge_break=0.0)))


# ------------------------------------------------------------------ setups
def test_setup_1_is_the_bottom_face_and_setup_2_the_top_face() -> None:
    first, second, insert = setups(layers(plan_of(RECIPE)))
    assert (first.name, first.face, first.layers) == ("setup-1", Face.BOTTOM, ("dowel-holes", "bottom-pocket"))
    assert (second.name, second.face) == ("setup-2", Face.TOP)
    assert second.layers[-1] == "outer-profile"  # it frees the part
    assert second.layers.index("bolt-holes") < second.layers.index("seats")  # a chamfer cutter's tip cuts nothing
    assert (insert.part, insert.layers) == ("insert-crest", ("insert-profile-crest",))


def test_every_layer_but_the_blank_is_cut_in_exactly_one_setup() -> None:
    made = layers(plan_of(RECIPE))
    cut = [n for s in setups(made) for n in s.layers]
    assert sorted(cut) == sorted(la.name for la in made if la.name != "blank")


def test_without_dowels_the_first_setup_says_how_to_register() -> None:
    first, *_ = setups(layers(plan_of(replace(RECIPE, dowels="none"))))
    assert "registered by its edges" in first.note
    assert first.layers == ("bottom-pocket",)


def test_flip_about_the_axis_keeps_points_on_it() -> None:
    region = plan_of(RECIPE).cover.profile
    moved = bounds(as_machined(region, Face.BOTTOM, FlipAxis("y", 10.0)))
    assert moved.centre == pytest.approx((20.0, 0.0))
    assert bounds(as_machined(region, Face.BOTTOM, FlipAxis("y", 12.0))).centre == pytest.approx((24.0, 0.0))
    assert bounds(as_machined(region, Face.BOTTOM, FlipAxis("x", 10.0))).centre == pytest.approx((0.0, 20.0))
