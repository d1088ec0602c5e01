"""What the page on the fit shows is what the program says."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from generator.build.judge import check
from generator.fit.case import case_of
from generator.fit.chance import chance_of, clearance_for

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs/fit.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"```yaml\n(.*?)```", PAGE, flags=re.S)
ROWS = [tuple(map(float, row)) for row in re.findall(r"^\| ([\d.]+) \| ([\d.]+)(?: %)? \|$", PAGE, flags=re.M)]


@pytest.mark.parametrize("example", EXAMPLES, ids=range(len(EXAMPLES)))
def test_examples_are_sound(example, tmp_path):
    (tmp_path / "gate-latch.yaml").write_bytes((ROOT / "recipes/gate-latch.yaml").read_bytes())
    recipe = tmp_path / "example.yaml"
    recipe.write_text(f"based_on: gate-latch.yaml\nname: example\n{example}", encoding="utf-8")
    assert not check(recipe).forbids


def test_the_tables_are_what_comes_out():
    checked = check(ROOT / "recipes/gate-latch.yaml")
    case = case_of(checked.reading.recipe, checked.plan)
    chances = [(x, y) for x, y in ROWS if y > 1.0]
    clearances = [(x, y) for x, y in ROWS if y <= 1.0]
    assert len(chances) == 6
    assert len(clearances) == 5
    for clearance, share in chances:
        assert f"{100 * chance_of(replace(case, clearance_mm=clearance), 10_000).share:.1f}" == f"{share:.1f}"
    for footprint, clearance in clearances:
        known = replace(case, errors=replace(case.errors, footprint=footprint))
        assert f"{clearance_for(known, 10_000, 0.997):.2f}" == f"{clearance:.2f}"
