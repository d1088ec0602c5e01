"""Linear dimensions along one side of a view, in tiers, the shortest nearest to the view (ISO 129-1, from memory).

Everything is laid out along the side (u) and away from it (v). A text stands over its own line. It is moved along the
line, which is drawn longer where need be, until no extension line of this side crosses it; lines of one tier keep
apart.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.paper.drawing.lettered import ARROW_MM, draw_arrow, draw_label, label_box
from generator.paper.lines import NARROW
from generator.paper.sheet import Easel, line

__all__ = ["DIM_MM", "FIRST_MM", "PITCH_MM", "Span", "draw_dimensions"]

DIM_MM: Final = 2.5
"""Height of a dimension's letters."""
FIRST_MM: Final = 9.0
"""From the outline to the first line …"""
PITCH_MM: Final = 7.0
"""… and on to the next."""
PAST_MM: Final = 2.0
"""Extension lines go past the dimension line by 8 line widths …"""
OFF_MM: Final = 0.8
"""… and begin this far from the outline."""
CLEAR_MM: Final = 1.0
BASE_MM: Final = 2.0
"""Baseline over the dimension line: a balloon, which reaches lower than its text, keeps clear of line and arrows."""
TIER_COST_MM: Final = 24.0
"""A text is rather moved along by this than put one tier farther out (our own choice)."""
INSIDE_MM: Final = 3.0 * ARROW_MM
"""Arrows stand inside of what is at least this long."""


@frozen_record
class Span:
    """One dimension, mm on paper.

    Attributes:
        start, end: along the side, ``start`` < ``end``.
        start_from, end_from: where the extension lines begin, across the side.
        text: figure with tolerance.
        numbers: balloons behind it.
    """

    start: float
    end: float
    start_from: float
    end_from: float
    text: str
    numbers: tuple[int, ...] = ()


@frozen_record
class _Laid:
    span: Span
    tier: int
    text_from: float


def draw_dimensions(
    easel: Easel, spans: Sequence[Span], side: str, edge: float, first_mm: float = FIRST_MM, text_from: float = -inf
) -> None:
    """Draw dimensions beside a view.

    Args:
        easel: drawn on.
        spans: in any order.
        side: ``below``, ``above``, ``left`` or ``right`` of the view.
        edge: where the view ends on that side, mm on paper.
        first_mm: from there to the first dimension line.
        text_from: texts begin no earlier along the side, so that those of two sides keep apart in the corner.
    """
    for laid in _lay(spans, text_from):
        _Pen(easel, side, edge, first_mm).draw(laid)


def _lay(spans: Sequence[Span], text_from: float) -> list[_Laid]:
    """Return every dimension with its tier and the place of its text, the shortest first."""
    crossed = sorted({round(u, 6) for s in spans for u in (s.start, s.end)})
    taken: list[list[tuple[float, float]]] = []
    out: list[_Laid] = []
    for span in sorted(spans, key=lambda s: (round(s.end - s.start, 6), s.start, s.text)):
        wide = label_box(span.text, span.numbers, DIM_MM).width
        options = []
        for at in _places(span, wide, crossed, text_from):
            reach = _reach(span, at, wide)
            tier = _free_tier(taken, reach)
            away = abs(at + wide / 2.0 - (span.start + span.end) / 2.0)
            options.append((tier * TIER_COST_MM + away, at, tier, reach))
        _, at, tier, reach = min(options)
        if tier == len(taken):
            taken.append([])
        taken[tier].append(reach)
        out.append(_Laid(span, tier, at))
    return out


def _places(span: Span, wide: float, crossed: Sequence[float], text_from: float) -> list[float]:
    """Return where a text may begin so that no extension line crosses it: in the middle, beside every line, outside."""
    middle = (span.start + span.end) / 2.0 - wide / 2.0
    starts = [middle, *(u + CLEAR_MM for u in crossed), *(u - CLEAR_MM - wide for u in crossed)]
    if span.end - span.start < INSIDE_MM:  # arrows from outside: their tails stand beside the text, not under it
        starts += [span.end + CLEAR_MM, span.start - CLEAR_MM - wide]
    free = [a for a in starts if a >= text_from]
    return [a for a in free if not any(a - CLEAR_MM < u - 1e-6 < a + wide + CLEAR_MM - 2e-6 for u in crossed)]


def _reach(span: Span, at: float, wide: float) -> tuple[float, float]:
    """Return from where to where a dimension takes its tier."""
    tail = 2.0 * ARROW_MM if span.end - span.start < INSIDE_MM else 0.0
    return min(span.start - tail, at) - CLEAR_MM, max(span.end + tail, at + wide) + CLEAR_MM


def _free_tier(taken: Sequence[Sequence[tuple[float, float]]], reach: tuple[float, float]) -> int:
    """Return the first tier outside all those in which something reaches as far along."""
    busy = [k for k, tier in enumerate(taken) if any(a < reach[1] and reach[0] < b for a, b in tier)]
    return max(busy, default=-1) + 1


class _Pen:
    """Draws along one side: u along it, v away from it."""

    def __init__(self, easel: Easel, side: str, edge: float, first_mm: float) -> None:
        self._easel, self._side, self._edge, self._first = easel, side, edge, first_mm
        self._out = -1.0 if side in ("below", "left") else 1.0
        self._level = side in ("below", "above")

    def draw(self, laid: _Laid) -> None:
        """Draw extension lines, dimension line, arrows and text."""
        s = laid.span
        v = self._edge + self._out * (self._first + PITCH_MM * laid.tier)
        for u, begin in ((s.start, s.start_from), (s.end, s.end_from)):
            self._line((u, begin + self._out * OFF_MM), (u, v + self._out * PAST_MM))
        self._arrows(s, v)
        wide = label_box(s.text, s.numbers, DIM_MM).width
        tail = 2.0 * ARROW_MM if s.end - s.start < INSIDE_MM else 0.0
        self._line((min(s.start - tail, laid.text_from), v), (max(s.end + tail, laid.text_from + wide), v))
        if self._level:
            draw_label(self._easel, s.text, s.numbers, (laid.text_from, v + BASE_MM), DIM_MM)
        else:
            draw_label(self._easel, s.text, s.numbers, (v - BASE_MM, laid.text_from), DIM_MM, turn_deg=90.0)

    def _arrows(self, s: Span, v: float) -> None:
        """Draw the two arrows, from inside where there is room, else from outside."""
        outward = s.end - s.start >= INSIDE_MM
        turn = 0.0 if self._level else 90.0
        for u, direction in ((s.start, 180.0), (s.end, 0.0)):
            draw_arrow(self._easel, self._at(u, v), turn + direction + (0.0 if outward else 180.0))

    def _at(self, u: float, v: float) -> tuple[float, float]:
        return (u, v) if self._level else (v, u)

    def _line(self, a: tuple[float, float], b: tuple[float, float]) -> None:
        self._easel.draw(line(self._at(*a), self._at(*b)), kind=NARROW, name="dimension")
