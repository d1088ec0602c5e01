"""Lines placed: sizes, alignment, spacing and arcs by closed form."""

from __future__ import annotations

from math import atan2, cos, degrees, hypot, pi, radians, sin

import pytest

from generator.artwork.text_faces import shipped_font
from generator.artwork.text_font import open_font
from generator.artwork.text_setting import Setting, Size, set_text
from generator.artwork.text_shaping import shape_line
from generator.base.errors import GeometryError
from generator.outline.measure import area, bounds, signed_area
from generator.outline.predicates import explain_contour
from generator.outline.region import Region
from generator.outline.transform import moved
from generator.shapes.shape import Context
from tests.artwork.text_fonts import OUTER, box_font
from tests.shapes.file_samples import OneFile
from tests.shapes.recipe_form import drawn as drawn_from

BOXES = box_font([OUTER])
"""H and O are boxes 500 wide and 700 high, 600 apart; a blank is 300."""


def drawn(data: dict) -> Region:
    return drawn_from({"text": data}, Context(files=OneFile(BOXES)))


def boxes(region: Region):
    return sorted((bounds(Region((c,))) for c in region), key=lambda b: (b.xmin, -b.ymin))


def text(say: str, **more) -> dict:
    return {"say": say, "font": "boxes.ttf", **more}


# ------------------------------------------------------------------ sizes and places
def test_cap_height_is_that_of_an_h():
    (box,) = boxes(drawn(text("H", cap_height=7)))
    assert box == pytest.approx((-2.5, -3.5, 2.5, 3.5), abs=1e-9)
    for face in ("sans bold", "serif italic", "mono"):
        height = bounds(drawn_from({"text": {"say": "H", "cap_height": 12, "face": face}})).height_mm
        assert height == pytest.approx(12, abs=1e-6)


def test_em_is_the_fonts():
    assert bounds(drawn(text("H", em=10))).height_mm == pytest.approx(7)


@pytest.mark.parametrize("say", ["Hi, Gate", "i", "In two\nlines"])
@pytest.mark.parametrize("width", [3.0, 41.7, 600.0])
def test_width_is_that_of_the_longest_line(say, width):
    region = drawn_from({"text": {"say": say, "width": width, "face": "serif"}})
    assert bounds(region).width_mm == pytest.approx(width, abs=1e-6)


@pytest.mark.parametrize(("align", "starts"), [("left", (0, 0)), ("centre", (-8.5, -2.5)), ("right", (-17, -5))])
def test_lines_are_aligned_and_stand_below_each_other(align, starts):
    region = drawn(text("", lines=["HOO", "H"], cap_height=7, align=align, line_spacing=2) | {"say": ""})
    upper, lower = ([b for b in boxes(region) if (b.ymin > 0) == up] for up in (True, False))
    assert upper[0].xmin == pytest.approx(starts[0])
    assert lower[0].xmin == pytest.approx(starts[1])
    assert upper[0].ymin - lower[0].ymin == pytest.approx(14)
    assert bounds(region).centre.y == pytest.approx(0)


def test_block_and_list_are_the_same_lines():
    one = drawn(text("HO\n\nH", cap_height=7))
    assert one == drawn({**text("", cap_height=7), "lines": ["HO", "", "H"], "say": ""})
    assert bounds(one).height_mm == pytest.approx(7 + 2 * 1.6 * 7)


def test_blanks_at_the_ends_count_for_nothing():
    assert drawn(text("  HO ", cap_height=7)) == drawn(text("HO", cap_height=7))


def test_origin_on_the_baseline():
    region = drawn_from({"text": {"say": "pH", "cap_height": 9, "origin": "baseline"}})
    tall = max(boxes(region), key=lambda b: b.ymax)
    assert (tall.ymin, tall.ymax) == pytest.approx((0, 9), abs=1e-6)


