"""The chance that the cover goes over: covers and originals made by lot, each put on as well as it goes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from math import ceil, hypot, inf, sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.fit.case import FitCase
from generator.fit.contacts import Contacts, contacts_of
from generator.fit.draws import Floats, normals, product, uniforms
from generator.fit.field import field_weights
from generator.fit.placement import Pins, Walls, least_widening
from generator.outline.measure import bounds

__all__ = ["DEVIATIONS_95", "Chance", "Rooms", "bolt_room_for", "chance_of", "clearance_for", "draw", "head_offset_for"]

DEVIATIONS_95: Final = 1.96
"""A value that 95 % keep within, in standard deviations of a normal distribution."""
SIZE_SHARE: Final = 0.5
"""Share of the footprint's variance that is one size error all round (our own choice: a line taken too far out on one
side is mostly taken too far out on the other); the rest is form."""
TOGETHER: Final = 0.25
"""Places nearer than this share of the footprint's diagonal err together (our own choice)."""
FITS_WITHIN_MM: Final = 1e-6
"""A contact that is in the way by less does not count: the model itself is no finer."""
EVEN: Final = 1e-9
"""A share of the samples that is a whole number but for the noise of arithmetic is one."""
REMEMBERED: Final = 8
AT_ONCE: Final = 10_000
_SIZE, _OUTLINE, _POCKET, _FLIP, _HOLE, _BOLT, _FIELD = 0, 1, 10, 20, 1000, 200_000, 900_000
"""First streams of numbers of each source."""


@frozen_record
class Rooms:
    """Contacts and pins with the rooms of every sample; turns about ``middle``, in units of ``scale_mm``."""

    walls: Walls
    pins: Pins
    middle: tuple[float, float]
    scale_mm: float


@frozen_record
class Chance:
    """What became of the samples.

    Attributes:
        samples: how many were made.
        fit: how many fit with all bolts in.
        bolts_fit: how many let all bolts in, the pocket's wall not asked.
    """

    samples: int
    fit: int
    bolts_fit: int

    @property
    def share(self) -> float:
        """Return the share that fit."""
        return self.fit / self.samples

    @property
    def bolts_share(self) -> float:
        """Return the share that let all bolts in."""
        return self.bolts_fit / self.samples

    @property
    def standard_error(self) -> float:
        """Return the standard error of the share; where none or all fit, a third of the 95 % bound 3 / samples."""
        p = self.share
        return sqrt(p * (1.0 - p) / self.samples) if 0 < self.fit < self.samples else 1.0 / self.samples


@lru_cache(maxsize=REMEMBERED)
def chance_of(case: FitCase, samples: int) -> Chance:
    """Return how many of so many samples fit. The same case gives the same answer on every machine."""
    lost = stuck = 0
    for rooms in _drawn(case, samples):
        widening = least_widening(*_only(rooms, ~_fits_in_the_middle(rooms)))
        lost += int(np.count_nonzero(widening > FITS_WITHIN_MM))
        stuck += int(np.count_nonzero(np.isinf(widening)))
    return Chance(samples, samples - lost, samples - stuck)


@lru_cache(maxsize=REMEMBERED)
def clearance_for(case: FitCase, samples: int, share: float) -> float:
    """Return the clearance all round, mm, with which the given share of the samples fit; infinite where none does."""
    found = _quantile(np.concatenate([_lacking(rooms) for rooms in _drawn(case, samples)]), share)
    if found <= FITS_WITHIN_MM:
        spare = [least_widening(rooms.walls, rooms.pins) for rooms in _drawn(case, samples)]
        found = _quantile(np.concatenate(spare), share)
    return max(case.clearance_mm + found, 0.0)


def bolt_room_for(case: FitCase, samples: int, share: float) -> float:
    """Return by how much more room, mm, every bolt needs for the given share of samples to go in; negative: to spare.

    The pocket's wall is not asked. Minus infinite without bolts.
    """
    if not case.pins:
        return -inf
    widening = []
    for rooms in _drawn(case, samples):
        none = Walls(np.zeros((0, 3)), np.zeros(0), np.zeros((len(rooms.pins.room), 0)))
        alone = replace(rooms.pins, weights=np.ones(len(case.pins)))
        widening.append(least_widening(none, alone))
    return _quantile(np.concatenate(widening), share)


def head_offset_for(case: FitCase, samples: int, share: float, enough_mm: float) -> float:
    """Return how far off their countersinks heads are, the worst of each cover, in the given share of samples, mm.

    The cover is shifted and turned until the worst head is least off; wall and other bolts are not asked. Where a plain
    shift to the middle of all offsets already leaves no more than ``enough_mm``, what that leaves is returned.
    """
    heads = [k for k, p in enumerate(case.pins) if p.countersunk]
    if len(heads) < 2:
        return 0.0
    box = bounds(case.footprint)
    middle, scale = (box.centre.x, box.centre.y), box.diagonal_mm / 2.0
    pins = [_pins(case, middle, scale, portion) for portion in _portions(samples)]
    shifted = _quantile(np.concatenate([_about_the_middle(p.off_x[:, heads], p.off_y[:, heads]) for p in pins]), share)
    if shifted <= enough_mm:
        return shifted
    best = []
    for p in pins:
        none = Walls(np.zeros((0, 3)), np.zeros(0), np.zeros((len(p.room), 0)))
        x, y = p.off_x[:, heads], p.off_y[:, heads]
        best.append(least_widening(none, Pins(p.levers[heads], np.ones(len(heads)), x, y, np.zeros_like(x))))
    return _quantile(np.concatenate(best), share)


def _about_the_middle(x: Floats, y: Floats) -> Floats:
    """Return the largest distance of each row's points from their mean."""
    far: Floats = np.hypot(x - x.mean(axis=1, keepdims=True), y - y.mean(axis=1, keepdims=True)).max(axis=1)
    return far


