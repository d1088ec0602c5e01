"""SVG drawings against closed forms: path data, shapes, units, strokes, painting, references."""

from __future__ import annotations

import gzip
from math import cos, hypot, pi, radians, sin, sqrt, tan

import pytest
from PIL import ImageColor

from generator.artwork.svg import read_svg
from generator.artwork.svg_colours import NAMED, colour
from generator.base.errors import GeometryError
from generator.outline.measure import area, bounds, length
from generator.outline.predicates import contains_point, is_circle
from tests.artwork.svg_files import path, read, region, svg


def box(found) -> tuple[float, float, float, float]:
    b = bounds(found)
    return b.xmin, b.ymin, b.xmax, b.ymax


# ------------------------------------------------------------------ path data
@pytest.mark.parametrize(
    "d",
    [
        "M10 10L30 10L30 20L10 20Z",
        "m10 10 20 0 0 10-20 0z",
        "M10,10,30,10,30,20,10,20z",
        "M10 10H30V20H10z",
        "m10 10h20v10h-20z",
        "M1e1 10h+20v1e+1h-.2e2Z",
        "M10 10h20v10H10",
        "M10 10 30 10V20h-20z",
        "M 10\n10\tH\r30 V 20 , H 10 Z ",
        "M10.0.1e2h20v10h-20",
    ],
)
def test_ways_of_writing_a_rectangle(d):
    found = path(d)
    assert {(v.x, v.y) for c in found for v in c.vertices} == {(10, 90), (30, 90), (30, 80), (10, 80)}


@pytest.mark.parametrize(
    "d",
    [
        "M40 50A10 10 0 0 1 60 50A10 10 0 0 1 40 50z",
        "M40 50a10 10 0 01 20 0 10 10 0 01-20 0",
        "M40 50a10,10,0,1,0,20,0a10,10,0,1,0-20,0",
        "M40 50a1 1 30 1120 0a1 1 30 11-20 0",
        "M50 40a10-10 0 1 1-.001 0z",
    ],
)
def test_arcs_of_a_circle(d):
    found = path(d)
    assert area(found) == pytest.approx(100 * pi, rel=1e-5)
    for v in found.contours[0].vertices:
        assert hypot(v.x - 50, v.y - 50) == pytest.approx(10, abs=1e-6)


@pytest.mark.parametrize(("large", "sweep"), [(0, 0), (0, 1), (1, 0), (1, 1)])
def test_which_of_four_arcs(large, sweep):
    """Chord of 90 degrees of a circle of radius 10: the segment or the rest of the disc, above or below the chord."""
    s = 10 * sqrt(2)
    found = path(f"M40 50a10 10 0 {large} {sweep} {s} 0z")
    small = 100 * (pi / 2 - 1) / 2
    assert area(found) == pytest.approx(100 * pi - small if large else small, rel=1e-9)
    assert (bounds(found).centre.y > 50) == bool(sweep)  # y up: rising angles are clockwise, over the chord


def test_smooth_curves_mirror_the_control_point():
    assert box(path("M10 50C10 30 30 30 30 50S50 70 50 50L10 90z")) == pytest.approx(
        box(path("M10 50C10 30 30 30 30 50C30 70 50 70 50 50L10 90z")), abs=1e-9
    )
    assert area(path("M10 50Q20 30 30 50T50 50V90H10z")) == pytest.approx(
        area(path("M10 50Q20 30 30 50Q40 70 50 50V90H10z")), rel=1e-12
    )
    # without a curve before it the control point is where the pen is
    assert area(path("M10 50S30 30 50 50V90H10z")) == pytest.approx(
        area(path("M10 50C10 50 30 30 50 50V90H10z")), rel=1e-12
    )


def test_area_of_curves_in_closed_form():
    """A parabola's segment is two thirds of its box; the cubic's integral of x dy is 3/5 of its box of controls."""
    for d, exact in (("M10 50Q30 10 50 50z", 2 / 3 * 40 * 20), ("M10 50C10 20 50 20 50 50z", 0.6 * 30 * 40)):
        found = path(d)
        assert area(found) == pytest.approx(exact, abs=2e-3 * length(found))


