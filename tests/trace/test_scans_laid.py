"""How scans are laid upon each other: against the turns that they were simulated with, and other sides refused."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from PIL import Image, ImageOps

from generator.base.errors import GeometryError
from generator.trace.laying import place
from generator.trace.picture import load
from generator.trace.runs import Row
from generator.trace.tracing import chosen, see
from generator.trace.unknowns import HEAD
from tests.scans.scan_conditions import usual
from tests.scans.scan_parts import all_parts, box, corners, part
from tests.scans.scan_shape import Part
from tests.scans.simulate import render_turned

HEAD_OF_NONE = np.zeros(HEAD)


def rows_of(data: bytes, dpi: float) -> list[Row]:
    picture = load(data, "scan.png")
    seen = see(picture, chosen(picture, 1), (25.4 / dpi, 25.4 / dpi))
    return [r.forwards().weighed() for r in seen.rows()]


def parts() -> dict[str, Part]:
    shifted = [(-23.0, -13.0, 5.5), (23.0, -13.0, 5.5), (23.5, 13.0, 5.5), (-23.0, 13.0, 5.5)]
    nearly = [(-23.0, -13.0, 5.5), (23.0, -13.0, 5.5), (23.06, 13.0, 5.5), (-23.0, 13.0, 5.56), (0.0, 0.05, 20.0)]
    blunt = [(-30.0, -20.0, 5.0), (30.0, -20.0, 5.0), (30.0, 20.0, 5.15), (-30.0, 20.0, 5.0)]
    return {
        "one hole 0.5 mm off": part("shifted", corners(box(60, 40, 5)), shifted),
        "nearly symmetric": part("nearly", corners(blunt), nearly),
    } | {p.name: p for p in all_parts() if p.name in ("uneven_tripod", "pawl")}


@cache
def scanned(name: str, dpi: int, seed: int) -> tuple[list[bytes], list[float]]:
    """Two scans and the angles (degrees) that the part lay at in them."""
    scans = render_turned(parts()[name], usual(dpi, seed, readings=4, meta_dpi="true", fmt="png"), seed, (0.0, 90.0))
    return [data for data, _, _ in scans], [angle_of(truth["image"]["mm_to_px"]) for _, truth, _ in scans]


def angle_of(mm_to_px: list[list[float]]) -> float:
    """Direction of the part's x axis in a picture, y up, degrees."""
    return float(np.degrees(np.arctan2(-mm_to_px[1][0], mm_to_px[0][0])))


CASES = [
    ("one hole 0.5 mm off", 300, 79),
    ("one hole 0.5 mm off", 300, 80),
    ("nearly symmetric", 600, 77),
    ("uneven_tripod", 300, 901),
    ("pawl", 300, 902),
]


@pytest.mark.parametrize(("name", "dpi", "seed"), CASES)
def test_a_scan_is_laid_as_it_was_turned(name, dpi, seed):
    (one, other), (first, second) = scanned(name, dpi, seed)
    angle = np.degrees(place(rows_of(one, dpi), rows_of(other, dpi), HEAD_OF_NONE)[0])
    off = (angle - (first - second) + 180.0) % 360.0 - 180.0
    assert abs(off) < 2.0  # a half turn is 180 off; axes that differ in scale turn it by some tenths


@pytest.mark.parametrize(("name", "dpi", "seed"), CASES)
def test_a_part_turned_over_between_scans_is_refused(name, dpi, seed):
    (one, other), _ = scanned(name, dpi, seed)
    data = io.BytesIO()
    ImageOps.mirror(Image.open(io.BytesIO(other))).save(data, "png")
    with pytest.raises(GeometryError, match=r"turned over in one of the scans.*scan it again with the same side down"):
        place(rows_of(one, dpi), rows_of(data.getvalue(), dpi), HEAD_OF_NONE)


def test_another_part_is_refused():
    (one, _), _ = scanned("uneven_tripod", 300, 901)
    (other, _), _ = scanned("pawl", 300, 902)
    with pytest.raises(GeometryError, match=r"do not show the same part.*mm off; scan the same side of the same part"):
        place(rows_of(one, 300), rows_of(other, 300), HEAD_OF_NONE)


def test_dirt_that_looks_like_an_opening_refuses_nothing():
    (one, other), _ = scanned("pawl", 300, 902)
    rows = rows_of(other, 300)
    t = np.linspace(0.0, 2.0 * np.pi, 24, endpoint=False)
    normals = -np.column_stack([np.cos(t), np.sin(t)])
    dirt = replace(
        rows[-1], points=rows[0].points.mean(axis=0) - 0.6 * normals, normals=normals, sigma=np.full(24, 0.01)
    )
    assert place(rows_of(one, 300), [*rows, dirt], HEAD_OF_NONE)