@pytest.mark.parametrize("spacing", [-0.05, 0.1, 1.5])
def test_letter_spacing_is_a_share_of_the_height(spacing):
    first, second, third = boxes(drawn(text("HOH", cap_height=7, letter_spacing=spacing)))
    assert second.xmin - first.xmin == pytest.approx(6 + 7 * spacing)
    assert third.xmin - second.xmin == pytest.approx(6 + 7 * spacing)


def test_letters_that_overlap_are_united():
    region = drawn(text("HOH", cap_height=7, letter_spacing=-0.4))
    assert len(region) == 1
    assert area(region) == pytest.approx((2 * (6 - 2.8) + 5) * 7)


def test_spaced_letters_have_no_ligatures():
    font = open_font(shipped_font("sans"))
    together = len(shape_line(font, "fi", {}).glyphs)
    assert together == 1
    plain = drawn_from({"text": {"say": "fi", "cap_height": 8, "face": "sans"}})
    spaced = drawn_from({"text": {"say": "fi", "cap_height": 8, "face": "sans", "letter_spacing": 0.2}})
    assert len(spaced) == 3  # f, i and its dot
    assert len(plain) <= 3


def test_features_are_switched():
    kerned, plain = (
        bounds(drawn_from({"text": {"say": "AVAVA", "em": 20, "face": "sans", **f}})).width_mm
        for f in ({}, {"features": {"kern": False}})
    )
    assert plain - kerned > 0.5


# ------------------------------------------------------------------ round an arc
@pytest.mark.parametrize("heads", ["outwards", "inwards"])
@pytest.mark.parametrize("centre", [(0.0, 0.0), (13.0, -40.0)])
def test_letters_stand_by_their_advance_round_the_arc(heads, centre):
    """Middles of advances: 300 units after each start; of boxes: 250. So a box stands 50 units beside the middle."""
    radius = 40.0
    arc = {"radius": radius, "centre": list(centre), "heads": heads}
    region = drawn(text("HOH", cap_height=7, letter_spacing=0.2, along=arc))
    way = 1.0 if heads == "outwards" else -1.0
    assert all(explain_contour(c) is None and signed_area(c) > 0 for c in region)
    line = 17.0 + 2.8  # from the first edge to the last
    for k, contour in enumerate(sorted(region, key=lambda c: -way * middle_angle(c, centre, heads))):
        along = 7.4 * k + 3 - line / 2  # of the middle of the advance from the middle of the line
        up = pi / 2 if heads == "outwards" else -pi / 2
        a = up - way * along / radius
        # the box's middle: half the height outwards, half a millimetre back along the line
        out, back = radius + way * 3.5, -0.5
        x = centre[0] + out * cos(a) + back * way * sin(a)
        y = centre[1] + out * sin(a) - back * way * cos(a)
        xs, ys = zip(*((v.x, v.y) for v in contour.vertices), strict=True)
        assert (sum(xs) / 4, sum(ys) / 4) == pytest.approx((x, y), abs=1e-9)


def middle_angle(contour, centre, heads) -> float:
    xs, ys = zip(*((v.x, v.y) for v in contour.vertices), strict=True)
    turn = 0.0 if heads == "outwards" else pi
    x, y = sum(xs) / 4 - centre[0], sum(ys) / 4 - centre[1]
    return atan2(y * cos(turn) + x * sin(turn), x * cos(turn) - y * sin(turn))


@pytest.mark.parametrize(("align", "first"), [("left", 0.0), ("centre", -8.5), ("right", -17.0)])
def test_the_line_is_anchored_where_it_is_said(align, first):
    region = drawn(text("HOH", cap_height=7, align=align, along={"radius": 50, "direction": 30}))
    starts = sorted(degrees(atan2(v.y, v.x)) for c in region for v in c.vertices if hypot(v.x, v.y) < 50.5)
    # the lower left corner of the first box: square to the middle of its advance, 3 back
    a = radians(30) - (first + 3) / 50
    x, y = 50 * cos(a) - 3 * sin(a), 50 * sin(a) + 3 * cos(a)
    assert max(starts) == pytest.approx(degrees(atan2(y, x)), abs=1e-6)


