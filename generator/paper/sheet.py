"""A sheet of paper as a value: what is drawn where, in mm from the lower left corner, y up.

One value serves every writer: PDF, DXF, and the tests that ask whether texts collide. Nothing here knows a file format.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from math import cos, pi, sin, tan

from generator.base.frozen_record import frozen_record
from generator.base.paper_sizes import Format
from generator.outline.contour import Vertex
from generator.outline.region import Region
from generator.paper.box import Box
from generator.paper.letters import letters_box
from generator.paper.lines import Colour, Line

__all__ = [
    "Drawn",
    "Easel",
    "Item",
    "Letters",
    "Sheet",
    "Track",
    "Window",
    "arc",
    "circle",
    "line",
    "polyline",
    "rectangle",
    "tracks_of",
]


@frozen_record
class Track:
    """A way of lines and arcs, open or closed; each vertex carries the bulge of the piece that starts there."""

    vertices: tuple[Vertex, ...]
    is_closed: bool = False


def polyline(*points: tuple[float, float], closed: bool = False) -> Track:
    """Return straight lines through ``points`` (mm)."""
    return Track(tuple(Vertex(x, y) for x, y in points), closed)


def line(start: tuple[float, float], end: tuple[float, float]) -> Track:
    """Return a straight line (mm)."""
    return polyline(start, end)


def rectangle(box: Box) -> Track:
    """Return the border of a box."""
    return polyline(
        (box.left, box.bottom), (box.right, box.bottom), (box.right, box.top), (box.left, box.top), closed=True
    )


def circle(centre: tuple[float, float], radius_mm: float) -> Track:
    """Return a circle."""
    x, y = centre
    return Track((Vertex(x + radius_mm, y, 1.0), Vertex(x - radius_mm, y, 1.0)), True)


def arc(centre: tuple[float, float], radius_mm: float, start: float, sweep: float) -> Track:
    """Return an arc from the angle ``start`` over ``sweep`` (radians, positive counter-clockwise, at most 2 π)."""
    n = 1 if abs(sweep) <= pi else 2
    bulge = tan(sweep / n / 4.0)
    angles = [start + sweep * i / n for i in range(n + 1)]
    points = [(centre[0] + radius_mm * cos(a), centre[1] + radius_mm * sin(a)) for a in angles]
    return Track(tuple(Vertex(x, y, bulge) for x, y in points))


def tracks_of(region: Region) -> tuple[Track, ...]:
    """Return the contours of a region as closed tracks."""
    return tuple(Track(c.vertices, True) for c in region)


@frozen_record
class Drawn:
    """Lines drawn in one kind of line, and filled if ``fill`` is given (even-odd, so that holes stay open).

    Attributes:
        tracks: what is drawn, mm on the sheet.
        line: kind of line; None for a fill alone.
        fill: colour inside.
        name: what it stands for, such as ``outer-profile``, so that a reader of the file can find it; empty for the
            rest. Letters, digits, ``-``, ``_`` and ``.`` only.
    """

    tracks: tuple[Track, ...]
    line: Line | None
    fill: Colour | None = None
    name: str = ""


@frozen_record
class Letters:
    """One line of text.

    Attributes:
        text: without line breaks.
        at: where the baseline is anchored, mm.
        height_mm: height of capitals.
        anchor: ``start``, ``middle`` or ``end`` of the text lies at ``at``.
        turn_deg: turned about ``at``, counter-clockwise; 90 is read from the right.
        bold: set bold.
        colour: of the text.
    """

    text: str
    at: tuple[float, float]
    height_mm: float = 3.5
    anchor: str = "start"
    turn_deg: float = 0.0
    bold: bool = False
    colour: Colour = (0.0, 0.0, 0.0)

    @property
    def box(self) -> Box:
        """Return the upright box that the text takes, mm."""
        return letters_box(
            self.text, self.at, self.height_mm, anchor=self.anchor, turn_deg=self.turn_deg, bold=self.bold
        )


@frozen_record
class Window:
    """Items of which only what lies in ``clip`` (mm on the sheet) is seen: one tile of a larger print."""

    items: tuple[Item, ...]
    clip: Box


Item = Drawn | Letters | Window
"""Anything on a sheet."""


@frozen_record
class Sheet:
    """One page.

    Attributes:
        format: size, as it lies.
        items: drawn in this order.
        title: of the page, for the file's list of pages.
        stretch: every place on the sheet is printed at x times the first and y times the second, measured from the
            middle of the sheet: a printer that is known to draw too short is given more.
    """

    format: Format
    items: tuple[Item, ...]
    title: str = ""
    stretch: tuple[float, float] = (1.0, 1.0)

    @property
    def box(self) -> Box:
        """Return the whole sheet."""
        return Box(0.0, 0.0, self.format.width_mm, self.format.height_mm)

    def flat(self) -> Iterator[tuple[Drawn | Letters, Box | None]]:
        """Yield every item with the window that it is seen through; None for the whole sheet."""
        yield from _flat(self.items, None)

    def letters(self) -> Iterator[Letters]:
        """Yield every text."""
        return (i for i, _ in self.flat() if isinstance(i, Letters))

    def drawn(self) -> Iterator[Drawn]:
        """Yield every drawn item."""
        return (i for i, _ in self.flat() if isinstance(i, Drawn))


def _flat(items: Iterable[Item], clip: Box | None) -> Iterator[tuple[Drawn | Letters, Box | None]]:
    for item in items:
        if isinstance(item, Window):
            yield from _flat(item.items, item.clip if clip is None else _common(clip, item.clip))
        else:
            yield item, clip


def _common(a: Box, b: Box) -> Box:
    return Box(max(a.left, b.left), max(a.bottom, b.bottom), min(a.right, b.right), min(a.top, b.top))


@dataclass
class Easel:
    """Collects the items of a sheet while it is being drawn."""

    items: list[Item] = field(default_factory=list)

    def draw(self, *tracks: Track, kind: Line | None, fill: Colour | None = None, name: str = "") -> None:
        """Draw tracks in one kind of line."""
        self.items.append(Drawn(tracks, kind, fill, name))

    def region(self, region: Region, *, kind: Line | None, fill: Colour | None = None, name: str = "") -> None:
        """Draw every contour of a region (mm on the sheet)."""
        self.items.append(Drawn(tracks_of(region), kind, fill, name))

    def write(
        self,
        text: str,
        at: tuple[float, float],
        height_mm: float = 3.5,
        *,
        anchor: str = "start",
        turn_deg: float = 0.0,
        bold: bool = False,
        colour: Colour = (0.0, 0.0, 0.0),
    ) -> Letters:
        """Set one line of text and return it."""
        item = Letters(text, at, height_mm, anchor, turn_deg, bold, colour)
        self.items.append(item)
        return item

    def window(self, items: Sequence[Item], clip: Box) -> None:
        """Show items through a window."""
        self.items.append(Window(tuple(items), clip))
