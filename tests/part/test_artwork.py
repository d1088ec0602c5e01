"""Artwork on inserts, engravings in the cover, and what the fit of an inlay comes to."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import pytest
from part_samples import COVER, CREST, RECIPE, box, crest, disc, plan_of

from generator.base.errors import GeometryError, RecipeError
from generator.base.fills import FILLS, Fill
from generator.outline.measure import area, bounds
from generator.part.inlays import gap_of
from generator.part.islands import islands
from generator.part.layers import layers
from generator.part.mass import volume_mm3
from generator.part.part import Part
from generator.part.setups import setups
from generator.recipe.model import Recipe
from generator.recipe.model_inlay import Artwork, Bridges, Engraving
from generator.recipe.model_material import OwnFill
from generator.recipe.model_tools import Tool


def with_artwork(**artwork: Artwork) -> Recipe:
    return crest(artwork=artwork)


def insert_of(recipe: Recipe) -> Part:
    (insert,) = plan_of(recipe).inserts
    return insert


HOLE = Artwork(outline=disc(2.0))
MARK = Artwork(outline=disc(1.6, (5.0, 0.0)), done="engraved", depth=0.4)


def test_artwork_lies_about_the_middle_of_the_inlay() -> None:
    (hole,) = insert_of(with_artwork(hole=HOLE)).features
    assert bounds(hole.region).centre == pytest.approx((0.0, 4.0))
    assert (hole.name, hole.layer, hole.path) == ("cut-hole", "insert-cut-crest", "inlays.crest.artwork.hole")
    assert (hole.z_from_mm, hole.z_to_mm) == (0.0, 1.5)


def test_artwork_may_be_drawn_where_it_lies_on_the_cover() -> None:
    (hole,) = insert_of(with_artwork(hole=Artwork(outline=disc(2.0, (1.0, 5.0)), origin="cover"))).features
    assert bounds(hole.region).centre == pytest.approx((1.0, 5.0))


def test_engraved_artwork_goes_as_deep_as_said() -> None:
    (mark,) = insert_of(with_artwork(mark=MARK)).features
    assert (mark.layer, mark.z_from_mm, mark.z_to_mm) == ("insert-engraving-crest", 1.1, 1.5)
    assert bounds(mark.region).centre == pytest.approx((5.0, 4.0))


def test_volume_of_an_insert_with_artwork() -> None:
    bare = volume_mm3(insert_of(RECIPE))
    made = volume_mm3(insert_of(with_artwork(hole=HOLE, mark=MARK)))
    assert bare - made == pytest.approx(pi * 4.0 * 1.5 + pi * 1.6**2 * 0.4, rel=1e-12)


def test_layers_and_setup_of_an_insert_with_artwork() -> None:
    every = layers(plan_of(with_artwork(mark=MARK, hole=HOLE)))
    mine = [la.name for la in every if la.part == "insert-crest"]
    assert mine == ["insert-engraving-crest", "insert-cut-crest", "insert-profile-crest"]
    by_name = {la.name: la for la in every}
    assert (by_name["insert-engraving-crest"].top_mm, by_name["insert-engraving-crest"].bottom_mm) == (0.0, 0.4)
    assert (by_name["insert-cut-crest"].top_mm, by_name["insert-cut-crest"].bottom_mm) == (0.0, 1.5)
    assert {s.name: s.layers for s in setups(every)}["setup-insert-crest"] == tuple(mine)


def engraved(**changes: object) -> Recipe:
    engraving = Engraving(**{"outline": box(6.0, 4.0, (-16.0, 16.0)), "depth": 0.5, **changes})  # type: ignore[arg-type]
    return replace(RECIPE, cover=replace(COVER, engravings={"line": engraving}))


def test_engraving_in_the_cover_gets_the_cutters_corners() -> None:
    plan = plan_of(engraved())
    feature = next(f for f in plan.cover.features if f.layer == "engraving-line")
    assert (feature.z_from_mm, feature.z_to_mm, feature.cutter_mm) == (11.5, 12.0, 3.0)
    assert area(feature.asked) == pytest.approx(24.0)
    assert area(feature.region) == pytest.approx(24.0 - (4 - pi) * 1.5**2)
    assert "engraving-line" in {la.name for la in layers(plan)}


def test_corners_stay_sharp_where_that_is_asked_for() -> None:
    plan = plan_of(engraved(corners="as drawn"))
    feature = next(f for f in plan.cover.features if f.layer == "engraving-line")
    assert area(feature.region) == pytest.approx(24.0)
    assert not feature.asked


def test_what_the_cutter_leaves_nothing_of_is_kept_as_drawn_and_marked() -> None:
    plan = plan_of(engraved(outline=box(6.0, 1.0, (-16.0, 16.0))))
    feature = next(f for f in plan.cover.features if f.layer == "engraving-line")
    assert feature.region == feature.asked
    assert feature.region


def test_the_named_cutter_is_used_and_a_missing_one_is_a_mistake() -> None:
    tools = {"finishing": Tool(kind="end mill", diameter=3.0), "fine": Tool(kind="end mill", diameter=0.5)}
    two = replace(engraved(cutter="finishing"), tools=tools)
    assert next(f for f in plan_of(two).cover.features if f.layer == "engraving-line").cutter_mm == 3.0
    smallest = replace(engraved(), tools=tools)
    assert next(f for f in plan_of(smallest).cover.features if f.layer == "engraving-line").cutter_mm == 0.5
    with pytest.raises(RecipeError) as caught:
        plan_of(engraved(cutter="finer"))
    (mistake,) = caught.value.mistakes
    assert (mistake.path, mistake.found) == ("cover.engravings.line.cutter", "`finer`")
    assert "finishing" in mistake.expected


def test_artwork_that_cannot_be_drawn_carries_its_path() -> None:
    cross = Artwork(outline=replace(disc(1.0), grow_mm=-3.0))
    with pytest.raises((GeometryError, RecipeError)) as caught:
        plan_of(with_artwork(cross=cross))
    error = caught.value
    path = error.path if isinstance(error, GeometryError) else error.mistakes[0].path
    assert path.startswith("inlays.crest.artwork.cross.outline")


@pytest.mark.parametrize(("fit", "gap"), [("hand", 0.05), ("press", 0.01), ("glued", 0.1)])
def test_fit_picks_the_gap(fit: str, gap: float) -> None:
    inlay = replace(CREST, fit=fit)
    assert gap_of(inlay).value == gap
    assert gap_of(inlay).source
    assert bounds(insert_of(crest(fit=fit)).profile).width_mm == pytest.approx(16.0 - 2 * gap)


def test_a_gap_of_ones_own_goes_before_the_fit() -> None:
    assert gap_of(replace(CREST, fit="glued", gap=0.07)).value == 0.07


def test_bridges_hold_what_would_fall_out() -> None:
    ring = Artwork(outline=replace(disc(3.0), cut=(disc(1.4),)), cutter="fine")
    tools = {"fine": Tool(kind="end mill", diameter=0.5)}
    loose = replace(with_artwork(ring=ring), tools=tools)
    held = replace(with_artwork(ring=replace(ring, bridges=Bridges(width=0.8, count=2))), tools=tools)
    assert len(islands(insert_of(loose).profile, insert_of(loose).features[0].region)) == 1
    (cut,) = insert_of(held).features
    assert not islands(insert_of(held).profile, cut.region)
    assert len(cut.region) == 2
    assert area(insert_of(loose).features[0].region) - area(cut.region) == pytest.approx(2 * 0.8 * 1.6, rel=0.1)


def test_engravings_carry_their_fill_and_cuts_do_not() -> None:
    own = OwnFill(name="slate", colour="#3a4a55")
    marks = {"one": Engraving(outline=disc(2.0, (0.0, 19.0)), fill="dark green"), "two": Engraving(
        outline=disc(2.0, (10.0, 19.0)))}  # fmt: skip
    arts = {"cut": Artwork(outline=disc(1.0, (-4.0, 0.0)), fill=own), "cutin": Artwork(
        outline=disc(1.0, (4.0, 0.0)), done="engraved", fill=own)}  # fmt: skip
    of = plan_of(replace(crest(artwork=arts), cover=replace(COVER, engravings=marks)))
    fills = {f.name: f.fill for p in of.parts for f in p.features if "engraving" in f.name or "cut" in f.name}
    assert fills == {
        "engraving-one": FILLS["dark green"],
        "engraving-two": None,
        "cut-cut": None,
        "engraving-cutin": Fill("slate", "#3a4a55"),
    }
