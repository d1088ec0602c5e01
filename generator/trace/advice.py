"""What one more reading would help most, and what the readings that there are cannot tell."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from itertools import combinations
from math import atan2, cos, degrees, pi, sin
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.recipe.model_caliper import CENTRES, DIAMETER, OVER_HOLES, WIDTH
from generator.trace.doubts import COVERAGE, freed
from generator.trace.footprint import Footprint
from generator.trace.pixels import direction_in_picture, pixels_of
from generator.trace.primitives import LINE, Primitive
from generator.trace.reading_equations import centre_distance, diameter, outside_width, over_holes
from generator.trace.tracing import Traced
from generator.trace.unknowns import Measured

Floats = NDArray[np.float64]

BEST: Final = 3
PLANNED: Final = 6
WORTH: Final = 0.93
"""A reading that leaves more than this share of the uncertainty is not worth the trouble (chosen)."""
LEAST_GAIN_MM: Final = 0.001
"""Nor is one that changes no figure that is told: they have three decimals."""


@frozen_record
class Wanted:
    """A reading that would help.

    Attributes:
        kind: as in a file of readings.
        numbers: of the features that the caliper is held between.
        holes: pixels in them, for kinds that name holes.
        direction_px_deg: of an outside width, in the first picture; None for others.
        direction: the same in the footprint's frame, rad.
        what: how a person would say it.
        before, after: 95 % uncertainty of the outline without and with it, mm.
        why: sentence on what it would do.
    """

    kind: str
    numbers: tuple[int, ...]
    holes: tuple[tuple[float, float], ...]
    direction_px_deg: float | None
    direction: float | None
    what: str
    before: float
    after: float
    why: str


class _Gauge:
    """Outline's mean variance, and that of lengths along x and y, under a covariance of the unknowns."""

    def __init__(self, traced: Traced, footprint: Footprint) -> None:
        model, x = traced.solved.layout.model, traced.solved.found.x
        along = footprint.along
        on = np.array([model.primitives[i].loop == 0 for i in along.of])
        rows = along.rows[on] @ freed(model, x, along)
        weight = along.weight[on] / along.weight[on].sum()
        self.form = rows.T @ (rows * weight[:, None])
        self.axes = [width_row(traced, footprint, turn) for turn in (0.0, pi / 2.0)]
        self.covariance = traced.solved.found.covariance
        self.outline = float(np.einsum("ij,ji->", self.form, self.covariance))

    def with_reading(self, gradient: Floats, sigma: float) -> tuple[float, tuple[float, float]]:
        """Return the outline's mean variance after one more reading, and the shares left of lengths along x and y."""
        moved = self.covariance @ gradient
        total = sigma**2 + float(gradient @ moved)
        after = self.outline - float(moved @ self.form @ moved) / total
        left = []
        for row in self.axes:
            before = float(row @ self.covariance @ row)
            left.append((max(before - float(row @ moved) ** 2 / total, 0.0) / max(before, 1e-30)) ** 0.5)
        return max(after, 0.0), (left[0], left[1])

    def take(self, gradient: Floats, sigma: float) -> None:
        """Have one more reading."""
        moved = self.covariance @ gradient
        total = sigma**2 + float(gradient @ moved)
        self.covariance = self.covariance - np.outer(moved, moved) / total
        self.outline = max(float(np.einsum("ij,ji->", self.form, self.covariance)), 0.0)


def width_row(traced: Traced, footprint: Footprint, direction: float) -> Floats:
    """Return the derivative of the outline's width along a direction (rad, in the footprint's frame) by the unknowns.

    It is taken between the two places along the outline that reach farthest.
    """
    turn = direction + footprint.placement.angle
    along = footprint.along
    on = np.flatnonzero(np.array([p.loop == 0 for p in traced.solved.layout.model.primitives])[along.of])
    reach = along.at[on] @ np.array([cos(turn), sin(turn)])
    row: Floats = along.rows[on[int(reach.argmax())]] + along.rows[on[int(reach.argmin())]]
    return row


