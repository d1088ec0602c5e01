"""Loops of the clipper become exact contours: runs of edges on one carrier, exact joints between runs.

A *run* is a stretch of a clipped loop whose edges lie on the same carrier, travelled the same way. Joints between
runs are source joints where the loop passes one, else crossings of the two carriers. A run that turns out to have
no length, or to run backwards once its joints are exact, is an artefact of the facets; it is dropped and its
neighbours are joined.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, hypot, inf, pi, sin, sqrt, tan

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.outline.carriers import Carriers
from generator.outline.clip import Clipped
from generator.outline.contour import last_rows, next_rows
from generator.outline.facets import Facets, Grid
from generator.outline.joints import CarrierRow, Spot, direction_at, distance_to, foot_on, meet
from generator.outline.pieces import Floats, Pieces

_ON_MM = 2e-7  # a source joint no further from a carrier lies on it (the grid is 0.1 nm, carriers are 0.1 nm apart)
_EXACT_MM = 1e-9  # so near, it may be used without asking for a crossing
_CLOSE_MM = 1e-5  # a crossing preferred to a source joint must be this near
_NEAR_MM = 1e-3  # how far a crossing of lines may lie from where the facets put it
_FAR_MM = 0.5  # the same for circles, at most: facets move it by sqrt(8 e r) along two tangent ones
_SHORT_MM = 1e-6  # a run that is no longer has no length; two points so near are one point (Tolerance.same_mm)
_TAU = 2.0 * pi
Row = tuple[float, float, float]


@dataclass
class Run:
    """A stretch of a loop on one carrier; ``length`` is that of its facets, places in mm."""

    carrier: int
    sign: int
    begin: Spot
    end: Spot
    length: float
    joint: Spot | None = None
    """The source joint at its beginning, if there is one."""


class UnfitError(Exception):
    """The loop has no exact counterpart at this facet size."""


@frozen_record
class Refit:
    """What is needed to turn clipped loops into exact ones."""

    pieces: Pieces
    carriers: Carriers
    facets: Facets
    grid: Grid
    clipped: Clipped
    side: int
    facet_mm: float

    def loop_runs(self, low: int, high: int) -> list[Run]:
        """Return the runs of the loop in rows ``low`` to ``high``."""
        c, f = self.clipped, self.facets
        edge, with_us = c.edge[low:high], c.with_us[low:high]
        piece = np.where(edge >= 0, f.piece[edge], -1)
        carrier = np.where(piece >= 0, self.carriers.of[piece], -1)
        sign = np.where(with_us, 1, -1) * self.carriers.along[piece]
        label = np.where(carrier >= 0, 2 * carrier + (sign > 0), -1)
        starts = np.flatnonzero(label != last_rows(label))
        points = self.grid.to_mm(c.points[low:high])
        step = next_rows(points) - points
        size = np.hypot(step[:, 0], step[:, 1])
        if not len(starts):
            spot = (float(points[0, 0]), float(points[0, 1]))
            return [Run(int(carrier[0]), int(sign[0]), spot, spot, float(size.sum()))]
        turned = np.concatenate((size[starts[0] :], size[: starts[0]]))
        lengths = np.add.reduceat(turned, starts - starts[0])
        places = [(x, y) for x, y in points[starts].tolist()]
        joints = self._source_joints(low, starts, edge, with_us)
        ends = [*places[1:], places[0]]
        rows = zip(carrier[starts].tolist(), sign[starts].tolist(), places, ends, lengths.tolist(), joints, strict=True)
        return [Run(*row) for row in rows]

    def _source_joints(self, low: int, starts: np.ndarray, edge: np.ndarray, with_us: np.ndarray) -> list[Spot | None]:
        """Return the source joint at each run's start: the exact point if both edges at it end there."""
        f = self.facets
        out, into = edge[starts], edge[starts - 1]
        # vertex of ours at the start of the edge leaving, and at the end of the edge arriving
        first = np.where(out >= 0, np.where(with_us[starts], out, f.following[out]), -1)
        last = np.where(into >= 0, np.where(with_us[starts - 1], f.following[into], into), -1)
        at = self.clipped.points[low + starts]
        found: list[Spot | None] = [None] * len(starts)
        for vertex in (last, first):  # the edge leaving has the last word
            k = np.flatnonzero((vertex >= 0) & f.joint[vertex] & (f.points[vertex] == at).all(axis=1))
            for row, (x, y) in zip(k.tolist(), self.pieces.start[f.piece[vertex[k]]].tolist(), strict=True):
                found[row] = (x, y)
        return found

    def loop(self, low: int, high: int) -> list[Row]:
        """Return the exact vertices ``(x, y, bulge)`` of the loop in rows ``low`` to ``high``.

        Raises:
            UnfitError: no exact counterpart was found.
        """
        runs = self.loop_runs(low, high)
        joints: list[Spot | None] = [None] * len(runs)
        while len(runs) > 1:
            bad = self._solve(runs, joints)
            if bad is None:
                return self._emit(runs, [j for j in joints if j is not None])
            self._drop(runs, joints, bad)
        if len(runs) == 1 and runs[0].carrier >= 0 and self.carriers.rows[runs[0].carrier][0]:
            return self._whole_circle(runs[0])
        raise UnfitError("a loop collapsed")

    # ------------------------------------------------------------------ joints
    def _solve(self, runs: list[Run], joints: list[Spot | None]) -> int | None:
        """Fill in missing joints; return the run to drop next, or None when all is well."""
        bad: list[int] = [k for k, r in enumerate(runs) if r.carrier < 0]
        if not bad:
            for k, run in enumerate(runs):
                if joints[k] is None:
                    joints[k] = self._joint(runs[k - 1], run)
                    if joints[k] is None:
                        before = (k - 1) % len(runs)
                        bad.append(k if run.length <= runs[before].length else before)
            bad += self._turning_back(runs)
        if not bad:
            bad = [
                k
                for k in range(len(runs))
                if self._travel(runs[k], joints[k], joints[(k + 1) % len(runs)]) <= _SHORT_MM
            ]
        return min(bad, key=lambda k: runs[k].length) if bad else None

    def _turning_back(self, runs: list[Run]) -> list[int]:
        """Return the shorter of two runs in a row that go there and back on one carrier: no area lies between them."""
        found = []
        for k, run in enumerate(runs):
            before = (k - 1) % len(runs)
            if runs[before].carrier == run.carrier and runs[before].sign != run.sign:
                found.append(k if run.length <= runs[before].length else before)
        return found

    def _joint(self, a: Run, b: Run) -> Spot | None:
        rows = self.carriers.rows
        ca, cb = rows[a.carrier], rows[b.carrier]
        j = b.joint
        off = inf if j is None else max(distance_to(ca, j), distance_to(cb, j))
        if off <= _EXACT_MM:
            return j
        found = self._crossing(a, b) if a.carrier != b.carrier else None
        if found is not None and (off > _ON_MM or hypot(found[0] - b.begin[0], found[1] - b.begin[1]) < _CLOSE_MM):
            return found
        return j if off <= _ON_MM else None

    def _crossing(self, a: Run, b: Run) -> Spot | None:
        """Return the crossing of two carriers; where they run together and cross far off, the clipper's own vertex."""
        rows = self.carriers.rows
        ca, cb = rows[a.carrier], rows[b.carrier]
        m = meet(ca, a.sign, cb, b.sign, b.begin, self.side, 2.0 * self.facet_mm)
        reach = _NEAR_MM + min(4.0 * sqrt(8.0 * self.facet_mm * max(ca[3], cb[3])), _FAR_MM)
        if m is not None and hypot(m.x - b.begin[0], m.y - b.begin[1]) <= reach:
            return m.x, m.y
        p, q = foot_on(ca, b.begin), foot_on(cb, b.begin)
        if max(distance_to(ca, b.begin), distance_to(cb, b.begin)) <= 2.0 * self.facet_mm:
            return (p[0] + q[0]) / 2.0, (p[1] + q[1]) / 2.0
        return None if m is None else (m.x, m.y)

    def _travel(self, run: Run, p: Spot | None, q: Spot | None) -> float:
        """Return the exact length of a run, negative if it runs backwards."""
        if p is None or q is None:
            return -1.0
        row = self.carriers.rows[run.carrier]
        if not row[0]:
            return run.sign * ((q[0] - p[0]) * row[4] + (q[1] - p[1]) * row[5])
        return run.sign * _sweep(row, run, p, q) * row[3]

    # ------------------------------------------------------------------ dropping
    def _drop(self, runs: list[Run], joints: list[Spot | None], k: int) -> None:
        """Drop run ``k``, join its neighbours, and let them have its place or its other end.

        Raises:
            UnfitError: the run is too long to be an artefact.
        """
        n = len(runs)
        a, run, b = runs[k - 1], runs[k], runs[(k + 1) % n]
        if run.length <= self._largest_artefact(a, run, b):
            spot = ((run.begin[0] + run.end[0]) / 2.0, (run.begin[1] + run.end[1]) / 2.0)
        elif self._lies_on(run, a):
            spot = run.end
            a.length += self._same_way(a, run, run.begin) * run.length
        elif self._lies_on(run, b):
            spot = run.begin
            b.length += self._same_way(b, run, run.end) * run.length
        else:
            raise UnfitError(f"a run of {run.length:.3g} mm does not fit")
        a.end = b.begin = spot
        b.joint = b.joint or run.joint
        joints[(k + 1) % n] = None
        del runs[k], joints[k]
        if len(runs) > 1 and a.carrier == b.carrier and a.sign == b.sign and a.carrier >= 0:
            at = runs.index(b)
            a.end, a.length = b.end, a.length + b.length
            del runs[at], joints[at]

    def _lies_on(self, run: Run, other: Run) -> bool:
        """Return True if the run stays within facet size of the other's carrier: a slit or spur without width."""
        if other.carrier < 0:
            return False
        row = self.carriers.rows[other.carrier]
        spots = [run.begin, run.end, self._middle(run)]
        return all(distance_to(row, p) <= 2.0 * self.facet_mm for p in spots)

    def _middle(self, run: Run) -> Spot:
        (x, y), (u, v) = run.begin, run.end
        row = self.carriers.rows[run.carrier] if run.carrier >= 0 else None
        if row is None or not row[0]:
            return (x + u) / 2.0, (y + v) / 2.0
        angle = atan2(y - row[2], x - row[1]) + _sweep(row, run, run.begin, run.end) / 2.0
        return row[1] + row[3] * cos(angle), row[2] + row[3] * sin(angle)

    def _same_way(self, a: Run, b: Run, at: Spot) -> int:
        if b.carrier < 0:
            return 0
        (ux, uy), (vx, vy) = (direction_at(self.carriers.rows[r.carrier], r.sign, at) for r in (a, b))
        return 1 if ux * vx + uy * vy > 0.0 else -1

    def _largest_artefact(self, *runs: Run) -> float:
        radii = [self.carriers.rows[r.carrier][3] for r in runs if r.carrier >= 0]
        return 40.0 * self.facet_mm + min(4.0 * sqrt(8.0 * self.facet_mm * max([*radii, 1.0])), _FAR_MM)

    # ------------------------------------------------------------------ vertices
    def _emit(self, runs: list[Run], joints: list[Spot]) -> list[Row]:
        rows: list[Row] = []
        for k, run in enumerate(runs):
            carrier = self.carriers.rows[run.carrier]
            p, q = joints[k], joints[(k + 1) % len(runs)]
            if carrier[0]:
                rows += _arc_rows(carrier, p, _sweep(carrier, run, p, q))
            else:
                rows.append((p[0], p[1], 0.0))
        return rows

    def _whole_circle(self, run: Run) -> list[Row]:
        row = self.carriers.rows[run.carrier]
        _, x, y, r, _, _ = row
        if abs(run.length - _TAU * r) > 0.05 * _TAU * r + 10.0 * self.facet_mm:
            raise UnfitError("a loop on one circle does not go round it")
        s = float(run.sign)
        return [(x + r, y, s), (x - r, y, s)]


