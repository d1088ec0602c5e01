"""Edges of the checks of cutters against what they cut."""

from __future__ import annotations

from cases_cutting import BARE, drilled, notch, slot, with_mill
from harness import Edge, found
from part_samples import cover


def flutes(length: float):
    return with_mill(flute_length=length)


def mill_in_thick(diameter: float):
    return with_mill(BARE, diameter)


def sticks_out(length: float):
    return with_mill(stick_out=length)


def hole_mill(diameter: float):
    return with_mill(diameter=diameter)


def rim(width: float):
    return cover(edge_break=width, seats="none")


(_FAR,) = found(sticks_out(16.0), "cutter-deflection")
LONG = 16.0 * ((_FAR.limit or 0.0) / (_FAR.figure or 1.0)) ** (1.0 / 3.0)
"""Overhang at which the cutter bends by just what sizes may be off, mm: it goes with the cube."""

(_SHORT,) = found(drilled(1.0), "flute-length")
DRILL = _SHORT.figure or 0.0
"""What a drill needs between seat and pocket, with its point, mm."""

EDGES = (
    Edge("cutter-deflection", "bends", sticks_out, 0.999 * LONG, 1.001 * LONG),
    Edge("flute-length", "too-short", flutes, 12.0, 11.95),
    Edge("flute-length", "holder-hits", sticks_out, 12.0, 11.95),
    Edge("flute-length", "short-drill", drilled, DRILL, 0.995 * DRILL),
    Edge("depth-to-diameter", "deep", mill_in_thick, 3.0, 2.99),
    Edge("depth-to-diameter", "slender", mill_in_thick, 2.0, 1.99),
    Edge("depth-to-diameter", "narrow-slot", slot, 3.0, 2.985),
    Edge("corner-to-depth", "tight", notch, 4.0, 3.97),
    Edge("tools-at-hand", "small-chamfer-cutter", rim, 3.0, 3.01),
    Edge("tools-at-hand", "nothing-fits", hole_mill, 5.94, 5.95),
)
