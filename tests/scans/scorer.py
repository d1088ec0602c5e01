"""How far a traced footprint lies from the truth: best rigid placement, distances both ways, holes, counts, coverage.

Placement is by rotation, shift and perhaps a mirror, never by a scale: a footprint 0.4 % too large is that wrong.
Distances are exact ones, from points every 0.05 mm to the lines and arcs of the other outline.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import ezdxf
import numpy as np
from scipy.optimize import linear_sum_assignment
from scipy.spatial import cKDTree

from tests.scans.scan_shape import Segment, Vertex, full_circle, measure, segment, segments

STEP = 0.05
"""Distance of points on the outlines, mm."""
FIT_STEP = 0.2
ASIDE = 0.5
"""Within this of damage, deviations count apart, mm."""
MATCHED = 1.5
"""Holes further apart than this, mm, are not the same hole."""
CHI2_95_2D = 5.991
"""95 % point of chi-square with two degrees of freedom (tables)."""
IN_MM = {0: 1.0, 1: 25.4, 4: 1.0, 5: 10.0, 6: 1000.0}
"""Millimetres in a unit of ``$INSUNITS`` (DXF reference)."""


@dataclass(frozen=True)
class Doubt:
    """What a tracer says of one arc or circle: 95 % half width of its radius in mm, covariance of its centre in mm²."""

    radius: float | None = None
    centre: np.ndarray | None = None


@dataclass(frozen=True)
class Traced:
    """A traced footprint: edges of outline and cut-outs, hole circles (x, y, d), and doubts that go with both."""

    edges: list[Segment]
    circles: np.ndarray
    edge_doubts: list[Doubt | None] = field(default_factory=list)
    circle_doubts: list[Doubt | None] = field(default_factory=list)


@dataclass(frozen=True)
class Spread:
    """Root mean square, 95th percentile and largest of distances, mm."""

    rms: float
    p95: float
    most: float


@dataclass(frozen=True)
class Score:
    """All that is known of one traced footprint; lengths in mm.

    Attributes:
        both, out, back: distances both ways, from traced to true, from true to traced; of sound edges alone.
        whole: both ways with damaged places.
        at_damage: largest deviation within half a millimetre of chips and burrs.
        diameters, centres: errors of hole diameters by name, of distances between hole centres.
        holes: in truth, traced, matched.
        counts, true_counts: lines, arcs, circles.
        covered: for every stated interval whether the truth lies in it.
        place: how the traced footprint had to be placed.
    """

    both: Spread
    out: Spread
    back: Spread
    whole: Spread
    at_damage: float
    diameters: dict[str, float]
    centres: list[float]
    holes: tuple[int, int, int]
    counts: dict[str, int]
    true_counts: dict[str, int]
    covered: list[bool]
    place: Place

    @property
    def mirrored(self) -> bool:
        return self.place.mirrored

    @property
    def rotation(self) -> float:
        """Degrees by which the traced footprint had to be turned."""
        return math.degrees(self.place.angle) % 360

    @property
    def diameter(self) -> float:
        return max((abs(e) for e in self.diameters.values()), default=0.0)

    @property
    def centre(self) -> float:
        return max((abs(e) for e in self.centres), default=0.0)


# ------------------------------------------------------------------ reading


def traced_of(loops: list[list[Vertex]], circles: list[tuple[float, float, float]]) -> Traced:
    """A footprint from closed loops of (x, y, bulge) and holes (x, y, d)."""
    return Traced([s for loop in loops for s in segments(loop)], np.array(circles, float).reshape(-1, 3))


def read_dxf(path: Path) -> Traced:
    """Read lines, arcs, circles and polylines of the model space; a polyline of two half circles is a hole."""
    document = ezdxf.readfile(path)
    mm = IN_MM.get(document.header.get("$INSUNITS", 0), 1.0)
    edges: list[Segment] = []
    holes: list[tuple[float, float, float]] = []
    for entity in document.modelspace():
        kind, d = entity.dxftype(), entity.dxf
        if kind == "CIRCLE":
            holes.append((d.center.x * mm, d.center.y * mm, 2 * d.radius * mm))
        elif kind == "LINE":
            edges.append(segment((d.start.x * mm, d.start.y * mm, 0.0), (d.end.x * mm, d.end.y * mm, 0.0)))
        elif kind == "ARC":
            sweep = math.radians(d.end_angle - d.start_angle) % (2 * math.pi)
            edges.append(_arc(d.center.x * mm, d.center.y * mm, d.radius * mm, math.radians(d.start_angle), sweep))
        elif kind in ("LWPOLYLINE", "POLYLINE"):
            _take(_vertices(entity, mm), edges, holes)
        else:
            raise ValueError(f"{path.name}: {kind} is no line, arc or circle")
    return Traced(edges, np.array(holes, float).reshape(-1, 3))


def _arc(x: float, y: float, r: float, begins: float, sweep: float) -> Segment:
    ends = begins + sweep
    start, end = (x + r * math.cos(begins), y + r * math.sin(begins)), (x + r * math.cos(ends), y + r * math.sin(ends))
    return Segment(start, end, (x, y), math.copysign(r, sweep), begins, sweep)


def _vertices(entity: Any, mm: float) -> list[Vertex]:
    if entity.dxftype() == "LWPOLYLINE":
        points, closed = [tuple(p) for p in entity.get_points("xyb")], entity.closed
    else:
        points = [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0.0)) for v in entity.vertices]
        closed = entity.is_closed
    if not closed:
        raise ValueError("an open polyline is no outline")
    return [(x * mm, y * mm, b) for x, y, b in points]


def _take(loop: list[Vertex], edges: list[Segment], holes: list[tuple[float, float, float]]) -> None:
    made = [s for s in segments(loop) if s.length > 1e-9]
    whole = abs(abs(sum(s.sweep for s in made)) - 2 * math.pi) < 1e-3
    if len(made) == 2 and all(s.radius for s in made) and whole and math.dist(made[0].centre, made[1].centre) < 1e-4:
        holes.append((*made[0].centre, 2 * abs(made[0].radius)))
    else:
        edges += made


def truth_edges(truth: dict[str, Any]) -> Traced:
    """The outline and holes of a ``truth.json``."""
    loops = [[tuple(v) for v in loop] for loop in [truth["outer"], *truth["inner"]]]
    return traced_of(loops, [(c["x"], c["y"], c["d"]) for c in truth["circles"]])


# ------------------------------------------------------------------ distances


def points_on(edges: list[Segment], step: float) -> np.ndarray:
    """Points in the middle of equal pieces no longer than ``step``, at least two on each edge."""
    out = []
    for s in edges:
        n = max(2, math.ceil(s.length / step))
        out.append(s.points((np.arange(n) + 0.5) / n))
    return np.vstack(out)


def distances(edges: list[Segment], points: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Distance of each point to the nearest edge, and the unit vector away from it."""
    best = np.full(len(points), np.inf)
    away = np.zeros_like(points)
    for s in edges:
        d, side, nx, ny = measure(s, points[:, 0], points[:, 1])
        beside = d - np.abs(side) < 1e-12
        ends = np.array([s.start, s.end])
        gap = points[:, None, :] - ends
        nearer = gap[np.arange(len(points)), np.hypot(gap[..., 0], gap[..., 1]).argmin(axis=1)]
        to_end = nearer / np.maximum(np.hypot(nearer[:, 0], nearer[:, 1]), 1e-15)[:, None]
        outward = np.column_stack([nx, ny]) * np.where(side < 0, -1.0, 1.0)[:, None]
        closer = d < best
        best = np.where(closer, d, best)
        away = np.where(closer[:, None], np.where(beside[:, None], outward, to_end), away)
    return best, away


