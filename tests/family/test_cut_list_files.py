"""What the cut list hands back: table, drawings read back by readers that know nothing of the writer, pages."""

from __future__ import annotations

import csv
import io
from collections import Counter
from functools import cache
from math import floor

import cut_list_cases as cases
import ezdxf
import pypdf
import pypdfium2
import pytest
from dxf_tags import read_tags
from shapely import affinity

from generator.base.cautions import CAUTIONS
from generator.base.errors import ProofError
from generator.base.materials import material
from generator.build.judge import check
from generator.family.cut_list import sheet_dxf as drawing
from generator.family.cut_list.files import PAGES, TABLE, cut_list_files, cut_list_key
from generator.family.cut_list.groups import NO_STOCK, TOO_LARGE, USED_UP, groups_of
from generator.family.cut_list.pages import CUT_WORDS, pages
from generator.family.summary import Shapes, pieces
from generator.family.task import BUILT, CRASHED, FORBIDDEN, UNCHANGED, Done, Said
from generator.paper.collisions import collisions

PLATE, SHEET = cases.sheet(400.0, 300.0, cases.ALUMINIUM, 8.0), cases.sheet(160.0, 120.0)


def mixed(count: int = 30):
    """Variants with a blank and an insert each, shapes in turn."""
    shapes = sorted(cases.SHAPES)
    return [
        cases.done(f"plot-{k}", [cases.cover(120.0, 80.0 + k % 2), cases.insert("number", shapes[k % len(shapes)])])
        for k in range(count)
    ]


@pytest.fixture(scope="module")
def run(tmp_path_factory):
    return cases.ran(tmp_path_factory.mktemp("family"), [PLATE, SHEET], mixed(), "title: Plots by the brook\n")


@pytest.fixture(scope="module")
def files(run):
    return cut_list_files(run)


@pytest.fixture(scope="module")
def rows(files):
    return list(csv.DictReader(io.StringIO(files[TABLE].decode("utf-8"))))


# ------------------------------------------------------------------ table
def test_every_piece_stands_in_the_table_once(rows):
    assert Counter((r["variant"], r["part"]) for r in rows) == Counter(
        (f"plot-{k}", p) for k in range(30) for p in ("cover", "insert-number")
    )
    assert all(r["sheet"] and not r["note"] for r in rows)


def test_places_of_the_table_lie_on_their_sheet_and_apart(rows):
    by_sheet: dict[str, list[dict[str, str]]] = {}
    for r in rows:
        by_sheet.setdefault(r["sheet"], []).append(r)
    assert len(by_sheet) > 4
    for some in by_sheet.values():
        shapes = [shape_of(r) for r in some]
        assert cases.least_gap(shapes) >= 4.0 - 0.002  # places are told to a µm
        for shape, r in zip(shapes, some, strict=True):
            left, bottom, right, top = shape.bounds
            assert min(left, bottom) >= 5.0 - 0.02
            assert right <= float(r["sheet_length_mm"]) - 5.0 + 0.02
            assert top <= float(r["sheet_width_mm"]) - 5.0 + 0.02


def shape_of(row):
    """A piece where the table says it lies, by shapely."""
    turn, x, y = (float(row[k]) for k in ("turn_deg", "x_mm", "y_mm"))
    if row["part"] == "cover":
        shape = cases.shapely.box(0.0, 0.0, float(row["length_mm"]), float(row["width_mm"]))
    else:
        shape = cases.polygon_of(cases.SHAPES[sorted(cases.SHAPES)[int(row["variant"].split("-")[1]) % 8]])
    shape = affinity.rotate(shape, turn, origin=(0.0, 0.0))
    return affinity.translate(shape, x - shape.bounds[0], y - shape.bounds[1])


def test_areas_of_the_groups_are_those_of_sheets_and_pieces(run, rows):
    blanks, inserts = groups_of(run)
    assert blanks.used_area_mm2 == pytest.approx(15 * 120.0 * 80.0 + 15 * 120.0 * 81.0)
    assert inserts.used_area_mm2 == pytest.approx(
        sum(shape_of(r).area for r in rows if r["part"] != "cover"), rel=0.002
    )
    for group, stock in ((blanks, PLATE), (inserts, SHEET)):
        assert group.sheet_area_mm2 == len(group.sheets) * stock["length"] * stock["width"]
        volume_m3 = group.sheet_area_mm2 * stock["thickness"] * 1e-9
        assert group.mass_kg == pytest.approx(volume_m3 * material(stock["material"]).density_kg_m3)
    assert [s.name for s in blanks.sheets[:2]] == ["blanks-EN-AW-6082-T6-8-1", "blanks-EN-AW-6082-T6-8-2"]


