"""Edges of the checks of the plate itself."""

from __future__ import annotations

from dataclasses import replace

from harness import Edge
from part_samples import COVER, CREST, ORIGINAL, RECIPE, box, cover, crest, disc, original, stock

from generator.recipe.model import Opening, Recipe
from generator.recipe.model_bolts import Bolts, Seat

FLOOR = 12.0 - 3.4
"""Metal over the bottom pocket of the sound recipe, mm."""


def inlay_of(thickness: float):
    return crest(stock=replace(CREST.stock, thickness=thickness))


def plate_of(width: float):
    return replace(cover(outer=box(width, 50.0, round_mm=5.0), edge_break=0.1), inlays={})


def opening_at(y: float):
    return replace(original(openings={"cable": Opening(outline=disc(3.0, (0.0, y)))}), inlays={})


def bare(**changes) -> Recipe:
    """A plate over the original with nothing else in it."""
    return replace(original(bolts=(), openings={}), inlays={}, cover=replace(COVER, **{"seats": "none", **changes}))


def thickness(value: float) -> Recipe:
    return replace(stock(thickness=value), inlays={})


def band(height: float) -> Recipe:
    """An opening across the cover, 50 mm high."""
    bolts = (Bolts(thread="M6", at=((-20.0, 0.0),)),)
    return replace(original(openings={"cable": Opening(outline=box(4.0, height))}, bolts=bolts), inlays={})


def beside(x: float) -> Recipe:
    """An outer shape with a disc of 5 mm beside its edge at 40 mm."""
    return bare(outer=replace(box(80.0, 50.0, round_mm=5.0), add=(disc(5.0, (x, 0.0)),)), edge_break=0.1)


def tongue(edge_break: float) -> Recipe:
    """A tongue 1.4 mm wide."""
    return bare(outer=replace(box(80.0, 50.0), add=(box(24.0, 1.4, (50.0, 0.0)),)), edge_break=edge_break)


def neck(edge_break: float) -> Recipe:
    """A neck 1.4 mm wide that holds a square."""
    outer = replace(box(80.0, 50.0), add=(box(24.0, 1.4, (50.0, 0.0)), box(20.0, 20.0, (70.0, 0.0))))
    return bare(outer=outer, edge_break=edge_break)


def inlay_at(x: float) -> Recipe:
    """The inlay beside the rim, whose edge break of 0.5 mm ends at 39.5 mm."""
    return crest(outline=box(16.0, 8.0, (x, 10.0), 2.0))


def rounded(radius: float) -> Recipe:
    return cover(outer=box(80.0, 50.0, round_mm=radius))


def over_bolt(y: float) -> Recipe:
    return replace(original(openings={"cable": Opening(outline=disc(3.0, (20.0, y)))}), inlays={})


def small(value: float) -> Recipe:
    """A plate that the bottom pocket, 3.4 mm deep, covers wholly."""
    return bare(outer=box(20.0, 10.0), edge_break=0.0, stock=replace(COVER.stock, thickness=value))


def cones(apart: float) -> Recipe:
    return holes(apart, Seat(screw="ISO 10642"))


def holes(apart: float, seats: Seat | str = "none") -> Recipe:
    bolts = (Bolts(thread="M6", at=((0.0, 0.0), (apart, 0.0))),)
    return replace(RECIPE, original=replace(ORIGINAL, bolts=bolts, openings={}), inlays={},
                   cover=replace(COVER, seats=seats))  # fmt: skip


EDGES = (
    Edge("pocket-in-outer", "breaks-out", plate_of, 60.61, 60.59, near=0.02),
    Edge("pocket-depth", "deeper-than-stock", thickness, 3.405, 3.395),
    Edge("opening-in-outer", "takes-bolt", over_bolt, 6.305, 6.295),
    Edge("one-piece", "falls-apart", band, 49.9, 50.1, by_figure=False),
    Edge("one-piece", "several-outlines", beside, 44.99, 45.01, by_figure=False),
    Edge("edge-break", "as-deep-as-stock", lambda b: bare(edge_break=b), 11.99, 12.0),
    Edge("edge-break", "rim-too-narrow", tongue, 0.699, 0.702),
    Edge("edge-break", "rim-changes", neck, 0.699, 0.702),
    Edge("edge-break", "meets-feature", inlay_at, 31.495, 31.505),
    Edge("edge-break", "narrow-land", inlay_at, 31.299, 31.301),
    Edge("edge-break", "pinched-corner", rounded, 0.501, 0.499),
    Edge("can-be-built", "nothing-left", small, 3.405, 3.395, by_figure=False),
    Edge("can-be-built", "no-body", cones, 13.72, 13.7, by_figure=False),
    Edge("knife-edge", "touching", holes, 6.601005, 6.600995),
    Edge("thin-floor", "thin", inlay_of, FLOOR - 0.8, FLOOR - 0.8 + 0.008),
    Edge("thin-floor", "broken-through", inlay_of, FLOOR - 0.005, FLOOR + 0.005),
    Edge("pocket-depth", "thin-floor", lambda t: stock(thickness=t), 3.4 + 0.8, 3.4 + 0.792),
    Edge("pocket-in-outer", "thin-wall", plate_of, 60.6 + 1.602, 60.6 + 1.59),
    Edge("pocket-in-outer", "wall-too-thin", plate_of, 60.6 + 1.002, 60.6 + 0.992),
    Edge("opening-in-outer", "thin-web", opening_at, -25.0 + 3.8, -25.0 + 3.793),
)
