"""Every emblem: sound, symmetric, as large as asked, right by closed forms, and cut by the cutter that it promises."""

from __future__ import annotations

import dataclasses
import re
from math import acos, asin, atan, atan2, cos, pi, radians, sin, sqrt

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from generator.base.errors import GeometryError
from generator.base.fields import SPEC, Kind, OutlineSpec
from generator.outline.distance import hausdorff
from generator.outline.measure import area, bounds, length
from generator.outline.predicates import explain_contour, tangent_joints, winding_numbers
from generator.outline.separate import separated
from generator.outline.transform import ACROSS_Y, mirrored, scaled, turned
from generator.shapes.draw import draw_outline
from generator.shapes.emblems import EMBLEM_SHAPES
from generator.shapes.emblems.finish import cutter_reaches
from generator.shapes.shape import Context
from tests.shapes.oracle import polygon_of
from tests.shapes.recipe_form import drawn

BY_NAME = {s.name: s for s in EMBLEM_SHAPES}
NOISE_MM = 1e-6
examples = settings(derandomize=True, deadline=None, max_examples=12, suppress_health_check=list(HealthCheck))


def emblem(name, **keys):
    return drawn({name: {"size": 40, **keys}})


def same(a, b):
    return area(a) == pytest.approx(area(b), abs=1e-6) and hausdorff(a, b, 0.5) < NOISE_MM


# ------------------------------------------------------------------ any numbers
def values(spec):
    low, high = spec.at_least, spec.at_most
    match spec.kind:
        case Kind.COUNT:
            return st.integers(int(low), min(int(high), int(low) + 20))
        case Kind.WORD:
            return st.sampled_from(spec.words)
        case Kind.FLAG:
            return st.booleans()
        case Kind.ANGLE:
            return st.floats(low or 0.0, high or 360.0).map(radians)
        case Kind.NUMBER:
            return st.floats(low, high)
        case Kind.LENGTH:
            return st.sampled_from([0.001, 0.05, 0.4, 1.0, 2.0, 3.7, 9.0, 40.0, 500.0]).filter(
                lambda v: (low or 0.0) <= v <= high
            )
    raise AssertionError(spec.kind)


@st.composite
def records(draw, name):
    kind = BY_NAME[name].params
    fields = {f.name: f.metadata[SPEC] for f in dataclasses.fields(kind)}
    keys = draw(st.lists(st.sampled_from(sorted(set(fields) - {"size", "corner_radius"})), max_size=3, unique=True))
    chosen = {k: draw(values(fields[k])) for k in keys}
    size = draw(st.one_of(st.floats(8.0, 120.0).map(lambda v: round(v, 2)), st.sampled_from([1.0, 2000.0])))
    return kind(size=size, corner_radius=draw(st.sampled_from([0.0, 0.25, 0.5, 0.5, 1.0])), **chosen)


def attempt(name, params):
    """The region, or what was told instead."""
    try:
        return draw_outline(OutlineSpec(kind=name, params=params, path="artwork"), Context())
    except GeometryError as error:
        return str(error)


@pytest.mark.parametrize("name", BY_NAME)
@examples
@given(data=st.data())
def test_drawn_as_promised_or_refused_with_a_remedy_that_mends(name, data):
    params = data.draw(records(name))
    region = attempt(name, params)
    if isinstance(region, str):
        remedies = re.findall(r"(\w+): at (?:most|least) ([\d.e+-]+)", region)
        left_out = re.search(r"leave out ([\w ]+)", region)
        assert remedies or left_out, region
        if left_out:
            usual = {f.name: f.default for f in dataclasses.fields(params)}
            params = dataclasses.replace(params, **{k: usual[k] for k in left_out[1].split(" and ")})
            assert remedies or not isinstance(attempt(name, params), str)
        for key, value in remedies:
            again = attempt(name, dataclasses.replace(params, **{key: float(value)}))
            assert not isinstance(again, str), f"{region}\n{again}"
        return
    assert all(explain_contour(c) is None for c in region)
    if params.corner_radius:
        assert all(tangent_joints(c).all() for c in region)
        assert cutter_reaches(region, params.corner_radius)


