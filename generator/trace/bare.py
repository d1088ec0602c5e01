"""From one picture with nothing in it that tells scale or perspective: the readings alone tell how large the part is.

The camera, if there was one, is taken to have looked straight down within a few degrees. What that leaves open
(perspective, a lens's bend) is fitted together with part and readings and stays in the uncertainty.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import acos, degrees, hypot, radians, tan
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.trace.bias import Bias, widened
from generator.trace.disputes import settled
from generator.trace.edge_model import Look
from generator.trace.edge_points import Ground
from generator.trace.naming import measured_by
from generator.trace.notes import Notes
from generator.trace.picture import Picture
from generator.trace.readings import Caliper
from generator.trace.reference import Image, closer, things_on
from generator.trace.runs import Row
from generator.trace.scaling import scale_by_readings
from generator.trace.solving import solve
from generator.trace.surround import Coarse
from generator.trace.tracing import Seen, Traced, number_of
from generator.trace.unknowns import Known
from generator.trace.walls import pooled_of, stretches_of
from generator.trace.wishes import NO_WISHES, Wishes

Floats = NDArray[np.float64]

TILT_SD_DEG: Final = 3.0
"""How far a camera that is held straight above is off, along either side (chosen)."""
FOCAL_35MM: Final = 26.0
"""Focal length of a telephone's main lens where the file tells none (common practice, no source)."""
FILM_MM: Final = 36.0
BEND_SD: Final = 0.004
"""What a lens is off at the picture's corner, as a share of the distance from its middle (chosen)."""
EVEN_PX: Final = 0.1
"""Standard deviation of what whole edges are seen off: walls of the part are not told apart from its face (chosen)."""
NARROWEST: Final = 0.025
"""Where round holes look narrower one way by a larger share, 13° or a thick wall, the picture is refused: arcs of the
outline are no arcs in it."""
LEAST_ROUND: Final = 0.12
"""What is narrower by more than this share, 28°, is a slot."""
ROUND: Final = 0.01
"""An opening whose edge lies off an ellipse by less than this share of its radius is taken to be round (chosen)."""
SCALE_SD, ASPECT_SD, SKEW_SD = 0.03, 0.015, 0.01
"""What a tilt by a few degrees does to lengths of a part beside the picture's middle (chosen)."""


@frozen_record(eq=False)
class SeenBare(Seen):
    """A picture whose perspective is open: its points bend by the camera's unknowns."""

    def rows(self) -> list[Row]:
        """Return the edges' places in mm by the readings' scale, y up, with what the camera leaves open."""
        plain = Seen.rows(self)
        bent = self._bent(np.vstack([r.points for r in plain]))
        ends = np.cumsum([len(r.points) for r in plain])[:-1]
        return [replace(r, modes=m) for r, m in zip(plain, np.split(bent, ends), strict=True)]

    def _bent(self, points: Floats) -> Floats:
        """Return by how much each unknown moves each point, mm for its standard deviation, shape (n, 2, 3)."""
        h, w = self.picture.light.shape
        k = self.mm_per_px[0]
        from_middle = points - np.array([0.5 * w * k, -0.5 * h * k])
        height = (self.picture.focal_35mm or FOCAL_35MM) / FILM_MM * max(h, w) * k
        lean = tan(radians(TILT_SD_DEG)) / height
        far = (from_middle**2).sum(axis=1, keepdims=True) / (0.5 * hypot(h, w) * k) ** 2
        modes = np.stack(
            [
                lean * from_middle[:, :1] * from_middle,
                lean * from_middle[:, 1:] * from_middle,
                BEND_SD * far * from_middle,
            ],
            axis=2,
        )
        # what shifts, turns, stretches or skews the part as a whole has unknowns of its own
        affine = np.column_stack([np.ones(len(points)), points - points.mean(axis=0)])
        flat = modes.reshape(len(points), -1)
        flat = flat - affine @ np.linalg.lstsq(affine, flat, rcond=None)[0]
        return np.asarray(flat.reshape(modes.shape), dtype=np.float64)


