"""What the checks of readiness for the shop say, in figures that can be reckoned by hand."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import pytest
from cases_shop import PLACES, coarse, engraved, glued, holes, second_bolt, tolerances, twice
from harness import found
from part_samples import RECIPE, box, cover, crest, round_hole, stock

from generator.base.fields import OutlineSpec
from generator.checks.shop.duplicate_outline import apart_mm
from generator.checks.shop.hole_callout import named
from generator.checks.shop.sharp_corners import corners
from generator.outline.contour import Contour
from generator.outline.create import rectangle
from generator.outline.region import Region
from generator.recipe.model_bolts import Bolts, Seat
from generator.recipe.model_inlay import Engraving
from generator.recipe.model_material import OwnMaterial
from generator.shapes.disc import Disc


def test_circles_of_one_middle_are_apart_by_the_difference_of_their_radii() -> None:
    """Area between them pi (R² - r²), mean length pi (R + r): R - r."""
    assert apart_mm(round_hole(3.0), round_hole(3.03), 0.05) == pytest.approx(0.03, rel=1e-6)
    assert apart_mm(round_hole(3.0), round_hole(3.0), 0.05) == 0.0


def test_squares_beside_each_other_are_apart_by_half_the_shift() -> None:
    """A square of side a moved by d along a side: 2 a d between the two, 4 a long."""
    a, b = (Region((rectangle(x, 0.0, x + 10.0, 10.0),)) for x in (0.0, 0.04))
    assert apart_mm(a, b, 0.05) == pytest.approx(0.02, rel=1e-6)


def test_discs_beside_each_other_are_apart_by_two_pi_th_of_the_shift() -> None:
    """For a small shift d the mean of |d cos| round a circle is 2 d / pi."""
    assert apart_mm(round_hole(3.0), round_hole(3.0, (0.03, 0.0)), 0.05) == pytest.approx(0.06 / pi, rel=1e-3)


def test_outlines_whose_boxes_differ_are_not_compared() -> None:
    assert apart_mm(round_hole(3.0), round_hole(3.2), 0.05) is None


def test_a_bolt_written_twice_is_told_with_the_position_to_leave_out() -> None:
    (finding,) = found(second_bolt(0.0), "duplicate-outline")
    assert finding.path == "original.bolts[0]"
    assert "bolt-3" in finding.message
    assert "bolt-2" in finding.message


def test_the_same_opening_as_deep_is_told_once() -> None:
    (finding,) = found(twice(3.5), "duplicate-outline")
    assert finding.remedy == "leave original.openings.wire out"
    assert finding.figure == 0.0


def test_a_countersink_and_its_hole_are_no_duplicates() -> None:
    assert not found(cover(seats=Seat(screw="ISO 10642")), "duplicate-outline")


def test_holes_are_named_by_iso_273() -> None:
    assert named(9.0) == [("M8", "medium")]
    assert named(10.5) == [("M10", "fine")]
    assert named(6.63) == []
    (finding,) = found(holes(7.0), "hole-callout")
    assert "M6, coarse" in finding.message
    assert finding.remedy.startswith("set original.bolts[0].thread to M6 and original.bolts[0].fit to coarse without")


def test_holes_of_one_group_are_told_once_and_threads_never() -> None:
    six = tuple((6.0 * k - 15.0, 0.0) for k in range(6))
    many = replace(RECIPE.original, bolts=(Bolts(hole=6.63, at=six, seat="none"),))
    assert len(found(replace(RECIPE, original=many), "hole-callout")) == 1
    assert not found(RECIPE, "hole-callout")


def test_the_finer_class_that_would_do_is_offered() -> None:
    """± 0.8 mm in class c and ± 0.3 mm in class m on 60.6 mm; half of it a side."""
    (finding,) = found(coarse(0.3), "general-tolerance")
    assert finding.figure == pytest.approx(0.4)
    assert finding.remedy == "set tolerances.general to `ISO 2768-mK`, or set clearance.around to at least 0.4 mm"
    (narrow,) = found(coarse(0.05), "general-tolerance")
    assert narrow.remedy == "set clearance.around to at least 0.4 mm"


def test_only_a_tolerance_that_can_be_held_is_offered_as_the_machines() -> None:
    by_key = {f.path: f for f in found(tolerances(size=0.0, depth=0.005), "tolerance-process")}
    assert "making.accuracy" not in by_key["tolerances.size"].remedy
    assert "making.accuracy to at most 0.005 mm" in by_key["tolerances.depth"].remedy


def test_seats_that_may_vanish_are_told_once() -> None:
    shallow = cover(seats=Seat(screw="ISO 4762", depth=0.04))
    assert len([f for f in found(shallow, "depths-named") if f.code == "may-vanish"]) == 1


def test_a_plate_that_was_measured_is_at_hand() -> None:
    assert found(stock(thickness=13.0), "stock-standard")
    assert not found(stock(thickness=13.0, measured=13.0), "stock-standard")


def test_inch_plates_are_stocked_for_inch_recipes_only() -> None:
    quarter = stock(thickness=11.1125)  # 7/16 in
    assert found(quarter, "stock-standard")
    assert not found(replace(quarter, units="inch"), "stock-standard")


def test_a_corner_that_is_just_there_is_a_short_step() -> None:
    outer = replace(box(80.0, 50.0), add=(box(20.0, 50.0, (0.0, 0.004)),))
    (finding,) = found(cover(outer=outer, edge_break=0.0), "short-steps")
    assert finding.figure == pytest.approx(0.004, abs=1e-6)
    assert finding.point_mm is not None
    assert (abs(finding.point_mm[0]), abs(finding.point_mm[1])) == pytest.approx((10.0, 25.0), abs=0.01)


def test_corners_of_a_square_and_of_a_stadium() -> None:
    """Four right angles; two half circles and no corner."""
    square = list(corners(rectangle(0.0, 0.0, 10.0, 10.0)))
    assert [(r, round(by, 6)) for r, _, by in square] == [(0.0, 90.0)] * 4
    stadium = Contour.of([(0.0, 0.0), (10.0, 0.0, 1.0), (10.0, 4.0), (0.0, 4.0, 1.0)])
    assert [round(by, 6) for r, _, by in corners(stadium) if r == 0.0] == [0.0] * 4
    assert [(r, round(by, 6)) for r, _, by in corners(stadium) if r] == [(2.0, 180.0)] * 2


def test_inside_corners_catch_nothing() -> None:
    """A square with a bite: the two corners of the bite's mouth catch, its two inside corners do not."""
    bitten = replace(box(80.0, 50.0), cut=(box(10.0, 10.0, (0.0, 25.0)),))
    (finding,) = found(cover(outer=bitten, edge_break=0.0), "sharp-corners")
    assert "(and 5 more)" in finding.message
    assert finding.remedy.startswith("set cover.outer.round_corners to at least 0.3 mm")


