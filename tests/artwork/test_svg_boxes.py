"""Boxes round elements against closed forms; where viewers see different ones, shares of them are refused."""

from __future__ import annotations

from math import cos, hypot, radians, sin, tau

import pytest

from generator.base.errors import GeometryError
from generator.outline.measure import area, bounds
from tests.artwork.svg_files import read, region

HALF = '<clipPath id="c" clipPathUnits="objectBoundingBox"><rect x="{}" y="{}" width=".5" height=".5"/></clipPath>'
SHEET = '<mask id="m" x="0" y="0" width="1" height="1"><path d="M-500-500h1000v1000h-1000z" fill="white"/></mask>'


def box(found):
    b = bounds(found)
    return b.xmin, b.ymin, b.xmax, b.ymax


def test_the_box_of_a_turned_ellipse_is_the_tightest_one():
    """Half sizes: the root of (a cos)² + (b sin)²; the mask shows the box alone, and cuts the stroke that leaves it."""
    body = f'{SHEET}<g mask="url(#m)"><ellipse cx="50" cy="50" rx="30" ry="12" transform="rotate(30 50 50)" ' \
           'stroke="black" stroke-width="8"/></g>'  # fmt: skip
    c, s = cos(radians(30)), sin(radians(30))
    w, h = hypot(30 * c, 12 * s), hypot(30 * s, 12 * c)
    assert box(region(body)) == pytest.approx((50 - w, 50 - h, 50 + w, 50 + h), abs=4e-3)


@pytest.mark.parametrize("degrees", [0, 90, 180, -270])
def test_shares_of_a_box_that_no_viewer_doubts(degrees):
    """The box of the ellipse is 60 by 24, however it is turned by quarters; a quarter of it is asked for."""
    body = HALF.format(0, 0) + '<g clip-path="url(#c)"><ellipse cx="50" cy="50" rx="30" ry="12" ' \
           f'transform="rotate({degrees} 50 50)"/></g>'  # fmt: skip
    assert area(region(body)) == pytest.approx(tau / 2 * 30 * 12 / 4, rel=1e-3)


def test_a_turned_rectangle_has_one_box_only():
    """The box of a square of side a turned by 30 degrees has the side a (cos + sin), whoever reckons it."""
    body = HALF.format(0.25, 0) + '<g clip-path="url(#c)"><rect x="30" y="30" width="40" height="40" ' \
           'transform="rotate(30 50 50)"/></g>'  # fmt: skip
    side = 40 * (cos(radians(30)) + sin(radians(30)))
    assert box(region(body))[::2] == pytest.approx((50 - side / 4, 50 + side / 4), abs=1e-6)


@pytest.mark.parametrize(
    "inner",
    [
        '<ellipse cx="50" cy="50" rx="30" ry="12" transform="rotate(30 50 50)"/>',
        '<g transform="rotate(30 50 50)"><path d="M10 50C30 10 70 10 90 50z"/></g>',
        '<g transform="skewX(-20)"><rect width="9" height="9"/><rect x="30" y="40" width="9" height="9"/></g>',
        '<g transform="rotate(45)"><rect width="20" height="9" transform="rotate(-45)"/></g>',
        '<use href="#e" transform="rotate(30)"/><defs><circle id="e" r="5"/></defs>',
    ],
)
def test_shares_of_a_box_about_which_viewers_differ_are_refused(inner):
    told = r"line 3 of the SVG file: g: shares of the box .* viewers differ by \d.* mm .*: cut in user space instead"
    with pytest.raises(GeometryError, match=told):
        region(HALF.format(0, 0) + f'\n<g clip-path="url(#c)">{inner}</g>')
    plain = region(f'{SHEET}<g mask="url(#m)">{inner}</g>')  # nothing is doubtful about a mask that cuts nothing
    assert area(plain) == pytest.approx(area(region(inner)), abs=0.02)


def test_shares_of_a_box_that_holds_letters_are_refused():
    with pytest.raises(GeometryError, match="there is text in line 3, the size of which is not reckoned"):
        region(HALF.format(0, 0) + '\n<g clip-path="url(#c)"><rect width="9" height="9"/><text>a</text></g>')


