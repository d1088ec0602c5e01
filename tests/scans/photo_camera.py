"""A camera over a table: where points of the world fall in the picture, and which way each pixel looks."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Camera:
    """Pinhole with one radial term; world z up, table at z = 0; u right, v down, (0, 0) the first pixel's middle.

    Attributes:
        turn: rows are the camera's right, down and forward in the world.
        centre: where it stands, mm.
        focal: pixels.
        k1: distorted = undistorted * (1 + k1 r²), in units of the focal length.
        width, height: pixels.
    """

    turn: np.ndarray
    centre: np.ndarray
    focal: float
    k1: float
    width: int
    height: int

    @property
    def middle(self) -> np.ndarray:
        return np.array([(self.width - 1) / 2, (self.height - 1) / 2])

    def pixel(self, points: np.ndarray) -> np.ndarray:
        """Pixels of world points, shape (n, 3)."""
        seen = (points - self.centre) @ self.turn.T
        flat = seen[:, :2] / seen[:, 2:]
        r2 = (flat**2).sum(axis=1, keepdims=True)
        return self.focal * flat * (1.0 + self.k1 * r2) + self.middle

    def looks(self, u: np.ndarray, v: np.ndarray) -> np.ndarray:
        """Directions in the world that pixels look in, shape (..., 3)."""
        x, y = (u - self.middle[0]) / self.focal, (v - self.middle[1]) / self.focal
        far = np.hypot(x, y)
        r = far.copy()
        for _ in range(6):  # Newton on r (1 + k1 r²) = far
            r = r - (r * (1.0 + self.k1 * r * r) - far) / (1.0 + 3.0 * self.k1 * r * r)
        share = np.where(far > 1e-12, r / np.maximum(far, 1e-12), 1.0)
        return np.stack([x * share, y * share, np.ones_like(x)], axis=-1) @ self.turn

    def meets(self, looks: np.ndarray, z: float) -> tuple[np.ndarray, np.ndarray]:
        """World x and y where directions meet a plane parallel to the table."""
        t = (z - self.centre[2]) / looks[..., 2]
        return self.centre[0] + t * looks[..., 0], self.centre[1] + t * looks[..., 1]


def stand(
    target: tuple[float, float], tilt: float, azimuth: float, roll: float, distance: float
) -> tuple[np.ndarray, np.ndarray]:
    """Rotation and centre of a camera that looks at a point of the table from a distance; angles in degrees."""
    t, a, r = math.radians(tilt), math.radians(azimuth), math.radians(roll)
    back = np.array([math.sin(t) * math.cos(a), math.sin(t) * math.sin(a), math.cos(t)])
    centre = np.array([*target, 0.0]) + distance * back
    right = np.cross(-back, [0.0, 1.0, 0.0])
    right /= np.linalg.norm(right)
    down = np.cross(-back, right)
    return np.array(
        [right * math.cos(r) + down * math.sin(r), down * math.cos(r) - right * math.sin(r), -back]
    ), centre  # fmt: skip
