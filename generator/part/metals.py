"""What a recipe says of metals, bonds and temperatures, as values that checks reckon with."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from generator.base.adhesives import ELASTIC, ENGINEERING, KEY_OF, NO_ADHESIVE, Adhesive
from generator.base.figures import SET, Figure
from generator.base.frozen_record import frozen_record
from generator.base.galvanic import index_of
from generator.outline.combine import difference
from generator.outline.contour import Point
from generator.outline.distance import boundary_points
from generator.outline.measure import area, bounds, centroid, signed_area
from generator.outline.region import Region
from generator.outline.separate import separated
from generator.part.describe import is_through
from generator.part.part import Part
from generator.recipe.model import Recipe
from generator.recipe.model_adhesive import OwnAdhesive
from generator.recipe.model_bolts import Bolts
from generator.recipe.model_conditions import INDOOR, MARINE, OUTDOOR
from generator.recipe.model_inlay import Inlay
from generator.recipe.model_material import OwnMaterial

__all__ = [
    "Far",
    "adhesive_of",
    "after_cuts",
    "anodic_index",
    "bolt_metal",
    "built_in_adhesive",
    "far_corners",
    "galvanic_limit",
    "is_bonded",
    "temperatures",
    "warmth",
]

STAINLESS = ("A1", "A2", "A3", "A4", "A5")
"""How the classes of ISO 3506-1 begin."""
MADE_AT_C = 20.0
"""Parts are measured, and taken to be made, at this temperature (ISO 1)."""
COLDEST_C, HOTTEST_C = {True: 5.0, False: -20.0}, {True: 40.0, False: 70.0}
"""By whether it is indoors (our own choice)."""
REMEMBERED = 128
"""Answers kept: several checks ask the same."""
ALONG_MM = 0.5
"""Points this far apart on an outline find its far corner well enough: an arc's height over them is micrometres."""


def anodic_index(given: str | OwnMaterial) -> float | None:
    """Return the anodic index of a material of the recipe, V; None for what is no metal or not known."""
    return given.anodic_index if isinstance(given, OwnMaterial) else index_of(given)


def galvanic_limit(recipe: Recipe) -> Figure:
    """Return by how much the anodic indices of metals in contact may differ where the cover will live."""
    metals = recipe.limits.metals
    return {INDOOR: metals.indoor, OUTDOOR: metals.outdoor, MARINE: metals.marine}[recipe.conditions.environment]


def adhesive_of(recipe: Recipe, inlay: Inlay) -> Adhesive | None:
    """Return what bonds an insert; None for one that is only pressed in. Not named: what bridges 0.05 to 0.2 mm."""
    given = inlay.adhesive
    if not is_bonded(inlay):
        return None
    return _own_adhesive(given) if isinstance(given, OwnAdhesive) else built_in_adhesive(recipe, given or ENGINEERING)


def built_in_adhesive(recipe: Recipe, name: str) -> Adhesive:
    """Return a built-in adhesive with its figures as the recipe's limits have them."""
    known, key = recipe.limits.inserts, KEY_OF[name]
    thinnest, best, widest, shear = (getattr(known, f"{key}_{x}") for x in ("thinnest", "best", "widest", "shear"))
    return Adhesive(name, thinnest, best, widest, shear, known.elastic_stretch if name == ELASTIC else None)


def _own_adhesive(own: OwnAdhesive) -> Adhesive:
    """Return an adhesive as the recipe states it; one that bridges less than it is strong at, bridges that."""
    mm = [
        Figure(x, "mm", SET, "") for x in (own.thinnest, own.thickest, max(own.bridges or own.thickest, own.thickest))
    ]
    stretch = None if own.stretch is None else Figure(own.stretch, "of 1", SET, "")
    return Adhesive(own.name, mm[0], mm[1], mm[2], Figure(own.shear, "MPa", SET, ""), stretch)


def bolt_metal(bolts: Bolts) -> str:
    """Return what bolts are made of at their surface: as stated, or stainless by their class; empty if not known."""
    if bolts.metal:
        return bolts.metal
    return "stainless steel" if bolts.property_class.startswith(STAINLESS) else ""


def after_cuts(insert: Part) -> Region:
    """Return the face of an insert: its outline without what is cut through it."""
    return _less(insert.profile, tuple(f.region for f in insert.features if f.region and is_through(insert, f)))


@lru_cache(maxsize=REMEMBERED)
def _less(profile: Region, cuts: tuple[Region, ...]) -> Region:
    return difference(profile, *cuts) if cuts else profile


def is_bonded(inlay: Inlay) -> bool:
    """Return True if an adhesive film lies between insert and cover."""
    if inlay.adhesive:
        return inlay.adhesive != NO_ADHESIVE
    return inlay.fit != "press" or inlay.gap is not None


def temperatures(recipe: Recipe) -> tuple[float, float]:
    """Return the coldest and the hottest that the cover gets, °C."""
    said, indoors = recipe.conditions, recipe.conditions.environment == INDOOR
    cold = COLDEST_C[indoors] if said.coldest is None else said.coldest
    hot = HOTTEST_C[indoors] if said.hottest is None else said.hottest
    return cold, hot


def warmth(recipe: Recipe) -> tuple[float, float]:
    """Return how much colder and how much hotter than when it was made the cover gets, K: at most and at least 0."""
    cold, hot = temperatures(recipe)
    return cold - MADE_AT_C, hot - MADE_AT_C


@frozen_record
class Far:
    """How far a piece reaches from its middle.

    Attributes:
        piece: the piece itself.
        x_mm, y_mm: along x and along y.
        corner_mm, at: to its farthest corner, and that.
        hole_mm, hole_at: to the farthest place of the holes in it, and that; 0 and the corner where it has none.
    """

    piece: Region
    x_mm: float
    y_mm: float
    corner_mm: float
    at: Point
    hole_mm: float
    hole_at: Point


@lru_cache(maxsize=REMEMBERED)
def far_corners(region: Region) -> tuple[Far, ...]:
    """Return how far every piece of a region reaches from the middle of its area, the largest piece first."""
    return tuple(_far(p) for p in sorted(separated(region), key=area, reverse=True))


def _far(piece: Region) -> Far:
    middle, box = centroid(piece), bounds(piece)
    corner, at = _farthest(piece, middle)
    holes = Region.of(c for c in piece if signed_area(c) < 0.0)
    hole, hole_at = _farthest(holes, middle) if holes else (0.0, at)
    along_x = max(box.xmax - middle[0], middle[0] - box.xmin)
    along_y = max(box.ymax - middle[1], middle[1] - box.ymin)
    return Far(piece, along_x, along_y, corner, at, hole, hole_at)


def _farthest(outline: Region, middle: Point) -> tuple[float, Point]:
    """Return how far an outline's farthest point lies from a place, mm, and which it is."""
    points = boundary_points(outline, ALONG_MM)
    far = np.hypot(points[:, 0] - middle[0], points[:, 1] - middle[1])
    k = int(np.argmax(far.round(9)))
    return float(far[k]), Point(float(points[k, 0]), float(points[k, 1]))
