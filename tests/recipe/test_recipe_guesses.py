"""What is read under a misspelt kind of outline: what is clearly meant, and nothing that nobody wrote."""

from __future__ import annotations

import pytest
from recipe_samples import SMALL, mistakes_of

OUTER = "outer: {even_margin: {margin: 6}}"


def told(outer: str) -> list[str]:
    return mistakes_of(SMALL.replace(OUTER, f"outer: {outer}"))


@pytest.mark.parametrize("outer", ["{slat: 1}", "{slat: [1, 2]}", "{slat: {rays: 7}}", "{slat: {}}"])
def test_a_value_that_suits_no_known_kind_is_one_mistake(outer: str) -> None:
    (mistake,) = told(outer)
    assert "cover.outer.slat: found the unknown key `slat`" in mistake
    assert mistake.endswith("did you mean `slot`?")


def test_mistakes_under_a_misspelt_kind_are_told_with_it() -> None:
    first, second = told("{dsic: {radius: -3}}")
    assert "did you mean `disc`?" in first
    assert "cover.outer.disc.radius: found `-3`" in second


def test_a_misspelt_kind_without_keys_is_one_mistake() -> None:
    (mistake,) = told("{even_margn: }")
    assert mistake.endswith("did you mean `even_margin`?")
