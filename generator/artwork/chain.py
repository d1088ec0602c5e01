"""Loose lines and arcs joined into closed contours.

Terminology. A *chain* is a run of lines and arcs; it is closed when it comes back to its start. Two ends of open chains
*meet* when they lie within the gap. A *loose end* meets nothing; at a *branch* more than two ends meet.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from math import hypot

from generator.artwork.overlaps import refuse_overlaps
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour, Point, Vertex

EXACT_MM = 1e-9
"""Ends that lie this close are the same point, and neither is moved."""
TWIN_MM = 1e-5
"""Two segments whose ends and bulges agree this closely are one drawn twice (chosen: finer than any drawing)."""
NAMED = 4
"""So many loose ends or branches are named in a message."""


@frozen_record
class Chain:
    """A run of lines and arcs.

    Attributes:
        vertices: starts of the segments.
        end: where the last segment ends; None when the chain is closed.
    """

    vertices: tuple[Vertex, ...]
    end: Point | None = None

    @property
    def start(self) -> Point:
        """Return where the first segment starts, mm."""
        return Point(self.vertices[0].x, self.vertices[0].y)

    def reversed(self) -> Chain:
        """Return an open chain travelled the other way."""
        assert self.end is not None
        ends = [*(Point(v.x, v.y) for v in self.vertices[1:]), self.end]
        back = tuple(Vertex(e.x, e.y, -v.bulge) for v, e in zip(self.vertices, ends, strict=True))
        return Chain(back[::-1], self.start)

    def segments(self) -> Iterator[tuple[Vertex, Point]]:
        """Yield every segment as its start with bulge, and its end."""
        last = self.end if self.end is not None else self.start
        ends = [*(Point(v.x, v.y) for v in self.vertices[1:]), last]
        yield from zip(self.vertices, ends, strict=True)


def closed_contours(chains: Iterable[Chain], gap_mm: float) -> tuple[Contour, ...]:
    """Return the closed contours that the chains form, what is drawn twice dropped.

    Args:
        chains: closed and open ones; a closed chain keeps its very vertices.
        gap_mm: ends that lie within this are joined, in the middle between them unless they are equal.
    Raises: GeometryError: an end is left over, more than two ends meet, or a line lies partly on another; names the
        points.
    """
    closed, loose = _without_twins(chains, gap_mm)
    return (*(Contour(c.vertices) for c in closed), *_joined(loose, gap_mm))


# ------------------------------------------------------------------ what is drawn twice
def _without_twins(chains: Iterable[Chain], gap_mm: float) -> tuple[list[Chain], list[Chain]]:
    """Return closed chains, then open ones; a segment that was there before is left out."""
    seen = _Seen()
    closed: list[Chain] = []
    loose: list[Chain] = []
    given = [_shut(c, gap_mm) for c in chains]
    for chain in (c for c in given if c.end is None):
        known = [seen.before(v, e) for v, e in chain.segments()]  # every one of them, so that all are remembered
        if not all(known):
            closed.append(chain)
    for chain in (c for c in given if c.end is not None):
        loose += _fresh_parts(chain, seen)
    return closed, loose


def _shut(chain: Chain, gap_mm: float) -> Chain:
    """Return an open chain that comes back to its own start as a closed one."""
    if chain.end is None or len(chain.vertices) < 2:
        return chain
    d = hypot(chain.end.x - chain.start.x, chain.end.y - chain.start.y)
    return Chain(chain.vertices) if d <= gap_mm else chain


def _fresh_parts(chain: Chain, seen: _Seen) -> list[Chain]:
    """Return the runs of an open chain that nobody drew before."""
    parts: list[Chain] = []
    run: list[Vertex] = []
    end = chain.start
    for v, e in chain.segments():
        if seen.before(v, e):
            if run:
                parts.append(Chain(tuple(run), Point(v.x, v.y)))
            run = []
        else:
            run.append(v)
        end = e
    if run:
        parts.append(Chain(tuple(run), end))
    return parts


class _Seen:
    """Segments met so far, found again within a tolerance whichever way they are travelled."""

    def __init__(self) -> None:
        self._cells: dict[tuple[int, int], list[tuple[Vertex, Point]]] = defaultdict(list)

    def before(self, v: Vertex, e: Point) -> bool:
        """Return whether the segment was met before, and remember it if not."""
        if (e.x, e.y) < (v.x, v.y):
            v, e = Vertex(e.x, e.y, -v.bulge), Point(v.x, v.y)
        key = (round((v.x + e.x) / 2.0 / TWIN_MM), round((v.y + e.y) / 2.0 / TWIN_MM))
        for dx in (-1, 0, 1):
            for dy in (-1, 0, 1):
                for w, f in self._cells.get((key[0] + dx, key[1] + dy), ()):
                    if _same(v, e, w, f) or _same(v, e, Vertex(f.x, f.y, -w.bulge), Point(w.x, w.y)):
                        return True
        self._cells[key].append((v, e))
        return False


def _same(v: Vertex, e: Point, w: Vertex, f: Point) -> bool:
    size = max(hypot(e.x - v.x, e.y - v.y), TWIN_MM)
    return (
        hypot(v.x - w.x, v.y - w.y) <= TWIN_MM
        and hypot(e.x - f.x, e.y - f.y) <= TWIN_MM
        and abs(v.bulge - w.bulge) * size <= 2.0 * TWIN_MM
    )


# ------------------------------------------------------------------ joining
@frozen_record
class _End:
    """One end of an open chain: its number in the list, and which end."""

    chain: int
    at_start: bool
    point: Point


def _joined(chains: Sequence[Chain], gap_mm: float) -> list[Contour]:
    ends = [e for i, c in enumerate(chains) for e in _ends(i, c)]
    try:
        partner = _partners(ends, gap_mm)
    except GeometryError:
        refuse_overlaps(chains, gap_mm)
        raise
    contours: list[Contour] = []
    used: set[int] = set()
    for i in range(len(chains)):
        if i not in used:
            contours.append(_ring(chains, partner, i, used))
    return contours


def _ends(i: int, chain: Chain) -> tuple[_End, _End]:
    assert chain.end is not None
    return _End(i, True, chain.start), _End(i, False, chain.end)


def _ring(chains: Sequence[Chain], partner: dict[_End, _End], first: int, used: set[int]) -> Contour:
    """Return the contour that chain ``first`` belongs to, travelled the way it was drawn."""
    vertices: list[Vertex] = []
    here = _ends(first, chains[first])[0]
    while here.chain not in used:
        used.add(here.chain)
        chain = chains[here.chain] if here.at_start else chains[here.chain].reversed()
        joint = _middle(here.point, partner[here].point)
        vertices.append(Vertex(joint.x, joint.y, chain.vertices[0].bulge))
        vertices += chain.vertices[1:]
        here = partner[_ends(here.chain, chains[here.chain])[1 if here.at_start else 0]]
    return Contour(tuple(vertices))


def _middle(a: Point, b: Point) -> Point:
    if hypot(a.x - b.x, a.y - b.y) <= EXACT_MM:
        return a
    return Point((a.x + b.x) / 2.0, (a.y + b.y) / 2.0)


def _partners(ends: Sequence[_End], gap_mm: float) -> dict[_End, _End]:
    """Return for every end the one that it meets.

    Raises: GeometryError: an end meets nothing, or more than one other.
    """
    partner: dict[_End, _End] = {}
    loose: list[_End] = []
    branches: list[Point] = []
    for group in _groups(ends, gap_mm):
        if len(group) == 2:
            partner[group[0]], partner[group[1]] = group[1], group[0]
        elif len(group) == 1:
            loose.append(group[0])
        else:
            branches.append(group[0].point)
    if loose:
        _refuse_loose(loose, gap_mm)
    if branches:
        raise GeometryError(
            f"more than two lines meet at {_listed(branches)}: an outline must not branch; "
            "take away what does not belong to it, or name the layer that holds the outline alone",
            point_mm=branches[0],
        )
    return partner


def _groups(ends: Sequence[_End], gap_mm: float) -> list[list[_End]]:
    """Return the ends in groups that lie within the gap of each other (single linkage on a grid of cells)."""
    size = max(gap_mm, EXACT_MM)
    cells: dict[tuple[int, int], list[int]] = defaultdict(list)
    for i, e in enumerate(ends):
        cells[(int(e.point.x // size), int(e.point.y // size))].append(i)
    group = list(range(len(ends)))

    def root(i: int) -> int:
        while group[i] != i:
            group[i] = group[group[i]]
            i = group[i]
        return i

    for i, e in enumerate(ends):
        cx, cy = int(e.point.x // size), int(e.point.y // size)
        for j in (j for dx in (-1, 0, 1) for dy in (-1, 0, 1) for j in cells.get((cx + dx, cy + dy), ())):
            if j < i and hypot(e.point.x - ends[j].point.x, e.point.y - ends[j].point.y) <= size:
                group[root(i)] = root(j)
    gathered: dict[int, list[_End]] = defaultdict(list)
    for i, e in enumerate(ends):
        gathered[root(i)].append(e)
    return list(gathered.values())


def _refuse_loose(loose: Sequence[_End], gap_mm: float) -> None:
    pairs = [
        (hypot(a.point.x - b.point.x, a.point.y - b.point.y), a, b)
        for i, a in enumerate(loose[:200])
        for b in loose[i + 1 : 200]
    ]
    near = min(pairs, key=lambda p: p[0], default=None)
    hint = f"; the two nearest are {near[0]:.4g} mm apart, more than the gap of {gap_mm:g} mm" if near else ""
    raise GeometryError(
        f"the outline is open: loose ends at {_listed([e.point for e in loose])}{hint}; close it in the drawing",
        point_mm=loose[0].point,
    )


def _listed(points: Sequence[Point]) -> str:
    named = ", ".join(f"({p.x:.4f}, {p.y:.4f})" for p in points[:NAMED])
    return named + (f" and {len(points) - NAMED} more" if len(points) > NAMED else "")
