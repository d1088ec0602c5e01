"""``family.csv`` and ``family.json``, read back by other readers, and held against their documentation."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import re
from dataclasses import replace
from pathlib import Path

import pytest

from generator.family.returns.tables import spreadsheet_text, table_files
from generator.family.run import Asked, Ran, plan_family, run_family
from tests.family.family_cases import write_family
from tests.family.many_variants import built, many, ran

PAGE = (Path(__file__).parents[2] / "docs" / "families.md").read_text(encoding="utf-8")
ODD = ["=1+1", '="7"', "+49 30", "-5", "-5.5e3", "+3", "-a", "@SUM(A1)", " =1", "\t=1", "＝1", 'say "hi"', "a,b;c",
       "Ähre & Söhne", "two\nlines", "<b>", "007", "", "#REF!"]  # fmt: skip


def rows_of(files: dict[str, bytes]) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(files["family.csv"].decode("utf-8-sig"), newline="")))


def variants_of(files: dict[str, bytes]) -> list[dict]:
    return json.loads(files["family.json"])["variants"]


@pytest.fixture(scope="module")
def hundred(tmp_path_factory) -> dict[str, bytes]:
    return table_files(many(tmp_path_factory.mktemp("hundred"), 100))


@pytest.fixture(scope="module")
def real(tmp_path_factory):
    """A family of two that has been made, and the files for it."""
    path = write_family(tmp_path_factory.mktemp("real"), "ranges: {plot: {first: 1, last: 2}}\n")
    asked = Asked(str(path), out=str(path.parent / "out"), jobs=1)
    first = run_family(asked)
    return asked, first, table_files(first)


def test_the_csv_is_of_rfc_4180_with_the_mark_of_utf_8(hundred):
    """RFC 4180, 2: lines end with CRLF, as many fields in each; the mark of UTF-8 is EF BB BF (RFC 3629, 6)."""
    data = hundred["family.csv"]
    assert data.startswith(b"\xef\xbb\xbfnumber,name,status,why,")
    assert data.endswith(b"\r\n")
    assert not re.search(rb"(?<!\r)\n", data)
    lengths = {len(r) for r in csv.reader(io.StringIO(data.decode("utf-8-sig"), newline=""), strict=True)}
    assert len(lengths) == 1


def test_both_files_have_a_row_for_every_variant_and_agree(hundred):
    rows, variants = rows_of(hundred), variants_of(hundred)
    assert [int(r["number"]) for r in rows] == [v["number"] for v in variants] == list(range(1, 101))
    for row, variant in zip(rows, variants, strict=True):
        assert {k: row[k] for k in ("name", "status", "why")} == {k: variant[k] for k in ("name", "status", "why")}
        assert {k: row[f"value.{k}"] for k in variant["values"]} == variant["values"]
        assert {k: row[f"parameter.{k}"] for k in variant["parameters"]} == variant["parameters"]
        for severity, column in (
            ("mistake", "mistakes"),
            ("forbids", "forbids"),
            ("warns", "warns"),
            ("notes", "notes"),
        ):
            assert int(row[column]) == sum(f["severity"] == severity for f in variant["findings"])
        assert int(row["files"]) == len(variant["files"])
        size = variant["size_mm"]
        for key in ("length", "width", "thickness"):
            assert row[f"{key}_mm"] == ("" if size is None else f"{size[key]:g}")
        assert float(row["mass_g"] or "nan") == pytest.approx(variant["mass_g"] or float("nan"), nan_ok=True)


def test_every_way_to_end_is_told(hundred):
    found = {v["status"]: v["why"] for v in variants_of(hundred)}
    assert set(found) == {"built", "forbidden", "wrong", "failed", "crashed", "hung", "not made"}
    assert {status for status, why in found.items() if not why} == {"built"}


@pytest.mark.parametrize("text", ["=1+1", "+49 30", "-a", "@SUM(A1)", " =1", "\t1", "＝1", "-", "+", "-5 mm", "=-5"])
def test_what_a_spreadsheet_would_work_out_gets_an_apostrophe(text):
    """The characters are those of the OWASP page on CSV injection, from memory."""
    assert spreadsheet_text(text) == "'" + text


@pytest.mark.parametrize("text", ["-5", "+3", "-5.5e-3", "1", "a=b", "a-b", "x@y", "007", "", "-.5", "CuZn37 R350"])
def test_numbers_and_other_texts_stay_as_they_are(text):
    assert spreadsheet_text(text) == text


def test_odd_texts_come_back_whole(tmp_path):
    dones = [built(k + 1, f"tag-{k + 1}") for k in range(len(ODD))]
    files = table_files(ran(tmp_path, dones, [{"say": text} for text in ODD]))
    assert [v["values"]["say"] for v in variants_of(files)] == ODD
    cells = [r["value.say"] for r in rows_of(files)]
    assert [c.removeprefix("'") for c in cells] == ODD
    assert not [c for c in cells if c.lstrip()[:1] in "=@＝" and c]
    assert cells[3:6] == ["-5", "-5.5e3", "+3"]


def test_half_a_pair_of_surrogates_breaks_nothing(tmp_path):
    files = table_files(ran(tmp_path, [built(1, "tag-1")], [{"say": "a\ud800b"}]))
    assert rows_of(files)[0]["value.say"] == "a?b"
    assert variants_of(files)[0]["values"]["say"] == "a\ud800b"


def test_keys_are_those_that_the_page_tells(hundred):
    """Every key in the file stands on the page, and every key of the page's lists is in the file."""
    data = json.loads(hundred["family.json"])
    section = PAGE.split("### family.json")[1]
    assert data["format"] == "coverplate family 1"
    assert f"`{data['format']}`" in section
    table = {n for row in re.findall(r"^\| (`.*?) \|", section, flags=re.M) for n in re.findall(r"`(\w+)`", row)}
    assert table == set(data)
    told = set(re.findall(r"`([a-z_]+)`", section.split("**variant**")[1]))
    keys = {k for v in data["variants"] for k in v}
    for part in ("findings", "pieces"):
        keys |= {k for v in data["variants"] for one in v[part] for k in one}
    keys |= {k for v in data["variants"] for k in (v["size_mm"] or {})}
    assert told - {"null", "mistake", "forbids", "warns", "notes", "part"} == keys - {"part"}


