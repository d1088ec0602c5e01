"""Lengths to vary where a finding offers no figure of its own: places and sizes of inlays, the outer shape."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from math import hypot
from typing import Final

from generator.base.fields import Kind, OutlineSpec
from generator.base.finding import Finding
from generator.base.remedy import Edit, Way
from generator.build.judge import Checked
from generator.outline.measure import bounds
from generator.part.part import Plan
from generator.recipe.keys import keys_of

SIZES: Final = ("size", "length", "width", "height", "diameter", "radius", "across", "cap_height")
"""Keys of outlines that say how large they are."""

Knob = Callable[[float], Way]
"""Gives the edits that vary something by so many mm."""


def knobs_for(checked: Checked, finding: Finding) -> Iterator[Knob]:
    """Yield what might mend a finding: to vary what it is about, then the plate round it."""
    recipe = checked.reading.recipe
    group, _, rest = finding.path.partition(".")
    name = rest.split(".")[0]
    if group == "inlays" and name in recipe.inlays:
        yield from _of_outline(f"inlays.{name}.outline", recipe.inlays[name].outline, finding, checked.plan)
    if finding.path.startswith("cover.engravings."):
        name = finding.path.split(".")[2]
        outline = recipe.cover.engravings[name].outline
        yield from _of_outline(f"cover.engravings.{name}.outline", outline, finding, checked.plan)
    yield lambda by_mm: _larger_outer(recipe.cover.outer, by_mm)
    thickness = recipe.cover.stock.thickness
    yield lambda by_mm: (_length("cover.stock.thickness", thickness + by_mm, 1),)


def _of_outline(key: str, outline: OutlineSpec, finding: Finding, plan: Plan) -> Iterator[Knob]:
    """Yield the outline moved: away from the place of the finding, and along the axes; then made smaller."""
    for x, y in (*_away(finding, plan), (1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)):
        yield partial(_moved, key, outline, x, y)
    yield lambda by_mm: (_length(f"{key}.grow", outline.grow_mm - by_mm, -1),)
    yield from _sizes(f"{key}.{outline.kind}", outline.params)


def _sizes(key: str, params: object) -> Iterator[Knob]:
    """Yield the sizes of an outline's kind made smaller, one at a time: a box may be too long and high enough."""
    record: type = type(params)
    for word, one in keys_of(record).items():
        value = getattr(params, one.attribute)
        if one.spec.kind is Kind.LENGTH and word in SIZES and isinstance(value, float | int):
            yield partial(_smaller, f"{key}.{word}", float(value))
        elif one.spec.kind is Kind.POINT and word in SIZES and value is not None:
            for axis in (0, 1):
                yield partial(_narrower, f"{key}.{word}", value, axis)


def _smaller(key: str, value_mm: float, by_mm: float) -> Way:
    return (_length(key, value_mm - by_mm, -1),)


def _narrower(key: str, size: tuple[float, float], axis: int, by_mm: float) -> Way:
    x, y = (v - by_mm * (k == axis) for k, v in enumerate(size))
    return (Edit(key, f"[{x:z.2f} mm, {y:z.2f} mm]"),)


def _moved(key: str, outline: OutlineSpec, x: float, y: float, by_mm: float) -> Way:
    at = (outline.at_mm[0] + by_mm * x, outline.at_mm[1] + by_mm * y)
    return (Edit(f"{key}.at", f"[{at[0]:z.2f} mm, {at[1]:z.2f} mm]"),)


def _away(finding: Finding, plan: Plan) -> tuple[tuple[float, float], ...]:
    """Return the direction from the place of a finding to the middle of its feature, if both are known."""
    feature = next((f for f in plan.cover.features if f.name == finding.feature), None)
    if feature is None or finding.point_mm is None:
        return ()
    middle = bounds(feature.region).centre
    dx, dy = middle.x - finding.point_mm[0], middle.y - finding.point_mm[1]
    far = hypot(dx, dy)
    return ((dx / far, dy / far),) if far > 0.0 else ()


def _larger_outer(outer: OutlineSpec, by_mm: float) -> Way:
    """Return the outer shape larger: by its margin where it has one, else by what it grows."""
    margin = getattr(outer.params, "margin", None)
    if isinstance(margin, int | float):
        return (_length(f"cover.outer.{outer.kind}.margin", margin + by_mm, 1),)
    return (_length("cover.outer.grow", outer.grow_mm + by_mm, 1),)


def _length(key: str, value_mm: float, towards: int) -> Edit:
    return Edit(key, f"{value_mm:.6g} mm", towards)
