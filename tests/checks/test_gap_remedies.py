"""One gap for everything that asks for one: what a finding offers raises none of the others."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from part_samples import COVER, CREST, RECIPE, box, crest, disc, plan_of

from generator.base.adhesives import KEY_OF, NO_ADHESIVE
from generator.base.errors import RecipeError
from generator.base.figures import SET
from generator.base.finding import Finding, Severity
from generator.base.remedy import Way, ways
from generator.build.check_pages import explained
from generator.build.reading import read
from generator.checks import CHECKS
from generator.part.metals import built_in_adhesive
from generator.recipe.model import Recipe
from generator.recipe.model_adhesive import OwnAdhesive
from generator.recipe.model_conditions import Conditions

GAPS = ("insert-gap", "glue-gap", "expansion-gap", "expansion-bond")
BONDS = (*GAPS, "glue-area", "insert-width", "insert-island", "peel-edge")
OUTDOOR = Conditions(environment="outdoor")
LONG = box(70.0, 8.0, (0.0, 4.0), 2.0)
WIDE = replace(RECIPE, original=replace(RECIPE.original, bolts=(), openings={}), conditions=OUTDOOR)


def inlaid(**changes: object) -> Recipe:
    """A long insert with nothing in its way, out of doors."""
    return replace(WIDE, inlays={"crest": replace(CREST, **{"outline": LONG, **changes})})  # type: ignore[arg-type]


def told(recipe: Recipe, checks: tuple[str, ...] = GAPS) -> list[Finding]:
    plan = plan_of(recipe)
    return [f for c in CHECKS if c.id in checks for f in c.run(recipe, plan)]


def carried_out(recipe: Recipe, way: Way) -> Recipe:
    """The recipe after the edits of the one inlay that a remedy names."""
    inlay = recipe.inlays["crest"]
    for edit in way:
        key, value = edit.key.removeprefix("inlays.crest."), str(edit.value).removesuffix(" mm")
        if key == "stock.thickness":
            inlay = replace(inlay, stock=replace(inlay.stock, thickness=float(value)))
        else:
            assert key in ("gap", "adhesive", "material"), edit
            inlay = replace(inlay, **{key: float(value) if key == "gap" else value})  # type: ignore[arg-type]
    return replace(recipe, inlays={"crest": inlay})


def test_a_long_plastic_insert_is_offered_what_quiets_all_of_them() -> None:
    recipe = inlaid(material="POM-C", fit="glued", adhesive="epoxy")
    found = told(recipe)
    assert {f.check for f in found} == {"expansion-gap", "expansion-bond"}
    assert len({f.remedy for f in found}) == 1
    assert "no gap does here" in found[0].remedy
    offered = ways(found[0].remedy)
    assert [e.key.rpartition(".")[2] for w in offered for e in w] == ["adhesive", "gap", "material"]
    for way in offered:
        assert not told(carried_out(recipe, way), BONDS)


@pytest.mark.parametrize(("adhesive", "gap", "offered"), [("cyanoacrylate", 0.508, 0.05), ("epoxy", 0.4, 0.1),
                                                          ("epoxy", 0.01, 0.05), ("", 0.3, 0.1)])  # fmt: skip
def test_all_of_them_offer_the_same_gap(adhesive: str, gap: float, offered: float) -> None:
    recipe = crest(adhesive=adhesive, gap=gap)
    found = told(recipe)
    assert {f.remedy for f in found} == {f"set inlays.crest.gap to {offered:g} mm"}
    assert not told(carried_out(recipe, ways(found[0].remedy)[0]))


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(("CuZn39Pb3 R430", "POM-C", "1.4301 annealed")),
    st.sampled_from(("", *KEY_OF, NO_ADHESIVE)),
    st.integers(0, 60).map(lambda n: n / 100.0),
    st.sampled_from((8.0, 24.0, 70.0)),
)
def test_no_way_that_is_offered_brings_another_warning(material: str, adhesive: str, gap: float, long: float) -> None:
    recipe = inlaid(material=material, adhesive=adhesive, gap=gap, outline=box(long, 8.0, (0.0, 4.0), 2.0))
    for finding in told(recipe):
        for way in ways(finding.remedy):
            left = told(carried_out(recipe, way), BONDS if "adhesive" in finding.remedy else GAPS)
            assert not [f for f in left if f.severity is not Severity.NOTES], (finding.remedy, left)


def test_thicker_for_the_bond_is_not_offered_where_it_is_too_thick_for_its_width() -> None:
    bar = replace(
        disc(0.8, (-3.0, 4.0)),
        add=(
            box(6.0, 1.0, (3.0, 0.0)),
            disc(0.8, (6.0, 0.0)),
        ),
    )
    recipe = crest(outline=bar, corners="as drawn", adhesive="elastic adhesive", gap=0.2)
    found = {f.check: f.remedy for f in told(recipe, ("glue-area", "insert-width"))}
    assert set(found) == {"glue-area", "insert-width"}
    assert not [w for remedy in found.values() for w in ways(remedy)]
    assert re.match(r"draw it at least \d+\.\d\d times as", found["insert-width"])


# ------------------------------------------------------------------ figures that can be set
def test_every_adhesive_likes_less_than_it_bridges() -> None:
    for name in KEY_OF:
        a = built_in_adhesive(RECIPE, name)
        assert a.thinnest.value < a.best.value <= a.widest.value
        assert a.shear.value > 0.0


def test_what_an_adhesive_bridges_is_a_limit() -> None:
    limits = RECIPE.limits.inserts
    wide = replace(RECIPE.limits, inserts=replace(limits, epoxy_best=limits.epoxy_best.chosen(0.18)))
    recipe = crest(adhesive="epoxy", gap=0.15)
    assert [f.code for f in told(recipe)] == ["not-its-best"]
    assert not told(replace(recipe, limits=wide))
    for key in KEY_OF.values():
        assert f"limits.inserts.{key}_thinnest" in explained("glue-gap")
        assert f"limits.inserts.{key}_shear" in explained("glue-area")


def test_an_adhesive_of_ones_own_is_held_against_its_own_figures() -> None:
    own = OwnAdhesive(name="rubbery glue", thinnest=0.3, thickest=0.8, shear=0.5, stretch=2.0)
    (thin,) = told(crest(adhesive=own, gap=0.1))
    assert (thin.code, thin.limit, thin.source) == ("starved", 0.3, SET)
    assert thin.remedy == "set inlays.crest.gap to 0.3 mm"
    assert "rubbery glue" in thin.message
    assert not told(crest(adhesive=own, gap=0.5))
    assert {f.check for f in told(crest(adhesive=own, gap=0.9))} == {"glue-gap", "insert-gap"}
    assert not told(inlaid(adhesive=own, gap=0.3, material="POM-C"))
    (weak,) = told(crest(adhesive=replace(own, shear=0.1), gap=0.5), ("glue-area",))
    assert weak.code == "small"


def test_a_cover_of_the_inserts_metal_is_fine() -> None:
    same = replace(WIDE, cover=replace(COVER, material="CuZn39Pb3 R430"))
    assert not told(replace(same, inlays={"crest": replace(CREST, outline=LONG)}))


def test_an_adhesive_is_read_from_a_recipe_and_its_gaps_must_be_the_right_way_round(tmp_path: Path) -> None:
    written = (
        "name: plate\noriginal: {height: 3, load_bearing: false, footprint: {disc: {radius: 20}}}\n"
        "cover: {stock: {thickness: 12}, outer: {disc: {radius: 26}}}\n"
        "inlays: {dot: {stock: {thickness: 1}, outline: {disc: {radius: 9}}, gap: 0.2, adhesive: {name: goo, "
        "thinnest: 0.3, thickest: %s, shear: 5}}}\n"
    )
    path = tmp_path / "plate.yaml"
    path.write_text(written % "0.4")
    recipe = read(path).recipe
    assert recipe.inlays["dot"].adhesive == OwnAdhesive(name="goo", thinnest=0.3, thickest=0.4, shear=5.0)
    assert "starved" in {f.code for f in told(recipe)}
    path.write_text(written % "0.1")
    with pytest.raises(RecipeError, match=r"goo needs at least 0\.3 mm"):
        plan_of(read(path).recipe)
