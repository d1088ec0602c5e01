"""From runs of points to primitives and the joints between them."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.trace.circles import geometric_circle
from generator.trace.misfits import SLACK, Misfits, fitted_to
from generator.trace.primitives import ARC, CIRCLE, LINE, Primitive, crossing, distance, fitted, touching_radius
from generator.trace.reading_equations import Joint
from generator.trace.segmenting import (
    ARC_PRICE,
    CORNER,
    DAMAGE,
    DAMAGE_MOST_MM,
    DAMAGE_POINT,
    DAMAGE_PRICE,
    LINE_PRICE,
    PRICES,
    Run,
    noise,
    segment,
)
from generator.trace.short_edges import line_between
from generator.trace.unknowns import HEAD

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LEAST_NOISE_MM: Final = 0.002
BLUNT_MM: Final = 0.06
BLUNT_SHARE: Final = 0.2
"""Blur and pooling keep points off a square corner by this and this share of their spacing; a fillet more (0.41 r)."""
ALIKE_MOST: Final = 24.0
"""Chi-square that likeness of neighbours counts at most: less than any price of one more (chosen)."""
APART: Final = 2.0
"""Neighbours this many times as far apart as is usual have something hidden between them."""
LEAST_RADIUS_MM: Final = 0.3
"""A corner of a smaller radius is taken to be sharp (chosen)."""
LARGEST_FILLET_MM: Final = 6.0
FEWEST: Final = 4
"""A run of fewer points between two others is what blur left of a corner."""


@frozen_record(eq=False)
class Row:
    """The points of one loop, mm by the nominal scale, y up.

    Attributes:
        points: shape (n, 2).
        normals: unit normals away from the material.
        sigma: standard deviation of each across the edge, mm.
        loop: 0 for the outline, else the number of what is open in it.
        modes: how far each unknown of a camera moves each point, mm for its standard deviation, shape (n, 2, m).
    """

    points: Floats
    normals: Floats
    sigma: Floats
    loop: int
    modes: Floats | None = None

    def seen(self, head: Floats) -> Floats:
        """Return the points with the camera's unknowns, which stand after the scanner's, shape (n, 2)."""
        if self.modes is None:
            return self.points
        moved: Floats = self.points + self.modes @ head[HEAD : HEAD + self.modes.shape[2]]
        return moved

    def forwards(self) -> Row:
        """Return the row counter-clockwise."""
        x, y = self.points.T
        if float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) >= 0.0:
            return self
        modes = None if self.modes is None else self.modes[::-1]
        return Row(self.points[::-1], self.normals[::-1], self.sigma[::-1], self.loop, modes)

    def length(self, at: Ints) -> float:
        """Return how long the way along some of its points is, mm."""
        return float(np.hypot(*np.diff(self.points[at], axis=0).T).sum())

    def weighed(self) -> Row:
        """Return the row with the noise of its own points added to what each says of itself."""
        own = max(noise(self.points, self.normals), LEAST_NOISE_MM)
        return Row(self.points, self.normals, np.hypot(own, self.sigma), self.loop, self.modes)


@frozen_record(eq=False)
class Loop:
    """Primitives of one loop in order, the points of each, and what was left out.

    Attributes:
        primitives: in order round the loop.
        points: for each primitive the indices of its points in the row.
        near: for each primitive the place (mm) where it meets the one after it.
        left_out: indices of the points of chips, burrs and corners.
    """

    primitives: tuple[Primitive, ...]
    points: tuple[Ints, ...]
    near: tuple[tuple[float, float], ...]
    left_out: Ints


def loop_of(row: Row, *, circle_first: bool) -> Loop:
    """Return the primitives of a row of points.

    Args:
        row: the points.
        circle_first: whether one circle is tried before all else (a hole).
    """
    n = len(row.points)
    whole = np.arange(n)
    if circle_first and _is_circle(row):
        circle = fitted(CIRCLE, row.points, row.normals, 1.0 / row.sigma**2, row.loop)
        return Loop((circle,), (whole,), (), np.zeros(0, dtype=np.int64))
    runs = _merged(row, _settled(row, segment(row.points, row.sigma * SLACK)))
    if len(runs) == 1:
        circle = fitted(CIRCLE, row.points, row.normals, 1.0 / row.sigma**2, row.loop)
        return Loop((circle,), (runs[0].taken,), (), np.setdiff1d(whole, runs[0].taken))
    runs = _with_short_lines(row, _bridged(row, runs))
    taken = [r.taken for r in runs]
    primitives = tuple(fitted_to(row, r.kind, i) for r, i in zip(runs, taken, strict=True))
    near = []
    for r, after in zip(runs, [*runs[1:], runs[0]], strict=True):
        gap = (after.first - r.last) % n
        between = (r.last + np.arange(gap + 1)) % n
        middle = row.points[between].mean(axis=0)
        near.append((float(middle[0]), float(middle[1])))
    left = np.setdiff1d(whole, np.concatenate(taken))
    return Loop(primitives, tuple(taken), tuple(near), left)


def joints_of(loop: Loop, first: int) -> tuple[Joint, ...]:
    """Return the joints of a loop whose first primitive has the given number; a circle has none."""
    n = len(loop.primitives)
    if n < 2:
        return ()
    return tuple(Joint(first + (i - 1) % n, first + i, loop.near[i - 1], False) for i in range(n))


def _inner(indices: Ints) -> Ints:
    """Return a run's points without its ends, which lie partly on the neighbours."""
    cut = 1 if len(indices) >= 5 else 0
    return indices[cut : len(indices) - cut]


