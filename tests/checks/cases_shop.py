"""Cases of the checks of what a shop needs."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from harness import FORBIDS, NOTES, WARNS, Case
from part_samples import CREST, ORIGINAL, RECIPE, box, cover, crest, disc, original, stock

from generator.recipe.model import Opening, Recipe
from generator.recipe.model_bolts import Bolts, Seat
from generator.recipe.model_inlay import Engraving
from generator.recipe.model_material import OwnMaterial
from generator.recipe.model_tools import Tool
from generator.recipe.model_trial_print import TrialPrint

ONE_SMALL = replace(RECIPE, tools={"fine": Tool(kind="end mill", diameter=0.8)})
PLACES = ORIGINAL.bolts[0].at
BARE = OwnMaterial(name="cast plate", density=2700.0)


def tolerances(**changes: Any) -> Recipe:
    return replace(RECIPE, tolerances=replace(RECIPE.tolerances, **changes))


def twice(radius: float) -> Recipe:
    """The opening of the sound recipe and another one at its place."""
    cable = ORIGINAL.openings["cable"]
    return original(openings={"cable": cable, "wire": Opening(outline=disc(radius, (0.0, -9.0)))})


def second_bolt(apart: float) -> Recipe:
    """A bolt so far beside another one."""
    return original(bolts=(Bolts(thread="M6", at=(*PLACES, (20.0, apart))),))


def holes(diameter: float) -> Recipe:
    return original(bolts=(Bolts(hole=diameter, at=PLACES, seat="none"),))


def engraved(depth: float, in_all: float = 0.05) -> Recipe:
    """An engraving beside the inlay, whose pocket is 1.5 mm deep."""
    mark = {"mark": Engraving(outline=disc(2.5, (0.0, 14.0)), depth=depth)}
    return replace(cover(engravings=mark), tolerances=replace(RECIPE.tolerances, depth=in_all))


def coarse(clearance: float, general: str = "ISO 2768-cL", accuracy: float = 0.02) -> Recipe:
    return replace(
        tolerances(general=general),
        clearance=replace(RECIPE.clearance, around=clearance),
        making=replace(RECIPE.making, accuracy=accuracy),
    )


def glued(size: float, fit: str = "glued") -> Recipe:
    return replace(crest(fit=fit), tolerances=replace(RECIPE.tolerances, size=size))


def sheet(thickness: float) -> Recipe:
    return crest(stock=replace(CREST.stock, thickness=thickness))


def step(height: float) -> Recipe:
    """An outline with two steps of this height in its upper side."""
    outer = replace(box(80.0, 50.0), add=(box(20.0, 50.0, (0.0, height)),))
    return cover(outer=outer, edge_break=0.0)


def rounded(radius: float) -> Recipe:
    """A cover whose corners are rounded by this radius."""
    return cover(outer=box(80.0, 50.0, round_mm=radius), edge_break=0.0)


def printed(allowance: float, recipe: Recipe = RECIPE) -> Recipe:
    """A trial print whose holes are wider by this."""
    return replace(recipe, trial_print=TrialPrint(holes=allowance))


CASES: tuple[Case, ...] = (
    ("making-estimate", "takes", NOTES, RECIPE),
    ("making-estimate", "long", WARNS, ONE_SMALL),
    ("duplicate-outline", "same-outline", WARNS, twice(3.5)),
    ("duplicate-outline", "same-outline", WARNS, twice(3.51)),
    ("duplicate-outline", "same-place", FORBIDS, second_bolt(0.0)),
    ("duplicate-outline", "same-place", FORBIDS, second_bolt(0.02)),
    ("hole-callout", "by-diameter", NOTES, holes(6.6)),
    ("hole-callout", "by-diameter", NOTES, holes(7.0)),
    ("hole-callout", "odd-size", NOTES, holes(6.63)),
    ("hole-callout", "odd-size", NOTES, holes(6.67)),
    ("hole-callout", "odd-size", NOTES, replace(holes(6.65), units="inch")),
    ("depths-named", "may-vanish", WARNS, engraved(0.08, in_all=0.1)),
    ("depths-named", "may-vanish", WARNS, cover(seats=Seat(screw="ISO 4762", depth=0.04))),
    ("depths-named", "nearly-equal", NOTES, engraved(1.52)),
    ("general-tolerance", "none-given", WARNS, tolerances(general=" ")),
    ("general-tolerance", "unknown-class", WARNS, tolerances(general="ISO 2768-x")),
    ("general-tolerance", "other-standard", NOTES, tolerances(general="as agreed")),
    ("general-tolerance", "eats-clearance", WARNS, coarse(0.3)),
    ("general-tolerance", "eats-clearance", WARNS, coarse(0.05, "ISO 2768-1 m")),
    ("general-tolerance", "finer-than-machine", WARNS, coarse(0.3, "ISO 2768-f", 0.12)),
    ("general-tolerance", "finer-than-machine", WARNS, coarse(0.3, "ISO 2768-mK", 3.0)),
    ("tolerance-process", "tighter", WARNS, tolerances(position=0.01)),
    ("tolerance-process", "tighter", WARNS, tolerances(size=0.0, depth=0.005, flip=0.019)),
    ("tolerance-process", "too-sure", NOTES, tolerances(footprint=0.0, bolts=0.01, height=0.019)),
    ("gap-tolerance", "may-not-go-in", WARNS, glued(0.2)),
    ("gap-tolerance", "may-not-go-in", NOTES, glued(0.1, "hand")),
    ("gap-tolerance", "may-not-go-in", NOTES, crest(gap=0.03)),
    ("stock-standard", "odd-plate", NOTES, stock(thickness=13.0)),
    ("stock-standard", "odd-plate", NOTES, replace(stock(thickness=11.4), units="inch")),
    ("stock-standard", "odd-sheet", NOTES, sheet(1.4)),
    ("material-known", "unjudged", NOTES, cover(material=BARE)),
    ("material-known", "unjudged", NOTES, crest(material=replace(BARE, expansion=20.0))),
    ("short-steps", "stutters", NOTES, step(0.004)),
    ("sharp-corners", "catches", NOTES, rounded(0.0)),
    ("sharp-corners", "catches", NOTES, rounded(0.2)),
    ("trial-print", "walls-eaten", WARNS, printed(5.0)),
    ("trial-print", "walls-eaten", WARNS, printed(2.5, second_bolt(14.0))),
    ("trial-print", "walls-eaten", WARNS, printed(0.2, holes(23.0))),
    ("title-block", "no-revision", WARNS, replace(RECIPE, revision=" ")),
    ("sheet-letters", "not-in-face", WARNS, replace(RECIPE, title="門鎖 cover")),
    ("sheet-letters", "not-in-face", WARNS, replace(RECIPE, order=replace(RECIPE.order, owner="カバー"))),
    ("sheet-letters", "right-to-left", WARNS, replace(RECIPE, order=replace(RECIPE.order, finish="مقبض"))),
    ("sheet-letters", "right-to-left", WARNS, replace(RECIPE, title="מכסה")),
)
