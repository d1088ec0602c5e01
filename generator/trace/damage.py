"""Chips and burrs: what is missing of the edge or too much, told instead of hidden.

Two things tell them: light in the metal beside the edge that is not the metal's, and places where the edge was seen off
its feature. What both tell is told once.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.trace.footprint import Footprint
from generator.trace.lost_edges import least_gap
from generator.trace.missing import face_of, gaps
from generator.trace.nearest import nearest
from generator.trace.photo import SeenByCamera
from generator.trace.primitives import distance
from generator.trace.rims import Patch, Rim, rims
from generator.trace.swells import LEAST_MM, LEAST_PHOTO_PX, LEAST_PX, blunt, levelled, swells
from generator.trace.tracing import Seen, Traced
from generator.trace.unknowns import straightened

Floats = NDArray[np.float64]

APART_MM: Final = 0.35
"""What lies nearer together is told as one."""
SHARP: Final = 0.9
"""Cosine of the turn beyond which two features meet in a corner."""
RINGS_MM: Final = 0.4
"""Distance of the places that a picture marks."""


@frozen_record(eq=False)
class Damage:
    """One chip or burr.

    Attributes:
        number: of the feature that is damaged there.
        at: where it goes farthest, on the outline, in the footprint's frame, mm.
        off: how far the edge is off the feature at most: positive for a burr, negative for a chip, mm.
        length: of the stretch, mm.
        points: its places in the first picture's frame, mm by the true scale, shape (n, 2).
        normals: away from the material there.
    """

    number: int
    at: tuple[float, float]
    off: float
    length: float
    points: Floats
    normals: Floats


def damages(traced: Traced, footprint: Footprint) -> list[Damage]:
    """Return chips and burrs of the first picture, in the order of their features."""
    seen = traced.seen[0]
    px = float(np.mean(seen.mm_per_px))
    strips = rims(traced, footprint)
    # a break is on the upper face; what is seen of an edge may be its foot
    faces = rims(traced, footprint, face=True) if isinstance(seen, SeenByCamera) else strips
    blur = seen.look.blur_px * px
    face = face_of(faces, blur)
    off = _swells(traced, strips, px, dents=face.even)
    shortest = face.shortest(px, photo=isinstance(seen, SeenByCamera))
    out = []
    for rim, upper, swollen in zip(strips, faces, off, strict=True):
        out += [_told(footprint, rim, p) for p in _once(rim, gaps(upper, face, blur, shortest), swollen)]
    return sorted(out, key=lambda d: (d.number, d.at))


def _swells(traced: Traced, strips: list[Rim], px: float, *, dents: bool) -> list[list[Patch]]:
    """Return for every rim where its edge was seen off its features."""
    seen, x = traced.seen[0], traced.solved.found.x
    straight, primitives, rows = straightened(x), traced.solved.primitives, seen.rows()
    laid, off, of, lost = [], [], [], []
    for rim in strips:
        loop = primitives[int(rim.of[0])].loop
        row = rows[loop].forwards()
        points = row.seen(x) @ straight.T
        own = rim.of[nearest(points, rim.at)[1]]
        away = np.zeros(len(points))
        for i in np.unique(own):
            away[own == i] = distance(primitives[i], points[own == i])
        laid.append(points)
        off.append(away)
        of.append(own)
        lost.append(_lost(seen, loop, turned=row is not rows[loop], n=len(points)))
    least = max(LEAST_MM, (LEAST_PHOTO_PX if isinstance(seen, SeenByCamera) else LEAST_PX) * px)
    every, limit = levelled(np.concatenate(off), np.concatenate(of), least)
    ends = np.cumsum([len(p) for p in laid])[:-1]
    out = []
    for rim, points, away, enough, gone in zip(
        strips, laid, np.split(every, ends), np.split(limit, ends), lost, strict=True
    ):
        enough = np.where(gone, np.inf, blunt(points, enough, _corners(rim)))
        out.append(swells(points, away, enough, rim, px, dents=dents))
    return out


def _lost(seen: Seen, loop: int, *, turned: bool, n: int) -> NDArray[np.bool_]:
    """Tell for every point of a loop whether its edge is lost in its shadow, and told as that."""
    unclear = seen.loops[loop].unclear_px
    if unclear is None or len(unclear) != n:
        return np.zeros(n, dtype=bool)
    gone: NDArray[np.bool_] = unclear * float(np.mean(seen.mm_per_px)) > least_gap(seen)
    return gone[::-1] if turned else gone


def _corners(rim: Rim) -> Floats:
    """Return where two features of a loop meet at an angle."""
    turn = (rim.normals * np.roll(rim.normals, 1, axis=0)).sum(axis=1)
    at: Floats = rim.at[(turn < SHARP) & (rim.of != np.roll(rim.of, 1))]
    return at


def _once(rim: Rim, missing: list[Patch], off: list[Patch]) -> list[Patch]:
    """Return all that was found along a rim, what lies together as one: that of most depth gives the sign."""
    near = max(1, round(APART_MM / float(rim.step.mean())))
    n = len(rim.at)
    groups: list[list[Patch]] = []
    for p in sorted([*missing, *off], key=lambda p: -abs(p.off)):
        mine = np.zeros(n, dtype=bool)
        for shift in range(-near, near + 1, near):
            mine[(p.places + shift) % n] = True
        touched = [g for g in groups if any(mine[q.places].any() for q in g)]
        groups = [g for g in groups if g not in touched] + [[*(q for g in touched for q in g), p]]
    out = []
    for group in groups:
        first = max(group, key=lambda p: abs(p.off))
        same = [p for p in group if p.off * first.off > 0.0]
        out.append(rim.patch(np.unique(np.concatenate([p.places for p in same])), first.worst, first.off))
    return out


def _told(footprint: Footprint, rim: Rim, patch: Patch) -> Damage:
    u, v = footprint.placement.point(*(float(c) for c in rim.at[patch.worst]))
    each = max(1, round(RINGS_MM / float(rim.step.mean())))
    places = patch.places[(len(patch.places) - 1) % each // 2 :: each]
    points = rim.at[places] + 0.5 * patch.off * rim.normals[places]
    return Damage(int(rim.of[patch.worst]) + 1, (u, v), patch.off, patch.length, points, rim.normals[places])


def damage_words(d: Damage) -> str:
    """Return a sentence on a chip or burr."""
    kind, what = ("burr", "too much metal") if d.off > 0.0 else ("chip", "metal missing")
    return (
        f"{kind} on feature {d.number} at ({d.at[0]:.1f}, {d.at[1]:.1f}): {what}, {abs(d.off):.2f} mm, some "
        f"{max(d.length, 0.1):.1f} mm long; the footprint is drawn as if it were whole"
    )
