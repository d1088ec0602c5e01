"""How far off its place the cover can be put on: the largest shift and turn that clearance and bolts allow."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from math import inf, pi
from typing import Final, NamedTuple

import numpy as np

from generator.fit.case import Errors, FitCase
from generator.fit.chance import draw
from generator.fit.contacts import contacts_of
from generator.fit.draws import Floats
from generator.fit.placement import Pins, Walls, least_widening
from generator.outline.contour import Point
from generator.outline.region import Region

__all__ = ["Play", "play_of"]

DIRECTIONS: Final = 16
"""Directions in which a place of the edge is pushed; what lies between is missed by less than 2 %."""
EDGES: Final = 8
OUT_OF_THE_WAY_MM: Final = 1e5
FREE_RAD: Final = 0.1
"""What can be turned further than this is not held against turning at all: small turns are what all this is about."""


class Play(NamedTuple):
    """How far the cover can be off: at its edge (mm, and where), shifted (mm), turned either way (radians).

    Where nothing stops the turn it is infinite, and the edge goes no further than the shift.
    """

    edge_mm: float
    at: Point
    shift_mm: float
    turn_rad: float


@lru_cache(maxsize=8)
def play_of(case: FitCase, outer: Region) -> Play:
    """Return the play of a cover with nominal sizes."""
    rooms = draw(replace(case, errors=Errors()), range(1))
    places = _edge_places(outer)
    angles = np.arange(DIRECTIONS) * (2.0 * pi / DIRECTIONS)
    ways = np.column_stack((np.cos(angles), np.sin(angles)))
    rel = (places - np.array(rooms.middle)) / rooms.scale_mm
    levers = ways[:, 1][None, :] * rel[:, 0][:, None] - ways[:, 0][None, :] * rel[:, 1][:, None]
    pushed = np.concatenate(
        (
            np.column_stack((np.tile(ways, (len(places), 1)), levers.reshape(-1))),
            np.column_stack((ways, np.zeros(DIRECTIONS))),
            np.array([[0.0, 0.0, 1.0], [0.0, 0.0, -1.0]]),
        )
    )
    reached = _reached(rooms.walls, rooms.pins, pushed)
    count = len(places) * DIRECTIONS
    shift, turn = float(reached[count : count + DIRECTIONS].max()), float(reached[-2:].max()) / rooms.scale_mm
    if turn > FREE_RAD:
        return Play(shift, Point(float(places[0, 0]), float(places[0, 1])), shift, inf)
    edge = reached[:count].reshape(len(places), DIRECTIONS).max(axis=1)
    far = int(np.round(edge, 6).argmax())
    return Play(
        float(edge[far]),
        Point(float(places[far, 0]), float(places[far, 1])),
        shift,
        turn,
    )


def _reached(walls: Walls, pins: Pins, pushed: Floats) -> Floats:
    """Return how far each push goes: the most that a row of ``pushed`` can be over all placements that fit, mm.

    A contact that asks ``t >= -push`` turns the search for the least t into one for the largest push. Every sample has
    one push of its own; the others' contacts are out of its way.
    """
    count = len(pushed)
    own = np.where(np.eye(count, dtype=np.bool_), 0.0, OUT_OF_THE_WAY_MM)
    pushing = Walls(
        np.vstack((walls.rows, -pushed)),
        np.concatenate((np.zeros(len(walls.weights)), np.ones(count))),
        np.hstack((np.repeat(walls.room, count, axis=0), own)),
    )
    repeated = [np.repeat(a, count, axis=0) for a in (pins.off_x, pins.off_y, pins.room)]
    return -least_widening(pushing, Pins(pins.levers, pins.weights, *repeated))


def _edge_places(outer: Region) -> Floats:
    """Return the places of the outline that are foremost in one of eight directions."""
    places = contacts_of(outer).places
    angles = np.arange(EDGES) * (2.0 * pi / EDGES)
    foremost = (places @ np.stack((np.cos(angles), np.sin(angles)))).round(6).argmax(axis=0)
    chosen: Floats = places[sorted({int(k) for k in foremost})]
    return chosen
