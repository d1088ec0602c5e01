"""Readings put to a fit: those that cannot be are given up one by one, plain slips are taken as they were meant."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.trace.bundle import fit
from generator.trace.layout import Layout
from generator.trace.relating import Readings
from generator.trace.slips import Slip, gross, judged_again, worst
from generator.trace.unknowns import Fit, Known, Measured

Floats = NDArray[np.float64]

PRICE: Final = 25.0
"""Chi-square that giving up a reading costs: that of one by five standard deviations."""
DECIDED: Final = 16.0
"""Chi-square by which one way to give readings up must be better than another: less than one reading more or less,
more than what the file of a scan says of its scale (known to 0.6 % at best) can be trusted with."""
FIRM: Final = 0.001
"""A scale that is known better, as a reference in a photo tells it, gives way to no readings."""
DOUBTFUL: Final = 2.0
"""Normalised residual beyond which a reading is given up in favour of another that is held to be right."""


def mended(readings: Readings, slips: dict[str, Slip]) -> Readings:
    """Return the readings without those that were given up, plain slips with the value that was meant."""

    def sound(layout: Layout, x: Floats) -> list[Measured]:
        out = []
        for m in readings(layout, x):
            slip = slips.get(m.name)
            if slip is None:
                out.append(m)
            elif slip.plain and slip.probable is not None:
                others = () if m.instead is None else m.instead()
                other = next((i.measured for i in others if i.words == slip.words), None)
                taken = replace(m, value=slip.probable) if other is None else other
                out.append(replace(taken, sigma=2.0 * m.sigma))
        return out

    return sound


def calibrated(layout: Layout, free: Fit, readings: Readings, known: Known) -> tuple[Fit, dict[str, Slip]]:
    """Return the fit with all readings that can be, and those that cannot by their names.

    Where readings contradict each other and nothing decides which are right, none of them is used.

    Args:
        layout: the primitives.
        free: their fit without readings.
        readings: what the caliper says.
        known: what is known beforehand.
    """
    trial = _Trial(layout, free, list(readings(layout, free.x)), known)
    first = {s.name: s for s in gross(trial.measured, free)}
    # the picture's scale is wrong, not the readings
    if known.scale > FIRM and len(first) > max(1, len(trial.measured) // 2):
        first = {}
    likely = trial.likeliest(first)
    if len(likely) == 1:
        (one,) = likely
        return one.found, judged_again(one.dropped, trial.measured, one.found)
    dropped = {name: slip for tried in likely for name, slip in tried.dropped.items()}
    disputed = [m.name for m in trial.measured if m.name in dropped and not all(m.name in t.dropped for t in likely)]
    sides = tuple(tuple(n for n in disputed if n not in t.dropped) for t in likely)
    found = trial.fitted([m for m in trial.measured if m.name not in dropped])
    slips = judged_again(dropped, trial.measured, found)
    return found, slips | {n: replace(slips[n], plain=False, sides=sides) for n in disputed}


@frozen_record(eq=False)
class _Tried:
    """Readings given up so that all others fit: by their names, the fit, and whether all others do fit."""

    dropped: dict[str, Slip]
    found: Fit
    sound: bool

    @property
    def cost(self) -> float:
        """Return chi-square with the price of every reading that is given up."""
        return self.found.chi2 + PRICE * len(self.dropped)


@frozen_record(eq=False)
class _Trial:
    """Readings to be fitted to a part whose fit without them is known."""

    layout: Layout
    free: Fit
    measured: list[Measured]
    known: Known

    def fitted(self, kept: list[Measured]) -> Fit:
        """Return the fit with some readings."""
        return fit(self.layout.model, self.layout.points, self.free.x, known=self.known, readings=kept)

    def likeliest(self, first: dict[str, Slip]) -> list[_Tried]:
        """Return the ways to give readings up between which nothing decides, the first being the best found.

        Beside giving up one by one what fits least, every reading given up so is taken to be right in its turn, and
        all of them together.

        Args:
            first: what no fit can explain.
        """
        main = self.snooped(first, ())
        alone = [name for name in main.dropped if name not in first]
        held = [[name] for name in alone] + ([alone] if len(alone) > 1 else [])
        tried = [main, *(t for t in (self.readmitted(self.snooped(first, h), first) for h in held) if t.sound)]
        least = min(t.cost for t in tried)
        likely: list[_Tried] = []
        for t in tried:
            if t.cost <= least + DECIDED and all(set(t.dropped) != set(k.dropped) for k in likely):
                likely.append(t)
        # a slip of a plain kind explains what else would be one word against another
        plain = [t for t in likely if self.explained(t, first)] if len(likely) > 1 else []
        return plain or sorted(likely, key=lambda t: t.cost)

    def snooped(self, first: dict[str, Slip], held: Collection[str]) -> _Tried:
        """Return what is given up, one by one, those that are held never."""
        dropped = dict(first)
        while True:
            kept = [m for m in self.measured if m.name not in dropped]
            found = self.fitted(kept)
            slip = worst(kept, found, held)
            if slip is None and held and worst(kept, found) is not None:  # what is held can be right by itself alone
                slip = worst(kept, found, held, DOUBTFUL)
            if slip is None:
                return _Tried(dropped, found, not held or worst(kept, found) is None)
            dropped[slip.name] = slip

    def readmitted(self, tried: _Tried, first: dict[str, Slip]) -> _Tried:
        """Return the same with those that fit after all, once others are given up."""
        for name in [n for n in tried.dropped if n not in first] if tried.sound else []:
            fewer = {n: s for n, s in tried.dropped.items() if n != name}
            kept = [m for m in self.measured if m.name not in fewer]
            found = self.fitted(kept)
            if worst(kept, found) is None:
                tried = _Tried(fewer, found, True)
        return tried

    def explained(self, tried: _Tried, first: dict[str, Slip]) -> bool:
        """Tell whether all that is given up is a slip of a plain kind."""
        slips = judged_again(tried.dropped, self.measured, tried.found)
        return all(s.plain for n, s in slips.items() if n not in first)
