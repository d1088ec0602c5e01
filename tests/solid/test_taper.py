"""Tapered walls: chamfers and countersinks in closed form, corners of every kind, outlines whose corners vanish."""

from __future__ import annotations

import json
from math import atan2, pi, sqrt, tan
from pathlib import Path

import pytest
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.GeomAbs import GeomAbs_CurveType as Curve
from OCP.GeomAbs import GeomAbs_SurfaceType as Surface
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp
from OCP.TopoDS import TopoDS, TopoDS_Shape
from OCP.TopTools import TopTools_IndexedMapOfShape
from solid_bodies import (
    QUARTER,
    cone,
    counts,
    disc,
    frustum,
    hole,
    rect,
    rounded,
    straight,
    tapered,
)

from generator.base.errors import GeometryError
from generator.outline.contour import Contour
from generator.outline.create import rectangle
from generator.outline.measure import area, bounds
from generator.outline.offset import offset_region
from generator.outline.region import Region
from generator.part.part import Slab, Wall
from generator.solid.assemble import make_solid
from generator.solid.facts import is_closed, is_valid, volume_mm3

DATA = Path(__file__).parents[1] / "data" / "outlines"


def made(*slabs: Slab, volume: float, rel: float = 1e-9) -> TopoDS_Shape:
    solid = make_solid(slabs)
    assert is_valid(solid)
    assert is_closed(solid)
    assert volume_mm3(solid) == pytest.approx(volume, rel=rel)
    return solid


def surfaces(solid: TopoDS_Shape) -> list[Surface]:
    found = TopTools_IndexedMapOfShape()
    TopExp.MapShapes_s(solid, TopAbs_ShapeEnum.TopAbs_FACE, found)
    return [BRepAdaptor_Surface(TopoDS.Face_s(found.FindKey(i + 1))).GetType() for i in range(found.Extent())]


def curves(solid: TopoDS_Shape) -> set[Curve]:
    found = TopTools_IndexedMapOfShape()
    TopExp.MapShapes_s(solid, TopAbs_ShapeEnum.TopAbs_EDGE, found)
    edges = [TopoDS.Edge_s(found.FindKey(i + 1)) for i in range(found.Extent())]
    return {BRepAdaptor_Curve(e).GetType() for e in edges}


def test_chamfered_block() -> None:
    low, high = rect(0, 0, 90, 62), rect(0.5, 0.5, 89.5, 61.5)
    solid = made(
        straight(0, 7.5, low),
        tapered(7.5, 8, [(low, high)]),
        volume=90 * 62 * 7.5 + frustum(90 * 62, 304, 4, 0.5, 0.5),
        rel=1e-14,
    )
    assert counts(solid) == (10, 20, 12)


@pytest.mark.parametrize("radius", [5.0, 0.5, 0.3])
def test_chamfer_of_rounded_corners_wider_and_narrower_than_the_chamfer(radius: float) -> None:
    """Corners smaller than the chamfer end in a point, and the planes beside them meet from there on."""
    low = rounded(0, 0, 90, 62, radius)
    high = rounded(0.5, 0.5, 89.5, 61.5, radius - 0.5) if radius > 0.5 else rect(0.5, 0.5, 89.5, 61.5)
    a, length = 90 * 62 - (4 - pi) * radius**2, 304 - (8 - 2 * pi) * radius
    if radius >= 0.5:
        volume = frustum(a, length, pi, 0.5, 0.5)
    else:
        at, rest = radius, 0.5 - radius
        inner, around = (90 - 2 * at) * (62 - 2 * at), 304 - 8 * at
        volume = frustum(a, length, pi, at, at) + frustum(inner, around, 4, rest, rest)
    solid = made(tapered(0, 0.5, [(low, high)]), volume=volume, rel=1e-12)
    assert surfaces(solid).count(Surface.GeomAbs_Cone) == 4
    assert curves(solid) <= {Curve.GeomAbs_Line, Curve.GeomAbs_Circle, Curve.GeomAbs_OtherCurve}


