"""Is a contour sound? If not: what is wrong, at which segment, where."""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum
from math import atan2, copysign, isfinite, pi
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.base.units import MODEL, Tolerance
from generator.outline.contour import Contour, Point, Segment, next_rows
from generator.outline.intersect import Apart, Contact, Overlap, meet_segments, point_at
from generator.outline.spans import Ints, Spans, near_pairs, spans_of

Bools = NDArray[np.bool_]

__all__ = ["Fault", "Problem", "explain_contour", "touching_points"]


_ALIKE_RAD = 1e-3
"""Branches further apart than this cannot run along each other."""


class Fault(Enum):
    """What can be wrong with a contour."""

    TOO_FEW = "too few vertices"
    NOT_FINITE = "not a finite number"
    BULGE = "more than a half circle"
    NO_LENGTH = "a segment without length"
    DOUBLES_BACK = "runs back along itself"
    CROSSES = "crosses itself"
    TOUCHES = "touches itself"


class Problem(NamedTuple):
    """One fault: a plain sentence, the number of the segment to blame, and where (mm; None if nowhere)."""

    message: str
    segment: int
    point: Point | None
    fault: Fault


def explain_contour(contour: Contour, *, touching_allowed: bool = True, tol: Tolerance = MODEL) -> Problem | None:
    """Return what is wrong with a contour, or None when it is sound.

    Two vertices, or a vertex and a segment, may touch unless ``touching_allowed`` is off; then that is
    reported as ``Fault.TOUCHES``. Points within ``tol.same_mm`` are one point.
    """
    return contour.problem if touching_allowed and tol == MODEL else first_problem(contour, touching_allowed, tol)


def first_problem(contour: Contour, touching_allowed: bool = True, tol: Tolerance = MODEL) -> Problem | None:
    """Return the same, judged anew; the contour keeps what is said of it to the model's tolerance."""
    problem = _degenerate(contour, tol)
    if problem is not None:
        return problem
    touch = None
    for problem in _self_contacts(contour, tol):
        if problem.fault is not Fault.TOUCHES:
            return problem
        touch = touch or problem
    return None if touching_allowed else touch


def touching_points(contour: Contour, *, tol: Tolerance = MODEL) -> list[Problem]:
    """Return every place where a sound contour touches itself without crossing."""
    if _degenerate(contour, tol) is not None:
        return []
    found: dict[tuple[float, float], Problem] = {}
    for problem in _self_contacts(contour, tol):
        if problem.fault is Fault.TOUCHES and problem.point is not None:
            found.setdefault(problem.point, problem)
    return list(found.values())


def _degenerate(contour: Contour, tol: Tolerance) -> Problem | None:
    if len(contour) < 2:
        return Problem(f"a contour needs at least 2 vertices, not {len(contour)}", -1, None, Fault.TOO_FEW)
    if _is_plainly_sound(contour, tol):
        return None
    for i, segment in enumerate(contour.segments()):
        if not all(isfinite(v) for v in (*segment.start, segment.bulge)):
            return Problem(f"vertex {i} is not a finite number", i, None, Fault.NOT_FINITE)
        if abs(segment.bulge) > 1.0:
            message = f"segment {i} sweeps more than a half circle (bulge {segment.bulge:g})"
            return Problem(message, i, segment.start, Fault.BULGE)
    for i, segment in enumerate(contour.segments()):
        if segment.chord_mm <= tol.same_mm:
            return Problem(f"segment {i} has no length", i, segment.start, Fault.NO_LENGTH)
    return None


def _is_plainly_sound(contour: Contour, tol: Tolerance) -> bool:
    """Return True if all numbers are finite, no bulge is above 1, and every segment is longer than it need be."""
    a = contour.array
    if not np.isfinite(a).all() or (np.abs(a[:, 2]) > 1.0).any():
        return False
    step = next_rows(a[:, :2]) - a[:, :2]
    return bool((np.hypot(step[:, 0], step[:, 1]) > 2.0 * tol.same_mm).all())


def _self_contacts(contour: Contour, tol: Tolerance) -> Iterator[Problem]:
    """Yield every contact of two segments that is not the joint of neighbours.

    Where a stretch that two segments share begins or ends, others may seem to cross: only the stretch counts there.
    """
    spans = spans_of(contour)
    segments = list(contour.segments())
    rows, columns = near_pairs(spans, spans, tol.same_mm)
    keep = (rows < columns) & ~_go_on(spans, rows, columns, tol)
    order = np.lexsort((columns[keep], rows[keep]))
    for i, j in zip(rows[keep][order].tolist(), columns[keep][order].tolist(), strict=True):
        meeting = meet_segments(segments[i], segments[j], tol=tol)
        if isinstance(meeting, Apart):
            continue
        if isinstance(meeting, Overlap):
            p = meeting.first.point
            message = f"segments {i} and {j} run along each other from ({p.x:.6g}, {p.y:.6g})"
            yield Problem(message, j, p, Fault.DOUBLES_BACK)
            continue
        for contact in meeting.contacts:
            if _is_joint(contact, i, j, len(segments)):
                continue
            ways = _Ways.at(segments, i, j, contact)
            if not ways.share_a_stretch(tol):
                yield _judge(i, j, contact.point, ways.change_sides())


