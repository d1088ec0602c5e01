"""The cut list as a table: a row a piece, first those on sheets, then those on none."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from generator.estimate.table_cells import written
from generator.family.cut_list.laid import Group, Placed, Wanted
from generator.family.cut_list.numbers import plain

__all__ = ["HEADINGS", "table_bytes"]

HEADINGS: Final = (
    "piece", "variant", "part", "material", "thickness_mm", "length_mm", "width_mm",
    "sheet", "sheet_length_mm", "sheet_width_mm", "number", "x_mm", "y_mm", "turn_deg", "note",
)  # fmt: skip
"""``x_mm`` and ``y_mm`` tell the lower left corner of the box round the piece as it lies, from that of the sheet;
``turn_deg`` how far it is turned counter-clockwise; ``number`` the piece's number in the picture of the sheet."""


def table_bytes(groups: Sequence[Group]) -> bytes:
    """Return the table as CSV (RFC 4180, UTF-8)."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(HEADINGS)
    for group in groups:
        writer.writerows(_rows(group))
    return out.getvalue().encode("utf-8")


def _rows(group: Group) -> Iterator[Iterable[str]]:
    for sheet in group.sheets:
        pattern = group.patterns[sheet.pattern]
        on = (sheet.name, plain(pattern.stock.length), plain(pattern.stock.width))
        for k, (placed, wanted) in enumerate(zip(pattern.placed, sheet.pieces, strict=True)):
            yield *_what(wanted, group), *on, str(k + 1), *_where(placed), ""
    for left in group.left:
        yield *_what(left.wanted, group), *("",) * 7, left.why


def _what(wanted: Wanted, group: Group) -> tuple[str, ...]:
    item = group.items[wanted.item]
    sizes = (plain(group.thickness_mm), plain(item.length_mm), plain(item.width_mm))
    return written(wanted.label), written(wanted.variant), wanted.part, written(group.material), *sizes


def _where(placed: Placed) -> tuple[str, str, str]:
    return plain(placed.x_mm), plain(placed.y_mm), plain(placed.turn_deg)
