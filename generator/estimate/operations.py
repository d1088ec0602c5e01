"""What is cut, with which tool, how far: the operations of a plan, from its features and the tools at hand.

An operation is one tool doing one thing to one part. Round holes are drilled where a drill of their size is at hand,
else milled; dowel holes of a fine class are reamed then. Where no tool at hand makes a hole or a chamfer, one that does
is assumed, and has no name. Pockets are cleared by the largest end mill that loses nothing, or by a large one and
finished by the one that their corners were made for. Of the tools at hand those that reach the floor go first; where
none does, the operation says so.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import pi
from typing import Final

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.base.practice import STANDARD_END_MILLS_MM
from generator.base.units import MODEL
from generator.estimate.assumed_mills import (
    LARGEST_ASSUMED_MM,
    ROUGH_SHARE,
    assumed_cuts,
    corner_mill,
    corners_mm,
    rough_mill,
)
from generator.estimate.clears import largest_that_clears
from generator.estimate.cutters import DRILL_POINT, below_face_mm, net_depth_mm, reaches
from generator.estimate.dowel_holes import is_reamed, predrill_mm
from generator.outline.measure import area, bounds, length
from generator.part.part import Feature, Part, Plan
from generator.part.reach import Cut
from generator.part.relation import disc_of
from generator.recipe.model import Recipe
from generator.recipe.model_holding import SKIN, Holding
from generator.recipe.model_tools import Tool

__all__ = ["CHAMFERED", "CLEARED", "DRILLED", "REAMED", "ROUND", "Operation", "operations"]

CLEARED, ROUND, DRILLED, CHAMFERED, REAMED = "cleared", "cut round", "drilled", "chamfered", "reamed"
"""What a tool does."""
END_MILL, DRILL, CHAMFER_CUTTER, REAMER = "end mill", "drill", "chamfer cutter", "reamer"
ASSUMED_CHAMFER_MM: Final = 6.0
"""Diameter of a chamfer cutter where none is at hand, or twice the chamfer if that is more (chosen)."""
REAMER_TEETH: Final = 6
"""Cutting edges of a reamer that is not at hand (chosen)."""
UNDER_REAMER: Final = 0.5
"""A hole is drilled deeper than it is reamed by this many diameters of the drill: its point, 0.3, and room for chips
and for the reamer's lead (common practice, no source)."""
PIN_IN_BED: Final = 1.0
"""Dowel holes go into what lies under the blank by this many diameters (chosen)."""


@frozen_record
class Operation:
    """One tool doing one thing to one part.

    Attributes:
        part: ``cover`` or ``insert-NAME``.
        what: feature or layer.
        done: ``cleared``, ``cut round``, ``drilled``, ``reamed`` or ``chamfered``.
        tool: name in the recipe; empty if it had to be assumed.
        kind: kind of tool.
        diameter_mm: of the tool.
        teeth: of the tool.
        volume_mm3: what is cleared or drilled; 0 for what is cut along a line.
        travel_mm: length of one pass along the outline.
        depth_mm: how deep.
        count: how often, of drilled holes.
        width_mm: how much a pass along the outline takes off sideways.
        features: names of the features that it makes; none for dowel holes, rim and outline.
        is_short: whether the tool is at hand and its flutes, or what stands out of its holder, are too short for it.
    """

    part: str
    what: str
    done: str
    tool: str
    kind: str
    diameter_mm: float
    teeth: int
    volume_mm3: float
    travel_mm: float
    depth_mm: float
    count: int = 1
    width_mm: float = 0.0
    features: tuple[str, ...] = ()
    is_short: bool = False


@frozen_record
class _Deep:
    """How deep cutting edges go in, and how deep the tip goes below the face, mm."""

    in_mm: float
    below_mm: float


@frozen_record
class _Tool:
    name: str
    kind: str
    diameter_mm: float
    teeth: int
    is_short: bool = False


