"""Solids of straight walls: volumes in closed form, counts of faces and edges, odd regions, clear refusals."""

from __future__ import annotations

import json
from math import acos, pi, sqrt
from pathlib import Path

import pytest
from solid_bodies import QUARTER, counts, disc, hole, prism_volume, rect, rounded, straight

from generator.base.errors import GeometryError
from generator.outline.contour import Contour
from generator.part.part import Slab
from generator.solid.assemble import make_solid
from generator.solid.facts import box_mm, find_holes, is_closed, is_valid, volume_mm3

DATA = Path(__file__).parents[1] / "data" / "outlines"
PLATE = rect(0, 0, 20, 20)


def made(*slabs: Slab):
    """Return the solid, which is valid, closed and as big as its slabs."""
    solid = make_solid(slabs)
    assert is_valid(solid)
    assert is_closed(solid)
    assert volume_mm3(solid) == pytest.approx(prism_volume(slabs), rel=1e-10)
    return solid


def test_block_has_six_faces() -> None:
    solid = made(straight(0, 8, rect(0, 0, 90, 62)))
    assert counts(solid) == (6, 12, 8)
    assert volume_mm3(solid) == 90 * 62 * 8
    assert box_mm(solid) == pytest.approx((0, 0, 0, 90, 62, 8), abs=1e-12)


def test_through_hole_is_one_wall_without_a_seam_at_the_height_between() -> None:
    solid = made(straight(0, 3, PLATE, hole(8, 9, 2.5)), straight(3, 8, PLATE, hole(8, 9, 2.5)))
    assert counts(solid) == (7, 15, 10)
    assert volume_mm3(solid) == pytest.approx(8 * (400 - pi * 2.5**2), rel=1e-14)


def test_disc_is_one_cylinder() -> None:
    solid = made(straight(-1, 4, disc(3, 4, 7)))
    assert counts(solid) == (3, 3, 2)
    assert box_mm(solid) == pytest.approx((-4, -3, -1, 10, 11, 4), abs=1e-9)


def test_counterbore() -> None:
    solid = made(straight(0, 6, PLATE, hole(10, 10, 3.3)), straight(6, 8, PLATE, hole(10, 10, 5.5)))
    assert counts(solid)[0] == 6 + 2 + 1
    assert volume_mm3(solid) == pytest.approx(3200 - pi * (3.3**2 * 6 + 5.5**2 * 2), rel=1e-14)
    small, big = find_holes(solid)
    assert (*small.at, small.diameter_mm, small.z_from_mm, small.z_to_mm) == pytest.approx((10, 10, 6.6, 0, 6))
    assert (*big.at, big.diameter_mm, big.z_from_mm, big.z_to_mm) == pytest.approx((10, 10, 11, 6, 8))


def test_pocket_with_boss_and_hole_through_it() -> None:
    low = straight(0, 4, PLATE, rect(2, 2, 18, 18).reversed(), disc(10, 10, 4), hole(10, 10, 2))
    solid = made(low, straight(4, 8, PLATE, hole(10, 10, 2)))
    # block 6, pocket 4 walls and ceiling, boss 1, hole 1; the boss's lower face is a second piece of the bottom
    assert counts(solid)[0] == 6 + 5 + 1 + 1 + 1


def test_split_contours_become_whole_walls() -> None:
    split = Contour.of([(0, 0), (5, 0), (20, 0), (20, 7), (20, 20), (0, 20), (0, 12)])
    circle = Contour.of([(12, 10, QUARTER), (10, 12, QUARTER), (8, 10, 1.0)])
    assert counts(made(straight(0, 2, split, circle.reversed()))) == counts(
        made(straight(0, 2, PLATE, hole(10, 10, 2)))
    )


def test_circle_that_starts_elsewhere_is_the_same_hole() -> None:
    other = Contour.of([(10, 14, -1.0), (10, 6, -1.0)])
    solid = made(straight(0, 2, PLATE, hole(10, 10, 4)), straight(2, 5, PLATE, other))
    assert counts(solid) == (7, 15, 10)


def test_open_pocket_leaves_no_seams_round_the_part() -> None:
    notched = Contour.of([(0, 0), (20, 0), (20, 20), (12, 20), (12, 10), (8, 10), (8, 20), (0, 20)])
    solid = made(straight(0, 2, PLATE), straight(2, 4, notched))
    assert counts(solid) == (10, 24, 16)