@pytest.mark.parametrize("upwards", [True, False])
def test_countersink(upwards: bool) -> None:
    plate = rect(0, 0, 20, 20)
    narrow, wide = hole(10, 10, 3), hole(10, 10, 6)
    sink = [(plate, plate), (narrow, wide) if upwards else (wide, narrow)]
    stack = [tapered(0, 3, sink), straight(3, 8, plate, narrow)]
    if upwards:
        stack = [straight(0, 5, plate, narrow), tapered(5, 8, sink)]
    solid = made(*stack, volume=3200 - 5 * pi * 9 - cone(3, 6, 3), rel=1e-13)
    assert counts(solid) == (8, 17, 11)  # block 6, hole, countersink


@pytest.mark.parametrize(("r0", "r1"), [(4.0, 7.0), (7.0, 4.0)])
def test_truncated_cone(r0: float, r1: float) -> None:
    solid = made(tapered(1, 3, [(disc(5, 5, r0), disc(5, 5, r1))]), volume=cone(r0, r1, 2), rel=1e-13)
    assert counts(solid) == (3, 3, 2)


L_SHAPE = Contour.of([(0, 0), (40, 0), (40, 20), (20, 20), (20, 40), (0, 40)])


def test_inner_corner_gains_a_cone() -> None:
    shrunk = Contour.of([(1, 1), (39, 1), (39, 19), (20, 19, -QUARTER), (19, 20), (19, 39), (1, 39)])
    # five mitred corners take 1 each off the loss; the inner one, an arc, adds the quarter turn's half
    solid = made(tapered(0, 1, [(L_SHAPE, shrunk)]), volume=frustum(1200, 160, 5 - pi / 4, 1, 1), rel=1e-13)
    assert surfaces(solid).count(Surface.GeomAbs_Cone) == 1


def test_wall_that_grows_gains_cones_at_outer_corners() -> None:
    q = QUARTER
    grown = Contour.of(
        [
            (0, -1), (40, -1, q), (41, 0), (41, 20, q), (40, 21), (21, 21),
            (21, 40, q), (20, 41), (0, 41, q), (-1, 40), (-1, 0, q),
        ]
    )  # fmt: skip
    made(tapered(0, 1, [(L_SHAPE, grown)]), volume=1200 + 160 / 2 + (5 * pi / 4 - 1) / 3, rel=1e-13)


def d_shape(y: float, r: float) -> Contour:
    """A disc of radius r cut off at height y below its centre."""
    x = sqrt(r * r - y * y)
    half = pi / 2 - atan2(y, x)
    return Contour.of([(-x, y), (x, y, tan(half / 4)), (0, r, tan(half / 4))])


def lens(r: float, c: float) -> Contour:
    y = sqrt(r * r - c * c)
    return Contour.of([(0, -y, tan(atan2(y, c) / 2)), (0, y, tan(atan2(y, c) / 2))])


def simpson(low: float, high: float, section, pieces: int = 200) -> float:
    """Integrate areas of sections over the height, independently of the kernel."""
    step = (high - low) / (2 * pieces)
    values = [area(section(low + k * step)) for k in range(2 * pieces + 1)]
    return step / 3 * (values[0] + values[-1] + 4 * sum(values[1:-1:2]) + 2 * sum(values[2:-1:2]))


def test_line_meets_arc_in_a_parabola() -> None:
    volume = simpson(0, 1, lambda t: d_shape(-3 + t, 10 - t))
    solid = made(tapered(0, 1, [(d_shape(-3, 10), d_shape(-2, 9))]), volume=volume, rel=1e-9)
    assert Curve.GeomAbs_Parabola in curves(solid)
    assert Curve.GeomAbs_BSplineCurve not in curves(solid)
    plate = rect(-20, -20, 20, 20)
    pocket = (d_shape(-3, 10).reversed(), d_shape(-2, 9).reversed())
    made(tapered(0, 1, [(plate, plate), pocket]), volume=1600 - volume, rel=1e-9)


@pytest.mark.parametrize("height", [1.0, 0.4, 2.0])
def test_arcs_that_meet_at_a_corner(height: float) -> None:
    """Equal shrinking arcs meet in a hyperbola, whatever the slope."""
    volume = height * simpson(0, 1, lambda t: lens(10 - t, 6))
    solid = made(tapered(0, height, [(lens(10, 6), lens(9, 6))]), volume=volume, rel=1e-9)
    assert Curve.GeomAbs_Hyperbola in curves(solid)


