"""Bodies with upright walls read back from STEP text and judged, face by face, without the solid kernel.

What is demanded is what makes a solid (ISO 10303-42, manifold solid B-rep): every edge joins two faces and is travelled
once each way; edges lie on their curves and faces on their surfaces within the accuracy that the files state; every
wall is a rectangle in its plane or cylinder that looks out of the body; rings of level faces are one outer one with
holes inside it; the faces of a shell hang together, and shells enclose something. The contours in which the walls stand
are handed out, to be compared with the regions that they are meant to be. These leave one thing open: at a height faces
that look up could lie in faces that look down, as a skin over a hole, or as one body on another. That is a fault, which
the kernel does not look for.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np

from generator.outline.contour import Contour, Point, Vertex
from generator.outline.measure import bounds, signed_area
from generator.outline.region import Region
from generator.outline.winding import winding_numbers
from generator.part.solid_facts import SolidFacts, WallRing
from generator.solid.round_holes import RoundFace, whole_holes
from generator.solid.stretch import stretch
from generator.solid.upright_entities import Bools, Entities, Floats, UnlikeError, entities_of
from generator.solid.upright_shape import Shape, demand, shape_of

__all__ = ["upright_facts"]

INWARD_MM = 1e-4
"""So far from its boundary, or a hundredth of the edge there, a face is asked whether another lies in it."""


@lru_cache(maxsize=4)  # a part that variants share is refused, or read, once
def upright_facts(text: bytes) -> SolidFacts | None:
    """Return the facts of the bodies in a STEP text, without a name; None where it is for the kernel to say.

    Args:
        text: entities from the first solid to the last; names of solids may be left out.

    Returns: facts that are valid but for faces that lie in each other.
    """
    try:
        return _facts(entities_of(text))
    except UnlikeError:
        return None


def _facts(e: Entities) -> SolidFacts:
    shape = shape_of(e)
    rings = _rings(e, shape)
    areas = np.array([signed_area(ring) for ring in rings])
    _demand_nested(rings, areas, shape)
    face_of_ring = shape.loop_face[np.array(shape.level_loops, dtype=np.int64)]
    volumes = np.zeros(len(e.solid_shell))
    z = shape.face_z[face_of_ring]
    np.add.at(volumes, shape.face_body[face_of_ring], areas * (z - z.min()))  # from the lowest: rounding grows with z
    demand(bool((volumes > 0.0).all()), "a shell encloses nothing")
    boxes = [bounds(ring) for ring in rings]
    return SolidFacts(
        product="",
        volume_mm3=float(volumes.sum()),
        is_valid=_are_apart(rings, z, shape.face_turn[face_of_ring] > 0),
        is_closed=True,
        faces=len(e.face_surface),
        holes=tuple(whole_holes(_round_faces(e, shape))),
        box_mm=(
            min(b.xmin for b in boxes),
            min(b.ymin for b in boxes),
            float(z.min()),
            max(b.xmax for b in boxes),
            max(b.ymax for b in boxes),
            float(z.max()),
        ),
        walls=_wall_rings(e, shape),
    )


def _rings(e: Entities, shape: Shape) -> list[Contour]:
    """Return the loops of level faces as contours, seen from above, in the direction in which they are travelled."""
    places = e.vertex[:, :2].tolist()
    start, edge, following = shape.start.tolist(), e.use_edge.tolist(), shape.next_use.tolist()
    signed = np.where(e.use_forward, 1.0, -1.0) * shape.sweep[e.use_edge]
    sweep, centres = signed.tolist(), _centres(e).tolist()
    rings = []
    for loop in shape.level_loops:
        first = use = int(shape.loop_first[loop])
        vertices: list[Vertex] = []
        while True:
            vertices += stretch(places[start[use]], sweep[use], centres[edge[use]])
            use = following[use]
            if use == first:
                break
        rings.append(Contour(tuple(vertices)))
    return rings


def _centres(e: Entities) -> Floats:
    """Return the centres of the edges that are arcs, shape (n, 2), mm; those of lines mean nothing."""
    lines = len(e.line_at)
    centres = np.concatenate([np.zeros((lines, 2)), e.frame_at[e.circle_frame, :2]])
    found: Floats = centres[e.edge_curve]
    return found


def _demand_nested(rings: list[Contour], areas: Floats, shape: Shape) -> None:
    """Demand that every level face has one outer ring, and holes that lie in it and in no other hole."""
    of_face: dict[int, list[int]] = {}
    for i, loop in enumerate(shape.level_loops):
        of_face.setdefault(int(shape.loop_face[loop]), []).append(i)
    for face, own in of_face.items():
        turn = int(shape.face_turn[face])
        outer = [i for i in own if areas[i] * turn > 0.0]
        demand(len(outer) == 1 and all(areas[i] for i in own), "a level face has not one outer ring")
        for i in own:
            if i == outer[0]:
                continue
            others = Region(tuple(rings[j] for j in own if j != i))
            turns = winding_numbers(others, rings[i].array[:, :2])
            demand(bool((turns == turn).all()), "a hole does not lie in its face")


def _are_apart(rings: list[Contour], z: Floats, is_up: Bools) -> bool:
    """Return False if, at one height, a face that looks up and one that looks down have an area in common.

    Their boundaries do not cross where walls stand right, so a place beside the boundary of either tells.
    """
    heights = np.round(z, 6)
    for height in np.intersect1d(heights[is_up], heights[~is_up]):
        own = [[rings[i] for i in np.flatnonzero((heights == height) & (is_up == up)).tolist()] for up in (True, False)]
        for here, other, side in ((own[0], own[1], 1.0), (own[1], own[0], -1.0)):
            if winding_numbers(Region(tuple(other)), np.array([_beside(ring, side) for ring in here])).any():
                return False
    return True


def _beside(ring: Contour, side: float) -> tuple[float, float]:
    """Return a place to the left (``side`` 1) or right (-1) of the middle of a ring's longest segment, mm."""
    at = ring.array
    ways = np.roll(at[:, :2], -1, axis=0) - at[:, :2]
    lengths = np.hypot(ways[:, 0], ways[:, 1])
    i = int(lengths.argmax())
    (x, y, bulge), (dx, dy), length = at[i].tolist(), ways[i].tolist(), float(lengths[i])
    aside = bulge / 2.0 - side * min(INWARD_MM / length, 0.01)
    return x + dx / 2.0 + dy * aside, y + dy / 2.0 - dx * aside


