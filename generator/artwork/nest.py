"""Closed contours made into a region: what lies in one contour is a hole, in two an island, and so on."""

from __future__ import annotations

from collections.abc import Sequence

from generator.base.errors import ContourError
from generator.outline.clip import FillRule
from generator.outline.combine import regularise
from generator.outline.contour import Contour
from generator.outline.measure import area, signed_area
from generator.outline.predicates import explain_contour
from generator.outline.region import Region
from generator.outline.transform import reoriented


def nested(contours: Sequence[Contour]) -> Region:
    """Return the region that lies in an odd number of the contours; they keep their very vertices.

    Raises: ContourError: a contour crosses itself or another, or has no area; says where.
    """
    for number, contour in enumerate(contours):
        problem = explain_contour(contour)
        if problem is not None:
            raise ContourError(
                f"outline {number + 1} is not sound: {problem.message}; mend it in the drawing",
                contour=str(number),
                segment=problem.segment,
                point_mm=problem.point,
            )
    ccw = [reoriented(c, True) for c in contours]
    if len(ccw) == 1:
        return Region.of(ccw)
    region = regularise(ccw, rule=FillRule.EVEN_ODD)
    _refuse_crossing(ccw, region)
    return region


def _refuse_crossing(contours: Sequence[Contour], region: Region) -> None:
    """Raise unless the region is bounded by the very contours, some of them travelled the other way."""
    before = sorted(signed_area(c) for c in contours)
    after = sorted(abs(signed_area(c)) for c in region)
    same = len(before) == len(after) and all(
        abs(a - b) <= 1e-6 * max(a, 1.0) for a, b in zip(before, after, strict=True)
    )
    if not same:
        raise ContourError(
            f"{len(contours)} closed outlines cross or touch one another (they enclose {area(region):.6g} mm² in all): "
            "keep only the outline wanted, or name the layer that holds it alone"
        )
