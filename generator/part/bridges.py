"""Bridges: strips of a sheet left standing in what is cut through it, so that nothing falls out.

Every piece of the cut is looked at by itself. Ways across it that could carry a bridge are gathered, put together with
their mirror images where the cut is symmetric, and taken one by one, the cheapest for what it holds first, until every
island hangs together with the sheet by as many bridges as asked for, on different sides. Then those that turned out
needless are given up again, the dearest first.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import suppress

from generator.base.errors import GeometryError
from generator.outline.chords import inner_point
from generator.outline.combine import difference
from generator.outline.create import polygon
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.outline.separate import holder_of, separated
from generator.part.bridge_choice import Chooser, Group, Strip
from generator.part.crossings import Sheet
from generator.part.islands import islands, outer_contour, pieces_left

__all__ = ["bridged"]

_NARROWER = (0.75, 0.5, 0.25, 0.1)
"""Shares of the width that are tried where no bridge is found."""


def bridged(cut: Region, frame: Region, *, width_mm: float, count: int = 1) -> Region:
    """Return what is to be cut so that nothing falls out of the sheet: ``cut`` less bridges of even width.

    Bridges are straight with parallel sides. They are short, keep off thin places of the pieces they join, and are
    symmetric where the cut is: about an upright or level axis, or the main axis. A sharp corner stays in the cut on
    either side of a bridge; opening the result by a cutter's radius rounds it and makes no bridge thinner.

    Args:
        cut: what is cut through.
        frame: the sheet; its pieces are what hangs together before.
        width_mm: of every bridge.
        count: bridges that every island has at least, where there is room. With 1, only one mirror axis counts.

    Raises:
        GeometryError: no bridge of this width can hold an island; says which one, and the widest that was found to do.
        OffsetError: a boolean failed.
    """
    if width_mm <= 0.0 or count < 1:
        raise GeometryError(f"a bridge needs a positive width and count, not {width_mm:g} mm and {count}")
    left = pieces_left(frame, cut)
    if not left.loose:
        return cut
    sheet, strips = Sheet(left), []
    for group in _groups(cut, sheet):
        strips += Chooser(sheet, group, width_mm, count).strips()
    made = _less(cut, strips)
    if loose := islands(frame, made):
        raise _no_way(cut, frame, loose[0], width_mm)
    return made


def _groups(cut: Region, sheet: Sheet) -> Iterator[Group]:
    """Yield the islands by the piece of the cut that goes round them.

    What lies round a piece of the cut is held by itself, so its islands may be joined to it whatever it is.
    """
    parts = separated(cut)
    outlines = [outer_contour(p) for p in parts]
    inside: dict[int | None, list[int]] = {}
    for k in sheet.left.loose:
        inside.setdefault(holder_of(outer_contour(sheet.left.pieces[k]), outlines), []).append(k)
    everything = frozenset(range(len(sheet.left.pieces)))
    for holder, mine in inside.items():
        part = cut if holder is None else parts[holder]
        loose = frozenset(sheet.left.loose) if holder is None else frozenset(mine)
        yield Group(part, tuple(mine), everything - loose)


def _no_way(cut: Region, frame: Region, loose: Region, width_mm: float) -> GeometryError:
    """Return the error of an island that no bridge reaches, with a width that does if a few tries find one."""
    at = inner_point(loose) or bounds(loose).centre
    message = f"no bridge {width_mm:g} mm wide reaches the loose piece at ({at.x:.6g}, {at.y:.6g})"
    for share in _NARROWER:
        with suppress(GeometryError):
            if not islands(frame, _tried(cut, frame, share * width_mm)):
                return GeometryError(f"{message}; set their width to {share * width_mm:.3g} mm", point_mm=at)
    return GeometryError(f"{message}; let it in separately, or leave more room round it", point_mm=at)


def _tried(cut: Region, frame: Region, width_mm: float) -> Region:
    """Return the cut with one bridge an island, whether or not it holds all."""
    sheet = Sheet(pieces_left(frame, cut))
    strips = [s for group in _groups(cut, sheet) for s in Chooser(sheet, group, width_mm, 1).strips()]
    return _less(cut, strips)


def _less(cut: Region, strips: Iterable[Strip]) -> Region:
    return difference(cut, *(Region((polygon(s.corners),)) for s in strips))
