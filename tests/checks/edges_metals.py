"""Edges of the checks of metals together, of floors that give, and of what holds inserts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import hypot, pi, sqrt

from cases_metals import bar, collar, dot, growing, plate, pressed_over, ring, squeezed
from harness import Edge, found
from part_samples import CREST, ORIGINAL, RECIPE, cover, crest, disc, original

from generator.recipe.model import Recipe
from generator.recipe.model_conditions import Conditions
from generator.recipe.model_material import OwnMaterial


def of_index(index: float) -> Recipe:
    """A pressed-in insert of a metal with this anodic index, in aluminium of 0.90."""
    return crest(fit="press", material=OwnMaterial(name="own", density=8000.0, anodic_index=index))


def over_stainless(index: float) -> Recipe:
    own = OwnMaterial(name="own", density=8000.0, anodic_index=index)
    return replace(cover(material=own), original=replace(ORIGINAL, material="stainless steel"))


def bonded(index: float) -> Recipe:
    own = OwnMaterial(name="own", density=8000.0, anodic_index=index)
    return replace(crest(material=own), conditions=Conditions(environment="marine"))


FAR = hypot(8.0 - 2.0, 4.0 - 2.0) + 2.0 - 0.05
"""From the middle of the crest's insert to its rounded corner, mm."""
PLASTIC_TAKES = (110e-6 - 23.4e-6) * FAR * 20.0
STEEL_TAKES = (23.4e-6 - 12e-6) * (hypot(25.0, 10.0) + 5.0) * 15.0


def plastic(gap: float) -> Recipe:
    return crest(material="POM-C", gap=gap)


def around(clearance: float) -> Recipe:
    return replace(original(material="carbon steel"), clearance=replace(RECIPE.clearance, around=clearance))


def sheet(tolerance: float) -> Recipe:
    return crest(stock=replace(CREST.stock, tolerance=tolerance))


def glued(gap: float) -> Recipe:
    return crest(adhesive="epoxy", gap=gap)


def bolted(metal: str, index: float) -> Recipe:
    own = OwnMaterial(name="own", density=8000.0, anodic_index=index)
    return replace(cover(material=own), original=replace(ORIGINAL, bolts=(replace(ORIGINAL.bolts[0], metal=metal),)))


def rained_on(index: float) -> Recipe:
    return replace(bolted("stainless steel", index), conditions=Conditions(environment="outdoor"))


def warm(hottest: float) -> Recipe:
    return replace(crest(material="POM-C"), conditions=Conditions(coldest=20.0, hottest=hottest))


def pressed(size: float) -> Recipe:
    return replace(crest(fit="press"), tolerances=replace(RECIPE.tolerances, size=size))


def dot_of(radius: float) -> Recipe:
    return crest(outline=disc(radius, (0.0, 4.0)), corners="as drawn")


def figures(recipe: Recipe, check: str, code: str = "") -> tuple[float, float]:
    """Figure and limit of the one finding of a check, or of that code, on a recipe that is well beyond."""
    (finding,) = [f for f in found(recipe, check) if code in ("", f.code)]
    assert finding.figure is not None
    assert finding.limit is not None
    return finding.figure, finding.limit


def thickness_at(make: Callable[[float], Recipe], check: str, thin: float, taken: float, power: float) -> float:
    """Thickness of plate at which a figure meets its limit: deflections of a floor go with t^-3, stresses with t^-2."""
    figure, limit = figures(make(thin), check)
    more = limit / figure if power == 2.0 else figure / limit  # stresses are told as what is left of the strength
    return float(taken + (thin - taken) * more ** (1.0 / power))


