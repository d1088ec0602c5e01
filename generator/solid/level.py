"""What happens at one height: which edges run there, and which horizontal faces they bound.

Below the height lies a section A, above it a section B. Loops that both share and that go straight on leave no edge.
The rest is split where A and B touch or cross, so that every piece is wholly inside, outside or on the other section;
from that follow the upward faces (A without B) and the downward faces (B without A). No clipping is needed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import atan2

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Point
from generator.part.inside import Inside
from generator.part.runs import TURN, Loop, Plane, Run, RunKey, runs_area
from generator.solid.split import split_at_contacts

SAMPLES = (0.5, 0.29, 0.73)
"""Shares of a piece's length at which it is asked where it lies; not one, as it may touch the boundary just there."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of an edge at the height.

    Attributes:
        run: where it runs, in the direction of travel of its loop.
        twin: 0, or 1 for the upper of two edges at one place that do not belong together (material meets there in a
            line only).
    """

    run: Run
    twin: int = 0

    @property
    def edge_key(self) -> tuple[RunKey, int]:
        """Return the key of its edge within the height."""
        return self.run.edge_key, self.twin

    def reversed(self) -> Piece:
        """Return it travelled the other way."""
        return Piece(self.run.reversed(), self.twin)


Ring = tuple[Piece, ...]


@frozen_record
class FlatFace:
    """A horizontal face: its outer ring first (counter-clockwise seen from above), then its holes."""

    rings: tuple[Ring, ...]
    is_top: bool


@frozen_record
class Level:
    """A height with its edges and faces.

    ``below`` and ``above`` give, for the loop's key and the run's number, the pieces of the wall below and above.
    ``has_seams`` is True if a stretch of wall goes straight on although its loop does not.
    """

    z_mm: float
    below: dict[tuple[int, int], Ring]
    above: dict[tuple[int, int], Ring]
    faces: tuple[FlatFace, ...]
    has_seams: bool = False


def make_level(z_mm: float, below: Sequence[Loop], above: Sequence[Loop], plane: Plane) -> Level:
    """Return the edges and faces at a height between the sections ``below`` and ``above`` (either may be empty)."""
    shared = {loop.key for loop in below} & {loop.key for loop in above}
    kept = {(loop.key, i): (Piece(run),) for loop in below if loop.key in shared for i, run in enumerate(loop)}
    lower = [loop for loop in below if loop.key not in shared]
    upper = [loop for loop in above if loop.key not in shared]
    if not lower and not upper:
        return Level(z_mm, dict(kept), dict(kept), ())
    low, high = split_at_contacts(lower, upper, plane)
    if (not above or not below) and _are_apart(lower or upper, low or high):
        return _end(z_mm, lower or upper, bool(lower), plane)
    sides = _Sides(Inside(above, plane), Inside(below, plane), plane)
    low_pieces, high_pieces, tops, bottoms = sides.sort(lower, upper, low, high)
    faces = [FlatFace(rings, True) for rings in _nest(_rings(tops, plane), plane)]
    faces += [FlatFace(rings, False) for rings in _nest(_rings(bottoms, plane), plane)]
    seams = {r.key for runs in low.values() for r in runs} & {r.key for runs in high.values() for r in runs}
    return Level(z_mm, kept | low_pieces, kept | high_pieces, tuple(faces), bool(seams))


def _are_apart(loops: Sequence[Loop], split: _Split) -> bool:
    """Return True if loops were split nowhere and share no corner."""
    starts = {run.start for loop in loops for run in loop}
    return len(starts) == sum(map(len, loops)) and all(len(runs) == 1 for runs in split.values())


def _end(z_mm: float, loops: Sequence[Loop], is_top: bool, plane: Plane) -> Level:
    """Return the lowest or highest level of a part: with air on its other side every loop bounds a face as it is."""
    rings = [tuple(map(Piece, loop)) for loop in loops]
    pieces: _Pieces = {
        (loop.key, i): (piece,) for loop, ring in zip(loops, rings, strict=True) for i, piece in enumerate(ring)
    }
    faces = tuple(FlatFace(nested, is_top) for nested in _nest(rings, plane))
    return Level(z_mm, pieces if is_top else {}, {} if is_top else pieces, faces)


_Split = dict[tuple[int, int], tuple[Run, ...]]
_Pieces = dict[tuple[int, int], Ring]


@frozen_record
class _Sides:
    """Sorts pieces by what lies on the other side of the height."""

    above: Inside
    below: Inside
    plane: Plane

    def sort(
        self, lower: Sequence[Loop], upper: Sequence[Loop], low: _Split, high: _Split
    ) -> tuple[_Pieces, _Pieces, list[Piece], list[Piece]]:
        """Return the pieces of the walls below and above, and the directed boundaries of top and bottom faces."""
        from_below = {run.key for runs in low.values() for run in runs}
        from_above = {run.key for runs in high.values() for run in runs}
        meets = {r.key for runs in high.values() for r in runs if r.reversed().key in from_below}
        tops: list[Piece] = []
        bottoms: list[Piece] = []
        low_pieces = self._pieces(low, 0, meets)
        high_pieces = self._pieces(high, 1, meets)
        self._edge_of_faces(lower, low_pieces, self.above, from_above, meets, tops, bottoms)
        self._edge_of_faces(upper, high_pieces, self.below, from_below, meets, bottoms, tops)
        return low_pieces, high_pieces, tops, bottoms

    @staticmethod
    def _pieces(split: _Split, twin: int, meets: set[RunKey]) -> _Pieces:
        return {
            where: tuple(Piece(run, twin if run.key in meets else 0) for run in runs) for where, runs in split.items()
        }

    def _edge_of_faces(
        self,
        loops: Sequence[Loop],
        pieces: _Pieces,
        other: Inside,
        others: set[RunKey],
        meets: set[RunKey],
        own: list[Piece],
        opposite: list[Piece],
    ) -> None:
        """Add the loops' pieces to the faces of their own section, or reversed to those of the other section."""
        touched = {start for start, _, _ in others}
        for loop in loops:
            mine = [piece for i in range(len(loop)) for piece in pieces[loop.key, i]]
            alone = [p for p in mine if p.run.key not in others and p.run.reversed().key not in others]
            # a loop without contact lies wholly inside or outside: one test will do
            whole = touched.isdisjoint(p.run.start for p in mine)
            ask = alone[:1] if whole else alone
            said = self._lie_inside(ask, other)
            inside = dict(zip((p.run.key for p in alone), said * len(alone) if whole else said, strict=True))
            for p in mine:
                if p.run.key in others:
                    continue
                if inside.get(p.run.key, False):
                    opposite.append(p.reversed())
                else:
                    own.append(p)

    def _lie_inside(self, pieces: Sequence[Piece], other: Inside) -> list[bool]:
        """Return whether pieces lie inside a section; one that only touches its edge by the rest of it."""
        said = other([self.plane.at(p.run, share) for p in pieces for share in SAMPLES])
        n = len(SAMPLES)
        return [2 * sum(said[i : i + n]) > n for i in range(0, len(said), n)]


