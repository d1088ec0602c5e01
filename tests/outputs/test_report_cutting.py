"""The report's tables of cutters, flip and holding."""

from __future__ import annotations

import json
import sys
from dataclasses import replace
from pathlib import Path

import pytest
import sample_plans

sys.path.insert(0, str(Path(__file__).parents[1] / "part"))

from part_samples import RECIPE, plan_of

from generator.outputs.report_cutting import cutting_data, cutting_text
from generator.recipe.model_holding import Holding


def told(recipe=RECIPE, inch=False):
    data = cutting_data(replace(sample_plans.work(), plan=plan_of(recipe), recipe=recipe))
    return data, "\n".join(cutting_text(data, inch))


def test_every_cut_with_what_it_asks_of_its_cutter():
    data, text = told()
    cuts = {c["feature"]: c for c in data["cuts"]}
    pocket = cuts["bottom-pocket"]
    assert (pocket["depth_mm"], pocket["corner_mm"], pocket["largest_mm"]) == (
        3.4,
        5.3,
        10.6,
    )  # 5 mm corners, 0.3 mm round
    assert (pocket["cutter"], pocket["depth_to_diameter"]) == ("finishing", pytest.approx(3.4 / 3.0, abs=1e-3))
    assert cuts["outer-profile"]["largest_mm"] is None  # an outline without inside corners
    assert cuts["hole-bolt-1"]["depth_mm"] == pytest.approx(12.0 - 3.4 - 6.4, abs=0.6)  # from seat to pocket
    assert "bottom-pocket" in text
    assert "finishing, 3 mm" in text
    json.dumps(data)


def test_the_flip_and_the_holding_in_words():
    data, text = told()
    assert data["flip"]["dowel_off_mm"] == 0.05
    assert data["flip"]["span_mm"] == pytest.approx(50.0 + 2 * 7.0 + 4.5)
    assert "held by 4 tabs of 4 mm × 1 mm; it bears about" in text
    _, skin = told(replace(RECIPE, holding=Holding(by="onion skin", thickness=0.3)))
    assert "held by onion skin of 0.3 mm" in skin


def test_one_of_floor_and_top_takes_the_error_of_the_plate():
    data, text = told()
    assert (data["thickness"]["floors_off_mm"], data["thickness"]["top_off_mm"]) == (0.3, 0.05)  # 0.2 and twice 0.05
    stock = replace(RECIPE.cover.stock, depths_from="bottom face")
    other, _ = told(replace(RECIPE, cover=replace(RECIPE.cover, stock=stock)))
    assert (other["thickness"]["floors_off_mm"], other["thickness"]["top_off_mm"]) == (0.1, 0.25)
    assert "the thinnest floor, at seat-bolt-1, is" in text
    measured = replace(RECIPE.cover.stock, measured=12.1)
    assert "The plate was measured" in told(replace(RECIPE, cover=replace(RECIPE.cover, stock=measured)))[1]


def test_inches_stand_beside():
    assert "3 mm (0.1181 in)" in told(inch=True)[1]


def test_what_is_not_said_is_not_told():
    _, text = told(replace(RECIPE, dowels="none", holding=None, tools={}))
    assert "## Cutters" not in text
    assert "Dowels" not in text
    assert "last cut" not in text
    assert cutting_data(replace(sample_plans.work(), recipe=None)) is None
    assert cutting_text(None, False) == []
