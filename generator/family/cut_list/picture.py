"""Pages of patterns: the sheet to scale, every piece with its name, or with a number and a key of names."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from math import floor, hypot
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.base.many import many
from generator.base.paper_sizes import FORMATS
from generator.family.cut_list.laid import Group, Item, Pattern, lying_on, used_mm2
from generator.family.cut_list.laid import Sheet as StockLaid
from generator.family.cut_list.numbers import percent, plain, square_metres
from generator.family.cut_list.outlines import MOST_SHAPES
from generator.outline.create import rectangle as box_contour
from generator.outline.distance import boundary_points, points_depth
from generator.outline.measure import bounds, centroid
from generator.outline.predicates import contains_region
from generator.outline.region import Region
from generator.outline.separate import separated
from generator.outline.transform import moved, scaled
from generator.outline.winding import winding_numbers
from generator.paper.box import Box
from generator.paper.letters import fitted, letters_box, line_pitch, width_mm
from generator.paper.lines import GREY, NARROW, VISIBLE, Line
from generator.paper.sheet import Easel, Sheet, line, rectangle
from generator.paper.words import wrapped

__all__ = ["BOTTOM_MM", "EDGE_MM", "PAPER", "TEXT_MM", "heading", "pattern_pages"]

PAPER: Final = FORMATS["A4"].landscape
EDGE_MM: Final = 12.0
BOTTOM_MM: Final = EDGE_MM + 1.0
TEXT_MM: Final = 2.5
PITCH_MM: Final = line_pitch(TEXT_MM)
SCALES: Final = (1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.5, 8.0, 10.0, 12.5, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0)
TINTS: Final = ((0.9, 0.91, 0.93), (0.75, 0.83, 0.93), (0.93, 0.85, 0.73))
"""Of pieces; those of several islands in turn, so that it is seen which belong together."""
WHITE: Final = (1.0, 1.0, 1.0)
MARGIN: Final = Line("margin", 0.13, (1.5, 1.5), GREY)
MOST_NAMES: Final = 500
"""So many names of equal sheets are told on paper; more of them stand in the table alone."""
COLUMN_MM: Final = 52.0
SIZES_TOLD: Final = 6
STEP_MM: Final = 0.8
GRID, DEEPEST = 13, 6
"""Places across a piece that are tried for its name, and how many of the best."""
GAP_MM: Final = 0.4
"""Between a name and the line round its piece."""


def heading(easel: Easel, title: str, lines: Iterable[str], right: str = "") -> float:
    """Write the head of a page and return the height below it."""
    width = PAPER.width_mm - 2.0 * EDGE_MM
    y = PAPER.height_mm - EDGE_MM - 5.0
    room = width - (width_mm(right, TEXT_MM) + 4.0 if right else 0.0)
    easel.write(fitted(title, 5.0, room, bold=True), (EDGE_MM, y), 5.0, bold=True)
    if right:
        easel.write(right, (EDGE_MM + width, y), TEXT_MM, anchor="end")
    y -= 3.0
    easel.draw(line((EDGE_MM, y), (EDGE_MM + width, y)), kind=VISIBLE)
    y -= 1.0
    for text in lines:
        for part in wrapped(text, TEXT_MM, width):
            y -= PITCH_MM
            easel.write(part, (EDGE_MM, y), TEXT_MM)
    return y - 3.0


def pattern_pages(group: Group, title: str) -> Iterator[Sheet]:
    """Yield a page for every pattern of a group, and pages with the names where the pieces bear numbers."""
    for number, pattern in enumerate(group.patterns):
        sheets = tuple(group.sheets_of(number))
        easel = Easel()
        name = _names_of(sheets, group.stem)
        below = heading(easel, name, _told(group, pattern, sheets), title if len(title) < 40 else "")
        is_keyed = _Picture(easel, group, pattern, below).draw(sheets)
        yield Sheet(PAPER, tuple(easel.items), name)
        if is_keyed and _is_told(sheets):
            yield from _keys(group, sheets, name)


def _names_of(sheets: Sequence[StockLaid], stem: str) -> str:
    first = sheets[0].name
    return f"Sheet {first}" if len(sheets) == 1 else f"Sheets {first} to {sheets[-1].name.removeprefix(stem + '-')}"


def _told(group: Group, pattern: Pattern, sheets: Sequence[StockLaid]) -> Iterator[str]:
    stock = pattern.stock
    whole = stock.length * stock.width
    waste = whole - used_mm2(pattern, group.items)
    size = f"{plain(stock.length)} × {plain(stock.width)} × {plain(group.thickness_mm)} mm"
    equal = f"{len(sheets)} equal sheets, each with" if len(sheets) > 1 else "1 sheet with"
    yield (
        f"{group.material}, {size}: {equal} {many(len(pattern.placed), 'piece')}; waste {percent(waste / whole)}, "
        f"{square_metres(waste)} m² a sheet. {_rest(pattern, group.items)}"
    )
    yield "; ".join(_counts(pattern, group.items)) + ". " + _how(group)


def _how(group: Group) -> str:
    if group.kind == "blanks":
        return "Rectangles are blanks, with the margins of the recipe."
    if group.by_outline:
        return "Nested by their true outlines."
    many = f"More than {MOST_SHAPES} different outlines: laid" if len(group.items) > MOST_SHAPES else "Laid"
    return f"{many} by the boxes round them."


def _counts(pattern: Pattern, items: Sequence[Item]) -> Iterator[str]:
    """Yield how many there are of each size, the largest first; the last ones together."""
    sizes: Counter[tuple[float, float]] = Counter()
    for p in pattern.placed:
        item = items[p.item]
        sizes[round(item.length_mm, 2), round(item.width_mm, 2)] += 1
    rows = sorted(sizes.items(), key=lambda r: (-r[0][0] * r[0][1], r[0]))
    for (a, b), n in rows[:SIZES_TOLD]:
        yield f"{n} of {plain(a)} × {plain(b)}"
    if len(rows) > SIZES_TOLD:
        yield f"{sum(n for _, n in rows[SIZES_TOLD:])} of other sizes"


def _rest(pattern: Pattern, items: Sequence[Item]) -> str:
    """Return the larger strip from edge to edge that is left, if it is worth telling."""
    boxes = [bounds(r) for r in lying_on(pattern, items)]
    stock = pattern.stock
    right, top = stock.length - max(b.xmax for b in boxes), stock.width - max(b.ymax for b in boxes)
    if right * stock.width >= top * stock.length:
        size, where = (right, stock.width), "right"
    else:
        size, where = (stock.length, top), "top"
    if min(size) < 0.1 * min(stock.length, stock.width):
        return ""
    return f"Left over at the {where}: {floor(size[0])} × {floor(size[1])} mm."


@frozen_record
class _Label:
    """A text for a piece and where it may stand."""

    text: str
    at: tuple[float, float]
    turn_deg: float
    is_inside: bool


class _Picture:
    """The sheet of stock on the page."""

    def __init__(self, easel: Easel, group: Group, pattern: Pattern, top: float) -> None:
        self._easel, self._group, self._pattern = easel, group, pattern
        stock = pattern.stock
        room = Box(EDGE_MM + 6.0, BOTTOM_MM + 6.0, PAPER.width_mm - EDGE_MM, top)
        least = max(stock.length / room.width, stock.width / room.height)
        self._one_to = next((s for s in SCALES if s >= least), least)
        k = 1.0 / self._one_to
        width, height = stock.length * k, stock.width * k
        left = room.left + (room.width - width) / 2.0
        self._box = Box(left, room.top - height, left + width, room.top)
        self._regions = [
            moved(scaled(r, k), self._box.left, self._box.bottom) for r in lying_on(pattern, group.items)
        ]  # fmt: skip

    def draw(self, sheets: Sequence[StockLaid]) -> bool:
        """Draw sheet and pieces; return True if they bear numbers instead of names."""
        easel, box = self._easel, self._box
        easel.draw(rectangle(box), kind=VISIBLE, name="sheet")
        for k, region in enumerate(self._regions):
            fill = TINTS[k % len(TINTS)] if len(separated(region)) > 1 else TINTS[0]
            easel.region(region, kind=NARROW, fill=fill, name="piece")
        stock = self._pattern.stock
        size = f"{plain(stock.length)} mm, drawn at 1:{plain(self._one_to)}"
        easel.write(size, (box.centre[0], box.bottom - 4.5), TEXT_MM, anchor="middle")
        easel.write(plain(stock.width), (box.left - 2.0, box.centre[1]), TEXT_MM, anchor="middle", turn_deg=90.0)
        named = zip(self._regions, sheets[0].pieces, strict=True)
        names = [_label(r, self._group.short_label(w)) for r, w in named]
        is_keyed = len(sheets) > 1 or not all(n.is_inside for n in names)
        labels = [_label(r, str(k + 1)) for k, r in enumerate(self._regions)] if is_keyed else names
        for region, label in zip(self._regions, labels, strict=True):
            self._write(region, label)
        if is_keyed:
            where = "on the next page" if _is_told(sheets) else "in cut-list.csv"
            easel.write(f"Names to the numbers: {where}", (EDGE_MM, EDGE_MM - 5.0), TEXT_MM)
        return is_keyed

    def _write(self, region: Region, label: _Label) -> None:
        """Write a label; one that has no room on its piece stands beside its islands, or on a patch over them."""
        if not label.is_inside:
            label = self._beside(region, label)
        if not label.is_inside:
            box = letters_box(label.text, label.at, TEXT_MM, anchor="middle", turn_deg=label.turn_deg, bold=False)
            self._easel.draw(rectangle(box.grown(0.2)), kind=None, fill=WHITE)
        self._easel.write(label.text, label.at, TEXT_MM, anchor="middle", turn_deg=label.turn_deg)

    def _beside(self, region: Region, label: _Label) -> _Label:
        """Return the label at a place within the box round its piece that no piece takes, if there is one."""
        outer = bounds(region)
        half = width_mm(label.text, TEXT_MM) / 2.0 + GAP_MM
        xs = np.arange(outer.xmin + half, outer.xmax - half + 1e-9, STEP_MM)
        ys = np.arange(outer.ymin + TEXT_MM, outer.ymax - TEXT_MM + 1e-9, STEP_MM)
        spots = sorted(
            ((float(x), float(y)) for x in xs for y in ys),
            key=lambda s: hypot(s[0] - outer.centre[0], s[1] - outer.centre[1]),
        )
        for spot in spots:
            other = _about(label.text, spot, 0.0, is_inside=True)
            box = letters_box(other.text, other.at, TEXT_MM, anchor="middle", turn_deg=0.0, bold=False)
            p = self._edges
            inside = (p[:, 0] > box.left) & (p[:, 0] < box.right) & (p[:, 1] > box.bottom) & (p[:, 1] < box.top)
            if not inside.any() and (winding_numbers(region, [spot]) == 0).all():
                return other
        return label

    @cached_property
    def _edges(self) -> NDArray[np.float64]:
        return np.concatenate([boundary_points(r, STEP_MM / 2.0) for r in self._regions])


def _label(region: Region, text: str) -> _Label:
    """Return where a text stands in a piece: level or upright, in the middle, else where there is room."""
    box = bounds(region)
    turns = (0.0, 90.0) if box.width_mm >= box.height_mm else (90.0, 0.0)
    for spots in (lambda: [box.centre, centroid(region)], lambda: _deepest(region)):
        for spot in spots():
            for turn in turns:
                label = _about(text, (spot[0], spot[1]), turn)
                if _holds(region, label):
                    return label
    return _about(text, (box.centre[0], box.centre[1]), 0.0, is_inside=False)


def _deepest(region: Region) -> list[tuple[float, float]]:
    """Return places far from the edges of a piece, the farthest first."""
    box = bounds(region)
    xs, ys = (np.linspace(low, high, GRID + 2)[1:-1] for low, high in ((box.xmin, box.xmax), (box.ymin, box.ymax)))
    points = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
    depth = points_depth(region, points)
    return [(float(points[k, 0]), float(points[k, 1])) for k in np.argsort(-depth, kind="stable")[:DEEPEST]]


def _about(text: str, middle: tuple[float, float], turn: float, *, is_inside: bool = True) -> _Label:
    x, y = middle
    down = TEXT_MM / 2.0
    return _Label(text, (x + down, y) if turn else (x, y - down), turn, is_inside)


def _holds(region: Region, label: _Label) -> bool:
    box = letters_box(label.text, label.at, TEXT_MM, anchor="middle", turn_deg=label.turn_deg, bold=False).grown(GAP_MM)
    outer = bounds(region)
    if box.left < outer.xmin or box.right > outer.xmax or box.bottom < outer.ymin or box.top > outer.ymax:
        return False
    return contains_region(region, Region((box_contour(*box),)))


def _is_told(sheets: Sequence[StockLaid]) -> bool:
    return sum(len(s.pieces) for s in sheets) <= MOST_NAMES


def _keys(group: Group, sheets: Sequence[StockLaid], name: str) -> Iterator[Sheet]:
    """Yield pages with the names of all numbers, sheet by sheet."""
    rows: list[tuple[str, bool]] = []
    for sheet in sheets:
        rows.append((f"sheet {sheet.name.removeprefix(group.stem + '-')}", True))
        rows += [(f"{k + 1}  {group.short_label(w)}", False) for k, w in enumerate(sheet.pieces)]
    columns = int((PAPER.width_mm - 2.0 * EDGE_MM) / COLUMN_MM)
    at = 0
    while at < len(rows):
        easel = Easel()
        top = heading(easel, f"Names: {name}", ())
        deep = int((top - BOTTOM_MM) / PITCH_MM)
        for column in range(columns):
            y = top
            for text, bold in rows[at : at + deep]:
                y -= PITCH_MM
                x = EDGE_MM + column * COLUMN_MM
                easel.write(fitted(text, TEXT_MM, COLUMN_MM - 3.0, bold=bold), (x, y), TEXT_MM, bold=bold)
            at += deep
        yield Sheet(PAPER, tuple(easel.items), f"names {name}")
