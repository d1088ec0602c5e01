"""Drawings whose references would draw millions: refused before one of them is followed. Work is counted, not timed."""

from __future__ import annotations

import pytest

from generator.artwork import svg_count
from generator.artwork.svg import read_svg
from generator.artwork.svg_draw import Walk
from generator.artwork.svg_view import page_of
from generator.artwork.svg_xml import MOST_ELEMENTS, SvgError, parse
from tests.artwork.svg_files import svg

DOT = '<rect id="g0" width=".5" height=".5"/>\n'
SHOWN = '<use href="#g10"/>'


def levels(one: str, most: int = 10) -> str:
    """Return ten levels in which ``one`` stands ten times: ``{j}`` is its number, ``{below}`` the level below."""
    tag = "clipPath" if "clip-path" in one else "mask" if "mask" in one else "g"
    rows = [
        f'<{tag} id="g{k}">{"".join(one.format(j=j, below=k - 1, k=k) for j in range(10))}</{tag}>\n'
        for k in range(1, most + 1)
    ]
    return "<defs>" + DOT + "".join(rows) + "</defs>\n"


USES = levels('<use href="#g{below}" x="{j}"/>')
BOMBS = {
    "uses": USES + SHOWN,
    "uses in one place": levels('<use href="#g{below}"/>') + SHOWN,
    "groups within": levels('<g><g><use href="#g{below}" y="{j}"/></g></g>') + SHOWN,
    "by the older name": levels('<use xlink:href="#g{below}"/>').replace("<defs>", "<g>").replace("</defs>", "</g>"),
    "symbols": USES.replace("<g ", "<symbol ").replace("</g>", "</symbol>") + SHOWN,
    "drawings": USES.replace("<g ", '<svg width="9" height="9" ').replace("</g>", "</svg>") + SHOWN,
    "clip paths": levels('<rect width="9" height="9" transform="translate({j} {k})" clip-path="url(#g{below})"/>')
    + '<rect width="9" height="9" clip-path="url(#g10)"/>',
    "clip paths by style": levels('<rect width="9" height="9" x="{j}" style="clip-path: url(\'#g{below}\')"/>')
    + '<rect width="9" height="9" clip-path="url(#g10)"/>',
    "masks": levels('<rect width="9" height="9" transform="translate({j} {k})" mask="url(#g{below})"/>')
    + '<rect width="9" height="9" mask="url(#g10)"/>',
    "uses in a mask": USES + '<mask id="m">' + SHOWN + '</mask><rect width="9" height="9" mask="url(#m)"/>',
    "uses that are cut": USES + '<clipPath id="c"><rect width="9" height="9"/></clipPath>'
    '<use href="#g10" clip-path="url(#c)"/>',
    "uses about their own box": USES + '<use href="#g10" style="transform-box:fill-box;transform:rotate(3deg)"/>',
}


@pytest.mark.parametrize("name", BOMBS)
def test_bombs_are_refused_before_anything_is_drawn(name, monkeypatch):
    looked_at: list[int] = []
    monkeypatch.setattr(Walk, "visit", lambda _self, element: looked_at.append(element.line))
    with pytest.raises(SvgError, match=rf"line \d+ of the SVG file: references draw more than {MOST_ELEMENTS} elem"):
        read_svg(svg(BOMBS[name]))
    assert not looked_at


def test_an_element_of_a_bomb_is_refused_by_itself_alone():
    drawing = svg(USES + SHOWN)
    with pytest.raises(SvgError, match="references draw more than"):
        read_svg(drawing, element="g8")
    assert len(read_svg(drawing, element="g1").region) == 10


LAWFUL = {
    "plain": DOT * 3,
    "groups": f"<g><g>{DOT}</g></g><switch>{DOT}{DOT}</switch>",
    "uses": f"<defs><g id='a'>{DOT}{DOT}</g></defs>" + '<use href="#a"/>' * 7,
    "uses of uses": levels('<use href="#g{below}" x="{j}"/>', 2) + '<g><use href="#g2"/></g>',
    "symbols": "<symbol id='a'><rect width='1' height='1'/></symbol>" + '<use href="#a" width="9" height="9"/>' * 4,
    "hidden": f"<g display='none'>{DOT * 9}</g><g style='fill:red; display: none'>{DOT * 9}</g>{DOT}",
    "nothing there": '<use href="#none"/><use href="other.svg#a"/><use/>' + DOT,
    "silent": f"<title/><defs>{DOT * 9}</defs><pattern id='p'>{DOT * 9}</pattern>{DOT}",
}


@pytest.mark.parametrize("name", LAWFUL)
def test_the_count_is_what_is_looked_at_in_the_end(name, monkeypatch):
    """Checked against the walk itself, which visits element by element: just as many pass, one less is refused."""
    document = parse(svg(LAWFUL[name]))
    walk = Walk(document, page_of(document.root))
    visited: list[int] = []
    monkeypatch.setattr(Walk, "visit", lambda _self, element: visited.append(element.line))
    list(walk.all())
    monkeypatch.setattr(svg_count, "MOST_ELEMENTS", len(visited))
    svg_count.refuse_many(document, document.root, walk.children)
    monkeypatch.setattr(svg_count, "MOST_ELEMENTS", len(visited) - 1)
    with pytest.raises(SvgError, match="references draw more than"):
        svg_count.refuse_many(document, document.root, walk.children)


def test_one_clip_path_of_thousands_counts_once():
    squares = '<rect width="2" height="2"/>' * 30
    body = f'<clipPath id="c">{squares}</clipPath>' + '<g clip-path="url(#c)"><rect width="9" height="9"/></g>' * 2_000
    document = parse(svg(body))
    svg_count.refuse_many(document, document.root, lambda element: element.children)
