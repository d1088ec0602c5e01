"""DXF drawings that are sound line by line and yet say two things at once: told, never decided for the customer."""

from __future__ import annotations

import io
from math import pi

import ezdxf
import pytest

from generator.artwork.dxf import read_dxf
from generator.base.errors import ContourError, GeometryError
from generator.outline.measure import area

CORNERS = [(-30, -15), (30, -15), (30, 15), (-30, 15)]


def drawing(draw, version: str = "R2010") -> str:
    """Return the text of a DXF file, mm, of what ``draw`` puts into its model space."""
    document = ezdxf.new(version, units=4)
    draw(document.modelspace())
    text = io.StringIO()
    document.write(text)
    return text.getvalue()


def circles(*circles: tuple[float, float, float]) -> bytes:
    return drawing(lambda space: [space.add_circle((x, y), r) for x, y, r in circles]).encode()


def refused(text: str | bytes, match: str) -> None:
    with pytest.raises(GeometryError, match=match):
        read_dxf(text.encode() if isinstance(text, str) else text, name="plate.dxf")


# ------------------------------------------------------------------ parts lost
def two_polylines(space) -> None:
    space.add_lwpolyline([(-8, -8), (8, -8), (8, 8), (-8, 8)], close=True)
    space.add_lwpolyline(CORNERS, close=True)


def test_a_polyline_whose_handle_another_item_has_is_told():
    text = drawing(two_polylines)
    first = text.index("LWPOLYLINE")
    handle = text[first:].split("\n")[2]
    assert len(read_dxf(text.encode()).region) == 2
    refused(text[:first] + text[first:].replace(f"\n{handle}\n", "\nF\n", 1), "2 LWPOLYLINE in the file and 1 read")


def test_the_first_entity_without_its_beginning_is_told():
    text = drawing(two_polylines)
    start = text.index("  0\nLWPOLYLINE")
    refused(text[:start] + text[text.index("100\nAcDbEntity", start) :], "group 100 stands before the first entity")


@pytest.mark.parametrize("end", ["SEQEND", "ENDBLK"])
def test_places_and_sizes_in_a_mark_of_an_end_are_of_a_lost_entity(end):
    text = drawing(lambda space: space.add_polyline2d(CORNERS, close=True), "R12")
    assert area(read_dxf(text.encode()).region) == pytest.approx(1800)
    at = text.index("\n  8\n0\n", text.index(end)) + len("\n  8\n0\n")
    for code in (10, 40):
        refused(text[:at] + f" {code}\n3.0\n" + text[at:], f"group {code} in {end}: the beginning of the entity")


@pytest.mark.parametrize("in_block", [False, True])
def test_what_has_a_name_that_nobody_knows_is_named_as_left_out(in_block):
    def draw(space) -> None:
        block = space.doc.blocks.new("lug") if in_block else space
        block.add_lwpolyline(CORNERS, close=True)
        block.add_circle((3, 4), 2)
        if in_block:
            space.add_blockref("lug", (0, 0))

    text = drawing(draw)
    found = read_dxf(text.replace("  0\nCIRCLE", "  0\nCIRXXE").encode())
    assert area(found.region) == pytest.approx(1800)
    assert dict(found.left_out) == {"CIRXXE": 1}


# ------------------------------------------------------------------ heights
def lines_at(*heights: float) -> str:
    def draw(space) -> None:
        for (x, y), (u, v), z in zip(CORNERS, [*CORNERS[1:], CORNERS[0]], heights, strict=True):
            space.add_line((x, y, z), (u, v, z))

    return drawing(draw)


def test_lines_at_different_heights_are_no_outline():
    refused(lines_at(0, 1, 2, 3), r"^LINE \(handle \w+\) lies at z 1 mm, LINE \(handle \w+\) at z 0 mm: ")
    assert area(read_dxf(lines_at(7, 7, 7.0009, 7).encode()).region) == pytest.approx(1800)


