"""The recipe as a typed value: every key that a person can write, declared once.

Lengths are mm, angles radians. ``None`` or an empty text in an optional field means "not given: derived". Fields marked
with ``words`` hold that word as text when the person wrote it (for example ``none``).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from generator.base import fields as f
from generator.base.fields import OutlineSpec
from generator.base.materials import MATERIAL_WORDS
from generator.base.standards import HEAD_WORDS, THREAD_WORDS
from generator.recipe.model_inlay import Engraving, Inlay
from generator.recipe.model_material import EMPTY_MAP, OwnMaterial

NONE = "none"


@dataclass(frozen=True, kw_only=True)
class BoltCircle:
    """Bolts equally spaced on a circle."""

    centre: tuple[float, float] = f.point("Centre of the bolt circle.", default=(0.0, 0.0), example=[0, 0])
    diameter: float = f.length("Diameter of the bolt circle.", above=0, at_most=2000, example=44)
    count: int = f.count("Number of bolts.", at_least=1, at_most=100, example=5)
    first: float = f.angle(
        "Direction of the first bolt from the centre, counter-clockwise from the x axis.",
        default=0.0,
        example=-90,
    )


@dataclass(frozen=True, kw_only=True)
class Seat:
    """Counterbore or countersink under a bolt head, cut from the top face."""

    screw: str = f.word(
        "Standard of the screw: decides the shape and size of the seat.", HEAD_WORDS, example="ISO 4762"
    )
    depth: float | None = f.length(
        "Depth of the seat below the top face; without it, as deep as the head needs to lie flush.",
        default=None,
        above=0,
        at_most=100,
        example=6.4,
    )
    diameter: float | None = f.length(
        "Diameter of the seat at the top face; without it, from the standard.",
        default=None,
        above=0,
        at_most=200,
        example=11,
    )


@dataclass(frozen=True, kw_only=True)
class Bolts:
    """Bolts of one kind through original and cover. Give ``thread`` or ``hole``, and ``at`` or ``circle``."""

    EXACTLY_ONE: ClassVar = (("thread", "hole"), ("at", "circle"))

    thread: str = f.word(
        "Thread of the bolts; the hole in the cover follows from ISO 273.",
        THREAD_WORDS,
        default="",
        example="M6",
    )
    hole: float | None = f.length(
        "Diameter of the holes in the cover, instead of a thread.",
        default=None,
        above=0,
        at_most=200,
        example=6.6,
    )
    fit: str = f.word(
        "Clearance hole series of ISO 273.", ("fine", "medium", "coarse"), default="medium", example="medium"
    )
    at: tuple[tuple[float, float], ...] = f.list_of(
        f.point("Position of a bolt.", example=[32, 0]),
        "Positions of the bolts.",
        default=(),
        fewest=1,
        most=100,
        example=[[-32, 0], [32, 0]],
    )
    circle: BoltCircle | None = f.record(BoltCircle, "Bolts on a circle, instead of positions.", default=None)
    seat: Seat | str | None = f.record(
        Seat,
        "Seat for these bolts, instead of the cover's; `none` for plain holes.",
        default=None,
        words=(NONE,),
    )


@dataclass(frozen=True, kw_only=True)
class Opening:
    """A place of the original that must stay open: the cover is cut right through over it."""

    outline: OutlineSpec = f.outline("Outline of what must stay open.")
    clearance: float = f.length(
        "The opening in the cover is larger by this all round.",
        default=0.0,
        at_least=0,
        at_most=100,
        example=0.5,
    )


@dataclass(frozen=True, kw_only=True)
class Original:
    """The existing part that stays in place, as seen from above, lying on its mounting face."""

    height: float = f.length(
        "How far the original stands proud of its surroundings.", above=0, at_most=500, example=3.2
    )
    load_bearing: bool = f.flag(
        "True if the original carries load (then the report says loudly what clamping soft metal in its joint means).",
        example=True,
    )
    footprint: OutlineSpec = f.outline("Closed outline of the original on its mounting face, bolt holes not included.")
    bolts: tuple[Bolts, ...] = f.list_of(
        f.record(Bolts, "Bolts of one kind."), "The bolts that go through original and cover.", default=()
    )
    openings: Mapping[str, Opening] = f.map_of(
        f.record(Opening, "A place that must stay open."),
        "Places that must stay open, by name.",
        default=EMPTY_MAP,
    )


@dataclass(frozen=True, kw_only=True)
class Clearance:
    """Gap between original and cover."""

    around: float = f.length(
        "Gap all round the footprint. Default 0.3 mm: common practice for a hand-fitted cover, no source.",
        default=0.3,
        at_least=0,
        at_most=20,
        example=0.3,
    )
    above: float = f.length(
        "Gap above the original, under the floor of the bottom pocket.",
        default=0.2,
        at_least=0,
        at_most=50,
        example=0.2,
    )


@dataclass(frozen=True, kw_only=True)
class Stock:
    """The plate that the cover is milled from."""

    thickness: float = f.length("Nominal thickness; also the cover's thickness.", above=0, at_most=200, example=8)
    measured: float | None = f.length(
        "Thickness of the very piece, by caliper; used instead of the nominal one.",
        default=None,
        above=0,
        at_most=200,
        example=8.12,
    )
    depths_from: str = f.word(
        "Where depths of the top face are held from when the measured thickness differs: `own face` keeps every depth, "
        "so the floor between the pockets takes the error; `bottom face` keeps every height, so the depths of top "
        "pockets and seats take it.",
        ("own face", "bottom face"),
        default="own face",
        example="own face",
    )
    margin: float = f.length(
        "The blank is larger than the outer shape by at least this on every side.",
        default=8.0,
        at_least=0,
        at_most=500,
        example=10,
    )


@dataclass(frozen=True, kw_only=True)
class Cover:
    """The plate part."""

    material: str | OwnMaterial = f.record(
        OwnMaterial,
        "Material and temper: a known designation, or a record of your own.",
        words=MATERIAL_WORDS,
        default="EN AW-6082 T6",
        example="EN AW-6082 T6",
    )
    stock: Stock = f.record(Stock, "The plate that the cover is milled from.")
    outer: OutlineSpec = f.outline("The cover's visible outline.", family="outer")
    seats: Seat | str = f.record(
        Seat, "Seat under every bolt head; `none` for plain holes.", default=NONE, words=(NONE,)
    )
    engravings: Mapping[str, Engraving] = f.map_of(
        f.record(Engraving, "An engraving in the top face."),
        "Engravings in the top face by name, to be left bare or filled with paint or enamel.",
        default=EMPTY_MAP,
    )
    edge_break: float = f.length(
        "Chamfer of 45° on the visible rim of the top face; 0 for a sharp edge that is only deburred.",
        default=0.5,
        at_least=0,
        at_most=20,
        example=0.5,
    )


@dataclass(frozen=True, kw_only=True)
class Dowels:
    """Pins that register the blank when it is turned over. Two dowels on the flip axis are common practice."""

    diameter: float = f.length("Diameter of the dowel pins (ISO 2338, ISO 8734).", above=0, at_most=50, example=6)
    fit: str = f.text("Tolerance class of the dowel holes, ISO 286.", default="H7", example="H7")
    axis: str = f.word(
        "Direction of the flip axis, about which the blank is turned over.",
        ("x", "y"),
        default="y",
        example="y",
    )
    through: tuple[float, float] | None = f.point(
        "A point on the flip axis; without it, the middle of the outer shape's box.",
        default=None,
        example=[0, 0],
    )
    place: str = f.word(
        "Outside the finished part (in the blank only) or inside it.",
        ("outside", "inside"),
        default="outside",
        example="outside",
    )
    at: tuple[float, ...] = f.list_of(
        f.length("Position along the flip axis.", at_least=-2000, at_most=2000, example=-50),
        "Positions of the dowels along the flip axis (x or y coordinate); without it, one beyond each end of the part, "
        "at unequal distances from the middle so that the blank cannot be laid in turned.",
        default=(),
        fewest=2,
        most=10,
        example=[-52, 56],
    )


@dataclass(frozen=True, kw_only=True)
class Tool:
    """A cutter or drill that is at hand."""

    kind: str = f.word("Kind of tool.", ("end mill", "drill", "chamfer cutter", "reamer"), example="end mill")
    diameter: float = f.length("Cutting diameter.", above=0, at_most=100, example=3)
    flute_length: float | None = f.length(
        "Length of the cutting edges; how deep it reaches.", default=None, above=0, at_most=300, example=12
    )


@dataclass(frozen=True, kw_only=True)
class Tolerances:
    """How exactly things are known and made; goes into report and drawings."""

    general: str = f.text("General tolerances.", default="ISO 2768-mK", example="ISO 2768-mK")
    footprint: float = f.length(
        "Uncertainty of the footprint's outline (95 %).", default=0.1, at_least=0, at_most=10, example=0.05
    )
    position: float = f.length(
        "Positional uncertainty of what the machine cuts.", default=0.05, at_least=0, at_most=10, example=0.05
    )
    flip: float = f.length(
        "Offset between the two faces after turning over.", default=0.05, at_least=0, at_most=10, example=0.05
    )


@dataclass(frozen=True, kw_only=True)
class Recipe:
    """Everything that one cover is made from. Root of the recipe file."""

    name: str = f.name("Name of the pack and its folder: letters, digits, - and _.", example="gate-latch-21")
    title: str = f.text("Title for drawing and report.", default="", example="Gate latch cover, plot 21")
    revision: str = f.text("Revision, as text.", default="A", example="A")
    units: str = f.word("Unit of bare numbers that are lengths.", ("mm", "inch"), default="mm", example="mm")
    parameters: Mapping[str, float | str] = f.map_of(
        f.declare(f.Spec(f.Kind.PARAMETER, "A number, an expression, a length with unit, or a text.", example=21)),
        "Your own values, used by name in expressions and as {name} in texts. A number is plain until used as a "
        "length; a value with a unit is a length (given here in mm).",
        default=EMPTY_MAP,
    )
    original: Original = f.record(Original, "The existing part that stays in place.")
    clearance: Clearance = f.record(Clearance, "Gap between original and cover.", default=Clearance())
    cover: Cover = f.record(Cover, "The plate part.")
    inlays: Mapping[str, Inlay] = f.map_of(
        f.record(Inlay, "An insert and its pocket."), "Inlays by name.", default=EMPTY_MAP
    )
    dowels: Dowels | str = f.record(
        Dowels,
        "Dowels that register the blank for the flip; `none` if it is registered otherwise.",
        default=NONE,
        words=(NONE,),
    )
    tools: Mapping[str, Tool] = f.map_of(f.record(Tool, "A tool."), "Tools at hand, by name.", default=EMPTY_MAP)
    tolerances: Tolerances = f.record(Tolerances, "How exactly things are known and made.", default=Tolerances())
    notes: str = f.text("Notes for report and drawing.", default="", example="Deburr all edges.")
