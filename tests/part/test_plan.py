"""From recipe to plan: dimensions of the standards, heights, contradictions."""

from __future__ import annotations

from dataclasses import replace
from math import cos, pi, radians, sin

import pytest
from part_samples import COVER, CREST, ORIGINAL, RECIPE, box, cover, crest, disc, original, plan_of, stock

from generator.base.errors import GeometryError, RecipeError
from generator.base.standards import COUNTERBORES, COUNTERSINKS, HEADS
from generator.outline.create import rectangle
from generator.outline.measure import area, bounds
from generator.outline.region import Region
from generator.part.part import Face, Feature, Plan
from generator.part.plan import filled
from generator.part.relation import disc_of
from generator.recipe.model import Clearance, Opening, Recipe
from generator.recipe.model_bolts import BoltCircle, Bolts, Seat
from generator.recipe.model_dowels import Dowels
from generator.recipe.model_material import OwnMaterial
from generator.recipe.model_tools import Tool


def feature(plan: Plan, name: str) -> Feature:
    return next(f for f in plan.cover.features if f.name == name)


def radius(plan: Plan, name: str) -> float:
    disc = disc_of(feature(plan, name).region)
    assert disc is not None
    return disc.radius_mm


def mistakes_of(recipe: Recipe) -> list[tuple[str, str]]:
    """Path and sentence of every mistake."""
    with pytest.raises(RecipeError) as error:
        plan_of(recipe)
    assert all(m.file == "" and m.line == 0 and m.expected for m in error.value.mistakes)
    return [(m.path, m.sentence()) for m in error.value.mistakes]


def bolts(**changes: object) -> Recipe:
    given: dict[str, object] = {"thread": "M6", "at": ((0.0, 0.0),), **changes}
    return original(bolts=(Bolts(**given),), openings={})  # type: ignore[arg-type]


# ------------------------------------------------------------------ pocket, bolts, seats
def test_bottom_pocket_is_footprint_and_clearance() -> None:
    plan = plan_of(replace(RECIPE, clearance=Clearance(around=0.4, above=0.25)))
    pocket = feature(plan, "bottom-pocket")
    assert (pocket.face, pocket.z_from_mm, pocket.z_to_mm) == (Face.BOTTOM, 0.0, 3.45)
    steiner = area(plan.footprint) + 0.4 * (2 * (50 + 20) + 2 * pi * 5) + pi * 0.16
    assert area(pocket.region) == pytest.approx(steiner, rel=1e-9)


def test_holes_of_the_footprint_do_not_leave_pillars() -> None:
    ring = Region((rectangle(-20, -20, 20, 20), rectangle(-5, -5, 5, 5).reversed()))
    assert filled(ring) == Region((rectangle(-20, -20, 20, 20),))
    assert area(filled(Region((*ring, rectangle(-2, -2, 2, 2))))) == pytest.approx(1600, abs=1e-6)


@pytest.mark.parametrize(
    ("fit", "diameter"), [("fine", 6.4), ("medium", 6.6), ("coarse", 7.0)], ids=["fine", "medium", "coarse"]
)
def test_bolt_holes_by_iso_273(fit: str, diameter: float) -> None:
    plan = plan_of(bolts(fit=fit))
    assert 2 * radius(plan, "hole-bolt-1") == pytest.approx(diameter, abs=1e-12)
    assert plan.bolts[0].source == f"ISO 273:1979 {fit} (cross-checked)"
    assert (feature(plan, "hole-bolt-1").z_from_mm, feature(plan, "hole-bolt-1").z_to_mm) == (0.0, 12.0)


def test_a_hole_of_the_recipe_wins() -> None:
    plan = plan_of(bolts(thread="", hole=6.3, seat="none"))
    assert (plan.bolts[0].hole_mm, plan.bolts[0].source, plan.bolts[0].thread) == (6.3, "recipe", "")


