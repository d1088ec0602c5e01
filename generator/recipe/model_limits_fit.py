"""Limits of how well the cover goes over the original."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.figures import Figure
from generator.base.frozen_record import frozen_record
from generator.base.practice import OWN

_THREE_SIGMA = "three standard deviations either way of a normal distribution, common practice for process limits"


@frozen_record(kw_only=True)
class FitLimits:
    """How well the cover must go over the original."""

    chance: Figure = f.limit(
        Figure(0.997, "of 1", _THREE_SIGMA, "memory"),
        "Least chance that a cover goes over the original with all bolts in, and that it sits.",
        at_most=0.9999,
    )
    head_off: Figure = f.limit(
        Figure(0.3, "mm", OWN, ""),
        "A countersunk head may be off the middle of its countersink by this; it stands proud by as much on one side.",
        at_most=5,
    )
    off_centre: Figure = f.limit(
        Figure(1.0, "mm", OWN, ""),
        "A cover that can be put on further off its place than this, seen at its edge, looks crooked.",
        at_most=50,
    )
