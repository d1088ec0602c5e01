"""Files that a recipe names, wherever it does."""

from __future__ import annotations

from generator.recipe.load import RecipeSource
from generator.recipe.read import read_recipe
from generator.recipe.used import named_files
from generator.shapes import KINDS

TEXT = """
name: r
original: {height: 3, load_bearing: false, footprint: {outline_file: {file: plate.dxf}},
  openings: {slit: {outline: {difference: {outline: {disc: {radius: 3}}, less: [{outline_file: {file: slit.dxf}}]}}}}}
cover: {stock: {thickness: 8}, outer: {even_margin: {margin: 6}}}
inlays: {one: {stock: {thickness: 1}, outline: {disc: {radius: 9}, cut: [{outline_file: {file: plate.dxf}}]}}}
"""


def test_every_file_is_found_with_its_place(tmp_path):
    for name in ("plate.dxf", "slit.dxf"):
        (tmp_path / name).write_text("")
    reading = read_recipe(RecipeSource(str(tmp_path / "r.yaml"), TEXT.encode()), kinds=KINDS)
    found = list(named_files(reading.recipe))
    assert [name for _, name in found] == ["plate.dxf", "slit.dxf", "plate.dxf"]
    for path, name in found:
        assert reading.origins[path].value == name