def advice(
    traced: Traced, footprint: Footprint, taken: Sequence[Measured] = ()
) -> tuple[tuple[Wanted, ...], tuple[Wanted, ...]]:
    """Return the readings that would help most, the best first, and readings to take one after the other.

    Of the latter each is the one that helps most after those before it; there are none where nothing would help.

    Args:
        traced: the part.
        footprint: the same in its own frame.
        taken: readings that there are; those of the same features are not asked for again.
    """
    gauge = _Gauge(traced, footprint)
    candidates = list(_candidates(traced, footprint, traced.caliper.deviation))
    had = {m.of for m in taken}
    ranked = _ranked(traced, footprint, gauge, candidates, had)
    most = tuple(wanted for wanted, _ in ranked[:BEST])
    planned: list[Wanted] = []
    while ranked and len(planned) < PLANNED:
        best, (*_, m, gradient) = ranked[0]
        planned.append(best)
        had.add(m.of)
        gauge.take(gradient, traced.caliper.deviation)
        ranked = _ranked(traced, footprint, gauge, candidates, had)
    return most, tuple(planned)


def _ranked(
    traced: Traced,
    footprint: Footprint,
    gauge: _Gauge,
    candidates: Sequence[_Candidate],
    had: Collection[tuple[int, ...]],
) -> list[tuple[Wanted, _Candidate]]:
    """Return the readings that are worth while, the best first."""
    before = COVERAGE * gauge.outline**0.5
    found: dict[tuple[int, ...], tuple[Wanted, _Candidate]] = {}
    for candidate in candidates:
        kind, numbers, direction, m, gradient = candidate
        if m.of in had or m.of in found:
            continue
        variance, left = gauge.with_reading(gradient, traced.caliper.deviation)
        after = COVERAGE * variance**0.5
        if after > WORTH * before or before - after < LEAST_GAIN_MM:
            continue
        what = reading_words(kind, numbers, direction, footprint)
        holes = tuple(_pixel(traced, n) for n in numbers) if kind != WIDTH else ()
        turn = None
        if direction is not None:
            turn = direction_in_picture(traced, direction + footprint.placement.angle)
        why = _why(before, after, left)
        found[m.of] = Wanted(kind, numbers, holes, turn, direction, what, before, after, why), candidate
    return sorted(found.values(), key=lambda w: (round(w[0].after, 6), w[0].kind, w[0].numbers))


def gradient_of(m: Measured, x: Floats) -> Floats:
    """Return the derivative of what a reading measures by every unknown."""
    row = np.zeros(len(x))
    for at in m.of:
        ahead, behind = x.copy(), x.copy()
        ahead[at] += 1e-6
        behind[at] -= 1e-6
        row[at] = (m.function(ahead) - m.function(behind)) / 2e-6
    return row


_Candidate = tuple[str, tuple[int, ...], float | None, Measured, Floats]


def _candidates(traced: Traced, footprint: Footprint, sigma: float) -> Iterator[_Candidate]:
    """Yield readings that a person could take.

    Of each its kind, the features' numbers, its direction in the footprint's frame, what it says, and the derivative
    of that by the unknowns.
    """
    x = traced.solved.found.x
    for kind, numbers, direction, m in _possible(traced, footprint, sigma):
        yield kind, numbers, direction, m, gradient_of(m, x)


def _possible(
    traced: Traced, footprint: Footprint, sigma: float
) -> Iterator[tuple[str, tuple[int, ...], float | None, Measured]]:
    solved = traced.solved
    model, x = solved.layout.model, solved.found.x
    for direction in _directions(footprint):
        try:
            m = outside_width(model, solved.joints[0], x, direction + footprint.placement.angle, 0.0, sigma)
        except GeometryError:
            continue
        yield WIDTH, touched(traced, m), direction, m
    for n in footprint.holes:
        yield DIAMETER, (n,), None, diameter(model, n - 1, 0.0, sigma)
    for a, b in combinations(footprint.holes, 2):
        yield CENTRES, (a, b), None, centre_distance(model, a - 1, b - 1, 0.0, sigma)
        yield OVER_HOLES, (a, b), None, over_holes(model, a - 1, b - 1, True, 0.0, sigma)