def trace_bare(
    pictures: Sequence[Picture], caliper: Caliper, *, part: int | None = None, wishes: Wishes = NO_WISHES
) -> Traced:
    """Return the part that one picture shows, its scale by the readings alone.

    Args:
        pictures: one; more cannot be put together without knowing how each was taken.
        caliper: the readings.
        part: which part is meant, 1 for the largest; None for that, and further ones are told.
        wishes: relations that are demanded or forbidden.

    Raises: GeometryError: there is more than one picture, no part, or no reading that tells the scale.
    """
    if len(pictures) > 1:
        raise GeometryError(
            "without a reference pictures are traced one by one: how each was taken is not known. Give one, or scans "
            "of the part (--reference scan; their scale may come from readings, too)"
        )
    (picture,) = pictures
    notes = Notes()
    for r in picture.remarks:
        notes.remark(picture.name, r)
    things, even = _things(picture)
    thing = things[number_of(picture.name, things, part, notes, caliper) - 1]
    if thing.cropped:
        raise GeometryError(f"{picture.name}: the part is not wholly in the picture; step back and take it again")
    coarse = closer(thing, even)
    k = scale_by_readings(picture, coarse, caliper)
    notes.warn(
        picture.name,
        "nothing in it tells scale or perspective: it is taken to be seen straight from above, within "
        f"{TILT_SD_DEG:g}°, and edges at the face that lies in that plane; all lengths hang on the readings. A scan, "
        "or a bank card beside the part (--reference card), tells more",
    )
    # as if no wall were seen: how wide it looks only a known camera tells
    pooled = pooled_of(Ground(even, coarse.rows, coarse.columns), coarse, 1.0 / k)
    loops, blur = stretches_of(pooled, [np.zeros(len(p.points)) for p in pooled])
    seen = SeenBare(picture, coarse, tuple(loops), Look(blur), (k, k))
    narrow, radius_px = narrower([s.points for s in loops[1:]])
    if narrow > NARROWEST:
        raise GeometryError(
            f"{picture.name}: round holes look {100.0 * narrow:.1f} % narrower one way, as from {_tilt(narrow):.0f}° "
            "off square or in a thick part, and nothing in the picture tells the perspective. Take it from straight "
            "above, or lay a bank card beside the part (--reference card), or scan it"
        )
    known = Known(
        scale=SCALE_SD,
        skew=SKEW_SD,
        aspect=ASPECT_SD,
        outside_mm=hypot(0.02, 0.2 * k),
        alike_mm=hypot(0.02, 0.1 * k),
        uneven_mm=hypot(0.002, 0.05 * k),
    )
    readings = measured_by(caliper, seen.frame)
    solved = solve([seen.rows()], readings, known, wishes)
    wide = widened(solved.layout, solved.found, [Bias(hypot(EVEN_PX, 0.5 * narrow * radius_px) * k, 0.0, 0.0)])
    solved, disputes = settled(solved, known, readings, wide)
    return Traced((seen,), solved, caliper, tuple(notes.remarks), tuple(notes.warnings), disputes)


def narrower(openings: Sequence[Floats]) -> tuple[float, float]:
    """Return by which share round openings look narrower one way, and their mean radius, px; zeros if there are none.

    A circle seen at an angle is an ellipse, narrower by the angle's cosine. About its middle, the distance of its edge
    is ``r + a cos 2t + b sin 2t`` as long as it is nearly round; larger openings count more.

    Args:
        openings: places on the edge of each, shape (n, 2), px.
    """
    off, weights, radii = np.zeros(2), [], []
    for points in openings:
        about = points - points.mean(axis=0)
        turn, far = np.arctan2(about[:, 1], about[:, 0]), np.hypot(*about.T)
        terms = np.column_stack(
            [np.ones(len(turn)), np.cos(turn), np.sin(turn), np.cos(2.0 * turn), np.sin(2.0 * turn)]
        )
        wave, *_ = np.linalg.lstsq(terms, far, rcond=None)
        r, (a, b) = float(wave[0]), wave[3:]
        if float(np.std(far - terms @ wave)) < ROUND * r and 2.0 * hypot(a, b) < LEAST_ROUND * r:
            off += wave[3:] * r
            weights.append(r * r)
            radii.append(r)
    return (2.0 * float(np.hypot(*off)) / sum(weights), float(np.mean(radii))) if radii else (0.0, 0.0)


def _tilt(narrow: float) -> float:
    return degrees(acos(1.0 - narrow))


def _things(picture: Picture) -> tuple[tuple[Coarse, ...], Image]:
    try:
        return things_on(picture.light)
    except GeometryError as error:
        raise GeometryError(f"{picture.name}: {error}") from None
