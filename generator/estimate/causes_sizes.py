"""Holes, pockets and outsides that are all wrong by the same: the cutter, or how it runs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from generator.base.units import LengthUnit
from generator.estimate.characteristic import BLANK, Characteristic, Kind
from generator.estimate.measured_errors import DOUBT_MM, Cause, MeasuredError, common_error, find_error, is_marked

__all__ = ["size_causes"]

WIDTHS: Final = (Kind.DIAMETER, Kind.SIZE_X, Kind.SIZE_Y)

MOST_NAMED: Final = 6
"""So many pockets are named, more are counted."""
LOOSE: Final = 2.0
"""A gap more than so many times the planned one is told (our own choice)."""


def size_causes(errors: Sequence[MeasuredError], unit: LengthUnit) -> Iterator[Cause]:
    """Yield what widths say: an inside width grows by what the cutter is too wide, an outside width shrinks by it."""
    inside = find_error(errors, lambda c: c.kind in WIDTHS and not c.is_outside and c.part != BLANK)
    outside = find_error(errors, lambda c: c.kind in WIDTHS and c.is_outside)
    holes = tuple(e for e in inside if _is_hole(e.characteristic))
    pockets = tuple(e for e in inside if not _is_hole(e.characteristic))
    all_inside, all_outside = common_error(inside), common_error(outside)
    if all_inside is not None:
        agree = all_outside is not None and all_outside * all_inside < 0.0
        yield _cutter(inside + (outside if agree else ()), all_inside, agree, not pockets, unit)
    else:
        for group, only_holes in ((holes, True), (pockets, False)):
            common = common_error(group)
            if common is not None:
                agree = not only_holes and all_outside is not None and all_outside * common < 0.0
                yield _cutter(group + (outside if agree else ()), common, agree, only_holes, unit)
    yield from _gaps(errors, unit)


def _is_hole(c: Characteristic) -> bool:
    return c.kind is Kind.DIAMETER and c.feature.startswith(("hole-", "dowel-hole-"))


def _named(group: Sequence[MeasuredError]) -> str:
    """Return which pockets it is about, in words, each once."""
    told = (e.characteristic.what.partition(",")[0] for e in group if not e.characteristic.is_outside)
    names = list(dict.fromkeys(told))
    if len(names) > MOST_NAMED:
        return f"{len(names)} pockets, seats and openings"
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))


def _cutter(group: Sequence[MeasuredError], by: float, agree: bool, only_holes: bool, unit: LengthUnit) -> Cause:
    """Return what inside widths that are all off by the same say."""
    size, half = unit.length(abs(by)), unit.length(abs(by) / 2.0)
    large = by > 0.0
    has_holes = any(_is_hole(e.characteristic) for e in group)
    what = (
        "all bolt holes" if only_holes else "all holes and pockets" if has_holes else f"all widths of {_named(group)}"
    )
    says = f"{what} are {size} too {'large' if large else 'small'}"
    if agree:
        says += f", all outsides too {'small' if large else 'large'}"
    if only_holes and large:
        remedy = f"the drill or cutter cuts {size} wide: measure its run-out ({half} would do it) and its diameter"
    elif only_holes:
        remedy = (
            f"the drill or cutter cuts {size} narrow: measure its diameter; take one {size} larger, or mill to size"
        )
    elif large:
        remedy = f"the cutter cuts {size} wider than the program knows: set its diameter {size} larger, or its radius "
        remedy += f"{half}, after measuring it and its run-out"
    else:
        remedy = f"the cutter is worn or gives way: set its diameter {size} smaller (radius {half}), or cut once more "
        remedy += "along the wall with nothing left to take"
    numbers = tuple(sorted(e.characteristic.number for e in group))
    return Cause("drill" if only_holes else "cutter", says, remedy, by, "mm", numbers)


def _gaps(errors: Sequence[MeasuredError], unit: LengthUnit) -> Iterator[Cause]:
    """Yield inserts that do not go in, or rattle: the gap that pocket and insert really leave."""
    for mine in errors:
        c = mine.characteristic
        if c.kind not in WIDTHS or c.feature != c.part or not c.part.startswith("insert-"):
            continue
        pocket = _pocket_of(c, errors)
        if pocket is not None:
            yield from _gap(mine, pocket, unit)


def _pocket_of(c: Characteristic, errors: Sequence[MeasuredError]) -> MeasuredError | None:
    """Return the same width of the pocket that an insert goes into."""
    feature = f"inlay-pocket-{c.part.removeprefix('insert-')}"
    same = (e for e in errors if (e.characteristic.feature, e.characteristic.kind) == (feature, c.kind))
    return next(same, None)


def _gap(mine: MeasuredError, pocket: MeasuredError, unit: LengthUnit) -> Iterator[Cause]:
    """Yield the gap of one width if it is none, or much wider than planned."""
    c, p = mine.characteristic, pocket.characteristic
    name = c.part.removeprefix("insert-")
    planned = (p.nominal_mm - c.nominal_mm) / 2.0
    real = planned + (pocket.mm - mine.mm) / 2.0
    way = {Kind.SIZE_X: " along x", Kind.SIZE_Y: " along y"}.get(c.kind, "")
    numbers = (p.number, c.number)
    if real < 0.0 <= planned and planned - real > DOUBT_MM / 2.0:
        off = unit.length(planned - real)
        says = f"insert {name} is {unit.length(-2.0 * real)} larger than its pocket{way}"
        remedy = f"file {off} off each side of the insert, or cut the pocket's wall once more"
        yield Cause("insert-too-large", says, remedy, real, "mm", numbers)
    elif (is_marked(pocket.mm, p) or is_marked(mine.mm, c)) and real > LOOSE * planned + DOUBT_MM:
        wider = unit.length(2.0 * (real - planned))
        says = f"insert {name} has {unit.length(real)} of gap a side{way}, {unit.length(planned)} is planned"
        remedy = f"cut a new insert {wider} wider, or bond it with an adhesive that bridges the gap"
        yield Cause("insert-loose", says, remedy, real, "mm", numbers)
