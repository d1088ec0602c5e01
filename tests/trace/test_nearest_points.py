"""Nearest points against a general-purpose library's tree."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.spatial import cKDTree

from generator.trace.nearest import nearest


@pytest.mark.parametrize(("count", "among"), [(1, 1), (7, 400), (900, 3), (3000, 500)])
def test_nearest_points_are_those_of_a_tree(count, among):
    rng = np.random.default_rng(count)
    points, there = rng.uniform(-80.0, 900.0, (count, 2)), rng.uniform(0.0, 820.0, (among, 2))
    away, at = nearest(points, there)
    expected, number = cKDTree(there).query(points)
    assert away == pytest.approx(expected, abs=1e-9)
    assert (at == number).all()
