"""Where the four views go on the first sheet."""

from __future__ import annotations

from typing import Final

from generator.paper.box import Box
from generator.paper.drawing.block import Block
from generator.paper.drawing.layout import GAP_MM, Corner, Floor
from generator.paper.drawing.scales import SCALES
from generator.paper.drawing.subject import Subject
from generator.paper.drawing.told import Told
from generator.paper.drawing.views import bottom_view, isometric_view, section_view, top_view
from generator.recipe.model_paper import FIRST_ANGLE

__all__ = ["SMALLER", "Views"]

SECTION_MM: Final = 14.0
"""A section lower than this is drawn at the next scale …"""
SECTION_WIDE_MM: Final = 150.0
"""… if it gets no wider than this, or than the view."""
BESIDE_STEPS: Final = 12
SMALLER: Final = 3
"""The isometric view may be drawn at the sheet's scale or one of the next smaller ones, so many in all."""


class Views:
    """The views at one scale, and where they go."""

    def __init__(self, subject: Subject, scale: float, space: Box, told: Told) -> None:
        self._subject, self._scale, self._space = subject, scale, space
        self._pictures: dict[float, Block] = {}
        self.top = top_view(subject, scale, told)
        self.bottom = bottom_view(subject, scale, told)
        self.section_scale = _section_scale(subject, scale, space)
        same = self.section_scale == scale
        self.section = section_view(subject, self.section_scale, told, is_main_scale=same)
        self._can_align = same and subject.plane.along == "x"
        if self._can_align:
            self._over = _stacked(self.top, self.section, above=subject.said.recipe.paper.projection == FIRST_ANGLE)

    @property
    def too_large(self) -> bool:
        """Return True if one view alone is larger than the sheet."""
        room = self._space
        return any(
            v.box.width > room.width or v.box.height > room.height for v in (self.top, self.bottom, self.section)
        )

    def place(self, floor: Floor, corner: Corner, *, aligned: bool, beside: bool, smaller: int) -> list[Block] | None:
        """Place the views; return those that find no place, None if that of the top face is among them.

        Args:
            floor: where.
            corner: which places are welcome.
            aligned: the section stands over or under the view of the top face, as far as its scale lets it.
            beside: the view of the bottom face stands beside that of the top face if there is room.
            smaller: by so many scales the isometric view is smaller than the others, or by more.
        """
        aligned = aligned and self._can_align
        main = self._over if aligned else self.top
        put = floor.place(main, corner)
        if put is None:
            return None
        left: list[Block] = []
        if not (beside and self._beside(floor, put, main)) and floor.place(self.bottom, corner) is None:
            left.append(self.bottom)
        if not aligned and floor.place(self.section, corner) is None:
            left.append(self.section)
        return [*left, *self._isometric(floor, corner, smaller)]

    def _beside(self, floor: Floor, put: Block, main: Block) -> bool:
        """Place the view of the bottom face at the height of that of the top face, if that is free."""
        for k in range(BESIDE_STEPS):
            right = put.box.right + GAP_MM * (k + 1)
            beside = self.bottom.moved(right - self.bottom.box.left, put.box.bottom - main.box.bottom)
            if floor.fits(beside):
                floor.put(beside)
                return True
        return False

    def _isometric(self, floor: Floor, corner: Corner, smaller: int) -> list[Block]:
        """Place the isometric view at the sheet's scale or the next smaller ones; return it if it finds no place."""
        scales = [s for s in SCALES if s <= self._scale]
        for scale in scales[smaller:SMALLER] or scales[-1:]:
            if scale not in self._pictures:
                self._pictures[scale] = isometric_view(self._subject, scale, is_main_scale=scale == self._scale)
            if floor.place(self._pictures[scale], corner) is not None:
                return []
        return [self._pictures[scale]]


def _stacked(top: Block, section: Block, *, above: bool) -> Block:
    """Return a view with the section straight over it (first angle) or under it, as one block."""
    dy = top.box.top + GAP_MM - section.box.bottom if above else top.box.bottom - GAP_MM - section.box.top
    over = section.moved(0.0, dy)
    return Block("top", (*top.items, *over.items), top.box.joined(over.box))


def _section_scale(subject: Subject, scale: float, space: Box) -> float:
    """Return the scale of the section: larger than that of the sheet where a thin part would show nothing."""
    thickness, wide = subject.said.part.thickness_mm, subject.size_mm
    best = scale
    for s in sorted(s for s in SCALES if s > scale):
        if thickness * best >= SECTION_MM or wide * s > min(max(SECTION_WIDE_MM, wide * scale), space.width - 60.0):
            break
        best = s
    return best
