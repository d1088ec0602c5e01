"""Is this a font that letters can be cut from? Judged by its table directory, before any library sees it.

Layout of the directory: ISO/IEC 14496-22 (Open Font Format), clauses 4.5 and 4.6: a header of 12 bytes, then 16 bytes
a table (tag, checksum, offset, length); a collection (``ttcf``) lists the offsets of its members' directories. The
checksum of a table is the sum of its big-endian words of 32 bits, filled up with zeros, without what overflows; in
``head`` the word that balances the sum of the whole file (``checkSumAdjustment``) counts as zero. The whole file then
sums to 0xB1B0AFBA.
"""

from __future__ import annotations

from collections.abc import Mapping
from struct import unpack_from
from typing import Final, NamedTuple

import numpy as np

from generator.base.errors import GeometryError

__all__ = ["check_font_tables", "file_sum_doubt"]

_MOST_TABLES: Final = 512
_MOST_MEMBERS: Final = 256
"""Chosen; the fonts of this world have a few dozen of either."""
_HEAD_MAGIC: Final = 0x5F0F3CF5
_NEEDED: Final = ("cmap", "head", "hhea", "hmtx", "maxp")
_SHAPING: Final = (
    *("CFF ", "CFF2", "GDEF", "GPOS", "GSUB", "HVAR", "MVAR", "VARC", "avar", "cmap", "fvar", "glyf", "gvar", "head"),
    *("hhea", "hmtx", "kern", "kerx", "loca", "maxp", "morx", "mort"),
)
"""Tables that what is cut comes from. Damage to others (names, hints, signatures) changes no shape and is let pass."""
_ADJUSTMENT: Final = 8
"""Where ``checkSumAdjustment`` stands in ``head``."""
_WHOLE_FILE: Final = 0xB1B0AFBA
_PICTURES: Final = ("CBDT", "sbix", "EBDT", "SVG ")
_NOT_FONTS: Final = (
    (b"wOFF", "a font packed for the web (WOFF): unpack it to TTF or OTF first"),
    (b"wOF2", "a font packed for the web (WOFF2): unpack it to TTF or OTF first"),
    (b"%!PS", "a PostScript Type 1 font: convert it to OTF first"),
    (b"\x80\x01", "a PostScript Type 1 font: convert it to OTF first"),
    (b"%PDF", "a PDF; name a TTF or OTF file"),
    (b"PK\x03\x04", "a ZIP archive: unpack it and name the TTF or OTF file in it"),
    (b"\x89PNG", "a picture; name a TTF or OTF file"),
)


class _Table(NamedTuple):
    """A table as the directory has it."""

    offset: int
    length: int
    checksum: int


def check_font_tables(data: bytes, member: int) -> None:
    """Return quietly if ``data`` has the tables of an outline font.

    Args:
        data: the whole file.
        member: which font of a collection, from 0.
    Raises: GeometryError: not a font, cut short, or without outlines, or damaged; says what it is and what would do.
    """
    tables = _directory(data, _start(data, member))
    missing = [t for t in _NEEDED if t not in tables]
    if missing:
        raise GeometryError(f"the font lacks the tables {', '.join(missing)}; use another copy of the file")
    has_outlines = ("glyf" in tables and "loca" in tables) or "CFF " in tables or "CFF2" in tables
    if not has_outlines:
        pictures = any(t in tables for t in _PICTURES)
        raise GeometryError(
            "the font holds pictures instead of outlines: nothing to cut; use a font with outlines"
            if pictures
            else "the font holds no outlines (glyf, CFF or CFF2); use another font"
        )
    _check_head(data, tables["head"])
    _check_sums(data, tables)


def _check_sums(data: bytes, tables: Mapping[str, _Table]) -> None:
    """Refuse a font of whose tables one does not sum to what the directory says: it would draw other letters."""
    for name, table in tables.items():
        if name not in _SHAPING:
            continue
        there = data[table.offset : table.offset + table.length]
        found = _sum(there)
        if name == "head":
            found -= unpack_from(">L", there, _ADJUSTMENT)[0]
        if found % 2**32 != table.checksum:
            raise GeometryError(
                f"table {name.strip()} of the font is damaged: its {table.length} bytes have the checksum "
                f"{found % 2**32:08X}, the file says {table.checksum:08X}; letters would come out wrong: use another "
                "copy of the file"
            )


