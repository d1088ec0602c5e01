"""Every kind of outline over random dimensions: valid, right against facets, and the same wherever it lies."""

from __future__ import annotations

from math import cos, pi, radians, sin

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from shapely import LineString, MultiPoint, Polygon, affinity, box
from shapely.ops import unary_union

from generator.outline.measure import area, length, signed_area
from generator.outline.predicates import explain_contour
from generator.shapes import SHAPES
from generator.shapes.drawn import DRAWN_SHAPES
from generator.shapes.emblems import EMBLEM_SHAPES
from tests.shapes.oracle import disagreement, disc, facet_error, grown, polygon_of
from tests.shapes.recipe_form import drawn

few = settings(derandomize=True, deadline=None, max_examples=8, suppress_health_check=list(HealthCheck))


def mm(low, high):
    return st.floats(low, high).map(lambda v: round(v, 3))


degrees = st.integers(-180, 180)
points = st.tuples(mm(-60, 60), mm(-60, 60)).map(list)


@st.composite
def discs(draw):
    r, c = draw(mm(5, 60)), draw(points)
    flats = [
        {"towards": draw(degrees), "distance": round(r * draw(st.floats(0.3, 0.9)), 3)}
        for _ in range(draw(st.integers(0, 2)))
    ]
    expected = disc(*c, r)
    for f in flats:
        a = radians(f["towards"])
        far = box(f["distance"], -200, 200, 200)
        expected = expected.difference(affinity.translate(affinity.rotate(far, a, (0, 0), use_radians=True), *c))
    return {"disc": {"radius": r, "centre": c, "flats": flats}}, expected


@st.composite
def rings(draw):
    d, c = draw(mm(10, 90)), draw(points)
    inner = round(d * draw(st.floats(0.1, 0.95)), 3)
    return {"ring": {"outer": d, "inner": inner, "centre": c}}, disc(*c, d / 2).difference(disc(*c, inner / 2))


@st.composite
def rectangles(draw):
    (w, h), (x, y) = (draw(mm(10, 90)), draw(mm(10, 90))), draw(points)
    r = round(min(w, h) / 2 * draw(st.floats(0, 0.99)), 3)
    inner = box(x - w / 2 + r, y - h / 2 + r, x + w / 2 - r, y + h / 2 - r)
    return {"rectangle": {"size": [w, h], "centre": [x, y], "radius": r}}, grown(inner, r) if r else inner


@st.composite
def chamfered(draw):
    w, h = draw(mm(10, 90)), draw(mm(10, 90))
    c = round(min(w, h) / 2 * draw(st.floats(0.05, 0.95)), 3)
    ends = [
        (w - c, 0), (w, c), (w, h - c), (w - c, h), (c, h), (0, h - c), (0, c), (c, 0),
    ]  # fmt: skip
    return {"rectangle": {"corners": [[w, 0], [0, h]], "chamfer": c}}, Polygon(ends)


@st.composite
def polygons(draw):
    n = draw(st.integers(3, 9))
    around = [(2 * pi * (k + draw(st.floats(0.1, 0.6))) / n, draw(mm(15, 60))) for k in range(n)]
    corners = [[round(r * cos(a), 3), round(r * sin(a), 3)] for a, r in around]
    corners = corners[::-1] if draw(st.booleans()) else corners
    expected = Polygon(corners)
    assume(expected.is_valid)
    return {"polygon": {"points": corners}}, expected


@st.composite
def regular_polygons(draw):
    n, d, first, c = draw(st.integers(3, 12)), draw(mm(10, 90)), draw(degrees), draw(points)
    angles = [radians(first) + 2 * pi * k / n for k in range(n)]
    corners = Polygon([(c[0] + d / 2 * cos(a), c[1] + d / 2 * sin(a)) for a in angles])
    r = round(d / 2 * cos(pi / n) * draw(st.floats(0, 0.8)), 3)
    # rounding a convex outline is opening it
    expected = grown(corners.buffer(-r, join_style="mitre"), r) if r else corners
    spec = {"sides": n, "across_corners": d, "first": first, "centre": c, "radius": r}
    return {"regular_polygon": spec}, expected


@st.composite
def slots(draw):
    a, b, w = draw(points), draw(points), draw(mm(2, 30))
    assume(a != b)
    return {"slot": {"start": a, "end": b, "width": w}}, grown(LineString([a, b]), w / 2)


@st.composite
def slots_by_length(draw):
    c, w, a = draw(points), draw(mm(2, 30)), draw(degrees)
    over = round(w + draw(mm(0.5, 50)), 3)
    u = ((over - w) / 2 * cos(radians(a)), (over - w) / 2 * sin(radians(a)))
    line = LineString([(c[0] - u[0], c[1] - u[1]), (c[0] + u[0], c[1] + u[1])])
    return {"slot": {"length": over, "width": w, "centre": c, "direction": a}}, grown(line, w / 2)