# ------------------------------------------------------------------ the promise, by an independent library
@pytest.mark.parametrize("name", BY_NAME)
@pytest.mark.parametrize("size", [40, 75])
def test_cutter_gets_everywhere(name, size):
    r = 0.5
    region = emblem(name, size=size, corner_radius=r)
    shape = polygon_of(region)
    opened = shape.buffer(-r * 0.999, quad_segs=64).buffer(r * 0.999, quad_segs=64)
    closed = shape.buffer(r * 0.999, quad_segs=64).buffer(-r * 0.999, quad_segs=64)
    slack = 1e-3 * length(region)
    assert shape.difference(opened).area < slack
    assert closed.difference(shape).area < slack


def test_too_wide_a_cutter_would_lose_something():
    region = emblem("star", corner_radius=0.5)
    assert cutter_reaches(region, 0.5)
    assert not cutter_reaches(region, 0.51)
    ring = emblem("monogram_ring", openings=0, corner_radius=0.5)
    assert cutter_reaches(ring, 0.02799 * 40 / 2)
    assert not cutter_reaches(ring, 0.02801 * 40 / 2)


# ------------------------------------------------------------------ symmetry
TURNS = {
    "compass_rose": 4, "star": 5, "sun": 8, "snowflake": 6, "gear": 1, "monogram_ring": 4, "interlaced_rings": 3,
    "wave_band": 2,
}  # fmt: skip
MIRRORED = {"star", "snowflake", "gear", "leaf", "laurel", "monogram_ring"}


@pytest.mark.parametrize("name", TURNS)
def test_turning_changes_nothing(name):
    region = emblem(name)
    assert same(turned(region, 2 * pi / TURNS[name]), region)


@pytest.mark.parametrize("name", sorted(MIRRORED))
def test_is_its_own_mirror_image(name):
    region = emblem(name)
    assert same(mirrored(region, ACROSS_Y), region)


@pytest.mark.parametrize(("name", "keys", "times"), [
    ("compass_rose", {"points": 7, "corner_radius": 0.2}, 7), ("star", {"points": 12, "inner": 0.7}, 12),
    ("sun", {"rays": 9, "kind": "flames"}, 9), ("snowflake", {"arms": 5}, 5), ("gear", {"teeth": 20, "spokes": 4}, 4),
    ("gear", {"teeth": 23, "spokes": 0}, 23), ("interlaced_rings", {"rings": 5, "corner_radius": 0.3}, 5),
    ("interlaced_rings", {"rings": 2}, 2), ("monogram_ring", {"openings": 6}, 6),
])  # fmt: skip
def test_turning_by_other_numbers(name, keys, times):
    region = emblem(name, **keys)
    assert same(turned(region, 2 * pi / times), region)


def test_unshaded_rose_is_its_own_mirror_image():
    region = emblem("compass_rose", shaded=False)
    assert same(mirrored(region, ACROSS_Y), region)


@pytest.mark.parametrize("name", BY_NAME)
def test_twice_as_large_is_the_same_emblem(name):
    small, large = emblem(name), emblem(name, size=80, corner_radius=1)
    assert area(scaled(small, 2)) == pytest.approx(area(large), rel=1e-6)
    assert hausdorff(scaled(small, 2), large, 0.5) < 2e-3  # fitted by the kernel in places


# ------------------------------------------------------------------ size
@pytest.mark.parametrize(("name", "keys"), [
    ("compass_rose", {}), ("star", {"points": 8, "inner": 0.4}), ("sun", {"kind": "straight"}), ("snowflake", {}),
    ("gear", {}), ("monogram_ring", {"openings": 3}), ("peaks", {}), ("interlaced_rings", {"rings": 4}),
])  # fmt: skip
def test_as_large_as_asked(name, keys):
    region = emblem(name, **keys)
    reach = max(sqrt(v.x**2 + v.y**2) for c in region for v in c.vertices)
    assert bounds(region).ymax == pytest.approx(20, abs=1e-6)
    assert reach <= 20 + 1e-6


def test_wave_band_is_as_wide_as_asked():
    box = bounds(emblem("wave_band", size=60))
    assert box.width_mm == pytest.approx(60, abs=1e-9)
    assert box.centre == pytest.approx((0, 0), abs=1e-9)


def test_leaf_and_laurel_keep_within_their_size():
    for name in ("leaf", "laurel"):
        box = bounds(emblem(name))
        assert 36 < max(box.width_mm, box.height_mm) <= 40


# ------------------------------------------------------------------ closed forms
def test_area_of_a_star():
    """2 n triangles with the sides R and r and the angle pi / n between them."""
    region = emblem("star", points=7, inner=0.5, corner_radius=0)
    assert area(region) == pytest.approx(7 * 20 * 10 * sin(pi / 7), rel=1e-12)


