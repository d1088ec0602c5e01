"""Drawings brought to size and place, through the outline kind that reads them."""

from __future__ import annotations

from math import pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.artwork.placing import Placing, placed
from generator.base.errors import GeometryError
from generator.outline.create import circle, rectangle
from generator.outline.distance import boundary_distance
from generator.outline.measure import area, bounds
from generator.outline.predicates import contains_region, is_circle
from generator.outline.region import Region
from generator.outline.transform import scaled
from generator.shapes.shape import Context
from tests.shapes.file_samples import OneFile, disc_dxf
from tests.shapes.recipe_form import drawn

FLAG = b"""<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="50mm" viewBox="0 0 100 50">
<path id="pole" d="M20 10h4v30h-4z"/><path id="cloth" d="M24 10l36 8-36 8z"/>
<path id="faint" d="M0 0h5v5h-5z" fill="#ddd"/>
</svg>"""
OVAL = b"""<svg xmlns="http://www.w3.org/2000/svg" width="4mm" height="2mm" viewBox="0 0 4 2">
<ellipse cx="2" cy="1" rx="1.5" ry=".8"/></svg>"""


def outline(data: bytes = FLAG, room: Region | None = None, **keys):
    return drawn({"outline_file": {"file": "flag.svg", **keys}}, Context(files=OneFile(data), room=room))


def box(region) -> tuple[float, float, float, float]:
    b = bounds(region)
    return b.xmin, b.ymin, b.xmax, b.ymax


def test_as_it_is_the_origin_is_the_lower_left_corner_of_the_sheet():
    assert box(outline()) == pytest.approx((20, 10, 60, 40), abs=1e-9)


@pytest.mark.parametrize(
    ("keys", "expected"),
    [
        ({"scale": 2}, (40, 20, 120, 80)),
        ({"width": 20}, (10, 5, 30, 20)),
        ({"height": 60}, (40, 20, 120, 80)),
        ({"fit": {"box": [20, 100]}}, (10, 5, 30, 20)),
        ({"fit": {"box": [400, 15]}}, (10, 5, 30, 20)),
        ({"origin": "middle"}, (-20, -15, 20, 15)),
        ({"origin": "middle", "width": 80}, (-40, -30, 40, 30)),
        ({"flipped": "y"}, (-60, 10, -20, 40)),
        ({"flipped": "x"}, (20, -40, 60, -10)),
        ({"layer": "pole"}, (20, 10, 24, 40)),
        ({"layer": "pole", "height": 15}, (10, 5, 12, 20)),
        ({"ink": "all"}, (0, 10, 60, 50)),
    ],
)
def test_size_and_place(keys, expected):
    assert box(outline(**keys)) == pytest.approx(expected, abs=1e-9)


def test_flipped_is_the_mirror_image_and_not_turned():
    plain, image = outline(origin="middle"), outline(origin="middle", flipped="y")
    assert {(round(-v.x, 9), round(v.y, 9)) for c in plain for v in c.vertices} == {
        (round(v.x, 9), round(v.y, 9)) for c in image for v in c.vertices
    }
    assert area(image) == pytest.approx(area(plain), rel=1e-12)


@pytest.mark.parametrize(
    ("keys", "told"),
    [
        ({"scale": 2, "width": 20}, "`scale` and `width` together say the size twice: give only one of"),
        ({"height": 2, "fit": {"box": [1, 1]}}, "`height` and `fit` together"),
        ({"fit": {}}, "nothing to fit into here: give it a `box` or an `outline`"),
        ({"fit": {"box": [0, 4]}}, "both must be more than 0"),
        ({"layer": "flagg"}, r"nothing in the drawing has the id 'flagg'; there are: pole, cloth, faint"),
    ],
)
def test_what_cannot_be_had(keys, told):
    with pytest.raises(GeometryError, match=told):
        outline(**keys)