def arc_points(c, r, first, sweep, n=1500):
    return [(c[0] + r * cos(first + sweep * k / n), c[1] + r * sin(first + sweep * k / n)) for k in range(n + 1)]


def thick_arc(c, r, first, sweep, w):
    outer, inner = arc_points(c, r + w / 2, first, sweep), arc_points(c, r - w / 2, first, sweep)
    ends = [disc(c[0] + r * cos(a), c[1] + r * sin(a), w / 2) for a in (first, first + sweep)]
    return unary_union([Polygon(outer + inner[::-1]), *ends])


@st.composite
def curved_slots(draw):
    r, c, first, sweep = draw(mm(10, 60)), draw(points), draw(degrees), draw(st.integers(5, 280))
    w = round(r * draw(st.floats(0.05, 0.7)), 3)
    spec = {"centre": c, "radius": r, "start": first, "end": first + sweep, "width": w}
    return {"curved_slot": spec}, thick_arc(c, r, radians(first), radians(sweep), w)


@st.composite
def keyholes(draw):
    d, a, c = draw(mm(8, 40)), draw(degrees), draw(points)
    w = round(d * draw(st.floats(0.2, 0.9)), 3)
    reach = round(d / 2 + draw(mm(0.5, 30)), 3)
    end = (c[0] + reach * cos(radians(a)), c[1] + reach * sin(radians(a)))
    expected = disc(*c, d / 2).union(grown(LineString([c, end]), w / 2))
    return {"keyhole": {"diameter": d, "width": w, "reach": reach, "towards": a, "centre": c}}, expected


@st.composite
def ellipses(draw):
    a, b, c = draw(mm(5, 60)), draw(mm(5, 60)), draw(points)
    angles = [2 * pi * k / 4000 for k in range(4000)]
    expected = Polygon([(c[0] + a * cos(t), c[1] + b * sin(t)) for t in angles])
    return {"ellipse": {"half_width": a, "half_height": b, "centre": c}}, expected


@st.composite
def superellipses(draw):
    a, b, n = draw(mm(10, 60)), draw(mm(10, 60)), draw(st.sampled_from([2, 2.5, 3, 4.5, 8]))
    ts = [2 * pi * k / 4000 for k in range(4000)]

    def power(v):
        return (1 if v >= 0 else -1) * abs(v) ** (2 / n)

    expected = Polygon([(a * power(cos(t)), b * power(sin(t))) for t in ts])
    return {"superellipse": {"half_width": a, "half_height": b, "exponent": n}}, expected


@st.composite
def bands(draw):
    """A line, an arc tangent to it, a line at an angle to that."""
    first, r, turn, bend = draw(mm(5, 30)), draw(mm(12, 40)), draw(st.integers(20, 120)), draw(st.integers(-60, 60))
    w = round(r * draw(st.floats(0.1, 0.9)), 3)
    end = arc_points((first, r), r, -pi / 2, radians(turn))[-1]
    heading = radians(turn + bend)
    last = (end[0] + 30 * cos(heading), end[1] + 30 * sin(heading))
    lines = [grown(LineString(ends), w / 2) for ends in ([(0, 0), (first, 0)], [end, last])]
    expected = unary_union([*lines, thick_arc((first, r), r, -pi / 2, radians(turn), w)])
    steps = [{"to": [first, 0]}, {"turn": turn, "radius": r}, {"length": 30, "direction": turn + bend}]
    return {"band": {"width": w, "steps": steps, "start": [0, 0]}}, expected


@st.composite
def chains(draw):
    """Bosses round a centre, far enough out that each stands on the hull: the chain is the hull."""
    n = draw(st.integers(2, 6))
    where = [(2 * pi * k / n + draw(st.floats(0, 0.3)), draw(mm(35, 45)), draw(mm(4, 9))) for k in range(n)]
    circles = [{"at": [round(d * cos(a), 3), round(d * sin(a), 3)], "radius": r} for a, d, r in where]
    expected = unary_union([disc(*c["at"], c["radius"]) for c in circles]).convex_hull
    return {"joined": {"circles": circles}}, expected