@pytest.mark.parametrize("below", ["rect", "disc"])
@pytest.mark.parametrize("above", ["rect", "disc", "shifted"])
def test_pockets_from_both_faces_that_cross(below: str, above: str) -> None:
    shapes = {"rect": rect(2, 8, 18, 12).reversed(), "disc": hole(10, 10, 4), "shifted": hole(12.5, 9, 4)}
    upper = rect(8, 2, 12, 18).reversed() if above == "rect" else shapes[above]
    made(straight(0, 2, PLATE, shapes[below]), straight(2, 4, PLATE, upper))


def test_crossing_circles_leave_two_crescents() -> None:
    r, d = 4.0, 3.0
    solid = made(straight(0, 2, PLATE, hole(8, 10, r)), straight(2, 4, PLATE, hole(8 + d, 10, r)))
    lens = 2 * r * r * acos(d / (2 * r)) - d / 2 * sqrt(4 * r * r - d * d)
    assert volume_mm3(solid) == pytest.approx(4 * (400 - pi * r * r), rel=1e-14)
    assert lens > 0
    assert counts(solid)[0] == 6 + 2 + 2  # block, two walls, a floor below and a ceiling above


def test_circles_that_touch_from_inside() -> None:
    made(straight(0, 2, PLATE, hole(10, 10, 4)), straight(2, 4, PLATE, hole(11, 10, 3)))


def test_pocket_that_touches_a_boss() -> None:
    low = straight(0, 4, PLATE, rounded(1, 1, 19, 19, 3).reversed(), disc(4, 10, 3))
    made(low, straight(4, 6, PLATE))


def test_stacked_bodies_that_meet_in_lines_only() -> None:
    solid = made(straight(0, 2, PLATE, rect(5, 5, 15, 15).reversed()), straight(2, 4, rect(5, 5, 15, 15)))
    assert counts(solid)[0] == 16


def test_hollow_inside_is_a_void() -> None:
    solid = made(straight(0, 2, PLATE), straight(2, 4, PLATE, rect(5, 5, 15, 15).reversed()), straight(4, 6, PLATE))
    assert volume_mm3(solid) == pytest.approx(20 * 20 * 6 - 200, rel=1e-14)


def test_air_between_slabs_makes_two_bodies() -> None:
    made(straight(0, 2, PLATE), straight(3, 5, PLATE))


def outline(name: str) -> list[Contour]:
    data = json.loads((DATA / f"{name}.json").read_text(encoding="utf-8"))
    return [Contour.of(c) for r in data["regions"] for c in (r["outer"], *r["holes"])]


ODD = sorted(p.stem for p in DATA.glob("*.json") if p.stem not in ("noisy_a", "neartouch_a"))


@pytest.mark.parametrize("name", ODD)
def test_hard_outlines_as_prism_and_as_pocket(name: str) -> None:
    contours = outline(name)
    made(straight(0, 3, *contours))
    plate = rect(-200, -200, 200, 200)
    made(straight(0, 3, plate), straight(3, 4, plate, *(c.reversed() for c in contours)))


def test_holes_a_tenth_of_a_nanometre_apart_are_never_silently_wrong() -> None:
    """The kernel tells nothing below 1e-7 mm apart: here the solid may be invalid, but then it says so."""
    solid = make_solid([straight(0, 3, *outline("neartouch_a"))])
    assert not is_valid(solid) or volume_mm3(solid) == pytest.approx(
        prism_volume([straight(0, 3, *outline("neartouch_a"))]), rel=1e-8
    )


@pytest.mark.slow
def test_thousands_of_segments() -> None:
    contours = outline("noisy_a")
    solid = make_solid([straight(0, 3, *contours)])
    assert is_closed(solid)
    assert volume_mm3(solid) == pytest.approx(prism_volume([straight(0, 3, *contours)]), rel=1e-11)


def test_nothing_left_is_refused_by_name() -> None:
    with pytest.raises(GeometryError, match="cover: the slabs leave no material") as caught:
        make_solid([Slab(0, 3, ())], feature="cover")
    assert caught.value.contour == "cover"


def test_kernel_errors_name_feature_and_heights(monkeypatch: pytest.MonkeyPatch) -> None:
    from OCP.gp import gp_Dir

    monkeypatch.setattr("generator.solid.assemble.flat_face", lambda *_: gp_Dir(0.0, 0.0, 0.0))
    with pytest.raises(GeometryError, match="cover: no closed solid from 1 walls from 0 to 3 mm"):
        make_solid([straight(0, 3, PLATE)], feature="cover")


def test_own_mistakes_are_not_taken_for_the_kernels(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise KeyError("ours")

    monkeypatch.setattr("generator.solid.assemble.flat_face", broken)
    with pytest.raises(KeyError):
        make_solid([straight(0, 3, PLATE)])
