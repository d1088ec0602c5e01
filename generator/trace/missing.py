"""Metal that is missing beside an edge: dark as a break, or bright as what lies behind.

Light is compared with what is usual beside edges of the same direction. How far the metal's own face differs from
itself, deeper in, says what counts: rust and brush marks are told from chips only by being less dark.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from generator.base.frozen_record import frozen_record
from generator.trace.rims import Patch, Rim, smooth

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

DARK: Final = 0.48
"""Share of the metal's light that a break takes at least (rust takes 0.45 in simulated scans, breaks 0.8)."""
BRIGHT: Final = 0.3
"""Share of the way from metal to surroundings: what lies behind a chip lies in the shadow of its edges."""
BLACK: Final = 0.07
"""Metal whose light is a smaller share of the contrast is black: what is dark in it cannot be seen."""
HALF: Final = 0.7
"""Of what counts: as far as that a chip reaches (half of what one loses that shows all of its depth)."""
FAINT: Final = 0.6
"""Surroundings brighter than the metal by a smaller share of its light are no brighter in a chip's own shadow."""
BEYOND_USUAL: Final = 1.2
"""Of what the metal's face shows of itself (all but a two-hundredth), a chip must show this much more."""
SELDOM: Final = 0.995
EVEN: Final = 0.35
"""A face that is hardly anywhere darker by more is even (rust 0.45; brush marks 0.25 where they are deep)."""
BLURS: Final = 1.5
"""Nearer to the edge than so many standard deviations of the blur its own slope hides what is in the metal."""
TOUCHING: Final = 2.5
"""What begins farther from there, in the same measure, is no damage of the edge."""
NARROW: Final = 2.5
"""So many times as deep as it is long a patch is a scratch or a crack (chips of simulated parts: up to one)."""
THIN: Final = 0.3
"""Of its length times its depth a chip fills more (a half or more in simulated scans), a scratch aslant less."""
LEAST_MM: Final = 0.2
"""Shorter ones are dust, scratches or grains of the surface."""
LEAST_PHOTO_MM: Final = 0.4
"""The same in a photo, where corners of walls are as short."""
LEAST_PX: Final = 1.5
LEAST_SPOTTED_PX: Final = 3.0
"""The same where the face is spotted: specks of rust are as short."""


@frozen_record
class Face:
    """How much the metal's face differs from itself.

    Attributes:
        dark: share of light that a chip must lose surely, and that from which on it is counted in.
        bright: the same for shares of the way to brighter surroundings.
        even: no rust, no deep marks.
    """

    dark: tuple[float, float]
    bright: tuple[float, float]
    even: bool

    def shortest(self, px_mm: float, *, photo: bool) -> float:
        """Return how long a chip must be to be told from specks and noise, mm."""
        return max(LEAST_PHOTO_MM if photo else LEAST_MM, (LEAST_PX if self.even else LEAST_SPOTTED_PX) * px_mm)


def face_of(rims: Sequence[Rim], blur_mm: float) -> Face:
    """Return what the metal deeper within the rims of a picture tells, whose blur has a standard deviation, mm."""
    limits = []
    for least, what in ((DARK, _dark), (BRIGHT, _bright)):
        usual = np.concatenate([what(r)[_deep(r, BLURS * blur_mm)] for r in rims])
        seldom = float(np.quantile(usual, SELDOM)) if len(usual) else 0.0
        limits.append((max(least, BEYOND_USUAL * seldom), max(HALF * least, seldom)))
    return Face(limits[0], limits[1], limits[0][1] < EVEN)


def gaps(rim: Rim, face: Face, blur_mm: float, shortest: float) -> list[Patch]:
    """Return where metal is missing along a rim.

    Args:
        rim: the strip.
        face: how much the metal's face differs from itself.
        blur_mm: standard deviation of the picture's blur.
        shortest: what is not as long is none, mm.
    """
    edge = BLURS * blur_mm
    within = (-rim.across[None, :] >= edge) & (-rim.across[None, :] <= rim.clear[:, None])
    dark, bright = _dark(rim), _bright(rim)
    surely = within & ((dark > face.dark[0]) | (bright > face.bright[0]))
    labels = _labelled(within & ((dark > face.dark[1]) | (bright > face.bright[1])))
    touching = rim.across > -edge - TOUCHING * blur_mm
    out = []
    for label in np.unique(labels[surely]):
        mine = labels == label
        if not mine[:, touching].any():
            continue
        deep = np.where(mine, -rim.across, 0.0).max(axis=1)
        patch = rim.patch(np.flatnonzero(mine.any(axis=1)), int(np.argmax(deep)), -float(deep.max()))
        if patch.length >= shortest and not _scratch(rim, mine, float(deep.max()) - edge):
            out.append(patch)
    return out


def _scratch(rim: Rim, mine: Flags, depth: float) -> bool:
    """Tell whether a patch that goes so deep, mm, is a line: narrow for its depth, or aslant and thin."""
    length = float(rim.step[mine.any(axis=1)].sum())
    area = float(mine.sum(axis=1) @ rim.step) * float(np.diff(rim.across).mean())
    return depth > NARROW * length or area < THIN * length * depth


def _dark(rim: Rim) -> Floats:
    """Return which share of the metal's light is lost; of metal nearly black nothing can be."""
    most = np.maximum(rim.metal, BLACK * np.abs(rim.ground - rim.metal))
    return smooth(rim, (rim.usual * rim.metal[:, None] - rim.light) / most[:, None])


def _bright(rim: Rim) -> Floats:
    """Return how far light is on the way from the metal to brighter surroundings."""
    contrast = (rim.ground - rim.metal)[:, None]
    apart = (rim.light - rim.usual * rim.metal[:, None]) / np.maximum(contrast, 1e-6)
    return smooth(rim, np.where(contrast > FAINT * rim.metal[:, None], apart, 0.0))


def _deep(rim: Rim, edge: float) -> Flags:
    """Tell which places of a strip lie deep in the metal."""
    deep, clear = -rim.across[None, :], rim.clear[:, None]
    return np.asarray((deep >= np.maximum(edge, 0.6 * clear)) & (deep <= clear), dtype=np.bool_)


def _labelled(mask: Flags) -> NDArray[np.int32]:
    """Return numbered patches of a strip whose ends meet."""
    labels: NDArray[np.int32] = ndimage.label(mask, structure=np.ones((3, 3)))[0]
    for a, b in zip(labels[0], labels[-1], strict=True):
        if a and b and a != b:
            labels[labels == b] = a
    return labels
