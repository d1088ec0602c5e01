"""The view of the plan: every layer at its place seen from the top, centre lines, dimensions, names, findings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot
from typing import Final

import numpy as np

from generator.base.finding import Finding, Severity
from generator.outline.measure import Bounds, bounds
from generator.outline.predicates import is_circle
from generator.outline.region import Region
from generator.outputs.label_places import Field, rings
from generator.outputs.lettering import ASCENT, DESCENT, Box, text_width
from generator.outputs.plan_dims import FIGURE, TIER, across, figure_text, fits, upwards
from generator.outputs.plan_style import AXIS, CENTRE, Row
from generator.outputs.projection import Floats, facets
from generator.outputs.svg_pen import decimal, path_data
from generator.outputs.svg_sheet import INK, THIN, Sheet, Style
from generator.part.part import Bolt, FlipAxis, Plan
from generator.part.setups import as_machined

__all__ = ["SCALES", "Frame", "draw_marker", "draw_view", "frame_of", "seen_from_top"]

SCALES: Final = (20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02)
"""Scales of ISO 5455."""
_LONGEST: Final = 190.0
"""The blank's longer side on paper, mm: what an A4 sheet's height takes with its dimensions."""
_NAMED: Final = 12
"""Up to this many bolts are named in full in the view; more get their number only."""
_CHAIN: Final = 5
AXIS_OVER: Final = 5.5
"""How far the flip axis runs on beyond the blank, mm of paper."""


@dataclass(frozen=True)
class Frame:
    """Where the view lies on the sheet: its scale, and the box of the blank on the sheet, whose corner is (0, 0)."""

    scale: float
    shown: Bounds

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Return the sheet point of a point of the plane."""
        return (x - self.shown.xmin) * self.scale, (self.shown.ymax - y) * self.scale

    @property
    def box(self) -> Box:
        """Return the box of everything shown, on the sheet."""
        return Box(0.0, 0.0, self.shown.width_mm * self.scale, self.shown.height_mm * self.scale)

    @property
    def transform(self) -> str:
        """Return the SVG transformation from the plane (mm, y up) to the sheet."""
        x, y = self.at(0.0, 0.0)
        return f"translate({decimal(x)} {decimal(y)}) scale({decimal(self.scale)} {decimal(-self.scale)})"

    def scale_text(self) -> str:
        """Return the scale as ISO 5455 writes it."""
        return f"{self.scale:g}:1" if self.scale >= 1.0 else f"1:{1.0 / self.scale:g}"


def seen_from_top(row: Row, flip: FlipAxis) -> Region:
    """Return a layer's region as seen from the top: bottom-face layers mirrored back."""
    return as_machined(row.layer.region, row.layer.face, flip)


def frame_of(plan: Plan, rows: Sequence[Row]) -> Frame:
    """Return the frame that shows all layers at the largest scale that suits a sheet."""
    boxes = [bounds(r) for r in (plan.cover.profile, *(seen_from_top(row, plan.flip) for row in rows)) if r]
    shown = Bounds(
        min(b.xmin for b in boxes), min(b.ymin for b in boxes), max(b.xmax for b in boxes), max(b.ymax for b in boxes)
    )
    longest = max(shown.width_mm, shown.height_mm)
    return Frame(next((s for s in SCALES if s * longest <= _LONGEST), SCALES[-1]), shown)


def draw_view(sheet: Sheet, plan: Plan, rows: Sequence[Row], findings: Sequence[Finding], frame: Frame) -> None:
    """Draw the whole view; ``findings`` are numbered from 1 in the given order."""
    _layers(sheet, plan, rows, frame)
    taken = len(sheet.texts)
    _flip_axis(sheet, plan, frame)
    _centre_lines(sheet, plan, frame)
    _dimensions(sheet, plan, frame)
    lines = np.vstack((_line_points(plan, rows, frame), _stroke_points(sheet)))
    room = Field(frame.box.grown(7.0), list(sheet.texts[taken:]), lines)
    _avoid_holes(room, plan, frame)
    _axis_name(sheet, plan, room, frame)
    _markers(sheet, findings, room, frame)
    _bolt_names(sheet, plan.bolts, room, frame)
    _keys(sheet, plan, rows, room, frame)


# -- lines


def _layers(sheet: Sheet, plan: Plan, rows: Sequence[Row], frame: Frame) -> None:
    """Draw the layers, tints of inserts below, the outer profile above all."""
    sheet.raw(f'<g transform="{frame.transform}" stroke-linejoin="round">', frame.box)
    for row in sorted(rows, key=_depth_of_drawing):
        d = path_data(seen_from_top(row, plan.flip))
        name = row.layer.name
        sheet.raw(f'<path data-layer="{name}" d="{d}" {row.style.attributes(frame.scale)}/>')
    sheet.raw("</g>")


