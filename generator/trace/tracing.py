"""From pictures and readings to a traced part: the whole way for scans."""

from __future__ import annotations

from collections.abc import Sequence
from math import sin
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.trace.bias import Bias, bias_of, widened
from generator.trace.disputes import Dispute, settled
from generator.trace.edge_model import Look
from generator.trace.edge_points import Ground, steepest
from generator.trace.naming import Frame, Framing, measured_by
from generator.trace.notes import Notes
from generator.trace.picture import Picture
from generator.trace.readings import Caliper
from generator.trace.relating import Solved
from generator.trace.runs import Row
from generator.trace.scaling import SQUARE, scale_beside, scale_of
from generator.trace.solving import solve
from generator.trace.streaks import without_streaks
from generator.trace.surround import LEAST_LOOP_MM, Coarse, find_parts, shoelace
from generator.trace.unknowns import Known
from generator.trace.windows import Pooled, Stretches, shared_look, stretches
from generator.trace.wishes import NO_WISHES, Wishes

Floats = NDArray[np.float64]

FEWEST_POINTS: Final = 8
TURNED: Final = 0.5
"""Sine of the least turn between scans that tells the scanner's axes apart (30°, chosen)."""
MOST_TOLD: Final = 3
"""So many further parts of a picture are told by their places."""
NO_READINGS: Final = Caliper()


@frozen_record(eq=False)
class Seen:
    """One picture with the part found in it.

    Attributes:
        picture: what was loaded.
        part: where the part lies, to the pixel.
        loops: places of its edges, the outline first.
        look: what its edges share.
        mm_per_px: nominal size of a pixel along u and v.
    """

    picture: Picture
    part: Coarse
    loops: tuple[Stretches, ...]
    look: Look
    mm_per_px: tuple[float, float]

    @property
    def frame(self) -> Framing:
        """Return how its pixels become mm."""
        return Frame(self.mm_per_px)

    def rows(self) -> list[Row]:
        """Return the edges' places in mm by the nominal scale, y up."""
        k = np.array([self.mm_per_px[0], -self.mm_per_px[1]])
        size = float(np.mean(self.mm_per_px))
        rows = []
        for i, s in enumerate(self.loops):
            normals, across = s.normals * np.array([1.0, -1.0]), np.full(len(s.points), size)
            if abs(self.mm_per_px[0] / self.mm_per_px[1] - 1.0) > SQUARE:  # normals go by the inverse
                normals = s.normals / k
                across = 1.0 / np.hypot(*normals.T)
                normals = normals * across[:, None]
            rows.append(Row(s.points * k, normals, s.sigma_px * across, i))
        return rows


@frozen_record(eq=False)
class Traced:
    """A traced part.

    Attributes:
        seen: every picture, in order.
        solved: its primitives and their relations.
        caliper: the readings.
        remarks: sentences for the person.
        warnings: those of them that ask to be acted upon.
        disputes: readings that contradict each other.
    """

    seen: tuple[Seen, ...]
    solved: Solved
    caliper: Caliper
    remarks: tuple[str, ...]
    warnings: tuple[str, ...] = ()
    disputes: tuple[Dispute, ...] = ()


def trace_scans(
    pictures: Sequence[Picture],
    caliper: Caliper,
    *,
    dpi: float | None = None,
    part: int | None = None,
    wishes: Wishes = NO_WISHES,
) -> Traced:
    """Return the part that one scan or several show.

    Args:
        pictures: the scans; of several the part is turned between them, the scanner left as it is.
        caliper: the readings; pixels are meant in the first picture.
        dpi: resolution of the scans, or None to take it from the files or the readings.
        part: which part of a picture is meant, 1 for the largest; None for that, and further ones are told.
        wishes: relations that are demanded or forbidden.

    Raises: GeometryError: there is no such part, it is not wholly in the picture, it cannot be told from what it lies
        on, or its scale cannot be known.
    """
    notes = Notes()
    _demand_different(pictures)
    seen: list[Seen] = []
    first: Coarse | None = None
    for picture in pictures:
        for r in picture.remarks:
            notes.remark(picture.name, r)
        number, coarse = _found(picture, part, notes, caliper if first is None else NO_READINGS)
        if first is None:
            first, scale = coarse, scale_of(picture, coarse, caliper, dpi, notes)
        else:
            scale = scale_beside(picture, coarse, seen[0].picture, first, seen[0].mm_per_px, notes)
        coarse = _apart(picture, coarse, number, scale, notes)
        seen.append(see(picture, coarse, scale))
    known = beforehand(max(seen, key=lambda s: sum(s.mm_per_px)))
    readings = measured_by(caliper, seen[0].frame)
    solved = solve([s.rows() for s in seen], readings, known, wishes)
    turns = [abs(sin(pose[0])) for pose in solved.layout.model.poses_of(solved.found.x)]
    if turns and max(turns) < TURNED:
        notes.warn(
            pictures[1].name,
            f"the part lies in it as in {pictures[0].name}, or the other way round: such scans do not tell the "
            "scanner's axes apart; turn the part by a quarter between them",
        )
    wide = widened(solved.layout, solved.found, [bias_in(s) for s in seen])
    solved, disputes = settled(solved, known, readings, wide)
    return Traced(tuple(seen), solved, caliper, tuple(notes.remarks), tuple(notes.warnings), disputes)


def _demand_different(pictures: Sequence[Picture]) -> None:
    """Refuse the same picture given twice: it would seem to be twice as certain.

    Raises: GeometryError: names both.
    """
    for i, picture in enumerate(pictures):
        for other in pictures[:i]:
            if picture.light.shape == other.light.shape and np.array_equal(picture.light, other.light):
                raise GeometryError(
                    f"{picture.name} is the same picture as {other.name}, and tells nothing more; leave it away, or "
                    "give a scan of the part turned by a quarter"
                )


