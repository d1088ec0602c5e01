"""Values of the cut list: what is to be cut, how it lies on sheets, and what found no place.

Lengths are mm. A sheet lies with its length along x and its lower left corner at the origin. A piece's place is the
lower left corner of the upright box round it as it lies, its turn is counter-clockwise in degrees.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property
from math import radians
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.outline.create import rectangle
from generator.outline.measure import area, bounds
from generator.outline.region import Region
from generator.outline.transform import moved, turned
from generator.recipe.model_family import StockSheet

__all__ = ["BLANKS", "INSERTS", "Group", "Item", "Left", "Pattern", "Placed", "Sheet", "Wanted", "lying_on", "used_mm2"]

BLANKS: Final = "blanks"
INSERTS: Final = "inserts"


@frozen_record
class Item:
    """A shape to be cut, once or often: a rectangle, or an outline with the upright box round it."""

    length_mm: float
    width_mm: float
    outline: Region | None = None

    @cached_property
    def region(self) -> Region:
        """Return the outline with the lower left corner of its box at the origin."""
        if self.outline is None:
            return Region((rectangle(0.0, 0.0, self.length_mm, self.width_mm),))
        return _at_origin(self.outline)

    @cached_property
    def area_mm2(self) -> float:
        """Return the area that is cut out: of the box for a blank, of the outline for an insert."""
        return self.length_mm * self.width_mm if self.outline is None else area(self.outline)

    def lying(self, turn_deg: float) -> Region:
        """Return the outline turned, with the lower left corner of its box at the origin."""
        return _at_origin(turned(self.region, radians(turn_deg))) if turn_deg else self.region


def _at_origin(region: Region) -> Region:
    box = bounds(region)
    return moved(region, -box.xmin, -box.ymin)


@frozen_record
class Wanted:
    """One piece that a variant needs: which shape, of which variant, what it becomes, and what is cut through it."""

    item: int
    variant: str
    part: str
    cuts: Region | None = None

    @property
    def label(self) -> str:
        """Return the name that stands on the piece."""
        return self.variant if self.part == "cover" else f"{self.variant} {self.part.removeprefix('insert-')}"


@frozen_record
class Placed:
    """A shape on a sheet."""

    item: int
    x_mm: float
    y_mm: float
    turn_deg: float = 0.0


@frozen_record
class Pattern:
    """How pieces lie on a sheet, and on how many sheets they lie so."""

    stock: StockSheet
    placed: tuple[Placed, ...]
    times: int = 1


@frozen_record
class Left:
    """A piece that lies on no sheet, and why."""

    wanted: Wanted
    why: str


@frozen_record
class Sheet:
    """One sheet of stock with the pieces on it, in the order of its pattern."""

    name: str
    pattern: int
    pieces: tuple[Wanted, ...]


@frozen_record
class Group:
    """All that is cut from one material of one thickness.

    Attributes:
        kind: ``blanks`` or ``inserts``.
        material, thickness_mm: of the stock.
        density_kg_m3: of the material; None if it is not known.
        items: the shapes.
        patterns: how they lie.
        sheets: every sheet, by pattern.
        left: pieces on no sheet.
        by_outline: inserts lie by their true outlines, not by the boxes round them.
        stem: what names of sheets begin with.
    """

    kind: str
    material: str
    thickness_mm: float
    density_kg_m3: float | None
    items: tuple[Item, ...]
    patterns: tuple[Pattern, ...]
    sheets: tuple[Sheet, ...]
    left: tuple[Left, ...]
    by_outline: bool
    stem: str

    @property
    def sheet_area_mm2(self) -> float:
        """Return the area of all sheets."""
        return sum(p.times * p.stock.length * p.stock.width for p in self.patterns)

    @property
    def used_area_mm2(self) -> float:
        """Return the area of all pieces on them."""
        return sum(p.times * used_mm2(p, self.items) for p in self.patterns)

    @property
    def mass_kg(self) -> float | None:
        """Return the mass of all sheets; None if the density is not known."""
        if self.density_kg_m3 is None:
            return None
        return self.sheet_area_mm2 * self.thickness_mm * self.density_kg_m3 * 1e-9

    def short_label(self, wanted: Wanted) -> str:
        """Return the name of a piece where its group is known: the variant, where all are the same part of theirs."""
        return wanted.variant if self.is_one_part else wanted.label

    @cached_property
    def is_one_part(self) -> bool:
        """Return True if every piece on its sheets is the same part of its variant."""
        return len({w.part for s in self.sheets for w in s.pieces}) < 2

    def sheets_of(self, pattern: int) -> Iterator[Sheet]:
        """Yield the sheets that are laid by a pattern."""
        return (s for s in self.sheets if s.pattern == pattern)


def used_mm2(pattern: Pattern, items: Sequence[Item]) -> float:
    """Return the area of the pieces on one sheet."""
    return sum(items[p.item].area_mm2 for p in pattern.placed)


def lying_on(pattern: Pattern, items: Sequence[Item]) -> tuple[Region, ...]:
    """Return the outlines of a pattern where they lie on the sheet."""
    known: dict[tuple[int, float], Region] = {}
    out = []
    for p in pattern.placed:
        key = p.item, p.turn_deg
        if key not in known:
            known[key] = items[p.item].lying(p.turn_deg)
        out.append(moved(known[key], p.x_mm, p.y_mm))
    return tuple(out)


def cuts_on(pattern: Pattern, items: Sequence[Item], pieces: Sequence[Wanted]) -> tuple[Region, ...]:
    """Return what is cut through the pieces of a sheet where they lie on it; nothing for most."""
    out = []
    for p, wanted in zip(pattern.placed, pieces, strict=True):
        outline = items[p.item].outline
        if wanted.cuts is None or outline is None:
            continue
        box = bounds(outline)
        turn = radians(p.turn_deg)
        lower = bounds(turned(items[p.item].region, turn)) if p.turn_deg else bounds(items[p.item].region)
        cuts = moved(wanted.cuts, -box.xmin, -box.ymin)
        cuts = turned(cuts, turn) if p.turn_deg else cuts
        out.append(moved(cuts, p.x_mm - lower.xmin, p.y_mm - lower.ymin))
    return tuple(out)
