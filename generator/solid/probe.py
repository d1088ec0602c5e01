"""Measuring on a STEP file: sizes, holes, and the heights at which an upright line meets material."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from OCP.gp import gp_Dir, gp_Lin, gp_Pnt
from OCP.IntCurvesFace import IntCurvesFace_ShapeIntersector
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS_Shape

from generator.outline.contour import Point
from generator.part.solid_facts import Probed
from generator.solid.facts import box_mm, find_holes, volume_mm3
from generator.solid.step_read import read_shapes

__all__ = ["probe_step"]

SAME_MM = 1e-6
"""Meetings that lie closer are one: the line runs along an edge that two faces share."""
FAR_MM = 1e4


def probe_step(data: bytes, places: Mapping[str, Sequence[Point]]) -> tuple[Probed, ...]:
    """Return what is measured on every product of a STEP file.

    Args:
        data: the file.
        places: where upright lines are to be sent through, by product; mm.

    Raises:
        ProofError: the bytes cannot be read.
    """
    return tuple(_probed(name, shape, places.get(name, ())) for name, shape in read_shapes(data))


def _probed(name: str, shape: TopoDS_Shape, places: Sequence[Point]) -> Probed:
    solids = sorted(_solids(shape), key=volume_mm3, reverse=True)
    levels = {place: _levels(shape, place) for place in places}
    return Probed(name, tuple(box_mm(s) for s in solids), tuple(find_holes(shape)), levels)


def _solids(shape: TopoDS_Shape) -> list[TopoDS_Shape]:
    explorer = TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_SOLID)
    found = []
    while explorer.More():
        found.append(explorer.Current())
        explorer.Next()
    return found


def _levels(shape: TopoDS_Shape, place: Point) -> tuple[float, ...]:
    """Return the heights at which the upright line through a place meets faces, rising, mm."""
    meeting = IntCurvesFace_ShapeIntersector()
    meeting.Load(shape, SAME_MM)
    meeting.Perform(gp_Lin(gp_Pnt(place.x, place.y, 0.0), gp_Dir(0.0, 0.0, 1.0)), -FAR_MM, FAR_MM)
    heights = sorted(meeting.Pnt(i).Z() for i in range(1, meeting.NbPnt() + 1))
    return tuple(z for i, z in enumerate(heights) if i == 0 or z - heights[i - 1] > SAME_MM)
