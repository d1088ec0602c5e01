"""Does a drawing's file show the part? Outlines and the figures of its tables, read back and held against the plan."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from math import inf
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.base.units import LengthUnit
from generator.estimate.characteristics import Kind
from generator.outline.measure import area, bounds
from generator.outline.region import Region
from generator.outline.transform import moved
from generator.outputs.output import Proof
from generator.outputs.proofs import count_proof
from generator.paper.box import Box
from generator.paper.drawing.drawing import Drawing
from generator.paper.drawing.face_view import Placement
from generator.paper.drawing.marks import Hole
from generator.paper.drawing.said import DIAMETER
from generator.paper.drawing.section_block import SECTION_NAME
from generator.paper.drawing.views import BOTTOM, TOP
from generator.paper.pdf_proof import deviation_mm
from generator.paper.pdf_read import PdfError, ReadPage, ReadText, read_pdf
from generator.part.part import Face, Part
from generator.part.section import feature_at

__all__ = ["prove_pdf"]

Floats = NDArray[np.float64]

OUTLINE_MM: Final = 0.01
"""Outlines may lie off by this on paper."""
HALF: Final = 0.5 + 1e-6
"""A figure is rounded: it may be off by half of its last decimal."""
NEARLY_MM: Final = 1.0
"""Boxes of points along curves are off by less on paper."""
SAME_LINE_MM: Final = 0.01
NUMBER: Final = re.compile(r"^[⌀R]?([−-]?\d+(?:\.\d+)?)")


def prove_pdf(path: str, data: bytes, part: Part, drawing: Drawing) -> Iterator[Proof]:
    """Yield the proofs that a drawing's PDF shows the outlines of ``part`` and tells its holes as the plan has them."""
    try:
        pages = read_pdf(data)
    except PdfError:
        yield count_proof("a PDF that can be read", path, 1)
        return
    yield count_proof("sheets that are not those of the drawing", path, abs(len(pages) - len(drawing.sheets)))
    if len(pages) != len(drawing.sheets):
        return
    for prefix, face in ((TOP, Face.TOP), (BOTTOM, Face.BOTTOM)):
        yield from _view(path, pages, part, drawing, prefix, face)
    yield _section(path, pages, drawing)
    wrong = sum(_misfit(hole, pages, drawing) for kind in drawing.subject.kinds for hole in kind.holes)
    yield count_proof("holes whose mark, place or diameter is not the plan's", path, wrong)


# ------------------------------------------------------------------ outlines
def _view(
    path: str, pages: Sequence[ReadPage], part: Part, drawing: Drawing, prefix: str, face: Face
) -> Iterator[Proof]:
    """Yield the proof of one view: all outlines lie to each other as in the plan, wherever the view stands."""
    placed = Placement(drawing.scale, is_turned=face is Face.BOTTOM)
    meant = {name: placed.region(_planned(part, name, face)) for name, _ in drawing.subject.edges[face].named}
    if not meant:
        return
    page = _page_with(pages, f"{prefix}_{next(iter(meant))}")
    largest = max(meant, key=lambda name: area(meant[name]))
    dx, dy = _offset(page, f"{prefix}_{largest}", meant[largest])
    worst = max(deviation_mm(page.named(f"{prefix}_{n}"), moved(r, dx, dy)) for n, r in meant.items())
    yield Proof(f"outlines of the view of the {face.value} face on paper", path, worst, OUTLINE_MM, "mm")


def _planned(part: Part, name: str, face: Face) -> Region:
    """Return the outline of that name as the plan has it."""
    if name == part.layer:
        return part.profile
    feature = next(f for f in part.features if name in (f.name, f"{f.name}-foot"))
    near = feature.z_to_mm if face is Face.TOP else feature.z_from_mm
    far = feature.z_from_mm if face is Face.TOP else feature.z_to_mm
    return feature_at(feature, near if name == feature.name else far)


