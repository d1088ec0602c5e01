"""Damaged DXF files: what is read as something else by a reader that repairs must be told, with the line."""

from __future__ import annotations

import io
import logging
import re
import time

import ezdxf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.artwork.dxf import outline_from_dxf, read_dxf
from generator.artwork.dxf_load import quiet
from generator.artwork.dxf_numbers import Sort, is_sound
from generator.base.errors import ContourError, GeometryError
from generator.outline.measure import area

SQUARE = [(0, 0), (40, 0), (40, 30.9), (0, 30.9)]


def entity(kind: str, *values: object) -> str:
    """Return an entity from group codes and values in turn."""
    mark = {"LWPOLYLINE": "AcDbPolyline", "SPLINE": "AcDbSpline", "ELLIPSE": "AcDbEllipse"}.get(kind)
    return "".join(f"{v}\n" for v in (0, kind, *((100, "AcDbEntity", 8, 0, 100, mark) if mark else ()), *values))


def line(a, b, *more: object) -> str:
    return entity("LINE", 8, 0, 10, a[0], 20, a[1], 11, b[0], 21, b[1], *more)


def ring(points) -> str:
    return "".join(line(a, b) for a, b in zip(points, [*points[1:], points[0]], strict=True))


def section(name: str, body: str) -> str:
    return f"0\nSECTION\n2\n{name}\n{body}0\nENDSEC\n"


def file(entities: str, *, blocks: str = "", header: str = "9\n$INSUNITS\n70\n4\n", tables: str = "") -> bytes:
    parts = [section("HEADER", "9\n$ACADVER\n1\nAC1015\n" + header)]
    parts += [section("TABLES", tables)] if tables else []
    parts += [section("BLOCKS", blocks)] if blocks else []
    return ("".join(parts) + section("ENTITIES", entities) + "0\nEOF\n").encode()


def polyline(points, **codes: object) -> str:
    flat = [x for p in points for x in (10, p[0], 20, p[1])]
    count = codes.pop("count", len(points))
    return entity("LWPOLYLINE", 90, count, 70, 1, *flat)


def refused(data: bytes, match: str) -> None:
    with pytest.raises(GeometryError, match=match):
        outline_from_dxf(data)


# ------------------------------------------------------------------ numbers
DAMAGED = {
    "-30,9": r"'-30,9'.*if -30\.9 is meant",
    "26.O": r"'26\.O'.*if 26\.0 is meant",
    "l2.5": r"'l2\.5'.*if 12\.5 is meant",
    "3 0.9": r"'3 0\.9'.*if 30\.9 is meant",
    "1.2.3": r"'1\.2\.3' as group 20 of LINE",
    "": r"found nothing as group 20 of LINE",
    "   ": r"found nothing as group 20 of LINE",
    "nan": r"'nan'.*draw that part again",
    "-inf": r"'-inf'.*draw that part again",
    "1.#QNAN": r"'1\.#QNAN'.*draw that part again",
    "1e400": r"'1e400'",
    "1_000": r"'1_000'",
    "0x10": r"'0x10'",
    "30.9mm": r"'30\.9mm'",
    "1.5D+01": r"'1\.5D\+01'",
    "٣٠": r"'٣٠'",
    "--5": r"'--5'",
    "1e": r"'1e'",
}  # fmt: skip


@pytest.mark.parametrize("value", DAMAGED, ids=repr)
def test_a_number_that_is_none_is_told_with_its_line(value):
    data = file(ring(SQUARE[:3]) + line((0, 0), (1, 1), 5, "2F")).decode()
    # the y of the second line's start
    rows = data.split("\n")
    at = [i for i, row in enumerate(rows) if row == "20"][1] + 1
    rows[at] = value
    with pytest.raises(GeometryError, match=f"^plate.dxf:{at + 1}: (found )?{DAMAGED[value]}") as told:
        read_dxf("\n".join(rows).encode(), name="plate.dxf")
    assert "expected a plain number with a decimal point" in str(told.value)


