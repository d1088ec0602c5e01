"""Finding the card or sheet in a photo, and what is said where there is none, or two, or not the whole of it."""

from __future__ import annotations

import re

import numpy as np
import pytest

from generator.base.errors import GeometryError
from generator.trace.photo import trace_photo
from generator.trace.picture import Picture
from generator.trace.readings import Caliper
from generator.trace.reference import quad_of, things_on
from tests.trace.photo_scenes import CARD_MM, camera_at, card, disc, scene, sheet

NEAR, FAR = camera_at(10.0, 210.0), camera_at(8.0, 330.0)
OTHER_CARD = ((85.60, 53.98, 0.0), (45.0, 5.0, 10.0), 0.76, 0.08)


def traced(picture: Picture, reference: str, **also):
    return trace_photo(picture, Caliper(), reference=reference, **({"thickness": 0.0} | also))


@pytest.mark.parametrize("degrees", [0.0, 33.0, 90.0])
def test_the_sides_of_a_card_are_found(degrees):
    """Corners against the camera that drew them: where the sides would meet without rounding."""
    picture = scene(NEAR, [card(40.0, 0.0, degrees), disc(30.0, -55.0, 5.0)])
    things, _ = things_on(picture.light)
    quads = [q for q in map(quad_of, things) if q is not None]
    assert len(quads) == 1
    a = np.radians(degrees)
    turn = np.array([[np.cos(a), -np.sin(a)], [np.sin(a), np.cos(a)]])
    flat = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * (CARD_MM[0] / 2, CARD_MM[1] / 2)
    true = NEAR.pixel(np.column_stack([flat @ turn.T + (40.0, 0.0), np.full(4, 0.76)]))
    nearest = [np.hypot(*(true - c).T).min() for c in quads[0].corners]
    assert max(nearest) < 0.5


def test_a_disc_beside_a_card_has_its_diameter():
    circle = traced(scene(NEAR, [card(40.0, 0.0, 12.0), disc(30.0, -55.0, 5.0)]), "card").solved.primitives
    assert [p.kind for p in circle] == ["circle"]
    assert 2 * circle[0].values[2] == pytest.approx(30.0, abs=0.03)


def test_a_disc_on_a_sheet_has_its_diameter():
    circle = traced(scene(FAR, [sheet(0.0, 0.0, 3.0), disc(60.0, -30.0, 12.0)]), "a4").solved.primitives
    assert [p.kind for p in circle] == ["circle"]
    assert 2 * circle[0].values[2] == pytest.approx(60.0, abs=0.06)


def test_two_cards_agree_and_one_tells_the_scale():
    picture = scene(NEAR, [card(48.0, 0.0, 5.0), card(-48.0, 0.0, -8.0), disc(20.0, 0.0, 50.0)])
    found = traced(picture, "card")
    assert 2 * found.solved.primitives[0].values[2] == pytest.approx(20.0, abs=0.03)
    (told,) = (r for r in found.remarks if "two of a bank card" in r)
    size = re.search(r"has ([0-9.]+) × ([0-9.]+) mm, by ISO/IEC 7810 it has 85.60 × 53.98", told)
    assert size is not None
    assert float(size[1]) == pytest.approx(85.60, abs=0.25)
    assert float(size[2]) == pytest.approx(53.98, abs=0.25)
    assert re.search(r"the one round pixel \([0-9]+, [0-9]+\) tells the scale", told)


def test_a_card_of_another_size_contradicts():
    """A bank card's picture, printed at 102 %."""
    printed = ((1.02 * 85.60, 1.02 * 53.98, 3.24), (-48.0, 0.0, -8.0), 0.76, 0.08)
    picture = scene(NEAR, [card(48.0, 0.0, 5.0), printed, disc(20.0, 0.0, 50.0)])
    with pytest.raises(GeometryError, match=r"contradict each other: by the one .* % off; take out what is no such"):
        traced(picture, "card")


@pytest.mark.parametrize("reference", ["card", "a4"])
def test_a_card_on_the_sheet_is_no_part_and_is_compared(reference):
    picture = scene(FAR, [sheet(0.0, 0.0, 3.0), card(-70.0, 20.0, 12.0), disc(60.0, 60.0, -12.0)])
    found = traced(picture, reference)
    assert [p.kind for p in found.solved.primitives] == ["circle"]
    assert 2 * found.solved.primitives[0].values[2] == pytest.approx(60.0, abs=0.2)
    (told,) = (r for r in found.remarks if "lie in the picture" in r)
    assert "they agree to 0." in told
    assert ("the sheet of A4 tells" if reference == "a4" else "the bank card tells") in told


def test_a_card_beside_the_sheet_is_compared():
    far = camera_at(5.0, 430.0)
    picture = scene(far, [sheet(-50.0, 0.0, 2.0), card(155.0, 0.0, 88.0), disc(60.0, -60.0, -12.0)])
    found = traced(picture, "a4")
    assert 2 * found.solved.primitives[0].values[2] == pytest.approx(60.0, abs=0.08)
    assert any("a sheet of A4 and a bank card lie in the picture" in r for r in found.remarks)


def test_a_plate_formed_like_a_sheet_is_a_part():
    """A plate of 84.85 × 60 mm, whose sides have A4's ratio, beside a card."""
    picture = scene(NEAR, [card(48.0, 0.0, 5.0), ((84.85, 60.0, 0.0), (-52.0, 0.0, -8.0), 0.0, 0.12)])
    kinds = [p.kind for p in traced(picture, "card").solved.primitives]
    assert kinds == ["line"] * 4


