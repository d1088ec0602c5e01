"""Marks of holes on a setup sheet: those of the drawing, found by where the holes lie; A2 is A2 on every sheet."""

from __future__ import annotations

from collections.abc import Sequence
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

__all__ = ["drawn_mark", "mark_order", "marks_of"]

SAME_MM: Final = 0.005


def drawn_mark(subject: Subject, at: Point) -> str:
    """Return the mark that the part's drawing has at a place of the machine's view; empty if it has none there."""
    marks = _marks(subject.part, subject.setup.face, subject.plan.flip)
    near = [m for p, m in marks if hypot(p.x - at.x, p.y - at.y) <= SAME_MM]
    return near[0] if near else ""


def marks_of(subject: Subject, features: Sequence[str]) -> str:
    """Return the marks of the holes that features are, or are the seats of, neighbours in one: ``A1 – A3, B2``."""
    named = _named(subject.part)
    runs: list[list[str]] = []
    last = ("", 0)
    for mark in sorted({named[f] for f in features if f in named}, key=mark_order):
        letters, number = mark_order(mark)
        if (letters, number - 1) == last:
            runs[-1][1:] = [mark]
        else:
            runs.append([mark])
        last = letters, number
    return ", ".join(" – ".join(run) for run in runs)


def mark_order(mark: str) -> tuple[str, int]:
    """Return letters and number of a mark, by which marks are sorted."""
    letters = mark.rstrip("0123456789")
    return letters, int(mark[len(letters) :])


@lru_cache(maxsize=8)
def _named(part: Part) -> dict[str, str]:
    """Return the marks of through holes by the names of their features and of their seats."""
    holes = [h for kind in holes_of(part) for h in kind.holes]
    return {f.name: h.mark for h in holes for f in (h.feature, *h.seats)}


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
