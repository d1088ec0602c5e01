"""What is cut, with which tool, how far: the operations of a plan, from its features and the tools at hand.

An operation is one tool doing one thing to one part. Round holes are drilled where a drill of their size is at hand,
else milled; pockets are cleared by the largest end mill that loses nothing, or by a large one and finished by the one
that their corners were made for.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi
from typing import Final

from generator.base.errors import GeometryError
from generator.base.practice import STANDARD_END_MILLS_MM
from generator.base.units import MODEL
from generator.outline.measure import area, bounds, length
from generator.part.part import Feature, Part, Plan
from generator.part.reach import Cut, cuts
from generator.part.relation import disc_of
from generator.recipe.model import Recipe
from generator.recipe.model_tools import Tool

__all__ = ["CHAMFERED", "CLEARED", "DRILLED", "ROUND", "Operation", "operations"]

CLEARED, ROUND, DRILLED, CHAMFERED = "cleared", "cut round", "drilled", "chamfered"
"""What a tool does."""
ROUGH_SHARE: Final = 0.6
"""A pocket is roughed by a cutter of at most this share of its narrower side (chosen)."""
END_MILL, DRILL, CHAMFER_CUTTER = "end mill", "drill", "chamfer cutter"


@dataclass(frozen=True)
class Operation:
    """One tool doing one thing to one part.

    Attributes:
        part: ``cover`` or ``insert-NAME``.
        what: feature or layer.
        done: ``cleared``, ``cut round``, ``drilled`` or ``chamfered``.
        tool: name in the recipe; empty if it had to be assumed.
        kind: kind of tool.
        diameter_mm: of the tool.
        teeth: of the tool.
        volume_mm3: what is cleared or drilled; 0 for what is cut along a line.
        travel_mm: length of one pass along the outline.
        depth_mm: how deep.
        count: how often, of drilled holes.
        width_mm: how much a pass along the outline takes off sideways.
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


@dataclass(frozen=True)
class _Tool:
    name: str
    kind: str
    diameter_mm: float
    teeth: int


def operations(recipe: Recipe, plan: Plan) -> tuple[Operation, ...]:
    """Return the operations of a plan, those of the cover first."""
    largest = {(c.part, c.feature): _largest_of(c) for c in cuts(plan)}
    return tuple(op for part in plan.parts for op in _of_part(recipe, part, largest))


def _largest_of(cut: Cut) -> float:
    """Return the diameter of the largest end mill that loses nothing of a cut, mm; 0 where none does."""
    try:
        return 2.0 * cut.largest.radius_mm
    except GeometryError:
        return 0.0


def _of_part(recipe: Recipe, part: Part, largest: dict[tuple[str, str], float]) -> Iterator[Operation]:
    for group in _alike(part.features):
        first = group[0]
        disc = disc_of(first.region) if first.region else None
        if not first.region:
            continue
        if first.flare_mm:
            yield _chamfered(recipe, part, group, sum(length(f.region) for f in group))
        elif disc is not None:
            yield _hole(recipe, part, group, 2.0 * disc.radius_mm)
        else:
            for f in group:
                yield from _pocket(recipe, part, f, largest.get((part.name, f.name), 0.0))
    if part.rim_break_mm and part.profile:
        yield _rim(recipe, part)
    if part.profile:
        yield _round(recipe, part, largest.get((part.name, part.layer), 0.0))


def _alike(features: tuple[Feature, ...]) -> list[list[Feature]]:
    """Return the features in groups of one layer, depth and size, such as equal bolt holes."""
    groups: dict[tuple[object, ...], list[Feature]] = {}
    for f in features:
        disc = disc_of(f.region) if f.region else None
        own: object = round(disc.radius_mm, 6) if disc else f.name
        groups.setdefault((f.layer, f.z_from_mm, f.z_to_mm, f.flare_mm, own), []).append(f)
    return list(groups.values())


def _tools(recipe: Recipe, kind: str) -> list[_Tool]:
    """Return the tools of a kind at hand, the largest first."""
    found = [_named(n, t) for n, t in recipe.tools.items() if t.kind == kind]
    return sorted(found, key=lambda t: -t.diameter_mm)


