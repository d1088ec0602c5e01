"""Cases of the checks of cutters against what they cut."""

from __future__ import annotations

from dataclasses import replace

from harness import FORBIDS, NOTES, WARNS, Case
from part_samples import COVER, RECIPE, box, cover, disc, original, stock

from generator.recipe.model import Opening, Recipe
from generator.recipe.model_bolts import Seat
from generator.recipe.model_tools import Tool

REST = {name: tool for name, tool in RECIPE.tools.items() if tool.kind != "end mill"}
BARE = replace(original(bolts=(), openings={}), inlays={}, dowels="none")
"""Nothing but a bottom pocket and an outline."""


def with_mill(recipe: Recipe = RECIPE, diameter: float = 3.0, **changes: object) -> Recipe:
    """The recipe with one end mill."""
    mill = Tool(kind="end mill", diameter=diameter, **changes)  # type: ignore[arg-type]
    return replace(recipe, tools={"finishing": mill, **REST})


def slot(width: float, thickness: float = 12.0, mill: float = 2.0) -> Recipe:
    """A slot of this width beside the original, right through a plate of this thickness."""
    opening = Opening(outline=box(20.0, width, (0.0, 20.0), round_mm=width / 2.0 - 0.01))
    wide = original(openings={"cable": opening}, bolts=())
    plate = replace(COVER, stock=replace(COVER.stock, thickness=thickness))
    return with_mill(replace(wide, cover=plate, inlays={}, dowels="none"), mill)


def notch(radius: float) -> Recipe:
    """An outline with inside corners of this radius."""
    outer = replace(box(80.0, 50.0), add=(box(30.0, 30.0, (50.0, 0.0)),), round_corners_mm=radius)
    return replace(BARE, cover=replace(COVER, outer=outer, edge_break=0.1, seats="none"))


def step_down(share: float) -> Recipe:
    """Passes of this many diameters, with a cutter that stands out far."""
    return replace(with_mill(stick_out=15.0), making=replace(RECIPE.making, step_down=share))


def drilled(flutes: float) -> Recipe:
    """Bolt holes for which a drill with flutes of this length is at hand."""
    return replace(RECIPE, tools={**RECIPE.tools, "drill": Tool(kind="drill", diameter=6.6, flute_length=flutes)})


def drill_out(stick_out: float) -> Recipe:
    """Bolt holes for which a drill that stands out so far is at hand."""
    return replace(RECIPE, tools={**RECIPE.tools, "drill": Tool(kind="drill", diameter=6.6, stick_out=stick_out)})


def sharp(around: float) -> Recipe:
    """An original with sharp corners and so much clearance."""
    made = original(footprint=box(60.0, 30.0))
    return replace(made, clearance=replace(made.clearance, around=around))


CASES: tuple[Case, ...] = (
    ("tools-at-hand", "no-chamfer-cutter", NOTES, replace(RECIPE, tools={"only": RECIPE.tools["finishing"]})),
    ("tools-at-hand", "no-reamer", NOTES, replace(RECIPE, tools={"only": RECIPE.tools["finishing"]})),
    ("tools-at-hand", "small-chamfer-cutter", WARNS, cover(edge_break=4.0, seats="none")),
    ("tools-at-hand", "small-chamfer-cutter", WARNS, cover(seats=Seat(screw="ISO 10642", diameter=13.5))),
    ("tools-at-hand", "nothing-fits", WARNS, with_mill(diameter=6.5)),
    ("tools-at-hand", "nothing-fits", WARNS, original(openings={"cable": Opening(outline=disc(1.4, (0.0, -9.0)))})),
    ("flute-length", "too-short", WARNS, with_mill(flute_length=8.0)),
    ("flute-length", "short-drill", WARNS, drilled(3.0)),
    ("flute-length", "holder-hits", FORBIDS, with_mill(stick_out=8.0)),
    ("flute-length", "holder-hits", FORBIDS, drill_out(9.0)),
    ("cutter-reach", "uncut", NOTES, sharp(0.5)),
    ("depth-to-diameter", "deep", NOTES, stock(thickness=13.0)),
    ("depth-to-diameter", "slender", WARNS, stock(thickness=19.0)),
    ("depth-to-diameter", "narrow-slot", WARNS, slot(2.5)),
    ("corner-to-depth", "tight", NOTES, notch(3.0)),
    ("corner-to-depth", "tight", NOTES, original(footprint=box(60.0, 30.0, round_mm=0.5), height=9.0)),
    ("cutter-deflection", "bends", WARNS, with_mill(stick_out=20.0)),
    ("cutter-deflection", "bends", WARNS, step_down(0.6)),
)