def beforehand(seen: Seen) -> Known:
    """Return what is known of a scan before it is measured: edges are found to a share of a pixel."""
    px = float(np.mean(seen.mm_per_px))
    return Known(
        outside_mm=float(np.hypot(0.004, 0.12 * px)), alike_mm=0.003 + 0.02 * px, uneven_mm=0.0005 + 0.035 * px
    )


def bias_in(seen: Seen) -> Bias:
    """Return how far whole edges of a scan may be seen off."""
    px = float(np.mean(seen.mm_per_px))
    hidden = np.zeros(1)
    if seen.look.shadow_px > 0.0:
        normals = np.vstack([s.normals for s in seen.loops])
        unclear = np.concatenate(
            [np.zeros(len(s.points)) if s.unclear_px is None else s.unclear_px for s in seen.loops]
        )
        facing = normals @ np.array([np.cos(seen.look.away_rad), np.sin(seen.look.away_rad)])
        hidden = (unclear / np.maximum(facing, 0.5))[facing > 0.5]
    most = float(np.median(hidden)) if len(hidden) else 0.0
    return bias_of(px, seen.look.shadow_px > 0.0, -seen.look.away_rad, most * px)


def chosen(picture: Picture, part: int | None = None) -> Coarse:
    """Return a part of a picture by its number, the largest without one.

    Raises: GeometryError: there is no such part, or it is not wholly in the picture.
    """
    return _found(picture, part, Notes(), NO_READINGS)[1]


def _found(picture: Picture, part: int | None, notes: Notes, caliper: Caliper) -> tuple[int, Coarse]:
    try:
        parts = find_parts(picture.light)
    except GeometryError as error:
        raise GeometryError(f"{picture.name}: {error}") from None
    number = number_of(picture.name, parts, part, notes, caliper)
    if parts[number - 1].cropped:
        raise GeometryError(
            f"{picture.name}: the part is not wholly in the picture; scan it again with some of the background all "
            "round it"
        )
    return number, parts[number - 1]


def number_of(
    name: str, parts: Sequence[Coarse], part: int | None, notes: Notes, caliper: Caliper, where: str = ""
) -> int:
    """Return the number of the part that is meant: as given, else where readings were taken, else the largest.

    Args:
        name: of the picture.
        parts: what is seen, the largest first.
        part: its number, from 1, or None.
        notes: told of further parts if there is no number.
        caliper: readings whose pixels lie in the part.
        where: words on where parts are sought, with a space before them.

    Raises: GeometryError: there is no such part.
    """
    number = part or _read(parts, caliper) or 1
    if part is None and len(parts) > 1:
        notes.warn(name, _choice_words(parts, number))
    if number > len(parts):
        found = "one part" if len(parts) == 1 else f"{len(parts)} parts"
        raise GeometryError(f"{name}: part {number} was asked for, but {found} can be seen{where}")
    return number


def _read(parts: Sequence[Coarse], caliper: Caliper) -> int | None:
    """Return the number of the part about most of the pixels that readings name, or None."""
    pixels = [p for r in caliper.readings for p in r.holes]
    within = [sum(p.columns[0] <= u < p.columns[1] and p.rows[0] <= v < p.rows[1] for u, v in pixels) for p in parts]
    most = max(within, default=0)
    return within.index(most) + 1 if most else None


def _choice_words(parts: Sequence[Coarse], number: int) -> str:
    """Return which of several parts is traced, and how to choose another."""
    places = [p.outer.mean(axis=0) for p in parts]
    u, v = places[number - 1]
    which = "the largest" if number == 1 else "that in which the readings were taken"
    others = [
        f"--part {i} is the one about pixel ({x:.0f}, {y:.0f})" for i, (x, y) in enumerate(places, 1) if i != number
    ]
    more = f", and so on to --part {len(parts)}" if len(others) > MOST_TOLD else ""
    return (
        f"{len(parts)} parts are seen; {which}, about pixel ({u:.0f}, {v:.0f}), is traced. If another one is meant: "
        f"{', '.join(others[:MOST_TOLD])}{more}"
    )


def _apart(picture: Picture, coarse: Coarse, part: int, mm_per_px: tuple[float, float], notes: Notes) -> Coarse:
    """Return a part of a picture told from surroundings nearly as bright.

    Raises: GeometryError: it cannot be.
    """
    try:
        coarse, remark = without_streaks(picture.light, coarse, part, float(np.mean(mm_per_px)))
    except GeometryError as error:
        raise GeometryError(f"{picture.name}: {error}") from None
    if remark:
        notes.remark(picture.name, remark)
    return coarse


def see(picture: Picture, part: Coarse, mm_per_px: tuple[float, float]) -> Seen:
    """Return the places of a part's edges."""
    px_mm = 1.0 / float(np.mean(mm_per_px))
    ground = Ground(picture.light, part.rows, part.columns)
    pooled = []
    for i, loop in enumerate((part.outer, *part.inner)):
        area = shoelace(loop)
        if i and abs(area) < np.pi / 4.0 * (LEAST_LOOP_MM * px_mm) ** 2:
            continue
        outward = (-1.0 if area > 0.0 else 1.0) * (1.0 if i == 0 else -1.0)
        edge = steepest(ground, loop, outward, part.surround - part.level)
        if len(edge.points) >= 4 * FEWEST_POINTS:
            pooled.append(Pooled(ground, edge, px_mm))
    look = shared_look(pooled)
    return Seen(picture, part, tuple(stretches(p, look) for p in pooled), look, mm_per_px)