@st.composite
def waists(draw):
    """Two bosses joined by hollow arcs on both sides: a kite of all four centres, less the hollows, plus the bosses."""
    r, s, d = draw(mm(6, 20)), draw(mm(6, 20)), draw(mm(25, 70))
    assume(d > r + s + 1)
    hollow = round((d - r - s) / 2 * draw(st.floats(1.2, 4)) + 5, 3)
    a, b = disc(0, 0, r), disc(d, 0, s)
    # the waist must stay open, or the two arcs cross
    x = (d + ((hollow + r) ** 2 - (hollow + s) ** 2) / d) / 2
    assume((hollow + r) ** 2 - x * x > (1.05 * hollow) ** 2)
    y = ((hollow + r) ** 2 - x * x) ** 0.5
    kite = Polygon([(0, 0), (x, -y), (d, 0), (x, y)])
    expected = unary_union([kite.difference(disc(x, y, hollow)).difference(disc(x, -y, hollow)), a, b])
    one = {"at": [0, 0], "radius": r, "next": {"hollow": hollow}}
    two = {"at": [d, 0], "radius": s, "next": {"hollow": hollow}}
    return {"joined": {"circles": [one, two]}}, expected


@st.composite
def bellies(draw):
    """Two bosses wrapped by bulging arcs: what lies in every disc of that radius that holds both."""
    r, s, d = draw(mm(6, 20)), draw(mm(6, 20)), draw(mm(25, 70))
    bulging = round((d + r + s) / 2 * draw(st.floats(1.05, 3)), 3)
    rim = MultiPoint(arc_points((0, 0), r, 0, 2 * pi, 240) + arc_points((d, 0), s, 0, 2 * pi, 240))
    centres = None
    for p in rim.convex_hull.exterior.coords:
        ball = disc(*p, bulging)
        centres = ball if centres is None else centres.intersection(ball)
    expected = None
    for p in centres.simplify(1e-4).exterior.coords:
        ball = disc(*p, bulging)
        expected = ball if expected is None else expected.intersection(ball)
    one = {"at": [0, 0], "radius": r, "next": {"bulging": bulging}}
    return {"joined": {"circles": [one, {**one, "at": [d, 0], "radius": s}]}}, expected


@st.composite
def bays(draw):
    """A square with a round bay let into its upper edge: a hollow circle between two corners."""
    half, r = draw(mm(30, 50)), draw(mm(5, 15))
    circles = [
        {"at": [-half, -half], "radius": 0}, {"at": [half, -half], "radius": 0}, {"at": [half, half], "radius": 0},
        {"at": [0, half], "radius": r, "is_a": "hollow"}, {"at": [-half, half], "radius": 0},
    ]  # fmt: skip
    # the edges to the bay are the tangents from the corners
    a = r * r / half
    touch = (a, half - r * (1 - (r / half) ** 2) ** 0.5)
    below = Polygon([(-half, half), (-half, -half), (half, -half), (half, half), touch, (-touch[0], touch[1])])
    return {"joined": {"circles": circles}}, below.difference(disc(0, half, r))


@st.composite
def paths(draw):
    """A plate with one end a half circle, one corner rounded and one cut off, drawn either way round."""
    w, h, r = draw(mm(40, 80)), draw(mm(20, 40)), draw(mm(1, 8))
    there = [
        {"to": [w, 0]}, {"to": [w, h], "radius": h / 2, "side": "left"}, {"x": 0, "round": r}, {"y": 0, "chamfer": r},
    ]  # fmt: skip
    plate = box(0, 0, w, h).union(disc(w, h / 2, h / 2))
    corner = box(0, h - r, r, h).difference(disc(r, h - r, r))
    expected = plate.difference(corner).difference(Polygon([(0, 0), (r, 0), (0, r)]))
    return {"path": {"start": [0, 0], "steps": there}}, expected


@st.composite
def hulls(draw):
    circles = [(draw(points), draw(mm(3, 15))) for _ in range(draw(st.integers(1, 5)))]
    expected = unary_union([disc(*c, r) for c, r in circles]).convex_hull
    return {"hull": {"outlines": [{"disc": {"centre": c, "radius": r}} for c, r in circles]}}, expected


@st.composite
def booleans(draw):
    kind = draw(st.sampled_from(["union", "intersection", "difference"]))
    r, w, h = draw(mm(20, 40)), draw(mm(50, 70)), draw(mm(5, 15))
    a, b = {"disc": {"radius": r}}, {"rectangle": {"size": [w, h]}}
    da, db = disc(0, 0, r), box(-w / 2, -h / 2, w / 2, h / 2)
    if kind == "difference":
        return {kind: {"outline": a, "less": [b]}}, da.difference(db)
    return {kind: {"outlines": [a, b]}}, getattr(da, kind)(db)


@st.composite
def repeats(draw):
    n, r, d = draw(st.integers(1, 8)), draw(mm(3, 8)), draw(mm(25, 40))
    angles = [2 * pi * k / n for k in range(n)]
    expected = unary_union([disc(d * cos(a), d * sin(a), r) for a in angles])
    return {"repeated": {"outline": {"disc": {"centre": [d, 0], "radius": r}}, "count": n, "around": [0, 0]}}, expected


