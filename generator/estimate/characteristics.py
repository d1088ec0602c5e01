"""The numbered characteristics of all parts of a plan: the one list that drawing, inspection sheet and hand-off share.

Equal holes and seats are one characteristic with their count; every position has its own. Numbers run through the
parts: cover, inserts in the order of the recipe, and last the blank, whose dowel holes are measured before it is turned
over.
Positions are measured from the datum, see ``measured_places.datum_of``, and what lies on the datum has none.
"""

from __future__ import annotations

from collections.abc import Iterator

from generator.estimate.characteristic import ISLAND, Characteristic, Datum, Kind, Wanted
from generator.estimate.instruments import instrument_for
from generator.estimate.measured_cover import blank_wanted, cover_wanted
from generator.estimate.measured_insert import insert_wanted
from generator.estimate.measured_places import SAME_MM, datum_of
from generator.outline.contour import Point
from generator.part.heights import level
from generator.part.part import Plan
from generator.recipe.model import Recipe

__all__ = ["Characteristic", "Datum", "Kind", "characteristics", "datum_of"]


def characteristics(recipe: Recipe, plan: Plan) -> tuple[Characteristic, ...]:
    """Return what is measured on cover, inserts and blank, in the order of their numbers."""
    datum = datum_of(plan)
    return tuple(_numbered(k, w, datum) for k, w in enumerate(_all(recipe, plan, datum), start=1))


def _all(recipe: Recipe, plan: Plan, datum: Datum) -> Iterator[Wanted]:
    yield from cover_wanted(recipe, plan, datum)
    for insert in plan.inserts:
        yield from insert_wanted(recipe, insert)
    yield from blank_wanted(recipe, plan)


def _numbered(number: int, w: Wanted, datum: Datum) -> Characteristic:
    nominal = level(w.nominal_mm)
    lower, upper = level(nominal + w.allowed.lower_mm), level(nominal + w.allowed.upper_mm)
    dx, dy = abs(w.place.x - datum.at.x), abs(w.place.y - datum.at.y)
    in_line = (dy if w.kind is Kind.POSITION_X else dx) <= SAME_MM and w.feature != "bottom-pocket"
    outside = w.feature == w.part or w.feature.endswith(ISLAND)
    return Characteristic(
        number=number,
        part=w.part,
        feature=w.feature,
        kind=w.kind,
        what=w.what,
        nominal_mm=nominal,
        lower_mm=lower,
        upper_mm=upper,
        source=w.allowed.source,
        instrument=instrument_for(w.kind, nominal, upper - lower, outside=outside, in_line=in_line),
        place=Point(level(w.place.x), level(w.place.y)),
        face=w.face,
        features=w.features or (w.feature,),
    )
