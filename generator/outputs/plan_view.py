"""The view of the plan: every layer at its place seen from the top, centre lines, dimensions, names, findings."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import hypot
from typing import Final

from generator.base.finding import Finding
from generator.base.units import LengthUnit, length_unit
from generator.outline.measure import bounds
from generator.outputs.plan_dims import TIER, across, fits, upwards
from generator.outputs.plan_frame import AXIS_OVER, Frame, round_holes, seen_from_top
from generator.outputs.plan_labels import draw_labels
from generator.outputs.plan_reach import Unreached, draw_unreached
from generator.outputs.plan_style import AXIS, CENTRE, CLAMP, TAB, Row, depth_of_drawing
from generator.outputs.svg_pen import path_data
from generator.outputs.svg_sheet import Sheet
from generator.part.part import Plan

__all__ = ["draw_view"]

_CHAIN: Final = 5
_OFF: Final = 10.5
"""Distance of the first dimension line from the blank, mm: its figure stays clear of the end of the flip axis."""


def draw_view(
    sheet: Sheet,
    plan: Plan,
    rows: Sequence[Row],
    findings: Sequence[Finding],
    frame: Frame,
    lost: Sequence[Unreached] = (),
) -> None:
    """Draw the whole view on an empty sheet; ``findings`` are numbered from 1 in the given order.

    What no cutter in use reaches (``lost``) is drawn above the layers.
    """
    _layers(sheet, plan, rows, frame)
    draw_unreached(sheet, lost, frame)
    _held(sheet, plan, frame)
    _flip_axis(sheet, plan, frame)
    _centre_lines(sheet, plan, frame)
    _dimensions(sheet, plan, frame)
    draw_labels(sheet, plan, rows, findings, frame, lost)


# -- lines


def _layers(sheet: Sheet, plan: Plan, rows: Sequence[Row], frame: Frame) -> None:
    """Draw the layers, tints of inserts below, the outer profile above all."""
    sheet.raw(f'<g transform="{frame.transform}" stroke-linejoin="round">', frame.box)
    for row in sorted(rows, key=depth_of_drawing):
        d = path_data(seen_from_top(row, plan.flip))
        name = row.layer.name
        sheet.raw(f'<path data-layer="{name}" d="{d}" {row.style.attributes(frame.scale)}/>')
    sheet.raw("</g>")


def _held(sheet: Sheet, plan: Plan, frame: Frame) -> None:
    """Draw clamps on the blank, and tabs across the cut round the cover."""
    for clamp in plan.clamps:
        sheet.circle(frame.at(*clamp.at), clamp.radius_mm * frame.scale, CLAMP)
    for tab in plan.tabs:
        dx, dy = tab.root.x - tab.foot.x, tab.root.y - tab.foot.y
        long = hypot(dx, dy)
        if long <= 0.0:  # a tab of no length has no direction: there is nothing to draw
            continue
        half = tab.width_mm / (2.0 * long)
        ends = (
            (p.x + side * dy * half, p.y - side * dx * half)
            for p, sides in ((tab.foot, (1, -1)), (tab.root, (-1, 1)))
            for side in sides
        )
        sheet.shape([frame.at(x, y) for x, y in ends], TAB.ink)


def _flip_axis(sheet: Sheet, plan: Plan, frame: Frame) -> None:
    """Draw the flip axis across the blank."""
    box, at = frame.box, plan.flip.at_mm
    x, y = frame.at(at, at)
    if plan.flip.direction == "y":
        sheet.line([(x, box.top - AXIS_OVER), (x, box.bottom + AXIS_OVER)], AXIS)
    else:
        sheet.line([(box.left - AXIS_OVER, y), (box.right + AXIS_OVER, y)], AXIS)


def _centre_lines(sheet: Sheet, plan: Plan, frame: Frame) -> None:
    for x, y, r in round_holes(plan):
        cx, cy = frame.at(x, y)
        reach = r * frame.scale + 1.8
        sheet.line([(cx - reach, cy), (cx + reach, cy)], CENTRE)
        sheet.line([(cx, cy - reach), (cx, cy + reach)], CENTRE)


# -- dimensions


def _dimensions(sheet: Sheet, plan: Plan, frame: Frame) -> None:
    """Draw overall sizes of cover and blank below and left, distances of the bolts above and right."""
    cover, box, blank = bounds(plan.cover.profile), frame.box, bounds(plan.blank.region or plan.cover.profile)
    below, left, unit = box.bottom + _OFF, box.left - _OFF, length_unit(plan.units)
    for tier, (b, note) in enumerate(((cover, ""), (blank, " blank"))):
        (x0, y1), (x1, y0) = frame.at(b.xmin, b.ymin), frame.at(b.xmax, b.ymax)
        if tier and b == cover:
            continue
        base, side = (box.bottom, box.left) if tier else (y1, x0)
        width, height = unit.figure(b.width_mm) + note, unit.figure(b.height_mm) + note
        across(sheet, x0, x1, width, y=below + tier * TIER, outline=(base, base))
        upwards(sheet, y0, y1, height, x=left - tier * TIER, outline=(side, side))
    _bolt_distances(sheet, plan, frame)


def _bolt_distances(sheet: Sheet, plan: Plan, frame: Frame) -> None:
    """Draw distances between the bolts: a chain where its figures fit, else from the first to the last.

    Where the flip axis runs through a bolt it serves as its extension line.
    """
    box, bolts, axis, unit = frame.box, plan.bolts, plan.flip, length_unit(plan.units)

    def on_axis(value: float, direction: str) -> bool:
        return axis.direction == direction and abs(value - axis.at_mm) * frame.scale < 0.4

    for (a, ya), (b, yb) in _links(_steps([(b.at.x, b.at.y) for b in bolts]), frame.scale, unit):
        (x0, s0), (x1, s1) = frame.at(a, ya), frame.at(b, yb)
        starts = tuple(box.top - AXIS_OVER if on_axis(v, "y") else s for v, s in ((a, s0), (b, s1)))
        across(sheet, x0, x1, unit.figure(b - a), y=box.top - _OFF, outline=(starts[0], starts[1]))
    for (a, xa), (b, xb) in _links(_steps([(b.at.y, b.at.x) for b in bolts]), frame.scale, unit):
        (s0, y1), (s1, y0) = frame.at(xa, a), frame.at(xb, b)
        starts = tuple(box.right + AXIS_OVER if on_axis(v, "x") else s for v, s in ((b, s1), (a, s0)))
        upwards(sheet, y0, y1, unit.figure(b - a), x=box.right + _OFF, outline=(starts[0], starts[1]))


def _steps(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return the distinct first coordinates in rising order, each with the largest second coordinate found there."""
    best: dict[float, tuple[float, float]] = {}
    for along, other in points:
        key = round(along, 3) + 0.0
        if key not in best or other > best[key][1]:
            best[key] = (along, other)
    return [best[k] for k in sorted(best)]


def _links(
    steps: list[tuple[float, float]], scale: float, unit: LengthUnit
) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Return the pairs to dimension: every neighbouring pair if there are few and all fit, else the outermost two."""
    if len(steps) < 2:
        return []
    pairs = list(pairwise(steps))
    if len(pairs) <= _CHAIN and all(fits(unit.figure(b[0] - a[0]), (b[0] - a[0]) * scale) for a, b in pairs):
        return pairs
    return [(steps[0], steps[-1])]
