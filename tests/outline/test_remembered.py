"""What is kept at hand must be the answer to what was asked: other arguments get their own."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from generator.base.errors import OffsetError
from generator.base.units import MODEL
from generator.outline.combine import union
from generator.outline.contour import Contour
from generator.outline.create import circle, rectangle
from generator.outline.crossings import refuse_crossings
from generator.outline.distance import close_contours
from generator.outline.measure import area_within, box_of, measure_together
from generator.outline.narrow import necks
from generator.outline.pieces import frames
from generator.outline.reach import loses_nothing
from generator.outline.region import Region

BOX = rectangle(0.0, 0.0, 10.0, 6.0)
TWISTED = Contour.of([(0.0, 0.0), (10.0, 6.0), (10.0, 0.0), (0.0, 6.0)])
"""A bow tie: two of its sides cross."""


def test_what_crosses_is_refused_after_what_does_not():
    for _ in range(2):
        refuse_crossings([BOX], MODEL)
        with pytest.raises(OffsetError, match="wrong way round"):
            refuse_crossings([TWISTED], MODEL)
        with pytest.raises(OffsetError, match="overlaps itself"):
            refuse_crossings([BOX, circle((5.0, 3.0), 1.0)], MODEL)


def test_frames_are_those_of_the_contours_asked_for():
    outlines = [[BOX], [BOX, circle((20.0, 0.0), 2.0)], [circle((20.0, 0.0), 2.0), BOX], [circle((20.0, 0.0), 2.5)]]
    for contours in [*outlines, *outlines]:
        f, first = frames(contours)
        assert first.tolist() == np.cumsum([0, *map(len, contours)]).tolist()
        assert np.array_equal(f.start, np.concatenate([c.array[:, :2] for c in contours]))
        radii = [
            r for c in contours for r in ([0.0] * 4 if c == BOX else [abs(c.vertices[0].x - c.vertices[1].x) / 2] * 2)
        ]
        assert f.radius == pytest.approx(radii, abs=1e-12)


def test_contours_measured_together_are_each_measured_as_alone():
    drawn = [BOX, circle((20.0, 0.0), 2.0), TWISTED, Contour.of([(1.0, 2.0, 0.3), (4.0, 2.5, -0.2), (3.0, 7.0)])]
    together = [Contour(c.vertices) for c in drawn]
    measure_together(together)
    assert [(c.signed_area_mm2, c.box) for c in together] == [
        (area_within(c.array), box_of(c.array)) for c in (Contour(c.vertices) for c in drawn)
    ]
    assert [c.signed_area_mm2 for c in together[:2]] == pytest.approx([60.0, 4.0 * pi])
    assert together[1].box == pytest.approx((18.0, -2.0, 22.0, 2.0))


def test_what_is_not_finite_is_left_to_whoever_asks():
    measure_together([BOX, Contour.of([(0.0, 0.0), (float("nan"), 1.0), (1.0, 1.0)])])
    measure_together([])


def test_narrow_places_are_those_of_the_region_and_the_limit():
    """A bar as wide as it is told, with a neck half as wide."""
    for _ in range(2):
        for wide in (2.0, 3.0):
            bar = union(
                *(Region((rectangle(x, -w / 2, x + 9.0, w / 2),)) for x, w in ((0, wide), (8, wide / 2), (16, wide)))
            )
            assert [n.width_mm for n in necks(bar, wide - 0.1)] == pytest.approx([wide / 2])
            assert necks(bar, wide / 2 - 0.1) == ()
            assert (loses_nothing(bar, 0.1), loses_nothing(bar, wide / 2)) == (False, False)
            round_ = Region((circle((0.0, 0.0), wide),))
            assert [loses_nothing(round_, r) for r in (wide / 2, wide, wide + 0.1)] == [True, True, False]


def test_contours_are_close_within_the_distance_asked_for():
    pair = Region((BOX, rectangle(10.5, 0.0, 12.0, 6.0)))
    for _ in range(2):
        assert [close_contours(pair, d) for d in (0.4, 0.6)] == [(), ((0, 1),)]


def test_circles_are_those_asked_for():
    """Also 0 and -0, which are equal and written differently."""
    asked = [(0.0, 0.0, 1.0), (-0.0, 0.0, 1.0), (0.0, -0.0, 1.0), (0.0, 0.0, 2.0), (1.0, 0.0, 1.0)]
    for x, y, r in (*asked, *asked):
        first, second = circle((x, y), r).vertices
        assert (
            repr((first, second))
            == f"(Vertex(x={x - r!r}, y={y!r}, bulge=1.0), Vertex(x={x + r!r}, y={y!r}, bulge=1.0))"
        )


def test_regions_of_equal_contours_are_equal_and_hash_alike():
    one, other = (Region((rectangle(0.0, 0.0, w, 2.0),)) for w in (3.0, 3.0))
    assert one == other
    assert hash(one) == hash(other)
    assert one != Region((rectangle(0.0, 0.0, 4.0, 2.0),))
