"""The largest size that fits: against closed forms, against every place on a grid at a size a little larger."""

from __future__ import annotations

from math import hypot, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import MultiPolygon, Polygon, contains_xy

from generator.artwork.text_draw import there_and_back
from generator.artwork.text_fit import Placing, largest_placing
from generator.artwork.text_setting import Into, Setting, Size, engraving_paths, set_text
from generator.base.errors import GeometryError
from generator.outline.combine import difference
from generator.outline.contour import Contour
from generator.outline.create import circle, rectangle
from generator.outline.distance import boundary_distance, boundary_points, points_distance
from generator.outline.measure import area, bounds, length, signed_area
from generator.outline.predicates import contains_region
from generator.outline.region import Region
from generator.outline.transform import moved, scaled
from generator.outline.winding import winding_numbers
from tests.oracles.fine_facets import polygon
from tests.shapes.recipe_form import drawn

few = settings(derandomize=True, deadline=None, max_examples=40)


def box(width: float, height: float, x: float = 0.0, y: float = 0.0) -> Region:
    return Region.of([Contour.of([(x, y), (x + width, y), (x + width, y + height), (x, y + height)])])


def largest(drawing: Region, room: Region, margin: float, *, centred: bool = False) -> Placing:
    return largest_placing(tuple(drawing), room, margin, centred=centred, is_area=True)


def placed(drawing: Region, p: Placing) -> Region:
    middle = bounds(drawing).centre
    return moved(scaled(moved(drawing, -middle.x, -middle.y), p.factor), p.x, p.y)


# ------------------------------------------------------------------ closed forms
def test_box_in_a_box():
    p = largest(box(4, 1), box(60, 30, 5, 7), 2)
    assert p.factor == pytest.approx(14, rel=1e-6)
    assert (p.x, p.y) == pytest.approx((35, 22), abs=1e-4)


def test_box_in_a_disc():
    """The corners of a box w by h touch a circle of radius R - m: sqrt(w² + h²) = 2 (R - m)."""
    p = largest(box(4, 3), Region.of([circle((1, 2), 20)]), 2.5)
    assert p.factor == pytest.approx(2 * 17.5 / 5, rel=1e-6)
    assert (p.x, p.y) == pytest.approx((1, 2), abs=1e-3)


def test_triangle_goes_into_the_corner():
    """A triangle into a larger one of the same shape: the one at the margin, whose inradius is less by it."""
    room = Region.of([Contour.of([(0, 0), (40, 0), (0, 30)])])
    drawing = Region.of([Contour.of([(0, 0), (4, 0), (0, 3)])])
    p = largest(drawing, room, 1)
    inradius = 40 * 30 / (40 + 30 + 50)
    assert p.factor == pytest.approx(10 * (inradius - 1) / inradius, rel=1e-6)


def test_disc_between_rim_and_hole():
    """The middle of a ring is not in it: a disc goes between rim and hole."""
    ring = drawn({"ring": {"outer": 100, "inner": 40}})
    p = largest(Region.of([circle((0, 0), 1)]), ring, 1)
    assert p.factor == pytest.approx((30 - 2) / 2, rel=1e-4)
    assert hypot(p.x, p.y) == pytest.approx(35, abs=0.01)


def test_box_in_an_elbow():
    """A wide box lies in the lower leg, a tall one in the upright one."""
    elbow = Region.of([Contour.of([(0, 0), (60, 0), (60, 20), (14, 20), (14, 70), (0, 70)])])
    wide, tall = largest(box(4, 1), elbow, 1), largest(box(1, 6), elbow, 1)
    assert wide.factor == pytest.approx(min(58 / 4, 18), rel=1e-6)
    assert tall.factor == pytest.approx(min(12, 68 / 6), rel=1e-6)


def test_wide_letters_reach_into_a_hollow_side():
    """Two boxes far apart straddle a bump that comes in from below: the size is that of the higher room beside it."""
    bump = Region.of([Contour.of([(0, 0), (40, 0), (40, 12), (60, 12), (60, 0), (100, 0), (100, 30), (0, 30)])])
    pair = Region.of([*box(3, 2), *box(3, 2, 7, 0)])
    p = largest(pair, bump, 1)
    # standing on the bottom: 2 f + 2 = 30, and the gap of 4 f between them must hold the bump and its margins: f ≥ 5.5
    assert p.factor == pytest.approx(min((30 - 2) / 2, (100 - 2) / 10), rel=1e-5)


