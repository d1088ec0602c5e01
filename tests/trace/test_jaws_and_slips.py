"""Readings: where jaws seat, what each kind is a function of, and slips that are found, named or left alone."""

from __future__ import annotations

from math import acos, cos, hypot, pi, radians, sin, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.outputs.footprint.told import slip_words
from generator.trace.advice import gradient_of
from generator.trace.bundle import fit
from generator.trace.primitives import ARC, CIRCLE, LINE, Primitive
from generator.trace.reading_equations import Joint, centre_distance, diameter, outside_width, over_holes
from generator.trace.slips import COVERAGE, Slip, control, gross, judged_again, worst
from generator.trace.unknowns import Known, Measured, Model, Points

BOSS, REACH = 8.0, 40.0


def keeper() -> tuple[Model, tuple[Joint, ...]]:
    """Two bosses with straight flanks, a stadium, and a hole in each."""
    flat = ((pi / 2, BOSS), (-pi / 2, BOSS))
    primitives = (
        Primitive(ARC, 1, (REACH / 2, 0.0, BOSS), 0),
        Primitive(LINE, 1, flat[0], 0),
        Primitive(ARC, 1, (-REACH / 2, 0.0, BOSS), 0),
        Primitive(LINE, 1, flat[1], 0),
        Primitive(CIRCLE, -1, (REACH / 2, 0.0, 3.0), 1),
        Primitive(CIRCLE, -1, (-REACH / 2, 0.0, 2.5), 2),
    )
    near = ((REACH / 2, BOSS), (-REACH / 2, BOSS), (-REACH / 2, -BOSS), (REACH / 2, -BOSS))
    joints = tuple(Joint((i - 1) % 4, i, near[i - 1], True) for i in range(4))
    return Model(primitives), joints


@pytest.mark.parametrize(("turned", "width"), [(0.0, REACH + 2 * BOSS), (90.0, 2 * BOSS)])
def test_jaws_seat_next_to_the_stated_direction(turned, width):
    model, joints = keeper()
    x = model.start()
    for off in (-2.0, 0.0, 1.5):
        m = outside_width(model, joints, x, radians(turned + off), width, 0.015)
        assert m.function(x) == pytest.approx(width, abs=1e-9)


@given(st.floats(1, 20), st.floats(1, 20), st.floats(25, 90), st.floats(-3, 3))
@settings(deadline=None, max_examples=25)
def test_over_two_bosses_as_by_hand(one, other, reach, turn):
    """Closed form: jaws over two circles lie along the line of centres, width = distance + both radii."""
    c, s = cos(turn), sin(turn)
    a, b = np.array([reach / 2 * c, reach / 2 * s]), np.array([-reach / 2 * c, -reach / 2 * s])
    lean = acos((other - one) / reach)  # normals of the flanks that touch both
    up, down = turn + lean, turn - lean
    flank = [(n, float(a @ [cos(n), sin(n)]) + one) for n in (up, down)]
    hull = Model(
        (
            Primitive(ARC, 1, (*a, one), 0),
            Primitive(LINE, 1, flank[0], 0),
            Primitive(ARC, 1, (*b, other), 0),
            Primitive(LINE, 1, flank[1], 0),
        )
    )
    ends = [
        (p + r * np.array([cos(n), sin(n)]))
        for p, r, n in ((a, one, down), (a, one, up), (b, other, up), (b, other, down))
    ]
    joints = tuple(Joint((i - 1) % 4, i, tuple(ends[i]), True) for i in range(4))
    x = hull.start()
    assert outside_width(hull, joints, x, turn, 1.0, 0.015).function(x) == pytest.approx(reach + one + other, abs=1e-6)


def barrel(radius: float, turn: float) -> tuple[Model, tuple[Joint, ...], float]:
    """Return a barrel that lies turned, its joints and its height: 60 by 24 mm, closed above and below by flat arcs."""
    rise = radius - sqrt(radius**2 - 30.0**2)
    deep = 12.0 + rise - radius

    def at(x: float, y: float) -> tuple[float, float]:
        return cos(turn) * x - sin(turn) * y, sin(turn) * x + cos(turn) * y

    model = Model(
        (
            Primitive(ARC, 1, (*at(0.0, deep), radius), 0),
            Primitive(LINE, 1, (turn + pi, 30.0), 0),
            Primitive(ARC, 1, (*at(0.0, -deep), radius), 0),
            Primitive(LINE, 1, (turn, 30.0), 0),
        )
    )
    near = (at(30.0, 12.0), at(-30.0, 12.0), at(-30.0, -12.0), at(30.0, -12.0))
    return model, tuple(Joint((i - 1) % 4, i, near[i], False) for i in range(4)), 24.0 + 2.0 * rise


