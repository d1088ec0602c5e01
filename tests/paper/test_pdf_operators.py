"""The operators of a page, held against two readers that share nothing with ours: pypdf's and pdfium's."""

from __future__ import annotations

import io
from math import pi

import pypdfium2
import pytest
from pypdf import PdfReader

from generator.base.paper_sizes import FORMATS
from generator.paper.lines import CENTRE, VISIBLE
from generator.paper.pdf import pdf_bytes
from generator.paper.pdf_operators import characters, operations
from generator.paper.pdf_read import read_pdf
from generator.paper.sheet import Easel, Sheet, arc, circle, line

SAID = ("plain", "(brackets) and \\ strokes", "⌀5.5 ± 0.05 − 4°", "a) b( c\\", "½ × Ω – …")


def file_of(easel: Easel) -> bytes:
    return pdf_bytes([Sheet(FORMATS["A4"], tuple(easel.items))], title="test")


def full_page() -> bytes:
    easel = Easel()
    easel.draw(line((1.0, 2.0), (30.0, 40.5)), arc((50, 50), 10, 0.3, 1.5 * pi), kind=CENTRE, name="some-thing")
    easel.draw(circle((90.0, 90.0), 12.0), kind=VISIBLE, fill=(0.5, 0.25, 0.125))
    for k, text in enumerate(SAID):
        easel.write(text, (30.0, 200.0 - 10.0 * k), turn_deg=15.0 * k, bold=k % 2 == 1)
    return file_of(easel)


def test_operators_and_operands_are_those_that_another_reader_finds():
    content = PdfReader(io.BytesIO(full_page())).pages[0].get_contents()
    assert content is not None
    theirs = [(operator.decode(), operands) for operands, operator in content.operations]
    ours = list(operations(content.get_data()))
    assert [name for name, _ in ours] == [name for name, _ in theirs]
    for (name, mine), (_, other) in zip(ours, theirs, strict=True):
        for a, b in zip(mine, other, strict=True):
            if isinstance(a, float):
                assert a == pytest.approx(float(b), abs=1e-9), name
            elif isinstance(a, str):
                assert f"/{a}" == b
            elif isinstance(a, list):
                assert a == pytest.approx([float(v) for v in b])


def test_texts_are_those_that_a_renderer_extracts():
    data = full_page()
    (page,) = read_pdf(data)
    assert tuple(t.text for t in page.texts) == SAID
    with pypdfium2.PdfDocument(io.BytesIO(data)) as document:
        told = document[0].get_textpage().get_text_range()
    for text in SAID:
        assert text in told.replace("\r\n", "\n")


@pytest.mark.parametrize(
    ("string", "meant"),
    # ISO 32000-1, 7.3.4.2 and 7.3.4.3: the examples of its tables of strings
    [
        (rb"(These \n are \t two)", b"These \n are \t two"),
        (b"(These \\\ntwo strings)", b"These two strings"),
        (rb"(\245 and \307)", b"\xa5 and \xc7"),
        (rb"(\0053)", b"\x053"),
        (rb"(\053)", b"+"),
        (rb"(\53)", b"+"),
        (rb"<4E6F762073686D6F7A206B6120706F702E>", b"Nov shmoz ka pop."),
        (rb"<901FA>", b"\x90\x1f\xa0"),
    ],
)
def test_strings_of_the_standard_are_read_as_it_says(string, meant):
    assert list(operations(string + b" Tj")) == [("Tj", [meant])]


@pytest.mark.parametrize("number", [b"123", b"43445", b"+17", b"-98", b"0", b"34.5", b"-3.62", b"4.", b"-.002", b"0.0"])
def test_numbers_of_the_standard_are_read(number):
    # ISO 32000-1, 7.3.3: its examples of integers and reals
    assert list(operations(number + b" w")) == [("w", [float(number)])]


@pytest.mark.parametrize(
    "content", [b"1 0", b"[1 0 d", b"1 ] d", b"[[1] 0] d", b"<< /A 1 >> BDC", b"(open Tj", b"1 \xff w"]
)
def test_what_is_not_operators_is_refused(content):
    with pytest.raises(ValueError, match="byte"):
        list(operations(content))


def test_a_table_of_characters_is_read_as_the_standard_writes_it():
    table = b"2 beginbfchar\n<3A51> <D840DC3E>\n<05> <2300>\nendbfchar"  # ISO 32000-1, 9.10.3: pair of halves
    assert characters(table) == {0x3A51: "\U0002003e", 5: "⌀"}
