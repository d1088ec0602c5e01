"""The narrowest places: closed forms, the outlines of the corpus, an integer polygon clipper, laws."""

from __future__ import annotations

from math import asin, hypot, pi, sqrt, tan

import numpy as np
import pyclipr
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.outline.combine import difference, union
from generator.outline.contour import Contour, Point
from generator.outline.create import arc_slot, circle, polygon, rectangle, regular_polygon, ring, slot
from generator.outline.measure import bounds
from generator.outline.narrow import narrowest, narrowest_between, necks, necks_between
from generator.outline.region import EMPTY, Region
from generator.outline.transform import Axis, mirrored, moved, scaled, turned
from tests.oracles import fine_facets
from tests.oracles.distances import distances
from tests.outline.kernel_cases import KINDS, case, traced
from tests.outline.strategies import regions
from tests.outline.test_offset_corpus import load

calm = settings(derandomize=True, deadline=None, max_examples=40)


def box(*corners: float) -> Region:
    return Region((rectangle(*corners),))


def disc(x: float, y: float, r: float) -> Region:
    return Region((circle((x, y), r),))


DUMBBELL = union(disc(-8.0, 0.0, 4.0), disc(8.0, 0.0, 4.0), box(-8.0, -0.3, 8.0, 0.3))
SLOTTED = difference(box(0.0, 0.0, 30.0, 10.0), box(10.0, 2.0, 20.0, 10.5))
HOURGLASS = Region.of([Contour.of([(-10, -8), (10, -8, -0.5), (10, 8), (-10, 8, -0.5)])])
"""Two hollow sides of 16 mm chord that come 8 mm nearer in all."""


# ------------------------------------------------------------------ closed forms
@pytest.mark.parametrize(
    ("region", "width", "at"),
    [
        (box(0.0, 0.0, 20.0, 5.0), 5.0, (10.0, 2.5)),
        (Region((slot((0.0, 0.0), (20.0, 0.0), 6.0),)), 6.0, (10.0, 0.0)),
        (DUMBBELL, 0.6, (0.0, 0.0)),
        (SLOTTED, 2.0, (15.0, 1.0)),
        (HOURGLASS, 20.0 - 8.0, (0.0, 0.0)),
        (Region.of([*disc(0, 0, 20), *(c.reversed() for c in disc(3, 4, 9))]), 20.0 - 5.0 - 9.0, (10.2, 13.6)),
        (Region.of([rectangle(0, 0, 40, 20), circle((10, 10), 4).reversed(), circle((21, 11), 5).reversed()]),
         sqrt(122.0) - 9.0, None),
        (Region((arc_slot((1.0, 2.0), 12.0, 0.3, 2.0, 3.0),)), 3.0, None),
        # a reflex corner against a line, and two reflex corners against each other
        (Region((polygon([(0, 0), (20, 0), (20, 10), (12, 10), (10, 3), (8, 10), (0, 10)]),)), 3.0, (10.0, 1.5)),
        (Region((polygon([(0, 0), (8, 0), (10, 4), (12, 0), (20, 0), (20, 12), (13, 12), (11, 7), (9, 12), (0, 12)]),)),
         hypot(1.0, 3.0), (10.5, 5.5)),
    ],
)  # fmt: skip
def test_narrowest_of_plain_shapes(region: Region, width: float, at: tuple[float, float] | None) -> None:
    found = narrowest(region)
    assert found is not None
    assert found.width_mm == pytest.approx(width, abs=1e-9)
    assert at is None or found.at == pytest.approx(at, abs=1e-9)


@pytest.mark.parametrize(
    "region",
    [
        EMPTY,
        disc(1.0, 2.0, 5.0),
        box(0.0, 0.0, 6.0, 6.0),
        Region((regular_polygon((0.0, 0.0), 3, 10.0),)),
        Region((regular_polygon((0.0, 0.0), 7, 10.0),)),
        Region((polygon([(0, 0), (20, -2), (20, 2)]),)),
        Region.of([Contour.of([(0, -10, 0.4), (0, 10, 0.4)])]),
    ],
)
def test_what_has_no_neck(region: Region) -> None:
    assert narrowest(region) is None
    assert necks(region) == ()


def test_a_ring_is_as_wide_everywhere() -> None:
    found = narrowest(ring((3.0, -2.0), 9.0, 5.0))
    assert found is not None
    assert found.width_mm == pytest.approx(4.0, abs=1e-12)
    assert hypot(found.at.x - 3.0, found.at.y + 2.0) == pytest.approx(7.0, abs=1e-12)


def test_ribs_between_and_within() -> None:
    two = narrowest_between(Region.of([circle((0, 0), 5), circle((12, 0), 5)]))
    assert two is not None
    assert (two.width_mm, *two.at) == pytest.approx((2.0, 6.0, 0.0), abs=1e-9)
    slotted = narrowest_between(SLOTTED)
    assert slotted is not None
    assert slotted.width_mm == pytest.approx(10.0)
    assert narrowest_between(box(0.0, 0.0, 6.0, 6.0)) is None


def test_the_comb_of_the_corpus() -> None:
    """Fifteen teeth of 1.5 mm, slots of 0.6 mm between them."""
    comb = load("comb_a")[1]
    tooth, gap = narrowest(comb), narrowest_between(comb)
    assert tooth is not None
    assert gap is not None
    assert (tooth.width_mm, gap.width_mm) == pytest.approx((1.5, 0.6), abs=1e-9)
    assert [n.width_mm for n in necks(comb, 2.0)] == pytest.approx([1.5] * 15)
    assert [n.width_mm for n in necks_between(comb, 2.0)] == pytest.approx([0.6] * 14)


