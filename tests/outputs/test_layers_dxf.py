"""Layers as DXF: what is in the files, by three readers, and proofs that notice every fault."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from math import cos, hypot, pi, sin

import ezdxf
import pytest
import sample_plans
from dxf_tags import read_tags
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.outline.contour import Contour, Vertex
from generator.outline.measure import area, bounds, signed_area
from generator.outline.region import Region
from generator.outputs import dxf_proof, layers_dxf
from generator.outputs.dxf_pen import DxfCircle, DxfPolyline, entities_of
from generator.outputs.layers_dxf import ALL_LAYERS, drawn_layers
from generator.part.part import Face, Layer

WORK = sample_plans.work()
FILES = dict(layers_dxf.write(WORK))
DRAWN = drawn_layers(WORK.layers)
POCKET = "layers/cover_bottom-face_bottom-pocket.dxf"
HOLES = "layers/cover_top-face_bolt-holes.dxf"


class Kept:
    """Keeps what is made, as a family's store does."""

    def __init__(self):
        self.held = {}

    def get(self, kind, key, make):
        if (kind, key) not in self.held:
            self.held[kind, key] = make()
        return self.held[kind, key]


KEPT = Kept()
tuple(layers_dxf.prove(replace(WORK, sharing=KEPT), FILES))


def proofs(work=WORK, files=FILES):
    """Return the proofs: the same whether whole files are read, or the parts of them that were never read."""
    whole = tuple(layers_dxf.prove(work, files))
    assert whole == tuple(layers_dxf.prove(replace(work, sharing=KEPT), files))
    return whole


def failed(work=WORK, files=FILES):
    return [p for p in proofs(work, files) if not p.holds]


def one_layer(region: Region, face: Face = Face.TOP):
    return sample_plans.work(layers=(Layer("bolt-holes", "cover", face, region, 0.0, 8.0, "Through."),))


# ------------------------------------------------------------------ what is there
def test_one_file_a_layer_and_one_with_all():
    assert list(FILES) == [
        "layers/blank_top-face_blank.dxf",
        "layers/blank_top-face_dowel-holes.dxf",
        "layers/blank_bottom-face_dowel-holes.dxf",
        POCKET,
        HOLES,
        "layers/cover_top-face_seats.dxf",
        "layers/cover_top-face_inlay-pocket-crest.dxf",
        "layers/cover_top-face_outer-profile.dxf",
        "layers/insert-crest_top-face_insert-profile-crest.dxf",
        ALL_LAYERS,
    ]


def test_proofs_hold_far_inside_their_limits():
    assert failed() == []
    assert max(p.deviation for p in proofs()) < 1e-12
    assert {p.limit for p in proofs() if p.unit == "mm"} == {WORK.tol.model_mm}


def test_layers_without_area_make_no_file():
    assert dict(layers_dxf.write(one_layer(Region()))) == {}
    assert failed(one_layer(Region()), {}) == []


def test_names_that_differ_in_case_only_are_numbered():
    layer = WORK.layers[-1]
    named = [replace(layer, name=n) for n in ("insert-profile-a", "insert-profile-A", "insert-profile-a")]
    drawn = drawn_layers(named)
    assert [d[1] for d in drawn] == ["insert-profile-a", "insert-profile-A-2", "insert-profile-a-3"]
    assert len({d[0].lower() for d in drawn}) == 3


@pytest.mark.parametrize("name", FILES)
def test_file_by_its_tags_alone(name):
    read = read_tags(FILES[name])
    assert read.value("$ACADVER") >= "AC1015"
    assert read.value("$INSUNITS") == "4"
    assert read.value("$MEASUREMENT") == "1"
    assert {e.kind for e in read.entities} <= {"LWPOLYLINE", "CIRCLE"}
    assert read.blocks_with_content == []
    for e in read.entities:
        assert e.layer in read.layers
        if e.kind == "LWPOLYLINE":
            assert e.flags == 1  # closed, nothing else
            assert e.others == []  # no width, elevation, thickness, extrusion
        else:
            assert [t for t in e.others if t != (30, "0.0")] == []
    drawn = [d for d in DRAWN if name in (d[0], ALL_LAYERS)]
    assert read.layers == ["0", "Defpoints", *(d[1] for d in drawn)]
    for _, dxf_name, layer in drawn:
        mine = [e for e in read.entities if e.layer == dxf_name]
        assert len(mine) == len(layer.region)
        for e, contour in zip(mine, layer.region, strict=True):
            assert abs(e.signed_area()) == pytest.approx(abs(signed_area(contour)), rel=1e-12)
            box = bounds(contour)
            xs, ys = zip(*e.facets(), strict=True)
            got = (min(xs), min(ys), max(xs), max(ys))
            assert got == pytest.approx(tuple(box), abs=2e-2)  # facets of 64 per arc
    xmin, ymin = (float(v) for _, v in read.header["$EXTMIN"][:2])
    whole = bounds(Region(tuple(c for d in drawn for c in d[2].region)))
    assert (xmin, ymin) == pytest.approx((whole.xmin, whole.ymin), abs=1e-9)


