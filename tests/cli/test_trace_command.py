"""``coverplate trace`` and ``coverplate readings`` from the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pypdfium2
import pytest
import yaml
from PIL import Image

SCANS = Path(__file__).parents[1] / "data" / "scans"
KEEPER = SCANS / "s01-latch-keeper-600"
FLANGE = SCANS / "s05-d-flange-photo-card"
KINDS = ("footprint.yaml", "footprint.dxf", "overlay.png", "trace.md", "trace.json")


@pytest.fixture(scope="module")
def traced(tmp_path_factory):
    """A folder in which the keeper was traced once, and what was said."""
    import contextlib
    import io
    import os

    from generator.cli import main

    folder = tmp_path_factory.mktemp("traced")
    before = Path.cwd()
    os.chdir(folder)
    try:
        with contextlib.redirect_stdout(io.StringIO()) as out:
            code = main(["trace", str(KEEPER / "image.jpg"), "--readings", str(KEEPER / "caliper.yaml"), "--name", "k"])
    finally:
        os.chdir(before)
    assert code == 0
    return folder, out.getvalue()


def test_five_files_and_what_is_said(traced):
    folder, said = traced
    assert sorted(p.name for p in folder.iterdir()) == sorted(f"k.{kind}" for kind in KINDS)
    assert "0 lines, 4 arcs, 2 holes; outline known to ± 0.0" in said
    for kind in KINDS:
        assert f"wrote k.{kind}" in said


def test_the_picture_is_readable_at_arms_length(traced):
    with Image.open(traced[0] / "k.overlay.png") as picture:
        assert 1500 <= max(picture.size) <= 2200


def test_recipe_lines_that_were_edited_are_not_overwritten(traced, run, tmp_path):
    for path in traced[0].iterdir():
        (tmp_path / path.name).write_bytes(path.read_bytes())
    lines = tmp_path / "k.footprint.yaml"
    lines.write_text(lines.read_text().replace("thread: M5", "thread: M6"))
    before = lines.read_bytes()
    code, _, err = run("trace", KEEPER / "image.jpg", "--name", "k", "--dpi", "600")
    assert code == 3
    assert "was edited" in err
    assert lines.read_bytes() == before


def test_numbers_name_what_pixels_do_and_relations_can_be_forbidden(traced, run, tmp_path):
    known = json.loads((traced[0] / "k.trace.json").read_text())
    readings = yaml.safe_load((KEEPER / "caliper.yaml").read_text())
    readings["readings"] = [
        {"id": "a", "kind": "diameter", "value": 5.5, "numbers": [5]},
        {"id": "b", "kind": "centre_distance", "value": 39.99, "numbers": [5, 6]},
        {"id": "c", "kind": "outside_width", "value": 56.01, "numbers": [1, 3]},
    ]
    (tmp_path / "n.yaml").write_text(yaml.safe_dump(readings))
    code, out, _ = run(
        "trace", KEEPER / "image.jpg", "--readings", "n.yaml", "--name", "n", "--dpi", 600, "--json",
        "--forbid", "equal-radius 5 6", "--forbid", "mirrored",
    )  # fmt: skip
    assert code == 0
    told = json.loads(out)["trace"]
    names = {r["name"] for r in told["relations"]}
    assert "equal radius 5 6" not in names
    assert not any(n.startswith("mirrored") for n in names)
    assert "equal radius 5 6" in {r["name"] for r in known["relations"]}
    far = next(d for d in told["distances"] if d["kind"] == "centres")
    assert far["value"] == pytest.approx(39.99, abs=0.03), "as it was read, and truth.json has 40"
    assert {r["id"] for r in told["readings"]} == {"a", "b", "c"}
    assert run("readings", "n.footprint.yaml", "--out", "sheet")[0] == 0
    sheet = (tmp_path / "sheet" / "n.caliper.yaml").read_text()
    assert " --dpi 600 --forbid 'equal-radius 5 6' --forbid mirrored --readings n.caliper.yaml" in sheet


def test_a_sheet_with_what_helps_most_for_a_trace_and_for_a_recipe_on_it(traced, run, tmp_path):
    for path in traced[0].iterdir():
        (tmp_path / path.name).write_bytes(path.read_bytes())
    (tmp_path / "cover.yaml").write_text(
        "based_on: k.footprint.yaml\nname: cover\noriginal: {height: 3, load_bearing: false}\n"
        "cover: {stock: {thickness: 10, margin: 14}, outer: {even_margin: {margin: 6}}}\n"
    )
    for made_for, folder in (("k.footprint.yaml", "a"), ("cover.yaml", "b")):
        code, out, _ = run("readings", made_for, "--out", folder)
        assert code == 0
        assert "not traced" not in out
        sheet = yaml.safe_load((tmp_path / folder / "k.caliper.yaml").read_text())
        taken = [r for r in sheet["readings"] if r["value"] is not None]
        assert [r["id"] for r in taken] == ["m1", "m2", "m3", "m4"], "what was read stays"
        page = pypdfium2.PdfDocument((tmp_path / folder / "k.caliper.pdf").read_bytes())[0]
        words = page.get_textpage().get_text_range()
        assert "Caliper sheet: k" in words
        assert "thickness" not in words, "a scanner sees the face on its glass alone"
        assert "the diameter of hole 5; read already" in words, "pixel (342, 320) lies in it"


def test_a_sheet_asks_again_for_what_was_given_up_and_for_a_hole_where_none_was_read(run, tmp_path):
    readings = yaml.safe_load((KEEPER / "caliper.yaml").read_text())
    readings["readings"] = [
        {"id": "a", "kind": "centre_distance", "value": 39.99, "holes": [[1231, 607], [338, 337]]},
        {"id": "b", "kind": "outside_width", "value": 56.01, "direction_px_deg": 17},
        {"id": "c", "kind": "outside_width", "value": 58.01, "direction_px_deg": 17},
    ]
    (tmp_path / "n.yaml").write_text(yaml.safe_dump(readings))
    code, _, err = run("trace", KEEPER / "image.jpg", "--readings", "n.yaml", "--name", "n")
    assert code == 0
    assert "reading c: 58.01 was read" in err
    assert run("readings", "n.footprint.yaml", "--out", "sheet")[0] == 0
    text = (tmp_path / "sheet" / "n.caliper.yaml").read_text()
    sheet = {r["id"]: r for r in yaml.safe_load(text)["readings"]}
    assert sheet["c"]["value"] is None
    assert "again: the width over both bosses, 1 and 3, along x; 58.01 was read, but 56.0" in text
    assert next(iter(sheet)) == "c", "what is doubtful stands first"
    assert [sheet["a"]["value"], sheet["b"]["value"]] == [39.99, 56.01]
    assert "the centre distance of holes 5 and 6; read already" in text
    (hole,) = [r for r in sheet.values() if r["kind"] == "diameter"]
    assert hole["value"] is None, "no diameter was read: one is asked for"
    assert hole["numbers"] in ([5], [6])


def test_a_sheet_for_a_recipe_that_was_not_traced(run, small, tmp_path):
    code, out, _ = run("readings", small)
    assert code == 0
    assert "not traced" in out
    sheet = yaml.safe_load((tmp_path / "small.caliper.yaml").read_text())
    assert [r["kind"] for r in sheet["readings"]] == [
        "outside_width", "outside_width", "centre_distance", "diameter", "thickness",
    ]  # fmt: skip
    code, _, err = run("readings", small)
    assert code == 3
    assert "already there" in err


def test_a_sheet_for_a_file_of_readings_is_refused_with_what_to_give(run, tmp_path):
    code, _, err = run("readings", KEEPER / "caliper.yaml")
    assert code == 2
    assert "this is a file of caliper readings; give the footprint" in err
    assert not list(tmp_path.iterdir())


def blank(path: Path, size=(400, 300)) -> str:
    Image.new("L", size, 250).save(path, dpi=(300, 300))
    return path.name


def test_what_cannot_be_traced_is_told_and_nothing_is_written(run, tmp_path):
    blank(tmp_path / "blank.png")
    (tmp_path / "text.png").write_text("no picture")
    with Image.open(FLANGE / "image.jpg") as photo:
        photo.convert("L").resize((1400, 1050)).save(tmp_path / "plain.png")
    (tmp_path / "wrong.yaml").write_text("readings:\n- {id: a, kind: diam, value: 3}\n")
    good = KEEPER / "image.jpg"
    for words, said in (
        (["missing.png"], "found no file `missing.png`"),
        (["text.png"], "this is text"),
        (["blank.png"], "blank.png"),
        ([good, "--readings", "wrong.yaml"], "did you mean `diameter`?"),
        ([good, "--dpi", "0"], "--dpi: found `0`"),
        ([good, "--part", "0"], "--part: found `0`"),
        ([FLANGE / "image.jpg"], "it is no scan; a bank card lies in the picture: use --reference card"),
        (["plain.png", "--part", "9", "--dpi", "300"], "a bank card lies in the picture: use --reference card"),
        ([good, "--thickness", "0"], "--thickness: found `0`"),
        ([good, "--thickness", "3"], "--thickness belongs to photos"),
        (
            [FLANGE / "image.jpg", "--reference", "card", "--readings", FLANGE / "caliper.yaml", "--thickness", "6"],
            "--thickness: found 6 mm, where reading `m5` of",
        ),
        ([good, "--part", "9", "--dpi", "600"], "part 9 was asked for"),
        ([good, "--name", "../x"], "--name"),
        ([good, "--forbid", "beside 3 4"], "`beside 3 4` is no relation"),
        ([good, "--demand", "tangent 3"], "give their numbers"),
        ([good, "--demand", "tangent 1 2", "--forbid", "tangent 2 1"], "demanded and forbidden"),
    ):
        code, _, err = run("trace", *words)
        assert code == 2, words
        assert said in err, (words, err)
        assert "Traceback" not in err
    assert sorted(p.name for p in tmp_path.iterdir()) == [
        "blank.png", "plain.png", "text.png", "wrong.yaml",
    ]  # fmt: skip


def test_a_folder_that_refuses_leaves_nothing(run, tmp_path):
    (tmp_path / "file").write_text("here")
    code, _, err = run("trace", KEEPER / "image.jpg", "--dpi", 600, "--out", tmp_path / "file" / "below")
    assert code == 3
    assert "nothing was changed" in err
    assert [p.name for p in tmp_path.iterdir()] == ["file"]
