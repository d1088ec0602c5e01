"""A chain of bosses with every sort of joint, against pieces put together by an independent library.

The pieces: the polygon of the bosses' centres with the centre of every hollow arc put in between, the bosses, a
trapezium up to every tangent line and a sector up to every bulging arc; and away with the hollows' discs.
"""

from __future__ import annotations

from math import acos, atan2, cos, hypot, pi, sin

import pytest
from shapely import Polygon
from shapely.ops import unary_union

from tests.shapes.oracle import disagreement, disc, facet_error
from tests.shapes.recipe_form import drawn

CHAINS = [
    [(-40, -15, 8, None), (0, -25, 12, ("hollow", 70)), (45, -10, 6, ("bulging", 80)), (10, 30, 14, ("hollow", 25))],
    [(-30, 0, 10, ("bulging", 60)), (35, 4, 13, None), (0, 40, 7, ("hollow", 90))],
    [(0, 0, 22, None), (60, 0, 5, ("hollow", 200)), (30, 45, 9, ("bulging", 70)), (-25, 35, 6, ("hollow", 40))],
]


def apex(a, b, to_a, to_b, side):
    """The point at given distances from two centres, on the left (1) or right (-1) of the way."""
    d = hypot(b[0] - a[0], b[1] - a[1])
    turn = side * acos((d * d + to_a * to_a - to_b * to_b) / (2 * d * to_a))
    angle = atan2(b[1] - a[1], b[0] - a[0]) + turn
    return a[0] + to_a * cos(angle), a[1] + to_a * sin(angle)


def expected(chain):
    rim, more, less = [], [disc(x, y, r) for x, y, r, _ in chain], []
    for a, b in zip(chain, [*chain[1:], chain[0]], strict=True):
        rim.append(a[:2])
        word, radius = a[3] or (None, 0)
        if word == "hollow":
            p = apex(a, b, radius + a[2], radius + b[2], -1)
            rim.append(p)
            less.append(disc(*p, radius))
        elif word == "bulging":
            c = apex(a, b, radius - a[2], radius - b[2], 1)
            first, last = (atan2(q[1] - c[1], q[0] - c[0]) for q in (a, b))
            sweep = (last - first) % (2 * pi)
            arc = [
                (c[0] + radius * cos(first + sweep * k / 3000), c[1] + radius * sin(first + sweep * k / 3000))
                for k in range(3001)
            ]
            more.append(Polygon([a[:2], *arc, b[:2]]))
        else:
            d = hypot(b[0] - a[0], b[1] - a[1])
            angle = atan2(b[1] - a[1], b[0] - a[0]) - acos((a[2] - b[2]) / d)
            touch = [(q[0] + q[2] * cos(angle), q[1] + q[2] * sin(angle)) for q in (a, b)]
            more.append(Polygon([a[:2], *touch, b[:2]]))
    return unary_union([Polygon(rim).buffer(0), *more]).difference(unary_union(less))


@pytest.mark.parametrize("chain", CHAINS)
def test_every_sort_of_joint(chain):
    circles = [{"at": [x, y], "radius": r, "next": {how[0]: how[1]} if how else "tangent"} for x, y, r, how in chain]
    region = drawn({"joined": {"circles": circles}})
    right = expected(chain)
    assert disagreement(region, right) < facet_error(right)
    assert len(region.contours[0]) <= 3 * len(chain)
