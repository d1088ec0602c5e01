"""Filled inspection sheets: as spreadsheets save them, and as people spoil them."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace

import pytest

from generator.base.errors import Mistake, RecipeError
from generator.estimate.characteristic import Kind
from generator.estimate.inspection_csv import inspection_csv
from generator.estimate.readings import Readings, read_readings
from generator.estimate.table_cells import OpenQuoteError, cells_of, plain_text, written
from generator.estimate.told_sizes import told_size
from generator.estimate.verdicts import Said, capabilities, verdicts
from tests.estimate.inspection_samples import RECIPES, filled, sheet, table

NAME = "gate-latch"
PLAIN = filled(NAME, parts=2)


def read(text: str, name: str = NAME) -> Readings:
    return read_readings("r.csv", text, sheet(name))


def mistakes(text: str, name: str = NAME) -> tuple[Mistake, ...]:
    with pytest.raises(RecipeError) as caught:
        read(text, name)
    return caught.value.mistakes


def only(text: str) -> Mistake:
    (mistake,) = mistakes(text)
    return mistake


def stands_at(text: str, mistake: Mistake, cell: str) -> bool:
    """Return True if the place of a mistake is where ``cell`` begins in the text, quote included."""
    line = text.splitlines()[mistake.line - 1]
    return line[mistake.column - 1 :].lstrip('"').startswith(cell)


def changed(number: int, old: str, new: str, text: str = PLAIN) -> str:
    """Return the table with the last ``old`` in the row of a number changed."""
    lines = text.split("\r\n")
    k = next(i for i, row in enumerate(lines) if row.startswith(f"{number},"))
    before, found, after = lines[k].rpartition(old)
    assert found
    return "\r\n".join([*lines[:k], before + new + after, *lines[k + 1 :]])


# ------------------------------------------------------------------ as it should be
@pytest.mark.parametrize("name", RECIPES)
def test_a_sheet_filled_with_nominals_passes(name):
    found = read(filled(name, parts=3), name)
    assert found.parts == ("part-1", "part-2", "part-3")
    assert {v.said for v in verdicts(sheet(name), found)} == {Said.PASS}


def test_the_empty_sheet_is_a_table_for_any_reader():
    rows = table(NAME)
    assert [r[0] for r in rows[:5]] == ["recipe", "revision", "characteristics", "unit", "number"]
    assert rows[0][1] == NAME
    assert len(rows) == 5 + len(sheet(NAME).characteristics)
    assert rows[4][-1] == "part-1"
    assert len(table(NAME, "order.quantity=12")[4]) == 9 + 12


@pytest.mark.parametrize("separator", [";", "\t", "|"])
def test_other_separators_may_have_a_decimal_comma(separator):
    text = filled(NAME, lambda c, k: 0.01, separator=separator, comma=",")
    assert read(text).values["part-1", 1] == (103.93,)


@pytest.mark.parametrize("lead", ["\ufeff", "sep=;\r\n", "\ufeffsep=;\r\n", "\r\n\r\n"])
def test_marks_of_spreadsheets_are_passed_over(lead):
    assert read(lead + filled(NAME, separator=";")) == read(filled(NAME))


def test_lines_may_end_in_any_way_and_have_empty_cells_behind():
    assert read(PLAIN.replace("\r\n", "\n")) == read(PLAIN.replace("\r\n", "\r")) == read(PLAIN)
    assert read(filled(NAME, separator=";").replace("\r\n", ";;\r\n")) == read(filled(NAME))


def test_a_column_that_nobody_filled_in_is_no_part():
    head, header, rows = PLAIN.partition("part-1,part-2\r\n")
    text = head + header + re.sub(r",[^,\r]*\r\n", ",\r\n", rows)
    assert read(text).parts == ("part-1",)


def test_a_dash_says_not_measured():
    found = read(changed(5, "6.60000", "-"))
    assert found.values["part-2", 5] == ()
    said = {(v.part, v.characteristic.number): v.said for v in verdicts(sheet(NAME), found)}
    assert said["part-2", 5] is Said.NOT_MEASURED


def test_equal_places_may_have_a_reading_each():
    found = read(changed(5, "6.60000", "6.61 6.66"))
    assert found.values["part-2", 5] == (6.61, 6.66)
    (failed,) = (v for v in verdicts(sheet(NAME), found) if v.said is Said.FAIL)
    assert failed.beyond == pytest.approx(0.01)


def test_a_revision_of_figures_may_lose_its_last_nought():
    of = sheet(NAME, "revision='1.10'")
    text = filled(NAME).replace("revision,A", "revision,1.1")
    text = text.replace(sheet(NAME).digest, of.digest)
    assert read_readings("r.csv", text, of).parts == ("part-1",)


# ------------------------------------------------------------------ verdicts
@pytest.mark.parametrize(
    ("error", "said"), [(0.05, Said.PASS), (0.0501, Said.FAIL), (-0.05, Said.PASS), (-0.06, Said.FAIL)]
)
def test_a_reading_on_its_limit_passes(error, said):
    found = read(filled(NAME, lambda c, k: error if c.number == 5 else 0.0))
    verdict = next(v for v in verdicts(sheet(NAME), found) if v.characteristic.number == 5)
    assert verdict.said is said
    assert verdict.beyond == pytest.approx(error - 0.05 * (1 if error > 0 else -1) if said is Said.FAIL else 0.0)


def test_capability_needs_five_parts():
    four = read(filled(NAME, lambda c, k: 0.001 * k, parts=4))
    assert list(capabilities(sheet(NAME), four)) == []
    five = read(filled(NAME, lambda c, k: 0.001 * k, parts=5))
    found = {x.characteristic.number: x.capability for x in capabilities(sheet(NAME), five)}
    # 1 to 5 µm: s = root(10 / 4) µm; mean 3 µm: limits of ± 50 µm leave 47
    assert found[5].cp == pytest.approx(50.0 / (3.0 * 2.5**0.5), rel=1e-6)
    assert found[5].cpk == pytest.approx(47.0 / (3.0 * 2.5**0.5), rel=1e-6)


# ------------------------------------------------------------------ as it should not be
def test_a_decimal_comma_between_commas_is_told_where_it_makes_a_cell_too_many():
    text = changed(5, "6.60000", "6,60")
    mistake = only(text)
    assert stands_at(text, mistake, "60")
    assert "semicolons" in mistake.remedy


def test_a_quoted_decimal_comma_is_told():
    text = changed(5, "6.60000", '"6,60"')
    assert stands_at(text, only(text), "6,60")
    assert "point" in only(text).expected


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ("ok", "a number"),
        ("6.6 mm", "without a unit"),
        ("6.6mm", "without a unit"),
        ("0.26in", "without a unit"),
        ("6.Jun", "a number"),
        ("06.06.2026", "a number"),
        ("6.6.0", "a number"),
        ("1e1", "a number"),
        ("nan", "a number"),
        ("#REF!", "a number"),
        ("6.6 6.6 6.6", "up to 2 readings"),
    ],
)
def test_text_in_numbers_is_told_at_its_place(written, says):
    text = changed(5, "6.60000", written)
    mistake = only(text)
    assert stands_at(text, mistake, written)
    assert says in mistake.expected
    assert mistake.remedy


def test_a_date_is_told_to_be_one():
    assert "date" in only(changed(5, "6.60000", "6.Jun")).remedy


def test_empty_cells_are_told_once_with_their_lines():
    text = changed(6, "64.00000", "", changed(5, "6.60000", ""))
    found = mistakes(text)
    (told,) = found
    assert told.path == "number 5, part-2"
    assert told.found == f"an empty cell, and 1 more like it in line {told.line + 1}"
    assert told.remedy == "write the reading, or - if it was not measured; the others alike"


def test_missing_rows_are_told():
    lines = PLAIN.split("\r\n")
    mistake = only("\r\n".join(lines[:9] + lines[12:]))
    assert "5, 6, 7" in mistake.found


def test_foreign_and_doubled_numbers_are_told():
    foreign = mistakes(PLAIN.replace("\r\n7,", "\r\n77,"))
    assert {m.path for m in foreign} == {"", "number"}
    assert any("from 1 to 31" in m.expected for m in foreign)
    doubled = mistakes(PLAIN.replace("\r\n7,", "\r\n6,"))
    assert any("line 11" in m.remedy for m in doubled)


def test_a_row_of_another_part_is_told():
    text = PLAIN.replace("\r\n5,cover", "\r\n5,insert-number")
    assert stands_at(text, only(text), "insert-number")


@pytest.mark.parametrize(
    ("old", "new", "path"),
    [
        ("recipe,gate-latch", "recipe,gate-latch-22", "recipe"),
        ("revision,A", "revision,B", "revision"),
        ("characteristics,c-", "characteristics,c-0", "characteristics"),
        ("unit,mm", "unit,inch", "unit"),
        ("recipe,gate-latch\r\n", "", "recipe"),
    ],
)
def test_a_sheet_of_another_recipe_is_told_alone(old, new, path):
    assert only(PLAIN.replace(old, new, 1)).path == path


def test_changed_limits_are_told():
    text = changed(5, "6.65", "6.75")
    mistake = only(text)
    assert stands_at(text, mistake, "6.75")
    assert mistake.expected == "6.65"


def test_a_whole_part_in_inches_is_told_once():
    found = mistakes(filled(NAME, lambda c, k: c.nominal_mm / 25.4 - c.nominal_mm if k == 2 else 0.0, parts=2))
    asked = [c for c in sheet(NAME).characteristics if told_size(c, sheet(NAME).unit).nominal]
    (told,) = found
    assert "inches" in told.found
    assert "part-2" in told.path
    assert f"and {len(asked) - 1} more like it in lines 7, 8, " in told.found


def test_a_table_full_of_decimal_commas_is_one_mistake():
    text = filled(NAME, parts=2).replace("\r\n", "\n")
    head, header, rows = text.partition("part-1,part-2\n")
    commas = "".join(re.sub(r",(-?\d+)\.(\d+)$", r",\1,\2", row) + "\n" for row in rows.splitlines())
    (told,) = mistakes(head + header + commas)
    assert "a comma parts cells here" in told.remedy
    assert f"and {len(sheet(NAME).characteristics) - 1} more like it" in told.found


def test_a_part_in_millimetres_on_a_sheet_in_inches_is_told():
    found = mistakes(filled("canoe-yoke", lambda c, k: c.nominal_mm * 24.4), "canoe-yoke")
    assert all("millimetres" in m.found for m in found)


@pytest.mark.parametrize(
    ("factor", "says"),
    [(1 / 25.4, "inches"), (10.0, "ten times too large"), (0.1, "ten times too small"), (-1.0, "other side")],
)
def test_one_reading_off_by_a_factor_is_told(factor, says):
    text = filled(NAME, lambda c, k: c.nominal_mm * (factor - 1.0) if c.number == 6 else 0.0)
    mistake = only(text)
    assert says in mistake.found
    assert mistake.path == "number 6, part-1"
    assert mistake.column > 1


@pytest.mark.parametrize("reading", ["0", "0.00", "-100", "-0.01"])
def test_a_size_that_no_part_can_have_is_told(reading):
    told = told_size(sheet(NAME).characteristics[0], sheet(NAME).unit).nominal
    mistake = only(changed(1, f"{told:.5f}", reading))
    assert mistake.path == "number 1, part-2"
    assert mistake.found.startswith(f"{float(reading):g}")
    assert "measure again" in mistake.remedy


def test_a_pocket_that_was_forgotten_reads_nothing():
    deep = next(c for c in sheet(NAME).characteristics if c.kind is Kind.DEPTH)
    text = filled(NAME, lambda c, k: -c.nominal_mm if c.number == deep.number else 0.0)
    assert read(text).values["part-1", deep.number] == (0.0,)


@pytest.mark.parametrize("dash", ["-", "–"])
def test_a_sheet_on_which_nothing_was_measured_is_told(dash):
    mistake = only(re.sub(r",[\d.-]+,[\d.-]+\r\n", f",{dash},{dash}\r\n", PLAIN))
    assert mistake.found == "not one reading"
    assert mistake.line > 5


def test_a_small_rim_is_not_taken_for_inches():
    found = read(filled(NAME, lambda c, k: -0.576 if c.number == 4 else 0.0))
    assert found.values["part-1", 4] == (0.024,)


@pytest.mark.parametrize(
    ("header", "says"),
    [
        ("part-1,part 2", "part 2"),
        ("part-1,part-1", "second column"),
        ("part-1,colour", "colour"),
        ("remarks,operator", "no column for readings"),
    ],
)
def test_wrong_columns_are_told(header, says):
    found = mistakes(PLAIN.replace("part-1,part-2", header))
    assert any(says in m.found for m in found)


@pytest.mark.parametrize("text", ["", "hello", "\n\n\n", "part,number\n1,2", "PK\x03\x04"])
def test_what_is_no_sheet_is_told(text):
    assert "no header line" in only(text).found


def test_a_sheet_without_readings_is_told():
    empty = "\r\n".join(",".join(f'"{c}"' for c in row) for row in table(NAME))
    assert "no readings" in only(empty).found


def test_an_open_quote_is_told_where_it_opens():
    text = changed(31, "caliper over pins", '"caliper over pins')
    mistake = only(text)
    assert stands_at(text, mistake, "caliper over pins")
    with pytest.raises(OpenQuoteError):
        cells_of('a,"b', ",")


def test_every_mistake_is_told_in_one_go():
    text = changed(7, "11.50000", "wide", changed(6, "64.00000", "", changed(5, "6.60000", "6.6 mm")))
    assert [m.path for m in mistakes(text)] == ["number 5, part-2", "number 6, part-2", "number 7, part-2"]


def test_cells_know_where_they_begin():
    rows = cells_of('a,"b ""c""",d\n"two\nlines",e\n\nf', ",")
    assert [[(c.text, c.line, c.column) for c in row] for row in rows] == [
        [("a", 1, 1), ('b "c"', 1, 3), ("d", 1, 13)],
        [("two\nlines", 2, 1), ("e", 3, 8)],
        [("f", 5, 1)],
    ]


@pytest.mark.parametrize("revision", ['=HYPERLINK("x")', "+1", "-A", "@sum", "'=B", "'B"])
def test_text_of_the_recipe_is_no_formula_in_a_spreadsheet(revision):
    """A cell that begins with = + - @ is a formula to a spreadsheet (OWASP, CSV injection, from memory)."""
    of = replace(sheet(NAME), revision=revision)
    rows = list(csv.reader(io.StringIO(inspection_csv(of))))
    assert rows[1][1].lstrip()[0] not in "=+-@"
    for row in rows[5:]:
        row[9] = row[4]
    out = io.StringIO()
    csv.writer(out).writerows(rows)
    assert read_readings("r.csv", out.getvalue(), of).parts == ("part-1",)
    assert plain_text(written(revision)) == revision


def test_a_pocket_that_lies_off_the_bolt_holes_fails_though_every_wall_is_right():
    off = read(filled(NAME, lambda c, k: 0.31 if (c.feature, c.kind) == ("bottom-pocket", Kind.POSITION_X) else 0.0))
    (failed,) = (v.characteristic for v in verdicts(sheet(NAME), off) if v.said is Said.FAIL)
    assert failed.what == "bottom pocket, middle, x from datum"
