"""Read what is drawn in an SVG file as a region.

Paths, basic shapes, groups, references, transforms, viewports, strokes, style sheets and clip paths are read; what
cannot be an area (letters, pictures, filters, ...) is left out and told. Nothing in such a file can reach other files,
the network, or run; size, number and depth are bounded before anything is done with them.
"""

from __future__ import annotations

from typing import Final

from generator.artwork.hairlines import without_slivers
from generator.artwork.svg_areas import sound
from generator.artwork.svg_draw import Walk
from generator.artwork.svg_letter_sizes import refuse_letter_sizes
from generator.artwork.svg_numbers import WrongError
from generator.artwork.svg_seen import Painted, seen_of
from generator.artwork.svg_view import Page, page_of
from generator.artwork.svg_xml import SvgError, parse
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour
from generator.outline.measure import bounds, signed_area
from generator.outline.region import Region

DARK, ALL = "dark", "all"
INKS: Final = (DARK, ALL)
_MARKS: Final = (b"\x1f\x8b", b"\xff\xfe<\x00", b"\xfe\xff\x00<")
"""How compressed files begin, and XML in two bytes a sign."""
_REMEDIES: Final = {
    "text": ": convert letters to paths in your drawing program",
    "image": ": trace pictures, or give them as `picture`",
}
_TOLD: Final = 12
"""So many kinds of things that were left out are told one by one."""


@frozen_record
class SvgDrawing:
    """What was found in an SVG file.

    Attributes:
        region: the area, mm, y up.
        unit_note: how long one unit of the drawing is, and why.
        left_out: what could not be an area, in words, with number and line.
    """

    region: Region
    unit_note: str
    left_out: tuple[str, ...] = ()


def read_svg(
    data: bytes, *, element: str | None = None, ink: str = DARK, factor: float = 1.0, name: str = ""
) -> SvgDrawing:
    """Return what is drawn in an SVG file.

    Args:
        data: the file, plain or compressed (gzip).
        element: only the element with this id, whether it can be seen or not; without it, everything that is seen.
        ink: ``dark``: what shows dark, so that a light shape over a dark one takes away from it; ``all``: whatever is
            painted in any colour.
        factor: by which the drawing is enlarged; its curves are within tolerance at that size.
        name: of the file, for messages.

    Returns: the region; its origin is the lower left corner of the sheet, or SVG's own if there is no sheet.
    Raises: GeometryError: not an SVG file, a damaged one, one that is too large or reaches too far, or nothing to see.
    """
    try:
        return _read(data, element, ink, factor)
    except SvgError as error:
        if not name or not error.line:
            raise
        text = str(error).partition(": ")[2]
        raise GeometryError(f"{name}:{error.line}: {text}", point_mm=error.point_mm) from error


def _read(data: bytes, element: str | None, ink: str, factor: float) -> SvgDrawing:
    document = parse(data)
    refuse_letter_sizes(document)
    try:
        page = page_of(document.root)
    except WrongError as error:
        raise SvgError(document.root.line, f"svg: {error}") from error
    walk = Walk(document, page.enlarged(factor))
    layers = list(walk.only(element) if element else walk.all())
    region, slivers = without_slivers(sound(seen_of(layers, every=ink == ALL)), factor)
    notes = (*_told(walk), *slivers, *(() if element else _beyond(region, page, factor)))
    if not region:
        raise GeometryError(_nothing(layers, element, notes))
    return SvgDrawing(region, page.note, notes)


def _beyond(region: Region, page: Page, factor: float) -> tuple[str, ...]:
    """Return what is to be told of pieces that lie wholly beside the sheet, where viewers show nothing."""
    if page.size_mm is None:
        return ()
    w, h = (size * factor for size in page.size_mm)
    boxes = [bounds(Region((c,))) for c in region if _begins_off(c, w, h) and signed_area(c) > 0.0]
    off = [b for b in boxes if b.xmax <= 0.0 or b.ymax <= 0.0 or b.xmin >= w or b.ymin >= h]
    if not off:
        return ()
    x, y = (round(n / factor, 3) + 0.0 for n in (off[0].xmin, off[0].ymin))
    return (
        f"{len(off)} of the pieces beyond the sheet, the first at ({x:g}, {y:g}) mm: viewers show nothing there, "
        "but it counts here; delete what is not meant",
    )


def _begins_off(contour: Contour, w: float, h: float) -> bool:
    v = contour.vertices[0]
    return not (0.0 < v.x < w and 0.0 < v.y < h)


def is_svg(data: bytes) -> bool:
    """Return whether a file may be an SVG drawing: XML, plain or compressed."""
    return data.startswith(_MARKS) or data.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"<")


def _told(walk: Walk) -> tuple[str, ...]:
    found = [
        f"{n} {what} left out (first in line {line}){_REMEDIES.get(what, '')}"
        for what, (n, line) in walk.left_out.items()
    ]
    found += [f"{n} {what} left out" for what, n in sorted(walk.notes.items())]
    more = len(found) - _TOLD
    return (*found[:_TOLD], *([f"and {more} more"] if more > 0 else []))


def _nothing(layers: list[Painted], element: str | None, notes: tuple[str, ...]) -> str:
    where = f"in the element {element!r}" if element else "in the drawing"
    others = f" ({'; '.join(notes)})" if notes else ""
    if layers and not any(p.dark for p in layers):
        return f"nothing dark {where}: all it paints is light; write `ink: all` to take every colour{others}"
    return f"nothing {where} has an area: no paths or shapes that are filled or stroked{others}"
