"""The pattern of bolt holes as it was cut against the one that was meant: scaled, turned, shifted, or by chance."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import cos, degrees, hypot, sin
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.units import LengthUnit
from generator.estimate.characteristic import Datum, Kind
from generator.estimate.measured_errors import DOUBT_MM, MARKED, Cause, MeasuredError
from generator.formulas.similarity import similarity

__all__ = ["pattern_causes"]

EXTENT_MM: Final = 5.0
"""Holes that lie closer along an axis than this do not tell its scale."""
EXPLAINS: Final = 0.5
"""A scale, turn or shift is told if no more than this share of the errors is left without it (our own choice)."""


@frozen_record
class _Hole:
    """A hole measured along both axes: name, numbers, where it should be and where it is, from the datum, mm."""

    name: str
    numbers: tuple[int, int]
    at: tuple[float, float]
    found: tuple[float, float]
    allowed_mm: float

    @property
    def error(self) -> tuple[float, float]:
        return self.found[0] - self.at[0], self.found[1] - self.at[1]


def pattern_causes(errors: Sequence[MeasuredError], datum: Datum, unit: LengthUnit) -> Iterator[Cause]:
    """Yield what the positions of bolt holes say."""
    holes = _holes(errors)
    if not holes or not datum.feature:
        return
    limit = max(DOUBT_MM, MARKED * max(h.allowed_mm for h in holes))
    if all(hypot(*h.error) < limit for h in holes):
        return
    numbers = tuple(n for h in holes for n in h.numbers)
    shifted = _shift(holes)
    if shifted and hypot(*shifted) >= limit:
        dx, dy = -shifted[0], -shifted[1]
        name = datum.what.removeprefix("centre of ")
        says = f"all other holes are off alike: {name} itself lies off by {_by(dx, dy, unit)}"
        remedy = "that hole wandered: centre-drill before drilling, or mill it round"
        yield Cause("datum-hole", says, remedy, hypot(dx, dy), "mm", numbers)
        return
    told = tuple(_scale_and_turn(holes, limit, unit, numbers))
    yield from told
    if not told:
        worst = max(holes, key=lambda h: hypot(*h.error))
        by = _by(*worst.error, unit)
        says = f"the errors of the holes follow no scale and no turn; {worst.name} is off most, by {by}"
        remedy = "drills wander: centre-drill first, use a stub drill, or mill the holes round"
        yield Cause("holes-wander", says, remedy, hypot(*worst.error), "mm", worst.numbers)


def _holes(errors: Sequence[MeasuredError]) -> list[_Hole]:
    along_x = {e.characteristic.feature: e for e in errors if e.characteristic.kind is Kind.POSITION_X}
    along_y = {e.characteristic.feature: e for e in errors if e.characteristic.kind is Kind.POSITION_Y}
    out = []
    for feature, x in along_x.items():
        y = along_y.get(feature)
        if y is None or not feature.startswith("hole-"):
            continue
        a, b = x.characteristic, y.characteristic
        at = a.nominal_mm, b.nominal_mm
        found = at[0] + x.mm, at[1] + y.mm
        out.append(_Hole(feature.removeprefix("hole-"), (a.number, b.number), at, found, a.upper_mm - a.nominal_mm))
    return out


def _shift(holes: Sequence[_Hole]) -> tuple[float, float] | None:
    """Return the error that all holes share, mm; None for fewer than three or where they differ."""
    if len(holes) < 3:
        return None
    dx = sum(h.error[0] for h in holes) / len(holes)
    dy = sum(h.error[1] for h in holes) / len(holes)
    left = sum(hypot(h.error[0] - dx, h.error[1] - dy) ** 2 for h in holes)
    return (dx, dy) if left <= (EXPLAINS * 0.5) ** 2 * sum(hypot(*h.error) ** 2 for h in holes) else None


def _scale_and_turn(
    holes: Sequence[_Hole], limit: float, unit: LengthUnit, numbers: tuple[int, ...]
) -> Iterator[Cause]:
    """Yield scale along each axis and turn, if together they explain most of the errors."""
    source = [(0.0, 0.0), *(h.at for h in holes)]
    fit = similarity(source, [(0.0, 0.0), *(h.found for h in holes)])
    c, s = cos(-fit.turn_rad), sin(-fit.turn_rad)
    back = [(c * x - s * y, s * x + c * y) for x, y in ((0.0, 0.0), *(h.found for h in holes))]
    scales = [_scale([p[k] for p in source], [p[k] for p in back]) for k in (0, 1)]
    left = 0.0
    for k, scale in enumerate(scales):
        mine, mine_back = [p[k] for p in source], [p[k] for p in back]
        mean, mean_back = sum(mine) / len(mine), sum(mine_back) / len(mine_back)
        left += sum((b - mean_back - (scale or 1.0) * (a - mean)) ** 2 for a, b in zip(mine, mine_back, strict=True))
    if left > EXPLAINS**2 * sum(hypot(*h.error) ** 2 for h in holes):
        return
    reach = max(hypot(*h.at) for h in holes)
    turned = abs(fit.turn_rad) * reach
    if turned >= limit:
        angle = degrees(fit.turn_rad)
        way = "counter-clockwise" if angle > 0.0 else "clockwise"
        says = f"the pattern of holes is turned by {abs(angle):.3f} degrees {way}"
        says += f", {unit.length(turned)} at its farthest hole"
        remedy = (
            f"the blank lay turned in this setup: set it straight by dial gauge, to {unit.length(limit)} over "
            f"{unit.length(reach)}, or look for chips under dowels and stops; if the part was not set straight for "
            "measuring, measure again"
        )
        yield Cause("turned", says, remedy, angle, "degrees", numbers)
    for k, axis in enumerate("xy"):
        scale, span = scales[k], max(p[k] for p in source) - min(p[k] for p in source)
        if scale is not None and abs(scale - 1.0) * span >= limit:
            share = (scale - 1.0) * 100.0
            says = f"the pattern of holes is {'long' if share > 0.0 else 'short'} along {axis} by {abs(share):.2f} %"
            says += f", {unit.length(abs(scale - 1.0) * span)} over {unit.length(span)}"
            remedy = (
                f"axis {axis} of the machine moves {scale:.5f} times what it should: check its steps, screw and "
                f"backlash over a known length; until then scale {axis} in the program by {1.0 / scale:.5f}"
            )
            yield Cause(f"scale-{axis}", says, remedy, share, "%", numbers)


def _scale(source: Sequence[float], target: Sequence[float]) -> float | None:
    """Return the scale of one axis by least squares; None where the holes do not spread along it."""
    if max(source) - min(source) < EXTENT_MM:
        return None
    a, b = sum(source) / len(source), sum(target) / len(target)
    over = sum((x - a) ** 2 for x in source)
    return sum((x - a) * (y - b) for x, y in zip(source, target, strict=True)) / over


def _by(dx: float, dy: float, unit: LengthUnit) -> str:
    return f"{unit.figure(dx)}, {unit.figure(dy)} {unit.suffix}"
