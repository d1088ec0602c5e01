"""A card of the contact sheet: picture, name, values and a mark for how the variant stands."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import hypot, tan
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.family.returns.entry import Entry, shared_values
from generator.family.returns.pictures import Frame, Picture, ways_of
from generator.family.task import BUILT
from generator.outline.contour import Vertex
from generator.outputs.colour import rgb_of
from generator.outputs.svg_read import Arc
from generator.paper.box import Box
from generator.paper.letters import LEAST_MM, fitted, width_mm
from generator.paper.lines import GREY, Colour, Line
from generator.paper.sheet import Easel, Track, circle, line, polyline, rectangle
from generator.paper.words import wrapped

__all__ = ["PAD_MM", "CardLook", "card_height", "draw_card", "look_of"]

PAD_MM: Final = 1.5
PITCH_MM: Final = 1.55 * LEAST_MM
NAME_MM: Final = 2.5
MARK_MM: Final = 3.0
TALLEST: Final = 1.1
"""Height of a picture in widths of its card, at most."""
FLAT_MM: Final = 0.02
"""An arc that rises by less on paper is drawn straight: half a dot of a printer of 600 dots an inch."""
MOST_LINES: Final = 4
"""Lines for values on a card; what there is no room for is told by an ellipsis, and whole in the tables."""
RED: Final[Colour] = (0.64, 0.15, 0.16)
GREEN: Final[Colour] = (0.1, 0.42, 0.2)
_EDGE: Final = Line("card", 0.18, colour=GREY)
_BAD_EDGE: Final = Line("card", 0.5, colour=RED)
_RIM: Final = Line("rim", 0.13, colour=(0.3, 0.32, 0.35))
_TICK: Final = Line("mark", 0.5, colour=GREEN)
_CROSS: Final = Line("mark", 0.5, colour=RED)
_OPEN_RING: Final = Line("mark", 0.35, colour=GREY)
_NOT_MADE: Final = "not made"


@frozen_record
class CardLook:
    """What is alike on all cards.

    Attributes:
        frame: of the pictures.
        width_mm: of a card.
        picture_mm: height of the picture.
        lines: how many lines there are for values.
        shared: names of values that stand at the head of the sheet instead.
    """

    frame: Frame
    width_mm: float
    picture_mm: float
    lines: int
    shared: frozenset[str]


def look_of(entries: Sequence[Entry], frame: Frame, width_mm: float) -> CardLook:
    """Return what suits all the variants on cards of that width."""
    room = width_mm - 2.0 * PAD_MM
    picture = min(room * frame.height / frame.width, TALLEST * width_mm)
    shared = frozenset(shared_values(entries))
    lines = max((len(_value_lines(e, shared, room)) for e in entries), default=0)
    return CardLook(frame, width_mm, picture, min(MOST_LINES, lines), shared)


def card_height(look: CardLook) -> float:
    """Return the height of a card, mm."""
    return look.picture_mm + 2.0 * PAD_MM + PITCH_MM * (2 + look.lines) + 1.0


def _value_lines(entry: Entry, shared: frozenset[str], room_mm: float) -> list[str]:
    """Return the values of a variant, a line each or several; no more than one over what a card has room for."""
    out: list[str] = []
    for name, value in entry.told.items():
        if name not in shared and len(out) <= MOST_LINES:
            out += wrapped(f"{name} {value}", LEAST_MM, room_mm)
    return out[: MOST_LINES + 1]


def draw_card(easel: Easel, box: Box, entry: Entry, picture: Picture | None, look: CardLook) -> None:
    """Draw one card into its box."""
    is_bad = entry.status not in (BUILT, _NOT_MADE)
    easel.draw(rectangle(box), kind=_BAD_EDGE if is_bad else _EDGE)
    top = box.top - PAD_MM
    window = Box(box.left + PAD_MM, top - look.picture_mm, box.right - PAD_MM, top)
    if picture is not None:
        _draw_picture(easel, window, picture, look.frame)
    else:
        _draw_reason(easel, window, entry)
    y = window.bottom - PITCH_MM
    room = look.width_mm - 2.0 * PAD_MM
    easel.write(fitted(entry.name, NAME_MM, room, bold=True), (window.left, y), NAME_MM, bold=True)
    for text in _kept(entry, look, room):
        y -= PITCH_MM
        easel.write(text, (window.left, y), LEAST_MM)
    _draw_state(easel, (box.left + PAD_MM, box.bottom + PAD_MM), entry, room)


def _kept(entry: Entry, look: CardLook, room_mm: float) -> list[str]:
    lines = _value_lines(entry, look.shared, room_mm)
    if len(lines) <= look.lines:
        return lines
    return [*lines[: look.lines - 1], fitted(f"{lines[look.lines - 1]} …", LEAST_MM, room_mm)]


# ------------------------------------------------------------------ how it stands
def _draw_reason(easel: Easel, window: Box, entry: Entry) -> None:
    """Write why there is no picture where it would be, as far as there is room."""
    lines = wrapped(entry.why or "no picture", LEAST_MM, window.width)
    room = max(1, int(window.height / PITCH_MM))
    if len(lines) > room:
        lines = (*lines[: room - 1], fitted(f"{lines[room - 1]} …", LEAST_MM, window.width))
    y = window.top - LEAST_MM
    for text in lines:
        easel.write(text, (window.left, y), LEAST_MM, colour=GREY)
        y -= PITCH_MM


def _draw_state(easel: Easel, at: tuple[float, float], entry: Entry, room_mm: float) -> None:
    """Draw the mark and the word for how a variant stands, and how much was found, the line's foot at ``at``."""
    x, y = at
    _draw_mark(easel, (x + MARK_MM / 2.0, y + LEAST_MM / 2.0), entry.status)
    colour = GREEN if entry.status == BUILT else GREY if entry.status == _NOT_MADE else RED
    start = x + MARK_MM + 1.0
    easel.write(entry.status, (start, y), LEAST_MM, bold=entry.status not in (BUILT, _NOT_MADE), colour=colour)
    taken = start - x + width_mm(entry.status, LEAST_MM, bold=True) + 1.5
    told = f"no. {entry.number}"
    if width_mm(told, LEAST_MM) <= room_mm - taken:
        easel.write(told, (x + room_mm, y), LEAST_MM, anchor="end", colour=GREY)


