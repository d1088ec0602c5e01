"""What the readings of a part cannot tell: slips that would not show, lengths that hang on the scanner, edges."""

from __future__ import annotations

from math import cos, pi, sin
from typing import Final

import numpy as np

from generator.trace.advice import direction_words, width_row
from generator.trace.doubts import COVERAGE
from generator.trace.footprint import Footprint
from generator.trace.photo import SeenByCamera
from generator.trace.readings import BETWEEN_HOLES, DIAMETER, OVER_HOLES, THICKNESS, WIDTH
from generator.trace.slips import UNCONTROLLED, control
from generator.trace.tracing import Traced
from generator.trace.unknowns import OUT_HOLES, OUT_OUTLINE, Measured

LEAST_MM: Final = 0.03
"""Over the whole outline; less uncertainty of a length is not worth a sentence (chosen)."""
EDGE_MM: Final = 0.01


def untold(traced: Traced, footprint: Footprint, measured: list[Measured]) -> list[str]:
    """Return sentences on what the readings cannot tell.

    Args:
        traced: the part.
        footprint: the same in its own frame.
        measured: the readings that count, as measured values of the unknowns.
    """
    return [*_slips(traced, measured), *_lengths(traced, footprint), *_edges(traced)]


def uncontrolled(traced: Traced, measured: list[Measured]) -> list[str]:
    """Return the names of readings in which a slip would not show, because nothing else covers what they say."""
    return [m.name for m in measured if control(m, traced.solved.found) < UNCONTROLLED]


def _slips(traced: Traced, measured: list[Measured]) -> list[str]:
    names = uncontrolled(traced, measured)
    if not names:
        return []
    one = len(names) == 1
    return [
        f"{'reading' if one else 'readings'} {', '.join(names)}: nothing else covers what "
        f"{'it says' if one else 'they say'}, so a slip in {'it' if one else 'them'} would not show; read "
        f"{'it' if one else 'them'} twice"
    ]


def _lengths(traced: Traced, footprint: Footprint) -> list[str]:
    """Tell the direction in which lengths are least known, if that matters."""
    covariance = traced.solved.found.covariance
    on = np.array([p.loop == 0 for p in traced.solved.layout.model.primitives])[footprint.along.of]
    corners = np.array([footprint.placement.point(*p) for p in footprint.along.at[on]])
    worst = (0.0, 0.0, 0.0, 0.0)
    for turn in np.arange(0.0, pi, pi / 36.0):
        row = width_row(traced, footprint, float(turn))
        off = COVERAGE * max(float(row @ covariance @ row), 0.0) ** 0.5
        reach = float(np.ptp(corners @ np.array([cos(turn), sin(turn)])))
        if off > worst[0]:
            worst = (off, float(turn), off / reach, reach)
    off, turn, share, reach = worst
    if off < LEAST_MM:
        return []
    again = ", or scan the part again turned by a quarter" if len(traced.seen) == 1 and not _by_camera(traced) else ""
    return [
        f"lengths {direction_words(turn)} are the least known, to ±{100.0 * share:.2f} % (±{off:.2f} mm over "
        f"{reach:.0f} mm): take a reading along there{again}"
    ]


def _by_camera(traced: Traced) -> bool:
    return isinstance(traced.seen[0], SeenByCamera)


def _edges(traced: Traced) -> list[str]:
    """Tell whether diameters or widths hang on how the scanner shows edges."""
    kinds = {r.kind for r in traced.caliper.readings}
    covariance = traced.solved.found.covariance
    out = []
    holes = COVERAGE * float(covariance[OUT_HOLES, OUT_HOLES]) ** 0.5
    if holes > EDGE_MM and not kinds & {DIAMETER, OVER_HOLES, BETWEEN_HOLES}:
        out.append(
            f"no diameter was read: all holes may be {2.0 * holes:.2f} mm larger or smaller than told; read that of one"
        )
    edges = COVERAGE * float(covariance[OUT_OUTLINE, OUT_OUTLINE]) ** 0.5
    if edges > EDGE_MM and WIDTH not in kinds:
        out.append(f"no width was read over the outline: it may lie {edges:.2f} mm farther out or in all round")
    if not kinds - {THICKNESS}:
        told = "the reference in the photo" if _by_camera(traced) else "what the scanner says of its own scale"
        out.append(f"nothing was read: all lengths hang on {told}")
    return out
