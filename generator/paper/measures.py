"""What is measured on a print: rule-like bars, a square and a circle, each named in the file."""

from __future__ import annotations

from generator.base.frozen_record import frozen_record
from generator.base.units import decimal
from generator.paper.box import Box
from generator.paper.lines import NARROW
from generator.paper.printed_bars import MARKS_MM
from generator.paper.sheet import Easel, Track, circle, line, rectangle

__all__ = ["BAND_MM", "Bar", "draw_bar", "draw_circle", "draw_square"]

BAND_MM = 11.0
"""Width of the strip that a bar with its figures takes."""
TEXT_MM = 2.5
_TICKS = ((10.0, 3.0), (5.0, 2.0), (1.0, 1.0))
_LONG_MM = 5.5


@frozen_record
class Bar:
    """A bar with marks, like the edge of a rule.

    Attributes:
        axis: ``x`` along the short side of the sheet, ``y`` along the long one.
        zero: where its zero lies on the sheet, mm.
        marks_mm: its long marks, the last of which is its end.
        is_upright: runs up the page instead of across it.
    """

    axis: str
    zero: tuple[float, float]
    marks_mm: tuple[float, ...]
    is_upright: bool

    @classmethod
    def in_room(cls, axis: str, zero: tuple[float, float], room_mm: float, *, is_upright: bool) -> Bar:
        """Return the longest bar that fits a room of that length."""
        marks = MARKS_MM[axis]
        return cls(axis, zero, tuple(m for m in marks if m <= room_mm) or marks[:1], is_upright)

    @property
    def length_mm(self) -> float:
        """Return its whole length."""
        return self.marks_mm[-1]

    def at(self, along: float, off: float) -> tuple[float, float]:
        """Return the place so far along the bar and so far off it, on the side of its ticks."""
        x, y = self.zero
        return (x - off, y + along) if self.is_upright else (x + along, y + off)


def draw_bar(easel: Easel, bar: Bar) -> None:
    """Draw the bar: base line and long marks as one named item, ticks, figures, name."""
    long_marks = [0.0, *bar.marks_mm]
    tracks = [line(bar.at(m, 0.0), bar.at(m, _LONG_MM)) for m in long_marks]
    easel.draw(line(bar.at(0.0, 0.0), bar.at(bar.length_mm, 0.0)), *tracks, kind=NARROW, name=f"bar-{bar.axis}")
    easel.draw(*_ticks(bar), kind=NARROW)
    turn = 90.0 if bar.is_upright else 0.0
    for mark in long_marks:
        easel.write(decimal(mark), bar.at(mark, -TEXT_MM - 1.0), TEXT_MM, anchor="middle", turn_deg=turn)
    middle = bar.marks_mm[0] / 2.0
    easel.write(f"{bar.axis}, mm", bar.at(middle, -TEXT_MM - 1.0), TEXT_MM, anchor="middle", turn_deg=turn, bold=True)


def _ticks(bar: Bar) -> list[Track]:
    out = []
    for mm in range(1, int(bar.length_mm)):
        if mm not in bar.marks_mm:
            high = next(h for step, h in _TICKS if mm % step == 0)
            out.append(line(bar.at(mm, 0.0), bar.at(mm, high)))
    return out


def draw_square(easel: Easel, box: Box, name: str = "square") -> None:
    """Draw a square to measure, with the length of its side above its lower one."""
    easel.draw(rectangle(box), kind=NARROW, name=name)
    easel.write(decimal(box.width), (box.centre[0], box.bottom + 1.0), TEXT_MM, anchor="middle")


def draw_circle(easel: Easel, box: Box, name: str = "circle") -> None:
    """Draw a circle to measure that fills the box, with its diameter in the middle."""
    easel.draw(circle(box.centre, box.width / 2.0), kind=NARROW, name=name)
    x, y = box.centre
    easel.write(f"⌀{decimal(box.width)}", (x, y - TEXT_MM / 2.0), TEXT_MM, anchor="middle")