def test_a_closed_run_goes_on_from_its_start():
    found = path("M10 10h20v20h-20zl-5 0 0 5z")
    assert sorted(area(c) for c in found) == pytest.approx([12.5, 400], rel=1e-12)


@pytest.mark.parametrize(
    ("d", "told"),
    [
        ("10 10h5v5z", "expected a command"),
        ("L10 10h5v5z", "begins with L, expected M"),
        ("M10 10h5vz", r"found 'z' at sign \d+, expected number 1 of 1 for v"),
        ("M10 10l5", "expected number 2 of 2 for l"),
        ("M10 10x5", "found 'x5' at sign 7"),
        ("M10 10a5 5 0 2 0 10 10z", "expected a flag 0 or 1"),
        ("M10 10h1e400", "too large"),
        ("M10 10h1e13", "too large"),
        ("M10 10h1e6v10z", "more than 10000 mm away: wrong unit"),
        ("M10 10hNaN", "expected number 1"),
    ],
)
def test_damaged_path_data_is_told_with_its_line(d, told):
    with pytest.raises(GeometryError, match=f"^a.svg:2: path: .*{told}"):
        read_svg(svg(f'<path d="{d}"/>'), name="a.svg")


def test_segments_without_length_do_no_harm():
    found = path("M10 10h20l0 0c0 0 0 0 0 0v10q0 0 0 0a5 5 0 0 1 0 0a0 5 0 0 1-20 0zz")
    assert area(found) == pytest.approx(200, rel=1e-12)
    assert len(found.contours[0]) == 4


# ------------------------------------------------------------------ shapes
def test_shapes():
    assert area(region('<circle cx="50" cy="50" r="20"/>')) == pytest.approx(400 * pi, rel=1e-14)
    assert area(region('<ellipse cx="50" cy="50" rx="20" ry="10"/>')) == pytest.approx(200 * pi, abs=2e-3 * 97)
    assert area(region('<rect x="10" y="10" width="40" height="20" rx="5"/>')) == pytest.approx(
        800 - 25 * (4 - pi), rel=1e-12
    )
    assert area(region('<rect width="40" height="20" rx="90" ry="10"/>')) == pytest.approx(200 * pi, abs=0.2)
    assert area(region('<polygon points="0,0 10,0 10,10"/>')) == 50
    assert area(region('<polyline points="0 0 10 0-10-10"/>')) == 50


def test_a_circle_stays_a_circle_where_it_is_only_turned_and_scaled():
    found = region('<circle r="5" transform="translate(50 50) rotate(33) scale(-2 2)"/>')
    assert is_circle(found.contours[0]).radius_mm == pytest.approx(10, abs=1e-12)


def test_a_sheared_circle_is_an_ellipse_within_two_micrometres():
    found = region('<circle r="10" transform="translate(50 50) skewX(30)"/>')
    assert area(found) == pytest.approx(100 * pi, abs=2e-3 * length(found))
    k = tan(radians(30))
    for v in found.contours[0].vertices:
        y = 50 - v.y
        assert hypot(v.x - 50 - k * y, y) == pytest.approx(10, abs=4e-3)


@pytest.mark.parametrize(
    "shape",
    [
        '<rect width="0" height="5"/>',
        '<circle r="0"/>',
        '<ellipse rx="3" ry="0"/>',
        '<polygon points=""/>',
        "<path/>",
        '<path d="M5 5"/>',
        '<path d="none"/>',
        '<line x2="9"/>',
        '<polyline points="3 4"/>',
    ],
)
def test_what_has_no_extent_draws_nothing(shape):
    with pytest.raises(GeometryError, match="nothing in the drawing has an area"):
        region(shape)


