"""Bridges: strips of a sheet left standing in what is cut through it, so that nothing falls out.

Every piece of the cut is looked at by itself. Ways across it that could carry a bridge are gathered, put together with
their mirror images where the cut is symmetric, and taken one by one, the cheapest for what it holds first, until every
island hangs together with the sheet by as many bridges as asked for, on different sides. Then those that turned out
needless are given up again, the dearest first.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import suppress
from math import floor

from generator.base.errors import GeometryError
from generator.base.units import MODEL
from generator.outline.chords import inner_point
from generator.outline.combine import difference
from generator.outline.create import polygon, rectangle
from generator.outline.measure import bounds, signed_area
from generator.outline.predicates import is_convex, winding_numbers
from generator.outline.region import Region
from generator.outline.separate import holder_of, separated
from generator.part.bridge_choice import Chooser, Group, Strip
from generator.part.crossings import Sheet
from generator.part.islands import islands, outer_contour, pieces_left
from generator.part.relation import covers

__all__ = ["bridged", "sheet_round", "widest_bridge"]

_NARROWER = (0.75, 0.5, 0.25, 0.1)
"""Shares of the width that are tried where no bridge is found, the widest first."""
_HALVINGS = 6
"""So often the span between a width that does and one that does not is halved."""
NOISE = 1e-6


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


def sheet_round(cut: Region, frame: Region) -> Region:
    """Return what bridges lead to: the frame, or where the cut reaches over its edge a sheet that goes round both.

    What is cut off at the edge falls out whatever bridges there are: it is for whoever judges where artwork lies.
    """
    if covers(frame, cut):
        return frame
    a, b = bounds(frame), bounds(cut)
    xmin, ymin = min(a.xmin, b.xmin), min(a.ymin, b.ymin)
    xmax, ymax = max(a.xmax, b.xmax), max(a.ymax, b.ymax)
    more = max(xmax - xmin, ymax - ymin)
    return Region((rectangle(xmin - more, ymin - more, xmax + more, ymax + more),))


def widest_bridge(cut: Region, frame: Region, width_mm: float) -> float:
    """Return the width if bridges so wide hold everything, else the widest that was found to do, mm; 0 for none."""
    return width_mm if _does(cut, frame, width_mm) else _widest(cut, frame, width_mm)


def _groups(cut: Region, sheet: Sheet) -> Iterator[Group]:
    """Yield the islands by the piece of the cut that goes round them.

    What lies round a piece of the cut is held by itself, so its islands may be joined to it whatever it is; not so what
    lies within them, which they themselves have to hold.
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
        yield Group(part, tuple(mine), everything - loose - _within(sheet, mine))


def _within(sheet: Sheet, mine: list[int]) -> frozenset[int]:
    """Return the numbers of the loose pieces that lie within some of the islands."""
    islands_ = [outer_contour(sheet.left.pieces[k]) for k in mine]
    rest = [k for k in sheet.left.loose if k not in mine]
    return frozenset(k for k in rest if holder_of(outer_contour(sheet.left.pieces[k]), islands_) is not None)


def _no_way(cut: Region, frame: Region, loose: Region, width_mm: float) -> GeometryError:
    """Return the error of an island that no bridge reaches, with the widest bridge that was found to do."""
    at, box = inner_point(loose) or bounds(loose).centre, bounds(loose)
    piece = f"the loose piece of {box.width_mm:.2f} x {box.height_mm:.2f} mm at ({at.x:z.2f}, {at.y:z.2f})"
    message = f"no bridge {width_mm:g} mm wide reaches {piece}"
    if widest := _widest(cut, frame, width_mm):
        return GeometryError(f"{message}; set their width to at most {widest:g} mm", point_mm=at)
    least = _NARROWER[-1] * width_mm
    return GeometryError(
        f"{message}, nor one of {least:.3g} mm; let it in separately, or draw all of it at least twice as large",
        point_mm=at,
    )


def _widest(cut: Region, frame: Region, width_mm: float) -> float:
    """Return a width that does, mm, the widest of a few tries and so much nearer by halving; 0 where none does."""
    high = width_mm
    for share in _NARROWER:
        low = _told(share * width_mm)
        if low > 0.0 and _does(cut, frame, low):
            break
        high = low
    else:
        return 0.0
    for _ in range(_HALVINGS):
        middle = _told((low + high) / 2.0)
        if middle in (low, high):
            break
        low, high = (middle, high) if _does(cut, frame, middle) else (low, middle)
    return low


def _told(width_mm: float) -> float:
    """Return a width in hundredths of a millimetre, as it is told."""
    return floor(width_mm * 100.0 + NOISE) / 100.0


def _does(cut: Region, frame: Region, width_mm: float) -> bool:
    """Return True if bridges of this width hold everything."""
    with suppress(GeometryError):
        left = pieces_left(frame, cut)
        tried = _tried(cut, Sheet(left), width_mm)
        if _goes_round(frame, cut) and len(left.loose) == _holes(cut) and not _holes(tried):
            return True  # each island was a hole of the cut, and none is left
        return not islands(frame, tried)
    return False


def _tried(cut: Region, sheet: Sheet, width_mm: float) -> Region:
    """Return the cut with one bridge an island, whether or not it holds all."""
    strips = [s for group in _groups(cut, sheet) for s in Chooser(sheet, group, width_mm, 1).strips()]
    return _less(cut, strips)


def _goes_round(frame: Region, cut: Region) -> bool:
    """Return True if the corners of the cut's box lie in a sheet of one convex outline: it cuts nothing off there."""
    if len(frame) != 1 or not is_convex(frame.contours[0]):
        return False
    (xmin, ymin, xmax, ymax), out = bounds(cut), 10.0 * MODEL.model_mm
    xs, ys = (xmin - out, xmax + out), (ymin - out, ymax + out)
    return bool((winding_numbers(frame, [(x, y) for x in xs for y in ys]) > 0).all())


def _holes(cut: Region) -> int:
    """Return how many holes a cut has: pieces of the sheet that it goes round."""
    return sum(signed_area(c) <= 0.0 for c in cut)


def _less(cut: Region, strips: Iterable[Strip]) -> Region:
    return difference(cut, *(Region((polygon(s.corners),)) for s in strips))
