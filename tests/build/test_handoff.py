"""What goes to a shop: one zip, the same every time, whose files state the same numbers."""

from __future__ import annotations

import hashlib
import io
import re
import zipfile

import pytest

from generator.api import handoff
from generator.base.errors import ProofError
from generator.build.handoff.agreement import agreement
from generator.build.handoff.archive import archive, archive_name
from generator.build.handoff.choose import chosen
from generator.build.judge import check
from generator.build.work import work_of
from generator.outputs.drawings_pdf import OUTPUT as DRAWINGS
from generator.outputs.inspection import OUTPUT as INSPECTION
from generator.outputs.layers_dxf import OUTPUT as LAYERS
from generator.outputs.setup_sheets import OUTPUT as SETUPS
from tests.oracles.part21 import parse

RECIPE = """\
name: plain
revision: "A"
units: {units}
original:
  height: {height}
  load_bearing: true
  footprint: {{rectangle: {{size: [40 mm, 20 mm], radius: 4 mm}}}}
  bolts:
    - {{thread: M5, at: [[-12 mm, 0], [12 mm, 0]]}}
cover:
  material: EN AW-6082 T6
  stock: {{thickness: 10 mm}}
  outer: {{even_margin: {{margin: 5 mm}}}}
  seats: {{screw: ISO 4762}}
inlays:
  plate: {{material: CuZn37 R350, stock: {{thickness: 1 mm}}, outline: {{slot: {{length: 12 mm, width: 7 mm}}}}}}
order: {{quantity: 3, contact: "Workshop 3, ask for the planner"}}
"""


@pytest.fixture(scope="module")
def handed(tmp_path_factory):
    """A recipe handed over: what was done, and the files of the zip."""
    folder = tmp_path_factory.mktemp("handed")
    path = folder / "plain.yaml"
    path.write_text(RECIPE.format(units="mm", height=3), encoding="utf-8")
    done = handoff(path, out=folder / "out")
    with zipfile.ZipFile(done.path) as package:
        files = {i.filename.partition("/")[2]: package.read(i) for i in package.infolist()}
    return path, done, files


# ------------------------------------------------------------------ the zip
def test_the_zip_is_the_same_on_every_run(handed, tmp_path):
    path, done, _ = handed
    again = handoff(path, out=tmp_path)
    assert again.path.name == done.path.name == "plain-rev-A-handoff.zip"
    assert again.path.read_bytes() == done.path.read_bytes()
    assert handoff(path, out=tmp_path).path.read_bytes() == done.path.read_bytes()  # from the pack that is there


def test_the_zip_holds_what_a_shop_needs_and_nothing_else(handed):
    _, done, files = handed
    assert tuple(sorted(files)) == done.files
    for needed in ("README.txt", "assembly.step", "cover.step", "insert-plate.step", "drawings/cover.pdf",
                   "drawings/cover.dxf", "drawings/insert-plate.pdf", "inspection/inspection.csv",
                   "inspection/inspection.pdf", "parts-list.csv", "layers/cover_top-face_bolt-holes.dxf"):  # fmt: skip
        assert needed in files
    unwanted = [f for f in files if f.startswith(("templates", "prints", "report", "manifest", "plan"))]
    assert unwanted == []
    assert [f for f in files if f.endswith(".png")] == ["previews/exploded.png"]


def test_entries_have_one_time_one_order_and_plain_permissions(handed):
    with zipfile.ZipFile(handed[1].path) as package:
        entries = package.infolist()
    assert [e.filename for e in entries] == sorted(e.filename for e in entries)
    assert {e.date_time for e in entries} == {(1980, 1, 1, 0, 0, 0)}
    assert {oct(e.external_attr >> 16) for e in entries} == {"0o100644"}
    assert {e.filename.split("/")[0] for e in entries} == {"plain-rev-A"}


