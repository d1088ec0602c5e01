"""Words in the plan's view: name of the flip axis, markers of findings, bolts with call-outs, key letters of layers."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot
from typing import Final

import numpy as np

from generator.base.finding import Finding, Severity
from generator.base.units import LengthUnit, length_unit
from generator.outline.region import Region
from generator.outputs.label_places import Field, Place, rings
from generator.outputs.lettering import ASCENT, DESCENT, Box, text_width
from generator.outputs.plan_dims import FIGURE
from generator.outputs.plan_frame import AXIS_OVER, Frame, round_holes, seen_from_top
from generator.outputs.plan_reach import Unreached, name_unreached
from generator.outputs.plan_style import AXIS, Row
from generator.outputs.projection import Floats, facets
from generator.outputs.svg_sheet import INK, THIN, Sheet, Style
from generator.part.part import Bolt, Plan

__all__ = ["draw_labels", "draw_marker"]

_NAMED: Final = 12
"""Up to this many bolts are named in full in the view; more get their number only."""


def draw_labels(
    sheet: Sheet,
    plan: Plan,
    rows: Sequence[Row],
    findings: Sequence[Finding],
    frame: Frame,
    lost: Sequence[Unreached] = (),
) -> None:
    """Write everything that must find its own place, the most important first; ``findings`` are numbered from 1."""
    lines = np.vstack((_line_points(plan, rows, frame), _stroke_points(sheet)))
    room = Field(frame.box.grown(7.0), list(sheet.texts), lines)
    _avoid_holes(room, plan, frame)
    _axis_name(sheet, plan, room, frame)
    name_unreached(sheet, lost, room, frame)
    _markers(sheet, findings, room, frame)
    _bolt_names(sheet, plan.bolts, length_unit(plan.units), room, frame)
    _keys(sheet, plan, rows, room, frame)


def _line_points(plan: Plan, rows: Sequence[Row], frame: Frame) -> Floats:
    """Return points about every 0.7 mm of paper along the lines drawn."""
    rings_ = [facets(c, 0.3 / frame.scale, 0.7 / frame.scale) for row in rows for c in seen_from_top(row, plan.flip)]
    if not rings_:
        return np.empty((0, 2))
    pts = np.vstack(rings_)
    x, y = frame.shown.xmin, frame.shown.ymax
    return np.column_stack(((pts[:, 0] - x) * frame.scale, (y - pts[:, 1]) * frame.scale))


def _stroke_points(sheet: Sheet) -> Floats:
    """Return points about every 0.7 mm along the straight strokes on the sheet."""
    runs = [np.empty((0, 2))]
    for (x0, y0), (x1, y1) in sheet.strokes:
        count = max(2, int(hypot(x1 - x0, y1 - y0) / 0.7) + 1)
        runs.append(np.column_stack((np.linspace(x0, x1, count), np.linspace(y0, y1, count))))
    return np.vstack(runs)


def _avoid_holes(room: Field, plan: Plan, frame: Frame) -> None:
    """Keep labels off holes and off the crossing of their centre lines."""
    for x, y, r in round_holes(plan):
        cx, cy = frame.at(x, y)
        half = r * frame.scale * 0.8 + 0.4
        room.take(Box(cx - half, cy - half, cx + half, cy + half))


def _axis_name(sheet: Sheet, plan: Plan, room: Field, frame: Frame) -> None:
    """Name the flip axis at one of its ends, beside the line, where there is room."""
    text, box = "flip axis", frame.box
    w, h = text_width(text, FIGURE), FIGURE
    x, y = frame.at(plan.flip.at_mm, plan.flip.at_mm)
    steps = [k * 2.0 for k in range(12)]
    if plan.flip.direction == "y":
        end = (x, box.top - AXIS_OVER)
        places = [(x + side * (w / 2 + 1.2), end[1] + h / 2 + d) for d in steps for side in (1, -1)]
    else:
        end = (box.left - AXIS_OVER, y)
        places = [(end[0] + w / 2 + 7.5 + d, y + side * (h / 2 + 0.6)) for d in steps for side in (-1, 1)]
    place = room.find(end, (w, h), places)
    if place is not None:
        at = (place.x, place.box.top + ASCENT * FIGURE)
        sheet.text(text, at, FIGURE, anchor="middle", ink=AXIS.ink, halo=True)


# -- labels

_LABEL: Final = 3.0
_LEAD: Final = Style(INK, 0.15)
_NEAR: Final = (0.6, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 4.5, 5.0)
_FAR: Final = (*map(float, range(6, 19)), 20.0, 23.0, 26.0, 30.0)
"""Distances (mm) at which places are tried: fine enough to find the room between two lines."""


def _bolt_names(sheet: Sheet, bolts: Sequence[Bolt], unit: LengthUnit, room: Field, frame: Frame) -> None:
    """Write name and hole call-out beside each bolt; the call-out once for all bolts with the same hole."""
    counts: dict[float, int] = {}
    for b in bolts:
        counts[b.hole_mm] = counts.get(b.hole_mm, 0) + 1
    told: set[float] = set()
    for b in bolts:
        lines = [b.name if len(bolts) <= _NAMED else b.name.removeprefix("bolt-")]
        if b.hole_mm not in told:
            many = f"{counts[b.hole_mm]} × " if counts[b.hole_mm] > 1 else ""
            lines.append(f"{many}⌀{unit.figure(b.hole_mm)}")
        if _write_beside(sheet, lines, frame.at(*b.at), b.hole_mm / 2 * frame.scale, room):
            told.add(b.hole_mm)


def _write_beside(sheet: Sheet, lines: list[str], at: tuple[float, float], radius: float, room: Field) -> bool:
    """Write lines of text near a hole; False if there is no room (the table of bolts tells the same)."""
    leading = _LABEL * 1.15
    size = (max(text_width(t, _LABEL) for t in lines), (ASCENT + DESCENT) * _LABEL + leading * (len(lines) - 1))
    place = room.find(at, size, rings(at, size, [radius + d for d in (*_NEAR, *_FAR)]), touch=radius)
    if place is None:
        return False
    if place.leader:
        sheet.line(list(place.leader), _LEAD)
    for i, text in enumerate(lines):
        y = place.box.top + ASCENT * _LABEL + i * leading
        sheet.text(text, (place.x, y), _LABEL, anchor="middle", halo=True)
    return True


def _keys(sheet: Sheet, plan: Plan, rows: Sequence[Row], room: Field, frame: Frame) -> None:
    """Write each layer's key letter beside one of its lines, or farther off with a leader line."""
    for row in rows:
        region = seen_from_top(row, plan.flip)
        if not region:
            continue
        place = _place_of_key(row.key, region, room, frame)
        if place is None:
            continue
        room.take(place.box)
        if place.leader:
            sheet.line(list(place.leader), Style(row.style.ink, _LEAD.width))
        at = (place.x, place.y + 0.36 * _LABEL)
        sheet.text(row.key, at, _LABEL, anchor="middle", bold=True, ink=row.style.ink, halo=True)


