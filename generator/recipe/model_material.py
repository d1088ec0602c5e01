"""The recipe's own materials, and what the records of the recipe share."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from generator.base import fields as f
from generator.base.cutting import ALUMINIUM, KINDS_OF_MATERIAL, STEEL
from generator.base.frozen_record import frozen_record

EMPTY_MAP: Mapping[str, Any] = MappingProxyType({})


@frozen_record(kw_only=True)
class OwnFill:
    """A fill of engravings in a colour that is not in the built-in list."""

    name: str = f.text("What it is, as it goes into the report.", default="own colour", example="slate grey enamel")
    colour: str = f.text("Colour in pictures, as #rrggbb.", pattern="#[0-9A-Fa-f]{6}", example="#3a4a55")


@frozen_record(kw_only=True)
class OwnMaterial:
    """A material that is not in the built-in list."""

    name: str = f.text("Designation of the material as it goes on the drawing.", example="EN AW-7075 T6")
    density: float = f.number("Density in kg/m³.", above=0, at_most=25_000, example=2810)
    colour: str = f.text(
        "Colour of the part in STEP and pictures, as #rrggbb.",
        default="#b9bcc0",
        pattern="#[0-9A-Fa-f]{6}",
        example="#b9bcc0",
    )
    anodic_index: float | None = f.number(
        "Anodic index in volts, such as 0.90 for aluminium; without it, or for what is no metal, nothing is said of "
        "metals that corrode each other.",
        default=None,
        at_least=0,
        at_most=3,
        example=0.9,
    )
    expansion: float | None = f.number(
        "Linear expansion in millionths a kelvin; without it nothing is said of heat and cold.",
        default=None,
        above=0,
        at_most=500,
        example=23.4,
    )
    stiffness: float | None = f.number(
        "Modulus of elasticity in GPa; without it nothing is said of floors that give.",
        default=None,
        above=0,
        at_most=1000,
        example=71,
    )
    strength: float | None = f.number(
        "Proof strength in MPa; without it nothing is said of stresses.",
        default=None,
        above=0,
        at_most=5000,
        example=300,
    )
    cuts_like: str = f.word(
        "Kind of material that it is cut like; speeds, feeds and times are estimated from that kind's charts.",
        KINDS_OF_MATERIAL,
        default=ALUMINIUM,
        example=STEEL,
    )
