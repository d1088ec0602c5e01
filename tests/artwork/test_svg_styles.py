"""What styles say, as standards have it: selectors, words in capitals, sizes, switches, orders of painting."""

from __future__ import annotations

import pytest

from generator.artwork.svg_select import chain_of, parents_of, selector
from generator.artwork.svg_xml import parse
from generator.base.errors import GeometryError
from generator.outline.measure import area, bounds
from tests.artwork.svg_files import read, region, svg

TREE = parse(
    svg(
        '<g id="a" class="x y"><g id="b"><path id="c" d="M0 0" class="p q"/><rect id="d" class="q"/></g></g>'
        '<g id="e" data-k="one two"><path id="f" fill="red-ish"/></g>'
    )
)
PARENTS = parents_of(TREE.root)


@pytest.mark.parametrize(
    ("text", "chosen"),
    [
        ("*", "abcdef"),
        ("path", "cf"),
        (".q", "cd"),
        (".q.p", "c"),
        ("rect.q", "d"),
        ("#d", "d"),
        ("path#d", ""),
        ("#c#d", ""),
        ("g path", "cf"),
        ("g > path", "cf"),
        ("#a path", "c"),
        ("#a > path", ""),
        ("#a>g>path", "c"),
        ("g g .q", "cd"),
        ("svg > g > path", "f"),
        (".x.y #b *", "cd"),
        ("g:first-child", "ab"),
        (":first-child", "abcf"),
        ("[fill]", "f"),
        ("[id=d]", "d"),
        ("path[id='c'][class]", "c"),
        ('[class ~= "q"]', "cd"),
        ("[fill|=red]", "f"),
        ("[fill^=red]", "f"),
        ("[fill$=ish]", "f"),
        ("[fill*='d-i']", "f"),
        ("[fill*='']", ""),
        ("[=]", ""),
        ("g g g path", ""),
    ],
)
def test_selectors(text, chosen):
    asked = selector(text)
    assert asked is not None
    named = [e for e in TREE.root.walk() if "id" in e.attributes]
    found = [e.attributes["id"] for e in named if asked.fits(chain_of(e, PARENTS), PARENTS)]
    assert sorted(found) == sorted(chosen)


@pytest.mark.parametrize(
    "text", ["", "a + b", "a ~ b", "a:hover", "a::before", ":not(a)", ">a", "a >", "..a", "a" * 500]
)
def test_selectors_that_are_not_read(text):
    assert selector(text) is None


@pytest.mark.parametrize(
    ("sheet", "shown"),
    [
        ("g rect{fill:none}", False),
        ("g>rect{fill:none}", False),
        ("svg>rect{fill:none}", True),
        ("rect[width]{fill:none}", False),
        ("#g .k{fill:none} rect.k{fill:black}", False),  # an id weighs more than a name and a class
        ("g .k{fill:none} rect.k.k{fill:black}", True),
        (".k{fill:NONE}", False),
        ("rect{DISPLAY:None}", False),
        ("rect{visibility:Hidden}", False),
    ],
)
def test_rules_by_what_an_element_lies_in(sheet, shown):
    found = region(f'<style>{sheet}</style><g id="g"><rect class="k" width="9" height="9"/></g><path d="M50 50h1v1z"/>')
    assert area(found) == pytest.approx(81.5 if shown else 0.5)


def test_words_in_capitals():
    keys = 'fill="None" stroke="BLACK" stroke-width="2" stroke-linecap="Round"'
    assert area(region(f'<path d="M10 10h20" {keys}/>')) == pytest.approx(40 + 3.14159265, rel=1e-6)


@pytest.mark.parametrize(
    "body",
    [
        '<rect style="x:20px;y:30px;width:40px;height:10px"/>',
        "<style>rect{x:20px;y:30px;width:40px;height:10px}</style><rect/>",
        '<style>#r{width:40px}</style><rect id="r" x="20" y="30" width="99" height="10"/>',
        "<path style=\"d:path('M20 30h40v10h-40z')\"/>",
    ],
)
def test_sizes_said_by_a_style(body):
    b = bounds(region(body))
    assert (b.xmin, b.ymin, b.xmax, b.ymax) == pytest.approx((20, 60, 60, 70))


def test_a_plain_colour_before_a_profile_counts():
    assert area(region('<rect width="9" height="9" fill="#000000 icc-color(any, 0.1, 0.2)"/>')) == pytest.approx(81)


@pytest.mark.parametrize(
    ("order", "shown"), [("stroke", 44), ("markers stroke", 44), ("markers", 80), ("fill stroke", 80), ("normal", 80)]
)
def test_order_of_painting(order, shown):
    """A light square of 10, dark stroke 2: the fill covers the inner half of the stroke if it comes last."""
    keys = f'fill="white" stroke="black" stroke-width="2" paint-order="{order}"'
    assert area(region(f'<rect x="20" y="20" width="10" height="10" {keys}/>')) == pytest.approx(shown)


def test_a_switch_passes_over_what_draws_nothing():
    inner = '<title>t</title><rect systemLanguage="xx" width="50" height="50"/><rect width="3" height="3"/>'
    assert area(region(f"<switch>{inner}</switch>")) == pytest.approx(9)


@pytest.mark.parametrize("key", ['systemLanguage="fr"', 'requiredExtensions="urn:any"'])
def test_what_is_for_some_viewers_only_is_left_out_and_told(key):
    found = read(f'<rect {key} width="50" height="50"/><rect width="3" height="3"/>')
    assert area(found.region) == pytest.approx(9)
    assert found.left_out == ("1 rect for some languages or viewers only left out (first in line 2)",)


@pytest.mark.parametrize("join", ["miter-clip", "arcs"])
def test_corners_that_viewers_draw_differently_are_refused(join):
    with pytest.raises(GeometryError, match=f"line 2 .*: stroke-linejoin: found {join}.*; write miter, round or bevel"):
        region(f'<path d="M10 10L80 20L10 30" fill="none" stroke="black" stroke-linejoin="{join}"/>')


STOPS = '<linearGradient id="g">{}</linearGradient><rect width="9" height="9" fill="url(#g)"/><path d="M50 50h1v1z"/>'


@pytest.mark.parametrize(
    ("stops", "shown"),
    [
        ("", False),
        ('<stop stop-opacity="0"/><stop offset="1" stop-opacity="0"/>', False),
        ('<stop stop-opacity=".4"/><stop offset="1" stop-color="#0008"/>', False),
        ('<stop stop-opacity=".6"/><stop offset="1"/>', True),
        ('<stop style="stop-color:#fff"/>', False),
    ],
)
def test_shades_that_cover_less_than_half_or_are_none(stops, shown):
    assert area(region(STOPS.format(stops))) == pytest.approx(81.5 if shown else 0.5)
