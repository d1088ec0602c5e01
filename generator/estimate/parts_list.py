"""The parts list: what is made, what is bought, and what is sawn for it; quantities for the whole order."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf, isclose
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.limits_and_fits import INCH_PINS
from generator.base.screws import CONE, HEXAGON
from generator.base.units import INCH, MILLIMETRE, MM_PER_INCH, length_unit
from generator.estimate.bolt_length import fallback_length, needed_length
from generator.estimate.joint import Joint, groups, told
from generator.estimate.making import piece_size
from generator.estimate.operations import PIN_IN_BED
from generator.outline.measure import area
from generator.part.loose import loose_pieces
from generator.part.metals import adhesive_of
from generator.part.part import Part, Plan
from generator.part.relation import box_of
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import NUT
from generator.recipe.model_dowels import Dowels

__all__ = ["MADE", "PartsRow", "parts_list"]

MADE, BOUGHT, SAWN = "made", "bought", "sawn"
AS_NEEDED: Final = "as needed"
"""Quantity of what is not counted."""
SCREW_NAMES: Final = {
    "ISO 4762": "hexagon socket head cap screw",
    "ISO 7380-1": "hexagon socket button head screw",
    CONE: "hexagon socket countersunk head screw",
    HEXAGON: "hexagon head screw",
}
PIN_LENGTHS_MM: Final = (
    *(3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30, 32, 35),
    *range(40, 101, 5),
)
"""Lengths of ISO 8734 and ISO 2338 pins, from memory."""
NUTS: Final = "ISO 4032"


@frozen_record
class PartsRow:
    """A line of the parts list.

    Attributes:
        item: from 1; the same for the same recipe.
        quantity: for the whole order, as text: a number or ``as needed``.
        kind: ``made``, ``bought`` or ``sawn``.
        what: in plain words.
        designation: by its standard, with the name of the part for what is made; empty where there is none.
        material: empty where the designation says it.
        size: in the recipe's unit, with the unit; empty where the designation says it.
        note: what else must be known; may be empty.
    """

    item: int
    quantity: str
    kind: str
    what: str
    designation: str
    material: str
    size: str
    note: str = ""


_Bare = tuple[str, str, str, str, str, str, str]
"""Quantity, kind, what, designation, material, size, note."""


def parts_list(recipe: Recipe, plan: Plan) -> tuple[PartsRow, ...]:
    """Return the parts list: parts to be made, what is bought, blanks to be sawn."""
    return tuple(PartsRow(k, *row) for k, row in enumerate(_rows(recipe, plan), start=1))


def _rows(recipe: Recipe, plan: Plan) -> Iterator[_Bare]:
    yield from _made(recipe, plan)
    for group in groups(recipe, plan):
        yield from _bolts(recipe, group)
    yield from _plain_bolts(recipe, plan)
    yield from _adhesives(recipe, plan)
    yield from _dowels(recipe, plan)
    yield from _blanks(recipe, plan)


# ------------------------------------------------------------------ what is made
def _made(recipe: Recipe, plan: Plan) -> Iterator[_Bare]:
    unit, number = length_unit(plan.units), str(recipe.order.quantity)
    for part in plan.parts:
        box = box_of(part.profile) if part.profile else None
        size = unit.length(box.width_mm, box.height_mm, part.thickness_mm) if box else ""
        is_cover = part is plan.cover
        what = "cover" if is_cover else f"insert {part.name.removeprefix('insert-')}"
        finish = recipe.order.finish if is_cover else recipe.order.insert_finish
        pieces = 1 if is_cover or not part.profile else loose_pieces(part)
        note = f"{finish}; one insert is {pieces} loose pieces" if pieces > 1 else finish
        designation = f"{plan.name} {part.name}, revision {plan.revision}"
        yield (number, MADE, what, designation, part.material.name, size, note)


# ------------------------------------------------------------------ what is bought
def _bolts(recipe: Recipe, group: tuple[Joint, ...]) -> Iterator[_Bare]:
    """Yield screws with their length, washers and nuts of one group of bolts."""
    joint = group[0]
    count = str(len(group) * recipe.order.quantity)
    length = joint.group.length or needed_length(recipe, joint)
    note = told(group)
    if length is None:
        length = fallback_length(recipe, joint)
        note += "; no stocked length holds in full" if length else "; no standard length reaches: see the checks"
    size = f"{joint.thread.name} × {length:g}" if length else joint.thread.name
    designation = f"{joint.screw} - {size} - {_strength(joint)}"
    yield (count, BOUGHT, SCREW_NAMES.get(joint.screw, "screw"), designation, joint.group.metal, "", note)
    thread = joint.thread.name.removeprefix("M")
    if joint.washer is not None:
        yield (count, BOUGHT, "plain washer", f"ISO 7089 - {thread} - 200 HV", joint.group.metal, "", told(group))
    if joint.group.into == NUT:
        nut = f"{NUTS} - {joint.thread.name} - {_nut_class(joint)}"
        yield (count, BOUGHT, "hexagon nut", nut, joint.group.metal, "", told(group))


def _strength(joint: Joint) -> str:
    """Return the property class in the designation: 08.8 and A2-070 for heads of reduced loadability.

    Source: ISO 898-1, ISO 3506-1, from memory.
    """
    name = joint.strength.name
    if not joint.is_weak_headed:
        return name
    grade, dash, strength = name.rpartition("-")
    return f"{grade}{dash}0{strength}"


def _nut_class(joint: Joint) -> str:
    """Return the class of nut that goes with a bolt: the number before the point (ISO 898-2), stainless the same."""
    name = joint.strength.name
    return name.split(".")[0] if joint.strength.standard == "ISO 898-1" else name


def _plain_bolts(recipe: Recipe, plan: Plan) -> Iterator[_Bare]:
    """Yield bolts of which only the hole is known."""
    unit = length_unit(plan.units)
    for i, _ in enumerate(recipe.original.bolts):
        mine = [b for b in plan.bolts if b.path == f"original.bolts[{i}]" and not b.thread]
        if mine:
            count = str(len(mine) * recipe.order.quantity)
            hole = f"for holes of {unit.length(mine[0].hole_mm)}"
            # the original stays in the hollow: heads rise by what stands above it
            longer = unit.length(plan.cover.thickness_mm - recipe.original.height)
            note = f"the recipe names no thread; up to {longer} longer than without the cover"
            yield (count, BOUGHT, "bolt", "", "", hole, note)


def _adhesives(recipe: Recipe, plan: Plan) -> Iterator[_Bare]:
    """Yield every adhesive once, with the area that it covers."""
    areas: dict[str, float] = {}
    inserts: dict[str, list[str]] = {}
    for part in plan.inserts:
        name = part.name.removeprefix("insert-")
        adhesive = adhesive_of(recipe, recipe.inlays[name])
        if adhesive is not None and part.profile:
            areas[adhesive.name] = areas.get(adhesive.name, 0.0) + area(part.profile) * recipe.order.quantity
            inserts.setdefault(adhesive.name, []).append(name)
    for adhesive_name, covered in areas.items():
        size = f"{covered / INCH.mm**2:.2f} in²" if plan.units == INCH.name else f"{covered / 100.0:.1f} cm²"
        size += " of bond"
        note = f"insert {', '.join(inserts[adhesive_name])}"
        yield (AS_NEEDED, BOUGHT, "adhesive", adhesive_name, "", size, note)


def _dowels(recipe: Recipe, plan: Plan) -> Iterator[_Bare]:
    """Yield the pins that register the blank: used again for every cover, so one set does for the order."""
    dowels, count = recipe.dowels, len(plan.blank.dowel_holes)
    if not isinstance(dowels, Dowels) or not count:
        return
    deep = plan.blank.thickness_mm + PIN_IN_BED * dowels.diameter
    note = "for the flip, not part of the cover; one set does for all. It must not stand out of the blank"
    inch = next((d for d in INCH_PINS if isclose(d * MM_PER_INCH, dowels.diameter, abs_tol=1e-6)), None)
    length = max((x for x in PIN_LENGTHS_MM if x <= deep + 1e-9), default=inf)
    d = f"{dowels.diameter:g}"
    if inch is not None:
        size = f"{length_unit('inch').length(dowels.diameter)}, at most {length_unit('inch').length(deep)} long"
        yield (str(count), BOUGHT, "dowel pin", "ASME B18.8.2", "steel, hardened", size, note)
    elif dowels.pins == "h6" or length == inf:
        unit = length_unit(plan.units)
        fit = f"{d} {dowels.pins}" if unit is MILLIMETRE else f"{d} mm {dowels.pins}"
        size = f"{fit}, at most {unit.length(deep) if unit is INCH else f'{deep:g} mm'} long"
        yield (str(count), BOUGHT, "ground rod" if dowels.pins == "h6" else "dowel pin", "", "steel", size, note)
    else:
        designation = (
            f"ISO 8734 - {d} × {length} - A - St" if dowels.pins == "m6" else f"ISO 2338 - {d} h8 × {length} - St"
        )
        yield (str(count), BOUGHT, "parallel pin", designation, "", "", note)


# ------------------------------------------------------------------ what is sawn
def _blanks(recipe: Recipe, plan: Plan) -> Iterator[_Bare]:
    for part in plan.parts:
        if part.profile:
            yield _blank(recipe, plan, part)


def _blank(recipe: Recipe, plan: Plan, part: Part) -> _Bare:
    unit = length_unit(plan.units)
    what = "blank for the cover" if part is plan.cover else f"piece of sheet for insert {part.name[len('insert-') :]}"
    measured = part is plan.cover and recipe.cover.stock.measured is not None
    note = "thickness as measured" if measured else ""
    return (str(recipe.order.quantity), SAWN, what, "", part.material.name, unit.length(*piece_size(plan, part)), note)
