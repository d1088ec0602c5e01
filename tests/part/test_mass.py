"""Volumes and centres of mass against closed forms (prisms, cones, frusta, pyramids)."""

from __future__ import annotations

from math import acos, pi, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from part_samples import RECIPE, plan_of, plate, round_hole, taken

from generator.outline.contour import Contour
from generator.outline.create import circle, rectangle
from generator.outline.measure import area, bounds
from generator.outline.region import Region
from generator.part.mass import centre_of_mass, mass_g, volume_mm3
from generator.part.slabs import slabs

EXACT = 1e-12
TAPERED = 1e-9


def square(half: float, at: tuple[float, float] = (0.0, 0.0)) -> Region:
    return Region((rectangle(at[0] - half, at[1] - half, at[0] + half, at[1] + half),))


def test_plate() -> None:
    assert volume_mm3(plate()) == pytest.approx(90 * 60 * 8, rel=EXACT)
    assert mass_g(plate()) == pytest.approx(90 * 60 * 8 * 2.7e-3, rel=EXACT)  # 2700 kg/m³
    assert centre_of_mass(plate()) == pytest.approx((0.0, 0.0, 4.0), abs=1e-12)


def test_pocket_and_hole() -> None:
    part = plate(taken(square(10.0), 0.0, 3.4), taken(round_hole(3.3, (30.0, 5.0)), 0.0, 8.0, name="hole"))
    assert volume_mm3(part) == pytest.approx(90 * 60 * 8 - 400 * 3.4 - pi * 3.3**2 * 8, rel=EXACT)


def test_hole_that_ends_in_a_pocket_is_not_taken_away_twice() -> None:
    part = plate(taken(square(10.0), 0.0, 3.0), taken(round_hole(3.0), 0.0, 8.0, name="hole"))
    assert volume_mm3(part) == pytest.approx(90 * 60 * 8 - 400 * 3.0 - pi * 9 * 5, rel=EXACT)


def test_counterbore() -> None:
    part = plate(taken(round_hole(3.3), 0.0, 8.0, name="hole"), taken(round_hole(5.5), 1.6, 8.0, name="seat"))
    assert volume_mm3(part) == pytest.approx(90 * 60 * 8 - pi * (3.3**2 * 1.6 + 5.5**2 * 6.4), rel=EXACT)


def test_countersink_is_a_frustum() -> None:
    low, high, h = 3.3, 6.855, 3.555
    part = plate(
        taken(round_hole(low), 0.0, 8.0, name="hole"), taken(round_hole(low), 8.0 - h, 8.0, flare=h, name="seat")
    )
    frustum = pi * h / 3.0 * (low**2 + low * high + high**2)
    assert volume_mm3(part) == pytest.approx(90 * 60 * 8 - pi * low**2 * (8.0 - h) - frustum, rel=TAPERED)


def test_countersink_cut_off_by_another_level_keeps_its_volume() -> None:
    low, high, h = 3.3, 6.855, 3.555
    features = [
        taken(round_hole(low), 0.0, 8.0, name="hole"),
        taken(round_hole(low), 8.0 - h, 8.0, flare=h, name="seat"),
        taken(square(5.0, (30.0, 0.0)), 6.1, 8.0, name="inlay"),
    ]
    frustum = pi * h / 3.0 * (low**2 + low * high + high**2)
    expected = 90 * 60 * 8 - pi * low**2 * (8.0 - h) - frustum - 100 * 1.9
    assert volume_mm3(plate(*features, rim=0.7)) == pytest.approx(expected - chamfer_loss(90, 60, 0.7), rel=TAPERED)


def chamfer_loss(width: float, height: float, size: float) -> float:
    """A 45° chamfer of a sharp-cornered rectangle: prism less prismatoid."""
    return width * height * size - prismatoid(width, height, size)


def prismatoid(width: float, height: float, size: float) -> float:
    def section(inward: float) -> float:
        return (width - 2 * inward) * (height - 2 * inward)

    return size / 6.0 * (section(0.0) + 4.0 * section(size / 2.0) + section(size))


@pytest.mark.parametrize("size", [0.1, 0.5, 3.0])
def test_edge_break_of_a_sharp_rectangle(size: float) -> None:
    expected = 90 * 60 * (8.0 - size) + prismatoid(90, 60, size)
    assert volume_mm3(plate(rim=size)) == pytest.approx(expected, rel=TAPERED)


def test_edge_break_of_a_disc_is_a_frustum() -> None:
    part = plate(rim=1.0, profile=Region((circle((3.0, -2.0), 20.0),)))
    frustum = pi / 3.0 * (20.0**2 + 20.0 * 19.0 + 19.0**2)
    assert volume_mm3(part) == pytest.approx(pi * 400 * 7.0 + frustum, rel=TAPERED)


def test_edge_break_wider_than_a_corner_radius() -> None:
    """The rounding of 0.4 mm vanishes within the chamfer of 1 mm: its area is no longer one polynomial."""
    r, size = 0.4, 1.0
    profile = Region((rectangle(-45.0, -30.0, 45.0, 30.0, r),))
    corners = (4.0 - pi) * (r**3 / 3.0)  # ∫ (r - t)² dt from 0 to r
    expected = 90 * 60 * 7.0 - (4.0 - pi) * r * r * 7.0 + prismatoid(90, 60, size) - corners
    assert volume_mm3(plate(rim=size, profile=profile)) == pytest.approx(expected, rel=TAPERED)


