"""Chains of errors, room above the original, play of the cover, and what is taken out of a recipe."""

from __future__ import annotations

from dataclasses import replace
from math import cos, erf, hypot, inf, log, pi, sin, sqrt

import numpy as np
import pytest
import shapely
from fit_samples import DISC, NOTCHED, PLATE, SLOT_WITH_HOLLOW, fit_case, pin
from hypothesis import given, settings
from hypothesis import strategies as st
from part_samples import COVER, RECIPE, box, original, plan_of

from generator.fit.case import Errors, case_of, thickness_of
from generator.fit.chains import chains_of, largest, tightest
from generator.fit.chance import chance_of, clearance_for
from generator.fit.contacts import MOST, contacts_of
from generator.fit.height import chance_to_clear, room_above_for
from generator.fit.play import play_of
from generator.fit.wider import wider_bolts
from generator.outline.contour import Contour, Point
from generator.outline.create import rectangle
from generator.outline.region import Region
from generator.part.part import Bolt
from generator.recipe.model_bolts import Bolts, Seat


# ------------------------------------------------------------------ chains
def test_the_sums_of_a_plate_with_two_bolts():
    bolts = (pin(-20, 0, 0.3, over=True), pin(20, 0, 0.25, over=True))
    case = fit_case(*bolts, clearance=0.3, bolts=0.1, position=0.05, size=0.04, flip=0.03)
    case = replace(case, errors=replace(case.errors, footprint=0.08))
    wall, bolt, both = chains_of(case)
    plane = sqrt(-2.0 * log(0.0027 / 2))  # two bolts
    assert (wall.room_mm, wall.worst_mm) == (0.3, pytest.approx(3 * 0.08 / 1.96 + 0.02))
    assert (bolt.room_mm, bolt.worst_mm) == (0.25, pytest.approx(plane * 0.1 / 1.96 + sqrt(2) * 0.05 + 0.02))
    assert both.room_mm == 0.55
    assert both.worst_mm == pytest.approx(
        wall.worst_mm + sqrt(-2.0 * log(0.0027)) * 0.1 / 1.96 + 0.02 + sqrt(2) * (0.05 + 0.05 + 0.03)
    )
    u = [0.08 / 1.96, 0.02 / sqrt(3)]
    assert wall.rss_mm == pytest.approx(3.0 * hypot(*u))
    assert bolt.rss_mm == pytest.approx(plane * hypot(0.1 / 1.96, 0.05 / sqrt(3), 0.02 / sqrt(3)))
    assert bolt.rss_mm / bolt.room_mm > max(wall.rss_mm / wall.room_mm, both.rss_mm / both.room_mm)
    assert tightest((wall, bolt, both)) is bolt
    assert tightest((replace(wall, room_mm=0.0), bolt)).name == "wall"
    assert largest((replace(wall, room_mm=0.1), bolt, both), ("wall", "wall to bolt")) == "footprint (93 %)"
    assert wall.shares()[0][0].key == "tolerances.footprint"
    assert sum(share for _, share in both.shares()) == pytest.approx(1.0)


def any_case():
    """Footprint, up to eight bolts on a ring, all errors; rooms as near to what they need as the test makes them."""
    error = st.floats(0.0, 0.3)
    return st.builds(
        lambda shape, count, over, footprint, **e: replace(
            made := fit_case(
                *(pin(18 * cos(k), 9 * sin(k), 0.3, over=over) for k in range(count)), footprint=shape, **e
            ),
            errors=replace(made.errors, footprint=footprint),
        ),
        st.sampled_from([PLATE, NOTCHED, DISC, SLOT_WITH_HOLLOW]),
        st.integers(0, 8),
        st.booleans(),
        error,
        bolts=error,
        position=error,
        size=error,
        flip=error,
    )


