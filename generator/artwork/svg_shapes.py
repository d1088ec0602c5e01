"""The basic shapes of SVG as runs of lines and elliptic arcs (W3C, Scalable Vector Graphics 1.1, section 9)."""

from __future__ import annotations

from collections.abc import Callable
from math import hypot, pi, sqrt
from typing import Final, NamedTuple

from generator.artwork.svg_numbers import WrongError, length, numbers
from generator.artwork.svg_path import XY, Line, Oval, Part, Trail, trails
from generator.artwork.svg_xml import Element


class Viewport(NamedTuple):
    """What 100 % is, in user units."""

    width: float
    height: float

    @property
    def other(self) -> float:
        """Return what 100 % is for lengths that are neither across nor up."""
        return hypot(self.width, self.height) / sqrt(2.0)


def trails_of(element: Element, viewport: Viewport, most: int) -> list[Trail]:
    """Return what an element draws; nothing if it has no extent.

    Args:
        element: of one of the kinds in ``DRAWN``.
        viewport: what shares are shares of.
        most: number of segments beyond which nothing is done.
    Raises: WrongError: a value cannot be read, or too many segments.
    """
    return DRAWN[element.tag](element, viewport, most)


def across(element: Element, key: str, viewport: Viewport, default: str = "0") -> float:
    """Return a horizontal length of an element."""
    return _read(element, key, viewport.width, default)


def up(element: Element, key: str, viewport: Viewport, default: str = "0") -> float:
    """Return a vertical length of an element."""
    return _read(element, key, viewport.height, default)


def _read(element: Element, key: str, whole: float, default: str = "0") -> float:
    try:
        return length(element.attributes.get(key, default), whole)
    except WrongError as error:
        raise WrongError(f"{key}: {error}") from error


def _size(element: Element, key: str, whole: float) -> float:
    value = _read(element, key, whole)
    if value < 0.0:
        raise WrongError(f"{key}: found {value:g}, expected 0 or more")
    return value


def _path(element: Element, _viewport: Viewport, most: int) -> list[Trail]:
    return trails(element.attributes.get("d", ""), most)


def _line(element: Element, viewport: Viewport, _most: int) -> list[Trail]:
    start = across(element, "x1", viewport), up(element, "y1", viewport)
    return [Trail(start, [Line((across(element, "x2", viewport), up(element, "y2", viewport)))])]


def _polyline(element: Element, _viewport: Viewport, most: int) -> list[Trail]:
    try:
        values = numbers(element.attributes.get("points", ""))
    except WrongError as error:
        raise WrongError(f"points: {error}") from error
    if len(values) % 2:
        raise WrongError(f"points: found {len(values)} numbers, expected pairs")
    if len(values) // 2 > most:
        raise WrongError(f"more than {most} segments of paths, far more than an outline needs: simplify it")
    points = list(zip(values[::2], values[1::2], strict=True))
    if len(points) < 2:
        return []
    return [Trail(points[0], [Line(p) for p in points[1:]])]


def _polygon(element: Element, viewport: Viewport, most: int) -> list[Trail]:
    runs = _polyline(element, viewport, most)
    for run in runs:
        if run.end != run.start:
            run.parts.append(Line(run.start))
        run.closed = True
    return runs


def _rect(element: Element, viewport: Viewport, _most: int) -> list[Trail]:
    w, h = _size(element, "width", viewport.width), _size(element, "height", viewport.height)
    if w == 0.0 or h == 0.0:
        return []
    x, y = across(element, "x", viewport), up(element, "y", viewport)
    rx, ry = _corner(element, viewport)
    return [rectangle(x, y, w, h, min(rx, w / 2.0), min(ry, h / 2.0))]


def _corner(element: Element, viewport: Viewport) -> tuple[float, float]:
    """Return the radii of the corners: where one is not given it is the other."""
    there = {k: element.attributes.get(k, "auto").strip() not in ("auto", "") for k in ("rx", "ry")}
    rx = _size(element, "rx", viewport.width) if there["rx"] else None
    ry = _size(element, "ry", viewport.height) if there["ry"] else None
    return (rx if rx is not None else ry or 0.0), (ry if ry is not None else rx or 0.0)


def rectangle(x: float, y: float, w: float, h: float, rx: float = 0.0, ry: float = 0.0) -> Trail:
    """Return a rectangle with rounded corners, from the left end of its upper side round with rising angles."""
    if rx == 0.0 or ry == 0.0:
        return Trail((x, y), [Line(p) for p in ((x + w, y), (x + w, y + h), (x, y + h), (x, y))], closed=True)
    parts: list[Part] = []
    corners: tuple[tuple[XY, XY, float, XY], ...] = (
        ((x + w - rx, y), (x + w - rx, y + ry), 1.5 * pi, (x + w, y + ry)),
        ((x + w, y + h - ry), (x + w - rx, y + h - ry), 0.0, (x + w - rx, y + h)),
        ((x + rx, y + h), (x + rx, y + h - ry), 0.5 * pi, (x, y + h - ry)),
        ((x, y + ry), (x + rx, y + ry), pi, (x + rx, y)),
    )
    for before, centre, first, end in corners:
        parts += [Line(before), Oval(centre, (rx, 0.0), (0.0, ry), first, 0.5 * pi, end)]
    return Trail((x + rx, y), parts, closed=True)


def _circle(element: Element, viewport: Viewport, _most: int) -> list[Trail]:
    r = _size(element, "r", viewport.other)
    return _oval(across(element, "cx", viewport), up(element, "cy", viewport), r, r)


def _ellipse(element: Element, viewport: Viewport, _most: int) -> list[Trail]:
    rx, ry = _corner(element, viewport)
    return _oval(across(element, "cx", viewport), up(element, "cy", viewport), rx, ry)


def _oval(cx: float, cy: float, rx: float, ry: float) -> list[Trail]:
    if rx == 0.0 or ry == 0.0:
        return []
    ends = ((cx, cy + ry), (cx - rx, cy), (cx, cy - ry), (cx + rx, cy))
    parts = [Oval((cx, cy), (rx, 0.0), (0.0, ry), k * pi / 2.0, pi / 2.0, end) for k, end in enumerate(ends)]
    return [Trail((cx + rx, cy), list(parts), closed=True)]


DRAWN: Final[dict[str, Callable[[Element, Viewport, int], list[Trail]]]] = {
    "path": _path,
    "rect": _rect,
    "circle": _circle,
    "ellipse": _ellipse,
    "line": _line,
    "polyline": _polyline,
    "polygon": _polygon,
}
"""Elements that are outlines, and how each is read."""
