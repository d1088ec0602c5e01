"""Edges of the walls beside the bottom pocket: 0.5 mm is the thinnest, 0.8 mm is sound."""

from __future__ import annotations

from math import sqrt

from cases_pocket import CUTS, cone_beside, screw, seat_above
from harness import Edge

UP = sqrt(0.8**2 - 0.4**2)
"""So far above the pocket's edge a cut 0.4 mm beside it is 0.8 mm away, mm."""

EDGES = (
    Edge("pocket-wall", "breaks-in", screw, 0.004, -0.004, near=0.01),
    *(Edge("pocket-wall", "wall-too-thin", make, 0.504, 0.496) for make in CUTS.values()),
    *(Edge("pocket-wall", "thin-wall", make, 0.805, 0.795) for make in CUTS.values()),
    Edge("pocket-wall", "thin-wall", seat_above, UP + 0.005, UP - 0.005),
    Edge("pocket-wall", "thin-wall", cone_beside, 0.805, 0.795),
)