def _rings(pieces: Sequence[Piece], plane: Plane) -> list[Ring]:
    """Return closed rings with the face to the left; none passes a corner twice, so rings that touch stay apart."""
    leaving: dict[int, list[Piece]] = {}
    for piece in pieces:
        leaving.setdefault(piece.run.start, []).append(piece)
    rings: list[Ring] = []
    for start in [piece.run.start for piece in pieces]:
        while leaving[start]:
            rings += _trace(leaving[start][0], leaving, plane)
    return rings


def _trace(first: Piece, leaving: dict[int, list[Piece]], plane: Plane) -> list[Ring]:
    """Return the rings of a walk that begins with a piece and ends where it began; their pieces are taken away."""
    rings: list[Ring] = []
    path: list[Piece] = []
    passed: dict[int, int] = {}
    piece = first
    while True:
        leaving[piece.run.start].remove(piece)
        passed[piece.run.start] = len(path)
        path.append(piece)
        back = passed.get(piece.run.end)
        if back is not None:
            rings.append(tuple(path[back:]))
            for p in path[back:]:
                del passed[p.run.start]
            del path[back:]
            if not path:
                return rings
        piece = _onward(path[-1], leaving, plane)


def _onward(arriving: Piece, leaving: dict[int, list[Piece]], plane: Plane) -> Piece:
    """Return the piece that goes on from the end of another with nothing of the face in between."""
    ways = leaving.get(arriving.run.end, [])
    if not ways:
        at = plane.corners[arriving.run.end]
        raise GeometryError("the boundary of a horizontal face ends", point_mm=at)
    return ways[0] if len(ways) == 1 else min(ways, key=lambda w: _clockwise(arriving, w, plane))


def _clockwise(arriving: Piece, leaving: Piece, plane: Plane) -> float:
    """Return the angle, clockwise from the way back, at which a piece leaves the end of another (0 … 2π).

    Pieces that touch are told apart by their curvature.
    """
    into, out = plane.heading(arriving.run, 1.0), plane.heading(leaving.run, 0.0)
    bend = 1e-7 * max(-1e3, min(1e3, _curvature(arriving.run) + _curvature(leaving.run)))
    return (atan2(-into.y, -into.x) - atan2(out.y, out.x) - bend) % TURN


def _curvature(run: Run) -> float:
    if run.circle is None:
        return 0.0
    return (1.0 if run.sweep > 0 else -1.0) / run.circle.radius_mm


def _nest(rings: Sequence[Ring], plane: Plane) -> list[tuple[Ring, ...]]:
    """Return faces: each outer ring with the holes that lie in it and in no smaller one."""
    areas = [_ring_area(ring, plane) for ring in rings]
    outers = sorted((i for i, a in enumerate(areas) if a > 0.0), key=lambda i: areas[i])
    holes: dict[int, list[Ring]] = {i: [] for i in outers}
    tests: dict[int, Inside] = {}

    def lies_in(point: Point, i: int) -> bool:
        if i not in tests:
            tests[i] = Inside([Loop(tuple(p.run for p in rings[i]), -1)], plane)
        return tests[i]([point])[0]

    for j, ring in enumerate(rings):
        if areas[j] <= 0.0:
            point = plane.at(ring[0].run, 0.5)
            holes[_owner(point, outers, areas, -areas[j], lies_in)].append(ring)
    return [(rings[i], *holes[i]) for i in sorted(outers)]


def _owner(
    point: Point,
    outers: Iterable[int],
    areas: Sequence[float],
    least: float,
    lies_in: Callable[[Point, int], bool],
) -> int:
    for i in outers:
        if areas[i] > least and lies_in(point, i):
            return i
    raise GeometryError("a hole in a horizontal face lies in no face", point_mm=point)


def _ring_area(ring: Ring, plane: Plane) -> float:
    return runs_area((p.run for p in ring), plane)
