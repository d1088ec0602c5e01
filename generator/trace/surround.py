"""Where the part lies in a picture: what surrounds it, and its coarse outlines to the pixel."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.trace.masks import dilated, eroded, filled_area, opened, patches

Floats = NDArray[np.float64]
Image = NDArray[np.float32]

LEAST_PART: Final = 0.002
"""Least share of the picture that a part covers (chosen); smaller patches are dust."""
LEAST_CONTRAST: Final = 0.02
"""Least difference of linear light between part and surroundings (chosen: about twice the noise of a scan)."""
RIM_PX: Final = 3
"""A part that comes this near to the rim of the picture is not wholly in it."""
LEAST_HOLE_PX: Final = 12.0
"""Least area of a hole in pixels; smaller ones are dust or scratches."""
LEAST_LOOP_MM: Final = 0.8
"""Openings of a smaller diameter are dirt or scratches."""
SURE: Final = 0.5
"""What differs from the surroundings by less than this share of the threshold is no streak of metal (chosen)."""
SOFT_PX: Final = 6
"""So near to such a place lie the others of a true edge's soft slope."""


@frozen_record
class Coarse:
    """A part in the picture, to the pixel.

    Attributes:
        rows: first row and row after the last that belong to it, with a margin.
        columns: the same for columns.
        outer: outline, shape (n, 2): u to the right, v down, px; the last point joins the first.
        inner: the same for what is open within it.
        level: linear light of the part.
        surround: linear light of what surrounds it.
        cropped: it touches the rim of the picture.
        area_px: its area without holes.
        unevenness: scatter of its light as a share of its contrast, standard deviation without outliers.
    """

    rows: tuple[int, int]
    columns: tuple[int, int]
    outer: Floats
    inner: tuple[Floats, ...]
    level: float
    surround: float
    cropped: bool
    area_px: float
    unevenness: float


def find_parts(light: Image, *, streaked: bool = False) -> tuple[Coarse, ...]:
    """Return the parts in a picture of linear light, the largest first.

    What surrounds them is what most of the picture's rim shows; a part is a large patch that differs from it, either
    way (Otsu 1979: the threshold that separates two classes best).

    Args:
        light: the picture.
        streaked: count what is nearly like the surroundings, but lies apart from them, as streaks of the part.

    Raises: GeometryError: nothing stands out from its surroundings.
    """
    flat, surround = _levelled(light)
    # evenly in what an eye sees, so that a dark part on white and a bright one on black are told equally well
    away = np.abs(np.sqrt(np.clip(flat, 0.0, None)) - np.sqrt(max(surround, 0.0)))
    away = ndimage.uniform_filter(away, 3, output=np.float32)
    limit = otsu(away)
    differs = opened(away > limit)
    if streaked:
        differs |= ~dilated(opened(away < SURE * limit), SOFT_PX)
    labels, large = patches(differs, LEAST_PART * light.size)
    parts = []
    for label, box in large:
        part = outlined(flat, labels, label, box, surround)
        if part is not None:
            parts.append(part)
    if not parts:
        raise GeometryError("nothing stands out from its surroundings: put the part on a sheet that contrasts with it")
    return tuple(sorted(parts, key=lambda p: -p.area_px))


def otsu(values: NDArray[np.float32]) -> float:
    """Return the threshold that separates two classes best (Otsu 1979), of a histogram of 512 steps."""
    top = float(values.max())
    if top <= 0.0:
        return 0.0
    counts, edges = np.histogram(values, 512, (0.0, top))
    middle = 0.5 * (edges[1:] + edges[:-1])
    below = np.cumsum(counts)
    above = below[-1] - below
    sums = np.cumsum(counts * middle)
    with np.errstate(divide="ignore", invalid="ignore"):
        between = below * above * (sums / below - (sums[-1] - sums) / above) ** 2
    if np.isnan(between[:-1]).all():  # one class: a blank page
        return top
    return float(edges[1 + int(np.nanargmax(between[:-1]))])


def _levelled(light: Image) -> tuple[Image, float]:
    """Return the picture with uneven light taken out (a plane fitted to its rim), and the surroundings' level."""
    h, w = light.shape
    band = max(2, min(h, w) // 60)
    v, u = np.indices((h, w), sparse=True)
    rim = np.zeros((h, w), dtype=bool)
    rim[:band] = rim[-band:] = True
    rim[:, :band] = rim[:, -band:] = True
    step = max(1, int(rim.sum()) // 20_000)
    at = np.flatnonzero(rim)[::step]
    y, x = np.divmod(at, w)
    values = light.ravel()[at].astype(np.float64)
    design = np.column_stack([np.ones(len(at)), x / w - 0.5, y / h - 0.5])
    level = float(np.median(values))
    keep = np.abs(values - level) <= max(0.08 * max(level, 0.05), 0.01)
    if keep.sum() < 0.3 * len(at):
        return light, level
    c = np.linalg.lstsq(design[keep], values[keep], rcond=None)[0]
    if level <= 0.05:  # a black lid: nothing to divide by
        return light, float(c[0])
    plane = (c[0] + c[1] * (u / w - 0.5) + c[2] * (v / h - 0.5)).astype(np.float32)
    return light * (np.float32(c[0]) / np.maximum(plane, np.float32(0.25 * c[0]))), float(c[0])


def outlined(
    light: Image, labels: NDArray[np.int32], label: int, box: tuple[slice, slice], surround: float
) -> Coarse | None:
    """Return one patch of a labelled picture as a part, or None where it is too faint."""
    from contourpy import contour_generator

    h, w = light.shape
    margin = 12
    r0, r1 = max(0, box[0].start - margin), min(h, box[0].stop + margin)
    c0, c1 = max(0, box[1].start - margin), min(w, box[1].stop + margin)
    own = labels[r0:r1, c0:c1] == label
    inside = eroded(own, 4)
    values = light[r0:r1, c0:c1][inside if inside.any() else own]
    level = float(np.median(values))
    contrast = abs(level - surround)
    if contrast < LEAST_CONTRAST:
        return None
    unevenness = 1.4826 * float(np.median(np.abs(values - level))) / contrast
    cropped = box[0].start < RIM_PX or box[1].start < RIM_PX or box[0].stop > h - RIM_PX or box[1].stop > w - RIM_PX
    soft = ndimage.gaussian_filter(own.astype(np.float32), 1.0)
    padded = np.pad(soft, 1)
    lines = contour_generator(z=padded, name="serial").lines(0.5)
    corner = np.array([c0 - 1.0, r0 - 1.0])
    loops = [np.asarray(loop, dtype=np.float64)[:-1] + corner for loop in lines if len(loop) > 8]
    if not loops:
        return None
    areas = [shoelace(loop) for loop in loops]
    first = int(np.argmax(np.abs(areas)))
    inner = tuple(loop for i, loop in enumerate(loops) if i != first and abs(areas[i]) >= LEAST_HOLE_PX)
    area = float(filled_area(own))
    return Coarse((r0, r1), (c0, c1), loops[first], inner, level, surround, cropped, area, unevenness)


def shoelace(loop: Floats) -> float:
    """Return the signed area within a closed polyline of shape (n, 2)."""
    x, y = loop[:, 0], loop[:, 1]
    return 0.5 * float(x @ np.roll(y, -1) - y @ np.roll(x, -1))
