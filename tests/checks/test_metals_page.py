"""The page on metals: its examples are read, laid over the demo recipe, and bring about what the page says."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from generator.base.galvanic import index_of
from generator.build.judge import check
from generator.checks import CHECKS
from generator.formulas.expansion import mismatch

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs/metals.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"```yaml\n(.*?)```", PAGE, flags=re.S)


def said(example: str, folder: Path) -> set[str]:
    """Checks that speak of the demo recipe with an example laid over it."""
    (folder / "gate-latch.yaml").write_bytes((ROOT / "recipes/gate-latch.yaml").read_bytes())
    recipe = folder / "example.yaml"
    recipe.write_text(f"based_on: gate-latch.yaml\nname: example\n{example}", encoding="utf-8")
    checked = check(recipe)
    assert not checked.forbids, [f.message for f in checked.findings]
    return {f.check for f in checked.findings}


@pytest.mark.parametrize("example", EXAMPLES, ids=range(len(EXAMPLES)))
def test_examples_are_sound(example: str, tmp_path: Path) -> None:
    assert "expansion-gap" not in said(example, tmp_path)


def test_a_galvanised_original_and_a_pressed_insert_are_told(tmp_path: Path) -> None:
    assert "galvanic-original" in said(EXAMPLES[0], tmp_path)
    rough = said("inlays: {number: {fit: press}}\n", tmp_path)
    assert {"galvanic-insert", "press-stress", "press-holds"} <= rough
    fine = said(next(e for e in EXAMPLES if "press" in e), tmp_path)
    assert "galvanic-insert" in fine
    assert not {"press-stress", "press-holds"} & fine


def test_every_check_that_is_named_is_there_and_figures_are_the_codes() -> None:
    names = {c.id for c in CHECKS}
    named = set(re.findall(r"`([a-z]+(?:-[a-z]+)+)`", PAGE))
    assert named <= names
    assert len(named) >= 15
    aluminium, brass, copper = (index_of(m) for m in ("EN AW-6082 T6", "CuZn39Pb3 R430", "Cu-ETP R240"))
    assert aluminium is not None
    assert brass is not None
    assert copper is not None
    assert (aluminium - brass, aluminium - copper) == (pytest.approx(0.45), pytest.approx(0.55))
    assert mismatch(23.4e-6, 20.2e-6, 50.0, 20.0) == pytest.approx(0.003, abs=0.0005)
