"""Outlines from DXF files: every kind of entity, exactness, chaining, and what must be refused."""

from __future__ import annotations

import io
from math import cos, hypot, pi, radians, sin

import ezdxf
import pytest
from ezdxf.math import Matrix44

from generator.artwork.dxf import MOST_ENTITIES, outline_from_dxf, read_dxf
from generator.base.errors import ContourError, GeometryError
from generator.outline.measure import area, bounds, length
from generator.outline.region import Region

SQUARE = [(0, 0), (40, 0), (40, 30), (0, 30)]


def drawing(draw, *, units=4, version="R2010", setup=None) -> bytes:
    doc = ezdxf.new(version)
    doc.header["$INSUNITS"] = units
    if setup:
        setup(doc)
    draw(doc.modelspace())
    out = io.StringIO()
    doc.write(out)
    return out.getvalue().encode()


def read(draw, **more) -> Region:
    layer = more.pop("layer", None)
    gap = {"gap_mm": more.pop("gap_mm")} if "gap_mm" in more else {}
    return outline_from_dxf(drawing(draw, **more), layer=layer, **gap)


def lines(m, points, **attribs):
    for a, b in zip(points, [*points[1:], points[0]], strict=True):
        m.add_line(a, b, dxfattribs=attribs)


# ------------------------------------------------------------------ exactness
def test_polyline_with_bulges_keeps_its_very_vertices():
    rows = [(0.1, 0.2, 0.0), (30.123456789, 0.2, 0.4142135623730951), (40, 10, -0.25), (40, 30, 0), (0.1, 30, 0.7)]
    region = read(lambda m: m.add_lwpolyline(rows, format="xyb", close=True))
    assert len(region) == 1
    assert {tuple(v) for v in region.contours[0].vertices} == {(float(x), float(y), float(b)) for x, y, b in rows}


@pytest.mark.parametrize("version", ["R12", "R2000", "R2018"])
def test_old_polyline_too(version):
    rows = [(0, 0, 0), (30, 0, 0.5), (30, 20, 0), (0, 20, 0)]

    def draw(m):
        m.add_polyline2d(rows, format="xyb", close=True)

    region = read(draw, version=version)
    assert {tuple(v) for v in region.contours[0].vertices} == {tuple(map(float, r)) for r in rows}


def test_polyline_with_an_arc_of_more_than_a_half_circle():
    # a keyhole: the bulge of a 270 degree arc
    bulge = 1 / (2**0.5 - 1)
    region = read(lambda m: m.add_lwpolyline([(0, 0, bulge), (10, 0, 0), (5, -5, 0)], format="xyb", close=True))
    r = 10 / 2**0.5
    assert area(region) == pytest.approx(0.75 * pi * r * r, rel=1e-12)  # the third vertex is the centre


def test_circle():
    region = read(lambda m: m.add_circle((3, -4), 7.5))
    assert area(region) == pytest.approx(pi * 7.5**2, rel=1e-14)
    assert len(region.contours[0]) == 2


# ------------------------------------------------------------------ joining
def test_lines_and_arcs_in_any_order_and_direction():
    def draw(m):
        m.add_line((40, 30), (0, 30))
        m.add_line((0, 0), (40, 0))
        m.add_line((0, 0), (0, 30))
        m.add_arc((40, 15), 15, -90, 90)

    region = read(draw)
    assert area(region) == pytest.approx(1200 + pi * 225 / 2, rel=1e-12)
    assert len(region.contours[0]) == 4


def test_arc_of_more_than_a_half_circle():
    def draw(m):
        m.add_arc((0, 0), 10, 45, 315)
        a = 10 * cos(pi / 4)
        m.add_line((a, a), (20, 0))
        m.add_line((20, 0), (a, -a))

    # the sector of 270 degrees and the kite between centre, both ends and the tip
    assert area(read(draw)) == pytest.approx(0.75 * pi * 100 + 20 * 10 * sin(pi / 4), rel=1e-12)


