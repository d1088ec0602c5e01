"""Random sound contours and regions: rounded polygons, chains of arcs, links, plates with holes, islands."""

from __future__ import annotations

from math import atan2, cos, pi, sin

from hypothesis import assume
from hypothesis import strategies as st

from generator.base.errors import ContourError
from generator.outline.carrier import Circle
from generator.outline.contour import Contour, Point, Vertex
from generator.outline.create import circle, polygon, rectangle
from generator.outline.predicates import explain_contour
from generator.outline.region import Region
from generator.outline.rounding import rounded
from generator.outline.tangent import Hand, Join, bulging_arc, hollow_arc, outer_tangent, swept_arc
from generator.outline.transform import moved, turned

angles = st.floats(0.0, 2.0 * pi)
places = st.builds(Point, st.floats(-200.0, 200.0), st.floats(-200.0, 200.0))


def numbers(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False)


@st.composite
def star_polygons(draw: st.DrawFn, most: int = 9) -> Contour:
    """Corners at rising angles round the origin, none too close to the next."""
    n = draw(st.integers(3, most))
    shares = [draw(numbers(0.5, 1.0)) for _ in range(n)]
    radii = [draw(numbers(8.0, 40.0)) for _ in range(n)]
    total, at, points = sum(shares), 0.0, []
    for share, radius in zip(shares, radii, strict=True):
        points.append((radius * cos(at), radius * sin(at)))
        at += 2.0 * pi * share / total
    return polygon(points)


@st.composite
def rounded_polygons(draw: st.DrawFn) -> Contour:
    contour, radius = draw(star_polygons()), draw(numbers(0.2, 5.0))
    for _ in range(6):
        try:
            return rounded(contour, radius)
        except ContourError:
            radius /= 3.0
    return contour


@st.composite
def arc_chains(draw: st.DrawFn) -> Contour:
    """Star polygons with every side bent, with corners between the arcs."""
    corners = draw(star_polygons(6))
    bulges = numbers(-0.4, 0.4).map(lambda b: b if abs(b) > 1e-4 else 0.0)  # the oracles work with centres
    bent = Contour(tuple(v._replace(bulge=draw(bulges)) for v in corners.vertices))
    assume(explain_contour(bent) is None)
    return bent


def chain(circles: list[Circle], joins: list[Join]) -> Contour:
    """Return the contour that follows each join and then its circle, counter-clockwise, to the next join."""
    out: list[Vertex] = []
    for i, join in enumerate(joins):
        following = joins[(i + 1) % len(joins)]
        centre = circles[(i + 1) % len(circles)].centre
        out += join.path
        first = atan2(join.end.y - centre.y, join.end.x - centre.x)
        last = atan2(following.start.y - centre.y, following.start.x - centre.x)
        out += swept_arc(join.end, following.start, (last - first) % (2.0 * pi))
    return Contour(tuple(out))


@st.composite
def links(draw: st.DrawFn) -> Contour:
    """Two circles joined by straight, hollow or bulging sides."""
    a = Circle(Point(0.0, 0.0), draw(numbers(3.0, 12.0)))
    b = Circle(Point(draw(numbers(30.0, 60.0)), 0.0), draw(numbers(3.0, 12.0)))
    makers = {
        "straight": lambda p, q: outer_tangent(p, q, Hand.RIGHT),
        "hollow": lambda p, q: hollow_arc(p, q, 80.0, Hand.RIGHT),
        "bulging": lambda p, q: bulging_arc(p, q, 90.0, Hand.RIGHT),
    }
    sides = [makers[draw(st.sampled_from(sorted(makers)))] for _ in range(2)]
    link = chain([a, b], [sides[0](a, b), sides[1](b, a)])
    assume(explain_contour(link) is None)  # two hollow sides may go through each other
    return link


@st.composite
def placed(draw: st.DrawFn, shapes: st.SearchStrategy[Contour]) -> Contour:
    at = draw(places)
    return moved(turned(draw(shapes), draw(angles)), at.x, at.y)


contours = placed(st.one_of(rounded_polygons(), arc_chains(), links(), star_polygons()))


@st.composite
def plates(draw: st.DrawFn) -> Region:
    """A rounded plate with round holes on a grid, some of them with an island."""
    columns, rows = draw(st.integers(1, 3)), draw(st.integers(1, 3))
    outer = rectangle(0.0, 0.0, 20.0 * columns, 20.0 * rows, draw(numbers(0.0, 9.0)))
    parts = [outer]
    for i in range(columns):
        for j in range(rows):
            middle, radius = (20.0 * i + 10.0, 20.0 * j + 10.0), draw(numbers(1.0, 8.0))
            if draw(st.booleans()):
                parts.append(circle(middle, radius).reversed())
                if draw(st.booleans()):
                    parts.append(circle(middle, radius / 2.0))
    at, angle = draw(places), draw(angles)
    return moved(turned(Region.of(parts), angle), at.x, at.y)


regions = st.one_of(plates(), contours.map(lambda c: Region.of([c])))