@given(any_case())
@settings(max_examples=200, deadline=None)
def test_at_worst_no_less_is_needed_than_by_root_sum_of_squares(case):
    for chain in chains_of(case):
        assert 0.0 <= chain.rss_mm <= chain.worst_mm
        assert chain.worst_mm <= 4.5 * sum(t.standard_mm for t in chain.terms)


@given(any_case())
@settings(max_examples=25, deadline=None)
def test_rooms_for_the_worst_are_rooms_for_nearly_all_covers(case):
    """What fit-worst-case is silent about goes on: held against the simulation, which shifts and turns."""
    sums = {c.name: c.worst_mm for c in chains_of(case)}
    bolt = sums.get("bolt", 0.0)
    around = max(sums["wall"], sums.get("wall to bolt", 0.0) - bolt)
    roomy = replace(case, clearance_mm=around, pins=tuple(replace(p, room_mm=bolt) for p in case.pins))
    assert all(c.spare_mm >= -1e-9 for c in chains_of(roomy))
    assert chance_of(roomy, 2000).share >= 0.997 - 3.0 * sqrt(0.997 * 0.003 / 2000)


@given(any_case())
@settings(max_examples=25, deadline=None)
def test_the_root_sum_of_squares_is_what_nearly_all_covers_need_at_the_wall(case):
    alone = replace(case, pins=())
    (wall,) = chains_of(alone)
    assert clearance_for(alone, 4000, 0.997 - 3.0 * sqrt(0.997 * 0.003 / 4000)) <= wall.rss_mm + 1e-6


def test_one_error_alone_is_its_own_sum():
    (even,), (normal,) = (chains_of(replace(fit_case(), errors=e)) for e in (Errors(size=0.1), Errors(footprint=0.1)))
    assert (even.worst_mm, even.rss_mm) == (0.05, 0.05)  # limits are never left
    assert normal.worst_mm == pytest.approx(normal.rss_mm) == pytest.approx(0.3 / 1.96)


def test_a_bolt_beyond_the_dowels_is_thrown_further_by_the_flip():
    ends = (Point(0.0, -10.0), Point(0.0, 10.0))
    near, far = (
        next(
            t for t in chains_of(fit_case(pin(0, y, 0.3, over=True), ends=ends, flip=0.05))[2].terms if "over" in t.name
        )
        for y in (8.0, 30.0)
    )
    assert (near.worst_mm, far.worst_mm) == (pytest.approx(0.05 * sqrt(2)), pytest.approx(0.15 * sqrt(2)))


def test_without_turning_over_the_flip_does_not_count():
    (_, _, both) = chains_of(fit_case(pin(0, 0, 0.3), flip=0.05))
    assert "tolerances.flip" not in {t.key for t in both.terms}
    assert [c.name for c in chains_of(fit_case())] == ["wall"]


# ------------------------------------------------------------------ above
@pytest.mark.parametrize(("above", "height", "depth"), [(0.1, 0.1, 0.05), (0.02, 0.1, 0.2), (0.0, 0.3, 0.01)])
def test_the_closed_form_of_room_above_is_the_integral(above, height, depth):
    e = (np.arange(4000) + 0.5) / 2000.0 - 1.0
    exact = np.mean([(1.0 + erf((above + depth * x) * 1.96 / height / sqrt(2.0))) / 2.0 for x in e])
    assert chance_to_clear(above, height, depth) == pytest.approx(exact, abs=1e-7)


def test_room_above_where_one_error_is_nought():
    assert chance_to_clear(0.1, 0.1, 0.0) == pytest.approx((1.0 + erf(1.96 / sqrt(2.0))) / 2.0)
    assert chance_to_clear(0.02, 0.0, 0.05) == pytest.approx(0.7)
    assert chance_to_clear(0.1, 0.0, 0.05) == 1.0
    assert (chance_to_clear(0.0, 0.0, 0.0), chance_to_clear(-0.1, 0.0, 0.0)) == (1.0, 0.0)
    assert room_above_for(0.975, 0.1, 0.0) == pytest.approx(0.1, rel=1e-4)  # 1.96 deviations, one side
    assert room_above_for(0.997, 0.0, 0.05) == pytest.approx(0.05 * (2 * 0.997 - 1))


