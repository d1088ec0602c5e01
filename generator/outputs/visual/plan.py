"""The plan in the page: every layer a path of its own, to be switched on and off; markers where findings are."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot
from typing import Final

from generator.base.finding import Finding
from generator.base.units import decimal
from generator.outputs.lettering import xml_text
from generator.outputs.plan_frame import Frame, frame_of, seen_from_top
from generator.outputs.plan_style import AXIS, CLAMP, TAB, Row, depth_of_drawing
from generator.outputs.svg_pen import path_data
from generator.part.part import Plan

__all__ = ["DIGITS", "page_plan"]

DIGITS: Final = 4
"""Decimals of a coordinate in mm."""
_MARGIN: Final = 7.0
_MARK: Final = 2.6
_INKS: Final = {"forbids": "#a3262a", "warns": "#9a5b00", "notes": "#1f5fa8"}


def page_plan(plan: Plan, rows: Sequence[Row], findings: Sequence[Finding]) -> str:
    """Return the plan as an SVG element, seen from the top face.

    Args:
        plan: of the cover.
        rows: its layers.
        findings: as the page numbers them, from 1.
    """
    frame = frame_of(plan, rows)
    box = frame.box.grown(_MARGIN)
    view = " ".join(decimal(v, 3) for v in (box.left, box.top, box.width, box.height))
    layers = "".join(_layer(row, plan, frame) for row in sorted(rows, key=depth_of_drawing))
    return (
        f'<svg id="plan" viewBox="{view}" role="img" aria-label="Plan of all layers, seen from the top face" '
        f'data-scale="{decimal(frame.scale)}" data-left="{decimal(frame.shown.xmin)}" '
        f'data-top="{decimal(frame.shown.ymax)}">\n'
        f'<g transform="{frame.transform}" stroke-linejoin="round">{layers}</g>\n'
        f'<g data-layer="flip-axis">{_flip_axis(plan, frame)}</g>\n'
        f"{_group('holding', _held(plan, frame))}{_group('findings', _marks(findings, frame))}</svg>"
    )


def _group(name: str, drawn: str) -> str:
    return f'<g data-layer="{name}">{drawn}</g>\n' if drawn else ""


def _layer(row: Row, plan: Plan, frame: Frame) -> str:
    d = path_data(seen_from_top(row, plan.flip), digits=DIGITS)
    return f'<path data-layer="{xml_text(row.layer.name)}" d="{d}" {row.style.attributes(frame.scale)}/>\n'


def _flip_axis(plan: Plan, frame: Frame) -> str:
    box, (x, y) = frame.box, frame.at(plan.flip.at_mm, plan.flip.at_mm)
    over = _MARGIN - 1.0
    if plan.flip.direction == "y":
        ends = (x, box.top - over, x, box.bottom + over)
    else:
        ends = (box.left - over, y, box.right + over, y)
    x0, y0, x1, y1 = (decimal(v, 3) for v in ends)
    return f'<path d="M{x0} {y0}L{x1} {y1}" {AXIS.attributes()}/>'


def _held(plan: Plan, frame: Frame) -> str:
    """Return clamps on the blank, and tabs across the cut round the cover."""
    out = []
    for clamp in plan.clamps:
        x, y = frame.at(*clamp.at)
        r = clamp.radius_mm * frame.scale
        out.append(f'<circle cx="{decimal(x, 3)}" cy="{decimal(y, 3)}" r="{decimal(r, 3)}" {CLAMP.attributes()}/>')
    for tab in plan.tabs:
        (x0, y0), (x1, y1) = frame.at(*tab.foot), frame.at(*tab.root)
        if hypot(x1 - x0, y1 - y0) > 0.0:
            d = f"M{decimal(x0, 3)} {decimal(y0, 3)}L{decimal(x1, 3)} {decimal(y1, 3)}"
            wide = decimal(tab.width_mm * frame.scale, 3)
            out.append(f'<path d="{d}" fill="none" stroke="{TAB.ink}" stroke-width="{wide}"/>')
    return "".join(out)


def _marks(findings: Sequence[Finding], frame: Frame) -> str:
    """Return a numbered disc for every finding that has a place; those at one place stand in a row."""
    out = []
    taken: dict[tuple[float, float], int] = {}
    for number, f in enumerate(findings, start=1):
        if f.point_mm is None:
            continue
        x, y = frame.at(*f.point_mm)
        key = (round(x / _MARK), round(y / _MARK))
        turn = taken[key] = taken.get(key, -1) + 1
        x += turn * 2.2 * _MARK
        at, ink = f"{decimal(x, 3)}", _INKS[f.severity.value]
        out.append(
            f'<g data-finding="{number}"><circle cx="{at}" cy="{decimal(y, 3)}" r="{_MARK}" fill="{ink}" '
            f'stroke="#fff" stroke-width="0.4"/><text x="{at}" y="{decimal(y + 1.05, 3)}" font-size="3" '
            f'text-anchor="middle" fill="#fff">{number}</text></g>'
        )
    return "".join(out)
