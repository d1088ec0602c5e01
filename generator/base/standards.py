"""Published fastener and material figures, each row with how well it is known.

Provenance words: ``cross-checked`` two independent tables agree; ``read`` one table; ``derived`` computed from the same
standard's values; ``memory`` recalled, not read. No standard was read in its official edition: confirm against the
standard for contract work.
"""

from __future__ import annotations

from typing import Final

from generator.base.errors import CoverplateError
from generator.base.frozen_record import frozen_record


class UnknownStandardError(CoverplateError, LookupError):
    """A size or designation that the tables do not hold."""


@frozen_record
class ClearanceHole:
    """ISO 273:1979 clearance hole diameters for one thread, mm."""

    thread: str
    nominal_mm: float
    fine_mm: float
    medium_mm: float
    coarse_mm: float
    provenance: str


@frozen_record
class Head:
    """Head of a hexagon-socket screw.

    ``dk_max_mm``: largest head diameter (for countersunk heads the theoretical sharp-edge diameter); ``k_max_mm``: head
    height.
    """

    standard: str
    thread: str
    dk_max_mm: float
    k_max_mm: float
    hex_key_mm: float
    provenance: str


@frozen_record
class CounterboreRow:
    """DIN 974-1 series 1 counterbore for ISO 4762 heads: diameter and what is added to the head height, mm."""

    thread: str
    diameter_mm: float
    extra_depth_mm: float
    provenance: str


@frozen_record
class CountersinkRow:
    """DIN 74:2003 form F countersink for ISO 10642 heads: diameter at the surface (mm) and included angle (degrees)."""

    thread: str
    diameter_mm: float
    angle_deg: float
    provenance: str


@frozen_record
class Washer:
    """ISO 7089:2000 plain washer: inner and outer diameter, nominal thickness, mm."""

    thread: str
    d1_mm: float
    d2_mm: float
    h_mm: float
    provenance: str


CLEARANCE_HOLES: Final[tuple[ClearanceHole, ...]] = (
    ClearanceHole("M1.6", 1.6, 1.7, 1.8, 2.0, "cross-checked"),
    ClearanceHole("M2", 2.0, 2.2, 2.4, 2.6, "cross-checked"),
    ClearanceHole("M2.5", 2.5, 2.7, 2.9, 3.1, "cross-checked"),
    ClearanceHole("M3", 3.0, 3.2, 3.4, 3.6, "cross-checked"),
    ClearanceHole("M3.5", 3.5, 3.7, 3.9, 4.2, "cross-checked"),
    ClearanceHole("M4", 4.0, 4.3, 4.5, 4.8, "cross-checked"),
    ClearanceHole("M5", 5.0, 5.3, 5.5, 5.8, "cross-checked"),
    ClearanceHole("M6", 6.0, 6.4, 6.6, 7.0, "cross-checked"),
    ClearanceHole("M7", 7.0, 7.4, 7.6, 8.0, "cross-checked"),
    ClearanceHole("M8", 8.0, 8.4, 9.0, 10.0, "cross-checked"),
    ClearanceHole("M10", 10.0, 10.5, 11.0, 12.0, "cross-checked"),
    ClearanceHole("M12", 12.0, 13.0, 13.5, 14.5, "cross-checked"),
    ClearanceHole("M14", 14.0, 15.0, 15.5, 16.5, "cross-checked"),
    ClearanceHole("M16", 16.0, 17.0, 17.5, 18.5, "cross-checked"),
    ClearanceHole("M18", 18.0, 19.0, 20.0, 21.0, "cross-checked"),
    ClearanceHole("M20", 20.0, 21.0, 22.0, 24.0, "cross-checked"),
)
"""Source: ISO 273:1979."""

HEADS: Final[tuple[Head, ...]] = (
    Head("ISO 4762", "M3", 5.68, 3.0, 2.5, "cross-checked"),
    Head("ISO 4762", "M4", 7.22, 4.0, 3.0, "cross-checked"),
    Head("ISO 4762", "M5", 8.72, 5.0, 4.0, "cross-checked"),
    Head("ISO 4762", "M6", 10.22, 6.0, 5.0, "cross-checked"),
    Head("ISO 4762", "M8", 13.27, 8.0, 6.0, "cross-checked"),
    Head("ISO 4762", "M10", 16.27, 10.0, 8.0, "cross-checked"),
    Head("ISO 4762", "M12", 18.27, 12.0, 10.0, "cross-checked"),
    Head("ISO 7380-1", "M3", 5.7, 1.65, 2.0, "read"),
    Head("ISO 7380-1", "M4", 7.6, 2.2, 2.5, "read"),
    Head("ISO 7380-1", "M5", 9.5, 2.75, 3.0, "read"),
    Head("ISO 7380-1", "M6", 10.5, 3.3, 4.0, "read"),
    Head("ISO 7380-1", "M8", 14.0, 4.4, 5.0, "read"),
    Head("ISO 7380-1", "M10", 17.5, 5.5, 6.0, "read"),
    Head("ISO 7380-1", "M12", 21.0, 6.6, 8.0, "read"),
    Head("ISO 10642", "M3", 6.72, 1.86, 2.0, "cross-checked"),
    Head("ISO 10642", "M4", 8.96, 2.48, 2.5, "cross-checked"),
    Head("ISO 10642", "M5", 11.2, 3.1, 3.0, "cross-checked"),
    Head("ISO 10642", "M6", 13.44, 3.72, 4.0, "cross-checked"),
    Head("ISO 10642", "M8", 17.92, 4.96, 5.0, "cross-checked"),
    Head("ISO 10642", "M10", 22.4, 6.2, 6.0, "cross-checked"),
    Head("ISO 10642", "M12", 26.88, 7.44, 8.0, "cross-checked"),
)
"""Source: ISO 4762:2004 (knurled heads), ISO 7380-1:2011 (one table only), ISO 10642:2004."""

