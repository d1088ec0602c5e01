"""Thirty flat brackets of our own invention, from exact geometry; a few sizes in inches, so that not all is round."""

from __future__ import annotations

import math

from tests.scans.scan_shape import Node, Part, Vertex, belt, corners, slot, window

X_AXIS = ((0.0, 0.0), (1.0, 0.0))
Y_AXIS = ((0.0, 0.0), (0.0, 1.0))
RISING = ((0.0, 0.0), (math.sqrt(0.5), math.sqrt(0.5)))
FALLING = ((0.0, 0.0), (math.sqrt(0.5), -math.sqrt(0.5)))
Hole = tuple[float, float, float]


def part(
    name: str,
    nodes: list[Node],
    holes: list[Hole],
    links: list[float | None] | None = None,
    inner: tuple[list[Vertex], ...] = (),
    axes: tuple[tuple[tuple[float, float], tuple[float, float]], ...] = (),
    long_way: tuple[int, ...] = (),
) -> Part:
    outer, joins = belt(nodes, links, long_way)
    circles = [(chr(ord("A") + i), x, y, d) for i, (x, y, d) in enumerate(holes)]
    return Part(name, outer, joins, circles, list(inner), list(axes))


def ring(radius: float, count: int, first: float = 90.0) -> list[tuple[float, float]]:
    """Places evenly round the origin."""
    angles = [math.radians(first + 360.0 * i / count) for i in range(count)]
    return [(radius * math.cos(a), radius * math.sin(a)) for a in angles]


def box(width: float, height: float, radius: float) -> list[tuple[float, float, float]]:
    x, y = width / 2, height / 2
    return [(-x, -y, radius), (x, -y, radius), (x, y, radius), (-x, y, radius)]


def four(x: float, y: float, d: float) -> list[Hole]:
    return [(-x, -y, d), (x, -y, d), (x, y, d), (-x, y, d)]


# ------------------------------------------------------------------ flanges and keepers


def waisted_keeper() -> Part:
    ends: list[Node] = [(-22, 0, 9), (22, 0, 9)]
    return part("waisted_keeper", ends, [(-22, 0, 6.6), (22, 0, 6.6)], [-40, -40], axes=(X_AXIS, Y_AXIS))


def oval_flange() -> Part:
    nodes: list[Node] = [(24, 0, 7.5), (0, 0, 16), (-24, 0, 7.5), (0, 0, 16)]
    return part("oval_flange", nodes, [(0, 0, 20), (24, 0, 6.6), (-24, 0, 6.6)], axes=(X_AXIS, Y_AXIS))


def tripod_flange() -> Part:
    places = ring(26, 3)
    nodes: list[Node] = [(x, y, 8) for x, y in places]
    axes = tuple(((0.0, 0.0), (x / 26, y / 26)) for x, y in places)
    return part("tripod_flange", nodes, [*((x, y, 5.5) for x, y in places), (0, 0, 18)], [-35] * 3, axes=axes)


def uneven_tripod() -> Part:
    nodes: list[Node] = [(-24, -14, 7), (26, -12, 9), (4, 26, 11)]
    return part("uneven_tripod", nodes, [(-24, -14, 5.3), (26, -12, 6.4), (4, 26, 12.7)])


def square_flange() -> Part:
    holes = [*four(23, 23, 6.4), (0, 0, 26)]
    return part("square_flange", corners(box(60, 60, 7)), holes, axes=(X_AXIS, Y_AXIS, RISING, FALLING))


def four_boss_flange() -> Part:
    nodes: list[Node] = [(-26, -16, 8), (26, -16, 8), (26, 16, 8), (-26, 16, 8)]
    holes = [*four(26, 16, 6.6), (0, 0, 22.5)]
    return part("four_boss_flange", nodes, holes, [-60, -25, -60, -25], axes=(X_AXIS, Y_AXIS))


def eared_cover() -> Part:
    nodes: list[Node] = []
    for x, y in ring(30, 3):
        nodes += [(x, y, 7.5), (0, 0, 25)]
    axes = tuple(((0.0, 0.0), (x, y)) for x, y in ring(1, 3))
    return part("eared_cover", nodes, [*((x, y, 5.5) for x, y in ring(30, 3)), (0, 0, 30)], [-6] * 6, axes=axes)


def flat_disc() -> Part:
    radius, flat, fillet = 27.0, 19.0, 3.0
    y = math.sqrt((radius - fillet) ** 2 - (flat - fillet) ** 2)
    nodes: list[Node] = [(flat - fillet, -y, fillet), (flat - fillet, y, fillet)]
    holes = [(0, 0, 22.0), *((x, y, 4.5) for x, y in ring(19, 3, 180))]
    return part("flat_disc", nodes, holes, [None, radius], axes=(X_AXIS,), long_way=(1,))


