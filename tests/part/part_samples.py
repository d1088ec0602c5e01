"""Hand-made recipes and parts for the tests of this room."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from generator.base.fields import OutlineSpec
from generator.base.materials import material
from generator.outline.create import circle, rectangle
from generator.outline.region import Region
from generator.part.part import Face, Feature, Part, Plan
from generator.part.plan import make_plan
from generator.recipe.model import Cover, Opening, Original, Recipe, Stock
from generator.recipe.model_bolts import Bolts, Seat
from generator.recipe.model_dowels import Dowels
from generator.recipe.model_holding import Holding
from generator.recipe.model_inlay import Inlay, InsertStock
from generator.recipe.model_tools import Tool
from generator.shapes.disc import Disc
from generator.shapes.rectangle import Rectangle
from generator.shapes.shape import Files, NoFiles

ALUMINIUM = material("EN AW-6082 T6")


def box(width: float, height: float, at: tuple[float, float] = (0.0, 0.0), round_mm: float = 0.0) -> OutlineSpec:
    """A rectangle about ``at``."""
    return OutlineSpec("rectangle", Rectangle(size=(width, height)), round_corners_mm=round_mm, at_mm=at)


def disc(radius: float, at: tuple[float, float] = (0.0, 0.0)) -> OutlineSpec:
    """A disc about ``at``."""
    return OutlineSpec("disc", Disc(radius=radius), at_mm=at)


ORIGINAL = Original(
    height=3.2,
    load_bearing=False,
    footprint=box(60.0, 30.0, round_mm=5.0),
    bolts=(Bolts(thread="M6", at=((-20.0, 0.0), (20.0, 0.0))),),
    openings={"cable": Opening(outline=disc(3.0, (0.0, -9.0)), clearance=0.5)},
)
COVER = Cover(stock=Stock(thickness=12.0), outer=box(80.0, 50.0, round_mm=8.0), seats=Seat(screw="ISO 4762"))
CREST = Inlay(stock=InsertStock(thickness=1.5), outline=box(16.0, 8.0, (0.0, 4.0), 2.0))
RECIPE = Recipe(
    name="sample",
    original=ORIGINAL,
    cover=COVER,
    inlays={"crest": CREST},
    dowels=Dowels(diameter=6.0),
    holding=Holding(by="tabs"),
    tools={
        "finishing": Tool(kind="end mill", diameter=3.0),
        "rim": Tool(kind="chamfer cutter", diameter=6.0),
        "reamer": Tool(kind="reamer", diameter=6.0),
    },
)
"""A sound recipe with one of everything; no check has anything to say about it."""


def plan_of(recipe: Recipe, files: Files | None = None) -> Plan:
    return make_plan(recipe, files=files or NoFiles())


def original(**changes: Any) -> Recipe:
    """The sound recipe with another original."""
    return replace(RECIPE, original=replace(ORIGINAL, **changes))


def cover(**changes: Any) -> Recipe:
    """The sound recipe with another cover."""
    return replace(RECIPE, cover=replace(COVER, **changes))


def stock(**changes: Any) -> Recipe:
    """The sound recipe with another stock."""
    return cover(stock=replace(COVER.stock, **changes))


def crest(**changes: Any) -> Recipe:
    """The sound recipe with another inlay."""
    return replace(RECIPE, inlays={"crest": replace(CREST, **changes)})


def plate(*features: Feature, rim: float = 0.0, profile: Region | None = None, thickness: float = 8.0) -> Part:
    """A plate of 90 x 60 mm with sharp corners unless said otherwise."""
    outline = Region((rectangle(-45.0, -30.0, 45.0, 30.0),)) if profile is None else profile
    return Part("cover", ALUMINIUM, thickness, outline, features, rim_break_mm=rim)


def taken(
    region: Region, z_from: float, z_to: float, flare: float = 0.0, name: str = "pocket", face: Face = Face.TOP
) -> Feature:
    """A feature with just what matters for the body."""
    return Feature(name, name, face, region, z_from, z_to, flare_mm=flare)


def round_hole(radius: float, at: tuple[float, float] = (0.0, 0.0)) -> Region:
    """A disc as a region."""
    return Region((circle(at, radius),))
