"""What the recipe says of a trial print in plastic."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.frozen_record import frozen_record


@frozen_record(kw_only=True)
class TrialPrint:
    """A trial print in plastic, to hold against the real thing before metal is cut."""

    holes: float = f.length(
        "Printers leave holes too small. In STL and 3MF files alone, everything that something else goes into (holes, "
        "seats, openings, bottom pocket, pockets of inlays) is wider by this: the diameter of a hole grows by it, the "
        "wall of a pocket moves outward by half of it. Outlines, engravings, heights and depths stay.",
        default=0.0,
        at_least=0,
        at_most=5,
        example=0.2,
    )