def operations(recipe: Recipe, plan: Plan) -> tuple[Operation, ...]:
    """Return the operations of a plan, those of the cover first."""
    found = {(c.part, c.feature): c for c in assumed_cuts(plan)}
    rest = (op for part in plan.parts for op in _of_part(recipe, part, found))
    return (*_dowel_holes(recipe, plan), *rest)


def _largest_of(cut: Cut) -> float:
    """Return the diameter of the largest end mill that loses nothing of a cut, mm; 0 where none does."""
    try:
        return 2.0 * cut.largest.radius_mm
    except GeometryError:
        return 0.0


def _of_part(recipe: Recipe, part: Part, found: dict[tuple[str, str], Cut]) -> Iterator[Operation]:
    for group in _alike(part.features):
        first = group[0]
        disc = disc_of(first.region) if first.region else None
        if not first.region or first.layer == "dowel-holes":
            continue
        if first.flare_mm:
            yield _chamfered(recipe, part, group, sum(length(f.region) for f in group))
        elif disc is not None:
            yield _hole(recipe, part, group, 2.0 * disc.radius_mm)
        else:
            for f in group:
                yield from _pocket(recipe, part, f, found[part.name, f.name])
    if part.rim_break_mm and part.profile:
        yield _rim(recipe, part)
    if part.profile:
        yield from _round(recipe, part, found[part.name, part.layer])


def _alike(features: tuple[Feature, ...]) -> list[list[Feature]]:
    """Return the features in groups of one layer, depth and size, such as equal bolt holes."""
    groups: dict[tuple[object, ...], list[Feature]] = {}
    for f in features:
        disc = disc_of(f.region) if f.region else None
        own: object = round(disc.radius_mm, 6) if disc else f.name
        groups.setdefault((f.layer, f.z_from_mm, f.z_to_mm, f.flare_mm, own), []).append(f)
    return list(groups.values())


def _tools(recipe: Recipe, kind: str, deep: _Deep | None = None) -> list[_Tool]:
    """Return the tools of a kind at hand: those that reach so deep first, and the largest first."""
    found = [_named(n, t, deep) for n, t in recipe.tools.items() if t.kind == kind]
    return sorted(found, key=lambda t: (t.is_short, -t.diameter_mm))


def _sized(recipe: Recipe, kind: str, diameter_mm: float, teeth: int = 2, deep: _Deep | None = None) -> _Tool:
    """Return the tool of a kind and diameter, one without a name where none is at hand."""
    near = recipe.limits.cutting.drill_fits.value
    found = [t for t in _tools(recipe, kind, deep) if abs(t.diameter_mm - diameter_mm) <= near + MODEL.same_mm]
    assumed = _Tool("", kind, round(diameter_mm, 6), teeth)
    return min(found, key=lambda t: (t.is_short, abs(t.diameter_mm - diameter_mm)), default=assumed)


def _named(name: str, tool: Tool, deep: _Deep | None) -> _Tool:
    point = DRILL_POINT * tool.diameter if tool.kind == DRILL else 0.0
    short = deep is not None and not reaches(tool, deep.in_mm + point, deep.below_mm + point)
    return _Tool(name, tool.kind, tool.diameter, tool.teeth, short)


def _deep(part: Part, f: Feature) -> _Deep:
    return _Deep(net_depth_mm(part, f), below_face_mm(part, f))


def _mill(diameter_mm: float) -> _Tool:
    """Return an end mill that is not at hand."""
    return _Tool("", END_MILL, diameter_mm, 2)


def _dowel_holes(recipe: Recipe, plan: Plan) -> Iterator[Operation]:
    """Yield the boring and reaming of the dowel holes, through the blank into what lies under it."""
    blank, count = plan.blank, len(plan.blank.dowel_holes)
    if not count:
        return
    reamed = is_reamed(recipe)
    size = predrill_mm(recipe, blank.dowel_mm) if reamed else blank.dowel_mm
    depth = blank.thickness_mm + PIN_IN_BED * blank.dowel_mm
    drilled = depth + UNDER_REAMER * size if reamed else depth
    deep = _Deep(drilled - DRILL_POINT * size, drilled - DRILL_POINT * size) if reamed else _Deep(depth, depth)
    yield _bored(_reaching(recipe, drilled), plan.cover, "dowel-holes", size, drilled, count, deep, through=True)
    if reamed:
        tool = _sized(recipe, REAMER, blank.dowel_mm, REAMER_TEETH)
        yield _operation(plan.cover, "dowel-holes", REAMED, tool, 0.0, 0.0, depth, count)