# ------------------------------------------------------------------ play
def test_a_plate_without_bolts_plays_by_its_clearance():
    outer = Region((rectangle(-40.0, -25.0, 40.0, 25.0),))
    play = play_of(fit_case(clearance=0.3), outer)
    assert (
        0.3 - 1e-3 < play.shift_mm < 0.3 * sqrt(2.0)
    )  # towards a corner further than along a side, with a little turn
    assert play.turn_rad == pytest.approx(0.3 / 30.0, rel=0.003)  # the long side's end meets the wall
    assert 0.3 < play.edge_mm <= 0.3 + 0.01 * hypot(40.0, 25.0)


def test_bolts_hold_a_cover_closer_than_its_pocket():
    outer = Region((rectangle(-40.0, -25.0, 40.0, 25.0),))
    held = play_of(fit_case(pin(-20, 0, 0.1), pin(20, 0, 0.1), clearance=2.0), outer)
    assert held.shift_mm == pytest.approx(0.1, rel=0.02)
    assert held.turn_rad == pytest.approx(0.1 / 20.0, rel=0.002)


def test_a_disc_with_one_bolt_turns_freely():
    play = play_of(fit_case(pin(0, 0, 0.1), footprint=DISC, clearance=0.3), DISC)
    assert play.turn_rad == inf
    assert play.edge_mm == play.shift_mm == pytest.approx(0.1, rel=0.02)


# ------------------------------------------------------------------ contacts
def test_contacts_of_a_rectangle_are_its_ends_and_corners():
    contacts = contacts_of(PLATE)
    flat = contacts.shares == 1.0
    assert flat.sum() == 8
    assert set(map(tuple, np.abs(contacts.places).tolist())) == {(30.0, 15.0)}
    assert np.hypot(*contacts.normals.T) == pytest.approx(1.0)


def test_an_inside_corner_asks_nothing_of_its_own():
    notched = Region((Contour.of([(0, 0), (20, 0), (20, 10), (10, 10), (10, 20), (0, 20)]),))
    at_inside = np.hypot(*(contacts_of(notched).places - [10.0, 10.0]).T) < 1e-9
    assert at_inside.sum() == 2  # one end of either side


def test_a_finely_traced_outline_keeps_its_foremost_contacts():
    angles = np.arange(1500) * (2.0 * pi / 1500)
    fine = Region((Contour.of([(30 * np.cos(a), 18 * np.sin(a)) for a in angles]),))
    contacts = contacts_of(fine)
    assert len(contacts.places) <= MOST
    assert np.abs(contacts.places[:, 0]).max() == pytest.approx(30.0, abs=1e-3)


# ------------------------------------------------------------------ out of the recipe
def case_with(**changes):
    recipe = replace(original(**changes), inlays={})
    return case_of(recipe, plan_of(recipe))


def test_rooms_of_bolts():
    (one, _) = case_with().pins
    assert one.room_mm == pytest.approx((6.6 - 6.0) / 2.0)  # ISO 273 medium
    assert one.turned_over  # drilled from the top, the pocket is cut from below
    tight = replace(RECIPE, cover=replace(COVER, seats=Seat(screw="ISO 4762", diameter=10.5)))
    assert case_of(tight, plan_of(tight)).pins[0].room_mm == pytest.approx((10.5 - 10.22) / 2.0)
    loose = replace(RECIPE, tolerances=replace(RECIPE.tolerances, bolt_play=0.3))
    assert case_of(loose, plan_of(loose)).pins[0].room_mm == pytest.approx(0.6)


def test_a_seat_right_through_leaves_only_the_head_to_meet():
    through = replace(RECIPE, cover=replace(COVER, seats=Seat(screw="ISO 4762", depth=12.0, diameter=11.5)))
    assert case_of(through, plan_of(through)).pins[0].room_mm == pytest.approx((11.5 - 10.22) / 2.0)


