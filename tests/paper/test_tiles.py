"""Parts spread over sheets: fewest sheets, nothing lost between them, and papers that are too small."""

from __future__ import annotations

from math import ceil, cos, radians, sin

import numpy as np
import pytest

from generator.outline.contour import Contour, Point
from generator.outline.create import circle
from generator.outline.distance import boundary_points
from generator.outline.region import Region
from generator.outline.transform import turned
from generator.paper.joints import joints_of
from generator.paper.tiles import MOST_SHEETS, OVERLAP_MM, TooManySheetsError, paving_of

PORTRAIT, LANDSCAPE = (False, 176.0, 210.0), (True, 263.0, 140.0)
ROOMS = (PORTRAIT, LANDSCAPE)


def plate(width: float, height: float) -> Region:
    w, h = width / 2.0, height / 2.0
    return Region((Contour.of([(-w, -h), (w, -h), (w, h), (-w, h)]),))


def fewest_by_hand(width: float, height: float, clear: float = 2.0) -> int:
    """Sheets of a plate that may be turned by 15 degrees at a time, from sines and cosines alone."""
    best = 10**6
    for degrees in range(0, 180, 15):
        c, s = abs(cos(radians(degrees))), abs(sin(radians(degrees)))
        box = (width * c + height * s, width * s + height * c)
        for _, w, h in ROOMS:
            columns, rows = (
                max(1, ceil((need + 2 * clear - OVERLAP_MM) / (size - OVERLAP_MM) - 1e-9))
                for need, size in zip(box, (w, h), strict=True)
            )
            best = min(best, columns * rows)
    return best


@pytest.mark.parametrize(
    ("width", "height"),
    [(100, 60), (170, 200), (250, 130), (130, 250), (260, 40), (300, 80), (400, 260), (600, 50), (500, 500)],
)
def test_as_few_sheets_as_any_way_of_laying_them_takes(width, height):
    paving = paving_of([plate(width, height)], ROOMS)
    assert paving.grid.columns * paving.grid.rows == fewest_by_hand(width, height)


def test_a_long_bar_lies_across_the_corner_of_one_sheet():
    (tile,) = paving_of([plate(225.0, 20.0)], (PORTRAIT,)).tiles
    assert tile.name == "A1"


@pytest.mark.parametrize("outline", [plate(700.0, 420.0), Region((circle(Point(30.0, -9.0), 300.0),))])
def test_every_point_of_an_outline_is_on_a_sheet_and_neighbours_share_a_strip(outline):
    paving = paving_of([outline], ROOMS)
    points = boundary_points(paving.placing.region(outline), 0.5)
    shown = np.zeros(len(points), bool)
    for tile in paving.tiles:
        box, x, y = tile.core, points[:, 0], points[:, 1]
        shown |= (box.left <= x) & (x <= box.right) & (box.bottom <= y) & (y <= box.top)
    assert shown.all()
    for joint in joints_of(paving, [outline]):
        one, other = joint.one.window, joint.other.window
        across = one.right - other.left if joint.is_upright else other.top - one.bottom
        assert across == pytest.approx(OVERLAP_MM)
        for x, y in joint.marks:  # whole on both sheets
            for box in (one, other):
                assert box.left + 3.0 <= x <= box.right - 3.0
                assert box.bottom + 3.0 <= y <= box.top - 3.0


def test_sheets_that_would_stay_empty_are_left_out():
    ring = Region((circle(Point(0.0, 0.0), 330.0), circle(Point(0.0, 0.0), 320.0).reversed()))
    paving = paving_of([ring], ROOMS)
    assert len(paving.tiles) < paving.grid.columns * paving.grid.rows
    points = boundary_points(paving.placing.region(ring), 0.5)
    x, y = points[:, 0], points[:, 1]
    missing = [t for t in paving.grid.tiles() if t not in paving.tiles]
    for tile in missing:
        box = tile.window
        assert not ((box.left < x) & (x < box.right) & (box.bottom < y) & (y < box.top)).any()


def test_joints_keep_away_from_holes_where_they_can():
    outline = plate(260.0, 260.0)
    centred = paving_of([outline], ROOMS, [(0.0, 0.0)])
    x, y = centred.placing.point(0.0, 0.0)
    for joint in joints_of(centred, [outline]):
        assert abs((x if joint.is_upright else y) - joint.start[0 if joint.is_upright else 1]) > 15.0


def test_the_smallest_turn_is_taken_where_several_do():
    assert paving_of([plate(100.0, 60.0)], ROOMS).placing.turn_rad == 0.0
    assert not paving_of([plate(100.0, 60.0)], ROOMS).is_landscape
    assert paving_of([turned(plate(250.0, 100.0), 0.0)], ROOMS).is_landscape


def test_paper_that_is_too_small_is_refused_with_the_number_of_sheets():
    with pytest.raises(TooManySheetsError) as told:
        paving_of([plate(2000.0, 1500.0)], ROOMS)
    assert told.value.sheets == fewest_by_hand(2000.0, 1500.0) > MOST_SHEETS


def test_windows_that_are_nearly_all_overlap_are_refused():
    with pytest.raises(TooManySheetsError) as told:
        paving_of([plate(200.0, 100.0)], ((False, 40.0, 300.0), (True, 300.0, 40.0)))
    assert told.value.sheets == 0
