"""STEP files: read by an independent parser and by the kernel; the same bytes every time."""

from __future__ import annotations

import hashlib
import re
import subprocess
import sys
from math import hypot
from pathlib import Path

import pytest
from OCP.Interface import Interface_Static
from OCP.Quantity import Quantity_Color, Quantity_TypeOfColor
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.STEPControl import STEPControl_Controller
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDF import TDF_LabelSequence
from OCP.TDocStd import TDocStd_Document
from OCP.XCAFDoc import XCAFDoc_ColorType, XCAFDoc_DocumentTool, XCAFDoc_MaterialTool
from part21 import parse, string, strings
from solid_bodies import BOLTS, rect, slabs_of, small_plan, straight

from generator.base.errors import GeometryError, ProofError
from generator.part.part import Part
from generator.solid.assemble import make_solid
from generator.solid.facts import solid_facts
from generator.solid.kernel_solids import part_solid
from generator.solid.solids import StepSolids, make_solids, to_cadquery
from generator.solid.step_encoding import encode_text
from generator.solid.step_read import read_facts, read_shapes
from generator.solid.step_text import Header
from generator.solid.step_write import Product, write_step

WILD = "insert-Žluť 'n\\o' 😀"


def solids(**kwargs: str) -> StepSolids:
    return make_solids(small_plan(**kwargs), slabs_of)


@pytest.fixture(scope="module")
def assembly() -> bytes:
    return solids().assembly_step()


# ------------------------------------------------------------------ what is written
def test_header_says_ap242_and_no_time(assembly: bytes) -> None:
    header = parse(assembly).header
    assert strings(header["FILE_DESCRIPTION"]) == ["Gate latch: cover and inserts", "2;1"]
    name, stamp, author, organisation, preprocessor, origin, _ = strings(header["FILE_NAME"])
    assert (name, stamp, author, organisation) == ("assembly.step", "1970-01-01T00:00:00", "", "")
    assert preprocessor.startswith("OCCT ")
    assert origin.startswith("coverplate ")
    (schema,) = strings(header["FILE_SCHEMA"])
    assert schema == "AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF {1 0 10303 442 1 1 4 }"


def test_products_are_named_once_with_revision(assembly: bytes) -> None:
    step = parse(assembly)
    names = [string(tokens[1]) for tokens in step.of("PRODUCT")]
    assert sorted(names) == ["gate-latch", "gate-latch cover", "gate-latch insert-number"]
    assert [string(t[1]) for t in step.of("PRODUCT_DEFINITION_FORMATION")] == ["B"] * 3
    assert sorted(string(t[1]) for t in step.of("MANIFOLD_SOLID_BREP")) == [
        "gate-latch cover",
        "gate-latch insert-number",
    ]
    uses = [strings(t)[:2] for t in step.of("NEXT_ASSEMBLY_USAGE_OCCURRENCE")]
    assert uses == [["1", "gate-latch cover"], ["2", "gate-latch insert-number"]]


def test_lengths_are_millimetres(assembly: bytes) -> None:
    lengths = [t for name, t in parse(assembly).entities.values() if not name and "LENGTH_UNIT" in t]
    models = [t for t in lengths if ".MILLI." in t]
    assert len(models) == 3
    assert all(".METRE." in t for t in lengths)
    # centimetres only in the densities, g/cm³
    assert len(lengths) == len(models) + 2


def test_material_and_density(assembly: bytes) -> None:
    step, plan = parse(assembly), small_plan()
    assert [strings(t)[0] for t in step.of("DESCRIPTIVE_REPRESENTATION_ITEM")] == [p.material.name for p in plan.parts]
    measures = step.of("MEASURE_REPRESENTATION_ITEM")
    values = [float(t[t.index("POSITIVE_RATIO_MEASURE") + 2]) for t in measures]
    assert values == pytest.approx([p.material.density_kg_m3 / 1000 for p in plan.parts], rel=1e-12)
    exponents = [float(t[3]) for t in step.of("DERIVED_UNIT_ELEMENT")]
    assert exponents == [1.0, -3.0] * 2


def test_nothing_but_planes_cylinders_cones_lines_and_circles(assembly: bytes) -> None:
    kinds = {name for name, _ in parse(assembly).entities.values()}
    assert {"PLANE", "CYLINDRICAL_SURFACE", "CONICAL_SURFACE", "LINE", "CIRCLE"} <= kinds
    assert not [k for k in kinds if "SPLINE" in k or "FACET" in k or "PCURVE" in k]


def test_file_of_one_part_has_one_product() -> None:
    plan = small_plan()
    data = solids().part_step(plan.cover)
    step = parse(data)
    assert [string(t[1]) for t in step.of("PRODUCT")] == ["gate-latch cover"]
    assert not step.of("NEXT_ASSEMBLY_USAGE_OCCURRENCE")
    assert strings(step.header["FILE_NAME"])[0] == "cover.step"


