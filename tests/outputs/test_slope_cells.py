"""Slopes round points with curved sides: each spot at the height of its distance from the rim, each in one cell."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.outputs.paint import _mitres, _normals
from generator.outputs.projection import Floats, facets
from generator.outputs.slope_cells import has_tip, slope_cells
from tests.outputs.test_previews import star

SAME_MM = 0.004
"""Corners are rounded to a micrometre where polygons are cut, and a mitre may carry that farther."""


def strips_of(foot: Floats, width: float) -> tuple[Floats, Floats]:
    ends, normals = _normals(foot)
    inner = foot - _mitres(normals) * width
    return np.stack((foot, ends, np.roll(inner, -1, axis=0), inner), axis=1), normals


def above_the_roof(cells: list[list[Floats]], foot: Floats, normals: Floats) -> float:
    """Return how far the highest corner of a cell stands above its distance from the rim (shapely), mm.

    A roof that rises evenly from its rim is nowhere higher than that, and nothing of it lies beyond the rim.
    """
    rim = shapely.Polygon(foot)
    worst = 0.0
    for i, parts in enumerate(cells):
        for part in parts:
            height = (foot[i] - part) @ normals[i]
            away = shapely.distance(rim.exterior, shapely.points(part))
            inside = shapely.intersects(rim, shapely.points(part))
            worst = max(worst, float((height - np.where(inside, away, -away)).max()))
    return worst


def overlap(cells: list[list[Floats]]) -> float:
    """Return the area that cells cover twice, mm²."""
    shapes = [shapely.Polygon(part).buffer(0) for parts in cells for part in parts]
    return float(sum(s.area for s in shapes) - shapely.unary_union(shapes).area)


@pytest.mark.parametrize(
    ("points", "bulge", "width"), [(7, -0.12, 1.2), (5, -0.2, 2.0), (20, -0.1, 0.5), (12, 0.1, 1.0)]
)
def test_strips_alone_stand_above_the_roof_and_cells_do_not(points: int, bulge: float, width: float) -> None:
    foot = facets(star(points, bulge).contours[0], 0.003)
    strips, normals = strips_of(foot, width)
    assert above_the_roof([[s] for s in strips], foot, normals) > 0.1
    cells = slope_cells(strips, normals)
    assert above_the_roof(cells, foot, normals) < SAME_MM


@settings(derandomize=True, deadline=None, max_examples=30)
@given(
    points=st.integers(3, 16),
    bulge=st.one_of(st.just(0.0), st.floats(-0.12, -0.005), st.floats(0.005, 0.15)),
    width=st.floats(0.3, 1.6),
)
def test_cells_cover_the_ground_of_the_slope_once(points: int, bulge: float, width: float) -> None:
    foot = facets(star(points, bulge).contours[0], 0.003)
    strips, normals = strips_of(foot, width)
    cells = slope_cells(strips, normals)
    assert above_the_roof(cells, foot, normals) < SAME_MM
    rim = shapely.Polygon(foot)
    ring = rim.difference(rim.buffer(-width + 0.01))  # all that is nearer to the rim than the slope is wide
    covered = shapely.unary_union([shapely.Polygon(p).buffer(0.003, join_style="mitre") for c in cells for p in c])
    assert ring.difference(covered).area < 1e-3 * ring.area
    assert overlap(cells) < 1e-3 * ring.area


def test_only_corners_of_the_material_are_tips() -> None:
    square = np.array([(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)])
    assert has_tip(_normals(square)[1])
    assert not has_tip(_normals(square[::-1])[1])  # a hole: its corners are hollow
    round_ = np.array([(np.cos(a), np.sin(a)) for a in np.arange(40) * np.pi / 20])
    assert not has_tip(_normals(round_)[1])


def test_straight_sides_keep_their_strips() -> None:
    square = np.array([(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)])
    strips, normals = strips_of(square, 0.5)
    for strip, (cell,) in zip(strips, slope_cells(strips, normals), strict=True):
        assert shapely.Polygon(cell).symmetric_difference(shapely.Polygon(strip)).area < 1e-9