def _directions(footprint: Footprint) -> list[float]:
    """Return directions along which a width can be read: both axes, across straight edges, over pairs of bosses."""
    wanted_ones = [0.0, pi / 2.0]
    outline = [footprint.feature(n).primitive for n in footprint.outline]
    wanted_ones += [p.values[0] for p in outline if p.kind == LINE]
    bosses = [p for p in outline if p.kind != LINE and p.side > 0]
    for p, q in combinations(bosses, 2):
        dx, dy = q.values[0] - p.values[0], q.values[1] - p.values[1]
        if dx * dx + dy * dy > 1.0:
            wanted_ones.append(atan2(dy, dx))
    out: list[float] = []
    for d in wanted_ones:
        if all(abs(sin(d - other)) > 0.02 for other in out):
            out.append(d)
    return out


def touched(traced: Traced, m: Measured) -> tuple[int, ...]:
    """Return the numbers of the features that a reading concerns."""
    model = traced.solved.layout.model
    places = model.places()
    return tuple(
        i + 1
        for i, (p, at) in enumerate(zip(model.primitives, places, strict=True))
        if any(at <= k < at + p.size for k in m.of)
    )


def _pixel(traced: Traced, number: int) -> tuple[float, float]:
    u, v = pixels_of(traced, np.array([traced.solved.primitives[number - 1].values[:2]]))[0]
    return round(float(u), 1), round(float(v), 1)


def reading_words(kind: str, numbers: tuple[int, ...], direction: float | None, footprint: Footprint) -> str:
    """Return a reading as a person would say it."""
    if kind == DIAMETER:
        return f"the diameter of hole {numbers[0]}"
    if kind == CENTRES:
        return f"the centre distance of holes {numbers[0]} and {numbers[1]}"
    if kind == OVER_HOLES:
        return f"over holes {numbers[0]} and {numbers[1]}, far edge to far edge"
    assert direction is not None
    along = direction_words(direction)
    touched = [footprint.feature(n).primitive for n in numbers]
    if len(numbers) == 2 and all(p.kind == LINE for p in touched):
        return f"the width from edge {numbers[0]} to edge {numbers[1]}, {along}"
    if len(numbers) == 2 and all(p.kind != LINE and p.side > 0 for p in touched):
        noun = "bosses" if all(_is_boss(p, footprint) for p in touched) else "arcs"
        return f"the width over both {noun}, {numbers[0]} and {numbers[1]}, {along}"
    return f"the width over everything {along}"


def _is_boss(p: Primitive, footprint: Footprint) -> bool:
    """Tell whether an arc lies about a hole."""
    holes = [footprint.feature(n).primitive.values for n in footprint.holes]
    return any(abs(h[0] - p.values[0]) + abs(h[1] - p.values[1]) < 0.05 for h in holes)


def direction_words(direction: float) -> str:
    """Return a direction of the footprint's frame (rad) in words."""
    turn = degrees(direction) % 180.0
    if min(turn, 180.0 - turn) < 1.0:
        return "along x"
    if abs(turn - 90.0) < 1.0:
        return "along y"
    return f"along {turn:.0f}° from x"


def _why(before: float, after: float, left: tuple[float, float]) -> str:
    axes = [f"{axis} {_share(share)}" for axis, share in zip(("x", "y"), left, strict=True) if share < 0.8]
    lengths = f"; that of lengths along {' and '.join(axes)}" if axes else ""
    return f"the outline's uncertainty would fall from {before:.3f} to {after:.3f} mm{lengths}"


def _share(left: float) -> str:
    """Return in words to what share something falls."""
    for most, words in ((0.15, "nearly to nothing"), (0.28, "to a quarter"), (0.42, "to a third"), (0.58, "to a half")):
        if left <= most:
            return words
    return "to two thirds" if left <= 0.71 else "to three quarters"