def test_names_outside_ascii_are_encoded_and_come_back() -> None:
    plan = small_plan(insert_name=WILD, revision="Č'1")
    data = make_solids(plan, slabs_of).assembly_step()
    data.decode("ascii")
    step = parse(data)
    assert f"gate-latch {WILD}" in [string(t[1]) for t in step.of("PRODUCT")]
    assert {string(t[1]) for t in step.of("PRODUCT_DEFINITION_FORMATION")} == {"Č'1"}
    assert [f.product for f in read_facts(data)] == ["gate-latch cover", f"gate-latch {WILD}"]


@pytest.mark.parametrize(
    ("text", "coded"),
    [
        ("plain", "plain"),
        ("it's", "it''s"),
        ("a\\b", "a\\\\b"),
        ("näh", "n\\X2\\00E4\\X0\\h"),
        ("Žž", "\\X2\\017D017E\\X0\\"),
        ("😀", "\\X4\\0001F600\\X0\\"),
        ("tab\there", "tab\\X2\\0009\\X0\\here"),
    ],
)
def test_encoding_of_strings(text: str, coded: str) -> None:
    """Source: ISO 10303-21, 6.4.3."""
    assert encode_text(text) == coded
    assert string(f"'{coded}'") == text


def test_assembly_named_like_an_insert_is_another_product() -> None:
    plan = small_plan(insert_name="gate-latch")
    names = [string(t[1]) for t in parse(make_solids(plan, slabs_of).assembly_step()).of("PRODUCT")]
    assert sorted(names) == ["gate-latch", "gate-latch cover", "gate-latch gate-latch"]


def test_equal_product_names_are_refused() -> None:
    block = Product("twin", make_solid([straight(0, 1, rect(0, 0, 2, 2))]), "#808080", "steel", 7850.0)
    with pytest.raises(GeometryError, match="different names, found twin, twin"):
        write_step([block, block], Header("x.step", "x"), assembly="both")


# ------------------------------------------------------------------ same bytes
def digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def test_two_exports_in_one_process_are_the_same(assembly: bytes) -> None:
    one = solids()
    assert digest(one.assembly_step()) == digest(assembly)
    assert digest(one.assembly_step()) == digest(assembly)
    cover = small_plan().cover
    assert digest(one.part_step(cover)) == digest(solids().part_step(cover))


def test_exports_of_two_processes_are_the_same(assembly: bytes) -> None:
    code = (
        "import sys, hashlib; sys.path[:0] = sys.argv[1:]; from solid_bodies import small_plan, slabs_of; "
        "from generator.solid.solids import make_solids; "
        "print(hashlib.sha256(make_solids(small_plan(), slabs_of).assembly_step()).hexdigest())"
    )
    here = Path(__file__).parent
    root = here.parents[1]
    done = subprocess.run(
        [sys.executable, "-c", code, str(here), str(root)], capture_output=True, text=True, check=True, timeout=120
    )
    assert done.stdout.strip() == digest(assembly)  # nothing else on the standard output either


def test_global_settings_of_the_kernel_are_put_back() -> None:
    STEPControl_Controller.Init_s()
    Interface_Static.SetCVal_s("write.step.schema", "AP203")
    try:
        data = solids().assembly_step()
        assert Interface_Static.CVal_s("write.step.schema") == "AP203"
        assert b"AP242_MANAGED" in data
    finally:
        Interface_Static.SetCVal_s("write.step.schema", "AP214IS")


# ------------------------------------------------------------------ read back
def test_read_back_equals_the_solids(assembly: bytes) -> None:
    side, plan = solids(), small_plan()
    for part, read in zip(plan.parts, side.read_step(assembly), strict=True):
        own = solid_facts("", part_solid(part, slabs_of))
        assert (read.product, read.is_valid, read.is_closed, read.faces) == (
            f"gate-latch {part.name}",
            True,
            True,
            own.faces,
        )
        assert read.volume_mm3 == pytest.approx(own.volume_mm3, rel=1e-12)
        box = list(own.box_mm)
        box[2], box[5] = box[2] + part.seat_z_mm, box[5] + part.seat_z_mm
        assert read.box_mm == pytest.approx(box, abs=1e-9)


def test_bolt_pattern_comes_back_to_a_micrometre(assembly: bytes) -> None:
    holes = read_facts(assembly)[0].holes
    for x, y in BOLTS:
        bolt, seat = [h for h in holes if hypot(h.at.x - x, h.at.y - y) < 1e-6]
        assert (bolt.diameter_mm, bolt.z_from_mm, bolt.z_to_mm) == pytest.approx((6.6, 0, 5), abs=1e-6)
        assert (seat.diameter_mm, seat.z_from_mm, seat.z_to_mm) == pytest.approx((11, 5, 8), abs=1e-6)
    assert len(holes) == 2 * len(BOLTS)


