"""One value edited in the text of a recipe: it is read as meant, and every other character stays."""

from __future__ import annotations

import difflib
from pathlib import Path

import pytest
from recipe_samples import KINDS, SMALL, read_text

from generator.recipe.load import RecipeSource
from generator.recipe.read import read_recipe
from generator.recipe.rewrite import CannotRewriteError, rewritten
from generator.shapes import KINDS as ALL_KINDS

RECIPES = sorted((Path(__file__).parents[2] / "recipes").glob("*.yaml"))

TEXT = """\
# a cover
cover:
  stock: {thickness: 8, margin: 5}   # from the rack
  outer:
    disc: {radius: 30}
  seats: none     # plain holes
  edge_break: 0.5
original:
  bolts:
    - thread: M6   # the old ones
      at: [[0, 0]]
    - {hole: 5, at: [[9, 0]]}
inlays:
  crest:
    outline: {disc: {radius: 5}}

notes: |
  several
  lines
"""

EDITS = {
    ("cover.stock.thickness", "9.5"): ("thickness: 8,", "thickness: 9.5,"),
    ("cover.edge_break", "0.2"): ("edge_break: 0.5", "edge_break: 0.2"),
    ("cover.stock.measured", "8.1"): ("margin: 5}", "margin: 5, measured: 8.1}"),
    ("cover.seats.depth", "4"): ("seats: none", "seats: {depth: 4}"),
    ("inlays.crest.gap", "0.1"): ("{disc: {radius: 5}}\n", "{disc: {radius: 5}}\n    gap: 0.1\n"),
    ("cover.outer.grow", "-1.5"): ("{radius: 30}\n", "{radius: 30}\n    grow: -1.5\n"),
    ("clearance.around", "0.4"): ("# a cover\n", "# a cover\nclearance: {around: 0.4}\n"),
    ("cover.edge_break", None): ("  edge_break: 0.5\n", ""),
    ("cover.stock.margin", None): ("{thickness: 8, margin: 5}", "{thickness: 8}"),
    ("cover.stock.thickness", None): ("{thickness: 8, margin: 5}", "{margin: 5}"),
    ("original.bolts[1].hole", "6.4"): ("hole: 5", "hole: 6.4"),
    ("original.bolts[0].hole", "7"): ("- thread: M6   # the old ones\n      at: [[0, 0]]",
                                      "- at: [[0, 0]]\n      hole: 7"),
    ("inlays.crest.outline.at", "[1 mm, 2 mm]"): ("{disc: {radius: 5}}", "{disc: {radius: 5}, at: [1 mm, 2 mm]}"),
    ("original.bolts[0].seat.screw", "ISO 4762"): ("at: [[0, 0]]\n", "at: [[0, 0]]\n      seat: {screw: ISO 4762}\n"),
    ("nothing.of.the.kind", None): ("", ""),
}  # fmt: skip


@pytest.mark.parametrize(("path", "value"), EDITS)
def test_only_the_place_changes(path: str, value: str | None) -> None:
    old, new = EDITS[(path, value)]
    assert rewritten(TEXT, path, value, ALL_KINDS) == TEXT.replace(old, new, 1)


def test_line_breaks_stay() -> None:
    text = TEXT.replace("\n", "\r\n")
    assert rewritten(text, "cover.edge_break", "0.2", ALL_KINDS) == text.replace("edge_break: 0.5", "edge_break: 0.2")
    added = rewritten(text, "inlays.crest.gap", "0.1", ALL_KINDS)
    assert added == text.replace("radius: 5}}\r\n", "radius: 5}}\r\n    gap: 0.1\r\n")


REFUSED = {
    ("notes", "one"): "several lines",
    ("original.bolts[7].hole", "5"): "too short",
    ("original.bolts[0]", None): "cannot be left out",
    ("cover", "1"): "a group of keys",
}


@pytest.mark.parametrize(("path", "value"), REFUSED)
def test_what_cannot_be_edited_is_refused(path: str, value: str | None) -> None:
    with pytest.raises(CannotRewriteError, match=REFUSED[(path, value)]):
        rewritten(TEXT, path, value, ALL_KINDS)


def test_a_shared_value_is_not_edited() -> None:
    text = "cover: {edge_break: &e 0.5}\nclearance: {around: *e}\n"
    with pytest.raises(CannotRewriteError, match="alias on line 2"):
        rewritten(text, "cover.edge_break", "1", ALL_KINDS)


@pytest.mark.parametrize("path", RECIPES, ids=lambda p: p.stem)
@pytest.mark.parametrize("key", ["cover.stock.thickness", "cover.edge_break", "clearance.around", "cover.outer.grow"])
def test_demo_recipes_read_as_with_set(path: Path, key: str) -> None:
    text = path.read_text(encoding="utf-8")
    made = rewritten(text, key, "0.25", ALL_KINDS)
    source = RecipeSource(str(path), made)
    assert (
        read_recipe(source, kinds=ALL_KINDS).recipe
        == read_recipe(str(path), kinds=ALL_KINDS, sets=[f"{key}=0.25"]).recipe
    )
    changed = [line for line in difflib.ndiff(text.splitlines(), made.splitlines()) if line[0] in "+-"]
    assert len(changed) <= 2
    assert made.count("#") == text.count("#")


def test_small_recipe_reads_on() -> None:
    assert read_text(rewritten(SMALL, "cover.edge_break", "0.7", KINDS)).recipe.cover.edge_break == 0.7
