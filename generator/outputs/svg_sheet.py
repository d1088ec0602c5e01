"""A sheet to draw on: lines, texts and symbols in mm, y down. It remembers where everything is."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.units import decimal
from generator.outputs.lettering import Box, text_box, xml_text

__all__ = ["FONT", "INK", "QUIET", "THIN", "Sheet", "Style", "hull"]

INK: Final = "#1b1f24"
QUIET: Final = "#5b636e"
FONT: Final = "'DejaVu Sans', Arial, Helvetica, sans-serif"
THIN: Final = 0.18
"""Narrow line, mm; wide lines are twice as wide or more (ISO 128-2 line groups)."""


def n(value: float) -> str:
    """Return a sheet coordinate with as many digits as it needs (1 µm)."""
    return decimal(value, 3)


@frozen_record
class Style:
    """How a line is drawn: colour, width (mm on paper), dashes (mm on paper), and the tint of the area inside."""

    ink: str = INK
    width: float = THIN
    dash: tuple[float, ...] = ()
    tint: str = ""

    def attributes(self, scale: float = 1.0) -> str:
        """Return SVG attributes for use inside a group that is scaled by ``scale``."""
        fill = f'fill="{self.tint}" fill-rule="evenodd"' if self.tint else 'fill="none"'
        dash = f' stroke-dasharray="{" ".join(decimal(d / scale, 4) for d in self.dash)}"' if self.dash else ""
        return f'{fill} stroke="{self.ink}" stroke-width="{decimal(self.width / scale, 4)}"{dash}'


def hull(boxes: list[Box]) -> Box:
    """Return the smallest box round all of ``boxes``; there must be one."""
    return Box(
        min(b.left for b in boxes), min(b.top for b in boxes), max(b.right for b in boxes), max(b.bottom for b in boxes)
    )


@dataclass
class Sheet:
    """Collects SVG elements, the boxes of texts, straight strokes, and the extent of everything."""

    elements: list[str] = field(default_factory=list)
    texts: list[Box] = field(default_factory=list)
    extents: list[Box] = field(default_factory=list)
    strokes: list[tuple[tuple[float, float], tuple[float, float]]] = field(default_factory=list)

    def raw(self, svg: str, box: Box | None = None) -> None:
        """Add an element as it is; ``box`` is what it fills."""
        self.elements.append(svg)
        if box is not None:
            self.extents.append(box)

    def text(
        self,
        text: str,
        at: tuple[float, float],
        size: float,
        *,
        anchor: str = "start",
        bold: bool = False,
        ink: str = INK,
        upright: bool = False,
        halo: bool = False,
    ) -> Box:
        """Add one line of text at a baseline point and return its box; ``halo`` keeps lines away from the letters."""
        x, y = at
        box = text_box(text, x, y, size, anchor=anchor, bold=bold, upright=upright)
        extra = f' text-anchor="{anchor}"' if anchor != "start" else ""
        extra += ' font-weight="bold"' if bold else ""
        extra += f' transform="rotate(-90 {n(x)} {n(y)})"' if upright else ""
        if halo:
            extra += ' stroke="#fff" stroke-width="0.9" stroke-linejoin="round" paint-order="stroke"'
        self.elements.append(
            f'<text x="{n(x)}" y="{n(y)}" font-size="{n(size)}" fill="{ink}"{extra}>{xml_text(text)}</text>'
        )
        self.texts.append(box)
        self.extents.append(box)
        return box

    def line(self, points: list[tuple[float, float]], style: Style | None = None) -> None:
        """Add an open chain of straight lines."""
        d = "M" + "L".join(f"{n(x)} {n(y)}" for x, y in points)
        self.strokes += pairwise(points)
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        self.raw(f'<path d="{d}" {(style or Style()).attributes()}/>', Box(min(xs), min(ys), max(xs), max(ys)))

    def shape(self, points: list[tuple[float, float]], fill: str) -> None:
        """Add a filled polygon."""
        d = "M" + "L".join(f"{n(x)} {n(y)}" for x, y in points) + "Z"
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        self.raw(f'<path d="{d}" fill="{fill}"/>', Box(min(xs), min(ys), max(xs), max(ys)))

    def circle(self, at: tuple[float, float], radius: float, style: Style) -> None:
        """Add a circle."""
        x, y = at
        box = Box(x - radius, y - radius, x + radius, y + radius)
        self.raw(f'<circle cx="{n(x)}" cy="{n(y)}" r="{n(radius)}" {style.attributes()}/>', box)

    def box(self) -> Box:
        """Return the box round everything."""
        return hull(self.extents)

    def document(self, *, margin: float, title: str, description: str) -> str:
        """Return the whole drawing as SVG: 1 unit is 1 mm on paper."""
        b = self.box().grown(margin)
        view = f"{n(b.left)} {n(b.top)} {n(b.width)} {n(b.height)}"
        return (
            '<?xml version="1.0" encoding="UTF-8"?>\n'
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{n(b.width)}mm" height="{n(b.height)}mm" '
            f'viewBox="{view}" font-family="{FONT}">\n'
            f"<title>{xml_text(title)}</title>\n<desc>{xml_text(description)}</desc>\n"
            f'<rect x="{n(b.left)}" y="{n(b.top)}" width="{n(b.width)}" height="{n(b.height)}" fill="#fff"/>\n'
            + "\n".join(self.elements)
            + "\n</svg>\n"
        )
