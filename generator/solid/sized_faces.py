"""The faces of a solid that a size with limits belongs to: cylinders about axes, or two level planes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import hypot, inf

from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_Orientation, TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shape

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Point
from generator.part.toleranced import SAME_FACE_MM, Toleranced

__all__ = ["SizedFaces", "sized_faces"]


@frozen_record(eq=False)
class SizedFaces:
    """A size and its faces: of a diameter all cylinders, of a distance those at either end, one at each place."""

    size: Toleranced
    first: tuple[TopoDS_Face, ...]
    second: tuple[TopoDS_Face, ...] = ()


def sized_faces(shape: TopoDS_Shape, sizes: Sequence[Toleranced]) -> tuple[SizedFaces, ...]:
    """Return the sizes with their faces, in order; without those that no face of the solid shows.

    The hole of a countersink that ends in a pocket has no cylinder left: its diameter is on the drawing alone.
    """
    faces = tuple(_faces(shape))
    return tuple(found for size in sizes if (found := _sized(faces, size)) is not None)


def _sized(faces: Sequence[TopoDS_Face], size: Toleranced) -> SizedFaces | None:
    if size.is_diameter:
        round_ones = [f for place in size.places for f in faces if _is_hole(f, place, size.nominal_mm / 2.0)]
        return SizedFaces(size, tuple(round_ones)) if round_ones else None
    first, second = (_levels(faces, z, size.places) for z in (size.from_z_mm, size.to_z_mm))
    if not first or not second:
        return None
    return SizedFaces(replace(size, places=tuple(second)), tuple(first.values()), tuple(second.values()))


def _faces(shape: TopoDS_Shape) -> Iterator[TopoDS_Face]:
    explorer = TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_FACE)
    while explorer.More():
        yield TopoDS.Face_s(explorer.Current())
        explorer.Next()


def _is_hole(face: TopoDS_Face, place: Point, radius_mm: float) -> bool:
    """Return True for an upright cylinder of that radius about that axis with material outside."""
    surface = BRepAdaptor_Surface(face, False)
    if surface.GetType() != GeomAbs_SurfaceType.GeomAbs_Cylinder:
        return False
    cylinder = surface.Cylinder()
    at = cylinder.Location()
    near = (
        hypot(at.X() - place.x, at.Y() - place.y) <= SAME_FACE_MM and abs(cylinder.Radius() - radius_mm) <= SAME_FACE_MM
    )
    return near and face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED


def _levels(faces: Sequence[TopoDS_Face], z_mm: float, places: Sequence[Point]) -> dict[Point, TopoDS_Face]:
    """Return the level faces at a height by the place where each is; a face that places share by the first of them."""
    out: dict[Point, TopoDS_Face] = {}
    for place in places:
        face = _level(faces, z_mm, place)
        if face is not None and not any(face.IsSame(other) for other in out.values()):
            out[place] = face
    return out


def _level(faces: Sequence[TopoDS_Face], z_mm: float, place: Point) -> TopoDS_Face | None:
    """Return the level face at a height that lies nearest to a place, the first of equally near ones."""
    spot = BRepBuilderAPI_MakeVertex(gp_Pnt(place.x, place.y, z_mm)).Vertex()
    best, least = None, inf
    for face in faces:
        surface = BRepAdaptor_Surface(face, False)
        if surface.GetType() != GeomAbs_SurfaceType.GeomAbs_Plane:
            continue
        plane = surface.Plane()
        if (
            abs(abs(plane.Axis().Direction().Z()) - 1.0) > SAME_FACE_MM
            or abs(plane.Location().Z() - z_mm) > SAME_FACE_MM
        ):
            continue
        away = round(BRepExtrema_DistShapeShape(spot, face).Value(), 6)
        if away < least:
            best, least = face, away
    return best