def test_full_circles_are_circles():
    read = read_tags(FILES[HOLES])
    assert [(e.kind, e.points[0][:2], e.radius) for e in read.entities] == [
        ("CIRCLE", [-20.0, 0.0], pytest.approx(3.3, abs=1e-15)),
        ("CIRCLE", [20.0, 0.0], pytest.approx(3.3, abs=1e-15)),
    ]


def test_bottom_face_is_mirrored_in_numbers_and_said_everywhere():
    read = read_tags(FILES[POCKET])
    seen_from_top = bounds(sample_plans.POCKET)
    xs = [p[0] for e in read.entities for p in e.facets()]
    assert max(xs) == pytest.approx(2 * sample_plans.FLIP_X - seen_from_top.xmin, abs=1e-9)
    assert [e.layer for e in read.entities] == ["bottom-pocket-flipped"]
    assert any("BOTTOM FACE" in c and "as the machine sees it after the flip" in c for c in read.comments)
    assert read.properties()["face"] == "bottom"
    assert "Do not mirror it again" in read.properties()["view"]
    row = ezdxf.read(io.StringIO(FILES[POCKET].decode())).layers.get("bottom-pocket-flipped")
    assert row.description.startswith("cover, bottom face up, cut from 0 to 3.4 mm below the face that is up.")


def test_top_face_says_that_it_is_not_mirrored():
    read = read_tags(FILES[HOLES])
    assert not any("BOTTOM FACE" in c for c in read.comments)
    assert any("Not mirrored" in c for c in read.comments)
    assert read.properties() == {
        "pack": "gate-latch-21",
        "revision": "B",
        "units": "mm",
        "face": "top",
        "view": layers_dxf.TOP_SENTENCE,
        "part": "cover",
        "layer": "bolt-holes",
        "depth": "from 0 to 12 mm below the face that is up",
    }


def test_file_with_all_layers_warns_of_both_faces():
    read = read_tags(FILES[ALL_LAYERS])
    assert any("BOTH FACES" in c for c in read.comments)
    assert {e.layer.endswith("-flipped") for e in read.entities} == {True, False}
    doc = ezdxf.read(io.StringIO(FILES[ALL_LAYERS].decode()))
    colours = {d[1]: doc.layers.get(d[1]).color for d in DRAWN}
    flipped = {c for n, c in colours.items() if n.endswith("-flipped")}
    assert not flipped & {c for n, c in colours.items() if not n.endswith("-flipped")}


@pytest.mark.parametrize("text", ["two\nlines", "0\nEOF\n", "tab\tnul\0", "Ünïcode ⌀ 字", "x" * 5000])
def test_texts_cannot_break_the_file(text):
    plan = replace(WORK.plan, revision=text, name="name")
    layers = tuple(replace(layer, note=text) for layer in WORK.layers)
    work = sample_plans.work(plan=plan, layers=layers)
    files = dict(layers_dxf.write(work))
    assert failed(work, files) == []
    read = read_tags(files[HOLES])
    assert len(read.entities) == 2
    assert "\n" not in read.properties()["revision"]


def test_ezdxf_finds_nothing_to_mend():
    for name, data in FILES.items():
        auditor = ezdxf.read(io.StringIO(data.decode())).audit()
        assert not auditor.errors, name
        assert not auditor.fixes, name


# ------------------------------------------------------------------ an independent reader
def facet_bound(region: Region, step: float) -> float:
    """Return how much area facets of ``step`` radians can miss: ``r² |sweep| (1 - sin step / step) / 2`` an arc."""
    share = 1.0 - sin(step) / step
    arcs = [s for c in region for s in c.segments() if s.is_arc]
    return sum(s.radius_mm**2 * abs(s.sweep) / 2.0 * share for s in arcs)