# ------------------------------------------------------------------ drawings
def drawings(files):
    return {name: data for name, data in files.items() if name.endswith(".dxf")}


def test_every_sheet_of_inserts_has_its_drawing(files, rows):
    sheets = {f"nested/{r['sheet']}.dxf" for r in rows if r["part"] != "cover"}
    assert set(drawings(files)) == sheets
    assert all(s.startswith("nested/inserts-CuZn37-R350-1.5-") for s in sheets)


def test_drawings_hold_the_outlines_moved_and_turned(files, rows):
    for name, data in drawings(files).items():
        tags = read_tags(data)
        assert tags.value("$INSUNITS") == "4"
        mine = [r for r in rows if f"nested/{r['sheet']}.dxf" == name]
        profiles = [e for e in tags.entities if e.layer == "insert-profile"]
        assert {e.kind for e in profiles} <= {"LWPOLYLINE", "CIRCLE"}
        assert all(e.flags & 1 for e in profiles if e.kind == "LWPOLYLINE")
        drawn = cases.shapely.Polygon()
        for e in profiles:  # a hole lies within its piece, no piece within a hole
            drawn = drawn.symmetric_difference(cases.shapely.Polygon(e.facets()))
        expected = cases.shapely.unary_union([shape_of(r) for r in mine])
        assert drawn.symmetric_difference(expected).area < 1e-3 * expected.area


def test_drawings_hold_sheet_and_names_on_layers_of_their_own(files, rows):
    for name, data in drawings(files).items():
        doc = ezdxf.read(io.StringIO(data.decode("utf-8")))
        assert not doc.audit().errors
        assert {"insert-profile", "sheet", "names"} <= {layer.dxf.name for layer in doc.layers}
        (border,) = doc.modelspace().query('*[layer=="sheet"]')
        assert border.closed
        assert list(border.get_points("xy")) == [(0.0, 0.0), (160.0, 0.0), (160.0, 120.0), (0.0, 120.0)]
        texts = doc.modelspace().query('TEXT[layer=="names"]')
        assert Counter(t.dxf.text for t in texts) == Counter(
            r["piece"] for r in rows if f"nested/{r['sheet']}.dxf" == name
        )
        assert {e.dxf.layer for e in doc.modelspace()} == {"insert-profile", "sheet", "names"}


def test_a_drawing_that_reads_back_otherwise_goes_out_nowhere(monkeypatch, run):
    group = groups_of(run)[1]
    wrong = drawing.entities_of(cases.SHAPES["disc"])
    monkeypatch.setattr(drawing, "_draw", lambda space, _, layer: DRAW(space, wrong, layer))
    with pytest.raises(ProofError, match="read back"):
        drawing.sheet_dxf(group, group.sheets[0], "any")


DRAW = drawing._draw


# ------------------------------------------------------------------ pages
def test_pages_tell_totals_cautions_and_every_pattern(files, run):
    reader = pypdf.PdfReader(io.BytesIO(files[PAGES]))
    text = " ".join(" ".join(p.extract_text() for p in reader.pages).split())
    groups = groups_of(run)
    for group in groups:
        assert f"{len(group.sheets)} of {floor(group.patterns[0].stock.length)} ×" in text
        assert f"{group.mass_kg:.2f}" in text
        assert f"{100.0 * (1.0 - group.used_area_mm2 / group.sheet_area_mm2):.1f} %" in text
        assert text.count(f"{group.stem}-1") >= 1
    first = " ".join(reader.pages[0].extract_text().split())
    assert " ".join(CUT_WORDS[1].split()) in first
    assert next(c.text for c in CAUTIONS if c.id == "edges") in first
    patterns = sum(len(g.patterns) for g in groups)
    assert len(reader.pages) >= 1 + patterns


