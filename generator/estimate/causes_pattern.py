"""The pattern of bolt holes as it was cut against the one meant: one hole off, turned, scaled, or by chance."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import degrees, hypot
from typing import Final

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.base.units import LengthUnit
from generator.estimate.characteristic import Datum, Kind
from generator.estimate.measured_errors import DOUBT_MM, MARKED, Cause, MeasuredError

__all__ = ["pattern_causes"]

EXTENT_MM: Final = 5.0
"""Holes that lie closer along an axis than this do not tell its scale."""
EXPLAINS: Final = 0.5
"""A scale or turn is told if no more than this share of the errors is left without it (our own choice)."""
ALONE: Final = 0.2
"""One hole is off if the others are left with no more than this share of its error (our own choice)."""
ENOUGH: Final = 4
"""With fewer holes, the datum's own counted, those that are right cannot be told from the one that is not."""
DRILL: Final = "centre-drill before drilling, use a stub drill, or mill the hole round"


@frozen_record
class _Hole:
    """A hole: name, numbers, its place from the datum and its errors along x and y, mm; None where none is measured."""

    name: str
    numbers: tuple[int, ...]
    at: tuple[float, float]
    errors: tuple[float | None, float | None]
    allowed_mm: float = 0.0

    @property
    def off(self) -> tuple[float, float]:
        return self.errors[0] or 0.0, self.errors[1] or 0.0


@frozen_record
class _Fit:
    """How a pattern lies: shift, mm; turn, radians; what it is too long along x and y, as shares; what is left, mm."""

    shift: tuple[float, float]
    turn: float
    scales: tuple[float, float]
    squares: float
    most: float

    def at(self, h: _Hole) -> tuple[float, float]:
        """Return the errors that a hole has by shift and turn."""
        return self.shift[0] - self.turn * h.at[1], self.shift[1] + self.turn * h.at[0]


def pattern_causes(errors: Sequence[MeasuredError], datum: Datum, unit: LengthUnit) -> Iterator[Cause]:
    """Yield what the positions of bolt holes say: the simplest that explains them."""
    holes = _holes(errors)
    if not holes or not datum.feature:
        return
    limit = max(DOUBT_MM, MARKED * max(h.allowed_mm for h in holes))
    if all(hypot(*h.off) < limit for h in holes):
        return
    origin = _Hole(datum.what.removeprefix("centre of "), (), (0.0, 0.0), (0.0, 0.0))
    everything = [origin, *holes]
    told = tuple(_alone(everything, limit, unit)) or tuple(_scale_and_turn(everything, datum, limit, unit))
    yield from told
    if not told:
        worst = max(holes, key=lambda h: hypot(*h.off))
        says = f"the errors of the holes follow no scale and no turn; {worst.name} is off most, by "
        says += _by(*worst.off, unit)
        yield Cause("holes-wander", says, f"drills wander: {DRILL}", hypot(*worst.off), "mm", worst.numbers)


def _holes(errors: Sequence[MeasuredError]) -> list[_Hole]:
    found: dict[str, dict[Kind, MeasuredError]] = {}
    for e in errors:
        c = e.characteristic
        if c.kind in (Kind.POSITION_X, Kind.POSITION_Y) and c.feature.startswith("hole-"):
            found.setdefault(c.feature, {})[c.kind] = e
    out = []
    for feature, both in found.items():
        x, y = both.get(Kind.POSITION_X), both.get(Kind.POSITION_Y)
        at = x.characteristic.nominal_mm if x else 0.0, y.characteristic.nominal_mm if y else 0.0
        numbers = tuple(e.characteristic.number for e in both.values())
        allowed = max(e.characteristic.upper_mm - e.characteristic.nominal_mm for e in both.values())
        off = (x.mm if x else None, y.mm if y else None)
        out.append(_Hole(feature.removeprefix("hole-"), numbers, at, off, allowed))
    return out


def _fit(holes: Sequence[_Hole], *, scaled: bool) -> _Fit:
    """Return shift, turn and, if wanted, scales by least squares; turns are small enough for their sines."""
    spans = [_span(holes, k) >= EXTENT_MM and scaled for k in (0, 1)]
    rows, off = [], []
    for h in holes:
        for k, error in enumerate(h.errors):
            if error is not None:
                turn = h.at[0] if k else -h.at[1]
                scale = [h.at[k] if k == j and spans[j] else 0.0 for j in (0, 1)]
                rows.append([1.0 - k, float(k), turn, *scale])
                off.append(error)
    found = np.linalg.lstsq(np.array(rows), np.array(off), rcond=1e-9)[0]
    left = np.array(rows) @ found - np.array(off)
    dx, dy, turned, kx, ky = (float(v) for v in found)
    return _Fit((dx, dy), turned, (kx, ky), float(left @ left), float(np.max(np.abs(left))))


