"""How figures of a traced footprint are told: sizes with uncertainties, round values offered, relations, readings."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil, degrees, hypot, isfinite
from typing import Final

from generator.base.standards import CLEARANCE_HOLES
from generator.base.units import decimal
from generator.outline.contour import Point, Segment
from generator.outputs.footprint.account import Account
from generator.trace.doubts import COVERAGE
from generator.trace.footprint import Feature
from generator.trace.primitives import CIRCLE, LINE
from generator.trace.slips import Slip

__all__ = [
    "LARGEST_BOLT_MM",
    "cost_words",
    "feature_words",
    "given_up_lines",
    "length_of",
    "raised",
    "reading_lines",
    "round_value",
    "size",
    "slip_words",
    "thread_of",
    "wrapped_list",
]

STEPS_MM: Final = (10.0, 5.0, 2.0, 1.0, 0.5, 0.25, 0.1, 0.05)
INCHES: Final = ((25.4 / 2, "1/2"), (25.4 / 4, "1/4"), (25.4 / 8, "1/8"), (25.4 / 16, "1/16"))
SURE: Final = 5.0
"""Of steps that are this many half widths apart, one lies within by chance in two cases of five."""
LARGEST_BOLT_MM: Final = 14.6
"""Larger holes are taken for openings: coarse holes for M12 end at 14.5 (ISO 273)."""
NEAR_MM: Final = 0.06


def size(value: float, half: float) -> str:
    """Return a length with its 95 % uncertainty, and the round value that it may be: ``13.020 ± 0.021 (13?)``."""
    offered = round_value(value, half)
    return f"{value:.3f} ± {max(half, 0.0005):.3f}" + (f" ({offered}?)" if offered else "")


def round_value(value: float, half: float) -> str:
    """Return the roundest value within the uncertainty, empty if none is rounder than chance makes likely."""
    for step in STEPS_MM:
        near = round(value / step) * step
        if near > 0.0 and step >= SURE * half and abs(near - value) <= max(half, 0.002):
            return decimal(near, 3)
    for step, name in INCHES:
        count = round(value / step)
        if count > 0 and step >= 2.0 * SURE * half and abs(count * step - value) <= max(half, 0.002):
            return f"{decimal(count * step, 3)} = {count} × {name} in"
    return ""


def raised(value: float) -> float:
    """Return a length rounded up to a thousandth of a millimetre."""
    return ceil(value * 1000.0 - 1e-6) / 1000.0


def length_of(f: Feature) -> float:
    """Return the length of a feature's edge, mm."""
    s = Segment(Point(*f.start), Point(*f.end), f.bulge)
    return abs(s.sweep) * s.radius_mm if s.is_arc else s.chord_mm


def feature_words(f: Feature) -> str:
    """Return number, kind, size with uncertainty and misfit of a feature."""
    p = f.primitive
    misfit = f"misfit {f.off:.3f}" + (f", {100 * f.given_up:.0f} % damaged" if f.given_up > 0.005 else "")
    if p.kind == LINE:
        turn = degrees(p.values[0]) % 360.0
        long = hypot(f.end[0] - f.start[0], f.end[1] - f.start[1])
        return (
            f"{f.number}: line {long:.2f} long, faces {turn:.2f}°, {p.values[1]:.3f} ± {COVERAGE * f.doubt.edge:.3f} "
            f"from the origin; {misfit}"
        )
    at = f"at ({_plain(p.values[0])}, {_plain(p.values[1])}) ± {max(COVERAGE * f.doubt.place, 0.0005):.3f}"
    if p.kind == CIRCLE:
        return f"{f.number}: circle Ø {size(2 * p.values[2], 2 * COVERAGE * f.doubt.radius)} {at}; {misfit}"
    bend = "hollow " if p.side < 0 and p.loop == 0 else ""
    return f"{f.number}: {bend}arc R {size(p.values[2], COVERAGE * f.doubt.radius)} {at}; {misfit}"


def _plain(value: float) -> str:
    text = f"{value:.3f}"
    return text[1:] if float(text) == 0.0 and text[0] == "-" else text


def cost_words(cost: float) -> str:
    """Return a misfit that a relation costs."""
    return f"{cost:.1f}" if isfinite(cost) else "does not go with the others"


def given_up_lines(account: Account) -> list[str]:
    """Return a sentence on every reading that was given up as a slip."""
    return [slip_words(s) for s in account.traced.solved.slips.values() if not s.sides]


def slip_words(s: Slip) -> str:
    """Return what is wrong with a reading."""
    said = f"reading {s.name}: {s.value:.2f} was read, {s.expected:.2f} ± {COVERAGE * s.sigma:.2f} is expected"
    if s.probable is None:
        return f"{said}: {s.words}; it was not used"
    if s.plain:
        return f"{said}: {s.words}; {s.probable:.2f} was used"
    if not s.others:
        return f"{said}: {s.words}; {s.probable:.2f}? It was not used"
    meant = " or ".join(f"{value:.2f} ({words})" for value, words in ((s.probable, s.words), *s.others))
    return f"{said}: {meant}? It was not used"


def reading_lines(account: Account) -> list[str]:
    """Return one line for each reading that counts: what was read, and by how much the footprint is off it."""
    lines = []
    found = account.traced.solved.found
    slips = account.traced.solved.slips
    for m, rest in zip(account.measured, found.readings, strict=True):
        alone = "; nothing else covers it" if m.name in account.uncontrolled else ""
        # a plain slip counts as what was meant
        read = slips[m.name].value if m.name in slips else m.value
        said = f"{read:.3f} read" + (f", {m.value:.3f} used" if abs(m.value - read) > 1e-9 else "")
        lines.append(f"{m.name}: {said}, {m.value + float(rest):.3f} traced ({float(rest):+.3f}){alone}")
    return lines


def thread_of(diameter: float, half: float) -> tuple[str, str, float] | None:
    """Return thread, series and diameter of the clearance hole of ISO 273 that a hole may be; None if it is none."""
    best: tuple[float, tuple[str, str, float]] | None = None
    for h in CLEARANCE_HOLES:
        for series, nominal in (("medium", h.medium_mm), ("fine", h.fine_mm), ("coarse", h.coarse_mm)):
            off = abs(nominal - diameter)
            if nominal < LARGEST_BOLT_MM and off <= max(half, NEAR_MM) and (best is None or off < best[0] - 0.02):
                best = (off, (h.thread, series, nominal))
    return None if best is None else best[1]


def wrapped_list(words: Iterable[str], width: int) -> list[str]:
    """Return words joined by commas, in lines of at most a width."""
    lines: list[str] = []
    for word in words:
        if lines and len(lines[-1]) + len(word) + 2 <= width:
            lines[-1] += f", {word}"
        else:
            if lines:
                lines[-1] += ","
            lines.append(word)
    return lines
