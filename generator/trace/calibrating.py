"""Readings put to a fit: those that cannot be are given up one by one, plain slips are taken as they were meant."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from generator.trace.bundle import fit
from generator.trace.layout import Layout
from generator.trace.relating import Readings
from generator.trace.slips import Slip, gross, judged_again, worst
from generator.trace.unknowns import Fit, Known, Measured

Floats = NDArray[np.float64]


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

    Args:
        layout: the primitives.
        free: their fit without readings.
        readings: what the caliper says.
        known: what is known beforehand.
    """
    measured = list(readings(layout, free.x))
    slips = {s.name: s for s in gross(measured, free)}
    if len(slips) > len(measured) // 2:  # the picture's scale is wrong, not the readings
        slips = {}
    while True:
        kept = [m for m in measured if m.name not in slips]
        found = fit(layout.model, layout.points, free.x, known=known, readings=kept)
        slip = worst(kept, found)
        if slip is None:
            return found, judged_again(slips, measured, found)
        slips[slip.name] = slip