def test_gap_is_closed_in_the_middle():
    def draw(m):
        m.add_line((0, 0), (40, 0.004))
        m.add_line((40, -0.004), (40, 30))
        m.add_line((40, 30), (0, 30))
        m.add_line((0, 30), (0, 0))

    vertices = {(v.x, v.y) for v in read(draw).contours[0].vertices}
    assert (40.0, 0.0) in vertices
    with pytest.raises(GeometryError, match=r"open.*\(40\.0000, 0\.0040\).*\(40\.0000, -0\.0040\).*0\.008 mm apart"):
        read(draw, gap_mm=0.001)


def test_open_outline_names_its_loose_ends():
    def draw(m):
        m.add_lwpolyline([(0, 0), (40, 0), (40, 30), (0.5, 30)])

    with pytest.raises(GeometryError, match=r"open: loose ends at \(0\.0000, 0\.0000\), \(0\.5000, 30\.0000\)") as told:
        read(draw)
    assert told.value.point_mm == (0.0, 0.0)


def test_branch_is_refused():
    def draw(m):
        lines(m, SQUARE)
        m.add_line((0, 0), (40, 30))

    with pytest.raises(GeometryError, match="more than two lines meet at"):
        read(draw)


def test_open_polyline_that_comes_back_is_closed():
    region = read(lambda m: m.add_lwpolyline([*SQUARE, (0, 0)]))
    assert area(region) == 1200
    assert len(region.contours[0]) == 4


def test_what_is_drawn_twice_counts_once():
    def draw(m):
        m.add_lwpolyline(SQUARE, close=True)
        lines(m, SQUARE[::-1])
        m.add_lwpolyline([SQUARE[2], SQUARE[3], SQUARE[0], SQUARE[1]], close=True)
        m.add_line((0, 0), (40, 0))
        m.add_circle((20, 15), 5)
        m.add_circle((20, 15), 5)
        m.add_arc((20, 15), 5, 180, 360)

    region = read(draw)
    assert len(region) == 2
    assert area(region) == pytest.approx(1200 - 25 * pi, rel=1e-12)


def test_points_of_no_length_are_dropped():
    def draw(m):
        lines(m, SQUARE)
        m.add_line((7, 7), (7, 7))
        m.add_point((3, 3))

    assert area(read(draw)) == 1200


# ------------------------------------------------------------------ nesting
def test_holes_and_islands():
    def draw(m):
        m.add_lwpolyline(SQUARE, close=True)
        m.add_circle((20, 15), 10)
        m.add_circle((20, 15), 4)

    region = read(draw)
    assert len(region) == 3
    assert area(region) == pytest.approx(1200 - 100 * pi + 16 * pi, rel=1e-12)


def test_crossing_outlines_are_refused():
    def draw(m):
        m.add_lwpolyline(SQUARE, close=True)
        m.add_circle((40, 15), 10)

    with pytest.raises(ContourError, match="cross or touch"):
        read(draw)


def test_outline_that_crosses_itself_is_refused():
    with pytest.raises(ContourError, match=r"crosses.*\(20, 15\)"):
        read(lambda m: m.add_lwpolyline([(0, 0), (40, 30), (40, 0), (0, 30)], close=True))


# ------------------------------------------------------------------ ellipses and splines
def test_ellipse_within_two_micrometres():
    region = read(lambda m: m.add_ellipse((5, 5), major_axis=(24, 18), ratio=0.4))
    assert area(region) == pytest.approx(pi * 30 * 12, abs=2e-3 * length(region))
    for v in region.contours[0].vertices:
        x, y = ((v.x - 5) * 24 + (v.y - 5) * 18) / 30, ((v.y - 5) * 24 - (v.x - 5) * 18) / 30
        assert hypot(x / 30, y / 12) == pytest.approx(1, abs=2e-3 / 12)


