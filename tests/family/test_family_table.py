"""Tables as spreadsheets save them: separators, encodings, quotes, and what is wrong with them told at its line."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.base.errors import RecipeError
from generator.family.table import read_table
from generator.recipe.mistakes import Mistakes


def read(data: str | bytes, **columns: str):
    mistakes = Mistakes()
    rows = read_table("t.csv", data if isinstance(data, bytes) else data.encode(), columns, mistakes)
    mistakes.raise_any()
    return rows


def refused(data: str | bytes, **columns: str) -> list[tuple[int, str]]:
    with pytest.raises(RecipeError) as error:
        read(data, **columns)
    return [(m.line, m.sentence()) for m in error.value.mistakes]


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_whatever_a_spreadsheet_saves_is_read(separator, ending, encoding):
    text = ending.join([separator.join(["plot", "holder"]), separator.join(["7", "Bärbel"]), ""])
    (row,) = read(text.encode(encoding))
    assert dict(row.cells) == {"plot": "7", "holder": "Bärbel"}
    assert row.place.line == 2


def test_a_first_line_that_tells_the_separator():
    (row,) = read("sep=;\nplot;a,b\n7;8\n", other="a,b")
    assert dict(row.cells) == {"plot": "7", "other": "8"}
    assert row.place.line == 3


def test_quoted_cells_of_rfc_4180():
    rows = read('a,b\n"1, or ""2""","two\nlines"\n3,4\n')
    assert dict(rows[0].cells) == {"a": '1, or "2"', "b": "two\nlines"}
    assert rows[1].place.line == 4, "a cell that goes over two lines counts as two"


def test_empty_cells_and_empty_lines_are_left_out():
    rows = read("a,b\n\n1,\n ,2\n,\n")
    assert [dict(r.cells) for r in rows] == [{"a": "1"}, {"b": "2"}]


def test_headings_that_are_no_names_need_one_and_others_are_passed_over():
    (row,) = read("Plot no.,e-mail,reach\n7,x@y,30\n", plot="Plot no.")
    assert dict(row.cells) == {"plot": "7", "reach": "30"}


def test_paths_of_the_recipe_are_headings():
    (row,) = read("plot,cover.edge_break,original.bolts[0].thread\n7,0.4,M5\n")
    assert row.cells["cover.edge_break"] == "0.4"
    assert row.cells["original.bolts[0].thread"] == "M5"


@pytest.mark.parametrize(
    ("data", "line", "said"),
    [
        ("", 0, "found an empty table"),
        ("a,b\n", 0, "add rows below the headings"),
        (
            "a,b\n1,2\n1,2,3\n",
            3,
            "found 3 cells; expected 2, as many as there are headings; put a cell that holds commas",
        ),
        ('a,b\n1,"2\n', 2, "a quoted cell that does not end"),
        ('a,b\n1,"2" x\n', 2, "quotes out of place"),
        ("a,a\n1,2\n", 1, "the heading `a` twice"),
        ("Plot no.\n1\n", 1, 'give them names: `columns: {plot: "Plot no."}`'),
        (b"PK\x03\x04rest", 0, "save the sheet as CSV"),
        (b"a,b\n1,\0\n", 0, "a binary file"),
        ("a,b\n1,\x07\n", 2, "control characters"),
        ("a\n" + "x" * 10_001, 2, "a cell of more than 10,000 characters"),
    ],
)
def test_what_is_wrong_is_told_at_its_line(data, line, said):
    (found,) = refused(data)
    assert found[0] == line
    assert said in found[1]


def test_a_heading_that_is_not_there_is_told_with_the_nearest():
    (found,) = refused("Plot no.,b\n7,8\n", plot="Plot No")
    assert found[0] == 1
    assert "did you mean `Plot no.`?" in found[1]


def test_ten_thousand_rows():
    rows = read("plot;holder\n" + "".join(f"{i};H{i}\n" for i in range(10_000)))
    assert len(rows) == 10_000
    assert dict(rows[-1].cells) == {"plot": "9999", "holder": "H9999"}
    assert rows[-1].place.line == 10_001


_CELL = st.text(st.characters(exclude_categories=("C", "Z"), include_characters=' ,;"\n|'), max_size=8)


@given(st.lists(st.tuples(_CELL, _CELL), min_size=1, max_size=5), st.sampled_from([",", ";", "\t"]))
@settings(max_examples=150, deadline=None)
def test_what_the_standard_library_writes_is_read_back(cells, separator):
    out = io.StringIO()
    writer = csv.writer(out, delimiter=separator)
    writer.writerow(["left", "right"])
    writer.writerows(cells)
    wanted = [{n: c.strip() for n, c in zip(("left", "right"), pair, strict=True) if c.strip()} for pair in cells]
    wanted = [w for w in wanted if w]
    if not wanted:
        return
    assert [dict(r.cells) for r in read(out.getvalue())] == wanted
