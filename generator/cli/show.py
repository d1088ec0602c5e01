"""``coverplate show``: the recipe with everything resolved."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from generator.base.errors import RecipeError
from generator.base.units import length_unit
from generator.build.judge import judge
from generator.build.reading import read
from generator.cli import codes
from generator.cli.tell import Console
from generator.outline.measure import bounds
from generator.part.describe import feature_rows
from generator.part.part import Plan
from generator.recipe.read import Reading
from generator.recipe.resolve import resolved_yaml


def run(options: argparse.Namespace, console: Console) -> int:
    """Print the resolved recipe and return the exit code."""
    reading = read(options.recipes[0], sets=options.sets)
    derived = list(_derived(reading))
    if console.json:
        console.document(reading.resolved)
    else:
        print(resolved_yaml(reading) + "".join(f"# {line}\n" for line in derived), end="")
    return codes.FINE


def _derived(reading: Reading) -> Iterator[str]:
    """Yield what the plan makes of everything that the recipe leaves to be derived."""
    try:
        plan = judge(reading).plan
    except RecipeError as error:
        yield "Not drawn; coverplate check says more:"
        yield from (m.sentence() for m in error.mistakes)
        return
    yield "Derived, in the recipe's units:"
    yield from _plan_lines(plan)


def _plan_lines(plan: Plan) -> Iterator[str]:
    unit = length_unit(plan.units)
    for row in feature_rows(plan.cover):
        size = (
            f"diameter {unit.length(row.diameter_mm)}" if row.diameter_mm else unit.length(row.width_mm, row.height_mm)
        )
        depth = "through" if row.shape == "through" else f"{unit.length(row.depth_mm)} deep"
        floor = f", floor left {unit.length(row.floor_mm)}" if row.floor_mm else ""
        yield f"  {row.name}: {row.face.value} face, {size}, {depth}{floor}"
    for bolt in plan.bolts:
        yield f"  {bolt.name}: hole from {bolt.source}"
    blank = bounds(plan.blank.region)
    yield f"  blank: {unit.length(blank.width_mm, blank.height_mm, plan.blank.thickness_mm)}"
    for hole in plan.blank.dowel_holes:
        at = bounds(hole).centre
        yield f"  dowel hole: diameter {unit.length(plan.blank.dowel_mm)} at {unit.figure(at.x)}, {unit.figure(at.y)}"
    yield f"  flip axis: parallel to {plan.flip.direction}, at {unit.length(plan.flip.at_mm)}"
