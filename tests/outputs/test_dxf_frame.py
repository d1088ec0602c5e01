"""Files filled into a frame are those that ezdxf writes for the same document, byte for byte.

``REMAKE=1`` remakes the frame from ezdxf's own empty document.
"""

from __future__ import annotations

import io
import os
import re

import ezdxf
import pytest

from generator.outline.contour import Point, Vertex
from generator.outline.measure import Bounds
from generator.outputs.dxf_document import DxfLayer, document_bytes, fixed_metadata, new_document, write_dxf
from generator.outputs.dxf_frame import FIRST_HANDLE, FRAME, ROOM, drawn_text
from generator.outputs.dxf_pen import DxfCircle, DxfPolyline

MADE_WITH = "1.4.5"
"""The ezdxf whose frame it is; another may write other things that mean the same."""

POLYLINE = DxfPolyline((Vertex(0.1 + 0.2, -1e-9, 0.5), Vertex(1e17, 0, -0.25), Vertex(1 / 3, 100.0, 0.0)))
ENTITIES = {
    "outline": (DxfCircle(Point(1.0, 0.25), 1.5), POLYLINE),
    "openings": (),
    "holes": tuple(DxfCircle(Point(float(i), -i / 7), 1 / (1 + i)) for i in range(40)),
}
DRAWN = {name: drawn_text(entities, name) for name, entities in ENTITIES.items()}
LAYERS = [
    DxfLayer("outline", "außen", 7, 35, DRAWN["outline"]),
    DxfLayer("openings", "", 8, 25, DRAWN["openings"]),
    DxfLayer("holes", "holes", 152, 13, DRAWN["holes"]),
]
EXTENT = Bounds(-40.00506756071333, -3.0, 40.5, 1e3 / 7)


def by_ezdxf(layers, properties, extent):
    """Return the same document written by ezdxf alone."""
    with fixed_metadata():
        doc = new_document(properties)
        space = doc.modelspace()
        for layer in layers:
            row = doc.layers.add(layer.name, color=layer.colour, lineweight=layer.lineweight)
            row.description = layer.description
            for entity in ENTITIES.get(layer.name, ()):
                if isinstance(entity, DxfCircle):
                    space.add_circle(entity.centre, entity.radius_mm, dxfattribs={"layer": layer.name})
                else:
                    attributes = {"layer": layer.name}
                    space.add_lwpolyline(entity.vertices, format="xyb", close=True, dxfattribs=attributes)
        space.dxf.extmin = (extent.xmin, extent.ymin, 0.0)
        space.dxf.extmax = (extent.xmax, extent.ymax, 0.0)
        height = ROOM * max(extent.width_mm, extent.height_mm, 1.0)
        doc.set_modelspace_vport(height, center=extent.centre)
        return document_bytes(doc, ())


def remade() -> str:
    """Return the frame: ezdxf's document with marks where a file differs from it."""
    extent = Bounds(-7771.5, -7772.5, 7783.5, 7794.5)
    name = "@layer@"
    text = by_ezdxf([DxfLayer(name, "-", 7, 35, "")], {"@property@": "-"}, extent).decode()
    text = re.sub(r"  9\n\$CUSTOMPROPERTYTAG\n  1\n@property@\n  9\n\$CUSTOMPROPERTY\n  1\n-\n", "@properties@\n", text)
    text = re.sub(r"  0\nLAYER\n(?:(?!  0\n).*\n.*\n)*?  2\n@layer@\n(?:(?!  0\n).*\n.*\n)*", "@records@\n", text)
    text = re.sub(r"(  2\nLAYER\n(?:(?! 70\n).*\n.*\n)* 70\n)3\n", r"\1@layers@\n", text)
    text = text.replace("  2\nENTITIES\n", "  2\nENTITIES\n@drawn@\n")
    high, (x, y) = ROOM * extent.height_mm, extent.centre
    for mark, value in (("xmin", extent.xmin), ("ymin", extent.ymin), ("xmax", extent.xmax), ("ymax", extent.ymax)):
        text = text.replace(f"\n{value}\n", f"\n@{mark}@\n")
    start = text.index("AcDbViewportTableRecord")
    head, view = text[:start], text[start:]
    for mark, value in (("x", x), ("y", y), ("high", high)):
        assert f"\n{float(value)}\n" in view
        view = view.replace(f"\n{float(value)}\n", f"\n@{mark}@\n", 1)
    text = head + view
    for i in range(5):  # what comes after the layers: the view, an application's name, two of a dictionary, the next
        text = re.sub(rf"(\n(?:  5|330|350|360)\n){FIRST_HANDLE + 2 + i:X}\n", rf"\1@handle{i}@\n", text)
    return text


@pytest.mark.skipif(
    ezdxf.__version__ != MADE_WITH and not os.environ.get("REMAKE"), reason="the frame is that of another ezdxf"
)
@pytest.mark.parametrize("some", [LAYERS, LAYERS[:1], LAYERS[1:2], LAYERS[::-1]])
@pytest.mark.parametrize("properties", [{}, {"name": "Käfer", "unit": "mm", "frame": "x along"}])
def test_filled_frame_is_what_ezdxf_writes(some, properties):
    if os.environ.get("REMAKE"):
        FRAME.write_text(remade(), encoding="utf-8")
    own = write_dxf(some, comments=(), properties=properties, extent=EXTENT)
    assert own.decode().split("\n") == by_ezdxf(some, properties, EXTENT).decode().split("\n")


def test_ezdxf_finds_nothing_amiss():
    data = write_dxf(LAYERS, comments=("traced",), properties={"name": "a"}, extent=EXTENT)
    doc = ezdxf.read(io.StringIO(data.decode()))
    assert not doc.audit().errors
    assert doc.header.custom_vars.get("name") == "a"
    assert [len(doc.query(f"*[layer=='{layer.name}']")) for layer in LAYERS] == [2, 0, 40]


def test_texts_stay_on_their_line():
    data = write_dxf(LAYERS[:1], comments=("a\ud800\nb",), properties={"name": "c\r\nd"}, extent=EXTENT)
    assert data.startswith(b"999\na b\n")
    assert b"\nc d\n" in data