def two_flat_disc() -> Part:
    radius, flat = 24.0, 17.0
    x = math.sqrt(radius**2 - flat**2)
    nodes: list[Node] = [(-x, -flat, 0), (x, -flat, 0), (x, flat, 0), (-x, flat, 0)]
    holes = [(0, 0, 16.0), (-19, 0, 4.3), (19, 0, 4.3)]
    return part("two_flat_disc", nodes, holes, [None, radius, None, radius], axes=(X_AXIS, Y_AXIS))


# ------------------------------------------------------------------ levers and links


def three_eye_lever() -> Part:
    nodes: list[Node] = [(0, 0, 14), (58, 9, 7.5), (-12, 30, 8)]
    return part("three_eye_lever", nodes, [(0, 0, 12), (58, 9, 6.4), (-12, 30, 5.2)], [None, -60, None])


def bent_link() -> Part:
    nodes: list[Node] = [(-28, 0, 8), (28, 6, 8)]
    return part("bent_link", nodes, [(-28, 0, 6.5), (28, 6, 6.5)], [70, -70])


def egg_cam() -> Part:
    nodes: list[Node] = [(0, 0, 15), (24, 3, 6)]
    return part("egg_cam", nodes, [(0, 0, 12), (20, 2, 4.2)], [80, 45])


def pawl() -> Part:
    nodes: list[Node] = [(0, 0, 11), (46, -3, 0), (48, 5, 0), (20, 12, 4)]
    return part("pawl", nodes, [(0, 0, 8.4), (24, 4, 5.0)])


def eye_lug() -> Part:
    nodes: list[Node] = [(-22, -20, 0), (22, -20, 0), (0, 16, 12)]
    return part("eye_lug", nodes, [(0, 16, 12.7), (-14, -13, 5.5), (14, -13, 5.5)], axes=(Y_AXIS,))


def bell_crank() -> Part:
    nodes: list[Node] = [(0, 0, 11), (44, 0, 7), (16, 16, -8), (0, 38, 7)]
    return part("bell_crank", nodes, [(0, 0, 10), (44, 0, 5.5), (0, 38, 5.5)])


def forked_arm() -> Part:
    points = [(-30, -9, 9), (34, -9, 1.5), (34, -4, 0)]
    nodes = [*corners([*points, (20, -4, 0), (20, 4, 0), (34, 4, 0), (34, 9, 1.5), (-30, 9, 9)])]
    nodes[3:5] = [(20, 0, -4)]
    nodes[0:1], nodes[-1:] = [(-21, 0, 9)], []
    return part("forked_arm", nodes, [(-21, 0, 7), (4, 0, 5)], axes=(X_AXIS,))


# ------------------------------------------------------------------ angles, tees, plates


def round_angle() -> Part:
    points = [(-30, -30, 6), (30, -30, 5), (30, -12, 5), (-12, -12, 8), (-12, 30, 5), (-30, 30, 5)]
    return part("round_angle", corners(points), [(-21, 21, 6.5), (-21, -21, 6.5), (21, -21, 6.5)], axes=(RISING,))


def sharp_angle() -> Part:
    points = [(-35, -25, 0), (35, -25, 0), (35, -7, 0), (-15, -7, 6), (-15, 25, 0), (-35, 25, 0)]
    holes = [(-25, 16, 5.5), (-25, -16, 5.5)]
    return part("sharp_angle", corners(points), holes, inner=(slot(14, -16, 20, 6.5),))


def tee_plate() -> Part:
    points = [(-9, -32, 4), (9, -32, 4), (9, 4, 6), (32, 4, 4), (32, 22, 4), (-32, 22, 4), (-32, 4, 4), (-9, 4, 6)]
    return part(
        "tee_plate", corners(points), [(0, -23, 6.4), (-24, 13, 6.4), (24, 13, 6.4), (0, 13, 8)], axes=(Y_AXIS,)
    )


def knuckle_leaf() -> Part:
    tops = [(30, 20, 0), (18, 20, 0), (18, 12, 0), (6, 12, 0), (6, 20, 0)]
    points = [(-30, -18, 5), (30, -18, 5), *tops, *((-x, y, r) for x, y, r in reversed(tops))]
    return part("knuckle_leaf", corners(points), [(-22, -10, 4.5), (22, -10, 4.5), (0, 2, 4.5)], axes=(Y_AXIS,))


