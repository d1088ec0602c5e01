"""The scorer against figures worked out by hand."""

from __future__ import annotations

import math

import ezdxf
import numpy as np
import pytest

from tests.scans.hurt import Damage
from tests.scans.placing import Place
from tests.scans.scan_conditions import Conditions, damaged
from tests.scans.scan_light import Bed
from tests.scans.scan_parts import all_parts, part
from tests.scans.scan_shape import Part, corners
from tests.scans.scan_truth import truth_of
from tests.scans.scorer import Doubt, Score, Traced, read_dxf, score, shape_score, traced_of, truth_edges

PARTS = {p.name: p for p in all_parts()}


def truth(p: Part, damage: Damage | None = None) -> dict:
    bed = Bed(np.array([[10.0, 0, 500], [0, -10.0, 500]]), 1000, 1000)
    return truth_of(p, Conditions(), bed, damage or Damage([], [], []), [])


def disc(radius: float) -> list[tuple[float, float, float]]:
    quarter = math.tan(math.pi / 8)
    return [(radius, 0, quarter), (0, radius, quarter), (-radius, 0, quarter), (0, -radius, quarter)]


HOLES = [(-10.0, -3.0, 5.0), (10.0, 2.0, 6.0), (1.0, 12.0, 4.0)]
DISC = Part("disc", disc(20), ["tangent"] * 4, [(n, *h) for n, h in zip("ABC", HOLES, strict=True)])


def plate(width: float, height: float) -> Part:
    x, y = width / 2, height / 2
    return part("plate", corners([(-x, -y, 0), (x, -y, 0), (x, y, 0), (-x, y, 0)]), [(0.25 * width, 0.2 * height, 6)])


@pytest.mark.parametrize("name", ["three_eye_lever", "vent_plate", "eared_cover", "stepped_plate"])
@pytest.mark.parametrize("mirrored", [False, True])
def test_the_same_outline_elsewhere_scores_nothing(name, mirrored):
    t = truth(PARTS[name])
    true = truth_edges(t)
    away = Place(31.0, -7.0, 2.3, mirrored)
    moved = Traced([away.edge(s) for s in true.edges], true.circles.copy())
    moved.circles[:, :2] = away.points(true.circles[:, :2])
    s = score(t, moved)
    assert s.whole.most < 1e-6
    assert s.diameter < 1e-9
    assert s.centre < 1e-8
    assert s.counts == s.true_counts


def test_a_mirrored_outline_fits_only_where_a_mirror_is_allowed():
    t = truth(PARTS["three_eye_lever"])
    true = truth_edges(t)
    away = Place(0.0, 0.0, 0.0, True)
    moved = Traced([away.edge(s) for s in true.edges], true.circles * [-1, 1, 1])
    assert score(t, moved).mirrored
    assert score(t, moved, mirror=False).whole.most > 1.0


def test_a_larger_disc_is_off_by_its_radius_everywhere():
    s = score(truth(DISC), traced_of([disc(20.01)], HOLES))
    for found in (s.both, s.out, s.back, s.whole):
        assert (found.rms, found.p95, found.most) == pytest.approx((0.01, 0.01, 0.01), abs=2e-4)
    assert s.holes == (3, 3, 3)


def test_a_scale_is_freed_beside_the_rigid_placement():
    t = truth(PARTS["three_eye_lever"])
    true = truth_edges(t)
    away = Place(3.0, -7.0, 0.4, False, 1.002)
    moved = Traced([away.edge(s) for s in true.edges], true.circles * [1.0, 1.0, 1.002])
    moved.circles[:, :2] = away.points(true.circles[:, :2])
    s = score(t, moved)
    assert s.both.rms > 0.02
    shape = shape_score(t, moved, s.place)
    assert shape.place.scale == pytest.approx(1.0 / 1.002, abs=1e-9)
    assert shape.whole.most < 1e-6
    assert max(shape.diameter, shape.centre) < 1e-8


def test_errors_of_holes():
    wrong = [(-10.0, -3.0, 5.012), (10.03, 2.0, 5.98), (1.0, 12.0, 4.0)]
    s = score(truth(DISC), traced_of([disc(20)], wrong))
    assert s.diameters == pytest.approx({"A": 0.012, "B": -0.02, "C": 0.0}, abs=1e-9)
    assert s.diameter == pytest.approx(0.02)
    assert s.centre == pytest.approx(math.dist((-10, -3), (10.03, 2)) - math.dist((-10, -3), (10, 2)), rel=1e-6)


