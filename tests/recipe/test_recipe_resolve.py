"""The resolved recipe: read again it is the same; its origins, its bytes, its digest."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from recipe_samples import INCHES, KINDS, LARGE, SMALL, read_text

from generator.base.errors import Mistake, RecipeError
from generator.recipe.plain import degrees
from generator.recipe.read import located, origin_of, read_recipe
from generator.recipe.resolve import digest, quoted, resolved_yaml


@pytest.mark.parametrize("text", [SMALL, LARGE, INCHES])
def test_read_again_it_is_the_same_recipe(text: str) -> None:
    first = read_text(text)
    second = read_text(resolved_yaml(first))
    assert second.recipe == first.recipe
    assert second.resolved == first.resolved
    assert digest(second) == digest(first)
    assert resolved_yaml(first) == resolved_yaml(read_text(text))


@pytest.mark.parametrize("text", [SMALL, LARGE, INCHES])
def test_every_line_says_where_it_comes_from(text: str) -> None:
    for line in resolved_yaml(read_text(text, "notes=set here")).splitlines():
        comment = line.rpartition("  # ")[2]
        is_text_of_a_block = line.startswith("    ") and "  # " not in line
        assert is_text_of_a_block or comment in ("default", "derived", "--set") or comment.startswith("r.yaml:"), line


def test_lines_by_name() -> None:
    lines = resolved_yaml(read_text(LARGE, "parameters.plot=22", "cover.stock.measured=null")).splitlines()
    for line in (
        "name: gate-latch-22  # r.yaml:2",
        "  plot: 22  # --set",
        "    thickness: 8  # r.yaml:43",
        "    measured: null  # derived",
        "        direction: 0  # default",
        "      at: [[-32, 0], [32, 0]]  # r.yaml:32",
        "  quarter: 6.35 mm  # r.yaml:10",
    ):
        assert line in lines


def test_an_independent_parser_reads_the_resolved_data() -> None:
    for text in (SMALL, LARGE, INCHES):
        reading = read_text(text)
        assert yaml.safe_load(resolved_yaml(reading)) == reading.resolved


def test_names_of_files_are_told_from_the_recipes_folder(tmp_path: Path) -> None:
    (tmp_path / "base.yaml").write_text(SMALL)
    (tmp_path / "over.yaml").write_text("based_on: base.yaml\ntitle: Over\n")
    said = resolved_yaml(read_recipe(tmp_path / "over.yaml", kinds=KINDS))
    assert "title: Over  # over.yaml:2\n" in said
    assert "  height: 3.2  # base.yaml:3\n" in said
    assert str(tmp_path) not in said


def test_parameters_that_are_texts_stay_texts() -> None:
    text = SMALL + "parameters: {a: 3, b: '{a} * a', c: '12 mm', d: 12 mm, e: 'a', f: \" x \", g: ''}\n"
    first = read_text(text)
    assert first.recipe.parameters == {"a": 3, "b": "3 * a", "c": "12 mm", "d": 12, "e": "a", "f": " x ", "g": ""}
    assert read_text(resolved_yaml(first)).recipe == first.recipe


@settings(derandomize=True, deadline=None, max_examples=200)
@given(st.text(alphabet=st.characters(codec="utf-8", exclude_categories=["Cc"]), max_size=40))
def test_any_text_survives(text: str) -> None:
    first = read_text(SMALL + f"title: {quoted(text.replace('{', '{{').replace('}', '}}'))}\n")
    assert first.recipe.title == text
    assert read_text(resolved_yaml(first)).recipe == first.recipe


@settings(derandomize=True, deadline=None, max_examples=300)
@given(st.floats(0.001, 19.0), st.sampled_from(["", " mm", " in", " cm"]), st.sampled_from(["mm", "inch"]))
def test_any_length_survives_to_the_last_bit(value: float, unit: str, units: str) -> None:
    metric = SMALL.replace("20}", "20 mm}").replace("6}", "6 mm}").replace("8}", "8 mm}")
    text = metric.replace("height: 3.2", f"height: {value!r}{unit}") + f"units: {units}\n"
    first = read_text(text)
    expected = value * {"": 25.4 if units == "inch" else 1.0, " mm": 1.0, " in": 25.4, " cm": 10.0}[unit]
    assert first.recipe.original.height == pytest.approx(expected, rel=1e-15)
    assert read_text(resolved_yaml(first)).recipe == first.recipe


@settings(derandomize=True, deadline=None, max_examples=300)
@given(st.floats(-720, 720))
def test_any_angle_survives_to_the_last_bit(value: float) -> None:
    assert math.radians(degrees(math.radians(value))) == math.radians(value)


def test_the_digest_follows_what_matters(tmp_path: Path) -> None:
    plain = digest(read_text(SMALL))
    assert len(plain) == 64
    assert digest(read_text("# a comment\n" + SMALL)) == plain
    assert digest(read_text(SMALL.replace("3.2", "3.20"))) == plain
    assert digest(read_text(SMALL.replace("3.2", "3.21"))) != plain
    assert digest(read_text(SMALL), "version 2") != plain
    assert digest(read_text(SMALL), {"a": b"1"}) != digest(read_text(SMALL), {"a": b"2"})


def test_the_digest_follows_used_files(tmp_path: Path) -> None:
    drawing = tmp_path / "d.dxf"
    drawing.write_text("one")
    (tmp_path / "r.yaml").write_text(SMALL.replace("{disc: {radius: 20}}", "{drawing: {file: d.dxf}}"))
    reading = read_recipe(tmp_path / "r.yaml", kinds=KINDS)
    assert (reading.folder, reading.used_files) == (str(tmp_path), ("d.dxf",))
    before = digest(reading)
    drawing.write_text("two")
    assert digest(reading) != before


def test_files_of_a_base_elsewhere_are_named_from_the_named_recipe(tmp_path: Path) -> None:
    for folder in ("here", "there"):
        (tmp_path / folder).mkdir()
    (tmp_path / "there" / "d.dxf").write_text("one")
    base = SMALL.replace("{disc: {radius: 20}}", "{drawing: {file: d.dxf}}")
    (tmp_path / "there" / "base.yaml").write_text(base)
    (tmp_path / "here" / "r.yaml").write_text("based_on: ../there/base.yaml\n")
    reading = read_recipe(tmp_path / "here" / "r.yaml", kinds=KINDS)
    assert reading.recipe.original.footprint.params.file == "../there/d.dxf"


def test_mistakes_found_later_get_an_address() -> None:
    reading = read_text(LARGE)
    error = RecipeError(
        [
            Mistake("", 0, 0, "original.bolts[1].circle.count", "x", "y"),
            Mistake("", 0, 0, "inlays.number.pocket_depth", "x", "y"),
            Mistake("", 0, 0, "cover.seats.depth", "x", "y"),
            Mistake("other.yaml", 3, 1, "", "x", "y"),
        ]
    )
    places = [(m.file, m.line, m.column) for m in located(reading, error).mistakes]
    assert places == [("r.yaml", 34, 53), ("r.yaml", 55, 19), ("r.yaml", 45, 10), ("other.yaml", 3, 1)]


def test_origins() -> None:
    reading = read_text(LARGE, "parameters.plot=22")
    assert str(origin_of(reading, "cover.stock.thickness")) == "r.yaml:43"
    assert reading.origins["original.footprint.hull.outlines[0].disc.radius"].value == "12"
    assert reading.origins["cover.seats.depth"].source == "derived"
    assert reading.origins["original.bolts[0].fit"].value == "fine"
    assert read_text(SMALL).origins["clearance"].source == "default"
