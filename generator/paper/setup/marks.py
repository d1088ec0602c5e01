"""Numbers of layers in a picture, inside what they stand for or beside it with a leader."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot
from typing import Final

from generator.estimate.setup_steps import LayerWork
from generator.outline.distance import boundary_points
from generator.outline.measure import bounds
from generator.paper.box import Box
from generator.paper.lines import NARROW, Colour, Line
from generator.paper.setup.free_spots import Ground, inside
from generator.paper.setup.lie import Lie
from generator.paper.setup.subject import Subject
from generator.paper.sheet import Easel, circle, line

__all__ = ["LEFT", "MARK_MM", "RIGHT", "draw_mark", "draw_marks"]

MARK_MM: Final = 7.6
"""Diameter of the circle round the number of a layer."""
NUMBER_MM: Final = 3.5
LEFT: Final = MARK_MM + 2.0
RIGHT: Final = MARK_MM + 7.0
PITCH_MM: Final = MARK_MM + 1.6
DOT_MM: Final = 0.7
LEADER: Final = Line("leader", 0.25)
WHITE: Final[Colour] = (1.0, 1.0, 1.0)
BLACK: Final[Colour] = (0.0, 0.0, 0.0)


def draw_mark(easel: Easel, number: int, middle: tuple[float, float]) -> None:
    """Draw the number of a layer in its circle."""
    easel.draw(circle(middle, MARK_MM / 2.0), kind=NARROW, fill=WHITE, name="mark")
    easel.write(str(number), (middle[0], middle[1] - NUMBER_MM / 2.0), NUMBER_MM, anchor="middle", bold=True)


def draw_marks(easel: Easel, subject: Subject, lie: Lie, box: Box) -> None:
    """Draw the number of every layer: inside its widest place, or in one of two columns with a leader."""
    led: list[LayerWork] = []
    for work in subject.works:
        region = lie.region(work.layer.region)
        at = None
        if work.layer.name not in (subject.part.layer, "edge-break"):
            at = inside(region, MARK_MM / 2.0 + 0.4, Ground(easel.items).lines)
        if at is None:
            led.append(work)
        else:
            draw_mark(easel, work.number, at)
    # what reaches farthest out comes first, so that both sides get as many of the short leaders
    led.sort(key=lambda w: (-bounds(w.layer.region).height_mm, w.number))
    _draw_column(easel, led[0::2], box.right - MARK_MM / 2.0, subject, lie, box)
    _draw_column(easel, led[1::2], box.left + MARK_MM / 2.0, subject, lie, box)


def _draw_column(easel: Easel, works: Sequence[LayerWork], x: float, subject: Subject, lie: Lie, box: Box) -> None:
    """Draw numbers down one side, each as near to its layer as the others let it, with leaders to what lies nearest."""
    middle, high = box.centre[1], box.height
    wanted: list[tuple[float, LayerWork]] = []
    for work in works:
        if work.layer.name in (subject.part.layer, "edge-break"):
            share = 0.3 if work.layer.name == subject.part.layer else 0.2
            wanted.append((middle + share * high, work))
        else:
            wanted.append((_nearest(work, lie, (x, middle))[1], work))
    wanted.sort(key=lambda w: (-w[0], w[1].number))
    for y, (_, work) in zip(_spread([w[0] for w in wanted], box), wanted, strict=True):
        end = _nearest(work, lie, (x, y))
        dx, dy = end[0] - x, end[1] - y
        far = max(hypot(dx, dy), 1e-9)
        start = (x + dx / far * MARK_MM / 2.0, y + dy / far * MARK_MM / 2.0)
        easel.draw(line(start, end), kind=LEADER, name="leader")
        easel.draw(circle(end, DOT_MM), kind=None, fill=BLACK)
        draw_mark(easel, work.number, (x, y))


def _spread(wanted: Sequence[float], box: Box) -> list[float]:
    """Return heights, highest first, so far apart that circles do not touch, none beyond the box."""
    ys: list[float] = []
    free = box.top - MARK_MM / 2.0
    for y in wanted:
        ys.append(min(free, y))
        free = ys[-1] - PITCH_MM
    floor = box.bottom + MARK_MM / 2.0
    for k in range(len(ys) - 1, -1, -1):
        ys[k] = max(ys[k], floor)
        floor = ys[k] + PITCH_MM
    return ys


def _nearest(work: LayerWork, lie: Lie, at: tuple[float, float]) -> tuple[float, float]:
    """Return the place on the outline of a layer that lies nearest to a place of the sheet."""
    points = boundary_points(lie.region(work.layer.region), 1.0)
    to = min(points, key=lambda p: (round(hypot(p[0] - at[0], p[1] - at[1]), 2), p[0], p[1]))
    return float(to[0]), float(to[1])