@st.composite
def rows(draw):
    n, r, step = draw(st.integers(1, 8)), draw(mm(3, 8)), draw(mm(4, 20))
    expected = unary_union([disc(k * step, k, r) for k in range(n)])
    return {"repeated": {"outline": {"disc": {"radius": r}}, "count": n, "step": [step, 1]}}, expected


@st.composite
def sectors(draw):
    r, first, sweep, c = draw(mm(20, 60)), draw(degrees), draw(st.integers(5, 340)), draw(points)
    inner = draw(st.sampled_from([0, 0.3, 0.8])) * r
    rim = arc_points(c, r, radians(first), radians(sweep))
    back = arc_points(c, inner, radians(first), radians(sweep))[::-1] if inner else [tuple(c)]
    spec = {"outer": r, "inner": inner, "start": first, "end": first + sweep, "centre": c}
    return {"sector": spec}, Polygon(rim + back)


@st.composite
def rounded_crosses(draw):
    """A cross: its eight outside corners lose, its four inside corners win a piece between square and quarter disc."""
    w, r, s = draw(mm(20, 30)), draw(mm(0.5, 6)), draw(mm(0.5, 6))
    arms = {"union": {"outlines": [{"rectangle": {"size": [70, w]}}, {"rectangle": {"size": [w, 70]}}]}}
    expected = unary_union([box(-35, -w / 2, 35, w / 2), box(-w / 2, -35, w / 2, 35)])
    for k in range(4):
        for sign in (1, -1):
            x, y = 35 - r, sign * (w / 2 - r)
            corner = box(x, min(y, y + sign * r), 35, max(y, y + sign * r)).difference(disc(x, y, r))
            expected = expected.difference(affinity.rotate(corner, 90 * k, (0, 0)))
        q = w / 2 + s
        fillet = box(w / 2, w / 2, q, q).difference(disc(q, q, s))
        expected = expected.union(affinity.rotate(fillet, 90 * k, (0, 0)))
    return {"rounded": {"outline": arms, "outside": r, "inside": s}}, expected


CASES = {
    "disc": discs(), "ring": rings(), "rectangle": rectangles(), "rectangle, chamfered": chamfered(),
    "polygon": polygons(), "regular_polygon": regular_polygons(), "ellipse": ellipses(),
    "superellipse": superellipses(), "slot": slots(), "slot by length": slots_by_length(),
    "curved_slot": curved_slots(), "keyhole": keyholes(), "band": bands(), "joined": chains(),
    "joined, hollow": waists(), "joined, bulging": bellies(), "joined, bay": bays(), "path": paths(), "hull": hulls(),
    "union, difference, intersection": booleans(), "repeated": repeats(), "repeated in a row": rows(),
    "rounded": rounded_crosses(), "sector": sectors(),
}  # fmt: skip
SLACK = {
    "ellipse": 2e-3, "superellipse": 2e-3, "joined, bulging": 1e-3,
}  # fmt: skip
"""Fitted arcs, and the sampled oracle of the bulging ones, may stray by this, mm."""


@pytest.mark.parametrize("case", CASES)
@few
@given(data=st.data())
def test_valid_and_right(case, data):
    spec, expected = data.draw(CASES[case])
    region = drawn(spec)
    assert all(explain_contour(c) is None for c in region)
    assert signed_area(region.contours[0]) > 0
    assert area(region) == pytest.approx(polygon_of(region).area, abs=facet_error(expected))
    assert disagreement(region, expected) < facet_error(expected) + SLACK.get(case, 0) * length(region)


@pytest.mark.parametrize("case", CASES)
@few
@given(data=st.data(), turn=degrees, at=points)
def test_same_wherever_it_lies(case, data, turn, at):
    spec, _ = data.draw(CASES[case])
    region = drawn(spec)
    away = drawn({**spec, "turn": turn, "at": at})
    assert area(away) == pytest.approx(area(region), rel=1e-9)
    assert length(away) == pytest.approx(length(region), rel=1e-9)


@pytest.mark.parametrize("case", CASES)
@few
@given(data=st.data())
def test_mirror_image_unites_symmetrically(case, data):
    spec, expected = data.draw(CASES[case])
    twice = drawn({"union": {"outlines": [spec]}, "mirror": "y"})
    image = affinity.scale(expected, -1, 1, origin=(0, 0))
    both = expected.union(image)
    assert disagreement(twice, both) < 2 * facet_error(both) + SLACK.get(case, 0) * length(twice)


def test_every_free_kind_has_a_case():
    covered = {word for case in CASES for word in case.replace(",", " ").split()}
    free = {s.name for s in SHAPES if s.family == "outline"} - {s.name for s in DRAWN_SHAPES + EMBLEM_SHAPES}
    assert free <= covered
