"""Edges of the checks of inlays in the cover, of their artwork, and of what cutters leave."""

from __future__ import annotations

from dataclasses import replace
from math import pi, sqrt

from harness import Edge
from part_samples import COVER, CREST, ORIGINAL, RECIPE, box, crest, disc, original, stock

from generator.recipe.model import Recipe
from generator.recipe.model_dowels import Dowels
from generator.recipe.model_inlay import Artwork
from generator.recipe.model_tools import Tool

INSERT = 8.0 - 0.05
"""Half the length of the crest's insert, mm."""
CORNERS = 4.0 - pi
"""Area that four round corners of radius 1 leave of sharp ones."""


def art(**changes: object) -> Recipe:
    return crest(artwork={"mark": Artwork(**changes)})  # type: ignore[arg-type]


def mark_at(x: float) -> Recipe:
    return art(outline=disc(2.0, (x, 0.0)))


def engraved(depth: float) -> Recipe:
    return art(outline=disc(2.0), done="engraved", depth=depth)


def inlay(x: float, y: float, cover: object = COVER, **changes: object) -> Recipe:
    return replace(crest(outline=box(16.0, 8.0, (x, y), 2.0)), cover=cover, **changes)  # type: ignore[arg-type]


def over_bolt(y: float) -> Recipe:
    return inlay(20.0, y, replace(COVER, seats="none"))


def over_dowel(y: float) -> Recipe:
    return inlay(0.0, y, dowels=Dowels(diameter=6.0, place="inside", at=(-18.0, 19.0)))


def second(x: float) -> Recipe:
    two = replace(CREST, outline=box(16.0, 8.0, (x, 4.0), 2.0))
    bare = replace(ORIGINAL, bolts=(), openings={})
    return replace(RECIPE, original=bare, inlays={"crest": CREST, "two": two})


def proud(by: float) -> Recipe:
    return crest(sits="proud", by=by)


def measured(thickness: float) -> Recipe:
    return stock(measured=thickness, depths_from="bottom face")


def strip(width: float) -> Recipe:
    """A strip engraved in the insert by an end mill of 3 mm."""
    return art(outline=box(8.0, width))


def square(width: float) -> Recipe:
    """A rectangle whose corners, rounded for an end mill of 3 mm, are 2 % of its area."""
    return art(outline=box(width, 6.0))


def speck(width: float) -> Recipe:
    return art(outline=replace(disc(2.0), add=(box(width, width, (5.0, 0.0)),)))


def bar(length: float) -> Recipe:
    """A bar cut through the insert, which is 7.9 mm wide."""
    return art(outline=box(2.0, length), corners="as drawn")


def ring(cut: float) -> Recipe:
    """A ring cut through the insert, but for a bridge that a bar so far from the middle leaves or not."""
    bridge = box(2.0, 0.4, (cut, 0.0))
    return art(outline=replace(disc(3.0), cut=(disc(1.5), bridge)), corners="as drawn")


def mill(diameter: float, recipe: Recipe | None = None) -> Recipe:
    only = {"only": Tool(kind="end mill", diameter=diameter)}
    return replace(recipe or crest(corners="as drawn"), tools=only)


def corner(radius: float) -> Recipe:
    """A pocket whose corners have this radius, for an end mill of 0.1 mm radius."""
    return mill(0.2, crest(outline=box(16.0, 8.0, (0.0, 4.0), radius), corners="as drawn"))


def around(clearance: float) -> Recipe:
    sharp = original(footprint=box(60.0, 30.0))
    return replace(sharp, clearance=replace(RECIPE.clearance, around=clearance))


def slit(width: float) -> Recipe:
    """A rib of this width in the inlay pocket."""
    outline = replace(box(16.0, 8.0, (0.0, 4.0), 2.0), cut=(box(4.0, width, round_mm=width / 2.0),))
    return crest(corners="as drawn", outline=outline)


def left_of(area: float) -> float:
    """Radius of corners of which an end mill of 0.1 mm radius leaves this area, mm."""
    return sqrt(0.1**2 - area / CORNERS)


