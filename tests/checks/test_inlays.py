"""Inlays, artwork and gaps: the figures and places that their findings tell."""

from __future__ import annotations

from dataclasses import replace
from math import acos, hypot, sqrt

import pytest
from cases_inlays import EYE, SHARP, TWO_NEAR, arts, fine
from harness import found
from part_samples import COVER, RECIPE, cover, crest, disc

from generator.base.figures import Figure
from generator.recipe.model_inlay import Engraving


# ------------------------------------------------------------------ gaps
def test_the_gap_of_a_sharp_corner_is_its_diagonal() -> None:
    (finding,) = found(crest(outline=SHARP, gap=0.2, corners="as drawn"), "insert-gap")
    assert finding.code == "uneven"
    assert finding.figure == pytest.approx(0.2 * sqrt(2.0), abs=1e-9)
    assert "in 4 places" in finding.message


def test_matched_corners_are_even_however_wide_the_gap() -> None:
    recipe = fine(crest(outline=SHARP, gap=0.6))
    assert {f.code for f in found(recipe, "insert-gap")} == {"loose"}
    (rounded,) = found(recipe, "finer-than-cutter")
    assert "for the gap of 0.6 mm" in rounded.message
    assert "set inlays.crest.gap to at most 0.5 mm" in rounded.remedy


def test_a_rim_that_the_gap_swallows_is_told_with_the_width_there() -> None:
    uneven = next(f for f in found(fine(crest(outline=EYE, gap=0.6)), "insert-gap") if f.code == "uneven")
    assert uneven.point_mm is not None
    assert uneven.point_mm.x == pytest.approx(4.0, abs=1e-6)
    assert 1.0 < (uneven.figure or 0.0) < hypot(1.4, 0.55)


# ------------------------------------------------------------------ pieces
def test_pieces_that_lie_near_are_cut_apart_and_nothing_stands_between_them() -> None:
    findings = found(fine(crest(outline=TWO_NEAR)), "cutter-reach")
    assert [f.code for f in findings] == ["close-pieces"]
    # 0.6 mm between the pockets, and the gap of 0.05 mm on either side
    assert findings[0].figure == pytest.approx(0.7, abs=1e-6)
    assert found(fine(crest(outline=TWO_NEAR), 0.5), "cutter-reach") == []


# ------------------------------------------------------------------ artworks on one insert
def lens(radius: float, apart: float) -> float:
    """Area that two discs of one radius share, by the formula of the circular segment."""
    return 2.0 * radius**2 * acos(apart / (2.0 * radius)) - apart / 2.0 * sqrt(4.0 * radius**2 - apart**2)


@pytest.mark.parametrize("done", [("engraved", "engraved"), ("engraved", "cut through"), ("cut through",) * 2])
def test_artworks_that_overlap_are_told_with_area_place_and_the_way_out(done: tuple[str, str]) -> None:
    (finding,) = found(arts(*done, apart=1.5), "artwork-clash")
    assert finding.figure == pytest.approx(lens(2.0, 1.5), abs=1e-6)
    assert finding.point_mm is not None
    assert tuple(finding.point_mm) == pytest.approx((-0.25, 4.0), abs=1e-6)
    assert "n1 at least 2.5 mm right" in finding.remedy


def test_artworks_clear_of_each_other_are_fine() -> None:
    assert found(arts("engraved", "engraved", apart=4.2), "artwork-clash") == []
    (thin,) = found(arts("engraved", "engraved", apart=4.1), "artwork-clash")
    assert thin.figure == pytest.approx(0.1, abs=1e-9)
    assert thin.limit == pytest.approx(0.15)


def test_engravings_in_the_cover_that_overlap_are_told_with_what_they_share() -> None:
    marks = {n: Engraving(outline=disc(2.0, (x, 20.0))) for n, x in (("one", 0.0), ("two", 1.5))}
    (finding,) = found(fine(cover(engravings=marks)), "inlay-clash")
    assert finding.code == "meets-inlay"
    assert f"share {lens(2.0, 1.5):.2f} mm²" in finding.message


# ------------------------------------------------------------------ heights
def test_a_height_that_was_asked_for_to_the_digit_is_no_finding_without_any_allowance() -> None:
    """The last digits of arithmetic are no step, and stock that nobody measured is spoken of, too."""
    exact = replace(RECIPE.limits.inserts, sits_within=Figure(0.0, "mm", "set in the recipe", ""))
    recipe = replace(crest(sits="recessed", by=1.0 / 3.0), limits=replace(RECIPE.limits, inserts=exact))
    assert found(recipe, "insert-height") == []
    thin = replace(COVER.stock, measured=11.99, depths_from="bottom face")
    (finding,) = found(replace(recipe, cover=replace(COVER, stock=thin)), "insert-height")
    assert "measures 11.99 mm instead of 12 mm" in finding.message