def test_curves_keep_their_tolerance_when_the_drawing_is_enlarged():
    """A drawing of a few millimetres at a hundred times its size: every vertex within 2 µm of the ellipse."""
    region = outline(OVAL, width=300, origin="middle")
    b = bounds(region)
    assert (b.width_mm, b.height_mm) == pytest.approx((300, 160), abs=0.01)
    assert len(region.contours[0]) > 30
    for v in region.contours[0].vertices:
        assert ((v.x / 150) ** 2 + (v.y / 80) ** 2) ** 0.5 == pytest.approx(1, abs=2.5e-3 / 80)


def test_a_dxf_file_is_told_by_its_contents_and_placed_too():
    region = outline(disc_dxf(10.0), width=50, origin="middle")
    assert is_circle(region.contours[0]).radius_mm == pytest.approx(25, abs=1e-9)
    assert box(outline(disc_dxf(10.0), layer="outline", scale=0.1)) == pytest.approx((-1, -1, 1, 1), abs=1e-9)


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"\x89PNG\r\n\x1a\n", "is a PNG picture, not a drawing"),
        (b"\xff\xd8\xff\xe0", "is a JPEG picture"),
        (b"%PDF-1.7", "is a PDF file"),
        (b"", "empty"),
    ],
)
def test_other_files_are_named(data, told):
    with pytest.raises(GeometryError, match=told):
        outline(data)


def test_what_was_assumed_and_left_out_is_told():
    files = OneFile(FLAG.replace(b"</svg>", b"<text>name</text></svg>"))
    drawn({"outline_file": {"file": "flag.svg"}}, Context(files=files))
    assert files.told == {
        "flag.svg": "one unit of the drawing is 1 mm; 1 text left out (first in line 4): convert letters to paths in "
        "your drawing program"
    }


# ------------------------------------------------------------------ into an outline
def test_into_the_room_of_an_inlay_as_large_as_it_goes():
    room = Region.of([circle((5, 7), 30.0)])
    region = outline(room=room, fit={"margin": 2})
    assert contains_region(room, region)
    assert boundary_distance(region, room).distance_mm == pytest.approx(2, abs=2e-3)


def test_into_an_outline_of_its_own():
    region = outline(fit={"outline": {"rectangle": {"size": [50, 20]}}, "margin": 1, "centred": True})
    b = bounds(region)
    assert b.height_mm == pytest.approx(18, abs=2e-3)
    assert b.centre == pytest.approx((0, 0), abs=1e-6)


def test_a_margin_that_leaves_nothing():
    with pytest.raises(GeometryError, match="the drawing fits nowhere with a margin of 40"):
        outline(room=Region.of([circle((0, 0), 30.0)]), fit={"margin": 40})


# ------------------------------------------------------------------ whatever the numbers
@settings(max_examples=60, deadline=None)
@given(
    w=st.floats(0.5, 200),
    h=st.floats(0.5, 200),
    x=st.floats(-100, 100),
    wanted=st.floats(0.5, 500),
    key=st.sampled_from(["width", "height", "box"]),
    flipped=st.sampled_from(["", "x", "y"]),
)
def test_size_is_what_was_asked_for(w, h, x, wanted, key, flipped):
    source = Region.of([rectangle(x, -3.0, x + w, h - 3.0, min(w, h) / 4)])
    given_keys = {"box": (wanted, wanted)} if key == "box" else {key: wanted}
    found = placed(lambda f: scaled(source, f), Placing(flipped=flipped, origin="middle", **given_keys))
    b = bounds(found)
    measured = {"width": b.width_mm, "height": b.height_mm, "box": max(b.width_mm, b.height_mm)}[key]
    assert measured == pytest.approx(wanted, rel=1e-9)
    assert b.centre == pytest.approx((0, 0), abs=1e-9)
    assert area(found) == pytest.approx(area(source) * (b.width_mm / w) ** 2, rel=1e-9)


def test_a_scale_beyond_reason():
    with pytest.raises(GeometryError, match="would have to be scaled by"):
        placed(lambda f: Region.of([circle((0, 0), 1e-7 * f)]), Placing(width=100.0))


def test_a_circle_stays_one():
    region = outline(b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><circle r="3"/></svg>', width=20)
    assert len(region.contours[0]) in (2, 4)
    assert area(region) == pytest.approx(100 * pi, rel=1e-12)