def outline(name: str) -> Region:
    data = json.loads((DATA / f"{name}.json").read_text(encoding="utf-8"))
    return Region.of(Contour.of(c) for r in data["regions"] for c in (r["outer"], *r["holes"]))


def nearness(a: Contour, b: Contour) -> float:
    """Return how far the boxes of two contours differ."""
    return sum(abs(p - q) for p, q in zip(bounds(a), bounds(b), strict=True))


HARD = (
    "bracket_a", "ellipse_a", "exactradii_a", "flat_a", "glyph_SansMono_amp_4", "glyph_Sans_8_4", "glyph_Sans_amp_30",
    "islands_a", "kidney_a", "link_a", "neartangent_a", "star_a", "superellipse_a", "tangentarcs_a", "tiny_a",
    "waist_a",
)  # fmt: skip


@pytest.mark.parametrize("name", HARD)
@pytest.mark.parametrize("by", [-0.05, -0.5, 0.3, 1.0])
def test_hard_outlines_shrink_and_grow(name: str, by: float) -> None:
    """Valid and as big as the sections say, or refused with a reason; never wrong."""
    region = outline(name)
    steps = [offset_region(region, by * k / 16) if k else region for k in range(17)]
    if len(steps[-1]) != len(region):
        pytest.skip("contours merge, split or vanish: refused before a solid is asked for")
    left = list(steps[-1])
    pairs = [(c, left.pop(min(range(len(left)), key=lambda k: nearness(c, left[k])))) for c in region]
    areas = [area(s) for s in steps]
    h = abs(by)
    volume = h / 48 * (areas[0] + areas[-1] + 4 * sum(areas[1:-1:2]) + 2 * sum(areas[2:-1:2]))
    made(tapered(0, h, pairs), volume=volume, rel=2e-6)


def test_slot_that_closes_up_is_refused_by_name_and_place() -> None:
    slot = Contour.of([(0, 0), (20, 0), (20, 20), (10.2, 20), (10.2, 5), (9.8, 5), (9.8, 20), (0, 20)])
    closed = offset_region(Region((slot,)), 0.5).contours[0]
    with pytest.raises(GeometryError, match=r"cover: a tapered wall .*") as caught:
        make_solid([tapered(0, 0.5, [(slot, closed)])], feature="cover")
    assert caught.value.contour == "cover"
    assert caught.value.point_mm is not None


def test_circles_about_two_axes_are_refused() -> None:
    with pytest.raises(GeometryError, match="not about one axis"):
        make_solid([tapered(0, 1, [(disc(0, 0, 5), disc(0.1, 0, 4))])])


def test_upper_contour_that_is_no_offset_is_refused() -> None:
    with pytest.raises(GeometryError, match="tapered wall"):
        make_solid([tapered(0, 1, [(rect(0, 0, 20, 20), rect(1, 1, 18, 19))])])


def test_wall_that_tapers_to_nothing_is_refused() -> None:
    dot = Contour.of([(5, 5), (5, 5)])
    with pytest.raises(GeometryError, match="tapers to nothing"):
        make_solid([tapered(0, 1, [(rect(0, 0, 10, 10), dot)])])


def test_rounding_that_vanishes_within_a_chamfer_cut_in_two_by_another_level() -> None:
    """Merging the faces of such a solid once crashed the kernel, and the process with it."""
    rounding, pocket = 0.3, rectangle(-3.0, -2.0, 3.0, 2.0)
    profile = Region.of([rectangle(-20.0, -10.0, 20.0, 10.0, rounding)])
    heights = (0.0, 6.0, 7.0, 8.0)
    sections = [profile, profile, offset_region(profile, -1.0), offset_region(profile, -2.0)]
    slabs = []
    for low, high, a, b in zip(heights, heights[1:], sections, sections[1:], strict=False):
        walls = [Wall(a.contours[0], b.contours[0])]
        if high > 7.0:
            walls.append(Wall(pocket.reversed(), pocket.reversed()))
        slabs.append(Slab(low, high, tuple(walls)))
    solid = make_solid(slabs)
    assert is_valid(solid)
    assert is_closed(solid)
