"""One numbered characteristic of a part: what is measured on it, within which limits, with what, and where.

Drawing, inspection sheet and hand-off share the list that ``characteristics`` makes of them.
"""

from __future__ import annotations

from enum import Enum

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Point
from generator.part.part import Face

__all__ = ["BLANK", "ISLAND", "Allowed", "Characteristic", "Datum", "Kind", "Wanted"]

BLANK = "blank"
"""Part name of what is measured on the blank, before it is turned over."""
ISLAND = "-island"
"""Features that end so are what a pocket leaves standing in its middle."""


class Kind(Enum):
    """What sort of size a characteristic is."""

    DIAMETER = "diameter"
    CONE = "countersink diameter"
    POSITION_X = "position x"
    POSITION_Y = "position y"
    SIZE_X = "size x"
    SIZE_Y = "size y"
    DEPTH = "depth"
    FLOOR = "floor"
    THICKNESS = "thickness"
    RADIUS = "corner radius"
    CHAMFER = "chamfer"
    WALL = "wall"
    DISTANCE = "distance"


@frozen_record
class Allowed:
    """Limits of a size as deviations from nominal, mm (``lower_mm`` at most 0), and where they come from in words."""

    lower_mm: float
    upper_mm: float
    source: str


@frozen_record
class Wanted:
    """A characteristic before it has its number; see there."""

    part: str
    feature: str
    kind: Kind
    what: str
    nominal_mm: float
    allowed: Allowed
    place: Point
    face: Face
    features: tuple[str, ...] = ()


@frozen_record
class Characteristic:
    """What is measured on a part.

    Attributes:
        number: runs through all parts from 1; the same for the same recipe.
        part: ``cover``, ``insert-NAME``, or ``blank`` for what is measured before it is turned over.
        feature: name of the feature, of the part for overall sizes, or of the first of equal features.
        kind: what sort of size it is.
        what: in plain words: ``bolt holes, diameter``.
        nominal_mm: as planned.
        lower_mm, upper_mm: least and largest that pass.
        source: where the limits come from, in words.
        instrument: to measure it with.
        place: where, in the plan's coordinates, as seen from the top; mm.
        face: the face that it is measured from.
        features: names of all features that it stands for; more than one where they are alike.
    """

    number: int
    part: str
    feature: str
    kind: Kind
    what: str
    nominal_mm: float
    lower_mm: float
    upper_mm: float
    source: str
    instrument: str
    place: Point
    face: Face
    features: tuple[str, ...]

    @property
    def count(self) -> int:
        """Return how many places it stands for; all of them must pass."""
        return len(self.features)

    @property
    def is_outside(self) -> bool:
        """Return True for a size over the outside of something, which shrinks where a cutter cuts too wide."""
        return self.feature == self.part or self.feature.endswith(ISLAND)

    @property
    def is_even(self) -> bool:
        """Return True if the limits lie evenly about nominal."""
        return abs((self.upper_mm - self.nominal_mm) - (self.nominal_mm - self.lower_mm)) < EVEN_MM


EVEN_MM = 1e-9
"""Limits that differ by less lie evenly."""


@frozen_record
class Datum:
    """The place that positions are measured from, along the plan's x and y.

    Attributes:
        at: in the plan's coordinates, mm.
        feature: the hole that it is the centre of; empty for a corner.
        what: in plain words.
        along: how the part is set straight, in plain words.
        held: the feature that the part is set straight by, and its position that is right by that alone: it says
            nothing, so it is no characteristic. None where no position is.
    """

    at: Point
    feature: str
    what: str
    along: str
    held: tuple[str, Kind] | None = None
