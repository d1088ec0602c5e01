"""Cutting of closed rows of points into lines and arcs: counts that were drawn, noise told, damage left out."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.trace.runs import Row, loop_of
from generator.trace.segmenting import ARC, LINE, noise, segment


def rounded_box(width, height, radius, spacing=0.5):
    """Points round a box with round corners, counter-clockwise, and outward normals."""
    w, h, points, normals = width / 2 - radius, height / 2 - radius, [], []
    for k, (cx, cy) in enumerate(((w, h), (-w, h), (-w, -h), (w, -h))):
        n = max(3, round(radius * np.pi / 2 / spacing))
        a = (np.arange(n) + 0.5) / n * np.pi / 2 + k * np.pi / 2
        e = np.column_stack([np.cos(a), np.sin(a)])
        points.append(np.array([cx, cy]) + radius * e)
        normals.append(e)
        side = (2 * w, 2 * h)[k % 2]
        m = max(3, round(side / spacing))
        along = (np.arange(m) + 0.5) / m * side
        turn = (k + 1) * np.pi / 2
        out = np.array([np.cos(turn), np.sin(turn)])
        way = np.array([-out[1], out[0]])
        points.append(np.array([cx, cy]) + radius * out + along[:, None] * way)
        normals.append(np.tile(out, (m, 1)))
    return np.vstack(points), np.vstack(normals)


@settings(deadline=None, max_examples=15)
@given(
    st.floats(20, 90),
    st.floats(20, 60),
    st.floats(3, 9),
    st.floats(0.002, 0.012),
    st.integers(0, 2**31),
    st.floats(0, 6),
)
def test_a_rounded_box_has_four_lines_and_four_arcs(width, height, radius, sigma, seed, turn):
    points, normals = rounded_box(width, height, radius)
    r = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    points, normals = points @ r.T, normals @ r.T
    rng = np.random.default_rng(seed)
    points = points + normals * rng.normal(0.0, sigma, (len(points), 1))
    loop = loop_of(Row(points, normals, np.full(len(points), sigma), 0).weighed(), circle_first=False)
    kinds = sorted(p.kind for p in loop.primitives)
    assert kinds == ["arc"] * 4 + ["line"] * 4
    radii = [p.values[2] for p in loop.primitives if p.kind == "arc"]
    assert np.abs(np.array(radii) - radius).max() < 12.0 * sigma + 0.02 * radius


def test_noise_is_told_though_outlines_bend_and_have_corners():
    points, normals = rounded_box(60, 40, 5)
    points = points + normals * np.random.default_rng(2).normal(0.0, 0.01, (len(points), 1))
    assert noise(points, normals) == pytest.approx(0.01, rel=0.2)


def test_a_chip_is_left_out_and_its_edge_stays_one_line():
    points, normals = rounded_box(60, 40, 5)
    points = points + normals * np.random.default_rng(5).normal(0.0, 0.004, (len(points), 1))
    chipped = (np.abs(points[:, 0]) < 1.2) & (points[:, 1] > 19.0)
    bite = 0.6 * np.sqrt(np.maximum(0.0, 1.0 - (points[chipped, 0] / 1.2) ** 2))
    points[chipped] -= normals[chipped] * bite[:, None]
    loop = loop_of(Row(points, normals, np.full(len(points), 0.004), 0).weighed(), circle_first=False)
    assert sorted(p.kind for p in loop.primitives) == ["arc"] * 4 + ["line"] * 4
    assert set(np.flatnonzero(chipped)[1:-1]) <= set(loop.left_out)


def test_a_circle_is_one_arc_wherever_it_begins():
    a = np.arange(120) / 120 * 2 * np.pi
    points = np.column_stack([np.cos(a), np.sin(a)]) * 12.0
    for turn in (0, 37, 90):
        assert [r.kind for r in segment(np.roll(points, turn, axis=0), np.full(120, 0.005))] == [ARC]


def test_runs_take_every_point_once():
    points, _ = rounded_box(50, 30, 4)
    runs = segment(points, np.full(len(points), 0.005))
    taken = np.concatenate([r.indices(len(points)) for r in runs])
    assert sorted(taken) == list(range(len(points)))
    assert {r.kind for r in runs} <= {LINE, ARC, "corner", "damage"}


@pytest.mark.parametrize("count", [9, 14, 60])
def test_every_point_of_a_disc_is_on_it_or_left_out(count):
    a = np.linspace(0.0, 2.0 * np.pi, count, endpoint=False)
    normals = np.column_stack([np.cos(a), np.sin(a)])
    points = count / 12.0 * normals
    points[count // 2] *= 0.7  # a chip
    loop = loop_of(Row(points, normals, np.full(count, 0.01), 0), circle_first=False)
    told = np.concatenate([*loop.points, loop.left_out])
    assert sorted(set(told.tolist())) == list(range(count))