def _span(holes: Sequence[_Hole], k: int) -> float:
    places = [h.at[k] for h in holes]
    return max(places) - min(places)


def _alone(holes: Sequence[_Hole], limit: float, unit: LengthUnit) -> Iterator[Cause]:
    """Yield one hole that is off while the others lie to each other as they should; the datum's own is the first."""
    if len(holes) < ENOUGH or _fit(holes, scaled=False).most <= DOUBT_MM:
        return
    # the hole that the part was set straight by reads 0 where none is measured
    holes = [replace(h, errors=h.off) for h in holes]
    rests = [_fit([o for o in holes if o is not h], scaled=False) for h in holes]
    k = min(range(len(holes)), key=lambda i: rests[i].squares)
    hole, rest = holes[k], rests[k]
    meant = rest.at(hole)
    dx, dy = hole.off[0] - meant[0], hole.off[1] - meant[1]
    if hypot(dx, dy) < limit or rest.most > max(DOUBT_MM, ALONE * hypot(dx, dy)):
        return
    by, remedy = _by(dx, dy, unit), f"that hole wandered: {DRILL}"
    if k == 0:
        numbers = tuple(n for h in holes for n in h.numbers)
        says = f"all other holes are off alike: {hole.name} itself lies off by {by}"
        yield Cause("datum-hole", says, remedy, hypot(dx, dy), "mm", numbers)
        return
    says = f"{hole.name} alone is off, by {by}; the other holes lie to each other as they should"
    yield Cause("one-hole", says, remedy, hypot(dx, dy), "mm", hole.numbers)


def _scale_and_turn(holes: Sequence[_Hole], datum: Datum, limit: float, unit: LengthUnit) -> Iterator[Cause]:
    """Yield scale along each axis and turn, if together they explain most of the errors."""
    fit = _fit(holes, scaled=True)
    if fit.squares > EXPLAINS**2 * sum(hypot(*h.off) ** 2 for h in holes):
        return
    numbers = tuple(n for h in holes for n in h.numbers)
    reach = max(hypot(*h.at) for h in holes)
    if abs(fit.turn) * reach >= limit:
        yield _turned(holes, fit.turn, reach, datum, limit, unit, numbers)
    for k, axis in enumerate("xy"):
        share, span = fit.scales[k] * 100.0, _span(holes, k)
        if abs(fit.scales[k]) * span >= limit:
            by = unit.length(abs(fit.scales[k]) * span)
            says = f"the pattern of holes is {'long' if share > 0.0 else 'short'} along {axis} by {abs(share):.2f} %"
            says += f", {by} over {unit.length(span)}"
            scale = 1.0 + fit.scales[k]
            remedy = (
                f"axis {axis} of the machine moves {scale:.5f} times what it should: check its steps, screw and "
                f"backlash over a known length; until then scale {axis} in the program by {1.0 / scale:.5f}"
            )
            if len(holes) < ENOUGH:
                says += f"; or one hole alone is off: {len(holes)} holes do not tell which"
                remedy = f"measure a long size along {axis} that was milled: if it is off in proportion, {remedy}; "
                remedy += f"if it is right, a hole wandered: {DRILL}"
            yield Cause(f"scale-{axis}", says, remedy, share, "%", numbers)


def _turned(
    holes: Sequence[_Hole],
    turn: float,
    reach: float,
    datum: Datum,
    limit: float,
    unit: LengthUnit,
    numbers: tuple[int, ...],
) -> Cause:
    """Return a turned pattern; it looks the same where the hole is off that the part was set straight by."""
    angle = degrees(turn)
    says = f"the pattern of holes is turned by {abs(angle):.3f} degrees {'counter-' if angle > 0.0 else ''}clockwise"
    says += f", {unit.length(abs(turn) * reach)} at its farthest hole"
    remedy = (
        f"the blank lay turned in this setup: set it straight by dial gauge, to {unit.length(limit)} over "
        f"{unit.length(reach)}, or look for chips under dowels and stops; if the part was not set straight for "
        "measuring, measure again"
    )
    if datum.held is not None:
        name, kind = datum.held[0].removeprefix("hole-"), datum.held[1]
        hole = next((h for h in holes if h.name == name), None)
        if hole is not None:
            across = 0 if kind is Kind.POSITION_X else 1
            off = turn * hole.at[1] if across == 0 else -turn * hole.at[0]
            says += f"; or {name}, which the part is set straight by, lies off by {unit.length(off)}"
            says += f" along {'xy'[across]}"
            remedy = f"if the part was set straight by {name}, that hole wandered: {DRILL}. Else {remedy}"
    return Cause("turned", says, remedy, angle, "degrees", numbers)


def _by(dx: float, dy: float, unit: LengthUnit) -> str:
    return f"{unit.figure(dx)}, {unit.figure(dy)} {unit.suffix}"