def test_bolt_circle_runs_counter_clockwise_from_its_first_bolt() -> None:
    circle = BoltCircle(centre=(1.0, 2.0), diameter=24.0, count=5, first=radians(-90.0))
    plan = plan_of(bolts(at=(), circle=circle))
    expected = [(1 + 12 * cos(radians(-90 + 72 * k)), 2 + 12 * sin(radians(-90 + 72 * k))) for k in range(5)]
    for bolt, at in zip(plan.bolts, expected, strict=True):
        assert bolt.at == pytest.approx(at, abs=1e-12)
    assert [b.name for b in plan.bolts] == [f"bolt-{k}" for k in range(1, 6)]


@pytest.mark.parametrize("thread", [r.thread for r in COUNTERBORES if r.thread not in ("M14", "M16", "M20")])
def test_iso_4762_seats_are_din_974_counterbores(thread: str) -> None:
    row = next(r for r in COUNTERBORES if r.thread == thread)
    head = next(h for h in HEADS if (h.standard, h.thread) == ("ISO 4762", thread))
    recipe = replace(bolts(thread=thread), cover=replace(COVER, stock=replace(COVER.stock, thickness=40.0)))
    seat = feature(plan_of(recipe), "seat-bolt-1")
    assert disc_of(seat.region).radius_mm * 2 == pytest.approx(row.diameter_mm)  # type: ignore[union-attr]
    assert seat.depth_mm == pytest.approx(head.k_max_mm + row.extra_depth_mm)
    assert seat.flare_mm == 0.0


@pytest.mark.parametrize("thread", [h.thread for h in HEADS if h.standard == "ISO 7380-1"])
def test_iso_7380_seats_take_the_head_with_play(thread: str) -> None:
    head = next(h for h in HEADS if (h.standard, h.thread) == ("ISO 7380-1", thread))
    seat = feature(plan_of(bolts(thread=thread, seat=Seat(screw="ISO 7380-1"))), "seat-bolt-1")
    assert disc_of(seat.region).radius_mm * 2 == pytest.approx(head.dk_max_mm + 1.0)  # type: ignore[union-attr]
    assert seat.depth_mm == pytest.approx(head.k_max_mm)


@pytest.mark.parametrize("row", COUNTERSINKS, ids=lambda r: r.thread)
def test_iso_10642_seats_are_cones_of_90_degrees_down_to_the_hole(row) -> None:  # type: ignore[no-untyped-def]
    plan = plan_of(bolts(thread=row.thread, seat=Seat(screw="ISO 10642")))
    seat = feature(plan, "seat-bolt-1")
    assert radius(plan, "seat-bolt-1") == radius(plan, "hole-bolt-1")
    assert 2 * (radius(plan, "seat-bolt-1") + seat.flare_mm) == pytest.approx(row.diameter_mm)
    assert seat.depth_mm == pytest.approx(seat.flare_mm)  # 45° on either side


def test_a_countersink_sunk_deeper_has_a_straight_part_above() -> None:
    plan = plan_of(bolts(seat=Seat(screw="ISO 10642", depth=5.0)))
    cone, bore = feature(plan, "seat-bolt-1"), feature(plan, "seat-bolt-1-bore")
    height = (13.71 - 6.6) / 2
    assert (cone.z_from_mm, cone.z_to_mm) == pytest.approx((7.0, 7.0 + height))
    assert (bore.z_from_mm, bore.z_to_mm) == pytest.approx((7.0 + height, 12.0))
    assert 2 * radius(plan, "seat-bolt-1-bore") == pytest.approx(13.71)


def test_a_shallow_countersink_is_narrower_at_the_top() -> None:
    seat = feature(plan_of(bolts(seat=Seat(screw="ISO 10642", depth=2.0))), "seat-bolt-1")
    assert (seat.flare_mm, seat.depth_mm) == pytest.approx((2.0, 2.0))