def test_columns_are_those_that_the_page_tells(hundred):
    section = PAGE.split("### family.csv")[1].split("### family.json")[0]
    told = {n for row in re.findall(r"^\| (`.*?) \|", section, flags=re.M) for n in re.findall(r"`([\w.]+)`", row)}
    head = set(rows_of(hundred)[0])
    assert {re.sub(r"\..*", "", n) for n in head} == {re.sub(r"\..*", "", n) for n in told} - {"set"}


def test_a_made_family_is_told_as_its_packs_are(real):
    """Digests by this machine's files, the size by the recipe: 60 + 2 × 5.3 mm by 24 + 2 × 5.3 mm, 8 mm thick."""
    _, first, files = real
    for variant in variants_of(files):
        folder = first.folder / variant["folder"]
        there = {p.relative_to(folder).as_posix(): p for p in folder.rglob("*") if p.is_file()}
        assert variant["files"] == {n: hashlib.sha256(p.read_bytes()).hexdigest() for n, p in there.items()}
        assert variant["place"] == "tags.yaml:1"
        assert variant["proofs"] > 0
    # even margin of 5 mm and clearance of 0.3 mm round a footprint of 2 × 20 + 20 by 24 mm
    assert variants_of(files)[0]["size_mm"] == pytest.approx(
        {"length": 70.6, "width": 34.6, "thickness": 8.0}, abs=1e-6
    )


def test_an_unchanged_family_gives_the_same_bytes(real):
    asked, _, files = real
    again = run_family(asked)
    assert {r.done.status for r in again.rows} == {"unchanged"}
    assert table_files(again) == files


def test_only_seconds_differ_after_another_making(real):
    _, first, files = real
    slower = replace(first, rows=tuple(replace(r, done=replace(r.done, seconds=99.0, rss_mb=1.0)) for r in first.rows))
    for row, other in zip(variants_of(files), variants_of(table_files(slower)), strict=True):
        assert {k for k in row if row[k] != other[k]} == {"seconds"}


def test_settings_tell_what_the_family_lays_over_the_recipe(tmp_path):
    table = "plot,holder,cover.edge_break,metal\n1,Ash,0.5,EN AW-5083 H111\n2,Elm,,EN AW-6082 T6\n"
    more = "table: tags.csv\nsets: {cover.material: '{metal}'}\n"
    more += "overrides: [{where: {plot: 2}, set: {title: 'No {plot}'}}]\n"
    path = write_family(tmp_path, more, table)
    planned = plan_family(Asked(str(path), out=str(tmp_path / "out")))
    files = table_files(Ran(planned.family, planned.folder, planned.rows))
    first, second = variants_of(files)
    assert first["settings"] == {
        "parameters.plot": "1",
        "parameters.holder": "Ash",
        "cover.edge_break": "0.5",
        "cover.material": "EN AW-5083 H111",
    }
    assert second["settings"]["title"] == "No 2"
    assert "cover.edge_break" not in second["settings"]
    rows = rows_of(files)
    assert [r["set.cover.edge_break"] for r in rows] == ["0.5", ""]
    assert [r["set.title"] for r in rows] == ["", "No 2"]
    assert [v["place"] for v in (first, second)] == ["tags.csv:2", "tags.csv:3"]


def test_the_family_on_the_page_is_one(tmp_path):
    """What the page shows is taken, with the recipe that it names; two of its three rows have a cell of their own."""
    blocks = dict(re.findall(r"```(csv|yaml)\n(.*?)```", PAGE, flags=re.S))
    (tmp_path / "plots.csv").write_text(blocks["csv"], encoding="utf-8")
    (tmp_path / "plots.yaml").write_text(blocks["yaml"], encoding="utf-8")
    recipe = Path(__file__).parents[2] / "recipes" / "gate-latch.yaml"
    (tmp_path / recipe.name).write_bytes(recipe.read_bytes())
    planned = plan_family(Asked(str(tmp_path / "plots.yaml"), out=str(tmp_path / "out")))
    variants = variants_of(table_files(Ran(planned.family, planned.folder, planned.rows)))
    assert [v["name"] for v in variants] == ["plot-1", "plot-2", "plot-3"]
    assert variants[2]["settings"] == {
        "parameters.plot": "3",
        "cover.edge_break": "0.4",
        "title": "Gate latch cover, plot 3, Cedar",
        "inlays.number.material": "Cu-ETP R240",
    }
    assert {v["status"] for v in variants} == {"not made"}
