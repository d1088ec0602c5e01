"""Hairlines in what a drawing holds: outlines that lie closer to each other than anybody draws on purpose."""

from __future__ import annotations

from math import hypot
from typing import Final

from generator.base.errors import ContourError
from generator.outline.measure import bounds
from generator.outline.narrow import necks, necks_between
from generator.outline.region import Region

HAIRLINE_MM: Final = 0.025
"""Outlines this close were meant as one, drawn twice (chosen: twice the gap over which ends are joined, and a little
more; no cutter makes such a rib or slot)."""


_PART: Final = 1 / 400
"""Small drawings, which are enlarged as a rule, have finer hairlines: this part of their size (chosen)."""


def refuse_hairlines(region: Region, factor: float) -> None:
    """Return quietly unless two sides of a drawing's area, or of what is between its parts, lie within a hairline.

    Args:
        region: the area, mm.
        factor: by which the drawing was enlarged.

    Raises: ContourError: they do; says where in the drawing and how far apart.
    """
    x0, y0, x1, y1 = bounds(region)
    limit = min(HAIRLINE_MM * min(factor, 1.0), hypot(x1 - x0, y1 - y0) * _PART)
    found = [*necks(region, limit)[:1], *necks_between(region, limit)[:1]]
    if not found:
        return
    thin = min(found, key=lambda n: n.width_mm)
    x, y = (round(n / factor, 4) + 0.0 for n in thin.at)
    raise ContourError(
        f"two lines lie only {thin.width_mm / factor:.2g} mm apart near ({x:g}, {y:g}) mm of the drawing, closer than "
        f"{limit / factor:.2g} mm: is something drawn twice there? Delete the one that is not meant",
        point_mm=thin.at,
    )