def _reaching(recipe: Recipe, depth_mm: float) -> Recipe:
    """Return a recipe with those of its tools that reach so deep, or of no known length."""
    tools = {n: t for n, t in recipe.tools.items() if (t.flute_length or depth_mm) >= depth_mm}
    return replace(recipe, tools=tools)


def _hole(recipe: Recipe, part: Part, group: list[Feature], diameter_mm: float) -> Operation:
    """Return a group of equal round holes or recesses."""
    first = group[0]
    through = first.z_from_mm <= 0.0 and first.z_to_mm >= part.thickness_mm
    depth, deep = _depth(part, first), _deep(part, first)
    bored = _bored(recipe, part, first.layer, diameter_mm, depth, len(group), deep, through=through)
    return replace(bored, features=tuple(f.name for f in group))


def _bored(
    recipe: Recipe,
    part: Part,
    what: str,
    diameter_mm: float,
    depth_mm: float,
    count: int,
    deep: _Deep,
    *,
    through: bool,
) -> Operation:
    """Return equal round holes: drilled, or milled in a spiral."""
    volume = count * pi / 4.0 * diameter_mm**2 * depth_mm
    drill = _sized(recipe, DRILL, diameter_mm, deep=deep)
    mill = _mill_for(recipe, diameter_mm, deep)
    milled = mill.name and (not drill.name or (drill.is_short and not mill.is_short))
    if through and not milled:
        return _operation(part, what, DRILLED, drill, volume, 0.0, depth_mm, count)
    travel = count * pi * max(diameter_mm - mill.diameter_mm, 0.0)
    return _operation(part, what, CLEARED, mill, volume, travel, depth_mm, count)


def _mill_for(recipe: Recipe, diameter_mm: float, deep: _Deep) -> _Tool:
    """Return the largest end mill at hand that makes a round hole; one without a name where none does."""
    room = recipe.limits.cutting.mill_in_hole.value * diameter_mm

    def makes(mill_mm: float) -> bool:
        return mill_mm <= room + MODEL.same_mm or abs(mill_mm - diameter_mm) <= MODEL.model_mm

    usual = [_Tool("", END_MILL, d, 2) for d in sorted(STANDARD_END_MILLS_MM, reverse=True) if d <= LARGEST_ASSUMED_MM]
    found = [t for t in (*_tools(recipe, END_MILL, deep), *usual) if makes(t.diameter_mm)]
    return found[0] if found else _Tool("", END_MILL, round(room, 6), 2)


def _pocket(recipe: Recipe, part: Part, f: Feature, cut: Cut) -> Iterator[Operation]:
    """Yield the clearing of a pocket, and its finishing where a finer cutter has to do that.

    With mills at hand the finer one goes round; one that is assumed goes into the corners alone.
    """
    mills, depth = _tools(recipe, END_MILL, _deep(part, f)), _depth(part, f)
    size, rim = area(f.region) * depth, length(f.region)
    wanted = f.cutter_mm or _largest_of(cut)
    if not mills:
        finer = _mill(corner_mill(wanted, depth, recipe.limits.cutting.depth_good.value))
        rough = _mill(rough_mill(cut, finer.diameter_mm))
    else:
        finer = _fitting(mills, wanted + 1e-9)
        box = bounds(f.region)
        room = ROUGH_SHARE * min(box.width_mm, box.height_mm)
        larger = [m for m in mills if finer.diameter_mm < m.diameter_mm <= room and not m.is_short]
        found_mm = largest_that_clears(f.region, (m.diameter_mm for m in larger))
        rough = next((m for m in larger if m.diameter_mm == found_mm), finer)
    yield replace(_operation(part, f.name, CLEARED, rough, size, 0.0, depth), features=(f.name,))
    for tool, travel in [(finer, rim)] if mills or finer == rough else [(rough, rim), (finer, _left(cut, rough))]:
        yield replace(_finish(part, f.name, tool, travel, depth), features=(f.name,))