def _offset(page: ReadPage, name: str, meant: Region) -> tuple[float, float]:
    """Return by how much an outline on the page lies off where it was meant; infinite if it is not there.

    The boxes tell nearly how much, because curves are read at some places only. Of the points about there the one is
    taken for the first corner that brings all corners nearest to points.
    """
    found = [way.points for path in page.named(name) for way in path.ways]
    if not found:
        return inf, inf
    points = np.vstack(found)
    corners = np.array([(v.x, v.y) for contour in meant for v in contour.vertices])
    box = bounds(meant)
    rough = points.min(axis=0) - (box.xmin, box.ymin)
    tried = points - corners[0]
    tried = tried[np.hypot(*(tried - rough).T) < NEARLY_MM]
    if not len(tried):
        return float(rough[0]), float(rough[1])
    best = min(tried, key=lambda d: _worst(corners + d, points))
    return float(best[0]), float(best[1])


def _worst(corners: Floats, points: Floats) -> float:
    """Return how far the worst corner lies from the nearest point, mm."""
    return max(float(np.hypot(*(points - c).T).min()) for c in corners)


def _page_with(pages: Sequence[ReadPage], name: str) -> ReadPage:
    """Return the page that shows something of that name; the first if none does."""
    return next((p for p in pages if p.named(name)), pages[0])


def _section(path: str, pages: Sequence[ReadPage], drawing: Drawing) -> Proof:
    page = _page_with(pages, SECTION_NAME)
    placed = Placement(drawing.section_scale).region(drawing.subject.cut)
    dx, dy = _offset(page, SECTION_NAME, placed)
    off = deviation_mm(page.named(SECTION_NAME), moved(placed, dx, dy)) if placed and dx < inf else inf
    return Proof("outline of the section on paper", path, off, OUTLINE_MM, "mm")


# ------------------------------------------------------------------ figures
@frozen_record
class _Row:
    """Texts of one line of a table, from the left."""

    texts: tuple[str, ...]


def _misfit(hole: Hole, pages: Sequence[ReadPage], drawing: Drawing) -> int:
    """Return 0 if a row of a table begins with a hole's mark and has its x and y, and one has its diameter; else 1."""
    unit = drawing.subject.said.unit
    rows = list(_rows(pages, drawing))
    letter = hole.mark.rstrip("0123456789")
    kind = [r for r in rows if re.fullmatch(rf"{letter}\d+( to {letter}\d+)?", r.texts[0])]
    right = any(_tells_place(r, hole, drawing) for r in rows if r.texts[0] == hole.mark)
    wide = any(_is(2.0 * hole.radius_mm, t, unit) for r in kind for t in r.texts if t.startswith(DIAMETER))
    return 0 if right and wide else 1


def _tells_place(row: _Row, hole: Hole, drawing: Drawing) -> bool:
    """Return True if behind the mark stand x and y, each with its balloon if it is a characteristic."""
    subject = drawing.subject
    left = list(row.texts[1:])
    for kind, mm in (
        (Kind.POSITION_X, hole.at.x - subject.datum.at.x),
        (Kind.POSITION_Y, hole.at.y - subject.datum.at.y),
    ):
        if not left or not _is(mm, left.pop(0), subject.said.unit):
            return False
        numbers = [c.number for c in subject.said.listed if c.kind is kind and hole.feature.name in c.features]
        if numbers and (not left or left.pop(0) != str(numbers[0])):
            return False
    return True


def _is(meant_mm: float, text: str, unit: LengthUnit) -> bool:
    """Return True if a text begins with a length, rounded as the unit's figures are."""
    found = NUMBER.match(text)
    value = float(found[1].replace("−", "-")) if found else inf
    return abs(value - meant_mm / unit.mm) <= HALF * 10.0**-unit.decimals


def _rows(pages: Sequence[ReadPage], drawing: Drawing) -> Iterator[_Row]:
    """Yield the lines of the tables of holes."""
    for page, blocks in zip(pages, drawing.blocks, strict=True):
        for block in blocks:
            if block.name.startswith("hole"):
                yield from _lines([t for t in page.texts if _inside(t, block.box)])


def _inside(text: ReadText, box: Box) -> bool:
    return box.left <= text.at[0] <= box.right and box.bottom <= text.at[1] <= box.top


def _lines(texts: Iterable[ReadText]) -> Iterator[_Row]:
    left = sorted(texts, key=lambda t: (-t.at[1], t.at[0]))
    while left:
        line = [t for t in left if abs(t.at[1] - left[0].at[1]) < SAME_LINE_MM]
        left = [t for t in left if t not in line]
        yield _Row(tuple(t.text.strip() for t in sorted(line, key=lambda t: t.at[0])))
