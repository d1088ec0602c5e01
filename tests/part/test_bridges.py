"""Pieces that fall out, and bridges that hold them: letters built from rings and boxes by hand, and random rings."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.base.errors import GeometryError
from generator.outline.combine import difference, intersection, union
from generator.outline.create import circle, polygon, rectangle, ring
from generator.outline.distance import points_distance, region_distance
from generator.outline.measure import area, bounds
from generator.outline.narrow import narrowest
from generator.outline.nearness import boundary_points
from generator.outline.opening import opening
from generator.outline.predicates import contains_region
from generator.outline.region import EMPTY, Region
from generator.outline.separate import separated
from generator.outline.transform import Axis, mirrored, moved, scaled, turned
from generator.part.bridges import bridged
from generator.part.islands import islands
from tests.outline.test_offset_corpus import load


def disc(r: float, x: float = 0.0, y: float = 0.0) -> Region:
    return Region((circle((x, y), r),))


def box(*corners: float) -> Region:
    return Region((rectangle(*corners),))


def less(a: Region, *others: Region) -> Region:
    return difference(a, *others)


SHEET = box(-25.0, -25.0, 25.0, 25.0)
O = ring((0.0, 0.0), 8.0, 5.0)  # noqa: E741
EIGHT = less(union(disc(8.0, 0.0, 6.5), disc(8.0, 0.0, -6.5)), disc(5.0, 0.0, 6.5), disc(5.0, 0.0, -6.5))
BEE = less(
    union(box(-8.0, -12.0, 2.0, 12.0), disc(6.0, 2.0, 6.0), disc(6.6, 2.0, -5.4)),
    box(-5.0, 2.0, 2.0, 9.0),
    box(-5.0, -9.4, 3.0, -1.4),
)
AT = union(ring((0, 0), 18, 15), ring((0, 0), 9, 5), box(8.0, -1.5, 16.0, 1.5))
RINGS = union(ring((0, 0), 18, 15), ring((0, 0), 10, 7))
LETTER_A = less(
    Region((polygon([(-10, -12), (-6, -12), (-3, -4), (3, -4), (6, -12), (10, -12), (2, 12), (-2, 12)]),)),
    Region((polygon([(-2, -1), (2, -1), (0, 6)]),)),
)
LETTERS = {"O": O, "8": EIGHT, "B": BEE, "@": AT, "ring in ring": RINGS, "A": LETTER_A}
UPRIGHT, LEVEL = Axis((0.0, 0.0), pi / 2.0), Axis((0.0, 0.0), 0.0)  # type: ignore[arg-type]


def asymmetry(region: Region, axis: Axis) -> float:
    """How far the mirror image's boundary points lie from the region's boundary, mm."""
    return float(points_distance(region, boundary_points(mirrored(region, axis).contours)).max())


# ------------------------------------------------------------------ islands
def test_islands_of_letters() -> None:
    found = {name: len(islands(SHEET, cut)) for name, cut in LETTERS.items()}
    assert found == {"O": 1, "8": 2, "B": 2, "@": 2, "ring in ring": 2, "A": 1}
    assert area(islands(SHEET, O)[0]) == pytest.approx(25.0 * pi)


def test_what_hangs_together_is_no_island() -> None:
    assert islands(SHEET) == ()
    assert islands(EMPTY) == ()
    assert islands(SHEET, box(-5.0, -30.0, 5.0, 20.0)) == ()
    assert islands(Region.of([circle((-9, 0), 5), circle((9, 0), 5)])) == ()  # two pieces let in side by side


def test_pieces_within_holes_and_pieces_cut_off() -> None:
    nested = Region.of(
        c if k % 2 == 0 else c.reversed() for k, c in enumerate(circle((1.0, 2.0), r) for r in (18, 15, 12, 9, 6))
    )
    assert [area(p) for p in islands(nested)] == pytest.approx([63.0 * pi, 36.0 * pi])
    (cut_off,) = islands(SHEET, box(-30.0, -11.0, 30.0, -10.0))
    assert area(cut_off) == pytest.approx(50.0 * 14.0)
    let_in = Region.of([circle((0, 0), 9), circle((0, 0), 6).reversed(), circle((0, 0), 3)])
    assert islands(let_in, disc(0.5)) == ()  # the inner piece is a piece by itself before anything is cut
    assert len(islands(let_in, ring((0, 0), 2.0, 1.0))) == 1


# ------------------------------------------------------------------ bridges
@pytest.mark.parametrize("count", [1, 2, 3])
@pytest.mark.parametrize("name", LETTERS)
def test_nothing_falls_out_and_every_bridge_is_as_wide_as_asked(name: str, count: int) -> None:
    cut = LETTERS[name]
    made = bridged(cut, SHEET, width_mm=1.0, count=count)
    assert islands(SHEET, made) == ()
    assert contains_region(cut, made)
    neck = narrowest(less(SHEET, made))
    assert neck is not None
    assert neck.width_mm == pytest.approx(1.0, abs=1e-6)
    bridges = separated(less(cut, made))
    assert len(bridges) >= count * len(islands(SHEET, cut)) - 1  # two islands may share one
    for bridge in bridges:
        long = area(bridge)  # of width 1
        assert long < 4.1
        for c in bridge:
            sides = sorted((s for s in c.segments() if not s.is_arc), key=lambda s: -s.chord_mm)[:2]
            u, v = ((s.end.x - s.start.x, s.end.y - s.start.y) for s in sides)
            assert abs(u[0] * v[1] - u[1] * v[0]) < 1e-6 * sides[0].chord_mm * sides[1].chord_mm
            assert min(s.chord_mm for s in sides) > 0.9 * long


@pytest.mark.parametrize("count", [1, 2, 3])
@pytest.mark.parametrize(
    ("name", "axes"),
    [
        ("O", (UPRIGHT, LEVEL)),
        ("8", (UPRIGHT, LEVEL)),
        ("@", (LEVEL,)),
        ("ring in ring", (UPRIGHT, LEVEL)),
        ("A", (UPRIGHT,)),
    ],
)
def test_symmetric_letters_stay_symmetric(name: str, axes: tuple[Axis, ...], count: int) -> None:
    made = bridged(LETTERS[name], SHEET, width_mm=0.8, count=count)
    for axis in axes if count > 1 else axes[:1]:
        assert asymmetry(made, axis) < 1e-6


def test_a_turned_letter_is_bridged_along_its_own_axis() -> None:
    made = bridged(turned(EIGHT, 0.3), SHEET, width_mm=1.0, count=2)
    assert asymmetry(made, Axis(UPRIGHT.point, pi / 2.0 + 0.3)) < 1e-6
    straight = bridged(EIGHT, SHEET, width_mm=1.0, count=2)
    assert area(made) == pytest.approx(area(straight), abs=1e-6)


def test_two_islands_share_the_bridge_between_them() -> None:
    """An 8 is held by its waist and below: two bridges, both on its axis."""
    bridges = separated(less(EIGHT, bridged(EIGHT, SHEET, width_mm=1.0)))
    assert len(bridges) == 2
    assert all(abs(bounds(b).centre.x) < 1e-9 for b in bridges)


def test_bridges_take_the_short_way() -> None:
    """A disc less one out of its middle is held over the thin side; each D over its stem, in the middle of it."""
    crescent = less(disc(10.0), disc(6.0, 2.0, 1.0))
    (bridge,) = separated(less(crescent, bridged(crescent, SHEET, width_mm=1.0)))
    assert bounds(bridge).centre == pytest.approx((8.14, 4.07), abs=0.05)
    dee = intersection(
        less(union(box(-8, -10, 0, 10), disc(10.0)), less(union(box(-5, -6, 0, 6), disc(6.0)), box(-30, -30, -5, 30))),
        box(-8, -10, 30, 10),
    )
    (stem,) = separated(less(dee, bridged(dee, SHEET, width_mm=1.0)))
    assert bounds(stem).centre == pytest.approx((-6.5, 0.0), abs=1e-6)


def test_a_bridge_keeps_off_thin_places_of_an_island() -> None:
    """The island is a dumbbell lying down; its bar is nearest to the edge of the cut, and too thin to be held by."""
    island = union(disc(4.0, -9.0), disc(4.0, 9.0), box(-9.0, -0.4, 9.0, 0.4))
    cut = less(Region((rectangle(-16.0, -6.5, 16.0, 6.5, 6.0),)), island, box(-3.0, 1.4, 3.0, 8.0))
    for bridge in separated(less(cut, bridged(cut, SHEET, width_mm=1.2))):
        assert region_distance(bridge, box(-4.9, -0.4, 4.9, 0.4)).distance_mm > 0.1


def test_several_letters_and_a_sheet_cut_in_two() -> None:
    word = union(moved(scaled(O, 0.5), -12.0, -12.0), moved(EIGHT, 8.0, 0.0))
    assert islands(SHEET, bridged(word, SHEET, width_mm=0.8, count=2)) == ()
    parted = union(box(-30.0, -1.0, 30.0, 1.0), moved(O, 0.0, 10.0))
    assert len(islands(SHEET, parted)) == 2
    assert islands(SHEET, bridged(parted, SHEET, width_mm=1.0)) == ()


def test_a_cutter_makes_no_bridge_thinner() -> None:
    made = bridged(EIGHT, SHEET, width_mm=1.0, count=2)
    cut = opening(made, 0.5)
    neck = narrowest(less(SHEET, cut))
    assert neck is not None
    assert neck.width_mm == pytest.approx(1.0, abs=1e-6)
    assert islands(SHEET, cut) == ()


@pytest.mark.parametrize("count", [1, 2])
@pytest.mark.parametrize(
    "name", ["SansMono_amp_4", "SansMono_at_30", "Sans_8_4", "Sans_amp_30", "Serif_8_30", "Serif_at_10"]
)
def test_glyphs_of_fonts(name: str, count: int) -> None:
    glyph = load(f"glyph_{name}")[1]
    b = bounds(glyph)
    high = b.height_mm
    sheet = box(b.xmin - high / 3.0, b.ymin - high / 3.0, b.xmax + high / 3.0, b.ymax + high / 3.0)
    made = bridged(glyph, sheet, width_mm=0.04 * high, count=count)
    assert len(islands(sheet, glyph)) in (1, 2)
    assert islands(sheet, made) == ()
    neck = narrowest(less(sheet, made))
    assert neck is not None
    assert neck.width_mm == pytest.approx(0.04 * high, abs=1e-6)


def test_a_letter_that_is_all_but_symmetric_is_bridged_as_if_it_were() -> None:
    """The 8 of a font is not symmetric to the micrometre; its bridges stand upright on its middle."""
    glyph = load("glyph_Sans_8_4")[1]
    b = bounds(glyph)
    bridges = separated(less(glyph, bridged(glyph, box(b.xmin - 1, b.ymin - 1, b.xmax + 1, b.ymax + 1), width_mm=0.2)))
    assert len(bridges) == 2
    assert all(abs(bounds(p).centre.x - b.centre.x) < 0.05 for p in bridges)
    assert all(bounds(p).width_mm == pytest.approx(0.2, abs=1e-6) for p in bridges)


def test_without_islands_nothing_changes() -> None:
    cut = union(box(-5.0, -5.0, 5.0, 5.0), box(-1.0, -12.0, 1.0, 0.0))
    assert bridged(cut, SHEET, width_mm=1.0) is cut


@pytest.mark.parametrize(("width", "count"), [(0.0, 1), (-1.0, 1), (1.0, 0)])
def test_bridges_of_no_width_are_refused(width: float, count: int) -> None:
    with pytest.raises(GeometryError, match="positive width and count"):
        bridged(O, SHEET, width_mm=width, count=count)


def test_bridges_too_wide_are_refused_with_a_width_that_does() -> None:
    with pytest.raises(GeometryError, match=r"no bridge 12 mm wide reaches .* to at most ([0-9.]+) mm") as caught:
        bridged(O, SHEET, width_mm=12.0)
    assert caught.value.point_mm is not None
    widest = float(str(caught.value).rpartition("at most ")[2].removesuffix(" mm"))
    # half a bridge as wide as the island, 10 mm, lands on nothing at its edges
    assert 9.0 <= widest < 10.0
    assert islands(SHEET, bridged(O, SHEET, width_mm=widest)) == ()
    with pytest.raises(GeometryError, match="no bridge"):
        bridged(O, SHEET, width_mm=widest + 0.1)


@pytest.mark.parametrize("width", [0.2, 0.4, 1.0, 2.0])
@pytest.mark.parametrize("count", [1, 2])
def test_a_letter_within_a_ring_does_not_hold_what_holds_it(width: float, count: int) -> None:
    """What lies within an island hangs on it: a short way over the letter inside is none for the island itself."""
    within = union(ring((0, 0), 20, 16), less(box(-6.0, -12.0, 6.0, 13.0), box(-3.5, 5.0, 3.5, 12.0)))
    made = bridged(within, SHEET, width_mm=width, count=count)
    assert islands(SHEET, made) == ()
    assert len(islands(SHEET, within)) == 2


def test_what_no_bridge_reaches_is_told_with_its_size() -> None:
    with pytest.raises(GeometryError, match=r"piece of 0\.50 x 0\.50 mm at .* nor one of .* twice as large"):
        bridged(less(disc(8.0), box(-0.25, -0.25, 0.25, 0.25)), SHEET, width_mm=12.0)


@settings(derandomize=True, deadline=None, max_examples=25)
@given(
    outer=st.floats(6.0, 18.0),
    share=st.floats(0.3, 0.85),
    aside=st.floats(0.0, 0.9),
    angle=st.floats(0.0, 2.0 * pi),
    width=st.floats(0.2, 1.2),
    count=st.integers(1, 3),
)
def test_random_rings(outer: float, share: float, aside: float, angle: float, width: float, count: int) -> None:
    inner = share * outer
    off = aside * (outer - inner - 0.3)
    cut = turned(less(disc(outer), disc(inner, off)), angle)
    made = bridged(cut, SHEET, width_mm=width, count=count)
    assert islands(SHEET, made) == ()
    assert len(separated(less(cut, made))) >= count
    neck = narrowest(less(SHEET, made))
    assert neck is not None
    assert neck.width_mm == pytest.approx(width, abs=1e-6)
    main = Axis(UPRIGHT.point, angle)
    if off > 0.1:
        assert asymmetry(made, main) < 1e-5
    assert np.isclose(area(cut) - area(made), sum(area(b) for b in separated(less(cut, made))), atol=1e-6)