def _is_circle(row: Row) -> bool:
    """Tell whether one circle explains a loop, few points of dirt aside."""
    try:
        c = geometric_circle(row.points, 1.0 / row.sigma**2)
    except ValueError:
        return False
    off = np.hypot(row.points[:, 0] - c.x, row.points[:, 1] - c.y) - c.radius
    scale = 1.4826 * float(np.median(np.abs(off)))
    # a scanner's aspect makes ellipses of half a percent, a shadow taken for the edge more; slots are far from either
    return scale < max(3.0 * float(np.median(row.sigma)), 0.02 * c.radius)


def _settled(row: Row, runs: list[Run]) -> list[Run]:
    """Return the runs of lines and arcs: what is too short between two others is a corner's blur."""
    kept = [r for r in runs if r.kind not in (CORNER, DAMAGE) and len(r.indices(len(row.points))) >= FEWEST]
    return kept or runs


def _merged(row: Row, runs: list[Run]) -> list[_Part]:
    """Return the runs with neighbours joined that one primitive explains, damage between them left out."""
    n = len(row.points)
    misfits = Misfits(row)
    parts = [_plain(_Part(r.kind, r.first, r.last, _inner(r.indices(n))), misfits) for r in runs]
    i = 0
    while len(parts) > 1 and i < len(parts):
        for over in (1, 2):
            if len(parts) <= over + (over > 1):
                continue
            row_of = [parts[(i + k) % len(parts)] for k in range(over + 1)]
            joined = _joined(row, row_of, misfits)
            if joined is not None:
                gone = sorted(((i + k) % len(parts) for k in range(1, over + 1)), reverse=True)
                parts[i] = joined
                for g in gone:
                    del parts[g]
                i = -1
                break
        i += 1
    return parts


def _plain(part: _Part, misfits: Misfits) -> _Part:
    """Return an arc as a line where its inner points do not pay for an arc: its ends lay on its neighbours."""
    if part.kind != ARC or len(part.taken) < FEWEST:
        return part
    saved = misfits.of(LINE, part.taken) - misfits.of(ARC, part.taken)
    return part if saved > ARC_PRICE - LINE_PRICE else part._replace(kind=LINE)