COUNTERBORES: Final[tuple[CounterboreRow, ...]] = (
    CounterboreRow("M3", 6.5, 0.4, "diameter cross-checked, depth read"),
    CounterboreRow("M4", 8.0, 0.4, "diameter cross-checked, depth read"),
    CounterboreRow("M5", 10.0, 0.4, "diameter cross-checked, depth read"),
    CounterboreRow("M6", 11.0, 0.4, "diameter cross-checked, depth read"),
    CounterboreRow("M8", 15.0, 0.6, "diameter cross-checked, depth read"),
    CounterboreRow("M10", 18.0, 0.6, "diameter read, depth derived"),
    CounterboreRow("M12", 20.0, 0.6, "diameter read, depth derived"),
    CounterboreRow("M14", 24.0, 0.6, "diameter read, depth derived"),
    CounterboreRow("M16", 26.0, 0.6, "diameter read, depth derived"),
    CounterboreRow("M20", 33.0, 0.6, "diameter read, depth derived"),
)
"""Source: DIN 974-1 series 1."""

COUNTERSINKS: Final[tuple[CountersinkRow, ...]] = (
    CountersinkRow("M3", 6.94, 90.0, "cross-checked"),
    CountersinkRow("M4", 9.18, 90.0, "cross-checked"),
    CountersinkRow("M5", 11.47, 90.0, "cross-checked"),
    CountersinkRow("M6", 13.71, 90.0, "cross-checked"),
    CountersinkRow("M8", 18.25, 90.0, "cross-checked"),
    CountersinkRow("M10", 22.73, 90.0, "derived"),
    CountersinkRow("M12", 27.21, 90.0, "derived"),
)
"""Source: DIN 74:2003 form F."""

WASHERS: Final[tuple[Washer, ...]] = (
    Washer("M3", 3.2, 7.0, 0.5, "cross-checked"),
    Washer("M4", 4.3, 9.0, 0.8, "cross-checked"),
    Washer("M5", 5.3, 10.0, 1.0, "cross-checked"),
    Washer("M6", 6.4, 12.0, 1.6, "cross-checked"),
    Washer("M8", 8.4, 16.0, 1.6, "cross-checked"),
    Washer("M10", 10.5, 20.0, 2.0, "cross-checked"),
    Washer("M12", 13.0, 24.0, 2.5, "cross-checked"),
)
"""Source: ISO 7089:2000."""

THREAD_WORDS: Final = tuple(h.thread for h in CLEARANCE_HOLES)
HEAD_WORDS: Final = tuple(dict.fromkeys(h.standard for h in HEADS))


def clearance_hole(thread: str, fit: str) -> float:
    """Return the clearance hole diameter in mm for ``thread`` (``M6``) and ``fit`` (fine, medium, coarse).

    Raises: UnknownStandardError: the table has no such thread or fit.
    Source: ISO 273:1979.
    """
    for row in CLEARANCE_HOLES:
        if row.thread == thread and fit in ("fine", "medium", "coarse"):
            return {"fine": row.fine_mm, "medium": row.medium_mm, "coarse": row.coarse_mm}[fit]
    raise UnknownStandardError(f"ISO 273 has no {fit} hole for {thread}")


def head(standard: str, thread: str) -> Head:
    """Return the head of a screw.

    Raises: UnknownStandardError: the tables do not hold that size of that standard.
    """
    for row in HEADS:
        if row.standard == standard and row.thread == thread:
            return row
    sizes = ", ".join(r.thread for r in HEADS if r.standard == standard)
    raise UnknownStandardError(f"no {standard} head for {thread}; known: {sizes}")


def counterbore(thread: str) -> CounterboreRow:
    """Return the DIN 974-1 counterbore for an ISO 4762 head.

    Raises: UnknownStandardError: the table does not hold that size.
    """
    for row in COUNTERBORES:
        if row.thread == thread:
            return row
    raise UnknownStandardError(f"DIN 974-1 has no counterbore for {thread} here")


def countersink(thread: str) -> CountersinkRow:
    """Return the DIN 74 form F countersink for an ISO 10642 head.

    Raises: UnknownStandardError: the table does not hold that size.
    """
    for row in COUNTERSINKS:
        if row.thread == thread:
            return row
    raise UnknownStandardError(f"DIN 74 form F has no countersink for {thread} here")
