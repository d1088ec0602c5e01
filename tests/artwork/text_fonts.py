"""Small fonts of our own making, built while the tests run: square letters whose every figure is known.

All have 1,000 units to the em and capitals 700 high. Letters are boxes 500 wide and may have
a hole of 100 to 400 by 100 to 600.
"""

from __future__ import annotations

import io
import struct
from functools import cache

from fontTools.designspaceLib import AxisDescriptor, DesignSpaceDocument, SourceDescriptor
from fontTools.feaLib.builder import addOpenTypeFeaturesFromString
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.t2CharStringPen import T2CharStringPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTCollection, TTFont

OUTER = [(0, 0), (0, 700), (500, 700), (500, 0)]
INNER = [(100, 100), (400, 100), (400, 600), (100, 600)]
BLANK: list = []
Contours = list[list[tuple[float, float]]]


def drawn(pen, contours: Contours):
    for contour in contours:
        pen.moveTo(contour[0])
        for point in contour[1:]:
            pen.lineTo(point)
        pen.closePath()
    return pen


def bytes_of(font) -> bytes:
    out = io.BytesIO()
    font.save(out)
    return out.getvalue()


def builder(glyphs: dict[str, Contours], characters: dict[int, str], *, cff: bool = False) -> FontBuilder:
    order = [".notdef", *glyphs]
    fb = FontBuilder(1000, isTTF=not cff)
    fb.setupGlyphOrder(order)
    fb.setupCharacterMap(characters)
    every = {".notdef": [OUTER], **glyphs}
    if cff:
        strings = {n: drawn(T2CharStringPen(600, None), c).getCharString() for n, c in every.items()}
        fb.setupCFF("Boxes", {}, strings, {})
    else:
        fb.setupGlyf({n: drawn(TTGlyphPen(None), c).glyph() for n, c in every.items()})
    left = {n: min((x for c in every[n] for x, _ in c), default=0) for n in order}
    fb.setupHorizontalMetrics({n: (600 if every[n] else 300, left[n]) for n in order})
    fb.setupHorizontalHeader(ascent=800, descent=-200)
    fb.setupNameTable({"familyName": "Boxes", "styleName": "Regular"})
    fb.setupOS2(sCapHeight=700)
    fb.setupPost()
    return fb


def box_font(
    contours: Contours, *, cff: bool = False, more: dict[str, Contours] | None = None, features: str = ""
) -> bytes:
    """O is these contours; more glyphs by their characters, named uniXXXX; features in the words of feature files."""
    added = {f"uni{ord(c):04X}": (c, outline) for c, outline in (more or {}).items()}
    glyphs = {"H": [OUTER], "O": contours, "space": BLANK, **{n: outline for n, (_, outline) in added.items()}}
    characters = {ord("H"): "H", ord("O"): "O", ord(" "): "space", **{ord(c): n for n, (c, _) in added.items()}}
    fb = builder(glyphs, characters, cff=cff)
    if features:
        addOpenTypeFeaturesFromString(fb.font, features)
    return bytes_of(fb.font)


@cache
def variable_font() -> bytes:
    """An axis wght from 100 to 900: H is a box 100 to 500 wide; O are two boxes that overlap but at the lightest."""
    from fontTools.varLib import build

    def master(width: int) -> TTFont:
        def box(x0, x1):
            return [(x0, 0), (x0, 700), (x1, 700), (x1, 0)]

        glyphs = {"H": [box(0, width)], "O": [box(0, width), box(200, 200 + width)], "space": BLANK}
        return builder(glyphs, {ord("H"): "H", ord("O"): "O", ord(" "): "space"}).font

    space = DesignSpaceDocument()
    space.addAxis(AxisDescriptor(tag="wght", name="Weight", minimum=100, default=100, maximum=900))
    for weight, width in ((100, 100), (900, 500)):
        space.addSource(SourceDescriptor(font=master(width), location={"Weight": weight}))
    return bytes_of(build(space)[0])


def collection() -> bytes:
    ttc = TTCollection()
    ttc.fonts = [TTFont(io.BytesIO(box_font([OUTER]))), TTFont(io.BytesIO(box_font([OUTER, INNER])))]
    return bytes_of(ttc)


def layered_font() -> bytes:
    """O is painted in two colours (COLR version 0)."""
    fb = builder({"H": [OUTER], "O": [OUTER], "l0": [OUTER], "l1": [INNER]}, {ord("H"): "H", ord("O"): "O"})
    fb.setupCOLR({"O": [("l0", 0), ("l1", 1)]})
    fb.setupCPAL([[(1, 0, 0, 1), (0, 0, 1, 1)]])
    return bytes_of(fb.font)


def summed(data: bytes) -> bytes:
    """The same font with the checksum of every table made right again, as far as its directories can be read."""
    out = bytearray(data)
    starts = [0]
    if data[:4] == b"ttcf" and len(data) >= 12:
        count = min(int.from_bytes(data[8:12], "big"), (len(data) - 12) // 4)
        starts = list(struct.unpack_from(f">{count}L", data, 12))
    for start in starts:
        count = int.from_bytes(data[start + 4 : start + 6], "big")
        for at in range(start + 12, min(start + 12 + 16 * count, len(data) - 15), 16):
            offset, length = struct.unpack_from(">LL", data, at + 8)
            table = bytearray(out[offset : offset + length])
            if data[at : at + 4] == b"head":
                table[8:12] = bytes(4)
            table += bytes(-len(table) % 4)
            struct.pack_into(">L", out, at + 4, sum(struct.unpack(f">{len(table) // 4}L", table)) % 2**32)
    return bytes(out)
