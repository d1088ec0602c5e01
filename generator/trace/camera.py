"""A camera over a table: a pinhole with one radial term (Brown 1971), found from the sides of a rectangle.

The table is the plane z = 0, its z points up to the camera; x runs as the picture's u does where the rectangle lies, y
up. Pixels: (0, 0) is the middle of the first one, v down. The optical axis meets the picture in its middle.

Residuals are distances from the sides, mm on the rectangle's plane, so that rounded corners need not be seen. What the
sides leave open (with what is known beforehand of lens and rectangle) is the fit's covariance.
"""

from __future__ import annotations

from math import log
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.trace.reference import Shape

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

FILM_MM: Final = 36.0
"""Width of the film that a camera's focal length is converted to (Exif 2.32, tag FocalLengthIn35mmFilm)."""
FOCAL_SD: Final = 0.02
"""Relative standard deviation of a focal length that the file tells: it is rounded to whole mm, and lenses breathe."""
USUAL_FOCAL_35MM: Final = 27.0
USUAL_FOCAL_SD: Final = 0.15
"""Main cameras of phones: 23 to 30 mm (common practice, no source)."""
K1_SD: Final = 0.02
"""Radial term that cameras leave after their own correction, in units of the focal length (chosen)."""
OUT_SD_MM: Final = 0.006
"""By how much all sides may be seen too far out."""
SIDE_SD_MM: Final = 0.004
"""By how much a side is off by itself: shadow, print near the rim."""
FAR_MM: Final = 0.3
"""Points farther from their side than this count as this far when sides are judged: one speck must not condemn them."""

FOCAL, K1, TURN, SHIFT, LONG, SHORT, HEIGHT, OUT, SIDES = 0, 1, 2, 5, 8, 9, 10, 11, 12
"""Where unknowns stand: log of the focal length, radial term, rotation vector, shift, rectangle, sides' offsets."""
UNKNOWNS: Final = 20
"""Offset and bend of each side come last."""


@frozen_record(eq=False)
class Camera:
    """A camera and where it stands.

    Attributes:
        focal_px: focal length in pixels.
        k1: seen = true · (1 + k1 r²), both from the middle in focal lengths.
        turn: rows are the camera's right, down and forward in the world.
        shift: the world's origin as the camera sees it, mm.
        middle: pixel of the optical axis.
    """

    focal_px: float
    k1: float
    turn: Floats
    shift: Floats
    middle: Floats

    @property
    def centre(self) -> Floats:
        """Return where it stands, mm; z is its height, x and y its foot point."""
        at: Floats = -self.turn.T @ self.shift
        return at

    def pixel(self, points: Floats) -> Floats:
        """Return the pixels of world points, shape (n, 3)."""
        seen = points @ self.turn.T + self.shift
        flat = seen[:, :2] / seen[:, 2:]
        r2 = (flat**2).sum(axis=1, keepdims=True)
        at: Floats = self.focal_px * flat * (1.0 + self.k1 * r2) + self.middle
        return at

    def meets(self, pixels: Floats, z: float | Floats) -> Floats:
        """Return where pixels, shape (n, 2), meet a plane (or each its own) parallel to the table: x and y, mm."""
        far = (pixels - self.middle) / self.focal_px
        r = np.hypot(far[:, 0], far[:, 1])
        true = r.copy()
        for _ in range(5):  # Newton on true (1 + k1 true²) = r
            true = true - (true * (1.0 + self.k1 * true * true) - r) / (1.0 + 3.0 * self.k1 * true * true)
        share = np.where(r > 1e-12, true / np.maximum(r, 1e-12), 1.0)
        looks = np.column_stack([far * share[:, None], np.ones(len(far))]) @ self.turn
        x, y, up = self.centre
        t = (np.asarray(z) - up) / looks[:, 2]
        return np.column_stack([x + t * looks[:, 0], y + t * looks[:, 1]])


@frozen_record(eq=False)
class Sides:
    """Points on the four sides of a rectangle in a picture.

    Attributes:
        pixels: shape (n, 2).
        sigma: standard deviation of each across the side, mm.
        of: its side: 0 and 2 are long ones (below and above the middle), 1 and 3 short ones (right and left).
        low: which sides are seen at the table instead of at the rectangle's height, shape (4,).
    """

    pixels: Floats
    sigma: Floats
    of: Ints
    low: tuple[bool, bool, bool, bool] = (False, False, False, False)


