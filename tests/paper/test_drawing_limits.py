"""A figure on a drawing has its limits beside it, unless they are those that the title block names."""

from __future__ import annotations

import re
from math import hypot

import pytest
from drawing_recipes import DEMO, by_chance, demo

from generator.estimate.characteristic import Kind
from generator.estimate.characteristics import characteristics
from generator.estimate.general_limits import general_limits
from generator.paper.drawing.block import ink_box
from generator.paper.drawing.drawing import drawing_of
from generator.paper.drawing.said import said_of
from generator.paper.drawing.title_block import title_block

ROWS = {  # ISO 2768-1 as a handbook prints it (from memory): over, up to and with, plus or minus in classes f, m, c, v
    "sizes": ((0.5, 3, 0.05, 0.1, 0.2, None), (3, 6, 0.05, 0.1, 0.3, 0.5), (6, 30, 0.1, 0.2, 0.5, 1.0),
              (30, 120, 0.15, 0.3, 0.8, 1.5), (120, 400, 0.2, 0.5, 1.2, 2.5), (400, 1000, 0.3, 0.8, 2.0, 4.0)),
    "edges": ((0.5, 3, 0.2, 0.2, 0.4, 0.4), (3, 6, 0.5, 0.5, 1.0, 1.0), (6, 400, 1.0, 1.0, 2.0, 2.0)),
}  # fmt: skip


def by_handbook(text: str, kind: Kind, nominal: float) -> tuple[float, float] | None:
    found = re.search(r"2768-([fmcv])", text)
    rows = ROWS["edges" if kind in (Kind.RADIUS, Kind.CHAMFER) else "sizes"]
    row = next((r for r in rows if r[0] < nominal <= r[1] or nominal == r[0] == 0.5), None)
    off = row["fmcv".index(found[1]) + 2] if found and row else None
    return (-off, off) if off else None


def read(text: str) -> tuple[float, float] | None:
    """The deviations in a figure such as ``6 +0.012/0`` or ``6.6 ±0.05``."""
    text = text.replace("−", "-")
    if even := re.search(r" ±([\d.]+)", text):
        return -float(even[1]), float(even[1])
    if pair := re.search(r" ([+-]?[\d.]+)/([+-]?[\d.]+)", text):
        return float(pair[2]), float(pair[1])
    return None


def judge(recipe, plan) -> int:
    """How many figures stand bare."""
    bare = 0
    for part in plan.parts:
        said = said_of(recipe, plan, part)
        for c in said.listed:
            low, high = (c.lower_mm - c.nominal_mm) / said.unit.mm, (c.upper_mm - c.nominal_mm) / said.unit.mm
            text = said.with_limits(c)
            found = read(text)
            if found is None:
                bare += 1
                general = by_handbook(recipe.tolerances.general, c.kind, abs(c.nominal_mm))
                assert general is not None, (text, c)
                found = general[0] / said.unit.mm, general[1] / said.unit.mm
            assert found == pytest.approx((low, high), abs=0.51e-3 if said.unit.mm == 1 else 0.51e-4), (text, c)
    return bare


@pytest.mark.parametrize("path", DEMO, ids=lambda p: p.stem)
def test_bare_figures_have_general_limits(path):
    recipe, plan = demo(path)
    assert judge(recipe, plan) > 0


def test_bare_figures_have_general_limits_in_recipes_by_chance():
    for seed, recipe, plan in by_chance(25):
        try:
            judge(recipe, plan)
        except AssertionError as error:
            raise AssertionError(f"seed {seed}") from error


def test_a_corner_that_must_not_grow_says_so():
    recipe, plan = demo(next(p for p in DEMO if p.stem == "gate-latch"))
    corners = [c for c in characteristics(recipe, plan) if c.kind is Kind.RADIUS and "gap" in c.source]
    assert corners
    drawing = drawing_of(recipe, plan, plan.cover)
    texts = [t.text for sheet in drawing.sheets for t in sheet.letters()]
    for c in corners:
        upper = f"{c.upper_mm - c.nominal_mm:.3f}".rstrip("0")
        assert f"R{c.nominal_mm:g} +{upper}/−{c.nominal_mm - c.lower_mm:g}" in texts


def test_a_class_that_the_title_block_has_no_room_for_allows_nothing():
    recipe, plan = demo(DEMO[0])
    long = "what is not written beside a figure is left to the maker, who keeps to ISO 2768-mK"
    other = said_of(_with_general(recipe, long), plan, plan.cover)
    block = title_block(other, scale="1:1", size="A3", sheet=1, sheets=1)
    assert not [i for i in block.items if "2768" in getattr(i, "text", "")]
    assert all(read(other.with_limits(c)) for c in other.listed)


def _with_general(recipe, text):
    from dataclasses import replace

    return replace(recipe, tolerances=replace(recipe.tolerances, general=text))


@pytest.mark.parametrize("kind", [Kind.SIZE_X, Kind.RADIUS, Kind.CHAMFER, Kind.DEPTH])
@pytest.mark.parametrize("text", ["ISO 2768-mK", "ISO 2768-f", "ISO 2768-1 c", "ISO 22081", ""])
@pytest.mark.parametrize("nominal", [0.3, 0.8, 3.0, 5.0, 6.0, 12.0, 99.0, 150.0])
def test_general_limits_are_those_of_the_handbook(kind, text, nominal):
    assert general_limits(text, kind, nominal) == by_handbook(text.replace("-1 ", "-"), kind, nominal)


@pytest.mark.parametrize("path", DEMO, ids=lambda p: p.stem)
def test_nothing_that_is_inspected_stands_in_brackets(path):
    """ISO 129-1: brackets are for auxiliary dimensions, which have no tolerance and are not checked."""
    recipe, plan = demo(path)
    drawing = drawing_of(recipe, plan, plan.cover)
    for sheet in drawing.sheets:
        balloons = [i for i in sheet.drawn() if i.name == "balloon"]
        middles = [ink_box([b]).centre for b in balloons]
        for text in sheet.letters():
            if re.fullmatch(r"\([\d.]+\)", text.text):
                (x, y), reach = text.box.centre, max(text.box.width, text.box.height) / 2.0 + 4.5
                assert not [m for m in middles if hypot(m[0] - x, m[1] - y) < reach], text.text
    walls = [c for c in drawing.subject.said.listed if c.kind is Kind.WALL]
    texts = [t.text for sheet in drawing.sheets for t in sheet.letters()]
    for c in walls:
        assert drawing.subject.said.with_limits(c) in texts
