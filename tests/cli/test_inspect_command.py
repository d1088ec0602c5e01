"""``coverplate inspect`` as a person and a script use it."""

from __future__ import annotations

import csv
import io
import json

import pytest

from generator.api import inspect
from generator.cli import codes
from generator.estimate.characteristic import Kind
from generator.estimate.inspection_csv import inspection_csv
from tests.estimate.inspection_samples import ROOT, filled, sheet

RECIPE = ROOT / "recipes" / "gate-latch.yaml"


@pytest.fixture
def readings(tmp_path):
    """Write readings into a file and return its path."""

    def write(data: bytes | str) -> str:
        path = tmp_path / "readings.csv"
        path.write_bytes(data.encode("utf-8") if isinstance(data, str) else data)
        return path.name

    return write


def wide(number: int, by: float):
    return lambda c, k: by if c.number == number else 0.0


def test_good_parts_pass(run, readings):
    code, out, err = run("inspect", RECIPE, readings(filled("gate-latch", parts=2)))
    assert (code, err) == (codes.FINE, "")
    assert "part-2 passes: 31 pass, 0 fail" in out
    assert "2 parts are too few, 5 are needed" in out
    assert "what the errors say" not in out


def test_a_bad_part_fails_with_its_place_figure_and_cause(run, readings):
    code, out, err = run("inspect", RECIPE, readings(filled("gate-latch", wide(5, 0.08))))
    assert (code, err) == (codes.FORBIDDEN, "")
    assert "part-1 FAILS: 30 pass, 1 fail" in out
    assert "5 bolt holes, diameter: 6.68 is 0.03 over 6.65 (pin gauge)" in out
    assert "all bolt holes are 0.08 mm too large [5]" in out
    assert "remedy: " in out


def test_quiet_tells_failures_only(run, readings):
    assert run("inspect", RECIPE, readings(filled("gate-latch")), "--quiet") == (codes.FINE, "", "")
    code, out, _ = run("inspect", RECIPE, readings(filled("gate-latch", wide(5, 0.08))), "--quiet")
    assert code == codes.FORBIDDEN
    assert out.splitlines()[0].startswith("part-1 FAILS")
    assert len(out.splitlines()) == 2


def test_capability_of_several_parts(run, readings):
    text = filled("gate-latch", lambda c, k: 0.02 * (k - 3) if c.number == 5 else 0.001 * k, parts=5)
    code, out, _ = run("inspect", RECIPE, readings(text))
    assert code == codes.FINE
    # -40 to 40 µm by steps of 20: s = root(1000) µm; limits of ± 50 µm
    assert "5 bolt holes, diameter: mean 6.60, s 0.032, Cp 0.53, Cpk 0.53" in out
    assert "the other" in out


def test_json_holds_everything(run, readings):
    text = filled("gate-latch", wide(5, 0.08), parts=5)
    code, out, _ = run("inspect", RECIPE, readings(text), "--json")
    answer = json.loads(out)
    assert code == codes.FORBIDDEN
    assert answer["status"] == "fail"
    assert answer["unit"] == "mm"
    assert answer["parts"]["part-3"] == {"pass": 30, "fail": 1, "not measured": 0}
    assert len(answer["verdicts"]) == 5 * 31
    assert {c["cause"] for c in answer["causes"]} == {"drill"}
    five = next(x for x in answer["capability"] if x["number"] == 5)
    assert five["cp"] is None
    assert five["count"] == 5


def test_what_was_not_measured_is_told(run, readings):
    text = filled("gate-latch").replace(",6.60000", ",-", 1)
    code, out, _ = run("inspect", RECIPE, readings(text))
    assert code == codes.FINE
    assert "part-1 passes what was measured: 30 pass, 0 fail, 1 not measured" in out


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_files_as_spreadsheets_save_them(run, readings, encoding):
    text = filled("gate-latch", separator=";", comma=",")
    assert "°" in text
    assert run("inspect", RECIPE, readings(text.encode(encoding)))[0] == codes.FINE


@pytest.mark.parametrize(
    "data",
    [b"", b"PK\x03\x04\0\0\0", b"\xff\xfe\0", b"\xff" * 100, b"number,part-1\n" * 3, b"\0" * 10, b"x" * 2_000_001],
)
def test_what_is_no_sheet_is_refused_without_a_traceback(run, readings, data):
    code, out, err = run("inspect", RECIPE, readings(data))
    assert (code, out) == (codes.WRONG, "")
    assert "readings.csv" in err
    assert "Traceback" not in err


