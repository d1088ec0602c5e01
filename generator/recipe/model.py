"""The recipe as a typed value: every key that a person can write, declared once.

Lengths are mm, angles radians. ``None`` or an empty text in an optional field means "not given: derived". Fields marked
with ``words`` hold that word as text when the person wrote it (for example ``none``).
"""

from __future__ import annotations

from collections.abc import Mapping

from generator.base import fields as f
from generator.base.fields import OutlineSpec
from generator.base.frozen_record import frozen_record
from generator.base.materials import MATERIAL_WORDS
from generator.base.plain_metals import PLAIN_METAL_WORDS
from generator.recipe.model_bolts import NONE, Bolts, Seat
from generator.recipe.model_conditions import Conditions
from generator.recipe.model_dowels import Dowels
from generator.recipe.model_holding import Holding
from generator.recipe.model_inlay import Engraving, Inlay
from generator.recipe.model_limits import Limits
from generator.recipe.model_making import Making
from generator.recipe.model_material import EMPTY_MAP, OwnMaterial
from generator.recipe.model_order import Order
from generator.recipe.model_paper import Paper
from generator.recipe.model_suggest import Changes
from generator.recipe.model_tolerances import Tolerances
from generator.recipe.model_tools import Tool
from generator.recipe.model_trial_print import TrialPrint


@frozen_record(kw_only=True)
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


@frozen_record(kw_only=True)
class Original:
    """The existing part that stays in place, as seen from above, lying on its mounting face."""

    height: float = f.length(
        "How far the original stands proud of its surroundings.", above=0, at_most=500, example=3.2
    )
    load_bearing: bool = f.flag(
        "True if the original carries load (then the report says loudly what clamping soft metal in its joint means).",
        example=True,
    )
    material: str = f.word(
        "What the original is made of, at its surface: decides whether its metal goes with the cover's, and how the "
        "two expand. Without it nothing is said about that.",
        PLAIN_METAL_WORDS,
        default="",
        example="galvanised steel",
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


@frozen_record(kw_only=True)
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


@frozen_record(kw_only=True)
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
    tolerance: float = f.length(
        "The plate may be thicker or thinner than its nominal thickness by this; means nothing once it is measured. "
        "Default: our own choice for rolled plate.",
        default=0.2,
        at_least=0,
        at_most=10,
        example=0.1,
    )
    price: float | None = f.number(
        "Price of a kilogram of this plate, in the currency of `making`; without it the plate is not costed.",
        default=None,
        at_least=0,
        at_most=100_000,
        example=9.5,
    )


@frozen_record(kw_only=True)
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


@frozen_record(kw_only=True)
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
    conditions: Conditions = f.record(Conditions, "Where the cover will live.", default=Conditions())
    dowels: Dowels | str = f.record(
        Dowels,
        "Dowels that register the blank for the flip; `none` if it is registered otherwise.",
        default=NONE,
        words=(NONE,),
    )
    holding: Holding | None = f.record(
        Holding, "What holds the part when its outline is cut free, and where clamps stand.", default=None
    )
    tools: Mapping[str, Tool] = f.map_of(f.record(Tool, "A tool."), "Tools at hand, by name.", default=EMPTY_MAP)
    making: Making = f.record(
        Making, "What the machine can do and what the work costs, for estimates.", default=Making()
    )
    tolerances: Tolerances = f.record(Tolerances, "How exactly things are known and made.", default=Tolerances())
    order: Order = f.record(Order, "What is said to the shop that makes the parts.", default=Order())
    paper: Paper = f.record(Paper, "Sheets that are printed.", default=Paper())
    trial_print: TrialPrint = f.record(TrialPrint, "A trial print in plastic.", default=TrialPrint())
    limits: Limits = f.record(Limits, "What the checks hold the plan against.", default=Limits())
    changes: Changes = f.record(
        Changes, "What `coverplate suggest` may change when it mends the recipe.", default=Changes()
    )
    notes: str = f.text("Notes for report and drawing.", default="", example="Deburr all edges.")
