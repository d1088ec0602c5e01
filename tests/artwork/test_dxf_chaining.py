"""Outlines of a DXF file taken to pieces: whatever their order, direction and small gaps, they come together again."""

from __future__ import annotations

import io
from math import atan, cos, hypot, pi, sin, tan

import ezdxf
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.artwork.dxf import outline_from_dxf, read_dxf
from generator.base.errors import GeometryError
from generator.outline.contour import Contour, Segment
from generator.outline.distance import points_distance
from generator.outline.measure import area, bounds, length


def written(draw) -> bytes:
    doc = ezdxf.new("R2010")
    doc.header["$INSUNITS"] = 4
    draw(doc.modelspace())
    out = io.StringIO()
    doc.write(out)
    return out.getvalue().encode()


def star(radii: list[float], bulges: list[float]) -> Contour:
    n = len(radii)
    return Contour.of(
        (r * cos(2 * pi * k / n), r * sin(2 * pi * k / n), b)
        for k, (r, b) in enumerate(zip(radii, bulges, strict=True))
    )


def drawn_segment(m, s: Segment, backwards: bool) -> None:
    """Draw a segment as LINE or ARC; an ARC knows no direction."""
    if not s.is_arc:
        a, b = (s.end, s.start) if backwards else (s.start, s.end)
        m.add_line(a, b)
        return
    c = s.centre
    ends = [np.degrees(np.arctan2(p.y - c.y, p.x - c.x)) for p in (s.start, s.end)]
    m.add_arc(c, s.radius_mm, *(ends if s.sweep > 0 else ends[::-1]))


stars = st.integers(3, 9).flatmap(
    lambda n: st.builds(
        star,
        st.lists(st.floats(20, 40), min_size=n, max_size=n),
        st.lists(st.sampled_from([0.0, 0.0, 0.2, -0.15]), min_size=n, max_size=n),
    )
)


@settings(max_examples=40, deadline=None)
@given(contour=stars, order=st.randoms(use_true_random=False), twice=st.integers(0, 3))
def test_pieces_in_any_order_direction_and_number(contour, order, twice):
    segments = list(contour.segments())
    pieces = segments + order.choices(segments, k=twice)
    order.shuffle(pieces)
    found = outline_from_dxf(written(lambda m: [drawn_segment(m, s, order.random() < 0.5) for s in pieces]))
    assert len(found) == 1
    assert len(found.contours[0]) == len(contour)
    assert area(found) == pytest.approx(area(contour), rel=1e-9)


@settings(max_examples=30, deadline=None)
@given(
    radii=st.lists(st.floats(20, 40), min_size=4, max_size=8),
    gap=st.sampled_from([0.01, 0.1]),
    share=st.floats(0.0, 0.95),
    way=st.floats(0, 2 * pi),
)
def test_gaps_up_to_the_one_stated_are_closed_and_wider_ones_named(radii, gap, share, way):
    contour = star(radii, [0.0] * len(radii))
    segments = list(contour.segments())
    first = segments[0].start
    for size, closes in ((share * gap, True), (gap * 1.05, False)):
        moved = (first.x + size * cos(way), first.y + size * sin(way))

        def draw(m, moved=moved):
            m.add_line(moved, segments[0].end)
            for s in segments[1:]:
                m.add_line(s.start, s.end)

        data = written(draw)
        if closes:
            assert area(outline_from_dxf(data, gap_mm=gap)) == pytest.approx(area(contour), abs=40 * gap)
            continue
        with pytest.raises(GeometryError, match="the outline is open: loose ends at") as told:
            outline_from_dxf(data, gap_mm=gap)
        assert f"({moved[0]:.4f}, {moved[1]:.4f})" in str(told.value)
        assert f"more than the gap of {gap:g} mm" in str(told.value)


def test_curves_drawn_twice_count_once():
    def draw(m):
        for _ in range(2):
            m.add_ellipse((0, 0), major_axis=(30, 0), ratio=0.5)
            m.add_spline().set_closed([(5, 0, 0), (0, 5, 0), (-5, 0, 0), (0, -5, 0)])

    found = outline_from_dxf(written(draw))
    assert len(found) == 2
    assert area(found) < pi * 30 * 15


