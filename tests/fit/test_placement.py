"""The best placement against an independent search with true rotations and true distances."""

from __future__ import annotations

from math import hypot, inf, pi

import numpy as np
import pytest
from fit_samples import DISC, NOTCHED, PLATE, fit_case, pin
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.fit.chance import draw
from generator.fit.placement import Pins, Walls, least_widening
from generator.outline.create import rectangle
from generator.outline.region import Region

SHAPES = {"plate": PLATE, "notched": NOTCHED, "disc": DISC}


def chords(region: Region, steps: int = 40) -> np.ndarray:
    """The outline as a fine polygon, by the angle of every arc: (n, 2)."""
    out = []
    for contour in region:
        for s in contour.segments():
            if not s.is_arc:
                out += [(s.start.x, s.start.y)]
                continue
            c, r, sweep = s.centre, s.radius_mm, s.sweep
            a = np.arctan2(s.start.y - c.y, s.start.x - c.x) + np.linspace(0.0, sweep, steps, endpoint=False)
            out += list(zip(c.x + r * np.cos(a), c.y + r * np.sin(a), strict=True))
    return np.array(out)


def reach(points: np.ndarray, polygon: np.ndarray) -> np.ndarray:
    """How far each point (..., 2) lies outside a polygon; 0 inside."""
    a, b = polygon, np.roll(polygon, -1, axis=0)
    p = points[..., None, :]
    d = b - a
    t = np.clip(((p - a) * d).sum(-1) / (d * d).sum(-1), 0.0, 1.0)
    far = np.sqrt(((p - a - t[..., None] * d) ** 2).sum(-1)).min(-1)
    up = (a[:, 1] <= p[..., 1]) != (b[:, 1] <= p[..., 1])
    cross = d[:, 0] * (p[..., 1] - a[:, 1]) - d[:, 1] * (p[..., 0] - a[:, 0])
    inside = (up & ((cross > 0.0) == (d[:, 1] > 0.0))).sum(-1) % 2 == 1
    return np.where(inside, 0.0, far)