def test_area_of_a_pentagram():
    """Of the five-pointed star whose edges line up: the notch circle is the golden ratio's square smaller."""
    golden = (1 + sqrt(5)) / 2
    region = emblem("star", corner_radius=0)
    assert area(region) == pytest.approx(5 * 20 * 20 / golden**2 * sin(pi / 5), rel=1e-12)


def test_rounding_a_star_takes_what_it_must():
    """A corner of half angle a loses r² (cot a + a - pi/2); a notch of half angle b wins the same for b."""
    n, r, share = 6, 0.8, 0.5
    region = emblem("star", points=n, inner=share, corner_radius=r)
    edge = lambda tip: sqrt(tip**2 * (1 + share**2 - 2 * share * cos(pi / n)))  # noqa: E731
    half_tip = asin(share * sin(pi / n) / (edge(1.0)))
    tip = 20 + r * (1 / sin(half_tip) - 1)
    half_notch = half_tip + pi / n
    lost = r * r * (1 / (sin(half_tip) / cos(half_tip)) + half_tip - pi / 2)
    won = r * r * (1 / (sin(half_notch) / cos(half_notch)) + half_notch - pi / 2)
    assert area(region) == pytest.approx(n * tip * share * tip * sin(pi / n) + n * (won - lost), rel=1e-9)


def test_area_of_a_wave_band():
    """Thickness times the length of its middle, plus two half discs for the ends."""
    region = emblem("wave_band", waves=2, lines=1, thickness=2, amplitude=2.5, corner_radius=0)
    chord = (40 - 2) / 4
    sweep = 4 * atan(2 * 2.5 / chord)
    radius = chord / (2 * sin(sweep / 2))
    assert area(region) == pytest.approx(4 * radius * sweep * 2 + pi, rel=1e-12)
    assert bounds(region).ymax == pytest.approx(2.5 + 1, abs=1e-9)


def test_lines_of_waves_keep_their_gap():
    region = emblem("wave_band", size=60, lines=2, thickness=2, gap=1.5, corner_radius=0)
    shapes = [polygon_of(type(region)((c,))) for c in region]
    assert shapes[0].distance(shapes[1]) == pytest.approx(1.5, abs=5e-3)


def test_area_of_a_monogram_ring():
    """The ring less the openings, whose ends are half discs, plus dots, plus the thin ring."""
    keys = {"ring": 3, "openings": 2, "opening": 8, "line": 1, "gap": 1.5, "corner_radius": 0}
    region = emblem("monogram_ring", **keys)
    middle = 18.5
    cut = 2 * (8 + 3) / middle * middle * 3  # opening and round ends, along the middle
    outer = pi * (20**2 - 17**2) - cut + 2 * pi * 1.5**2
    assert area(region) == pytest.approx(outer + 2 * pi * 1.5**2 + pi * (15.5**2 - 14.5**2), rel=1e-12)


def test_area_of_a_gear_without_spokes():
    """Root circle, and teeth whose flanks are straight: trapezia between chords plus the two circular segments."""
    n, depth = 12, 3.0
    region = emblem("gear", teeth=n, tooth_depth=depth, spokes=0, bore=8, corner_radius=0)
    pitch, root = 2 * pi / n, 20 - depth
    tip_half, foot_half = 0.4 * pitch / 2, 0.66 * pitch / 2
    segment = lambda r, a: r * r * (a - sin(a)) / 2  # noqa: E731
    high = 20 * cos(tip_half) - root * cos(foot_half)
    trapezium = high * (20 * sin(tip_half) + root * sin(foot_half))
    tooth = trapezium + segment(20, 2 * tip_half) - segment(root, 2 * foot_half)
    assert area(region) == pytest.approx(pi * (root**2 - 16) + n * tooth, rel=1e-9)


def test_two_rings_less_what_the_gaps_take():
    """Two woven rings without a gap are two whole rings less the two crossings, each of which lies in one only."""
    region = emblem("interlaced_rings", rings=2, band=3, gap=1e-4, corner_radius=0)
    away = (20 - 1.5) / 2.6
    radius, apart = 1.6 * away, 2 * away

    def lens(a, b):
        """Area common to two discs of these radii (Weisstein, Circle-Circle Intersection, MathWorld)."""
        d = apart
        p = a * a * acos((d * d + a * a - b * b) / (2 * d * a))
        q = b * b * acos((d * d + b * b - a * a) / (2 * d * b))
        return p + q - sqrt((-d + a + b) * (d + a - b) * (d - a + b) * (d + a + b)) / 2

    outer, inner = radius + 1.5, radius - 1.5
    common = lens(outer, outer) - 2 * lens(outer, inner) + lens(inner, inner)
    whole = 2 * pi * (outer**2 - inner**2)
    assert area(region) == pytest.approx(whole - common, abs=0.01)


