"""Outlines of flat parts from exact geometry: loops of lines and arcs, distances to them, widths between jaws.

Nothing here comes from the package: parts, pictures and scores are made without the code that they judge.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

Vertex = tuple[float, float, float]
"""x, y, bulge of the segment that begins here (tangent of a quarter of its included angle, positive to the left)."""


@dataclass(frozen=True)
class Segment:
    """A line (radius 0) or an arc from ``start`` to ``end``; radius is positive where travel turns to the left."""

    start: tuple[float, float]
    end: tuple[float, float]
    centre: tuple[float, float] = (0.0, 0.0)
    radius: float = 0.0
    begins: float = 0.0
    sweep: float = 0.0

    @property
    def length(self) -> float:
        return abs(self.sweep * self.radius) if self.radius else math.dist(self.start, self.end)

    def points(self, share: np.ndarray) -> np.ndarray:
        """Points at shares 0 to 1 of the way, shape (n, 2)."""
        if self.radius:
            angle, r = self.begins + share * self.sweep, abs(self.radius)
            return np.column_stack([self.centre[0] + r * np.cos(angle), self.centre[1] + r * np.sin(angle)])
        a, b = np.array(self.start), np.array(self.end)
        return a + share[:, None] * (b - a)

    def tangent(self, share: float) -> tuple[float, float]:
        """Unit direction of travel."""
        if self.radius:
            angle = self.begins + share * self.sweep
            turn = math.copysign(1.0, self.sweep)
            return -turn * math.sin(angle), turn * math.cos(angle)
        run = self.length
        return (self.end[0] - self.start[0]) / run, (self.end[1] - self.start[1]) / run


def segment(first: Vertex, then: Vertex) -> Segment:
    """The segment from one vertex of a loop to the next."""
    (x0, y0, b), (x1, y1) = first, then[:2]
    if abs(b) < 1e-12:
        return Segment((x0, y0), (x1, y1))
    chord, k = math.hypot(x1 - x0, y1 - y0), (1.0 - b * b) / (4.0 * b)
    cx, cy = (x0 + x1) / 2 - k * (y1 - y0), (y0 + y1) / 2 + k * (x1 - x0)
    radius = chord * (1.0 + b * b) / (4.0 * b)
    return Segment((x0, y0), (x1, y1), (cx, cy), radius, math.atan2(y0 - cy, x0 - cx), 4.0 * math.atan(b))


def full_circle(x: float, y: float, d: float) -> Segment:
    """A hole's edge: travelled clockwise, so that metal lies to its left."""
    return Segment((x + d / 2, y), (x + d / 2, y), (x, y), -d / 2, 0.0, -2.0 * math.pi)


def segments(loop: list[Vertex], *, backwards: bool = False) -> list[Segment]:
    """The segments of a closed loop; backwards for what is cut out of the metal."""
    if backwards:
        n = len(loop)
        loop = [(*loop[-i % n][:2], -loop[(-i - 1) % n][2]) for i in range(n)]
    return [segment(a, b) for a, b in pairwise([*loop, loop[0]])]


@dataclass(frozen=True)
class Part:
    """A flat part: outer loop and inner ones counter-clockwise, holes (name, x, y, d), joins at the outer vertices."""

    name: str
    outer: list[Vertex]
    joins: list[str]
    circles: list[tuple[str, float, float, float]]
    inner: list[list[Vertex]] = field(default_factory=list)
    axes: list[tuple[tuple[float, float], tuple[float, float]]] = field(default_factory=list)

    def edges(self) -> list[Segment]:
        """Every edge, metal to the left of travel."""
        out = segments(self.outer)
        for loop in self.inner:
            out += segments(loop, backwards=True)
        return out + [full_circle(x, y, d) for _, x, y, d in self.circles]

    def counts(self) -> dict[str, int]:
        """Lines, arcs and circles as the truth counts them."""
        made = [s for loop in [self.outer, *self.inner] for s in segments(loop)]
        lines = sum(1 for s in made if not s.radius)
        return {"lines": lines, "arcs": len(made) - lines, "circles": len(self.circles)}


# ------------------------------------------------------------------ belts: nodes joined by tangent lines and arcs

Node = tuple[float, float, float]
"""x, y, signed radius: an arc round (x, y), to the left when positive, to the right when negative, a corner when 0."""


