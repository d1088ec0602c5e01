"""The files of a traced footprint say the same, exactly, and go on into a recipe."""

from __future__ import annotations

import io
import json
from pathlib import Path

import ezdxf
import numpy as np
import pytest
import yaml

from generator.build.judge import check
from generator.outline.measure import signed_area
from generator.outputs.footprint.dxf import dxf_bytes
from generator.outputs.footprint.figures import figures, figures_text
from generator.outputs.footprint.fragment import dropped_lines, fragment
from generator.outputs.footprint.overlay import overlay
from generator.outputs.footprint.report import report
from generator.outputs.footprint.told import reading_lines
from tests.scans.scorer import read_dxf, score
from tests.trace.traced_cases import KEEPER, LEAF, SLOTTED, account

RECIPE = """\
based_on: traced.footprint.yaml
name: built-on-a-trace
original: {height: 3, load_bearing: false}
cover:
  stock: {thickness: 10, margin: 14}
  outer: {even_margin: {margin: 6}}
"""


def checked(text: str, folder: Path):
    (folder / "traced.footprint.yaml").write_text(text, encoding="utf-8")
    (folder / "recipe.yaml").write_text(RECIPE, encoding="utf-8")
    return check(folder / "recipe.yaml")


@pytest.mark.parametrize("folder", [KEEPER, LEAF, SLOTTED])
def test_recipe_lines_give_the_very_outline_and_a_recipe_on_them_passes(folder, tmp_path):
    told = account(folder)
    done = checked(fragment(told), tmp_path)
    assert not done.forbids
    plan = done.plan
    assert plan is not None
    drawn = max(plan.footprint.contours, key=signed_area)
    traced = told.footprint.contour(told.footprint.outline)
    assert len(drawn.vertices) == len(traced.vertices)
    a, b = np.array(drawn.vertices), np.array(traced.vertices)
    near = min(range(len(b)), key=lambda k: float(np.abs(np.roll(b, -k, axis=0) - a).max()))
    off = np.abs(np.roll(b, -near, axis=0) - a)
    assert off[:, :2].max() < 1e-6
    assert off[:, 2].max() < 1e-6, "bulges: an arc's middle is off by half its chord times that"


@pytest.mark.parametrize("folder", [KEEPER, LEAF, SLOTTED])
def test_uncertainties_go_on_into_the_fit_check(folder, tmp_path):
    told = account(folder)
    recipe = checked(fragment(told), tmp_path).reading.recipe
    doubt = told.footprint.outline_doubt
    assert doubt <= recipe.tolerances.footprint < doubt + 0.00101
    worst = max(told.footprint.hole_doubt(n) for n in told.footprint.holes)
    assert worst <= recipe.tolerances.bolts < worst + 0.00101
    assert {round(x, 6) for b in recipe.original.bolts for x, _ in b.at} == {
        round(told.footprint.feature(n).primitive.values[0], 6) for n in told.footprint.holes
    }


def test_dxf_read_by_another_program_is_the_recipe_lines():
    told = account(SLOTTED)
    doc = ezdxf.read(io.StringIO(dxf_bytes(told.footprint, "x").decode()))
    assert doc.header["$INSUNITS"] == 4
    by_layer: dict[str, list] = {}
    for entity in doc.modelspace():
        by_layer.setdefault(entity.dxf.layer, []).append(entity)
    assert sorted(by_layer) == ["holes", "openings", "outline"]
    lines = yaml.safe_load(fragment(told))["original"]
    steps = [lines["footprint"]["path"]["start"], *(s["to"] for s in lines["footprint"]["path"]["steps"])]
    (outline,) = by_layer["outline"]
    assert outline.closed
    assert np.array([p[:2] for p in outline.get_points("xyb")]) == pytest.approx(np.array(steps[:-1]), abs=1e-6)
    centres = {(round(c.dxf.center.x, 5), round(c.dxf.center.y, 5)) for c in by_layer["holes"]}
    assert centres == {(round(x, 5), round(y, 5)) for x, y in lines["bolts"][0]["at"]}


