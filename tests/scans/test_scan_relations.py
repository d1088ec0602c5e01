"""Relations that a footprint keeps: all of them in the truth, none where it was shaken."""

from __future__ import annotations

import numpy as np
import pytest

from tests.scans.placing import Place
from tests.scans.scan_parts import all_parts
from tests.scans.scan_relations import axes_kept, common_centres, tangent_joins
from tests.scans.scan_shape import Part
from tests.scans.scorer import traced_of
from tests.scans.test_scan_scorer import truth

HERE = Place(0.0, 0.0, 0.0, False)
PARTS = {p.name: p for p in all_parts()}


def shaken(p: Part, by: float):
    rng = np.random.default_rng(3)
    loops = [[(x + rng.normal(0, by), y + rng.normal(0, by), b) for x, y, b in loop] for loop in [p.outer, *p.inner]]
    return traced_of(loops, [(x + rng.normal(0, by), y, d) for _, x, y, d in p.circles])


@pytest.mark.parametrize(
    "name", ["waisted_keeper", "tee_plate", "vent_plate", "eared_cover", "gusset", "square_flange"]
)
def test_the_truth_keeps_all_and_a_shaken_one_none(name):
    p = PARTS[name]
    t, same, other = truth(p), shaken(p, 0.0), shaken(p, 0.02)
    tangent = [join for loop in [p.joins] for join in loop].count("tangent")
    joins = tangent_joins(t, same, HERE)
    assert joins.true == joins.found >= tangent
    assert joins.false == 0
    assert tangent_joins(t, other, HERE).found < joins.true / 2
    centres, axes = common_centres(t, same, HERE), axes_kept(t, same, HERE)
    assert centres.found == centres.true
    assert centres.false == 0
    assert axes.found == axes.true == len(p.axes)
    assert common_centres(t, other, HERE).found == 0
    assert axes_kept(t, other, HERE).found == 0


def test_bosses_are_concentric_with_their_holes():
    """By hand: each of the keeper's two bosses is round its hole; the hollow arcs are round nothing else."""
    assert common_centres(truth(PARTS["waisted_keeper"]), shaken(PARTS["waisted_keeper"], 0.0), HERE).true == 2


def test_a_rounded_corner_is_a_false_tangent_join():
    p = PARTS["chamfered_plate"]
    t = truth(p)
    x, y, _ = p.outer[1]
    (ax, ay, _), (bx, by, _) = p.outer[0], p.outer[2]
    u = np.array([ax - x, ay - y]) / np.hypot(ax - x, ay - y)
    v = np.array([bx - x, by - y]) / np.hypot(bx - x, by - y)
    turn = np.pi - np.arccos(u @ v)
    first, last = np.array([x, y]) + u, np.array([x, y]) + v
    loop = [p.outer[0], (*first, np.tan(turn / 4)), (*last, 0.0), *p.outer[2:]]
    kept = tangent_joins(t, traced_of([loop], [c[1:] for c in p.circles]))
    assert (kept.true, kept.found, kept.false) == (0, 0, 2)