@pytest.mark.parametrize(
    ("revision", "name"), [("A", "x-rev-A-handoff.zip"), ("2/b ä", "x-rev-2-b-ace8-handoff.zip"), ("", "x-handoff.zip")]
)
def test_names_are_fit_for_every_file_system(revision, name):
    assert archive_name("x", revision) == name


def test_revisions_that_differ_have_names_that_differ():
    names = [archive_name("x", r) for r in ("1", "Ä 1", "Ö 1", " 1", "1.", "-1", "ä", "", "1/2", "1-2")]
    assert len(set(names)) == len(names)


def test_an_archive_can_be_read_by_another_reader():
    data = archive("a", {"b/c.txt": b"hello", "a.txt": b""})
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        assert package.testzip() is None
        assert package.namelist() == ["a/a.txt", "a/b/c.txt"]


# ------------------------------------------------------------------ the letter
def test_the_letter_says_what_a_shop_asks(handed):
    text = handed[2]["README.txt"].decode("utf-8")
    told = " ".join(text.split())
    for words in ("3 x cover: EN AW-6082 T6, 50.6 × 30.6 × 10 mm, milled on both faces",
                  "3 x insert-plate: CuZn37 R350",
                  "Workshop 3, ask for the planner", "Revision of every file: A", "the drawing (PDF) counts",
                  "the STEP file of the part counts", "THE ORIGINAL BEARS LOAD", "eye and hearing protection",
                  "Do not mirror them again", "Stop and ask", "in millimetres, 1:1"):  # fmt: skip
        assert words in told
    assert "NOT GIVEN" not in told
    assert max(map(len, text.splitlines())) <= 78


def test_the_letter_lists_every_file_with_its_true_hash(handed):
    files = handed[2]
    told = " ".join(files["README.txt"].decode("utf-8").split())
    for path, data in files.items():
        if path != "README.txt":
            found = re.search(rf" {re.escape(path)}: .*? SHA-256 ([0-9a-f]{{64}})", told)
            assert found, path
            assert found[1] == hashlib.sha256(data).hexdigest()


def test_what_the_recipe_leaves_out_is_told(handed):
    assert {path for path, _ in handed[1].missing} == {"order.owner", "order.drawn_by", "order.approved_by"}


# ------------------------------------------------------------------ the same numbers in every file
def agreed(path, files, *sets):
    checked = check(path, sets=sets)
    return agreement(checked.reading.recipe, checked.plan, files)


def test_all_kinds_of_files_were_compared(handed):
    _, done, files = handed
    found = set(done.agreed.files)
    assert {"cover.step", "insert-plate.step", "drawings/cover.pdf", "drawings/cover.dxf", "drawings/insert-plate.pdf",
            "inspection/inspection.csv", "inspection/inspection.pdf", "setups/setup-1.pdf", "setups/setup-2.pdf",
            "layers/cover_top-face_bolt-holes.dxf", "layers/cover_bottom-face_bottom-pocket.dxf"} <= found  # fmt: skip
    assert done.agreed.numbers >= 20
    assert done.agreed.statements >= 3 * done.agreed.numbers
    step = parse(files["cover.step"])  # and another reader of STEP finds the hole of ISO 273, medium, M5
    radii = {float(t[-2]) for t in step.of("CYLINDRICAL_SURFACE")}
    assert 2.75 in radii


def spoiled(handed, output, *sets):
    """The hand-off with the files of one output made from another recipe."""
    path, _, files = handed
    return {**files, **chosen(dict(output.write(work_of(check(path, sets=sets)))))}


