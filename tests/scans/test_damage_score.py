"""The scorer of chips and burrs against cases worked out by hand, and the simulator's damage against closed forms."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from tests.scans.damage_cases import KINDS
from tests.scans.damage_lines import Seen, cell, damage_table
from tests.scans.damage_score import Hurt, damage_score, hurts_of, together, turns_into_itself
from tests.scans.hurt import Damage, damage_of, into_chips, swollen
from tests.scans.photo_light import render_photo, usual_photo
from tests.scans.scan_conditions import Conditions, damaged
from tests.scans.scan_parts import all_parts, part
from tests.scans.scan_shape import Part, corners
from tests.scans.scorer import Listed, Traced, truth_edges
from tests.scans.test_scan_scorer import truth

PARTS = {p.name: p for p in all_parts()}
PLATE = part("plate", corners([(-30, -20, 0), (30, -20, 0), (30, 20, 0), (-30, 20, 0)]), [(15, 8, 6), (-15, 3, 4)])


def listing(p: Part, damage: Damage, *listed: Listed) -> tuple[dict, Traced]:
    t = truth(p, damage)
    return t, replace(truth_edges(t), listed=list(listed))


def test_what_is_listed_near_a_chip_is_that_chip():
    spoilt = Damage([(10.0, -20.0, 0.8), (-10.0, 20.0, 0.8)], [(30.0, 5.0, 0.2, 0.4)], [])
    t, found = listing(PLATE, spoilt, Listed((10.4, -20.0), -0.5, 1.2), Listed((30.0, 6.0), 0.15, 1.0))
    s = damage_score(t, found)
    assert sorted(j.listed for j in s.judged) == [0, 1, 1]
    assert [j.once for j in s.judged] == [j.listed == 1 for j in s.judged]
    assert {round(j.depth, 2) for j in s.judged} == {0.0, -0.5, 0.15}
    assert s.false == ()
    assert max(j.outline for j in s.judged) < 1e-6


def test_what_is_listed_elsewhere_twice_or_with_the_wrong_sign_is_told():
    spoilt = Damage([(10.0, -20.0, 0.8)], [(30.0, 5.0, 0.2, 0.4)], [])
    t, found = listing(
        PLATE,
        spoilt,
        Listed((9.8, -20.0), -0.5, 1.2),
        Listed((10.9, -20.0), -0.3, 0.4),
        Listed((30.0, 5.0), -0.2, 1.0),
        Listed((-30.0, -5.0), -0.2, 1.0),
    )
    s = damage_score(t, found)
    assert [j.once for j in s.judged] == [False, False]
    assert sorted(j.listed for j in s.judged) == [1, 2]
    assert [d.at for d in s.false] == [(-30.0, -5.0)]
    assert "0/2 listed once, 1 false" in cell(s, 0.06)
    lines = damage_table([Seen("a kind", 0.1, s)], 0.06)
    assert lines[1].split()[-5:] == ["0/1", "0/1", "1", "1", "0"]


def test_a_part_that_looks_the_same_turned_is_tried_both_ways():
    p = PARTS["waisted_keeper"]
    x, y = p.edges()[0].points(np.array([0.4]))[0]
    t, found = listing(p, Damage([(x, y, 0.8)], [], []), Listed((-x, -y), -0.6, 1.2))
    assert len(turns_into_itself(found.every_edge)) == 2
    assert damage_score(t, found).judged[0].once
    t, found = listing(PLATE, Damage([(10.0, -20.0, 0.8)], [], []), Listed((-10.0, 20.0), -0.6, 1.2))
    assert len(turns_into_itself(found.every_edge)) == 1, "its holes tell one end from the other"
    assert not damage_score(t, found).judged[0].once


def test_an_outline_that_runs_into_a_chip_is_off_there():
    t, found = listing(PLATE, Damage([(10.0, -20.0, 0.8)], [], []))
    notch = [(-30, -20, 0), (9.5, -20, 0), (10, -19.6, 0), (10.5, -20, 0), (30, -20, 0), (30, 20, 0), (-30, 20, 0)]
    bent = part("notched", corners([(x, y, 0) for x, y, _ in notch]), [(15, 8, 6), (-15, 3, 4)])
    s = damage_score(t, replace(truth_edges(truth(bent)), listed=found.listed))
    assert s.judged[0].outline == pytest.approx(0.4, abs=0.02)


def test_depth_of_a_chip_is_how_far_it_reaches_into_the_metal():
    """The chip's rim lies between half and all of its radius from its place: so does its depth in a straight edge."""
    for radius in (0.3, 0.8):
        (hurt,) = hurts_of(truth(PLATE, Damage([(10.0, -20.0, radius)], [], [])))
        angle = np.linspace(0.0, math.pi, 2000)
        ragged = radius * (0.75 + 0.15 * np.sin(3 * angle + 10.0) + 0.1 * np.sin(7 * angle - 100.0))
        assert hurt.off == pytest.approx(-float((ragged * np.sin(angle)).max()), abs=0.02)
        assert 0.5 * radius < -hurt.off <= radius


def test_chips_that_run_into_one_another_are_one():
    hurts = [Hurt((0.0, 0.0), -0.5, 0.6), Hurt((1.0, 0.0), -0.7, 0.6), Hurt((5.0, 0.0), 0.2, 0.8)]
    groups = together(hurts)
    assert sorted(len(g) for g in groups) == [1, 2]
    assert next(g for g in groups if len(g) == 2)[0].off == -0.7


def test_burrs_swell_by_their_height_and_chips_end_at_their_rim():
    x = np.array([0.0, 0.5, 9.0])
    off = swollen(np.zeros(3), x, np.zeros(3), [(0.0, 0.0, 0.2, 0.5)])
    assert off == pytest.approx([-0.2, -0.2 * math.exp(-0.5), 0.0], abs=1e-9)
    deep = into_chips(np.array([0.0, 0.2, 2.0]), np.zeros(3), [(0.0, 0.0, 1.0)])
    assert (deep > 0.0).tolist() == [True, True, False]


def test_damage_of_openings_comes_beside_that_of_the_outline():
    p, c = PARTS["eared_cover"], damaged(300, 3)
    plain = damage_of(p, c, 900, 700, np.random.default_rng(1))
    more = damage_of(p, c.but(hurt_openings=2), 900, 700, np.random.default_rng(1))
    assert (more.chips[:3], more.burrs[:1], more.dust) == (plain.chips, plain.burrs, plain.dust)
    holes = [np.hypot(x - h[1], y - h[2]) - h[3] / 2 for x, y, *_ in (more.chips[3], more.burrs[1]) for h in p.circles]
    assert sum(abs(h) < 1e-9 for h in holes) == 2
    half = damage_of(p, c.but(hurt_size=0.5), 900, 700, np.random.default_rng(1))
    assert [r[2] for r in half.chips] == pytest.approx([0.5 * r[2] for r in plain.chips])
    assert damage_of(PLATE, Conditions(), 9, 9, np.random.default_rng(1)) == Damage([], [], [])


def test_a_photo_shows_its_chips():
    p = PARTS["slotted_plate"]
    c = usual_photo("card", False, 2, width=900, height=675)
    whole, chipped = (render_photo(p, c.but(chips=n), 2) for n in (0, 3))
    assert whole[1]["imperfections"]["chips_xy_radius_mm"] == []
    assert len(chipped[1]["imperfections"]["chips_xy_radius_mm"]) == 3
    assert whole[0] != chipped[0]
    assert whole[1]["caliper"] == chipped[1]["caliper"]


def test_every_kind_but_lost_edges_has_damaged_cases():
    assert len(KINDS) == 7