def _depth_of_drawing(row: Row) -> tuple[int, str]:
    order = (
        "blank",
        "bottom-pocket",
        "insert-profile",
        "inlay-pocket",
        "openings",
        "seats",
        "bolt-holes",
        "edge-break",
    )
    rank = next((i for i, word in enumerate(order) if row.layer.name.startswith(word)), len(order))
    return rank, row.layer.name


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


def _flip_axis(sheet: Sheet, plan: Plan, frame: Frame) -> None:
    """Draw the flip axis across the blank."""
    box, at = frame.box, plan.flip.at_mm
    x, y = frame.at(at, at)
    if plan.flip.direction == "y":
        sheet.line([(x, box.top - AXIS_OVER), (x, box.bottom + AXIS_OVER)], AXIS)
    else:
        sheet.line([(box.left - AXIS_OVER, y), (box.right + AXIS_OVER, y)], AXIS)


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


def _round_holes(plan: Plan) -> list[tuple[float, float, float]]:
    """Return centre and radius of the largest circle round every hole centre: bolts with their seats, dowels."""
    regions = [f.region for f in plan.cover.features if f.layer in ("bolt-holes", "seats")]
    flare = [f.flare_mm for f in plan.cover.features if f.layer in ("bolt-holes", "seats")]
    regions.append(plan.blank.dowel_holes)
    flare.append(0.0)
    largest: dict[tuple[float, float], float] = {}
    for region, more in zip(regions, flare, strict=True):
        for contour in region:
            circle = is_circle(contour)
            if circle is not None:
                at = (round(circle.centre.x, 4) + 0.0, round(circle.centre.y, 4) + 0.0)
                largest[at] = max(largest.get(at, 0.0), abs(circle.radius_mm) + more)
    return [(x, y, r) for (x, y), r in largest.items()]


def _centre_lines(sheet: Sheet, plan: Plan, frame: Frame) -> None:
    for x, y, r in _round_holes(plan):
        cx, cy = frame.at(x, y)
        reach = r * frame.scale + 1.8
        sheet.line([(cx - reach, cy), (cx + reach, cy)], CENTRE)
        sheet.line([(cx, cy - reach), (cx, cy + reach)], CENTRE)


def _avoid_holes(room: Field, plan: Plan, frame: Frame) -> None:
    """Keep labels off holes and off the crossing of their centre lines."""
    for x, y, r in _round_holes(plan):
        cx, cy = frame.at(x, y)
        half = r * frame.scale * 0.8 + 0.4
        room.take(Box(cx - half, cy - half, cx + half, cy + half))


# -- dimensions


def _dimensions(sheet: Sheet, plan: Plan, frame: Frame) -> None:
    """Draw overall sizes of cover and blank below and left, distances of the bolts above and right."""
    cover, box, blank = bounds(plan.cover.profile), frame.box, bounds(plan.blank.region or plan.cover.profile)
    below, left = box.bottom + 9.0, box.left - 9.0
    for tier, (b, note) in enumerate(((cover, ""), (blank, " blank"))):
        (x0, y1), (x1, y0) = frame.at(b.xmin, b.ymin), frame.at(b.xmax, b.ymax)
        if tier and b == cover:
            continue
        base, side = (box.bottom, box.left) if tier else (y1, x0)
        width, height = figure_text(b.width_mm) + note, figure_text(b.height_mm) + note
        across(sheet, x0, x1, width, y=below + tier * TIER, outline=(base, base))
        upwards(sheet, y0, y1, height, x=left - tier * TIER, outline=(side, side))
    _bolt_distances(sheet, plan, frame)


def _bolt_distances(sheet: Sheet, plan: Plan, frame: Frame) -> None:
    """Draw distances between the bolts: a chain where its figures fit, else from the first to the last.

    Where the flip axis runs through a bolt it serves as its extension line.
    """
    box, bolts, axis = frame.box, plan.bolts, plan.flip

    def on_axis(value: float, direction: str) -> bool:
        return axis.direction == direction and abs(value - axis.at_mm) * frame.scale < 0.4

    for (a, ya), (b, yb) in _links(_steps([(b.at.x, b.at.y) for b in bolts]), frame.scale):
        (x0, s0), (x1, s1) = frame.at(a, ya), frame.at(b, yb)
        starts = tuple(box.top - AXIS_OVER if on_axis(v, "y") else s for v, s in ((a, s0), (b, s1)))
        across(sheet, x0, x1, figure_text(b - a), y=box.top - 10.0, outline=(starts[0], starts[1]))
    for (a, xa), (b, xb) in _links(_steps([(b.at.y, b.at.x) for b in bolts]), frame.scale):
        (s0, y1), (s1, y0) = frame.at(xa, a), frame.at(xb, b)
        starts = tuple(box.right + AXIS_OVER if on_axis(v, "x") else s for v, s in ((b, s1), (a, s0)))
        upwards(sheet, y0, y1, figure_text(b - a), x=box.right + 10.0, outline=(starts[0], starts[1]))


