"""Every check: silent on a sound recipe, and one spoiled recipe for every code that it can give."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from math import pi
from pathlib import Path
from types import ModuleType

import cases_bolts
import cases_cutting
import cases_fit
import cases_flip
import cases_inlays
import cases_metals
import cases_pocket
import cases_shop
import pytest
from harness import ALWAYS_SAID, FORBIDS, NOTES, WARNS, Case
from part_samples import COVER, CREST, ORIGINAL, RECIPE, box, cover, crest, disc, original, plan_of, round_hole, stock

import generator.checks
from generator.base.fields import OutlineSpec
from generator.base.finding import Finding, Severity
from generator.checks import CHECKS, run_checks
from generator.checks.check import Check, Outcome, no_less, no_more
from generator.checks.run import judge
from generator.outline.region import Region
from generator.part.part import Plan
from generator.recipe.model import Opening, Recipe
from generator.recipe.model_bolts import Bolts, Seat
from generator.recipe.model_dowels import Dowels
from generator.recipe.model_holding import Holding
from generator.recipe.model_inlay import Artwork, Engraving
from generator.recipe.model_tools import Tool
from generator.recipe.outline_keys import ATTRIBUTE_OF
from generator.shapes.outer.even_margin import EvenMargin

FOLDER = Path(generator.checks.__file__).parent


def bolts(*at: tuple[float, float], thread: str = "M6", **changes: object) -> Recipe:
    """Bolts at these places, no opening and no inlay in their way."""
    bare = replace(original(bolts=(Bolts(thread=thread, at=at),), openings={}), inlays={})
    return replace(bare, cover=replace(COVER, **changes))  # type: ignore[arg-type]


def outer(width: float, height: float, **changes: object) -> Recipe:
    return cover(outer=replace(box(width, height, round_mm=5.0), **changes), edge_break=0.1)  # type: ignore[arg-type]


def opening(outline: object, clearance: float = 0.0, **changes: object) -> Recipe:
    return replace(
        original(openings={"cable": Opening(outline=outline, clearance=clearance)}),  # type: ignore[arg-type]
        inlays={},
        **changes,  # type: ignore[arg-type]
    )


def dowels(**changes: object) -> Recipe:
    return replace(RECIPE, dowels=Dowels(**{"diameter": 6.0, **changes}))  # type: ignore[arg-type]


def lop_sided(*at: float, **changes: object) -> Recipe:
    """Dowels of a blank whose bottom pocket does not lie in the middle."""
    aside = original(footprint=box(56.0, 30.0, (2.0, 0.0), 5.0))
    return replace(aside, dowels=Dowels(**{"diameter": 6.0, "at": at, **changes}))  # type: ignore[arg-type]


def art(**changes: object) -> Recipe:
    return crest(artwork={"mark": Artwork(**changes)})  # type: ignore[arg-type]


def on_original() -> Recipe:
    """Heads that go through the cover and bear on the original, which bears load."""
    return replace(original(load_bearing=True), cover=replace(COVER, seats=Seat(screw="ISO 4762", depth=12.0)))


def mill(diameter: float, recipe: Recipe = RECIPE) -> Recipe:
    return replace(recipe, tools={"only": Tool(kind="end mill", diameter=diameter)})


AS_DRAWN = crest(corners="as drawn")
TWO = replace(CREST, outline=box(16.0, 8.0, (3.0, 5.0), 2.0))
DUMBBELL = replace(disc(4.0, (-8.0, 4.0)), add=(disc(4.0, (8.0, 4.0)), box(16.0, 0.6, (0.0, 4.0))))

OWN_CASES: tuple[Case, ...] = (
    ("load-bearing", "in-the-joint", WARNS, original(load_bearing=True)),
    ("load-bearing", "in-the-joint", WARNS, original(load_bearing=True, bolts=(
        Bolts(thread="M6", at=((-20.0, 0.0),)), Bolts(thread="M5", at=((20.0, 0.0),), seat=Seat(screw="ISO 10642"))))),
    ("load-bearing", "on-original", NOTES, on_original()),
    ("load-bearing", "cosmetic", NOTES, original(load_bearing=True, bolts=())),
    ("pocket-in-outer", "breaks-out", FORBIDS, outer(58.0, 50.0)),
    ("pocket-in-outer", "wall-too-thin", WARNS, outer(61.4, 50.0)),
    ("pocket-in-outer", "thin-wall", WARNS, outer(62.0, 50.0)),
    ("pocket-depth", "deeper-than-stock", FORBIDS, replace(stock(thickness=3.3), inlays={})),
    ("pocket-depth", "thin-floor", WARNS, stock(thickness=4.0)),
    ("one-piece", "several-outlines", FORBIDS, outer(80.0, 50.0, add=(disc(5.0, (100.0, 0.0)),))),
    ("one-piece", "falls-apart", FORBIDS, opening(box(4.0, 70.0))),
    ("bolt-in-cover", "outside", FORBIDS, bolts((60.0, 0.0))),
    ("bolt-in-cover", "near-edge", WARNS, bolts((33.0, 0.0), seats="none")),
    ("bolt-in-footprint", "not-through", WARNS, bolts((0.0, 19.0))),
    ("bolt-in-footprint", "over-edge", WARNS, bolts((0.0, 13.0))),
    ("bolt-spacing", "overlap", FORBIDS, bolts((0.0, 0.0), (5.0, 0.0), seats="none")),
    ("bolt-spacing", "thin-web", WARNS, bolts((0.0, 0.0), (7.2, 0.0), seats="none")),
    ("hole-size", "deep-for-its-diameter", WARNS, bolts((0.0, 0.0), thread="M1.6", seats="none",
                                                         stock=replace(COVER.stock, thickness=21.6))),
    ("seat-wall", "breaks-out", FORBIDS, bolts((36.0, 0.0))),
    ("seat-wall", "thin-wall", WARNS, bolts((34.0, 0.0))),
    ("seat-wall", "into-opening", FORBIDS, opening(disc(3.0, (20.0, 8.0)))),
    ("seat-wall", "into-seat", FORBIDS, bolts((0.0, 0.0), (10.0, 0.0))),
    ("seat-depth", "no-floor", FORBIDS, stock(thickness=9.5)),
    ("seat-depth", "thin-floor", WARNS, stock(thickness=10.5)),
    ("seat-depth", "goes-through", WARNS, cover(seats=Seat(screw="ISO 4762", depth=9.0))),
    ("seat-depth", "goes-through", NOTES, on_original()),
    ("seat-depth", "no-floor", FORBIDS, stock(thickness=9.5, measured=9.4)),
    ("seat-depth", "head-proud", NOTES, cover(seats=Seat(screw="ISO 4762", depth=4.0))),
    ("seat-depth", "head-proud", NOTES, cover(seats=Seat(screw="ISO 10642", depth=3.0))),
    ("opening-in-outer", "outside", WARNS, opening(disc(3.0, (100.0, 0.0)))),
    ("opening-in-outer", "runs-out", NOTES, opening(box(10.0, 20.0, (0.0, -25.0)))),
    ("opening-in-outer", "thin-web", WARNS, opening(disc(3.0, (0.0, -21.5)))),
    ("opening-in-outer", "takes-bolt", WARNS, opening(disc(5.0, (20.0, 0.0)))),
    ("inlay-in-cover", "breaks-out", FORBIDS, crest(outline=box(16.0, 8.0, (38.0, 10.0), 2.0))),
    ("inlay-in-cover", "thin-wall", WARNS, crest(outline=box(16.0, 8.0, (31.5, 10.0), 2.0))),
    ("inlay-clash", "meets-bolt", FORBIDS, replace(crest(outline=box(16, 8, (20.0, 0.0))),
                                                   cover=replace(COVER, seats="none"))),
    ("inlay-clash", "meets-seat", FORBIDS, crest(outline=box(16.0, 8.0, (20.0, 8.0), 2.0))),
    ("inlay-clash", "meets-opening", FORBIDS, crest(outline=box(16.0, 8.0, (0.0, -6.0), 2.0))),
    ("inlay-clash", "meets-dowel", FORBIDS, replace(crest(outline=box(10.0, 8.0, (0.0, 19.0), 2.0)),
                                                    dowels=Dowels(diameter=6.0, place="inside", at=(-18.0, 19.0)))),
    ("inlay-clash", "meets-inlay", FORBIDS, replace(RECIPE, inlays={"crest": CREST, "two": TWO})),
    ("inlay-clash", "thin-wall", WARNS, crest(outline=box(16.0, 8.0, (0.0, -1.0), 2.0))),
    ("thin-floor", "broken-through", FORBIDS, crest(stock=replace(CREST.stock, thickness=9.0))),
    ("thin-floor", "thin", WARNS, crest(stock=replace(CREST.stock, thickness=8.2))),
    ("thin-floor", "broken-through", FORBIDS, crest(sits="recessed", by=30.0)),
    ("thin-floor", "broken-through", FORBIDS, crest(
        sits="recessed", by=0.5, stock=replace(CREST.stock, thickness=9.0))),
    ("thin-floor", "thin", WARNS, crest(sits="proud", by=2.0, stock=replace(CREST.stock, thickness=10.2))),
    ("thin-floor", "thin", WARNS, stock(measured=5.0)),
    ("thin-floor", "thin", WARNS, cover(engravings={"mark": Engraving(outline=disc(2.0, (0.0, 4.0)), depth=8.3)})),
    ("insert-gap", "swallowed", FORBIDS, crest(gap=4.1)),
    ("insert-gap", "piece-swallowed", FORBIDS, crest(corners="as drawn", gap=0.45, outline=replace(
        disc(2.5, (-6.0, 4.0)), add=(box(6.0, 0.8, (12.0, 0.0)),)))),
    ("insert-gap", "falls-apart", WARNS, crest(outline=DUMBBELL, gap=0.4, corners="as drawn")),
    ("insert-gap", "tight", WARNS, crest(gap=0.01)),
    ("insert-gap", "loose", WARNS, crest(gap=0.3)),
    ("artwork-in-insert", "breaks-out", FORBIDS, art(outline=disc(2.0, (7.0, 0.0)))),
    ("artwork-in-insert", "thin-edge", WARNS, art(outline=disc(2.0, (5.6, 0.0)))),
    ("artwork-in-insert", "too-deep", FORBIDS, art(outline=disc(2.0), done="engraved", depth=1.5)),
    ("artwork-in-insert", "thin-floor", WARNS, art(outline=disc(2.0), done="engraved", depth=1.1)),
    ("finer-than-cutter", "nothing-left", FORBIDS, art(outline=box(8.0, 1.0))),
    ("finer-than-cutter", "piece-lost", FORBIDS, art(outline=replace(disc(2.0), add=(box(1.0, 1.0, (4.0, 0.0)),)))),
    ("finer-than-cutter", "thinned", WARNS, art(outline=box(5.0, 4.0))),
    ("finer-than-cutter", "corners-rounded", NOTES, replace(art(outline=box(5.0, 4.0)), tools={
        "fine": Tool(kind="end mill", diameter=0.8)})),
    ("fallen-pieces", "falls-out", WARNS, art(outline=replace(disc(3.0), cut=(disc(1.5),)), corners="as drawn")),
    ("fallen-pieces", "cut-off", WARNS, art(outline=box(2.0, 20.0), corners="as drawn")),
    ("insert-height", "too-high", WARNS, stock(measured=11.7, depths_from="bottom face")),
    ("insert-height", "too-low", WARNS, stock(measured=12.05, depths_from="bottom face")),
    ("insert-height", "shallow-pocket", WARNS, crest(sits="proud", by=1.49999)),
    ("insert-height", "shallow-pocket", WARNS, stock(measured=10.75, depths_from="bottom face")),
    ("edge-break", "as-deep-as-stock", FORBIDS, cover(edge_break=12.0)),
    ("edge-break", "rim-changes", FORBIDS, replace(original(bolts=()), cover=replace(
        COVER, outer=replace(box(80, 50), add=(box(24.0, 1.4, (50.0, 0.0)), box(20.0, 20.0, (70.0, 0.0)))),
        edge_break=1.0))),
    ("edge-break", "rim-too-narrow", FORBIDS, cover(
        outer=replace(box(80, 50), add=(box(24.0, 1.4, (50.0, 0.0)),)), edge_break=1.0)),
    ("edge-break", "rim-too-narrow", FORBIDS, cover(
        outer=replace(box(80, 50), add=(box(24.0, 2.0, (50.0, 0.0)),)), edge_break=1.0)),
    ("edge-break", "rim-too-narrow", FORBIDS, cover(
        outer=replace(box(80, 50), add=(box(2.0, 2.0, (20.0, 25.0)),)), edge_break=1.3)),
    ("edge-break", "meets-feature", FORBIDS, crest(outline=box(16.0, 8.0, (31.7, 10.0), 2.0))),
    ("edge-break", "narrow-land", WARNS, crest(outline=box(16.0, 8.0, (31.4, 10.0), 2.0))),
    ("edge-break", "pinched-corner", NOTES, cover(outer=box(80.0, 50.0, round_mm=0.3))),
    ("cutter-reach", "no-end-mill", NOTES, replace(RECIPE, tools={})),
    ("cutter-reach", "does-not-fit", FORBIDS, mill(9.0, AS_DRAWN)),
    ("cutter-reach", "uncut", WARNS, crest(outline=box(16.0, 8.0, (0.0, 4.0)), corners="as drawn")),
    ("cutter-reach", "uncut", WARNS, mill(5.0, AS_DRAWN)),
    ("cutter-reach", "uncut", WARNS, original(openings={"cable": Opening(outline=box(6.0, 5.0, (0.0, -9.0)))})),
    ("cutter-reach", "uncut", WARNS, cover(outer=replace(box(80.0, 50.0), add=(box(30.0, 30.0, (50.0, 0.0)),)))),
    ("cutter-reach", "thin-rib", WARNS, crest(corners="as drawn", outline=replace(
        box(16.0, 8.0, (0.0, 4.0), 2.0), cut=(box(4.0, 0.3, round_mm=0.15),)))),
    ("cutter-reach", "thin-rib", WARNS, crest(outline=DUMBBELL, corners="as drawn", gap=0.12)),
    ("cutter-reach", "blocks-original", FORBIDS, original(footprint=box(60.0, 30.0))),
    ("dowels", "in-part", FORBIDS, dowels(at=(-20.0, 40.0))),
    ("dowels", "near-part", WARNS, replace(dowels(at=(-28.5, 40.0)), tools={})),
    ("dowels", "in-the-way", FORBIDS, dowels(at=(-29.5, 40.0))),
    ("dowels", "in-the-way", FORBIDS, dowels(at=(-31.2, 40.0))),
    ("dowels", "needs-smaller", WARNS, replace(dowels(at=(-32.0, 40.0)), tools={
        **RECIPE.tools, "rougher": Tool(kind="end mill", diameter=6.0)})),
    ("dowels", "out-of-part", FORBIDS, dowels(place="inside", at=(-18.0, 40.0))),
    ("dowels", "overlap", FORBIDS, dowels(at=(-40.0, 34.0, 38.0))),
    ("dowels", "meets-feature", FORBIDS, dowels(place="inside", at=(-12.0, 20.0))),
    ("dowels", "near-feature", WARNS, dowels(place="inside", at=(-15.7, 20.0))),
    ("dowels", "overlap", FORBIDS, dowels(place="inside", at=(-18.0, 17.0, 19.0))),
    ("dowels", "too-close", WARNS, dowels(axis="x", through=(0.0, 40.0), at=(-10.0, 15.0))),
    ("dowels", "turnable", WARNS, lop_sided(-40.0, 40.0)),
    ("dowels", "turnable", WARNS, lop_sided(-42.0, 41.0)),
    ("dowels", "turnable", WARNS, lop_sided(-40.0, 0.0, 40.0, place="inside")),
    ("knife-edge", "touching", FORBIDS, opening(replace(box(6.0, 6.0), add=(disc(2.0, (5.0, 0.0)),)))),
    ("knife-edge", "touching", FORBIDS, replace(bolts((0.0, 0.0), (6.6, 0.0), seats="none"))),
    ("can-be-built", "no-body", FORBIDS, bolts((0.0, 0.0), (12.0, 0.0), seats=Seat(screw="ISO 10642"))),
    ("can-be-built", "nothing-left", FORBIDS, replace(
        original(bolts=(), openings={}), inlays={}, cover=replace(COVER, outer=box(20.0, 10.0), edge_break=0.0,
                                                                  stock=replace(COVER.stock, thickness=3.3)))),
)  # fmt: skip

THEMES: tuple[ModuleType, ...] = (
    cases_cutting,
    cases_flip,
    cases_inlays,
    cases_shop,
    cases_fit,
    cases_metals,
    cases_pocket,
    cases_bolts,
)
"""Modules with the cases of one theme each, as ``CASES``."""
CASES: tuple[Case, ...] = (*OWN_CASES, *(case for theme in THEMES for case in theme.CASES))


JUDGED: dict[int, tuple[Outcome, ...]] = {}
"""Outcomes of the cases, by identity: they live as long as this module, and several tests ask for them."""


def judged(recipe: Recipe) -> tuple[Outcome, ...]:
    if id(recipe) not in {id(c[3]) for c in CASES}:
        return run_checks(recipe, plan_of(recipe))
    if id(recipe) not in JUDGED:
        JUDGED[id(recipe)] = run_checks(recipe, plan_of(recipe))
    return JUDGED[id(recipe)]


def found(recipe: Recipe, check: str, plan: Plan | None = None) -> list[Finding]:
    outcomes = {o.check: o for o in (run_checks(recipe, plan) if plan else judged(recipe))}
    assert not outcomes[check].crash, outcomes[check].crash
    return list(outcomes[check].findings)


def assert_well_formed(finding: Finding) -> None:
    assert finding.message
    assert finding.source
    assert finding.path
    assert re.search(r"\d|leave|keep", finding.remedy), finding.remedy
    assert finding.face in ("", "top", "bottom")
    if finding.figure is not None and finding.limit is not None:
        assert finding.unit or finding.code in ("several-outlines", "falls-apart")


# ------------------------------------------------------------------ sound and spoiled
def test_a_sound_recipe_has_no_findings() -> None:
    outcomes = run_checks(RECIPE, plan_of(RECIPE))
    assert [(o.check, o.crash) for o in outcomes] == [(c.id, "") for c in CHECKS]
    said = [f for o in outcomes for f in o.findings]
    assert {(f.check, f.code) for f in said} == ALWAYS_SAID
    assert {f.severity for f in said} <= {NOTES}


@pytest.mark.parametrize(("check", "code", "severity", "recipe"), CASES, ids=[f"{c[0]}-{c[1]}" for c in CASES])
def test_spoiled_recipe_gives_just_that_code(check: str, code: str, severity: Severity, recipe: Recipe) -> None:
    findings = found(recipe, check)
    assert code in {f.code for f in findings}, findings
    for finding in findings:
        assert finding.check == check
        assert_well_formed(finding)
        if finding.code == code:
            assert finding.severity is severity


@pytest.mark.parametrize("recipe", [c[3] for c in CASES], ids=[f"{c[0]}-{c[1]}" for c in CASES])
def test_no_check_crashes_on_a_spoiled_recipe(recipe: Recipe) -> None:
    assert not [(o.check, o.crash) for o in judged(recipe) if o.crash]


HAND_MADE: tuple[tuple[str, Callable[[Plan], Plan]], ...] = (
    ("off-axis", lambda p: replace(p, flip=replace(p.flip, at_mm=0.5))),
    ("out-of-blank", lambda p: replace(p, blank=replace(p.blank, region=p.cover.profile))),
)


@pytest.mark.parametrize(("code", "spoil"), HAND_MADE, ids=[h[0] for h in HAND_MADE])
def test_dowels_that_no_recipe_can_give(code: str, spoil: Callable[[Plan], Plan]) -> None:
    assert code in {f.code for f in found(RECIPE, "dowels", spoil(plan_of(RECIPE)))}


def test_every_code_of_every_check_is_tried() -> None:
    tried = {(check, code) for check, code, _, _ in CASES} | {("dowels", code) for code, _ in HAND_MADE}
    for check in CHECKS:
        named = set(re.findall(r"``([a-z0-9-]+)``", check.run.__doc__ or ""))
        assert named == {code for c, code in tried if c == check.id}, check.id


def test_every_file_is_registered_once() -> None:
    files = {p.stem for p in FOLDER.rglob("*.py")} - {"__init__", "check", "run"}
    assert {c.id.replace("-", "_") for c in CHECKS} == files
    assert len(CHECKS) == len(files)
    assert all(c.title and c.why and c.source for c in CHECKS)


# ------------------------------------------------------------------ remedies do mend
MENDS = (
    ("inlays.crest.adhesive", lambda r, v: inlay(r, adhesive=v.strip("`"))),
    ("inlays.crest.fit", lambda r, v: inlay(r, fit=v)),
    ("inlays.crest.material", lambda r, v: inlay(r, material=v.strip("`"))),
    ("inlays.crest.stock.tolerance", lambda r, v: inlay(r, stock=replace(r.inlays["crest"].stock, tolerance=v))),
    ("making.step_down", lambda r, v: replace(r, making=replace(r.making, step_down=v))),
    ("tolerances.size", lambda r, v: replace(r, tolerances=replace(r.tolerances, size=v))),
    ("tolerances.depth", lambda r, v: replace(r, tolerances=replace(r.tolerances, depth=v))),
    *((f"{record}.{key}", lambda r, v, record=record, key=key: keyed(r, record, key, v))
      for record, key in (("tolerances", "general"), ("tolerances", "size"), ("tolerances", "position"),
                          ("tolerances", "flip"), ("tolerances", "height"), ("making", "accuracy"),
                          ("dowels", "fit"), ("dowels", "diameter"))),
    ("original.bolts[0].thread",
     lambda r, v: replace(r, original=replace(r.original, bolts=(replace(r.original.bolts[0], thread=v),)))),
    ("revision", lambda r, v: replace(r, revision=str(v))),
    ("clearance.around", lambda r, v: replace(r, clearance=replace(r.clearance, around=v))),
    ("clearance.above", lambda r, v: replace(r, clearance=replace(r.clearance, above=v))),
    ("tolerances.bolts", lambda r, v: replace(r, tolerances=replace(r.tolerances, bolts=v))),
    ("tolerances.footprint", lambda r, v: replace(r, tolerances=replace(r.tolerances, footprint=v))),
    ("original.bolts[0].fit",
     lambda r, v: replace(r, original=replace(r.original, bolts=(replace(r.original.bolts[0], fit=v),)))),
    ("cover.seats.diameter",
     lambda r, v: replace(r, cover=replace(r.cover, seats=replace(r.cover.seats, diameter=v)))),
    ("cover.stock.thickness",
     lambda r, v: replace(r, cover=replace(r.cover, stock=replace(r.cover.stock, thickness=v)))),
    ("cover.outer.grow", lambda r, v: replace(r, cover=replace(r.cover, outer=replace(r.cover.outer, grow_mm=v)))),
    ("cover.edge_break", lambda r, v: replace(r, cover=replace(r.cover, edge_break=v))),
    ("inlays.crest.outline.grow", lambda r, v: inlay(r, outline=replace(r.inlays["crest"].outline, grow_mm=v))),
    ("inlays.crest.outline.round_corners",
     lambda r, v: inlay(r, outline=replace(r.inlays["crest"].outline, round_corners_mm=v))),
    ("inlays.crest.gap", lambda r, v: inlay(r, gap=v)),
    ("original.bolts[0].hole",
     lambda r, v: replace(r, original=replace(r.original, bolts=(replace(r.original.bolts[0], hole=v),)))),
    ("cover.seats.depth", lambda r, v: replace(r, cover=replace(r.cover, seats=replace(r.cover.seats, depth=v)))),
    ("cover.seats.screw", lambda r, v: replace(r, cover=replace(r.cover, seats=replace(r.cover.seats, screw=v)))),
    ("original.bolts[1].seat.depth", lambda r, v: second_seat(r, depth=v)),
    ("original.bolts[1].seat.screw", lambda r, v: second_seat(r, screw=v)),
    ("cover.stock.measured",
     lambda r, v: replace(r, cover=replace(r.cover, stock=replace(r.cover.stock, measured=v)))),
    ("cover.stock.depths_from",
     lambda r, v: replace(r, cover=replace(r.cover, stock=replace(r.cover.stock, depths_from=v.strip("`"))))),
    ("cover.engravings.mark.depth", lambda r, v: replace(r, cover=replace(
        r.cover, engravings={"mark": replace(r.cover.engravings["mark"], depth=v)}))),
    ("inlays.crest.by", lambda r, v: inlay(r, by=v)),
    ("inlays.crest.sits", lambda r, v: inlay(r, sits=v)),
    ("inlays.crest.stock.thickness", lambda r, v: inlay(r, stock=replace(r.inlays["crest"].stock, thickness=v))),
    ("tools.finishing.flute_length", lambda r, v: finishing(r, flute_length=v)),
    ("tools.finishing.stick_out", lambda r, v: finishing(r, stick_out=v)),
    ("making.step_down", lambda r, v: replace(r, making=replace(r.making, step_down=v))),
    ("cover.outer.round_corners",
     lambda r, v: replace(r, cover=replace(r.cover, outer=replace(r.cover.outer, round_corners_mm=v)))),
    ("dowels.axis", lambda r, v: replace(r, dowels=replace(r.dowels, axis=v))),
    ("dowels.pins", lambda r, v: replace(r, dowels=replace(r.dowels, pins=v))),
    ("dowels.fit", lambda r, v: replace(r, dowels=replace(r.dowels, fit=v))),
    ("dowels.diameter", lambda r, v: replace(r, dowels=replace(r.dowels, diameter=v))),
    ("cover.stock.margin",
     lambda r, v: replace(r, cover=replace(r.cover, stock=replace(r.cover.stock, margin=v)))),
    ("cover.stock.tolerance",
     lambda r, v: replace(r, cover=replace(r.cover, stock=replace(r.cover.stock, tolerance=v)))),
    ("holding.by", lambda r, v: replace(r, holding=Holding(by=v))),
    ("holding.clamps[0]", lambda r, v: replace(r, holding=replace(r.holding, clamps=(a_point(v),)))),
    ("holding.count", lambda r, v: replace(r, holding=replace(r.holding, count=int(v)))),
    ("holding.width", lambda r, v: replace(r, holding=replace(r.holding, width=v))),
    ("holding.thickness", lambda r, v: replace(r, holding=replace(r.holding, thickness=v))),
    ("dowels.at", lambda r, v: replace(r, dowels=replace(r.dowels, at=numbers(v)))),
    ("dowels.place", lambda r, v: replace(r, dowels=replace(r.dowels, place=v))),
    ("cover.seats.diameter", lambda r, v: replace(r, cover=replace(r.cover, seats=replace(r.cover.seats, diameter=v)))),
    *((f"original.bolts[{i}].{key}", lambda r, v, i=i, key=key: bolt_group(r, i, key, v))
      for i in (0, 1) for key in ("length", "torque", "washer", "property_class", "threads", "screw")),
)  # fmt: skip


def inlay(recipe: Recipe, **changes: object) -> Recipe:
    return replace(recipe, inlays={"crest": replace(recipe.inlays["crest"], **changes)})  # type: ignore[arg-type]


def bolt_group(recipe: Recipe, number: int, key: str, value: object) -> Recipe:
    groups = list(recipe.original.bolts)
    value = value == "true" if key == "washer" else f"{value:g}" if key == "property_class" else value
    groups[number] = replace(groups[number], **{key: value})  # type: ignore[arg-type]
    return replace(recipe, original=replace(recipe.original, bolts=tuple(groups)))


def keyed(recipe: Recipe, record: str, key: str, value: object) -> Recipe:
    value = value.strip("`") if isinstance(value, str) else value
    return replace(recipe, **{record: replace(getattr(recipe, record), **{key: value})})


def numbers(text: str) -> tuple[float, ...]:
    return tuple(float(x) for x in re.findall(r"(-?[\d.]+) mm", text))


def a_point(text: str) -> tuple[float, float]:
    x, y = re.findall(r"(-?[\d.]+) mm", text)
    return float(x), float(y)


def finishing(recipe: Recipe, **changes: object) -> Recipe:
    tool = replace(recipe.tools["finishing"], **changes)  # type: ignore[arg-type]
    return replace(recipe, tools={**recipe.tools, "finishing": tool})


def second_seat(recipe: Recipe, **changes: object) -> Recipe:
    first, second = recipe.original.bolts
    moved = replace(second, seat=replace(second.seat, **changes))  # type: ignore[type-var, arg-type]
    return replace(recipe, original=replace(recipe.original, bolts=(first, moved)))


LEFT_OUT: tuple[tuple[str, Callable[[Recipe], Recipe]], ...] = (
    (
        "original.bolts[0].hole",
        lambda r: replace(r, original=replace(r.original, bolts=(replace(r.original.bolts[0], hole=None),))),
    ),
    ("dowels.at", lambda r: replace(r, dowels=replace(r.dowels, at=()))),  # type: ignore[type-var]
    (
        "cover.stock.measured",
        lambda r: replace(r, cover=replace(r.cover, stock=replace(r.cover.stock, measured=None))),
    ),
    ("holding.at", lambda r: replace(r, holding=replace(r.holding, at=()))),  # type: ignore[type-var]
    ("inlays.crest.by", lambda r: inlay(r, by=0.0)),
    ("inlays.crest.pocket_depth", lambda r: inlay(r, pocket_depth=None)),
)


def edits(recipe: Recipe, remedy: str) -> list[Recipe]:
    """The recipe with each alternative that the remedy names and that can be tried here."""
    ways = re.split(r", or |, if ", re.split(r" so that|;|: ", remedy)[0])
    return [made for way in ways if (made := edited(recipe, way.strip())) is not None]


def edited(recipe: Recipe, way: str) -> Recipe | None:
    """The recipe with one alternative of a remedy, which may name several keys; None if one cannot be tried here."""
    keys = r"((?:\S+ and )*\S+)"
    for part in re.split(r" and (?=set |leave |without |[a-z_.\[\]0-9]+ to )| (?=with |without )", way):
        if left := re.fullmatch(r"(?:leave (\S+) out|without (\S+))", part):
            apply = dict(LEFT_OUT).get(left[1] or left[2])
            if apply is None:
                return None
            recipe = apply(recipe)
            continue
        match = re.fullmatch(rf"(?:set |with )?{keys} (?:to|at) (?:at least |at most )?(.+?)( mm)?", part)
        if not match:
            return None
        for key in match[1].split(" and "):
            if key not in dict(MENDS):
                return None
            value = float(match[2]) if re.fullmatch(r"-?[\d.]+", match[2]) else match[2]
            recipe = dict(MENDS)[key](recipe, value)  # type: ignore[no-untyped-call]
    return recipe


@pytest.mark.parametrize(("check", "code", "severity", "recipe"), CASES, ids=[f"{c[0]}-{c[1]}" for c in CASES])
def test_a_remedy_that_is_a_number_mends(check: str, code: str, severity: Severity, recipe: Recipe) -> None:
    for finding in found(recipe, check):
        if finding.code == code:
            for mended in edits(recipe, finding.remedy):
                left = [f for f in found(mended, check) if (f.code, f.feature) == (code, finding.feature)]
                assert not left, (finding.remedy, left)


def test_enough_remedies_are_tried() -> None:
    tried = [
        code
        for check, code, _, recipe in CASES
        if any(f.code == code and edits(recipe, f.remedy) for f in found(recipe, check))
    ]
    assert len(tried) >= 40, tried


def test_an_even_margin_is_mended_by_its_margin() -> None:
    even = replace(box(1, 1), kind="even_margin", params=EvenMargin(margin=0.3))
    recipe = cover(outer=even, edge_break=0.0)
    (finding,) = [f for f in found(recipe, "pocket-in-outer") if f.code == "wall-too-thin"]
    assert finding.remedy == "set cover.outer.even_margin.margin to at least 0.8 mm"
    mended = cover(outer=replace(even, params=EvenMargin(margin=0.8)), edge_break=0.0)
    assert not found(mended, "pocket-in-outer")


# ------------------------------------------------------------------ figures
def test_figures_and_places_of_a_thin_floor() -> None:
    (finding,) = found(crest(stock=replace(CREST.stock, thickness=8.2)), "thin-floor")
    assert finding.figure == pytest.approx(12.0 - 3.4 - 8.2)
    assert (finding.limit, finding.unit, finding.face) == (0.8, "mm", "top")
    assert finding.point_mm == pytest.approx((0.0, 4.0))
    assert finding.path == "inlays.crest"
    assert "set cover.stock.thickness to at least 12.4 mm" in finding.remedy


def test_figure_of_a_wall() -> None:
    (finding,) = found(outer(62.0, 50.0), "pocket-in-outer")
    assert finding.figure == pytest.approx(0.7, abs=1e-9)
    assert finding.point_mm is not None
    assert abs(finding.point_mm[0]) == pytest.approx(30.65, abs=1e-6)


def test_reach_over_the_outer_shape() -> None:
    (finding,) = found(outer(58.0, 50.0), "pocket-in-outer")
    assert finding.figure == pytest.approx(-1.3, abs=0.01)  # 30.3 - 29


def test_the_load_bearing_caution_is_loud_and_whole() -> None:
    (finding,) = found(original(load_bearing=True), "load-bearing")
    for words in ("BEARS LOAD", "never replaces, thins or bears for", "soft metal", "maker or a qualified engineer"):
        assert words in finding.message or words in finding.message.replace("equipment's ", "")


def test_a_pocket_beside_a_notch_is_no_breakout() -> None:
    notch = opening(box(20.0, 20.0, (30.0, 0.0)), cover=replace(COVER, outer=box(76.0, 50.0)))
    notch = replace(notch, original=replace(notch.original, bolts=()))
    assert "runs-out" in {f.code for f in found(notch, "opening-in-outer")}
    assert not found(notch, "pocket-in-outer")


def test_uncut_corner_area_is_the_corners_own() -> None:
    (finding,) = found(crest(outline=box(16.0, 8.0, (0.0, 4.0)), corners="as drawn"), "cutter-reach")
    assert finding.figure == pytest.approx((4 - pi) * 1.5**2, abs=1e-6)
    assert "no round cutter" in finding.message


def test_the_largest_cutter_that_would_do_is_named() -> None:
    (finding,) = found(mill(5.0, AS_DRAWN), "cutter-reach")
    assert finding.feature == "inlay-pocket-crest"
    assert "4 mm" in finding.message
    assert not found(mill(4.0, AS_DRAWN), "cutter-reach")


def test_lost_places_are_told_with_area_depth_and_place() -> None:
    (finding,) = found(crest(outline=box(16.0, 8.0, (0.0, 4.0)), corners="as drawn"), "cutter-reach")
    assert finding.point_mm in [(-8.0, 0.0), (8.0, 0.0), (-8.0, 8.0), (8.0, 8.0)]
    assert finding.message.count("0.483 mm², 0.62 mm deep, at (") == 3  # 1.5² (1 - π/4), 1.5 (√2 - 1)
    assert "and 1 more" in finding.message


def test_inside_corners_of_an_outline_are_left_standing() -> None:
    recipe = next(r for check, code, _, r in CASES if (check, code) == ("cutter-reach", "uncut") and r.cover != COVER)
    (finding,) = found(recipe, "cutter-reach")
    assert finding.feature == "outer-profile"
    assert finding.figure == pytest.approx(2 * (1.0 - pi / 4.0) * 1.5**2, rel=1e-6)
    assert finding.point_mm is not None
    assert (finding.point_mm[0], abs(finding.point_mm[1])) == pytest.approx((40.0, 15.0))


def test_the_thinnest_rib_is_where_and_as_thin_as_it_is_told() -> None:
    recipe = next(r for check, code, _, r in CASES if (check, code) == ("cutter-reach", "thin-rib"))
    (rib,) = [f for f in found(recipe, "cutter-reach") if f.code == "thin-rib" and f.feature == "inlay-pocket-crest"]
    assert rib.figure == pytest.approx(0.3, abs=1e-9)
    assert rib.point_mm == pytest.approx((0.0, 4.0), abs=1e-6)
    assert "at least 1.67 times as large" in rib.remedy


def test_a_loose_piece_is_told_with_place_and_area() -> None:
    recipe = next(r for check, code, _, r in CASES if (check, code) == ("fallen-pieces", "falls-out"))
    (piece,) = found(recipe, "fallen-pieces")
    assert piece.figure == pytest.approx(pi * 1.5**2)
    assert piece.point_mm is not None
    assert abs(piece.point_mm[0]) < 1.5
    assert "3.00 × 3.00 mm" in piece.message
    assert piece.remedy.startswith("set inlays.crest.artwork.mark.bridges.width to 0.8 mm")
    engraved = art(outline=replace(disc(3.0), cut=(disc(1.5),)), corners="as drawn", done="engraved")
    assert not found(engraved, "fallen-pieces")


# ------------------------------------------------------------------ the run
def test_a_crash_is_told_as_ours_and_stops_nothing() -> None:
    def broken(_recipe: Recipe, _plan: Plan) -> list[Finding]:
        raise ZeroDivisionError("oh")

    bad = Check("bad", "t", "w", "s", broken)
    first, second = judge((bad, CHECKS[0]), original(load_bearing=True), plan_of(original(load_bearing=True)))
    assert (first.crash, first.findings) == ("ZeroDivisionError: oh", ())
    assert [f.code for f in second.findings] == ["in-the-joint"]


def test_remedy_figures_are_rounded_to_the_safe_side() -> None:
    assert (no_less(7.401), no_less(7.4), no_less(7.4 + 1e-12)) == ("7.41 mm", "7.4 mm", "7.4 mm")
    assert (no_more(7.409), no_more(7.4), no_more(7.4 - 1e-12)) == ("7.4 mm", "7.4 mm", "7.4 mm")


def test_same_plan_same_findings() -> None:
    recipe = replace(RECIPE, inlays={"crest": CREST, "two": TWO})
    assert run_checks(recipe, plan_of(recipe)) == run_checks(recipe, plan_of(recipe))


def test_a_plan_without_features_of_a_kind_is_fine() -> None:
    bare = replace(RECIPE, original=replace(ORIGINAL, bolts=(), openings={}), inlays={}, dowels="none")
    said = [f for o in run_checks(bare, plan_of(bare)) for f in o.findings]
    assert {(f.check, f.code) for f in said} <= ALWAYS_SAID
    assert not [o.crash for o in run_checks(bare, plan_of(bare)) if o.crash]


def test_an_empty_outer_shape_in_a_hand_made_plan_does_not_hide_other_findings() -> None:
    plan = plan_of(original(load_bearing=True))
    hollow = replace(plan, outer=Region(), cover=replace(plan.cover, profile=round_hole(100.0)))
    outcomes = {o.check: o for o in run_checks(original(load_bearing=True), hollow)}
    assert outcomes["load-bearing"].findings
    assert not outcomes["pocket-in-outer"].crash


# ------------------------------------------------------------------ places
def test_what_breaks_out_on_both_sides_is_shown_where_it_sticks_out() -> None:
    (finding,) = found(outer(58.0, 50.0), "pocket-in-outer")
    assert finding.point_mm is not None
    assert abs(finding.point_mm[0]) > 29.0


def test_a_rim_that_falls_apart_is_shown_at_its_neck() -> None:
    recipe = next(r for check, code, _, r in CASES if (check, code) == ("edge-break", "rim-changes"))
    (finding,) = found(recipe, "edge-break")
    assert finding.point_mm is not None
    assert finding.point_mm[0] == pytest.approx(50.0, abs=11.0)


def test_an_insert_in_a_thin_plate_stands_proud_by_what_is_missing() -> None:
    recipe = stock(measured=11.7, depths_from="bottom face")
    (finding,) = found(recipe, "insert-height")
    assert finding.figure == pytest.approx(0.3, abs=1e-9)
    assert "0.300 mm proud" in finding.message
    own_face = replace(recipe, cover=replace(recipe.cover, stock=replace(recipe.cover.stock, depths_from="own face")))
    assert not found(own_face, "insert-height")


def test_a_low_rib_may_be_thinner_than_a_wall() -> None:
    """Two grooves 0.2 mm apart: fine where they are 0.3 mm deep, too thin where they are 0.6 mm deep."""
    grooves = replace(box(3.0, 2.0, (-1.6, 0.0)), add=(box(3.0, 2.0, (3.2, 0.0)),))
    for depth, told in ((0.3, 0), (0.6, 1)):
        findings = found(art(outline=grooves, done="engraved", depth=depth, corners="as drawn"), "cutter-reach")
        assert len([f for f in findings if f.code == "thin-rib" and f.feature == "engraving-mark"]) == told


def stands_in(recipe: Recipe, path: str) -> bool:
    """Whether a recipe path leads to something: keys of records, names of maps, places of lists."""
    here: object = recipe
    for key in re.findall(r"[^.\[\]]+", path):
        if isinstance(here, OutlineSpec):
            name = ATTRIBUTE_OF.get(key, "params" if key == here.kind else "")
            here = getattr(here, name, None)
        elif isinstance(here, Mapping):
            here = here.get(key)
        elif isinstance(here, tuple):
            here = here[int(key)] if int(key) < len(here) else None
        elif hasattr(here, key):
            here = getattr(here, key)
            continue  # a key that nobody wrote has its default
        else:
            return False
        if here is None:
            return False
    return True


@pytest.mark.parametrize("recipe", [c[3] for c in CASES], ids=[f"{c[0]}-{c[1]}" for c in CASES])
def test_every_finding_says_a_place_that_the_recipe_has(recipe: Recipe) -> None:
    lost = [(o.check, f.code, f.path) for o in judged(recipe) for f in o.findings if not stands_in(recipe, f.path)]
    assert not lost
    assert not stands_in(recipe, "inlays.crest.depth")


def test_a_clash_is_shown_where_the_two_overlap() -> None:
    """A band over one of two seats: the place lies in both, not in the middle of the band."""
    recipe = crest(outline=box(30.0, 8.0, (10.0, 0.0), 2.0))
    clash = next(f for f in found(recipe, "inlay-clash") if f.code in ("meets-bolt", "meets-seat"))
    assert clash.point_mm is not None
    assert abs(clash.point_mm[0] - 20.0) < 6.0