def _bridged(row: Row, parts: list[_Part]) -> list[_Part]:
    """Return the runs with a line put where two neighbours do not meet: a short edge that damage left in pieces."""
    n = len(row.points)
    out: list[_Part] = []
    for a, b in zip(parts, [*parts[1:], parts[0]], strict=True):
        out.append(a)
        gap = (b.first - a.last) % n
        if gap < 2:
            continue
        between = (a.last + np.arange(gap + 1)) % n
        start, end = row.points[between[0]], row.points[between[-1]]
        p, q = fitted_to(row, a.kind, a.taken), fitted_to(row, b.kind, b.taken)
        middle = row.points[between].mean(axis=0)
        at = np.array(crossing(p, q, (float(middle[0]), float(middle[1]))))
        fillet = _fillet(row, between, (p, q), _turn(row, a, b))
        if fillet is not None:
            out.append(fillet)
            continue
        room = float(np.hypot(*(end - start)))
        if min(np.hypot(*(at - start)), np.hypot(*(at - end)), np.hypot(*(at - middle))) < max(1.0, 0.8 * room):
            continue
        straight = _straightest(row, between)
        if len(straight) >= 3:
            out.append(_Part(LINE, int(between[0]), int(between[-1]), straight))
    return out


def _with_short_lines(row: Row, parts: list[_Part]) -> list[_Part]:
    """Return the runs with lines put between arcs where the points speak for them."""
    parts = list(parts)
    i = 0
    while i < len(parts) and len(parts) > 1:
        a, b = parts[i], parts[(i + 1) % len(parts)]
        if a.kind == b.kind == ARC:
            sigma = row.sigma * SLACK
            found = line_between(row.points, row.normals, sigma, (a.taken, b.taken), lambda at: fitted_to(row, ARC, at))
            if found is not None:
                line = _Part(LINE, int(found.line[0]), int(found.line[-1]), found.line)
                parts[i] = _Part(ARC, a.first, int(found.before[-1]), found.before)
                parts[(i + 1) % len(parts)] = _Part(ARC, int(found.after[0]), b.last, found.after)
                parts.insert(i + 1, line)
                i += 1
        i += 1
    return parts


def _turn(row: Row, a: _Part, b: _Part) -> float:
    """Return by how much the outline turns between two neighbours, rad: from the normals at their facing ends."""
    n, m = row.normals[a.taken[-3:]].mean(axis=0), row.normals[b.taken[:3]].mean(axis=0)
    return float(np.arccos(np.clip(n @ m / max(float(np.hypot(*n) * np.hypot(*m)), 1e-9), -1.0, 1.0)))


def _fillet(row: Row, between: Ints, sides: tuple[Primitive, Primitive], turn: float) -> _Part | None:
    """Return a small arc between two neighbours, where the points stay clear of both."""
    inner = between[1:-1]
    clear = float(np.minimum(*(np.abs(distance(p, row.points[inner])) for p in sides)).max())
    steps = np.hypot(*np.diff(row.points[between], axis=0).T)
    usual = float(np.median(np.hypot(*np.diff(row.points, axis=0).T)))
    spacing = float(np.median(steps)) if len(inner) > 2 else usual
    # of an arc in an opening of a thick plate both faces may hide a piece: few points, far apart
    hidden = float(steps.max()) > APART * usual
    if len(inner) < 3 and not hidden:
        return None
    sigma = float(np.median(row.sigma))
    blunt = (BLUNT_MM + BLUNT_SHARE * spacing) * float(np.tan(0.5 * min(turn, 2.5))) + 3.0 * sigma
    if not min(blunt, BLUNT_MM if hidden else blunt) < clear < 3.0:
        return None
    if hidden:
        taken = inner if len(inner) > 2 else between
        return _Part(ARC, int(between[0]), int(between[-1]), taken) if _like_fillet(row, inner, sides, turn) else None
    try:
        arc = fitted_to(row, ARC, inner)
    except (ValueError, np.linalg.LinAlgError):
        return None
    off = np.abs(distance(arc, row.points[inner]))
    # an arc that touches both stays clear of them by this; chips at a corner do not
    due = arc.values[2] * (1.0 - float(np.cos(0.5 * turn)))
    if (
        float(np.median(off)) > max(4.0 * sigma, 0.03)
        or arc.values[2] > LARGEST_FILLET_MM
        or not 0.6 < clear / due < 1.7
    ):
        return None
    return _Part(ARC, int(between[0]), int(between[-1]), inner)


