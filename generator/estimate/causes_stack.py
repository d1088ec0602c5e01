"""Depths, thickness and the lie of the two faces to each other: zeros of the setups, and the flip."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from generator.base.units import LengthUnit
from generator.estimate.characteristic import Kind
from generator.estimate.measured_errors import DOUBT_MM, Cause, MeasuredError, common_error, find_error, is_marked
from generator.part.part import Face, Plan

__all__ = ["stack_causes"]

HALF: Final = 0.5
"""Errors that differ by no more than this share are taken for one (our own choice)."""
AGREE_MM: Final = 0.1
"""Thickness, depth and floor that disagree by more cannot all be measured right (our own choice)."""


def stack_causes(errors: Sequence[MeasuredError], plan: Plan, unit: LengthUnit) -> Iterator[Cause]:
    """Yield what depths, thickness, floor and walls say."""
    yield from _depths(errors, unit)
    yield from _thickness(errors, unit)
    yield from _floor(errors, unit)
    yield from _faces(errors, plan, unit)
    yield from _pocket_off_holes(errors, unit)


def _depths(errors: Sequence[MeasuredError], unit: LengthUnit) -> Iterator[Cause]:
    """Yield depths of one face of the cover that are all off by the same."""
    for face, setup in ((Face.BOTTOM, "bottom face up"), (Face.TOP, "top face up")):
        depths = find_error(errors, lambda c: c.part == "cover" and c.kind is Kind.DEPTH)
        mine = tuple(e for e in depths if e.characteristic.face is face)
        by = common_error(mine, fewest=1)
        if by is None:
            continue
        size, deep = unit.length(abs(by)), by > 0.0
        what = "every depth" if len(mine) > 1 else mine[0].characteristic.what.removesuffix(", depth")
        says = f"{what} of the {face.value} face is {size} too {'deep' if deep else 'shallow'}"
        low, up = ("low", "raise") if deep else ("high", "lower")
        remedy = f"zero in z with the {setup} lies {size} too {low}, or the cutter's length is off by that: {up} zero "
        remedy += f"by {size}"
        remedy += "" if len(mine) > 1 else " (one depth alone: measure it again first)"
        numbers = tuple(e.characteristic.number for e in mine)
        yield Cause(f"zero-{face.value}", says, remedy, by, "mm", numbers)


def _thickness(errors: Sequence[MeasuredError], unit: LengthUnit) -> Iterator[Cause]:
    for e in find_error(errors, lambda c: c.part == "cover" and c.kind is Kind.THICKNESS):
        c = e.characteristic
        if is_marked(e.mm, c):
            real = c.nominal_mm + e.mm
            says = f"the plate is {unit.length(abs(e.mm))} too {'thick' if e.mm > 0.0 else 'thin'}"
            remedy = f"measure plate before cutting: set cover.stock.measured to {unit.figure(real)}, and build again"
            yield Cause("thickness", says, remedy, e.mm, "mm", (c.number,))


def _floor(errors: Sequence[MeasuredError], unit: LengthUnit) -> Iterator[Cause]:
    """Yield a floor that is not what thickness and depth leave: one of the three was measured wrong."""
    by_kind = {e.characteristic.kind: e for e in errors if e.characteristic.feature == "bottom-pocket"}
    thick = next(iter(find_error(errors, lambda c: c.part == "cover" and c.kind is Kind.THICKNESS)), None)
    deep, floor = by_kind.get(Kind.DEPTH), by_kind.get(Kind.FLOOR)
    if thick is None or deep is None or floor is None:
        return
    off = floor.mm - (thick.mm - deep.mm)
    if abs(off) > AGREE_MM:
        numbers = tuple(e.characteristic.number for e in (thick, deep, floor))
        says = f"thickness less depth of the bottom pocket and its floor disagree by {unit.length(abs(off))}"
        yield Cause("measured-wrong", says, "measure the three again", off, "mm", numbers)


def _faces(errors: Sequence[MeasuredError], plan: Plan, unit: LengthUnit) -> Iterator[Cause]:
    """Yield the offset between the faces: the bottom pocket has less wall on one side and more on the other."""
    walls = {e.characteristic.feature: e for e in errors if e.characteristic.kind is Kind.WALL}
    across = "x" if plan.flip.direction == "y" else "y"
    for axis, low, high in (("x", "wall-left", "wall-right"), ("y", "wall-lower", "wall-upper")):
        if low not in walls or high not in walls:
            continue
        # walls that grow on the low side and shrink on the high side: the pocket lies so much farther
        by = (walls[low].mm - walls[high].mm) / 2.0
        allowed = walls[low].characteristic.upper_mm - walls[low].characteristic.nominal_mm
        if abs(by) < max(2.0 * DOUBT_MM, 0.25 * allowed):
            continue
        numbers = tuple(sorted(walls[w].characteristic.number for w in (low, high)))
        size, half, way = unit.length(abs(by)), unit.length(abs(by) / 2.0), "+" if by > 0.0 else "-"
        says = (
            f"the faces are offset: seen from the top, the bottom pocket lies {size} towards {way}{axis} of the outside"
        )
        move = f"with the top face up, move zero by {way}{size} along {axis}"
        if axis == across:
            remedy = f"the blank was turned about a line {half} towards {way}{axis} of the flip axis: {move}"
        else:
            remedy = f"the blank slid along the flip axis: {move}; look at the play of dowels and stop"
        yield Cause(f"offset-{axis}", says, remedy, by, "mm", numbers)


def _pocket_off_holes(errors: Sequence[MeasuredError], unit: LengthUnit) -> Iterator[Cause]:
    """Yield the bottom pocket off the bolt holes where its walls do not say so: it lies right in the outside.

    Places are measured from a hole. Where all other holes read off by as much, that hole itself is off, and the pattern
    of holes tells it.
    """
    for kind, axis, sides in (
        (Kind.POSITION_X, "x", ("wall-left", "wall-right")),
        (Kind.POSITION_Y, "y", ("wall-lower", "wall-upper")),
    ):
        places = find_error(errors, lambda c, kind=kind: c.part == "cover" and c.kind is kind)  # type: ignore[misc]
        pocket = next((e for e in places if e.characteristic.feature == "bottom-pocket"), None)
        if pocket is None or not is_marked(pocket.mm, pocket.characteristic):
            continue
        walls = [e.mm for side in sides for e in errors if e.characteristic.feature == side]
        in_outside = (walls[0] - walls[1]) / 2.0 if len(walls) == 2 else 0.0
        holes = [e.mm for e in places if e.characteristic.feature.startswith("hole-")]
        by = pocket.mm - in_outside
        if not _is_as_much(by, pocket.mm) or (holes and _is_as_much(sum(holes) / len(holes), pocket.mm)):
            continue
        others = [e for e in places if not e.characteristic.feature.startswith(("hole-", "bottom-pocket", "dowel-"))]
        yield _holes_off(pocket, [e for e in others if _is_as_much(e.mm, pocket.mm)], len(others), axis, unit)


def _is_as_much(mm: float, whole_mm: float) -> bool:
    """Return True for an error of the same way and about the same size."""
    return abs(mm - whole_mm) <= max(DOUBT_MM, HALF * abs(whole_mm))


def _holes_off(
    pocket: MeasuredError, along: Sequence[MeasuredError], others: int, axis: str, unit: LengthUnit
) -> Cause:
    """Return the cause; ``along`` are the features of the top face, of so many, that read off as the pocket does."""
    size, back = unit.length(abs(pocket.mm)), "-" if pocket.mm > 0.0 else "+"
    numbers = tuple(sorted(e.characteristic.number for e in (pocket, *along)))
    says = f"seen from the top, the bolt holes lie {size} towards {back}{axis} of the bottom pocket"
    if others and len(along) == others:
        says += " and of what else is cut from the top"
        remedy = f"the drill's zero lies {size} towards {back}{axis} of the other cutters': find zero once for all of "
        remedy += "them, and look at the run-out of the drill"
    else:
        says += ", which lies right in the outside"
        remedy = "holes and outside were cut with the top face up from two zeros, or the outside was milled after the "
        remedy += f"piece had moved {size} along {axis}: find zero once, and hold the piece until the outside is cut"
    remedy += "; measure the first hole from the outside before changing anything"
    return Cause(f"holes-off-{axis}", says, remedy, pocket.mm, "mm", numbers)
