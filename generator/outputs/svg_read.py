"""Read outlines and texts back from an SVG drawing: the reader beside the writer, with arithmetic of its own.

Knows just what the drawings use: absolute M, L, A (circular, at most half a turn) and Z, and upright or quarter-turned
texts. Anything else is an error, so that a drawing that says more than is checked cannot pass.
"""

from __future__ import annotations

import re
from math import asin, atan2, cos, hypot, pi, sin
from xml.etree import ElementTree

from generator.base.errors import CoverplateError
from generator.base.frozen_record import frozen_record
from generator.outputs.lettering import Box, text_box

__all__ = ["Arc", "Drawing", "DrawnPath", "DrawnText", "SvgError", "read_drawing"]

_NAMESPACE = "{http://www.w3.org/2000/svg}"
_TOKEN = re.compile(r"([MLAZ])|(-?\d+(?:\.\d+)?)|([^\s,])")


class SvgError(CoverplateError):
    """The drawing holds something that the reader does not know."""


@frozen_record
class Arc:
    """A line (radius 0) or arc between two points, mm; ``turn`` is +1 counter-clockwise (y up), -1 clockwise."""

    x0: float
    y0: float
    x1: float
    y1: float
    radius: float = 0.0
    turn: int = 0

    @property
    def sweep(self) -> float:
        """Return the angle swept, radians; not negative."""
        if self.radius == 0.0:
            return 0.0
        return 2.0 * asin(min(1.0, hypot(self.x1 - self.x0, self.y1 - self.y0) / (2.0 * self.radius)))

    def area(self) -> float:
        """Return the area between the arc and the origin, signed: triangle plus circular segment."""
        a = self.sweep
        return (self.x0 * self.y1 - self.x1 * self.y0) / 2.0 + self.turn * self.radius**2 * (a - sin(a)) / 2.0

    def extremes(self) -> list[tuple[float, float]]:
        """Return the ends and the points of the arc that lie farthest left, right, up or down."""
        out = [(self.x0, self.y0), (self.x1, self.y1)]
        if self.radius == 0.0:
            return out
        half = hypot(self.x1 - self.x0, self.y1 - self.y0) / 2.0
        rise = max(0.0, self.radius**2 - half**2) ** 0.5 / half * self.turn
        cx = (self.x0 + self.x1) / 2.0 - rise * (self.y1 - self.y0) / 2.0
        cy = (self.y0 + self.y1) / 2.0 + rise * (self.x1 - self.x0) / 2.0
        start, sweep = atan2(self.y0 - cy, self.x0 - cx), self.sweep
        for quarter in range(4):
            angle = quarter * pi / 2.0
            if ((angle - start) * self.turn) % (2.0 * pi) <= sweep:
                out.append((cx + self.radius * cos(angle), cy + self.radius * sin(angle)))
        return out


@frozen_record
class DrawnPath:
    """A path of a layer: closed contours in the coordinates that it was written in."""

    layer: str
    contours: tuple[tuple[Arc, ...], ...]

    @property
    def area(self) -> float:
        """Return the area, holes taken off by their direction."""
        return sum(a.area() for c in self.contours for a in c)

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Return xmin, ymin, xmax, ymax."""
        points = [p for c in self.contours for a in c for p in a.extremes()]
        xs, ys = zip(*points, strict=True)
        return min(xs), min(ys), max(xs), max(ys)


@frozen_record
class DrawnText:
    """A text and the box that it may fill."""

    text: str
    box: Box


@frozen_record
class Drawing:
    """What was read: the sheet, its size on paper (mm), the layers' paths, all texts, areas that no cutter reaches."""

    sheet: Box
    size_mm: tuple[float, float]
    paths: tuple[DrawnPath, ...]
    texts: tuple[DrawnText, ...]
    unreached: tuple[DrawnPath, ...] = ()


def read_drawing(data: bytes) -> Drawing:
    """Return sheet, layers and texts of a drawing.

    Raises: SvgError: it is not well-formed or holds what the reader does not know.
    """
    try:
        root = ElementTree.fromstring(data)
    except ElementTree.ParseError as error:
        raise SvgError(f"not well-formed: {error}") from error
    left, top, width, height = (float(n) for n in root.attrib["viewBox"].split())
    size = tuple(_millimetres(root.attrib[k]) for k in ("width", "height"))
    paths = tuple(
        DrawnPath(e.attrib["data-layer"], read_path(e.attrib["d"]))
        for e in root.iter(f"{_NAMESPACE}path")
        if "data-layer" in e.attrib
    )
    unreached = tuple(
        DrawnPath(e.attrib["data-reach"], read_path(e.attrib["d"]))
        for e in root.iter(f"{_NAMESPACE}path")
        if "data-reach" in e.attrib
    )
    texts = tuple(_text(e) for e in root.iter(f"{_NAMESPACE}text"))
    return Drawing(Box(left, top, left + width, top + height), (size[0], size[1]), paths, texts, unreached)


def _millimetres(text: str) -> float:
    if not text.endswith("mm"):
        raise SvgError(f"a size in mm was expected, not {text}")
    return float(text[:-2])


def _text(element: ElementTree.Element) -> DrawnText:
    a = element.attrib
    turned = a.get("transform", "")
    if turned and not turned.startswith("rotate(-90 "):
        raise SvgError(f"a text is turned in an unknown way: {turned}")
    text = element.text or ""
    box = text_box(
        text,
        float(a["x"]),
        float(a["y"]),
        float(a["font-size"]),
        anchor=a.get("text-anchor", "start"),
        bold=a.get("font-weight") == "bold",
        upright=bool(turned),
    )
    return DrawnText(text, box)


def read_path(d: str) -> tuple[tuple[Arc, ...], ...]:
    """Return the closed contours of SVG path data.

    Raises: SvgError: an unknown letter, a missing number, an arc of more than half a turn, an open contour.
    """
    contours: list[tuple[Arc, ...]] = []
    current: list[Arc] = []
    start = at = (0.0, 0.0)
    for letter, n in _commands(d):
        if letter == "M":
            if current:
                raise SvgError("an open contour")
            start = at = (n[0], n[1])
        elif letter == "L":
            current.append(Arc(*at, n[0], n[1]))
            at = (n[0], n[1])
        elif letter == "A":
            if n[0] != n[1] or n[2] != 0.0 or n[3] != 0.0:
                raise SvgError("an arc that is not circular or sweeps more than half a turn")
            current.append(Arc(*at, n[5], n[6], n[0], 1 if n[4] else -1))
            at = (n[5], n[6])
        else:
            if at != start:
                current.append(Arc(*at, *start))
            contours.append(tuple(current))
            current = []
    if current:
        raise SvgError("an open contour")
    return tuple(contours)


_COUNTS = {"M": 2, "L": 2, "A": 7, "Z": 0}


def _commands(d: str) -> list[tuple[str, list[float]]]:
    """Return path data as letters with their numbers."""
    out: list[tuple[str, list[float]]] = []
    for letter, number, other in _TOKEN.findall(d):
        if other or (number and not out):
            raise SvgError(f"unknown path data: {other or number}")
        if letter:
            out.append((letter, []))
        else:
            out[-1][1].append(float(number))
    for letter, numbers in out:
        if len(numbers) != _COUNTS[letter]:
            raise SvgError(f"{letter} wants {_COUNTS[letter]} numbers, not {len(numbers)}")
    return out
