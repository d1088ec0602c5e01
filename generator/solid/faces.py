"""Faces that are flat or upright: floors and tops from a level's rings, walls from straight runs."""

from __future__ import annotations

from collections.abc import Sequence
from math import pi

from OCP.Geom import Geom_CylindricalSurface, Geom_Plane

from generator.part.runs import TURN, Run, turned_into
from generator.solid.brep import Coedge, Edge, Patch, Shop, frame
from generator.solid.level import FlatFace, Ring


def flat_face(face: FlatFace, z_mm: float, shop: Shop) -> Patch:
    """Return a horizontal face; a top looks up, a bottom down."""
    surface = Geom_Plane(frame(0.0, 0.0, z_mm, (0.0, 0.0, 1.0 if face.is_top else -1.0)))
    rings = []
    for ring in face.rings:
        coedges = [shop.flat(p.run, p.twin, z_mm) for p in ring]
        if not face.is_top:
            coedges = [Coedge(c.edge, not c.forward) for c in reversed(coedges)]
        rings.append(coedges)
    patch = shop.face(surface, rings, outward=True)
    for edge in patch.edges:
        shop.trace_flat(edge, patch)
    return patch


def wall_face(
    run: Run, z_from_mm: float, z_to_mm: float, bottom: Ring, top: Ring, sides: tuple[Edge, Edge], shop: Shop
) -> Patch:
    """Return the upright face above a run.

    Args:
        run: where it stands; material to its left.
        z_from_mm: its lower height.
        z_to_mm: its upper height.
        bottom: the pieces of its lower edge in the run's direction.
        top: the pieces of its upper edge in the run's direction.
        sides: the vertical edges at the run's start and end.
        shop: makes and shares the topology.
    """
    low = [shop.flat(p.run, p.twin, z_from_mm) for p in bottom]
    high = [shop.flat(p.run, p.twin, z_to_mm) for p in top]
    start, end = sides
    back = [Coedge(c.edge, not c.forward) for c in reversed(high)]
    ring = [*low, Coedge(end, True), *back, Coedge(start, False)]
    if run.circle is None:
        p, u = shop.plane.corners[run.start], shop.plane.heading(run, 0.0)
        return shop.face(Geom_Plane(frame(p.x, p.y, z_from_mm, (u.y, -u.x, 0.0))), [ring], outward=True)
    (cx, cy), r = run.circle
    surface = Geom_CylindricalSurface(frame(cx, cy, z_from_mm), r)
    face = shop.face(surface, [ring], outward=run.sweep > 0.0)
    _trace_arcs(run, low, surface, 0.0, shop)
    _trace_arcs(run, high, surface, z_to_mm - z_from_mm, shop)
    _trace_sides(run, sides, surface, shop)
    return face


def _trace_arcs(run: Run, coedges: Sequence[Coedge], surface: Geom_CylindricalSurface, v: float, shop: Shop) -> None:
    for coedge in coedges:
        turn = arc_turn(run, coedge.edge)
        shop.trace(coedge.edge, surface, (turn, v), (1.0, 0.0))


def arc_turn(run: Run, edge: Edge) -> float:
    """Return the whole turns, radians, that bring the edge's angles into the range of the run's."""
    low = run_low(run)
    middle = (edge.first + edge.last) / 2.0
    turns: float = round((turned_into(middle, low) - middle) / TURN) * TURN
    return turns


def run_low(run: Run) -> float:
    """Return the smaller end of an arc's angles, in [0, 2π)."""
    return turned_into(min(run.angle, run.angle + run.sweep), 0.0)


def _trace_sides(run: Run, sides: tuple[Edge, Edge], surface: Geom_CylindricalSurface, shop: Shop) -> None:
    low = run_low(run)
    high = low + abs(run.sweep)
    if run.is_whole_circle:
        # forward in the wire at the run's end; the surface's own wire is the other way round on a hole
        shop.trace_seam(sides[0], surface, (low + 2.0 * pi, 0.0), (low, 0.0), 1.0)
        return
    start, end = (low, high) if run.sweep > 0.0 else (high, low)
    shop.trace(sides[0], surface, (start, 0.0), (0.0, 1.0))
    shop.trace(sides[1], surface, (end, 0.0), (0.0, 1.0))