def saddle_half() -> Part:
    nodes = corners([(-34, -14, 3), (34, -14, 3), (34, 16, 3), (14, 16, 0), (-14, 16, 0), (-34, 16, 3)])
    holes = [(-25, 2, 6.6), (25, 2, 6.6)]
    return part("saddle_half", nodes, holes, [None, None, None, -17.5, None, None], axes=(Y_AXIS,))


def slotted_plate() -> Part:
    slots = (slot(-20, 0, 24, 6.6, 90), slot(20, 0, 24, 6.6, 90))
    holes = [(0, -13, 5.5), (0, 13, 5.5)]
    return part("slotted_plate", corners(box(72, 44, 6)), holes, inner=slots, axes=(X_AXIS, Y_AXIS))


def slide_rail() -> Part:
    slots = tuple(slot(x, 0, 22, 7) for x in (-32.0, 0.0, 32.0))
    holes = [(-49, 0, 4.3), (49, 0, 4.3)]
    return part("slide_rail", corners(box(112, 22, 4)), holes, inner=slots, axes=(X_AXIS, Y_AXIS))


def gusset() -> Part:
    nodes = corners([(-28, -28, 5), (30, -28, 0), (30, -20, 0), (-20, 30, 0), (-28, 30, 0)])
    inner = (window([(-19, -19, 2.5), (-2, -19, 2.5), (-19, -2, 2.5)]),)
    holes = [(20, -23, 5), (-23, 20, 5)]
    return part("gusset", nodes, holes, [None, None, -60, None, None], inner=inner)


def chamfered_plate() -> Part:
    points = [(-32, -14, 0), (-24, -22, 0), (24, -22, 0), (32, -14, 0), (32, 14, 0), (24, 22, 0), (-24, 22, 0)]
    return part("chamfered_plate", corners([*points, (-32, 14, 0)]), [*four(24, 14, 5.5), (0, 0, 16)],
                axes=(X_AXIS, Y_AXIS))  # fmt: skip


def yoke() -> Part:
    points = [(-24, -24, 8), (24, -24, 8), (24, 24, 4), (12, 24, 4), (12, -8, 12), (-12, -8, 12), (-12, 24, 4)]
    nodes = corners([*points, (-24, 24, 4)])
    nodes[4:6] = [(0, 4, -12)]
    holes = [(-18, 16, 5), (18, 16, 5), (0, -16, 6.5)]
    return part("yoke", nodes, holes, axes=(Y_AXIS,))


def vent_plate() -> Part:
    inner = tuple(window([(x - 9, -12, 2), (x + 9, -12, 2), (x + 9, 12, 2), (x - 9, 12, 2)]) for x in (-13.0, 13.0))
    return part("vent_plate", corners(box(76, 46, 5)), four(32, 17, 4.8), inner=inner, axes=(X_AXIS, Y_AXIS))


def stepped_plate() -> Part:
    points = [
        (-33, -19, 2),
        (12, -19, 0),
        (12, -12, 2),
        (33, -12, 3),
        (33, 15, 3),
        (5, 15, 4),
        (5, 23, 2),
        (-33, 23, 2),
    ]
    return part("stepped_plate", corners(points), [(-24, -11, 5.2), (24, 2, 5.2), (-24, 12, 6.35), (-4, 0, 12)])


def hooked_strap() -> Part:
    points = [(-40, -10, 10), (22, -10, 14), (22, 26, 4), (8, 26, 4), (8, 10, 3), (-40, 10, 10)]
    nodes = corners(points)
    nodes[0:1], nodes[-1:] = [(-30, 0, 10)], []
    return part("hooked_strap", nodes, [(-30, 0, 7.9), (-4, 0, 6.1), (15, 18, 5)])


def wide_keeper() -> Part:
    inner = (window([(-10, -6, 0), (10, -6, 0), (10, 6, 3), (-10, 6, 3)]),)
    nodes: list[Node] = [(-25, -4, 9), (25, -4, 9), (12, 8, 7), (-12, 8, 7)]
    return part("wide_keeper", nodes, [(-25, -4, 6.6), (25, -4, 6.6)], inner=inner, axes=(Y_AXIS,))


PARTS = [
    waisted_keeper, oval_flange, tripod_flange, uneven_tripod, square_flange, four_boss_flange, eared_cover, flat_disc,
    two_flat_disc, three_eye_lever, bent_link, egg_cam, pawl, eye_lug, bell_crank, forked_arm, round_angle, sharp_angle,
    tee_plate, knuckle_leaf, saddle_half, slotted_plate, slide_rail, gusset, chamfered_plate, yoke, vent_plate,
    stepped_plate, hooked_strap, wide_keeper,
]  # fmt: skip


def all_parts() -> list[Part]:
    return [make() for make in PARTS]
