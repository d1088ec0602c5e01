"""What making a cover takes: pieces of stock, setups, tools, time and money, each an estimate with its spread."""

from __future__ import annotations

from math import ceil
from typing import Final

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.base.materials import Material
from generator.base.units import MODEL
from generator.estimate.assumed_mills import LARGEST_ASSUMED_MM, assumed_cuts
from generator.estimate.operations import Operation, operations
from generator.estimate.times import Cutting, Minutes, cutting_of, kind_of_part, minutes_of
from generator.outline.measure import bounds
from generator.outline.remembered import remembered_of_the_same
from generator.part.heights import level
from generator.part.layers import layers
from generator.part.mass import mass_g
from generator.part.part import Part, Plan
from generator.part.setups import setups
from generator.recipe.model import Recipe

__all__ = ["Estimate", "Piece", "Step", "estimate", "piece_size"]

G_PER_MM3: Final = 1e-6
"""Grams of a cubic millimetre for each kg/m³ of density."""
SHEET_MARGIN_MM: Final = 5.0
"""An insert's piece of sheet is larger than the insert by this on every side at least (our own choice)."""
SHEET_FRAME_MM: Final = 8.0
"""So much of the sheet stays outside the cutter that goes round the insert, for clamps to lie on (our own choice)."""
WHOLE_MM: Final = 1.0
"""Pieces of sheet for inserts are sawn to whole millimetres (chosen); the cover's blank is as its files have it."""


@frozen_record
class Piece:
    """A piece of stock to be sawn.

    Attributes:
        part: what is made of it.
        material: its designation.
        size_mm: length, width and thickness; of an insert's sheet whole millimetres in the plane.
        mass_g: of the piece.
        part_mass_g: of the finished part.
        price: None where no price is given.
    """

    part: str
    material: str
    size_mm: tuple[float, float, float]
    mass_g: float
    part_mass_g: float
    price: float | None


@frozen_record
class Step:
    """An operation with how its tool starts (by the slowest of the charts) and how long it takes."""

    operation: Operation
    start: Cutting
    minutes: Minutes


@frozen_record
class Estimate:
    """All of it.

    Attributes:
        pieces: to be sawn.
        steps: operations, in the order of the plan.
        setups: number of clampings.
        tools: number of different tools.
        changes: number of tool changes.
        missing: tools that had to be assumed beside those at hand, by kind and diameter (mm).
        cutting: time that tools cut.
        setting: setups and tool changes.
        whole: cutting, setups and tool changes together.
        material_cost: of all pieces that have a price; None if none has.
        work_cost: least and most; None without a rate.
        currency: of the costs.
    """

    pieces: tuple[Piece, ...]
    steps: tuple[Step, ...]
    setups: int
    tools: int
    changes: int
    missing: tuple[tuple[str, float], ...]
    cutting: Minutes
    setting: Minutes
    whole: Minutes
    material_cost: float | None
    work_cost: tuple[float, float] | None
    currency: str


@remembered_of_the_same
def estimate(recipe: Recipe, plan: Plan) -> Estimate:
    """Return what making a cover takes.

    Raises: GeometryError: the plan has no body.
    """
    parts = {p.name: p for p in plan.parts}
    steps = tuple(_step(recipe, parts[op.part], op) for op in operations(recipe, plan))
    clampings = len(setups(layers(plan)))
    changes = sum(len({_tool(s.operation) for s in steps if s.operation.part == name}) for name in parts)
    cutting = sum((s.minutes for s in steps), Minutes(0.0, 0.0))
    making = recipe.making
    idle = clampings * making.setup + changes * making.tool_change
    setting = Minutes(idle / making.spread, idle * making.spread)
    whole = cutting + setting
    pieces = tuple(_piece(recipe, plan, p) for p in plan.parts)
    prices = [p.price for p in pieces if p.price is not None]
    rate = making.rate
    return Estimate(
        pieces=pieces,
        steps=steps,
        setups=clampings,
        tools=len({_tool(s.operation) for s in steps}),
        changes=changes,
        missing=_missing(recipe, steps),
        cutting=cutting,
        setting=setting,
        whole=whole,
        material_cost=sum(prices) if prices else None,
        work_cost=None if rate is None else (whole.least / 60.0 * rate, whole.most / 60.0 * rate),
        currency=making.currency,
    )


def _missing(recipe: Recipe, steps: tuple[Step, ...]) -> tuple[tuple[str, float], ...]:
    """Return the tools that are not at hand; a recipe that names no tools at all is not asked."""
    if not recipe.tools:
        return ()
    return tuple(dict.fromkeys(_tool(s.operation) for s in steps if not s.operation.tool))


def _tool(op: Operation) -> tuple[str, float]:
    return (op.kind, op.diameter_mm)


def _step(recipe: Recipe, part: Part, op: Operation) -> Step:
    kind = kind_of_part(recipe, part)
    return Step(op, cutting_of(op, kind, recipe.making, fast=False), minutes_of(op, kind, recipe.making))


def _piece(recipe: Recipe, plan: Plan, part: Part) -> Piece:
    """Return the piece of stock that a part is made of."""
    x, y, thickness = piece_size(plan, part)
    is_cover = part.name == "cover"
    price = (recipe.cover if is_cover else recipe.inlays[part.name.removeprefix("insert-")]).stock.price
    mass = _mass(part.material, x * y * thickness)
    cost = None if price is None else price * mass / 1000.0
    return Piece(part.name, part.material.name, (x, y, thickness), mass, mass_g(part), cost)


def piece_size(plan: Plan, part: Part) -> tuple[float, float, float]:
    """Return length, width and thickness of the piece of stock that a part is made of, mm."""
    if part.name == "cover":
        blank = bounds(plan.blank.region)
        return level(blank.width_mm), level(blank.height_mm), plan.blank.thickness_mm
    box, margin = bounds(part.profile), _sheet_margin(plan, part)
    x, y = (ceil((side + 2.0 * margin) / WHOLE_MM - 1e-9) * WHOLE_MM for side in (box.width_mm, box.height_mm))
    return x, y, part.thickness_mm


def _sheet_margin(plan: Plan, part: Part) -> float:
    """Return how much larger than an insert its sheet is on every side, mm: the cutter goes round within it."""
    cut = next((c for c in assumed_cuts(plan) if c.part == part.name and c.outline), None)
    if cut is None:
        return SHEET_MARGIN_MM
    if cut.named:
        return max(SHEET_MARGIN_MM, cut.cutter_mm + SHEET_FRAME_MM)
    try:
        fits = 2.0 * cut.largest.radius_mm
    except GeometryError:
        fits = 0.0
    mills = [d for _, d in plan.tool_diameters] or [LARGEST_ASSUMED_MM]
    cutter = max((d for d in mills if d <= fits + MODEL.model_mm), default=min(mills))
    return max(SHEET_MARGIN_MM, cutter + SHEET_FRAME_MM)


def _mass(material: Material, volume_mm3: float) -> float:
    return volume_mm3 * material.density_kg_m3 * G_PER_MM3
