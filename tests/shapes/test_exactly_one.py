"""Keys of which exactly one must be given: told with their line while reading, all in one run, and by the schema."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from jsonschema import Draft202012Validator

from generator.base.errors import RecipeError
from generator.recipe.read import RecipeSource, read_recipe
from generator.recipe.schema import recipe_schema
from generator.shapes import KINDS

ROOT = Path(__file__).parents[2]
BASE = yaml.safe_load((ROOT / "recipes" / "gate-latch.yaml").read_text(encoding="utf-8"))
SCHEMA = Draft202012Validator(recipe_schema(KINDS))
DISC = {"disc": {"radius": 3}}
PAIR = [{"at": [-32, 0], "radius": 13}, {"at": [32, 0], "radius": 13}]

NEITHER = {
    "disc": ({"disc": {}}, "neither `radius` nor `diameter`"),
    "rectangle": ({"rectangle": {"radius": 3}}, "neither `size` nor `corners`"),
    "slot": ({"slot": {"width": 3}}, "neither `length` nor `start`"),
    "regular_polygon": ({"regular_polygon": {"sides": 6}}, "neither `across_flats` nor `across_corners`"),
    "repeated": ({"repeated": {"count": 3, "outline": DISC}}, "neither `around` nor `step`"),
    "joined": ({"joined": {"circles": [PAIR[0], {**PAIR[1], "next": {}}]}}, "neither `hollow` nor `bulging`"),
    "pointed": (
        {"pointed": {"margin": 5, "tip_radius": 3, "direction": 0, "reach": 60, "sides": {}}},
        "neither `hollow` nor `bulging`",
    ),
}
BOTH = {
    "disc": ({"disc": {"radius": 3, "diameter": 6}}, "both `radius` and `diameter`"),
    "rectangle": ({"rectangle": {"size": [3, 4], "corners": [[0, 0], [3, 4]]}}, "both `size` and `corners`"),
    "slot": ({"slot": {"width": 3, "length": 9, "start": [0, 0]}}, "both `length` and `start`"),
    "regular_polygon": (
        {"regular_polygon": {"sides": 6, "across_flats": 10, "across_corners": 12}},
        "both `across_flats` and `across_corners`",
    ),
    "repeated": (
        {"repeated": {"count": 3, "outline": DISC, "around": [0, 0], "step": [9, 0]}},
        "both `around` and `step`",
    ),
    "joined": (
        {"joined": {"circles": [PAIR[0], {**PAIR[1], "next": {"hollow": 60, "bulging": 70}}]}},
        "both `hollow` and `bulging`",
    ),
}


def recipe(outer: dict, **cover) -> str:
    return yaml.safe_dump({**BASE, "cover": {**BASE["cover"], **cover, "outer": outer}}, sort_keys=False)


def mistakes(text: str):
    with pytest.raises(RecipeError) as told:
        read_recipe(RecipeSource("r.yaml", text), kinds=KINDS)
    return told.value.mistakes


@pytest.mark.parametrize(("outer", "found"), [*NEITHER.values(), *BOTH.values()])
def test_told_while_reading_at_its_line(outer, found):
    text = recipe(outer)
    told = [m for m in mistakes(text) if m.found == found]
    assert len(told) == 1
    assert told[0].path.startswith(f"cover.outer.{next(iter(outer))}")
    assert told[0].line > text[: text.index("outer:")].count("\n")
    assert told[0].remedy


@pytest.mark.parametrize(("outer", "found"), [*NEITHER.values(), *BOTH.values()])
def test_the_schema_says_it_too(outer, found):
    assert not SCHEMA.is_valid(yaml.safe_load(recipe(outer)))


@pytest.mark.parametrize(
    "outer",
    [
        {"disc": {"radius": 30}},
        {"disc": {"diameter": 60}},
        {"disc": {"radius": None, "diameter": 60}},
        {"rectangle": {"corners": [[0, 0], [3, 4]]}},
        {"slot": {"width": 3, "start": [0, 0], "end": [9, 0]}},
        {"joined": {"circles": [{**PAIR[0], "next": "tangent"}, {**PAIR[1], "next": {"hollow": 60}}]}},
        {"joined": {"circles": PAIR}},
    ],
)
def test_one_is_enough(outer):
    text = recipe(outer)
    assert read_recipe(RecipeSource("r.yaml", text), kinds=KINDS).recipe.cover.outer.kind == next(iter(outer))
    if None not in outer.get("disc", {}).values():
        assert SCHEMA.is_valid(yaml.safe_load(text))


def test_several_are_told_in_one_run():
    text = recipe({"disc": {}, "cut": [{"disc": {"radius": 3, "diameter": 6}}, {"slot": {"width": 4}}]})
    assert sorted(m.found for m in mistakes(text)) == [
        "both `radius` and `diameter`",
        "neither `length` nor `start`",
        "neither `radius` nor `diameter`",
    ]


def test_laid_over_another_recipe_the_new_one_takes_the_place_of_the_old(tmp_path):
    (tmp_path / "base.yaml").write_text(recipe({"disc": {"radius": 50}}), encoding="utf-8")
    over = tmp_path / "over.yaml"
    over.write_text("based_on: base.yaml\ncover: {outer: {disc: {diameter: 104}}}\n", encoding="utf-8")
    params = read_recipe(over, kinds=KINDS).recipe.cover.outer.params
    assert (params.radius, params.diameter) == (None, 104.0)
