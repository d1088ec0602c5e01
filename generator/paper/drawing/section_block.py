"""The section: its cut area hatched, what is seen behind, and the heights that it shows."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot, sqrt
from typing import Final

from generator.estimate.characteristics import Kind
from generator.outline.chords import chords
from generator.outline.contour import Point
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.outline.transform import scaled
from generator.paper.drawing.block import Block, block_of, ink_box
from generator.paper.drawing.dimensions import Span, draw_dimensions
from generator.paper.drawing.face_view import Placement
from generator.paper.drawing.marks import Hole, Pocket
from generator.paper.drawing.section import Plane, stretches
from generator.paper.drawing.section_choice import is_readable
from generator.paper.drawing.told import Told
from generator.paper.drawing.view_title import write_title
from generator.paper.lines import CENTRE, NARROW, VISIBLE
from generator.paper.sheet import Easel, Track, line
from generator.part.part import Face, Feature, Part

__all__ = ["HATCH_MM", "SECTION_NAME", "in_section", "section_block"]

SECTION: Final = "A-A"
TURNED: Final = " ↷"
"""A section along y is turned by 90° against the view, clockwise: the arrow says so (ISO 128-3, from memory)."""
HATCH_MM: Final = 2.0
"""From hatch line to hatch line; ISO 128-3 wants 0.7 mm at least (drawing conventions, read)."""
SECTION_NAME: Final = "section_A-A"
LEAST_LINE_MM: Final = 0.7
"""Lines keep so far apart (ISO 128-2, read): what is shorter is left out behind the section."""
NEARER_MM: Final = 4.0
"""Depths from the bottom face stand on the left, those from the top face on the right, unless the other side is nearer
by this: an extension line that runs through all of the hatching is hard to follow."""
MOST: Final = 3
"""So many depths of one side are dimensioned in the section; the others stand in the table."""


def in_section(pockets: Sequence[Pocket], plane: Plane) -> list[Pocket]:
    """Return the pockets whose depth is dimensioned in the section: flat floors cut well, a few a face."""
    out: list[Pocket] = []
    for face in Face:
        cut = [p for p in pockets if p.feature.face is face and _is_flat(p.feature) and is_readable(p.feature, plane)]
        depths: set[float] = set()
        for p in cut:
            if p.feature.depth_mm not in depths and len(depths) < MOST:
                depths.add(p.feature.depth_mm)
                out.append(p)
    return out


def _is_flat(f: Feature) -> bool:
    return "engraving" not in f.layer and "cut" not in f.layer and "opening" not in f.layer


def section_block(
    cut: Region,
    behind: Sequence[Track],
    plane: Plane,
    scale: float,
    title: str,
    told: Told,
    shown: Sequence[Pocket],
    holes: Sequence[Hole],
) -> Block:
    """Return the section as a block; its area is called ``section_A-A``, its hatching ``hatching``.

    Args:
        cut: the cut area, mm of the part.
        behind: edges seen behind it.
        plane: where it is cut.
        scale: mm on paper a mm of the part.
        title: stands over it.
        told: what has its balloon already.
        shown: pockets whose depths are dimensioned.
        holes: whose axes are drawn where the plane goes through them.
    """
    part = told.said.part
    easel = Easel()
    area = scaled(cut, scale)
    easel.draw(*_hatch(area), kind=NARROW, name="hatching")
    easel.region(area, kind=VISIBLE, name=SECTION_NAME)
    placed = Placement(scale)
    seen = [t for t in (placed.track(t) for t in behind) if _is_long(t)]
    if seen:
        easel.draw(*seen, kind=VISIBLE, name="section_behind")
    outline = ink_box(easel.items)
    _centre_lines(easel, holes, plane, scale, part.thickness_mm)
    edge = ink_box(easel.items)  # a hole may lie half outside, and its axis with it
    left, right = _heights(part, plane, scale, told, shown)
    draw_dimensions(easel, left, "left", edge.left, text_from=outline.bottom)
    draw_dimensions(easel, right, "right", edge.right, text_from=outline.bottom)
    turned = title.replace(SECTION, SECTION + TURNED) if plane.along == "y" else title
    write_title(easel, turned, outline)
    return block_of("section", easel, margin=1.0)


def _is_long(track: Track) -> bool:
    """Return True unless an edge behind the plane is so short that it would only be a blot."""
    a, b = track.vertices[0], track.vertices[-1]
    return hypot(b.x - a.x, b.y - a.y) >= LEAST_LINE_MM


def _hatch(area: Region) -> list[Track]:
    """Return hatch lines at 45 degrees through the area, on one grid wherever it lies."""
    if not area:
        return []
    box = bounds(area)
    d = (sqrt(0.5), sqrt(0.5))
    # distance of a line from the origin, along the normal (-1, 1) / sqrt 2
    reach = [(-x + y) * sqrt(0.5) for x in (box.xmin, box.xmax) for y in (box.ymin, box.ymax)]
    first, last = int(min(reach) // HATCH_MM), int(max(reach) // HATCH_MM) + 1
    out: list[Track] = []
    for k in range(first, last + 1):
        off = (k + 0.5) * HATCH_MM
        p = Point(-d[1] * off, d[0] * off)
        for c in chords(area, p, d):
            out.append(line((p.x + d[0] * c.start, p.y + d[1] * c.start), (p.x + d[0] * c.end, p.y + d[1] * c.end)))
    return out


def _centre_lines(easel: Easel, holes: Sequence[Hole], plane: Plane, scale: float, thickness: float) -> None:
    """Draw the axes of the holes that the plane goes through the middle of."""
    for hole in holes:
        s, level = plane.coordinates(hole.at)
        if any(run.start <= s <= run.end and abs(run.level - level) < 1e-6 for run in plane.runs):
            easel.draw(line((s * scale, -2.0), (s * scale, thickness * scale + 2.0)), kind=CENTRE)


def _heights(
    part: Part, plane: Plane, scale: float, told: Told, shown: Sequence[Pocket]
) -> tuple[list[Span], list[Span]]:
    """Return the spans on the left, thickness first, and on the right: a depth stands on the side that is nearer."""
    ends = stretches(part.profile, plane)
    left_edge, right_edge = scale * min(a for a, _ in ends), scale * max(b for _, b in ends)
    top = part.thickness_mm
    text = told.label([part.name], Kind.THICKNESS, otherwise=top)
    left = [Span(0.0, top * scale, left_edge, left_edge, *text)]
    right: list[Span] = []
    for p in shown:
        f = p.feature
        cut = stretches(f.region, plane)
        text = told.label([f.name], Kind.DEPTH, otherwise=f.depth_mm)
        first, last = scale * min(a for a, _ in cut), scale * max(b for _, b in cut)
        z_from, z_to = f.z_from_mm * scale, f.z_to_mm * scale
        usual = NEARER_MM if f.face is Face.BOTTOM else -NEARER_MM
        if first - left_edge <= right_edge - last + usual:
            edges = (left_edge, first) if f.face is Face.BOTTOM else (first, left_edge)
            left.append(Span(z_from, z_to, *edges, *text))
        else:
            edges = (right_edge, last) if f.face is Face.BOTTOM else (last, right_edge)
            right.append(Span(z_from, z_to, *edges, *text))
    return left, right
