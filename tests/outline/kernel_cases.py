"""Outlines that are hard for offsets and booleans, made by rule: one generator a kind, a seed picks the member."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import pairwise
from math import acos, atan2, cos, hypot, pi, sin, sqrt, tan
from random import Random

from generator.outline.contour import Contour
from generator.outline.region import Region

Vertices = list[tuple[float, float, float]]
DISTANCES = (-3.0, -1.0, -0.3, -0.05, 0.05, 0.3, 1.0, 3.0, 10.0)


@dataclass(frozen=True)
class Case:
    """A region, and distances at which something just closes or vanishes (there, loop counts are a matter of taste)."""

    name: str
    region: Region
    critical: tuple[float, ...] = ()
    traced: bool = False


def turned(vertices: Iterable[tuple[float, ...]], angle: float, dx: float = 0.0, dy: float = 0.0) -> Contour:
    c, s = cos(angle), sin(angle)
    return Contour.of((x * c - y * s + dx, x * s + y * c + dy, *b) for x, y, *b in vertices)


def disc(x: float, y: float, r: float, angle: float = 0.0) -> Contour:
    return turned([(r, 0.0, 1.0), (-r, 0.0, 1.0)], angle, x, y)


def region(outer: Contour, *holes: Contour) -> Region:
    return Region.of([outer, *(h.reversed() for h in holes)])


def comb(rng: Random) -> Case:
    """Slots and teeth whose widths are twice a tested distance, turned by any angle."""
    slots = [rng.choice([0.1, 0.6, 2.0, 6.0, rng.uniform(0.2, 7.0)]) for _ in range(rng.randint(3, 9))]
    x, points = 0.0, []
    depth = rng.uniform(4.0, 20.0)
    for w in slots:
        tooth = rng.choice([0.6, 2.0, 6.0, rng.uniform(0.5, 8.0)])
        points += [(x, depth), (x + tooth, depth), (x + tooth, 0.0), (x + tooth + w, 0.0)]
        x += tooth + w
    tooth = rng.choice([2.0, 6.0, 4.0])
    points += [(x, depth), (x + tooth, depth), (x + tooth, -5.0), (0.0, -5.0)]
    return Case("comb", region(turned(points, rng.choice([0.0, rng.uniform(0, 6)]), 3.0, -4.0).reversed()), DISTANCES)


def band(rng: Random) -> Case:
    """A band of constant width between concentric arcs with round ends: collapses at half its width."""
    width = rng.choice([0.6, 2.0, 6.0])
    radius = rng.uniform(width, 30.0)
    sweep = rng.uniform(0.4, 2.9)
    outer, inner, b = radius + width / 2, radius - width / 2, tan(sweep / 4.0)
    at = [(outer, 0.0, b), (outer * cos(sweep), outer * sin(sweep), 1.0)]
    at += [(inner * cos(sweep), inner * sin(sweep), -b), (inner, 0.0, 1.0)]
    return Case("band", region(turned(at, rng.uniform(0, 6), 5.0, 1.0)), (-width / 2,))


def spiral(rng: Random) -> Case:
    """Half turns of growing radius, walls and gaps of the same width."""
    wall, gap = rng.choice([2.0, 6.0, 0.6]), rng.choice([2.0, 6.0, 0.6, 3.3])
    turns = rng.randint(3, 7)
    pitch = (wall + gap) / 2.0

    def side(offset: float) -> list[tuple[float, float, float]]:
        radius, centre, rows = 8.0 + offset, 0.0, []
        sign = 1.0
        for _ in range(turns):
            rows.append((centre + sign * radius, 0.0, 1.0))
            centre, radius, sign = centre - sign * pitch, radius + pitch, -sign
        rows.append((centre + sign * radius, 0.0, 0.0))
        return rows

    outer, inner = side(wall / 2), side(-wall / 2)
    rows = [*outer[:-1], (outer[-1][0], 0.0, 0.0)]
    back = [(inner[i][0], 0.0, -inner[i - 1][2] if i else 0.0) for i in range(turns, -1, -1)]
    return Case("spiral", region(turned([*rows, *back], rng.choice([0.0, 0.7]))), (-wall / 2, gap / 2))


def gear(rng: Random) -> Case:
    teeth, r0, r1 = rng.randint(5, 30), rng.uniform(8.0, 20.0), 0.0
    r1 = r0 + rng.uniform(1.0, 5.0)
    rows: Vertices = []
    for i in range(teeth):
        a = 2 * pi * i / teeth
        step = 2 * pi / teeth
        share = rng.uniform(0.3, 0.6)
        b = tan(step * share / 4)
        c = tan(step * (1 - share) / 4)
        rows.append((r0 * cos(a), r0 * sin(a), b))
        rows.append((r0 * cos(a + step * share), r0 * sin(a + step * share), 0.0))
        rows.append((r1 * cos(a + step * share), r1 * sin(a + step * share), c))
        rows.append((r1 * cos(a + step), r1 * sin(a + step), 0.0))
    return Case("gear", region(Contour.of(rows), disc(0.5, 0.2, r0 * rng.uniform(0.2, 0.6))))


def hull_of_two(x: float, r: float, s: float) -> Vertices:
    """Return the belt round discs of radius r at the origin and s at (x, 0)."""
    a = acos((r - s) / x)
    far, near = tan((2 * a) / 4), tan((2 * pi - 2 * a) / 4)
    rows = [(x + s * cos(-a), s * sin(-a), far), (x + s * cos(a), s * sin(a), 0.0)]
    return [*rows, (r * cos(a), r * sin(a), near), (r * cos(-a), r * sin(-a), 0.0)]


def link(rng: Random) -> Case:
    r, s = rng.uniform(3.0, 12.0), rng.uniform(3.0, 12.0)
    x = rng.uniform(abs(r - s) + 2.0, 40.0)
    holes = [disc(0.0, 0.0, r - 2.0), disc(x, 0.0, s - 2.0)] if x > r + s - 3.0 else []
    angle = rng.uniform(0, 6)
    c, t = cos(angle), sin(angle)
    moved = [disc(v * c, v * t, q) for v, q in ((0.0, r - 2.0), (x, s - 2.0))] if holes else []
    return Case("link", region(turned(split(hull_of_two(x, r, s)), angle), *moved), (-1.0,))


def split(rows: Vertices) -> Vertices:
    """Return the same closed chain with arcs over half a circle cut in two."""
    done: Vertices = []
    for (x, y, b), (ex, ey, _) in zip(rows, [*rows[1:], rows[0]], strict=True):
        if abs(b) <= 1.0:
            done.append((x, y, b))
            continue
        half = (sqrt(1.0 + b * b) - 1.0) / b
        mx, my = (x + ex) / 2 + b * (ey - y) / 2, (y + ey) / 2 - b * (ex - x) / 2
        done += [(x, y, half), (mx, my, half)]
    return done


def waist(rng: Random) -> Case:
    """Two discs joined by hollow tangent arcs."""
    r = rng.uniform(4.0, 12.0)
    x = rng.uniform(2 * r + 1.0, 40.0)
    low = max(x / 2.0 - r, (x * x / 4.0 - r * r) / (2.0 * r)) + 1.5
    hollow = rng.uniform(low, low + 30.0)
    h = sqrt((r + hollow) ** 2 - x * x / 4.0)
    a = atan2(h, x / 2.0)
    px, py = r * cos(a), r * sin(a)
    half = tan((pi - 2 * a) / 4.0)
    big = tan((2 * pi - 2 * a) / 4.0)
    rows = [(px, -py, -half), (x - px, -py, big), (x - px, py, -half), (px, py, big)]
    return Case("waist", region(turned(split(rows), rng.uniform(0, 6))))


def islands(rng: Random) -> Case:
    """Rectangles and discs with gaps of exactly twice a distance."""
    gap = rng.choice([0.1, 0.6, 2.0, 6.0])
    angle = rng.choice([0.0, rng.uniform(0, 6)])
    boxes, x = [], 0.0
    for _ in range(rng.randint(2, 4)):
        w, h = rng.uniform(3.0, 10.0), rng.uniform(4.0, 12.0)
        boxes.append(turned([(x, -1.0), (x + w, -1.0), (x + w, h), (x, h)], angle))
        x += w + gap
    c, s, r = cos(angle), sin(angle), rng.uniform(2.0, 6.0)
    boxes.append(disc((x + r) * c - 2.0 * s, (x + r) * s + 2.0 * c, r, rng.choice([0.0, angle, 1.0])))
    return Case("islands", Region.of(boxes), (gap / 2,))


def discs(rng: Random) -> Case:
    """Discs that will touch in one point, standing free or as holes of a plate."""
    gap, r = rng.choice([0.1, 0.6, 2.0, 6.0]), rng.uniform(2.0, 8.0)
    angle = rng.choice([0.0, pi / 2, rng.uniform(0, 6)])
    far = 2.0 * r + gap
    some = [disc(i * far * cos(angle), i * far * sin(angle), r, rng.choice([0.0, angle])) for i in range(3)]
    if rng.random() < 0.5:
        return Case("discs", Region.of(some), (gap / 2,))
    return Case("holes", region(disc(far * cos(angle), far * sin(angle), 3.5 * r + 2 * gap), *some), (-gap / 2,))


def tiny(rng: Random) -> Case:
    """A box with chamfers, fillets or notches of some micrometres."""
    w, h, t = rng.uniform(5.0, 40.0), rng.uniform(5.0, 40.0), rng.choice([0.005, 0.002, 0.02, 0.0005])
    b = rng.choice([0.0, tan(pi / 8), -tan(pi / 8), 0.2])
    rows = [(t, 0.0, 0.0), (w - t, 0.0, b), (w, t, 0.0), (w, h - t, b), (w - t, h, 0.0)]
    rows += [(w / 2 + t, h, 0.0), (w / 2, h - t, 0.0), (w / 2 - t, h, 0.0)] if rng.random() < 0.5 else []
    rows += [(t, h, b), (0.0, h - t, 0.0), (0.0, t, b)]
    return Case("tiny", region(turned(rows, rng.choice([0.0, rng.uniform(0, 6)]))))


def star(rng: Random) -> Case:
    n = rng.randint(3, 11)
    rows = []
    for i in range(2 * n):
        r = rng.uniform(3.0, 8.0) if i % 2 else rng.uniform(10.0, 25.0)
        a = pi * (i + rng.uniform(-0.3, 0.3)) / n
        rows.append((r * cos(a), r * sin(a), rng.choice([0.0, 0.0, rng.uniform(-0.08, 0.08)])))
    return Case("star", Region.of([Contour.of(rows)]))


def smooth(rng: Random, points: int = 0) -> Case:
    """A closed tangent-continuous chain of biarcs through a wavy curve, as fitted text is."""
    n = points or rng.randint(20, 90)
    waves = [(k, rng.uniform(-1.0, 1.0) * 0.9 / k, rng.uniform(0, 6)) for k in range(2, 8)]
    scale = rng.choice([2.0, 5.0, 12.0])

    def at(t: float) -> tuple[float, float]:
        r = scale * (1.6 + 0.45 * sum(a * sin(k * t + p) for k, a, p in waves))
        return 1.4 * r * cos(t), r * sin(t)

    rows = biarcs([at(2 * pi * i / n) for i in range(n)])
    return Case("smooth", region(Contour.of(rows)))


def biarcs(points: list[tuple[float, float]]) -> Vertices:
    """Return tangent-continuous arcs through the points: tangents of the circles through three, then biarcs."""
    n = len(points)
    tangents = []
    for i in range(n):
        (ax, ay), (bx, by), (cx, cy) = points[i - 1], points[i], points[(i + 1) % n]
        chord_in, chord_out = atan2(by - ay, bx - ax), atan2(cy - by, cx - bx)
        turn = (chord_out - chord_in + pi) % (2 * pi) - pi
        share = hypot(bx - ax, by - ay) / (hypot(bx - ax, by - ay) + hypot(cx - bx, cy - by))
        tangents.append(chord_in + turn * share)
    rows: Vertices = []
    for i in range(n):
        (ax, ay), (bx, by) = points[i], points[(i + 1) % n]
        chord = atan2(by - ay, bx - ax)
        a = (chord - tangents[i] + pi) % (2 * pi) - pi
        b = (tangents[(i + 1) % n] - chord + pi) % (2 * pi) - pi
        # the two chords must leave the long chord to different sides: the middle tangent lies between a and -b
        rows += _biarc((ax, ay), tangents[i], (bx, by), tangents[(i + 1) % n], chord + (a - b) / 2.0)
    return rows


def _biarc(a: tuple[float, float], t0: float, b: tuple[float, float], t1: float, tm: float) -> Vertices:
    """Return two arcs with tangents t0 at a, tm where they meet, t1 at b."""
    (ax, ay), (bx, by) = a, b
    turn0 = (tm - t0 + pi) % (2 * pi) - pi
    turn1 = (t1 - tm + pi) % (2 * pi) - pi
    u, v = t0 + turn0 / 2.0, tm + turn1 / 2.0
    det = cos(u) * sin(v) - sin(u) * cos(v)
    if abs(det) < 1e-9:
        mx, my = (ax + bx) / 2.0, (ay + by) / 2.0
    else:
        k = ((bx - ax) * sin(v) - (by - ay) * cos(v)) / det
        mx, my = ax + k * cos(u), ay + k * sin(u)
    return [(ax, ay, tan(turn0 / 4.0)), (mx, my, tan(turn1 / 4.0))]


def glyphlike(rng: Random) -> Case:
    """A smooth outline with smooth holes, some of them near the edge."""
    outer = smooth(rng, rng.randint(24, 60)).region.contours[0]
    size = max(abs(v.x) for v in outer.vertices)
    n = rng.randint(8, 20)
    holes = []
    for x in (-0.35, 0.35):
        r = size * rng.uniform(0.08, 0.18)
        ring = [(size * x + r * cos(2 * pi * i / n), 1.3 * r * sin(2 * pi * i / n)) for i in range(n)]
        holes.append(Contour.of(biarcs(ring)))
    return Case("glyphlike", region(outer, *holes))


def traced(rng: Random, n: int = 0) -> Case:
    """A wavy outline traced with noise, straight segments only."""
    n = n or rng.choice([300, 600, 1200])
    waves = [(k, rng.uniform(-0.5, 0.5) / k, rng.uniform(0, 6)) for k in range(2, 6)]
    noise = rng.choice([0.005, 0.02, 0.05])
    rows = []
    for i in range(n):
        t = 2 * pi * i / n
        r = 25.0 * (1.5 + 0.4 * sum(a * sin(k * t + p) for k, a, p in waves)) + rng.gauss(0.0, noise)
        rows.append((1.3 * r * cos(t), r * sin(t)))
    return Case("traced", region(Contour.of(rows)), traced=True)


def near_tangent(rng: Random) -> Case:
    """A lens or notch of arcs that meet at almost no angle."""
    w = rng.uniform(10.0, 40.0)
    b, eps = rng.uniform(0.05, min(0.6, 6.0 / w)), rng.choice([1e-3, 1e-5, 1e-7, 0.02])
    rows = [
        (0.0, 0.0, -b),
        (w, 0.0, b + eps),
        (2 * w, 0.0, b),
        (2 * w, 12.0, 0.0),
        (w, 12.0, -b - eps),
        (0.0, 12.0, 0.0),
    ]
    return Case("near tangent", region(turned(rows, rng.uniform(0, 6))))


def touching_holes(rng: Random) -> Case:
    """Two holes a hair apart, near the edge of a plate."""
    gap = rng.choice([1e-7, 1e-6, 1e-5, 1e-3])
    r, s = rng.uniform(1.0, 5.0), rng.uniform(1.0, 5.0)
    a = rng.choice([0.0, rng.uniform(0, 6)])
    far = r + s + gap
    plate = turned([(-15.0, -8.0), (25.0, -8.0, 1.0), (25.0, 8.0), (-15.0, 8.0, 1.0)], a)
    return Case("touching holes", region(plate, disc(0, 0, r, a), disc(far * cos(a), far * sin(a), s, a)))


def necks(rng: Random) -> Case:
    """Blocks joined by necks as wide as, or a hair off, twice a distance."""
    w = rng.choice([0.1, 0.6, 2.0, 6.0]) + rng.choice([0.0, 0.0, 1e-6, -1e-6, 1e-4])
    a = rng.choice([0.0, rng.uniform(0, 6)])
    rows = [(0, 0), (20, 0), (20, 8), (35, 8), (35, 0), (55, 0), (55, 20), (35, 20), (35, 8 + w), (20, 8 + w), (20, 20)]
    return Case("necks", region(turned([*rows, (0, 20)], a)), (-round(w, 1) / 2,))


def fillets(rng: Random) -> Case:
    """A stair with inside and outside fillets of exactly tested radii."""
    radii = [rng.choice([0.3, 1.0, 3.0, 0.05]) for _ in range(6)]
    corners = [(0.0, 0.0), (40.0, 0.0), (40.0, 15.0), (22.0, 15.0), (22.0, 30.0), (0.0, 30.0)]
    rows: Vertices = []
    for i, r in enumerate(radii):
        (ax, ay), (bx, by), (cx, cy) = corners[i - 1], corners[i], corners[(i + 1) % 6]
        p, q = hypot(bx - ax, by - ay), hypot(cx - bx, cy - by)
        side = 1.0 if (bx - ax) * (cy - by) - (by - ay) * (cx - bx) > 0 else -1.0
        rows.append((bx - (bx - ax) / p * r, by - (by - ay) / p * r, side * tan(pi / 8)))
        rows.append((bx + (cx - bx) / q * r, by + (cy - by) / q * r, 0.0))
    return Case("fillets", region(turned(rows, rng.choice([0.0, rng.uniform(0, 6)]))), (-3.0, 3.0, -1.0, 1.0))


def plate(rng: Random) -> Case:
    """A plate with many holes, some breaking into each other or out when grown."""
    holes: list[Contour] = []
    spots: list[tuple[float, float, float]] = []
    for _ in range(rng.randint(5, 25)):
        x, y, r = rng.uniform(3, 77), rng.uniform(3, 47), rng.uniform(0.4, 4.0)
        inside = r < min(x, y, 80 - x, 50 - y) - 0.02
        if inside and all(hypot(x - u, y - v) > r + s + 0.02 for u, v, s in spots):
            spots.append((x, y, r))
            holes.append(disc(x, y, r, rng.uniform(0, 6)))
    return Case("plate", region(Contour.of([(0, 0), (80, 0), (80, 50), (0, 50)]), *holes))


def cut_up(rng: Random) -> Case:
    """A box whose edges are cut into collinear and co-circular pieces."""
    rows: Vertices = []
    for x0, y0, x1, y1 in ((0, 0, 30, 0), (30, 0, 30, 20), (30, 20, 0, 20)):
        cuts = sorted(rng.uniform(0.05, 0.95) for _ in range(rng.randint(0, 5)))
        rows += [(x0 + (x1 - x0) * t, y0 + (y1 - y0) * t, 0.0) for t in [0.0, *cuts]]
    cuts = [0.0, *sorted(rng.uniform(0.05, 0.95) for _ in range(rng.randint(0, 5))), 1.0]
    for t, u in pairwise(cuts):
        a = pi / 2 + pi * t
        rows.append((10.0 * cos(a), 10.0 + 10.0 * sin(a), tan(pi * (u - t) / 4.0)))
    return Case("cut up", region(turned(rows, rng.uniform(0, 6))))


def touching_itself(rng: Random) -> Case:
    """An outline that comes back to one of its vertices."""
    r = rng.uniform(2.0, 8.0)
    rows = [
        (0, 0, 0),
        (20, 0, 0),
        (20, 10, 0),
        (10, 5, 0),
        (20, 15 + r, 0),
        (0, 15 + r, 0),
        (0, 10 + r, 0),
        (10, 5, 0),
        (0, 8, 0),
    ]
    return Case("touching itself", region(turned(rows, rng.choice([0.0, rng.uniform(0, 6)]))))


def hollow_star(rng: Random) -> Case:
    """A regular star with hollow arcs for sides: tips of any angle down to none, where neighbours are tangent."""
    n, r = rng.randint(3, 9), rng.uniform(8.0, 30.0)
    half_tip = pi / 2.0 - pi / n  # of the regular polygon; a side hollowed by bulge b takes 2 atan b of it
    share = rng.choice([1.0, 1.0, 1.0 - 1e-6, 0.999, rng.uniform(0.3, 0.99)])
    b = -tan(share * half_tip / 2.0)
    rows = [(r * cos(2 * pi * i / n), r * sin(2 * pi * i / n), b) for i in range(n)]
    return Case("hollow star", region(turned(rows, rng.choice([0.0, rng.uniform(0, 6)]))))


def arbelos(rng: Random) -> Case:
    """A half disc less two half discs on its base: cusps at both ends and between; or a disc less a disc inside it."""
    r, share = rng.uniform(5.0, 30.0), rng.choice([0.5, rng.uniform(0.1, 0.9)])
    x = r * (2.0 * share - 1.0)
    rows = [(r, 0.0, 1.0), (-r, 0.0, -1.0), (x, 0.0, -1.0)]
    if rng.random() < 0.4:  # one cusp between two tangent circles
        rows = [(r, 0.0, 1.0), (-r, 0.0, 1.0), (r, 0.0, -1.0), (x, 0.0, -1.0)]
    return Case("arbelos", region(turned(rows, rng.choice([0.0, rng.uniform(0, 6)]))))


def nested(rng: Random) -> Case:
    """Rings within rings, walls and gaps of tested widths."""
    r, rings, out = 40.0, [], True
    while r > 3.0 and len(rings) < 6:
        c = disc(rng.choice([0.0, 0.3]), 0.0, r, rng.uniform(0, 6))
        rings.append(c if out else c.reversed())
        out, r = not out, r - rng.choice([0.6, 2.0, 6.0, 5.0, 1.0]) - 0.35
    return Case("nested", Region.of(rings), DISTANCES)


KINDS: tuple[Callable[[Random], Case], ...] = (
    comb, band, spiral, gear, link, waist, islands, discs, tiny, star, smooth, glyphlike, traced, near_tangent,
    touching_holes, necks, fillets, plate, cut_up, touching_itself, nested,
    hollow_star, arbelos,
)  # fmt: skip


def case(kind: Callable[[Random], Case], seed: int) -> Case:
    return kind(Random(f"{kind.__name__}-{seed}"))
