"""How the points of a part lie on its primitives."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.trace.healing import healed
from generator.trace.primitives import ARC, CIRCLE, LINE, Primitive
from generator.trace.reading_equations import Joint
from generator.trace.runs import FEWEST, Loop, Row, joints_of, loop_of
from generator.trace.unknowns import Model, Points, straightened

Floats = NDArray[np.float64]

HIDDEN_MM: Final = 0.05
"""Of a small corner that both faces of a thick plate hide in part, the few points left lie off by this much (measured
on simulated photos), and their own misfit cannot tell it."""


@frozen_record(eq=False)
class Layout:
    """The primitives of a part and how its points lie on them.

    Attributes:
        model: the primitives and what else is unknown.
        points: the points of all primitives.
        joints: of each loop, in order.
        middles: middle of what was seen of each primitive, shape (n, 2), mm.
        loops: the loops that it was made of.
    """

    model: Model
    points: Points
    joints: tuple[tuple[Joint, ...], ...]
    middles: Floats
    loops: tuple[Loop, ...]


def lay_out(rows: Sequence[Row], head: Floats) -> Layout:
    """Return the primitives of rows of points, cut with the scanner's errors as far as they are known taken out."""
    straight = straightened(head)
    turned = np.linalg.inv(straight)
    primitives: list[Primitive] = []
    joints, loops, at, angle, sigma, of, middles = [], [], [], [], [], [], []
    modes: list[Floats] = []
    for row in rows:
        normals = row.normals @ turned
        normals /= np.hypot(normals[:, 0], normals[:, 1])[:, None]
        seen = row.seen(head) @ straight.T
        plain = Row(seen, normals, row.sigma, row.loop)
        loop = healed(plain, loop_of(plain, circle_first=row.loop > 0))
        joints.append(joints_of(loop, len(primitives)))
        loops.append(loop)
        for p, taken in zip(loop.primitives, loop.points, strict=True):
            at.append(row.points[taken])
            if row.modes is not None:
                modes.append(row.modes[taken])
            angle.append(np.arctan2(row.normals[taken, 1], row.normals[taken, 0]))
            hidden = row.modes is not None and p.kind == ARC and len(taken) < FEWEST
            sigma.append(np.hypot(row.sigma[taken], HIDDEN_MM) if hidden else row.sigma[taken])
            of.append(np.full(len(taken), len(primitives)))
            middle = taken[len(taken) // 2] if p.kind != CIRCLE else None
            middles.append(seen[middle] if middle is not None else np.array(p.values[:2]))
            primitives.append(p)
    points = Points(
        np.vstack(at),
        np.concatenate(angle),
        np.concatenate(sigma),
        np.concatenate(of),
        np.zeros(sum(map(len, of)), int),
        np.concatenate(modes) if modes else None,
    )
    count = modes[0].shape[2] if modes else 0
    return Layout(Model(tuple(primitives), modes=count), points, tuple(joints), np.array(middles), tuple(loops))


def without(layout: Layout, joint: Joint) -> Layout:
    """Return a layout with the primitive after a joint made one with the one before it."""
    gone, kept = joint.after, joint.before

    def number(i: int) -> int:
        i = kept if i == gone else i
        return i - (i > gone)

    primitives = tuple(p for i, p in enumerate(layout.model.primitives) if i != gone)
    loops = []
    for loop in layout.joints:
        joints = [j for j in loop if j != joint]
        loops.append(tuple(Joint(number(j.before), number(j.after), j.near, j.touching) for j in joints))
    p = layout.points
    of = np.array([number(int(i)) for i in p.of])
    middles = layout.middles.copy()
    if layout.model.primitives[kept].kind == LINE:
        share = np.bincount(layout.points.of, minlength=len(middles))[[kept, gone]].astype(float)
        middles[kept] = share @ middles[[kept, gone]] / share.sum()
    middles = np.delete(middles, gone, axis=0)
    return Layout(
        replace(layout.model, primitives=primitives),
        replace(p, of=of),
        tuple(loops),
        middles,
        layout.loops,
    )
