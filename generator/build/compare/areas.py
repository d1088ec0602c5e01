"""Areas of two versions, layer by layer: what came, what went, and what stayed, as exact regions."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.build.compare.version import Cut, Version
from generator.outline.combine import difference, intersection
from generator.outline.measure import area, length, signed_area
from generator.outline.region import EMPTY, Region

__all__ = ["AreaChange", "area_changes", "beyond"]

SAME_MM: Final = 1e-3
"""A strip narrower than this along the whole outline is no change: the accuracy of the model."""


@frozen_record
class AreaChange:
    """What changed in one layer.

    Attributes:
        part, layer: which.
        old, new: the layer then and now; None where there is none.
        added, removed, kept: regions as seen from the top, mm.
    """

    part: str
    layer: str
    old: Cut | None
    new: Cut | None
    added: Region
    removed: Region
    kept: Region

    @property
    def added_mm2(self) -> float:
        """Return the area that came."""
        return area(self.added)

    @property
    def removed_mm2(self) -> float:
        """Return the area that went."""
        return area(self.removed)

    @property
    def depths_differ(self) -> bool:
        """Return True if the layer is cut between other depths, or from the other face."""
        a, b = self.old, self.new
        return (
            a is not None
            and b is not None
            and (max(abs(a.from_mm - b.from_mm), abs(a.to_mm - b.to_mm)) > SAME_MM or a.face != b.face)
        )


def area_changes(old: Version, new: Version) -> tuple[AreaChange, ...]:
    """Return every layer whose area or depths differ, in the order of the new version, then those that are gone.

    Raises: GeometryError: a difference cannot be made within tolerance.
    """
    keys = [*new.cuts, *(k for k in old.cuts if k not in new.cuts)]
    return tuple(c for key in keys for c in _change(key, old.cuts.get(key), new.cuts.get(key)))


def _change(key: tuple[str, str], old: Cut | None, new: Cut | None) -> Iterator[AreaChange]:
    part, layer = key
    was, now = (old.region if old else EMPTY), (new.region if new else EMPTY)
    if was == now:
        found = AreaChange(part, layer, old, new, EMPTY, EMPTY, now)
    else:
        added, removed = beyond(now, was), beyond(was, now)
        kept = intersection(was, now) if was and now else EMPTY
        found = AreaChange(part, layer, old, new, added, removed, kept)
    if found.added or found.removed or found.depths_differ:
        yield found


def beyond(a: Region, b: Region) -> Region:
    """Return what is in ``a`` and not in ``b``; nothing where only rounding tells them apart."""
    left = difference(a, b) if a and b else a
    left = Region(tuple(c for c in left if abs(signed_area(c)) > _sliver(length(c))))
    return left if area(left) > _sliver(length(left)) else EMPTY


def _sliver(round_mm: float) -> float:
    """Return the area of a strip with such a boundary that is too narrow to count, mm²."""
    return SAME_MM * round_mm / 2.0