POCKET = 3.4
BENDS = thickness_at(plate, "floor-deflection", 4.1, POCKET, 3.0)
DENTS = thickness_at(plate, "floor-stress", 4.1, POCKET, 2.0)
SPRINGS = thickness_at(plate, "floor-under-cutting", 4.1, POCKET, 3.0)
BULGES = thickness_at(pressed_over, "press-floor", 6.0, POCKET + 1.5, 2.0)
GROWN = (23.4e-6 - 20.9e-6) * FAR * 15.0
YIELDS = (0.04 + GROWN) * (lambda f: f[0] / f[1])(figures(pressed(0.05), "press-stress", "yields")) + 0.01 - GROWN
"""Stress goes with the interference: size tolerance less the gap of 0.01 mm, and what the cold adds."""
SQUEEZED = 80.0 + (0.04 + 86.6e-6 * FAR * 60.0) * (
    figures(squeezed(80.0), "press-stress", "insert-yields")[0] / 1.5 - 1.0
) / (86.6e-6 * FAR)
COLLAR = 86.6e-6 * 9.0 * 80.0 / (1.0 - 86.6e-6 * 80.0)
"""What the hole of the collar, larger than the island of 9 mm by the gap, takes of it in the cold."""
HOT = 20.0 + 0.2 * 0.05 / (86.6e-6 * FAR)
BINDS = 20.0 + 0.3 / (88e-6 * 20.0)
HELD = sqrt(1.5**2 + 20.0 / pi) - 1.5 + 0.05
"""Radius of a pocket whose insert of 1.5 mm is held by 20 mm² of face and edge, each good for 1 N."""

EDGES = (
    Edge("galvanic-bolts", "bolts-eaten", lambda v: bolted("zinc-plated steel", v), 1.001, 0.999),
    Edge("galvanic-bolts", "cover-eaten", rained_on, 0.649, 0.651),
    Edge("galvanic-bolts", "cover-eaten", lambda v: bolted("stainless steel", v), 0.749, 0.751),
    Edge("expansion-bond", "film-shears", warm, HOT - 0.1, HOT + 0.1),
    Edge("expansion-original", "bolts-bind", growing, BINDS - 1.0, BINDS + 1.0),
    Edge("press-stress", "yields", pressed, YIELDS - 2e-5, YIELDS + 2e-5),
    Edge("press-stress", "insert-yields", squeezed, SQUEEZED - 0.3, SQUEEZED + 0.3),
    Edge("expansion-gap", "closes", collar, COLLAR + 1e-4, COLLAR - 1e-4),
    Edge("press-floor", "bends", pressed_over, BULGES + 0.004, BULGES - 0.004),
    Edge("floor-deflection", "gives", plate, BENDS + 0.002, BENDS - 0.002),
    Edge("floor-stress", "dents", plate, DENTS + 0.002, DENTS - 0.002),
    Edge("floor-under-cutting", "springs", plate, SPRINGS + 0.002, SPRINGS - 0.002),
    Edge("glue-area", "small", dot_of, HELD + 0.005, HELD - 0.005),
    Edge("galvanic-insert", "bare-contact", of_index, 0.651, 0.649),
    Edge("galvanic-insert", "film-only", bonded, 0.751, 0.749),
    Edge("galvanic-original", "bare-contact", over_stainless, 0.749, 0.751),
    Edge("expansion-gap", "closes", plastic, PLASTIC_TAKES + 1e-4, PLASTIC_TAKES - 1e-4),
    Edge("expansion-original", "clearance-closes", around, STEEL_TAKES + 1e-4, STEEL_TAKES - 1e-4),
    Edge("glue-gap", "starved", glued, 0.0502, 0.0498),
    Edge("glue-gap", "too-wide", glued, 0.199, 0.201),
    Edge("glue-gap", "not-its-best", glued, 0.1295, 0.1305),
    Edge("press-holds", "rattles", pressed, 0.0199, 0.0201),
    Edge("peel-edge", "stands-out", lambda by: crest(sits="proud", by=by), 0.749, 0.751),
    Edge("insert-width", "narrow", bar, 0.1 + 0.751, 0.1 + 0.749),
    Edge("insert-island", "tiny-piece", dot, 0.8 + 0.001, 0.8 - 0.001),
    Edge("insert-island", "weak-island", ring, 0.3751, 0.3749),
    Edge("flush-by-stock", "step", sheet, 0.0999, 0.1005),
)