@frozen_record(eq=False)
class Stand:
    """A camera found from a rectangle.

    Attributes:
        values: the unknowns, in the order of the constants above.
        covariance: of them.
        heading: direction of the rectangle's long sides in the world, rad.
        middle: pixel of the optical axis.
        rms_mm: root mean square distance of the points from the sides; those beyond ``FAR_MM`` count as that far.
        chi2: of points and of what was known.
        rest: distance of each point, mm.
    """

    values: Floats
    covariance: Floats
    heading: float
    middle: Floats
    rms_mm: float
    chi2: float
    rest: Floats

    @property
    def camera(self) -> Camera:
        """Return the camera at its likeliest."""
        return camera_of(self.values, self.middle)

    def varied(self, about: Floats | None = None) -> list[Camera]:
        """Return cameras one standard deviation off along every direction in which the camera is uncertain.

        Args:
            about: values of the unknowns of the camera that they are about; None for the likeliest.
        """
        values_at = self.values if about is None else about
        values, vectors = np.linalg.eigh(self._own())
        keep = values > 1e-12 * values[-1]
        roots = vectors[:, keep] * np.sqrt(values[keep])
        return [camera_of(values_at + d, self.middle) for d in (self._spread(root) for root in roots.T)]

    def _own(self) -> Floats:
        """Return the covariance of the camera's own unknowns, each in units of what moves things by about 1 mm."""
        s = _UNITS[:LONG]
        scaled: Floats = self.covariance[:LONG, :LONG] / np.outer(s, s)
        return scaled

    def _spread(self, root: Floats) -> Floats:
        out = np.zeros(len(self.values))
        out[:LONG] = root * _UNITS[:LONG]
        return out


_UNITS: Final = np.array([0.005, 0.05, *[0.005] * 3, *[1.0] * 3, *[1.0] * 12])


def camera_of(values: Floats, middle: Floats) -> Camera:
    """Return the camera of a vector of unknowns."""
    from scipy.spatial.transform import Rotation

    turn = Rotation.from_rotvec(values[TURN:SHIFT]).as_matrix()
    return Camera(float(np.exp(values[FOCAL])), float(values[K1]), turn, values[SHIFT:LONG].copy(), middle)


def focal_known(focal_35mm: float | None, width: int, height: int) -> tuple[float, float]:
    """Return focal length in pixels and its relative standard deviation, as the file tells or as is usual."""
    told = focal_35mm or USUAL_FOCAL_35MM
    return told * max(width, height) / FILM_MM, FOCAL_SD if focal_35mm else USUAL_FOCAL_SD


def first_guess(corners: Floats, shape: Shape, focal: float, middle: Floats) -> tuple[Floats, float]:
    """Return the unknowns (all but the sides') from four corners, and the heading; the lens is taken to be straight.

    Args:
        corners: pixels, counter-clockwise as seen, the long side first, shape (4, 2).
        shape: the rectangle.
        focal: pixels.
        middle: of the picture, px.
    """
    from scipy.spatial.transform import Rotation  # takes its time to load, and scans do without

    a, b = shape.long_mm / 2.0, shape.short_mm / 2.0
    flat = np.array([[-a, -b], [a, -b], [a, b], [-a, b]])
    h = _homography(flat, (corners - middle) / focal)
    h = h / np.sqrt(np.linalg.norm(h[:, 0]) * np.linalg.norm(h[:, 1]))
    if h[2, 2] < 0.0:
        h = -h
    u, _, vt = np.linalg.svd(np.column_stack([h[:, 0], h[:, 1], np.cross(h[:, 0], h[:, 1])]))
    turn = u @ np.diag([1.0, 1.0, np.linalg.det(u @ vt)]) @ vt
    # turn the world about its z so that x runs as u does: u grows along the camera's first row
    heading = -float(np.arctan2(turn[0, 1], turn[0, 0]))
    c, s = np.cos(heading), np.sin(heading)
    world = turn @ np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])
    shift = h[:, 2] - world[:, 2] * shape.height_mm
    values = np.zeros(UNKNOWNS)
    values[FOCAL] = log(focal)
    values[TURN:SHIFT] = Rotation.from_matrix(world).as_rotvec()
    values[SHIFT:LONG] = shift
    values[LONG], values[SHORT], values[HEIGHT] = shape.long_mm, shape.short_mm, shape.height_mm
    return values, heading


def _homography(flat: Floats, seen: Floats) -> Floats:
    """Return the matrix that takes points of a plane to a picture, both shape (4, 2) (direct linear transformation)."""
    rows = []
    scale = float(np.abs(flat).max())
    for (x, y), (u, v) in zip(flat / scale, seen, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y, -u], [0, 0, 0, x, y, 1, -v * x, -v * y, -v]]
    h = np.linalg.svd(np.array(rows, dtype=np.float64))[2][-1].reshape(3, 3)
    found: Floats = h @ np.diag([1.0 / scale, 1.0 / scale, 1.0])
    return found


