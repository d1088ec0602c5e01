"""Pieces of a family by material and thickness, laid on the sheets that the family names."""

from __future__ import annotations

import json
from collections import defaultdict, deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from generator.base.errors import OffsetError, ProofError
from generator.family.cut_list.densities import densities_of
from generator.family.cut_list.fill import Margins, Spread, fits_box, rectangle_fillers, spread
from generator.family.cut_list.laid import BLANKS, INSERTS, Group, Item, Left, Pattern, Placed, Sheet, Wanted
from generator.family.cut_list.numbers import file_word, plain
from generator.family.cut_list.outlines import outline_fillers, worth_trying
from generator.family.cut_list.proof import fault_of
from generator.family.task import Piece
from generator.outline.contour import Contour
from generator.outline.region import Region
from generator.recipe.model_family import StockSheet

if TYPE_CHECKING:
    from generator.family.run import Ran

__all__ = ["groups_of"]

SAME_MM: Final = 1e-6
DIGITS: Final = 6
NO_STOCK: Final = "the family names no sheet of this material and thickness"
TOO_LARGE: Final = "larger than every sheet of this material and thickness less its edges"
USED_UP: Final = "no sheet is left"

Key = tuple[str, str, float]
"""Blanks or inserts, material, thickness."""
Pieces = list[tuple[str, Piece, str, str]]
"""Variant, piece, and the texts of its outline and of what is cut through it."""


def groups_of(ran: Ran) -> tuple[Group, ...]:
    """Return every group of a run, blanks first, then by material and thickness.

    Raises: ProofError: a sheet does not stand up to its proof; the defect is ours.
    """
    file = ran.family.file
    margins = Margins(file.spacing, file.sheet_edge)
    by_key: dict[Key, Pieces] = defaultdict(list)
    for row in ran.rows:
        if row.done is not None and row.done.is_good:
            for piece in row.done.pieces:
                kind = INSERTS if piece.outline else BLANKS
                key = kind, piece.material, round(piece.thickness_mm, DIGITS)
                outline, cuts = (row.done.shapes.get(s, "") for s in (piece.outline, piece.cuts))
                by_key[key].append((row.variant.name, piece, outline, cuts))
    there = [s.count for s in file.stock]
    stems, densities = _Stems(), densities_of(ran.family.recipe)
    groups = (_group(key, by_key[key], file.stock, there, margins, stems) for key in sorted(by_key))
    return tuple(replace(g, density_kg_m3=densities.get(g.material)) for g in groups)


class _Stems:
    """Names for groups that no two have."""

    def __init__(self) -> None:
        self._taken: set[str] = set()

    def of(self, key: Key) -> str:
        """Return a name made of letters, digits, points and hyphens."""
        kind, material, thickness = key
        base = f"{kind}-{file_word(material)}-{plain(thickness)}"
        stem, number = base, 2
        while stem.lower() in self._taken:
            stem, number = f"{base}-no{number}", number + 1
        self._taken.add(stem.lower())
        return stem


def _group(
    key: Key, pieces: Pieces, stock: Sequence[StockSheet], there: list[int | None], margins: Margins, stems: _Stems
) -> Group:
    """Return one group; what it takes of the sheets is taken from ``there``."""
    kind, material, thickness = key
    items, wanted = _items(pieces)
    rows = [k for k, s in enumerate(stock) if _same(s, material, thickness)]
    stocks = [stock[k] for k in rows]
    fitting = [any(fits_box(i, s, margins) for s in stocks) for i in items]
    counts = np.bincount([w.item for w in wanted if fitting[w.item]], minlength=len(items))
    laid, by_outline = _spread(items, counts, [(stock[k], there[k]) for k in rows], margins)
    for k in rows:
        number = there[k]
        if number is not None:
            there[k] = number - sum(p.times for p in laid.patterns if p.stock is stock[k])
    patterns = tuple(replace(p, placed=tuple(sorted(p.placed, key=_reading_order))) for p in laid.patterns)
    stem = stems.of(key)
    sheets, unplaced = _named(patterns, wanted, stem)
    left = tuple(
        Left(w, NO_STOCK if not stocks else USED_UP if fitting[w.item] else TOO_LARGE) for w in unplaced
    )  # fmt: skip
    return Group(kind, material, thickness, None, items, patterns, sheets, left, by_outline, stem)


