"""The page on readiness for the shop: examples are read and laid over a demo recipe, figures are the code's."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from generator.base.general_tolerances import linear_tolerance
from generator.build.judge import check
from generator.checks import CHECKS, shop
from generator.checks.shop.hole_callout import named

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs/shop.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"```yaml\n(.*?)```", PAGE, flags=re.S)


def said(example: str, folder: Path) -> set[str]:
    """Checks of this theme that speak of the demo recipe with an example laid over it."""
    (folder / "gate-latch.yaml").write_bytes((ROOT / "recipes/gate-latch.yaml").read_bytes())
    recipe = folder / "example.yaml"
    recipe.write_text(f"based_on: gate-latch.yaml\nname: example\n{example}", encoding="utf-8")
    return {f.check for f in check(recipe).findings} & {c.id for c in shop.CHECKS}


@pytest.mark.parametrize("example", EXAMPLES, ids=range(len(EXAMPLES)))
def test_examples_are_sound(example: str, tmp_path: Path) -> None:
    assert said(example, tmp_path) <= {"making-estimate"}


def test_the_examples_matter(tmp_path: Path) -> None:
    assert "general-tolerance" in said("tolerances: {general: ISO 2768-cL}\n", tmp_path)
    assert "tolerance-process" in said("making: {accuracy: 0.1}\n", tmp_path)
    assert "gap-tolerance" in said("tolerances: {size: 0.3}\n", tmp_path)
    assert "stock-standard" in said("cover: {stock: {thickness: 11}}\n", tmp_path)
    assert "stock-standard" not in said("cover: {stock: {thickness: 11, measured: 11.02}}\n", tmp_path)


def test_every_check_that_is_named_is_there_and_figures_are_the_codes() -> None:
    named_here = set(re.findall(r"`([a-z]+(?:-[a-z]+)+)`", PAGE))
    assert named_here <= {c.id for c in CHECKS}
    assert named_here >= {c.id for c in shop.CHECKS} - {"making-estimate"}
    assert (linear_tolerance("m", 80.0), linear_tolerance("c", 80.0)) == (0.3, 0.8)
    assert ("M6", "medium") in named(6.6)
    assert ("M6", "coarse") in named(7.0)