def test_seat_of_the_recipe_wins_and_none_means_none() -> None:
    plan = plan_of(bolts(seat=Seat(screw="ISO 4762", depth=4.0, diameter=12.5)))
    assert (radius(plan, "seat-bolt-1"), feature(plan, "seat-bolt-1").depth_mm) == pytest.approx((6.25, 4.0))
    assert feature(plan, "seat-bolt-1").path == "original.bolts[0].seat"
    assert not [f for f in plan_of(bolts(seat="none")).cover.features if f.layer == "seats"]
    assert feature(plan_of(bolts()), "seat-bolt-1").path == "cover.seats"


# ------------------------------------------------------------------ heights
def test_measured_stock_and_depths_from_own_face() -> None:
    plan = plan_of(stock(measured=12.2))
    assert plan.cover.thickness_mm == plan.blank.thickness_mm == 12.2
    assert feature(plan, "inlay-pocket-crest").depth_mm == pytest.approx(1.5)
    assert feature(plan, "seat-bolt-1").depth_mm == pytest.approx(6.4)
    assert feature(plan, "bottom-pocket").depth_mm == pytest.approx(3.4)


def test_measured_stock_and_depths_from_bottom_face() -> None:
    plan = plan_of(stock(measured=12.2, depths_from="bottom face"))
    assert feature(plan, "inlay-pocket-crest").z_from_mm == pytest.approx(10.5)
    assert feature(plan, "inlay-pocket-crest").depth_mm == pytest.approx(1.7)
    assert feature(plan, "seat-bolt-1").depth_mm == pytest.approx(6.6)
    assert plan.inserts[0].seat_z_mm == pytest.approx(10.5)


def test_thinner_plate_cuts_a_cone_held_from_the_bottom_face_lower() -> None:
    recipe = replace(bolts(seat=Seat(screw="ISO 10642")), cover=replace(COVER, stock=stock(measured=11.8).cover.stock))
    recipe = replace(recipe, cover=replace(recipe.cover, stock=replace(recipe.cover.stock, depths_from="bottom face")))
    seat = feature(plan_of(recipe), "seat-bolt-1")
    assert seat.z_from_mm == pytest.approx(12.0 - 3.555)
    assert seat.flare_mm == pytest.approx(3.355)


def test_a_measured_thickness_that_swallows_a_depth_is_a_mistake() -> None:
    recipe = stock(measured=10.4, depths_from="bottom face")
    ((path, sentence),) = mistakes_of(recipe)
    assert path == "inlays.crest"
    assert "no depth in the measured thickness" in sentence
    assert "own face" in sentence


# ------------------------------------------------------------------ inlays
@pytest.mark.parametrize(
    ("sits", "by", "depth"), [("flush", 0.0, 1.5), ("proud", 0.3, 1.2), ("recessed", 0.2, 1.7)], ids=str
)
def test_pocket_depth_follows_from_how_the_insert_sits(sits: str, by: float, depth: float) -> None:
    assert feature(plan_of(crest(sits=sits, by=by)), "inlay-pocket-crest").depth_mm == pytest.approx(depth)


def test_insert_is_smaller_by_the_gap() -> None:
    (insert,) = plan_of(crest(gap=0.1)).inserts
    box_ = bounds(insert.profile)
    assert (box_.width_mm, box_.height_mm) == pytest.approx((15.8, 7.8))
    assert (insert.thickness_mm, insert.seat_z_mm, insert.features) == (1.5, 10.5, ())
    assert insert.layer == "insert-profile-crest"


def test_a_gap_of_nothing_changes_no_digit() -> None:
    plan = plan_of(crest(gap=0.0))
    assert plan.inserts[0].profile == feature(plan, "inlay-pocket-crest").region


def test_island_of_an_inlay_is_a_hole_of_the_insert_grown_by_the_gap() -> None:
    outline = replace(box(16.0, 8.0, (0.0, 4.0)), cut=(disc(2.0),))
    (insert,) = plan_of(crest(outline=outline, corners="as drawn")).inserts
    assert area(insert.profile) == pytest.approx(15.9 * 7.9 - pi * 2.05**2, rel=1e-9)


