"""Pairs of segments that lie near, pruned by runs and boxes: against every pair looked at."""

from __future__ import annotations

from math import cos, pi, sin
from random import Random

import numpy as np
import pytest

from generator.outline import spans
from generator.outline.create import circle, polygon
from generator.outline.region import Region
from generator.outline.spans import BLOCK, box_gaps, near_pairs, spans_of


def scattered(chance: Random, count: int, corners: int, size: float) -> Region:
    def one() -> object:
        x, y, n = chance.uniform(0, size), chance.uniform(0, size), chance.randint(3, corners)
        turns = [2.0 * pi * k / n for k in range(n)]
        return polygon([(x + 2.0 * cos(t), y + 2.0 * sin(t)) for t in turns]) if n > 5 else circle((x, y), 1.5)

    return Region(tuple(one() for _ in range(count)))


@pytest.mark.parametrize("together", [1 << 18, 3_000])
@pytest.mark.parametrize("within", [0.0, 1e-3, 2.0])
@pytest.mark.parametrize(("count", "corners", "size"), [(3, 9, 9.0), (60, 20, 90.0), (3, 300, 9.0), (300, 6, 150.0)])
def test_no_near_pair_is_missed(count, corners, size, within, together, monkeypatch):
    chance = Random(count + corners)
    a, b = (spans_of(scattered(chance, count, corners, size)) for _ in range(2))
    monkeypatch.setattr(spans, "_AT_ONCE", together)
    for first, second in ((a, b), (a, a)):
        found = set(zip(*(rows.tolist() for rows in near_pairs(first, second, within)), strict=True))
        near = box_gaps(first.boxes[:, None, :], second.boxes[None, :, :]) <= within
        assert found == set(map(tuple, np.argwhere(near).tolist()))


def test_a_run_never_leaves_its_contour():
    """Contours lie in any order, so that a run over two of them could reach from one side of the plate to the other."""
    found = spans_of(scattered(Random(1), 50, 80, 500.0))
    ends = found.runs.first + found.runs.many
    assert (found.contour[found.runs.first] == found.contour[ends - 1]).all()
    assert found.runs.many.sum() == len(found)
    assert found.runs.many.max() <= BLOCK
