"""What is in stock, and what general tolerances allow."""

from __future__ import annotations

import pytest

from generator.base import stocked
from generator.base.general_tolerances import LINEAR, linear_class, linear_tolerance, names_the_standard
from generator.base.standards import CLEARANCE_HOLES


@pytest.mark.parametrize(
    ("diameter", "drill"), [(2.97, 2.95), (6.6, 6.6), (6.63, 6.6), (6.67, 6.7), (14.1, 14.0), (14.2, 14.25), (35.2, 35)]
)
def test_nearest_drill(diameter: float, drill: float) -> None:
    assert stocked.nearest_drill(diameter) == pytest.approx(drill)


def test_inch_drills_only_for_inch_recipes() -> None:
    assert stocked.nearest_drill(17 / 64 * 25.4, inch=True) == pytest.approx(17 / 64 * 25.4)
    assert stocked.nearest_drill(17 / 64 * 25.4) == pytest.approx(6.7)


def test_every_clearance_hole_of_iso_273_has_its_drill() -> None:
    for row in CLEARANCE_HOLES:
        for hole in (row.fine_mm, row.medium_mm, row.coarse_mm):
            assert stocked.nearest_drill(hole) == pytest.approx(hole)


def test_nearest_and_larger_of_a_series() -> None:
    assert stocked.nearest(13.0, stocked.PLATES_MM) == 12.0
    assert stocked.larger(13.0, stocked.PLATES_MM) == 15.0
    assert stocked.larger(500.0, stocked.PLATES_MM) is None
    assert stocked.nearest(7.9, (), 25.4 / 32) == pytest.approx(5 / 16 * 25.4)
    assert stocked.larger(7.9, (), 25.4 / 32) == pytest.approx(5 / 16 * 25.4)


@pytest.mark.parametrize(
    ("text", "letter"),
    [
        ("ISO 2768-mK", "m"),
        ("ISO 2768-1 f", "f"),
        ("DIN ISO 2768-cL", "c"),
        ("ISO 2768 v", "v"),
        ("ISO 2768", ""),
        ("ISO 2768-x", ""),
        ("ISO 2768-K", ""),
        ("ISO 22081", ""),
        ("", ""),
    ],
)
def test_class_of_general_tolerances(text: str, letter: str) -> None:
    assert linear_class(text) == letter


def test_the_standard_is_known_by_its_number() -> None:
    assert names_the_standard("DIN ISO 2768-x")
    assert not names_the_standard("ISO 22081, 27680")


@pytest.mark.parametrize(
    ("letter", "size", "off"),
    [("m", 0.5, 0.1), ("m", 3.0, 0.1), ("c", 3.1, 0.3), ("m", 30.0, 0.2), ("c", 60.6, 0.8), ("f", 120.1, 0.2),
     ("v", 500.0, 4.0)],
)  # fmt: skip
def test_linear_tolerances_of_iso_2768_1(letter: str, size: float, off: float) -> None:
    """Figures of ISO 2768-1 table 1, read in two reprints."""
    assert linear_tolerance(letter, size) == off


def test_where_the_standard_has_no_figure() -> None:
    assert linear_tolerance("m", 0.4) is None
    assert linear_tolerance("v", 2.0) is None
    assert linear_tolerance("f", 2500.0) is None
    assert linear_tolerance("m", 5000.0) is None


def test_the_table_grows_with_size_and_class() -> None:
    for row in LINEAR:
        known = [x for x in (row.f_mm, row.m_mm, row.c_mm, row.v_mm) if x is not None]
        assert known == sorted(known)
    for column in ("f_mm", "m_mm", "c_mm", "v_mm"):
        known = [x for r in LINEAR if (x := getattr(r, column)) is not None]
        assert known == sorted(known)
