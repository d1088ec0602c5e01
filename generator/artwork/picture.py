"""Pictures in two tones to regions: lines, arcs and corners that follow the edges between dark and light.

The boundary is found between the pixels (``picture_edge.py``), each loop of it is divided into straight and round
pieces (``picture_pieces.py``), and these are joined to a contour, sharp where the drawing is sharp and tangent where it
is smooth (``picture_join.py``, ``picture_polish.py``), again and again until it is near enough (``picture_fit.py``).
All lengths here are pixels.
"""

from __future__ import annotations

from math import radians
from typing import Final

import numpy as np

from generator.artwork.picture_edge import Level, find_level, loop_area, loops
from generator.artwork.picture_fit import Limits, fitted
from generator.artwork.picture_load import Floats, load_png
from generator.artwork.picture_stairs import unstaired
from generator.base.errors import GeometryError, OffsetError
from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline.combine import regularise
from generator.outline.contour import Contour
from generator.outline.crossings import refuse_crossings
from generator.outline.measure import area
from generator.outline.region import Region
from generator.outline.spans import Floats as Doubles

MOST_POINTS, MOST_SPOTS = 75_000, 2_000
"""Of the boundary; more than any drawing for a cover has, and traced within some ten seconds, noise within some fifteen
(chosen)."""
SMOOTH: Final = 0.5
"""How far the outline may leave the pixels' edges unless another figure is given: what one pixel cannot tell."""
SPECKLE: Final = 6.0
"""Spots of fewer pixels are dirt (chosen)."""
LEAST_NOISE, MOST_NOISE = 0.08, 0.35
STAIR_NOISE: Final = 0.2
"""How far points stray from the outline in two tones once the steps are off them, and half as much again because
neighbours stray together (tried on drawn shapes)."""
GREY_SHARE: Final = 0.1
"""A picture with fewer grey pixels than this share of its boundary is one in two tones."""
CORNER_RAD, STAIR_CORNER_RAD = radians(11.0), radians(12.0)
"""Turns that count as corners, in pictures with grey edges and in two tones (tried on drawn shapes)."""
SLACK, STAIR_SLACK = 0.12, 0.15
"""Pixels by which single points may stray beyond what is allowed: the noise of the points themselves."""
AIM: Final = 3.0
"""No point should stray by more than this many times the noise: three standard deviations."""
CORNER_SHARE, STAIR_CORNER_SHARE = 1.0, 1.5
"""How far a true corner of 180 degrees would lie beyond its points, as a share of what is allowed: the sharper a
corner, the further (tried on drawn shapes)."""


@frozen_record
class PictureRules:
    """How a picture is read.

    Attributes:
        dark: what is dark is the area; else what is light.
        threshold: grey value where dark ends, 0 black to 1 white; None to find it.
        smooth: how far the outline may leave the edges of the pixels, pixels.
        speckle: spots and pinholes of fewer pixels are left out.
    """

    dark: bool = True
    threshold: float | None = None
    smooth: float = SMOOTH
    speckle: float = SPECKLE


@frozen_record
class Traced:
    """What a picture shows.

    Attributes:
        region: the area, in pixels from the lower left corner of the picture, y up.
        level: the grey value that parts dark from light.
        two_tones: there were no grey edges to go by.
        left_out: number of spots that were too small.
        dpi: pixels in an inch, as the file says, or None.
    """

    region: Region
    level: float
    two_tones: bool
    left_out: int
    dpi: float | None