def test_pictures_are_to_scale(run):
    group = groups_of(run)[0]
    sheet = next(s for s in pages(groups_of(run), run.family.file, "any") if group.sheets[0].name in s.title)
    border = next(d for d in sheet.drawn() if d.name == "sheet")
    scale = max(v.x for v in border.tracks[0].vertices) - min(v.x for v in border.tracks[0].vertices)
    pieces_drawn = [d for d in sheet.drawn() if d.name == "piece"]
    assert len(pieces_drawn) == len(group.patterns[0].placed)
    for d in pieces_drawn:
        xs, ys = [v.x for v in d.tracks[0].vertices], [v.y for v in d.tracks[0].vertices]
        sides = sorted([(max(xs) - min(xs)) * 400.0 / scale, (max(ys) - min(ys)) * 400.0 / scale])
        assert sides == pytest.approx([80.0, 120.0], abs=1e-6) or sides == pytest.approx([81.0, 120.0], abs=1e-6)


def test_no_text_of_the_pages_of_blanks_lies_on_another_or_on_a_line(tmp_path):
    every = [cases.done(f"plot-{k}", [cases.cover(120.0, 80.0)]) for k in range(70)]
    every += [cases.done("largest", [cases.cover(900.0, 800.0)]), cases.done("bare", [cases.cover(9.0, 8.0, 3.0)])]
    run = cases.ran(tmp_path, [PLATE], every)
    for sheet in pages(groups_of(run), run.family.file, "A title that is much too long " * 9):
        assert collisions(sheet) == ()


def test_pages_can_be_rendered(files):
    document = pypdfium2.PdfDocument(files[PAGES])
    for page in document:
        pixels = page.render(scale=0.5).to_numpy()
        assert (pixels < 128).any()


# ------------------------------------------------------------------ what is told of pieces on no sheet
def left_of(run):
    return {(x.wanted.variant, x.wanted.part): x.why for g in groups_of(run) for x in g.left}


def test_pieces_without_a_sheet_are_listed_with_the_reason(tmp_path):
    every = [
        cases.done("large", [cases.cover(401.0, 80.0)]),
        cases.done("just", [cases.cover(390.0, 290.0)]),
        cases.done("second", [cases.cover(390.0, 290.0)]),
        cases.done("thick", [cases.cover(50.0, 50.0, thickness=10.0)]),
        cases.done("other", [cases.cover(50.0, 50.0, material="S235JR")]),
    ]
    run = cases.ran(tmp_path, [{**PLATE, "count": 1}], every)
    assert left_of(run) == {
        ("large", "cover"): TOO_LARGE, ("second", "cover"): USED_UP,
        ("thick", "cover"): NO_STOCK, ("other", "cover"): NO_STOCK,
    }  # fmt: skip
    table = cut_list_files(run)[TABLE].decode("utf-8")
    assert table.count("\r\n") == 6
    assert f"large,large,cover,EN AW-6082 T6,8,401,80,,,,,,,,{TOO_LARGE}\r\n" in table


def test_blanks_and_inserts_of_one_material_share_its_sheets(tmp_path):
    every = [
        cases.done("a", [cases.cover(140.0, 100.0, 1.5, cases.BRASS), cases.insert("n", "disc")]),
    ]
    run = cases.ran(tmp_path, [{**SHEET, "count": 1}], every)
    assert left_of(run) == {("a", "insert-n"): USED_UP}


def test_names_of_materials_are_compared_without_regard_to_case_and_blanks(tmp_path):
    run = cases.ran(tmp_path, [{**PLATE, "material": " en aw-6082  t6"}], [cases.done("a", [cases.cover(50.0, 50.0)])])
    assert left_of(run) == {}


def test_a_family_without_stock_is_only_listed(tmp_path):
    files = cut_list_files(cases.ran(tmp_path, [], mixed(4)))
    assert set(files) == {TABLE, PAGES}
    assert files[TABLE].decode().count(NO_STOCK) == 8


def test_a_family_of_which_nothing_was_made_has_an_empty_list(tmp_path):
    files = cut_list_files(cases.ran(tmp_path, [PLATE], [None, cases.done("x", [cases.cover(9.0, 9.0)], CRASHED)]))
    assert files[TABLE].decode().count("\r\n") == 1
    assert pypdf.PdfReader(io.BytesIO(files[PAGES])).pages


def test_only_variants_with_a_pack_are_cut(tmp_path):
    warned = (Said("warns", "some-check", "something"),)
    every = [
        cases.done("good", [cases.cover(50.0, 50.0)], BUILT),
        cases.done("warned", [cases.cover(50.0, 50.0)], UNCHANGED, warned),
        cases.done("forbidden", [cases.cover(50.0, 50.0)], FORBIDDEN),
        None,
    ]
    groups = groups_of(cases.ran(tmp_path, [PLATE], every))
    assert [w.variant for s in groups[0].sheets for w in s.pieces] == ["good", "warned"]


