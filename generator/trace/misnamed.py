"""What may have been measured instead of what a reading says: another kind of distance, another feature."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import pi
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.errors import GeometryError
from generator.recipe.model_caliper import BETWEEN_HOLES, CENTRES, DIAMETER, OVER_HOLES, RADIUS
from generator.trace.primitives import LINE
from generator.trace.reading_equations import (
    Joint,
    centre_distance,
    diameter,
    outside_width,
    over_holes,
    radius,
)
from generator.trace.unknowns import Instead, Measured, Model

Floats = NDArray[np.float64]

SAME_MM: Final = 0.005
"""What measures alike this nearly is told together."""
_READ: Final = {
    OVER_HOLES: "over both holes, far edge to far edge,",
    BETWEEN_HOLES: "between the holes, near edge to near edge,",
    CENTRES: "from centre to centre",
}


def of_features(kind: str, model: Model, features: Sequence[int], value: float, sigma: float) -> Measured:
    """Return what a reading of a kind says of one circle or arc, or of two.

    Args:
        kind: of the reading, any but a width and a thickness.
        model: the primitives.
        features: their indices.
        value: what was read, mm.
        sigma: its standard deviation, mm.
    """
    if kind == DIAMETER:
        return diameter(model, features[0], value, sigma)
    if kind == RADIUS:
        return radius(model, features[0], value, sigma)
    if kind == CENTRES:
        return centre_distance(model, features[0], features[1], value, sigma)
    return over_holes(model, features[0], features[1], kind == OVER_HOLES, value, sigma)


def features_instead(
    kind: str, model: Model, x: Floats, features: Sequence[int], reading: Measured
) -> tuple[Instead, ...]:
    """Return what may have been measured instead of circles or arcs, other kinds of the same features first.

    Args:
        kind: as the reading says.
        model: the primitives.
        x: the unknowns.
        features: indices of what it names.
        reading: what it says.
    """

    def measured(k: str, *of: int) -> Measured:
        return replace(of_features(k, model, of, reading.value, reading.sigma), name=reading.name)

    if kind == DIAMETER:
        first = [Instead("a radius was read for a diameter", measured(RADIUS, *features), True)]
    elif kind == RADIUS:
        first = [Instead("a diameter was read for a radius", measured(DIAMETER, *features), True)]
    else:
        first = [Instead(f"{words} was read", measured(k, *features), True) for k, words in _READ.items() if k != kind]
    others = ((of, measured(kind, *of)) for of in _neighbours(kind, model, features))
    return (*first, *_told_together(others, x))


def _neighbours(kind: str, model: Model, features: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """Yield other features of the same sort; of two, one is another."""
    sort = [i for i, p in enumerate(model.primitives) if p.kind != LINE and (kind == RADIUS or p.loop > 0)]
    others = [i for i in sort if i not in features]
    if len(features) == 1:
        yield from ((i,) for i in others)
        return
    a, b = features
    for i in others:
        yield a, i
        yield i, b


def _told_together(found: Iterator[tuple[tuple[int, ...], Measured]], x: Floats) -> Iterator[Instead]:
    """Yield what else may have been measured, those that measure alike as one."""
    groups: list[tuple[float, Measured, list[str]]] = []
    for of, m in found:
        value = m.function(x)
        name = " and ".join(str(i + 1) for i in of)
        alike = next((g for g in groups if abs(g[0] - value) < SAME_MM), None)
        if alike is None:
            groups.append((value, m, [name]))
        elif name not in alike[2]:
            alike[2].append(name)
    for _, m, names in groups:
        several = " and " in names[0]
        yield Instead(f"feature{'s' if several else ''} {' or '.join(names[:3])} {_was(several)} measured", m, False)


def _was(several: bool) -> str:
    return "were" if several else "was"


def width_instead(
    model: Model, joints: tuple[Joint, ...], x: Floats, direction: float, reading: Measured
) -> tuple[Instead, ...]:
    """Return what may have been measured instead of a width: the one at right angles.

    Args:
        model: the primitives.
        joints: of the outline.
        x: the unknowns.
        direction: of the width, rad.
        reading: what it says.
    """
    try:
        across = outside_width(model, joints, x, direction + pi / 2.0, reading.value, reading.sigma)
    except GeometryError:
        return ()
    return (Instead("the width at right angles was read", replace(across, name=reading.name), False),)