# ------------------------------------------------------------------ single keys
def test_rings_go_over_and_under_in_turn():
    """Each ring falls into two pieces, so each is cut at two of its four crossings."""
    assert len(emblem("interlaced_rings", rings=5, corner_radius=0.3)) == 10


@pytest.mark.parametrize(("rings", "pieces"), [(2, 2), (3, 6), (4, 8), (5, 10), (8, 16)])
def test_no_piece_of_a_ring_is_a_fragment(rings, pieces):
    """The shortest piece is at least four times as long as the band is wide, and passes over a neighbour."""
    found = separated(emblem("interlaced_rings", size=60, rings=rings, corner_radius=0.3))
    band = 60 * (0.075 if rings <= 3 else 0.17 / rings)
    assert len(found) == pieces
    assert min(area(p) for p in found) > 4.0 * band**2


def test_three_rings_go_over_and_under_in_turn():
    """Round each ring the crossings are over, under, over, under."""
    region = emblem("interlaced_rings")
    away = 18.5 / 2.5
    radius, apart = 1.5 * away, away * sqrt(3.0)
    half = acos(apart / (2.0 * radius))
    centres = [(away * cos(pi / 2 + 2 * pi * k / 3), away * sin(pi / 2 + 2 * pi * k / 3)) for k in range(3)]
    for k, (x, y) in enumerate(centres):
        over = []
        for to in ((k + 1) % 3, (k + 2) % 3):
            towards = atan2(centres[to][1] - y, centres[to][0] - x)
            for angle in (towards - half, towards + half):
                # just outside the neighbour's band, on this ring: there is metal only if this ring passes over
                step = (1.5 + 0.6) / radius / sin(2.0 * half if half < pi / 4 else pi - 2.0 * half)
                points = [(x + radius * cos(a), y + radius * sin(a)) for a in (angle - step, angle + step)]
                over.append((angle % (2 * pi), all(winding_numbers(region, [p])[0] > 0 for p in points)))
        assert [o for _, o in sorted(over)] in ([True, False, True, False], [False, True, False, True])


def test_peaks_are_one_piece_with_their_ring_and_the_sun_another():
    assert len(separated(emblem("peaks"))) == 2
    for peaks in (1, 2, 3):
        (only,) = separated(emblem("peaks", peaks=peaks, sun=False))
        bare = emblem("peaks", peaks=peaks, sun=False, snow=False)
        assert 2.0 < area(bare) - area(only) < 40.0


def test_laurel_leaves_its_opening():
    region = emblem("laurel", size=60, opening=90, corner_radius=0.4)
    top = [v for c in region for v in c.vertices if v.y > 0 and abs(v.x) < v.y * sin(radians(43)) / cos(radians(43))]
    assert top == []


@pytest.mark.parametrize(("keys", "told"), [
    ({"gear": {"size": 40, "bore": 20}}, r"bore 20 leaves no hub; bore: at most 1\d\.\d"),
    ({"wave_band": {"size": 40, "amplitude": 5}}, r"amplitude 5 is too steep .*; amplitude: at most 1\.9"),
    ({"sun": {"size": 20}}, r"a cutter of radius 0\.5 .*corner_radius: at most .*, or size: at least "),
    ({"snowflake": {"size": 40, "line": 8}}, r"line 8 leaves no gap between the arms; line: at most \d"),
    ({"sun": {"size": 40, "hole": 30}}, r"hole 30 leaves nothing of the disc; hole: at most 1\d\.\d"),
    ({"interlaced_rings": {"size": 40, "rings": 4, "band": 6}}, r"band 6 leaves no room for the weave; band: at most"),
])  # fmt: skip
def test_says_what_would_do(keys, told):
    with pytest.raises(GeometryError, match=told):
        drawn(keys)


@pytest.mark.parametrize("size", [19, 38, 12.6667])
def test_no_line_is_shorter_than_the_model_is_exact(size):
    """Two roundings that all but meet leave a line of some nanometres between them, which no control can travel."""
    region = drawn({"compass_rose": {"size": size, "corner_radius": 0.3 * size / 19}})
    assert min(s.chord_mm for c in region for s in c.segments()) > 1e-3
