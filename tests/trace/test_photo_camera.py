"""The camera from a rectangle: against the simulator's own camera, closed forms and scikit-image's projective fit."""

from __future__ import annotations

import numpy as np
import pytest
from skimage.transform import ProjectiveTransform

from generator.trace import camera as own
from generator.trace.reference import A4, CARD
from tests.scans.photo_camera import Camera as Other
from tests.trace.photo_scenes import camera_at


def sides_seen(other: Other, shape, heading: float, noise: float = 0.0, low: tuple[int, ...] = ()):
    """Points on a rectangle's sides as another camera sees them, corners left out, and its corners' pixels."""
    a, b, z = shape.long_mm / 2, shape.short_mm / 2, shape.height_mm
    corners = np.array([[-a, -b], [a, -b], [a, b], [-a, b]])
    c, s = np.cos(heading), np.sin(heading)
    turn = np.array([[c, -s], [s, c]])
    points, of = [], []
    for i in range(4):
        share = np.linspace(0.08, 0.92, 60)[:, None]
        on = corners[i] + share * (corners[(i + 1) % 4] - corners[i])
        points.append(np.column_stack([on @ turn.T, np.full(60, 0.0 if i in low else z)]))
        of += [i] * 60
    seen = other.pixel(np.vstack(points)) + np.random.default_rng(3).normal(0.0, noise, (240, 2))
    flags = tuple(i in low for i in range(4))
    return (
        own.Sides(seen, np.full(240, 0.004), np.array(of), flags),
        other.pixel(np.column_stack([corners @ turn.T, np.full(4, z)])),
    )


def found(other: Other, shape, heading: float, noise: float = 0.0, focal_sd: float = 0.02, low=(), told: float = 1.0):
    sides, corners = sides_seen(other, shape, heading, noise, low)
    middle = other.middle
    start, turned = own.first_guess(corners, shape, other.focal, middle)
    return own.stand_from(sides, start, turned, shape, (other.focal * told, focal_sd), middle)


@pytest.mark.parametrize(("shape", "distance"), [(CARD, 170.0), (A4, 300.0)])
@pytest.mark.parametrize("tilt", [4.0, 14.0, 24.0])
def test_the_camera_is_found_that_sees_the_sides(shape, distance, tilt):
    other = camera_at(tilt, distance, k1=0.02)
    stand = found(other, shape, 0.3)
    assert stand.camera.centre[2] == pytest.approx(other.centre[2], rel=2e-4)
    assert stand.camera.k1 == pytest.approx(0.02, abs=5e-4)
    assert stand.rms_mm < 5e-4


@pytest.mark.parametrize("told", [0.97, 1.03])
def test_a_focal_length_told_wrongly_gives_way_to_the_sides(told):
    other = camera_at(20.0, 300.0)
    assert found(other, A4, -0.2, told=told).camera.focal_px == pytest.approx(other.focal, rel=1e-3)


def test_distances_on_the_table_are_true_far_from_the_rectangle():
    """A card's camera measures 60 mm beside it: lengths against the world that the other camera looks at."""
    other = camera_at(12.0, 180.0, k1=-0.015)
    stand = found(other, CARD, 0.4, noise=0.03)
    world = np.array([[-90.0, -20.0, 0.0], [-90.0, 20.0, 0.0], [-50.0, 20.0, 2.0]])
    seen = other.pixel(world)
    table = stand.camera.meets(seen[:2], 0.0)
    assert np.hypot(*(table[1] - table[0])) == pytest.approx(40.0, abs=0.06)
    top = stand.camera.meets(seen[2:], 2.0)[0]
    assert np.hypot(*(top - table[1])) == pytest.approx(40.0, abs=0.06)


def test_first_guess_agrees_with_a_projective_transform():
    """scikit-image's ProjectiveTransform through the same four corners, without distortion."""
    other = camera_at(18.0, 300.0)
    _, corners = sides_seen(other, A4, 0.0)
    values, heading = own.first_guess(corners, A4, other.focal, other.middle)
    a, b = A4.long_mm / 2, A4.short_mm / 2
    flat = np.array([[-a, -b], [a, -b], [a, b], [-a, b]])
    plane = ProjectiveTransform.from_estimate(flat, corners)
    inner = np.random.default_rng(0).uniform(-0.9, 0.9, (20, 2)) * (a, b)
    c, s = np.cos(heading), np.sin(heading)
    world = np.column_stack([inner @ np.array([[c, s], [-s, c]]), np.zeros(20)])
    assert own.camera_of(values, other.middle).pixel(world) == pytest.approx(plane(inner), abs=1e-4)


def test_square_above_similar_triangles_hold():
    """Closed form: from 200 mm, 2000 px of focal length show 10 mm as 100 px, 50 mm nearer as 133.3 px."""
    turn = np.diag([1.0, -1.0, -1.0])
    camera = own.Camera(2000.0, 0.0, turn, -turn @ np.array([0.0, 0.0, 200.0]), np.array([499.5, 399.5]))
    seen = camera.pixel(np.array([[10.0, 5.0, 0.0], [10.0, 5.0, 50.0]]))
    assert seen == pytest.approx(np.array([[599.5, 349.5], [632.8333, 332.8333]]), abs=1e-3)
    assert camera.meets(seen, np.array([0.0, 50.0])) == pytest.approx(np.array([[10.0, 5.0], [10.0, 5.0]]))
    assert camera.centre == pytest.approx([0.0, 0.0, 200.0])


def test_the_lens_is_undone():
    other = camera_at(10.0, 200.0, k1=-0.03)
    camera = own.Camera(other.focal, -0.03, other.turn, -other.turn @ other.centre, other.middle)
    px = np.random.default_rng(2).uniform((0, 0), (1200, 900), (100, 2))
    x, y = other.meets(other.looks(px[:, 0], px[:, 1]), 1.5)
    assert camera.meets(px, 1.5) == pytest.approx(np.column_stack([x, y]), abs=1e-7)
    assert camera.pixel(np.column_stack([x, y, np.full(100, 1.5)])) == pytest.approx(px, abs=1e-6)


def test_stated_deviations_cover_what_noise_does():
    """Of 40 noisy pictures some 95 % show the camera's height within two stated standard deviations (90 at least)."""
    other = camera_at(15.0, 300.0)
    hits = 0
    for seed in range(40):
        sides, corners = sides_seen(other, A4, 0.1)
        rng = np.random.default_rng(seed)
        noisy = own.Sides(sides.pixels + rng.normal(0.0, 0.03, sides.pixels.shape), sides.sigma, sides.of)
        start, heading = own.first_guess(corners, A4, other.focal, other.middle)
        stand = own.stand_from(noisy, start, heading, A4, (other.focal, 0.02), other.middle)
        sd = float(np.sqrt(stand.covariance[own.FOCAL, own.FOCAL])) * other.focal
        hits += abs(stand.camera.focal_px - other.focal) <= 2.0 * sd
    assert hits >= 36


def test_a_side_seen_at_the_table_is_reckoned_there():
    other = camera_at(14.0, 170.0)
    stand = found(other, CARD, 0.3, low=(3,))
    assert stand.rms_mm < 5e-4
    wrong, corners = sides_seen(other, CARD, 0.3, low=(3,))
    blind = own.Sides(wrong.pixels, wrong.sigma, wrong.of)
    start, heading = own.first_guess(corners, CARD, other.focal, other.middle)
    off = own.stand_from(blind, start, heading, CARD, (other.focal, 0.02), other.middle)
    assert off.rms_mm > 10 * stand.rms_mm
