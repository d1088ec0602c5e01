"""Where the sheets of one print are joined: the line, and two marks on it that both sheets carry."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import pi
from typing import Final

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Vertex
from generator.outline.distance import points_distance
from generator.outline.region import Region
from generator.paper.lines import NARROW, Line
from generator.paper.sheet import Easel, Track, arc, circle, line
from generator.paper.tiles import OVERLAP_MM, Paving, Tile

__all__ = ["JOINT", "MARK_MM", "Joint", "draw_joint", "joints_of"]

JOINT: Final = Line("joint", 0.25, (6.0, 1.5, 0.25, 1.5))
MARK_MM: Final = 3.0
"""Radius of a mark that joins two sheets."""
_TEXT_MM: Final = 2.5
_SHARES: Final = tuple(k / 40.0 for k in range(4, 37))
_CLEAR_MM: Final = 2.0 * MARK_MM


@frozen_record
class Joint:
    """One joint, in the frame of the joined print.

    Attributes:
        one, other: the two sheets, the one on the left or above first.
        start, end: of the line.
        marks: middles of the two marks.
    """

    one: Tile
    other: Tile
    start: tuple[float, float]
    end: tuple[float, float]
    marks: tuple[tuple[float, float], tuple[float, float]]

    @property
    def is_upright(self) -> bool:
        """Return True if the sheets lie side by side."""
        return self.start[0] == self.end[0]


def joints_of(paving: Paving, outlines: Sequence[Region]) -> tuple[Joint, ...]:
    """Return every joint between two sheets of a print of ``outlines`` (in the part's frame).

    The marks lie off the lines of the part where there is room.
    """
    by_place = {(t.column, t.row): t for t in paving.tiles}
    placed = [paving.placing.region(r) for r in outlines if r]
    return tuple(
        _joint(tile, other, placed)
        for tile in paving.tiles
        for step in ((1, 0), (0, 1))
        if (other := by_place.get((tile.column + step[0], tile.row + step[1]))) is not None
    )


def _joint(one: Tile, other: Tile, placed: Sequence[Region]) -> Joint:
    if other.column > one.column:
        start, end = (one.core.right, one.core.bottom), (one.core.right, one.core.top)
    else:
        start, end = (one.core.left, one.core.bottom), (one.core.right, one.core.bottom)
    places = np.array([start]) + np.outer(_SHARES, np.subtract(end, start))
    gaps = np.min([points_distance(r, places) for r in placed], axis=0)
    half = len(_SHARES) // 2
    low, high = _clearest(gaps[:half]), len(gaps) - 1 - _clearest(gaps[: half - 1 : -1])
    marks = tuple((float(places[i, 0]), float(places[i, 1])) for i in (low, high))
    return Joint(one, other, start, end, (marks[0], marks[1]))


def _clearest(gaps: np.ndarray) -> int:
    """Return the first place that is clear of lines, or the clearest."""
    return int(np.argmax(np.minimum(gaps, _CLEAR_MM)))


def draw_joint(easel: Easel, joint: Joint, tile: Tile, dx: float, dy: float) -> None:
    """Draw a joint on one of its two sheets, moved there by ``dx``, ``dy``."""
    easel.draw(
        *(line((a + dx, b + dy), (c + dx, d + dy)) for (a, b), (c, d) in _pieces(joint)), kind=JOINT, name="joint"
    )
    for x, y in joint.marks:
        _draw_mark(easel, (x + dx, y + dy))
    beyond = joint.other if tile == joint.one else joint.one
    side = 1.0 if tile == joint.one else -1.0
    x, y = joint.marks[0]
    _draw_name(easel, f"to {beyond.name}", (x + dx, y + dy), side, is_upright=joint.is_upright)


def _pieces(joint: Joint) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    """Yield the pieces of the line that the marks leave."""
    away = MARK_MM + 1.0
    along = (0.0, away) if joint.is_upright else (away, 0.0)
    start = joint.start
    for x, y in joint.marks:
        yield start, (x - along[0], y - along[1])
        start = (x + along[0], y + along[1])
    yield start, joint.end


def _draw_mark(easel: Easel, at: tuple[float, float]) -> None:
    """Draw a mark: a circle of which two opposite quarters are filled; its middle is where they meet."""
    for start in (0.0, pi):
        quarter = arc(at, MARK_MM, start, pi / 2.0)
        first, last = quarter.vertices
        wedge = Track((Vertex(*at), first, Vertex(last.x, last.y)), True)
        easel.draw(wedge, kind=None, fill=(0.0, 0.0, 0.0))
    easel.draw(circle(at, MARK_MM), kind=NARROW, name="mark")


def _draw_name(easel: Easel, name: str, mark: tuple[float, float], side: float, *, is_upright: bool) -> None:
    """Write the name of the sheet beyond a joint beside a mark, on the strip that is shared."""
    (x, y), off, along = mark, side * OVERLAP_MM / 4.0, MARK_MM + 1.0
    if is_upright:
        easel.write(name, (x + off + _TEXT_MM / 2.0, y + along), _TEXT_MM, turn_deg=90.0)
    else:
        easel.write(name, (x + along, y - off - _TEXT_MM / 2.0), _TEXT_MM)
