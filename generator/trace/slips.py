"""Readings that cannot be: found by what picture and other readings say, with the slip that explains them best."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import pairwise
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.base.units import MM_PER_INCH
from generator.trace.doubts import COVERAGE
from generator.trace.unknowns import Fit, Instead, Measured

Floats = NDArray[np.float64]

GROSS: Final = 6.0
"""Standard deviations by which a reading may differ from what is expected before it is used."""
SUSPECT: Final = 4.0
"""Baarda's normalised residual (1968) beyond which a reading is given up: 1 in 16,000 by chance."""
UNCONTROLLED: Final = 0.1
"""Share of a reading's own error that must show in its residual for a slip to be seen."""
NEAR: Final = 0.02
"""What lies this near to the value expected, mm for a root of its mm, is told as what may have been meant."""
MOST_TOLD: Final = 2
"""So many further values are told."""


@frozen_record
class Slip:
    """A reading that was given up.

    Attributes:
        name: of the reading.
        value: as it was read, mm.
        expected: what the picture and the others say, mm.
        sigma: standard deviation of the difference, mm.
        probable: the value that was probably meant, mm, or None.
        words: how the slip came about, probably.
        plain: the slip is of a kind so rare by chance, and nothing else explains it, that the value meant is taken.
        others: further values that may have been meant, mm, and how each slip would have come about.
        sides: names of the readings that contradict each other, a set a side, where nothing decides which are right.
    """

    name: str
    value: float
    expected: float
    sigma: float
    probable: float | None
    words: str
    plain: bool = False
    others: tuple[tuple[float, str], ...] = ()
    sides: tuple[tuple[str, ...], ...] = ()


def gross(measured: Sequence[Measured], found: Fit) -> list[Slip]:
    """Return the readings that differ by far from what a fit without them expects."""
    out = []
    for m in measured:
        here, spread = m.function(found.x), spread_of(m, found) + m.sigma**2
        if abs(here - m.value) > GROSS * spread**0.5:
            out.append(_slip(m, here, spread**0.5))
    return out


def worst(measured: Sequence[Measured], found: Fit, held: Collection[str] = (), limit: float = SUSPECT) -> Slip | None:
    """Return the reading of a fit with all of them that fits the others least, or None if all do (data snooping).

    Args:
        measured: the readings.
        found: their fit.
        held: names of those that are passed over.
        limit: normalised residual up to which a reading fits.
    """
    best: tuple[float, Slip] | None = None
    for m, rest in zip(measured, found.readings, strict=True):
        shows = 0.0 if m.name in held else control(m, found)
        if shows < UNCONTROLLED:
            continue
        normalised = abs(float(rest)) / (m.sigma * shows**0.5)
        if normalised > limit and (best is None or normalised > best[0]):
            # what the others expect: the residual grown by what the reading pulled
            expected = m.value + float(rest) / shows
            best = (normalised, _slip(m, expected, m.sigma / shows**0.5))
    return None if best is None else best[1]


def control(m: Measured, found: Fit) -> float:
    """Return the share (0 to 1) of a reading's own error that its residual shows: 0 where nothing else controls it."""
    return max(0.0, 1.0 - spread_of(m, found) / m.sigma**2)


def spread_of(m: Measured, found: Fit) -> float:
    """Return the variance of what a fit says of a reading, mm²."""
    gradient = np.zeros(len(found.x))
    for at in m.of:
        ahead, behind = found.x.copy(), found.x.copy()
        ahead[at] += 1e-6
        behind[at] -= 1e-6
        gradient[at] = (m.function(ahead) - m.function(behind)) / 2e-6
    return float(gradient @ found.covariance @ gradient)


def judged_again(slips: dict[str, Slip], measured: Sequence[Measured], found: Fit) -> dict[str, Slip]:
    """Return slips as a fit by all other readings explains them: it expects more narrowly than one without any.

    What else may have been measured is known by then, too.
    """
    out = dict(slips)
    for m in measured:
        if m.name in slips:
            sigma = (spread_of(m, found) + m.sigma**2) ** 0.5
            instead = () if m.instead is None else m.instead()
            out[m.name] = _slip(m, m.function(found.x), sigma, [(i, i.measured.function(found.x)) for i in instead])
    return out


class _Meant(NamedTuple):
    """What a reading may have been meant as: the value, mm, the slip in words, whether it is plain."""

    value: float
    words: str
    plain: bool


def _slip(m: Measured, expected: float, sigma: float, instead: Sequence[tuple[Instead, float]] = ()) -> Slip:
    """Return a reading's slip: by what lies within the interval that is told, else by what comes nearest to it.

    Args:
        m: the reading.
        expected: what the others say, mm.
        sigma: of the difference, mm.
        instead: what else may have been measured, and what that should have shown, mm.
    """
    meant: dict[float, _Meant] = {}
    # told as what the reading would have been if it had been of what it says
    other = [_Meant(m.value - shown + expected, i.words, i.plain) for i, shown in instead]
    by_value = [_Meant(value, words, words in _PLAIN) for value, words in _meant(m.value)]
    for one in sorted([*by_value, *other], key=lambda c: (not c.plain, c.words == _ONE_DIGIT)):
        meant.setdefault(round(one.value, 6), one)
    within = [c for c in meant.values() if abs(c.value - expected) <= COVERAGE * sigma]
    if within:
        return _told(m, expected, sigma, within, plain=within[0].plain and len(within) == 1)
    near = max(2.0 * COVERAGE * sigma, NEAR * abs(expected) ** 0.5)
    beside = [c for c in meant.values() if abs(c.value - expected) <= near]
    if beside:
        return _told(m, expected, sigma, sorted(beside, key=lambda c: abs(c.value - expected)), plain=False)
    return Slip(m.name, m.value, expected, sigma, None, "another feature was measured, or the jaws sat askew")


def _told(m: Measured, expected: float, sigma: float, meant: Sequence[_Meant], *, plain: bool) -> Slip:
    first, *others = meant
    told = tuple((c.value, c.words) for c in others[:MOST_TOLD])
    return Slip(m.name, m.value, expected, sigma, first.value, first.words, plain, told)


_ONE_DIGIT: Final = "one digit is wrong"
_PLAIN: Final = ("two digits changed places", "read in inches", "the decimal point is one place off")


def _meant(value: float) -> list[tuple[float, str]]:
    """Return values that a reading may have been meant as, likeliest slips first."""
    text = f"{value:.2f}"
    out = []
    digits = [i for i, c in enumerate(text) if c.isdigit()]
    for i, k in pairwise(digits):
        if text[i] != text[k]:
            swapped = list(text)
            swapped[i], swapped[k] = text[k], text[i]
            out.append((float("".join(swapped)), "two digits changed places"))
    out.append((value * MM_PER_INCH, "read in inches"))
    out.append((value / MM_PER_INCH, "inches taken for millimetres"))
    out.append((value * 10.0, "the decimal point is one place off"))
    out.append((value / 10.0, "the decimal point is one place off"))
    for i in digits:
        for d in "0123456789":
            if d != text[i]:
                out.append((float(text[:i] + d + text[i + 1 :]), _ONE_DIGIT))
    return out
