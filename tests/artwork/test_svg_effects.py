"""What hides, moves and filters: as an independent renderer shows it, or refused with line and remedy."""

from __future__ import annotations

from math import pi

import pytest

from generator.artwork.svg import read_svg
from generator.base.errors import GeometryError
from generator.outline.measure import area, bounds
from tests.artwork.svg_files import read, region, svg
from tests.artwork.test_svg_pictures import PX_MM, rendered
from tests.oracles.even_odd_scan import agreement, picture_of

DISC = '<circle cx="50" cy="50" r="30"'
SEEN = {
    "clip in shares of a box": '<clipPath id="c" clipPathUnits="objectBoundingBox"><circle cx=".5" cy=".5" r=".5"/>'
    '</clipPath><g transform="rotate(20 50 50)"><rect x="20" y="30" width="60" height="30" clip-path="url(#c)"/></g>',
    "clip of a group in shares of its box": '<clipPath id="c" clipPathUnits="objectBoundingBox"><path d="M0 0H1L.5 1z"'
    '/></clipPath><g clip-path="url(#c)"><rect x="10" y="20" width="20" height="20"/><g transform="translate(5 9)">'
    '<ellipse cx="70" cy="20" rx="18" ry="9"/></g></g>',
    "clip of a reference": '<clipPath id="c" clipPathUnits="objectBoundingBox"><rect width=".5" height=".7"/>'
    '</clipPath><defs><path id="p" d="M0 0C30 0 40 20 40 60H0z"/></defs>'
    '<use href="#p" x="20" y="15" clip-path="url(#c)"/>',
    "clip in user space of a reference": '<clipPath id="c"><circle cx="20" cy="20" r="16"/></clipPath><defs>'
    '<path id="p" d="M0 0H40V30z"/></defs><use href="#p" x="50" y="40" clip-path="url(#c)"/>'
    '<use href="#p" y="3" transform="scale(.8)" clip-path="url(#c)"/>',
    "clip made of a reference": '<defs><path id="p" d="M0 0H40V30z"/></defs><clipPath id="c"><use href="#p" '
    'x="50" y="40"/></clipPath><rect width="80" height="60" clip-path="url(#c)"/>',
    "mask of a reference in shares of a box": '<mask id="m" maskContentUnits="objectBoundingBox"><path d="M0 0H1L0 1z" '
    'fill="white"/></mask><defs><path id="p" d="M5 9H40V30H5z"/></defs><use href="#p" x="50" y="40" mask="url(#m)"/>',
    "knock-out mask": '<mask id="m"><rect width="100" height="100" fill="white"/><circle cx="50" cy="50" r="15"/>'
    f'</mask>{DISC} mask="url(#m)"/>',
    "mask in its default box": '<mask id="m"><rect width="100" height="100" fill="#fff"/></mask><path d="M50 50h30" '
    'stroke="black" stroke-width="3" mask="url(#m)"/>' + DISC.replace("50", "30") + ' mask="url(#m)"/>',
    "mask in shares of a box": '<mask id="m" maskContentUnits="objectBoundingBox" x="0" y="0" width=".8" height="1">'
    f'<rect x=".2" width=".9" height=".6" fill="white"/></mask>{DISC} mask="url(#m)"/>',
    "mask in user space": '<mask id="m" maskUnits="userSpaceOnUse" x="25" y="10" width="40" height="60">'
    f'<path d="M0 0H90V90z" fill="white"/></mask><g mask="url(#m)" transform="translate(4 6)">{DISC}/></g>',
    "mask by alpha": '<mask id="m" mask-type="alpha"><rect width="60" height="55"/></mask>'
    f'{DISC} mask="url(#m)"/>',
    "turned about a point": '<rect x="20" y="40" width="40" height="10" transform="rotate(30)" '
    'transform-origin="20 40"/>',
    "turned about shares of the sheet": '<rect x="20" y="40" width="40" height="10" transform="rotate(30)" '
    'transform-origin="50% 50%"/>',
}  # fmt: skip


@pytest.mark.parametrize("name", SEEN)
def test_region_is_what_the_renderer_shows(name):
    data = svg(SEEN[name])
    seen = rendered(data.decode(), 5)
    ours = picture_of(read_svg(data).region, 100, 5 / PX_MM, seen.shape[1], seen.shape[0])
    assert seen.any()
    assert agreement(ours, seen) >= 0.998


def test_an_empty_mask_hides_everything():
    with pytest.raises(GeometryError, match="nothing in the drawing has an area"):
        region(f'<mask id="m"/>{DISC} mask="url(#m)"/>')


def test_the_same_mask_counts_anew_where_another_element_uses_it():
    body = '<mask id="m" maskContentUnits="objectBoundingBox"><rect width=".5" height="1" fill="white"/></mask>'
    found = region(body + "".join(f'<rect x="{x}" width="10" height="10" mask="url(#m)"/>' for x in (0, 20, 40)))
    assert area(found) == pytest.approx(150)
    assert len(found) == 3


def test_turned_about_its_own_box():
    found = region(
        '<rect x="20" y="40" width="40" height="10" style="transform-box:fill-box;transform-origin:center" '
        'transform="rotate(90)"/>'
    )
    b = bounds(found)
    assert (b.xmin, b.ymin, b.xmax, b.ymax) == pytest.approx((35, 35, 45, 75))


def test_a_stroke_that_is_not_scaled_keeps_its_pixels():
    found = region(
        '<g transform="scale(10 2)"><path d="M1 10h5" stroke="black" stroke-width="8" '
        'vector-effect="non-scaling-stroke"/></g>'
    )
    assert area(found) == pytest.approx(50 * 8 * PX_MM)


def test_a_blur_and_a_shadow_leave_edges_where_they_are_and_are_told():
    body = f'<filter id="f"><feGaussianBlur stdDeviation="1"/></filter>\n{DISC} filter="url(#f)"/>'
    found = read(body)
    assert area(found.region) == pytest.approx(900 * pi)
    assert found.left_out == ("1 filter that softens or shadows left out (first in line 3)",)


@pytest.mark.parametrize(
    ("body", "told"),
    [
        (f'<filter id="f"><feMorphology radius="3"/></filter>\n{DISC} filter="url(#f)"/>', "filter .feMorphology"),
        (f'<filter id="f"><feOffset dx="30"/></filter>\n{DISC} filter="url(#f)"/>', "filter .feOffset"),
        (f'\n{DISC} filter="invert(1)"/>', "filter .invert"),
        (f'\n{DISC} clip-path="circle(3)"/>', "clip-path: 'circle.3.' is not reckoned: cut with a path"),
        (
            '<linearGradient id="g"><stop stop-color="#fff"/><stop offset="1"/></linearGradient><mask id="m">\n'
            f'<rect width="90" height="90" fill="url(#g)"/></mask>{DISC} mask="url(#m)"/>',
            "a mask holds shades of a linearGradient, so that it may fade",
        ),
        (
            f'<clipPath id="c">\n<text>x</text></clipPath>{DISC} clip-path="url(#c)"/>',
            "text in a clip path: convert it to paths",
        ),
        (
            '<marker id="a"><path d="M0 0h3v3z"/></marker>\n<path d="M5 5h20" stroke="black" marker-end="url(#a)"/>',
            "marker-end: arrow heads .* convert the stroke to paths",
        ),
    ],
)
def test_what_would_alter_the_shape_is_refused_with_its_line_and_remedy(body, told):
    with pytest.raises(GeometryError, match=f"^a.svg:3: .*{told}"):
        read_svg(svg(body), name="a.svg")
