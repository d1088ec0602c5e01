"""The faces that sizes with limits belong to, found in the text of a STEP file: where they lie and how wide they are.

The kernel's reader says how many faces a size has, not which. The text says it, of solids that the kernel has written
and of others alike; it takes no kernel, and so is asked of every file.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from math import nan

from generator.outline.contour import Point
from generator.part.solid_facts import FacePlace
from generator.solid.blocks import Span, outside_of, spans_of

__all__ = ["sized_ends"]

_SIZE = re.compile(rb" = DIMENSIONAL_(?:SIZE|LOCATION)\(([^;]*)\);")
_FACE = re.compile(rb" = GEOMETRIC_ITEM_SPECIFIC_USAGE\('','',#(\d+),#\d+,#(\d+)\);")
_MEMBER = re.compile(rb" = SHAPE_ASPECT_RELATIONSHIP\('',\$,#(\d+),#(\d+)\);")
_NUMBER = re.compile(rb"#(\d+)")
_POINT = re.compile(rb"\(\s*'',\s*\(([^()]*)\)\s*\)")
_RADIUS = re.compile(rb",\s*([-+.\dE]+)\s*\)$")

LEAN = 1e-9
"""How far an axis or a level face may lean, radians."""


def sized_ends(data: bytes) -> tuple[tuple[tuple[FacePlace, ...], ...], ...]:
    """Return of every size in a STEP file, in its order, the faces at its ends: a diameter has one, a distance two.

    Places are those of the part as it lies by itself. A face that is neither an upright cylinder nor level is left out.
    """
    spans = spans_of(data)
    text = outside_of(data, spans)[-1] if spans else b""
    faces = {int(aspect): int(face) for aspect, face in _FACE.findall(text)}
    members: dict[int, list[int]] = {}
    for whole, one in _MEMBER.findall(text):
        members.setdefault(int(whole), []).append(int(one))
    places = {n: place for span in spans for n, place in _places(data[span.start - 1 : span.end], span, faces.values())}

    def end(aspect: int) -> tuple[FacePlace, ...]:
        own = [faces[a] for a in members.get(aspect, [aspect]) if a in faces]
        return tuple(places[face] for face in own if face in places)

    return tuple(tuple(end(int(n)) for n in _NUMBER.findall(said)) for said in _SIZE.findall(text))


def _places(part: bytes, span: Span, faces: Iterable[int]) -> Iterator[tuple[int, FacePlace]]:
    """Yield those of the faces that are of a part, with their places, in one pass through its text."""
    at = 0
    for face in sorted({face for face in faces if span.first <= face < span.after}):
        said, at = _entity(part, face, at)
        try:
            place = _place(part, said, at)
        except (IndexError, ValueError):  # what stands there is no face or no number
            place = None
        if place is not None:
            yield face, place


def _place(part: bytes, said: bytes, at: int) -> FacePlace | None:
    """Return where a face lies of which a part's text says something at a place; None if it is no such face."""
    if not said.startswith(b"ADVANCED_FACE"):
        return None
    surface, at = _entity(part, _references(said)[-1], at)
    frame = _references(_entity(part, _references(surface)[0], at)[0])
    if len(frame) != 3:
        return None
    (x, y, z), main = (_triple(_entity(part, number, at)[0]) for number in frame[:2])
    if not abs(main[0]) + abs(main[1]) <= LEAN:
        return None
    if surface.startswith(b"PLANE"):
        return FacePlace(Point(nan, nan), nan, z)
    radius = _RADIUS.search(surface)
    if not surface.startswith(b"CYLINDRICAL_SURFACE") or radius is None:
        return None
    return FacePlace(Point(x, y), 2.0 * float(radius[1]), nan)


def _entity(part: bytes, number: int, at: int) -> tuple[bytes, int]:
    """Return an entity without its number, looked for from a place on, and its own place; nothing if there is none.

    What a face refers to stands behind it.
    """
    mark = b"\n#%d = " % number
    found = part.find(mark, at)
    return (part[found + len(mark) : part.find(b";", found)], found) if found >= 0 else (b"", at)


def _references(said: bytes) -> list[int]:
    return [int(n) for n in _NUMBER.findall(said)]


def _triple(said: bytes) -> tuple[float, float, float]:
    """Return the numbers of a point or of a direction; none of them a number if it has not three."""
    found = _POINT.search(said)
    parts = found[1].split(b",") if found else []
    return (float(parts[0]), float(parts[1]), float(parts[2])) if len(parts) == 3 else (nan, nan, nan)
