"""Whatever paths and transforms a drawing holds: its region against fine facets that share no code with it."""

from __future__ import annotations

from itertools import pairwise
from math import cos, hypot, pi, radians, sin

import numpy as np
import pyclipr
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from generator.outline.measure import area, length
from generator.outline.predicates import explain_contour
from tests.artwork.svg_files import region
from tests.oracles.fine_facets import signed_area

SCALE = 1e5
FINE = 400


def clipped(polygons: list[np.ndarray], rule) -> float:
    """Return the area that the polygons enclose by a fill rule."""
    engine = pyclipr.Clipper()
    engine.scaleFactor = SCALE
    engine.addPaths(polygons, pyclipr.Subject)
    return sum(signed_area(np.asarray(p)) for p in engine.execute(pyclipr.Union, rule) if len(p) > 2)


coordinate = st.integers(-400, 400).map(lambda n: n / 10)
point = st.tuples(coordinate, coordinate)


@st.composite
def curves(draw):
    """Return path data of lines and Bézier curves, and the same as fine polygons."""
    text, polygons = [], []
    for _ in range(draw(st.integers(1, 2))):
        at = start = draw(point)
        text.append(f"M{at[0]} {at[1]}")
        dense = [at]
        for _ in range(draw(st.integers(1, 4))):
            kind = draw(st.sampled_from("LQC"))
            more = [draw(point) for _ in range({"L": 1, "Q": 2, "C": 3}[kind])]
            text.append(kind + " ".join(f"{x},{y}" for x, y in more))
            dense += bezier([at, *more])
            at = more[-1]
        text.append("z")
        dense.append(start)
        polygons.append(np.array(dense))
    return "".join(text), polygons


def bezier(controls: list[tuple[float, float]]) -> list[tuple[float, float]]:
    t = np.linspace(0, 1, FINE + 1)[1:, None]
    rows = [np.broadcast_to(np.array(c), (FINE, 2)) for c in controls]
    while len(rows) > 1:
        rows = [(1 - t) * a + t * b for a, b in pairwise(rows)]
    return [(float(x), float(y)) for x, y in rows[0]]


@settings(max_examples=50, deadline=None)
@given(
    drawn=curves(),
    rule=st.sampled_from(["evenodd", "nonzero"]),
    turn=st.integers(-180, 180),
    sx=st.sampled_from([1.0, 0.5, -1.0, 2.0]),
    skew=st.sampled_from([0, 20, -35]),
)
def test_filled_paths_under_transforms(drawn, rule, turn, sx, skew):
    d, polygons = drawn
    found = clipped(polygons, pyclipr.FillRule.EvenOdd if rule == "evenodd" else pyclipr.FillRule.NonZero)
    expected = abs(found) * abs(sx)  # a shear and a turn keep areas
    assume(expected > 5)
    body = f'<path transform="rotate({turn}) scale({sx} 1) skewX({skew})" fill-rule="{rule}" d="{d}"/>'
    ours = region(body)
    around = sum(float(np.hypot(*np.diff(p, axis=0).T).sum()) for p in polygons) * max(1.0, abs(sx)) * 2
    assert area(ours) == pytest.approx(expected, abs=4e-3 * around)
    assert all(explain_contour(c) is None for c in ours)


@settings(max_examples=40, deadline=None)
@given(
    points=st.lists(point, min_size=2, max_size=6),
    width=st.sampled_from([0.5, 2.0, 7.0]),
    join=st.sampled_from(["round", "bevel"]),
    cap=st.sampled_from(["butt", "round", "square"]),
)
def test_stroked_polylines(points, width, join, cap):
    """Rectangles, and discs or triangles at the corners, united by an independent clipper."""
    kept = [p for p, q in zip(points, [*points[1:], None], strict=True) if p != q]
    assume(len(kept) > 1)
    h, polygons = width / 2, []
    ways = [((q[0] - p[0]) / hypot(q[0] - p[0], q[1] - p[1]), (q[1] - p[1]) / hypot(q[0] - p[0], q[1] - p[1]))
            for p, q in pairwise(kept)]  # fmt: skip
    for k, (p, q) in enumerate(pairwise(kept)):
        (ux, uy), extra = ways[k], h if cap == "square" else 0.0
        a = extra if k == 0 else 0.0
        b = extra if k == len(ways) - 1 else 0.0
        polygons.append(box((p[0] - a * ux, p[1] - a * uy), (q[0] + b * ux, q[1] + b * uy), (ux, uy), h))
    for k, corner in enumerate(kept):
        inner = 0 < k < len(kept) - 1
        if (inner and join == "round") or (not inner and cap == "round"):
            polygons.append(disc(corner, h))
        elif inner:
            (ux, uy), (vx, vy) = ways[k - 1], ways[k]
            for s in (h, -h):
                triangle = np.array(
                    [corner, (corner[0] + s * uy, corner[1] - s * ux), (corner[0] + s * vy, corner[1] - s * vx)]
                )
                if (ux * vy - uy * vx) * s > 0:
                    polygons.append(triangle)
    ccw = [p if signed_area(p) > 0 else p[::-1] for p in polygons if abs(signed_area(p)) > 1e-12]
    expected = clipped(ccw, pyclipr.FillRule.NonZero)
    data = " ".join(f"{x},{y}" for x, y in kept)
    ours = region(
        f'<polyline points="{data}" fill="none" stroke="black" stroke-width="{width}" stroke-linejoin="{join}" '
        f'stroke-linecap="{cap}"/>'
    )
    assert area(ours) == pytest.approx(expected, abs=2e-3 * length(ours) + 1e-3)
    assert all(explain_contour(c) is None for c in ours)


def box(p, q, u, h) -> np.ndarray:
    n = (u[1] * h, -u[0] * h)
    return np.array(
        [(p[0] + n[0], p[1] + n[1]), (q[0] + n[0], q[1] + n[1]), (q[0] - n[0], q[1] - n[1]), (p[0] - n[0], p[1] - n[1])]
    )


def disc(c, r) -> np.ndarray:
    return np.array([(c[0] + r * cos(2 * pi * k / 600), c[1] + r * sin(2 * pi * k / 600)) for k in range(600)])


@settings(max_examples=60, deadline=None)
@given(
    rx=st.floats(0.5, 40), ry=st.floats(0.5, 40), tilt=st.integers(-180, 180), large=st.booleans(), sweep=st.booleans(),
    end=point, start=point,
)  # fmt: skip
def test_elliptic_arcs_end_where_they_should_and_have_the_right_area(rx, ry, tilt, large, sweep, start, end):
    """The region between arc and chord by its closed form: a segment of a circle, stretched."""
    assume(hypot(end[0] - start[0], end[1] - start[1]) > 0.5)
    c, s = cos(radians(tilt)), sin(radians(tilt))
    dx, dy = end[0] - start[0], end[1] - start[1]
    half = hypot((c * dx + s * dy) / rx, (c * dy - s * dx) / ry) / 2
    grown = max(1.0, half)
    angle = 2 * np.arcsin(min(1.0, half / grown))
    if large:
        angle = 2 * pi - angle
    expected = rx * ry * grown**2 * (angle - np.sin(angle)) / 2
    assume(expected > 0.05)
    ours = region(f'<path d="M{start[0]} {start[1]}A{rx!r} {ry!r} {tilt} {large:d} {sweep:d} {end[0]} {end[1]}z"/>')
    assert area(ours) == pytest.approx(expected, abs=2.5e-3 * length(ours))
