"""A gear wheel as an emblem: teeth with straight flanks, rounded so that it can be cut; not for running."""

from __future__ import annotations

from math import asin, pi, sin, tan

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour
from generator.outline.create import circle
from generator.outline.region import Region
from generator.shapes.emblems.around import all_round, arc, each_turned, polar
from generator.shapes.emblems.finish import corner_radius, finished, size
from generator.shapes.emblems.remedy import demand
from generator.shapes.shape import Context, Shape

TIP_SHARE, ROOT_SHARE = 0.4, 0.66
"""Width of a tooth at its tip and at its root, as shares of the pitch (chosen by eye)."""
DEPTH = 1.7
"""Tooth depth in modules, the module being the size over teeth + 2 (chosen by eye; running gears have 2.25, ISO 53)."""


@frozen_record(kw_only=True)
class Gear:
    """A gear wheel seen from the front."""

    size: float = size("Outside diameter.")
    teeth: int = f.count("Number of teeth.", default=18, at_least=5, at_most=200, example=18)
    tooth_depth: float | None = f.length(
        "Depth of the teeth; without it 1.7 times the size over the number of teeth and two.",
        default=None,
        above=0,
        at_most=500,
        example=3,
    )
    bore: float | None = f.length(
        "Diameter of the hole in the middle, 0 for none; without it 0.16 of the size.",
        default=None,
        at_least=0,
        at_most=2000,
        example=7,
    )
    spokes: int = f.count(
        "Number of spokes between hub and rim; 0 for a full wheel.", default=5, at_least=0, at_most=24, example=5
    )
    spoke: float | None = f.length(
        "Width of the spokes; without it 0.08 of the size.", default=None, above=0, at_most=500, example=3
    )
    hub: float | None = f.length(
        "Diameter of the hub; without it 0.34 of the size.", default=None, above=0, at_most=2000, example=14
    )
    rim: float | None = f.length(
        "Width of the rim under the teeth; without it 0.08 of the size.", default=None, above=0, at_most=500, example=3
    )
    corner_radius: float = corner_radius()


def draw(params: Gear, context: Context) -> Region:
    """Return the gear wheel.

    Raises: GeometryError: a dimension leaves no room for another, or the corner radius does not fit; says what would.
    """
    return finished(params, _sharp)


def _sharp(params: Gear) -> list[Contour]:
    root = params.size / 2.0 - _depth(params)
    contours = [_rim(params, root)]
    inside = root
    if params.spokes:
        windows, inside = _windows(params, root)
        contours += windows
    bore = 0.16 * params.size if params.bore is None else params.bore
    if bore:
        demand(bore < 2.0 * inside, "bore", bore, "leaves no hub")
        contours.append(circle((0.0, 0.0), bore / 2.0).reversed())
    return contours


def _depth(params: Gear) -> float:
    if params.tooth_depth is None:
        return DEPTH * params.size / (params.teeth + 2)
    demand(params.tooth_depth < 0.4 * params.size, "tooth_depth", params.tooth_depth, "leaves no wheel")
    return params.tooth_depth


def _rim(params: Gear, root: float) -> Contour:
    """Return the toothed outline, a tooth upwards."""
    pitch = 2.0 * pi / params.teeth
    tip_half, foot_half = TIP_SHARE * pitch / 2.0, ROOT_SHARE * pitch / 2.0
    outer, gap = params.size / 2.0, pitch - 2.0 * foot_half
    tooth = [
        polar(root, pi / 2.0 - foot_half),
        polar(outer, pi / 2.0 - tip_half, tan(2.0 * tip_half / 4.0)),
        polar(outer, pi / 2.0 + tip_half),
        polar(root, pi / 2.0 + foot_half, tan(gap / 4.0)),
    ]
    return all_round(tooth, params.teeth)


def _windows(params: Gear, root: float) -> tuple[list[Contour], float]:
    """Return the holes between the spokes, and the radius of the hub."""
    rim = 0.08 * params.size if params.rim is None else params.rim
    demand(rim < root * 0.8, "rim", rim, "leaves no room for spokes")
    hub = min(0.34 * params.size, 1.5 * (root - rim)) if params.hub is None else params.hub
    far, near = root - rim, hub / 2.0
    demand(hub < 2.0 * far, "hub", hub, "leaves no room for spokes")
    half = pi / params.spokes
    spoke = min(0.08 * params.size, 0.5 * far * sin(min(half, pi / 2.0))) if params.spoke is None else params.spoke
    demand(spoke < 2.0 * far * sin(min(half, pi / 2.0)), "spoke", spoke, "leaves nothing between the spokes")
    outer = half - asin(spoke / 2.0 / far)
    chain = arc(far, -outer, outer)
    if params.spokes > 1 and spoke / 2.0 >= near * sin(half):
        chain.append(polar(spoke / 2.0 / sin(half), 0.0))  # the spokes meet before they meet the hub
    else:
        demand(spoke < 2.0 * near, "spoke", spoke, "is wider than the hub")
        inner = half - asin(spoke / 2.0 / near)
        chain += arc(near, inner, -inner)
    return [c.reversed() for c in each_turned(chain, params.spokes, pi / 2.0 + half)], near


SHAPE = Shape("gear", Gear, draw, "A gear wheel with spokes, its teeth rounded for a cutter.")
