"""Where letters stand, against HarfBuzz's own answer and against fontTools' reading of hmtx and GPOS."""

from __future__ import annotations

import io
import unicodedata

import pytest
import uharfbuzz as hb
from fontTools.ttLib import TTFont

from generator.artwork.text_faces import SHIPPED, shipped_font
from generator.artwork.text_font import open_font
from generator.artwork.text_shaping import shape_line
from generator.base.errors import GeometryError
from tests.artwork.text_fonts import BLANK, OUTER, box_font, layered_font

TEXTS = ["AVATAR", "To Wave, LT.", "office fjord", "Plot 21/B & Co.", "Žluťoučký", "Ωmega кВт 7", "שלום", "سلام"]


def by_harfbuzz(data: bytes, text: str, features: dict, direction: str):
    """Return glyphs, positions and advances in font units at HarfBuzz's plain scale."""
    font = hb.Font(hb.Face(data))
    buffer = hb.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    assert buffer.direction == direction
    hb.shape(font, buffer, features)
    at, out = 0, []
    for info, p in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        out.append((info.codepoint, at + p.x_offset, p.y_offset, p.x_advance))
        at += p.x_advance
    return out


@pytest.mark.parametrize("text", TEXTS)
@pytest.mark.parametrize("features", [{}, {"kern": False}, {"liga": False}], ids=str)
def test_positions_are_harfbuzz_own(text, features):
    data = shipped_font("sans")
    per_em = TTFont(io.BytesIO(data))["head"].unitsPerEm
    direction = "rtl" if unicodedata.bidirectional(text[0]) in ("R", "AL") else "ltr"
    line = shape_line(open_font(data), text, features)
    ours = [(g.glyph, g.x * per_em, g.y * per_em, g.advance * per_em) for g in line.glyphs]
    if len(line.scripts) == 1:
        for mine, theirs in zip(ours, by_harfbuzz(data, text, features, direction), strict=True):
            assert mine == pytest.approx(theirs, abs=1e-6)
    else:  # runs of one script each; no kerning between them in this text
        assert line.advance * per_em == pytest.approx(
            sum(g[3] for run in runs(text) for g in by_harfbuzz(data, run, features, "ltr")), abs=1e-6
        )


def runs(text: str) -> list[str]:
    """The runs of the one text that mixes scripts; a blank belongs to what stands before it."""
    assert text == "Ωmega кВт 7"
    return ["Ω", "mega ", "кВт 7"]


def kerning(font: TTFont, left: str, right: str) -> int:
    """Return what GPOS kern adds between two glyphs, read table by table."""
    gpos = font["GPOS"].table
    latin = next(r.Script for r in gpos.ScriptList.ScriptRecord if r.ScriptTag == "latn")
    wanted = [gpos.FeatureList.FeatureRecord[i] for i in latin.DefaultLangSys.FeatureIndex]
    for lookup in (
        gpos.LookupList.Lookup[i] for f in wanted if f.FeatureTag == "kern" for i in f.Feature.LookupListIndex
    ):
        for sub in lookup.SubTable:
            sub = getattr(sub, "ExtSubTable", sub)
            if sub.LookupType != 2 or left not in sub.Coverage.glyphs:
                continue
            if sub.Format == 1:
                pairs = sub.PairSet[sub.Coverage.glyphs.index(left)].PairValueRecord
                hit = next((p for p in pairs if p.SecondGlyph == right), None)
                if hit:
                    return hit.Value1.XAdvance if hit.Value1 else 0
            else:
                record = sub.Class1Record[sub.ClassDef1.classDefs.get(left, 0)]
                value = record.Class2Record[sub.ClassDef2.classDefs.get(right, 0)].Value1
                return (getattr(value, "XAdvance", 0) or 0) if value else 0
    return 0


@pytest.mark.parametrize("face", ["sans", "sans bold", "serif", "mono"])
def test_advances_and_kerning_are_those_of_the_tables(face):
    data = shipped_font(face)
    font = TTFont(io.BytesIO(data))
    per_em, hmtx, cmap = font["head"].unitsPerEm, font["hmtx"], font.getBestCmap()
    kerned = 0
    for text in ("AVATAR", "Typo", "LTAYW", "Rosette", "Vox"):
        names = [cmap[ord(c)] for c in text]
        line = shape_line(open_font(data), text, {})
        assert [font.getGlyphOrder()[g.glyph] for g in line.glyphs] == names
        at = 0
        for k, (glyph, name) in enumerate(zip(line.glyphs, names, strict=True)):
            assert glyph.x * per_em == pytest.approx(at, abs=1e-6)
            between = kerning(font, name, names[k + 1]) if k + 1 < len(names) and "GPOS" in font else 0
            kerned += between != 0
            at += hmtx[name][0] + between
    assert kerned > 5 or face == "mono"