def spread(d: np.ndarray) -> Spread:
    if not len(d):
        return Spread(0.0, 0.0, 0.0)
    return Spread(float(np.sqrt((d * d).mean())), float(np.percentile(d, 95)), float(d.max()))


# ------------------------------------------------------------------ placement


@dataclass(frozen=True)
class Place:
    """A rigid motion: mirrored in x first if so, then turned, then shifted."""

    x: float
    y: float
    angle: float
    mirrored: bool

    def rotation(self) -> np.ndarray:
        c, s = math.cos(self.angle), math.sin(self.angle)
        turn = np.array([[c, -s], [s, c]])
        return turn @ np.diag([-1.0, 1.0]) if self.mirrored else turn

    def points(self, p: np.ndarray) -> np.ndarray:
        return p @ self.rotation().T + (self.x, self.y)

    def edge(self, s: Segment) -> Segment:
        start, end, centre = self.points(np.array([s.start, s.end, s.centre]))
        if not s.radius:
            return Segment(tuple(start), tuple(end))
        hand = -1.0 if self.mirrored else 1.0
        begins = self.angle + (math.pi - s.begins if self.mirrored else s.begins)
        return Segment(tuple(start), tuple(end), tuple(centre), hand * s.radius, begins, hand * s.sweep)


def _with_circles(t: Traced) -> list[Segment]:
    return t.edges + [full_circle(*c) for c in t.circles]


