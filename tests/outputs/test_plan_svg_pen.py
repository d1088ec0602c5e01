"""The SVG pen against a renderer of other make, and the reader against closed forms."""

from __future__ import annotations

from io import BytesIO
from math import pi

import numpy as np
import pytest
import resvg_py
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from generator.base.units import decimal
from generator.outline.contour import Contour
from generator.outline.create import circle, slot
from generator.outline.measure import area, bounds
from generator.outline.region import Region
from generator.outputs.lettering import Box, shortened, text_width, wrapped, xml_text
from generator.outputs.svg_pen import path_data
from generator.outputs.svg_read import DrawnPath, SvgError, read_path


def read(region: Region) -> DrawnPath:
    return DrawnPath("x", read_path(path_data(region)))


bulges = st.one_of(st.just(0.0), st.floats(-1.0, 1.0).filter(lambda b: abs(b) > 1e-3), st.sampled_from([1.0, -1.0]))


@settings(derandomize=True, deadline=None, max_examples=200)
@given(st.lists(st.tuples(st.floats(5.0, 40.0), bulges), min_size=3, max_size=7), st.floats(-500.0, 500.0))
def test_area_and_box_are_read_back_whatever_the_arcs(spokes: list[tuple[float, float]], far: float) -> None:
    n = len(spokes)
    at = [(far + r * np.cos(2 * pi * i / n), r * np.sin(2 * pi * i / n), b) for i, (r, b) in enumerate(spokes)]
    region = Region((Contour.of(at),))
    drawn = read(region)
    # the contour may cross itself: areas and boxes are sums and extremes all the same
    assert drawn.area == pytest.approx(area(region), abs=2e-3)
    assert drawn.bounds == pytest.approx(tuple(bounds(region)), abs=1e-5)


@pytest.mark.parametrize("bulge", [-0.9, -0.3, 0.2, 0.5, 0.9, 1.0])
def test_another_renderer_sees_the_same_area(bulge: float) -> None:
    """resvg paints the path; counted pixels give the area. Wrong flags or radii would be off by whole segments."""
    outer = Contour.of([(-40, -40, bulge * 0.4), (40, -40, 0), (40, 40, bulge * 0.4), (-40, 40, 0)])
    hole = circle((3.0, 2.0), 11.0).reversed()
    region = Region((outer, hole))
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="1200" height="1200" viewBox="-60 -60 120 120">'
        f'<g transform="scale(1 -1)"><path d="{path_data(region)}" fill-rule="evenodd"/></g></svg>'
    )
    data = bytes(resvg_py.svg_to_bytes(svg_string=svg, background="white"))
    pixels = np.asarray(Image.open(BytesIO(data)).convert("L"), dtype=float)
    covered = (1.0 - pixels / 255.0).sum() / 100.0
    assert covered == pytest.approx(area(region), rel=5e-4)  # eight bits of coverage


def test_circles_and_slots_read_back_by_closed_form() -> None:
    disc = read(Region((circle((100.0, -7.0), 3.3),)))
    assert disc.area == pytest.approx(pi * 3.3**2, abs=1e-5)
    assert disc.bounds == pytest.approx((96.7, -10.3, 103.3, -3.7), abs=1e-6)
    long = read(Region((slot((0.0, 0.0), (20.0, 0.0), 6.0),)))
    assert long.area == pytest.approx(20 * 6 + pi * 9, abs=1e-5)


def test_half_circles_are_split_so_that_rounding_cannot_move_their_centre() -> None:
    assert path_data(Region((circle((0.0, 0.0), 5.0),))).count("A") == 4


@pytest.mark.parametrize(
    "bad", ["M0 0L1 1", "M0 0C1 1 2 2 3 3Z", "M0 0L1Z", "5 5", "M0 0A2 3 0 0 1 1 1Z", "M0 0A2 2 0 1 1 1 1Z"]
)
def test_the_reader_refuses_what_it_does_not_know(bad: str) -> None:
    with pytest.raises(SvgError):
        read_path(bad)


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.0, "0"), (-1e-9, "0"), (1.5, "1.5"), (100.0, "100"), (-0.25, "-0.25"), (12345.1234567, "12345.123457")],
)
def test_decimals_have_no_needless_digit(value: float, text: str) -> None:
    assert decimal(value) == text


@settings(derandomize=True, deadline=None, max_examples=200)
@given(st.text(max_size=80), st.floats(1.0, 60.0))
def test_wrapped_lines_fit_and_lose_no_word(text: str, width: float) -> None:
    lines = wrapped(text, 3.0, width)
    assert "".join("".join(lines).split()) == "".join(text.split())
    assert all(text_width(line, 3.0) <= width or len(line) == 1 for line in lines)
    assert text_width(shortened(text, 3.0, width), 3.0) <= max(width, text_width("…", 3.0))


@settings(derandomize=True, deadline=None, max_examples=200)
@given(st.text(max_size=40))
def test_any_text_becomes_well_formed(text: str) -> None:
    from xml.etree import ElementTree

    ElementTree.fromstring(f"<a>{xml_text(text)}</a>".encode())


def test_widths_are_an_upper_estimate_for_the_face_of_the_pictures() -> None:
    """Measured with Pillow and FreeType on the very font file."""
    from PIL import ImageFont

    from generator.outputs.raster import font_files

    for bold, path in enumerate(font_files()):
        font = ImageFont.truetype(path, 200)
        for text in (
            "Gate latch cover, plot 21",
            "⌀6.6 × 4",
            "Teleskop-Säule Nº 7",
            "THE ORIGINAL BEARS LOAD",
            "0.31 mm",
        ):
            assert font.getlength(text) <= text_width(text, 200, bold=bool(bold)) * 1.005


def test_boxes_that_share_a_border_do_not_overlap() -> None:
    a = Box(0, 0, 1, 1)
    assert not a.overlaps(Box(1, 0, 2, 1))
    assert a.overlaps(Box(0.9, 0, 2, 1))
    assert not a.is_free([Box(0.5, 0.5, 3, 3)])
