"""Limits of metals that touch each other, get warm together and press on each other."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.figures import Figure
from generator.base.frozen_record import frozen_record
from generator.base.practice import OWN

_GUIDES = "galvanic guides to MIL-DTL-14072F"


@frozen_record(kw_only=True)
class MetalLimits:
    """What metals in contact may differ by, and what heat may do to them."""

    indoor: Figure = f.limit(
        Figure(0.25, "V", f"{_GUIDES} (indoors without climate control)", "cross-checked"),
        "Anodic indices of metals in bare contact may differ by this indoors.",
        at_most=5,
    )
    outdoor: Figure = f.limit(
        Figure(0.15, "V", f"{_GUIDES} (harsh: outdoors, salt, high humidity)", "cross-checked"),
        "The same outdoors.",
        at_most=5,
    )
    marine: Figure = f.limit(
        Figure(0.15, "V", f"{_GUIDES} (harsh: outdoors, salt, high humidity)", "cross-checked"),
        "The same in salt air or spray.",
        at_most=5,
    )
    film_strain: Figure = f.limit(
        Figure(0.2, "of 1", "brittle structural adhesives tear above a shear strain of some tenths", "memory"),
        "Shear strain that heat or cold may bring to an adhesive film at an insert's far corner: slip over thickness.",
        at_least=0.001,
        at_most=100,
    )
    press_safety: Figure = f.limit(
        Figure(1.5, "x", "common practice against yielding, no source", "memory"),
        "Proof strength over the stress of a pressed-in insert, at least.",
        at_most=20,
    )
    friction: Figure = f.limit(
        Figure(0.15, "of 1", "common practice for dry metal on metal (0.1 to 0.2)", "memory"),
        "Friction between a pressed-in insert and its pocket's wall.",
        at_most=2,
    )


@frozen_record(kw_only=True)
class FloorLimits:
    """What the floor over the bottom pocket has to bear."""

    finger: Figure = f.limit(
        Figure(100.0, "N", f"{OWN}: a thumb that presses hard", ""),
        "Load that somebody puts on the middle of the floor.",
        at_most=10_000,
    )
    finger_radius: Figure = f.limit(
        Figure(5.0, "mm", f"{OWN}: a thumb's tip", ""),
        "Radius of the spot that the load is put on.",
        at_most=100,
    )
    gives: Figure = f.limit(
        Figure(0.1, "mm", f"{OWN}: more is felt, and works at the bond of an insert", ""),
        "A floor that gives more under the load is told.",
        at_least=0.001,
        at_most=20,
    )
    safety: Figure = f.limit(
        Figure(1.5, "x", "common practice against yielding, no source", "memory"),
        "Proof strength over the stress under the load, at least.",
        at_most=20,
    )
    tool_axial: Figure = f.limit(
        Figure(0.5, "x force", "common practice: an end mill pushes down with up to half its cutting force", "memory"),
        "Part of the cutting force that presses on the floor, or pulls at it.",
        at_most=5,
    )
    bends_for_depth: Figure = f.limit(
        Figure(1.0, "x depth", f"{OWN}: the whole of the depth tolerance", ""),
        "Share of `tolerances.depth` that the floor may give under the cutter.",
        at_least=0.001,
        at_most=20,
    )
