"""Several scans of one part: the points of all upon the primitives of the first.

Turning the part by a quarter between scans and leaving the scanner as it is separates what is the scanner's from what
is the part's (reversal: Evans, Hocken & Estler 1996).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.trace.laying import Pose, turn
from generator.trace.layout import Layout
from generator.trace.nearest import nearest
from generator.trace.primitives import distance
from generator.trace.runs import Row
from generator.trace.unknowns import Model, Points, straightened

Floats = NDArray[np.float64]

ON_MM: Final = 0.35
BESIDE_MM: Final = 0.45


@frozen_record(eq=False)
class Placed:
    """A scan upon the first: its rows and its pose."""

    rows: tuple[Row, ...]
    pose: Pose


def with_scans(layout: Layout, others: Sequence[Placed], head: Floats) -> tuple[Layout, list[Pose]]:
    """Return a layout with the points of further scans on its primitives, and their poses."""
    straight = straightened(head)
    base = layout.points
    seen = base.at @ straight.T
    at, angle, sigma, of, scan = [base.at], [base.angle], [base.sigma], [base.of], [base.scan]
    for number, placed in enumerate(others, 1):
        r, t = turn(placed.pose[0]), np.array(placed.pose[1:])
        for row in placed.rows:
            moved = row.points @ straight.T @ r.T + t
            away, number_of = nearest(moved, seen)
            owner = base.of[number_of]
            on = np.zeros(len(moved), dtype=bool)
            for k in np.unique(owner):
                mine = owner == k
                on[mine] = np.abs(distance(layout.model.primitives[int(k)], moved[mine])) < ON_MM
            on &= away < BESIDE_MM
            at.append(row.points[on])
            angle.append(np.arctan2(row.normals[on, 1], row.normals[on, 0]))
            sigma.append(row.sigma[on])
            of.append(owner[on])
            scan.append(np.full(int(on.sum()), number))
    points = Points(
        np.vstack(at), np.concatenate(angle), np.concatenate(sigma), np.concatenate(of), np.concatenate(scan)
    )
    model = Model(layout.model.primitives, 1 + len(others), layout.model.axes)
    return Layout(model, points, layout.joints, layout.middles, layout.loops), [p.pose for p in others]
