"""The similarity that fits best, against a published example and against another way of reckoning it."""

from __future__ import annotations

import csv
from math import atan2, cos, sin
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.formulas.similarity import similarity

EXAMPLES = Path(__file__).parents[1] / "data" / "similarity" / "examples.csv"


def points(text: str) -> list[tuple[float, float]]:
    return [tuple(float(v) for v in p.strip("()").split(",")) for p in text.split(";")]  # type: ignore[misc]


def rows() -> dict[str, dict[str, str]]:
    with EXAMPLES.open(encoding="utf-8", newline="") as file:
        return {row["id"]: row for row in csv.DictReader(file)}


def by_singular_values(source, target):
    """Umeyama's way with singular values and the correction against reflection; numpy does the work."""
    a, b = np.array(source), np.array(target)
    u, d, vt = np.linalg.svd((b - b.mean(0)).T @ (a - a.mean(0)) / len(a))
    s = np.diag([1.0, np.sign(np.linalg.det(u) * np.linalg.det(vt))])
    r = u @ s @ vt
    scale = np.trace(np.diag(d) @ s) / ((a - a.mean(0)) ** 2).sum(1).mean()
    shift = b.mean(0) - scale * r @ a.mean(0)
    left = ((b - (scale * (r @ a.T).T + shift)) ** 2).sum(1).mean()
    return atan2(r[1, 0], r[0, 0]), scale, shift, left


def test_the_example_of_the_paper():
    row = rows()["UME91"]
    fit = similarity(points(row["source_points"]), points(row["target_points"]))
    assert (cos(fit.turn_rad), -sin(fit.turn_rad)) == pytest.approx((0.832050, 0.554700), abs=1e-6)
    assert fit.scale == pytest.approx(float(row["scale"]), abs=1e-5)
    assert fit.shift == pytest.approx((float(row["tx"]), float(row["ty"])), abs=1e-9)
    assert fit.mean_square == pytest.approx(float(row["mean_sq_residual"]), abs=1e-6)


def test_a_mirrored_set_is_not_fitted_by_mirroring():
    row = rows()["SCPY-PRO"]
    a, b = points(row["source_points"]), points(row["target_points"])
    fit = similarity(a, b)
    assert fit.mean_square == pytest.approx(by_singular_values(a, b)[3], rel=1e-9)
    assert fit.mean_square > 0.1


coordinate = st.floats(-100, 100, allow_nan=False)


@given(
    st.lists(st.tuples(coordinate, coordinate), min_size=3, max_size=8),
    st.floats(-3, 3),
    st.floats(0.5, 2.0),
    st.lists(st.floats(-0.2, 0.2), min_size=16, max_size=16),
)
def test_random_sets_agree_with_singular_values(source, turn, scale, noise):
    if np.ptp(np.array(source), axis=0).max() < 5.0:
        return  # all in one place: neither turn nor scale
    c, s = scale * cos(turn), scale * sin(turn)
    target = [
        (c * x - s * y + 3 + noise[2 * k], s * x + c * y - 7 + noise[2 * k + 1]) for k, (x, y) in enumerate(source)
    ]
    fit = similarity(source, target)
    angle, k, shift, left = by_singular_values(source, target)
    assert (cos(fit.turn_rad), sin(fit.turn_rad)) == pytest.approx((cos(angle), sin(angle)), abs=1e-9)
    assert fit.scale == pytest.approx(k, rel=1e-9)
    assert fit.shift == pytest.approx(tuple(shift), abs=1e-6)
    assert fit.mean_square == pytest.approx(left, abs=1e-9)


def test_what_has_no_answer_is_refused():
    with pytest.raises(ValueError, match="two at least"):
        similarity([(0, 0)], [(0, 0)])
    with pytest.raises(ValueError, match="one place"):
        similarity([(1, 1), (1, 1)], [(0, 0), (1, 0)])
