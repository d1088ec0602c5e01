"""The four views of a part as blocks at a scale."""

from __future__ import annotations

from typing import Final

from generator.paper.drawing.block import Block, block_of, ink_box
from generator.paper.drawing.face_block import FaceView, face_block
from generator.paper.drawing.face_view import Placement
from generator.paper.drawing.scales import scale_word
from generator.paper.drawing.section_block import section_block
from generator.paper.drawing.sizes import overall, pocket_sizes, walls
from generator.paper.drawing.subject import Subject
from generator.paper.drawing.told import Told
from generator.paper.drawing.view_title import write_title
from generator.paper.lines import Line
from generator.paper.sheet import Easel
from generator.part.part import Face

__all__ = ["BOTTOM", "TOP", "bottom_view", "isometric_view", "section_view", "top_view"]

TOP: Final = "top"
BOTTOM: Final = "bottom"
PICTURE: Final = Line("visible", 0.35)


def top_view(subject: Subject, scale: float, told: Told) -> Block:
    """Return the view of the top face with datum, cutting plane, overall sizes and sizes of what is cut from there."""
    placed = Placement(scale)
    view = FaceView(
        title="Top face",
        prefix=TOP,
        edges=subject.edges[Face.TOP],
        placed=placed,
        holes=[h for kind in subject.kinds for h in kind.holes],
        pockets=[p for p in subject.pockets if p.feature.face is Face.TOP],
        datum=subject.datum,
        plane=subject.plane,
    )
    spans = overall(placed, told, subject.datum)
    return face_block(view, spans + pocket_sizes(subject.pockets, Face.TOP, placed, told, subject.sized))


def bottom_view(subject: Subject, scale: float, told: Told) -> Block:
    """Return the view of the bottom face, the part turned over about the y axis."""
    placed = Placement(scale, is_turned=True)
    view = FaceView(
        title="Bottom face, turned over about y",
        prefix=BOTTOM,
        edges=subject.edges[Face.BOTTOM],
        placed=placed,
        holes=[h for kind in subject.kinds for h in kind.holes],
        pockets=[p for p in subject.pockets if p.feature.face is Face.BOTTOM],
        datum=None,
        plane=None,
    )
    spans = pocket_sizes(subject.pockets, Face.BOTTOM, placed, told, subject.sized)
    return face_block(view, spans + walls(placed, told))


def section_view(subject: Subject, scale: float, told: Told, *, is_main_scale: bool) -> Block:
    """Return the section A-A; its scale stands in brackets where it is not that of the sheet."""
    title = "A-A" if is_main_scale else f"A-A ({scale_word(scale)})"
    holes = [h for kind in subject.kinds for h in kind.holes]
    return section_block(subject.cut, subject.behind, subject.plane, scale, title, told, subject.in_section, holes)


def isometric_view(subject: Subject, scale: float, *, is_main_scale: bool) -> Block:
    """Return the isometric view."""
    placed = Placement(scale / subject.picture_scale)
    easel = Easel()
    easel.draw(*(placed.track(t) for t in subject.picture), kind=PICTURE, name="isometric")
    box = ink_box(easel.items)
    title = "Isometric view" if is_main_scale else f"Isometric view ({scale_word(scale)})"
    write_title(easel, title, box)
    return block_of("isometric", easel, margin=1.0)