def test_children_turned_about_their_own_point_count_where_they_lie():
    """A bar from x = 20 to 60 turned upright about its left end: 10 wide, 40 high."""
    body = HALF.format(0, 0) + '<g clip-path="url(#c)"><rect x="20" y="40" width="40" height="10" ' \
           'transform="rotate(90)" transform-origin="20 40"/></g>'  # fmt: skip
    assert box(region(body)) == pytest.approx((10, 40, 15, 60))


# ------------------------------------------------------------------ transforms as style sheets write them
@pytest.mark.parametrize(
    ("style", "expected"),
    [
        ("transform:rotate(90deg)", (-50, 60, -40, 80)),
        ("transform:rotate(.25turn)", (-50, 60, -40, 80)),
        ("transform:rotate(100grad)", (-50, 60, -40, 80)),
        ("transform:rotate(1.5707963267948966rad)", (-50, 60, -40, 80)),
        ("transform:rotate(90deg);transform-origin:50% 50%", (50, 60, 60, 80)),
        ("transform:rotate(90deg);transform-origin:right 40px", (90, 120, 100, 140)),
        ("transform:rotate(90deg);transform-box:fill-box;transform-origin:100% 100%", (40, 50, 50, 70)),
        ("transform:translate(10%, 20%)", (30, 30, 50, 40)),
        ("transform:translate(50%, 100%);transform-box:fill-box", (30, 40, 50, 50)),
        ("transform:translate(5px)", (25, 50, 45, 60)),
        ("transform:translateX(5px) translateY(-1px)", (25, 51, 45, 61)),
        ("transform:scaleX(2) scaleY(50%)", (40, 75, 80, 80)),
        ("transform:skew(0, 45deg)", (20, 10, 40, 40)),
        ("transform:matrix(1,0,0,1,5,0) rotate(0)", (25, 50, 45, 60)),
        ("transform:none", (20, 50, 40, 60)),
    ],
)
def test_transforms_of_styles(style, expected):
    """The bar from (20, 40) to (40, 50) on a sheet of 100 by 100, seen with y up."""
    assert box(region(f'<rect x="20" y="40" width="20" height="10" style="{style}"/>')) == pytest.approx(
        expected, abs=1e-9
    )


@pytest.mark.parametrize("call", ["rotate(30)", "translate(5, 5px)", "skewX(3)"])
def test_transforms_of_styles_without_units_are_refused(call):
    with pytest.raises(GeometryError, match=r"line 2 .*: transform: found .* need a unit such as 30deg or 5px"):
        region(f'<rect width="20" height="10" style="transform:{call}"/>')
    assert region(f'<rect width="20" height="10" transform="{call}"/>')


@pytest.mark.parametrize(
    ("call", "told"),
    [
        ("rotate(5mm)", "found '5mm', expected an angle"),
        ("scale(5px)", "found '5px', expected a number"),
        ("translate(5deg)", "the unit deg is not known"),
        ("rotate3d(1,1,1,5deg)", r"found 'rotate3d\(1"),
        ("perspective(5px)", "found the transform 'perspective'"),
    ],
)
def test_transforms_that_cannot_be_are_told(call, told):
    with pytest.raises(GeometryError, match=told):
        region(f'<rect width="20" height="10" transform="{call}"/>')


# ------------------------------------------------------------------ symbols
@pytest.mark.parametrize(
    "keys", ['width="30"', 'height="20"', 'x="3"', 'refX="5"', 'transform="scale(2)"', 'width="3" refY="1"']
)
def test_what_only_some_viewers_follow_of_a_symbol_is_refused(keys):
    body = f'<symbol id="s" {keys}><rect width="10" height="10"/></symbol>\n<use href="#s"/>'
    with pytest.raises(GeometryError, match=r"symbol in line 2: its .* counts in some viewers and not in others"):
        region(body)


def test_a_size_at_the_use_settles_it():
    symbol = '<symbol id="s" width="3" height="4" viewBox="0 0 1 1"><rect width="1" height="1"/></symbol>'
    assert area(read(symbol + '<use href="#s" width="20" height="20"/>').region) == pytest.approx(400)