def test_material_of_unknown_density_has_no_mass(tmp_path):
    run = cases.ran(
        tmp_path, [{**PLATE, "material": "slate"}], [cases.done("a", [cases.cover(9.0, 9.0, 8.0, "slate")])]
    )
    assert groups_of(run)[0].mass_kg is None
    text = pypdf.PdfReader(io.BytesIO(cut_list_files(run)[PAGES])).pages[0].extract_text()
    assert "not known" in " ".join(text.split())


def test_names_that_make_the_same_file_name_are_told_apart(tmp_path):
    every = [cases.done(f"a{k}", [cases.insert("n", "disc", material=m)]) for k, m in enumerate(("Cu Zn", "Cu/Zn"))]
    run = cases.ran(tmp_path, [{**SHEET, "material": "Cu Zn"}, {**SHEET, "material": "Cu/Zn"}], every)
    assert {n for n in cut_list_files(run) if n.endswith("dxf")} == {
        "nested/inserts-Cu-Zn-1.5-1.dxf", "nested/inserts-Cu-Zn-1.5-no2-1.dxf",
    }  # fmt: skip


def test_the_same_family_gives_the_same_bytes(run, files):
    assert cut_list_files(run) == files


def test_the_key_is_that_of_all_that_the_files_are_made_from(tmp_path):
    def key(stock=(PLATE, SHEET), every=None, more="title: Plots\n"):
        key.number += 1
        return cut_list_key(cases.ran(tmp_path / str(key.number), stock, every or mixed(3), more))

    key.number = 0
    first = key()
    assert key() == first
    assert key(every=[*mixed(3), cases.done("failed", [cases.cover(9.0, 9.0)], FORBIDDEN)]) == first
    others = [
        key(stock=(PLATE,)), key(stock=(PLATE, {**SHEET, "count": 2})), key(every=mixed(2)), key(more=""),
        key(more="title: Plots\nspacing: 5\n"), key(more="title: Plots\nsheet_edge: 6\n"),
        key(every=[*mixed(2), cases.done("plot-2", [cases.cover(120.0, 80.0), cases.insert("number", "star")])]),
        key(every=[*mixed(2), cases.done("plot-2", [cases.cover(120.0, 80.1), cases.insert("number", "islands")])]),
    ]  # fmt: skip
    assert len({first, *others}) == 1 + len(others)


def test_a_cell_that_would_be_a_formula_is_text(tmp_path):
    run = cases.ran(tmp_path, [], [cases.done("a", [cases.cover(9.0, 9.0, 8.0, "=1+1")])])
    assert ",'=1+1," in cut_list_files(run)[TABLE].decode()


# ------------------------------------------------------------------ pieces of real recipes
@cache
def of_recipe(name: str, house: str):
    shapes = Shapes()
    found = pieces(check(f"recipes/{name}.yaml", sets=(house,)), shapes)
    return found, shapes.by_digest


def test_recipes_of_the_house_are_cut(tmp_path, request):
    every = []
    for name, key, numbers in (("bee-house", "house", range(1, 5)), ("gate-latch", "plot", range(21, 23))):
        for n in numbers:
            found, by_digest = of_recipe(name, f"parameters.{key}={n}")
            every.append(Done(f"{name}-{n}", BUILT, pieces=found, shapes=by_digest))
    stock = [
        cases.sheet(600.0, 400.0, cases.ALUMINIUM, 10.0),
        cases.sheet(150.0, 100.0, "Cu-ETP R240", 1.0),
        cases.sheet(150.0, 100.0, cases.BRASS, 1.5),
    ]
    run = cases.ran(tmp_path, stock, every)
    groups = groups_of(run)
    assert {(g.kind, g.material, len(g.sheets), len(g.left)) for g in groups} == {
        ("blanks", cases.ALUMINIUM, 1, 0), ("inserts", "Cu-ETP R240", 1, 0), ("inserts", cases.BRASS, 1, 0),
    }  # fmt: skip
    files = cut_list_files(run)
    assert len(drawings(files)) == 2
    letters = read_tags(files["nested/inserts-Cu-ETP-R240-1-1.dxf"])
    area = sum(e.signed_area() for e in letters.entities if e.layer == "insert-profile" and e.kind == "LWPOLYLINE")
    copper = next(g for g in groups if g.material == "Cu-ETP R240")
    assert area == pytest.approx(copper.used_area_mm2, rel=1e-9)
