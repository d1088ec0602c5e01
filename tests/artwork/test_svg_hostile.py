"""SVG files from strangers: nothing is fetched, expanded or run, and nothing takes long."""

from __future__ import annotations

import gzip
import random
from pathlib import Path

import pytest

from generator.artwork.svg import read_svg
from generator.artwork.svg_xml import DEEPEST, MOST_BYTES, MOST_ELEMENTS
from generator.base.errors import GeometryError
from generator.outline.measure import area
from tests.artwork.svg_files import HEAD, read, svg

FOLDER = Path(__file__).parents[1] / "data" / "svg"
SQUARE = '<rect width="9" height="9"/>'


def refused(data: bytes, told: str) -> None:
    with pytest.raises(GeometryError, match=told):
        read_svg(data)


# ------------------------------------------------------------------ entities
def laughs(depth: int) -> bytes:
    rows = "".join(f'<!ENTITY a{k} "{f"&a{k - 1};" * 10}">' for k in range(1, depth))
    return f'<!DOCTYPE svg [<!ENTITY a0 "ha">{rows}]><svg {HEAD}><text>&a{depth - 1};</text>{SQUARE}</svg>'.encode()


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (laughs(12), "line 1 of the SVG file: the DOCTYPE declares something of its own: take it out"),
        (
            f'<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/hostname">]>\n<svg {HEAD}><text>&x;</text></svg>'.encode(),
            "the DOCTYPE declares something of its own",
        ),
        (f'<!DOCTYPE svg [<!ENTITY % p SYSTEM "http://example.invalid/p">%p;]><svg {HEAD}/>'.encode(), "declares"),
        (f'<!DOCTYPE svg SYSTEM "x.dtd">\n<svg {HEAD}>\n<text>&nbsp;</text></svg>'.encode(), "line 3 .*'nbsp'"),
        (f"<svg {HEAD}>&who;</svg>".encode(), "undefined entity"),
    ],
)
def test_entities_are_refused(data, told):
    refused(data, told)


def test_a_doctype_that_only_names_itself_is_not_fetched():
    head = '<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://example.invalid/svg11.dtd">'
    assert area(read_svg(head.encode() + svg(SQUARE)).region) == pytest.approx(81)


# ------------------------------------------------------------------ other files, scripts
def test_what_reaches_out_is_left_out_and_told():
    found = read(
        f'{SQUARE}<script>go()</script>\n<image href="http://example.invalid/x.png" width="5" height="5"/>\n'
        '<use href="other.svg#a"/><use href="file:///etc/passwd"/><foreignObject><rect/></foreignObject>\n'
        '<text x="1" y="5">name</text><use href="#none"/><use/><set attributeName="x" to="4"/>'
    )
    assert area(found.region) == pytest.approx(81)
    assert set(found.left_out) == {
        "1 script left out (first in line 2)",
        "1 image left out (first in line 3): trace pictures, or give them as `picture`",
        "2 reference to another file left out (first in line 4)",
        "1 foreignObject left out (first in line 4)",
        "1 text left out (first in line 5): convert letters to paths in your drawing program",
        "1 reference to #none, which is not there, left out (first in line 5)",
        "1 reference to nothing left out (first in line 5)",
        "1 set left out (first in line 5)",
    }


def test_nothing_but_letters_says_so():
    refused(
        svg("<text>name</text>"),
        r"no paths or shapes .* \(1 text left out \(first in line 2\): convert letters to paths",
    )


def test_shades_are_told():
    found = read(
        '<linearGradient id="g"><stop stop-color="#111"/><stop offset="1" stop-color="#333"/></linearGradient>'
        '<rect width="9" height="9" fill="url(#g)"/>'
    )
    assert area(found.region) == pytest.approx(81)
    assert {t.split(" left")[0] for t in found.left_out} == {"1 shades of a linearGradient"}


