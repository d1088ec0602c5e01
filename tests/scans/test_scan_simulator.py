"""The simulator against closed forms: areas, tangency, widths between jaws, places of edges, shapes of shadows."""

from __future__ import annotations

import io
import math

import numpy as np
import pytest
from PIL import Image
from scipy.ndimage import map_coordinates
from shapely.geometry import LineString, Point, Polygon

from tests.scans.scan_conditions import Conditions, black_lid, damaged, lost_in_shadow, usual
from tests.scans.scan_light import bed_of, decoded, shadow
from tests.scans.scan_parts import all_parts, part
from tests.scans.scan_shape import corners, measure, ray, seats, segments
from tests.scans.simulate import render, render_turned

PARTS = {p.name: p for p in all_parts()}
CLEAN = Conditions(noise=0.0, rot=17.0)


def linear(data: bytes, gamma: float | str = "srgb") -> np.ndarray:
    table = np.array([decoded(n, gamma) for n in range(256)])
    return table[np.asarray(Image.open(io.BytesIO(data)).convert("L"))]


def area(p) -> float:
    """Area of a part by Green's theorem, exact for lines and arcs: half the integral of x dy - y dx."""
    total = 0.0
    for s in p.edges():
        (x0, y0), (x1, y1) = s.start, s.end
        total += (x0 * y1 - x1 * y0) / 2
        if s.radius:
            total += s.radius * abs(s.radius) * (abs(s.sweep) - math.sin(abs(s.sweep))) / 2
    return total


def rough(p) -> Polygon:
    def points(loop):
        return np.vstack([s.points(np.linspace(0, 1, 200)[:-1]) for s in segments(loop)])

    holes = [points(loop) for loop in p.inner]
    holes += [np.array(Point(x, y).buffer(d / 2, 90).exterior.coords) for _, x, y, d in p.circles]
    return Polygon(points(p.outer), holes)


def test_there_are_thirty_parts():
    assert len(PARTS) == 30


@pytest.mark.parametrize("p", PARTS.values(), ids=PARTS)
def test_parts_are_sound_and_joined_as_they_say(p):
    shape = rough(p)
    assert shape.is_valid
    assert shape.exterior.is_ccw
    assert shape.area == pytest.approx(area(p), rel=2e-4)
    made = segments(p.outer)
    assert len(p.joins) == len(made)
    for before, then, join in zip([made[-1], *made], made, p.joins, strict=False):
        (ax, ay), (bx, by) = before.tangent(1.0), then.tangent(0.0)
        turn = abs(math.degrees(math.atan2(ax * by - ay * bx, ax * bx + ay * by)))
        assert turn < 1e-5 if join == "tangent" else turn > 3
        assert then.length > 1.0


@pytest.mark.parametrize("p", [p for p in PARTS.values() if p.axes], ids=lambda p: p.name)
def test_axes_mirror_the_part_into_itself(p):
    edge = rough(p).boundary
    points = np.vstack([s.points(np.linspace(0, 1, 30)) for s in p.edges()])
    for _, (dx, dy) in p.axes:
        n = np.array([dx, dy]) / math.hypot(dx, dy)
        mirrored = 2 * (points @ n)[:, None] * n - points
        assert max(edge.distance(Point(*q)) for q in mirrored) < 2e-3


def test_distances_and_rays_agree_with_another_library():
    p = PARTS["bell_crank"]
    rng = np.random.default_rng(1)
    x, y = rng.uniform(-20, 60, 300), rng.uniform(-20, 55, 300)
    least = np.min([measure(s, x, y)[0] for s in p.edges()], axis=0)
    edge = rough(p).boundary
    assert least == pytest.approx([edge.distance(Point(*q)) for q in zip(x, y, strict=True)], abs=2e-3)
    run = np.min([ray(s, x, y, 0.6, 0.8) for s in p.edges()], axis=0)
    for a, b, r in zip(x, y, run, strict=True):
        met = edge.intersection(LineString([(a, b), (a + 60, b + 80)]))
        assert met.is_empty if math.isinf(r) else met.distance(Point(a, b)) == pytest.approx(r, abs=5e-3)


def test_jaws_seat_where_the_corpus_has_them():
    """A flange of two bosses and a long one: widths worked out by hand."""
    lug = PARTS["waisted_keeper"]
    assert {round(w, 6) for _, w in seats(segments(lug.outer))} == {62.0, 18.0}
    plate = part("plate", corners([(-30, -20, 4), (30, -20, 4), (30, 20, 4), (-30, 20, 4)]), [])
    found = sorted(round(w, 6) for _, w in seats(segments(plate.outer)))
    assert found[:2] == [40.0, 60.0]
    assert found[2] == pytest.approx(8 + 2 * math.hypot(26, 16))  # over round corners, along the diagonal


