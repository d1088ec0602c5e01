"""One figure of the catalogue: plate, pocket, seats, and the least wall as a dimension, as SVG."""

from __future__ import annotations

from math import ceil, hypot
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.units import decimal
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.outputs.catalogue_draw import Drawn
from generator.outputs.lettering import ASCENT, text_width
from generator.outputs.svg_pen import path_data
from generator.outputs.svg_sheet import FONT, INK

__all__ = ["FIGURE_WIDTH", "KEY", "Scale", "figure", "figure_height", "scale_for"]

FIGURE_WIDTH: Final = 440.0
"""Pixels; the height follows from what is shown."""
_ROOM: Final = 38.0
"""Kept free round the largest shape for the dimension, pixels."""
_PLATE, _POCKET, _SEAT, _WALL = "#e7ebf0", "#1f5fa8", "#a3262a", "#8a2f6b"
KEY: Final = (
    ("outer shape", INK, _PLATE, 2.2),
    ("bottom pocket, seen through the plate", _POCKET, "#d3e1f1", 1.4),
    ("bolt seat and hole", _SEAT, "#f6e3e3", 1.4),
    ("least wall, mm", _WALL, _WALL, 1.6),
)
"""What the colours mean: words, line, fill, width of the line."""
_ARROW, _STEM, _SIZE = 7.0, 15.0, 16.0


@frozen_record
class Scale:
    """Pixels a millimetre, one for all figures, so that they can be compared."""

    px: float


def scale_for(drawings: list[Drawn]) -> Scale:
    """Return the scale at which the largest outer shape fits into a figure."""
    return Scale((FIGURE_WIDTH - 2.0 * _ROOM) / max(bounds(d.outer).width_mm for d in drawings))


def figure_height(drawings: tuple[Drawn, ...], scale: Scale) -> float:
    """Return the height that figures side by side need, pixels."""
    return float(ceil(max(bounds(d.outer).height_mm for d in drawings) * scale.px + 2.0 * _ROOM))


def figure(drawn: Drawn, scale: Scale, height: float) -> str:
    """Return the figure's elements in a box of FIGURE_WIDTH and ``height``, y down."""
    middle = bounds(drawn.outer).centre
    x0 = FIGURE_WIDTH / 2.0 - middle.x * scale.px
    y0 = height / 2.0 + middle.y * scale.px
    k = decimal(scale.px, 5)
    place = f"translate({decimal(x0, 3)} {decimal(y0, 3)}) scale({k} -{k})"
    shapes = [
        _shape(drawn.outer, _PLATE, INK, 2.2 / scale.px),
        _shape(drawn.pocket, "#d3e1f1", _POCKET, 1.4 / scale.px, dash=f"{7 / scale.px:.3f} {3.2 / scale.px:.3f}"),
        *(_shape(r, "#f6e3e3", _SEAT, 1.4 / scale.px) for r in drawn.seats),
        *(_shape(r, "#ffffff", _SEAT, 1.4 / scale.px) for r in drawn.holes),
    ]
    return f'<g transform="{place}">{"".join(shapes)}</g>{_dimension(drawn, scale, (x0, y0))}'


def _shape(region: Region, fill: str, ink: str, width: float, *, dash: str = "") -> str:
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<path d="{path_data(region, digits=4)}" fill="{fill}" fill-rule="evenodd" stroke="{ink}" '
        f'stroke-width="{decimal(width, 4)}"{dashed}/>'
    )


def _dimension(drawn: Drawn, scale: Scale, origin: tuple[float, float]) -> str:
    """Return the least wall between two arrows from outside, its figure beyond the outer one."""
    gap = drawn.wall
    ax, ay = origin[0] + gap.on_a.x * scale.px, origin[1] - gap.on_a.y * scale.px
    bx, by = origin[0] + gap.on_b.x * scale.px, origin[1] - gap.on_b.y * scale.px
    away = hypot(bx - ax, by - ay)
    ux, uy = (bx - ax) / away, (by - ay) / away
    ends = (ax - ux * _STEM, ay - uy * _STEM), (bx + ux * _STEM, by + uy * _STEM)
    line = f"M{_p(ends[0])}L{_p(ends[1])}"
    heads = _head((ax, ay), (ux, uy)) + _head((bx, by), (-ux, -uy))
    text = f"{gap.distance_mm:.2f}"
    half = text_width(text, _SIZE, bold=True) / 2.0
    tx, ty = ends[1][0] + ux * (half + 4.0), ends[1][1] + uy * (_SIZE * 0.5 + 4.0) + ASCENT * _SIZE / 2.0
    return (
        f'<path d="{line}" stroke="{_WALL}" stroke-width="1.6" fill="none"/><path d="{heads}" fill="{_WALL}"/>'
        f'<text x="{tx:.2f}" y="{ty:.2f}" font-family="{FONT}" font-size="{_SIZE:g}" font-weight="bold" '
        f'text-anchor="middle" fill="{_WALL}">{text}</text>'
    )


def _head(tip: tuple[float, float], towards: tuple[float, float]) -> str:
    (x, y), (ux, uy) = tip, towards
    bx, by, w = x - ux * _ARROW, y - uy * _ARROW, _ARROW * 0.3
    return f"M{_p((x, y))}L{_p((bx - uy * w, by + ux * w))}L{_p((bx + uy * w, by - ux * w))}Z"


def _p(point: tuple[float, float]) -> str:
    return f"{point[0]:.2f} {point[1]:.2f}"