def _round_faces(e: Entities, shape: Shape) -> Iterator[RoundFace]:
    """Yield the round walls with material outside."""
    planes = len(e.plane_frame)
    for face in np.flatnonzero((e.face_surface >= planes) & ~e.face_same).tolist():
        cylinder = int(e.face_surface[face]) - planes
        x, y, _ = e.frame_at[e.cylinder_frame[cylinder]].tolist()
        low, high = float(shape.face_z[face]), float(shape.face_top[face])
        yield RoundFace(Point(x, y), float(e.cylinder_radius[cylinder]), low, high, -float(shape.wall_sweep[face]))


def _wall_rings(e: Entities, shape: Shape) -> tuple[WallRing, ...]:
    """Return the rings in which walls stand: each goes on with the wall that begins at the upright edge where it ends.

    Raises: UnlikeError: walls of different heights meet at one edge, or do not close.
    """
    planes = len(e.plane_frame)
    walls = np.flatnonzero(shape.face_turn == 0).tolist()
    beginning = {int(shape.wall_down[w]): w for w in walls}
    demand(len(beginning) == len(walls), "two walls begin at one edge")
    places, heights = e.vertex[e.edge_ends[:, 0], :2].tolist(), e.vertex[e.edge_ends][:, :, 2].tolist()
    left, rings = set(walls), []
    for first in walls:
        if first not in left:
            continue
        vertices: list[Vertex] = []
        wall = first
        while wall in left:
            left.remove(wall)
            post = int(shape.wall_down[wall])
            surface = int(e.face_surface[wall])
            axis = e.frame_at[e.cylinder_frame[surface - planes], :2].tolist() if surface >= planes else [0.0, 0.0]
            vertices += stretch(places[post], float(shape.wall_sweep[wall]), axis)
            demand(heights[post] == heights[int(shape.wall_down[first])], "walls of different heights meet at an edge")
            wall = beginning.get(int(shape.wall_up[wall]), -1)
        demand(wall == first, "a ring of walls does not close")
        low, high = heights[int(shape.wall_down[first])]
        rings.append(WallRing(low, high, Contour(tuple(vertices))))
    return tuple(rings)
