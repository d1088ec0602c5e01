"""Meshes of slabs, asked by an independent library (trimesh) and by closed forms."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot, pi

import numpy as np
import pytest
import shapely
import trimesh
from fine_facets import polygon
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.base.errors import GeometryError
from generator.mesh.make import CHORD_MM, mesh_of
from generator.mesh.mesh import Mesh
from generator.outline.combine import difference, intersection, union
from generator.outline.contour import Contour
from generator.outline.create import circle, rectangle
from generator.outline.measure import area
from generator.outline.offset import offset_region
from generator.outline.region import Region
from generator.part.part import Slab, Wall


def disc(x: float, y: float, r: float) -> Region:
    return Region.of([circle((x, y), r)])


def rect(x0: float, y0: float, x1: float, y1: float) -> Region:
    return Region.of([rectangle(x0, y0, x1, y1)])


def upright(low: float, high: float, region: Region) -> Slab:
    return Slab(low, high, tuple(Wall(c, c) for c in region))


def sloped(low: float, high: float, foot: Region, by: float) -> Slab:
    """A slab round which the wall slopes inward by ``by`` (mm in the plane)."""
    (lower,), (upper,) = foot, offset_region(foot, -by)
    return Slab(low, high, (Wall(lower, upper),))


def judged(mesh: Mesh) -> trimesh.Trimesh:
    """The mesh in the other library, found closed and facing outward by it."""
    other = trimesh.Trimesh(mesh.points, mesh.triangles, process=False)
    assert other.is_watertight
    assert other.is_winding_consistent
    assert other.volume > 0.0
    assert mesh.open_edges() == 0
    assert mesh.volume_mm3 == pytest.approx(other.volume, rel=1e-9)
    assert mesh.area_mm2 == pytest.approx(other.area, rel=1e-9)
    return other


def prism_volume(slabs: Sequence[Slab]) -> float:
    return sum(area(s.lower) * (s.z_to_mm - s.z_from_mm) for s in slabs)


def test_block_is_twelve_triangles():
    mesh = mesh_of([upright(0.0, 3.0, rect(-5.0, 1.0, 5.0, 3.0))])
    assert judged(mesh).volume == pytest.approx(10.0 * 2.0 * 3.0, rel=1e-12)
    assert len(mesh.triangles) == 12
    assert mesh.box_mm == (-5.0, 1.0, 0.0, 5.0, 3.0, 3.0)


def test_walls_that_go_straight_on_are_not_cut():
    plain = upright(0.0, 1.0, rect(0.0, 0.0, 4.0, 4.0)), upright(1.0, 2.0, rect(0.0, 0.0, 4.0, 4.0))
    assert len(mesh_of(plain).triangles) == 12


@pytest.mark.parametrize("r", [0.3, 2.0, 25.0, 400.0])
def test_chords_leave_their_circle_by_no_more_than_they_may(r):
    mesh = mesh_of([upright(0.0, 2.0, disc(r / 3.0, -r, r))])
    other = judged(mesh)
    off = mesh.points[:, :2] - (r / 3.0, -r)
    assert np.abs(np.hypot(*off.T) - r).max() < 1e-4
    sides = np.abs(other.face_normals[:, 2]) < 0.5
    ends = other.vertices[other.faces[sides][:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2)]
    middles = ends.mean(axis=1)[:, :2] - (r / 3.0, -r)
    rim = np.ptp(ends[:, :, 2], axis=1) == 0.0
    assert rim.sum() >= 16
    # sagitta of a chord: r - distance of its middle from the centre
    assert (r - np.hypot(*middles[rim].T)).max() <= CHORD_MM
    assert pi * r * r * 2.0 * (1.0 - CHORD_MM / r) ** 2 <= other.volume < pi * r * r * 2.0


def test_number_of_facets_follows_the_chord():
    fine, coarse = (len(mesh_of([upright(0.0, 1.0, disc(0, 0, 30.0))], chord_mm=c).triangles) for c in (0.001, 0.1))
    # sagitta ≈ r a² / 8: a hundredth of it takes ten times as many
    assert 8.0 < fine / coarse < 12.0


def test_countersink_is_a_cone():
    plate, low, high = rect(-10.0, -10.0, 10.0, 10.0), circle((1.0, 2.0), 2.0), circle((1.0, 2.0), 5.0)
    outer = tuple(Wall(c, c) for c in plate)
    straight = Slab(0.0, 2.0, (*outer, Wall(low.reversed(), low.reversed())))
    flared = Slab(2.0, 5.0, (*outer, Wall(low.reversed(), high.reversed())))
    other = judged(mesh_of([straight, flared], chord_mm=0.001))
    frustum = pi * 3.0 / 3.0 * (2.0**2 + 2.0 * 5.0 + 5.0**2)
    assert other.volume == pytest.approx(400.0 * 5.0 - pi * 4.0 * 2.0 - frustum, abs=0.001 * other.area)


FEET = {
    "square": rect(-8.0, -5.0, 8.0, 5.0),
    "corners that vanish on the way": Region.of([rectangle(-10.0, -6.0, 10.0, 6.0, 0.4)]),
    "corners that stay": Region.of([rectangle(-10.0, -6.0, 10.0, 6.0, 3.0)]),
    "inner corner": difference(rect(-10.0, -10.0, 10.0, 10.0), rect(0.0, 0.0, 20.0, 20.0)),
    "arc against line": union(rect(-10.0, -3.0, 10.0, 3.0), disc(0.0, 0.0, 6.0)),
    "lens": intersection(disc(-4.0, 0.0, 9.0), disc(4.0, 0.0, 9.0)),
    "acute": Region.of([Contour.of([(0.0, 0.0), (30.0, 0.0), (8.0, 9.0)])]),
}


@pytest.mark.parametrize("foot", FEET.values(), ids=FEET)
def test_sloping_walls_lie_as_far_inside_as_they_are_high(foot):
    """A wall of 45°: the height of each of its points is the point's distance from the outline (a roof)."""
    by = 1.1
    mesh = mesh_of([sloped(0.0, by, foot, by)])
    other = judged(mesh)
    outline = shapely.Polygon(polygon(next(iter(foot)), 1e-5)).exterior
    corners = other.vertices[other.faces]
    slope = np.ptp(corners[:, :, 2], axis=1) > 0.0
    assert slope.any()
    shares = np.array([[1, 0, 0], [1, 1, 1], [2, 1, 1], [1, 2, 1], [1, 1, 2], [1, 1, 0], [0, 1, 1]], dtype=float)
    for share in shares / shares.sum(axis=1)[:, None]:
        at = np.einsum("k,nkd->nd", share, corners[slope])
        apart = shapely.distance(shapely.points(at[:, :2]), outline)
        assert np.abs(apart - at[:, 2]).max() <= 1.5 * CHORD_MM


