"""A few outline kinds and recipes of the tests' own, so that this room is tested without the shapes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from generator.base import fields as f
from generator.base.errors import RecipeError
from generator.base.fields import Kinds, OutlineKind, OutlineSpec
from generator.recipe.read import Reading, RecipeSource, read_recipe


@dataclass(frozen=True, kw_only=True)
class SampleDisc:
    """A disc."""

    EXACTLY_ONE: ClassVar = (("radius", "diameter"),)

    radius: float | None = f.length("Radius.", default=None, above=0, at_most=2000, example=30)
    diameter: float | None = f.length("Diameter.", default=None, above=0, at_most=4000, example=60)
    centre: tuple[float, float] = f.point("Centre.", default=(0.0, 0.0), example=[0, 0])


@dataclass(frozen=True, kw_only=True)
class SampleCorner:
    """A corner."""

    at: tuple[float, float] = f.point("Place.", example=[1, 2])
    radius: float = f.length("Radius.", default=0.0, at_least=0, at_most=100, example=2)


@dataclass(frozen=True, kw_only=True)
class SamplePolygon:
    """A polygon; its corners have one radius or are cut off."""

    AT_MOST_ONE: ClassVar = (("rounded", "cut_off"),)

    corners: tuple[SampleCorner, ...] = f.list_of(
        f.record(SampleCorner, "A corner."), "Corners in order.", fewest=3, most=100
    )
    rounded: float = f.length("Radius of all.", default=0.0, at_least=0, at_most=100, example=2)
    cut_off: float | None = f.length("Chamfer of all.", default=None, at_least=0, at_most=100, example=2)


@dataclass(frozen=True, kw_only=True)
class SampleSlot:
    """A slot; its keys try every sort of value."""

    from_: tuple[float, float] = f.point("Start.", example=[0, 0])
    reach: float = f.length("Length.", above=0, at_most=2000, example=20)
    direction: float = f.angle("Direction.", default=0.0, at_least=-360, at_most=360, example=90)
    share: float = f.number("A share.", default=0.5, above=0, below=1, example=0.25)
    steps: int = f.count("A number of steps.", default=3, at_least=1, at_most=99, example=4)
    ends: str = f.word("Its ends.", ("round", "square"), default="round", example="square")
    width: float | str = f.length("Width.", default="same", words=("same",), above=0, at_most=50, example=8)


@dataclass(frozen=True, kw_only=True)
class SampleHull:
    """What a rubber band round several outlines encloses."""

    outlines: tuple[OutlineSpec, ...] = f.list_of(f.outline("One of them."), "The outlines.", fewest=1, most=50)


@dataclass(frozen=True, kw_only=True)
class SampleLess:
    """One outline less named others."""

    outline: OutlineSpec = f.outline("The outline.")
    holes: dict[str, OutlineSpec] = f.map_of(f.outline("A hole."), "Holes by name.")


@dataclass(frozen=True, kw_only=True)
class SampleDrawing:
    """An outline in a file."""

    file: str = f.file("The file.", example="bracket.dxf")


@dataclass(frozen=True, kw_only=True)
class SampleMargin:
    """An even margin."""

    margin: float = f.length("Margin.", default=6.0, at_least=0, at_most=200, example=6)


ANYWHERE = (
    OutlineKind("disc", SampleDisc, "A disc."),
    OutlineKind("corners", SamplePolygon, "A polygon."),
    OutlineKind("slot", SampleSlot, "A slot."),
    OutlineKind("hull", SampleHull, "A rubber band."),
    OutlineKind("less", SampleLess, "One less others."),
    OutlineKind("drawing", SampleDrawing, "From a file."),
)
KINDS: Kinds = {"outline": ANYWHERE, "outer": (*ANYWHERE, OutlineKind("even_margin", SampleMargin, "Even margin."))}

SMALL = """\
name: garden-gate
original:
  height: 3.2
  load_bearing: false
  footprint: {disc: {radius: 20}}
cover:
  stock: {thickness: 8}
  outer: {even_margin: {margin: 6}}
"""

LARGE = """\
# every key at least once
name: gate-latch-{plot}
title: "Gate latch cover, plot {plot} of {garden}"
revision: "1.10"
units: mm
parameters:
  plot: 21
  garden: Mill Lane
  wall: 3
  quarter: 1/4 in
  reach: max(wall * 10, 32 mm)
  tilt: 30 deg
  label: "No. {plot}"
original:
  height: 3.2
  load_bearing: true
  footprint:
    hull:
      outlines:
        - disc: {radius: 12, centre: [-reach, 0]}
        - {disc: {diameter: 24}, at: [reach, 0]}
    cut:
      - slot: {from: [0, 0], reach: 20 mm, direction: tilt * 2, share: 1/4, steps: 2 + 2, ends: square, width: same}
    add:
      - corners: {corners: [{at: [0, 0]}, {at: [10, 0], radius: quarter}, {at: [0, 10]}]}
    mirror: both
    round_corners: 2
    grow: -0.1
    turn: 15
    at: [1, 2]
  bolts:
    - {thread: M6, fit: fine, at: [[-reach, 0], [reach, 0]]}
    - hole: 1/4 in
      circle: {centre: [0, 0], diameter: 44, count: 5, first: -90}
      seat: {screw: ISO 4762, depth: 6.4, diameter: 11}
    - {thread: M4, at: [[0, 0]], seat: none}
  openings:
    spindle: {outline: {disc: {diameter: 15}}, clearance: 0.5}
    cable: {outline: {less: {outline: {disc: {radius: 9}}, holes: {eye: {disc: {radius: 1}}}}}}
clearance: {around: 0.3, above: 0.2}
cover:
  material: {name: EN AW-7075 T6, density: 2810, colour: "#a0b0c0"}
  stock: {thickness: 8, measured: 8.12, depths_from: bottom face, margin: 10}
  outer: {even_margin: {margin: wall * 2}}
  seats: {screw: ISO 7380-1}
  edge_break: 0.6
inlays:
  number:
    material: CuZn37 R350
    stock: {thickness: 1.5}
    outline: {slot: {from: [-10, 0], reach: 20}}
    gap: 0.05
    sits: proud
    by: 0.3
    pocket_depth: 1.2
dowels: {diameter: 6, fit: H7, axis: y, through: [0, 0], place: outside, at: [-52, 56]}
tools:
  finisher: {kind: end mill, diameter: 3, flute_length: 12}
tolerances: {general: ISO 2768-fH, footprint: 0.05, position: 0.04, flip: 0.03}
notes: "Deburr all edges. {{braces}}"
"""

INCHES = """\
name: yoke
title: ""
units: inch
parameters: {wall: 3/16, wide: 10 mm}
original:
  height: 5/32
  load_bearing: false
  footprint: {disc: {radius: 1 + wall}, turn: 12.3}
  bolts:
    - {hole: 17/64, at: [[-1.2, 0.1 mm], [1.2, wide / 3]]}
cover:
  stock: {thickness: 3 1/4 in, measured: 81.7 mm}
  outer: {even_margin: {}}
dowels: none
"""


def read_text(text: str | bytes, *sets: str, name: str = "r.yaml") -> Reading:
    """Return the reading of a recipe held in memory."""
    return read_recipe(RecipeSource(name, text), kinds=KINDS, sets=sets)


def mistakes_of(text: str | bytes, *sets: str) -> list[str]:
    """Return the sentences of everything wrong with a recipe."""
    try:
        read_text(text, *sets)
    except RecipeError as error:
        return [m.sentence() for m in error.mistakes]
    return []
