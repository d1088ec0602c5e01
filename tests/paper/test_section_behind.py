"""What is seen behind a section: closed forms of simple bodies, and hidden lines removed from the solid."""

from __future__ import annotations

from itertools import pairwise
from math import hypot

import numpy as np
import pytest
from drawing_recipes import DEMO, demo
from part_samples import plate, round_hole, taken

from generator.outline.create import rectangle
from generator.outline.region import Region
from generator.paper.collisions import track_points
from generator.paper.drawing.behind import edges_behind
from generator.paper.drawing.cone_cuts import cone_heights
from generator.paper.drawing.section import Plane, cut_region
from generator.paper.sheet import Track
from generator.part.part import Feature, Part
from generator.part.relation import box_of
from generator.part.slabs import slabs

REACH = (-45.0, 45.0)
POCKET = Region((rectangle(20.0, -10.0, 30.0, 10.0),))


def lines(part: Part, plane: Plane) -> list[tuple[float, float, float, float]]:
    """The edges behind a plane as x, z, x, z, tenths of a millimetre, from the left."""
    out = []
    for t in edges_behind(slabs(part), plane, REACH):
        a, b = sorted(((t.vertices[0].x, t.vertices[0].y), (t.vertices[-1].x, t.vertices[-1].y)))
        out.append(tuple(round(v, 1) + 0.0 for v in (*a, *b)))
    return sorted(out)


def countersunk(*others: Feature) -> Part:
    """A hole of 6 mm with a countersink of 90 degrees to 12 mm in a plate of 8 mm."""
    hole = taken(round_hole(3.0), 0.0, 8.0, name="hole")
    cone = taken(round_hole(3.0), 5.0, 8.0, flare=3.0, name="cone")
    return plate(hole, cone, *others)


def test_behind_a_countersink_is_the_circle_where_its_cone_begins_and_those_of_the_faces():
    found = [v for v in lines(countersunk(), Plane.at("x", 0.0)) if hypot(v[0] - v[2], v[1] - v[3]) < 20.0]
    assert found == [(-6.0, 8.0, 6.0, 8.0), (-3.0, 0.0, 3.0, 0.0), (-3.0, 5.0, 3.0, 5.0)]


def test_the_depth_of_something_else_draws_no_line_in_a_cone():
    alone = lines(countersunk(), Plane.at("x", 0.0))
    pockets = [taken(POCKET, z, 8.0, name=f"p{z}") for z in (7.2,)]
    beside = lines(countersunk(*pockets), Plane.at("x", 0.0))
    assert [v for v in beside if v[2] < 10.0] == [v for v in alone if v[2] < 10.0]


def test_the_broken_rim_behind_a_section_is_two_level_lines_and_two_slopes():
    """A disc of radius 30 cut 18 mm from its middle: its silhouette stands at 30, that of its upper face at 29."""
    disc = plate(profile=Region((round_hole(30.0).contours[0],)), rim=1.0)
    found = lines(disc, Plane.at("x", -18.0))
    assert (-30.0, 7.0, -29.0, 8.0) in found
    assert (29.0, 8.0, 30.0, 7.0) in found
    assert (-30.0, 0.0, -30.0, 7.0) in found
    assert any(v[1] == v[3] == 7.0 and v[0] == -30.0 and v[2] == pytest.approx(-24.0, abs=0.3) for v in found)


# ------------------------------------------------------------------ against the solid
STEP_MM = 0.05
NEAR_MM = 0.12
"""Hidden lines are removed from exact edges, ours are made of facets of a thousandth of their radius."""


def hidden_lines_removed(part: Part, plane: Plane) -> np.ndarray:
    """Points of the edges and outlines that the solid kernel sees of the part beyond a plane, x along it, y up.

    The part is cut with a half space; what the kernel calls smooth edges (tangent faces meeting) is left out.
    """
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
    from OCP.BRepLib import BRepLib
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
    from OCP.HLRAlgo import HLRAlgo_Projector
    from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape
    from OCP.ShapeUpgrade import ShapeUpgrade_UnifySameDomain

    from generator.solid.kernel_solids import part_solid

    (run,) = plane.runs
    far = 1e3
    low, high = (
        (gp_Pnt(-far, run.level, -far), gp_Pnt(far, far, far))
        if plane.along == "x"
        else (gp_Pnt(-far, -far, -far), gp_Pnt(run.level, far, far))
    )
    half = BRepAlgoAPI_Common(part_solid(part), BRepPrimAPI_MakeBox(low, high).Shape()).Shape()
    whole = ShapeUpgrade_UnifySameDomain(half, True, True, False)  # a slab ends within a face
    whole.Build()
    half = whole.Shape()
    BRepLib.EncodeRegularity_s(half, 1e-3)
    toward, along = (gp_Dir(0, -1, 0), gp_Dir(1, 0, 0)) if plane.along == "x" else (gp_Dir(1, 0, 0), gp_Dir(0, 1, 0))
    algo = HLRBRep_Algo()
    algo.Add(half)
    algo.Projector(HLRAlgo_Projector(gp_Ax2(gp_Pnt(0, 0, 0), toward, along)))
    algo.Update()
    algo.Hide()
    shapes = HLRBRep_HLRToShape(algo)
    found = [s for s in (shapes.VCompound(), shapes.OutLineVCompound()) if s is not None and not s.IsNull()]
    return np.vstack([sampled(s) for s in found])


