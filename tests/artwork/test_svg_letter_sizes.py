"""Lengths in sizes of letters: 16 pixels where nothing is said of letters, refused with the line where it is."""

from __future__ import annotations

from math import pi

import pytest

from generator.artwork.svg import read_svg
from generator.base.errors import GeometryError
from generator.outline.measure import area

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40"'


@pytest.mark.parametrize(("radius", "pixels"), [("1em", 16.0), ("1rem", 16.0), ("1ex", 8.0), ("2.5e-1em", 4.0)])
def test_without_a_word_on_letters_an_em_is_sixteen_pixels(radius: str, pixels: float) -> None:
    """CSS 2.1, 15.7: the size of letters that nobody gives is ``medium``, 16 px in viewers (from memory)."""
    drawing = read_svg(f'{HEAD}><circle cx="30" cy="20" r="{radius}"/></svg>'.encode())
    assert area(drawing.region) == pytest.approx(pi * pixels**2, rel=1e-4)


@pytest.mark.parametrize(
    "inside",
    [
        '>\n<circle cx="45" cy="20" r="2em" font-size="3"/>',
        ' font-size="3">\n<circle cx="45" cy="20" r="2em"/>',
        ' style="font: 3px serif">\n<circle cx="45" cy="20" r=".5ex"/>',
        '>\n<rect width="2rem" height="9"/><style>svg { font-size: 3px }</style>',
        '><g font-size="150%">\n<line x2="9" y2="9" stroke="red" style="stroke-width: 1.5em"/></g>',
        '><g font-size="9">\n<style>circle { r: 2em }</style><circle cx="9" cy="9"/></g>',
        ' font-size="3">\n<rect width="9" height="9" transform="translate(1em, 2)"/>',
    ],
)
def test_sizes_of_letters_are_refused_with_their_line_where_they_are_said(inside: str) -> None:
    with pytest.raises(GeometryError, match=r"^drawing.svg:2: .*a length in sizes of letters.*write it in px or mm"):
        read_svg(f"{HEAD}{inside}</svg>".encode(), name="drawing.svg")


@pytest.mark.parametrize(
    "inside",
    [
        ' font-size="3"><rect width="9" height="9"/>',
        '><text x="2em" font-size="2em">A</text><rect width="9" height="9"/>',
        '><rect id="item" class="item4em" width="9" height="9" fill="#04e" style="font-size: 2em"/>',
    ],
)
def test_letters_that_measure_nothing_change_nothing(inside: str) -> None:
    assert area(read_svg(f"{HEAD}{inside}</svg>".encode()).region) == pytest.approx(81.0)
