"""Does what a PDF shows lie where it should? Distances of what was read back from the outline that was meant."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

import numpy as np

from generator.outline.distance import points_distance
from generator.outline.measure import area, length
from generator.outline.region import Region
from generator.paper.pdf_read import ReadPath

__all__ = ["deviation_mm"]


def deviation_mm(
    paths: Sequence[ReadPath],
    meant: Region,
    *,
    stretch: tuple[float, float] = (1.0, 1.0),
    middle: tuple[float, float] = (0.0, 0.0),
) -> float:
    """Return how far drawn contours lie from the region that was meant (mm on the page); infinite if they are others.

    Args:
        paths: what was read back under the region's name.
        meant: the region at its place on the sheet.
        stretch: what the sheet is stretched by in x and y …
        middle: … from this place of the page, mm.
    """
    ways = [w for p in paths for w in p.ways]
    if len(ways) != len(meant.contours) or not ways:
        return 0.0 if not ways and not meant.contours else inf
    origin, factor = np.array(middle), np.array(stretch)
    back = [origin + (w.points - origin) / factor for w in ways]
    worst = max(float(points_distance(meant, w).max()) for w in back)
    # points may all lie on the outline and yet miss a part of it: the areas tell
    drawn = abs(sum(w.area_mm2 for w in ways)) / float(factor.prod())
    return max(worst, abs(drawn - area(meant)) / length(meant))