@pytest.mark.parametrize(("name", "width"), [("neck_a", 0.5), ("kidney_a", 12.0), ("spiral_a", 2.0), ("link_a", 7.0)])
def test_figures_of_the_corpus(name: str, width: float) -> None:
    found = narrowest(load(name)[1])
    assert found is not None
    assert found.width_mm == pytest.approx(width, abs=1e-6)


def test_all_necks_below_a_width() -> None:
    chain = union(*(disc(12.0 * k, 0.0, 4.0) for k in range(4)), *(
        box(12.0 * k, -0.25 * (k + 1), 12.0 * (k + 1), 0.25 * (k + 1)) for k in range(3)))  # fmt: skip
    assert [n.width_mm for n in necks(chain, 1.2)] == pytest.approx([0.5, 1.0])
    assert [round(n.at.x) for n in necks(chain)] == [6, 18, 30]


def test_a_joint_where_a_side_only_changes_its_bend_is_no_neck() -> None:
    """The upper side comes nearer all the way, level for a moment where it passes from one bend to the other."""
    bulge = tan(asin(10.0 / 26.0) / 4.0)  # 10 mm along and 2 mm down on a radius of 26 mm
    falling = Contour.of([(-10, 0), (10, 0), (10, 8, bulge), (0, 10, -bulge), (-10, 12)])
    assert narrowest(Region((falling,))) is None
    waist = Contour.of([(-10, 0), (10, 0), (10, 12, -bulge), (0, 10, -bulge), (-10, 12)])
    found = narrowest(Region((waist,)))
    assert found is not None
    assert (found.width_mm, *found.at) == pytest.approx((10.0, 0.0, 5.0), abs=1e-9)


# ------------------------------------------------------------------ laws
@calm
@given(regions, st.floats(0.0, 2.0 * pi), st.booleans(), st.floats(0.3, 3.0))
def test_moving_turning_mirroring_and_scaling_change_nothing_else(
    region: Region, angle: float, flip: bool, factor: float
) -> None:
    image = scaled(turned(moved(region, 3.0, -7.0), angle), factor)
    image = mirrored(image, Axis(Point(1.0, 2.0), 0.4)) if flip else image
    for ask in (narrowest, narrowest_between):
        before, after = ask(region), ask(image)
        assert (before is None) == (after is None)
        if before is not None and after is not None:
            assert after.width_mm == pytest.approx(factor * before.width_mm, abs=2e-6 * max(1.0, factor))


@calm
@given(st.one_of(regions, st.builds(lambda k, s: case(k, s).region, st.sampled_from(KINDS), st.integers(700, 760))))
def test_both_ends_lie_on_the_boundary_and_nothing_in_between(region: Region) -> None:
    for found in (narrowest(region), narrowest_between(region)):
        if found is not None:
            far = distances(np.array([found.on_a, found.on_b, found.at]), region)
            assert far[:2].max() < 1e-6
            assert far[2] == pytest.approx(found.width_mm / 2.0, abs=1e-5)
            gap = hypot(found.on_a.x - found.on_b.x, found.on_a.y - found.on_b.y)
            assert gap == pytest.approx(found.width_mm, abs=1e-9)


def loops(region: Region, shrink_mm: float) -> tuple[int, int]:
    """Return how many outlines and holes the shrunk region has, by Clipper2 on fine facets."""
    engine = pyclipr.ClipperOffset()
    engine.scaleFactor = fine_facets.SCALE
    engine.arcTolerance = 1e-4 * fine_facets.SCALE
    engine.addPaths([fine_facets.polygon(c, 1e-4) for c in region], pyclipr.JoinType.Round, pyclipr.EndType.Polygon)
    sizes = [fine_facets.signed_area(np.asarray(p)) for p in engine.execute(-shrink_mm)]
    return sum(s > 1e-3 for s in sizes), sum(s < -1e-3 for s in sizes)


THROUGH = [
    k for k in KINDS if k is not traced and k.__name__ in ("waist", "link", "discs", "plate", "glyphlike", "smooth")
]


@calm
@given(st.sampled_from(THROUGH), st.integers(800, 899))
def test_no_neck_is_missed(kind, seed: int) -> None:
    """Shrunk by less than half its narrowest neck, a region neither falls apart nor do its holes run together."""
    region = case(kind, seed).region
    found = narrowest(region)
    half = found.width_mm / 2.0 if found else 0.45 * min(bounds(region).width_mm, bounds(region).height_mm)
    for share in (0.5, 0.9, 0.98):
        now = loops(region, share * half)
        assert now == loops(region, 0.0) or (found is None and now == (0, 0))


@calm
@given(st.sampled_from(["waist", "discs", "plate"]), st.integers(900, 999))
def test_a_neck_that_is_cut_through_changes_the_pieces(name: str, seed: int) -> None:
    region = case(next(k for k in KINDS if k.__name__ == name), seed).region
    found = narrowest(region)
    if found is not None:
        assert loops(region, found.width_mm / 2.0 + 2e-3) != loops(region, 0.0)


def test_five_thousand_traced_segments_are_answered() -> None:
    region = load("noisy_a")[1]
    found = narrowest_between(region)
    assert found is None or found.width_mm > 0.0
    for neck in necks(region, 0.5):
        assert distances(np.array([neck.at]), region)[0] == pytest.approx(neck.width_mm / 2.0, abs=1e-6)
