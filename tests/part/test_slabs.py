"""Slabs: levels, sections, contours that stay the very same, and what is refused."""

from __future__ import annotations

from math import pi

import pytest
from part_samples import RECIPE, plan_of, plate, round_hole, taken

from generator.base.errors import GeometryError
from generator.outline.create import circle, rectangle
from generator.outline.measure import area, signed_area
from generator.outline.region import Region
from generator.outline.transform import canonical
from generator.part.slabs import levels, slabs


def rect(xmin: float, ymin: float, xmax: float, ymax: float) -> Region:
    return Region((rectangle(xmin, ymin, xmax, ymax),))


def test_plate_is_one_slab() -> None:
    (slab,) = slabs(plate())
    assert (slab.z_from_mm, slab.z_to_mm) == (0.0, 8.0)
    assert slab.lower == slab.upper == plate().profile
    assert all(w.is_straight for w in slab.walls)


def test_levels_join_what_differs_by_rounding_only() -> None:
    part = plate(taken(round_hole(3.0), 8.0 - 6.4, 8.0), taken(round_hole(3.0, (20.0, 0.0)), 1.6, 8.0, name="other"))
    assert levels(part) == (0.0, 8.0 - 6.4, 8.0)


def test_levels_outside_the_part_are_left_out() -> None:
    assert levels(plate(taken(round_hole(3.0), -2.0, 8.0), taken(round_hole(2.0), 0.0, 11.0, name="deep"))) == (
        0.0,
        8.0,
    )


def test_contours_that_nothing_changes_are_equal_from_slab_to_slab() -> None:
    made = slabs(plan_of(RECIPE).cover)
    assert len(made) == 5  # 0, pocket 3.4, seats 5.6, inlay 10.5, edge break 11.5, 12
    outer = [{w.lower for w in s.walls if signed_area(w.lower) > 0} for s in made]
    assert all(o == outer[0] for o in outer)
    holes = [{w.lower for w in s.walls if signed_area(w.lower) < 0} for s in made]
    assert len(holes[0]) == 1  # bottom pocket: the opening and the bolt holes lie inside it
    assert len(holes[1]) == 3  # two bolt holes, the opening
    assert len(holes[2] & holes[3]) == 3  # two seats, the opening
    assert holes[2] < holes[3] == holes[4]  # and the same again beside the inlay
    assert len(holes[1] & holes[2]) == 1  # only the opening is the same on both sides of the seats' floors


def test_upper_contours_of_a_slab_with_edge_break_are_offset() -> None:
    *_, top = slabs(plate(rim=0.5))
    (wall,) = top.walls
    assert not wall.is_straight
    assert canonical(wall.upper) == canonical(rect(-44.5, -29.5, 44.5, 29.5).contours[0])


def test_overlapping_cuts_are_united() -> None:
    part = plate(taken(rect(-10, -5, 10, 5), 0.0, 4.0), taken(rect(0, -2, 20, 2), 0.0, 8.0, name="slot"))
    first, second = slabs(part)
    assert area(first.lower) == pytest.approx(90 * 60 - 200 - 40, abs=1e-6)
    assert area(second.lower) == pytest.approx(90 * 60 - 80, abs=1e-6)
    assert len(first.walls) == 2


def test_island_in_a_pocket_stays_and_takes_its_own_hole() -> None:
    ring = Region((circle((0, 0), 12.0), circle((0, 0), 6.0).reversed()))
    part = plate(taken(ring, 0.0, 3.0), taken(round_hole(2.0), 0.0, 8.0, name="hole"))
    first, _ = slabs(part)
    assert len(first.walls) == 4
    assert area(first.lower) == pytest.approx(90 * 60 - pi * (144 - 36) - pi * 4, rel=1e-12)


def test_cut_over_the_edge_changes_the_outline_only_where_it_is() -> None:
    part = plate(taken(rect(40, -5, 50, 5), 0.0, 3.0), taken(round_hole(3.0), 0.0, 8.0, name="hole"))
    first, second = slabs(part)
    assert area(first.lower) == pytest.approx(90 * 60 - 50 - pi * 9, abs=1e-6)
    assert {w.lower for w in first.walls} & {w.lower for w in second.walls} == {round_hole(3.0).contours[0].reversed()}


def test_what_lies_outside_takes_nothing() -> None:
    part = plate(taken(round_hole(3.0, (100.0, 0.0)), 0.0, 8.0), rim=0.5)
    assert [area(s.lower) for s in slabs(part)] == [90 * 60, 90 * 60]
    assert all(len(s.walls) == 1 for s in slabs(part))


def test_everything_cut_away_leaves_no_slab() -> None:
    assert slabs(plate(taken(rect(-50, -40, 50, 40), 0.0, 8.0))) == ()


def test_pocket_as_deep_as_the_plate_leaves_a_frame() -> None:
    (slab,) = slabs(plate(taken(rect(-10, -10, 10, 10), 0.0, 9.0)))
    assert len(slab.walls) == 2


def test_countersink_walls_are_cones_that_meet_the_hole() -> None:
    part = plate(
        taken(round_hole(3.3), 0.0, 8.0, name="hole"), taken(round_hole(3.3), 5.0, 8.0, flare=3.0, name="seat")
    )
    below, cone = slabs(part)
    hole = next(w for w in below.walls if signed_area(w.lower) < 0)
    wall = next(w for w in cone.walls if not w.is_straight)
    assert wall.lower == hole.lower
    assert area(Region((wall.upper,))) == pytest.approx(-pi * 6.3**2, rel=1e-12)


def test_a_cone_is_continuous_over_another_level() -> None:
    part = plate(
        taken(round_hole(3.3), 5.0, 8.0, flare=3.0, name="seat"), taken(round_hole(2.0, (20, 0)), 6.1, 8.0, name="x")
    )
    _, lower, upper = slabs(part)
    tops = {w.upper for w in lower.walls if not w.is_straight}
    assert tops == {w.lower for w in upper.walls if not w.is_straight}


@pytest.mark.parametrize(
    ("part", "says"),
    [
        (plate(taken(rect(40, -5, 44.8, 5), 5.0, 8.0), rim=0.5), "pocket runs into the edge break"),
        (plate(taken(round_hole(2.0, (43, 0)), 5.0, 8.0, flare=1.0)), "pocket runs out over the edge"),
        (
            plate(taken(round_hole(2.0), 5.0, 8.0, flare=2.0), taken(rect(3, -2, 9, 2), 0.0, 8.0, name="slot")),
            "pocket runs into slot",
        ),
        (plate(rim=7.0, profile=rect(-5, -5, 5, 5)), "leaves nothing"),
        (plate(rim=2.0, profile=Region((circle((-9, 0), 6.0), circle((9, 0), 1.5)))), "too wide"),
    ],
    ids=["edge break", "over the edge", "into a slot", "nothing left", "vanishes"],
)
def test_slopes_that_run_into_something_are_refused(part, says) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(GeometryError, match=says):
        slabs(part)
