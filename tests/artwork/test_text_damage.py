"""Files that are no fonts, and fonts that are damaged: refused in our own words, quickly, and never a crash."""

from __future__ import annotations

import io
import random
from struct import pack, unpack_from

import pytest

from generator.artwork.text_faces import SHIPPED, shipped_font
from generator.artwork.text_font import open_font
from generator.artwork.text_setting import Setting, Size, set_text
from generator.artwork.text_tables import check_font_tables, file_sum_doubt
from generator.base.errors import GeometryError
from generator.outline.predicates import explain_contour
from generator.outline.region import Region
from tests.artwork.text_fonts import (
    INNER,
    OUTER,
    box_font,
    builder,
    bytes_of,
    collection,
    layered_font,
    summed,
    variable_font,
)

SMALL = {
    "ttf": box_font([OUTER, INNER]),
    "otf": box_font([OUTER, INNER], cff=True),
    "variable": variable_font(),
    "ttc": collection(),
    "colours": layered_font(),
}


NAMES = ("glyf", "loca", "GSUB", "GPOS", "cmap", "hmtx")


def letters(data: bytes, text: str = "HO", **more) -> Region:
    return set_text(Setting(text=text, font=data, features={}, **more), Size(em=10))


def sound_or_refused(data: bytes, text: str = "HO", **more) -> str:
    try:
        region = letters(data, text, **more)
    except GeometryError as error:
        return str(error)
    assert all(explain_contour(c) is None for c in region)
    return ""


@pytest.mark.parametrize("name", SMALL)
def test_cut_short_at_every_length(name):
    data = SMALL[name]
    told = [sound_or_refused(data[:n]) for n in range(len(data))]
    # what is cut off at the very end may be padding, or the other font of a collection
    assert all(told[: int(0.5 * len(data))])
    assert "empty" in told[0]
    assert "no font" in told[3]
    assert "cut short" in told[20]


@pytest.mark.parametrize("name", SMALL)
def test_altered_bytes(name):
    chance, data = random.Random(7), SMALL[name]
    for _ in range(60):
        altered = bytearray(data)
        for _ in range(chance.choice([1, 3, 20])):
            altered[chance.randrange(len(data))] = chance.choice([0, 255, chance.randrange(256)])
        for made in (bytes(altered), summed(bytes(altered))):  # damage, and what somebody made so
            sound_or_refused(made, variation=chance.choice([(), (("wght", 500.0),)]))


def test_altered_bytes_of_a_large_font():
    """Mostly in the tables that letters are read from."""
    chance, data = random.Random(8), shipped_font("mono")
    tables = [data.index(name.encode()) for name in NAMES]
    for k in range(60):
        altered = bytearray(data)
        start = int.from_bytes(data[tables[k % 6] + 8 : tables[k % 6] + 12], "big")
        size = int.from_bytes(data[tables[k % 6] + 12 : tables[k % 6] + 16], "big")
        for _ in range(400):
            altered[start + chance.randrange(size)] = chance.randrange(256)
        assert f"table {NAMES[k % 6]} of the font is damaged" in sound_or_refused(bytes(altered), "Hé fi Ω")
        sound_or_refused(summed(bytes(altered)), "Hé fi Ω")


def places(data: bytes, start: int = 0) -> dict[str, tuple[int, int]]:
    """Where each table lies and how long it is, by tag."""
    count = unpack_from(">H", data, start + 4)[0]
    rows = (unpack_from(">4sLLL", data, start + 12 + 16 * k) for k in range(count))
    return {tag.decode(): (offset, length) for tag, _, offset, length in rows}


def flipped(data: bytes, at: int) -> bytes:
    return data[:at] + bytes([data[at] ^ 0x14]) + data[at + 1 :]


