"""Round holes and seats of two versions, matched by place first and by name second."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from math import hypot
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.build.compare.version import Data
from generator.outline.contour import Point

__all__ = ["ADDED", "MOVED", "REMOVED", "RENAMED", "RESIZED", "SAME_MM", "HoleChange", "hole_changes"]

ADDED, REMOVED, MOVED, RESIZED, RENAMED = "added", "removed", "moved", "resized", "renamed"
SAME_MM: Final = 1e-3
"""What lies closer is the same: the accuracy of the model."""


@frozen_record
class _Hole:
    """A round feature: part and name, place and diameter (mm)."""

    part: str
    name: str
    at: Point
    diameter_mm: float


@frozen_record
class HoleChange:
    """What became of one hole or seat.

    Attributes:
        part: that it is in.
        kind: ``added``, ``removed``, ``moved``, ``resized`` or ``renamed``: another name at the same place.
        name: in the new version; in the old one if it is gone.
        old_name: in the old version, empty if it is added.
        old_at, new_at: places, mm; None where there is none.
        old_mm, new_mm: diameters; None where there is none.
    """

    part: str
    kind: str
    name: str
    old_name: str = ""
    old_at: Point | None = None
    new_at: Point | None = None
    old_mm: float | None = None
    new_mm: float | None = None

    @property
    def moved_mm(self) -> float:
        """Return how far it has moved; 0 if it is added or removed."""
        if self.old_at is None or self.new_at is None:
            return 0.0
        return hypot(self.new_at.x - self.old_at.x, self.new_at.y - self.old_at.y)


def hole_changes(old: Data, new: Data) -> tuple[HoleChange, ...]:
    """Return every hole that differs between two reports, the moved ones first.

    A hole at the same place is the same hole whatever its name: one more bolt in front of the list renumbers those
    behind it, and moves none.
    """
    was, now = list(_holes(old)), list(_holes(new))
    pairs = [*_pairs(was, now, _same_spot), *_pairs(was, now, _same_name)]
    found = [c for a, b in pairs if (c := _change(a, b))]
    found += [HoleChange(h.part, ADDED, h.name, new_at=h.at, new_mm=h.diameter_mm) for h in now]
    found += [HoleChange(h.part, REMOVED, h.name, h.name, old_at=h.at, old_mm=h.diameter_mm) for h in was]
    order = (MOVED, RESIZED, ADDED, REMOVED, RENAMED)
    return tuple(sorted(found, key=lambda c: order.index(c.kind)))


def _change(old: _Hole, new: _Hole) -> HoleChange | None:
    kind = ""
    if old.name != new.name:
        kind = RENAMED
    if abs(old.diameter_mm - new.diameter_mm) > SAME_MM:
        kind = RESIZED
    if _apart(old, new) > SAME_MM:
        kind = MOVED
    values = (new.name, old.name, old.at, new.at, old.diameter_mm, new.diameter_mm)
    return HoleChange(new.part, kind, *values) if kind else None


def _pairs(was: list[_Hole], now: list[_Hole], alike: Callable[[_Hole, _Hole], bool]) -> Iterator[tuple[_Hole, _Hole]]:
    """Yield holes of both that are alike, and take them out of the lists."""
    for new in list(now):
        old = next((h for h in was if alike(h, new)), None)
        if old is not None:
            was.remove(old)
            now.remove(new)
            yield old, new


def _same_spot(a: _Hole, b: _Hole) -> bool:
    """Return True for holes of one sort at one place; a hole lies in the middle of its seat, and is none."""
    return a.part == b.part and _sort(a) == _sort(b) and _apart(a, b) <= SAME_MM


def _same_name(a: _Hole, b: _Hole) -> bool:
    return (a.part, a.name) == (b.part, b.name)


def _sort(hole: _Hole) -> str:
    return hole.name.split("-")[0]


def _apart(a: _Hole, b: _Hole) -> float:
    return hypot(a.at.x - b.at.x, a.at.y - b.at.y)


def _holes(report: Data) -> Iterator[_Hole]:
    """Yield round features of all parts, and the dowel holes of the blank."""
    bolts = {b["name"]: b["at_mm"] for b in report["bolts"]}
    for part in report["parts"]:
        for feature in part["features"]:
            at = _place(feature, bolts)
            if feature["diameter_mm"] and at and feature["layer"] != "dowel-holes":
                yield _Hole(part["name"], feature["name"], Point(*at), feature["diameter_mm"])
    blank = report["blank"]
    for number, at in enumerate(blank["dowels_at_mm"], start=1):
        yield _Hole("blank", f"dowel-hole-{number}", Point(*at), blank["dowel_mm"])


def _place(feature: Data, bolts: Mapping[str, list[float]]) -> list[float] | None:
    """Return the middle of a feature; a pack of an earlier program tells only those of bolts."""
    at: list[float] | None = feature.get("at_mm")
    return at or bolts.get(feature["name"].partition("-")[2])
