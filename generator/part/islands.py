"""Pieces that fall out: what is cut free of the piece that it was part of, such as the inside of an O."""

from __future__ import annotations

from collections.abc import Sequence

from generator.base.frozen_record import frozen_record
from generator.outline.chords import inner_point
from generator.outline.combine import difference
from generator.outline.contour import Contour, Point
from generator.outline.measure import bounds, signed_area
from generator.outline.region import EMPTY, Region
from generator.outline.separate import separated
from generator.outline.winding import winding_numbers

__all__ = ["Pieces", "islands", "outer_contour", "pieces_left"]


@frozen_record
class Pieces:
    """What is left of a sheet after something was cut through it.

    Attributes:
        material: all of it.
        pieces: its connected pieces.
        loose: numbers of the pieces that fall out.
    """

    material: Region
    pieces: tuple[Region, ...]
    loose: tuple[int, ...]


def islands(profile: Region, cut: Region = EMPTY) -> tuple[Region, ...]:
    """Return the pieces that are joined to nothing, the largest first.

    Without a ``cut`` they are the pieces that lie in a hole of another piece. With one, each piece of the profile is
    what hangs together before; of what is left of it the largest piece is kept, and the others fall out.

    Raises:
        OffsetError: the cut could not be taken away.
    """
    left = pieces_left(profile, cut)
    return tuple(left.pieces[k] for k in left.loose)


def pieces_left(profile: Region, cut: Region = EMPTY) -> Pieces:
    """Return the pieces of a profile less a cut, and which of them fall out.

    Raises:
        OffsetError: the cut could not be taken away.
    """
    material = difference(profile, cut) if cut else profile
    pieces = separated(material)
    sheets = separated(profile) if cut else _outermost(pieces)
    return Pieces(material, pieces, _loose(pieces, sheets))


def outer_contour(piece: Region) -> Contour:
    """Return the contour round a connected piece."""
    return max(piece, key=signed_area)


def _outermost(pieces: Sequence[Region]) -> tuple[Region, ...]:
    """Return the areas inside those outer contours that no other one goes round."""
    areas = [Region((outer_contour(p),)) for p in pieces]
    points = [inner_point(p) for p in pieces]
    return tuple(a for a, p in zip(areas, points, strict=True) if not any(_goes_round(o, a, p) for o in areas))


def _goes_round(area: Region, other: Region, inside: Point | None) -> bool:
    """Return True if ``area`` is the larger one and holds the point inside the other."""
    return inside is not None and _size(area) > _size(other) and bool(winding_numbers(area, [inside])[0] > 0)


def _loose(pieces: Sequence[Region], sheets: Sequence[Region]) -> tuple[int, ...]:
    """Return the numbers of all pieces but the largest of every sheet."""
    points = [inner_point(p) for p in pieces]
    loose: list[int] = []
    for sheet in sheets:
        mine = [k for k, p in enumerate(points) if p is not None and winding_numbers(sheet, [p])[0] > 0]
        loose += sorted(mine, key=lambda k: -_size(pieces[k]))[1:]
    return tuple(sorted(loose))


def _size(piece: Region) -> float:
    """Return how much room a piece takes: the area of its box."""
    box = bounds(piece)
    return box.width_mm * box.height_mm