@pytest.mark.parametrize(("heads", "second"), [("outwards", 50 - 14), ("inwards", 50 + 14)])
def test_further_lines_lie_below_as_they_are_read(heads, second):
    region = drawn(
        {**text("", cap_height=7, line_spacing=2, along={"radius": 50, "heads": heads}), "lines": ["O", "O"]}
    )
    radii = sorted(min(hypot(v.x, v.y) for v in c.vertices) for c in region)
    way = 1 if heads == "outwards" else -1
    assert radii[0 if way > 0 else 1] == pytest.approx(second if way > 0 else second - 7, abs=0.15)


def test_too_long_for_the_arc():
    with pytest.raises(GeometryError, match=r"once round the arc; radius: at least 5.58"):
        drawn(text("HOHOHO", cap_height=7, along={"radius": 5}))
    drawn(text("HOHOHO", cap_height=7, along={"radius": 5.58}))


def test_lines_that_come_to_the_middle():
    with pytest.raises(GeometryError, match="radius: more than"):
        drawn({**text("", cap_height=7, along={"radius": 20}), "lines": ["H", "H", "H"]})


# ------------------------------------------------------------------ refusals
@pytest.mark.parametrize(
    ("data", "says"),
    [
        (text("   ", cap_height=7), "the text is empty"),
        ({"lines": ["", " "], "cap_height": 7}, "the text is empty"),
        ({"say": "\u2003", "cap_height": 7, "face": "sans"}, "the text has only blanks"),
        ({"say": "\u00a0", "cap_height": 7, "face": "engraving"}, "the text is empty"),
        (text("H" * 501, cap_height=7), "501 characters; at most 500"),
        (text("H", cap_height=0.3), "too small for any cutter; at least 0.5 mm"),
        (text("H", cap_height=7, face="sans"), "give only one of them"),
        (text("H", cap_height=7, stroke_width=0.3), "for the face `engraving` alone"),
        (text("H", cap_height=7, variation={"wght": 500}), "not variable"),
        (text("H", cap_height=7, member=2), "holds one font: leave `member` out"),
        (text("H", cap_height=7, em=3), "together say it twice"),
        (text("H"), "give `cap_height` or `em`"),
        (text("H", fit={"margin": 1}), "`fit` has nothing to fit into"),
        (text("H", fit={"margin": 1}, along={"radius": 9}), "`fit` does not go with `along`"),
        ({"say": "سلام", "cap_height": 8, "face": "sans", "letter_spacing": 0.1}, "hang together and cannot be spaced"),
        ({"say": "سلام", "cap_height": 8, "face": "sans", "along": {"radius": 90}}, "hang together and cannot be bent"),
    ],
)
def test_refused_with_a_remedy(data, says):
    with pytest.raises(GeometryError) as told:
        drawn(data)
    assert says in str(told.value)
    assert told.value.path.startswith("footprint.text")


def test_joined_letters_are_one_piece():
    region = drawn_from({"text": {"say": "بيت", "cap_height": 10, "face": "sans"}})
    outer = [c for c in region if signed_area(c) > 0]
    assert max(bounds(Region((c,))).width_mm for c in outer) > 0.6 * bounds(region).width_mm


def test_fits_into_the_room_that_it_is_drawn_for():
    room = drawn_from({"rectangle": {"size": [50, 20], "centre": [5, 5]}})
    letters = drawn_from(
        {"text": {"say": "H", "font": "f.ttf", "fit": {"margin": 2}}}, Context(files=OneFile(BOXES), room=room)
    )
    assert bounds(letters) == pytest.approx((5 - 16 * 5 / 14, -3, 5 + 16 * 5 / 14, 13), abs=1e-4)


def test_same_letters_every_time():
    setting, size = Setting(text="Same & again", features={}), Size(cap_height=6.3)
    assert set_text(setting, size) == set_text(setting, size)
    assert moved(set_text(setting, size), 0, 0) == set_text(setting, size)
