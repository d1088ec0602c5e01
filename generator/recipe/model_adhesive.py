"""Adhesives in a recipe: one of your own, and the figures of the built-in ones, which are limits like all others."""

from __future__ import annotations

from typing import Any

from generator.base import fields as f
from generator.base.figures import Figure
from generator.base.frozen_record import frozen_record

EPOXY_GUIDES = "adhesive makers' guides (epoxy strongest at 0.05 to 0.13 mm)"
THIN_GUIDE = "adhesive guide (cyanoacrylate best below 0.05 mm, 0.2 mm the limit)"
JOINT_GUIDE = "adhesive guide (0.05 to 0.20 mm per joint)"
PRINTED_LOW = "the low end of what makers print for sound metals"
ELASTIC_CUSTOM = "common practice for elastic one-part adhesives, no source"


@frozen_record(kw_only=True)
class OwnAdhesive:
    """An adhesive that is not in the built-in list, by its maker's sheet."""

    name: str = f.text("What it is, as it is told.", example="rubbery glue")
    thinnest: float = f.length("Narrowest gap a side that it needs.", default=0.0, at_least=0, at_most=5, example=0.1)
    thickest: float = f.length("Widest gap a side at which it is strong.", above=0, at_most=5, example=0.5)
    bridges: float | None = f.length(
        "Widest gap a side that it bridges at all; without it, the same as `thickest`.",
        default=None,
        above=0,
        at_most=5,
        example=1.0,
    )
    shear: float = f.number("Lap shear strength in MPa.", above=0, at_most=200, example=12)
    stretch: float | None = f.number(
        "Shear strain that the film follows for good, slip over thickness; without it `limits.metals.film_strain`.",
        default=None,
        above=0,
        at_most=100,
        example=0.5,
    )


def _gap(what: str, mm: float, source: str, provenance: str) -> Any:
    return f.limit(Figure(mm, "mm", source, provenance), what, at_most=5)


def _shear(what: str, mpa: float, source: str) -> Any:
    return f.limit(Figure(mpa, "MPa", source, "memory"), f"Lap shear strength of {what}.", at_least=0.01, at_most=200)


@frozen_record(kw_only=True)
class AdhesiveLimits:
    """What the built-in adhesives bridge and bear."""

    epoxy_thinnest: Figure = _gap("A narrower gap a side starves epoxy.", 0.05, EPOXY_GUIDES, "read")
    epoxy_best: Figure = _gap("In a wider gap a side epoxy is weaker.", 0.13, EPOXY_GUIDES, "read")
    epoxy_widest: Figure = _gap("Epoxy bridges no wider gap a side.", 0.2, EPOXY_GUIDES, "read")
    epoxy_shear: Figure = _shear("epoxy", 15.0, PRINTED_LOW)
    cyanoacrylate_thinnest: Figure = _gap("A narrower gap a side starves cyanoacrylate.", 0.0, THIN_GUIDE, "read")
    cyanoacrylate_best: Figure = _gap("In a wider gap a side cyanoacrylate is weaker.", 0.05, THIN_GUIDE, "read")
    cyanoacrylate_widest: Figure = _gap("Cyanoacrylate bridges no wider gap a side.", 0.2, THIN_GUIDE, "read")
    cyanoacrylate_shear: Figure = _shear("cyanoacrylate", 10.0, PRINTED_LOW)
    engineering_thinnest: Figure = _gap(
        "A narrower gap a side starves engineering adhesive.", 0.05, JOINT_GUIDE, "read"
    )
    engineering_best: Figure = _gap("In a wider gap a side engineering adhesive is weaker.", 0.2, JOINT_GUIDE, "read")
    engineering_widest: Figure = _gap("Engineering adhesive bridges no wider gap a side.", 0.2, JOINT_GUIDE, "read")
    engineering_shear: Figure = _shear("engineering adhesive, and of one that is not named", 10.0, PRINTED_LOW)
    elastic_thinnest: Figure = _gap("A narrower gap a side starves elastic adhesive.", 0.2, ELASTIC_CUSTOM, "memory")
    elastic_best: Figure = _gap("In a wider gap a side elastic adhesive is weaker.", 2.0, ELASTIC_CUSTOM, "memory")
    elastic_widest: Figure = _gap("Elastic adhesive bridges no wider gap a side.", 3.0, ELASTIC_CUSTOM, "memory")
    elastic_shear: Figure = _shear("elastic adhesive", 1.5, PRINTED_LOW)
    elastic_stretch: Figure = f.limit(
        Figure(0.75, "of 1", "ISO 11600, class 25: its diagonal longer by a quarter, √(1.25² - 1)", "derived"),
        "Shear strain that a film of elastic adhesive follows for good: slip over thickness.",
        at_least=0.001,
        at_most=100,
    )