def trace(data: bytes, rules: PictureRules) -> Traced:
    """Return what a PNG picture shows.

    Raises: GeometryError: the file cannot be read, shows nothing or too much; says what would do.
    """
    picture = load_png(data, paper=1.0 if rules.dark else 0.0)
    level = _level(picture.values, rules)
    field = (level.at - picture.values) / max(level.light - level.dark, 1e-3)
    found = loops(field if rules.dark else -field)
    kept = [p for p in found if abs(loop_area(p)) >= rules.speckle]
    _demand_something(picture.values, level, found, kept, rules)
    two_tones = _in_two_tones(field, sum(map(len, kept)))
    noise = STAIR_NOISE if two_tones else _noise(kept)
    corner = STAIR_CORNER_RAD if two_tones else CORNER_RAD
    noise *= rules.smooth / SMOOTH
    most = rules.smooth + (STAIR_SLACK if two_tones else SLACK)
    sharp = rules.smooth * (STAIR_CORNER_SHARE if two_tones else CORNER_SHARE)
    limits = Limits(most, min(most, AIM * noise), sharp)
    if two_tones:
        kept = [unstaired(p) for p in kept]
    contours = [fitted(p, noise, corner, limits) for p in kept]
    return Traced(_region(contours), level.at, two_tones, len(found) - len(kept), picture.dpi)


def _level(values: Floats, rules: PictureRules) -> Level:
    level = find_level(values)
    if level is None:
        shade = float(values.flat[0])
        tone = "black" if shade < 0.02 else "white" if shade > 0.98 else f"grey ({shade:.2f})"
        raise GeometryError(f"the picture is {tone} all over: there is nothing to trace; draw in black on white")
    if rules.threshold is None:
        return level
    return Level(rules.threshold, min(level.dark, rules.threshold), max(level.light, rules.threshold))


def _demand_something(
    values: Floats, level: Level, found: list[Doubles], kept: list[Doubles], rules: PictureRules
) -> None:
    """Raise when nothing is left, or more than can be traced."""
    if not found:
        low, high = float(values.min()), float(values.max())
        side = "darker" if rules.dark else "lighter"
        raise GeometryError(
            f"nothing in the picture is {side} than {level.at:.2f}; threshold: between {low:.2f} and {high:.2f}"
        )
    if not kept:
        largest = max(abs(loop_area(p)) for p in found)
        raise GeometryError(
            f"the largest spot in the picture has {largest:.0f} pixels, fewer than {rules.speckle:g}; "
            f"speckle: at most {int(largest)}"
        )
    if len(kept) > MOST_SPOTS:
        raise GeometryError(
            f"the picture has {len(kept)} spots of dark and light, at most {MOST_SPOTS}; raise `speckle`, now "
            f"{rules.speckle:g}, if it is dirty, or smooth it"
        )
    points = sum(map(len, kept))
    if points > MOST_POINTS:
        raise GeometryError(
            f"the boundary between dark and light is {points} pixels long, at most {MOST_POINTS}; "
            f"scale the picture to {int(90.0 * MOST_POINTS / points)} % of its size, or raise `speckle` if it is dirty"
        )


def _in_two_tones(field: Floats, points: int) -> bool:
    grey = int((np.abs(field) < 0.4).sum())
    return grey < GREY_SHARE * points


def _noise(kept: list[Doubles]) -> float:
    """Return how far points stray from a smooth way: from the middle of those two before and after, corners aside."""
    strays = []
    for p in kept:
        off = p - (np.roll(p, 2, axis=0) + np.roll(p, -2, axis=0)) / 2.0
        along = np.roll(p, -2, axis=0) - np.roll(p, 2, axis=0)
        across = off[:, 0] * along[:, 1] - off[:, 1] * along[:, 0]
        strays.append(np.abs(across) / np.maximum(np.hypot(along[:, 0], along[:, 1]), 0.1))
    every = np.sort(np.concatenate(strays))
    usual = every[: max(1, int(0.9 * len(every)))]
    # the variance of a point less the mean of two others is one and a half times its own
    return float(np.clip(1.15 * np.sqrt((usual**2).mean() / 1.5), LEAST_NOISE, MOST_NOISE))


def _region(contours: list[Contour]) -> Region:
    """Return the region; contours that come to overlap where strokes are a pixel wide are united."""
    region = Region.of(contours)
    try:
        refuse_crossings(list(region), MODEL)
    except OffsetError:
        region = regularise(contours)
    if not region or area(region) <= 0.0:
        raise GeometryError("what the picture shows has no area; draw it larger, or with more pixels")
    return region