def searched(case, pins: Pins, middle: tuple[float, float]) -> float:
    """The least widening of wall and bolts alike, by a grid that closes in on the best placement."""
    polygon = chords(case.footprint)
    at = np.array([p.at for p in case.pins])
    best, centre, half = inf, np.zeros(3), np.array([0.3, 0.3, 0.02])
    steps = np.stack(np.meshgrid(*[np.linspace(-1, 1, 5)] * 3, indexing="ij"), axis=-1).reshape(-1, 3)
    for _ in range(26):
        tries = centre + steps * half
        c, s = np.cos(tries[:, 2])[:, None], np.sin(tries[:, 2])[:, None]

        def moved(q, tries=tries, c=c, s=s):
            x, y = q[:, 0] - middle[0], q[:, 1] - middle[1]
            out = np.stack((c * x - s * y + middle[0], s * x + c * y + middle[1]), axis=-1)
            return out + tries[:, None, :2]

        wall = reach(moved(polygon[:: max(1, len(polygon) // 40)]), polygon).max(axis=1) - case.clearance_mm
        off = moved(at) - at + np.stack((pins.off_x[0], pins.off_y[0]), axis=-1)
        worst = np.maximum(wall, (np.hypot(off[..., 0], off[..., 1]) - pins.room[0]).max(axis=1))
        k = int(worst.argmin())
        if worst[k] < best:
            best, centre = worst[k], tries[k]
        else:
            half = half * 0.6
    return best


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("seed", range(3))
def test_as_good_as_an_independent_search(shape, seed):
    rng = np.random.default_rng(seed)
    case = fit_case(
        pin(*rng.uniform(-12, -5, 2), 0.02), pin(*rng.uniform(5, 12, 2), 0.03), pin(8, -10, 0.05),
        footprint=SHAPES[shape], clearance=0.08,
    )  # fmt: skip
    rooms = draw(case, range(1))
    off = rng.uniform(-0.2, 0.2, (2, 1, 3))
    pins = Pins(rooms.pins.levers, np.ones(3), off[0], off[1], rooms.pins.room)
    exact = searched(case, pins, rooms.middle)
    assert exact > -0.08  # the search knows nothing of room to spare beyond the clearance itself
    found = float(least_widening(rooms.walls, pins)[0])
    assert found == pytest.approx(exact, abs=0.001)  # directions 0.2 % of the way, square of the turn


def nothing(count: int = 1) -> Walls:
    return Walls(np.zeros((0, 3)), np.zeros(0), np.zeros((count, 0)))


def two(*off: tuple[float, float], room: float = 0.1, span: float = 10.0) -> Pins:
    levers = np.array([[0.0, -span], [0.0, span]]) / span
    x, y = (np.array([[p[i] for p in off]]) for i in (0, 1))
    return Pins(levers, np.ones(2), x, y, np.full((1, 2), room))


@settings(max_examples=60, deadline=None)
@given(st.lists(st.floats(-0.5, 0.5), min_size=4, max_size=4), st.floats(0.0, 0.3))
def test_two_bolts_lack_half_of_how_far_their_spans_differ(errors, room):
    """Bolts on a line along x: the part across is turned away, half the difference along is left."""
    a, b = (errors[0], errors[1]), (errors[2], errors[3])
    found = float(least_widening(nothing(), two(a, b, room=room))[0])
    assert found == pytest.approx(abs(a[0] - b[0]) / 2.0 - room, abs=1e-6)


def test_three_bolts_round_a_circle_that_all_err_outward():
    """A ring drilled too large by 0.2: no shift or turn helps, so 0.2 less the room is lacking."""
    angles = np.array([0.0, 2.0, 4.0]) * pi / 3.0
    out = np.column_stack((np.cos(angles), np.sin(angles)))
    pins = Pins(np.column_stack((-out[:, 1], out[:, 0])), np.ones(3), 0.2 * out[None, :, 0], 0.2 * out[None, :, 1],
                np.full((1, 3), 0.15))  # fmt: skip
    assert float(least_widening(nothing(), pins)[0]) == pytest.approx(0.05, abs=1e-6)


def test_a_plate_that_is_too_large_lacks_what_it_is_too_large_by():
    plate = Region((rectangle(-10.0, -5.0, 10.0, 5.0),))
    case = fit_case(footprint=plate, clearance=0.0)
    rooms = draw(case, range(1))
    shrunk = Walls(rooms.walls.rows, rooms.walls.weights, rooms.walls.room - 0.07)
    assert float(least_widening(shrunk, rooms.pins)[0]) == pytest.approx(0.07, rel=0.01)


def test_room_on_one_side_makes_up_for_the_other():
    """Too tight by 0.1 on the left, free by 0.3 on the right: shifted, 0.1 is left on either side."""
    case = fit_case(clearance=0.0)
    rooms = draw(case, range(1))
    left, right = rooms.walls.rows[:, 0] < -0.99, rooms.walls.rows[:, 0] > 0.99
    room = np.where(left, -0.1, np.where(right, 0.3, 0.5))[None, :]
    assert float(least_widening(Walls(rooms.walls.rows, rooms.walls.weights, room), rooms.pins)[0]) == pytest.approx(
        -0.1, abs=1e-3
    )


def test_what_no_widening_mends_is_infinite():
    """Two bolts that may not be widened, their spans apart by 0.6 with 0.1 of room each."""
    rooms = draw(fit_case(clearance=0.3), range(1))
    pins = two((-0.3, 0.0), (0.3, 0.0))
    fixed = Pins(pins.levers, np.zeros(2), pins.off_x, pins.off_y, pins.room)
    assert float(least_widening(rooms.walls, fixed)[0]) == inf
    assert hypot(0.3, 0.0) > 0.1


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 2**31))
def test_many_samples_at_once_are_as_each_alone(seed):
    rng = np.random.default_rng(seed)
    n, k, j = 7, 9, 3
    angles = rng.uniform(0, 2 * pi, k)
    walls = Walls(
        np.column_stack((np.cos(angles), np.sin(angles), rng.uniform(-1, 1, k))),
        np.ones(k),
        rng.uniform(-0.2, 0.4, (n, k)),
    )
    pins = Pins(rng.uniform(-1, 1, (j, 2)), np.ones(j), *rng.uniform(-0.3, 0.3, (2, n, j)), rng.uniform(0, 0.3, (n, j)))
    together = least_widening(walls, pins)
    for i in range(n):
        one = slice(i, i + 1)
        alone = least_widening(
            Walls(walls.rows, walls.weights, walls.room[one]),
            Pins(pins.levers, pins.weights, pins.off_x[one], pins.off_y[one], pins.room[one]),
        )
        assert together[i] == pytest.approx(alone[0], abs=1e-6)