@pytest.mark.parametrize(
    ("kind", "other"),
    [
        ("CIRCLE", lambda s, z: s.add_circle((0, 0, z), 5)),
        ("ARC", lambda s, z: s.add_arc((0, 0, z), 5, 0, 360)),
        ("LWPOLYLINE", lambda s, z: s.add_lwpolyline(
            [(0, 0), (5, 0), (5, 5)], close=True, dxfattribs={"elevation": z})),
        ("POLYLINE", lambda s, z: s.add_polyline2d(
            [(0, 0), (5, 0), (5, 5)], close=True, dxfattribs={"elevation": (0, 0, z)})),
        ("POLYLINE", lambda s, z: s.add_polyline3d([(0, 0, z), (5, 0, z), (5, 5, z)], close=True)),
        ("ELLIPSE", lambda s, z: s.add_ellipse((0, 0, z), (5, 0, 0), 0.5)),
        ("SPLINE", lambda s, z: s.add_open_spline([(5, 0, z), (5, 9, z), (-5, 9, z), (5, 0, z)])),
    ],
)  # fmt: skip
def test_the_height_of_every_kind_counts(kind, other):
    def draw(z: float) -> str:
        at_two = {"elevation": 2}
        return drawing(lambda s: (s.add_lwpolyline(CORNERS, close=True, dxfattribs=at_two), other(s, z)))

    assert len(read_dxf(draw(2).encode()).region) == 2
    refused(draw(2.5), rf"^{kind} \(handle \w+\) lies at z 2\.5 mm, LWPOLYLINE \(handle \w+\) at z 2 mm")


def test_a_circle_seen_from_below_lies_where_its_axis_points():
    """Its centre is (-x, y, -z) in its own axes (the published DXF reference, arbitrary axis algorithm)."""

    def draw(z: float) -> str:
        below = {"extrusion": (0, 0, -1)}
        return drawing(lambda s: (s.add_circle((0, 0, 4), 9), s.add_circle((0, 0, z), 5, dxfattribs=below)))

    assert area(read_dxf(draw(-4).encode()).region) == pytest.approx(pi * (81 - 25))
    refused(draw(4), "CIRCLE .* at z -4 mm")


# ------------------------------------------------------------------ hairlines
@pytest.mark.parametrize("apart", [3e-5, 1e-3, 0.01, 0.02])
def test_a_circle_drawn_twice_is_told_with_place_and_distance(apart):
    with pytest.raises(ContourError, match=f"only {apart:.2g} mm apart near .*drawn twice") as told:
        read_dxf(circles((0, 0, 20), (0, 0, 20 + apart)))
    x, y = told.value.point_mm
    assert (x * x + y * y) ** 0.5 == pytest.approx(20 + apart / 2, abs=1e-4)


def test_a_wall_that_can_be_meant_is_none():
    assert area(read_dxf(circles((0, 0, 20), (0, 0, 20.05))).region) == pytest.approx(pi * (20.05**2 - 400))


def test_near_in_one_place_is_near():
    """Two circles side by side, one a hundredth off the other; and a corner that all but touches a side."""
    refused(circles((0, 0, 20), (35.01, 0, 15)), r"0\.01 mm apart near \(20\.005, 0\) mm")

    def draw(space) -> None:
        space.add_lwpolyline(CORNERS, close=True)
        space.add_lwpolyline([(29.99, 0), (20, 5), (20, -5)], close=True)

    refused(drawing(draw), r"0\.01 mm apart near \(29\.995, 0\) mm")


def test_small_drawings_that_are_enlarged_have_finer_hairlines():
    tiny = circles((0, 0, 0.02), (0, 0, 0.0215))
    assert area(read_dxf(tiny, factor=1000).region) == pytest.approx(pi * (21.5**2 - 20**2))
    assert area(read_dxf(tiny).region) == pytest.approx(pi * (0.0215**2 - 0.02**2))
    with pytest.raises(ContourError, match=r"near \(0, -10\.005\) mm of the drawing"):
        read_dxf(circles((0, 0, 10), (0, 0, 10.01)), factor=0.5)
