"""Relations of primitives that a designer would have drawn, each an equation: proposed by evidence, kept if cheap."""

from __future__ import annotations

from collections.abc import Callable
from math import pi
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.trace.equations import linearised
from generator.trace.primitives import LINE, Primitive
from generator.trace.unknowns import Equation, Model

Floats = NDArray[np.float64]
Complexes = NDArray[np.complex128]

TANGENT, CONCENTRIC, EQUAL, PARALLEL, SQUARE, IN_LINE, MIRROR = (
    "tangent",
    "concentric",
    "equal radius",
    "parallel",
    "square",
    "in line",
    "mirrored",
)


@frozen_record(eq=False)
class Relation:
    """A relation and its equations.

    Attributes:
        kind: one of the words above.
        of: numbers of the primitives; for ``mirrored`` both partners (twice the same for one on the axis).
        axis: number of the axis of symmetry, or -1.
        equations: what holds.
        floor: how far off each equation may be by what no noise explains, in the equation's unit.
    """

    kind: str
    of: tuple[int, ...]
    equations: tuple[Equation, ...]
    floor: float
    axis: int = -1

    @property
    def name(self) -> str:
        """Return kind and numbers, such as ``tangent 3 4``: how a person forbids or demands it."""
        return " ".join([self.kind, *(str(n + 1) for n in sorted(set(self.of)))])


FLOOR_MM: Final = 0.02
FLOOR_RAD: Final = 0.002
BESIDE_MM: Final = 6.0
"""Chips shift the middle of what was seen of a primitive by this much at most."""


def _root(v: complex) -> complex:
    return complex(np.sqrt(np.complex128(v)))


def tangent(model: Model, one: int, other: int) -> Relation | None:
    """Return the relation of two neighbours that touch with one outward normal, or None for two lines.

    Line and arc: ``n·c + s r = d``. Arcs: ``|c1 − c2| = |s1 r1 − s2 r2|``.
    """
    at = model.places()
    p, q = model.primitives[one], model.primitives[other]
    if p.kind == LINE and q.kind == LINE:
        return None
    if p.kind == LINE or q.kind == LINE:
        line, arc = (one, other) if p.kind == LINE else (other, one)
        side = model.primitives[arc].side
        by = (at[line], at[line] + 1, at[arc], at[arc] + 1, at[arc] + 2)
        return Relation(
            TANGENT,
            (one, other),
            ((by, lambda v: np.cos(v[0]) * v[2] + np.sin(v[0]) * v[3] + side * v[4] - v[1]),),
            FLOOR_MM,
        )
    gap = abs(p.side * p.values[2] - q.side * q.values[2])
    if gap < 1e-3:
        return None
    of = (at[one], at[one] + 1, at[one] + 2, at[other], at[other] + 1, at[other] + 2)
    first, second = p.side, q.side
    turn = 1.0 if first * p.values[2] - second * q.values[2] > 0 else -1.0
    return Relation(
        TANGENT,
        (one, other),
        (
            (
                of,
                lambda v: _root((v[0] - v[3]) ** 2 + (v[1] - v[4]) ** 2) - turn * (first * v[2] - second * v[5]),
            ),
        ),
        FLOOR_MM,
    )


def concentric(model: Model, one: int, other: int) -> Relation:
    """Return the relation of two arcs or circles with one centre."""
    a, b = (model.places()[i] for i in (one, other))
    return Relation(
        CONCENTRIC,
        (one, other),
        (((a, b), lambda v: v[0] - v[1]), ((a + 1, b + 1), lambda v: v[0] - v[1])),
        FLOOR_MM,
    )


def equal_radius(model: Model, one: int, other: int) -> Relation:
    """Return the relation of two arcs or circles of one radius."""
    a, b = (model.places()[i] + 2 for i in (one, other))
    return Relation(EQUAL, (one, other), (((a, b), lambda v: v[0] - v[1]),), FLOOR_MM)


def at_right_angles(model: Model, one: int, other: int, quarter: int) -> Relation:
    """Return the relation of two lines whose normals differ by a number of quarter turns."""
    a, b = (model.places()[i] for i in (one, other))
    turn = quarter * pi / 2.0
    return Relation(
        PARALLEL if quarter % 2 == 0 else SQUARE,
        (one, other),
        (((a, b), lambda v: np.sin(v[1] - v[0] - turn)),),
        FLOOR_RAD,
    )