def _go_on(spans: Spans, i: Ints, j: Ints, tol: Tolerance) -> Bools:
    """Return which pairs follow each other and meet at their joint alone: its normal lies between them.

    The normal is that of the first one's end. A segment that bends by ``s`` lies wholly on its own side while
    ``s / 2``, and for the second one the turn besides, stays below a right angle: that is where its chord leads, and
    all shorter chords from the joint are steeper still. Its far end must be clear of the normal too.
    """
    turn = np.abs(
        np.arctan2(
            spans.tx1[i] * spans.ty0[j] - spans.ty1[i] * spans.tx0[j],
            spans.tx1[i] * spans.tx0[j] + spans.ty1[i] * spans.ty0[j],
        )
    )
    chord = np.hypot(spans.x1 - spans.x0, spans.y1 - spans.y0)
    half = 2.0 * np.abs(np.arctan(spans.bulge))
    away = turn + half[j]
    clear_i = chord[i] * np.cos(half[i]) > 2.0 * tol.same_mm
    clear_j = (away < pi / 2.0) & (chord[j] * np.cos(away) > 2.0 * tol.same_mm)
    found: Bools = (j == i + 1) & clear_i & clear_j
    return found


def _is_joint(contact: Contact, i: int, j: int, n: int) -> bool:
    """Return True when the contact is the vertex that segments i and j (i < j) share as neighbours."""
    after = j == i + 1 and contact.on_a == 1.0 and contact.on_b == 0.0
    around = i == 0 and j == n - 1 and contact.on_a == 0.0 and contact.on_b == 1.0
    return after or around


def _judge(i: int, j: int, p: Point, crosses: bool) -> Problem:
    verb, fault = ("crosses", Fault.CROSSES) if crosses else ("touches", Fault.TOUCHES)
    return Problem(f"segment {j} {verb} segment {i} at ({p.x:.6g}, {p.y:.6g})", j, p, fault)


class _Branch(NamedTuple):
    """One way out of a contact: on which segment, from which share of it, how much of it is left (back: < 0)."""

    segment: Segment
    at: float
    room: float


def _branches(segments: list[Segment], i: int, share: float) -> tuple[_Branch, _Branch]:
    """Return the way back and the way on from a point of segment i."""
    before, after = segments[i - 1], segments[(i + 1) % len(segments)]
    back = _Branch(segments[i], share, -share) if share > 0.0 else _Branch(before, 1.0, -1.0)
    on = _Branch(segments[i], share, 1.0 - share) if share < 1.0 else _Branch(after, 0.0, 1.0)
    return back, on


class _Ways(NamedTuple):
    """The four branches at a contact, back and on of the one way and of the other, and their bearings, radians."""

    branches: tuple[_Branch, ...]
    bearings: tuple[float, ...]

    @classmethod
    def at(cls, segments: list[Segment], i: int, j: int, contact: Contact) -> _Ways:
        """Return the ways of segments i and j through their contact."""
        branches = (*_branches(segments, i, contact.on_a), *_branches(segments, j, contact.on_b))
        reach = min(b.segment.chord_mm * abs(b.room) for b in branches) / 50.0
        return cls(branches, tuple(_bearing(contact.point, b, reach) for b in branches))

    def change_sides(self) -> bool:
        """Return True when the ways cross: seen from the contact their branches take turns."""
        first, second, third, fourth = self.bearings
        span = (second - first) % (2.0 * pi)
        return ((third - first) % (2.0 * pi) < span) != ((fourth - first) % (2.0 * pi) < span)

    def share_a_stretch(self, tol: Tolerance) -> bool:
        """Return True when a branch of one way runs along one of the other."""
        for k in (0, 1):
            for m in (2, 3):
                apart = abs((self.bearings[k] - self.bearings[m] + pi) % (2.0 * pi) - pi)
                a, b = self.branches[k].segment, self.branches[m].segment
                if apart < _ALIKE_RAD and isinstance(meet_segments(a, b, tol=tol), Overlap):
                    return True
        return False


def _bearing(origin: Point, branch: _Branch, reach_mm: float) -> float:
    """Return the direction from the contact to a point about ``reach_mm`` along a branch, radians."""
    step = min(abs(branch.room), reach_mm / branch.segment.chord_mm)
    p = point_at(branch.segment, branch.at + copysign(step, branch.room))
    return atan2(p.y - origin.y, p.x - origin.x)
