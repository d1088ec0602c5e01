"""General tolerances of outside radii and chamfers: what a drawing allows where it says nothing else."""

from __future__ import annotations

from math import inf
from typing import Final

__all__ = ["EDGES", "EDGES_SOURCE", "edge_tolerance"]

EDGES: Final = ((0.5, 3.0, 0.2, 0.4), (3.0, 6.0, 0.5, 1.0), (6.0, inf, 1.0, 2.0))
"""Sizes over one figure up to and with another; what classes f and m, and c and v, allow, plus or minus; all mm."""
EDGES_SOURCE: Final = "ISO 2768-1 table 2"
"""m cross-checked, else read."""


def edge_tolerance(letter: str, size_mm: float) -> float | None:
    """Return what a class allows an outside radius or chamfer to be off, plus or minus, mm; None below 0.5 mm.

    Source: ISO 2768-1 table 2.
    """
    for over, upto, fine, coarse in EDGES:
        if over < size_mm <= upto or size_mm == over == EDGES[0][0]:
            return fine if letter in ("f", "m") else coarse
    return None
