"""A chip between two pieces of one feature is not taken for a feature; real small features stay."""

from __future__ import annotations

import numpy as np
import pytest

from generator.trace.healing import healed
from generator.trace.primitives import ARC, Primitive
from generator.trace.runs import Loop, Row, loop_of
from tests.trace.test_segmenting import rounded_box

SIGMA = 0.005


def box_with(bite: float, width: float, radius: float = 2.5, spacing: float = 0.5, seed: int = 3) -> Row:
    """A box with round corners, of which one has a chip in the middle of its arc."""
    points, normals = rounded_box(24, 18, radius, spacing)
    points = points + normals * np.random.default_rng(seed).normal(0.0, SIGMA, (len(points), 1))
    middle = np.array([12 - radius, 9 - radius]) + radius * np.sqrt(0.5)
    points[np.hypot(*(points - middle).T) < 0.5 * width] -= bite * np.sqrt(0.5)
    return Row(points, normals, np.full(len(points), SIGMA), 0)


def cut_in_three(row: Row, loop: Loop, number: int, inner: int = 2) -> Loop:
    """The loop with one arc cut in three, as a chip in it would."""
    taken = loop.points[number]
    k = (len(taken) - inner) // 2
    p = loop.primitives[number]
    small = Primitive(ARC, p.side, (*p.values[:2], 0.4 * p.values[2]), p.loop)
    pieces = [taken[:k], taken[k : k + inner], taken[k + inner :]]
    places = [tuple(map(float, row.points[i[-1]])) for i in pieces]
    return Loop(
        (*loop.primitives[:number], p, small, p, *loop.primitives[number + 1 :]),
        (*loop.points[:number], *pieces, *loop.points[number + 1 :]),
        (*loop.near[:number], places[0], places[1], loop.near[number], *loop.near[number + 1 :]),
        loop.left_out,
    )


def first_arc(loop: Loop) -> int:
    """An arc in the middle of the list."""
    return next(i for i, p in enumerate(loop.primitives) if p.kind == ARC and i > 1)


@pytest.mark.parametrize("spacing", [0.25, 0.5])
def test_an_arc_in_three_pieces_is_one_again(spacing):
    row = box_with(0.0, 0.0, spacing=spacing)
    loop = loop_of(row, circle_first=False)
    cut = cut_in_three(row, loop, first_arc(loop))
    assert len(cut.primitives) == len(loop.primitives) + 2
    again = healed(row, cut)
    assert sorted(p.kind for p in again.primitives) == ["arc"] * 4 + ["line"] * 4
    assert len(again.points) == len(again.near) == 8
    arcs = [p.values[2] for p in again.primitives if p.kind == ARC]
    assert np.abs(np.array(arcs) - 2.5).max() < 0.05


@pytest.mark.parametrize("radius", [2.5, 3.0, 4.0])
@pytest.mark.parametrize("bite", [0.2, 0.35])
def test_a_chip_in_a_small_corner_is_left_out(bite, radius):
    row = box_with(bite, 0.9, radius)
    again = healed(row, loop_of(row, circle_first=False))
    assert sorted(p.kind for p in again.primitives) == ["arc"] * 4 + ["line"] * 4
    off = np.hypot(*(row.points - (12 - radius, 9 - radius)).T) < radius - 0.5 * bite
    chipped = np.flatnonzero(off & (row.points > (12 - radius, 9 - radius)).all(axis=1))
    assert len(chipped)
    assert set(chipped) <= set(again.left_out)


@pytest.mark.parametrize("radius", [1.5, 2.5, 4.0])
def test_what_was_drawn_stays(radius):
    row = box_with(0.0, 0.0, radius)
    loop = loop_of(row, circle_first=False)
    assert healed(row, loop).primitives == loop.primitives


def hole_with(bite: float, bulge: float, radius: float = 3.3, spacing: float = 0.5) -> Row:
    """A hole with a chip and a burr beside each other."""
    n = round(2.0 * np.pi * radius / spacing)
    turn = 2.0 * np.pi * np.arange(n) / n
    out = np.column_stack([np.cos(turn), np.sin(turn)])
    off = np.random.default_rng(5).normal(0.0, SIGMA, n)
    off += np.where(np.abs(turn - 1.0) * radius < 0.9, bite, 0.0)  # metal missing: the hole is wider there
    off -= bulge * np.exp(-0.5 * ((turn - 1.6) * radius / 0.5) ** 2)
    return Row((radius + off)[:, None] * out, -out, np.full(n, SIGMA), 1)


@pytest.mark.parametrize(("bite", "bulge"), [(0.7, 0.27), (0.5, 0.0), (0.0, 0.3), (1.0, 0.3)])
def test_a_hole_with_a_chip_and_a_burr_is_one_circle(bite, bulge):
    row = hole_with(bite, bulge)
    (circle,) = healed(row, loop_of(row, circle_first=True)).primitives
    assert circle.kind == "circle"


def test_a_hole_with_a_flat_keeps_it():
    row = hole_with(0.0, 0.0)
    points = row.points.copy()
    points[:, 0] = np.minimum(points[:, 0], 2.9)  # a flat 3.1 mm long
    flat = Row(points, row.normals, row.sigma, 1)
    loop = loop_of(flat, circle_first=True)
    assert sorted(p.kind for p in loop.primitives) == ["arc", "line"]
    assert sorted(p.kind for p in healed(flat, loop).primitives) == ["arc", "line"]


def test_an_arc_that_a_chip_bent_is_the_round_corner_that_most_points_lie_on():
    """A chip takes four of nine points of a corner; the five others lie on one arc that touches both sides."""
    row = box_with(0.0, 0.0, 3.0)
    loop = loop_of(row, circle_first=False)
    k = first_arc(loop)
    taken = loop.points[k]
    points = row.points.copy()
    points[taken[:4]] -= 0.6 * row.normals[taken[:4]]
    bent = Row(points, row.normals, row.sigma, 0)
    wrong = Primitive(ARC, 1, (*np.add(loop.primitives[k].values[:2], 1.2), 1.15), 0)
    primitives = (*loop.primitives[:k], wrong, *loop.primitives[k + 1 :])
    again = healed(bent, Loop(primitives, loop.points, loop.near, loop.left_out))
    assert again.primitives[k].values[2] == pytest.approx(3.0, abs=0.1)
    assert set(taken[:4]) <= set(again.left_out)