SPANDREL = 1.5 * (1.0 - 1.0 / sqrt(2.0))
"""Clearance at which a sharp corner of the original just comes to what the cutter leaves, mm."""


def disc_and_bar(gap: float) -> Recipe:
    """A disc, and beside it a bar 0.8 mm wide."""
    return crest(
        corners="as drawn", gap=gap, outline=replace(disc(2.5, (-6.0, 4.0)), add=(box(6.0, 0.8, (12.0, 0.0)),))
    )


def dumbbell(gap: float) -> Recipe:
    """Two discs joined by a bar 0.6 mm wide."""
    outline = replace(disc(4.0, (-8.0, 4.0)), add=(disc(4.0, (8.0, 4.0)), box(16.0, 0.6, (0.0, 4.0))))
    return crest(corners="as drawn", gap=gap, outline=outline)


EDGES = (
    Edge("insert-gap", "swallowed", lambda gap: crest(gap=gap), 3.99, 4.01, by_figure=False),
    Edge("insert-gap", "piece-swallowed", disc_and_bar, 0.399, 0.401, by_figure=False),
    Edge("insert-gap", "falls-apart", dumbbell, 0.299, 0.301, by_figure=False),
    Edge("artwork-in-insert", "breaks-out", mark_at, INSERT - 2.0 - 0.005, INSERT - 2.0 + 0.005),
    Edge("artwork-in-insert", "thin-edge", mark_at, INSERT - 2.5 - 0.004, INSERT - 2.5 + 0.004),
    Edge("artwork-in-insert", "too-deep", engraved, 1.495, 1.5),
    Edge("artwork-in-insert", "thin-floor", engraved, 0.996, 1.004),
    Edge("inlay-in-cover", "breaks-out", lambda x: inlay(x, 10.0), 31.995, 32.005, near=0.02),
    Edge("inlay-in-cover", "thin-wall", lambda x: inlay(x, 10.0), 31.195, 31.205),
    Edge("inlay-clash", "meets-bolt", over_bolt, 7.305, 7.295),
    Edge("inlay-clash", "meets-seat", lambda y: inlay(20.0, y), 9.505, 9.495),
    Edge("inlay-clash", "meets-opening", lambda y: inlay(0.0, y), -1.495, -1.505),
    Edge("inlay-clash", "meets-dowel", over_dowel, 11.995, 12.005),
    Edge("inlay-clash", "meets-inlay", second, 16.005, 15.995, near=0.05),
    Edge("inlay-clash", "thin-wall", lambda y: inlay(0.0, y), -0.695, -0.705),
    Edge("insert-height", "too-high", measured, 12.0 - 0.0199, 12.0 - 0.0201),
    Edge("insert-height", "too-low", measured, 12.0 + 0.0199, 12.0 + 0.0201),
    Edge("insert-height", "shallow-pocket", proud, 1.198, 1.202),
    Edge("finer-than-cutter", "thinned", square, 1.001 * CORNERS * 1.5**2 / 0.02 / 6.0,
         0.999 * CORNERS * 1.5**2 / 0.02 / 6.0),
    Edge("finer-than-cutter", "nothing-left", strip, 3.01, 2.99, by_figure=False),
    Edge("finer-than-cutter", "piece-lost", speck, 3.01, 2.99, by_figure=False),
    Edge("fallen-pieces", "cut-off", bar, 7.88, 7.92, by_figure=False),
    Edge("fallen-pieces", "falls-out", ring, 2.005, 1.99, by_figure=False),
    Edge("cutter-reach", "does-not-fit", mill, 8.0, 8.01),
    Edge("cutter-reach", "uncut", corner, left_of(0.000995), left_of(0.001005)),
    Edge("cutter-reach", "blocks-original", around, SPANDREL + 0.002, SPANDREL - 0.002, by_figure=False),
    Edge("cutter-reach", "thin-rib", slit, 0.502, 0.498),
)  # fmt: skip
