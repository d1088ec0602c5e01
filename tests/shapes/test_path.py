"""Paths step by step: every way to say a step, and what is said when a step cannot be."""

from __future__ import annotations

from math import pi, sqrt

import pytest

from generator.base.errors import ContourError, GeometryError
from generator.outline.measure import area, bounds, length
from tests.shapes.recipe_form import drawn


def path(*steps, start=(0, 0), **more):
    return drawn({"path": {"start": list(start), "steps": list(steps), **more}})


SQUARE = ({"to": [20, 0]}, {"to": [20, 20]}, {"to": [0, 20]})
EVERY_WAY_TO_SAY_A_SQUARE = [
    SQUARE,
    (*SQUARE, {"to": [0, 0]}),
    ({"by": [20, 0]}, {"by": [0, 20]}, {"by": [-20, 0]}),
    ({"x": 20}, {"y": 20}, {"x": 0}),
    ({"length": 20, "direction": 0}, {"length": 20, "direction": 90}, {"length": 20, "direction": 180}),
    ({"length": 8, "direction": 0}, {"length": 12}, {"y": 20}, {"x": 0}),
    ({"y": 20}, {"x": 20}, {"y": 0}),
]


@pytest.mark.parametrize("steps", EVERY_WAY_TO_SAY_A_SQUARE)
def test_square(steps):
    region = path(*steps)
    assert area(region) == pytest.approx(400, abs=1e-12)
    assert bounds(region) == pytest.approx((0, 0, 20, 20), abs=1e-12)


D = [
    {"to": [20, 20], "through": [30, 10]},
    {"to": [20, 20], "radius": 10, "side": "left"},
    {"to": [20, 20], "tangent": True},
    {"to": [20, 20], "around": [20, 10], "side": "left"},
    {"around": [20, 10], "turn": 180},
    {"turn": 180, "radius": 10},
]


@pytest.mark.parametrize("arc", D)
def test_arc_bulging_out(arc):
    region = path({"to": [20, 0]}, arc, {"x": 0})
    assert area(region) == pytest.approx(400 + 50 * pi, rel=1e-12)
    assert length(region) == pytest.approx(60 + 10 * pi, rel=1e-12)


@pytest.mark.parametrize(
    "arc",
    [
        {"to": [20, 20], "through": [10, 10]},
        {"to": [20, 20], "radius": 10, "side": "right"},
        {"to": [20, 20], "around": [20, 10], "side": "right"},
        {"around": [20, 10], "turn": -180},
    ],
)
def test_arc_hollow(arc):
    assert area(path({"to": [20, 0]}, arc, {"x": 0})) == pytest.approx(400 - 50 * pi, rel=1e-12)


def test_long_way_round():
    """An arc of 270 degrees over the upper side of a square of 20."""
    r = 10 * sqrt(2)
    arc = {"to": [20, 20], "radius": r, "side": "left", "way": "long"}
    assert area(path({"to": [20, 0]}, arc, {"x": 0})) == pytest.approx(400 + 0.75 * pi * r * r + 100, rel=1e-12)


def test_closing_by_a_tangent_arc():
    region = path({"to": [20, 0]}, {"turn": 180, "radius": 10}, {"length": 20}, close="tangent")
    assert area(region) == pytest.approx(400 + 100 * pi, rel=1e-12)


def test_corners_rounded_and_cut_off():
    steps = ({"to": [20, 0], "round": 4}, {"to": [20, 20], "chamfer": 3}, {"to": [0, 20]})
    expected = 400 - (16 - 4 * pi) - 9 / 2
    assert area(path(*steps)) == pytest.approx(expected, rel=1e-12)
    expected -= 4 - pi
    assert area(path(*steps, round=2)) == pytest.approx(expected, rel=1e-12)
    assert area(path(*steps, {"to": [0, 0], "round": 2})) == pytest.approx(expected, rel=1e-12)


def test_half_outline_mirrored():
    half = {"path": {"start": [0, 0], "steps": [{"to": [30, 0]}, {"to": [30, 10]}, {"to": [10, 25]}, {"x": 0}]}}
    whole = drawn({**half, "mirror": "y"})
    assert area(whole) == pytest.approx(2 * area(drawn(half)), rel=1e-12)
    assert len(whole.contours[0]) == 6  # nothing is left of the seam


@pytest.mark.parametrize(
    ("steps", "says"),
    [
        (({},), "step 1: nothing says where it ends: give `to`"),
        (({"to": [1, 0], "by": [1, 0]},), "step 1: `to` and `by` together do not say where it ends"),
        (({"to": [1, 0], "x": 3},), "`to` and `x` together"),
        (({"direction": 30},), "`direction` together do not say"),
        (({"length": 5},), "needs something that came before"),
        (({"to": [0, 0]},), "ends where it begins"),
        (({"to": [5, 0], "through": [1, 1], "radius": 9},), "`through` and `radius` both say"),
        (({"to": [5, 0], "radius": 9},), "needs `side`: `left` or `right`"),
        (({"to": [5, 0], "radius": 2, "side": "left"},), "radius 2 is too small: at least 2.5"),
        (({"to": [5, 0], "side": "left"},), "`side` belongs to an arc"),
        (({"to": [5, 0], "tangent": True},), "needs something that came before"),
        (({"turn": 90},), "needs a `radius`"),
        (
            ({"to": [5, 0]}, {"turn": 90, "radius": 3, "to": [4, 4]}),
            "step 2: `to` does not go with `turn` and `radius`",
        ),
        (({"around": [0, 5]},), "needs `turn`"),
        (({"around": [0, 0], "turn": 90},), "is where the arc begins"),
        (({"around": [0, 5], "to": [7, 5], "side": "left"},), "lies 7 from it"),
        (({"to": [5, 0], "round": 1, "chamfer": 1},), "`round` and `chamfer`: give only one"),
        (({"to": [5, 0], "through": [2, 0]},), "encloses no area|nothing|sound|run"),
        (({"to": [5, 0], "chamfer": 6}, {"to": [5, 9]}), "does not fit on its edge: at most 5"),
        (({"to": [20, 0], "chamfer": 2}, {"turn": 90, "radius": 5}, {"x": 0}), "only the corner of two straight lines"),
    ],
)
def test_mistakes_say_what_to_do(steps, says):
    with pytest.raises(GeometryError, match=says) as told:
        path(*steps)
    assert told.value.path == "footprint.path"


def test_crossing_path_is_located():
    with pytest.raises(ContourError, match=r"crosses segment . at \(10, 10\)") as told:
        path({"to": [20, 20]}, {"to": [20, 0]}, {"to": [0, 20]})
    assert told.value.point_mm == pytest.approx((10, 10))
    assert told.value.segment >= 0


def test_radius_that_does_not_fit_says_which_would():
    with pytest.raises(GeometryError, match=r"radius 12 does not fit; at most 10"):
        path({"to": [20, 0], "round": 12}, {"to": [20, 20], "round": 10}, {"to": [0, 20]})
