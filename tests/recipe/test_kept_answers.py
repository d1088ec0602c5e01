"""What is kept from one recipe to the next must not answer for another one."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.base.errors import RecipeError
from generator.outputs.markdown import escape
from generator.recipe.load import RecipeSource
from generator.recipe.read import read_recipe
from generator.recipe.resolve import flow_text, key_text, resolved_yaml
from generator.shapes import KINDS

LATCH = (Path(__file__).parents[2] / "recipes" / "gate-latch.yaml").read_text(encoding="utf-8")


def test_another_text_under_the_same_name_is_another_recipe():
    for boss in ("13", "14", "13"):
        text = LATCH.replace("boss: 13", f"boss: {boss}")
        reading = read_recipe(RecipeSource("latch.yaml", text), kinds=KINDS)
        assert reading.recipe.parameters["boss"] == float(boss)


def test_what_is_laid_over_a_recipe_does_not_stay():
    for sets, plot in (((), 21.0), (("parameters.plot=7", "inlays.number=null"), 7.0), ((), 21.0)):
        recipe = read_recipe(RecipeSource("latch.yaml", LATCH), kinds=KINDS, sets=sets).recipe
        assert recipe.parameters["plot"] == plot
        assert ("number" in recipe.inlays) == (not sets)


def test_a_mistake_is_told_each_time():
    for _ in range(2):
        with pytest.raises(RecipeError) as raised:
            read_recipe(RecipeSource("latch.yaml", "name: [latch"), kinds=KINDS)
        assert raised.value.mistakes[0].file == "latch.yaml"


def test_files_are_named_from_the_folder_of_the_recipe(tmp_path):
    for recipe, base in (("a/latch.yaml", "../upper.yaml"), ("latch.yaml", "upper.yaml"), ("b/latch.yaml", "low.yaml")):
        source = RecipeSource(str(tmp_path / recipe), f"based_on: {base}\nrevision: B\n")
        reading = read_recipe(source, kinds=KINDS, opener=lambda _: LATCH.encode())
        title = next(line for line in resolved_yaml(reading).splitlines() if line.startswith("title:"))
        assert title.partition("# ")[2].partition(":")[0] == base


def test_words_are_written_each_as_it_is():
    for _ in range(2):
        assert [flow_text(v) for v in ("brass", "true", "1", 1.0, True)] == ["brass", '"true"', '"1"', "1.0", "true"]
        assert [key_text(k) for k in ("plot", "true", "a b")] == ["plot", '"true"', '"a b"']
        assert [escape(t) for t in ("a_b", "_a_", "a\nb", "<b>")] == ["a_b", "\\_a\\_", "a b", "\\<b\\>"]
