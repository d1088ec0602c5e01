"""Small round corners that a burr covers whole: nothing is left of them to see, and they pass for another radius.

Such a corner touches neither of its lines, since the burr has pushed it out of both; its image in an axis of symmetry
touches both of its own. Where the burr is all that lies between the corner and that image, the image tells it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from math import cos, pi, sin
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.trace.layout import Layout
from generator.trace.primitives import ARC, LINE, Primitive, distance
from generator.trace.reading_equations import Joint
from generator.trace.relating import Solved
from generator.trace.relations import EQUAL, MIRROR, TANGENT
from generator.trace.unknowns import straightened

Floats = NDArray[np.float64]

LONGEST_MM: Final = 3.0
"""A burr is shorter (chosen; burrs of simulated parts are up to 2.8 mm long)."""
HIGHEST_MM: Final = 0.35
"""And lower (those of simulated parts are up to 0.3 mm high)."""
STEEP: Final = 0.2
"""Lines that cross at less than this (sine) make no corner."""
INWARD: Final = 3.0
"""A point of a burr lies no more than so many standard deviations within the whole corner."""


def unburdened(layout: Layout, solved: Solved) -> Layout | None:
    """Return a layout with the points of swollen corners counted as little as a burr's are worth.

    Args:
        layout: the primitives and their points.
        solved: the same with their relations.

    Returns None where there are none.
    """
    swollen = list(_swollen(solved))
    if not swollen:
        return None
    mine = np.isin(layout.points.of, swollen)
    return replace(layout, points=replace(layout.points, sigma=np.where(mine, HIGHEST_MM, layout.points.sigma)))


def told_by_images(before: Solved, after: Solved) -> bool:
    """Tell whether relations hold swollen corners: they touch both of their lines and are their image's equals."""
    held = {(r.kind, frozenset(r.of)) for r in after.relations}
    return all(
        all((TANGENT, frozenset((i, j))) in held for j in _beside(before, i))
        and any(kind in (MIRROR, EQUAL) and i in of and len(of) > 1 for kind, of in held)
        for i in _swollen(before)
    )


def _swollen(solved: Solved) -> Iterator[int]:
    """Yield the numbers of the corners that a burr covers."""
    mirrored = [r for r in solved.relations if r.kind == MIRROR]
    axes = sorted({r.axis for r in mirrored})
    images = [{k: v for r in mirrored if r.axis == n for k, v in (r.of, r.of[::-1])} for n in axes]
    whole = {frozenset((a.before, b.after)): a.after for a, b in _corners(solved) if a.touching and b.touching}
    for a, b in _corners(solved):
        if a.touching or b.touching:
            continue
        there = (whole.get(frozenset((i[a.before], i[b.after]))) for i in images if {a.before, b.after} <= i.keys())
        if any(image is not None and _burr(solved, a, b, image) for image in there):
            yield a.after


def _corners(solved: Solved) -> Iterator[tuple[Joint, Joint]]:
    """Yield both joints of every arc between two lines."""
    p = solved.layout.model.primitives
    for loop in solved.joints:
        for a, b in pairwise((*loop, *loop[:1])):
            if [p[i].kind for i in (a.before, a.after, b.after)] == [LINE, ARC, LINE]:
                yield a, b


def _beside(solved: Solved, arc: int) -> list[int]:
    return [j for a, b in _corners(solved) if a.after == arc for j in (a.before, b.after)]


def _burr(solved: Solved, a: Joint, b: Joint, image: int) -> bool:
    """Tell whether what was seen of a corner is a burr on the corner that its image would be."""
    one, arc, other, like = (solved.primitives[i] for i in (a.before, a.after, b.after, image))
    if arc.side != like.side:
        return False
    whole = _touching(one, other, like)
    turn = abs((one.values[0] - other.values[0] + pi) % (2.0 * pi) - pi)
    if whole is None or turn * like.values[2] > LONGEST_MM:
        return False
    points, x = solved.layout.points, solved.found.x
    mine = (points.of == a.after) & (points.scan == 0)
    off = distance(whole, points.seen(x)[mine] @ straightened(x).T)
    least = -INWARD * points.sigma[mine]
    return bool((off > least).all() and INWARD * float(points.sigma[mine].max()) < off.max() < HIGHEST_MM)


def _touching(one: Primitive, other: Primitive, like: Primitive) -> Primitive | None:
    """Return the arc with another's radius and side that touches two lines, or None where they hardly cross."""
    (p, d), (q, e) = one.values, other.values
    r = like.values[2]
    det = cos(p) * sin(q) - sin(p) * cos(q)
    if abs(det) < STEEP:
        return None
    d, e = d - like.side * r, e - like.side * r
    return replace(like, values=((d * sin(q) - e * sin(p)) / det, (e * cos(p) - d * cos(q)) / det, r))
