"""Every outer shape exists round every original, whatever its direction, centre and margin: nothing is refused."""

from __future__ import annotations

import pytest

from generator.outline.contour import Point
from generator.outline.offset import offset_region
from generator.shapes.outer import OUTER_SHAPES
from generator.shapes.shape import Context
from tests.shapes.outer.walls import NAMES, around, exact_wall
from tests.shapes.recipe_form import drawn

MICROMETRE = 1e-3
KINDS = [s.name for s in OUTER_SHAPES]
NEEDS = {"pointed": {"reach": 160}}
TURNS = {"rounded_polygon": "turn", "hollow_hull": "turn"}
UNTURNED = {"even_margin", "superellipse"}


@pytest.mark.parametrize("margin", [2, 5, 9, 15])
@pytest.mark.parametrize("direction", [60, 120])
def test_stadium_whose_round_ends_pass_an_arc_near_their_tops(direction, margin):
    outer = drawn({"stadium": {"margin": margin, "direction": direction}}, around("four-bolt-plate"))
    assert margin - MICROMETRE <= exact_wall(outer, "four-bolt-plate") <= margin + MICROMETRE


@pytest.mark.parametrize(
    ("name", "params"),
    [
        ("d-flange", {"margin": 6.44, "direction": 53.47}),
        ("latch-keeper", {"margin": 11.54, "centre": [-10.2, -1.55]}),
    ],
)
def test_stadium_of_odd_numbers(name, params):
    outer = drawn({"stadium": params}, around(name))
    assert params["margin"] - MICROMETRE <= exact_wall(outer, name) <= params["margin"] + MICROMETRE


def test_stadium_round_a_triangle():
    footprint = drawn({"regular_polygon": {"sides": 3, "across_corners": 90}})
    context = Context(footprint=footprint, pocket=offset_region(footprint, 0.3), seats=((Point(0.0, 0.0), 7.5),))
    assert len(drawn({"stadium": {"margin": 6, "direction": 150, "centre": [-7, 7]}}, context)) == 1


def sweep(kind, name, margins, angles):
    for margin in margins:
        for angle in [0] if kind in UNTURNED else angles:
            turned = {} if kind in UNTURNED else {TURNS.get(kind, "direction"): angle}
            outer = drawn({kind: {"margin": margin, **turned, **NEEDS.get(kind, {})}}, around(name))
            assert exact_wall(outer, name) >= margin - MICROMETRE, (margin, angle)


@pytest.mark.parametrize("kind", KINDS)
def test_drawn_in_some_directions(kind):
    for k, name in enumerate(NAMES):
        sweep(kind, name, [3], [13 * k, 60])


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("kind", KINDS)
def test_drawn_in_every_direction(kind, name):
    sweep(kind, name, [0.5, 5, 15], range(0, 360, 15))


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("kind", ["stadium", "rosette", "rounded_star", "rounded_polygon", "drop", "arched", "notched"])
def test_drawn_round_any_centre(kind, name):
    for margin in (2, 6, 15):
        for centre in ([5, 0], [0, 5], [-8, 3], [10, -10], [-7, 7]):
            outer = drawn({kind: {"margin": margin, "centre": centre}}, around(name))
            assert exact_wall(outer, name) >= margin - MICROMETRE, (margin, centre)