def test_half_ellipse():
    def draw(m):
        m.add_ellipse((0, 0), major_axis=(30, 0), ratio=0.5, start_param=0, end_param=pi)
        m.add_line((-30, 0), (30, 0))

    region = read(draw)
    assert area(region) == pytest.approx(pi * 30 * 15 / 2, abs=2e-3 * length(region))


def test_closed_spline_follows_an_independent_evaluation():
    points = [(30 * cos(a) * (1 + 0.2 * cos(3 * a)), 30 * sin(a)) for a in (2 * pi * k / 9 for k in range(9))]
    data = drawing(lambda m: m.add_spline().set_closed([(x, y, 0) for x, y in points]))
    region = outline_from_dxf(data)
    # uniform cubic B-spline by its textbook matrix (de Boor, A Practical Guide to Splines, 1978)
    dense = []
    n = len(points)
    for i in range(n):
        p = [points[(i + k) % n] for k in range(4)]
        for k in range(400):
            t = k / 400
            w = ((1 - t) ** 3, 3 * t**3 - 6 * t**2 + 4, -3 * t**3 + 3 * t**2 + 3 * t + 1, t**3)
            dense.append(tuple(sum(w[j] * p[j][axis] for j in range(4)) / 6 for axis in (0, 1)))
    shoelace = sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(dense, [*dense[1:], dense[0]], strict=True)) / 2
    around = sum(hypot(a[0] - b[0], a[1] - b[1]) for a, b in zip(dense, [*dense[1:], dense[0]], strict=True))
    assert area(region) == pytest.approx(shoelace, abs=2e-3 * around)
    assert length(region) == pytest.approx(around, rel=1e-4)
    assert len(region.contours[0]) < 80


def test_rational_spline_of_a_circle():
    """A circle as a rational quadratic of nine control points (closed form, Piegl and Tiller, The NURBS Book, 7.5)."""
    r, w = 20.0, 0.5**0.5
    ring = [(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1), (1, 0)]
    knots = [0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4]

    def draw(m):
        s = m.add_rational_spline([(r * x, r * y) for x, y in ring], [1, w, 1, w, 1, w, 1, w, 1], degree=2, knots=knots)
        s.closed = True

    region = read(draw)
    assert area(region) == pytest.approx(pi * r * r, rel=1e-6)
    for v in region.contours[0].vertices:
        assert hypot(v.x, v.y) == pytest.approx(r, abs=2e-3)


def test_spline_of_degree_one_is_a_polygon():
    def draw(m):
        m.add_open_spline([*SQUARE, (0, 0)], degree=1)

    region = read(draw)
    assert area(region) == pytest.approx(1200, abs=1e-9)
    assert len(region.contours[0]) == 4


def test_spline_through_fit_points():
    points = [(30 * cos(a), 30 * sin(a), 0) for a in (pi * k / 8 for k in range(9))]

    def draw(m):
        m.add_spline(fit_points=points)
        m.add_line((-30, 0), (30, 0))

    assert area(read(draw)) == pytest.approx(pi * 450, rel=2e-3)


# ------------------------------------------------------------------ where it lies
@pytest.mark.parametrize(("code", "factor"), [(0, 1), (1, 25.4), (2, 304.8), (4, 1), (5, 10), (6, 1000), (13, 1e-3)])
def test_units(code, factor):
    size = 1 / factor  # so that it is 1 mm
    found = read_dxf(drawing(lambda m: m.add_circle((0, 0), size), units=code))
    assert area(found.region) == pytest.approx(pi, rel=1e-9)
    assert ("no unit" in found.unit_note) == (code == 0)


def test_unknown_unit_is_refused():
    with pytest.raises(GeometryError, match=r"\$INSUNITS 20"):
        read(lambda m: m.add_circle((0, 0), 1), units=20)