def placed(true: Traced, traced: Traced, *, mirror: bool = True) -> Place:
    """The rigid motion that takes the traced footprint onto the true one best.

    Least squares over outline and holes, weights falling beyond three medians so that one lost feature does not drag
    all others. A symmetric part fits in several ways: the best of them counts.
    """
    goal = _with_circles(true)
    coarse, fine = points_on(goal, 0.5), points_on(_with_circles(traced), FIT_STEP)
    few = fine[:: max(1, len(fine) // 300)]
    tree = cKDTree(coarse)
    starts: list[tuple[float, Place]] = []
    for mirrored in (False, True) if mirror else (False,):
        for degrees in range(0, 360, 3):
            place = Place(0.0, 0.0, math.radians(degrees), mirrored)
            shift = coarse.mean(axis=0) - place.points(fine).mean(axis=0)
            place = replace(place, x=float(shift[0]), y=float(shift[1]))
            starts.append((float(np.minimum(tree.query(place.points(few))[0], 5.0).mean()), place))
    starts.sort(key=lambda s: s[0])
    near = [_refined(goal, few, place, 12)[1] for place in _unlike([p for _, p in starts], 0.1)[:10]]
    near.sort(key=lambda p: float(distances(goal, p.points(few))[0].mean()))
    return min((_refined(goal, fine, p, 40) for p in _unlike(near, 0.01)[:6]), key=lambda d: d[0])[1]


def _unlike(places: list[Place], least: float) -> list[Place]:
    """The places in their order, without those that a better one is like, to ``least`` radians."""
    kept: list[Place] = []
    for p in places:
        if all(p.mirrored != q.mirrored or abs(math.remainder(p.angle - q.angle, 2 * math.pi)) > least for q in kept):
            kept.append(p)
    return kept


def _refined(goal: list[Segment], points: np.ndarray, place: Place, rounds: int) -> tuple[float, Place]:
    """Gauss-Newton on distances to the exact edges; return the root mean square too."""
    d = np.zeros(0)
    for _ in range(rounds):
        moved = place.points(points)
        d, n = distances(goal, moved)
        arm = moved - (place.x, place.y)
        slope = np.column_stack([n, n[:, 1] * arm[:, 0] - n[:, 0] * arm[:, 1]])
        w = np.sqrt(1.0 / np.maximum(1.0, d / max(3.0 * float(np.median(d)), 1e-6)))
        step = np.linalg.lstsq(slope * w[:, None], -d * w, rcond=None)[0]
        place = replace(place, x=place.x + step[0], y=place.y + step[1], angle=place.angle + step[2])
        if np.abs(step).max() < 1e-9:
            break
    return float(np.sqrt((d * d).mean())), place


# ------------------------------------------------------------------ the score


def score(truth: dict[str, Any], traced: Traced, *, mirror: bool = True) -> Score:
    """Hold a traced footprint against a truth.

    Raises: ValueError: no outline, or one of quite another size (a wrong unit).
    """
    true = truth_edges(truth)
    if not traced.edges:
        raise ValueError("no outline was traced")
    size = np.ptp(points_on(traced.edges, 1.0), axis=0).max() / np.ptp(points_on(true.edges, 1.0), axis=0).max()
    if not 0.2 < size < 5.0:
        raise ValueError(f"the traced outline is {size:.3g} times as large as the true one: wrong units?")
    place = placed(true, traced, mirror=mirror)
    moved = [place.edge(s) for s in traced.edges]
    there, here = points_on(moved, STEP), points_on(true.edges, STEP)
    out, back = distances(true.edges, there)[0], distances(moved, here)[0]
    spoilt_out, spoilt_back = damaged_near(truth, there), damaged_near(truth, here)
    both, spoilt = np.concatenate([out, back]), np.concatenate([spoilt_out, spoilt_back])
    diameters, centres, pairs = _holes(truth, true, traced, place)
    lines = sum(1 for s in traced.edges if not s.radius)
    return Score(
        both=spread(both[~spoilt]), out=spread(out[~spoilt_out]), back=spread(back[~spoilt_back]), whole=spread(both),
        at_damage=float(both[spoilt].max()) if spoilt.any() else 0.0, diameters=diameters, centres=centres,
        holes=(len(true.circles), len(traced.circles), len(pairs)),
        counts={"lines": lines, "arcs": len(traced.edges) - lines, "circles": len(traced.circles)},
        true_counts=truth["primitives"], covered=_covered(true, traced, moved, place, pairs),
        place=place,
    )  # fmt: skip


def damaged_near(truth: dict[str, Any], points: np.ndarray) -> np.ndarray:
    """Which points lie within half a millimetre of a chip or burr."""
    spoilt = np.zeros(len(points), bool)
    hurt = truth["imperfections"]
    places = [(x, y, r) for x, y, r in hurt.get("chips_xy_radius_mm", [])]
    places += [(x, y, 3 * sigma) for x, y, _, sigma in hurt.get("burrs_xy_height_sigma_mm", [])]
    for x, y, r in places:
        spoilt |= np.hypot(points[:, 0] - x, points[:, 1] - y) < r + ASIDE
    return spoilt


def _holes(
    truth: dict[str, Any], true: Traced, traced: Traced, place: Place
) -> tuple[dict[str, float], list[float], list[tuple[int, int]]]:
    """Errors of diameters, of all centre distances, and which traced hole is which true one."""
    if not (len(true.circles) and len(traced.circles)):
        return {}, [], []
    at = place.points(traced.circles[:, :2])
    gaps = at[None, :, :] - true.circles[:, None, :2]
    apart = np.hypot(gaps[..., 0], gaps[..., 1]) + 0.3 * np.abs(true.circles[:, None, 2] - traced.circles[None, :, 2])
    pairs = [(i, j) for i, j in zip(*linear_sum_assignment(apart), strict=True) if apart[i, j] < MATCHED]
    diameters = {truth["circles"][i]["id"]: float(traced.circles[j, 2] - true.circles[i, 2]) for i, j in pairs}
    centres = [
        math.dist(at[j], at[q]) - math.dist(true.circles[i, :2], true.circles[p, :2])
        for n, (i, j) in enumerate(pairs)
        for p, q in pairs[:n]
    ]
    return diameters, centres, [(int(i), int(j)) for i, j in pairs]


def _covered(
    true: Traced, traced: Traced, moved: list[Segment], place: Place, pairs: list[tuple[int, int]]
) -> list[bool]:
    """For every stated interval, whether the truth lies in it; arcs go with the true arc that they lie on."""
    found: list[bool] = []
    turn = place.rotation()

    def judge(doubt: Doubt | None, radius_off: float, centre_off: np.ndarray) -> None:
        if doubt and doubt.radius is not None:
            found.append(abs(radius_off) <= doubt.radius)
        if doubt and doubt.centre is not None:
            turned = turn @ doubt.centre @ turn.T
            found.append(float(centre_off @ np.linalg.solve(turned, centre_off)) <= CHI2_95_2D)

    for i, j in pairs:
        doubt = traced.circle_doubts[j] if traced.circle_doubts else None
        at = place.points(traced.circles[j : j + 1, :2])[0]
        judge(doubt, (traced.circles[j, 2] - true.circles[i, 2]) / 2, at - true.circles[i, :2])
    for s, doubt in zip(moved, traced.edge_doubts, strict=False):
        own = _arc_under(true.edges, s) if doubt and s.radius else None
        if own:
            judge(doubt, abs(s.radius) - abs(own.radius), np.array(s.centre) - np.array(own.centre))
    return found


def _arc_under(edges: list[Segment], arc: Segment) -> Segment | None:
    """The true arc that a traced one's middle lies on, if it bends the same way."""
    middle = arc.points(np.array([0.5]))
    bend = middle[0] - np.array(arc.centre)
    near = [
        (float(measure(s, middle[:, 0], middle[:, 1])[0][0]), i)
        for i, s in enumerate(edges)
        if s.radius and float((middle[0] - np.array(s.centre)) @ bend) > 0
    ]
    least = min(near, default=(math.inf, -1))
    return edges[least[1]] if least[0] < 0.3 else None
