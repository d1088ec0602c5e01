"""Marks of holes on a setup sheet: those of the drawing, found by where the holes lie; A2 is A2 on every sheet."""

from __future__ import annotations

from functools import lru_cache
from math import hypot
from typing import Final

from generator.outline.contour import Point
from generator.outline.region import Region
from generator.paper.drawing.marks import holes_of, pockets_of
from generator.paper.setup.subject import Subject
from generator.part.part import Face, FlipAxis, Part
from generator.part.relation import disc_of
from generator.part.setups import as_machined

__all__ = ["drawn_mark"]

SAME_MM: Final = 0.005


def drawn_mark(subject: Subject, at: Point) -> str:
    """Return the mark that the part's drawing has at a place of the machine's view; empty if it has none there."""
    marks = _marks(subject.part, subject.setup.face, subject.plan.flip)
    near = [m for p, m in marks if hypot(p.x - at.x, p.y - at.y) <= SAME_MM]
    return near[0] if near else ""


@lru_cache(maxsize=8)
def _marks(part: Part, face: Face, flip: FlipAxis) -> tuple[tuple[Point, str], ...]:
    """Return places, as the machine sees them, and marks: of through holes first, then of what else is round."""
    kinds = holes_of(part)
    named = [(h.feature.region, h.mark) for kind in kinds for h in kind.holes]
    named += [(p.feature.region, p.mark) for p in pockets_of(part, kinds)]
    out = []
    for region, mark in named:
        disc = disc_of(Region(as_machined(region, face, flip).contours))
        if disc is not None:
            out.append((disc.centre, mark))
    return tuple(out)
