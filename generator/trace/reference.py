"""What lies on the table in a photo, to the pixel, and which of it is the card or the sheet that gives the scale."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.trace.masks import dilated, eroded, opened, patches
from generator.trace.surround import Coarse, outlined, shoelace

Floats = NDArray[np.float64]
Image = NDArray[np.float32]
Mask = NDArray[np.bool_]

COARSE_PX: Final = 700
"""Length of the picture's longer side when its light is fitted."""
LEAST_SHARE: Final = 0.0015
"""Least share of the picture that a thing on the table covers; smaller ones are dirt."""
LEAST_AWAY: Final = 0.09
"""Least difference from the table, as a share of what an eye sees; grain of wood and cloth makes less."""
CUT: Final = 0.7
"""Where a thing is told from the shadow beside it: share of the way from the table's light to its own."""
FILLS: Final = 0.93
"""Least share of its four sides' quadrilateral that a rectangle in perspective fills, rounded corners away."""
STRAIGHT: Final = 0.006
"""Most that a side's middle bends, as a share of its length; the lens bends it too."""
CORNER_SHARE: Final = 0.08
"""Share of a side's length at either end that is left out: corners are rounded."""


@frozen_record
class Shape:
    """A rectangle of known size.

    Attributes:
        name: as messages call it.
        long_mm, short_mm: its sides.
        corner_mm: radius of its corners; 0 for sharp ones.
        height_mm: of its top above the table.
        long_sd_mm, short_sd_mm, height_sd_mm: standard deviations of these.
    """

    name: str
    long_mm: float
    short_mm: float
    corner_mm: float
    height_mm: float
    long_sd_mm: float
    short_sd_mm: float
    height_sd_mm: float


CARD: Final = Shape("bank card", 85.60, 53.98, 3.18, 0.76, 0.04, 0.02, 0.03)
"""ISO/IEC 7810 ID-1; its limits for an unused card (85.47 to 85.72, 53.92 to 54.03, 0.68 to 0.84) as 3, 3 and 2.7
standard deviations."""
A4: Final = Shape("sheet of A4", 297.0, 210.0, 0.0, 0.0, 0.25, 0.18, 0.0)
"""ISO 216 allows 2 mm; sheets of one make differ by some tenths (common practice, no source)."""
SHAPES: Final = {"card": CARD, "a4": A4}


@frozen_record(eq=False)
class Quad:
    """Four straight sides found in a picture.

    Attributes:
        thing: whose sides they are.
        corners: where they meet, shape (4, 2), px, in the order of the outline.
    """

    thing: Coarse
    corners: Floats


def things_on(light: Image, within: Floats | None = None) -> tuple[tuple[Coarse, ...], Image]:
    """Return what lies on a table or a sheet, the largest first, and the picture with the table's light made even, 1.

    Args:
        light: linear light, rows from the top.
        within: corners of the sheet that alone is looked at, shape (4, 2), px; None for the whole picture.

    Raises: GeometryError: nothing stands out.
    """
    inside = None if within is None else _inside(light.shape, within)
    flat, noise = _even(light, inside)
    eye = np.maximum(flat, np.float32(0.0))
    np.sqrt(eye, out=eye)
    away = ndimage.uniform_filter(eye, 3, output=np.float32)  # in place: 50 million pixels take 0.2 GB each time
    away -= np.float32(1.0)
    np.abs(away, out=away)
    limit = max(LEAST_AWAY, 6.0 * noise)
    mask = away > limit
    del away
    if inside is not None:
        mask &= inside
    least = LEAST_SHARE * (light.size if inside is None else 0.5 * float(inside.sum()))
    labels, large = patches(opened(mask), least)
    found = [_thing(flat, eye, labels, label, box) for label, box in large]
    things = [thing for thing in found if thing is not None]
    if not things:
        raise GeometryError(
            "nothing stands out from the table: put the part on a plain surface that contrasts with it, in even light"
        )
    return tuple(sorted(things, key=lambda t: -t.area_px)), flat


def _inside(shape: tuple[int, ...], corners: Floats) -> Mask:
    """Return the pixels within a quadrilateral, a rim of 1 % of its longest side left out."""
    h, w = shape
    v, u = np.indices((h, w), sparse=True)
    turn = np.sign(shoelace(corners))
    sides = np.roll(corners, -1, axis=0) - corners
    rim = 0.012 * float(np.hypot(*sides.T).max())
    out = np.ones((h, w), dtype=bool)
    for (x, y), (dx, dy) in zip(corners, sides, strict=True):
        length = float(np.hypot(dx, dy))
        out &= turn * (dx * (v - y) - dy * (u - x)) > rim * length
    return out


