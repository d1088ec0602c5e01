"""Every limit at both ends of what a recipe may say: no check crashes, and none speaks of what is no number."""

from __future__ import annotations

import re
from dataclasses import fields, replace

import pytest
from cases_bolts import m6
from part_samples import RECIPE, plan_of

from generator.base.fields import spec_of
from generator.build.judge import check
from generator.checks import run_checks
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import Seat
from generator.recipe.model_limits import Limits

RECIPES = {
    "sound": RECIPE,
    "loaded, with a torque": m6(Seat(screw="ISO 7380-1"), torque=5.0, load=True),
}
PLANS = {name: plan_of(recipe) for name, recipe in RECIPES.items()}
THEMES = [theme.name for theme in fields(Limits)]
NO_NUMBER = re.compile(r"\b(?:inf|nan)\b")


def ends(theme: str) -> dict[str, tuple[float, float]]:
    """The least and the greatest value of every limit of a theme."""
    record = type(getattr(Limits(), theme))
    found = {}
    for limit in fields(record):
        spec = spec_of(record, limit.name)
        least = spec.at_least if spec.above is None else spec.above + 1e-9
        found[limit.name] = (float(least), float(spec.at_most))
    return found


def judged(recipe: Recipe, name: str, theme: str, values: dict[str, float]) -> None:
    record = getattr(recipe.limits, theme)
    set_ = replace(record, **{key: getattr(record, key).chosen(value) for key, value in values.items()})
    for outcome in run_checks(replace(recipe, limits=replace(recipe.limits, **{theme: set_})), PLANS[name]):
        assert not outcome.crash, (outcome.check, values, outcome.crash)
        for finding in outcome.findings:
            assert not NO_NUMBER.search(f"{finding.message} {finding.remedy}"), (finding, values)


@pytest.mark.parametrize("end", [0, 1], ids=["least", "greatest"])
@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("name", RECIPES)
def test_no_check_crashes_at_the_ends_of_its_limits(name, theme, end):
    values = {key: both[end] for key, both in ends(theme).items()}
    for key, value in values.items():
        judged(RECIPES[name], name, theme, {key: value})
    judged(RECIPES[name], name, theme, values)


def test_dowels_in_one_place_are_told_and_nothing_crashes(tmp_path):
    path = tmp_path / "plate.yaml"
    path.write_text(
        "name: plate\noriginal: {height: 4, load_bearing: false, footprint: {rectangle: {size: [70, 40]}},\n"
        "  bolts: [{thread: M6, at: [[-25, 0], [25, 0]]}]}\n"
        "cover: {stock: {thickness: 12}, outer: {rectangle: {size: [90, 60]}}}\n"
        "dowels: {diameter: 6, axis: y, at: [-40, -40]}\n"
    )
    judged_file = check(str(path))
    assert not [o for o in judged_file.outcomes if o.crash]
    assert any(f.check == "dowels" for f in judged_file.findings)