def _sum(data: bytes) -> int:
    """Return the checksum of bytes, filled up with zeros to whole words."""
    whole = len(data) // 4
    words = np.frombuffer(data, ">u4", whole)
    return (int(words.sum(dtype=np.uint64)) + int.from_bytes(data[4 * whole :].ljust(4, b"\0"), "big")) % 2**32


def file_sum_doubt(data: bytes) -> str:
    """Return what to tell of a font whose tables are sound but whose whole does not sum up; empty if there is nothing.

    Some programs never write the whole's checksum right, so this refuses nothing. Collections have none.
    """
    if data[:4] == b"ttcf" or _sum(data) == _WHOLE_FILE:
        return ""
    return (
        "the tables that letters are drawn from are sound, but the checksum over the whole font file is not: look at "
        "the letters in the pictures, or use another copy of the file"
    )


def _start(data: bytes, member: int) -> int:
    """Return where the directory of the font begins."""
    for magic, what in _NOT_FONTS:
        if data.startswith(magic):
            raise GeometryError(f"the file is no font but {what}" if "font" not in what else f"the file is {what}")
    if not data:
        raise GeometryError("the font file is empty; use another copy of it")
    if data[:4] != b"ttcf":
        if member:
            raise GeometryError("`member` is for collections (TTC); this file holds one font: leave `member` out")
        return 0
    count = unpack_from(">L", _need(data, 0, 12), 8)[0]
    if not 0 < count <= _MOST_MEMBERS:
        raise GeometryError(f"the collection says it holds {count} fonts: it is damaged; use another copy of it")
    if member >= count:
        raise GeometryError(f"the collection holds {count} fonts; member: at most {count}")
    start: int = unpack_from(">L", _need(data, 12 + 4 * member, 4))[0]
    return start


def _need(data: bytes, at: int, size: int) -> bytes:
    """Return ``size`` bytes.

    Raises: GeometryError: the file ends before.
    """
    if at + size > len(data):
        raise GeometryError(f"the font file is cut short after {len(data)} bytes; use another copy of it")
    return data[at : at + size]


def _directory(data: bytes, at: int) -> Mapping[str, _Table]:
    """Return every table of the directory by tag."""
    if at + 12 > len(data) and data[:4] not in (b"\0\1\0\0", b"OTTO", b"true", b"ttcf"):
        raise GeometryError("the file is no font (TTF, OTF or TTC); name another file")
    magic, count = unpack_from(">4sH", _need(data, at, 12))
    if magic not in (b"\0\1\0\0", b"OTTO", b"true"):
        raise GeometryError("the file is no font (TTF, OTF or TTC); name another file")
    if count > _MOST_TABLES:
        raise GeometryError(f"the font says it has {count} tables: it is damaged; use another copy of it")
    records = _need(data, at + 12, 16 * count)
    tables = {}
    for k in range(count):
        tag, checksum, offset, length = unpack_from(">4sLLL", records, 16 * k)
        name = tag.decode("latin-1")
        if offset + length > len(data):
            raise GeometryError(
                f"the font file is cut short: its table {name!r} should end at byte {offset + length}, "
                f"the file ends at {len(data)}; use another copy of it"
            )
        tables[name] = _Table(offset, length, checksum)
    return tables


def _check_head(data: bytes, place: _Table) -> None:
    offset, length, _ = place
    if length < 54 or unpack_from(">L", data, offset + 12)[0] != _HEAD_MAGIC:
        raise GeometryError("the font's head table is damaged; use another copy of the file")
    per_em = unpack_from(">H", data, offset + 18)[0]
    if not 16 <= per_em <= 16384:
        raise GeometryError(
            f"the font says {per_em} units to the em, which must be 16 to 16384: it is damaged; use another copy"
        )
