"""Limits stand in one place, with their sources; each belongs to a check, and a recipe can set it."""

from __future__ import annotations

from dataclasses import fields, replace

import pytest
from part_samples import CREST, RECIPE, crest, plan_of

from generator.base.figures import SET, Figure
from generator.build.check_pages import explained, limits_of
from generator.build.reading import read
from generator.checks import CHECKS, run_checks
from generator.recipe.model_limits import Limits

EVERY = {f"{theme.name}.{limit.name}" for theme in fields(Limits) for limit in fields(getattr(Limits(), theme.name))}


def test_checks_name_only_limits_that_there_are():
    for check in CHECKS:
        assert set(check.limits) <= EVERY, check.id
        for key, figure, meaning in limits_of(check):
            assert key in explained(check.id)
            assert figure.source
            assert meaning


@pytest.mark.parametrize("limit", sorted(EVERY))
def test_every_limit_belongs_to_a_check(limit):
    assert [c.id for c in CHECKS if limit in c.limits]


def test_a_limit_that_was_set_is_the_one_held_against():
    thin = crest(stock=replace(CREST.stock, thickness=8.2))  # leaves a floor of 0.4 mm
    walls = replace(RECIPE.limits.walls, sound=RECIPE.limits.walls.sound.chosen(0.3))
    lax = replace(thin, limits=replace(RECIPE.limits, walls=walls))
    found = {o.check: o.findings for o in run_checks(thin, plan_of(thin))}
    assert [f.limit for f in found["thin-floor"]] == [0.8]
    assert not {o.check: o.findings for o in run_checks(lax, plan_of(lax))}["thin-floor"]


def test_limits_are_read_in_the_recipes_units(tmp_path):
    written = (
        "name: plate\nunits: inch\nlimits: {walls: {sound: 0.04}, cutting: {drill_depth: 6}}\n"
        "original: {height: 0.1, load_bearing: false, footprint: {disc: {radius: 1}}}\n"
        "cover: {stock: {thickness: 0.3}, outer: {disc: {radius: 1.2}}}\n"
    )
    path = tmp_path / "plate.yaml"
    path.write_text(written)
    limits = read(path).recipe.limits
    assert limits.walls.sound == Figure(pytest.approx(1.016), "mm", SET, "")  # 0.04 in
    assert limits.cutting.drill_depth.value == 6.0
    assert limits.walls.thinnest.source != SET