def test_drawn_from_below():
    """Extrusion (0, 0, -1): x is reversed, arcs turn the other way."""

    def draw(m):
        below = {"extrusion": (0, 0, -1)}
        m.add_lwpolyline([(0, 0, 0), (40, 0, 0.5), (40, 30, 0), (0, 30, 0)], format="xyb", close=True, dxfattribs=below)
        m.add_circle((10, 10), 3, dxfattribs=below)
        m.add_arc((30, 15), 4, 0, 180, dxfattribs=below)
        m.add_line((-26, 15, 0), (-34, 15, 0))  # lines are in world coordinates

    region = read(draw)
    seen = read(
        lambda m: (
            m.add_lwpolyline([(0, 0, 0), (-40, 0, -0.5), (-40, 30, 0), (0, 30, 0)], format="xyb", close=True),
            m.add_circle((-10, 10), 3),
            m.add_arc((-30, 15), 4, 0, 180),
            m.add_line((-26, 15), (-34, 15)),
        )
    )
    assert area(region) == pytest.approx(area(seen), rel=1e-12)
    assert bounds(region) == pytest.approx(bounds(seen), abs=1e-9)


def test_tilted_plane_is_refused():
    with pytest.raises(GeometryError, match="tilted"):
        read(lambda m: m.add_circle((0, 0), 5, dxfattribs={"extrusion": (0, 1, 1)}))
    with pytest.raises(GeometryError, match="climbs"):
        read(lambda m: m.add_line((0, 0, 0), (0, 40, 5)))


def test_wrong_unit_is_noticed():
    with pytest.raises(GeometryError, match="wrong unit"):
        read(lambda m: m.add_circle((0, 0), 60), units=6)


# ------------------------------------------------------------------ layers and blocks
def test_only_the_layer_that_is_named():
    def draw(m):
        m.add_lwpolyline(SQUARE, close=True, dxfattribs={"layer": "outline"})
        m.add_circle((20, 15), 60, dxfattribs={"layer": "frame"})
        m.add_text("beside it", dxfattribs={"layer": "outline"})

    assert area(read(draw, layer="Outline")) == 1200
    with pytest.raises(GeometryError, match=r"there are: frame, outline; did you mean 'outline'"):
        read(draw, layer="outlne")


def test_layers_switched_off_are_not_read():
    def setup(doc):
        doc.layers.add("hidden").off()
        doc.layers.add("cold").freeze()

    def draw(m):
        m.add_lwpolyline(SQUARE, close=True)
        m.add_line((0, 0), (5, 5), dxfattribs={"layer": "hidden"})
        m.add_line((0, 0), (5, 5), dxfattribs={"layer": "cold"})

    assert area(read(draw, setup=setup)) == 1200


def test_blocks_are_taken_apart():
    def setup(doc):
        hole = doc.blocks.new("hole")
        hole.add_circle((0, 0), 2)
        pair = doc.blocks.new("pair")
        pair.add_blockref("hole", (0, 0))
        pair.add_blockref("hole", (10, 0))

    def draw(m):
        m.add_lwpolyline(SQUARE, close=True)
        m.add_blockref("pair", (10, 10))
        m.add_blockref("pair", (10, 20), dxfattribs={"xscale": -1, "yscale": 1, "layer": "x"}).translate(10, 0, 0)

    region = read(draw, setup=setup)
    assert len(region) == 5
    assert area(region) == pytest.approx(1200 - 4 * 4 * pi, rel=1e-12)


def test_mirrored_and_stretched_block():
    def setup(doc):
        b = doc.blocks.new("lug")
        b.add_lwpolyline([(0, 0, 0), (20, 0, 1), (20, 10, 0), (0, 10, 0)], format="xyb", close=True)

    mirrored = read(lambda m: m.add_blockref("lug", (0, 0), dxfattribs={"xscale": -2, "yscale": 2}), setup=setup)
    assert area(mirrored) == pytest.approx(4 * (200 + 12.5 * pi), rel=1e-9)
    assert bounds(mirrored) == pytest.approx((-50, 0, 0, 20), abs=1e-9)
    stretched = read(lambda m: m.add_blockref("lug", (0, 0), dxfattribs={"xscale": 2, "yscale": 1}), setup=setup)
    assert area(stretched) == pytest.approx(2 * (200 + 12.5 * pi), rel=1e-4)