def belt(
    nodes: list[Node], links: list[float | None] | None = None, long_way: tuple[int, ...] = ()
) -> tuple[list[Vertex], list[str]]:
    """Run a belt over ``nodes`` in their order; return its vertices and how it joins at each.

    Args:
        nodes: arcs and corners that the belt goes round, metal to the left.
        links: between a node and the next: None for the common tangent line, or the signed radius of the arc that
            touches both (negative: hollow, positive: bulging out round both).
        long_way: links whose arc turns by more than half a circle.
    """
    n = len(nodes)
    links = links or [None] * n
    leave: list[tuple[float, float]] = [(0.0, 0.0)] * n
    arrive: list[tuple[float, float]] = [(0.0, 0.0)] * n
    sweeps = [0.0] * n
    for i in range(n):
        a, b = nodes[i], nodes[(i + 1) % n]
        leave[i], arrive[(i + 1) % n], sweeps[i] = _link(a, b, links[i], -1.0 if i in long_way else 1.0)
    vertices: list[Vertex] = []
    joins: list[str] = []
    for i, (x, y, r) in enumerate(nodes):
        if r == 0.0:
            vertices.append((x, y, math.tan(sweeps[i] / 4)))
            joins.append("corner")
            continue
        a, b = math.atan2(arrive[i][1], arrive[i][0]), math.atan2(leave[i][1], leave[i][0])
        turn = (b - a) % (2 * math.pi) if r > 0 else -((a - b) % (2 * math.pi))
        vertices.append((x + r * arrive[i][0], y + r * arrive[i][1], math.tan(turn / 4)))
        vertices.append((x + r * leave[i][0], y + r * leave[i][1], math.tan(sweeps[i] / 4)))
        joins += ["tangent", "tangent"]
    return vertices, joins


def _link(
    a: Node, b: Node, radius: float | None, side: float
) -> tuple[tuple[float, float], tuple[float, float], float]:
    """Outward normals where the link leaves ``a`` and reaches ``b`` (touching at centre + r * normal), its sweep."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    run = math.hypot(dx, dy)
    if radius is None:  # n . (b - a) = ra - rb, n to the right of the line's direction
        lean = math.asin((a[2] - b[2]) / run)
        heading = math.atan2(dy, dx)
        normal = (math.sin(heading + lean), -math.cos(heading + lean))
        return normal, normal, 0.0
    ra, rb = abs(radius - a[2]), abs(radius - b[2])  # from the link's centre to those of the nodes
    along = (run * run + ra * ra - rb * rb) / (2 * run)
    off = math.sqrt(ra * ra - along * along) * (side if radius > 0 else -side)
    cx, cy = a[0] + (along * dx - off * dy) / run, a[1] + (along * dy + off * dx) / run
    first = ((a[0] - cx) / (radius - a[2]), (a[1] - cy) / (radius - a[2]))
    last = ((b[0] - cx) / (radius - b[2]), (b[1] - cy) / (radius - b[2]))
    u, v = math.atan2(first[1], first[0]), math.atan2(last[1], last[0])
    sweep = (v - u) % (2 * math.pi) if radius > 0 else -((u - v) % (2 * math.pi))
    return first, last, sweep


def corners(points: list[tuple[float, float, float]]) -> list[Node]:
    """Corners (x, y, fillet radius) of a counter-clockwise polygon as nodes of a belt; radius 0 stays sharp."""
    nodes: list[Node] = []
    n = len(points)
    for i, (x, y, r) in enumerate(points):
        if r == 0.0:
            nodes.append((x, y, 0.0))
            continue
        px, py, qx, qy = *points[i - 1][:2], *points[(i + 1) % n][:2]
        u = np.array([px - x, py - y]) / math.hypot(px - x, py - y)
        v = np.array([qx - x, qy - y]) / math.hypot(qx - x, qy - y)
        half = math.acos(float(np.clip(u @ v, -1, 1))) / 2
        middle = (u + v) / float(np.hypot(*(u + v))) * r / math.sin(half)
        left = u[0] * v[1] - u[1] * v[0] < 0  # the polygon turns left here
        nodes.append((x + float(middle[0]), y + float(middle[1]), r if left else -r))
    return nodes


def slot(x: float, y: float, length: float, width: float, degrees: float = 0.0) -> list[Vertex]:
    """A slot with round ends, ``length`` overall."""
    run, a = (length - width) / 2, math.radians(degrees)
    dx, dy = run * math.cos(a), run * math.sin(a)
    return belt([(x - dx, y - dy, width / 2), (x + dx, y + dy, width / 2)])[0]


def window(points: list[tuple[float, float, float]]) -> list[Vertex]:
    """A cut-out with the given corners (x, y, fillet radius), counter-clockwise."""
    return belt(corners(points))[0]


# ------------------------------------------------------------------ distances


def measure(edge: Segment, x: np.ndarray, y: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Distance to the edge, signed distance to its whole line or circle (positive off the metal), outward normal.

    The normal is the one at the foot on the whole line or circle.
    """
    if edge.radius:
        dx, dy = x - edge.centre[0], y - edge.centre[1]
        far = np.hypot(dx, dy)
        turn = 1.0 if edge.radius > 0 else -1.0
        side = (far - abs(edge.radius)) * turn
        safe = np.maximum(far, 1e-12)
        nx, ny = turn * dx / safe, turn * dy / safe
        if abs(edge.sweep) > 2 * math.pi - 1e-9:
            return np.abs(side), side, nx, ny
        middle = edge.begins + edge.sweep / 2  # on the arc: no further from its middle direction than half the sweep
        on = dx * math.cos(middle) + dy * math.sin(middle) >= far * math.cos(min(abs(edge.sweep) / 2, math.pi))
    else:
        tx, ty = edge.tangent(0.0)
        dx, dy = x - edge.start[0], y - edge.start[1]
        side = dx * ty - dy * tx
        nx, ny = np.full_like(x, ty), np.full_like(x, -tx)
        along = dx * tx + dy * ty
        on = (along >= 0) & (along <= edge.length)
    ends = np.minimum(
        (x - edge.start[0]) ** 2 + (y - edge.start[1]) ** 2, (x - edge.end[0]) ** 2 + (y - edge.end[1]) ** 2
    )
    return np.where(on, np.abs(side), np.sqrt(ends)), side, nx, ny


