"""The report's table of bolts."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import sample_plans

sys.path.insert(0, str(Path(__file__).parents[1] / "part"))

from part_samples import RECIPE, plan_of

from generator.outputs.report_bolts import bolts_data, bolts_text
from generator.recipe.model_bolts import Bolts


def told(bolts: Bolts):
    recipe = replace(RECIPE, original=replace(RECIPE.original, bolts=(bolts,)))
    work = replace(sample_plans.work(), plan=plan_of(recipe), recipe=recipe)
    data = bolts_data(work)
    return data[0], "\n".join(bolts_text(data))


def test_what_to_buy_and_how_hard_to_tighten():
    data, text = told(Bolts(thread="M6", at=((-20.0, 0.0), (20.0, 0.0))))
    assert (data["count"], data["length_mm"], data["length_given"], data["clamped_mm"]) == (2, 12.0, False, 5.6)
    assert 5.0 < data["torque_n_m"] < 9.8
    assert "M6 x 12" in text
    assert "at most" in text
    assert "The maker's figure goes first" in text


def test_what_the_recipe_gives_is_told_as_given():
    data, text = told(Bolts(thread="M6", at=((-20.0, 0.0),), length=16.0, torque=6.0, property_class="A2-70"))
    assert (data["length_mm"], data["torque_n_m"], data["preload_n"]) == (16.0, 6.0, 5000)
    assert "A2-70" in text
    assert "at most" not in text.split("| bolt-1")[1]


def test_no_bolts_no_section():
    assert bolts_text([]) == []
    assert bolts_data(replace(sample_plans.work(), recipe=None)) is None
    assert bolts_text(None) == []
