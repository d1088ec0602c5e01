"""The recipe's bolts and the seats under their heads."""

from __future__ import annotations

from typing import ClassVar

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.base.plain_metals import PLAIN_METAL_WORDS
from generator.base.screws import HEXAGON, SCREW_WORDS
from generator.base.standards import HEAD_WORDS, THREAD_WORDS
from generator.base.threads import CLASS_WORDS

NONE = "none"
NUT = "nut"
JOINT, COVER_ONLY = "original", "cover only"
STEEL, CAST_IRON, ALUMINIUM, BRASS, PLASTIC = "steel", "cast iron", "aluminium", "brass", "plastic"
THREAD_MATERIALS = (STEEL, CAST_IRON, ALUMINIUM, BRASS, PLASTIC)
AS_RECEIVED, LUBRICATED, DRY = "as received", "lubricated", "dry"


@frozen_record(kw_only=True)
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


@frozen_record(kw_only=True)
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


@frozen_record(kw_only=True)
class Tapped:
    """The thread that bolts are screwed into."""

    material: str = f.word(
        "What the thread is cut in; decides how many turns must hold.", THREAD_MATERIALS, example=STEEL
    )
    depth: float | None = f.length(
        "Depth of the full thread; without it the thread is taken to be as deep as the bolts need, "
        "or where `passes` says that the original itself is tapped, as deep as that is high.",
        default=None,
        above=0,
        at_most=500,
        example=14,
    )
    blind: bool = f.flag(
        "True if the hole ends there, so that a bolt that is too long stops at its bottom.", default=False, example=True
    )


@frozen_record(kw_only=True)
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
        at_least=0.05,
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
    holds: str = f.word(
        "What the bolts hold: the `original` (its own bolts, put back through the cover), or the `cover only` (screws "
        "of the cover's own, which are no part of the original's joint).",
        (JOINT, COVER_ONLY),
        default=JOINT,
        example=COVER_ONLY,
    )
    screw: str = f.word(
        "Standard of the screws where they have no seat; a seat's own `screw` goes first.",
        SCREW_WORDS,
        default=HEXAGON,
        example="ISO 4762",
    )
    metal: str = f.word(
        "What the bolts are made of, at their surface: decides whether they go with the cover's metal. Without it, "
        "stainless steel by their class, else nothing is said about that.",
        PLAIN_METAL_WORDS,
        default="",
        example="zinc-plated steel",
    )
    property_class: str = f.word(
        "Property class of the bolts, as stamped on the head: ISO 898-1 (8.8) or ISO 3506-1 (A2-70).",
        CLASS_WORDS,
        default="8.8",
        example="10.9",
    )
    length: float | None = f.length(
        "Length of the bolts, as they are called; without it the shortest standard length that holds is told.",
        default=None,
        above=0,
        at_most=500,
        example=20,
    )
    passes: float | None = f.length(
        "Thickness that the bolts pass through under the cover before their thread begins; without it the original's "
        "height. 0 where the original itself is tapped.",
        default=None,
        at_least=0,
        at_most=500,
        example=9,
    )
    into: Tapped | str | None = f.record(
        Tapped,
        "What the bolts are screwed into: a thread, or a `nut` behind everything.",
        default=None,
        words=(NUT,),
        example=NUT,
    )
    washer: bool = f.flag("True for a plain washer of ISO 7089 under every head.", default=False, example=True)
    threads: str = f.word(
        "State of the threads: decides the nut factor of the tightening torque.",
        (AS_RECEIVED, LUBRICATED, DRY),
        default=AS_RECEIVED,
        example=LUBRICATED,
    )
    torque: float | None = f.number(
        "Tightening torque in N m, such as the maker's; without it the torque that the bolts bear is told.",
        default=None,
        above=0,
        at_most=10_000,
        example=9,
    )