def test_ligature_is_shaped_and_switched_off():
    font = open_font(shipped_font("sans"))
    assert len(shape_line(font, "fi", {}).glyphs) == 1
    assert len(shape_line(font, "fi", {"liga": False}).glyphs) == 2


def test_right_to_left_stands_in_order_of_reading():
    line = shape_line(open_font(shipped_font("sans")), "שלום", {})
    clusters = [g.cluster for g in sorted(line.glyphs, key=lambda g: g.x)]
    assert clusters == [3, 2, 1, 0]


def test_arabic_letters_are_joined():
    """The forms of the middle are other glyphs than the letters alone."""
    font = open_font(shipped_font("sans"))
    joined = {g.glyph for g in shape_line(font, "بيت", {}).glyphs}
    assert joined.isdisjoint({font.glyph_of(c) for c in "بيت"})


def test_marks_sit_over_their_letters():
    font = open_font(shipped_font("sans"))
    line = shape_line(font, "x\u0301", {})
    assert len(line.glyphs) == 2
    assert line.glyphs[1].advance == 0
    assert shape_line(font, "e\u0301", {}).glyphs == shape_line(font, "é", {}).glyphs


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("漢x字", "lacks 漢 (U+6F22), 字 (U+5B57)"),
        ("a\tb", "control characters have no shape: U+0009; take them out; use blanks"),
        ("a\u202eb", "control characters have no shape: U+202E (right-to-left override)"),
        ("\u0301a", "stand on no letter"),
        ("a \u0308", "stand on no letter"),
        ("שלום 12", "right-to-left line holds 1 (U+0031), 2 (U+0032)"),
        ("שלום abc", "right-to-left line holds a (U+0061)"),
        ("\U0001f9c7", "an emoji is a picture"),
    ],
)
def test_what_cannot_be_a_shape_is_named(text, says):
    with pytest.raises(GeometryError) as told:
        shape_line(open_font(shipped_font("sans")), text, {})
    assert says in str(told.value)


def test_face_that_has_the_character_is_named():
    lacking = "\u0621"  # hamza: the serif face has no Arabic
    assert ord(lacking) not in open_font(shipped_font("serif")).characters
    with pytest.raises(GeometryError, match="face: sans"):
        shape_line(open_font(shipped_font("serif")), lacking, {})


def test_coloured_and_empty_glyphs_are_refused():
    with pytest.raises(GeometryError, match=r"O \(U\+004F\) is a coloured picture"):
        shape_line(open_font(layered_font()), "HO", {})
    with pytest.raises(GeometryError, match=r"no outline for X \(U\+0058\)"):
        shape_line(open_font(box_font([OUTER], more={"X": BLANK})), "HX", {})


def test_mark_of_a_font_without_anchors_is_placed_by_the_boxes_of_letter_and_mark():
    far = [(2000, 900), (2000, 950), (2050, 950), (2050, 900)]
    font = open_font(box_font([OUTER], more={"\u0301": [far]}))
    glyphs = shape_line(font, "H\u0301", {}).glyphs
    assert glyphs[1].x + 2.025 == pytest.approx(0.25, abs=0.06)


def test_mark_that_the_font_does_not_place_is_refused():
    """The font has anchors for a dot below, none for an acute, which stays where it was drawn: far from its letter."""
    far = [(2000, 900), (2000, 950), (2050, 950), (2050, 900)]
    features = """
        markClass uni0323 <anchor 0 0> @below;
        feature mark { pos base H <anchor 250 0> mark @below; } mark;
    """
    data = box_font([OUTER], more={"\u0301": [far], "\u0323": [OUTER]}, features=features)
    font = open_font(data)
    assert shape_line(font, "H\u0323", {}).glyphs[1].x == pytest.approx(0.25)
    with pytest.raises(GeometryError, match=r"does not say where U\+0301 \(combining acute accent\) sits on H"):
        shape_line(font, "H\u0301", {})


@pytest.mark.parametrize("face", SHIPPED)
def test_every_shipped_face_opens(face):
    font = open_font(shipped_font(face))
    assert font.cap_height == pytest.approx(0.729, abs=0.001)
    assert font.runs_as_it_should