def off(edges: list[Segment], x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Signed distance off the material."""
    least, best, side = np.full(x.shape, np.inf), np.zeros(x.shape), np.full(x.shape, np.inf)
    for edge in edges:
        d, signed, _, _ = measure(edge, x, y)
        tie = np.abs(d - least) < 1e-9
        closer = (d < least - 1e-9) | (tie & (np.abs(signed) > np.abs(best)))
        least, best = np.where(closer, d, least), np.where(closer, signed, best)
        side = np.where(closer, np.copysign(d, signed), side)
    return side


def ray(edge: Segment, x: np.ndarray, y: np.ndarray, ux: float, uy: float) -> np.ndarray:
    """How far from (x, y) along the unit direction (ux, uy) the edge is met first; infinite where it is not."""
    if edge.radius:
        dx, dy = x - edge.centre[0], y - edge.centre[1]
        b = dx * ux + dy * uy
        root = b * b - (dx * dx + dy * dy - edge.radius**2)
        half = np.sqrt(np.maximum(root, 0.0))
        best = np.full_like(x, np.inf)
        middle = edge.begins + edge.sweep / 2
        limit = math.cos(min(abs(edge.sweep) / 2, math.pi)) * abs(edge.radius) - 1e-12
        for t in (-b - half, -b + half):
            on = (dx + t * ux) * math.cos(middle) + (dy + t * uy) * math.sin(middle) >= limit
            best = np.where((root >= 0) & (t >= 0) & on, np.minimum(best, t), best)
        return best
    tx, ty = edge.tangent(0.0)
    cross = ux * ty - uy * tx
    if abs(cross) < 1e-12:
        return np.full_like(x, np.inf)
    ex, ey = edge.start[0] - x, edge.start[1] - y
    t = (ex * ty - ey * tx) / cross
    along = (ex * uy - ey * ux) / cross
    return np.where((t >= 0) & (along >= 0) & (along <= edge.length), t, np.inf)


# ------------------------------------------------------------------ widths between the jaws


@dataclass(frozen=True)
class Touch:
    """Where a jaw touches: how far out, the middle and spread of the touching points, whether an arc is among them."""

    reach: float
    middle: np.ndarray
    spread: float
    on_arc: bool


def support(edges: list[Segment], angle: float) -> Touch:
    """Where a jaw square to a direction touches the outline from outside."""
    n = np.array([math.cos(angle), math.sin(angle)])
    reached: list[tuple[float, np.ndarray, bool]] = []
    for s in edges:
        reached.append((float(n @ np.array(s.start)), np.array(s.start), False))
        inside = math.remainder(angle - s.begins - s.sweep / 2, 2 * math.pi)
        if s.radius > 0 and abs(inside) <= s.sweep / 2:
            c = np.array(s.centre)
            reached.append((float(n @ c) + s.radius, c + s.radius * n, True))
    most = max(r[0] for r in reached)
    touching = [r for r in reached if r[0] > most - 1e-6]
    points = np.array([r[1] for r in touching])
    return Touch(most, points.mean(axis=0), float(np.ptp(points, axis=0).max()), any(r[2] for r in touching))


def seats(edges: list[Segment]) -> list[tuple[float, float]]:
    """(direction in radians, width) where parallel jaws seat: least widths, and greatest ones over two round ends."""

    def width(a: float) -> float:
        return support(edges, a).reach + support(edges, a + math.pi).reach

    step = math.radians(0.5)
    grid = [width(i * step) for i in range(360)]
    found: list[tuple[float, float]] = []
    for i, w in enumerate(grid):
        before, after = grid[i - 1], grid[(i + 1) % 360]
        least, most = w <= before and w < after, w >= before and w > after
        if not (least or most):
            continue
        low, high = (i - 1) * step, (i + 1) * step
        sign = 1.0 if least else -1.0
        for _ in range(60):
            a, b = low + (high - low) * 0.382, low + (high - low) * 0.618
            low, high = (low, b) if sign * width(a) < sign * width(b) else (a, high)
        angle = (low + high) / 2
        if most and not (support(edges, angle).on_arc and support(edges, angle + math.pi).on_arc):
            continue
        found.append((angle, width(angle)))
    return found