def test_several_damaged_numbers_are_told_at_once():
    data = file(ring([(f"{x},0", y) for x, y in SQUARE]))
    refused(data, r"line 24 of the DXF file: .*; also line 28: .*; also line 36: .*; also line 40: .*; and 4 more$")


@pytest.mark.parametrize(
    "value", ["30.9", " 30.9", "+30.9 ", "\t30.9", "3.09e1", "3.09E+01", "030.900", "30.9000000000000000000001"]
)
def test_a_number_in_any_usual_form_is_read(value):
    assert area(outline_from_dxf(file(ring([(0, 0), (40, 0), (40, value), (0, value)])))) == pytest.approx(1236)


@settings(derandomize=True, deadline=None, max_examples=300)
@given(st.floats(allow_nan=False, allow_infinity=False), st.sampled_from(["{!r}", "{:.17g}", "{:e}", "{:+.6f}"]))
def test_every_finite_number_is_sound(value, form):
    assert is_sound(form.format(value).encode(), Sort.REAL)


@settings(derandomize=True, deadline=None, max_examples=500)
@given(st.text(alphabet="0123456789.,eE+-_ OolnaifDx٣", max_size=8))
def test_nothing_is_sound_that_is_no_plain_number(text):
    """A sound text is a number in the form that C's strtod takes in the C locale (C17, 7.22.1.3), and no other one."""
    expected = re.fullmatch(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?", text.strip(" "), flags=re.ASCII) is not None
    assert is_sound(text.encode(), Sort.REAL) == (expected and abs(float(text)) < float("inf"))


@pytest.mark.parametrize("value", ["2,0", "", "1.5", "4x", "O"])
def test_whole_numbers_too(value):
    refused(file(ring(SQUARE) + line((0, 0), (1, 1), 62, value)), r"as group 62 of LINE, expected a whole number")
    refused(file(ring(SQUARE), header=f"9\n$INSUNITS\n70\n{value}\n"), r"the unit \(\$INSUNITS, group 70\)")


def test_a_whole_number_with_a_point_is_none_other():
    assert area(outline_from_dxf(file(ring(SQUARE), header="9\n$INSUNITS\n70\n4.0\n"))) == pytest.approx(1236)


def test_numbers_of_what_is_no_outline_do_not_matter():
    text = entity("TEXT", 8, 0, 10, 0, 20, 0, 40, "2,5", 1, "M6")
    assert area(outline_from_dxf(file(ring(SQUARE) + text))) == pytest.approx(1236)


def test_bulges_in_blocks_and_layers_are_looked_at():
    bulge = "0\nLWPOLYLINE\n8\n0\n90\n2\n70\n1\n10\n0\n20\n0\n42\n0,5\n10\n9\n20\n0\n42\n1\n"
    refused(file(bulge), "group 42 of LWPOLYLINE")
    block = entity("BLOCK", 8, 0, 2, "lug", 10, 0, 20, 0) + bulge + entity("ENDBLK", 8, 0)
    refused(file(entity("INSERT", 8, 0, 2, "lug", 10, 0, 20, 0), blocks=block), "group 42 of LWPOLYLINE")
    layer = "0\nTABLE\n2\nLAYER\n70\n1\n" + entity("LAYER", 2, "cold", 70, "l", 62, 7, 6, "CONTINUOUS") + "0\nENDTAB\n"
    refused(file(ring(SQUARE), tables=layer), "group 70 of LAYER")


# ------------------------------------------------------------------ what is missing, doubled or out of range
SPLINE = (71, 2, 72, 6, 73, 3, 40, 0, 40, 0, 40, 0, 40, 1, 40, 1, 40, 1, 10, 0, 20, 0, 10, 5, 20, 9, 10, 9, 20, 0)


def spline(**change: object) -> str:
    """Return a sound spline, some of its values replaced by place."""
    values = list(SPLINE)
    for place, value in change.items():
        values[int(place[1:])] = value
    return entity("SPLINE", *values)


@pytest.mark.parametrize(
    ("text", "match"),
    [
        (entity("LINE", 8, 0, 10, 0, 20, 0, 11, 5), "LINE: group 21 is missing"),
        (entity("LINE", 8, 0, 10, 0, 20, 0), "LINE: group 11 is missing; .*"),
        (entity("LINE", 8, 0, 10, 0, 20, 0, 10, 3, 20, 3, 11, 1, 21, 1), "LINE: group 10 is given twice"),
        (entity("CIRCLE", 8, 0, 5, "1F", 10, 0, 20, 0), r"CIRCLE \(handle 1F\): group 40 is missing"),
        (entity("CIRCLE", 8, 0, 20, 0, 10, 0, 40, 5), "group 20 does not stand behind group 10"),
        (entity("CIRCLE", 8, 0, 10, 0, 40, 5), "group 20 is missing behind group 10"),
        (entity("CIRCLE", 8, 0, 40, 5, 20, 1, 10, 0), "group 20 does not stand behind group 10"),
        (entity("CIRCLE", 8, 0, 10, 0, 20, 0, 40, -5), "radius -5 is not more than 0"),
        (entity("CIRCLE", 8, 0, 10, 0, 20, 0, 40, 0), "radius 0 is not more than 0"),
        (entity("CIRCLE", 8, 0, 10, 0, 20, 0, 40, 5, 210, 0, 220, 0, 230, 0), "extrusion .* has no length"),
        (entity("CIRCLE", 8, 0, 10, 0, 20, 0, 40, 5, 210, 0, 220, 0), "extrusion .* is not complete"),
        (entity("ARC", 8, 0, 10, 0, 20, 0, 40, 5, 50, 0), "ARC: group 51 is missing"),
        (entity("ELLIPSE", 10, 0, 20, 0, 11, 9, 21, 0, 40, 2.5), r"ratio .* is 2\.5, not between"),
        (entity("ELLIPSE", 10, 0, 20, 0, 11, 9, 21, 0, 40, 0), r"ratio .* is 0, not between"),
        (entity("ELLIPSE", 10, 0, 20, 0, 11, 0, 21, 0, 40, 0.5), "ELLIPSE"),
        (entity("ELLIPSE", 10, 0, 20, 0, 11, 9, 21, 0, 31, 9, 40, 0.5), "ELLIPSE.*draw the outline flat"),
        (polyline(SQUARE, count=5), r"announces 5 vertices \(group 90\) but holds 4"),
        (entity("LWPOLYLINE", 70, 1), "LWPOLYLINE: group 10 is missing"),
        (entity("LWPOLYLINE", 70, 1, 10, 0, 20, 0, 10, 3, 10, 3, 20, 3), "group 20 is missing behind group 10"),
        (spline(), "open: loose ends"),
        (spline(_3=7), r"announces 7 knots \(group 72\) but holds 6"),
        (spline(_5=4), r"announces 4 control points \(group 73\) but holds 3"),
        (spline(_13=-1), "knots .* do not rise"),
        (spline(_6=39), "announces 6 knots"),
        (spline(_1=0), "degree .* is 0, not 1 to 25"),
        (spline(_1=3), "3 control points .* too few for degree 3"),
        (spline(_1=1), "6 knots .* where its points need 5"),
        (entity("SPLINE", *SPLINE, 41, 1, 41, 0, 41, 1), "weights .* must be 3 numbers above 0"),
        (entity("SPLINE", *SPLINE, 41, 1, 41, 2), "weights .* must be 3 numbers above 0"),
        (entity("SPLINE", 71, 3), "it has no points"),
        (entity("INSERT", 8, 0, 2, "none", 10, 0, 20, 0), r"INSERT.* without required BLOCK"),
        (entity("INSERT", 8, 0, 10, 0, 20, 0), "INSERT: group 2 is missing"),
        (entity("LIME", 8, 0, 10, 0, 20, 0, 11, 1, 21, 1), "'LIME', which is .*; LINE may be meant"),
        (entity("1,5", 8, 0, 10, 0, 20, 0), "found '1,5', which is no kind of entity"),
        (entity("CIRCLE", 8, 0, 10, 0, 20, 0, 40, 5, 4, 0.3), "CIRCLE: group 4 does not belong there"),
        (entity("TEXT", 8, 0, 10, 0, 20, 0, 40, 5, 1, "M6", 8, 0, 10, 9, 20, 9, 40, 2), "TEXT names a second layer"),
        (entity("CIRCLE", 8, 0, 10, 0, 20, 0, 40, 5, 8, 0), "CIRCLE: group 8 is given twice"),
        (entity("ARC", 8, 0, 10, 0, 20, 0, 40, 5, 50, 1e300, 51, 7), r"group 50 is 1e\+300, too large for an angle"),
        (entity("ELLIPSE", 10, 0, 20, 0, 11, 9, 21, 0, 40, 0.5, 41, 1e300), r"group 41 is 1e\+300, too large"),
        (entity("ELLIPSE", 10, 0, 20, 0, 11, 1e200, 21, 0, 40, 0.5), "more than 10000: wrong unit"),
        (entity("SPLINE", *(1e308 if v == 9 else v for v in SPLINE)), "more than 10000: wrong unit"),
        (entity("SPLINE", *SPLINE, 41, 1, 41, 1e308, 41, 1e-300), "weights .* differ by a factor"),
        (entity("POLYLINE", 8, 0, 66, 1) + entity("VERTEX", 8, 0, 10, 0, 20, 0) + line((0, 0), (1, 1)),
         "SEQEND is missing"),
        (entity("VERTEX", 8, 0, 10, 0, 20, 0), "VERTEX stands outside of any polyline"),
        (entity("LINE", 5, "A", 10, 0, 20, 0, 11, 0, 21, 0) + entity("CIRCLE", 5, "0a", 10, 5, 20, 5, 40, 1),
         r"CIRCLE \(handle 0a\) has the handle of the entity in line"),
    ],
)  # fmt: skip
def test_what_would_be_repaired_is_refused(text, match):
    refused(file(ring(SQUARE) + text), match)


def test_scale_of_nothing_is_refused():
    block = entity("BLOCK", 8, 0, 2, "lug", 10, 0, 20, 0) + ring(SQUARE) + entity("ENDBLK", 8, 0)
    put = ("INSERT", 8, 0, 2, "LUG", 10, 0, 20, 0)
    assert area(outline_from_dxf(file(entity(*put), blocks=block))) == pytest.approx(1236)
    refused(file(entity(*put, 41, 0), blocks=block), r"scale \(group 41\) is 0")
    refused(file(entity(*put, 70, -2), blocks=block), r"count \(group 70\) is below 0")


@pytest.mark.parametrize("owner", ["FFFF", "layer"])
def test_an_entity_with_a_wrong_owner_is_read_all_the_same(owner):
    doc = ezdxf.new("R2010", units=4)
    doc.modelspace().add_lwpolyline(SQUARE, close=True)
    hole = doc.modelspace().add_circle((20, 15), 5)
    out = io.StringIO()
    doc.write(out)
    handles = {"layer": doc.layers.get("0").dxf.handle}
    begin = f"CIRCLE\n  5\n{hole.dxf.handle}\n330\n"
    before, after = out.getvalue().split(begin)
    data = (before + begin + handles.get(owner, owner) + after[after.index("\n") :]).encode()
    assert len(outline_from_dxf(data)) == 2


def test_two_units_are_refused():
    header = "9\n$INSUNITS\n70\n4\n9\n$INSUNITS\n70\n1\n"
    refused(file(ring(SQUARE), header=header), "names two units")


# ------------------------------------------------------------------ what is left out is told
def left_out(entities: str, **more: str) -> dict[str, int]:
    found = read_dxf(file(ring(SQUARE) + entities, **more))
    assert area(found.region) == pytest.approx(1236)
    return dict(found.left_out)


LAYERS = (
    "0\nTABLE\n2\nLAYER\n70\n2\n"
    + entity("LAYER", 2, "off", 70, 0, 62, -7, 6, "CONTINUOUS")
    + entity("LAYER", 2, "cold", 70, 1, 62, 7, 6, "CONTINUOUS")
    + "0\nENDTAB\n"
)


def disc(layer: object, x: float, *more: object) -> str:
    return entity("CIRCLE", 8, layer, 10, x, 20, 9, 40, 2, *more)


def test_what_cannot_be_seen_is_told():
    assert left_out(disc("OFF", 9) + disc("cold", 20) + disc(0, 30, 60, 1), tables=LAYERS) == {"hidden CIRCLE": 3}


def test_a_reference_on_a_frozen_layer_hides_all_of_its_block():
    block = entity("BLOCK", 8, 0, 2, "pair", 10, 0, 20, 0) + disc("x", 9) + disc(0, 20) + entity("ENDBLK", 8, 0)
    put = {layer: entity("INSERT", 8, layer, 2, "pair", 10, 0, 20, 0) for layer in ("cold", "off", "x")}
    assert left_out(put["cold"], blocks=block, tables=LAYERS) == {"hidden CIRCLE": 2}
    # a layer that is only off hides what lies on it: what the block has on layer 0
    region = outline_from_dxf(file(ring(SQUARE) + put["off"], blocks=block, tables=LAYERS))
    assert len(region) == 2
    assert len(outline_from_dxf(file(ring(SQUARE) + put["x"], blocks=block, tables=LAYERS))) == 3


def test_what_is_switched_off_on_the_layer_named_is_not_read():
    found = read_dxf(file(disc("x", 9) + disc("x", 20, 60, 1)), layer="x")
    assert len(found.region) == 1
    assert dict(found.left_out) == {"hidden CIRCLE": 1}


def test_references_to_other_files_are_told():
    block = entity("BLOCK", 8, 0, 2, "far", 70, 4, 10, 0, 20, 0, 3, "far", 1, "other.dxf") + entity("ENDBLK", 8, 0)
    put = entity("INSERT", 8, 0, 2, "far", 10, 0, 20, 0)
    assert left_out(put, blocks=block) == {"reference to another file": 1}


def test_width_is_told():
    band = "0\nPOLYLINE\n8\n0\n66\n1\n70\n1\n40\n2\n41\n2\n"
    corners = "".join(entity("VERTEX", 8, 0, 10, x, 20, y) for x, y in SQUARE)
    found = read_dxf(file(band + corners + entity("SEQEND", 8, 0)))
    assert area(found.region) == pytest.approx(1236)
    assert dict(found.left_out) == {"line width": 1}


def test_paper_space_is_told_when_there_is_nothing_else():
    refused(file(ring(SQUARE).replace("8\n0\n", "8\n0\n67\n1\n")), "only 4 on sheets of the paper space")
    assert left_out(disc(0, 9, 67, 1)) == {}


def test_frames_round_texts_are_no_outlines():
    """The reader takes them for a part of the text that names them."""
    doc = ezdxf.new("R2010", units=4)
    m = doc.modelspace()
    m.add_lwpolyline(SQUARE, close=True)
    frame = m.add_lwpolyline([(5, 5), (9, 5), (9, 9), (5, 9)], close=True)
    text = m.add_mtext("hello")
    borders = [(1000, "ACAD_MTEXT_TEXT_BORDERS_BEGIN"), (1005, frame.dxf.handle), (1000, "ACAD_MTEXT_TEXT_BORDERS_END")]
    text.set_xdata("ACAD", borders)
    out = io.StringIO()
    doc.write(out)
    assert area(outline_from_dxf(out.getvalue().encode())) == pytest.approx(1236)


def test_points_that_lie_on_one_another_are_one():
    corners = [(0, 0), (0, 0), (40, 0), (40, 1e-9), (40, 30.9), (0, 30.9), (1e-9, 0)]
    region = outline_from_dxf(file(polyline(corners) + line((5, 5), (5.0000001, 5)) + polyline([(3, 3)])))
    assert area(region) == pytest.approx(1236)
    assert len(region.contours[0]) == 4


# ------------------------------------------------------------------ structure
def test_a_line_missing_or_too_many_is_told():
    rows = file(ring(SQUARE)).decode().split("\n")
    for at in range(len(rows) - 1):
        for damaged in (rows[:at] + rows[at + 1 :], [*rows[:at], rows[at], *rows[at:]], [*rows[:at], "", *rows[at:]]):
            try:
                found = area(outline_from_dxf("\n".join(damaged).encode()))
            except (GeometryError, ContourError):
                continue
            assert found == pytest.approx(1236), (at, damaged[at - 1 : at + 2])


def test_cut_anywhere_is_refused():
    data = file(ring(SQUARE) + entity("CIRCLE", 8, 0, 10, 20, 20, 15, 40, 5) + polyline([(1, 1), (3, 1), (3, 3)]))
    assert len(outline_from_dxf(data)) == 3
    for at in range(len(data) - len(b"EOF\n")):
        refused(data[:at], "DXF file")


@pytest.mark.parametrize(
    ("data", "match"),
    [
        (b"0\nSECTION\n2\nENTITES\n" + ring(SQUARE).encode() + b"0\nENDSEC\n0\nEOF\n", "in section ENTITES"),
        (file("8\n0\n10\n3\n20\n4\n" + ring(SQUARE)), "group 8 stands before the first entity"),
        (file(ring(SQUARE)).replace(b"2\nHEADER\n", b""), "the section has no name"),
        (ring(SQUARE).encode() + b"0\nEOF\n", r"LINE stands in section \(none\)"),
        (b"0\nSECTION\n2\nENTITIES\n" + ring(SQUARE).encode() + b"0\nEOF\n", "section ENTITIES is not closed"),
        (file(ring(SQUARE)) + file(ring(SQUARE)), "goes on behind its mark of the end"),
        (file(ring(SQUARE), blocks=ring(SQUARE)), "LINE stands outside of any block"),
        (file(ring(SQUARE), blocks=entity("BLOCK", 2, "a", 10, 0, 20, 0)), "ends inside of a block"),
        (file(ring(SQUARE), blocks=entity("BLOCK", 2, "a") + entity("BLOCK", 2, "b") + entity("ENDBLK")),
         "a block begins inside of another"),
        (file(ring(SQUARE), blocks=(entity("BLOCK", 2, "a") + entity("ENDBLK")) + entity("BLOCK", 2, "A")
              + entity("ENDBLK")), "two blocks named 'a'"),
        (file(ring(SQUARE)).replace(b"\n10\n", b"\n1O\n", 1), r"found '1O', expected a group code"),
        (file(ring(SQUARE)).replace(b"\n10\n", b"\n10000\n", 1), r"found '10000', expected a group code"),
        (b"hello", "line 1 of the DXF file: .*'hello'.*not a DXF file in text form"),
    ],
)  # fmt: skip
def test_structure(data, match):
    refused(data, match)


@pytest.mark.parametrize(
    "change",
    [
        lambda d: d.replace(b"\n", b"\r\n"), lambda d: d.replace(b"\n", b"\r"), lambda d: b"\xef\xbb\xbf" + d,
        lambda d: d.replace(b"\n", b" \n"), lambda d: b"\n".join(b"   " + r for r in d.split(b"\n")[:-1]) + b"\n",
        lambda d: d.rstrip(), lambda d: d + b"\x1a", lambda d: b"999\nwritten by hand\n" + d,
        lambda d: d.replace(b"LINE", b"Line"),
    ],
    ids=["crlf", "cr", "mark", "spaces behind", "spaces before", "no last line end", "control-z", "comment", "small"],
)  # fmt: skip
def test_other_forms_of_the_same_text_are_read(change):
    assert area(outline_from_dxf(change(file(ring(SQUARE))))) == pytest.approx(1236)


def test_lines_are_counted_the_same_whatever_ends_them():
    data = file(ring(SQUARE)).replace(b"30.9", b"30,9")
    told = []
    for end in (b"\n", b"\r\n", b"\r"):
        with pytest.raises(GeometryError) as error:
            outline_from_dxf(data.replace(b"\n", end))
        told.append(str(error.value))
    assert len(set(told)) == 1


def test_binary_form_is_refused():
    out = io.BytesIO()
    doc = ezdxf.new()
    doc.write(out, fmt="bin")
    refused(out.getvalue(), "not a DXF file in text form")


# ------------------------------------------------------------------ blocks
def blocks_that_refer(names: dict[str, list[str]]) -> str:
    return "".join(
        entity("BLOCK", 8, 0, 2, name, 10, 0, 20, 0)
        + "".join(entity("INSERT", 8, 0, 2, to, 10, 0, 20, 0) for to in refers)
        + entity("ENDBLK", 8, 0)
        for name, refers in names.items()
    )


@pytest.mark.parametrize(
    ("names", "match"),
    [
        ({"a": ["a"]}, "block 'a' .* contains itself"),
        ({"a": ["b"], "b": ["c"], "c": ["A"]}, "contains itself"),
        ({f"b{i}": [f"b{i + 1}"] for i in range(3000)}, "16 deep"),
        ({f"{s}{i}": [f"l{i + 1}", f"r{i + 1}", f"m{i + 1}", f"n{i + 1}"] for i in range(15) for s in "lrmn"},
         "too many ways"),
    ],
    ids=["itself", "round", "deep", "many ways"],
)  # fmt: skip
def test_blocks_that_never_end_are_refused_at_once(names, match):
    begin = time.perf_counter()
    refused(file(ring(SQUARE), blocks=blocks_that_refer(names)), match)
    assert time.perf_counter() - begin < 5.0


# ------------------------------------------------------------------ nothing is written, nothing takes long
def test_nothing_reaches_standard_error(capfd):
    odd = entity("TEXT", 8, 0, 10, 0, 20, 0, 40, "2,5", 70, "x1", 5, "zz", 1, "M6") + entity(
        "CIRCLE", 5, "q", 10, 0, 20, 0, 40, 0
    )
    refused(file(odd), "radius 0")
    refused(file(odd.replace("2,5", "abc")), "cannot be read|radius 0")
    assert capfd.readouterr() == ("", "")


def test_log_lines_of_others_still_come(caplog):
    log = logging.getLogger("ezdxf")
    with quiet():
        log.warning("of this thread")
    log.warning("after it")
    assert [r.message for r in caplog.records] == ["after it"]
    assert not log.filters


def test_five_megabytes_are_looked_through_quickly():
    """In the time of a few plain passes over the lines, whatever the machine."""
    from generator.artwork.dxf_text import inspect

    many = polyline([(i * 0.001, i * 0.5) for i in range(260_000)]).encode()
    data = file("")[: -len(b"0\nENDSEC\n0\nEOF\n")] + many + b"0\nENDSEC\n0\nEOF\n"
    assert len(data) > 5_000_000
    begin = time.perf_counter()
    sum(float(row) for row in data.split(b"\n") if row[:1].isdigit())
    plain = time.perf_counter() - begin
    begin = time.perf_counter()
    inspect(data, most=10)
    assert time.perf_counter() - begin < 20 * plain