def test_a_file_that_is_not_there_is_told(run, tmp_path):
    for name in ("absent.csv", "."):
        code, _, err = run("inspect", RECIPE, name)
        assert code == codes.WRONG
        assert "no file that can be read" in err


def test_mistakes_are_told_with_line_column_and_caret(run, readings):
    text = filled("gate-latch").replace(",6.60000", ",6.6 mm", 1)
    name = readings(text)
    code, _, err = run("inspect", RECIPE, name)
    line = next(k for k, row in enumerate(text.split("\r\n"), 1) if "6.6 mm" in row)
    column = text.split("\r\n")[line - 1].index("6.6 mm") + 1
    assert code == codes.WRONG
    assert err.startswith(f"{name}:{line}:{column}: number 5, part-1: ")
    assert "^" in err
    answer = json.loads(run("inspect", RECIPE, name, "--json")[1])
    assert answer["status"] == "wrong"
    assert (answer["mistakes"][0]["line"], answer["mistakes"][0]["column"]) == (line, column)


def test_a_wrong_recipe_is_told_before_the_readings(run, readings, small):
    small.write_text(small.read_text().replace("height: 3", "hieght: 3"))
    code, _, err = run("inspect", small, readings(filled("gate-latch")))
    assert code == codes.WRONG
    assert "hieght" in err


def test_a_sheet_of_another_recipe_is_told(run, readings):
    code, _, err = run("inspect", RECIPE, readings(filled("gate-latch-22")))
    assert code == codes.WRONG
    assert "found `gate-latch-22`" in err


def test_values_laid_over_the_recipe_count(run, readings):
    sets = ("--set", "tolerances.size=0.2")
    text = filled("gate-latch", wide(5, 0.08))
    code, _, err = run("inspect", RECIPE, readings(text), *sets)
    assert code == codes.WRONG
    assert "build again" in err
    rows = list(csv.reader(io.StringIO(inspection_csv(sheet("gate-latch", "tolerances.size=0.2")))))
    for row in rows[5:]:
        row[9] = "6.68" if row[0] == "5" else row[4]
    out = io.StringIO()
    csv.writer(out).writerows(rows)
    assert run("inspect", RECIPE, readings(out.getvalue()), *sets)[0] == codes.FINE


def test_the_pack_holds_the_sheet_and_reading_it_back_closes_the_round(run, small, tmp_path):
    code, _, _ = run("build", small, "--outputs", "inspection,parts-list")
    assert code == codes.FINE
    made = tmp_path / "out" / "small"
    assert (made / "inspection" / "inspection.pdf").read_bytes().startswith(b"%PDF")
    assert "made,cover" in (made / "parts-list.csv").read_text(encoding="utf-8-sig")
    rows = list(csv.reader(io.StringIO((made / "inspection" / "inspection.csv").read_text(encoding="utf-8-sig"))))
    for row in rows[5:]:
        row[9] = row[5]  # every reading at its lower limit
    with (tmp_path / "filled.csv").open("w", newline="", encoding="utf-8") as file:
        csv.writer(file, delimiter=";").writerows(rows)
    code, out, err = run("inspect", small, "filled.csv")
    assert (code, err) == (codes.FINE, "")
    assert "part-1 passes" in out


def test_python_has_it_too(readings, tmp_path):
    found = inspect(RECIPE, tmp_path / readings(filled("gate-latch", wide(5, 0.08), parts=2)))
    assert not found.passes
    assert [v.characteristic.number for v in found.verdicts if v.beyond] == [5, 5]


def test_help_says_how(run):
    code, out, _ = run("inspect", "--help")
    assert code == codes.FINE
    assert "examples:" in out
    assert "a measured part fails" in out


def test_the_page_shows_what_the_command_says(run, readings):
    """Five covers cut by a cutter 0.06 mm too wide, turned over 0.1 mm off, as ``docs/inspection.md`` tells."""

    def fault(c, k):
        by = 0.004 * (k % 3)
        if c.kind is Kind.WALL:
            return {"wall-left": 0.2, "wall-right": -0.2}.get(c.feature, by / 2)
        if c.part == "blank" or c.kind not in (Kind.DIAMETER, Kind.SIZE_X, Kind.SIZE_Y):
            return by / 2
        return (-0.06 if c.is_outside else 0.06) + by

    _, out, _ = run("inspect", RECIPE, readings(filled("gate-latch", fault, parts=5)))
    page = (ROOT / "docs" / "inspection.md").read_text(encoding="utf-8")
    shown = page.split("```text\n")[1].split("```")[0].splitlines()
    told = out.splitlines()
    places = [told.index(line) for line in shown if line != "…"]
    assert len(places) == 10
    assert places == sorted(places)