def test_a_lost_hole_is_counted_and_does_not_drag_the_rest():
    s = score(truth(DISC), traced_of([disc(20)], HOLES[1:]))
    assert s.holes == (3, 2, 2)
    assert s.whole.most < 1e-6


def test_scale_is_never_taken_out():
    """A rectangle 1 % too large: its sides are off by half of what it is too wide, its corners by both together."""
    s = score(truth(plate(60, 40)), traced_of([plate(60.6, 40.4).outer], [(15.15, 8.08, 6.06)]))
    assert s.out.most == pytest.approx(math.hypot(0.3, 0.2), abs=0.02)
    assert s.back.most == pytest.approx(0.3, abs=0.02)


def test_damage_counts_apart():
    bump = [(-30, -20, 0), (10, -20, 0), (11, -20.5, 0), (12, -20, 0), (30, -20, 0), (30, 20, 0), (-30, 20, 0)]
    holes = [(15.0, 8.0, 6.0)]
    chipped = Damage([(11.0, -20.0, 1.0)], [], [])
    s = score(truth(plate(60, 40), chipped), traced_of([bump], holes))
    assert s.at_damage == pytest.approx(0.5, abs=0.03)
    assert s.both.most < 0.02
    assert score(truth(plate(60, 40)), traced_of([bump], holes)).both.most == pytest.approx(0.5, abs=0.03)


def test_coverage_asks_whether_the_truth_lies_in_what_was_stated():
    true = truth_edges(truth(DISC))
    wrong = true.circles + np.array([[0, 0, 0.02], [0, 0, 0.0], [0, 0.01, 0.0]])
    doubts = [Doubt(radius=0.009), Doubt(radius=0.001, centre=np.eye(2) * 1e-4), Doubt(centre=np.eye(2) * 1e-6)]
    arcs = [Doubt(radius=0.001, centre=np.eye(2) * 1e-6), None, None, None]
    s = score(truth(DISC), Traced(true.edges, wrong, arcs, doubts))
    assert s.covered == [False, True, True, False, True, True]


def test_other_units_are_refused():
    with pytest.raises(ValueError, match="units"):
        score(truth(DISC), traced_of([disc(20 / 25.4)], []))


@pytest.mark.parametrize(("unit", "mm"), [(4, 1.0), (1, 25.4), (5, 10.0)])
def test_dxf_of_several_kinds_is_read(tmp_path, unit, mm):
    document = ezdxf.new()
    document.header["$INSUNITS"] = unit
    model = document.modelspace()
    model.add_arc((0, 0), 20 / mm, 0, 180)
    model.add_lwpolyline([(-20 / mm, 0, 1.0), (20 / mm, 0, -1.0)], format="xyb", close=True)
    model.add_line((0, 0), (1 / mm, 0))
    model.add_circle((3 / mm, 4 / mm), 2.5 / mm)
    model.add_lwpolyline([(5 / mm, 0, 1.0), (9 / mm, 0, 1.0)], format="xyb", close=True)
    document.saveas(tmp_path / "traced.dxf")
    seen = read_dxf(tmp_path / "traced.dxf")
    assert sorted(map(tuple, seen.circles.round(6))) == [(3.0, 4.0, 5.0), (7.0, 0.0, 4.0)]
    assert sorted(round(abs(s.radius), 6) for s in seen.edges) == [0.0, 20.0, 20.0, 20.0]


def test_what_is_no_outline_is_refused(tmp_path):
    document = ezdxf.new()
    document.modelspace().add_spline([(0, 0), (1, 1), (2, 0)])
    document.saveas(tmp_path / "spline.dxf")
    with pytest.raises(ValueError, match="SPLINE"):
        read_dxf(tmp_path / "spline.dxf")


def test_spoilt_scans_say_where():
    c = damaged(200, 1)
    assert (c.chips, c.burrs) == (3, 1)
    assert isinstance(score(truth(DISC), traced_of([disc(20)], HOLES)), Score)
