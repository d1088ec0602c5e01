"""A traced footprint in its own frame: features with numbers, uncertainties and contours."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour, Vertex
from generator.outline.predicates import explain_contour
from generator.trace.assemble import circle_of, contour_of, halved, segments_of
from generator.trace.doubts import COVERAGE, Doubt, Samples, doubts, freed, rms, samples, spread
from generator.trace.placing import Placement, placement
from generator.trace.primitives import CIRCLE, Primitive
from generator.trace.relating import Solved

Floats = NDArray[np.float64]


@frozen_record(eq=False)
class Feature:
    """One line, arc or circle.

    Attributes:
        number: in the picture, from 1.
        primitive: in the footprint's frame.
        start, end: of its edge, mm; the same for a circle.
        bulge: of its edge, in the sense of travel of its loop.
        doubt: its standard uncertainties, in the footprint's frame.
        off: root mean square of its points' distances, mm.
        worst: largest of them among points that count, mm.
        given_up: share of its points that were given up as damage or dirt.
    """

    number: int
    primitive: Primitive
    start: tuple[float, float]
    end: tuple[float, float]
    bulge: float
    doubt: Doubt
    off: float
    worst: float
    given_up: float


@frozen_record(eq=False)
class Footprint:
    """A traced footprint.

    Attributes:
        features: in order of their numbers.
        outline: numbers of the outline's features in order, counter-clockwise.
        openings: the same for every opening that is no circle, counter-clockwise round it.
        holes: numbers of circular openings.
        placement: where its frame lies in the first picture's.
        outline_doubt: 95 % uncertainty of the outline along its normal, one figure for all of it, mm.
        covariance: of the fit's unknowns, freed of rigid motions.
        along: places along all edges, in the picture's frame.
    """

    features: tuple[Feature, ...]
    outline: tuple[int, ...]
    openings: tuple[tuple[int, ...], ...]
    holes: tuple[int, ...]
    placement: Placement
    outline_doubt: float
    covariance: Floats
    along: Samples

    def feature(self, number: int) -> Feature:
        """Return a feature by its number."""
        return self.features[number - 1]

    def vertices(self, loop: tuple[int, ...]) -> tuple[Vertex, ...]:
        """Return one vertex for each feature of a loop; arcs of more than half a turn are whole."""
        return tuple(Vertex(*self.feature(n).start, self.feature(n).bulge) for n in loop)

    def hole_doubt(self, number: int) -> float:
        """Return the 95 % uncertainty of a hole's place along x or y, whichever is larger, mm."""
        return COVERAGE * self.feature(number).doubt.place

    def contour(self, loop: tuple[int, ...]) -> Contour:
        """Return a loop as a contour, counter-clockwise, mm."""
        if len(loop) == 1:
            return circle_of(self.feature(loop[0]).primitive)
        whole = self.vertices(loop)
        return Contour(tuple(v for s, e in zip(whole, [*whole[1:], whole[0]], strict=True) for v in halved(s, e)))


def footprint_of(solved: Solved) -> Footprint:
    """Return the footprint that was solved for.

    Raises: GeometryError: its outline crosses itself or is open.
    """
    primitives = solved.primitives
    pieces = _pieces(solved, primitives)
    outer = contour_of(primitives, solved.joints[0]) if solved.joints[0] else circle_of(_whole(primitives))
    problem = explain_contour(outer)
    if problem is not None:
        raise GeometryError(
            f"the outline that was found is no outline ({problem.message}); scan the part again, clean and with more "
            "of the background round it"
        )
    place = placement(solved, outer)
    edges = [_edge(p, piece) for p, piece in zip(primitives, pieces, strict=True)]
    model, x = solved.layout.model, solved.found.x
    along = samples(model, x, edges)
    free = freed(model, x, along)
    covariance = free @ solved.found.covariance @ free.T
    of_each = doubts(model, covariance, along)
    features = tuple(
        _feature(solved, i, place, p, pieces[i], of_each[i].turned(place.angle)) for i, p in enumerate(primitives)
    )
    on = np.array([primitives[i].loop == 0 for i in along.of])
    variance = spread(along.rows[on], covariance)
    loops = [tuple(j.after + 1 for j in joints) for joints in solved.joints]
    outline = loops[0] or (1 + primitives.index(_whole(primitives)),)
    holes = tuple(i + 1 for i, p in enumerate(primitives) if p.kind == CIRCLE and p.loop > 0)
    openings = tuple(loop for loop in loops[1:] if loop)
    return Footprint(
        features, outline, openings, holes, place, COVERAGE * rms(variance, along.weight[on]), covariance, along
    )


def _whole(primitives: tuple[Primitive, ...]) -> Primitive:
    """Return the outline that is one circle.

    Raises: GeometryError: there is none.
    """
    for p in primitives:
        if p.loop == 0 and p.kind == CIRCLE:
            return p
    raise GeometryError("no closed outline was found; scan the part again, clean and flat on the glass")


_Piece = tuple[tuple[float, float], tuple[float, float], float]


def _pieces(solved: Solved, primitives: tuple[Primitive, ...]) -> list[_Piece]:
    """Return start, end and bulge of every primitive's edge, in the picture's frame."""
    out: dict[int, _Piece] = {}
    for joints in solved.joints:
        if not joints:
            continue
        vertices = segments_of(primitives, joints)
        for j, v, w in zip(joints, vertices, [*vertices[1:], vertices[0]], strict=True):
            out[j.after] = ((v.x, v.y), (w.x, w.y), v.bulge)
    for i, p in enumerate(primitives):
        if i not in out:
            at = (p.values[0] + p.values[2], p.values[1])
            out[i] = (at, at, 0.0)
    return [out[i] for i in range(len(primitives))]


def _edge(p: Primitive, piece: _Piece) -> Contour:
    """Return an edge as a contour whose last segment closes it; a circle as a whole."""
    if p.kind == CIRCLE:
        return circle_of(p)
    (u, v), (w, z), bulge = piece
    return Contour((Vertex(u, v, bulge), Vertex(w, z, 0.0)))


def _feature(solved: Solved, i: int, place: Placement, p: Primitive, piece: _Piece, doubt: Doubt) -> Feature:
    points, found = solved.layout.points, solved.found
    mine = points.of == i
    rest, weight = found.rest[mine], found.weight[mine]
    counts = weight > 0.0
    off = float(np.sqrt((weight * rest**2).sum() / max(float(weight.sum()), 1e-9))) if mine.any() else 0.0
    worst = float(np.abs(rest[counts]).max(initial=0.0))
    start, end, bulge = piece
    return Feature(
        i + 1,
        place.primitive(p),
        place.point(*start),
        place.point(*end),
        bulge,
        doubt,
        off,
        worst,
        float(1.0 - counts.mean()) if mine.any() else 0.0,
    )