# ------------------------------------------------------------------ openings
def test_opening_inside_is_a_cut_and_grown_by_its_clearance() -> None:
    plan = plan_of(RECIPE)
    assert radius(plan, "opening-cable") == pytest.approx(3.5)
    assert plan.cover.profile == plan.outer


def test_opening_over_the_edge_becomes_a_notch_of_the_outline() -> None:
    plan = plan_of(original(openings={"lever": Opening(outline=box(10.0, 20.0, (0.0, -25.0)))}))
    assert not [f for f in plan.cover.features if f.layer == "openings"]
    assert area(plan.cover.profile) == pytest.approx(area(plan.outer) - 10 * 10, abs=1e-6)


def test_opening_that_runs_into_a_notch_becomes_part_of_it() -> None:
    lever, hook = Opening(outline=box(10.0, 20.0, (0.0, -25.0))), Opening(outline=box(6.0, 6.0, (0.0, -14.0)))
    for openings in ({"lever": lever, "hook": hook}, {"hook": hook, "lever": lever}):
        plan = plan_of(original(openings=openings))
        assert not [f for f in plan.cover.features if f.layer == "openings"]
        assert area(plan.cover.profile) == pytest.approx(area(plan.outer) - 100 - 6 * 4, abs=1e-6)


def test_openings_that_take_the_whole_cover_away_are_a_mistake() -> None:
    assert mistakes_of(original(openings={"all": Opening(outline=box(90.0, 60.0))}))[0][0] == "original.openings"


# ------------------------------------------------------------------ blank, flip, dowels
def test_dowels_lie_on_the_axis_beyond_both_ends_and_unequally() -> None:
    plan = plan_of(RECIPE)
    low, high = sorted(bounds(Region((c,))).centre for c in plan.blank.dowel_holes)
    assert (plan.flip.direction, plan.flip.at_mm) == ("y", 0.0)
    assert (low.x, high.x) == (0.0, 0.0)
    assert low.y == pytest.approx(-25.0 - 3.0 - 3.0 - 1.0)  # end, dowel radius, end mill at hand, 1 mm
    assert high.y == pytest.approx(25.0 + 3.0 + 3.0 + 1.0 + 4.5)
    blank = bounds(plan.blank.region)
    assert blank.ymax == -blank.ymin == pytest.approx(high.y + 9.0)
    assert (blank.xmin, blank.xmax) == pytest.approx((-48.0, 48.0))


def test_dowels_along_x_through_a_point() -> None:
    plan = plan_of(replace(RECIPE, dowels=Dowels(diameter=5.0, axis="x", through=(0.0, 3.0), at=(-50.0, 55.0))))
    assert (plan.flip.direction, plan.flip.at_mm) == ("x", 3.0)
    centres = sorted(bounds(Region((c,))).centre for c in plan.blank.dowel_holes)
    assert [(p.x, p.y) for p in centres] == [(-50.0, 3.0), (55.0, 3.0)]


def test_dowels_inside_are_holes_of_the_cover() -> None:
    plan = plan_of(replace(RECIPE, dowels=Dowels(diameter=4.0, place="inside", at=(-16.0, 20.0))))
    assert [f.layer for f in plan.cover.features].count("dowel-holes") == 2


def test_without_dowels_the_flip_is_about_the_middle() -> None:
    plan = plan_of(replace(RECIPE, dowels="none", cover=replace(COVER, outer=box(80.0, 50.0, (4.0, 0.0)))))
    assert (plan.flip.direction, plan.flip.at_mm, plan.blank.dowel_mm) == ("y", 4.0, 0.0)
    assert not plan.blank.dowel_holes