@pytest.mark.parametrize(
    ("shape", "told"),
    [
        ('<rect width="-3" height="5"/>', "width: found -3, expected 0 or more"),
        ('<circle r="big"/>', "r: found 'big', expected a length"),
        ('<circle r="3furlong"/>', "r: found '3furlong': the unit furlong is not known"),
        ('<polygon points="1 2 3"/>', "points: found 3 numbers, expected pairs"),
        ('<polygon points="1 2 x"/>', "points: found 'x'"),
        ('<rect width="1" height="1" transform="turn(3)"/>', "found the transform 'turn'"),
        ('<rect width="1" height="1" transform="scale(1,2,3)"/>', "found 3 values for scale, expected 1 or 2"),
        ('<rect width="1" height="1" fill="blackish"/>', "fill: found 'blackish', expected a colour"),
        ('<rect width="1" height="1" opacity="much"/>', "opacity: found 'much'"),
        ('<path d="M0 0h9" stroke="black" stroke-width="-1"/>', "stroke-width: found -1"),
        ('<path d="M0 0h9" stroke="black" stroke-dasharray="1 x"/>', "stroke-dasharray: found 'x'"),
    ],
)
def test_wrong_values_are_told_with_their_line(shape, told):
    with pytest.raises(GeometryError, match=f"^line 2 of the SVG file: [a-z]+: {told}"):
        region(shape)


# ------------------------------------------------------------------ where it lies
@pytest.mark.parametrize(
    ("transform", "expected"),
    [
        ("translate(5)", (15, 85, 20, 90)),
        ("translate(5,-3)", (15, 88, 20, 93)),
        ("scale(2)", (20, 70, 30, 80)),
        ("scale(2 1)", (20, 85, 30, 90)),
        ("rotate(90)", (-15, 85, -10, 90)),
        ("rotate(90 10 10)", (5, 85, 10, 90)),
        ("skewX(45)", (20, 85, 30, 90)),
        ("skewY(45)", (10, 70, 15, 80)),
        ("matrix(0 1 1 0 3 4)", (13, 81, 18, 86)),
        ("translate(5) scale(2)", (25, 70, 35, 80)),
        ("translate(5),scale(2)", (25, 70, 35, 80)),
        ("", (10, 85, 15, 90)),
        ("none", (10, 85, 15, 90)),
    ],
)
def test_transforms(transform, expected):
    found = region(f'<path d="M10 10h5v5h-5z" transform="{transform}"/>')
    assert box(found) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(
    ("size", "wide"),
    [
        ('width="100mm" height="100mm" viewBox="0 0 10 10"', 10),
        ('width="10cm" height="10cm" viewBox="0 0 10 10"', 10),
        ('width="1in" height="1in" viewBox="0 0 10 10"', 2.54),
        ('width="72pt" height="72pt" viewBox="0 0 10 10"', 2.54),
        ('width="6pc" height="6pc" viewBox="0 0 10 10"', 2.54),
        ('width="96px" height="96px" viewBox="0 0 10 10"', 2.54),
        ('width="96" height="96" viewBox="0 0 10 10"', 2.54),
        ('width="400Q" height="400Q" viewBox="0 0 10 10"', 10),
        ('width="100mm" viewBox="0 0 10 10"', 10),
        ('height="100mm" viewBox="0 0 10 10"', 10),
        ('width="100%" height="100%" viewBox="0 0 10 10"', 25.4 / 96),
        ('viewBox="0 0 10 10"', 25.4 / 96),
        ('width="100" height="100"', 25.4 / 96),
        ("", 25.4 / 96),
        ('width="200mm" height="100mm" viewBox="0 0 10 10"', 10),
        ('width="200mm" height="100mm" viewBox="0 0 10 10" preserveAspectRatio="xMinYMid slice"', 20),
    ],
)
def test_real_units(size, wide):
    found = read('<path d="M1 1h1v1h-1z"/>', size)
    b = bounds(found.region)
    assert (b.width_mm, b.height_mm) == pytest.approx((wide, wide), rel=1e-12)
    assert f"one unit of the drawing is {wide:.6g} mm" in found.unit_note


@pytest.mark.parametrize(
    ("how", "expected"),
    [
        ("xMinYMin meet", (0, 90, 10, 100)),
        ("xMidYMid", (45, 90, 55, 100)),
        ("xMaxYMax meet", (90, 90, 100, 100)),
        ("none", (0, 90, 100, 100)),
        ("xMinYMin slice", (0, 0, 100, 100)),
    ],
)
def test_how_a_box_is_laid_into_another(how, expected):
    """A square of one unit in a viewport of 100 by 10 at the upper edge of the sheet."""
    found = region(
        f'<svg width="100" height="10" viewBox="0 0 1 1" preserveAspectRatio="{how}" overflow="visible">'
        '<rect width="1" height="1"/></svg>'
    )
    assert box(found) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("size", ['viewBox="0 0 0 10"', 'viewBox="1 2 3"', 'width="0"', 'width="-3mm"', 'height="x"'])
