"""Pieces: the directed lines and arcs that an offset or boolean hands to the clipper, as arrays.

Vocabulary of the kernel (see docs/kernel.md): a *piece* is one directed line or arc of a closed *chain*. Every
piece lies on a *carrier*, the unbounded line or full circle. Pieces that only close a chain and can never be part
of a result are *construction* pieces. A *joint* is the point where a piece starts.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property, lru_cache
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from generator.base.errors import OffsetError
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour, next_rows

Floats: TypeAlias = NDArray[np.float64]
Ints: TypeAlias = NDArray[np.int64]
Bools: TypeAlias = NDArray[np.bool_]

_STRAIGHT_SAGITTA_MM = 1e-9  # an arc that leaves its chord by less is computed as a line
FARTHEST_MM = 1e5  # beyond, coordinates cannot be told apart to a micrometre on the clipper's grid
_KEPT = 8  # outlines whose frames are at hand; those of a drawing from a picture are large
_NOTHING_MM = 1e-10  # a segment shorter than this has no direction


@frozen_record
class Pieces:
    """Closed chains of pieces, one row a piece.

    Attributes:
        start: (n, 2) joints, mm.
        first: (m + 1,) row where each chain begins, and n.
        real: False for construction pieces.
        circle: True for arcs.
        base: (n, 2) centre of an arc, a point of a line, mm.
        radius: of arcs, mm; 0 for lines.
        unit: (n, 2) direction of travel of lines.
        sweep: signed sweep of arcs, radians; 0 for lines.
    """

    start: Floats
    first: Ints
    real: Bools
    circle: Bools
    base: Floats
    radius: Floats
    unit: Floats
    sweep: Floats

    def __len__(self) -> int:
        return len(self.start)

    @cached_property
    def following(self) -> Ints:
        """Return for each piece the row of the piece after it in its chain."""
        return cyclic_next(self.first)

    @cached_property
    def end(self) -> Floats:
        """Return the (n, 2) end points, mm."""
        return self.start[self.following]


def cyclic_next(first: Ints) -> Ints:
    """Return the row after each row when rows ``first[k]`` to ``first[k + 1]`` form a ring."""
    n = int(first[-1])
    following = np.arange(1, n + 1)
    filled = first[1:] > first[:-1]
    following[first[1:][filled] - 1] = first[:-1][filled]
    return following


def clean(contour: Contour) -> Floats:
    """Return the contour's (n, 3) array without segments that have no length."""
    a = contour.array
    step = next_rows(a[:, :2]) - a[:, :2]
    keep = np.hypot(step[:, 0], step[:, 1]) > _NOTHING_MM
    return a if keep.all() else a[keep]


def computable(contours: Iterable[Contour]) -> list[Contour]:
    """Return the contours that have at least two segments with a length.

    Raises:
        OffsetError: a coordinate or bulge is not a finite number, or a coordinate is beyond 100 m.
    """
    found = []
    for number, contour in enumerate(contours):
        bad = np.flatnonzero(~np.isfinite(contour.array).all(axis=1))
        if len(bad):
            raise OffsetError(
                "an outline has a vertex that is not a finite number: give every coordinate in mm",
                contour=str(number),
                segment=int(bad[0]),
            )
        if np.abs(contour.array[:, :2]).max(initial=0.0) > FARTHEST_MM:
            raise OffsetError(
                "an outline reaches further than 100 m from the origin: check its units", contour=str(number)
            )
        if len(contour) > 1 and len(clean(contour)) > 1:
            found.append(contour)
    return found


@frozen_record
class Frames:
    """What a segment is at its ends: chord, unit tangents, centre, radius, sweep. One row a segment."""

    start: Floats
    bulge: Floats
    chord: Floats
    unit: Floats
    tangent_in: Floats
    tangent_out: Floats
    circle: Bools
    centre: Floats
    radius: Floats
    sweep: Floats


def frames(contours: Sequence[Contour]) -> tuple[Frames, Ints]:
    """Return the frames of the segments of all contours together, and the row where each begins, and their number.

    Segments without length are left out.
    """
    return _frames_of(tuple(contours))


@lru_cache(maxsize=_KEPT)
def _frames_of(contours: tuple[Contour, ...]) -> tuple[Frames, Ints]:
    """Return the same; an operation asks for its pieces, for what refuses them and for what measures the result."""
    arrays = [clean(c) for c in contours]
    first = np.cumsum([0, *(len(a) for a in arrays)])
    a = np.concatenate(arrays) if arrays else np.zeros((0, 3))
    return _frames(a, cyclic_next(first)), first


def _frames(a: Floats, after: Ints) -> Frames:
    """Return the frames of the segments from vertices (n, 3) to the vertices in rows ``after``."""
    step = a[after, :2] - a[:, :2]
    chord = np.hypot(step[:, 0], step[:, 1])
    unit = step / chord[:, None]
    circle = np.abs(a[:, 2]) * chord / 2.0 > _STRAIGHT_SAGITTA_MM
    b = np.where(circle, a[:, 2], 0.0)
    q = b * b
    cos, sin = (1.0 - q) / (1.0 + q), 2.0 * b / (1.0 + q)
    ux, uy = unit[:, 0], unit[:, 1]
    safe = np.where(circle, b, 1.0)
    k = (1.0 - q) / (4.0 * safe)
    centre = np.stack(
        [a[:, 0] + step[:, 0] / 2.0 - k * step[:, 1], a[:, 1] + step[:, 1] / 2.0 + k * step[:, 0]], axis=1
    )
    return Frames(
        start=a[:, :2],
        bulge=b,
        chord=chord,
        unit=unit,
        tangent_in=np.stack([ux * cos + uy * sin, uy * cos - ux * sin], axis=1),
        tangent_out=np.stack([ux * cos - uy * sin, uy * cos + ux * sin], axis=1),
        circle=circle,
        centre=np.where(circle[:, None], centre, a[:, :2]),
        radius=np.where(circle, chord * (1.0 + q) / (4.0 * np.abs(safe)), 0.0),
        sweep=4.0 * np.arctan(b),
    )


def pieces_of(*contours: Contour) -> Pieces:
    """Return each contour as one chain of pieces."""
    f, first = frames(contours)
    return Pieces(
        start=f.start,
        first=first,
        real=np.ones(len(f.start), dtype=bool),
        circle=f.circle,
        base=f.centre,
        radius=f.radius,
        unit=f.unit,
        sweep=f.sweep,
    )
