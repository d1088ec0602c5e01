"""Edges of the checks of work on two faces and of holding the work."""

from __future__ import annotations

from dataclasses import replace
from math import pi

from cases_flip import dowels, flip_tolerance, floor_of, held, inside_at, margin, rim, shallow
from harness import Edge
from part_samples import RECIPE, plan_of, stock

from generator.checks import run_checks
from generator.estimate.flip import flip_of
from generator.outline.measure import length
from generator.recipe.model_dowels import Dowels
from generator.recipe.model_holding import Holding


def worst_of(recipe) -> float:
    plan = plan_of(recipe)
    return flip_of(recipe, plan).worst(plan.cover.profile)[0]


AT_LIMIT = 0.2 / worst_of(flip_tolerance(1.0))
"""Offset is the limit; pins of 6 mm m6 have but 8 µm of play in H7."""


def eaten(wall: float):
    return flip_tolerance(0.07, rim(wall))


def said(recipe, check: str, code: str) -> float:
    """Figure of a finding."""
    found = (f for o in run_checks(recipe, plan_of(recipe)) for f in o.findings if (f.check, f.code) == (check, code))
    return next(f.figure for f in found)


WALL = 0.5 + 0.55 - said(eaten(0.55), "flip-error", "eats-wall")


def ratio(times: float):
    """The sound recipe with a holding that bears just what it bears, against another safety."""
    safety = RECIPE.limits.flip.hold_safety.chosen(times)
    thin = replace(RECIPE, holding=Holding(by="tabs", width=1.0, thickness=0.5))
    return replace(thin, limits=replace(RECIPE.limits, flip=replace(RECIPE.limits.flip, hold_safety=safety)))


BEARS = said(ratio(1e3), "holding", "weak")

LOOSE = Dowels(diameter=6.0, fit="H11", pins="h8")
"""75 and 18 µm of tolerance: 93 µm of play."""

AROUND = length(plan_of(RECIPE).cover.profile)

EDGES = (
    Edge("flip-error", "crooked", flip_tolerance, 0.995 * AT_LIMIT, 1.005 * AT_LIMIT),
    Edge("flip-error", "eats-wall", eaten, WALL + 0.002, WALL - 0.002),
    Edge("dowel-pins", "loose", lambda f: replace(flip_tolerance(f), dowels=LOOSE), 0.0467, 0.0463),
    Edge("dowel-pins", "short-hold", lambda d: dowels(diameter=d), 12.0, 12.05),
    Edge("stock-thickness", "thin-floor", floor_of, 0.5 + 0.4 + 0.1 + 0.003, 0.5 + 0.4 + 0.1 - 0.003),
    Edge("stock-thickness", "may-vanish", shallow, 0.255, 0.245),
    Edge("stock-thickness", "not-the-plate", lambda t: stock(measured=t), 12.2, 12.201),
    Edge("stock-thickness", "not-the-plate", lambda t: stock(measured=t), 11.8, 11.799),
    Edge("blank-frame", "thin-frame", margin, 6.0, 5.98),
    Edge("blank-frame", "no-frame", margin, 3.005, 2.995),
    Edge("dowel-pins", "short-hold", inside_at, 8.6, 8.65),
    Edge("holding", "not-cut", lambda t: held(thickness=t), 11.95, 12.0),
    Edge("holding", "tabs-meet", lambda w: held(count=20, width=w), AROUND / 20.0 - 0.01, AROUND / 20.0 + 0.01),
    Edge("holding", "one-sided", lambda a: held(at=(0.0, a / 2.0, a)), pi + 0.01, pi - 0.01),
    Edge("holding", "thin-skin", lambda t: held(by="onion skin", thickness=t), 0.1505, 0.1495),
    Edge("holding", "weak", ratio, 0.995 * BEARS, 1.005 * BEARS),
    Edge("clamps", "in-the-way", lambda x: held(clamps=((x, 0.0),)), 40.0 + 3.0 + 12.01, 40.0 + 3.0 + 11.98),
)