@pytest.mark.parametrize("name", ["square_flange", "gusset", "eared_cover"])
@pytest.mark.parametrize("dpi", [200, 300, 600])
def test_light_that_the_metal_takes_is_its_area(name, dpi):
    c = CLEAN.but(dpi=dpi, ex=0.004, ey=-0.003, skew=0.1)
    data, truth, _ = render(PARTS[name], c, 1)
    metal, lid = decoded(c.metal, c.gamma), decoded(c.lid, c.gamma)
    covered = ((lid - linear(data)) / (lid - metal)).sum()
    m = np.array(truth["image"]["mm_to_px"])[:, :2]
    assert covered / abs(np.linalg.det(m)) == pytest.approx(area(PARTS[name]), rel=1e-4)


def test_edges_lie_where_the_truth_says():
    """Half way between metal and lid within a hundredth of a pixel on straight edges, all along them."""
    c = CLEAN.but(dpi=300, skew=0.12, ex=0.003)
    data, truth, _ = render(PARTS["square_flange"], c, 1)
    light = linear(data)
    metal, lid = decoded(c.metal, c.gamma), decoded(c.lid, c.gamma)
    for s in (s for s in segments(PARTS["square_flange"].outer) if not s.radius):
        points = s.points(np.linspace(0.1, 0.9, 200))
        m = np.array(truth["image"]["mm_to_px"])
        px = points @ m[:, :2].T + m[:, 2]
        seen = map_coordinates(light, [px[:, 1], px[:, 0]], order=3)
        slope = (lid - metal) / math.sqrt(2 * math.pi * (c.blur**2 + 1 / 12))
        off = (seen - (metal + lid) / 2) / slope
        assert np.abs(off).max() < 0.02
        assert abs(off.mean()) < 0.005


@pytest.mark.parametrize("form", ["ramp", "soft", "exponential", "step", "core"])
def test_shadow_falls_on_the_far_side_only_and_has_its_form(form):
    c = CLEAN.but(rot=0.0, shadow_w=0.6, shadow_depth=0.4, shadow_form=form, light_deg=90.0, dpi=600)
    data, _, _ = render(PARTS["square_flange"], c, 1)
    light, bed = linear(data) / decoded(c.lid, c.gamma), bed_of(PARTS["square_flange"], c)
    run = np.array([0.15, 0.3, 0.45, 0.9])

    def level(x: float, y: np.ndarray) -> np.ndarray:
        px = bed.pixel(np.column_stack([np.full_like(y, x), y]))
        return map_coordinates(light, [px[:, 1], px[:, 0]], order=1)

    assert level(0.0, -30.0 - run) == pytest.approx(shadow(c, run), abs=0.02)  # below, where shadows fall
    assert level(0.0, 30.0 + run) == pytest.approx(1.0, abs=0.01)


@pytest.mark.parametrize("kind", [usual, black_lid, lost_in_shadow, damaged])
def test_same_seed_same_bytes_and_readings_near_the_truth(kind):
    p = PARTS["tee_plate"]
    first, again = render(p, kind(200, 3), 5), render(p, kind(200, 3), 5)
    assert first == again
    data, truth, typed = first
    assert Image.open(io.BytesIO(data)).size == (truth["image"]["width"], truth["image"]["height"])
    for reading, fact in zip(typed["readings"], truth["caliper"], strict=True):
        assert abs(reading["value"] - fact["true"]) < 5 * 0.015 + 0.005


def test_a_mistyped_reading_is_marked():
    _, truth, typed = render(PARTS["tee_plate"], usual(200, 3, mistyped="swap"), 5)
    wrong = [f for f in truth["caliper"] if f.get("mistyped")]
    assert len(wrong) == 1
    assert abs(wrong[0]["reading"] - wrong[0]["true"]) > 0.5
    assert wrong[0]["reading"] in [r["value"] for r in typed["readings"]]


def test_turned_scans_share_the_scanner():
    c = usual(200, 4)
    scans = render_turned(PARTS["oval_flange"], c, 2, (0, 90, 180))
    for _, truth, _ in scans:
        m = np.array(truth["image"]["mm_to_px"])[:, :2]
        gram = m @ m.T  # free of the part's own rotation
        assert gram[0, 0] ** 0.5 == pytest.approx(c.dpi / 25.4 * (1 + c.ex), rel=1e-5)
        assert gram[1, 1] ** 0.5 == pytest.approx(c.dpi / 25.4 * (1 + c.ey), rel=1e-9)
    assert [s["value"] for s in scans[0][2]["readings"]] == [s["value"] for s in scans[1][2]["readings"]]
