"""A free outline: a path of lines and arcs, step by step, that closes."""

from __future__ import annotations

from math import hypot
from typing import ClassVar

from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline import tangent
from generator.outline.carrier import towards
from generator.outline.contour import Contour, Point, Segment, Vertex
from generator.outline.measure import signed_area
from generator.outline.region import Region
from generator.outline.rounding import rounded
from generator.outline.transform import reoriented
from generator.shapes.shape import Context, Shape
from generator.shapes.steps import EXAMPLE_STEPS, Corner, Step, Walk, extended, walk

STRAIGHT, TANGENT = "straight", "tangent"


@frozen_record(kw_only=True)
class Path:
    """A closed path: a start and steps, either way round."""

    AT_MOST_ONE: ClassVar = (("round", "chamfer"),)

    start: tuple[float, float] = f.point("Where the path begins.", example=[0, 0])
    steps: tuple[Step, ...] = f.list_of(
        f.record(Step, "One line or arc."),
        "Lines and arcs in order. The path closes itself if the last step does not lead back to the start.",
        fewest=1,
        most=2000,
        example=EXAMPLE_STEPS,
    )
    close: str = f.word(
        "How the path closes if its last step does not lead back: by a `straight` line, or by an arc `tangent` to the "
        "last step.",
        (STRAIGHT, TANGENT),
        default=STRAIGHT,
        example=STRAIGHT,
    )
    round: float = f.length("Radius of the corner at the start.", default=0.0, at_least=0, at_most=2000, example=3)
    chamfer: float = f.length(
        "Cuts the corner at the start off, by this much along both edges.",
        default=0.0,
        at_least=0,
        at_most=2000,
        example=2,
    )


def draw(params: Path, context: Context) -> Region:
    """Return the area inside the path.

    Raises: GeometryError: a step cannot be taken, or a corner does not fit; names the step.
    """
    if params.round and params.chamfer:
        raise GeometryError("the corner at the start has `round` and `chamfer`: give only one")
    way = _closed(walk(params.start, params.steps, corner=Corner(params.round, params.chamfer)), params)
    contour, radii = _chamfered(Contour(way.vertices), way.corners)
    if signed_area(contour) == 0.0:
        return Region.of([contour])  # it crosses itself or runs back along itself: told, with the place, by the caller
    return Region.of([reoriented(rounded(contour, radii), True)])


def _closed(way: Walk, params: Path) -> Walk:
    """Return the path led back to its start."""
    start = Point(*params.start)
    if hypot(way.at.x - start.x, way.at.y - start.y) <= MODEL.same_mm:
        # the corner at the end of the last step is the corner at the start
        if way.corner != Corner() and way.corners[0] == Corner():
            return Walk(start, way.vertices, (way.corner, *way.corners[1:]), way.heading_rad)
        return way
    if params.close == TANGENT:
        assert way.heading_rad is not None
        return extended(way, tangent.arc_from_direction(way.at, way.heading_rad, start), start, Corner())
    return extended(way, (Vertex(*way.at),), start, Corner())


def _chamfered(contour: Contour, corners: tuple[Corner, ...]) -> tuple[Contour, list[float]]:
    """Return the contour with its chamfers cut, and the radius of each of its corners."""
    vertices: list[Vertex] = []
    radii: list[float] = []
    segments = list(contour.segments())
    for i, (v, corner) in enumerate(zip(contour.vertices, corners, strict=True)):
        if not corner.chamfer_mm:
            vertices.append(v)
            radii.append(corner.radius_mm)
            continue
        before, after = segments[i - 1], segments[i]
        for s, far in ((before, before.start), (after, after.end)):
            _refuse_chamfer(s, corner, corners[i - 1 if s is before else (i + 1) % len(corners)], v)
            u = towards(Point(v.x, v.y), far)
            vertices.append(Vertex(v.x + corner.chamfer_mm * u.x, v.y + corner.chamfer_mm * u.y))
            radii.append(0.0)
    return Contour(tuple(vertices)), radii


def _refuse_chamfer(segment: Segment, corner: Corner, other: Corner, v: Vertex) -> None:
    where = f"chamfer {corner.chamfer_mm:g} at ({v.x:g}, {v.y:g})"
    if segment.is_arc:
        raise GeometryError(f"{where}: only the corner of two straight lines can be cut off", point_mm=(v.x, v.y))
    room = segment.chord_mm - other.chamfer_mm
    if corner.chamfer_mm > room:
        raise GeometryError(f"{where} does not fit on its edge: at most {room:.6g}", point_mm=(v.x, v.y))


SHAPE = Shape("path", Path, draw, "A closed path of lines and arcs, step by step.")