def _portions(samples: int) -> Iterator[range]:
    """Yield the numbers of all samples, some thousands at a time, so that many of them do not fill the memory."""
    for first in range(0, samples, AT_ONCE):
        yield range(first, min(first + AT_ONCE, samples))


def _drawn(case: FitCase, samples: int) -> Iterator[Rooms]:
    """Yield the rooms of all samples, a portion at a time."""
    for portion in _portions(samples):
        yield draw(case, portion)


def _lacking(rooms: Rooms) -> Floats:
    """Return the clearance that each sample lacks, mm; minus infinite where it certainly lacks none."""
    doubtful = ~_fits_in_the_middle(rooms)
    widening = np.full(len(doubtful), -inf)
    widening[doubtful] = least_widening(*_only(rooms, doubtful))
    return widening


def _quantile(values: Floats, share: float) -> float:
    """Return the least of the values that at least the given share does not exceed."""
    count = len(values)
    return float(np.sort(values)[min(count, max(1, ceil(share * count - EVEN))) - 1])


def _fits_in_the_middle(rooms: Rooms) -> NDArray[np.bool_]:
    """Return which samples fit where they are meant to be, without any shift or turn: then no search is needed."""
    walls, pins = rooms.walls.room.min(axis=1, initial=0.0), rooms.pins
    off = (np.hypot(pins.off_x, pins.off_y) - pins.room).max(axis=1, initial=-inf)
    inside: NDArray[np.bool_] = np.logical_and(off <= 0.0, walls >= 0.0)
    return inside


def _only(rooms: Rooms, keep: NDArray[np.bool_]) -> tuple[Walls, Pins]:
    """Return the contacts and pins of the samples that are kept."""
    w, p = rooms.walls, rooms.pins
    return replace(w, room=w.room[keep]), replace(p, off_x=p.off_x[keep], off_y=p.off_y[keep], room=p.room[keep])


def draw(case: FitCase, samples: range) -> Rooms:
    """Return contacts and pins with the rooms that every sample leaves them."""
    box = bounds(case.footprint)
    middle, scale = (box.centre.x, box.centre.y), box.diagonal_mm / 2.0
    contacts = contacts_of(case.footprint)
    rows = np.column_stack((contacts.normals, contacts.levers(middle, scale)))
    walls = Walls(rows, contacts.shares, _wall_room(case, contacts, box.diagonal_mm, samples))
    return Rooms(walls, _pins(case, middle, scale, samples), middle, scale)


def _wall_room(case: FitCase, contacts: Contacts, diagonal_mm: float, samples: range) -> Floats:
    """Return the room of every contact, (N, K) mm: clearance, less what the pocket is narrow and the outline large."""
    e, rows = case.errors, [case.clearance_mm * contacts.shares]
    numbers = [np.ones((1, len(samples)))]
    if e.size:
        numbers.append(uniforms(_SIZE, 1, samples))
        rows.append(np.full(len(contacts.shares), e.size / 2.0))
    if e.footprint:
        deviation = e.footprint / DEVIATIONS_95
        form = field_weights(contacts.places, TOGETHER * diagonal_mm)
        numbers += [normals(_OUTLINE, 1, samples), normals(_FIELD, len(form), samples)]
        rows += [
            np.full(len(contacts.shares), deviation * sqrt(SIZE_SHARE)),
            *(deviation * sqrt(1.0 - SIZE_SHARE) * form),
        ]
    return product(np.concatenate(numbers).T, np.array(rows))


def _pins(case: FitCase, middle: tuple[float, float], scale: float, samples: range) -> Pins:
    """Return the bolts with their offsets from the holes and their rooms."""
    count, e = len(case.pins), case.errors
    at = np.array([p.at for p in case.pins], dtype=np.float64).reshape(-1, 2) - np.array(middle)
    levers = np.column_stack((-at[:, 1], at[:, 0])) / scale
    if not count:
        nothing = np.zeros((len(samples), 0))
        return Pins(levers, np.zeros(0), nothing, nothing, nothing)
    off = np.empty((2, len(samples), count))
    for axis in (0, 1):
        off[axis] = e.bolts / DEVIATIONS_95 * normals(_BOLT + 400 * axis, count, samples).T
        off[axis] += e.position * uniforms(_HOLE + 400 * axis, count, samples).T
        off[axis] += e.position * uniforms(_POCKET + axis, 1, samples).T
    off += _flipped(case, samples)
    room = np.array([p.room_mm for p in case.pins]) + e.size / 2.0 * uniforms(_HOLE + 800, count, samples).T
    return Pins(levers, np.zeros(count), off[0], off[1], room)


def _flipped(case: FitCase, samples: range) -> Floats:
    """Return how far turning the blank over moves every hole against the pocket, (2, N, J) mm: shift and turn."""
    one, two = case.flip_ends
    span = hypot(two.x - one.x, two.y - one.y)
    over = np.array([1.0 if p.turned_over else 0.0 for p in case.pins])
    along = ((two.x - one.x) / span, (two.y - one.y) / span) if span else (0.0, 1.0)
    u = case.errors.flip * uniforms(_FLIP, 3, samples)  # across the axis at either end, along it once
    shift = np.stack((-along[1] * u[0] + along[0] * u[2], along[0] * u[0] + along[1] * u[2]))
    turn = (u[1] - u[0]) / span if span else np.zeros(len(samples))
    places = np.array([p.at for p in case.pins], dtype=np.float64).reshape(-1, 2) - np.array(one)
    moved = np.stack((-places[:, 1], places[:, 0]))[:, None, :] * turn[None, :, None]
    out: Floats = (shift[:, :, None] + moved) * over
    return out
