"""A number as one file states it, and where in the files to look for it."""

from __future__ import annotations

from collections.abc import Iterator
from math import isnan, nan
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.estimate.characteristic import BLANK, Characteristic, Kind
from generator.outline.contour import Point
from generator.outline.region import Region
from generator.part.part import Face, Feature, Part, Plan
from generator.part.relation import box_of

__all__ = ["Look", "Statement", "looks"]

DOWELS: Final = "dowel-holes"


@frozen_record
class Statement:
    """What one file states.

    Attributes:
        number: of the characteristic; 0 where a file tells no numbers.
        file: path of the file.
        value_mm: as stated, mm.
        within_mm: how far the true value may be off, because a figure is rounded or a model has an accuracy.
        said: the figure as it stands in the file, for messages.
        lower_mm, upper_mm: deviations that are allowed, mm; not a number where the file tells none.
        limit_within_mm: how far these may be off through rounding.
        is_reference: the figure follows from others, and no limits are told with it.
    """

    number: int
    file: str
    value_mm: float
    within_mm: float
    said: str
    lower_mm: float = nan
    upper_mm: float = nan
    limit_within_mm: float = 0.0
    is_reference: bool = False

    @property
    def has_limits(self) -> bool:
        """Return True if the file tells limits."""
        return not isnan(self.lower_mm) and not isnan(self.upper_mm)


@frozen_record
class Look:
    """Where to look for a number: everything about a characteristic but its size.

    Attributes:
        number, part, kind, face: of the characteristic.
        feature: name of the feature; of the part for what is measured over all.
        layer: that the feature is cut in; empty for what is measured over all.
        what: in plain words.
        places: the middle of every feature that it stands for, or where it is measured; seen from the top, mm.
        through: layers that go right through the part; for its thickness.
        expected_mm: as the inspection sheet states it, to know a hole from its seat; not a number where it does not.
    """

    number: int
    part: str
    kind: Kind
    face: Face
    feature: str
    layer: str
    what: str
    places: tuple[Point, ...]
    through: frozenset[str] = frozenset()
    expected_mm: float = nan

    def misses(self, value_mm: float) -> float:
        """Return how far a size is off the expected one, mm; 0 where nothing is expected."""
        return 0.0 if isnan(self.expected_mm) else abs(value_mm - self.expected_mm)

    @property
    def is_overall(self) -> bool:
        """Return True for a size of the whole part."""
        return self.feature == self.part


def looks(plan: Plan, listed: tuple[Characteristic, ...]) -> tuple[Look, ...]:
    """Return where to look for the numbers of cover, inserts and blank; the blank is on no drawing."""
    return tuple(_looks(plan, listed))


def _looks(plan: Plan, listed: tuple[Characteristic, ...]) -> Iterator[Look]:
    features = {part.name: {f.name: f for f in part.features} for part in plan.parts}
    through = {part.name: _through(part) for part in plan.parts}
    for c in listed:
        if c.part == BLANK:
            yield Look(c.number, c.part, c.kind, c.face, c.feature, DOWELS, c.what, _dowels(plan, c))
            continue
        own = features[c.part]
        layer = c.feature if c.kind is Kind.CHAMFER else own[c.feature].layer if c.feature in own else ""
        right_through = through[c.part] if c.kind is Kind.THICKNESS else frozenset()
        yield Look(c.number, c.part, c.kind, c.face, c.feature, layer, c.what, _places(c, own), right_through)


def _through(part: Part) -> frozenset[str]:
    """Return the layers whose every feature goes right through a part."""
    blind = {f.layer for f in part.features if f.z_from_mm > 0.0 or f.z_to_mm < part.thickness_mm}
    return frozenset(f.layer for f in part.features) - blind


def _dowels(plan: Plan, c: Characteristic) -> tuple[Point, ...]:
    """Return the middles of the blank's dowel holes; of a distance its own one, and the first, which it counts from."""
    middles = tuple(box_of(Region((hole,))).centre for hole in plan.blank.dowel_holes)
    return (c.place, *middles[:1]) if c.kind is Kind.DISTANCE else middles


def _places(c: Characteristic, own: dict[str, Feature]) -> tuple[Point, ...]:
    """Return the middles of round features, which are where they are measured; else the one place of measuring."""
    if c.kind in (Kind.DIAMETER, Kind.CONE) and all(n in own for n in c.features):
        return tuple(box_of(own[n].region).centre for n in c.features)
    return (c.place,)
