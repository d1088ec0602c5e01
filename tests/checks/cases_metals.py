"""Cases of the checks of metals together, of floors that give, and of what holds inserts."""

from __future__ import annotations

from dataclasses import replace

from harness import NOTES, WARNS, Case
from part_samples import COVER, CREST, ORIGINAL, RECIPE, box, cover, crest, disc, original, stock

from generator.recipe.model import Recipe
from generator.recipe.model_conditions import Conditions
from generator.recipe.model_material import OwnMaterial

OUTDOORS = Conditions(environment="outdoor")
GROWS = OwnMaterial(name="resin", density=1200.0, expansion=100.0)


def plate(thickness: float) -> Recipe:
    """A plate of this thickness with no inlay in it."""
    return replace(stock(thickness=thickness), inlays={})


def growing(hottest: float) -> Recipe:
    """A cover that grows some eight times as much as the original that it is bolted to."""
    return replace(
        cover(material=GROWS),
        original=replace(ORIGINAL, material="carbon steel"),
        conditions=Conditions(hottest=hottest),
    )


def bar(width: float) -> Recipe:
    """An insert of two discs joined by a bar."""
    shape = replace(disc(4.0, (-8.0, 4.0)), add=(disc(4.0, (8.0, 4.0)), box(16.0, width, (0.0, 4.0))))
    return crest(outline=shape, corners="as drawn")


def dot(radius: float) -> Recipe:
    """An insert with a dot that is let in by itself."""
    shape = replace(disc(2.5, (-6.0, 4.0)), add=(disc(radius, (12.0, 0.0)),))
    return crest(outline=shape, corners="as drawn")


def squeezed(hottest: float) -> Recipe:
    """A pressed-in insert of plastic in the heat."""
    return replace(crest(material="POM-C", fit="press"), conditions=Conditions(hottest=hottest))


def collar(gap: float) -> Recipe:
    """An insert of plastic round an island of plate that it nearly fills: it shrinks onto that in the cold."""
    outline = replace(box(19.0, 19.0, (0.0, 4.0), 2.0), cut=(disc(9.0),))
    return replace(
        crest(outline=outline, corners="as drawn", material="POM-C", gap=gap),
        conditions=Conditions(coldest=-60.0, hottest=20.0),
    )


def ring(radius: float) -> Recipe:
    """An inlay pocket with an island of plate in it."""
    return crest(outline=replace(box(16.0, 8.0, (0.0, 4.0), 2.0), cut=(disc(radius),)), corners="as drawn")


def bolted(**changes: str) -> Recipe:
    """The sound recipe with other bolts."""
    return original(bolts=(replace(ORIGINAL.bolts[0], **changes),))  # type: ignore[arg-type]


def pressed_over(thickness: float) -> Recipe:
    """A pressed-in insert in a plate of this thickness."""
    return replace(stock(thickness=thickness), inlays={"crest": replace(CREST, fit="press")})


CLOSE = replace(original(material="carbon steel"), clearance=replace(RECIPE.clearance, around=0.005))

CASES: tuple[Case, ...] = (
    ("galvanic-insert", "bare-contact", WARNS, crest(fit="press")),
    ("galvanic-insert", "bare-contact", WARNS, crest(adhesive="none")),
    ("galvanic-insert", "film-only", NOTES, replace(RECIPE, conditions=OUTDOORS)),
    ("galvanic-original", "bare-contact", WARNS, original(material="stainless steel")),
    ("galvanic-original", "bare-contact", WARNS, replace(original(material="galvanised steel"), conditions=OUTDOORS)),
    ("galvanic-bolts", "cover-eaten", NOTES, bolted(property_class="A2-70")),
    ("galvanic-bolts", "bolts-eaten", WARNS, bolted(metal="zinc-plated steel")),
    ("expansion-gap", "closes", WARNS, crest(material="POM-C", gap=0.005)),
    ("expansion-gap", "closes", WARNS, collar(0.005)),
    ("expansion-bond", "film-shears", WARNS, crest(material="POM-C")),
    ("expansion-original", "clearance-closes", WARNS, CLOSE),
    ("expansion-original", "bolts-bind", WARNS, growing(240.0)),
    ("expansion-original", "bolts-bind", WARNS, growing(300.0)),
    ("press-floor", "bends", WARNS, pressed_over(6.0)),
    ("press-stress", "insert-yields", WARNS, squeezed(80.0)),
    ("press-stress", "yields", WARNS, crest(fit="press")),
    ("floor-deflection", "gives", WARNS, plate(4.35)),
    ("floor-deflection", "gives", WARNS, replace(plate(4.1), cover=replace(
        COVER, stock=replace(COVER.stock, thickness=4.1, measured=4.1)))),
    ("floor-stress", "dents", WARNS, plate(4.1)),
    ("floor-under-cutting", "springs", WARNS, plate(4.1)),
    ("glue-gap", "starved", WARNS, crest(adhesive="epoxy", gap=0.03)),
    ("glue-gap", "too-wide", WARNS, crest(adhesive="epoxy", gap=0.25)),
    ("glue-gap", "not-its-best", NOTES, crest(adhesive="cyanoacrylate", gap=0.1)),
    ("glue-area", "small", WARNS, crest(outline=disc(0.8, (0.0, 4.0)), corners="as drawn")),
    ("press-holds", "rattles", WARNS, crest(fit="press")),
    ("press-holds", "rattles", WARNS, crest(gap=0.04, adhesive="none")),
    ("peel-edge", "stands-out", WARNS, crest(sits="proud", by=1.0)),
    ("insert-width", "narrow", WARNS, bar(0.7)),
    ("insert-island", "tiny-piece", WARNS, dot(0.6)),
    ("insert-island", "weak-island", WARNS, ring(0.3)),
    ("flush-by-stock", "step", WARNS, crest(stock=replace(CREST.stock, tolerance=0.11))),
    ("flush-by-stock", "step", WARNS, stock(depths_from="bottom face")),
    ("burr-side", "props-up", NOTES, crest(material="Cu-ETP R240")),
)  # fmt: skip
