"""Marks of holes and pockets: what stands beside them in the views and in the first column of the tables.

Round holes that go through get a letter for each kind and a number for each place: A1, A2, B1; dowel holes have D.
Everything else that is cut out gets P1, P2 and so on, in the order of the part's features.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import count
from math import hypot
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Point
from generator.part.describe import is_through
from generator.part.part import Feature, Part
from generator.part.relation import Disc, box_of, disc_of

__all__ = ["Hole", "HoleKind", "Pocket", "holes_of", "pockets_of"]

LETTERS: Final = "ABCEFGHJKLMNQRSTUVWXYZ"
"""Without I and O, which look like figures, without D, which marks dowel holes, and without P, which marks pockets."""
DOWELS: Final = "D"
SAME_MM: Final = 1e-6
DIGITS: Final = 6


@frozen_record
class Hole:
    """One round through hole: its mark, its feature, middle (plan's coordinates) and radius, mm, and its seat."""

    mark: str
    feature: Feature
    at: Point
    radius_mm: float
    seats: tuple[Feature, ...]

    @property
    def outer_mm(self) -> float:
        """Return the largest radius that is seen round its middle, seats included."""
        return max([self.radius_mm, *(box_of(s.region).width_mm / 2.0 + s.flare_mm for s in self.seats)])


@frozen_record
class HoleKind:
    """Holes that are alike: letter and holes."""

    letter: str
    holes: tuple[Hole, ...]


@frozen_record
class Pocket:
    """Anything else that is cut out: its mark and feature."""

    mark: str
    feature: Feature


def holes_of(part: Part) -> tuple[HoleKind, ...]:
    """Return the round through holes of a part by kind, in the order of its features."""
    kinds: dict[tuple[object, ...], list[tuple[Feature, Disc, tuple[Feature, ...]]]] = {}
    for f in part.features:
        disc = disc_of(f.region) if f.region else None
        if disc is not None and is_through(part, f):
            seats = tuple(s for s in part.features if s.layer.startswith("seats") and _round(s, disc.centre))
            key = (f.layer, round(disc.radius_mm, DIGITS), tuple(_size(s) for s in seats))
            kinds.setdefault(key, []).append((f, disc, seats))
    out = []
    letters = (c * times for times in count(1) for c in LETTERS)
    for (layer, *_), found in kinds.items():
        letter = DOWELS if layer == "dowel-holes" else next(letters)
        holes = (Hole(f"{letter}{n}", f, d.centre, d.radius_mm, s) for n, (f, d, s) in enumerate(found, start=1))
        out.append(HoleKind(letter, tuple(holes)))
    return tuple(out)


def pockets_of(part: Part, kinds: Sequence[HoleKind]) -> tuple[Pocket, ...]:
    """Return everything that is cut out and is no round through hole and no seat of one."""
    taken = {f.name for kind in kinds for h in kind.holes for f in (h.feature, *h.seats)}
    rest = [f for f in part.features if f.region and f.name not in taken]
    return tuple(Pocket(f"P{k}", f) for k, f in enumerate(rest, start=1))


def _round(seat: Feature, at: Point) -> bool:
    """Return True if a seat stands round a place."""
    disc = disc_of(seat.region)
    return disc is not None and hypot(disc.centre.x - at.x, disc.centre.y - at.y) <= SAME_MM


def _size(seat: Feature) -> tuple[float, ...]:
    return tuple(round(v, DIGITS) for v in (box_of(seat.region).width_mm, seat.flare_mm, seat.z_from_mm, seat.z_to_mm))
