"""A sheet to take to the bench with a caliper: the footprint with its numbers, what to measure, room for readings."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import atan2, cos, degrees, hypot, pi, sin
from typing import Final

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.base.paper_sizes import Format
from generator.outline.contour import Point, Segment, Vertex
from generator.paper.box import Box
from generator.paper.drawing.lettered import BALLOON_MM, draw_arrow, draw_balloon
from generator.paper.letters import fitted, line_pitch
from generator.paper.lines import GREY, NARROW, VISIBLE, Line
from generator.paper.sheet import Easel, Sheet, Track, circle, line, polyline, rectangle
from generator.paper.words import wrapped

__all__ = ["Row", "Shown", "caliper_sheet"]

EDGE_MM: Final = 15.0
TEXT_MM: Final = 2.5
PITCH_MM: Final = line_pitch(TEXT_MM)
LARGEST: Final = 3.0
ROW_MM: Final = 8.5
ID_MM: Final = 20.0
VALUE_MM: Final = 30.0
BLUE: Final = (0.0, 0.33, 0.62)
MEASURE: Final = Line("measure", 0.25, (), BLUE)
LEADER: Final = Line("leader", 0.18, (), GREY)
HOW: Final = (
    "Close the jaws on nothing: the caliper must show 0.00. Use the flat parts of the outside jaws, the tips of the "
    "inside jaws for holes. Press lightly and rock the caliper until the reading turns: the smallest for outside "
    "widths, the largest for the diameter of a hole.",
    "Centre distance of two holes of one diameter: over both, far edge to far edge, less the diameter; or write the "
    "reading itself as over_holes. Keep off burrs and chips; read each twice, and write what the display shows.",
)


Lie = Callable[[tuple[float, float]], tuple[float, float]]
"""From the footprint to the sheet."""


Ends = tuple[tuple[float, float], tuple[float, float]]


@frozen_record
class Shown:
    """One edge of the picture.

    Attributes:
        number: beside it.
        start, end: mm; the same for a full circle.
        bulge: of the edge; of a full circle 0.
        radius_mm: of a full circle about ``start``; 0 for edges.
        is_open: it bounds an opening: its number stands within.
    """

    number: int
    start: tuple[float, float]
    end: tuple[float, float]
    bulge: float = 0.0
    radius_mm: float = 0.0
    is_open: bool = False


@frozen_record
class Row:
    """One reading to take.

    Attributes:
        id: how it is called.
        what: what is measured, in words.
        value: the reading if it was taken, else empty.
        along: from where to where, mm, or nothing.
        touched: what the jaws touch where the arrow lies beside the part, mm, or nothing.
    """

    id: str
    what: str
    value: str = ""
    along: Ends | None = None
    touched: Ends | None = None


def caliper_sheet(paper: Format, name: str, unit: str, shown: Sequence[Shown], rows: Sequence[Row]) -> Sheet:
    """Return the sheet.

    Args:
        paper: it lies upright.
        name: of the footprint.
        unit: in which readings are written: ``mm`` or ``inches``.
        shown: the edges.
        rows: what to measure, in order.
    """
    sheet = paper.portrait
    easel = Easel()
    width = sheet.width_mm - 2.0 * EDGE_MM
    top = sheet.height_mm - EDGE_MM
    easel.write(fitted(f"Caliper sheet: {name}", 5.0, width, bold=True), (EDGE_MM, top - 5.0), 5.0, bold=True)
    easel.draw(line((EDGE_MM, top - 8.0), (EDGE_MM + width, top - 8.0)), kind=VISIBLE)
    table = ROW_MM * (len(rows) + 1)
    how = [w for sentence in HOW for w in wrapped(sentence, TEXT_MM, width)]
    foot = PITCH_MM * (len(how) + 1)
    box = Box(EDGE_MM, EDGE_MM + foot + table + 4.0, EDGE_MM + width, top - 11.0)
    _picture(easel, box, shown, rows)
    y = _table(easel, Box(EDGE_MM, EDGE_MM + foot, EDGE_MM + width, box.bottom - 2.0), unit, rows)
    y -= 3.0 + TEXT_MM
    for text in how:
        easel.write(text, (EDGE_MM, y), TEXT_MM)
        y -= PITCH_MM
    easel.write(
        "Picture not to scale. Measured by ....................... on ...................", (EDGE_MM, y), TEXT_MM
    )
    return Sheet(sheet, tuple(easel.items), f"caliper sheet {name}")


def _picture(easel: Easel, box: Box, shown: Sequence[Shown], rows: Sequence[Row]) -> None:
    """Draw the footprint, what is to be measured on it, and the numbers."""
    arrows = [r for r in rows if r.along is not None and not r.value]
    extent = Box.around([*(p for s in shown for p in _places(s)), *(p for r in arrows for p in r.along or ())])
    room = box.grown(-2.0 * BALLOON_MM)
    scale = min(room.width / extent.width, room.height / extent.height, LARGEST)
    (x, y), (u, v) = box.centre, extent.centre

    def lie(p: tuple[float, float]) -> tuple[float, float]:
        return x + scale * (p[0] - u), y + scale * (p[1] - v)

    for s in shown:
        if s.radius_mm:
            easel.draw(circle(lie(s.start), s.radius_mm * scale), kind=VISIBLE, name=f"edge-{s.number}")
        else:
            start, end = lie(s.start), lie(s.end)
            easel.draw(Track((Vertex(*start, s.bulge), Vertex(*end))), kind=VISIBLE, name=f"edge-{s.number}")
            easel.draw(circle(start, 0.6), kind=None, fill=(0.0, 0.0, 0.0))
    taken = [Box(0.0, 0.0, 0.0, 0.0)]
    for row in arrows:
        assert row.along is not None
        for end, touched in zip(row.along, row.touched or (), strict=False):
            easel.draw(line(lie(touched), lie(end)), kind=LEADER)
        _measure(easel, row.id, lie(row.along[0]), lie(row.along[1]), taken)
    for s in shown:
        _number(easel, s, lie, scale, taken)


def _places(s: Shown) -> list[tuple[float, float]]:
    """Return places on an edge that its box is reckoned from."""
    if s.radius_mm:
        (x, y), r = s.start, s.radius_mm
        return [(x - r, y - r), (x + r, y + r)]
    piece = Segment(Point(*s.start), Point(*s.end), s.bulge)
    if not piece.is_arc:
        return [s.start, s.end]
    c, r = piece.centre, piece.radius_mm
    begin = atan2(s.start[1] - c.y, s.start[0] - c.x)
    return [(c.x + r * cos(a), c.y + r * sin(a)) for a in begin + piece.sweep * np.linspace(0.0, 1.0, 33)]


def _measure(easel: Easel, name: str, start: tuple[float, float], end: tuple[float, float], taken: list[Box]) -> None:
    """Draw a double arrow with its name beside it."""
    easel.draw(line(start, end), kind=MEASURE, name=f"measure-{name}")
    angle = atan2(end[1] - start[1], end[0] - start[0])
    draw_arrow(easel, end, degrees(angle))
    draw_arrow(easel, start, degrees(angle) + 180.0)
    n = (-sin(angle), cos(angle))
    for share in (0.5, 0.38, 0.62, 0.26, 0.74):
        at = tuple(s + share * (e - s) + 2.6 * k for s, e, k in zip(start, end, n, strict=True))
        here = Box(at[0] - 3.2, at[1] - 2.0, at[0] + 3.2, at[1] + 2.0)
        if share == 0.74 or not any(here.overlaps(t) for t in taken):
            break
    taken.append(here)
    easel.write(name, (at[0], at[1] - 1.25), TEXT_MM, anchor="middle", colour=BLUE)


def _number(easel: Easel, s: Shown, lie: Lie, scale: float, taken: list[Box]) -> None:
    """Draw a number beside the middle of its edge, where it meets no other, with a leader if it had to go far."""
    half = BALLOON_MM / 2.0 + 0.4
    options: list[tuple[tuple[float, float], tuple[float, float]]] = []
    if s.radius_mm:
        middle = lie(s.start)
        inside = s.radius_mm * scale
        if inside > half + 0.4:
            options.append((middle, middle))
        for k in range(8):
            n = (cos(k * pi / 4.0 + 0.4), sin(k * pi / 4.0 + 0.4))
            rim = (middle[0] + inside * n[0], middle[1] + inside * n[1])
            options.append((rim, (rim[0] + 1.3 * BALLOON_MM * n[0], rim[1] + 1.3 * BALLOON_MM * n[1])))
    else:
        places = _places(s)
        for far in (0.95, 1.7, 2.6):
            for share in (0.5, 0.35, 0.65, 0.2, 0.8):
                options.append(_beside(places, share, lie, BALLOON_MM * far, inward=s.is_open))
    free = [o for o in options if not any(_about(o[1], half).overlaps(t) for t in taken)]
    at, where = (free or options)[0]
    taken.append(_about(where, half))
    if hypot(where[0] - at[0], where[1] - at[1]) > BALLOON_MM:
        easel.draw(polyline(at, where), kind=LEADER)
    easel.draw(circle(where, BALLOON_MM / 2.0), kind=None, fill=(1.0, 1.0, 1.0))
    draw_balloon(easel, s.number, where)


def _about(at: tuple[float, float], half: float) -> Box:
    return Box(at[0] - half, at[1] - half, at[0] + half, at[1] + half)


def _beside(
    places: list[tuple[float, float]], share: float, lie: Lie, far: float, *, inward: bool
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return a place on an edge and one beside it, on the side away from the material, mm on the sheet."""
    k = share * (len(places) - 1)
    i = min(int(k), len(places) - 2)
    (ax, ay), (bx, by) = lie(places[i]), lie(places[i + 1])
    at = (ax + (k - i) * (bx - ax), ay + (k - i) * (by - ay))
    length = max(hypot(bx - ax, by - ay), 1e-9)
    # loops run counter-clockwise: outside of them is on the right
    side = -1.0 if inward else 1.0
    n = (side * (by - ay) / length, -side * (bx - ax) / length)
    return at, (at[0] + far * n[0], at[1] + far * n[1])