@pytest.mark.parametrize("name", FILES)
def test_gdal_finds_the_same_areas(name, tmp_path):
    pyogrio = pytest.importorskip("pyogrio")
    shapely = pytest.importorskip("shapely")
    path = tmp_path / "layer.dxf"
    path.write_bytes(FILES[name])
    step = 0.1
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": str(step), "DXF_CLOSED_LINE_AS_POLYGON": "YES"})
    try:
        meta, _, geometry, fields = pyogrio.raw.read(path, layer="entities")
    finally:
        pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": None, "DXF_CLOSED_LINE_AS_POLYGON": None})
    of_layer = dict(zip(meta["fields"], fields, strict=True))["Layer"]
    lines = [shapely.from_wkb(g) for g in geometry]
    shapes = [shapely.polygonize([g]) if g.geom_type == "LineString" else g for g in lines]  # circles stay lines
    for _, dxf_name, layer in [d for d in DRAWN if name in (d[0], ALL_LAYERS)]:
        mine = [s for s, of in zip(shapes, of_layer, strict=True) if of == dxf_name]
        assert len(mine) == len(layer.region)
        # disjoint outer contours in these layers: areas add up
        got, want = sum(s.area for s in mine), area(layer.region)
        assert abs(got - want) <= facet_bound(layer.region, step * pi / 180.0) + 1e-9 * want


# ------------------------------------------------------------------ any region
@st.composite
def stars(draw):
    """Star-shaped contours with bulges of both signs, none of which crosses itself."""
    n = draw(st.integers(3, 12))
    radii = draw(st.lists(st.floats(5.0, 6.0), min_size=n, max_size=n))
    bulges = draw(st.lists(st.sampled_from([0.0, 0.05, -0.05, 0.1, 1e-6]), min_size=n, max_size=n))
    x, y = draw(st.tuples(st.floats(-500, 500), st.floats(-500, 500)))
    angles = [2.0 * pi * i / n for i in range(n)]
    return Contour(
        tuple(Vertex(x + r * cos(a), y + r * sin(a), b) for r, a, b in zip(radii, angles, bulges, strict=True))
    )


@st.composite
def circles_in_arcs(draw):
    """Full circles said in two to six arcs of any share, either way round, from any start."""
    n = draw(st.integers(2, 6))
    shares = draw(st.lists(st.floats(0.5, 1.0), min_size=n, max_size=n))
    sweeps = [2.0 * pi * s / sum(shares) for s in shares]
    if max(sweeps) > pi:
        sweeps = [pi, pi]
    x, y, r = draw(st.tuples(st.floats(-500, 500), st.floats(-500, 500), st.floats(0.1, 300)))
    at = draw(st.floats(0, 6.28))
    vertices = []
    for sweep in sweeps:
        vertices.append((x + r * cos(at), y + r * sin(at), min(1.0, sin(sweep / 4) / cos(sweep / 4))))
        at += sweep
    contour = Contour.of(vertices)
    return (x, y, r), contour.reversed() if draw(st.booleans()) else contour


@settings(derandomize=True, deadline=None, max_examples=60)
@given(contour=stars(), hole=st.booleans(), face=st.sampled_from(Face))
def test_any_contour_comes_back(contour, hole, face):
    region = Region((contour.reversed() if hole else contour,))
    work = one_layer(region, face)
    files = dict(layers_dxf.write(work))
    assert failed(work, files) == []
    (entity,) = read_tags(files[f"layers/cover_{face.value}-face_bolt-holes.dxf"]).entities
    assert [tuple(p) for p in entity.points] == [tuple(v) for v in region.contours[0].vertices]
    assert entity.signed_area() == pytest.approx(signed_area(region.contours[0]), rel=1e-9)


@settings(derandomize=True, deadline=None, max_examples=60)
@given(case=circles_in_arcs())
def test_any_full_circle_is_one_circle(case):
    (x, y, r), contour = case
    (entity,) = entities_of(Region((contour,)))
    assert isinstance(entity, DxfCircle)
    assert hypot(entity.centre.x - x, entity.centre.y - y) < 1e-9
    assert abs(entity.radius_mm - r) < 1e-9
    work = one_layer(Region((contour,)))
    assert failed(work, dict(layers_dxf.write(work))) == []


def lens(r: float, half: float) -> Contour:
    b = (r - (r * r - half * half) ** 0.5) / half
    return Contour.of([(-half, 0.0, b), (half, 0.0, b)])


