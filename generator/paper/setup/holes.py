"""Round holes of a setup with their places from zero, as the machine sees them."""

from __future__ import annotations

from math import hypot
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.estimate.operations import CHAMFERED
from generator.estimate.setup_steps import LayerWork
from generator.outline.contour import Point
from generator.outline.region import Region
from generator.paper.setup.drawn_marks import drawn_mark, mark_order
from generator.paper.setup.subject import Subject
from generator.part.relation import disc_of

__all__ = ["Bore", "Hole", "holes_of"]

ROUND_LAYERS: Final = ("dowel-holes", "bolt-holes", "seats", "openings")
"""Layers whose round outlines are holes; a dot in an engraving is none."""
SAME_MM: Final = 0.005


@frozen_record
class Bore:
    """One diameter of a hole: number of the layer, diameter and depth; ``cone`` for a countersink."""

    layer: int
    diameter_mm: float
    to_mm: float
    is_cone: bool


@frozen_record
class Hole:
    """A hole: ``D1`` … for dowel holes of the blank, else the drawing's mark; middle from zero, its bores by width."""

    mark: str
    at: Point
    bores: tuple[Bore, ...]


def holes_of(subject: Subject) -> tuple[Hole, ...]:
    """Return the holes of a setup: dowel holes first, then the others in the order of their marks."""
    dowels: list[tuple[Point, list[Bore]]] = []
    others: list[tuple[Point, list[Bore]]] = []
    for work in subject.works:
        if work.layer.name.startswith(ROUND_LAYERS):
            for at, bore in _bores(work):
                rows = dowels if work.layer.name == "dowel-holes" else others
                same = next((b for p, b in rows if hypot(p.x - at.x, p.y - at.y) < SAME_MM), None)
                if same is None:
                    rows.append((at, [bore]))
                else:
                    same.append(bore)
    dowels.sort(key=lambda row: (row[0].x + row[0].y, row[0].x))
    others.sort(key=lambda row: (round(row[0].x, 3), round(row[0].y, 3)))
    return (
        *(_hole(drawn_mark(subject, row[0]) or f"D{k}", *row) for k, row in enumerate(dowels, start=1)),
        *sorted(
            (_hole(drawn_mark(subject, row[0]) or f"H{k}", *row) for k, row in enumerate(others, start=1)),
            key=lambda h: mark_order(h.mark),
        ),
    )


def _hole(mark: str, at: Point, bores: list[Bore]) -> Hole:
    return Hole(mark, at, tuple(sorted(bores, key=lambda b: -b.diameter_mm)))


def _bores(work: LayerWork) -> list[tuple[Point, Bore]]:
    cone = any(s.step.operation.done == CHAMFERED for s in work.steps)
    deep = max([work.layer.bottom_mm, *(s.to_mm for s in work.steps)])
    discs = [disc_of(Region((c,))) for c in work.layer.region]
    return [(d.centre, Bore(work.number, 2.0 * d.radius_mm, deep, cone)) for d in discs if d is not None]
