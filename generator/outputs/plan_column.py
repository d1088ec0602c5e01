"""The written part of the plan: title, legend, table of bolts, notes and findings, as blocks of one column's width."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from generator.base.cautions import CAUTIONS, LOAD_BEARING
from generator.base.finding import Finding, Severity
from generator.base.units import LengthUnit, length_unit
from generator.checks.shop.hole_callout import named
from generator.outline.measure import bounds, signed_area
from generator.outline.predicates import is_circle
from generator.outline.region import Region
from generator.outputs.lettering import shortened, wrapped
from generator.outputs.plan_frame import Frame, seen_from_top
from generator.outputs.plan_labels import draw_marker
from generator.outputs.plan_style import AXIS, CENTRE, CLAMP, TAB, Row
from generator.outputs.preview_page import round_length
from generator.outputs.svg_sheet import INK, QUIET, Sheet, Style
from generator.part.part import Bolt, Face, Part, Plan
from generator.recipe.model import Recipe
from generator.recipe.model_dowels import Dowels

__all__ = ["COLUMN", "Block", "blocks"]

COLUMN: Final = 104.0
"""Width of a column, mm."""
_TITLE, _HEAD, _TEXT = 6.4, 3.9, 3.1
_LEADING: Final = 1.38
_RULE: Final = Style("#b7bdc5", 0.18)

Block = Callable[[Sheet, float, float, float], float]
"""Draws itself with its upper left corner at (x, y), so wide, and returns where it ends."""


def blocks(
    plan: Plan,
    rows: Sequence[Row],
    findings: Sequence[Finding],
    unplaced: Sequence[Finding],
    frame: Frame,
    recipe: Recipe | None = None,
) -> list[Block]:
    """Return the blocks in their order; ``unplaced`` findings have no place in the view and are told by words."""
    out: list[Block] = [
        lambda s, x, y, w: _title(s, x, y, w, plan, frame, recipe),
        lambda s, x, y, w: _legend(s, x, y, w, plan, rows),
    ]
    if plan.bolts:
        out.append(lambda s, x, y, w: _bolts(s, x, y, w, plan))
    out.append(lambda s, x, y, w: _notes(s, x, y, w, plan))
    if findings or unplaced:
        out.append(lambda s, x, y, w: _findings(s, x, y, w, findings, unplaced))
    return out


def _lines(sheet: Sheet, x: float, y: float, lines: Sequence[str], *, ink: str = INK, bold: bool = False) -> float:
    """Write lines of text from y down; return the lower end."""
    for line in lines:
        sheet.text(line, (x, y + _TEXT), _TEXT, ink=ink, bold=bold)
        y += _TEXT * _LEADING
    return y


def _heading(sheet: Sheet, x: float, y: float, width: float, text: str) -> float:
    sheet.line([(x, y), (x + width, y)], _RULE)
    sheet.text(text, (x, y + 1.8 + _HEAD), _HEAD, bold=True)
    return y + _HEAD * 1.9 + 1.2


# -- title


def _title(sheet: Sheet, x: float, y: float, width: float, plan: Plan, frame: Frame, recipe: Recipe | None) -> float:
    title, unit = plan.title or plan.name, length_unit(plan.units)
    size = _TITLE if len(wrapped(title, _TITLE, width, bold=True)) <= 2 else _TITLE * 0.75
    for line in wrapped(title, size, width, bold=True):
        sheet.text(line, (x, y + size), size, bold=True)
        y += size * 1.25
    y += 1.5
    facts = [f"{plan.name}  ·  revision {plan.revision}", *(_piece(p, unit) for p in plan.parts if p.profile)]
    facts.append(f"All lengths in {unit.plural}  ·  scale {frame.scale_text()}  ·  seen from the top face")
    if recipe is not None:
        facts += _tolerances(recipe, unit)
    for fact in facts:
        y = _lines(sheet, x, y, wrapped(fact, _TEXT, width), ink=QUIET)
    return _scale_bar(sheet, x, y + 1.5, unit, frame)


def _tolerances(recipe: Recipe, unit: LengthUnit) -> list[str]:
    """Return what holds for what is cut, for dowel holes, and for everything else."""
    given, dowels = recipe.tolerances, recipe.dowels
    cut = f"± {unit.length(given.size)} in size, ± {unit.length(given.position)} in place"
    general = given.general.strip()
    return [
        f"Pockets, seats, holes and inserts: {cut}; depths ± {unit.length(given.depth)}",
        *([f"Dowel holes: ⌀{unit.figure(dowels.diameter)} {dowels.fit}"] if isinstance(dowels, Dowels) else []),
        *([f"General tolerances: {general}"] if general else []),
    ]


def _piece(part: Part, unit: LengthUnit) -> str:
    b = bounds(part.profile)
    name = "Cover" if part.name == "cover" else f"Insert {part.name.removeprefix('insert-')}"
    return f"{name}: {part.material.name}, {unit.length(b.width_mm, b.height_mm, part.thickness_mm)}"


def _scale_bar(sheet: Sheet, x: float, y: float, unit: LengthUnit, frame: Frame) -> float:
    """Draw a bar of a round length with its half marked."""
    length = round_length(48.0 / frame.scale, unit)
    w = length * frame.scale
    style = Style(INK, 0.35)
    sheet.line([(x, y + 2.2), (x + w, y + 2.2)], style)
    for share, tall in ((0.0, 2.2), (0.5, 1.2), (1.0, 2.2)):
        sheet.line([(x + share * w, y + 2.2 - tall / 2), (x + share * w, y + 2.2 + tall / 2)], style)
    sheet.text(unit.length(length), (x + w + 2.0, y + 3.3), _TEXT)
    return y + 7.0


# -- legend

_SWATCH: Final = 15.0


def _legend(sheet: Sheet, x: float, y: float, width: float, plan: Plan, rows: Sequence[Row]) -> float:
    y = _heading(sheet, x, y, width, "Layers")
    for row in rows:
        y = _legend_row(sheet, x, y, width, plan, row)
    lines = [(AXIS, "flip axis, about which the blank is turned over"), (CENTRE, "centre line")]
    lines += [(CLAMP, "clamp: the cutter keeps clear")] * bool(plan.clamps)
    lines += [(TAB, "tab that holds the part at the last cut")] * bool(plan.tabs)
    for style, text in lines:
        sheet.line([(x + 5.0, y + 2.0), (x + 5.0 + _SWATCH, y + 2.0)], style)
        y = _lines(sheet, x + 5.0 + _SWATCH + 3.0, y, [text], ink=QUIET) + 0.8
    return y + 1.0


def _legend_row(sheet: Sheet, x: float, y: float, width: float, plan: Plan, row: Row) -> float:
    """Draw key letter, sample and words of one layer."""
    sheet.text(row.key, (x, y + _TEXT), _TEXT, bold=True, ink=row.style.ink)
    left, top, high = x + 5.0, y + 0.5, 5.2
    if row.style.tint:
        d = f"M{left:.3f} {top:.3f}h{_SWATCH}v{high}h-{_SWATCH}z"
        sheet.raw(f'<path d="{d}" {row.style.attributes()}/>')
    else:
        sheet.line([(left, top + high / 2), (left + _SWATCH, top + high / 2)], row.style)
    words = x + 5.0 + _SWATCH + 3.0
    room = width - (words - x)
    sheet.text(shortened(row.layer.name, _TEXT, room, bold=True), (words, y + _TEXT), _TEXT, bold=True)
    return _lines(sheet, words, y + _TEXT * 1.3, wrapped(_where(plan, row), _TEXT, room), ink=QUIET) + 0.9


def _where(plan: Plan, row: Row) -> str:
    """Return face, depth and size of a layer in words."""
    layer, figure = row.layer, length_unit(plan.units).figure
    size = _size(seen_from_top(row, plan.flip), length_unit(plan.units))
    thick = {p.name: p.thickness_mm for p in plan.parts}.get(layer.part, plan.blank.thickness_mm)
    if layer.name == "blank":
        return f"stock, {figure(plan.blank.thickness_mm)} thick{size}"
    if layer.top_mm <= 0.0 and layer.bottom_mm >= thick:
        piece = {"cover": "", "blank": " the blank"}.get(layer.part, " the insert's sheet")
        return f"right through{piece}{size}"
    face = "bottom face, hidden: seen through the plate" if layer.face is Face.BOTTOM else "top face"
    if layer.top_mm > 0.0:
        return f"{face}, {figure(layer.top_mm)} to {figure(layer.bottom_mm)} deep{size}"
    return f"{face}, {figure(layer.bottom_mm)} deep{size}{_filled(plan, layer.name)}"


def _filled(plan: Plan, layer: str) -> str:
    """Return in words what the engravings of a layer are filled with."""
    fills = [f.fill.name for part in plan.parts for f in part.features if f.fill and f.layer == layer]
    return f"  ·  filled: {', '.join(dict.fromkeys(fills))}" if fills else ""


def _size(region: Region, unit: LengthUnit) -> str:
    """Return how large what a layer cuts is: round holes of one size, one outline, or how many outlines."""
    circles = [c for c in map(is_circle, region) if c is not None]
    many, sizes = len(region), {unit.figure(2.0 * abs(c.radius_mm)) for c in circles}
    if many and len(circles) == many and len(sizes) == 1 and all(signed_area(c) > 0.0 for c in region):
        return f"  ·  {f'{many} × ' if many > 1 else ''}⌀{sizes.pop()}"
    if many == 1:
        b = bounds(region)
        return f"  ·  {unit.figure(b.width_mm)} × {unit.figure(b.height_mm)}"
    return f"  ·  {many} outlines" if many else ""


# -- bolts

_TABS: Final = (0.0, 40.0, 58.0, 76.0, 92.0)
"""Where the columns of the table of bolts begin (the first) or end (the others, but the last begins)."""


def _bolts(sheet: Sheet, x: float, y: float, width: float, plan: Plan) -> float:
    unit = length_unit(plan.units)
    y = _heading(sheet, x, y, width, "Bolts")
    _bolt_row(sheet, x, y, ("bolt", "x", "y", "hole", "thread"), QUIET)
    y += _TEXT * _LEADING
    for b in plan.bolts:
        cells = (b.name, unit.aligned(b.at.x), unit.aligned(b.at.y), f"⌀{unit.figure(b.hole_mm)}", _called(b))
        _bolt_row(sheet, x, y, cells, INK)
        y += _TEXT * _LEADING
    return y + 1.5


def _called(bolt: Bolt) -> str:
    """Return what a hole is called by ISO 273: thread and fit; the thread alone where the hole is of another size."""
    fit = next((fit for thread, fit in named(bolt.hole_mm) if thread == bolt.thread), "")
    return f"{bolt.thread} {fit}".strip() or "–"


def _bolt_row(sheet: Sheet, x: float, y: float, cells: tuple[str, ...], ink: str) -> None:
    for i, (tab, cell) in enumerate(zip(_TABS, cells, strict=True)):
        first = i == 0
        room = 22.0 if first else 17.0 if i < 4 else 24.0
        left = first or i == 4
        at = x + tab - (12.0 if i == 4 else 0.0)
        sheet.text(shortened(cell, _TEXT, room), (at, y + _TEXT), _TEXT, anchor="start" if left else "end", ink=ink)


# -- notes and findings

_MOST_WITHOUT_PLACE: Final = 10
"""So many findings that have no place in the view are told; the others are counted."""


def _notes(sheet: Sheet, x: float, y: float, width: float, plan: Plan) -> float:
    y = _heading(sheet, x, y, width, "Notes")
    notes = []
    if plan.load_bearing:
        notes.append((f"{LOAD_BEARING.title}. {LOAD_BEARING.text}", True))
    notes.append((f"{CAUTIONS[0].title}: {CAUTIONS[0].text}", False))
    notes.append(
        (
            "Dashed lines are recesses in the bottom face, seen through the plate. In the files for the machine the "
            "bottom-face layers are mirrored in the flip axis, as the machine sees them after the blank is turned.",
            False,
        )
    )
    if plan.notes:
        notes.append((plan.notes, False))
    for text, bold in notes:
        y = _lines(sheet, x, y, wrapped(text, _TEXT, width, bold=bold), bold=bold) + 1.4
    return y


def _findings(
    sheet: Sheet, x: float, y: float, width: float, findings: Sequence[Finding], unplaced: Sequence[Finding]
) -> float:
    y = _heading(sheet, x, y, width, "Findings")
    for number, finding in enumerate(findings, 1):
        draw_marker(sheet, (x + 2.6, y + 2.2), number, finding.severity)
        text = f"{finding.severity.value}: {finding.message}"
        if finding.remedy:
            text += f" → {finding.remedy}"
        indent = 7.5
        y = max(_lines(sheet, x + indent, y, wrapped(text, _TEXT, width - indent)), y + 5.4) + 1.2
    for text in _without_place(unplaced, width):
        y = _lines(sheet, x, y, [text], ink=QUIET) + 0.4
    return y + 1.0


def _without_place(findings: Sequence[Finding], width: float) -> list[str]:
    """Return a line for each finding without a place, the most serious first; what warns or forbids is told in full."""
    order = list(Severity)
    serious = sorted(findings, key=lambda f: order.index(f.severity))
    lines: list[str] = []
    for f in serious[:_MOST_WITHOUT_PLACE]:
        text = f"{f.severity.value}: {f.message}"
        lines += [shortened(text, _TEXT, width)] if f.severity is Severity.NOTES else wrapped(text, _TEXT, width)
    left = len(serious) - _MOST_WITHOUT_PLACE
    return [*lines, f"and {left} more: see report.md"] if left > 0 else lines
