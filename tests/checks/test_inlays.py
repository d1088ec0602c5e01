"""Inlays, artwork and gaps: the figures and places that their findings tell."""

from __future__ import annotations

import re
from dataclasses import replace
from math import acos, hypot, sqrt

import pytest
from cases_inlays import EYE, SHARP, TWO_ALIKE, TWO_NEAR, arts, fine
from harness import found
from part_samples import COVER, RECIPE, box, cover, crest, disc

from generator.base.figures import Figure
from generator.base.remedy import ways
from generator.recipe.model import Recipe
from generator.recipe.model_dowels import Dowels
from generator.recipe.model_inlay import Artwork, Engraving


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


def test_tiny_pieces_that_are_alike_are_told() -> None:
    (finding,) = found(crest(outline=TWO_ALIKE), "insert-island")
    assert finding.code == "tiny-piece"
    assert finding.message.startswith("2 of 2 pieces of insert crest are tiny")


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
    assert finding.remedy == "set inlays.crest.artwork.n1.outline.at to [3.5 mm, 0 mm]"
    assert found(arts(*done, apart=4.5), "artwork-clash") == []


def test_artworks_clear_of_each_other_are_fine() -> None:
    assert found(arts("engraved", "engraved", apart=4.2), "artwork-clash") == []
    (thin,) = found(arts("engraved", "engraved", apart=4.1), "artwork-clash")
    assert thin.figure == pytest.approx(0.1, abs=1e-9)
    assert thin.limit == pytest.approx(0.15)
    assert thin.remedy == "set inlays.crest.artwork.n1.outline.at to [3.5 mm, 0 mm]"


def test_artworks_that_no_move_parts_are_told_how_far_they_are_too_near() -> None:
    small = arts("engraved", "engraved", apart=1.5)
    narrow = replace(small.inlays["crest"], outline=box(7.0, 5.5, (0.0, 4.0), 2.0))
    (finding,) = found(replace(small, inlays={"crest": narrow}), "artwork-clash")
    assert "n1 at least 2.5 mm right" in finding.remedy


def test_engravings_in_the_cover_that_overlap_are_told_with_what_they_share() -> None:
    marks = {n: Engraving(outline=disc(2.0, (x, 20.0))) for n, x in (("one", 0.0), ("two", 1.5))}
    (finding,) = found(fine(cover(engravings=marks)), "inlay-clash")
    assert finding.code == "meets-inlay"
    assert f"share {lens(2.0, 1.5):.2f} mm²" in finding.message


# ------------------------------------------------------------------ clashes
def edited_outlines(recipe: Recipe, remedy: str, path: str) -> dict[str, Recipe]:
    """The recipe with each alternative of a remedy that moves or grows the crest's outline, by its key."""
    made = {}
    for (edit,) in ways(remedy):
        key = edit.key.removeprefix(f"{path}.outline.")
        x = [float(v) for v in re.findall(r"(-?[\d.]+) mm", edit.value or "")]
        changes = {"at_mm": (x[0], x[1])} if key == "at" else {"grow_mm": x[0]}
        outline = replace(recipe.inlays["crest"].outline, **changes)
        crests = {**recipe.inlays, "crest": replace(recipe.inlays["crest"], outline=outline)}
        made[key] = replace(recipe, inlays=crests)
    return made


CLASHES = {
    "seat": crest(outline=box(16.0, 8.0, (20.0, 8.0), 2.0)),
    "two seats": crest(outline=box(60.0, 8.0, (0.0, 7.0), 2.0)),
    "opening": crest(outline=box(16.0, 8.0, (0.0, -6.0), 2.0)),
    "wall": crest(outline=box(16.0, 8.0, (0.0, -1.0), 2.0)),
    "turned": crest(outline=replace(box(16.0, 8.0, (17.0, 8.0), 2.0), turn_rad=0.4)),
    "dowel": replace(
        crest(outline=box(10.0, 8.0, (0.0, 19.0), 2.0)), dowels=Dowels(diameter=6.0, place="inside", at=(-18.0, 19.0))
    ),
}


@pytest.mark.parametrize("name", CLASHES)
def test_a_clash_is_told_with_the_move_that_ends_it(name: str) -> None:
    recipe = CLASHES[name]
    for finding in found(recipe, "inlay-clash"):
        mended = edited_outlines(recipe, finding.remedy, "inlays.crest")
        assert "at" in mended
        for better in mended.values():
            assert found(better, "inlay-clash") == []
            assert found(better, "inlay-in-cover") == []


def test_the_move_is_no_longer_than_it_must_be() -> None:
    (finding,) = found(CLASHES["wall"], "inlay-clash")
    assert finding.remedy == (
        "set inlays.crest.outline.at to [0 mm, -0.7 mm], or set inlays.crest.outline.grow to at most -0.3 mm"
    )


def test_a_clash_that_no_move_ends_says_so() -> None:
    (finding, *_) = found(crest(outline=box(70.0, 40.0, (0.0, 0.0), 2.0)), "inlay-clash")
    assert ways(finding.remedy) == ()
    assert "0.8 mm" in finding.remedy


@pytest.mark.parametrize("at", [(38.0, 10.0), (31.5, 10.0), (36.0, 22.0)])
def test_an_inlay_at_the_edge_is_told_the_place_where_it_lies_in_the_cover(at: tuple[float, float]) -> None:
    recipe = crest(outline=box(16.0, 8.0, at, 2.0))
    (finding,) = found(recipe, "inlay-in-cover")
    mended = edited_outlines(recipe, finding.remedy.partition(", or ")[2], "inlays.crest")
    assert "at" in mended
    for better in mended.values():
        assert found(better, "inlay-in-cover") == []
    assert found(mended["at"], "inlay-clash") == []


# ------------------------------------------------------------------ heights
def test_a_height_that_was_asked_for_to_the_digit_is_no_finding_without_any_allowance() -> None:
    """The last digits of arithmetic are no step, and stock that nobody measured is spoken of, too."""
    exact = replace(RECIPE.limits.inserts, sits_within=Figure(0.0, "mm", "set in the recipe", ""))
    recipe = replace(crest(sits="recessed", by=1.0 / 3.0), limits=replace(RECIPE.limits, inserts=exact))
    assert found(recipe, "insert-height") == []
    thin = replace(COVER.stock, measured=11.99, depths_from="bottom face")
    (finding,) = found(replace(recipe, cover=replace(COVER, stock=thin)), "insert-height")
    assert "measures 11.99 mm instead of 12 mm" in finding.message


def test_more_than_can_be_tried_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    from generator.checks.cutting import finer_than_cutter

    monkeypatch.setattr(finer_than_cutter, "MOST_TRIED", 3)
    (finding,) = found(crest(artwork={"mark": Artwork(outline=box(5.0, 4.0))}), "finer-than-cutter")
    assert "too much to try other cutters: 4 lines and arcs, at most 3" in finding.message
    assert finding.remedy.startswith("draw inlays.crest.artwork.mark.outline larger")