@pytest.mark.parametrize("name", SMALL)
def test_one_bit_in_any_table_that_shapes_letters_is_refused(name):
    data = SMALL[name]
    member = int.from_bytes(data[12:16], "big") if name == "ttc" else 0
    told = set()
    for tag, (offset, length) in places(data, member).items():
        if tag not in ("DSIG", "OS/2", "name", "post", "STAT", "COLR", "CPAL", "head"):
            for at in {offset, offset + length // 2, offset + length - 1}:
                assert f"table {tag.strip()} of the font is damaged: its {length} bytes" in sound_or_refused(
                    flipped(data, at)
                )
                told.add(tag)
    assert told >= {"cmap", "hhea", "hmtx", "maxp"} | ({"CFF "} if name == "otf" else {"glyf", "loca"})
    head = places(data, member)["head"][0]
    assert "table head of the font is damaged" in sound_or_refused(flipped(data, head + 30))


def test_every_single_byte_of_a_letter_counts():
    from fontTools.ttLib import TTFont

    data = shipped_font("sans")
    font = TTFont(io.BytesIO(data))
    loca, glyf = font["loca"], places(data)["glyf"][0]
    glyph = font.getGlyphID(font.getBestCmap()[ord("S")])
    for at in range(glyf + loca[glyph], glyf + loca[glyph + 1], 7):
        assert "table glyf of the font is damaged" in sound_or_refused(flipped(data, at), "S")


def test_damage_where_no_letter_comes_from_is_let_pass():
    data = SMALL["ttf"]
    for tag in ("name", "OS/2", "post"):
        offset, length = places(data)[tag]
        assert sound_or_refused(flipped(data, offset + length - 1)) == ""


def test_the_sum_of_the_whole_file_refuses_nothing_but_is_told():
    data = SMALL["ttf"]
    adjusted = places(data)["head"][0] + 8
    assert sound_or_refused(flipped(data, adjusted)) == ""
    assert file_sum_doubt(data) == ""
    assert "checksum over the whole font file" in file_sum_doubt(flipped(data, adjusted))
    assert file_sum_doubt(SMALL["ttc"]) == ""


@pytest.mark.parametrize("word", SHIPPED)
def test_shipped_faces_are_sound(word):
    check_font_tables(shipped_font(word), 0)
    assert file_sum_doubt(shipped_font(word)) == ""


def test_random_bytes_behind_a_good_beginning():
    chance = random.Random(9)
    for magic in (b"", b"\0\1\0\0", b"OTTO", b"ttcf", b"true"):
        for size in (5, 40, 3000):
            told = sound_or_refused(magic + chance.randbytes(size))
            assert "font" in told
            assert "another" in told


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "empty"),
        (b"hello there", "is no font (TTF, OTF or TTC)"),
        (b"wOF2" + bytes(50), "packed for the web (WOFF2): unpack it"),
        (b"%!PS-AdobeFont-1.0", "Type 1 font: convert it"),
        (b"\x89PNG\r\n\x1a\n", "a picture; name a TTF or OTF file"),
        (b"%PDF-1.7", "a PDF; name a TTF"),
        (b"PK\x03\x04", "ZIP archive: unpack it"),
        (b"\0\1\0\0" + pack(">HHHH", 60000, 0, 0, 0), "60000 tables: it is damaged"),
        (b"ttcf" + pack(">LL", 0x10000, 99999), "99999 fonts: it is damaged"),
    ],
)
def test_no_font_is_told_what_it_is(data, says):
    assert says in sound_or_refused(data)


def test_fonts_of_pictures_or_nothing():
    font = builder({"H": [OUTER], "O": [OUTER]}, {ord("H"): "H", ord("O"): "O"}).font
    from fontTools.ttLib import newTable

    for tag, says in (("CBDT", "pictures instead of outlines"), ("zzzz", "holds no outlines")):
        for other in ("CBDT", "zzzz", "glyf", "loca"):
            if other in font and other != tag:
                del font[other]
        font[tag] = newTable("zzzz")
        font[tag].data = b"\0" * 8
        if tag == "CBDT":
            font[tag].compile = lambda _: b"\0" * 8
        assert says in sound_or_refused(bytes_of(font))


def test_letters_of_very_many_curves_are_refused():
    zigzag = [(k, (k * 37) % 700) for k in range(6000)]
    assert "6000 curves, more than 5000" in sound_or_refused(box_font([zigzag]))


def test_members_and_axes_that_are_not_there():
    assert "holds 2 fonts; member: at most 2" in sound_or_refused(SMALL["ttc"], member=4)
    assert "no axis `wdth`; there are: wght (100 to 900)" in sound_or_refused(
        SMALL["variable"], variation=(("wdth", 5.0),)
    )
    assert "wght: 100 to 900" in sound_or_refused(SMALL["variable"], variation=(("wght", 950.0),))


def test_capitals_without_height_do_not_set_a_size():
    flat = box_font([OUTER])
    font = builder({"H": [[(0, 0), (1, 1), (500, 0)]], "O": [OUTER]}, {ord("H"): "H", ord("O"): "O"}).font
    assert open_font(flat).cap_height == pytest.approx(0.7)
    with pytest.raises(GeometryError, match="no capitals to measure `cap_height` on: give `em`"):
        set_text(Setting(text="O", font=bytes_of(font), features={}), Size(cap_height=5))


@pytest.mark.parametrize("name", ["ttf", "otf", "variable", "ttc"])
def test_whole_fonts_are_read(name):
    assert sound_or_refused(SMALL[name]) == ""
