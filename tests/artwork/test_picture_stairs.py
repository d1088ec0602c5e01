"""Pictures in two tones: the steps between pixels come off, corners stay."""

from __future__ import annotations

import numpy as np
import pytest

from generator.artwork.picture import PictureRules, trace
from generator.artwork.picture_edge import loops
from generator.artwork.picture_stairs import unstaired
from generator.outline.predicates import corner_angles
from tests.artwork.picture_samples import FOLDER, two_tones

ROWS, COLUMNS = np.mgrid[0:200, 0:200]
X, Y = COLUMNS + 0.5, 200 - (ROWS + 0.5)


def stepped(inside):
    """The loop of a picture whose pixels are dark where their middle is inside."""
    (loop,) = loops(np.where(inside, 0.5, -0.5).astype(np.float32))
    return loop


@pytest.mark.parametrize("radius", [6.3, 20.7, 55.2, 91.9])
def test_steps_of_a_circle_come_off(radius):
    loop = stepped(np.hypot(X - 100.3, Y - 99.6) < radius)
    off = np.hypot(*(unstaired(loop) - (100.3, 99.6)).T) - radius
    before = np.hypot(*(loop - (100.3, 99.6)).T) - radius
    assert np.sqrt((off**2).mean()) < 0.45 * np.sqrt((before**2).mean())
    assert np.abs(off).max() < 0.3


@pytest.mark.parametrize("turn", [0.03, 0.2, 0.5, 0.75])
def test_straight_sides_become_straight_and_corners_stay(turn):
    u, v = np.cos(turn) * (X - 100) + np.sin(turn) * (Y - 100), np.cos(turn) * (Y - 100) - np.sin(turn) * (X - 100)
    p = unstaired(stepped((np.abs(u) < 70.2) & (np.abs(v) < 40.4))) - 100
    u, v = np.cos(turn) * p[:, 0] + np.sin(turn) * p[:, 1], np.cos(turn) * p[:, 1] - np.sin(turn) * p[:, 0]
    off = np.maximum(np.abs(u) - 70.2, np.abs(v) - 40.4)
    assert np.sqrt((off**2).mean()) < 0.14
    assert np.abs(off).max() < 0.75


def test_points_stay_between_dark_and_light():
    rng = np.random.default_rng(4)
    blots = np.kron(rng.random((10, 10)) > 0.5, np.ones((20, 20), bool))
    for loop in loops(np.where(blots, 0.5, -0.5).astype(np.float32)):
        assert np.abs(unstaired(loop) - loop).max() < 0.6


def test_a_few_points_are_left_alone():
    loop = stepped(np.hypot(X - 100.5, Y - 100.5) < 0.6)
    assert unstaired(loop).tolist() == loop.tolist()


def test_outline_of_a_picture_in_two_tones_has_the_corners_of_the_drawing_and_hardly_more():
    fox = (FOLDER / "fox.png").read_bytes()
    region = trace(two_tones(fox), PictureRules()).region
    sharp = sum(int((np.abs(corner_angles(c)) > np.radians(4)).sum()) for c in region)
    assert 16 <= sharp <= 20  # sixteen are drawn; there were 38 when the steps were left on