def _steps(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return the distinct first coordinates in rising order, each with the largest second coordinate found there."""
    best: dict[float, tuple[float, float]] = {}
    for along, other in points:
        key = round(along, 3) + 0.0
        if key not in best or other > best[key][1]:
            best[key] = (along, other)
    return [best[k] for k in sorted(best)]


def _links(steps: list[tuple[float, float]], scale: float) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Return the pairs to dimension: every neighbouring pair if there are few and all fit, else the outermost two."""
    if len(steps) < 2:
        return []
    pairs = list(pairwise(steps))
    if len(pairs) <= _CHAIN and all(fits(figure_text(b[0] - a[0]), (b[0] - a[0]) * scale) for a, b in pairs):
        return pairs
    return [(steps[0], steps[-1])]


# -- labels

_LABEL: Final = 3.0
_LEAD: Final = Style(INK, 0.15)
_FAR: Final = (0.6, 1.5, 3.0, 5.0, 8.0, 12.0, 17.0, 23.0, 30.0)


def _bolt_names(sheet: Sheet, bolts: Sequence[Bolt], room: Field, frame: Frame) -> None:
    """Write name and hole call-out beside each bolt; the call-out once for all bolts with the same hole."""
    counts: dict[float, int] = {}
    for b in bolts:
        counts[b.hole_mm] = counts.get(b.hole_mm, 0) + 1
    told: set[float] = set()
    for b in bolts:
        lines = [b.name if len(bolts) <= _NAMED else b.name.removeprefix("bolt-")]
        if b.hole_mm not in told:
            many = f"{counts[b.hole_mm]} × " if counts[b.hole_mm] > 1 else ""
            lines.append(f"{many}⌀{figure_text(b.hole_mm)}")
        if _write_beside(sheet, lines, frame.at(*b.at), b.hole_mm / 2 * frame.scale, room):
            told.add(b.hole_mm)


def _write_beside(sheet: Sheet, lines: list[str], at: tuple[float, float], radius: float, room: Field) -> bool:
    """Write lines of text near a hole; False if there is no room (the table of bolts tells the same)."""
    leading = _LABEL * 1.15
    size = (max(text_width(t, _LABEL) for t in lines), (ASCENT + DESCENT) * _LABEL + leading * (len(lines) - 1))
    place = room.find(at, size, rings(at, size, [radius + d for d in _FAR]), touch=radius)
    if place is None:
        return False
    if place.leader:
        sheet.line(list(place.leader), _LEAD)
    for i, text in enumerate(lines):
        y = place.box.top + ASCENT * _LABEL + i * leading
        sheet.text(text, (place.x, y), _LABEL, anchor="middle", halo=True)
    return True


def _keys(sheet: Sheet, plan: Plan, rows: Sequence[Row], room: Field, frame: Frame) -> None:
    """Write each layer's key letter beside one of its lines."""
    for row in rows:
        region = seen_from_top(row, plan.flip)
        if not region:
            continue
        size = (text_width(row.key, _LABEL, bold=True) + 0.6, _LABEL)
        pts = np.vstack([facets(c, 0.5 / frame.scale, 6.0 / frame.scale) for c in region.contours[:4]])
        step = max(1, len(pts) // 60)
        best = None
        for x, y in pts[::step].tolist():
            anchor = frame.at(x, y)
            trial = Field(room.room, room.taken, room.lines, room.gap)
            trial.taken = list(room.taken)
            place = trial.find(anchor, size, rings(anchor, size, (0.7,), directions=8))
            if place is None:
                continue
            cost = room.crowding(place.box)
            if best is None or cost < best[0] - 1e-9:
                best = (cost, place)
        if best is not None:
            place = best[1]
            room.take(place.box)
            y = place.y + 0.36 * _LABEL
            sheet.text(row.key, (place.x, y), _LABEL, anchor="middle", bold=True, ink=row.style.ink, halo=True)


# -- findings

_MARK: Final = 2.5


def _markers(sheet: Sheet, findings: Sequence[Finding], room: Field, frame: Frame) -> None:
    """Put numbered markers at the places of findings; those at one place stand side by side with leaders."""
    for number, finding in enumerate(findings, 1):
        if finding.point_mm is None:
            continue
        at = frame.at(*finding.point_mm)
        size = (2 * _MARK + 0.4, 2 * _MARK + 0.4)
        place = room.find(at, size, [at, *rings(at, size, (1.0, *_FAR[2:]))])
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