@pytest.mark.parametrize(
    "contour",
    [
        lens(10.0, 9.0),
        lens(10.0, 9.9999),
        Contour.of([(-5, 0, 1.0), (5, 0, 0.0)]),  # half disc: an arc and its chord
        Contour.of([(-5, 0, 1.0), (5, 0, 0.999)]),
        Contour.of([(5, 0, 1.0), (-5, 0, 0.3), (0, -2, 0.4)]),
    ],
)
def test_what_is_not_a_full_circle_stays_a_polyline(contour):
    assert entities_of(Region((contour,))) == (DxfPolyline(contour.vertices),)
    work = one_layer(Region((contour,)))
    assert failed(work, dict(layers_dxf.write(work))) == []


# ------------------------------------------------------------------ proofs notice
def spoilt(name, change):
    """Return the files with one of them read, changed and written again."""
    doc = ezdxf.read(io.StringIO(FILES[name].decode()))
    change(doc)
    stream = io.StringIO()
    doc.write(stream)
    return {**FILES, name: stream.getvalue().encode()}


def first(doc):
    return doc.modelspace()[0]


def shift_vertex(by, which):
    def change(doc):
        points = first(doc).get_points("xyb")
        points[1] = tuple(v + (by if i == which else 0.0) for i, v in enumerate(points[1]))
        first(doc).set_points(points, format="xyb")

    return change


def negate_bulges(doc):
    first(doc).set_points([(x, y, -b) for x, y, b in first(doc).get_points("xyb")], format="xyb")


def other_start(doc):
    points = first(doc).get_points("xyb")
    first(doc).set_points(points[1:] + points[:1], format="xyb")


def mirror_by_extrusion(doc):
    first(doc).dxf.extrusion = (0, 0, -1)


def open_it(doc):
    first(doc).close(False)


def lift(doc):
    first(doc).dxf.elevation = 1.0


def add_line(doc):
    doc.modelspace().add_line((0, 0), (1, 1), dxfattribs={"layer": first(doc).dxf.layer})


def add_text(doc):
    doc.modelspace().add_text("x")


def add_twice(doc):
    doc.modelspace().add_lwpolyline(list(reversed([(x, y) for x, y, _ in first(doc).get_points("xyb")])), close=True)


def doubled(doc):
    doc.modelspace().add_entity(first(doc).copy())


def doubled_from_another_start(doc):
    doubled(doc)
    points = doc.modelspace()[-1].get_points("xyb")
    doc.modelspace()[-1].set_points(points[2:] + points[:2], format="xyb")


def to_other_layer(doc):
    doc.layers.add("somewhere-else")
    first(doc).dxf.layer = "somewhere-else"


def inches(doc):
    doc.header["$INSUNITS"] = 1


def imperial(doc):
    doc.header["$MEASUREMENT"] = 0


def on_paper(doc):
    doc.layout("Layout1").add_circle((0, 0), 1)


def in_block(doc):
    doc.blocks.new("stray").add_circle((0, 0), 1)


def nothing(doc):
    doc.modelspace().delete_all_entities()


@pytest.mark.parametrize(
    "change",
    [
        shift_vertex(2e-3, 0), shift_vertex(-2e-3, 1), shift_vertex(1e-3, 2), negate_bulges, other_start,
        mirror_by_extrusion, open_it, lift, add_line, add_text, add_twice, doubled, doubled_from_another_start,
        to_other_layer, inches, imperial, on_paper, in_block, nothing,
    ],
)  # fmt: skip
def test_every_fault_of_a_polyline_fails_a_proof(change):
    wrong = failed(files=spoilt(POCKET, change))
    assert wrong
    assert {p.feature for p in wrong} <= {"bottom-pocket-flipped", POCKET}


def test_a_doubled_outline_is_called_that():
    wrong = failed(files=spoilt(POCKET, doubled_from_another_start))
    assert any("stands twice" in p.what for p in wrong)


@pytest.mark.parametrize("attribute", ["center", "radius"])
@pytest.mark.parametrize(("by", "holds"), [(0.5e-3, True), (2e-3, False)])
def test_a_circle_off_by_two_micrometres_fails(attribute, by, holds):
    def change(doc):
        if attribute == "center":
            x, y, z = first(doc).dxf.center
            first(doc).dxf.center = (x + by, y, z)
        else:
            first(doc).dxf.radius += by

    wrong = failed(files=spoilt(HOLES, change))
    assert (wrong == []) is holds
    assert {p.feature for p in wrong} <= {"bolt-holes"}


