"""What happens at one height: the horizontal faces there, and the points that walls and faces must share.

Below the height lies one section, above it another. Laid over each other with the upper one turned round, their rings
wind +1 round what is an upward face and -1 round what is a downward face. Where rings cross, the crossing becomes a
corner of the walls as well, so that no edge ends within another.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.mesh.mesh import Ints
from generator.mesh.rings import edges
from generator.outline.clip import FillRule, wound

__all__ = ["Level", "make_level"]

Spot = tuple[int, int]
Edge = tuple[int, int, int, int]

NEAR = 2.5
"""Lines of the grid: how far the clipper's rounding may move a crossing off the edges that cross there."""


@frozen_record(eq=False)
class Level:
    """The faces at one height and the points put into edges there.

    Attributes:
        triangles: (m, 3, 2) corners of the faces, upward faces counter-clockwise and downward ones clockwise as seen
            from above.
        inserted: points within an edge (start x y, end x y), in the direction of travel.
    """

    triangles: Ints
    inserted: dict[Edge, tuple[Spot, ...]]

    def between(self, a: Sequence[int], b: Sequence[int]) -> tuple[Spot, ...]:
        """Return the points within the edge from ``a`` to ``b``."""
        return self.inserted.get((a[0], a[1], b[0], b[1]), ())


def make_level(below: Sequence[Ints], above: Sequence[Ints]) -> Level:
    """Return the faces between the section below a height and the one above; rings that both share are left out."""
    rings = [*below, *(ring[::-1] for ring in above)]
    up, down = _wound_once(rings), _wound_once([ring[::-1] for ring in rings])
    inserted = _shared_points(rings, [*up, *(ring[::-1] for ring in down)])
    tops, bottoms = _triangles(up, inserted), _triangles(down, inserted)
    return Level(np.concatenate([tops, bottoms[:, ::-1]]), inserted)


def _wound_once(rings: Sequence[Ints]) -> list[Ints]:
    """Return what the rings go round counter-clockwise, as rings with the area to their left."""
    return [ring.astype(np.int64) for ring in wound([ring.astype(np.float64) for ring in rings], FillRule.POSITIVE)]


def _triangles(rings: Sequence[Ints], inserted: dict[Edge, tuple[Spot, ...]]) -> Ints:
    """Return the area within rings as triangles (m, 3, 2), counter-clockwise."""
    full = [_filled(ring, inserted) for ring in rings]
    if not full:
        return np.zeros((0, 3, 2), np.int64)
    import manifold3d  # only who asks for a mesh pays for it

    # every corner is kept and every edge used, so that neighbours fit
    numbers = manifold3d.triangulate([ring.astype(np.float64) for ring in full], allow_convex=False)
    return np.concatenate(full)[np.asarray(numbers, dtype=np.int64)]


def _filled(ring: Ints, inserted: dict[Edge, tuple[Spot, ...]]) -> Ints:
    """Return a ring with the points put into its edges."""
    if not inserted:
        return ring
    out: list[Spot] = []
    for (ax, ay), (bx, by) in edges([ring]).tolist():
        out += [(ax, ay), *inserted.get((ax, ay, bx, by), ())]
    return np.array(out, dtype=np.int64)


# ------------------------------------------------------------------ edges that must be one
def _shared_points(rings: Sequence[Ints], faces: Sequence[Ints]) -> dict[Edge, tuple[Spot, ...]]:
    """Return the points to put into edges of walls and faces, both ways, so that every edge has its counterpart.

    A face's edge that the clipper cut off a ring's edge has none until the ring's edge is cut at the same point.
    """
    alone = _unpaired(edges([*rings, *(ring[::-1] for ring in faces)]))
    spots = np.unique(alone.reshape(-1, 2), axis=0)
    inserted: dict[Edge, tuple[Spot, ...]] = {}
    for (ax, ay), (bx, by) in alone.tolist():
        within = _on_edge(spots, (ax, ay), (bx, by))
        if within:
            inserted[ax, ay, bx, by] = within
            inserted[bx, by, ax, ay] = within[::-1]
    return inserted


def _unpaired(all_edges: Ints) -> Ints:
    """Return the edges (n, 2, 2) that do not run both ways equally often, once each."""
    flat = all_edges.reshape(-1, 4)
    swap = (flat[:, 0] > flat[:, 2]) | ((flat[:, 0] == flat[:, 2]) & (flat[:, 1] > flat[:, 3]))
    both = np.where(swap[:, None], flat[:, [2, 3, 0, 1]], flat)
    distinct, number = np.unique(both, axis=0, return_inverse=True)
    balance = np.bincount(number.reshape(-1), weights=np.where(swap, -1.0, 1.0), minlength=len(distinct))
    return np.asarray(distinct[balance != 0.0].reshape(-1, 2, 2))


def _on_edge(spots: Ints, start: Spot, end: Spot) -> tuple[Spot, ...]:
    """Return the spots within an edge, from its start on."""
    a, along = np.array(start), np.array(end) - np.array(start)
    off = spots - a
    length = float(np.hypot(*along))
    at = (off @ along) / length
    aside = np.abs(off[:, 0] * along[1] - off[:, 1] * along[0]) / length
    found = np.flatnonzero(
        (aside <= NEAR) & (at > 0.0) & (at < length) & (off != 0).any(axis=1) & (off != along).any(axis=1)
    )
    return tuple((int(x), int(y)) for x, y in spots[found[np.argsort(at[found], kind="stable")]])
