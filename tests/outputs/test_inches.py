"""Drawings and pictures of a recipe in inches speak inches: figures worked out by hand from the recipe."""

from __future__ import annotations

import re
from functools import cache
from itertools import combinations
from pathlib import Path

import pytest

from generator.base.units import with_inches
from generator.build.judge import check
from generator.outline.measure import bounds
from generator.outputs import plan_svg, previews
from generator.outputs.output import Work
from generator.outputs.preview_exploded import exploded_svg
from generator.outputs.svg_read import read_drawing

RECIPES = sorted((Path(__file__).parents[2] / "recipes").glob("*.yaml"))
CANOE = next(p for p in RECIPES if p.stem == "canoe-yoke")

SIZES = {
    "3.649": 3.25 + 2 * 0.012 + 2 * 3 / 16,
    "2.149": 1.75 + 2 * 0.012 + 2 * 3 / 16,
    "2.5": 2 * 1.25,
    "1.1": 2 * 0.55,
}
"""Figures of the sheet: footprint, clearance and margin of the recipe added up; distances of its bolts."""


@cache
def work(path: Path) -> Work:
    checked = check(path)
    return Work(checked.plan, checked.layers, checked.outcomes, "0" * 64, "", {})


@cache
def sheet(path: Path) -> bytes:
    ((_, data),) = plan_svg.write(work(path))
    return data


def texts(path: Path) -> list[str]:
    return [t.text for t in read_drawing(sheet(path)).texts]


def test_the_recipe_hands_its_units_on() -> None:
    assert {p.stem: work(p).plan.units for p in RECIPES} == {p.stem: "inch" if p == CANOE else "mm" for p in RECIPES}


def test_dimensions_sizes_depths_and_bolts_are_in_inches() -> None:
    said = texts(CANOE)
    for figure, value in SIZES.items():
        assert float(figure) == pytest.approx(value, abs=5e-5)
        assert figure in said
    for wanted in (
        "3.249 blank",  # the cover's 2.149 and twice the stock's margin of 0.55
        "4 × ⌀0.2656",  # 17/64
        "Cover: EN AW-6061 T6, 3.649 × 2.149 × 0.3125 in",  # stock 5/16
        "right through · 4 × ⌀0.2656",
        "right through the blank · 2 × ⌀0.25",
        "right through · 1.3125 × 0.3625",  # slot 1 1/4 × 0.3, clearance 1/32
        "1 in",
    ):
        assert wanted in said
    for part in ("All lengths in inches", "stock, 0.3125 thick", "seen through the plate, 0.128", "0.0625 deep"):
        assert any(part in t for t in said)
    row = said.index("bolt-1", said.index("thread"))
    assert said[row : row + 5] == ["bolt-1", "-1.2500", "-0.5500", "⌀0.2656", "–"]


def test_no_figure_in_mm_is_left_in_view_title_legend_or_bolts() -> None:
    said = texts(CANOE)
    told = said[: said.index("Notes")]  # the notes and findings come last, in sentences with units of their own
    in_mm = {f"{v * 25.4:.2f}".rstrip("0").rstrip(".") for v in (*SIZES.values(), 0.3125, 0.128, 17 / 64, 0.02, 1.25)}
    figures = {f for t in told for f in re.findall(r"\d+(?:\.\d+)?", t)}
    assert not in_mm & figures
    assert not [t for t in told if re.search(r"\bmm\b", t)]


def test_other_recipes_stay_in_mm() -> None:
    for path in RECIPES:
        if path != CANOE:
            assert any("All lengths in mm" in t for t in texts(path))
            assert not [t for t in texts(path) if re.search(r"[\d)] in\b", t)]


@pytest.mark.parametrize("path", RECIPES, ids=lambda p: p.stem)
def test_lettering_of_recipes_stays_clear_and_proves(path: Path) -> None:
    found = read_drawing(sheet(path)).texts
    assert [(a.text, b.text) for a, b in combinations(found, 2) if a.box.overlaps(b.box)] == []
    assert [p for p in plan_svg.prove(work(path), {plan_svg.PATH: sheet(path)}) if not p.holds] == []


@pytest.mark.parametrize("path", RECIPES, ids=lambda p: p.stem)
def test_the_flip_axis_ends_clear_of_every_figure(path: Path) -> None:
    """Its ends once touched the figure of the cover's width."""
    drawing = sheet(path).decode()
    (d,) = re.findall(r'<path d="M([^"]+)" [^>]*stroke="#8a2f6b" stroke-width="0.35" stroke-dasharray[^>]*/>', drawing)[
        :1
    ]
    (x0, y0), (x1, y1) = (map(float, p.split()) for p in d.split("L"))
    for text in read_drawing(sheet(path)).texts:
        if re.fullmatch(r"[\d.]+( blank)?", text.text):
            b = text.box.grown(0.5)
            crosses = b.left < x1 and x0 < b.right and b.top < y1 and y0 < b.bottom
            assert not crosses, text.text


def test_scale_bars_are_round_inches_long() -> None:
    """The bars are measured where they are drawn."""
    drawing = sheet(CANOE).decode()
    bar = re.findall(
        r'<path d="M([\d.]+) ([\d.]+)L([\d.]+) \2" fill="none" stroke="#1b1f24" stroke-width="0.35"', drawing
    )
    assert [float(b[2]) - float(b[0]) for b in bar] == [pytest.approx(25.4, abs=2e-3)]  # scale 1:1
    plan = work(CANOE).plan
    svg = previews.top_svg(plan, previews._cut(plan))
    ((x0, x1),) = re.findall(r'<path d="M([\d.]+) [\d.]+H([\d.]+)M', svg)
    scale = previews.flat_view(bounds(plan.cover.profile)).scale
    assert (float(x1) - float(x0)) / scale / 25.4 == pytest.approx(0.5, abs=2e-4)
    assert "0.5 in" in re.findall(r">([^<]*)</text>", svg)


def test_pictures_tell_sizes_in_inches() -> None:
    plan = work(CANOE).plan
    for svg in (previews.top_svg(plan, previews._cut(plan)), previews.bottom_svg(plan, previews._cut(plan))):
        assert "3.649 × 2.149 × 0.3125 in" in svg
    said = re.findall(r">([^<]*)</text>", exploded_svg(plan, previews._cut(plan)))
    for wanted in ("0.3125 in thick", "0.0625 in thick", "0.12 in high", "4 × ⌀0.2656 in"):
        assert wanted in said
    assert not [t for t in said if re.search(r"\bmm\b", t)]


def test_findings_tell_inches_beside_millimetres(tmp_path: Path) -> None:
    thin = tmp_path / "thin.yaml"
    text = CANOE.read_text(encoding="utf-8")
    thin.write_text(text.replace("thickness: 5/16", "thickness: 0.18"), encoding="utf-8")
    (floor, *_) = [f for f in check(thin).findings if f.check == "thin-floor"]
    lengths = re.findall(r"(-?[\d.]+) mm \((-?[\d.]+) in\)", floor.message + floor.remedy)
    assert len(lengths) >= 2
    for millimetres, inches in lengths:
        assert float(inches) == pytest.approx(float(millimetres) / 25.4, abs=6e-5)


def test_only_lengths_get_inches() -> None:
    assert with_inches("0.8 mm wide, 2 mm², M4, 12.7 mm.") == "0.8 mm (0.0315 in) wide, 2 mm², M4, 12.7 mm (0.5 in)."
