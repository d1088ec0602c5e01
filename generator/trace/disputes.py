"""Readings that contradict each other with nothing to decide between them: what each side says of the other."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.trace.bundle import fit
from generator.trace.calibrating import mended
from generator.trace.doubts import COVERAGE
from generator.trace.relating import Readings, Solved
from generator.trace.slips import judged_again
from generator.trace.unknowns import Fit, Known, Measured

MOST_SIDES: Final = 3
"""So many sides are told."""


@frozen_record
class Side:
    """One side: names of its readings, and what the others should have shown if it is right: name, read, mm."""

    names: tuple[str, ...]
    others: tuple[tuple[str, float, float], ...]


@frozen_record
class Dispute:
    """Readings that contradict each other.

    Attributes:
        sides: what each would imply.
        again: name of the reading that tells the sides apart best if it is repeated.
        shows: what it would show by each side, mm.
    """

    sides: tuple[Side, ...]
    again: str
    shows: tuple[float, ...]


def settled(solved: Solved, known: Known, readings: Readings, widened: Fit) -> tuple[Solved, tuple[Dispute, ...]]:
    """Return a part whose slips are told as its last fit explains them, and the disputes of its readings.

    Args:
        solved: the part, without the disputed readings.
        known: what was known beforehand.
        readings: what the caliper says.
        widened: its fit with all other doubts in its covariance; what either side implies is added to that.
    """
    measured = list(readings(solved.layout, solved.found.x))
    judged = judged_again(solved.slips, measured, solved.found)
    # what was used, or not, stays as it was
    slips = {
        n: was if was.plain else replace(judged[n], plain=False, sides=was.sides) for n, was in solved.slips.items()
    }
    disputes, covariance = [], widened.covariance
    sound = mended(readings, slips)(solved.layout, solved.found.x)
    for sides in sorted({s.sides for s in slips.values() if s.sides}):
        names = {n for side in sides for n in side}
        disputed = [m for m in measured if m.name in names]
        fits = [_by(solved, known, [*sound, *(m for m in disputed if m.name in side)]) for side in sides]
        for one in fits:
            off = one.x - solved.found.x
            covariance = covariance + np.outer(off, off) / COVERAGE**2
        disputes.append(_told(disputed, sides, fits))
    found = replace(widened, covariance=covariance)
    return replace(solved, found=found, slips=slips), tuple(disputes)


def _by(solved: Solved, known: Known, readings: list[Measured]) -> Fit:
    """Return the fit with some readings, relations as they are."""
    layout = solved.layout
    equations = [e for r in solved.relations for e in r.equations]
    return fit(layout.model, layout.points, solved.found.x, known=known, readings=readings, equations=equations)


def _told(disputed: list[Measured], sides: tuple[tuple[str, ...], ...], fits: list[Fit]) -> Dispute:
    shown = {m.name: tuple(m.function(f.x) for f in fits) for m in disputed}
    told = tuple(
        Side(side, tuple((m.name, m.value, shown[m.name][k]) for m in disputed if m.name not in side))
        for k, side in enumerate(sides)
    )
    again = max(disputed, key=lambda m: (round(max(shown[m.name]) - min(shown[m.name]), 6) / m.sigma, m.name))
    return Dispute(told, again.name, shown[again.name])


def dispute_words(dispute: Dispute) -> str:
    """Return who contradicts whom, what each side implies, and what to do."""
    sides = dispute.sides[:MOST_SIDES]
    who = " against ".join(_names(s.names) for s in sides)
    implied = "; ".join(_implied(s) for s in sides)
    shows = " or ".join(f"{v:.2f}" for v in dispute.shows[:MOST_SIDES])
    covers = "both" if len(dispute.sides) == 2 else "all sides"
    return (
        f"readings contradict each other, and nothing decides between them: {who}. {implied[0].upper()}{implied[1:]}. "
        f"None of them was used; the uncertainty covers {covers}. Read {dispute.again} again: {shows} would decide"
    )


def _implied(side: Side) -> str:
    verb = "is" if len(side.names) == 1 else "are"
    (name, read, value), *more = side.others
    shown = [f"{name} should have shown {value:.2f} ({read:.2f} read)"]
    shown += [f"{name} {value:.2f} ({read:.2f} read)" for name, read, value in more]
    return f"if {_names(side.names)} {verb} right, {_listed(shown)}"


def _names(names: tuple[str, ...]) -> str:
    return _listed(list(names))


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