def test_block_that_contains_itself_is_refused():
    def setup(doc):
        a, b = doc.blocks.new("a"), doc.blocks.new("b")
        a.add_blockref("b", (1, 0))
        b.add_blockref("a", (1, 0))

    with pytest.raises(GeometryError):
        read(lambda m: m.add_blockref("a", (0, 0)), setup=setup)


def test_blocks_that_multiply_are_refused():
    def setup(doc):
        doc.blocks.new("b0").add_circle((0, 0), 1)
        for k in range(1, 9):
            doc.blocks.new(f"b{k}").add_blockref(
                f"b{k - 1}",
                (0, 0),
                dxfattribs={"row_count": 100, "column_count": 100, "row_spacing": 3, "column_spacing": 3},
            )

    with pytest.raises(GeometryError, match="more than"):
        read(lambda m: m.add_blockref("b8", (0, 0)), setup=setup)


# ------------------------------------------------------------------ what is no outline
@pytest.mark.parametrize(
    "data",
    [
        b"", b"   \n", b"hello", b"%PDF-1.7\n", b"\x00\x01\x02" * 50, b"0\nSECTION\n2\nENTITIES\n", b"0\n" * 1000,
        "grüß".encode("latin-1"),
        b"  0\nSECTION\n  2\nENTITIES\n  0\nLINE\n 10\nnan\n 20\n0\n 11\n"
        b"1\n 21\n1\n  0\nENDSEC\n  0\nEOF\n",
    ],
)  # fmt: skip
def test_other_files_are_refused_kindly(data):
    with pytest.raises(GeometryError):
        outline_from_dxf(data)


def test_nothing_to_see_says_what_is_there():
    with pytest.raises(GeometryError, match=r"no outline in the file.*only 1 TEXT"):
        read(lambda m: m.add_text("hello"))


def test_too_many_entities_are_refused_before_parsing():
    one = b"  0\nPOINT\n 10\n1\n 20\n2\n"
    data = b"  0\nSECTION\n  2\nENTITIES\n" + one * (3 * MOST_ENTITIES + 1) + b"  0\nENDSEC\n  0\nEOF\n"
    with pytest.raises(GeometryError, match="far more than an outline needs"):
        outline_from_dxf(data)


def test_too_large_a_file_is_refused():
    with pytest.raises(GeometryError, match="33 MB"):
        outline_from_dxf(b" " * 32_500_000 + b"x")


def test_cut_off_file_is_refused():
    """What is left may lack a hole."""
    data = drawing(lambda m: m.add_lwpolyline(SQUARE, close=True))
    with pytest.raises(GeometryError, match=r"line \d+ of the DXF file: the file ends .* cut off"):
        outline_from_dxf(data[: data.rindex(b"ENDSEC")])


def test_cut_anywhere_never_anything_but_our_own_error():
    def draw(m):
        lines(m, SQUARE)
        m.add_circle((20, 15), 5)
        m.add_spline([(0, 0), (5, 9), (9, 3)])

    data = drawing(draw)
    for at in range(0, len(data), max(1, len(data) // 60)):
        try:
            outline_from_dxf(data[:at])
        except GeometryError:
            continue


def test_turned_drawing_gives_the_turned_outline():
    def draw(m):
        m.add_lwpolyline([(0, 0, 0), (40, 0, 0.5), (40, 30, 0), (0, 30, 0)], format="xyb", close=True)

    def turned(m):
        draw(m)
        for e in m:
            e.transform(Matrix44.z_rotate(radians(30)))

    assert area(read(turned)) == pytest.approx(area(read(draw)), rel=1e-12)