def test_outlines_of_different_depth_are_two() -> None:
    disc_of = OutlineSpec("disc", Disc(radius=2.0), at_mm=(0.0, 14.0))
    deep = {"one": Engraving(outline=disc_of, depth=0.3), "two": Engraving(outline=disc_of, depth=0.6)}
    assert not found(cover(engravings=deep), "duplicate-outline")
    same = {name: replace(e, depth=0.3) for name, e in deep.items()}
    assert [f.code for f in found(cover(engravings=same), "duplicate-outline")] == ["same-outline"]


def test_what_is_pressed_in_is_to_be_tight() -> None:
    assert not found(replace(glued(0.2, "press")), "gap-tolerance")


def test_cones_and_through_holes_have_no_depth_to_be_told_apart() -> None:
    """A countersink reaches as deep as the head; only what has a floor of its own is held against the others."""
    assert not found(cover(seats=Seat(screw="ISO 10642", depth=0.04)), "depths-named")
    thick = replace(engraved(1.52), original=replace(RECIPE.original, bolts=()))
    assert {f.feature for f in found(thick, "depths-named")} == {"engraving-mark"}
    through = cover(engravings={"mark": Engraving(outline=OutlineSpec("disc", Disc(radius=2.0), at_mm=(0.0, 14.0)),
                                                  depth=11.98)})  # fmt: skip
    assert not [f for f in found(through, "depths-named") if "hole-" in f.message]


def test_the_shortest_step_is_told() -> None:
    outer = replace(box(80.0, 50.0), add=(box(20.0, 50.0, (0.0, 0.008)), box(10.0, 50.0, (0.0, -0.003))))
    (finding,) = found(cover(outer=outer, edge_break=0.0), "short-steps")
    assert finding.figure == pytest.approx(0.003, abs=1e-6)
    assert finding.message.startswith("4 lines")


@pytest.mark.parametrize("key", ["position", "size", "depth", "flip"])
def test_every_tolerance_of_the_machine_is_held_against_it(key: str) -> None:
    assert [f.path for f in found(tolerances(**{key: 0.01}), "tolerance-process")] == [f"tolerances.{key}"]


@pytest.mark.parametrize("key", ["footprint", "bolts", "height"])
def test_every_measure_is_held_against_a_caliper(key: str) -> None:
    (finding,) = found(tolerances(**{key: 0.01}), "tolerance-process")
    assert (finding.path, finding.code) == (f"tolerances.{key}", "too-sure")


def test_a_hole_that_two_threads_share_is_called_by_the_closer_fit() -> None:
    """21 mm is coarse for M18 and fine for M20."""
    assert set(named(21.0)) == {("M18", "coarse"), ("M20", "fine")}
    (finding,) = found(holes(21.0), "hole-callout")
    assert "M20, fine" in finding.message


def test_the_smallest_hole_decides_over_the_machine() -> None:
    """Class f: ± 0.05 mm up to 6 mm, ± 0.1 mm up to 30 mm."""
    mixed = (Bolts(thread="M6", at=PLACES[:1]), Bolts(thread="M3", at=PLACES[1:]))
    recipe = coarse(0.3, "ISO 2768-f", 0.08)
    mixed_recipe = replace(recipe, original=replace(recipe.original, bolts=mixed))
    (finding,) = [f for f in found(mixed_recipe, "general-tolerance") if f.code == "finer-than-machine"]
    assert (finding.figure, finding.limit) == (0.05, 0.08)
    assert not found(recipe, "general-tolerance")


def test_strength_is_missed_only_of_what_is_pressed_in() -> None:
    known = OwnMaterial(name="cast brass", density=8400.0, expansion=20.0, anodic_index=0.4)
    assert not found(crest(material=known), "material-known")
    (finding,) = found(crest(material=known, fit="press"), "material-known")
    assert "no strength" in finding.message


def test_one_step_alone_is_told_in_the_singular() -> None:
    outer = replace(box(80.0, 50.0), add=(box(20.0, 20.0, (-30.0, 15.004)),))
    (finding,) = found(cover(outer=outer, edge_break=0.0), "short-steps")
    assert finding.message.startswith("1 line or arc of outer-profile is shorter than")