def _table(easel: Easel, box: Box, unit: str, rows: Sequence[Row]) -> float:
    """Draw the table and return where it ends."""
    edges = (box.left, box.left + ID_MM, box.right - VALUE_MM, box.right)
    y = box.top
    for x, word in zip(edges, ("reading", "what to measure, the most helpful first", f"value, {unit}"), strict=False):
        easel.write(word, (x + 1.2, y - ROW_MM / 2.0 - TEXT_MM / 2.0), TEXT_MM, bold=True)
    for row in rows:
        y -= ROW_MM
        easel.draw(line((box.left, y), (box.right, y)), kind=NARROW)
        middle = y - ROW_MM / 2.0
        easel.write(fitted(row.id, TEXT_MM, ID_MM - 2.4), (edges[0] + 1.2, middle - TEXT_MM / 2.0), TEXT_MM)
        lines = wrapped(row.what, TEXT_MM, edges[2] - edges[1] - 2.4)[:2]
        at = middle + (len(lines) - 1) * PITCH_MM / 2.0 - TEXT_MM / 2.0
        for text in lines:
            easel.write(text, (edges[1] + 1.2, at), TEXT_MM)
            at -= PITCH_MM
        if row.value:
            easel.write(row.value, (edges[3] - 1.2, middle - TEXT_MM / 2.0), TEXT_MM, anchor="end")
    y -= ROW_MM
    for x in edges[1:3]:
        easel.draw(line((x, y), (x, box.top)), kind=NARROW)
    easel.draw(rectangle(Box(box.left, y, box.right, box.top)), kind=VISIBLE, name="table")
    return y
