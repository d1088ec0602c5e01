"""Where the plan's view lies on the sheet, and what of the plan is asked for by place."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.units import decimal
from generator.outline.measure import Bounds, bounds
from generator.outline.predicates import is_circle
from generator.outline.region import Region
from generator.outputs.lettering import Box
from generator.outputs.plan_style import Row
from generator.part.part import FlipAxis, Plan
from generator.part.setups import as_machined

__all__ = ["AXIS_OVER", "SCALES", "Frame", "frame_of", "round_holes", "seen_from_top"]

SCALES: Final = (20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02)
"""Scales of ISO 5455."""
_LONGEST: Final = 190.0
"""The blank's longer side on paper, mm: what an A4 sheet's height takes with its dimensions."""
AXIS_OVER: Final = 5.5
"""How far the flip axis runs on beyond the blank, mm of paper."""


@frozen_record
class Frame:
    """Where the view lies on the sheet: its scale, and the box of the blank on the sheet, whose corner is (0, 0)."""

    scale: float
    shown: Bounds

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Return the sheet point of a point of the plane."""
        return (x - self.shown.xmin) * self.scale, (self.shown.ymax - y) * self.scale

    @property
    def box(self) -> Box:
        """Return the box of everything shown, on the sheet."""
        return Box(0.0, 0.0, self.shown.width_mm * self.scale, self.shown.height_mm * self.scale)

    @property
    def transform(self) -> str:
        """Return the SVG transformation from the plane (mm, y up) to the sheet."""
        x, y = self.at(0.0, 0.0)
        return f"translate({decimal(x)} {decimal(y)}) scale({decimal(self.scale)} {decimal(-self.scale)})"

    def scale_text(self) -> str:
        """Return the scale as ISO 5455 writes it."""
        return f"{self.scale:g}:1" if self.scale >= 1.0 else f"1:{1.0 / self.scale:g}"


def seen_from_top(row: Row, flip: FlipAxis) -> Region:
    """Return a layer's region as seen from the top: bottom-face layers mirrored back."""
    return as_machined(row.layer.region, row.layer.face, flip)


def frame_of(plan: Plan, rows: Sequence[Row]) -> Frame:
    """Return the frame that shows all layers at the largest scale that suits a sheet."""
    boxes = [bounds(r) for r in (plan.cover.profile, *(seen_from_top(row, plan.flip) for row in rows)) if r]
    shown = Bounds(
        min(b.xmin for b in boxes), min(b.ymin for b in boxes), max(b.xmax for b in boxes), max(b.ymax for b in boxes)
    )
    longest = max(shown.width_mm, shown.height_mm)
    return Frame(next((s for s in SCALES if s * longest <= _LONGEST), SCALES[-1]), shown)


def round_holes(plan: Plan) -> list[tuple[float, float, float]]:
    """Return centre and radius of the largest circle round every hole centre: bolts with their seats, dowels."""
    regions = [f.region for f in plan.cover.features if f.layer in ("bolt-holes", "seats")]
    flare = [f.flare_mm for f in plan.cover.features if f.layer in ("bolt-holes", "seats")]
    regions.append(plan.blank.dowel_holes)
    flare.append(0.0)
    largest: dict[tuple[float, float], float] = {}
    for region, more in zip(regions, flare, strict=True):
        for contour in region:
            circle = is_circle(contour)
            if circle is not None:
                at = (round(circle.centre.x, 4) + 0.0, round(circle.centre.y, 4) + 0.0)
                largest[at] = max(largest.get(at, 0.0), abs(circle.radius_mm) + more)
    return [(x, y, r) for (x, y), r in largest.items()]
