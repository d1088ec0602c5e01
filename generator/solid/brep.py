"""Vertices, edges and faces of the solid kernel, each made once and shared, so that nothing needs to be sewn.

Every edge is made in one direction: lines from the smaller corner number up, arcs counter-clockwise, with the angle
about the centre as the parameter of circles. Wires are given in the direction that is counter-clockwise seen from
outside the solid.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, pi, sin

from OCP.BRep import BRep_Builder, BRep_Tool
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
from OCP.BRepLib import BRepLib
from OCP.Geom import Geom_Circle, Geom_Curve, Geom_Surface
from OCP.Geom2d import Geom2d_Line
from OCP.gp import gp_Ax2, gp_Ax3, gp_Dir, gp_Dir2d, gp_Pnt, gp_Pnt2d, gp_Vec, gp_Vec2d
from OCP.ShapeFix import ShapeFix_Edge
from OCP.TopAbs import TopAbs_Orientation
from OCP.TopExp import TopExp
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face, TopoDS_Vertex, TopoDS_Wire

from generator.base.errors import GeometryError
from generator.outline.carrier import Circle
from generator.part.runs import Plane, Run, turned_into

KERNEL_MM = 1e-7
"""The kernel's own confusion distance (Precision::Confusion)."""

UP = gp_Dir(0.0, 0.0, 1.0)
EAST = gp_Dir(1.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, eq=False)
class Edge:
    """An edge with what its faces need to know; equal only to itself.

    Attributes:
        shape: the kernel's edge, forward.
        circle: its circle if it is a horizontal arc.
        first, last: range of its parameter; angles about the centre for an arc.
    """

    shape: TopoDS_Edge
    circle: Circle | None
    first: float
    last: float


@dataclass(frozen=True, slots=True)
class Coedge:
    """An edge as a wire uses it: forward, or against its own direction."""

    edge: Edge
    forward: bool

    @property
    def shape(self) -> TopoDS_Edge:
        """Return the oriented kernel edge."""
        return self.edge.shape if self.forward else self.edge.shape.Reversed()


@dataclass(frozen=True, slots=True, eq=False)
class Patch:
    """A face with its edges, which tell what it is joined to."""

    shape: TopoDS_Face
    edges: tuple[Edge, ...]


