"""Faces of a plate in a photo, and short edges between arcs: against outlines that are known."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from generator.trace.planes import faces_of
from generator.trace.primitives import fitted
from generator.trace.runs import Row, loop_of
from generator.trace.segmenting import CORNER, DAMAGE, segment
from generator.trace.short_edges import line_between
from tests.scans.photo_camera import Camera, stand


def silhouette(camera: Camera, thickness: float):
    """Outline of a disc of radius 8 at (40, 10) as seen, a point every 0.5 mm: the hull of both faces' circles."""
    from scipy.spatial import ConvexHull

    turn = np.linspace(0, 2 * np.pi, 2000, endpoint=False)
    flat = np.column_stack([40 + 8 * np.cos(turn), 10 + 8 * np.sin(turn)])
    both = np.vstack([camera.pixel(np.column_stack([flat, np.full(len(flat), z)])) for z in (0.0, thickness)])
    hull = both[ConvexHull(both).vertices]
    closed = np.vstack([hull, hull[:1]])
    length = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    s = np.linspace(0, length[-1], 101)[:-1]
    return np.column_stack([np.interp(s, length, closed[:, i]) for i in (0, 1)])


@pytest.mark.parametrize("thickness", [1.0, 3.0])
def test_points_of_an_upright_outline_are_left_out(thickness):
    """All that is kept lies on the disc's circle when put on its own face; what is left out would not."""
    turn, centre = stand((0.0, 0.0), 12.0, 200.0, 5.0, 160.0)
    camera = Camera(turn, centre, 2000.0, 0.0, 2800, 2100)
    pixels = silhouette(camera, thickness)
    looks = camera.looks(*pixels.T)
    on = [np.column_stack(camera.meets(looks, z)) for z in (0.0, 0.5 * thickness, thickness)]
    ahead = np.roll(on[1], -1, axis=0) - np.roll(on[1], 1, axis=0)
    normals = np.column_stack([ahead[:, 1], -ahead[:, 0]]) / np.hypot(*ahead.T)[:, None]
    if ((on[1] - on[1].mean(axis=0)) * normals).sum() < 0:
        normals = -normals
    faces = faces_of(on[1], normals, centre[:2], thickness / centre[2])
    placed = np.where(faces.top[:, None], on[2], on[0])
    off = np.abs(np.hypot(*(placed - (40, 10)).T) - 8.0)
    assert off[faces.kept].max() < 0.004
    assert 1 <= (~faces.kept).sum() <= 14, "two upright edges of t/H times 40 mm, and not much more"
    step = np.diff(np.unwrap(np.arctan2(*(placed[faces.kept] - (40, 10)).T)))
    assert (step > 0).all() or (step < 0).all(), "in order round the disc"


def row_of(pieces, spacing=0.48, sigma=0.005, seed=0):
    """Points of a closed outline: pieces are (centre, radius, from, to, side) or (start, end)."""
    rng = np.random.default_rng(seed)
    at, normal = [], []
    for piece in pieces:
        if len(piece) == 5:
            (x, y), r, a, b, side = piece
            t = np.radians(np.linspace(a, b, max(2, round(abs(np.radians(b - a)) * r / spacing)), endpoint=False))
            n = np.column_stack([np.cos(t), np.sin(t)])
            at.append(np.array([x, y]) + r * n)
            normal.append(side * n)
        else:
            p, q = np.array(piece[0], float), np.array(piece[1], float)
            count = max(2, round(np.hypot(*(q - p)) / spacing))
            at.append(p + (q - p) * np.linspace(0, 1, count, endpoint=False)[:, None])
            d = (q - p) / np.hypot(*(q - p))
            normal.append(np.tile([d[1], -d[0]], (count, 1)))
    points, normals = np.vstack(at), np.vstack(normal)
    points = points + normals * rng.normal(0, sigma, len(points))[:, None]
    return Row(points, normals, np.full(len(points), sigma), 0)


def stepped(length):
    """A plate with a step: a hollow arc of radius 4, a short straight edge, a round corner of radius 2."""
    top = 15.0 + 4.0 + length
    return [
        ((-30.0, 0.0), (33.0, 0.0)),
        ((33.0, 0.0), (33.0, 15.0)),
        ((33.0, 15.0), (9.0, 15.0)),
        ((9.0, 19.0), 4.0, 270.0, 180.0, -1),
        ((5.0, 19.0), (5.0, top)),
        ((3.0, top), 2.0, 0.0, 90.0, 1),
        ((3.0, top + 2.0), (-30.0, top + 2.0)),
        ((-30.0, top + 2.0), (-30.0, 0.0)),
    ]


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize(("length", "lines"), [(2.0, 6), (3.0, 6)])
def test_a_short_edge_between_two_arcs_is_found(length, lines, seed):
    row = row_of(stepped(length), seed=seed).weighed()
    kinds = [p.kind for p in loop_of(row, circle_first=False).primitives]
    assert kinds.count("arc") == 2
    assert kinds.count("line") == lines


@pytest.mark.parametrize("seed", range(6))
def test_arcs_that_touch_have_no_edge_between(seed):
    """An S of two arcs, radii 4 and 3, that touch at (5, 19)."""
    row = row_of([((9.0, 19.0), 4.0, 270.0, 180.0, -1), ((2.0, 19.0), 3.0, 0.0, 90.0, 1)], seed=seed)
    n = round(np.pi / 2 * 4.0 / 0.48)
    arcs = (np.arange(1, n), np.arange(n, len(row.points) - 1))
    one = np.ones(len(row.points))
    found = line_between(
        row.points, row.normals, 1.5 * row.sigma, arcs,
        lambda at: fitted("arc", row.points[at], row.normals[at], one[at], 0),
    )  # fmt: skip
    assert found is None


@pytest.mark.parametrize("seed", range(6))
def test_what_lies_between_two_arcs_may_be_their_own_ends(seed):
    """An edge of 2 mm between arcs of radii 4 and 2 whose last two points were left out."""
    pieces = [
        ((9.0, 19.0), 4.0, 270.0, 180.0, -1), ((5.0, 19.0), (5.0, 21.0)), ((3.0, 21.0), 2.0, 0.0, 90.0, 1),
    ]  # fmt: skip
    row = row_of(pieces, seed=seed)
    first, second = 13, 17  # the edge's first point and the one after its last
    arcs = (np.arange(1, first - 2), np.arange(second + 2, len(row.points)))
    one = np.ones(len(row.points))
    found = line_between(
        row.points, row.normals, 1.5 * row.sigma, arcs,
        lambda at: fitted("arc", row.points[at], row.normals[at], one[at], 0),
    )  # fmt: skip
    assert found is not None
    assert set(found.line) <= set(range(first - 1, second + 2))
    assert len(found.line) >= 3


def test_what_is_neither_line_nor_arc_stands_between_two_of_these():
    """Corners and chips are cheap: two of them in a row would pass for a short edge."""
    for seed in range(4):
        runs = segment(*(lambda r: (r.points, 1.5 * r.sigma))(row_of(stepped(2.0), seed=seed)))
        neither = [r.kind in (CORNER, DAMAGE) for r in runs]
        assert not any(a and b for a, b in pairwise(neither))
