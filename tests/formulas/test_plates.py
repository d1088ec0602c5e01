"""Plate formulas against printed answers, closed forms of strips, and each other."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.formulas import plates as p

E = 200_000.0


def test_a_centrally_loaded_clamped_disc_of_a_printed_worksheet():
    # "Plate circular central" (worksheet, scribd.com 731548760): a 150, t 1.5, E 200 000, ν 0.29, 1 N/mm² on r0 10:
    # 314 N, 2.295 mm in the middle, stress 233 in the middle and 67 at the edge; finite elements there: 2.238 mm
    # (the sheet prints pressure and load rounded: 0.3 % is what that leaves open)
    load = pi * 10.0**2
    assert p.disc_under_load(load, 150.0, E, 1.5, 0.29) == pytest.approx(2.295, rel=0.003)
    assert p.disc_stress_under_load(load, 10.0, 150.0, 1.5, 0.29) == pytest.approx(233, abs=0.5)
    assert p.disc_stress_under_load(load, 149.0, 150.0, 1.5, 0.29) == pytest.approx(67, abs=0.5)


def test_a_disc_under_pressure():
    # w = p r⁴ / (64 D) with D = E t³ / (12 (1 - ν²)): Civil Engineering Handbook, 2nd edition, equation 47.73;
    # written out for ν = 0.3 it is 0.1706 p r⁴ / (E t³) (Hearn, Mechanics of Materials, 7.5: 3 p r⁴ (1 - ν²) / 16 E t³)
    assert p.disc_under_pressure(0.1, 40.0, 70_000.0, 2.0) == pytest.approx(
        3.0 * 0.1 * 40.0**4 * 0.91 / (16.0 * 70_000.0 * 8.0)
    )
    # at the edge 3 p r² / (4 t²)
    assert p.disc_stress_under_pressure(0.1, 40.0, 2.0) == pytest.approx(0.75 * 0.1 * 1600.0 / 4.0)


def test_a_square_under_pressure_as_timoshenko_prints_it():
    # Timoshenko and Woinowsky-Krieger, table 35: w = 0.00126 q a⁴ / D and M = -0.0513 q a² for a clamped square,
    # 0.00254 and -0.0829 for 2 : 1; Roark's figures are another calculation of the same
    for ratio, w, m in ((1.0, 0.00126, 0.0513), (1.4, 0.00207, 0.0726), (2.0, 0.00254, 0.0829)):
        d = p.stiffness(E, 3.0)
        assert p.rectangle_under_pressure(0.2, 50.0, 50.0 * ratio, E, 3.0) == pytest.approx(
            w * 0.2 * 50.0**4 / d, rel=0.01
        )
        assert p.rectangle_stress_under_pressure(0.2, 50.0, 50.0 * ratio, 3.0) == pytest.approx(
            6.0 * m * 0.2 * 50.0**2 / 9.0, rel=0.01
        )


def test_a_long_rectangle_is_a_built_in_strip():
    # beam with both ends built in: w = q l⁴ / (384 D), M = q l² / 12 (closed form)
    assert p.rectangle_under_pressure(0.2, 10.0, 1e9, E, 1.0) == pytest.approx(
        0.2 * 10.0**4 / (384.0 * p.stiffness(E, 1.0)), rel=0.002
    )
    assert p.rectangle_stress_under_pressure(0.2, 10.0, 1e9, 1.0) == pytest.approx(6.0 * 0.2 * 100.0 / 12.0)


def test_a_loaded_square_as_timoshenko_prints_it():
    # Timoshenko, table 37: w = 0.00560 P a² / D for a clamped square, 0.00722 for 2 : 1; M at the edge -0.1257 P
    d = p.stiffness(E, 3.0)
    assert p.rectangle_under_load(80.0, 50.0, 50.0, E, 3.0) == pytest.approx(0.00560 * 80.0 * 2500.0 / d, rel=0.002)
    assert p.rectangle_under_load(80.0, 50.0, 100.0, E, 3.0) == pytest.approx(0.00722 * 80.0 * 2500.0 / d, rel=0.002)
    assert p.rectangle_stress_under_load(80.0, 25.0, 50.0, 50.0, 3.0) == pytest.approx(
        6 * 0.1257 * 80.0 / 9.0, rel=0.002
    )


def solved(short_cells: int, long_cells: int, *, spread: bool) -> tuple[float, float]:
    """Deflection in the middle and moment in the middle of the long edge of a clamped rectangle of short side 1.

    For D = 1 under a load of 1, spread or in the middle: finite differences of the biharmonic, the clamped edge by
    mirrored nodes beyond it.
    """
    h = 1.0 / short_cells
    ny, nx = short_cells - 1, long_cells - 1
    flat = np.zeros((ny * nx, ny * nx))
    stencil = {(0, 0): 20, (0, 1): -8, (1, 0): -8, (1, 1): 2, (1, -1): 2, (0, 2): 1, (2, 0): 1}
    every = {(sy * dy, sx * dx): c for (dy, dx), c in stencil.items() for sy in (1, -1) for sx in (1, -1)}
    for i in range(ny):
        for j in range(nx):
            for (di, dj), c in every.items():
                # a node one beyond the edge has the deflection of the one as far within
                a = -2 - (i + di) if i + di < -1 else 2 * ny - (i + di) if i + di > ny else i + di
                b = -2 - (j + dj) if j + dj < -1 else 2 * nx - (j + dj) if j + dj > nx else j + dj
                if 0 <= a < ny and 0 <= b < nx:
                    flat[i * nx + j, a * nx + b] += c
    load = np.full(ny * nx, h**4) if spread else np.zeros(ny * nx)
    middle = (ny // 2) * nx + nx // 2
    if not spread:
        load[middle] = h**2
    w = np.linalg.solve(flat, load)
    return float(w[middle]), float(2.0 * w[nx // 2] / h**2)


def refined(cells: tuple[int, int], *, spread: bool) -> tuple[float, float]:
    """The same, carried on from two grids to none: the error goes with the square of the step."""
    fine, coarse = (solved(cells[0] // k, cells[1] // k, spread=spread) for k in (1, 2))
    return (4.0 * fine[0] - coarse[0]) / 3.0, (4.0 * fine[1] - coarse[1]) / 3.0


@pytest.mark.parametrize("cells", [(28, 28), (24, 36), (20, 40)])
def test_coefficients_of_rectangles_are_those_of_solved_plates(cells):
    d, ratio = p.stiffness(1.0, 1.0), cells[1] / cells[0]
    w, m = refined(cells, spread=True)
    assert p.rectangle_under_pressure(1.0, 1.0, ratio, 1.0, 1.0) * d == pytest.approx(w, rel=0.01)
    assert p.rectangle_stress_under_pressure(1.0, 1.0, ratio, 1.0) == pytest.approx(6.0 * m, rel=0.01)
    w, m = refined(cells, spread=False)
    assert p.rectangle_under_load(1.0, 1.0, ratio, 1.0, 1.0) * d == pytest.approx(w, rel=0.01)
    assert p.rectangle_stress_under_load(1.0, 0.5, 1.0, ratio, 1.0) == pytest.approx(6.0 * m, rel=0.01)


def test_a_small_area_counts_as_a_larger_one_in_a_thick_plate():
    assert p.touch_radius(5.0, 8.0) == 5.0
    assert p.touch_radius(0.0, 8.0) == pytest.approx(0.325 * 8.0)  # Westergaard: √(t²) - 0.675 t


@given(st.floats(1.0, 50.0), st.floats(1.0, 20.0), st.floats(0.5, 10.0))
def test_a_disc_lies_between_the_squares_in_and_round_it(radius, ratio, thickness):
    inner, outer = 2.0**0.5 * radius, 2.0 * radius
    disc = p.disc_under_load(10.0, radius, E, thickness)
    assert p.rectangle_under_load(10.0, inner, inner, E, thickness) < disc
    assert disc < p.rectangle_under_load(10.0, outer, outer, E, thickness)
    wide = [p.rectangle_under_pressure(1.0, radius, radius * r, E, thickness) for r in (1.0, ratio, 2.0 * ratio)]
    assert wide == sorted(wide)


def test_the_thickness_that_would_do():
    at_2 = p.rectangle_under_load(80.0, 50.0, 60.0, E, 2.0)
    enough = p.thick_enough(lambda t: p.rectangle_under_load(80.0, 50.0, 60.0, E, t), at_2 / 3.0, 2.0)
    assert enough == pytest.approx(2.0 * 3.0 ** (1.0 / 3.0))  # deflections go with t^-3
