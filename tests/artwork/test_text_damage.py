"""Files that are no fonts, and fonts that are damaged: refused in our own words, quickly, and never a crash."""

from __future__ import annotations

import random
from struct import pack

import pytest

from generator.artwork.text_faces import shipped_font
from generator.artwork.text_font import open_font
from generator.artwork.text_setting import Setting, Size, set_text
from generator.base.errors import GeometryError
from generator.outline.predicates import explain_contour
from generator.outline.region import Region
from tests.artwork.text_fonts import INNER, OUTER, box_font, builder, bytes_of, collection, layered_font, variable_font

SMALL = {
    "ttf": box_font([OUTER, INNER]),
    "otf": box_font([OUTER, INNER], cff=True),
    "variable": variable_font(),
    "ttc": collection(),
    "colours": layered_font(),
}


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
        sound_or_refused(bytes(altered), variation=chance.choice([(), (("wght", 500.0),)]))


def test_altered_bytes_of_a_large_font():
    """Mostly in the tables that letters are read from."""
    chance, data = random.Random(8), shipped_font("mono")
    tables = [data.index(tag) for tag in (b"glyf", b"loca", b"GSUB", b"GPOS", b"cmap", b"hmtx")]
    for k in range(60):
        altered = bytearray(data)
        start = int.from_bytes(data[tables[k % 6] + 8 : tables[k % 6] + 12], "big")
        size = int.from_bytes(data[tables[k % 6] + 12 : tables[k % 6] + 16], "big")
        for _ in range(400):
            altered[start + chance.randrange(size)] = chance.randrange(256)
        sound_or_refused(bytes(altered), "Hé fi Ω")


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
