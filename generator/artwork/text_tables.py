"""Is this a font that letters can be cut from? Judged by its table directory, before any library sees it.

Layout of the directory: ISO/IEC 14496-22 (Open Font Format), clauses 4.5 and 4.6: a header of 12 bytes, then 16 bytes
a table (tag, checksum, offset, length); a collection (``ttcf``) lists the offsets of its members' directories.
"""

from __future__ import annotations

from collections.abc import Mapping
from struct import unpack_from
from typing import Final

from generator.base.errors import GeometryError

__all__ = ["check_font_tables"]

_MOST_TABLES: Final = 512
_MOST_MEMBERS: Final = 256
"""Chosen; the fonts of this world have a few dozen of either."""
_HEAD_MAGIC: Final = 0x5F0F3CF5
_NEEDED: Final = ("cmap", "head", "hhea", "hmtx", "maxp")
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


def check_font_tables(data: bytes, member: int) -> None:
    """Return quietly if ``data`` has the tables of an outline font.

    Args:
        data: the whole file.
        member: which font of a collection, from 0.
    Raises: GeometryError: not a font, cut short, or without outlines; says what it is and what would do.
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


def _directory(data: bytes, at: int) -> Mapping[str, tuple[int, int]]:
    """Return offset and length of every table by tag."""
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
        tag, _, offset, length = unpack_from(">4sLLL", records, 16 * k)
        name = tag.decode("latin-1")
        if offset + length > len(data):
            raise GeometryError(
                f"the font file is cut short: its table {name!r} should end at byte {offset + length}, "
                f"the file ends at {len(data)}; use another copy of it"
            )
        tables[name] = (offset, length)
    return tables


def _check_head(data: bytes, place: tuple[int, int]) -> None:
    offset, length = place
    if length < 54 or unpack_from(">L", data, offset + 12)[0] != _HEAD_MAGIC:
        raise GeometryError("the font's head table is damaged; use another copy of the file")
    per_em = unpack_from(">H", data, offset + 18)[0]
    if not 16 <= per_em <= 16384:
        raise GeometryError(
            f"the font says {per_em} units to the em, which must be 16 to 16384: it is damaged; use another copy"
        )
