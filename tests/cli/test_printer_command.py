"""What the command line takes of printers: readings, settings file, page."""

from __future__ import annotations

import io
import json

import pypdfium2
import pytest

FAST = ("--outputs", "templates")


def words(path) -> str:
    with pypdfium2.PdfDocument(io.BytesIO(path.read_bytes())) as document:
        return " ".join(document[0].get_textpage().get_text_bounded().split())


def test_readings_given_back_correct_the_next_print(run, small, tmp_path):
    code, _, err = run("build", small, *FAST)
    assert code == 0, err
    first = words(tmp_path / "out/small/templates/cover.pdf")
    assert "--printed-bar x=99.6,y=100.2" in first
    code, _, err = run("build", small, *FAST, "--printed-bar", "x=99.6,y=100.2")
    assert code == 0, err
    told = words(tmp_path / "out/small/templates/cover.pdf")
    assert "Enlarged by 0.40 % in x, reduced by 0.20 % in y after bars of 99.6 and 100.2 mm" in told


def test_a_settings_file_says_paper_and_readings(run, small, tmp_path):
    (tmp_path / "printer.yaml").write_text("paper: Letter\nprinted_bars: {x: 3.94 in, y: 199.5}\n")
    code, _, err = run("build", small, *FAST, "--printer", "printer.yaml")
    assert code == 0, err
    told = words(tmp_path / "out/small/templates/footprint.pdf")
    assert "Letter" in told
    # 100 / (3.94 * 25.4) = 0.99924, 200 / 199.5 = 1.002506
    assert "Reduced by 0.08 % in x, enlarged by 0.25 % in y" in told


def test_readings_given_alone_go_before_those_of_the_file(run, tmp_path):
    (tmp_path / "printer.yaml").write_text("paper: Letter\nprinted_bars: {x: 99, y: 99}\n")
    code, out, _ = run("printer-page", "--printer", "printer.yaml", "--printed-bar", "x=100.5,y=100", "--json")
    assert code == 0
    assert json.loads(out) == {"wrote": "printer-page.pdf", "paper": "Letter"}
    assert "Reduced by 0.50 % in x, unchanged in y" in words(tmp_path / "printer-page.pdf")


@pytest.mark.parametrize(
    ("text", "column", "says"),
    [
        ("x=0,y=100", 3, "measure bar x"),
        ("x=100,y=1000", 9, "measure bar y"),
        ("x=-99.6,y=100", 3, "bar x of -99.6 mm"),
        ("x=3.92,y=3.94", 3, "write `x=3.92 in`"),
        ("x=199.8,y=150.1", 3, "the two are swapped: write `x=150.1`, `y=199.8`"),
        ("x=91,y=100", 3, "print again at 100 %"),
        ("x=nan,y=100", 1, "such as `x=99.6,y=100.2`"),
        ("x=99,6,y=100,2", 1, "write decimals with a point"),
        ("x=99.6", 1, "both readings"),
        ("", 1, "both readings"),
    ],
)
@pytest.mark.parametrize("command", ["build", "printer-page"])
def test_absurd_readings_are_refused_and_nothing_is_written(run, small, tmp_path, command, text, column, says):
    before = sorted(p.name for p in tmp_path.iterdir())
    code, _, err = run(command, *([small] if command == "build" else []), "--printed-bar", text)
    assert code == 2
    assert says in err
    assert f"--printed-bar:1:{column}:" in err
    assert "Traceback" not in err
    assert sorted(p.name for p in tmp_path.iterdir()) == before


def test_mistakes_of_a_settings_file_have_their_line(run, tmp_path):
    (tmp_path / "printer.yaml").write_text("paper: A5\nprinted_bars:\n  x: 3.92\n  y: 100\ncolour: red\n")
    code, _, err = run("printer-page", "--printer", "printer.yaml")
    assert code == 2
    assert "printer.yaml:1:8: paper: found `A5`" in err
    assert "printer.yaml:5:1: colour: found the unknown key" in err
    (tmp_path / "printer.yaml").write_text("printed_bars:\n  x: 3.92\n  y: 100\n")
    code, _, err = run("printer-page", "--printer", "printer.yaml")
    assert code == 2
    assert "printer.yaml:2:6: printed_bars.x: found a bar x of 3.92 mm" in err
    assert "write `x: 3.92 in`" in err
    code, _, err = run("printer-page", "--printer", "nowhere.yaml")
    assert code == 2
    assert "no file `nowhere.yaml`" in err


def test_readings_in_a_recipe_have_their_line(run, small):
    small.write_text(small.read_text() + "paper:\n  printed_bars: {x: 1000, y: 100}\n")
    code, _, err = run("check", small)
    assert code == 2
    assert "small.yaml:13:21: paper.printed_bars.x: found a bar x of 1000 mm" in err


def test_a_page_that_cannot_be_written_is_told(run, tmp_path):
    (tmp_path / "file").write_text("")
    code, _, err = run("printer-page", "--out", "file/page.pdf")
    assert code == 3
    assert "file/page.pdf cannot be written" in err