def test_a_hole_alone_is_taken_for_the_thickest_bolt_that_goes_through():
    bolts = {hole: thickness_of(Bolt("", Point(0, 0), hole, "", "", "", "")) for hole in (6.4, 6.39, 9.0, 26.25, 1.5)}
    assert bolts == {6.4: 6.0, 6.39: 5.0, 9.0: 8.0, 26.25: 25.0, 1.5: pytest.approx(1.5 / 1.05)}


def test_the_flip_is_registered_by_the_dowels_or_the_blanks_ends():
    plan = plan_of(RECIPE)
    low, high = case_of(RECIPE, plan).flip_ends
    assert high.y - low.y > 50.0
    bare = replace(RECIPE, dowels="none")
    low, high = case_of(bare, plan_of(bare)).flip_ends
    assert high.y - low.y == pytest.approx(50.0 + 2 * RECIPE.cover.stock.margin)


def test_wider_bolts_by_the_next_series_or_not_at_all():
    def edits(room, seats="none", **bolts):
        made = Bolts(**{"at": ((0.0, 0.0),), **bolts})
        recipe = replace(original(bolts=(made,), footprint=box(60, 30), openings={}), inlays={})
        recipe = replace(recipe, cover=replace(COVER, seats=seats))
        return wider_bolts(recipe, plan_of(recipe), room)

    assert edits(0.25, thread="M6", fit="fine") == ("original.bolts[0].fit to medium",)
    assert edits(0.45, thread="M6", fit="fine") == ("original.bolts[0].fit to coarse",)
    assert edits(0.55, thread="M6", fit="fine") is None
    assert edits(0.1, thread="M6") is None  # nothing to do
    assert edits(0.3, hole=6.45) == ("original.bolts[0].hole to at least 6.6 mm",)
    assert edits(0.9, hole=6.45) is None  # a thicker bolt would be meant
    assert edits(0.2, Seat(screw="ISO 4762", diameter=10.5), thread="M6") == (
        "cover.seats.diameter to at least 10.62 mm",
    )


def test_the_edge_is_furthest_off_where_it_is_furthest_away():
    outer = Region((rectangle(-40.0, -25.0, 90.0, 25.0),))
    play = play_of(fit_case(clearance=0.3), outer)
    assert play.at.x == 90.0
    assert play.edge_mm > 0.01 * 90.0


@pytest.mark.parametrize("shape", [PLATE, NOTCHED, DISC, SLOT_WITH_HOLLOW])
def test_contacts_lie_on_the_outline_and_face_outward(shape):
    """Held against shapely and a fine polygon of the outline."""
    points = []
    for s in shape.contours[0].segments():
        steps = np.linspace(0.0, 1.0, 400, endpoint=False)
        if not s.is_arc:
            points += [(s.start.x + t * (s.end.x - s.start.x), s.start.y + t * (s.end.y - s.start.y)) for t in steps]
            continue
        a = np.arctan2(s.start.y - s.centre.y, s.start.x - s.centre.x) + s.sweep * steps
        points += zip(s.centre.x + s.radius_mm * np.cos(a), s.centre.y + s.radius_mm * np.sin(a), strict=True)
    outline = shapely.Polygon(points)
    contacts = contacts_of(shape)
    on, out = contacts.places, contacts.normals
    assert shapely.distance(outline.exterior, shapely.points(on)) == pytest.approx(0.0, abs=1e-3)
    assert not shapely.contains(outline, shapely.points(on + 0.05 * out)).any()
    inside_corner = np.hypot(*(on - [10.0, 5.0]).T) < 1e-9  # there each normal runs along the other side
    away = shapely.distance(outline, shapely.points(on + 0.05 * out))
    assert away[~inside_corner] == pytest.approx(0.05, abs=1e-3)