def sampled(shape: object) -> np.ndarray:
    """Points close by along all edges of a shape."""
    from OCP.BRepAdaptor import BRepAdaptor_Curve
    from OCP.BRepLib import BRepLib
    from OCP.GCPnts import GCPnts_UniformAbscissa
    from OCP.TopAbs import TopAbs_EDGE
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS

    BRepLib.BuildCurves3d_s(shape)
    out = []
    edges = TopExp_Explorer(shape, TopAbs_EDGE)
    while edges.More():
        curve = BRepAdaptor_Curve(TopoDS.Edge_s(edges.Current()))
        at = GCPnts_UniformAbscissa(curve, STEP_MM, 1e-3)
        if at.IsDone():
            out += [(p.X(), p.Y()) for k in range(at.NbPoints()) for p in [curve.Value(at.Parameter(k + 1))]]
        edges.Next()
    return np.array(out)


def drawn_points(tracks: list[Track]) -> np.ndarray:
    out = []
    for t in tracks:
        p = track_points(t)
        for a, b in pairwise(p):
            count = max(2, int(np.hypot(*(b - a)) / STEP_MM) + 1)
            out.append(a + np.linspace(0.0, 1.0, count)[:, None] * (b - a))
    return np.vstack(out)


def far_from(points: np.ndarray, others: np.ndarray) -> np.ndarray:
    """The points that no other is near."""
    from scipy.spatial import cKDTree

    return points[cKDTree(others).query(points)[0] > NEAR_MM]


def tracks_of_section(part: Part, plane: Plane) -> list[Track]:
    box = box_of(part.profile)
    reach = (box.xmin, box.xmax) if plane.along == "x" else (box.ymin, box.ymax)
    made = slabs(part, also=cone_heights(part, plane))
    return [*(Track(c.vertices, True) for c in cut_region(made, plane)), *edges_behind(made, plane, reach)]


@pytest.mark.slow
@pytest.mark.parametrize("path", DEMO, ids=lambda p: p.stem)
def test_sections_show_what_another_sees_of_the_cut_solid(path):
    """Planes through bolts, beside them, and anywhere; a jump of less than 0.2 mm may be left out."""
    _, plan = demo(path)
    part, box, first = plan.cover, box_of(plan.cover.profile), plan.bolts[0].at
    planes = [
        *(Plane.at("x", y) for y in (first.y, first.y + 0.9, box.ymin + 0.37 * box.height_mm)),
        *(Plane.at("y", x) for x in (first.x, first.x - 2.2, box.xmin + 0.37 * box.width_mm)),
    ]
    for plane in planes:
        theirs, ours = hidden_lines_removed(part, plane), drawn_points(tracks_of_section(part, plane))
        assert len(far_from(ours, theirs)) == 0, plane
        assert len(far_from(theirs, ours)) <= 0.003 * len(theirs), plane


@pytest.mark.parametrize("off", [1.0, 2.9, 4.0, 5.9])
def test_a_countersink_beside_its_axis_is_cut_in_a_hyperbola(off):
    """At the height z over the tip of the cone its radius is z: the half chord is the root of z² less ``off``²."""
    part, plane = countersunk(), Plane.at("x", off)
    drawn = drawn_points(
        [Track(c.vertices, True) for c in cut_region(slabs(part, also=cone_heights(part, plane)), plane)]
    )
    cone = drawn[(np.abs(drawn[:, 0]) < 6.0) & (drawn[:, 1] > 5.01) & (drawn[:, 1] < 7.99)]
    assert len(cone) > 10
    radius = 3.0 + cone[:, 1] - 5.0
    assert np.abs(np.hypot(cone[:, 0], off) - radius).max() < 0.06
