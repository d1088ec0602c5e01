"""Edges of the checks of bolts, reckoned by hand from the sound recipe: M6, seats 6.4 mm deep in a plate of 12 mm."""

from __future__ import annotations

from dataclasses import replace
from math import pi, sqrt

from cases_bolts import NO_GAP, PLACES, PLAIN, PROUD, SUNK, m6
from harness import Edge
from part_samples import COVER, box

from generator.recipe.model import Recipe
from generator.recipe.model_bolts import Seat, Tapped

GRIP = 12.0 - 6.4
"""From the seat's floor down to the mounting face, where the thread begins, mm."""
AIMED = 0.7 * 580.0 * 20.1
"""Preload of M6 8.8, N."""
FULL = 0.2 * AIMED * 6.0 / 1000.0
"""Torque for it, N m."""
FLOOR = 12.0 - 6.4 - 3.4
"""Metal under a head, mm."""
PER_NEWTON = sqrt((6.0 * (5.5 - 4.69) / (2.0 * pi * 5.5) / FLOOR**2) ** 2 + 3.0 * (1.0 / (pi * 9.38 * FLOOR)) ** 2)
"""Equivalent stress in that floor for every newton: bearing face 9.38 mm in a seat of 11 mm."""
YIELDS = 0.2 * 6.0 / 1000.0 * 255.0 / PER_NEWTON
"""Torque at which it comes to 255 MPa, N m."""
LEAST = min(FULL, YIELDS)
"""Torque that all links bear, N m."""
SOFT = 0.2 * 6.0 / 1000.0 * 180.0 * pi / 4.0 * (9.38**2 - 6.6**2)
"""Torque at which copper of 180 MPa gives way under the head, N m."""


def length(value: float) -> Recipe:
    return m6(length=value, into=Tapped(material="steel", depth=14.0, blind=True))


def depth(value: float) -> Recipe:
    return m6(into=Tapped(material="steel", depth=value))


def nut(value: float) -> Recipe:
    return m6(length=value, into="nut")


def torque(value: float) -> Recipe:
    return m6(torque=value, passes=20.0)


def on_little_floor(value: float) -> Recipe:
    """Of which the floor bears less than twice the least: only the share of the bolt's own preload tells."""
    return m6(torque=value, passes=20.0, cover={"stock": replace(COVER.stock, thickness=10.75)})


def thickness(value: float) -> Recipe:
    return m6(cover={"stock": replace(COVER.stock, thickness=value)})


def settled(value: float) -> Recipe:
    return replace(m6(torque=value), clearance=NO_GAP)


def washer(value: float) -> Recipe:
    return m6(Seat(screw="ISO 4762", diameter=value), washer=True)


def sunk_washer(value: float) -> Recipe:
    return m6(Seat(screw="ISO 4762", diameter=13.0, depth=value), washer=True)


def apart(value: float) -> Recipe:
    return m6(PLAIN, at=((0.0, 0.0), (value, 0.0)))


def insert_at(value: float) -> Recipe:
    return replace(m6(PLAIN, at=PLACES), inlays={"crest": replace(PROUD, outline=box(16.0, 8.0, (20.0, value), 2.0))})


def deep(value: float) -> Recipe:
    return m6(Seat(screw="ISO 4762", depth=value), cover={"stock": replace(COVER.stock, thickness=45.0)})


HELD = 3.4 + 6.4
"""Thickness of a plate without any floor under the heads, mm."""


def bears(floor: float) -> float:
    """Preload that a floor of this thickness bears, as a share of the bolt's."""
    bent, sheared = 6.0 * (5.5 - 4.69) / (2.0 * pi * 5.5) / floor**2, 1.0 / (pi * 9.38 * floor)
    return 255.0 / sqrt(bent**2 + 3.0 * sheared**2) / AIMED


def half() -> float:
    """Floor that bears half of the preload, mm, by bisection."""
    low, high = 0.5, 4.0
    for _ in range(50):
        middle = (low + high) / 2.0
        low, high = (middle, high) if bears(middle) < 0.5 else (low, middle)
    return high


def loss() -> float:
    """Preload lost on 5.6 mm clamped, N: 10 µm on the springs of M6 and of 2.4 mm aluminium over 3.2 mm steel."""
    bolt = 20.1 * 205_000.0 / (GRIP + 3.0)
    spring = 6.0 * 0.78952 * 2.718281828 ** (0.62914 * 6.0 / GRIP)
    members = 1.0 / ((2.4 / GRIP) / (70_000.0 * spring) + (3.2 / GRIP) / (205_000.0 * spring))
    return 0.010 * bolt * members / (bolt + members)


SETTLES = 0.2 * 6.0 / 1000.0 * loss() / 0.25

EDGES = (
    Edge("bolt-length", "does-not-reach", length, GRIP + 0.01, GRIP - 0.01),
    Edge("bolt-length", "bottoms-out", length, GRIP + 13.0 - 0.01, GRIP + 13.0 + 0.01),
    Edge("thread-engagement", "few-turns", length, GRIP + 6.01, GRIP + 5.99),
    Edge("thread-engagement", "shallow-thread", depth, 6.01, 5.99),
    Edge("thread-engagement", "nut-not-full", nut, GRIP + 5.2 + 2.01, GRIP + 5.2 + 1.99),
    Edge("tightening-torque", "too-tight", torque, 0.995 * FULL, 1.005 * FULL),
    Edge("tightening-torque", "held-back", thickness, HELD + half() + 0.002, HELD + half() - 0.002),
    Edge("tightening-torque", "too-loose", torque, 0.4 * 1.005 * LEAST, 0.4 * 0.995 * LEAST),
    Edge("tightening-torque", "too-loose", on_little_floor, 0.1 * 1.005 * FULL, 0.1 * 0.995 * FULL),
    Edge("weak-head", "too-tight", lambda t: m6(SUNK, torque=t), 0.795 * FULL, 0.805 * FULL),
    Edge("bearing-pressure", "gives-way", lambda t: m6(torque=t, cover={"material": "Cu-ETP R240"}),
         0.995 * SOFT, 1.005 * SOFT),
    Edge("floor-over-gap", "yields", lambda t: m6(torque=t), 0.995 * YIELDS, 1.005 * YIELDS),
    Edge("settling", "loses-preload", settled, 1.005 * SETTLES, 0.995 * SETTLES),
    Edge("washer-in-seat", "too-wide", washer, 12.01, 11.99),
    Edge("washer-in-seat", "tight", washer, 12.51, 12.49),
    Edge("washer-in-seat", "lifts-head", sunk_washer, 7.61, 7.59, near=0.011),
    Edge("spanner-room", "meets-head", apart, 7.5 + 0.5 + 5.525 + 0.01, 7.5 + 0.5 + 5.525 - 0.01),
    Edge("spanner-room", "meets-insert", insert_at, 12.0 - 0.05 + 0.04, 12.0 - 0.05 - 0.04),
    Edge("key-reach", "too-deep", deep, 6.0 + 0.9 * 28.0 - 0.05, 6.0 + 0.9 * 28.0 + 0.05),
)  # fmt: skip
