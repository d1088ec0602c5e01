"""A reference in a photo that lies higher or lower than it is taken to: all readings then ask for one common scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.trace.bundle import fit
from generator.trace.doubts import COVERAGE
from generator.trace.relating import Solved
from generator.trace.slips import SUSPECT, spread_of
from generator.trace.unknowns import Known, Measured

AGREE: Final = 3.0
"""Standard deviations by which a reading may be off the scale that all ask for."""
MOST_MM: Final = 40.0
"""Nothing that lies beside a plate is lifted more."""


@frozen_record
class OtherHeight:
    """How much larger all readings have the part, and what that makes of the reference.

    Attributes:
        share: lengths are so much longer, as a share of themselves.
        rise: the reference lies so much higher than taken, mm.
        sigma: standard deviation of that, mm.
    """

    share: float
    rise: float
    sigma: float


def other_height(solved: Solved, measured: Sequence[Measured], known: Known, distance: float) -> OtherHeight | None:
    """Return the height that all readings ask for, None if they agree with the one taken or not with each other.

    A reference that lies ``h`` higher has the camera stand as much higher, so that lengths on the part's top, at a
    distance D from the camera, are longer by h / D.

    Args:
        solved: the part, with readings given up.
        measured: all readings of lengths.
        known: what is known beforehand.
        distance: of the camera from the plane of the part's top, mm.
    """
    slips = solved.slips.values()
    if not slips or len(measured) < 2 or any(s.sides for s in slips):
        return None
    layout = solved.layout
    held = [e for r in solved.relations for e in r.equations]
    alone = fit(layout.model, layout.points, solved.found.x, known=known, equations=held)
    shown = np.array([m.function(alone.x) for m in measured])
    more = np.array([m.value for m in measured]) - shown
    sigma = np.array([(spread_of(m, alone) + m.sigma**2) ** 0.5 for m in measured])
    precision = float(np.sum((shown / sigma) ** 2))
    share = float(np.sum(shown * more / sigma**2)) / precision
    doubt = precision**-0.5
    if np.any(np.abs(more - share * shown) > AGREE * sigma) or abs(share) * distance > MOST_MM:
        return None
    telling = int(np.sum(np.abs(share) * shown > SUSPECT * sigma))
    # a single reading may as well be a slip that something else explains
    if not telling or (telling == 1 and any(s.probable is not None for s in slips)):
        return None
    return OtherHeight(share, share * distance, doubt * distance)


def height_words(found: OtherHeight, name: str, taken_mm: float, thickness: float) -> str:
    """Return what to make of a reference's other height.

    Args:
        found: the height.
        name: of the reference.
        taken_mm: height above the table at which its face was taken to be, mm.
        thickness: of the part, mm.
    """
    way = "higher" if found.rise > 0.0 else "lower"
    level = abs(taken_mm + found.rise - thickness) < max(COVERAGE * found.sigma, 0.1 * abs(found.rise))
    told = ", level with the part's top" if level else ""
    return (
        f"all readings have the part {100.0 * abs(found.share):.2f} % {'larger' if found.rise > 0.0 else 'smaller'} "
        f"than the {name} does, as if its face lay {abs(found.rise):.1f} ± {COVERAGE * found.sigma:.1f} mm {way} than "
        f"the {taken_mm:.2f} mm above the table that it is taken to{told}; lay {name} and part on one table and take "
        "the photo again, or read more lengths"
    )


def not_blamed(solved: Solved, name: str) -> Solved:
    """Return a part whose readings were given up for the reference's height, with that told of each."""
    words = f"all readings ask for another height of the {name}"
    return replace(solved, slips={n: replace(s, words=words) for n, s in solved.slips.items()})