def _place_of_key(key: str, region: Region, room: Field, frame: Frame) -> Place | None:
    """Return the least crowded place along a region's lines; the nearest ring that has one wins."""
    size = (text_width(key, _LABEL, bold=True) + 0.6, _LABEL)
    pts = np.vstack([facets(c, 0.5 / frame.scale, 6.0 / frame.scale) for c in region.contours[:4]])
    anchors = [frame.at(x, y) for x, y in pts[:: max(1, len(pts) // 60)].tolist()]
    for distance in (0.7, 3.0, 6.0, 10.0):
        found = []
        for anchor in anchors:
            trial = Field(room.room, list(room.taken), room.lines, room.gap)
            place = trial.find(anchor, size, rings(anchor, size, (distance,), directions=8))
            if place is not None:
                found.append((room.crowding(place.box), place))
        if found:
            return min(found, key=lambda f: f[0])[1]
    return None


# -- findings

_MARK: Final = 2.5


def _markers(sheet: Sheet, findings: Sequence[Finding], room: Field, frame: Frame) -> None:
    """Put numbered markers at the places of findings; those at one place stand side by side with leaders."""
    for number, finding in enumerate(findings, 1):
        if finding.point_mm is None:
            continue
        at = frame.at(*finding.point_mm)
        size = (2 * _MARK + 0.4, 2 * _MARK + 0.4)
        place = room.find(at, size, [at, *rings(at, size, (1.0, 3.0, 4.0, 5.0, *_FAR))])
        if place is None:
            continue
        if hypot(place.x - at[0], place.y - at[1]) > _MARK:
            sheet.line([at, (place.x, place.y)], Style(_ink(finding.severity), 0.25))
            sheet.circle(at, 0.5, Style(_ink(finding.severity), 0.3, (), _ink(finding.severity)))
        draw_marker(sheet, (place.x, place.y), number, finding.severity)


def _ink(severity: Severity) -> str:
    return {Severity.FORBIDS: "#b3261e", Severity.WARNS: "#a85b00", Severity.NOTES: "#5b636e"}[severity]


def draw_marker(sheet: Sheet, at: tuple[float, float], number: int, severity: Severity) -> None:
    """Draw a numbered marker: filled for what forbids, a double ring for warnings, a single one for notes."""
    x, y = at
    ink = _ink(severity)
    forbids = severity is Severity.FORBIDS
    sheet.circle(at, _MARK, Style(ink, 0.4 if severity is not Severity.NOTES else THIN, (), ink if forbids else "#fff"))
    if severity is Severity.WARNS:
        sheet.circle(at, _MARK - 0.6, Style(ink, THIN))
    text = str(number)
    size = min(2.8, 2.8 * 3.2 / max(text_width(text, 2.8), 0.1))
    sheet.text(text, (x, y + 0.36 * size), size, anchor="middle", bold=True, ink="#fff" if forbids else ink)
