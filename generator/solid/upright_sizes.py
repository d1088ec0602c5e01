"""The faces of bodies with upright walls that sizes with limits belong to, as ``sized_faces`` finds them in a solid."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import hypot, inf

from generator.outline.contour import Contour, Point, Vertex
from generator.outline.distance import points_depth
from generator.outline.region import Region
from generator.part.toleranced import SAME_FACE_MM, Toleranced
from generator.solid.step_sizes import NumberedSize, numbered_size
from generator.solid.stretch import stretch
from generator.solid.upright_faces import Face, UprightBody

__all__ = ["upright_sizes"]

_Numbered = Sequence[tuple[int, Face]]


def upright_sizes(
    made: UprightBody, numbers: Sequence[Sequence[int]], sizes: Sequence[Toleranced]
) -> tuple[tuple[Toleranced, NumberedSize], ...]:
    """Return the sizes with the numbers of their faces, in order; without those that no face shows.

    Args:
        made: the bodies.
        numbers: of every face in the text, body by body.
        sizes: of the part.
    """
    faces = [
        (number, face)
        for own, body in zip(numbers, made.bodies, strict=True)
        for number, face in zip(own, body, strict=True)
    ]
    return tuple((size, found) for size in sizes if (found := _sized(made, faces, size)) is not None)


def _sized(made: UprightBody, faces: _Numbered, size: Toleranced) -> NumberedSize | None:
    if size.is_diameter:
        radius = size.nominal_mm / 2.0
        round_ones = tuple(n for place in size.places for n, face in faces if _is_hole(face, place, radius))
        return numbered_size(size, round_ones, ()) if round_ones else None
    first, second = (tuple(_levels(made, faces, z, size.places)) for z in (size.from_z_mm, size.to_z_mm))
    return numbered_size(size, first, second) if first and second else None


def _is_hole(face: Face, place: Point, radius_mm: float) -> bool:
    run = face.run
    if run is None or run.circle is None or run.sweep > 0.0:
        return False
    (x, y), r = run.circle
    return hypot(x - place.x, y - place.y) <= SAME_FACE_MM and abs(r - radius_mm) <= SAME_FACE_MM


def _levels(made: UprightBody, faces: _Numbered, z_mm: float, places: Sequence[Point]) -> Iterator[int]:
    """Yield the level faces at a height, each once, by the places that they are nearest to."""
    level = [(n, face) for n, face in faces if face.turn and abs(face.z_mm - z_mm) <= SAME_FACE_MM]
    seen: set[int] = set()
    for place in places if level else ():
        number = level[0][0] if len(level) == 1 else _nearest(made, level, place)
        if number not in seen:
            seen.add(number)
            yield number


def _nearest(made: UprightBody, level: _Numbered, place: Point) -> int:
    """Return the face that lies nearest to a place, the first of equally near ones."""
    best, least = 0, inf
    for number, face in level:
        depth = float(points_depth(_region(made, face), [place])[0])
        away = round(max(0.0, -depth), 6)
        if away < least:
            best, least = number, away
        if not least:
            break
    return best


def _region(made: UprightBody, face: Face) -> Region:
    """Return what a level face covers, seen from above."""
    contours = []
    for ring in face.rings:
        uses = ring if face.turn > 0 else tuple((number, not forward) for number, forward in reversed(ring))
        contours.append(Contour(tuple(v for number, forward in uses for v in _stretch(made, number, forward))))
    return Region.of(contours)


def _stretch(made: UprightBody, number: int, forward: bool) -> list[Vertex]:
    """Return the vertices of an edge as it is travelled, without its end."""
    edge = made.edges[number]
    start = made.plane.corners[edge.start if forward else edge.end]
    if edge.arc is None or edge.arc.circle is None:
        return stretch(start, 0.0, start)
    return stretch(start, edge.arc.sweep if forward else -edge.arc.sweep, edge.arc.circle.centre)
