"""Are the cutters' flutes as long as what they cut is deep?"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import NOISE, Check, no_less, no_more
from generator.estimate.cutters import (
    DRILL_POINT,
    Deep,
    below_face_mm,
    deep_cuts,
    drills_of,
    net_depth_mm,
    round_features,
    stands_out,
)
from generator.outline.contour import Point
from generator.outline.measure import bounds
from generator.part.part import Feature, Part, Plan
from generator.recipe.model import Recipe
from generator.recipe.model_tools import Tool

ID = "flute-length"
Mills = tuple[tuple[str, Tool], ...]


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``too-short`` for what is deeper than the flutes of all end mills that go in, ``short-drill`` for holes.

    ``holder-hits`` where none of them, or of the drills, stands out of its holder as far as its tip has to go down.
    """
    for deep in deep_cuts(recipe, plan):
        if not any(stands_out(t, deep.below_mm) for _, t in deep.mills):
            yield _hits(deep.feature, deep.face.value, deep.at, deep.below_mm, deep.mills)
        elif not deep.reaching:
            yield _finding(deep)
    for part, feature, diameter in round_features(plan):
        drills = drills_of(recipe, diameter)
        if drills and feature.z_from_mm <= 0.0 and feature.z_to_mm >= part.thickness_mm:
            yield from _drilled(recipe, part, feature, drills)


def _finding(deep: Deep) -> Finding:
    """Return the finding of one cut, with the end mill whose flutes come nearest."""
    out = [(n, t) for n, t in deep.mills if stands_out(t, deep.below_mm)]
    name, tool = max(out, key=lambda x: x[1].flute_length or inf)
    flutes = tool.flute_length or 0.0
    other = "" if deep.fits_mm > 100.0 else f" of at most {no_more(deep.fits_mm)}"
    return Finding(
        check=ID,
        code="too-short",
        severity=Severity.WARNS,
        message=f"{deep.feature} is cut {deep.depth_mm:.4g} mm deep; of the end mills that get into it `{name}` has "
        f"the longest flutes, {flutes:g} mm: above them its shank rubs on the wall",
        feature=deep.feature,
        point_mm=deep.at,
        face=deep.face.value,
        figure=deep.depth_mm,
        limit=flutes,
        unit="mm",
        source=f"{GEOMETRY}; flutes as stated in tools.{name}",
        remedy=f"set tools.{name}.flute_length to at least {no_less(deep.depth_mm)}; that is a longer cutter, or "
        f"another{other}, or one whose shank is ground back above the flutes",
        path=f"tools.{name}.flute_length",
    )


def _hits(feature: str, face: str, at: Point | None, below_mm: float, tools: Mills) -> Finding:
    """Return ``holder-hits`` for a cut or a hole, with the tool that stands out farthest."""
    name, tool = max(tools, key=lambda x: x[1].stick_out or 0.0)
    out = tool.stick_out or 0.0
    return Finding(
        check=ID,
        code="holder-hits",
        severity=Severity.FORBIDS,
        message=f"for {feature} the tip goes {below_mm:.4g} mm below the face; of the tools that get into it `{name}` "
        f"stands out farthest, {out:g} mm: its holder runs {below_mm - out:.3g} mm into the plate",
        feature=feature,
        point_mm=at,
        face=face,
        figure=out,
        limit=below_mm,
        unit="mm",
        source=f"{GEOMETRY}; stick-out as stated in tools.{name}",
        remedy=f"set tools.{name}.stick_out to at least {no_less(below_mm)}",
        path=f"tools.{name}.stick_out",
    )


def _drilled(recipe: Recipe, part: Part, hole: Feature, drills: tuple[str, ...]) -> Iterator[Finding]:
    """Yield ``short-drill`` for a hole that no drill of its size gets through with its point."""
    below = below_face_mm(part, hole) + DRILL_POINT * recipe.tools[drills[0]].diameter
    out = tuple((n, recipe.tools[n]) for n in drills if stands_out(recipe.tools[n], below))
    if not out:
        at = bounds(hole.region).centre
        yield _hits(hole.name, hole.face.value, at, below, tuple((n, recipe.tools[n]) for n in drills))
        return
    name, tool = max(out, key=lambda x: x[1].flute_length or inf)
    needed = net_depth_mm(part, hole) + DRILL_POINT * tool.diameter
    if tool.flute_length is None or tool.flute_length >= needed - NOISE:
        return
    yield Finding(
        check=ID,
        code="short-drill",
        severity=Severity.WARNS,
        message=f"{hole.name} needs {needed:.4g} mm of drill with its point; `{name}` has flutes of "
        f"{tool.flute_length:g} mm, and chips do not get out",
        feature=hole.name,
        point_mm=bounds(hole.region).centre,
        face=hole.face.value,
        figure=needed,
        limit=tool.flute_length,
        unit="mm",
        source=f"{GEOMETRY}; flutes as stated in tools.{name}",
        remedy=f"set tools.{name}.flute_length to at least {no_less(needed)}; that is a longer drill",
        path=f"tools.{name}.flute_length",
    )


CHECK = Check(
    ID,
    "flutes as long as the cut is deep",
    "Only the flutes cut. Below a wall higher than they are, the shank rubs, heats and breaks the cutter; and one that "
    "does not stand out far enough brings its holder down onto the plate.",
    GEOMETRY,
    run,
    formula="depth, less what a pocket from the other face has taken away before, against tools.*.flute_length; "
    "of drills with the point, 0.3 d; depth below the face against tools.*.stick_out",
)
