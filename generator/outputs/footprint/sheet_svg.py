"""A sheet of paper as an SVG picture, for those who want it on a screen."""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.units import decimal
from generator.outline.contour import Point, Segment, Vertex
from generator.outputs.lettering import xml_text
from generator.outputs.raster import FONT_FAMILY
from generator.paper.letters import CAP_SHARE
from generator.paper.lines import Colour
from generator.paper.sheet import Drawn, Letters, Sheet, Track

__all__ = ["sheet_svg"]


def sheet_svg(sheet: Sheet) -> str:
    """Return the picture, mm; windows are not clipped."""
    w, h = decimal(sheet.format.width_mm), decimal(sheet.format.height_mm)
    high = sheet.format.height_mm
    body = "".join(e for item, _ in sheet.flat() for e in _element(item, high))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}" '
        f'font-family="{FONT_FAMILY}"><rect width="100%" height="100%" fill="#ffffff"/>{body}</svg>'
    )


def _element(item: Drawn | Letters, high: float) -> Iterator[str]:
    if isinstance(item, Letters):
        x, y = decimal(item.at[0], 3), decimal(high - item.at[1], 3)
        turn = f' transform="rotate({decimal(-item.turn_deg, 3)} {x} {y})"' if item.turn_deg else ""
        bold = ' font-weight="bold"' if item.bold else ""
        yield (
            f'<text x="{x}" y="{y}" font-size="{decimal(item.height_mm / CAP_SHARE, 3)}" text-anchor="{item.anchor}" '
            f'fill="{_hex(item.colour)}"{bold}{turn}>{xml_text(item.text)}</text>'
        )
        return
    path = "".join(_way(t, high) for t in item.tracks)
    fill = _hex(item.fill) if item.fill is not None else "none"
    stroke = ""
    if item.line is not None:
        stroke = f' stroke="{_hex(item.line.colour)}" stroke-width="{decimal(item.line.width_mm, 3)}"'
        if item.line.dashes:
            stroke += f' stroke-dasharray="{" ".join(decimal(d, 3) for d in item.line.dashes)}"'
    yield f'<path d="{path}" fill="{fill}" fill-rule="evenodd"{stroke}/>'


def _way(track: Track, high: float) -> str:
    vs = track.vertices
    out = f"M{decimal(vs[0].x, 4)} {decimal(high - vs[0].y, 4)}"
    ends = [*vs[1:], vs[0]] if track.is_closed else list(vs[1:])
    for v, w in zip(vs, ends, strict=False):
        out += _piece(v, w, high)
    return out + ("Z" if track.is_closed else "")


def _piece(v: Vertex, w: Vertex, high: float) -> str:
    end = f"{decimal(w.x, 4)} {decimal(high - w.y, 4)}"
    if v.bulge == 0.0:
        return f"L{end}"
    r = decimal(Segment(Point(v.x, v.y), Point(w.x, w.y), v.bulge).radius_mm, 4)
    # counter-clockwise with y up is the negative sense with y down
    return f"A{r} {r} 0 {int(abs(v.bulge) > 1.0)} {int(v.bulge < 0.0)} {end}"


def _hex(colour: Colour) -> str:
    return "#" + "".join(f"{round(255 * c):02x}" for c in colour)
