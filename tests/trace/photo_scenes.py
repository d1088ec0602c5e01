"""Small photos of rectangles and discs on a table, drawn through the simulated camera: what the finder must tell."""

from __future__ import annotations

import numpy as np
from scipy.ndimage import gaussian_filter

from generator.trace.picture import Picture
from tests.scans.photo_camera import Camera, stand

CARD_MM, A4_MM = (85.60, 53.98, 3.18), (297.0, 210.0, 0.0)
"""Long side, short side, corner radius: ISO/IEC 7810 ID-1, ISO 216."""


def camera_at(tilt: float, distance: float, *, k1: float = 0.0, width: int = 1200, height: int = 900) -> Camera:
    """The simulator's camera, which the tracing does not share, 27 mm of focal length on film."""
    turn, centre = stand((0.0, 0.0), tilt, 40.0, 5.0, distance)
    return Camera(turn, centre, 27.0 * width / 36.0, k1, width, height)


def scene(camera: Camera, things: list[tuple[tuple[float, float, float], tuple[float, float, float], float, float]]):
    """Draw things on a table of light 0.4: (size, pose x, y, degrees), height above the table, light."""
    v, u = np.mgrid[0 : camera.height, 0 : camera.width].astype(float)
    looks = camera.looks(u, v)
    light = np.full(u.shape, 0.4)
    for (long, short, radius), (px, py, degrees), z, level in things:
        x, y = camera.meets(looks, z)
        a = np.radians(degrees)
        along = np.abs(np.cos(a) * (x - px) + np.sin(a) * (y - py)) - long / 2 + radius
        across = np.abs(-np.sin(a) * (x - px) + np.cos(a) * (y - py)) - short / 2 + radius
        off = np.where((along > 0) & (across > 0), np.hypot(along, across), np.maximum(along, across)) - radius
        px_per_mm = camera.focal / camera.centre[2]
        cover = np.clip(0.5 - off * px_per_mm, 0.0, 1.0)
        light = light * (1 - cover) + level * cover
    rng = np.random.default_rng(1)
    return Picture(
        (gaussian_filter(light, 0.8) + rng.normal(0, 0.004, light.shape)).astype(np.float32),
        None, 27.0, False, 0.0, "photo.jpg",
    )  # fmt: skip


def disc(diameter: float, x: float, y: float):
    """A round part without thickness."""
    return (diameter, diameter, diameter / 2), (x, y, 0.0), 0.0, 0.12


def card(x: float, y: float, degrees: float = 0.0):
    return CARD_MM, (x, y, degrees), 0.76, 0.08


def sheet(x: float = 0.0, y: float = 0.0, degrees: float = 0.0):
    return A4_MM, (x, y, degrees), 0.0, 0.85
