"""Areas of a drawing put together, what would take the clipper minutes refused beforehand."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import atan2, hypot, pi
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.artwork.svg_curves import STRAIGHT_MM
from generator.base.errors import GeometryError
from generator.base.units import MODEL
from generator.outline.clip import FillRule
from generator.outline.clusters import neighbourhoods
from generator.outline.combine import difference, intersection, regularise, union
from generator.outline.contour import Contour, Vertex
from generator.outline.measure import bounds, length, signed_area
from generator.outline.offset import offset_region
from generator.outline.predicates import explain_contour
from generator.outline.region import EMPTY, Region
from generator.outline.transform import reoriented

Floats = NDArray[np.float64]

MOST_CROSSINGS: Final = 10_000
MOST_FACETS: Final = 400_000
MOST_TOGETHER: Final = 60_000
"""What is united in one go may cross itself about so often, and have so many facets, lines and arcs (chosen; they
keep one go within about a minute)."""
_FINER: Final = (0.1, 0.01, 0.001)
_TRIED: Final = 300
_FEW: Final = 24
_LEVEL_RAD: Final = 1e-9
_SHARPEST_RAD: Final = 3.0
"""Contours of so few segments are looked at for being convex; turns within noise are none, near reversals doubtful."""
_AT_ONCE: Final = 2_000_000


def filled(contours: Iterable[Contour], rule: FillRule) -> Region:
    """Return what closed contours enclose by a fill rule, whatever they cross.

    Raises: GeometryError: they are too many, or cross too often, to be united.
    """
    found = [c for c in contours if len(c) > 1]
    if len(found) == 1 and is_convex(found[0]):
        return simple(found[0])
    _refuse_heavy(found)
    return regularise(found, rule=rule)


def simple(contour: Contour) -> Region:
    """Return the region of a contour that is known not to cross itself; its very vertices stay."""
    return Region.of([reoriented(contour, True)])


def united(regions: Sequence[Region]) -> Region:
    """Return all of the regions together; those that lie apart from all others stay as they are.

    Raises: GeometryError: they are too many, or cross too often, to be united.
    """
    there = [r for r in regions if r]
    if len(there) < 2:
        return there[0] if there else EMPTY
    groups = neighbourhoods(there, MODEL.model_mm)
    _refuse_heavy([c for group in groups if len(group) > 1 for k in group for c in there[k]])
    return Region.of(c for group in groups for c in union(*(there[k] for k in group)))


def without(region: Region, others: Sequence[Region]) -> Region:
    """Return what is in the region and in none of the others.

    Raises: GeometryError: they are too many, or cross too often.
    """
    if not region:
        return EMPTY
    near = [o for o in others if o and meet(region, o)]
    if not near:
        return region
    _refuse_heavy([c for r in (region, *near) for c in r])
    return difference(region, *near)


def within(region: Region, other: Region) -> Region:
    """Return what is in both regions.

    Raises: GeometryError: they are too many, or cross too often.
    """
    if not region or not other:
        return EMPTY
    _refuse_heavy([*region, *other])
    return intersection(region, other)


def sound(region: Region) -> Region:
    """Return the region with every contour simple.

    Where a contour touches itself, what curves deviate by may make it cross itself by less than the facets can tell;
    it is then taken apart there.
    """
    return Region.of(
        [part for c in region for part in ([c] if is_convex(c) or explain_contour(c) is None else _mended(c))]
    )


def is_convex(contour: Contour) -> bool:
    """Return whether a contour turns to one side throughout and once in all, so that it cannot cross itself."""
    if len(contour) > _FEW:
        return False
    segments = list(contour.segments())
    sense = 1.0 if segments[0].sweep > 0.0 or signed_area(contour) > 0.0 else -1.0
    whole = 0.0
    for a, b in zip(segments, [*segments[1:], segments[0]], strict=True):
        if a.chord_mm <= MODEL.same_mm or a.sweep * sense < 0.0:
            return False
        ax, ay, bx, by = a.end.x - a.start.x, a.end.y - a.start.y, b.end.x - b.start.x, b.end.y - b.start.y
        turn = atan2(ax * by - ay * bx, ax * bx + ay * by) - a.sweep / 2.0 - b.sweep / 2.0
        turn = (turn + pi) % (2.0 * pi) - pi
        if turn * sense < -_LEVEL_RAD or abs(turn) > _SHARPEST_RAD:
            return False
        whole += turn + a.sweep
    return abs(whole * sense - 2.0 * pi) < _LEVEL_RAD * len(segments)


def _mended(contour: Contour) -> list[Contour]:
    plain = polished(contour)
    if plain is None:
        return []
    if explain_contour(plain) is None:
        return [plain]
    outer = signed_area(plain) > 0.0
    parts = _taken_apart(reoriented(plain, True))
    return parts if outer else [c.reversed() for c in parts]


def _taken_apart(contour: Contour) -> list[Contour]:
    """Return the simple contours that a counter-clockwise one is made of; if all fails, that one itself."""
    for finer in _FINER:
        parts = regularise([contour], tol=replace(MODEL, facet_mm=MODEL.facet_mm * finer))
        found = _simple_ones(parts)
        if found is not None:
            return found
    thin = MODEL.model_mm / 2.0  # what is thinner is cut off, what is left is within the model's tolerance
    found = _simple_ones(offset_region(offset_region(Region((contour,)), -thin), thin))
    return [contour] if found is None else found


def _simple_ones(parts: Region) -> list[Contour] | None:
    """Return the contours without slivers; None if one of them is not simple."""
    plain = [p for p in (polished(c) for c in parts) if p is not None]
    kept = [c for c in plain if abs(signed_area(c)) > MODEL.same_mm * length(c)]
    return kept if all(explain_contour(c) is None for c in kept) else None


def polished(contour: Contour) -> Contour | None:
    """Return a contour without segments of no length, and with lines for arcs that no machine tells from them.

    None if nothing is left.
    """
    vertices: list[Vertex] = []
    for s in contour.segments():
        if s.chord_mm > MODEL.same_mm:
            vertices.append(Vertex(*s.start, 0.0 if abs(s.bulge) * s.chord_mm / 2.0 < STRAIGHT_MM else s.bulge))
    vertices = _without_spikes(vertices)
    return Contour(tuple(vertices)) if len(vertices) > 1 else None


def _without_spikes(vertices: list[Vertex]) -> list[Vertex]:
    """Return the vertices without those that straight lines lead to and back from on the same way."""
    at = passed = 0
    while len(vertices) > 2 and passed < len(vertices):
        before, tip, behind = (vertices[(at + k) % len(vertices)] for k in (-1, 0, 1))
        if not before.bulge and not tip.bulge and _is_spike(before, tip, behind):
            del vertices[at % len(vertices)]
            at, passed = at - 1, max(passed - 1, 0)
        else:
            at, passed = at + 1, passed + 1
        at %= len(vertices)
    return vertices


def _is_spike(before: Vertex, tip: Vertex, behind: Vertex) -> bool:
    ax, ay, bx, by = before.x - tip.x, before.y - tip.y, behind.x - tip.x, behind.y - tip.y
    longer = max(hypot(ax, ay), hypot(bx, by))
    return ax * bx + ay * by > 0.0 and abs(ax * by - ay * bx) <= MODEL.same_mm * longer


def meet(a: Region, b: Region) -> bool:
    """Return whether the boxes of two regions have something in common."""
    p, q = bounds(a), bounds(b)
    return p.xmin < q.xmax and q.xmin < p.xmax and p.ymin < q.ymax and q.ymin < p.ymax


# ------------------------------------------------------------------ bounds on the work
def _refuse_heavy(contours: Sequence[Contour]) -> None:
    count = sum(len(c) for c in contours)
    if count > MOST_TOGETHER:
        raise GeometryError(f"{count} lines and arcs, more than {MOST_TOGETHER}: simplify the drawing")
    if count < 200:
        return
    a, b, bulge = _chords(contours)
    facets = _facets(a, b, bulge)
    if facets > MOST_FACETS:
        raise GeometryError(f"arcs that need {facets} facets, more than {MOST_FACETS}: simplify the drawing")
    crossings = _crossings(a, b)
    if crossings > MOST_CROSSINGS:
        raise GeometryError(
            f"its lines cross one another about {crossings} times, more than {MOST_CROSSINGS}: simplify the drawing"
        )


def _chords(contours: Sequence[Contour]) -> tuple[Floats, Floats, Floats]:
    arrays = [c.array for c in contours]
    a = np.concatenate([r[:, :2] for r in arrays])
    b = np.concatenate([np.roll(r[:, :2], -1, axis=0) for r in arrays])
    return a, b, np.concatenate([r[:, 2] for r in arrays])


def _facets(a: Floats, b: Floats, bulge: Floats) -> int:
    """Return how many chords the arcs need so that they stay within the facets' tolerance."""
    chord = np.hypot(*(b - a).T)
    size = np.abs(bulge)
    bent = (size > 0.0) & (chord > 0.0)
    radius = chord[bent] * (1.0 + size[bent] ** 2) / (4.0 * size[bent])
    step = 2.0 * np.arccos(1.0 - np.minimum(MODEL.facet_mm / radius, 0.2))
    return int((4.0 * np.arctan(size[bent]) / np.maximum(step, 1e-9)).sum()) + len(a)


def _crossings(a: Floats, b: Floats) -> int:
    """Return about how often the chords cross one another: some of them are tried against all."""
    n = len(a)
    # which are tried depends on the drawing itself, so that no drawing can hide from it
    seed = int(np.abs(np.frexp(a.sum() + 3.0 * b[:, 0].sum())[0]) * 2**40)
    rows = np.random.default_rng(seed).permutation(n)[:_TRIED]
    found = 0
    for low in range(0, len(rows), max(1, _AT_ONCE // n)):
        some = rows[low : low + max(1, _AT_ONCE // n)]
        p, q = a[some][:, None], b[some][:, None]
        sides = _side(p, q, a[None]) * _side(p, q, b[None]) < 0.0
        found += int((sides & (_side(a[None], b[None], p) * _side(a[None], b[None], q) < 0.0)).sum())
    return round(found / len(rows) * n / 2.0)


def _side(a: Floats, b: Floats, p: Floats) -> Floats:
    """Return on which side of the line from a to b points lie."""
    out: Floats = (b[..., 0] - a[..., 0]) * (p[..., 1] - a[..., 1]) - (b[..., 1] - a[..., 1]) * (p[..., 0] - a[..., 0])
    return out