def _even(light: Image, inside: Mask | None) -> tuple[Image, float]:
    """Return the picture divided by the table's light, a polynomial of second degree, and what is left of that, sd.

    What the rim shows is the table; from there the fit is carried on to all that looks like it (robust: Tukey).
    """
    h, w = light.shape
    step = max(1, round(max(h, w) / COARSE_PX))
    small = np.sqrt(np.clip(ndimage.uniform_filter(light, step, output=np.float32)[::step, ::step], 1e-4, None))
    v, u = (g.astype(np.float64) for g in np.indices(small.shape))
    x, y = u * step / w - 0.5, v * step / h - 0.5
    if inside is None:
        band = max(2, min(small.shape) // 25)
        first = np.ones(small.shape, dtype=bool)
        first[band:-band, band:-band] = False
        allowed = np.ones(small.shape, dtype=bool)
    else:
        allowed = inside[::step, ::step]
        level = float(np.median(small[allowed]))
        first = allowed & (np.abs(small - level) < 0.3 * level)
    c = np.zeros(6)
    c[0] = float(np.median(small[first]))
    use, degree = first, 1
    noise = 0.05
    for i in range(8):
        degree = (1, 3, 6)[min(i // 2, 2)]
        design = _terms(x[use], y[use])[:, :degree]
        rest = small[use] - _terms(x[use], y[use]) @ c
        scale = max(1.4826 * float(np.median(np.abs(rest))), 0.002)
        weight = np.maximum(1.0 - (rest / (5.0 * scale)) ** 2, 0.0)
        c[:degree] = np.linalg.lstsq(design * weight[:, None], small[use] * weight, rcond=None)[0]
        surface = np.maximum((_terms(x.ravel(), y.ravel()) @ c).reshape(x.shape), 0.02)
        ratio = small / surface - 1.0
        noise = 1.4826 * float(np.median(np.abs(ratio[use])))
        if i >= 3:
            use = allowed & (np.abs(ratio) < max(4.0 * noise, 0.04))
    full_v, full_u = np.indices((h, w), sparse=True)
    fx, fy = (full_u / w - 0.5).astype(np.float32), (full_v / h - 0.5).astype(np.float32)
    k = c.astype(np.float32)
    surface = (k[4] * fy + k[1]) * fx + (k[0] + k[2] * fy + k[5] * fy * fy) + k[3] * fx * fx
    np.maximum(surface, np.float32(0.02), out=surface)
    surface *= surface
    np.divide(light, surface, out=surface)
    return surface, noise


def _terms(x: Floats, y: Floats) -> Floats:
    return np.column_stack([np.ones(len(x)), x, y, x * x, x * y, y * y])


def _thing(flat: Image, eye: Image, labels: NDArray[np.int32], label: int, box: tuple[slice, slice]) -> Coarse | None:
    """Return one patch to the pixel: cut again half way between its own light and the table's."""
    h, w = flat.shape
    m = 15
    rows = slice(max(0, box[0].start - m), min(h, box[0].stop + m))
    columns = slice(max(0, box[1].start - m), min(w, box[1].stop + m))
    own = labels[rows, columns] == label
    core = eroded(own, 4)
    seen = eye[rows, columns]
    level = float(np.median(seen[core if core.any() else own]))
    signed = (ndimage.uniform_filter(seen, 3) - 1.0) * np.sign(level - 1.0)
    again = opened((signed > 0.5 * abs(level - 1.0)) & dilated(own, 3))
    return _cut_out(flat, again, rows, columns, 1.0)


def _cut_out(even: Image, mask: Mask, rows: slice, columns: slice, surround: float) -> Coarse | None:
    """Return the largest patch of a piece of the picture as a thing, or None where there is none."""
    pieces, count = ndimage.label(mask)
    if not count:
        return None
    own = pieces == 1 + int(np.argmax(np.bincount(pieces.ravel())[1:]))
    full = np.zeros(even.shape, dtype=np.int32)
    full[rows, columns] = own
    box = [
        slice(at.start + piece.start, at.start + piece.stop)
        for at, piece in zip((rows, columns), ndimage.find_objects(own.view(np.int8))[0], strict=True)
    ]
    return outlined(even, full, 1, (box[0], box[1]), surround)


def closer(thing: Coarse, even: Image) -> Coarse:
    """Return a thing cut nearer to its own light than to the table's, so that the shadow beside it falls away.

    Args:
        thing: as it was found.
        even: the picture with the table's light made even.
    """
    rows, columns = slice(*thing.rows), slice(*thing.columns)
    eye = np.sqrt(np.clip(even[rows, columns], 0.0, None))
    ground = float(np.sqrt(max(thing.surround, 0.0)))
    near = ndimage.uniform_filter(eye, 3)
    core = eroded(np.abs(near - ground) > 0.5 * abs(thing.level**0.5 - ground), 4)
    if not core.any():
        return thing
    level = float(np.median(eye[core]))
    gap = abs(level - ground)
    spread = 1.4826 * float(np.median(np.abs(eye[core] - level)))
    mask = (near - ground) * np.sign(level - ground) > max(0.5 * gap, min(CUT * gap, gap - 4.0 * spread))
    cut = _cut_out(even, opened(mask), rows, columns, thing.surround)
    return thing if cut is None or cut.area_px < 0.6 * thing.area_px else cut


def quad_of(thing: Coarse) -> Quad | None:
    """Return the four sides of a thing, or None where it has not four straight ones."""
    loop = thing.outer
    hull_area = abs(shoelace(loop))
    if hull_area < 100.0:
        return None
    corners = _first_corners(loop)
    if corners is None:
        return None
    for _ in range(8):
        found = [_side(loop, corners[i], corners[(i + 1) % 4]) for i in range(4)]
        if any(f is None for f in found):
            return None
        lines = [f for f in found if f is not None]
        meeting = [_cross(lines[i - 1], lines[i]) for i in range(4)]
        if any(m is None for m in meeting):
            return None
        moved = np.array(meeting)
        done = float(np.abs(moved - corners).max()) < 0.01
        corners = moved
        if done:
            break
    area = abs(shoelace(corners))
    if not FILLS * area <= hull_area <= 1.02 * area:
        return None
    for i in range(4):
        a, b = corners[i], corners[(i + 1) % 4]
        off = _beside(loop, a, b)[1]
        if len(off) < 20 or float(np.percentile(np.abs(off), 90)) > max(2.0, STRAIGHT * float(np.hypot(*(b - a)))):
            return None
    return Quad(thing, corners)


def _first_corners(loop: Floats) -> Floats | None:
    """Return the corners of the smallest rectangle round an outline's hull (one side lies on the hull)."""
    from scipy.spatial import ConvexHull

    hull = loop[ConvexHull(loop).vertices]
    sides = np.roll(hull, -1, axis=0) - hull
    long = np.hypot(*sides.T)
    directions = sides[long > 0.02 * long.sum()] / long[long > 0.02 * long.sum(), None]
    if not len(directions):
        turns = np.radians(np.arange(0.0, 90.0, 3.0))
        directions = np.column_stack([np.cos(turns), np.sin(turns)])
    best: tuple[float, Floats] | None = None
    for d in directions:
        n = np.array([-d[1], d[0]])
        along, across = hull @ d, hull @ n
        a0, a1, b0, b1 = along.min(), along.max(), across.min(), across.max()
        area = float((a1 - a0) * (b1 - b0))
        if best is None or area < best[0]:
            best = (area, np.array([a0 * d + b0 * n, a1 * d + b0 * n, a1 * d + b1 * n, a0 * d + b1 * n]))
    if best is None:
        return None
    # a rectangle in perspective leans: its corners are the outline's points farthest out towards the rectangle's
    middle = best[1].mean(axis=0)
    return np.array([loop[int(np.argmax((loop - middle) @ _outward(best[1], i)))] for i in range(4)])


def _outward(corners: Floats, i: int) -> Floats:
    """Return the direction from a rectangle's middle to a corner, as if it were square."""
    a, b = corners[i] - corners[(i + 1) % 4], corners[i] - corners[i - 1]
    out: Floats = a / max(float(np.hypot(*a)), 1e-9) + b / max(float(np.hypot(*b)), 1e-9)
    return out


def _beside(loop: Floats, a: Floats, b: Floats) -> tuple[Floats, Floats]:
    """Return points of an outline along the middle of a side, and how far off it they are, px."""
    length = float(np.hypot(*(b - a)))
    d = (b - a) / max(length, 1e-9)
    along, off = (loop - a) @ d, (loop - a) @ np.array([-d[1], d[0]])
    near = (along > CORNER_SHARE * length) & (along < (1.0 - CORNER_SHARE) * length) & (np.abs(off) < 0.06 * length)
    return loop[near], off[near]


def _side(loop: Floats, a: Floats, b: Floats) -> tuple[Floats, Floats] | None:
    """Return a point and the direction of the line along a side (total least squares, farther points left out)."""
    points, off = _beside(loop, a, b)
    if len(points) < 20:
        return None
    for _ in range(3):
        middle = points.mean(axis=0)
        d = np.linalg.svd(points - middle, full_matrices=False)[2][0]
        off = np.abs((points - middle) @ np.array([-d[1], d[0]]))
        points = points[off <= max(3.0 * float(np.median(off)), 1.0)]
    return middle, d


def _cross(one: tuple[Floats, Floats], other: tuple[Floats, Floats]) -> Floats | None:
    (p, d), (q, e) = one, other
    det = float(d[0] * e[1] - d[1] * e[0])
    if abs(det) < 0.1:  # sides of a rectangle that meet at less than 6 degrees are not seen by any camera
        return None
    t = float((q - p)[0] * e[1] - (q - p)[1] * e[0]) / det
    crossing: Floats = p + t * d
    return crossing