def _draw_mark(easel: Easel, middle: tuple[float, float], status: str) -> None:
    """Draw a tick, a cross, or a ring for what has not been made, so that colour alone tells nothing."""
    x, y = middle
    r = MARK_MM / 2.0
    if status == BUILT:
        ticks = polyline((x - 0.8 * r, y), (x - 0.2 * r, y - 0.7 * r), (x + 0.9 * r, y + 0.8 * r))
        easel.draw(ticks, kind=_TICK, name="built")
    elif status == _NOT_MADE:
        easel.draw(circle(middle, 0.7 * r), kind=_OPEN_RING, name="not-made")
    else:
        k = 0.7 * r
        strokes = line((x - k, y - k), (x + k, y + k)), line((x - k, y + k), (x + k, y - k))
        easel.draw(*strokes, kind=_CROSS, name="not-built")


# ------------------------------------------------------------------ picture
@lru_cache(maxsize=64)  # what variants share
def _contours(data: str, flat_mm: float) -> tuple[tuple[Vertex, ...], ...]:
    """Return the contours of path data as vertices with their bulges, mm; arcs flatter than ``flat_mm`` are lines."""
    return tuple(tuple(_vertex(arc, flat_mm) for arc in contour) for contour in ways_of(data))


def _vertex(arc: Arc, flat_mm: float) -> Vertex:
    bulge = arc.turn * tan(arc.sweep / 4.0)
    # an arc rises by half its chord times its bulge
    is_flat = hypot(arc.x1 - arc.x0, arc.y1 - arc.y0) * abs(bulge) / 2.0 <= flat_mm
    return Vertex(arc.x0, arc.y0, 0.0 if is_flat else bulge)


def _draw_picture(easel: Easel, window: Box, picture: Picture, frame: Frame) -> None:
    """Draw a picture into the middle of its window, at the scale of its frame."""
    x0, y0, x1, y1 = frame.around(picture.box)
    scale = min(window.width / (x1 - x0), window.height / (y1 - y0))
    dx = window.centre[0] - scale * (x0 + x1) / 2.0
    dy = window.centre[1] - scale * (y0 + y1) / 2.0
    for colour, data in picture.layers:
        tracks = tuple(
            Track(tuple(Vertex(scale * x + dx, scale * y + dy, bulge) for x, y, bulge in contour), True)
            for contour in _contours(data, round(FLAT_MM / scale, 6))
        )
        easel.draw(*tracks, kind=_RIM, fill=rgb_of(colour), name="picture")
