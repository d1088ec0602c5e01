"""``coverplate shapes``: what it writes, that it shows what its recipe lines draw, and how it fails."""

from __future__ import annotations

import hashlib
import re
import subprocess
import sys
from html import unescape
from io import BytesIO

import pytest
import yaml
from PIL import Image

from generator.build.judge import check
from generator.cli import codes
from generator.outline.distance import boundary_distance
from generator.outputs.catalogue_draw import draw_all, recipe_text
from generator.outputs.catalogue_entries import DRAWING, ENTRIES, ORIGINALS
from generator.outputs.svg_pen import path_data
from generator.shapes.outer import OUTER_SHAPES
from tests.cli.conftest import ROOT


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """The folder that one run of the command filled."""
    folder = tmp_path_factory.mktemp("catalogue") / "new" / "folder"
    done = subprocess.run(
        [sys.executable, "-m", "generator.cli", "shapes", "--out", str(folder)],
        cwd=ROOT,
        capture_output=True,
        text=True,
    )
    assert (done.returncode, done.stderr) == (codes.FINE, "")
    assert done.stdout == f"wrote {folder}/shapes.html\nwrote {folder}/shapes.png\nwrote {folder}/{DRAWING}\n"
    return folder


def test_three_files_and_no_leavings(made):
    assert sorted(p.name for p in made.iterdir()) == [DRAWING, "shapes.html", "shapes.png"]
    with Image.open(BytesIO((made / "shapes.png").read_bytes())) as picture:
        assert picture.width == 2008
        assert len(picture.convert("L").getcolors()) > 50


def test_every_outer_shape_is_there(made):
    page = (made / "shapes.html").read_text(encoding="utf-8")
    for shape in OUTER_SHAPES:
        assert f'<article id="{shape.name}">' in page
        assert unescape(page).count(shape.help) == 1


def test_nothing_is_fetched_or_run(made):
    page = (made / "shapes.html").read_text(encoding="utf-8")
    assert "<script" not in page
    assert "@import" not in page
    assert "url(" not in page
    assert not re.search(r"\b(?:src|href)=\"(?!#)", page)
    assert re.findall(r"https?://[^\"]*", page) == ["http://www.w3.org/2000/svg"] * 2 * len(ENTRIES)


def test_lines_shown_draw_what_is_shown(made, tmp_path):
    """The lines are taken from the page, put into a recipe file and judged like any other recipe."""
    page = (made / "shapes.html").read_text(encoding="utf-8")
    figures = re.findall(r"<figure>(.*?)</figure>", page, flags=re.S)
    assert len(figures) == 2 * len(ENTRIES)
    (tmp_path / DRAWING).write_bytes((made / DRAWING).read_bytes())
    for number, figure in enumerate(figures):
        lines = unescape(re.search(r"<pre>(.*?)</pre>", figure, flags=re.S)[1])
        recipe = tmp_path / "shown.yaml"
        recipe.write_text(recipe_text(ORIGINALS[number % 2], lines), encoding="utf-8")
        plan = check(recipe).plan
        assert path_data(plan.outer, digits=4) in figure
        pocket = next(f.region for f in plan.cover.features if f.layer == "bottom-pocket")
        seats = [f.region for f in plan.cover.features if f.layer == "seats"]
        wall = min(boundary_distance(plan.outer, r).distance_mm for r in (pocket, *seats))
        assert f">{wall:.2f}</text>" in figure


WIDEST = 31
"""Letters of a recipe line that stand in the page's narrowest card without a scroll bar, and in the picture's."""


def test_recipe_lines_are_not_broken_where_yaml_would_not_be(made):
    assert [line for e in ENTRIES for text in e.lines for line in text.splitlines() if len(line) > WIDEST] == []
    assert "pre-wrap" not in (made / "shapes.html").read_text(encoding="utf-8")


def test_walls_told_are_the_margins_asked_for():
    for entry, drawings in draw_all():
        for drawn in drawings:
            asked = yaml.safe_load(drawn.lines)[entry.kind].get("margin")
            if asked is not None:
                assert drawn.wall.distance_mm == pytest.approx(asked, abs=0.006)
            assert drawn.wall.distance_mm > 3


def test_same_bytes_again(made, run, tmp_path):
    code, out, err = run("shapes", "--out", tmp_path, "--quiet")
    assert (code, out, err) == (codes.FINE, "", "")
    for name in ("shapes.html", "shapes.png", DRAWING):
        one, two = (hashlib.sha256((f / name).read_bytes()).hexdigest() for f in (made, tmp_path))
        assert one == two


def test_folder_that_refuses(run, tmp_path):
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    code, _, err = run("shapes", "--out", tmp_path / "taken")
    assert code == codes.INTERNAL
    assert "cannot be written" in err
    assert "Traceback" not in err
    assert (tmp_path / "taken").read_text(encoding="utf-8") == "a file"


def test_help_has_example_and_codes(run):
    code, out, _ = run("shapes", "--help")
    assert code == codes.FINE
    assert "coverplate shapes --out" in out
    assert "folder of the three files" in out
    assert "exit codes" in out
