"""Contours, slabs and parts for the tests of solids, and closed forms of their volumes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import pi, sqrt, tan

from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp
from OCP.TopoDS import TopoDS_Shape
from OCP.TopTools import TopTools_IndexedMapOfShape

from generator.base.materials import MATERIALS
from generator.outline.contour import Contour
from generator.outline.measure import area
from generator.outline.region import Region
from generator.part.part import Blank, FlipAxis, Part, Plan, Slab, Wall

QUARTER = sqrt(2.0) - 1.0
"""Bulge of a quarter turn."""


def rect(x0: float, y0: float, x1: float, y1: float) -> Contour:
    return Contour.of([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def disc(x: float, y: float, r: float) -> Contour:
    return Contour.of([(x + r, y, 1.0), (x - r, y, 1.0)])


def hole(x: float, y: float, r: float) -> Contour:
    return disc(x, y, r).reversed()


def rounded(x0: float, y0: float, x1: float, y1: float, r: float) -> Contour:
    return Contour.of(
        [
            (x0 + r, y0), (x1 - r, y0, QUARTER), (x1, y0 + r), (x1, y1 - r, QUARTER),
            (x1 - r, y1), (x0 + r, y1, QUARTER), (x0, y1 - r), (x0, y0 + r, QUARTER),
        ]
    )  # fmt: skip


def straight(low: float, high: float, *contours: Contour) -> Slab:
    return Slab(low, high, tuple(Wall(c, c) for c in contours))


def tapered(low: float, high: float, pairs: Iterable[tuple[Contour, Contour]]) -> Slab:
    return Slab(low, high, tuple(Wall(a, b) for a, b in pairs))


def prism_volume(slabs: Sequence[Slab]) -> float:
    """Area times height, slab by slab; for straight walls only."""
    return sum(area(s.lower) * (s.z_to_mm - s.z_from_mm) for s in slabs)


def frustum(area0: float, length: float, curl: float, d: float, height: float) -> float:
    """Volume over a contour that moves inwards by d: Steiner's formula A - L t + c t², integrated.

    ``curl`` is c: the sum of tan(turn / 2) over mitred corners plus half the turn of arcs.
    """
    return height * (area0 - length * d / 2.0 + curl * d * d / 3.0)


def cone(r0: float, r1: float, height: float) -> float:
    return pi * height * (r0 * r0 + r0 * r1 + r1 * r1) / 3.0


def counts(shape: TopoDS_Shape) -> tuple[int, int, int]:
    """Return how many faces, edges and vertices a shape has."""
    out = []
    for kind in (TopAbs_ShapeEnum.TopAbs_FACE, TopAbs_ShapeEnum.TopAbs_EDGE, TopAbs_ShapeEnum.TopAbs_VERTEX):
        found = TopTools_IndexedMapOfShape()
        TopExp.MapShapes_s(shape, kind, found)
        out.append(found.Extent())
    return out[0], out[1], out[2]


# ------------------------------------------------------------------ a small plan
PLATE = rounded(0.0, 0.0, 60.0, 40.0, 5.0)
BOLTS = ((10.0, 10.0), (50.0, 10.0), (30.0, 31.25))
COVER_SLABS = (
    straight(0.0, 3.0, PLATE, rect(16.0, 5.0, 44.0, 20.0).reversed(), *(hole(x, y, 3.3) for x, y in BOLTS)),
    straight(3.0, 5.0, PLATE, *(hole(x, y, 3.3) for x, y in BOLTS)),
    straight(5.0, 7.5, PLATE, *(hole(x, y, 5.5) for x, y in BOLTS)),
    tapered(
        7.5, 8.0, [(PLATE, rounded(0.5, 0.5, 59.5, 39.5, 4.5)), *((hole(x, y, 5.5),) * 2 for x, y in BOLTS)]
    ),
)  # fmt: skip
INSERT_SLABS = (straight(0.0, 1.5, rounded(0.0, 0.0, 20.0, 10.0, 2.0)),)


def small_plan(insert_name: str = "insert-number", revision: str = "B") -> Plan:
    """Return a plan of a cover and one insert; its slabs are those of ``slabs_of``."""
    profile = Region((PLATE,))
    cover = Part("cover", MATERIALS[0], 8.0, profile, rim_break_mm=0.5)
    insert = Part(insert_name, MATERIALS[-1], 1.5, Region((rounded(0.0, 0.0, 20.0, 10.0, 2.0),)), seat_z_mm=6.5)
    blank = Blank(profile, 8.0, Region(()), 6.0)
    return Plan(
        "gate-latch", "Gate latch", revision, "", False, 3.0, profile, cover, (insert,), (), blank, FlipAxis("y", 0.0)
    )


def slabs_of(part: Part) -> tuple[Slab, ...]:
    return COVER_SLABS if part.name == "cover" else INSERT_SLABS


def growing(angle: float) -> float:
    """Return the bulge of an arc that turns by an angle."""
    return tan(angle / 4.0)