def _fitting(mills: Sequence[_Tool], most_mm: float) -> _Tool:
    """Return the first end mill at hand that is no larger; the smallest where none is."""
    return next((m for m in mills if m.diameter_mm <= most_mm), min(mills, key=lambda m: m.diameter_mm))


def _left(cut: Cut, rough: _Tool) -> float:
    return corners_mm(cut, rough.diameter_mm)


def _finish(part: Part, what: str, tool: _Tool, travel: float, depth: float) -> Operation:
    """Return a last pass along walls: it takes off a tenth of the cutter."""
    return _operation(part, what, ROUND, tool, 0.0, travel, depth, width=0.1 * tool.diameter_mm)


def _round(recipe: Recipe, part: Part, cut: Cut) -> Iterator[Operation]:
    """Yield the cut round the outline of a part: a slot as wide as the cutter; inside corners by a smaller one.

    One that is at hand cuts all of it.
    """
    largest = cut.cutter_mm if cut.named else _largest_of(cut)
    deep = part.thickness_mm - _skin_mm(recipe, part)
    mills = _tools(recipe, END_MILL, _Deep(deep, deep))
    if mills:
        finer = rough = _fitting(mills, largest)
    else:
        finer = _mill(corner_mill(largest, deep, recipe.limits.cutting.depth_good.value))
        rough = _mill(rough_mill(cut, finer.diameter_mm))
    travel = length(part.profile) + pi * rough.diameter_mm * len(part.profile)
    yield _operation(part, part.layer, ROUND, rough, 0.0, travel, deep, width=rough.diameter_mm)
    if finer != rough:
        yield _finish(part, part.layer, finer, _left(cut, rough), deep)


def _skin_mm(recipe: Recipe, part: Part) -> float:
    """Return how much of the plate the last cut of the cover leaves under itself, mm."""
    held = recipe.holding
    skin = held.thickness if isinstance(held, Holding) and held.by == SKIN else 0.0
    return skin if part.name == "cover" and skin < part.thickness_mm else 0.0


def _rim(recipe: Recipe, part: Part) -> Operation:
    width = part.rim_break_mm
    tool = _chamfer_cutter(recipe, width)
    return _operation(part, "edge-break", CHAMFERED, tool, 0.0, length(part.profile), 0.0, width=width)


def _chamfered(recipe: Recipe, part: Part, group: list[Feature], travel_mm: float) -> Operation:
    width = max(f.flare_mm for f in group)
    tool = _chamfer_cutter(recipe, width)
    made = _operation(part, group[0].layer, CHAMFERED, tool, 0.0, travel_mm, 0.0, len(group), width=width)
    return replace(made, features=tuple(f.name for f in group))


def _chamfer_cutter(recipe: Recipe, width_mm: float) -> _Tool:
    """Return the largest chamfer cutter at hand; one without a name where none is twice as wide as the chamfer."""
    assumed = _Tool("", CHAMFER_CUTTER, round(max(ASSUMED_CHAMFER_MM, 2.0 * width_mm), 6), 2)
    found = [t for t in _tools(recipe, CHAMFER_CUTTER) if t.diameter_mm >= 2.0 * width_mm - MODEL.same_mm]
    return found[0] if found else assumed


def _depth(part: Part, f: Feature) -> float:
    return min(f.z_to_mm, part.thickness_mm) - max(f.z_from_mm, 0.0)


def _operation(
    part: Part,
    what: str,
    done: str,
    tool: _Tool,
    volume: float,
    travel: float,
    depth: float,
    count: int = 1,
    *,
    width: float = 0.0,
) -> Operation:
    made = Operation(
        part.name, what, done, tool.name, tool.kind, tool.diameter_mm, tool.teeth, volume, travel, depth, count, width
    )
    return replace(made, is_short=True) if tool.is_short else made