class Shop:
    """Makes the topology of one part and keeps it for sharing."""

    def __init__(self, plane: Plane) -> None:
        self.plane = plane
        self.builder = BRep_Builder()
        self.here = TopLoc_Location()
        self._vertices: dict[tuple[int, float], TopoDS_Vertex] = {}
        self._flat: dict[tuple[object, float], Edge] = {}
        self._upright: dict[tuple[object, ...], Edge] = {}

    def vertex(self, corner: int, z_mm: float) -> TopoDS_Vertex:
        """Return the vertex above a corner."""
        found = self._vertices.get((corner, z_mm))
        if found is None:
            found = TopoDS_Vertex()
            p = self.plane.corners[corner]
            reach = max(KERNEL_MM, 2.0 * self.plane.reach.get(corner, 0.0))
            self.builder.MakeVertex(found, gp_Pnt(p.x, p.y, z_mm), reach)
            self._vertices[corner, z_mm] = found
        return found

    def flat(self, run: Run, twin: int, z_mm: float) -> Coedge:
        """Return the horizontal edge of a run at a height, in the run's direction."""
        key = ((run.edge_key, twin), z_mm)
        forward = run.sweep > 0.0 if run.circle is not None else run.start < run.end
        edge = self._flat.get(key)
        if edge is None:
            edge = self._make_flat(run if forward else run.reversed(), z_mm)
            self._flat[key] = edge
        return Coedge(edge, forward)

    def _make_flat(self, run: Run, z_mm: float) -> Edge:
        if run.circle is None:
            edge = self.straight(self.vertex(run.start, z_mm), self.vertex(run.end, z_mm), self._distance(run))
            self.loosen(edge, max(self.plane.off.get(run.start, 0.0), self.plane.off.get(run.end, 0.0)))
            return edge
        (cx, cy), r = run.circle
        first = turned_into(run.angle, 0.0)
        last = first + run.sweep
        start, end = self.vertex(run.start, z_mm), self.vertex(run.end, z_mm)
        for corner, angle, vertex in ((run.start, first, start), (run.end, last, end)):
            p = self.plane.corners[corner]
            self._reach(vertex, ((p.x - cx - r * cos(angle)) ** 2 + (p.y - cy - r * sin(angle)) ** 2) ** 0.5)
        circle = Geom_Circle(gp_Ax2(gp_Pnt(cx, cy, z_mm), UP, EAST), r)
        return Edge(self._edge(circle, start, end, first, last), run.circle, first, last)

    def _edge(
        self, curve: Geom_Curve, start: TopoDS_Vertex, end: TopoDS_Vertex, first: float, last: float
    ) -> TopoDS_Edge:
        """Return the edge of a curve between two vertices; the parameters are kept as they are."""
        edge = TopoDS_Edge()
        self.builder.MakeEdge(edge, curve, KERNEL_MM)
        self.builder.Add(edge, start.Oriented(TopAbs_Orientation.TopAbs_FORWARD))
        self.builder.Add(edge, end.Oriented(TopAbs_Orientation.TopAbs_REVERSED))
        self.builder.Range(edge, first, last)
        return edge

    def _reach(self, vertex: TopoDS_Vertex, off_mm: float) -> None:
        """Let the vertex's tolerance cover an arc that ends a little off it."""
        if off_mm > KERNEL_MM * 0.5:
            self.builder.UpdateVertex(vertex, 2.0 * off_mm)

    def _distance(self, run: Run) -> float:
        return self.plane.length(run)

    def straight(self, start: TopoDS_Vertex, end: TopoDS_Vertex, length_mm: float) -> Edge:
        """Return a straight edge between two vertices, its parameter running from 0 to its length."""
        made = BRepBuilderAPI_MakeEdge(start, end)
        if not made.IsDone():
            raise GeometryError(f"the kernel makes no straight edge of {length_mm:g} mm ({made.Error()})")
        return Edge(made.Edge(), None, 0.0, length_mm)

    def loosen(self, edge: Edge, off_mm: float) -> None:
        """Let the tolerance of an edge and its vertices cover that it lies off its faces."""
        if off_mm > KERNEL_MM * 0.5:
            self.builder.UpdateEdge(edge.shape, 2.0 * off_mm)
            for vertex in (TopExp.FirstVertex_s(edge.shape), TopExp.LastVertex_s(edge.shape)):
                self._reach(vertex, off_mm)

    def curved(
        self, curve: Geom_Curve, ends: tuple[TopoDS_Vertex, TopoDS_Vertex], span: tuple[float, float], off_mm: float
    ) -> Edge:
        """Return an edge along any curve; ``off_mm`` says how far its ends lie off the curve."""
        for vertex in ends:
            self._reach(vertex, off_mm)
        return Edge(self._edge(curve, *ends, *span), None, *span)

    def project(self, edge: Edge, surface: Geom_Surface, u_near: float) -> None:
        """Give an edge that is not straight in a surface's parameters its path there.

        The path's middle comes to lie within half a turn of the first parameter's value ``u_near``.
        """
        fix = ShapeFix_Edge()
        if not fix.FixAddPCurve(edge.shape, surface, self.here, False, KERNEL_MM):
            raise GeometryError("the kernel finds no path of a conic edge on its cone")
        path = BRep_Tool.CurveOnSurface_s(edge.shape, surface, self.here, edge.first, edge.last)
        u = path.Value((edge.first + edge.last) / 2.0).X()
        turns = turned_into(u, u_near - pi) - u
        if turns:
            path = path.Copy()
            path.Translate(gp_Vec2d(turns, 0.0))
            self.builder.UpdateEdge(edge.shape, path, surface, self.here, KERNEL_MM)
        BRepLib.SameParameter_s(edge.shape, KERNEL_MM)

    def upright(self, key: tuple[object, ...], corner: int, z_from_mm: float, z_to_mm: float) -> Edge:
        """Return the vertical edge above a corner; ``key`` tells edges at one place apart."""
        edge = self._upright.get(key)
        if edge is None:
            edge = self.straight(self.vertex(corner, z_from_mm), self.vertex(corner, z_to_mm), z_to_mm - z_from_mm)
            self._upright[key] = edge
        return edge

    def face(self, surface: Geom_Surface, rings: Sequence[Sequence[Coedge]], *, outward: bool) -> Patch:
        """Return the face of a surface within rings that are counter-clockwise seen from outside the solid.

        Args:
            surface: the whole surface.
            rings: the outer ring first, then holes (clockwise).
            outward: whether the surface's normal leaves the solid.
        """
        face = TopoDS_Face()
        self.builder.MakeFace(face, surface, KERNEL_MM)
        for ring in rings:
            wire = self._wire(ring)
            self.builder.Add(face, wire if outward else wire.Reversed())
        return Patch(face if outward else face.Reversed(), tuple(c.edge for ring in rings for c in ring))

    def _wire(self, coedges: Sequence[Coedge]) -> TopoDS_Wire:
        wire = TopoDS_Wire()
        self.builder.MakeWire(wire)
        for coedge in coedges:
            self.builder.Add(wire, coedge.shape)
        wire.Closed(True)
        return wire

    def trace(self, edge: Edge, surface: Geom_Surface, at: tuple[float, float], way: tuple[float, float]) -> None:
        """Tell an edge its straight path in a surface's parameters: the point of parameter 0 and the direction."""
        line = Geom2d_Line(gp_Pnt2d(*at), gp_Dir2d(*way))
        self.builder.UpdateEdge(edge.shape, line, surface, self.here, KERNEL_MM)

    def trace_flat(self, edge: Edge, patch: Patch) -> None:
        """Tell an edge its path in a plane: not needed, but checks and integrals would find it again every time."""
        BRepLib.BuildPCurveForEdgeOnPlane_s(edge.shape, TopoDS.Face_s(patch.shape))

    def trace_seam(
        self, edge: Edge, surface: Geom_Surface, right: tuple[float, float], left: tuple[float, float], up: float
    ) -> None:
        """The same for a seam, which runs along both borders of the surface: where it is forward, where reversed."""
        way = gp_Dir2d(0.0, up)
        first, second = Geom2d_Line(gp_Pnt2d(*right), way), Geom2d_Line(gp_Pnt2d(*left), way)
        self.builder.UpdateEdge(edge.shape, first, second, surface, self.here, KERNEL_MM)

    def point_edge(
        self,
        corner: int,
        z_mm: float,
        surface: Geom_Surface,
        at: tuple[float, float],
        way: float,
        first: float,
        last: float,
    ) -> Edge:
        """Return an edge without length at a cone's tip: the point of parameter 0, +1 or -1, and its range."""
        edge = TopoDS_Edge()
        self.builder.MakeEdge(edge)
        line = Geom2d_Line(gp_Pnt2d(*at), gp_Dir2d(way, 0.0))
        self.builder.UpdateEdge(edge, line, surface, self.here, KERNEL_MM)
        vertex = self.vertex(corner, z_mm)
        self.builder.Add(edge, vertex.Oriented(TopAbs_Orientation.TopAbs_FORWARD))
        self.builder.Add(edge, vertex.Oriented(TopAbs_Orientation.TopAbs_REVERSED))
        self.builder.Range(edge, surface, self.here, first, last)
        self.builder.Degenerated(edge, True)
        return Edge(edge, None, first, last)


def is_kernel_error(error: Exception) -> bool:
    """Return True if the kernel threw it (its exceptions share no Python class), or its binding did."""
    return type(error) is RuntimeError or type(error).__module__.split(".")[0] == "OCP"


def frame(x: float, y: float, z: float, normal: tuple[float, float, float] = (0.0, 0.0, 1.0)) -> gp_Ax3:
    """Return a frame at a point with the given main direction; +x is its first axis where the main one is vertical."""
    main = gp_Dir(*normal)
    if normal[0] == 0.0 and normal[1] == 0.0:
        return gp_Ax3(gp_Pnt(x, y, z), main, EAST)
    across = gp_Vec(0.0, 0.0, 1.0).Crossed(gp_Vec(main))
    return gp_Ax3(gp_Pnt(x, y, z), main, gp_Dir(across))