@pytest.mark.parametrize("factor", [1.0, 12.0, 0.2])
def test_curves_stay_within_two_micrometres_at_any_size(factor):
    """Points of the arcs against the closed form of the ellipse, and of a Bézier curve evaluated by its polynomial."""
    rx, ry = 20.0, 6.0
    found = read_dxf(written(lambda m: m.add_ellipse((0, 0), major_axis=(rx, 0), ratio=ry / rx)), factor=factor).region
    t = np.linspace(0, 2 * np.pi, 2000)
    exact = factor * np.column_stack([rx * np.cos(t), ry * np.sin(t)])
    assert points_distance(found, exact).max() <= 2.05e-3
    controls = np.array([(-20, 0), (-10, 30), (15, -10), (20, 0)], float)

    def draw(m):
        m.add_open_spline([(x, y, 0) for x, y in controls], degree=3)
        m.add_lwpolyline([(-20, 0), (-20, -20), (20, -20), (20, 0)])

    found = read_dxf(written(draw), factor=factor).region
    u = np.linspace(0, 1, 2000)[:, None]
    a, b, c, d = controls
    exact = factor * ((1 - u) ** 3 * a + 3 * u * (1 - u) ** 2 * b + 3 * u**2 * (1 - u) * c + u**3 * d)
    assert points_distance(found, exact).max() <= 2.05e-3


def test_an_enlarged_file_is_enlarged_all_over():
    def draw(m):
        m.add_lwpolyline([(0, 0, 0), (40, 0, 0.5), (40, 30, 0), (0, 30, 0)], format="xyb", close=True)
        m.add_line((10, 10), (20, 10.005))
        m.add_arc((15, 10), 5, 0, 180)

    data = written(draw)
    one, three = read_dxf(data).region, read_dxf(data, factor=3.0).region
    assert area(three) == pytest.approx(9 * area(one), rel=1e-9)
    assert bounds(three) == pytest.approx([3 * v for v in bounds(one)], abs=1e-9)
    assert length(three) == pytest.approx(3 * length(one), rel=1e-9)


def test_an_arc_of_a_bulge_is_the_arc_of_its_sweep():
    """The DXF reference: the bulge is the tangent of a quarter of the angle."""
    sweep = 1.9

    def draw(m):
        m.add_lwpolyline([(0, 0, tan(sweep / 4)), (30, 0, 0)], format="xyb", close=True)

    found = outline_from_dxf(written(draw))
    r = 15 / sin(sweep / 2)
    assert area(found) == pytest.approx(r * r * (sweep - sin(sweep)) / 2, rel=1e-12)
    assert [4 * atan(v.bulge) for v in found.contours[0].vertices if v.bulge] == pytest.approx([sweep])
    assert hypot(bounds(found).width_mm - 30, bounds(found).height_mm - (r - r * cos(sweep / 2))) < 1e-9


# ------------------------------------------------------------------ lines that lie partly on another
@pytest.mark.parametrize(
    ("line", "told"),
    [
        (((10, 0), (30, 0)), r"from \(10.0000, 0.0000\) to \(30.0000, 0.0000\)"),
        (((0, 0), (15, 0)), r"from \(0.0000, 0.0000\) to \(15.0000, 0.0000\)"),
        (((40, 5), (40, 25)), r"from \(40.0000, 5.0000\) to \(40.0000, 20.0000\)"),
        (((0, 25), (0, -5)), r"from \(0.0000, 0.0000\) to \(0.0000, 20.0000\)"),
    ],
)
def test_a_line_that_lies_partly_on_another_is_told_as_that(line, told):
    corners = [(0, 0), (40, 0), (40, 20), (0, 20)]

    def draw(m):
        for a, b in zip(corners, [*corners[1:], corners[0]], strict=True):
            m.add_line(a, b)
        m.add_line(*line)

    with pytest.raises(GeometryError, match=rf"two lines lie on each other {told}: draw that stretch once"):
        read_dxf(written(draw))


def test_loose_ends_without_a_stretch_in_common_are_loose_ends():
    def draw(m):
        m.add_line((0, 0), (40, 0))
        m.add_line((40, 0), (60, 0))
        m.add_line((60, 0), (60, 20))

    with pytest.raises(GeometryError, match="loose ends"):
        read_dxf(written(draw))
