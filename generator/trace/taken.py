"""What the readings that there are were taken of: the features that each touches, and the direction of a width."""

from __future__ import annotations

from math import atan2, cos, sin
from typing import Final

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.recipe.model_caliper import BETWEEN_HOLES, RADIUS, THICKNESS, WIDTH
from generator.trace.advice import reading_words, touched
from generator.trace.footprint import Footprint
from generator.trace.naming import measured_by
from generator.trace.readings import Reading
from generator.trace.tracing import Traced
from generator.trace.unknowns import straightened

__all__ = ["Taken", "taken"]

_OF: Final = {RADIUS: "the radius of arc {}", BETWEEN_HOLES: "between holes {} and {}, near edge to near edge"}


@frozen_record
class Taken:
    """A reading that was taken.

    Attributes:
        numbers: of the features that it touches.
        direction: of a width, rad in the footprint's frame; None for others.
        what: how a person would say it.
    """

    numbers: tuple[int, ...]
    direction: float | None
    what: str


def taken(traced: Traced, footprint: Footprint) -> dict[str, Taken]:
    """Return what every reading was taken of, by its name."""
    solved, frame = traced.solved, traced.seen[0].frame
    measured = {m.name: m for m in measured_by(traced.caliper, frame)(solved.layout, solved.found.x)}
    out = {}
    for r in traced.caliper.readings:
        if r.kind == THICKNESS:
            out[r.name] = Taken((), None, "the thickness of the plate")
            continue
        numbers = touched(traced, measured[r.name])
        direction = _direction(r, traced, footprint) if r.kind == WIDTH else None
        words = _OF[r.kind].format(*numbers) if r.kind in _OF else reading_words(r.kind, numbers, direction, footprint)
        out[r.name] = Taken(numbers, direction, words)
    return out


def _direction(r: Reading, traced: Traced, footprint: Footprint) -> float:
    assert r.direction_deg is not None
    a = traced.seen[0].frame.direction(r.direction_deg, r.touch)
    v = straightened(traced.solved.found.x) @ np.array([cos(a), sin(a)])
    return atan2(v[1], v[0]) - footprint.placement.angle