@given(st.floats(31, 200), st.floats(-3, 3), st.floats(-2, 2))
@settings(deadline=None, max_examples=25)
def test_over_two_flat_arcs_whose_centres_lie_crossed(radius, turn, askew):
    """Height of a barrel by hand: 24 mm and the rise of both arcs over their chords of 60 mm, R - sqrt(R² - 30²)."""
    model, joints, height = barrel(radius, turn)
    x = model.start()
    m = outside_width(model, joints, x, turn + pi / 2 + radians(askew), height, 0.015)
    assert m.function(x) == pytest.approx(height, abs=1e-4)
    at = model.places()
    row = gradient_of(m, x)
    # larger radii with the same centres: wider by both; the upper centre moved up: wider by as much
    assert [row[at[i] + 2] for i in (0, 2)] == pytest.approx([1.0, 1.0], abs=1e-6)
    up = [cos(turn + pi / 2) * row[at[i]] + sin(turn + pi / 2) * row[at[i] + 1] for i in (0, 2)]
    assert up == pytest.approx([1.0, -1.0], abs=1e-3)


def test_over_a_barrel_of_even_width():
    """Both arcs of one circle: its diameter, whichever way the centres happen to lie."""
    radius = hypot(30.0, 12.0)
    model, joints, height = barrel(radius, 0.3)
    x = model.start()
    for k in (-1e-6, 0.0, 1e-6):
        x[model.places()[0]] += k
        assert outside_width(model, joints, x, 0.3 + pi / 2, 1.0, 0.015).function(x) == pytest.approx(height, abs=1e-5)


def test_readings_of_holes():
    model, _ = keeper()
    x = model.start()
    assert diameter(model, 4, 6.0, 0.01).function(x) == 6.0
    assert centre_distance(model, 4, 5, 40.0, 0.01).function(x) == REACH
    assert over_holes(model, 4, 5, True, 45.5, 0.01).function(x) == REACH + 5.5
    assert over_holes(model, 4, 5, False, 34.5, 0.01).function(x) == REACH - 5.5


def seen(model: Model, seed: int) -> Points:
    """Points on all primitives of the keeper, as a scanner with an error of 0.2 % along u sees them."""
    rng = np.random.default_rng(seed)
    at, angle, of = [], [], []
    for k, p in enumerate(model.primitives):
        if p.kind == LINE:
            t = np.linspace(-REACH / 2, REACH / 2, 60)
            points = np.column_stack([t, np.full_like(t, p.values[1] * np.sign(p.values[0]))])
            a = np.full(60, p.values[0])
        else:
            sweep = {0: (-pi / 2, pi / 2), 2: (pi / 2, 3 * pi / 2)}.get(k, (0.0, 2 * pi))
            t = np.linspace(*sweep, 60, endpoint=False)
            points = np.array(p.values[:2]) + p.values[2] * np.column_stack([np.cos(t), np.sin(t)])
            a = t if p.side > 0 else t + pi
        points = points + np.column_stack([np.cos(a), np.sin(a)]) * rng.normal(0.0, 0.004, (60, 1))
        at.append(points / np.array([1.002, 1.0]))
        angle.append(a)
        of.append(np.full(60, k))
    n = 60 * len(model.primitives)
    return Points(np.vstack(at), np.concatenate(angle), np.full(n, 0.004), np.concatenate(of), np.zeros(n, int))


def readings(model: Model, joints: tuple[Joint, ...], x: np.ndarray, seed: int, **wrong: float):
    rng = np.random.default_rng(seed)
    made = [
        ("hole", diameter(model, 4, 6.0, 0.015)),
        ("centres", centre_distance(model, 4, 5, REACH, 0.015)),
        ("over", over_holes(model, 4, 5, True, REACH + 5.5, 0.015)),
        ("long", outside_width(model, joints, x, 0.0, REACH + 2 * BOSS, 0.015)),
        ("across", outside_width(model, joints, x, pi / 2, 2 * BOSS, 0.015)),
    ]
    out = []
    for name, m in made:
        value = wrong.get(name, m.value + float(np.clip(rng.normal(0.0, 0.015), -0.04, 0.04)))
        out.append(type(m)(m.of, m.function, value, m.sigma, name))
    return out


def test_scale_comes_from_the_readings():
    model, joints = keeper()
    x = model.start()
    found = fit(model, seen(model, 1), x, known=Known(), readings=readings(model, joints, x, 1))
    assert found.x[0] == pytest.approx(0.002, abs=4.0 * found.covariance[0, 0] ** 0.5)
    assert found.covariance[0, 0] ** 0.5 < 5e-4


