"""Sheets of paper as a DXF: lines, arcs, circles, polylines and texts, in mm on paper, sheets side by side.

There are no DIMENSION entities, which every reader draws its own way, and no hatches. DXF layers are the kinds of line;
texts have a layer of their own. Signs that not every font has are written as the format's own codes: %%c for diameter,
%%p for plus-minus, %%d for degrees (DXF reference, from memory).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import atan2, degrees, hypot
from typing import TYPE_CHECKING, Any, Final

from generator.outline.contour import Vertex
from generator.outline.measure import Bounds
from generator.outputs.dxf_document import document_bytes, fixed_metadata, frame_view, new_document
from generator.paper.lines import CENTRE, CUT, CUTTING_PLANE, FRAME, HIDDEN, NARROW, NEIGHBOUR, VISIBLE, Line
from generator.paper.sheet import Drawn, Letters, Sheet, Track

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

__all__ = ["SHEET_GAP_MM", "TEXT_LAYER", "coded", "sheets_dxf"]

SHEET_GAP_MM: Final = 20.0
"""Sheets lie side by side with this between them."""
TEXT_LAYER: Final = "text"
KINDS: Final = (VISIBLE, NARROW, HIDDEN, CENTRE, CUTTING_PLANE, NEIGHBOUR, FRAME, CUT)
BLACK: Final = 7
"""Colour by number: black on white, white on black."""
STYLES: Final = {False: ("plain", "DejaVuSans.ttf"), True: ("bold", "DejaVuSans-Bold.ttf")}
CODES: Final = (("⌀", "%%c"), ("±", "%%p"), ("°", "%%d"))


def sheets_dxf(sheets: Sequence[Sheet], *, comments: Sequence[str], properties: Mapping[str, str]) -> bytes:
    """Return the DXF of sheets, side by side from the left; the same sheets give the same bytes.

    Args:
        sheets: without windows, which have no like in the format.
        comments: lines at the head of the file.
        properties: custom properties by name.
    """
    with fixed_metadata():
        doc = new_document(properties)
        _prepare(doc)
        x, height = 0.0, 0.0
        for sheet in sheets:
            for item, _ in sheet.flat():
                if isinstance(item, Letters):
                    _text(doc.modelspace(), item, x)
                else:
                    _drawn(doc.modelspace(), item, x)
            x += sheet.format.width_mm + SHEET_GAP_MM
            height = max(height, sheet.format.height_mm)
        frame_view(doc, Bounds(0.0, 0.0, x - SHEET_GAP_MM, height))
        return document_bytes(doc, comments)


def _prepare(doc: Drawing) -> None:
    """Declare kinds of line, layers and styles of text."""
    doc.header["$LTSCALE"] = 1.0
    for kind in KINDS:
        if kind.dashes:
            signed = [d if k % 2 == 0 else -d for k, d in enumerate(kind.dashes)]
            doc.linetypes.add(kind.name, [sum(kind.dashes), *signed], description=kind.name)
        doc.layers.add(
            kind.name,
            color=BLACK,
            linetype=kind.name if kind.dashes else "Continuous",
            lineweight=round(100.0 * kind.width_mm),
        )
    doc.layers.add(TEXT_LAYER, color=BLACK, lineweight=25)
    for name, face in STYLES.values():
        doc.styles.add(name, font=face)


def _drawn(space: Modelspace, item: Drawn, dx: float) -> None:
    """Add lines; what is only filled is drawn by its border."""
    layer = _layer(item.line)
    attributes: dict[str, Any] = {"layer": layer}
    for track in item.tracks:
        _track(space, track, dx, attributes)


def _layer(line: Line | None) -> str:
    return NARROW.name if line is None else line.name


def _track(space: Modelspace, track: Track, dx: float, attributes: dict[str, Any]) -> None:
    """Add the one entity that says a track."""
    vs = [Vertex(v.x + dx, v.y + 0.0, v.bulge + 0.0) for v in track.vertices]
    circle = _circle(vs) if track.is_closed else None
    if circle is not None:
        centre, radius = circle
        space.add_circle((*centre, 0.0), radius, dxfattribs=attributes)
    elif len(vs) == 2 and not track.is_closed and vs[0].bulge == 0.0:
        space.add_line((vs[0].x, vs[0].y, 0.0), (vs[1].x, vs[1].y, 0.0), dxfattribs=attributes)
    elif len(vs) == 2 and not track.is_closed:
        _arc(space, vs[0], vs[1], attributes)
    else:
        space.add_lwpolyline(vs, format="xyb", close=track.is_closed, dxfattribs=attributes)


def _circle(vs: Sequence[Vertex]) -> tuple[tuple[float, float], float] | None:
    """Return centre and radius of two half arcs; None for anything else."""
    if len(vs) != 2 or abs(vs[0].bulge) != 1.0 or vs[0].bulge != vs[1].bulge:
        return None
    a, b = vs
    return ((a.x + b.x) / 2.0, (a.y + b.y) / 2.0), hypot(b.x - a.x, b.y - a.y) / 2.0


def _arc(space: Modelspace, a: Vertex, b: Vertex, attributes: dict[str, Any]) -> None:
    """Add an arc, which the format has counter-clockwise."""
    k = (1.0 - a.bulge * a.bulge) / (4.0 * a.bulge)
    cx, cy = (a.x + b.x) / 2.0 - k * (b.y - a.y), (a.y + b.y) / 2.0 + k * (b.x - a.x)
    start, end = (a, b) if a.bulge > 0.0 else (b, a)
    first, last = (degrees(atan2(p.y - cy, p.x - cx)) for p in (start, end))
    space.add_arc((cx, cy, 0.0), hypot(a.x - cx, a.y - cy), first, last, dxfattribs=attributes)


def _text(space: Modelspace, item: Letters, dx: float) -> None:
    """Add a line of text; its height is that of capitals, as the format has it."""
    from ezdxf.enums import TextEntityAlignment as At

    places = {"start": At.LEFT, "middle": At.CENTER, "end": At.RIGHT}
    text = space.add_text(
        coded(item.text),
        height=item.height_mm,
        rotation=item.turn_deg,
        dxfattribs={"layer": TEXT_LAYER, "style": STYLES[item.bold][0]},
    )
    text.set_placement((item.at[0] + dx, item.at[1], 0.0), align=places[item.anchor])


def coded(text: str) -> str:
    """Return a text as the format writes it: signs as codes, per cent and caret so that they are no codes."""
    out = text.replace("%", "%%%").replace("^", "^ ")
    for sign, code in CODES:
        out = out.replace(sign, code)
    return out
