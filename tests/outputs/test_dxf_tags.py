"""The entities of a DXF by its lines alone, held against ezdxf's reader."""

from __future__ import annotations

import io

import ezdxf
import pytest

from generator.outputs.dxf_tags import DxfError, entities


def file_of(doc: ezdxf.document.Drawing) -> bytes:
    out = io.StringIO()
    doc.write(out)
    return out.getvalue().encode()


def test_lines_circles_polylines_and_texts_are_those_of_the_file():
    doc = ezdxf.new("R2010")
    space = doc.modelspace()
    space.add_line((1.5, 2.0), (-3.25, 4.0))
    space.add_circle((5.0, 6.0), 7.5)
    space.add_lwpolyline([(0, 0, 0.0), (10, 0, 1.0), (10, 5, 0.0)], format="xyb", close=True)
    space.add_text("⌀5 %%p 0.1", height=3.5)
    line, circle, polyline, text = entities(file_of(doc))
    assert [line.number(code) for code in (10, 20, 11, 21)] == [1.5, 2.0, -3.25, 4.0]
    assert (circle.kind, circle.number(10), circle.number(20), circle.number(40)) == ("CIRCLE", 5.0, 6.0, 7.5)
    assert polyline.vertices() == [(0.0, 0.0, 0.0), (10.0, 0.0, 1.0), (10.0, 5.0, 0.0)]
    assert polyline.number(70) == 1.0
    assert (text.text(1), text.number(40), text.number(72)) == ("⌀5 %%p 0.1", 3.5, 0.0)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"no drawing", "code"),
        (b"  0\nSECTION\n  2\nENTITIES\n  0\nEOF\n", "end"),
        (b"  0\nENDSEC\n  0\nEOF\n", "not begin"),
        (b"  0\nSECTION\n  2\nA\n  0\nSECTION\n  2\nB\n  0\nENDSEC\n  0\nEOF\n", "in a section"),
        (b"", "end"),
        (b"\xff\xfe", "code"),
    ],
)
def test_what_is_no_whole_file_is_refused(data, said):
    with pytest.raises(DxfError, match=said):
        entities(data)


def test_a_figure_that_is_none_is_refused():
    data = b"  0\nSECTION\n  2\nENTITIES\n  0\nCIRCLE\n 40\nwide\n  0\nENDSEC\n  0\nEOF\n"
    with pytest.raises(DxfError, match="CIRCLE"):
        entities(data)[0].number(40)
