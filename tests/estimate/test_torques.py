"""The torques that are told against torques that makers print: estimates must lie where these lie."""

from __future__ import annotations

import csv
from dataclasses import replace
from math import pi
from pathlib import Path

import pytest
from part_samples import COVER, ORIGINAL, RECIPE, plan_of

from generator.base.threads import CLASS_WORDS, property_class, thread_of
from generator.estimate.joint import joints
from generator.estimate.preload import bearable, torque_for
from generator.formulas.bolts import proof_load, torque_of
from generator.recipe.model_bolts import Bolts, Seat, Tapped
from generator.recipe.model_limits_bolts import BoltLimits

DATA = Path(__file__).parents[1] / "data" / "standards" / "tightening_torque.csv"
LIMITS = BoltLimits()


def estimate(size: str, name: str, nut_factor: float) -> float:
    """What is told of a bolt that nothing else holds down, N m."""
    thread = thread_of(size)
    preload = LIMITS.preload.value * proof_load(property_class(name, thread.d_mm).proof_mpa, thread.stress_area_mm2)
    return torque_of(preload, thread.d_mm, nut_factor)


def printed(size: str) -> list[float]:
    """Torques for 8.8 in steel as manuals print them; the one row from memory is left out."""
    with DATA.open(newline="", encoding="utf-8") as file:
        return [
            float(r["torque_Nm"])
            for r in csv.DictReader(file)
            if r["size"] == size
            and r["property_class"].startswith("8.8")
            and r["provenance"] != "memory"
            and "aluminium" not in r["condition"]
        ]


@pytest.mark.parametrize("size", ["M4", "M5", "M6", "M8", "M10", "M12"])
def test_within_what_manuals_print(size):
    told = estimate(size, "8.8", LIMITS.nut_factor.value)
    assert min(printed(size)) <= told <= max(printed(size))


STAINLESS = {
    "M4": (0.868, 1.86, 2.48),
    "M5": (1.72, 3.68, 4.91),
    "M6": (2.95, 6.4, 8.4),
    "M8": (7.2, 15.2, 20.5),
    "M10": (14.0, 30.0, 40.0),
    "M12": (24.0, 51.5, 69.0),
    "M16": (59.0, 127.0, 169.0),
    "M20": (115.0, 248.0, 330.0),
}
"""Classes 50, 70, 80 at μ 0.10, 90 % of the elastic limit. Source: Beckhoff, manual AG2800, after VDI 2230:2003."""


@pytest.mark.parametrize("size", STAINLESS)
def test_stainless_stays_a_little_below_a_makers_most(size):
    """All three classes by the same share: their proof stresses, which are from memory, agree with that table."""
    for name, most in zip(("A2-50", "A2-70", "A4-80"), STAINLESS[size], strict=True):
        told = estimate(size, name, LIMITS.nut_factor_lubricated.value)
        assert 0.85 * most <= told <= most


def links(size: str, name: str, material: str, depth: float | None, length: float | None = None):
    """What each link of a bolt in a thick plate bears, N; the original itself is tapped, its head bears on that."""
    into = Tapped(material=material, depth=depth)
    bolts = Bolts(thread=size, at=((0.0, 0.0),), property_class=name, into=into, length=length)
    thick = replace(COVER, stock=replace(COVER.stock, thickness=30.0), seats=Seat(screw="ISO 4762", depth=10.0))
    recipe = replace(RECIPE, original=replace(ORIGINAL, bolts=(bolts,), openings={}), cover=thick, inlays={})
    plan = plan_of(recipe)
    (joint,) = joints(recipe, plan)
    return recipe, joint, bearable(recipe, plan, joint)


IN_ALUMINIUM = [
    (r["size"], r["property_class"], float(r["torque_Nm"]))
    for r in csv.DictReader(DATA.read_text(encoding="utf-8").splitlines())
    if r["condition"] == "tapped into cast aluminium"
]


@pytest.mark.parametrize(("size", "name", "most"), IN_ALUMINIUM)
@pytest.mark.parametrize("depth", [None, 60.0])
def test_in_aluminium_no_more_is_told_than_a_maker_prints(size, name, most, depth):
    recipe, joint, found = links(size, name, "aluminium", depth)
    assert 0.8 * most <= torque_for(recipe, joint, min(found["bolt"], found["thread"])) <= most


@pytest.mark.parametrize(("size", "depth", "strips"), [("M6", 12.0, 5500.0), ("M4", 6.0, 1700.0)])
def test_plastic_strips_before_the_bolt_is_tight(size, depth, strips):
    """By hand, for POM: what strips the thread is never told."""
    found = links(size, "12.9", "plastic", depth)[2]
    assert 0.5 * strips < found["thread"] < strips


def test_a_shallow_thread_by_hand():
    found = links("M6", "8.8", "aluminium", 3.0)[2]
    assert found["thread"] == pytest.approx(0.7 * 100.0 * 0.875 * pi * 6.0 * 2.0)  # 7/8 of each of two whole turns
    assert min(found, key=found.get) == "thread"


@pytest.mark.parametrize("name", [n for n in CLASS_WORDS if n != "12.9"])
@pytest.mark.parametrize("size", ["M3", "M6", "M12"])
def test_as_much_thread_as_the_guidelines_ask_holds_common_bolts_in_steel(size, name):
    found = links(size, name, "steel", None, 200.0)[2]
    depth = thread_of(size).d_mm
    assert links(size, name, "steel", depth, 200.0)[2]["thread"] >= 0.99 * found["bolt"]
