"""The recipe's inlays and engravings: what is let into the cover, what is cut into an insert, what into the cover."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from generator.base import fields as f
from generator.base.adhesives import ADHESIVE_WORDS
from generator.base.fields import OutlineSpec
from generator.base.fills import FILL_WORDS
from generator.base.frozen_record import frozen_record
from generator.base.materials import MATERIAL_WORDS
from generator.base.practice import GAP_OF_FIT
from generator.recipe.model_adhesive import OwnAdhesive
from generator.recipe.model_material import EMPTY_MAP, OwnFill, OwnMaterial

MATCHED, AS_DRAWN = "matched", "as drawn"
ON_INSERT, ON_COVER = "insert", "cover"
CUT_THROUGH, ENGRAVED = "cut through", "engraved"


def _cutter(help: str, example: str) -> Any:
    """Declare the tool that something is cut with."""
    return f.text(help, default="", example=example)


def _corners(help: str) -> Any:
    """Declare what becomes of corners that are sharper than the cutter."""
    return f.word(help, (MATCHED, AS_DRAWN), default=MATCHED, example=AS_DRAWN)


def _fill(help: str) -> Any:
    """Declare what an engraving is filled with."""
    return f.record(OwnFill, help, words=FILL_WORDS, default=None, example="dark green")


@frozen_record(kw_only=True)
class InsertStock:
    """The sheet that an insert is cut from."""

    thickness: float = f.length("Thickness of the sheet, and of the insert.", above=0, at_most=50, example=1.5)
    tolerance: float | None = f.length(
        "The sheet may be thicker or thinner by this; without it, by EN 1652 for cold-rolled copper alloys.",
        default=None,
        at_least=0,
        at_most=10,
        example=0.02,
    )
    price: float | None = f.number(
        "Price of a kilogram of this sheet, in the currency of `making`; without it the sheet is not costed.",
        default=None,
        at_least=0,
        at_most=100_000,
        example=14,
    )


@frozen_record(kw_only=True)
class Bridges:
    """Narrow bridges that hold what would fall out of an insert, such as the inside of an O."""

    width: float = f.length("Width of every bridge.", above=0, at_most=100, example=0.8)
    count: int = f.count("Bridges that hold each loose piece, at least.", default=1, at_least=1, at_most=6, example=2)


@frozen_record(kw_only=True)
class Artwork:
    """Letters, an emblem or a drawing on an insert."""

    outline: OutlineSpec = f.outline(
        "What is drawn; its origin lies in the middle of the inlay's outline, or where `origin` says.",
        example={"disc": {"radius": 4}},
    )
    origin: str = f.word(
        "`insert`: the outline's origin is the middle of the box round the inlay; `cover`: it is the recipe's origin.",
        (ON_INSERT, ON_COVER),
        default=ON_INSERT,
        example=ON_COVER,
    )
    done: str = f.word(
        "`cut through`: the cover shows through the insert; `engraved`: cut into its face.",
        (CUT_THROUGH, ENGRAVED),
        default=CUT_THROUGH,
        example=ENGRAVED,
    )
    depth: float = f.length(
        "Depth of engraving; means nothing to what is cut through.", default=0.3, above=0, at_most=20, example=0.4
    )
    fill: str | OwnFill | None = _fill(
        "Paint or enamel that fills the engraving: a colour by name, or a record of your own; without it, bare. Means "
        "nothing to what is cut through."
    )
    bridges: Bridges | None = f.record(
        Bridges, "Bridges that hold the pieces which would fall out of what is cut through.", default=None
    )
    cutter: str = _cutter("Tool from `tools` that cuts it; without it, the smallest end mill there.", "engraver")
    corners: str = _corners(
        "`matched`: inside corners get the cutter's radius; `as drawn`: they stay sharp, to be finished by hand."
    )


@frozen_record(kw_only=True)
class Engraving:
    """Letters, an emblem or a drawing cut into the cover's top face itself."""

    outline: OutlineSpec = f.outline("What is engraved, where it lies on the cover.")
    depth: float = f.length("Depth below the top face.", default=0.3, above=0, at_most=20, example=0.4)
    fill: str | OwnFill | None = _fill(
        "Paint or enamel that fills it: a colour by name, or a record of your own; without it, bare."
    )
    cutter: str = _cutter("Tool from `tools` that cuts it; without it, the smallest end mill there.", "engraver")
    corners: str = _corners(
        "`matched`: inside corners get the cutter's radius; `as drawn`: they stay sharp, to be finished by hand."
    )


@frozen_record(kw_only=True)
class Inlay:
    """An insert of thin contrasting metal and its pocket in the top face."""

    material: str | OwnMaterial = f.record(
        OwnMaterial,
        "Material of the insert.",
        words=MATERIAL_WORDS,
        default="CuZn39Pb3 R430",
        example="CuZn37 R350",
    )
    stock: InsertStock = f.record(InsertStock, "The sheet that the insert is cut from.")
    outline: OutlineSpec = f.outline(
        "Outline of the pocket; the insert is smaller by the gap all round. Letters or an emblem here are let in piece "
        "by piece."
    )
    artwork: Mapping[str, Artwork] = f.map_of(
        f.record(Artwork, "Something on the insert."), "What is on the insert, by name.", default=EMPTY_MAP
    )
    fit: str = f.word(
        "Gap between insert and pocket wall, by how the insert is held: `hand` fitted and bonded (0.05 mm a side, "
        "common practice, no source), `press` (0.01 mm, common practice, no source), `glued` with room for the "
        "adhesive (0.1 mm; adhesive makers' guides name 0.05 to 0.2 mm a joint).",
        tuple(GAP_OF_FIT),
        default="hand",
        example="glued",
    )
    adhesive: str | OwnAdhesive | None = f.record(
        OwnAdhesive,
        "What bonds the insert: `none` for one that is only pressed in, or a record of your own. Without it, none for "
        "`press`, else an adhesive that bridges the gap.",
        words=ADHESIVE_WORDS,
        default=None,
        example="epoxy",
    )
    gap: float | None = f.length(
        "Gap between insert and pocket wall, all round, instead of a fit.",
        default=None,
        at_least=0,
        at_most=5,
        example=0.05,
    )
    cutter: str = _cutter(
        "Tool from `tools` that finishes pocket and insert; without it, the smallest end mill there.", "finisher"
    )
    corners: str = _corners(
        "`matched`: inside corners of the pocket and of the insert get the cutter's radius, and the corner that mates "
        "gets the same centre, so that the gap is even all round; `as drawn`: sharp corners are finished by hand."
    )
    sits: str = f.word(
        "How the insert's face lies against the top face.",
        ("flush", "proud", "recessed"),
        default="flush",
        example="flush",
    )
    by: float = f.length("How far it stands proud or lies recessed.", default=0.0, at_least=0, at_most=50, example=0.3)
    pocket_depth: float | None = f.length(
        "Depth of the pocket; without it, from the insert's thickness and how it sits.",
        default=None,
        above=0,
        at_most=100,
        example=1.5,
    )