def test_edge_break_of_a_lens_whose_corners_are_not_tangent() -> None:
    """Two arcs of radius 30 that meet in points: inward offsets are lenses of smaller arcs, areas in closed form."""
    radius, half = 30.0, 18.0
    bulge = (radius - sqrt(radius**2 - half**2)) / half
    lens = Region((Contour.of([(-half, 0.0, bulge), (half, 0.0, bulge)]),))

    def lens_area(r: float) -> float:
        d = sqrt(radius**2 - half**2)  # centres lie at ±d
        return 2.0 * (r * r * acos(d / r) - d * sqrt(r * r - d * d))

    assert area(lens) == pytest.approx(lens_area(radius), rel=1e-12)
    nodes = 2000
    size = 0.8
    loss = sum(lens_area(radius - size * (k + 0.5) / nodes) for k in range(nodes)) * size / nodes
    made = volume_mm3(plate(rim=size, profile=lens))
    assert made == pytest.approx(lens_area(radius) * (8.0 - size) + loss, rel=1e-8)  # the midpoint sum is good to 1e-8


def test_edge_break_goes_round_a_window_too() -> None:
    window = rectangle(-10.0, -10.0, 10.0, 10.0).reversed()
    profile = Region((rectangle(-45.0, -30.0, 45.0, 30.0), window))
    size = 0.5
    # outward offset of the window: 400 + 80 t + π t² (Steiner)
    opened = 400 * size + 80 * size**2 / 2.0 + pi * size**3 / 3.0
    expected = (90 * 60 - 400) * 7.5 + prismatoid(90, 60, size) - opened
    assert volume_mm3(plate(rim=size, profile=profile)) == pytest.approx(expected, rel=TAPERED)


def test_centre_of_mass_of_a_cone_frustum_and_of_a_lopsided_plate() -> None:
    low, high, h = 20.0, 19.0, 1.0
    part = plate(rim=1.0, profile=Region((circle((3.0, -2.0), 20.0),)), thickness=1.0 + 1e-9 + 4.0)
    whole = pi * 400 * 4.000000001
    frustum = pi * h / 3.0 * (low**2 + low * high + high**2)
    z_frustum = h / 4.0 * (low**2 + 2 * low * high + 3 * high**2) / (low**2 + low * high + high**2)
    z = (whole * 2.0000000005 + frustum * (4.000000001 + z_frustum)) / (whole + frustum)
    assert centre_of_mass(part) == pytest.approx((3.0, -2.0, z), abs=1e-9)
    holed = plate(taken(square(5.0, (20.0, 10.0)), 0.0, 8.0))
    left = 90 * 60 - 100.0
    assert centre_of_mass(holed) == pytest.approx((-100 * 20 / left, -100 * 10 / left, 4.0), abs=1e-9)


def test_whole_cover_by_hand() -> None:
    plan = plan_of(RECIPE)
    outer = 80 * 50 - (4 - pi) * 64
    pocket = 60.6 * 30.6 - (4 - pi) * 5.3**2
    opening, inlay = pi * 3.5**2, 16 * 8 - (4 - pi) * 4
    rim = 0.5
    lower = outer * 12.0 - pocket * 3.4 - opening * (12.0 - 3.4) - inlay * 1.5
    holes = 2 * pi * (3.3**2 * (12.0 - 3.4 - 6.4) + 5.5**2 * 6.4)
    length = 2 * (64 + 34) + 2 * pi * 8
    chamfer = length * rim**2 / 2.0 - pi * rim**3 / 3.0
    assert volume_mm3(plan.cover) == pytest.approx(lower - holes - chamfer, rel=TAPERED)
    (insert,) = plan.inserts
    assert volume_mm3(insert) == pytest.approx((15.9 * 7.9 - (4 - pi) * 1.95**2) * 1.5, rel=TAPERED)


@settings(derandomize=True, deadline=None, max_examples=40)
@given(st.floats(0.5, 6.0), st.floats(0.5, 7.5), st.floats(0.05, 2.0), st.floats(-30.0, 30.0), st.floats(-15.0, 15.0))
def test_slabs_and_volume_agree(radius: float, depth: float, rim: float, x: float, y: float) -> None:
    """Between the areas of its lower and upper sections lies every slab's share of the volume."""
    part = plate(taken(round_hole(radius, (x, y)), 8.0 - depth, 8.0), rim=rim)
    made = slabs(part)
    low = sum(min(area(s.lower), area(s.upper)) * (s.z_to_mm - s.z_from_mm) for s in made)
    high = sum(max(area(s.lower), area(s.upper)) * (s.z_to_mm - s.z_from_mm) for s in made)
    assert low - 1e-6 <= volume_mm3(part) <= high + 1e-6
    assert made[0].z_from_mm == 0.0
    assert made[-1].z_to_mm == part.thickness_mm
    box = bounds(made[-1].upper)
    assert box.width_mm == pytest.approx(90 - 2 * rim, abs=1e-9)
