"""Cases of the fit for the tests of this room."""

from __future__ import annotations

from dataclasses import replace
from math import cos, sin

from generator.fit.case import Errors, FitCase, Pin
from generator.outline.contour import Contour, Point
from generator.outline.create import circle, rectangle
from generator.outline.region import Region

PLATE = Region((rectangle(-30.0, -15.0, 30.0, 15.0),))
NOTCHED = Region((Contour.of([(-30, -15), (30, -15), (30, 5), (10, 5), (10, 15, 0.3), (-30, 15)]),))
SLOT_WITH_HOLLOW = Region((Contour.of([(-20, -8), (20, -8, 1.0), (20, 8), (8, 8, -0.4), (-8, 8), (-20, 8, 1.0)]),))
ENDS = (Point(0.0, -40.0), Point(0.0, 45.0))


def pin(x: float, y: float, room: float, *, over: bool = False) -> Pin:
    return Pin(f"bolt at {x:g}, {y:g}", "original.bolts[0]", Point(x, y), room, over)


def fit_case(
    *pins: Pin, footprint: Region = PLATE, clearance: float = 0.3, ends: tuple[Point, Point] = ENDS, **errors: float
) -> FitCase:
    return FitCase(footprint, clearance, pins, Errors(**errors), ends)


def moved_case(case: FitCase, turn: float, dx: float, dy: float) -> FitCase:
    """The whole case turned about the origin, then shifted."""
    c, s = cos(turn), sin(turn)

    def go(x: float, y: float) -> Point:
        return Point(c * x - s * y + dx, s * x + c * y + dy)

    contours = (Contour.of([(*go(v.x, v.y), v.bulge) for v in contour.vertices]) for contour in case.footprint)
    return replace(
        case,
        footprint=Region(tuple(contours)),
        pins=tuple(replace(p, at=go(*p.at)) for p in case.pins),
        flip_ends=(go(*case.flip_ends[0]), go(*case.flip_ends[1])),
    )


DISC = Region((circle((0.0, 0.0), 20.0),))
