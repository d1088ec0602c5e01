"""Cases of the checks of bolts, their threads, heads and joints."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from harness import FORBIDS, NOTES, WARNS, Case
from part_samples import COVER, CREST, ORIGINAL, RECIPE, box, disc

from generator.recipe.model import Opening, Recipe
from generator.recipe.model_bolts import Bolts, Seat, Tapped

PLACES = ((-20.0, 0.0), (20.0, 0.0))
SUNK, PLAIN = Seat(screw="ISO 10642"), "none"


def with_bolts(*groups: Bolts, seats: Any = COVER.seats, load: bool = False, **changes: Any) -> Recipe:
    """The sound recipe with these bolts and seats, without its opening and inlay."""
    original = replace(ORIGINAL, bolts=groups, openings={}, load_bearing=load)
    cover = replace(COVER, **{"seats": seats, **changes})
    return replace(RECIPE, original=original, cover=cover, inlays={})


def m6(seats: Any = COVER.seats, load: bool = False, cover: dict[str, Any] | None = None, **keys: Any) -> Recipe:
    """Two bolts M6 with these keys."""
    return with_bolts(Bolts(**{"thread": "M6", "at": PLACES, **keys}), seats=seats, load=load, **(cover or {}))


def beside(thing: str) -> Recipe:
    """Hexagon heads without seats, one of them on an insert or over an opening."""
    recipe = m6(PLAIN, cover={"edge_break": 0.1})
    if thing == "opening":
        cable = {"cable": Opening(outline=disc(3.0, (20.0, 7.0)))}
        return replace(recipe, original=replace(recipe.original, openings=cable))
    return replace(recipe, inlays={"crest": replace(CREST, outline=box(16.0, 8.0, (20.0, 8.0), 2.0))})


def own_screws_beside_an_opening() -> Recipe:
    """Own screws of the cover, and an opening that clears the head of a bolt of the original."""
    recipe = m6(load=True, holds="cover only")
    return replace(recipe, original=replace(recipe.original, openings={"head": Opening(outline=disc(6.0))}))


PROUD = replace(CREST, outline=box(16.0, 8.0, (20.0, 11.8), 2.0), sits="proud", by=0.5)
"""An insert that stands proud beside a bolt."""
NO_GAP = replace(RECIPE.clearance, above=0.0)
SOFT = "EN AW-5083 H111"
LOW = {"stock": replace(COVER.stock, thickness=11.0)}
"""A plate that leaves a floor of 1.2 mm under the heads."""
THIN = with_bolts(
    Bolts(thread="M6", at=((0.0, 0.0),), torque=9.0),
    seats=Seat(screw="ISO 4762", depth=0.3),
    material="POM-C",
    stock=replace(COVER.stock, thickness=4.6),
)
"""A sheet of plastic that bends down to the original."""

CASES: tuple[Case, ...] = (
    ("bolt-length", "needed", NOTES, RECIPE),
    ("bolt-length", "needed", NOTES, m6(into="nut")),
    ("bolt-length", "unjudged", NOTES, m6(PLAIN, thread="", hole=6.6)),
    ("bolt-length", "no-length", WARNS, m6(into=Tapped(material="steel", depth=7.2, blind=True))),
    ("bolt-length", "no-length", WARNS, m6(passes=80.0)),
    ("bolt-length", "does-not-reach", FORBIDS, m6(length=5.0, passes=6.0)),
    ("bolt-length", "does-not-reach", FORBIDS, m6(length=20.0, passes=80.0)),
    ("bolt-length", "bottoms-out", WARNS, m6(length=25.0, into=Tapped(material="steel", depth=15.0, blind=True))),
    ("bolt-length", "bottoms-out", WARNS, m6(length=25.0, into=Tapped(material="steel", depth=7.2, blind=True))),
    ("bolt-length", "not-standard", NOTES, m6(length=17.0)),
    ("thread-engagement", "few-turns", WARNS, m6(length=10.0)),
    ("thread-engagement", "few-turns", WARNS, m6(length=12.0, into=Tapped(material="aluminium"))),
    ("thread-engagement", "few-turns", WARNS, m6(length=12.0, into=Tapped(material="cast iron", depth=30.0))),
    ("thread-engagement", "few-turns", WARNS, m6(length=12.0, into=Tapped(material="brass"))),
    ("thread-engagement", "few-turns", WARNS, m6(length=16.0, into=Tapped(material="plastic"))),
    ("thread-engagement", "nut-not-full", WARNS, m6(length=12.0, into="nut")),
    ("thread-engagement", "shallow-thread", WARNS, m6(into=Tapped(material="steel", depth=5.0))),
    ("tightening-torque", "estimate", NOTES, RECIPE),
    ("tightening-torque", "estimate", NOTES, m6(SUNK, threads="dry")),
    ("tightening-torque", "held-back", WARNS, m6(cover=LOW)),
    ("tightening-torque", "held-back", WARNS, m6(cover={"stock": replace(COVER.stock, thickness=9.81)})),
    ("tightening-torque", "held-back", WARNS, m6(into=Tapped(material="aluminium", depth=3.0))),
    ("tightening-torque", "too-tight", WARNS, m6(torque=12.0)),
    ("tightening-torque", "too-tight", WARNS, m6(Seat(screw="ISO 7380-1"), torque=12.0)),
    ("tightening-torque", "too-tight", WARNS, m6(torque=6.0, into=Tapped(material="plastic", depth=12.0))),
    ("tightening-torque", "too-tight", WARNS, m6(torque=9.0, threads="lubricated")),
    ("tightening-torque", "too-loose", WARNS, m6(torque=0.001)),
    ("tightening-torque", "too-loose", WARNS, m6(torque=0.5, property_class="10.9", load=True)),
    ("tightening-torque", "too-loose", WARNS, m6(torque=1.0, load=True, into=Tapped(material="plastic", depth=4.0))),
    ("weak-head", "too-tight", WARNS, m6(SUNK, torque=9.0)),
    ("weak-head", "in-the-joint", WARNS, m6(Seat(screw="ISO 7380-1"), load=True)),
    ("bearing-pressure", "gives-way", WARNS, m6(torque=9.8, cover={"material": "Cu-ETP R240"})),
    ("bearing-pressure", "gives-way", WARNS, m6(load=True, property_class="12.9")),
    ("bearing-pressure", "gives-way", WARNS, m6(PLAIN, torque=9.8, cover={"material": SOFT})),
    ("floor-over-gap", "yields", WARNS, m6(torque=9.0)),
    ("floor-over-gap", "stands-clear", NOTES, RECIPE),
    ("floor-over-gap", "stands-clear", NOTES, m6(SUNK)),
    ("floor-over-gap", "stands-clear", WARNS, m6(load=True)),
    ("floor-over-gap", "stands-clear", WARNS, m6(SUNK, load=True)),
    ("floor-over-gap", "stands-clear", WARNS, m6(PLAIN, load=True)),
    ("floor-over-gap", "bends-down", NOTES, THIN),
    ("settling", "loses-preload", NOTES, replace(m6(torque=6.0), clearance=NO_GAP)),
    ("settling", "loses-preload", WARNS, replace(m6(load=True, torque=6.0), clearance=NO_GAP)),
    ("washer-in-seat", "too-wide", FORBIDS, m6(washer=True)),
    ("washer-in-seat", "tight", WARNS, m6(Seat(screw="ISO 4762", diameter=12.2), washer=True)),
    ("washer-in-seat", "lifts-head", NOTES, m6(Seat(screw="ISO 4762", diameter=13.0), washer=True)),
    ("washer-in-seat", "under-cone", WARNS, m6(SUNK, washer=True)),
    ("washer-in-seat", "no-size", NOTES, m6(PLAIN, thread="M16", washer=True)),
    ("head-on-cover", "over-edge", WARNS, m6(PLAIN, at=((35.8, 0.0),))),
    ("head-on-cover", "cone-without-seat", WARNS, m6(PLAIN, screw="ISO 10642")),
    ("weak-head", "too-tight", WARNS, m6(PLAIN, screw="ISO 7380-1", torque=9.0)),
    ("key-reach", "too-deep", NOTES, m6(Seat(screw="ISO 4762", depth=45.0),
                                        cover={"stock": replace(COVER.stock, thickness=45.0)})),
    ("head-on-cover", "over-opening", WARNS, beside("opening")),
    ("head-on-cover", "on-insert", WARNS, beside("insert")),
    ("spanner-room", "meets-head", WARNS, m6(PLAIN, at=((0.0, 0.0), (12.0, 0.0)))),
    ("spanner-room", "meets-insert", WARNS, replace(m6(PLAIN), inlays={"crest": PROUD})),
    ("key-reach", "too-deep", NOTES, m6(Seat(screw="ISO 4762", depth=34.0),
                                        cover={"stock": replace(COVER.stock, thickness=45.0)})),
    ("bolts-alike", "lengths", NOTES, with_bolts(
        Bolts(thread="M6", at=PLACES[:1], length=12.0), Bolts(thread="M6", at=PLACES[1:], length=16.0))),
    ("bolts-alike", "classes", WARNS, with_bolts(
        Bolts(thread="M6", at=PLACES[:1]), Bolts(thread="M6", at=PLACES[1:], property_class="A2-70"))),
    ("thread-seizing", "unlubricated", NOTES, m6(property_class="A4-70")),
    ("load-bearing", "own-screws", NOTES, own_screws_beside_an_opening()),
    ("load-bearing", "unheld", WARNS, m6(load=True, holds="cover only")),
    ("load-bearing", "unheld", WARNS, m6(PLAIN, load=True, holds="cover only")),
    ("load-bearing", "unheld", WARNS, with_bolts(load=True)),
    ("load-bearing", "in-the-joint", WARNS, m6(PLAIN, load=True, thread="", hole=6.75)),
    ("weak-head", "in-the-joint", WARNS, m6(Seat(screw="ISO 7380-1", depth=12.0), load=True)),
    ("bolt-in-footprint", "over-edge", WARNS, m6(PLAIN, at=((0.0, 16.0),), holds="cover only")),
)  # fmt: skip