@pytest.mark.parametrize(
    ("output", "sets", "said"),
    [
        (LAYERS, "cover.stock.thickness=11", ["thickness", "outer-profile.dxf says 11.0000 mm, cover.step 10.0000 mm"]),
        (LAYERS, "original.bolts[0].at[1]=[12.1, 0]", ["hole of bolt-2, middle, x", "24.1000 mm, cover.step 24.0"]),
        (LAYERS, "original.height=3.2", ["bottom pocket, depth", "bottom-pocket.dxf", "3.4000 mm"]),
        (DRAWINGS, "original.height=3.2", ["bottom pocket, depth", "cover.pdf says 3.4", "cover.step 3.2000 mm"]),
        (DRAWINGS, "cover.outer.even_margin.margin=5.02", ["over all along x", "drawings/cover.pdf says 50.64"]),
    ],
)  # fmt: skip
def test_a_file_that_states_another_number_is_named_with_both_numbers(handed, output, sets, said):
    with pytest.raises(ProofError) as error:
        agreed(handed[0], spoiled(handed, output, sets))
    lines = [line for line in str(error.value).splitlines() if said[0] in line]
    for words in said[1:]:
        assert any(words in line for line in lines), (words, str(error.value))


@pytest.mark.parametrize(
    ("output", "sets", "said"),
    [
        (INSPECTION, "original.height=3.2", ["bottom pocket, depth", "inspection.pdf says 3.40", "cover.step 3.2000"]),
        (SETUPS, "original.height=3.2", ["bottom pocket, depth", "setups/setup-1.pdf says 3.40"]),
    ],
)
def test_a_sheet_on_paper_that_states_another_number(handed, output, sets, said):
    path, _, files = handed
    made = {p: d for p, d in spoiled(handed, output, sets).items() if p.endswith(".pdf")}
    with pytest.raises(ProofError) as error:
        agreed(path, {**files, **made})
    lines = [line for line in str(error.value).splitlines() if said[0] in line]
    for words in said[1:]:
        assert any(words in line for line in lines), (words, str(error.value))


def test_an_inspection_sheet_on_paper_that_lacks_a_number_is_named(handed):
    path, _, files = handed
    with pytest.raises(ProofError) as error:
        agreed(path, {**files, "inspection/inspection.pdf": files["drawings/cover.pdf"]})
    assert "inspection/inspection.pdf does not state it" in str(error.value)


def test_a_sheet_that_states_another_number(handed):
    path, _, files = handed
    table = files["inspection/inspection.csv"].decode("utf-8-sig")
    assert "5.50," in table
    changed = {**files, "inspection/inspection.csv": table.replace("5.50,", "5.60,").encode("utf-8-sig")}
    with pytest.raises(ProofError) as error:
        agreed(path, changed)
    assert "inspection/inspection.csv says 5.60, drawings/cover.pdf" in str(error.value)
    assert "inspection/inspection.csv says 5.60, layers/cover_top-face_bolt-holes.dxf 5.5000 mm" in str(error.value)
    assert "inspection/inspection.csv says 5.60, cover.step 5.5000 mm" in str(error.value)


def test_a_solid_of_another_recipe(handed, tmp_path):
    path, _, files = handed
    other = handoff(path, out=tmp_path, sets=["clearance.above=0.25"])
    with zipfile.ZipFile(other.path) as package:
        step = package.read("plain-rev-A/cover.step")
    with pytest.raises(ProofError) as error:
        agreed(path, {**files, "cover.step": step})
    assert "bottom pocket, depth: inspection/inspection.csv says 3.20, cover.step 3.2500 mm" in str(error.value)


def test_a_drawing_that_lacks_a_number_is_named(handed):
    path, _, files = handed
    with pytest.raises(ProofError) as error:
        agreed(path, {**files, "drawings/insert-plate.pdf": files["drawings/cover.pdf"]})
    assert "drawings/insert-plate.pdf does not state it" in str(error.value)


def test_files_that_cannot_be_read_are_named(handed):
    path, _, files = handed
    for broken in ("cover.step", "drawings/cover.pdf", "drawings/cover.dxf", "inspection/inspection.csv",
                   "layers/cover_top-face_bolt-holes.dxf"):  # fmt: skip
        with pytest.raises(ProofError) as error:
            agreed(path, {**files, broken: b"nothing"})
        assert broken.rpartition("/")[2].split(".")[0].split("_")[0] in str(error.value) or "STEP" in str(error.value)