@pytest.mark.parametrize("below", ["disc", "rect"])
@pytest.mark.parametrize("above", ["disc", "rect"])
def test_pockets_from_both_faces_that_cross(below, above):
    """At the height where one ends and the other begins, their outlines cross; the walls take the crossings up."""
    kinds = {"disc": lambda s: disc(s, 0.2, 6.0), "rect": lambda s: rect(s - 5.0, -4.0, s + 5.0, 5.0)}
    plate = rect(-20.0, -15.0, 20.0, 15.0)
    stack = [
        upright(0.0, 3.0, difference(plate, kinds[below](-2.0))),
        upright(3.0, 8.0, difference(plate, kinds[above](3.0))),
    ]
    other = judged(mesh_of(stack))
    assert other.volume == pytest.approx(prism_volume(stack), abs=CHORD_MM * other.area)
    assert other.euler_number == 0  # one hole right through, where the pockets overlap


def test_open_pocket_runs_along_the_outline():
    plate = rect(-20.0, -15.0, 20.0, 15.0)
    stack = [upright(0.0, 3.0, difference(plate, disc(20.0, 0.0, 7.0))), upright(3.0, 5.0, plate)]
    other = judged(mesh_of(stack))
    assert other.volume == pytest.approx(prism_volume(stack), abs=CHORD_MM * other.area)


def test_hollow_inside_and_air_between():
    block, hollow = rect(0.0, 0.0, 9.0, 9.0), rect(3.0, 3.0, 6.0, 6.0)
    stack = [upright(0, 1, block), upright(1, 2, difference(block, hollow)), upright(2, 3, block), upright(5, 6, block)]
    other = judged(mesh_of(stack))
    assert other.volume == pytest.approx(4 * 81 - 9, rel=1e-9)
    assert other.body_count == 3  # two bodies, and the skin of the void


def test_far_from_the_origin_single_precision_still_tells_corners_apart():
    mesh = mesh_of([upright(0.0, 2.0, disc(3000.0, -2500.0, 4.0))])
    judged(mesh)
    assert (mesh.points == mesh.points.astype(np.float32)).all()


def test_no_slabs_are_refused():
    with pytest.raises(GeometryError, match="no material"):
        mesh_of([])


CELLS = st.lists(st.tuples(st.integers(0, 5), st.integers(0, 5), st.sampled_from(["rect", "disc"])), max_size=6)


@settings(max_examples=60, deadline=None)
@given(st.lists(CELLS, min_size=2, max_size=4), st.floats(0.0, 0.7))
def test_sections_that_touch_cross_and_share_edges(levels, lean):
    """Rectangles side by side and discs that touch them, other ones on each level: closed, of the right volume."""
    stack = []
    for z, cells in enumerate(levels):
        shapes = [
            rect(4.0 * i, 4.0 * j, 4.0 * i + 4.0, 4.0 * j + 4.0)
            if kind == "rect"
            else disc(4.0 * i, 4.0 * j, 2.0 + lean)
            for i, j, kind in cells
        ]
        region = union(*shapes) if shapes else Region(())
        if region:
            stack.append(upright(float(z), z + 1.0, region))
    if not stack:
        return
    mesh = mesh_of(stack)
    assert mesh.open_edges() == 0
    assert abs(mesh.volume_mm3 - prism_volume(stack)) <= CHORD_MM * mesh.area_mm2
    low, high = mesh.points.min(axis=0), mesh.points.max(axis=0)
    assert hypot(*(high - low)[:2]) > 0.0
