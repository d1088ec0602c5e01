"""Galvanic pairs by anodic index (MIL-DTL-14072F custom): volts, the larger index corrodes."""

from __future__ import annotations


def difference(index_v: float, other_v: float) -> float:
    """Return how far two anodic indices lie apart, V. Source: MIL-DTL-14072F, grouping of metals."""
    return abs(index_v - other_v)


def corrodes(index_v: float, other_v: float) -> bool:
    """Return True if the first metal is the anode, the one that is eaten: it has the larger index."""
    return index_v > other_v