def stand_from(
    sides: Sides, start: Floats, heading: float, shape: Shape, focal: tuple[float, float], middle: Floats
) -> Stand:
    """Return the camera that sees a rectangle's sides where they are (Gauss-Newton, Tukey's weights).

    Args:
        sides: points on the sides.
        start: first values of the unknowns.
        heading: direction of the long sides, rad.
        shape: the rectangle.
        focal: focal length in pixels as known beforehand, and its relative standard deviation.
        middle: pixel of the optical axis.
    """
    x = start.copy()
    known = np.full(UNKNOWNS, np.inf)
    centre = np.zeros(UNKNOWNS)
    known[[FOCAL, K1, LONG, SHORT, OUT]] = focal[1], K1_SD, shape.long_sd_mm, shape.short_sd_mm, OUT_SD_MM
    known[HEIGHT] = max(shape.height_sd_mm, 1e-6)
    known[SIDES : SIDES + 4] = SIDE_SD_MM
    known[SIDES + 4 :] = SIDE_SD_MM
    centre[[FOCAL, LONG, SHORT, HEIGHT]] = log(focal[0]), shape.long_mm, shape.short_mm, shape.height_mm
    held = np.isfinite(known)
    prior = np.zeros((int(held.sum()), UNKNOWNS))
    prior[np.arange(int(held.sum())), np.flatnonzero(held)] = 1.0 / known[held]
    unit = np.array([0.005, 0.05, *[0.005] * 3, *[1.0] * 3, *[0.05] * 12])
    weight = np.ones(len(sides.pixels))
    noise, rest = 1.0, weight
    for i in range(25):
        rest, jacobian = _derived(sides, x, heading, shape, middle, unit)
        scaled = rest / sides.sigma
        noise = max(1.4826 * float(np.median(np.abs(scaled))), 0.5)
        ratio = np.abs(scaled) / noise
        weight = (
            np.minimum(1.0, 2.0 / np.maximum(ratio, 1e-9)) if i < 5 else np.maximum(1.0 - (ratio / 5.0) ** 2, 0.0) ** 2
        )
        root = np.sqrt(weight) / (sides.sigma * noise)
        off = (x - centre)[held] / known[held]
        j = np.vstack([jacobian * root[:, None], prior * unit])
        r = np.concatenate([rest * root, off])
        step = -np.linalg.lstsq(j, r, rcond=1e-12)[0] * unit
        longest = float(np.abs(step / unit).max())
        x = x + step * min(1.0, 20.0 / max(longest, 1e-12))
        if i > 7 and longest < 1e-6:
            break
    covariance = np.linalg.pinv(j.T @ j, rcond=1e-14, hermitian=True) * np.outer(unit, unit)
    rms = float(np.sqrt(np.mean(np.minimum(rest * rest, FAR_MM**2))))
    return Stand(x, covariance, heading, middle, rms, float(r @ r), rest)


def _derived(
    sides: Sides, x: Floats, heading: float, shape: Shape, middle: Floats, unit: Floats
) -> tuple[Floats, Floats]:
    """Return the points' distances from their sides and the derivatives by every unknown in its unit."""
    rest = off_sides(sides, x, heading, shape, middle)
    columns = []
    for k in range(UNKNOWNS):
        d = np.zeros(UNKNOWNS)
        d[k] = 1e-4 * unit[k]
        ahead, behind = (off_sides(sides, x + sign * d, heading, shape, middle) for sign in (1.0, -1.0))
        columns.append((ahead - behind) / 2e-4)
    return rest, np.column_stack(columns)


def off_sides(sides: Sides, x: Floats, heading: float, shape: Shape, middle: Floats) -> Floats:
    """Return how far points lie outside their sides, mm, shape (n,).

    They are in mm of the rectangle as first thought of: one in mm as fitted would gain by shrinking.
    """
    low = np.array(sides.low)[sides.of]
    at = camera_of(x, middle).meets(sides.pixels, np.where(low, 0.0, x[HEIGHT]))
    c, s = np.cos(heading), np.sin(heading)
    own = at @ np.array([[c, -s], [s, c]])  # along the long sides and across
    even = sides.of % 2 == 0
    out = np.where(sides.of == 0, -own[:, 1], np.where(sides.of == 2, own[:, 1], own[:, 0] * (2 - sides.of)))
    half = np.where(even, x[SHORT], x[LONG]) / 2.0
    share = 2.0 * np.where(even, own[:, 0] / x[LONG], own[:, 1] / x[SHORT])
    bend = x[SIDES + 4 + sides.of] * (1.0 - share * share)
    size = 0.5 * (x[LONG] / shape.long_mm + x[SHORT] / shape.short_mm)
    off: Floats = (out - half - x[OUT] - x[SIDES + sides.of] - bend) / size
    return off