def test_a_sheet_of_no_size_is_refused(size):
    with pytest.raises(GeometryError, match=r"line 1 of the SVG file: svg: (viewBox|width|height)"):
        read('<rect width="1" height="1"/>', size)


# ------------------------------------------------------------------ strokes
@pytest.mark.parametrize(
    ("keys", "expected"),
    [
        ("", 80),
        ('stroke-linecap="square"', 96),
        ('stroke-linecap="round"', 80 + 4 * pi),
        ('stroke-dasharray="3 2"', 48),
        ('stroke-dasharray="3"', 4 * (3 + 3 + 3 + 2)),
        ('stroke-dasharray="0 5" stroke-linecap="round"', 4 * 4 * pi),  # none begins where the run ends
        ('stroke-dasharray="5 0"', 80),
        ('stroke-dasharray="-5 1"', 80),
        ('stroke-dasharray="0"', 80),
    ],
)
def test_a_straight_stroke(keys, expected):
    """20 long, 4 wide."""
    found = region(f'<path d="M10 50h20" stroke="black" stroke-width="4" {keys}/>')
    assert area(found) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(
    ("keys", "corner"),
    [
        ("", 4),
        ('stroke-linejoin="miter" stroke-miterlimit="1.4"', 2),
        ('stroke-linejoin="bevel"', 2),
        ('stroke-linejoin="round"', pi),
    ],
)
def test_a_right_angle(keys, corner):
    """Two legs of 20, 4 wide: both bars less their common square, and the outside of the corner."""
    found = region(f'<path d="M10 50h20v20" fill="none" stroke="black" stroke-width="4" {keys}/>')
    assert area(found) == pytest.approx(80 + 80 - 4 + corner, rel=1e-9)


def test_a_closed_stroke_has_no_ends():
    found = region('<rect x="20" y="20" width="40" height="30" fill="none" stroke="black" stroke-width="4"/>')
    assert area(found) == pytest.approx(44 * 34 - 36 * 26, rel=1e-12)
    assert len(found) == 2


def test_a_circle_that_is_stroked_is_a_ring_of_circles():
    found = region('<circle cx="50" cy="50" r="20" fill="none" stroke="black" stroke-width="6"/>')
    assert [is_circle(c).radius_mm for c in found] == pytest.approx([23, 17], abs=1e-12)


def test_a_circle_tighter_than_its_stroke_is_a_disc():
    found = region('<circle cx="50" cy="50" r="4" fill="none" stroke="black" stroke-width="10"/>')
    assert len(found) == 1
    assert area(found) == pytest.approx(81 * pi, rel=1e-9)


def test_dots():
    dot = '<path d="M50 50{}" stroke="black" stroke-width="8" stroke-linecap="{}"/>'
    assert area(region(dot.format("h0", "round"))) == pytest.approx(16 * pi, rel=1e-12)
    assert area(region(dot.format("z", "square"))) == pytest.approx(64, rel=1e-12)
    with pytest.raises(GeometryError):
        region(dot.format("z", "butt"))


def test_a_stroke_under_a_stretch_is_wider_one_way():
    """A ring under scale(2 1): an ellipse less an ellipse."""
    ring = '<circle r="10" fill="none" stroke="#000" stroke-width="4"/>'
    found = region(f'<g transform="translate(50 50) scale(2 1)">{ring}</g>')
    assert area(found) == pytest.approx(2 * pi * (144 - 64), abs=4e-3 * length(found))
    assert box(found) == pytest.approx((26, 38, 74, 62), abs=4e-3)


def test_dashes_of_a_closed_run_meet_at_its_start():
    """12 dashes and gaps of 5 round a square of 30: the corner at the start is covered by one dash."""
    found = region(
        '<path d="M20 20h30v30h-30z" fill="none" stroke="black" stroke-width="2" stroke-dasharray="5 5" '
        'stroke-dashoffset="2.5"/>'
    )
    assert len(found) == 12
    assert area(found) == pytest.approx(12 * 10, rel=1e-9)  # a mitred corner has the area of a straight piece


