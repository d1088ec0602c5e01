"""A picture of what changed: a panel a layer, what came and what went in two colours, hatched and named.

Blue and vermilion are told apart by people who see red and green alike (Okabe and Ito, Color Universal Design, 2008);
the hatchings run crosswise to each other and the areas are named, so that a print without colour tells as much.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.units import LengthUnit
from generator.outline.contour import Point
from generator.outline.measure import Bounds, bounds
from generator.outline.region import EMPTY, Region
from generator.outline.transform import Axis, mirrored, moved, scaled
from generator.outputs.lettering import Box, wrapped
from generator.outputs.svg_pen import path_data
from generator.outputs.svg_sheet import INK, QUIET, THIN, Sheet, Style

__all__ = ["Arrow", "Panel", "change_picture"]

BLUE: Final = "#0072b2"
VERMILION: Final = "#d55e00"
KEPT: Final = "#e4e6e9"
HATCH_MM: Final = 1.6
WIDE_MM: Final = 128.0
HIGH_MM: Final = 84.0
GAP_MM: Final = 12.0
HEAD_MM: Final = 19.0
MOST_LINES: Final = 3
TEXT_MM: Final = 3.5
"""Em of ordinary text; capitals come out 2.5 mm high."""
BAR_MM: Final = 30.0
MM_STEPS: Final = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0)
INCH_STEPS: Final = (0.1, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0)
LARGEST: Final = 4.0
"""Small parts are drawn larger than life up to this."""
ACROSS_X: Final = Axis(Point(0.0, 0.0), 0.0)


@frozen_record
class Arrow:
    """From where a hole was to where it is, mm."""

    start: Point
    end: Point


@frozen_record
class Panel:
    """One layer: what stayed, came and went, the outline round it for orientation, and what is written above.

    Attributes:
        title: of the panel.
        group: what is drawn at one scale.
        lines: below the title.
        kept, added, removed: regions as seen from the top, mm.
        around: outline of the part, not coloured.
        arrows: of moved holes.
    """

    title: str
    group: str
    lines: tuple[str, ...]
    kept: Region
    added: Region
    removed: Region
    around: Region
    arrows: tuple[Arrow, ...] = ()


def change_picture(panels: Sequence[Panel], *, title: str, subtitle: str, unit: LengthUnit) -> str:
    """Return the picture as SVG, 1 unit 1 mm on paper; panels in two columns, those of one group at one scale."""
    sheet = Sheet()
    sheet.raw(_hatchings())
    y = _heading(sheet, title, subtitle)
    scales = {group: _scale([p for p in panels if p.group == group]) for group in {p.group for p in panels}}
    for row in range(0, len(panels), 2):
        pair = panels[row : row + 2]
        high = max(scales[p.group] * _box(p).height_mm for p in pair)
        for column, panel in enumerate(pair):
            _panel(sheet, panel, (column * (WIDE_MM + GAP_MM), y), scales[panel.group], unit)
        y += HEAD_MM + high + GAP_MM
    if not panels:
        sheet.text("No layer changed.", (0.0, y + 6.0), TEXT_MM)
    return sheet.document(margin=8.0, title=title, description=subtitle)


def _hatchings() -> str:
    """Return two patterns: lines that rise and lines that fall, crossed by a second set."""
    h = HATCH_MM
    return (
        f'<defs><pattern id="came" width="{h}" height="{h}" patternUnits="userSpaceOnUse" '
        f'patternTransform="rotate(45)"><rect width="{h}" height="{h}" fill="#cfe4f2"/>'
        f'<line x1="0" y1="0" x2="0" y2="{h}" stroke="{BLUE}" stroke-width="0.7"/></pattern>'
        f'<pattern id="went" width="{h}" height="{h}" patternUnits="userSpaceOnUse" '
        f'patternTransform="rotate(-45)"><rect width="{h}" height="{h}" fill="#fbe3d3"/>'
        f'<path d="M0 0V{h}M0 0H{h}" stroke="{VERMILION}" stroke-width="0.45" fill="none"/></pattern></defs>'
    )


def _heading(sheet: Sheet, title: str, subtitle: str) -> float:
    """Write title and legend; return how far down they reach."""
    width = 2.0 * WIDE_MM + GAP_MM
    y = 0.0
    for line in wrapped(title, 5.5, width, bold=True):
        sheet.text(line, (0.0, y), 5.5, bold=True)
        y += 7.0
    for line in wrapped(subtitle, TEXT_MM, width):
        sheet.text(line, (0.0, y), TEXT_MM, ink=QUIET)
        y += 5.0
    x = 0.0
    for fill, ink, words in (
        ("url(#came)", BLUE, "added: lines one way"),
        ("url(#went)", VERMILION, "removed: lines crossed, edge dashed"),
        (KEPT, QUIET, "unchanged"),
    ):
        sheet.raw(
            f'<rect x="{x}" y="{y}" width="10" height="6" fill="{fill}" stroke="{ink}" stroke-width="0.35"'
            f"{_dashes(ink)}/>",
            Box(x, y, x + 10.0, y + 6.0),
        )
        box = sheet.text(words, (x + 12.0, y + 4.3), TEXT_MM)
        x = box.right + 8.0
    seen = "All is seen from the top face; a dot stands where the middle of a moved hole is now."
    sheet.text(seen, (0.0, y + 12.0), TEXT_MM, ink=QUIET)
    return y + 22.0


def _dashes(ink: str) -> str:
    return ' stroke-dasharray="1.6 0.8"' if ink == VERMILION else ""


def _box(panel: Panel) -> Bounds:
    boxes = [bounds(r) for r in (panel.kept, panel.added, panel.removed, panel.around) if r]
    if not boxes:
        return Bounds(0.0, 0.0, 1.0, 1.0)
    return Bounds(
        min(b.xmin for b in boxes), min(b.ymin for b in boxes), max(b.xmax for b in boxes), max(b.ymax for b in boxes)
    )


def _scale(panels: Sequence[Panel]) -> float:
    """Return the largest scale at which every panel fits."""
    boxes = [_box(p) for p in panels]
    return min((LARGEST, *(min(WIDE_MM / b.width_mm, HIGH_MM / b.height_mm) for b in boxes)))


def _panel(sheet: Sheet, panel: Panel, at: tuple[float, float], scale: float, unit: LengthUnit) -> None:
    x, y = at
    sheet.text(panel.title, (x, y), 4.2, bold=True)
    lines = [part for line in panel.lines for part in wrapped(line, TEXT_MM, WIDE_MM)]
    for i, line in enumerate(lines[:MOST_LINES]):
        sheet.text(line, (x, y + 5.2 + 4.8 * i), TEXT_MM)
    _bar(sheet, (x + WIDE_MM, y - 1.2), scale, unit)
    box = _box(panel)
    left, top = x - scale * box.xmin, y + HEAD_MM + scale * box.ymax

    def placed(region: Region) -> Region:
        return moved(mirrored(scaled(region, scale), ACROSS_X), left, top) if region else EMPTY

    _area(sheet, placed(panel.around), Style(QUIET, THIN))
    _area(sheet, placed(panel.kept), Style(QUIET, 0.25, (), KEPT))
    _area(sheet, placed(panel.added), Style(BLUE, 0.35, (), "url(#came)"))
    _area(sheet, placed(panel.removed), Style(VERMILION, 0.35, (1.6, 0.8), "url(#went)"))
    for arrow in panel.arrows:
        ends = [(left + scale * p.x, top - scale * p.y) for p in (arrow.start, arrow.end)]
        sheet.line(ends, Style(INK, 0.35))
        sheet.circle(ends[1], 0.7, Style(INK, 0.35, (), INK))


def _area(sheet: Sheet, region: Region, style: Style) -> None:
    if region:
        b = bounds(region)
        sheet.raw(
            f'<path d="{path_data(region, digits=4)}" {style.attributes()}/>', Box(b.xmin, b.ymin, b.xmax, b.ymax)
        )


def _bar(sheet: Sheet, at: tuple[float, float], scale: float, unit: LengthUnit) -> None:
    """Draw a bar of a round length that ends at a place: the scale of a panel."""
    steps = MM_STEPS if unit.mm == 1.0 else INCH_STEPS
    length = max((s * unit.mm for s in steps if s * unit.mm * scale <= BAR_MM), default=steps[0] * unit.mm)
    x, y = at
    left = x - length * scale
    for end in (left, x):
        sheet.line([(end, y - 1.5), (end, y + 1.5)])
    sheet.line([(left, y), (x, y)], Style(INK, 0.5))
    sheet.text(unit.length(length), (left - 2.0, y + 1.2), TEXT_MM, anchor="end")