def _same(sheet: StockSheet, material: str, thickness: float) -> bool:
    words = (" ".join(m.split()).casefold() for m in (sheet.material, material))
    return len(set(words)) == 1 and abs(sheet.thickness - thickness) <= SAME_MM


def _items(pieces: Pieces) -> tuple[tuple[Item, ...], tuple[Wanted, ...]]:
    """Return the shapes among pieces, and the pieces by shape, in the order of the variants."""
    items: list[Item] = []
    number: dict[object, int] = {}
    wanted = []
    regions: dict[str, Region] = {}
    for variant, piece, text, cuts in pieces:
        same = text or (round(piece.length_mm, DIGITS), round(piece.width_mm, DIGITS))
        if same not in number:
            number[same] = len(items)
            items.append(Item(piece.length_mm, piece.width_mm, _region(text) if text else None))
        if cuts and cuts not in regions:
            regions[cuts] = _region(cuts)
        wanted.append(Wanted(number[same], variant, piece.part, regions.get(cuts)))
    return tuple(items), tuple(wanted)


def _region(text: str) -> Region:
    """Return the outline that a text of loops tells."""
    return Region.of(Contour.of(loop) for loop in json.loads(text))


def _reading_order(placed: Placed) -> tuple[float, float]:
    """Return a key that numbers pieces column by column from the lower left."""
    return round(placed.x_mm, 3), round(placed.y_mm, 3)


def _spread(
    items: Sequence[Item],
    counts: np.ndarray,
    stocks: Sequence[tuple[StockSheet, int | None]],
    margins: Margins,
) -> tuple[Spread, bool]:
    """Return pieces spread over sheets, by their outlines where that saves stock and stands up to its proof.

    Raises: ProofError: rectangles overlap.
    """
    if not stocks or not counts.any():
        return Spread((), tuple(int(n) for n in counts), 0.0), False
    boxes = spread(items, counts, stocks, rectangle_fillers(items, margins))
    _demand_sound(boxes.patterns, items, margins)
    if not worth_trying(items):
        return boxes, False
    try:
        outlines = spread(items, counts, stocks, outline_fillers(items, margins, [s for s, _ in stocks]))
    except OffsetError:  # an outline that cannot be grown lies by its box
        return boxes, False
    if outlines.key < boxes.key and not any(fault_of(p, items, margins) for p in outlines.patterns):
        return outlines, True
    return boxes, False


def _demand_sound(patterns: Iterable[Pattern], items: Sequence[Item], margins: Margins) -> None:
    for pattern in patterns:
        fault = fault_of(pattern, items, margins)
        if fault:
            raise ProofError(f"cut list: {fault}; this is a defect of coverplate, please report it", feature="cut list")


def _named(
    patterns: Sequence[Pattern], wanted: Sequence[Wanted], stem: str
) -> tuple[tuple[Sheet, ...], tuple[Wanted, ...]]:
    """Return the sheets with the pieces that lie on them, and the pieces that lie on none."""
    waiting: Mapping[int, deque[Wanted]] = defaultdict(deque)
    for w in wanted:
        waiting[w.item].append(w)
    sheets: list[Sheet] = []
    for number, pattern in _every(patterns):
        pieces = tuple(waiting[p.item].popleft() for p in pattern.placed)
        sheets.append(Sheet(f"{stem}-{len(sheets) + 1}", number, pieces))
    placed = {id(w) for s in sheets for w in s.pieces}
    return tuple(sheets), tuple(w for w in wanted if id(w) not in placed)


def _every(patterns: Sequence[Pattern]) -> Iterator[tuple[int, Pattern]]:
    for number, pattern in enumerate(patterns):
        for _ in range(pattern.times):
            yield number, pattern
