"""The recipe's bolts and the seats under their heads."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from generator.base import fields as f
from generator.base.plain_metals import PLAIN_METAL_WORDS
from generator.base.standards import HEAD_WORDS, THREAD_WORDS

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
    metal: str = f.word(
        "What the bolts are made of, at their surface: decides whether they go with the cover's metal. Without it "
        "nothing is said about that.",
        PLAIN_METAL_WORDS,
        default="",
        example="zinc-plated steel",
    )