def test_missing_foreign_and_unreadable_files_fail():
    assert failed(files={k: v for k, v in FILES.items() if k != HOLES})
    assert failed(files={**FILES, "layers/more.dxf": b""})
    for data in (b"", b"not a drawing", FILES[HOLES][: len(FILES[HOLES]) // 2], b"\xff\xfe\x00"):
        wrong = failed(files={**FILES, HOLES: data})
        assert any(p.feature == HOLES and "not readable" in p.what for p in wrong)


def test_old_version_fails():
    doc = ezdxf.new("R12")
    stream = io.StringIO()
    doc.write(stream)
    wrong = failed(files={**FILES, HOLES: stream.getvalue().encode()})
    assert any("older than" in p.what for p in wrong)


def test_reading_for_the_proof_changes_no_setting():
    before = ezdxf.options.write_fixed_meta_data_for_testing
    assert before is False
    dict(layers_dxf.write(WORK))
    assert ezdxf.options.write_fixed_meta_data_for_testing is before


# ------------------------------------------------------------------ what variants share is read once
@pytest.fixture
def reads(monkeypatch):
    """Return what the reader is given from here on, and let nothing that was read before be known."""
    given = []
    for name in ("read_dxf", "read_entities"):
        read = getattr(dxf_proof, name)
        monkeypatch.setattr(dxf_proof, name, lambda data, name=name, read=read: (given.append(name), read(data))[1])
    return given


def test_frames_and_layers_are_read_once_and_new_ones_again(reads):
    work = replace(WORK, sharing=Kept())
    assert all(p.holds for p in layers_dxf.prove(work, FILES))
    layers = len(DRAWN)
    assert reads == ["read_dxf", "read_entities"] * layers + ["read_dxf"]
    reads.clear()
    assert all(p.holds for p in layers_dxf.prove(work, FILES))
    assert reads == []
    other = replace(work.layers[-1], region=Region((Contour.of([(1, 1), (3, 1.5), (2, 4)]),)))
    work = replace(work, layers=(*work.layers[:-1], other))
    assert all(p.holds for p in layers_dxf.prove(work, dict(layers_dxf.write(work))))
    assert reads == ["read_entities"]


def edited(name, old, new):
    assert FILES[name].count(old) == 1
    return {**FILES, name: FILES[name].replace(old, new)}


HANDLES = re.findall(rb"  0\nCIRCLE\n  5\n([0-9A-F]+)\n", FILES[HOLES])


@pytest.mark.parametrize(
    "files",
    [
        edited(HOLES, b"\n  5\n%s\n" % HANDLES[1], b"\n  5\n%s\n" % HANDLES[0]),
        edited(HOLES, b"  0\nCIRCLE\n  5\n%s\n" % HANDLES[0], b"999\n  0\n  0\nCIRCLE\n  5\n%s\n" % HANDLES[0]),
        edited(HOLES, b"\n  2\nENTITIES\n", b"\n  2\nENTITIES\n999\nENTITIES\n"),
        edited(HOLES, b"\n  2\nbolt-holes\n", b"\n  2\nbolt-hole\n"),
    ],
    ids=["one handle twice", "a value like a beginning", "a comment before the entities", "a layer that is not listed"],
)
def test_a_file_that_is_not_put_together_as_written_is_read_as_a_whole(files, reads):
    read = tuple(layers_dxf.prove(replace(WORK, sharing=KEPT), files))
    assert reads[0] == "read_dxf"
    assert read == tuple(layers_dxf.prove(WORK, files))


def test_every_byte_that_draws_is_read_anew(reads):
    """A digit that is another, wherever among the entities it stands, is not taken for what was read before."""
    data = FILES[POCKET]
    start = data.index(b"ENTITIES")
    digits = [
        m.start() for m in re.finditer(rb"(?<=[0-9.])[0-9](?=[0-9.])", data[start : data.index(b"ENDSEC", start)])
    ]
    for at in digits[:: max(1, len(digits) // 40)]:
        here = start + at
        changed = data[:here] + (b"5" if data[here : here + 1] != b"5" else b"6") + data[here + 1 :]
        proofs(files={**FILES, POCKET: changed})
        if re.search(rb"\n  5\n[0-9A-F]*$", data[: here + 1]) is None:
            assert reads, data[here - 20 : here + 20]
        reads.clear()
