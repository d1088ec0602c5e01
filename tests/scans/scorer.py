"""How far a traced footprint lies from the truth: best rigid placement, distances both ways, holes, counts, coverage.

Placement is by rotation, shift and perhaps a mirror; a footprint 0.4 % too large is that wrong. A best scale may be
freed beside that, to tell what is wrong with the shape alone.
Distances are exact ones, from points every 0.05 mm to the lines and arcs of the other outline.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import ezdxf
import numpy as np
from scipy.optimize import linear_sum_assignment

from tests.scans.placing import Place, distances, placed_edges, points_on, rescaled
from tests.scans.scan_shape import Segment, Vertex, full_circle, measure, segment, segments

STEP = 0.05
"""Distance of points on the outlines, mm."""
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
class Listed:
    """A chip or burr that was listed: place in the footprint's frame, depth (negative: metal missing), length, mm."""

    at: tuple[float, float]
    off: float
    length: float


@dataclass(frozen=True)
class Traced:
    """A traced footprint: edges of outline and cut-outs, hole circles (x, y, d), doubts that go with both, damage."""

    edges: list[Segment]
    circles: np.ndarray
    edge_doubts: list[Doubt | None] = field(default_factory=list)
    circle_doubts: list[Doubt | None] = field(default_factory=list)
    listed: list[Listed] = field(default_factory=list)

    @property
    def every_edge(self) -> list[Segment]:
        """Edges and hole circles."""
        return self.edges + [full_circle(*c) for c in self.circles]


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


def spread(d: np.ndarray) -> Spread:
    if not len(d):
        return Spread(0.0, 0.0, 0.0)
    return Spread(float(np.sqrt((d * d).mean())), float(np.percentile(d, 95)), float(d.max()))


# ------------------------------------------------------------------ the score


def placed(true: Traced, traced: Traced, *, mirror: bool = True) -> Place:
    """The rigid motion that takes the traced footprint onto the true one best."""
    return placed_edges(true.every_edge, traced.every_edge, mirror=mirror)


def score(truth: dict[str, Any], traced: Traced, *, mirror: bool = True) -> Score:
    """Hold a traced footprint against a truth.

    Raises: ValueError: no outline, or one of quite another size (a wrong unit).
    """
    true = truth_edges(truth)
    _demand_size(true, traced)
    return _score(truth, true, traced, placed(true, traced, mirror=mirror))


def shape_score(truth: dict[str, Any], traced: Traced, place: Place) -> Score:
    """Hold a traced footprint against a truth with a best scale freed, from where it was placed without one."""
    true = truth_edges(truth)
    return _score(truth, true, traced, rescaled(true.every_edge, traced.every_edge, place))


def _demand_size(true: Traced, traced: Traced) -> None:
    """Refuse what cannot be compared.

    Raises: ValueError: no outline, or one of quite another size (a wrong unit).
    """
    if not traced.edges:
        raise ValueError("no outline was traced")
    size = np.ptp(points_on(traced.edges, 1.0), axis=0).max() / np.ptp(points_on(true.edges, 1.0), axis=0).max()
    if not 0.2 < size < 5.0:
        raise ValueError(f"the traced outline is {size:.3g} times as large as the true one: wrong units?")


def _score(truth: dict[str, Any], true: Traced, traced: Traced, place: Place) -> Score:
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
    diameters = {
        truth["circles"][i]["id"]: float(place.scale * traced.circles[j, 2] - true.circles[i, 2]) for i, j in pairs
    }
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
        judge(doubt, (place.scale * traced.circles[j, 2] - true.circles[i, 2]) / 2, at - true.circles[i, :2])
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
