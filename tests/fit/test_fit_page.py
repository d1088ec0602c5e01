"""What the page on the fit shows is what the program says."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from fit_samples import fit_case, pin

from generator.build.judge import check
from generator.fit.case import Errors, case_of
from generator.fit.chains import chains_of
from generator.fit.chance import chance_of, clearance_for
from generator.recipe.model_tolerances import Tolerances

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


def test_the_sums_that_the_page_names():
    named = re.search(r"wall needs ([\d.]+) mm at worst and ([\d.]+) mm by root", PAGE.replace("\n", " "))
    defaults = Tolerances()
    case = replace(fit_case(), errors=Errors(footprint=defaults.footprint, size=defaults.size))
    (wall,) = chains_of(case)
    assert named.groups() == (f"{wall.worst_mm:.3f}", f"{wall.rss_mm:.3f}")
    many = {n: chains_of(fit_case(*(pin(k, 0, 0.3) for k in range(n)), bolts=1.96))[1].worst_mm for n in (2, 8)}
    assert f"{many[2]:.1f} for two bolts, {many[8]:.1f} for eight" in PAGE