def test_colours_and_materials_as_a_cad_program_reads_them(assembly: bytes, tmp_path: Path) -> None:
    path = tmp_path / "assembly.step"
    path.write_bytes(assembly)
    document = TDocStd_Document(TCollection_ExtendedString("XmlOcaf"))
    reader = STEPCAFControl_Reader()
    reader.SetColorMode(True)
    reader.SetMatMode(True)
    reader.ReadFile(str(path))
    assert reader.Transfer(document)
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    labels = TDF_LabelSequence()
    shapes.GetShapes(labels)
    simple = [x for x in map(labels.Value, range(1, labels.Length() + 1)) if shapes.IsSimpleShape_s(x)]
    for label, part in zip(simple, small_plan().parts, strict=True):
        colour = Quantity_Color()
        assert colours.GetColor(shapes.GetShape_s(label), XCAFDoc_ColorType.XCAFDoc_ColorSurf, colour)
        wanted = [int(part.material.colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
        assert colour.Values(Quantity_TypeOfColor.Quantity_TOC_sRGB) == pytest.approx(wanted, abs=1e-4)
        density = XCAFDoc_MaterialTool.GetDensityForShape_s(label)  # g/mm³
        assert density == pytest.approx(part.material.density_kg_m3 * 1e-6, rel=1e-9)


def test_part_in_two_pieces_is_one_product() -> None:
    two = make_solid([straight(0, 2, rect(0, 0, 20, 10), rect(30, 0, 40, 10))])
    one = make_solid([straight(0, 2, rect(0, 0, 5, 5))])
    products = [Product("two", two, "#102030", "brass", 8500.0), Product("one", one, "#405060", "steel", 7850.0, 3.0)]
    data = write_step(products, Header("x.step", "x"), assembly="both")
    found = read_facts(data)
    assert [(f.product, f.is_valid, f.is_closed) for f in found] == [("two", True, True), ("one", True, True)]
    assert [f.volume_mm3 for f in found] == pytest.approx([600, 50], rel=1e-12)
    assert len(parse(data).of("STYLED_ITEM")) == 3


@pytest.mark.parametrize("data", [b"", b"not a step file", b"ISO-10303-21;\nHEADER;\nENDSEC;\n", b"\x00" * 1000])
def test_bytes_that_are_no_step_file(data: bytes) -> None:
    with pytest.raises(ProofError):
        read_facts(data)


def test_truncated_file_is_never_taken_for_whole(assembly: bytes) -> None:
    half = assembly[: len(assembly) // 2]
    try:
        found = read_facts(half)
    except ProofError:
        return
    assert not [f for f in found if f.is_valid and f.is_closed and f.product == "gate-latch insert-number"]


# ------------------------------------------------------------------ cadquery
def test_part_as_a_cadquery_workplane() -> None:
    plan = small_plan()
    work = to_cadquery(plan.cover, slabs_of)
    assert work.val().isValid()
    assert work.val().ShapeType() == "Solid"
    assert work.val().Volume() == pytest.approx(solids().facts(plan.cover).volume_mm3, rel=1e-12)
    assert work.faces(">Z").val().Center().z == pytest.approx(8.0)


def test_part_of_which_nothing_is_left_is_refused_by_name() -> None:
    plan = small_plan()
    with pytest.raises(GeometryError, match="cover: nothing is left"):
        make_solids(plan, lambda _: ()).facts(plan.cover)


def test_each_solid_is_made_once() -> None:
    asked: list[str] = []

    def slow(part: Part):
        asked.append(part.name)
        return slabs_of(part)

    side, plan = make_solids(small_plan(), slow), small_plan()
    side.assembly_step()
    side.facts(plan.cover)
    side.part_step(plan.cover)
    assert asked == ["cover", "cover", "insert-number"], "the cover's faces, its solid, and the insert's faces"
    assert [name for name, _ in read_shapes(side.part_step(plan.cover))] == ["gate-latch cover"]


# ------------------------------------------------------------------ nothing is mended by reading
def turned(text: str, pattern: str, nth: int) -> bytes:
    """The text with the last logical value of the nth match turned over."""
    found = list(re.finditer(pattern, text))[nth]
    whole = found[0]
    other = whole.replace(".T.);", ".X.);").replace(".F.);", ".T.);").replace(".X.);", ".F.);")
    return (text[: found.start()] + other + text[found.end() :]).encode()


FAULTS = {
    "face": r"#\d+ = ADVANCED_FACE\('',\([^)]*\),#\d+,\.[TF]\.\);",
    "edge in its ring": r"#\d+ = ORIENTED_EDGE\('',\*,\*,#\d+,\.[TF]\.\);",
    "ring in its face": r"#\d+ = FACE_(?:OUTER_)?BOUND\('',#\d+,\.[TF]\.\);",
}


@pytest.mark.parametrize("fault", sorted(FAULTS))
@pytest.mark.parametrize("nth", [0, 3])
def test_a_turned_part_is_seen_and_not_mended(assembly: bytes, fault: str, nth: int) -> None:
    """The kernel's reader would turn it back and say that all is well."""
    read = read_facts(turned(assembly.decode(), FAULTS[fault], nth))
    assert not all(f.is_valid for f in read)


def test_a_sound_file_is_valid_as_it_stands(assembly: bytes) -> None:
    assert all(f.is_valid and f.is_closed for f in read_facts(assembly))