# ------------------------------------------------------------------ painting
def test_fill_rules():
    star = "M50 10 73.5 82.4 11.9 37.6H88.1L26.5 82.4z"
    whole, hollow = path(star), region(f'<path fill-rule="evenodd" d="{star}"/>')
    assert contains_point(whole, (50, 50)).value == "inside"
    assert contains_point(hollow, (50, 50)).value == "outside"
    assert len(hollow) == 5
    assert len(whole) == 1


def test_light_over_dark_takes_away_and_dark_over_light_comes_back():
    colours = ((30, "navy"), (20, "ivory"), (10, "red"))
    discs = "".join(f'<circle cx="50" cy="50" r="{r}" fill="{c}"/>' for r, c in colours)
    assert area(region(discs)) == pytest.approx(pi * (900 - 400 + 100), rel=1e-12)
    assert area(region(discs, ink="all")) == pytest.approx(900 * pi, rel=1e-12)


def test_light_alone_is_told():
    with pytest.raises(GeometryError, match="nothing dark in the drawing: all it paints is light; write `ink: all`"):
        region('<rect width="9" height="9" fill="yellow"/>')
    assert area(region('<rect width="9" height="9" fill="yellow"/>', ink="all")) == pytest.approx(81)


@pytest.mark.parametrize(
    "keys",
    [
        'display="none"',
        'visibility="hidden"',
        'opacity="0"',
        'fill="none"',
        'style="fill:none"',
        'fill-opacity="0"',
        'fill="transparent"',
        'fill="url(#gone) none"',
    ],
)
def test_what_cannot_be_seen_is_not_there(keys):
    assert area(region(f'<rect width="50" height="50" {keys}/><rect width="2" height="2"/>')) == pytest.approx(4)


def test_faint_paint_is_left_out_and_told():
    found = read('<rect width="50" height="50" opacity=".3"/><rect width="2" height="2" fill-opacity="60%"/>')
    assert area(found.region) == pytest.approx(4)
    assert found.left_out == ("1 paint less than half opaque left out (first in line 2)",)


@pytest.mark.parametrize("name", sorted(ImageColor.colormap))
def test_named_colours_agree_with_an_independent_list(name):
    red, green, blue = ImageColor.getrgb(name)[:3]
    assert colour(name)[:3] == pytest.approx((red / 255, green / 255, blue / 255), abs=1e-12)
    assert len(NAMED) == 148


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("#fff", (1, 1, 1, 1)),
        ("#0f08", (0, 1, 0, 8 / 15)),
        ("#00000080", (0, 0, 0, 128 / 255)),
        ("RGB(255, 0,51)", (1, 0, 0.2, 1)),
        ("rgb(100% 0% 20%)", (1, 0, 0.2, 1)),
        ("rgba(0,0,0,.5)", (0, 0, 0, 0.5)),
        ("rgb(300,-5,0)", (1, 0, 0, 1)),
        ("hsl(120, 100%, 25%)", (0, 0.5, 0, 1)),
        ("hsl(0deg 0% 50% / 50%)", (0.5, 0.5, 0.5, 0.5)),
        ("transparent", (0, 0, 0, 0)),
    ],
)
def test_ways_of_writing_a_colour(text, expected):
    assert tuple(colour(text)) == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize("text", ["", "#12", "#ggg", "rgb(1,2)", "rgb(1,2,3", "rgb(a,b,c)", "inkish"])
def test_no_colour(text):
    with pytest.raises(GeometryError, match="expected a colour"):
        colour(text)


def test_what_outweighs_what():
    sheet = "<style>rect{fill:none}.a{fill:black}rect.a{fill:none}#i{fill:black}.b{fill:none!important}</style>"
    rect = '<rect width="9" height="9" fill="black" {}/><path d="M50 50h1v1z"/>'
    seen = {
        k: area(region(sheet + rect.format(k))) > 5
        for k in (
            "",
            'class="a"',
            'class="a" id="i"',
            'class="b"',
            'style="fill:black"',
            'class="b" style="fill:black"',
        )
    }
    assert list(seen.values()) == [False, False, True, False, True, False]


