"""The plan as SVG: all layers on one sheet, to scale, with legend, main dimensions, bolts, notes and findings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice, pairwise
from math import log

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour
from generator.outline.measure import bounds, length, signed_area
from generator.outputs.lettering import Box
from generator.outputs.output import Files, Output, Proof, Work
from generator.outputs.plan_column import COLUMN, Block, blocks
from generator.outputs.plan_frame import frame_of, seen_from_top
from generator.outputs.plan_reach import unreached, unreached_block
from generator.outputs.plan_style import Row, legend_rows
from generator.outputs.plan_view import draw_view
from generator.outputs.projection import Floats
from generator.outputs.svg_read import DrawnPath, read_drawing
from generator.outputs.svg_sheet import Sheet
from generator.part.part import FlipAxis

__all__ = ["OUTPUT", "PATH", "plan_svg"]

PATH = "plan.svg"
_MARGIN, _GUTTER, _BETWEEN = 10.0, 14.0, 5.0
_AFTER_LEGEND = 2
"""Number of the block that follows title and legend of the layers."""
_LANDSCAPE = 1.3
"""The shape (width to height) that reads best on a screen and on a sheet; common practice."""


def plan_svg(work: Work) -> str:
    """Return the whole sheet as SVG."""
    plan = work.plan
    rows = legend_rows(work.layers)
    found = [f for o in work.outcomes for f in o.findings]
    placed = [f for f in found if f.point_mm is not None]
    frame = frame_of(plan, rows)
    sheet = Sheet()
    lost = unreached(plan)
    draw_view(sheet, plan, rows, placed, frame, lost)
    parts = blocks(plan, rows, placed, [f for f in found if f.point_mm is None], frame, work.recipe)
    if lost:
        parts.insert(_AFTER_LEGEND, lambda s, x, y, w: unreached_block(s, x, y, w, plan, lost))
    _columns(sheet, parts)
    says = (
        f"All layers of {plan.name}, revision {plan.revision}, seen from the top face; 1 unit is 1 mm on paper, "
        f"scale {frame.scale_text()}. Bottom-face layers are drawn as seen through the plate."
    )
    return sheet.document(margin=_MARGIN, title=plan.title or plan.name, description=says)


@frozen_record
class _Arrangement:
    """How the blocks are set: so many in each column beside the view, then so many in each column below it."""

    beside: tuple[int, ...]
    below: tuple[int, ...]


def _columns(sheet: Sheet, parts: Sequence[Block]) -> None:
    """Set the blocks beside the view and below it, so that the sheet is compact and not too long."""
    view = sheet.box()
    heights = [block(Sheet(), 0.0, 0.0, COLUMN) + _BETWEEN for block in parts]
    best = min(_arrangements(view, heights), key=lambda a: _awkwardness(view, heights, a))
    queue = iter(parts)
    for i, many in enumerate(best.beside):
        _set_column(sheet, list(islice(queue, many)), view.right + _GUTTER + i * (COLUMN + _GUTTER), view.top, COLUMN)
    width = _width_below(view, len(best.below))
    for i, many in enumerate(best.below):
        _set_column(sheet, list(islice(queue, many)), view.left + i * (width + _GUTTER), view.bottom + _GUTTER, width)


def _set_column(sheet: Sheet, parts: Sequence[Block], x: float, y: float, width: float) -> None:
    for block in parts:
        y = block(sheet, x, y, width) + _BETWEEN


def _width_below(view: Box, columns: int) -> float:
    """Return how wide the columns below the view are: they share its width."""
    return (view.width - (columns - 1) * _GUTTER) / max(1, columns)


def _arrangements(view: Box, heights: Sequence[float]) -> list[_Arrangement]:
    """Return the arrangements worth trying: none, one or two columns beside, and below what finds room there."""
    out = []
    for beside in range(len(heights) + 1):
        for columns in (1, 2) if beside > 1 else (1,) if beside else (0,):
            left = tuple(_shared(heights[:beside], columns)) if columns else ()
            for below in range(1, 4) if beside < len(heights) else (0,):
                if below and _width_below(view, below) < COLUMN:
                    continue
                out.append(_Arrangement(left, tuple(_shared(heights[beside:], below)) if below else ()))
    return out


def _awkwardness(view: Box, heights: Sequence[float], a: _Arrangement) -> float:
    """Return how bad a sheet is: its area, and how far it is from a landscape."""
    count = sum(a.beside)
    side = _highest(heights[:count], a.beside)
    # columns below that are wider than a plain one hold more on a line
    slim = min(1.0, COLUMN / _width_below(view, len(a.below)) + 0.1) if a.below else 1.0
    low = _highest(heights[count:], a.below) * slim
    tall = max(side, view.height + (low + _GUTTER if a.below else 0.0))
    wide = view.width + len(a.beside) * (COLUMN + _GUTTER)
    return wide * tall * (1.0 + 1.2 * abs(log(wide / tall / _LANDSCAPE)))


def _shared(heights: Sequence[float], columns: int) -> list[int]:
    """Return how many blocks each column takes, in order, so that the highest column is as low as can be."""
    if columns == 1 or len(heights) <= 1:
        return [len(heights)]
    options = [[k, *_shared(heights[k:], columns - 1)] for k in range(1, len(heights) + 1)]
    return min(options, key=lambda shares: _highest(heights, shares))


def _highest(heights: Sequence[float], shares: Sequence[int]) -> float:
    """Return the height of the highest column."""
    ends = [sum(shares[:k]) for k in range(len(shares) + 1)]
    return max((sum(heights[a:b]) for a, b in pairwise(ends)), default=0.0)


def write(work: Work) -> Iterator[tuple[str, bytes]]:
    """Yield the plan."""
    yield PATH, plan_svg(work).encode("utf-8")


def prove(work: Work, files: Files) -> Iterator[Proof]:
    """Read the plan back: every layer is there and equals its region, and no text leaves the sheet."""
    drawing = read_drawing(files[PATH])
    rows = legend_rows(work.layers)
    by_layer = {p.layer: p for p in drawing.paths}
    names = {r.layer.name for r in rows}
    strange = len(names ^ set(by_layer)) + len(drawing.paths) - len(by_layer)
    yield Proof("plan: layers drawn once each", PATH, float(strange), 0.0, "layers")
    for row in rows:
        if row.layer.region and row.layer.name in by_layer:
            off = _deviation(row, by_layer[row.layer.name], work.plan.flip)
            yield Proof("plan: outline against region", row.layer.name, off, work.tol.model_mm, "mm")
    drawn = sum(a.area() for p in drawing.unreached for c in p.contours for a in c)
    lost = sum(u.loss.area_mm2 for u in unreached(work.plan))
    yield Proof("plan: area not reached", PATH, abs(drawn - lost), work.tol.model_mm * max(1.0, lost), "mm²")
    size = max(abs(drawing.sheet.width - drawing.size_mm[0]), abs(drawing.sheet.height - drawing.size_mm[1]))
    yield Proof("plan: one unit is one mm", PATH, size, work.tol.model_mm, "mm")
    outside = sum(not t.box.within(drawing.sheet) for t in drawing.texts)
    yield Proof("plan: texts that leave the sheet", PATH, float(outside), 0.0, "texts")


def _deviation(row: Row, drawn: DrawnPath, flip: FlipAxis) -> float:
    """Return how far a drawn layer is from its region, mm: its corners, its box, and each outline's area."""
    region = seen_from_top(row, flip)
    if len(drawn.contours) != len(region):
        return float("inf")
    worst = max(abs(a - b) for a, b in zip(drawn.bounds, bounds(region), strict=True))
    for contour, arcs in zip(region, drawn.contours, strict=True):
        joints = np.array([(a.x0, a.y0) for a in arcs])
        bulging = abs(sum(a.area() for a in arcs) - signed_area(contour)) / length(contour)
        worst = max(worst, bulging, _apart(contour, joints))
    return worst


def _apart(contour: Contour, joints: Floats) -> float:
    """Return how far a corner is from every joint drawn, or a joint from every corner and middle of an arc, mm."""
    at, bulge = contour.array[:, :2], contour.array[:, 2:]
    step = np.roll(at, -1, axis=0) - at
    middles = at + step / 2.0 + bulge / 2.0 * np.column_stack((step[:, 1], -step[:, 0]))
    known = np.vstack((at, middles[bulge[:, 0] != 0.0]))
    gaps = np.hypot(*(known[:, None, :] - joints).transpose(2, 0, 1))
    return float(max(gaps[: len(at)].min(axis=1).max(), gaps.min(axis=0).max()))


OUTPUT = Output(
    name="plan-svg",
    help="All layers on one sheet as SVG, with legend, main dimensions and findings.",
    needs_solid=False,
    write=write,
    prove=prove,
)