def test_a_commented_opening_can_be_taken_in(tmp_path):
    text = fragment(account(SLOTTED))
    begin = text.index("  # openings:")
    end = text.index("tolerances:")
    lines = [line.replace("# ", "", 1) for line in text[begin:end].splitlines()]
    done = checked(text[:begin] + "\n".join(lines) + "\n" + text[end:], tmp_path)
    (opening,) = done.reading.recipe.original.openings.values()
    assert opening.outline.kind == "path"
    # a slot 9 wide, its centres 16 apart: the truth that the picture was made from
    assert done.plan is not None


@pytest.mark.parametrize("folder", [KEEPER, SLOTTED])
def test_a_part_with_an_axis_lies_along_it(folder):
    features = account(folder).footprint.features
    holes = [f.primitive.values[:2] for f in features if f.primitive.kind == "circle"]
    for x, y in holes:
        assert min(np.hypot(x - u, y + v) for u, v in holes) < 5e-3
    assert np.array(holes).mean(axis=0) == pytest.approx([0.0, 0.0], abs=5e-3)


def test_the_origin_of_a_part_without_axis_is_the_middle_of_its_holes_box():
    footprint = account(LEAF).footprint
    holes = np.array([footprint.feature(n).primitive.values[:2] for n in footprint.holes])
    assert holes.min(axis=0) + holes.max(axis=0) == pytest.approx([0.0, 0.0], abs=1e-9)


def test_every_file_is_the_same_again():
    told = account(KEEPER)
    assert fragment(told) == fragment(told)
    assert dxf_bytes(told.footprint, "a") == dxf_bytes(told.footprint, "a")
    picture = overlay(told)
    assert picture == overlay(told)
    assert picture.startswith(b"\x89PNG")


def test_slips_are_told_and_not_hidden():
    told = account(LEAF)
    for text in (fragment(told), report(told), figures_text(told, {})):
        assert "two digits changed places" in text


def test_a_mended_slip_is_told_as_it_was_read_and_as_it_was_used():
    """The corpus has 83.00 typed for a width of 38 mm."""
    (line,) = (one for one in reading_lines(account(LEAF)) if one.startswith("m3"))
    assert line.startswith("m3: 83.000 read, 38.000 used, 37.9")
    others = [one for one in reading_lines(account(LEAF)) if not one.startswith("m3")]
    assert others
    assert not any("used" in one for one in others)


def test_a_relation_given_up_that_others_bring_about_is_not_told_as_broken():
    """Two corners that the free fit has with unlike radii have one in the end: others hold them alike."""
    told = account(SLOTTED)
    one, other = (told.traced.solved.primitives[i].values[2] for i in (5, 7))
    assert one == pytest.approx(other, abs=1e-6)
    assert "equal radius 6 8" in {r.name for r, _ in told.traced.solved.dropped}
    assert any("6 8" in line and "holds by others" in line for line in dropped_lines(told))


def test_chips_of_the_truth_are_listed_where_they_are(tmp_path):
    truth = json.loads((Path(__file__).parents[1] / "data" / "scans" / LEAF / "truth.json").read_text())
    drawn = tmp_path / "leaf.dxf"
    drawn.write_bytes(dxf_bytes(account(LEAF).footprint, "leaf"))
    place = score(truth, read_dxf(drawn), mirror=False).place
    listed = [d for d in account(LEAF).damages if d.off < 0.0]
    for x, y, radius in truth["imperfections"]["chips_xy_radius_mm"]:
        away = [np.hypot(*(place.points(np.array([d.at]))[0] - (x, y))) for d in listed]
        assert min(away) < radius + 0.3, (x, y)
    assert len(listed) == 3
    assert report(account(LEAF)).count("chip on feature") == 3


def test_figures_hold_what_the_others_tell():
    told = account(SLOTTED)
    data = json.loads(json.dumps(figures(told)))
    assert data["schema"] == "coverplate-trace/1"
    assert [f["number"] for f in data["features"]] == list(range(1, len(told.footprint.features) + 1))
    assert {r["id"] for r in data["readings"]} == {"m1", "m2", "m3", "m4", "m5"}
    widest = max(d["value"] for d in data["distances"] if d["kind"] == "edges")
    assert widest == pytest.approx(80.0, abs=0.03), "the width of the part that the picture shows, truth.json"