@pytest.mark.parametrize("seed", range(12))
def test_no_good_reading_is_dropped(seed):
    model, joints = keeper()
    x = model.start()
    points = seen(model, seed)
    free = fit(model, points, x, known=Known())
    taken = readings(model, joints, x, seed)
    assert gross(taken, free) == []
    assert worst(taken, fit(model, points, x, known=Known(), readings=taken)) is None


@pytest.mark.parametrize(
    ("name", "value", "meant", "words"),
    [
        ("long", 65.0, 56.0, "two digits changed places"),
        ("centres", 1.575, 40.005, "read in inches"),
        ("over", 4.55, 45.5, "the decimal point is one place off"),
    ],
)
def test_a_gross_slip_is_named_with_what_was_meant(name, value, meant, words):
    model, joints = keeper()
    x = model.start()
    free = fit(model, seen(model, 3), x, known=Known())
    slips = gross(readings(model, joints, x, 3, **{name: value}), free)
    assert [(s.name, s.words) for s in slips] == [(name, words)]
    assert slips[0].probable == pytest.approx(meant, abs=0.01)


def test_a_small_slip_shows_where_another_reading_controls_it():
    model, joints = keeper()
    x = model.start()
    taken = readings(model, joints, x, 4, long=REACH + 2 * BOSS + 0.15)
    found = fit(model, seen(model, 4), x, known=Known(), readings=taken)
    slip = worst(taken, found)
    assert slip is not None
    assert slip.name == "long"
    assert control(taken[3], found) > 0.3


def test_a_reading_that_nothing_controls_says_so():
    model, joints = keeper()
    x = model.start()
    alone = [r for r in readings(model, joints, x, 5) if r.name == "centres"]
    found = fit(model, seen(model, 5), x, known=Known(scale=1.0, aspect=1.0), readings=alone)
    assert control(alone[0], found) < 0.1


def slip_by_the_others(value: float, name: str = "long"):
    """How a reading's slip is explained by the fit with all the others."""
    model, joints = keeper()
    x = model.start()
    points = seen(model, 3)
    taken = readings(model, joints, x, 3, **{name: value})
    free = fit(model, points, x, known=Known())
    first = {s.name: s for s in gross(taken, free)}
    while True:
        kept = [r for r in taken if r.name not in first]
        found = fit(model, points, x, known=Known(), readings=kept)
        more = worst(kept, found)
        if more is None:
            return judged_again(first, taken, found)[name]
        first[more.name] = more


@pytest.mark.parametrize("value", [65.0, 2.204, 5.6])
def test_a_plain_slip_is_mended_where_one_value_meant_lies_within_the_interval_told(value):
    slip = slip_by_the_others(value)
    assert slip.plain
    assert slip.probable == pytest.approx(REACH + 2 * BOSS, abs=0.02)
    assert abs(slip.probable - slip.expected) <= COVERAGE * slip.sigma
    assert slip_words(slip).endswith(f"{slip.probable:.2f} was used")


def test_a_value_outside_the_interval_told_is_never_used():
    # 56.31 read for 56.01: swapped digits give 56.13, which lies nearer than any other plain slip
    slip = slip_by_the_others(56.31)
    assert not slip.plain
    assert slip.probable == pytest.approx(56.01)
    assert slip.words == "one digit is wrong"
    assert slip_words(slip).endswith("one digit is wrong; 56.01? It was not used")


def test_a_value_that_nothing_explains_within_the_interval_is_left_out():
    slip = slip_by_the_others(56.13)
    assert not slip.plain
    assert slip_words(slip).endswith("was not used")


def test_several_values_that_may_have_been_meant_are_offered_and_none_is_used():
    words = slip_words(Slip("m4", 56.31, 56.05, 0.05, 56.13, "two digits changed places", False, ((56.01, "a digit"),)))
    assert words.endswith("expected: 56.13 (two digits changed places) or 56.01 (a digit)? It was not used")


def test_two_values_within_the_interval_are_not_decided_between():
    model, _ = keeper()
    m = diameter(model, 4, 6.31, 0.06)
    wide = Measured(m.of, lambda x: 6.05, 6.31, 0.06, "hole")  # swapped 6.13, one digit off 6.01: both within 0.12
    free = fit(model, seen(model, 3), model.start(), known=Known())
    slip = judged_again({"hole": Slip("hole", 6.31, 6.05, 0.06, None, "")}, [wide], free)["hole"]
    assert not slip.plain
    assert {slip.probable, *(v for v, _ in slip.others)} >= {6.13, 6.01}
