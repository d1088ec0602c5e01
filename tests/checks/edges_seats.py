"""Edges of the checks of bolt holes and seats: M6, holes of 6.6 mm, seats of 11 mm, 6.4 mm deep, a plate of 12 mm."""

from __future__ import annotations

from dataclasses import replace

from cases_bolts import m6, with_bolts
from harness import Edge
from part_samples import COVER, disc

from generator.recipe.model import Opening, Recipe
from generator.recipe.model_bolts import Bolts, Seat

EDGE_X, EDGE_Y = 40.0, 15.0
"""The cover's edge to the right, and the original's above, mm."""
HOLE, SEAT = 6.6, 11.0
POCKET = 3.4


def hole_at(x: float) -> Recipe:
    return m6("none", at=((x, 0.0),))


def hole_above(y: float) -> Recipe:
    return m6("none", at=((0.0, y),))


def holes(apart: float) -> Recipe:
    return m6("none", at=((0.0, 0.0), (apart, 0.0)))


def seat_at(x: float) -> Recipe:
    return m6(at=((x, 0.0),))


def seats(apart: float) -> Recipe:
    return m6(at=((0.0, 0.0), (apart, 0.0)))


def seat_beside(y: float) -> Recipe:
    """A seat beside an opening of 3 mm radius, so far from its middle."""
    recipe = m6()
    cable = {"cable": Opening(outline=disc(3.0, (20.0, y)))}
    return replace(recipe, original=replace(recipe.original, openings=cable))


def plate(thickness: float) -> Recipe:
    return m6(cover={"stock": replace(COVER.stock, thickness=thickness)})


def small(thickness: float) -> Recipe:
    """A hole of 1.8 mm."""
    small = Bolts(thread="M1.6", at=((0.0, 0.0),))
    return with_bolts(small, seats="none", stock=replace(COVER.stock, thickness=thickness))


def deep(depth: float) -> Recipe:
    return m6(Seat(screw="ISO 4762", depth=depth))


EDGES = (
    Edge("bolt-in-cover", "near-edge", hole_at, EDGE_X - 1.2 * HOLE - 0.01, EDGE_X - 1.2 * HOLE + 0.01),
    Edge("bolt-in-cover", "outside", hole_at, EDGE_X - HOLE / 2.0 - 0.005, EDGE_X - HOLE / 2.0 + 0.005, near=0.02),
    Edge("bolt-in-footprint", "over-edge", hole_above, EDGE_Y - HOLE / 2.0 - 0.005, EDGE_Y - HOLE / 2.0 + 0.005,
         near=0.02),
    Edge("bolt-in-footprint", "not-through", hole_above, EDGE_Y - 0.005, EDGE_Y + 0.005),
    Edge("bolt-spacing", "overlap", holes, HOLE + 0.005, HOLE - 0.005),
    Edge("bolt-spacing", "thin-web", holes, HOLE + 0.8 + 0.005, HOLE + 0.8 - 0.005),
    Edge("hole-size", "deep-for-its-diameter", small, POCKET + 18.0, POCKET + 18.1),
    Edge("seat-wall", "breaks-out", seat_at, EDGE_X - SEAT / 2.0 - 0.005, EDGE_X - SEAT / 2.0 + 0.005),
    Edge("seat-wall", "thin-wall", seat_at, EDGE_X - SEAT / 2.0 - 0.8 - 0.005, EDGE_X - SEAT / 2.0 - 0.8 + 0.005),
    Edge("seat-wall", "into-opening", seat_beside, SEAT / 2.0 + 3.0 + 0.005, SEAT / 2.0 + 3.0 - 0.005),
    Edge("seat-wall", "into-seat", seats, SEAT + 0.005, SEAT - 0.005),
    Edge("seat-depth", "thin-floor", plate, POCKET + 6.4 + 0.8 + 0.005, POCKET + 6.4 + 0.8 - 0.005),
    Edge("seat-depth", "no-floor", plate, POCKET + 6.4 + 0.005, POCKET + 6.4 - 0.005),
    Edge("seat-depth", "goes-through", deep, 12.0 - POCKET - 0.005, 12.0 - POCKET + 0.005),
    Edge("seat-depth", "head-proud", deep, 6.0 - 0.05 + 0.0003, 6.0 - 0.05 - 0.0003),
    Edge("head-on-cover", "over-edge", hole_at, *(EDGE_X - 0.5 - bearing / 2.0 for bearing in (8.98, 8.78)),
         by_figure=False),
)  # fmt: skip
