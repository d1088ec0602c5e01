"""Drawings as an independent renderer shows them (resvg), and the same drawings as regions, pixel by pixel."""

from __future__ import annotations

import io
from functools import cache
from math import ceil
from pathlib import Path

import numpy as np
import pytest
import resvg_py
from PIL import Image

from generator.artwork.svg import read_svg
from generator.outline.predicates import explain_contour
from tests.oracles.even_odd_scan import agreement, picture_of

FOLDER = Path(__file__).parents[1] / "data" / "svg"
FILES = sorted(FOLDER.glob("*.svg"))
PX_MM = 25.4 / 96
LONGER_PX = 2400

SIZES_MM = {
    "clips": (127, 63.5), "commands": (127, 95.25), "dashes": (127, 84.6666667), "emblem": (52.9166667, 52.9166667),
    "fill-rules": (101.6, 50.8), "nested": (127, 127), "over": (127, 63.5), "pressed": (127, 84.6666667),
    "scribble": (105.8333333, 74.0833333), "shapes": (127, 84.6666667), "strokes": (158.75, 127),
    "styles": (127, 63.5), "transforms": (127, 127), "units": (101.6, 79.375), "uses": (127, 84.6666667),
    "wrapped": (127, 84.6666667),
}  # fmt: skip
"""Width and height of the sheets, worked out by hand from what the files say."""


@cache
def found(name: str):
    return read_svg((FOLDER / f"{name}.svg").read_bytes())


def rendered(svg: str, zoom: int) -> np.ndarray:
    """Return which pixels the renderer shows darker than the middle grey, on white."""
    png = bytes(
        resvg_py.svg_to_bytes(svg_string=svg, background="#ffffff", zoom=zoom, dpi=96.0, skip_system_fonts=True)
    )
    with Image.open(io.BytesIO(png)) as image:
        rgb = np.asarray(image.convert("RGB"), dtype=np.float32)
    return rgb @ np.array([0.2126, 0.7152, 0.0722], dtype=np.float32) < 127.5


def test_there_are_enough():
    assert len(FILES) >= 16
    assert {f.stem for f in FILES} == set(SIZES_MM)


@pytest.mark.parametrize("name", [f.stem for f in FILES])
def test_region_is_what_the_renderer_shows(name):
    width, height = SIZES_MM[name]
    zoom = ceil(LONGER_PX / (max(width, height) / PX_MM))
    seen = rendered((FOLDER / f"{name}.svg").read_text(encoding="utf-8"), zoom)
    ours = picture_of(found(name).region, height, zoom / PX_MM, seen.shape[1], seen.shape[0])
    assert seen.any()
    assert max(seen.shape) >= 1500
    assert agreement(ours, seen) >= 0.998


@pytest.mark.parametrize("name", [f.stem for f in FILES])
def test_every_contour_is_sound(name):
    assert [explain_contour(c) for c in found(name).region] == [None] * len(found(name).region)


def test_only_what_cannot_be_an_area_is_left_out():
    told = {f.stem: found(f.stem).left_out for f in FILES}
    assert told.pop("wrapped") == (
        "1 script left out (first in line 6)",
        "1 animate left out (first in line 8)",
    )
    assert set(told.values()) == {()}
