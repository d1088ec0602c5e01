"""Wrong recipes beside every word that is said about them. REMAKE=1 in the environment writes the words anew."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from recipe_samples import KINDS

from generator.base.errors import RecipeError
from generator.recipe.mistakes import render_mistakes
from generator.recipe.read import RecipeSource, read_recipe

CASES = sorted((Path(__file__).parent / "cases").glob("*.yaml"))


@pytest.mark.parametrize("case", CASES, ids=lambda p: p.stem)
def test_what_is_said(case: Path) -> None:
    with pytest.raises(RecipeError) as caught:
        read_recipe(RecipeSource(case.name, case.read_bytes()), kinds=KINDS)
    said = render_mistakes(caught.value) + "\n"
    expected = case.with_suffix(".txt")
    if os.environ.get("REMAKE"):
        expected.write_text(said, encoding="utf-8")
    assert said == expected.read_text(encoding="utf-8")


def test_there_are_cases() -> None:
    assert len(CASES) >= 7
