"""Bolt positions and hole diameters of the cover, out of the recipe."""

from __future__ import annotations

from math import cos, pi, sin

from generator.base.errors import Mistake
from generator.base.standards import CLEARANCE_HOLES, UnknownStandardError, clearance_hole
from generator.outline.contour import Point
from generator.part.part import Bolt
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import NONE, BoltCircle, Bolts, Seat

__all__ = ["bolts_of", "mistake", "positions", "seat_of"]


def mistake(path: str, found: str, expected: str, remedy: str = "") -> Mistake:
    """Return a mistake that knows its recipe path; the build adds file, line and column."""
    return Mistake("", 0, 0, path, found, expected, remedy)


def bolts_of(recipe: Recipe, mistakes: list[Mistake]) -> tuple[Bolt, ...]:
    """Return every bolt in the order of the recipe; contradictions go to ``mistakes``."""
    out: list[Bolt] = []
    for i, group in enumerate(recipe.original.bolts):
        path = f"original.bolts[{i}]"
        hole = _hole(group, path, mistakes)
        seat, _ = seat_of(recipe, i)
        if hole is None:
            continue
        for at in positions(group, path, mistakes):
            out.append(
                Bolt(
                    name=f"bolt-{len(out) + 1}",
                    at=at,
                    hole_mm=hole[0],
                    thread=group.thread,
                    screw=seat.screw if seat else "",
                    source=hole[1],
                    path=path,
                )
            )
    return tuple(out)


def seat_of(recipe: Recipe, group: int) -> tuple[Seat | None, str]:
    """Return the seat under the heads of bolt group ``group`` (None for plain holes) and its recipe path."""
    own = recipe.original.bolts[group].seat
    seat, path = (recipe.cover.seats, "cover.seats") if own is None else (own, f"original.bolts[{group}].seat")
    if isinstance(seat, Seat):
        return seat, path
    assert seat == NONE  # the reader lets no other word through
    return None, path


def positions(group: Bolts, path: str, mistakes: list[Mistake]) -> tuple[Point, ...]:
    """Return the positions of one group of bolts, mm; ``at`` and ``circle`` together, or neither, is a mistake."""
    if group.circle is not None and group.at:
        mistakes.append(mistake(path, "both `at` and `circle`", "one of them", "leave one out"))
        return ()
    if group.circle is not None:
        return _on_circle(group.circle)
    if not group.at:
        mistakes.append(mistake(path, "neither `at` nor `circle`", "positions of the bolts", "add `at: [[x, y], …]`"))
    return tuple(Point(float(x), float(y)) for x, y in group.at)


def _on_circle(circle: BoltCircle) -> tuple[Point, ...]:
    """Return the positions on a bolt circle, counter-clockwise from its first bolt."""
    cx, cy = circle.centre
    r = circle.diameter / 2.0
    angles = (circle.first + 2.0 * pi * k / circle.count for k in range(circle.count))
    return tuple(Point(cx + r * cos(a), cy + r * sin(a)) for a in angles)


def _hole(group: Bolts, path: str, mistakes: list[Mistake]) -> tuple[float, str] | None:
    """Return diameter (mm) and source of a group's holes, or None after a mistake."""
    if group.hole is not None:
        nominal = next((r.nominal_mm for r in CLEARANCE_HOLES if r.thread == group.thread), 0.0)
        if group.hole <= nominal:
            mistakes.append(
                mistake(
                    f"{path}.hole",
                    f"a hole of {group.hole:g} mm for {group.thread}",
                    f"more than {nominal:g} mm",
                    f"leave `hole` out: ISO 273 {group.fit} is {clearance_hole(group.thread, group.fit):g} mm",
                )
            )
            return None
        return group.hole, "recipe"
    if not group.thread:
        remedy = "add `thread: M6` or `hole: 6.6`"
        mistakes.append(mistake(path, "neither `thread` nor `hole`", "one of them", remedy))
        return None
    try:
        diameter = clearance_hole(group.thread, group.fit)
    except UnknownStandardError as error:
        mistakes.append(mistake(f"{path}.thread", str(error), "a thread of ISO 273", "give `hole` instead"))
        return None
    row = next(r for r in CLEARANCE_HOLES if r.thread == group.thread)
    return diameter, f"ISO 273:1979 {group.fit} ({row.provenance})"
