"""Circle fits against published examples: Gander, Golub & Strebel 1994, the SciPy Cookbook, a course on geometry."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from skimage.measure import CircleModel

from generator.trace.circles import Circle, algebraic_circle, geometric_circle

TABLE = Path(__file__).parents[1] / "data" / "standards" / "circle_fit_examples.csv"


def rows(kind: str) -> list[tuple[str, np.ndarray, tuple[float, float, float], int]]:
    """Published points and answers of one kind of fit, with the decimals that the source prints."""
    out = []
    for row in csv.DictReader(TABLE.open(encoding="utf-8")):
        if row["method"].startswith(kind):
            points = np.array([[float(v) for v in re.findall(r"-?[\d.]+", p)] for p in row["points_xy"].split(";")])
            answer = (float(row["xc"]), float(row["yc"]), float(row["r"]))
            out.append((row["id"], points, answer, int(row["significant_decimals"])))
    return out


@pytest.mark.parametrize(
    ("name", "points", "answer", "decimals"), rows("geometric"), ids=lambda v: v if isinstance(v, str) else ""
)
def test_least_distances_as_published(name, points, answer, decimals):
    found = geometric_circle(points)
    # published solvers stop at slightly different points on the short arc (its note says 1e-4)
    assert found == pytest.approx(answer, abs=1.5 * 10.0**-decimals if name != "SCPY-arc" else 1.2e-4)


@pytest.mark.parametrize(
    ("name", "points", "answer", "decimals"),
    rows("linear least squares"),
    ids=lambda v: v if isinstance(v, str) else "",
)
def test_algebraic_centres_as_published(name, points, answer, decimals):
    found = algebraic_circle(points)
    assert found[:2] == pytest.approx(answer[:2], abs=1.5 * 10.0**-decimals)


@given(st.floats(-50, 50), st.floats(-50, 50), st.floats(0.5, 80), st.floats(0.5, 6.2), st.integers(0, 2**31))
def test_as_an_independent_library_fits_or_nearer(x, y, r, sweep, seed):
    rng = np.random.default_rng(seed)
    a = np.sort(rng.uniform(0.0, sweep, 60))
    points = np.column_stack([x + r * np.cos(a), y + r * np.sin(a)]) + rng.normal(0.0, 1e-3 * r, (60, 2))

    def cost(circle):
        return float(((np.hypot(points[:, 0] - circle[0], points[:, 1] - circle[1]) - circle[2]) ** 2).sum())

    own = geometric_circle(points)
    other = CircleModel.from_estimate(points)
    assert cost(own) <= cost((*other.center, other.radius)) * (1.0 + 1e-9) + 1e-18
    # from a start nearby the same
    assert cost(geometric_circle(points, None, Circle(x, y, r))) <= cost(own) * (1.0 + 1e-9) + 1e-18


def test_points_on_a_line_make_no_circle():
    with pytest.raises(ValueError, match="line"):
        geometric_circle(np.array([[0.0, 0.0], [1.0, 1.0], [2.0, 2.0], [3.0, 3.0]]))