def _like_fillet(row: Row, inner: Ints, sides: tuple[Primitive, Primitive], turn: float) -> bool:
    """Tell whether the point farthest from both sides lies on a circle of sensible size that touches both."""
    if any(p.kind != LINE for p in sides):
        return False
    d, e = (np.abs(distance(p, row.points[inner])) for p in sides)
    i = int(np.argmax(np.minimum(d, e)))
    radius = touching_radius(float(d[i]), float(e[i]), float(np.cos(turn)))
    return radius is not None and LEAST_RADIUS_MM < radius < LARGEST_FILLET_MM


def _straightest(row: Row, at: Ints) -> Ints:
    """Return most points of a run that lie on one line (least median of squares over all pairs, Rousseeuw 1984)."""
    p = row.points[at]
    best: tuple[float, Floats] | None = None
    for i in range(len(at)):
        for k in range(i + 2, len(at)):
            d = p[k] - p[i]
            off = np.abs((p - p[i]) @ np.array([-d[1], d[0]])) / max(float(np.hypot(*d)), 1e-9)
            score = float(np.sort(off)[len(at) // 2])
            if best is None or score < best[0]:
                best = (score, off)
    if best is None:
        return at[:0]
    return at[best[1] < max(4.0 * float(np.median(row.sigma[at])), 0.03)]


class _Part(NamedTuple):
    """A run and those of its points that count."""

    kind: str
    first: int
    last: int
    taken: Ints


def _joined(row: Row, parts: list[_Part], misfits: Misfits) -> _Part | None:
    """Return the first and last of two or three neighbours as one, those between as damage, if that is simpler."""
    if len(parts) > 2 and row.length(parts[1].taken) > DAMAGE_MOST_MM:
        return None
    a, b = parts[0], parts[-1]
    now = sum(misfits.of(p.kind, p.taken) + PRICES[p.kind] for p in parts)
    given_up = sum(DAMAGE_PRICE + DAMAGE_POINT * len(p.taken) for p in parts[1:-1])
    both = np.concatenate([a.taken, b.taken])
    best: tuple[float, str] | None = None
    alike = _alike(misfits.fit(a.kind, a.taken), misfits.fit(b.kind, b.taken))
    for kind in sorted({a.kind, b.kind}):
        gain = now - misfits.of(kind, both, len(a.taken)) - PRICES[kind] - given_up + alike
        if gain > 0.0 and (best is None or gain > best[0]):
            best = (gain, kind)
    return None if best is None else _Part(best[1], a.first, b.last, both)


def _alike(p: Primitive, q: Primitive) -> float:
    """Return what it would cost, as chi-square, to believe that two neighbours are so much alike by chance.

    Twice the negative logarithm of the share of all directions (radii, centres) that lie as near as theirs.
    """
    if p.kind != q.kind or p.side != q.side:
        return 0.0
    if p.kind == LINE:
        shares = [abs((p.values[0] - q.values[0] + np.pi) % (2.0 * np.pi) - np.pi) / np.pi]
    else:
        shares = list(np.abs(np.subtract(p.values, q.values)) / min(p.values[2], q.values[2]))
    return min(ALIKE_MOST, -2.0 * float(np.log(np.clip(shares, 1e-6, 1.0)).sum()))