@pytest.mark.parametrize("walls", [False, True])
def test_a_wall_of_a_card_that_cannot_be_told_is_in_the_uncertainty(walls):
    """A card seen from 24 degrees off square, its wall as dark as its face, or lit like the table."""
    size, pose, height, light = card(30.0, 0.0, 12.0)
    things = [(size, pose, z, light) for z in ([0.0, height] if walls else [height])]
    found = traced(scene(camera_at(24.0, 230.0), [*things, disc(30.0, -45.0, 5.0)]), "card")
    assert any("own wall, 0.76 mm high, is seen below its rim cannot be told" in r for r in found.remarks)
    fit = found.solved.found
    radius = found.solved.layout.model.places()[0] + 2
    doubt = 2 * fit.covariance[radius, radius] ** 0.5
    assert 2 * found.solved.primitives[0].values[2] == pytest.approx(30.0, abs=0.1)
    assert abs(found.solved.primitives[0].values[2] - 15.0) < 1.5 * doubt, "1.5 for edges that are seen off themselves"


def test_a_camera_square_above_a_card_sees_no_wall():
    camera = camera_at(3.0, 230.0)
    found = traced(scene(camera, [card(10.0, 0.0, 12.0), disc(30.0, -55.0, 5.0)]), "card")
    assert not any("wall" in r for r in found.remarks)


def test_a_card_cut_off_does_not_count():
    picture = scene(NEAR, [card(100.0, 0.0, 5.0), disc(30.0, -40.0, 0.0)])
    with pytest.raises(GeometryError, match=r"no bank card wholly in the picture \(what touches .* rim"):
        traced(picture, "card")


def test_no_card_is_told_with_what_to_do():
    with pytest.raises(
        GeometryError, match=r"no bank card wholly in the picture; lay it beside the part.*reference a4"
    ):
        traced(scene(NEAR, [disc(30.0, -40.0, 0.0)]), "card")


def test_no_sheet_is_told_with_what_to_do():
    with pytest.raises(GeometryError, match="no sheet of A4 wholly in the picture; lay the part upon it"):
        traced(scene(NEAR, [card(40.0, 0.0), disc(30.0, -40.0, 0.0)]), "a4")


def test_sharp_corners_are_no_card():
    with pytest.raises(GeometryError, match="no bank card"):
        traced(scene(NEAR, [OTHER_CARD, disc(30.0, -50.0, 0.0)]), "card")


def test_another_size_is_no_card():
    """A plate of 80 × 56 mm with a card's corners."""
    with pytest.raises(GeometryError, match="no bank card"):
        traced(scene(NEAR, [((80.0, 56.0, 3.18), (45.0, 0.0, 4.0), 0.76, 0.08), disc(30.0, -50.0, 0.0)]), "card")


def test_a_bent_card_is_refused():
    """A strip of print as dark as the card sticks out of half of one long side by 0.3 mm."""
    picture = scene(NEAR, [card(40.0, 0.0), ((40.0, 0.6, 0.3), (40.0, 27.0, 0.0), 0.76, 0.08), disc(30.0, -50.0, 0.0)])
    with pytest.raises(GeometryError, match=r"are [0-9]+ µm off straight lines of its size, at most 20"):
        traced(picture, "card")


def test_a_blank_page_shows_nothing():
    rng = np.random.default_rng(0)
    blank = (0.6 + rng.normal(0, 0.004, (600, 800))).astype(np.float32)
    with pytest.raises(GeometryError, match="nothing stands out"):
        traced(Picture(blank, None, 27.0, False, 0.0, "photo.jpg"), "card")


def test_a_card_alone_has_no_part_beside_it():
    with pytest.raises(GeometryError, match="no part beside the card"):
        traced(scene(NEAR, [card(0.0, 0.0)]), "card")


def test_a_part_cut_off_is_told():
    with pytest.raises(GeometryError, match="part is not wholly in the picture"):
        traced(scene(NEAR, [card(30.0, 0.0), disc(40.0, -138.0, 0.0)]), "card")


def test_thickness_is_asked_for_with_what_it_costs():
    """Parallax by similar triangles: a millimetre of height moves an edge by its distance over the camera's height."""
    picture = scene(NEAR, [card(40.0, 0.0), disc(30.0, -55.0, 5.0)])
    with pytest.raises(GeometryError, match="thickness is not known: give a reading of the kind thickness") as told:
        traced(picture, "card", thickness=None)
    foot = NEAR.centre[:2]
    far = np.hypot(-55.0 - foot[0], 5.0 - foot[1]) + 15.0
    assert f"{far / NEAR.centre[2]:.2f} mm for every millimetre" in str(told.value)


def test_planes_that_differ_are_told():
    picture = scene(NEAR, [card(40.0, 0.0), disc(30.0, -55.0, 5.0)])
    remarks = traced(picture, "card").remarks
    assert any("off the plane of the bank card" in r and f"{76.0 / NEAR.centre[2]:.2f} %" in r for r in remarks)


def test_a_cropped_photo_is_told():
    """A tenth of the picture's width is cut away on one side: the lens's axis lies aside."""
    whole = scene(NEAR, [card(45.0, 0.0, 4.0), disc(30.0, -25.0, 5.0)])
    cut = Picture(np.ascontiguousarray(whole.light[:, 120:]), None, 27.0, False, 0.0, "photo.jpg")
    found = traced(cut, "card")
    assert 2 * found.solved.primitives[0].values[2] == pytest.approx(30.0, abs=0.3)
    assert any("so it was probably cropped" in r for r in found.remarks)
    assert not any("cropped" in r for r in traced(whole, "card").remarks)