def test_nothing_moves_when_centred():
    triangle = Region.of([Contour.of([(0, 0), (40, 0), (20, 40)])])
    p = largest(box(2, 1), triangle, 1, centred=True)
    free = largest(box(2, 1), triangle, 1)
    assert (p.x, p.y) == pytest.approx((20, 20))
    # the upper corners (f, 20 + f / 2) keep 1 from the side 2 x + y = 80 (from the right corner up): |…| / sqrt 5
    assert p.factor == pytest.approx((20 - sqrt(5)) / 2.5, rel=1e-6)
    assert free.factor > 1.05 * p.factor


def test_an_island_of_the_outline_is_no_place_for_an_area():
    """A frame cannot be put round the hole of a ring, though its edge would keep the margin."""
    ring = drawn({"ring": {"outer": 100, "inner": 10}})
    p = largest(box(1, 1), ring, 1)
    assert not contains_region(placed(box(1, 1), p), box(0.1, 0.1))
    assert contains_region(ring, placed(box(1, 1), p))


# ------------------------------------------------------------------ letters
ROOMS = {
    "rounded": {"rectangle": {"size": [60, 14], "radius": 5}},
    "disc": {"disc": {"radius": 18}},
    "pointed": {"hull": {"outlines": [{"disc": {"radius": 16}}, {"disc": {"radius": 2, "centre": [34, 0]}}]}},
    "hollow": {"joined": {"circles": [
        {"at": [-24, 0], "radius": 12, "next": {"hollow": 40}}, {"at": [24, 0], "radius": 12, "next": {"hollow": 40}},
    ]}},
    "elbow": {"polygon": {"points": [[0, 0], [60, 0], [60, 20], [20, 20], [20, 50], [0, 50]]}},
    "ring": {"ring": {"outer": 80, "inner": 30}},
}  # fmt: skip


def facets(region: Region) -> MultiPolygon:
    """Return the region in facets that lie within it, outer ones, and round its holes."""
    outer = [Polygon(polygon(c, 1e-4)) for c in region if signed_area(c) > 0]
    holes = [Polygon(polygon(c, 1e-4)) for c in region if signed_area(c) < 0]
    whole = MultiPolygon(outer)
    for hole in holes:
        whole = whole.difference(hole)
    return whole


def fits_anywhere(letters: Region, room: Region, margin: float, step: float) -> bool:
    """Return whether at some place of a grid all of 300 points of the letters keep the margin, by facets.

    Half a step is let pass in every direction, so that what fits between places of the grid is found.
    """
    inner = facets(room).buffer(-margin + 0.75 * step, quad_segs=64)
    points, box_ = boundary_points(letters, length(letters) / 300), bounds(letters)
    low, high = inner.bounds[:2], inner.bounds[2:]
    across = np.arange(low[0] - box_.xmin, high[0] - box_.xmax + step, step)
    up = np.arange(low[1] - box_.ymin, high[1] - box_.ymax + step, step)
    places = np.stack(np.meshgrid(across, up), axis=-1).reshape(-1, 2)
    order = np.argsort(-np.hypot(*(points - box_.centre).T))
    for p in points[order]:
        places = places[contains_xy(inner, *(places + p).T)]
        if not len(places):
            return False
    return True


@pytest.mark.parametrize("name", ROOMS)
@pytest.mark.parametrize("text", ["Ay", "Till 9"])
def test_letters_keep_the_margin_and_could_be_no_larger(name, text):
    room, margin = drawn(ROOMS[name]), 1.25
    letters = set_text(Setting(text=text, features={}), Size(into=Into(room, margin, False)))
    gap = boundary_distance(letters, room).distance_mm
    assert contains_region(room, letters)
    assert margin - 1e-6 <= gap < margin + 1e-3
    assert not fits_anywhere(scaled(letters, 1.03), room, margin, bounds(letters).height_mm / 80)