def in_line(model: Model, one: int, other: int) -> Relation:
    """Return the relation of two parts of one straight line."""
    a, b = (model.places()[i] for i in (one, other))
    return Relation(
        IN_LINE,
        (one, other),
        (((a, b), lambda v: np.sin(v[1] - v[0])), ((a + 1, b + 1), lambda v: v[0] - v[1])),
        FLOOR_MM,
    )


def mirrored(model: Model, one: int, other: int, axis: int) -> Relation:
    """Return the relation of two primitives that are each other's image in an axis ``n·x = e``.

    A point's image is ``x − 2 (n·x − e) n``; a line's normal turns into ``2 φ + π − θ`` for a normal at φ.
    """
    at = model.places()
    e = model.axis_start + 2 * axis
    p = model.primitives[one]
    a, b = at[one], at[other]
    if p.kind == LINE:
        of = (e, e + 1, a, a + 1, b, b + 1)

        def turned(v: Complexes) -> complex:
            return complex(np.sin(v[4] + v[2] - 2.0 * v[0] - pi))

        def far(v: Complexes) -> complex:
            return complex(v[5] - v[3] + 2.0 * np.cos(v[2] - v[0]) * v[1])

        return Relation(MIRROR, (one, other), ((of, turned), (of, far)), FLOOR_MM, axis)
    if one == other:
        on = (e, e + 1, a, a + 1)
        return Relation(
            MIRROR,
            (one, other),
            ((on, lambda v: np.cos(v[0]) * v[2] + np.sin(v[0]) * v[3] - v[1]),),
            FLOOR_MM,
            axis,
        )
    of = (e, e + 1, a, a + 1, b, b + 1)

    def image(k: int) -> Callable[[Complexes], complex]:
        def equation(v: Complexes) -> complex:
            c, s = np.cos(v[0]), np.sin(v[0])
            off = c * v[2] + s * v[3] - v[1]
            return complex(v[4 + k] - v[2 + k] + 2.0 * off * (c if k == 0 else s))

        return equation

    return Relation(
        MIRROR,
        (one, other),
        ((of, image(0)), (of, image(1)), ((a + 2, b + 2), lambda v: v[0] - v[1])),
        FLOOR_MM,
        axis,
    )


def surprise(relation: Relation, x: Floats, covariance: Floats) -> float:
    """Return how far values are from a relation: squared Mahalanobis distance for each equation, its floor included."""
    values, rows = linearised(relation.equations, x)
    spread = rows @ covariance @ rows.T + np.eye(len(values)) * relation.floor**2
    return float(values @ np.linalg.solve(spread, values)) / len(values)


def partner(
    primitives: tuple[Primitive, ...], middles: Floats, i: int, axis: tuple[float, float], reach: float
) -> int | None:
    """Return the primitive that is the image of another in an axis, or None; reach in mm is how far off it may be.

    Args:
        primitives: all of them.
        middles: the middle of what was seen of each, shape (n, 2), mm: tells parts of one line or circle apart.
        i: number of the one whose image is sought.
        axis: angle of its normal (rad) and distance (mm).
        reach: how far off the image may be, mm.
    """
    p = primitives[i]
    angle, distance = axis
    c, s = np.cos(angle), np.sin(angle)
    image = middles[i] - 2.0 * (middles[i] @ np.array([c, s]) - distance) * np.array([c, s])
    best: tuple[float, int] | None = None
    for k, q in enumerate(primitives):
        if q.kind != p.kind or q.side != p.side or (q.loop != p.loop and (p.loop == 0 or q.loop == 0)):
            continue
        beside = float(np.hypot(*(middles[k] - image)))
        if beside > BESIDE_MM:
            continue
        if p.kind == LINE:
            turned = 2.0 * angle + pi - p.values[0]
            off = abs(np.sin((q.values[0] - turned) / 2.0)) * 60.0
            off += abs(q.values[1] - (p.values[1] - 2.0 * np.cos(p.values[0] - angle) * distance))
        else:
            away = c * p.values[0] + s * p.values[1] - distance
            off = float(np.hypot(q.values[0] - p.values[0] + 2 * away * c, q.values[1] - p.values[1] + 2 * away * s))
            off += abs(q.values[2] - p.values[2])
        # of parts of one line or circle the one whose middle is nearest
        if off < reach and (best is None or off + 0.1 * beside < best[0]):
            best = (float(off) + 0.1 * beside, k)
    return None if best is None else best[1]
