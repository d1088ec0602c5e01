"""Where the original can touch the pocket's wall: its footprint's sides and corners, as places and directions.

The pocket is the footprint grown by the clearance. Moved a little, the original meets its wall where a place of the
footprint goes further along its outward normal than the clearance. A straight side asks most at its ends, an arc in
every direction that it faces, an outside corner in every direction between its sides. Inside corners ask nothing more
than their sides do.
"""

from __future__ import annotations

from functools import lru_cache
from math import atan2, ceil, cos, hypot, pi, sin
from typing import Final

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.fit.draws import Floats
from generator.outline.contour import Contour, Segment
from generator.outline.region import Region

__all__ = ["Contacts", "contacts_of"]

STEP_RAD: Final = pi / 24.0
"""Directions of an arc or corner are this close; between them the safe side is asked (0.2 % of the clearance)."""
SMOOTH_RAD: Final = pi / 180.0
"""A corner that turns by less has the directions of its sides; what lies between is missed by 0.004 %."""
MOST: Final = 240
"""Of more contacts than this only those are kept that are foremost in some movement."""
REMEMBERED: Final = 16
_TURNS: Final = (-1.0, -0.5, -0.25, 0.0, 0.25, 0.5, 1.0)


@frozen_record
class Contacts:
    """Places (K, 2) mm, outward normals (K, 2), and the share of the clearance that counts at each (K,)."""

    places: Floats
    normals: Floats
    shares: Floats

    def levers(self, middle: tuple[float, float], scale_mm: float) -> Floats:
        """Return how far along its normal each place goes in a turn about ``middle``, in units of ``scale_mm``."""
        p = (self.places - np.array(middle)) / scale_mm
        levers: Floats = self.normals[:, 1] * p[:, 0] - self.normals[:, 0] * p[:, 1]
        return levers


@lru_cache(maxsize=REMEMBERED)
def contacts_of(region: Region) -> Contacts:
    """Return the contacts of a footprint whose holes are filled."""
    found = [row for contour in region for row in _contour_contacts(contour)]
    a = np.array(found, dtype=np.float64).reshape(-1, 5)
    contacts = Contacts(a[:, :2], a[:, 2:4], a[:, 4])
    return contacts if len(a) <= MOST else _foremost(contacts)


def _contour_contacts(contour: Contour) -> list[tuple[float, float, float, float, float]]:
    out = []
    segments = [s for s in contour.segments() if s.chord_mm > 0.0]
    for before, segment in zip([segments[-1], *segments[:-1]], segments, strict=True):
        first, last = _facing(segment, at_end=False), _facing(segment, at_end=True)
        turn = _turned(_facing(before, at_end=True), first)
        if turn > SMOOTH_RAD:
            out += _fan((segment.start.x, segment.start.y), 0.0, _facing(before, at_end=True), turn)
        if segment.is_arc:
            centre = (segment.centre.x, segment.centre.y)
            sign = 1.0 if segment.bulge > 0.0 else -1.0
            out += _fan(centre, sign * segment.radius_mm, first, segment.sweep)
        else:
            out += [(p.x, p.y, cos(a), sin(a), 1.0) for p, a in ((segment.start, first), (segment.end, last))]
    return out


def _facing(segment: Segment, *, at_end: bool) -> float:
    """Return the direction of the outward normal at an end of a segment: to the right of travel, radians."""
    along = atan2(segment.end.y - segment.start.y, segment.end.x - segment.start.x)
    return along - pi / 2.0 + (segment.sweep / 2.0 if at_end else -segment.sweep / 2.0)


def _turned(a: float, b: float) -> float:
    """Return the angle from a to b, -pi … pi."""
    return (b - a + pi) % (2.0 * pi) - pi


def _fan(
    centre: tuple[float, float], radius: float, first: float, sweep: float
) -> list[tuple[float, float, float, float, float]]:
    """Return the contacts of an arc, or of a corner (radius 0), for every direction that it faces."""
    steps = max(1, ceil(abs(sweep) / STEP_RAD))
    share = cos(sweep / steps / 2.0)
    out = []
    for k in range(steps + 1):
        a = first + sweep * k / steps
        x, y = cos(a), sin(a)
        out.append((centre[0] + radius * x, centre[1] + radius * y, x, y, share))
    return out


def _foremost(contacts: Contacts) -> Contacts:
    """Return the contacts that are foremost in one of many movements: shifts all round with turns both ways."""
    low, high = contacts.places.min(axis=0), contacts.places.max(axis=0)
    middle = (low + high) / 2.0
    levers = contacts.levers((float(middle[0]), float(middle[1])), hypot(*(high - low)) / 2.0)
    angles = np.arange(32) * (pi / 16.0)
    shifts = np.stack((np.cos(angles), np.sin(angles)))
    along = contacts.normals @ shifts
    keep = {int(k) for turn in _TURNS for k in (along + 4.0 * turn * levers[:, None]).argmax(axis=0)}
    keep |= {int(levers.argmax()), int(levers.argmin())}
    chosen = sorted(keep)
    return Contacts(contacts.places[chosen], contacts.normals[chosen], contacts.shares[chosen])