@pytest.mark.parametrize("name", ROOMS)
def test_a_little_larger_fits_nowhere_near(name):
    """At 1.002 times the size every place within half a millimetre, on a grid of 0.02 mm, breaks the margin."""
    room, margin = drawn(ROOMS[name]), 1.25
    letters = set_text(Setting(text="Ay", features={}), Size(into=Into(room, margin, False)))
    middle = bounds(letters).centre
    larger = scaled(letters, 1.002, middle)
    points = boundary_points(larger, 0.15)
    tight = points[points_distance(room, points) < margin + 1.0]
    for dx in np.arange(-0.5, 0.501, 0.02):
        for dy in np.arange(-0.5, 0.501, 0.02):
            p = tight + np.array([dx, dy])
            near = p[:: max(1, len(p) // 24)]
            if (points_distance(room, near) < margin).any() or (winding_numbers(room, near) <= 0).any():
                continue
            assert (points_distance(room, p) < margin - 1e-6).any() or (winding_numbers(room, p) <= 0).any(), (dx, dy)


@few
@given(
    corners=st.lists(st.tuples(st.integers(-40, 40), st.integers(-40, 40)), min_size=3, max_size=7, unique=True),
    margin=st.sampled_from([0.2, 1.0, 3.0]),
)
def test_any_outline(corners, margin):
    whole = Polygon(corners)
    if not whole.is_valid or whole.buffer(-margin - 2).is_empty:  # a disc of 2 goes in: so do letters
        return
    room = drawn({"polygon": {"points": [list(c) for c in corners]}})
    letters = set_text(Setting(text="Ax", features={}), Size(into=Into(room, margin, False)))
    assert boundary_distance(letters, room).distance_mm >= margin - 1e-6
    assert contains_region(room, letters)
    assert not fits_anywhere(scaled(letters, 1.04), room, margin, bounds(letters).height_mm / 60)


def test_strokes_keep_the_margin_at_their_edges():
    room = drawn({"disc": {"radius": 12}})
    setting = Setting(text="Lathe", face="engraving", stroke_width_mm=0.6, features={})
    size = Size(into=Into(room, 1.0, False))
    region = set_text(setting, size)
    assert boundary_distance(region, room).distance_mm == pytest.approx(1.0, abs=1e-3)
    assert boundary_distance(region, room).distance_mm >= 1.0 - 1e-6
    paths, width = engraving_paths(setting, size)
    assert width == 0.6
    ways = Region(tuple(there_and_back(p) for p in paths))
    assert boundary_distance(ways, room).distance_mm == pytest.approx(1.3, abs=1e-3)


def test_what_can_slide_lies_in_the_middle():
    room = drawn({"rectangle": {"size": [90, 14], "centre": [7, 3]}})
    letters = set_text(Setting(text="Sandra", features={}), Size(into=Into(room, 1.5, False)))
    assert bounds(letters).centre.x == pytest.approx(7, abs=1e-3)


@pytest.mark.parametrize(
    ("margin", "says"),
    [(7.0, "fit nowhere with this margin; a smaller `margin`"), (6.95, "smaller `margin`|too small")],
)
def test_no_room_is_told(margin, says):
    room = drawn({"rectangle": {"size": [60, 14]}})
    with pytest.raises(GeometryError, match=says):
        set_text(Setting(text="Sandra", features={}), Size(into=Into(room, margin, False)))


def test_area_is_kept_when_laid_out_anew():
    """The letters that come out are those of their size, not a scaled copy of others: holes and parts are all there."""
    room = drawn({"rectangle": {"size": [400, 90]}})
    letters = set_text(Setting(text="Bold", features={}), Size(into=Into(room, 3, False)))
    height = bounds(letters).height_mm
    again = set_text(Setting(text="Bold", features={}), Size(width=bounds(letters).width_mm))
    assert bounds(again).height_mm == pytest.approx(height, abs=4e-3)
    assert area(again) == pytest.approx(area(letters), rel=1e-4)


def test_each_room_is_asked_for_its_own_inside():
    """A square in squares, by turns: as large as they are less the margins; one with a bay as large as its rest."""
    square = [rectangle(-0.5, -0.5, 0.5, 0.5)]
    bay = difference(Region((rectangle(0.0, 0.0, 20.0, 20.0),)), Region((rectangle(12.0, 8.0, 20.0, 12.0),)))
    rooms = [(Region((rectangle(0.0, 0.0, side, side),)), side - 2.0) for side in (10.0, 20.0, 40.0)]
    for room, size in (*rooms, (bay, 10.0), *rooms, (bay, 10.0)):
        found = largest_placing(square, room, 1.0, centred=False, is_area=True)
        assert found.factor == pytest.approx(size, abs=1e-4)