def _sweep(row: CarrierRow, run: Run, p: Spot, q: Spot) -> float:
    """Return the signed sweep from p to q that is nearest to the facets' sweep."""
    turn = atan2(q[1] - row[2], q[0] - row[1]) - atan2(p[1] - row[2], p[0] - row[1])
    expected = run.sign * run.length / row[3]
    return turn - _TAU * round((turn - expected) / _TAU)


def _arc_rows(row: CarrierRow, p: Spot, sweep: float) -> list[Row]:
    """Return one vertex, or two of half the sweep each where one would pass half a circle."""
    if abs(sweep) <= pi + 1e-9:
        return [(p[0], p[1], max(-1.0, min(1.0, tan(sweep / 4.0))))]
    angle = atan2(p[1] - row[2], p[0] - row[1]) + sweep / 2.0
    bulge = tan(sweep / 8.0)
    return [(p[0], p[1], bulge), (row[1] + row[3] * cos(angle), row[2] + row[3] * sin(angle), bulge)]


def polygon_area(points: Floats) -> float:
    """Return the signed area of a polygon."""
    x, y = points[:, 0] - points[0, 0], points[:, 1] - points[0, 1]
    return float(np.dot(x, next_rows(y)) - np.dot(y, next_rows(x))) / 2.0


def polygon_length(points: Floats) -> float:
    """Return the length of a closed polygon."""
    step = next_rows(points) - points
    return float(np.hypot(step[:, 0], step[:, 1]).sum())


__all__ = ["Refit", "Run", "UnfitError", "hypot", "polygon_area", "polygon_length"]