def _named(name: str, tool: Tool) -> _Tool:
    return _Tool(name, tool.kind, tool.diameter, tool.teeth)


def _mills(recipe: Recipe) -> list[_Tool]:
    """Return the end mills at hand; those commonly stocked where the recipe names none."""
    return _tools(recipe, END_MILL) or [_Tool("", END_MILL, d, 2) for d in STANDARD_END_MILLS_MM if d <= 8.0]


def _hole(recipe: Recipe, part: Part, group: list[Feature], diameter_mm: float) -> Operation:
    """Return a group of equal round holes: drilled, or milled in a spiral."""
    first, depth = group[0], _depth(part, group[0])
    volume = sum(area(f.region) for f in group) * depth
    through = first.z_from_mm <= 0.0 and first.z_to_mm >= part.thickness_mm
    near = recipe.limits.cutting.drill_fits.value + MODEL.same_mm
    drills = [t for t in _tools(recipe, DRILL) if abs(t.diameter_mm - diameter_mm) <= near]
    if through and (drills or not _tools(recipe, END_MILL)):
        tool = drills[0] if drills else _Tool("", DRILL, diameter_mm, 2)
        return _operation(part, first.layer, DRILLED, tool, volume, 0.0, depth, len(group))
    mill = next((t for t in _mills(recipe) if t.diameter_mm <= 0.9 * diameter_mm), _mills(recipe)[-1])
    travel = sum(pi * max(diameter_mm - mill.diameter_mm, 0.0) for _ in group)
    return _operation(part, first.layer, CLEARED, mill, volume, travel, depth, len(group))


def _pocket(recipe: Recipe, part: Part, f: Feature, largest_mm: float) -> Iterator[Operation]:
    """Yield the clearing of a pocket, and its finishing where a finer cutter has to do that."""
    mills, depth = _mills(recipe), _depth(part, f)
    size, rim = area(f.region) * depth, length(f.region)
    finer = next((m for m in mills if m.diameter_mm <= (f.cutter_mm or largest_mm) + 1e-9), mills[-1])
    box = bounds(f.region)
    room = ROUGH_SHARE * min(box.width_mm, box.height_mm)
    rough = next((m for m in mills if finer.diameter_mm <= m.diameter_mm <= room), finer)
    yield _operation(part, f.name, CLEARED, rough, size, 0.0, depth)
    yield _operation(part, f.name, ROUND, finer, 0.0, rim, depth, width=0.1 * finer.diameter_mm)


def _round(recipe: Recipe, part: Part, largest_mm: float) -> Operation:
    """Return the cut round the outline of a part: a slot as wide as the cutter."""
    mills = _mills(recipe)
    usable = [m for m in mills if m.diameter_mm <= largest_mm] or mills[-1:]
    tool = usable[0]
    travel = length(part.profile) + pi * tool.diameter_mm * len(part.profile)
    return _operation(part, part.layer, ROUND, tool, 0.0, travel, part.thickness_mm, width=tool.diameter_mm)


def _rim(recipe: Recipe, part: Part) -> Operation:
    tool = next(iter(_tools(recipe, CHAMFER_CUTTER)), _Tool("", CHAMFER_CUTTER, 6.0, 2))
    return _operation(part, "edge-break", CHAMFERED, tool, 0.0, length(part.profile), 0.0, width=part.rim_break_mm)


def _chamfered(recipe: Recipe, part: Part, group: list[Feature], travel_mm: float) -> Operation:
    tool = next(iter(_tools(recipe, CHAMFER_CUTTER)), _Tool("", CHAMFER_CUTTER, 6.0, 2))
    width = max(f.flare_mm for f in group)
    return _operation(part, group[0].layer, CHAMFERED, tool, 0.0, travel_mm, 0.0, len(group), width=width)


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
    return Operation(
        part.name, what, done, tool.name, tool.kind, tool.diameter_mm, tool.teeth, volume, travel, depth, count, width
    )