# ------------------------------------------------------------------ the rest of the plan
def test_plan_carries_what_the_recipe_says() -> None:
    own = OwnMaterial(name="EN AW-7075 T6", density=2810.0, colour="#123456")
    recipe = replace(
        cover(material=own), title="T", revision="C", notes="N", tools={
            "fine": Tool(kind="end mill", diameter=2.0), "drill": Tool(kind="drill", diameter=6.6)
        },
    )  # fmt: skip
    plan = plan_of(recipe)
    assert (plan.name, plan.title, plan.revision, plan.notes) == ("sample", "T", "C", "N")
    assert (plan.cover.material.name, plan.cover.material.density_kg_m3) == ("EN AW-7075 T6", 2810.0)
    assert plan.tool_diameters == (("fine", 2.0),)
    assert [p.name for p in plan.parts] == ["cover", "insert-crest"]
    assert plan.original_height_mm == 3.2


# ------------------------------------------------------------------ contradictions
@pytest.mark.parametrize(
    ("recipe", "path", "says"),
    [
        (bolts(thread="", seat="none"), "original.bolts[0]", "neither `thread` nor `hole`"),
        (bolts(hole=5.8), "original.bolts[0].hole", "more than 6 mm"),
        (bolts(at=()), "original.bolts[0]", "neither `at` nor `circle`"),
        (
            bolts(circle=BoltCircle(diameter=20.0, count=3)),
            "original.bolts[0]",
            "both `at` and `circle`",
        ),
        (bolts(thread="", hole=6.6), "cover.seats", "no `thread`"),
        (bolts(thread="M2", seat=Seat(screw="ISO 10642")), "original.bolts[0].seat", "no countersink for M2"),
        (bolts(thread="M16"), "cover.seats", "no ISO 4762 head for M16; known: M3"),
        (bolts(seat=Seat(screw="ISO 4762", diameter=6.0)), "original.bolts[0].seat.diameter", "more than 6.6 mm"),
        (
            bolts(seat=Seat(screw="ISO 10642", diameter=13.0, depth=2.0)),
            "original.bolts[0].seat.depth",
            "at least 3.200 mm",
        ),
        (crest(by=0.3), "inlays.crest.by", "sits flush"),
        (crest(pocket_depth=1.0), "inlays.crest.pocket_depth", "`sits: proud` and `by: 0.5`"),
        (crest(sits="proud", by=0.2, pocket_depth=1.5), "inlays.crest.pocket_depth", "needs 1.3 mm"),
        (crest(sits="proud", by=1.5), "inlays.crest.by", "below 1.5"),
        (replace(RECIPE, dowels=Dowels(diameter=6.0, place="inside")), "dowels.at", "add `dowels.at"),
    ],
    ids=lambda v: v if isinstance(v, str) else "",
)
def test_contradictions_are_located_mistakes(recipe: Recipe, path: str, says: str) -> None:
    found = mistakes_of(recipe)
    assert [p for p, _ in found] == [path]
    assert says in found[0][1]


def test_pocket_depth_that_agrees_is_fine() -> None:
    assert feature(plan_of(crest(pocket_depth=1.5)), "inlay-pocket-crest").depth_mm == pytest.approx(1.5)


def test_all_contradictions_come_at_once() -> None:
    recipe = replace(
        original(bolts=(Bolts(thread="M6"), Bolts(at=((0.0, 0.0),)))),
        inlays={"a": replace(CREST, by=1.0), "b": replace(CREST, pocket_depth=9.0)},
    )
    assert [p for p, _ in mistakes_of(recipe)] == [
        "original.bolts[0]",
        "original.bolts[1]",
        "inlays.a.by",
        "inlays.b.pocket_depth",
    ]


def test_an_outline_that_cannot_be_drawn_names_its_path() -> None:
    empty = replace(box(10.0, 10.0), grow_mm=-6.0)
    with pytest.raises(GeometryError) as error:
        plan_of(replace(RECIPE, original=replace(ORIGINAL, footprint=empty)))
    assert error.value.path.startswith("original.footprint")