def test_style_rules_that_are_not_read_are_told():
    sheet = "<style>@import url(x.css);g+rect{fill:none}@media print{rect{fill:none}}</style>"
    found = read(sheet + "<rect width='9' height='9'/>")
    assert area(found.region) == pytest.approx(81)
    assert found.left_out == (
        "1 @import of a style sheet left out",
        "1 @media of a style sheet left out",
        "1 style rule for 'g+rect' left out",
    )


# ------------------------------------------------------------------ references and clipping
def test_references_are_drawn_where_they_are_put():
    rect = '<defs><rect id="r" x="1" width="4" height="3"/></defs>'
    found = region(rect + '<use href="#r" x="10" y="20" transform="scale(2)"/>')
    assert box(found) == pytest.approx((22, 54, 30, 60), abs=1e-9)


def test_the_sheet_of_a_symbol_hides_what_reaches_beyond_it():
    symbol = '<symbol id="s" viewBox="0 0 10 10"><circle r="10"/></symbol>'
    found = region(symbol + '<use href="#s" width="40" height="40"/>')
    assert area(found) == pytest.approx(400 * pi, rel=1e-9)
    assert box(found) == pytest.approx((0, 60, 40, 100), abs=1e-9)


def test_clip_paths():
    clip = '<clipPath id="c"><circle cx="50" cy="50" r="20"/></clipPath>'
    found = region(clip + '<rect width="50" height="100" clip-path="url(#c)"/>')
    assert area(found) == pytest.approx(200 * pi, rel=1e-9)
    with pytest.raises(GeometryError, match="nothing"):
        region(clip + '<rect width="20" height="20" clip-path="url(#c)"/>')
    found = read('<rect width="9" height="9" clip-path="url(#none)"/>')
    assert found.left_out == ("1 clip path url(#none) left out (first in line 2)",)


def test_one_element_alone():
    body = '<g transform="translate(10 0)" fill="none" stroke="black" stroke-width="2"><g id="a" display="none">' \
           '<path id="b" d="M10 10h20v20h-20z"/></g></g><rect width="90" height="90"/>'  # fmt: skip
    assert box(region(body, element="a")) == pytest.approx((19, 69, 41, 91), abs=1e-9)
    assert region(body, element="b") == region(body, element="a")
    with pytest.raises(GeometryError, match="nothing in the drawing has the id 'c'; there are: a, b"):
        region(body, element="c")


def test_compressed_files():
    data = svg('<circle r="3"/>')
    assert read_svg(gzip.compress(data)) == read_svg(data)


def test_encodings():
    text = svg('<circle id="grün" r="3"/>').decode()
    plain = read_svg(text.encode(), element="grün")
    for code in ("utf-16", "latin-1"):
        head = f'<?xml version="1.0" encoding="{code}"?>'
        assert read_svg((head + text).encode(code), element="grün") == plain


def test_turning_the_paper_turns_the_region():
    body = '<g transform="rotate({} 50 50)"><path d="M30 40C40 20 70 30 60 60zM40 45h10v8z" fill-rule="evenodd"/></g>'
    a, b = region(body.format(0)), region(body.format(37))
    assert area(a) == pytest.approx(area(b), abs=1e-3)
    c, s = cos(radians(-37)), sin(radians(-37))
    for v in a.contours[1].vertices:
        x, y = v.x - 50, v.y - 50
        turned = (50 + c * x - s * y, 50 + s * x + c * y)
        assert any(hypot(w.x - turned[0], w.y - turned[1]) < 1e-6 for w in b.contours[1].vertices)


@pytest.mark.parametrize("factor", [1.0, 2.5])
def test_pieces_beside_the_sheet_count_and_are_told(factor):
    body = '<rect width="9" height="9"/><rect x="95" width="9" height="9"/><circle id="c" cx="130" cy="40" r="10"/>'
    found = read(body, factor=factor)
    assert len(found.region) == 3
    assert found.left_out == (
        "1 of the pieces beyond the sheet, the first at (120, 50) mm: viewers show nothing there, but it counts here; "
        "delete what is not meant",
    )
    assert read(body, element="c", factor=factor).left_out == ()