# ------------------------------------------------------------------ too much
@pytest.mark.parametrize(
    ("body", "told"),
    [
        ('<g id="a"><use href="#a"/></g>', "line 2 .*an element refers to itself"),
        ('<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>', "refers to itself"),
        ('<use id="a" href="#a"/>', "refers to itself"),
        ('<symbol id="a"><use href="#a"/></symbol><use href="#a"/>', "refers to itself"),
        ('<clipPath id="a" clip-path="url(#a)"><rect width="1" height="1"/></clipPath>'
         '<rect width="9" height="9" clip-path="url(#a)"/>', "refers to itself"),
        ("<g>" * 70 + SQUARE + "</g>" * 70, f"more than {DEEPEST} deep"),
        (SQUARE * (MOST_ELEMENTS + 1), f"more than {MOST_ELEMENTS} elements"),
        ('<g id="g0"><rect width="1" height="1"/></g>' + "".join(
            f'<g id="g{k}">{f"""<use href="#g{k - 1}"/>""" * 10}</g>' for k in range(1, 12)), "draw more than"),
        ('<g id="g0"/>' + "".join(
            f'<g id="g{k}">{f"""<use href="#g{k - 1}"/>""" * 10}</g>' for k in range(1, 12)), "draw more than"),
        ("<defs>" + "".join(f'<g id="u{k}"><use href="#u{k + 1}"/></g>' for k in range(400)) + "</defs>"
         '<use href="#u0"/>', "deep within each other"),
        ('<path d="M0 0' + "l1 1 0 1" * 500_000 + 'z"/>', "more than 100000 segments"),
        ('<polygon points="' + "1 2 3 4 " * 500_000 + '"/>', "more than 100000 segments"),
        ('<path d="M0 0' + "c1 1 2 1 0 0" * 30_000 + 'z"/>', "far more curves"),
        ('<path fill="none" stroke="red" d="M0 0' + "c1 1 2 1 0 0" * 7_000 + '"/>',
         "a stroke of 7000 curves: .* at least 42000 lines and arcs"),
        ('<g transform="scale(2 1)"><path fill="none" stroke="red" d="M0 0' + "c1 1 2 1 0 0" * 2_400 + '"/></g>',
         "a stroke of 2400 curves stretched more one way than the other: .* at least 12000 curves, and 10000 are left"),
        ('<path d="M0 0' + "".join(f"L{x * 7919 % 997} {x * 104729 % 991}" for x in range(3000)) + 'z"/>', "cross one"),
        ('<path d="M0 0h9000" stroke="black" stroke-dasharray=".001"/>', "more than 5000 dashes"),
        ("".join(f'<circle r="{9000 + k / 9}"/>' for k in range(2000)), "facets"),
        ("<style>" + ".a{fill:red}" * 20_000 + "</style>", "more than 10000 style rules"),
        ("<style>" + ".a{fill:red}" * 9_000 + "</style>" + '<rect class="a"/>' * 2_000, "tried millions of times"),
    ],
    ids=lambda v: v[:40],
)  # fmt: skip
def test_too_much_is_refused(body, told):
    refused(svg(body), told)


@pytest.mark.parametrize(
    "sign", [" ", "1", ".", "-", "e", "rotate", "(", "a,", "!", "/*", "#a", ".a", "1 ", "{", "@x{"]
)
@pytest.mark.parametrize("place", ["transform", "width", "fill", "style", "d", "viewBox", "stroke-dasharray", "class"])
def test_values_of_a_million_signs_take_no_time(sign, place):
    """Not timed: what is tried again and again from every sign on would take hours here."""
    value = sign * (400_000 // len(sign)) + "?"
    body = f'<rect width="9" height="9"/><rect width="9" height="9" stroke="red" {place}="{value}"/>'
    if place == "style":
        body += f"<style>{value.replace('<', '')}</style><rect style='fill:{value}'/>"
    try:
        read(body.replace('width="9" height="9" stroke="red" width', 'height="9" stroke="red" width'))
    except GeometryError:
        return


def test_large_files_are_refused():
    refused(b"<svg " + b" " * (MOST_BYTES + 9), "more than 16 MB")
    refused(gzip.compress(b"<svg>" + b" " * (40 * MOST_BYTES)), "more than 16 MB")
    refused(gzip.compress(svg(SQUARE))[:-12], "cut off")
    refused(b"\x1f\x8bnothing", "damaged")


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"", "empty"),
        (b"<", "not well-formed"),
        (b"<svg", "not well-formed"),
        (b"<html><body/></html>", "outermost element is html: this is not an SVG file"),
        (b"<svg/>", "without its namespace"),
        (b'<svg xmlns="http://www.w3.org/2000/svg">', "not well-formed"),
        (
            b'<?xml version="1.0" encoding="shift-jis"?><svg xmlns="http://www.w3.org/2000/svg"/>',
            "encoding|has an area",
        ),
        (b'<?xml version="1.0" encoding="nothing-9"?><svg/>', "line 1"),
        (b"\xff\xfe<\x00", "not well-formed"),
        (svg(SQUARE)[:-4], "not well-formed"),
        (svg('<rect x="1" x="2"/>'), "duplicate attribute"),
    ],
)
def test_other_files_are_refused_kindly(data, told):
    refused(data, told)


# ------------------------------------------------------------------ damage
@pytest.mark.parametrize("name", ["commands", "strokes", "styles", "uses", "clips"])
def test_damaged_bytes_never_anything_but_our_own_error(name):
    source = (FOLDER / f"{name}.svg").read_bytes()
    chance = random.Random(name)
    for _ in range(60):
        data = bytearray(source)
        for _ in range(chance.choice([1, 1, 3])):
            at = chance.randrange(len(data))
            if chance.random() < 0.5:
                data[at] = chance.choice(b'0123456789-.eEzZaAcC "<>&;#%(,{')
            else:
                del data[at : at + chance.randrange(1, 12)]
        try:
            read_svg(bytes(data))
        except GeometryError:
            continue


def test_cut_anywhere_never_anything_but_our_own_error():
    source = (FOLDER / "uses.svg").read_bytes()
    for at in range(0, len(source) - 8, 23):
        with pytest.raises(GeometryError):
            read_svg(source[:at])
