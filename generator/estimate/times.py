"""How long the operations take: from published cutting data, once by its slowest and once by its fastest figures."""

from __future__ import annotations

from math import ceil, sqrt
from typing import Final

from generator.base.cutting import feed_range, kind_of, speed_range
from generator.base.frozen_record import frozen_record
from generator.estimate.operations import CHAMFERED, CLEARED, DRILLED, REAMED, Operation
from generator.formulas.cutting import cutting_time, spindle_speed, table_feed
from generator.part.part import Part
from generator.recipe.model import Recipe
from generator.recipe.model_making import Making
from generator.recipe.model_material import OwnMaterial

__all__ = ["Cutting", "Minutes", "cutting_of", "kind_of_part", "minutes_of"]

WITHOUT_CUTTING: Final = (0.1, 0.5)
"""Added for ways through the air, plunges, overlaps and retracts, least and most (our own choice): how a tool is led
about is not known here, so a time has a spread even where the machine alone sets speed and feed."""
DRILL_SPEED_SHARE: Final = 0.5
"""A drill cuts at this share of an end mill's speed (from memory)."""
DRILL_FEED: Final = (0.01, 0.02)
"""Feed of a drill a revolution, in diameters (from memory)."""
REAM_SPEED_SHARE: Final = 0.08
"""A reamer of high-speed steel cuts at this share of a carbide end mill's speed, some 20 m/min in aluminium (from
memory)."""
REAM_FEED: Final = (0.02, 0.04)
"""Feed of a reamer a revolution, in diameters: twice a drill's (from memory)."""
PECKING: Final = 1.5
"""A drill that is withdrawn to clear its chips takes so much longer (our own choice)."""
TIP: Final = 0.3
"""Length of a drill's point in diameters: 118° (geometry: 0.5 / tan 59°)."""


@frozen_record
class Minutes:
    """A time with its spread, minutes: by the fastest and by the slowest of the figures."""

    least: float
    most: float

    @property
    def likely(self) -> float:
        """Return the geometric mean: charts differ by factors, not by differences."""
        return sqrt(self.least * self.most)

    def __add__(self, other: Minutes) -> Minutes:
        """Return the sum of both ends."""
        return Minutes(self.least + other.least, self.most + other.most)


@frozen_record
class Cutting:
    """How a tool runs.

    Attributes:
        speed_rpm: of the spindle.
        feed_mm_min: of the table.
        feed_tooth_mm: what a tooth cuts.
        vc_m_min: cutting speed.
        step_down_mm: depth of a pass.
        passes: how many there are.
    """

    speed_rpm: float
    feed_mm_min: float
    feed_tooth_mm: float
    vc_m_min: float
    step_down_mm: float
    passes: int


def kind_of_part(recipe: Recipe, part: Part) -> str:
    """Return the kind of material that a part is cut like."""
    given = recipe.cover.material
    if part.name != "cover":
        given = recipe.inlays[part.name.removeprefix("insert-")].material
    return given.cuts_like if isinstance(given, OwnMaterial) else kind_of(given)


def cutting_of(op: Operation, kind: str, making: Making, *, fast: bool) -> Cutting:
    """Return how a tool runs in a kind of material, by the slowest or the fastest of the charts.

    Speed and feed stop where the machine does; then a tooth cuts what the feed leaves it.
    """
    speeds, feeds = speed_range(kind), feed_range(kind, op.diameter_mm)
    vc, fz = (speeds[1], feeds[1]) if fast else (speeds[0], feeds[0])
    if op.done == DRILLED:
        vc, fz = vc * DRILL_SPEED_SHARE, DRILL_FEED[1 if fast else 0] * op.diameter_mm / op.teeth
    if op.done == REAMED:
        vc, fz = vc * REAM_SPEED_SHARE, REAM_FEED[1 if fast else 0] * op.diameter_mm / op.teeth
    n = min(spindle_speed(vc, op.diameter_mm), making.spindle)
    vf = min(table_feed(n, op.teeth, fz), making.feed)
    if op.done == REAMED:
        return Cutting(n, vf, vf / (n * op.teeth), vc, op.depth_mm, 1)  # in one go
    down = min(op.depth_mm, making.step_down * op.diameter_mm) or op.diameter_mm
    passes = max(1, ceil(op.depth_mm / down - 1e-9))
    return Cutting(n, vf, vf / (n * op.teeth), vc, down, passes)


def minutes_of(op: Operation, kind: str, making: Making) -> Minutes:
    """Return how long an operation takes, without setting up and changing tools."""
    least, most = (_minutes(op, cutting_of(op, kind, making, fast=fast), making) for fast in (True, False))
    return Minutes(least * (1.0 + WITHOUT_CUTTING[0]), most * (1.0 + WITHOUT_CUTTING[1]))


def _minutes(op: Operation, cutting: Cutting, making: Making) -> float:
    """Return how long the tool is in the material."""
    vf = cutting.feed_mm_min
    if op.done == DRILLED:
        cut = op.count * PECKING * cutting_time(op.depth_mm + TIP * op.diameter_mm, vf)
    elif op.done == REAMED:
        cut = op.count * cutting_time(op.depth_mm, vf)
    elif op.done == CHAMFERED:
        cut = cutting_time(op.travel_mm, vf)
    elif op.done == CLEARED:
        cleared = op.volume_mm3 / (cutting.step_down_mm * making.step_over * op.diameter_mm)
        cut = cutting_time(max(cleared, op.travel_mm * cutting.passes), vf)
    else:
        cut = cutting_time(op.travel_mm * cutting.passes, vf)
    return cut
