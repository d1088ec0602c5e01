"""What a drawing is made from, found once for all sheets and scales that are tried."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

from generator.estimate.characteristics import Characteristic, Datum, datum_of
from generator.outline.contour import Point
from generator.outline.region import Region
from generator.paper.drawing.behind import edges_behind
from generator.paper.drawing.cone_cuts import cone_heights
from generator.paper.drawing.face_view import FaceEdges, edges_seen
from generator.paper.drawing.isometric import isometric
from generator.paper.drawing.marks import HoleKind, Pocket, holes_of, pockets_of
from generator.paper.drawing.said import Said, said_of
from generator.paper.drawing.section import Plane, cut_region
from generator.paper.drawing.section_block import in_section
from generator.paper.drawing.section_choice import plane_through
from generator.paper.drawing.sizes import sized_in_views
from generator.paper.sheet import Track
from generator.part.part import Face, Part, Plan, Slab
from generator.part.relation import box_of
from generator.part.slabs import slabs
from generator.recipe.model import Recipe

__all__ = ["Subject", "subject_of"]

ISOMETRIC_PAPER_MM: Final = 120.0
"""The isometric view's lines are found as for a part that is drawn about so large."""


@dataclass(frozen=True, eq=False)
class Subject:
    """A part with everything that its drawing shows, in the part's own frame (mm).

    Attributes:
        said: what is said of it.
        slabs: its material.
        edges: seen on each face.
        kinds, pockets: holes and pockets with their marks.
        datum: what positions count from.
        plane, cut, behind: the section, its area, and what is seen behind it.
        sized: features whose sizes are dimensioned in a view.
        in_section: pockets whose depths are dimensioned in the section.
        picture: lines of the isometric view at ``picture_scale``.
    """

    said: Said
    slabs: Sequence[Slab]
    edges: dict[Face, FaceEdges]
    kinds: tuple[HoleKind, ...]
    pockets: tuple[Pocket, ...]
    datum: Datum
    plane: Plane
    cut: Region
    behind: tuple[Track, ...]
    picture: tuple[Track, ...]
    picture_scale: float
    sized: set[str] = field(default_factory=set)
    in_section: tuple[Pocket, ...] = ()

    @property
    def size_mm(self) -> float:
        """Return the longer side of the part's box."""
        box = box_of(self.said.part.profile)
        return max(box.width_mm, box.height_mm)


def subject_of(recipe: Recipe, plan: Plan, part: Part, listed: tuple[Characteristic, ...] | None = None) -> Subject:
    """Return what the drawing of ``part`` is made from.

    Raises: GeometryError, OffsetError: the part's slabs or its section cannot be made.
    """
    made = slabs(part)
    kinds = holes_of(part)
    pockets = pockets_of(part, kinds)
    plane = plane_through(plan, part, made)
    heights = cone_heights(part, plane)
    sliced = slabs(part, also=heights) if heights else made
    box = box_of(part.profile)
    reach = (box.xmin, box.xmax) if plane.along == "x" else (box.ymin, box.ymax)
    scale = ISOMETRIC_PAPER_MM / max(box.width_mm, box.height_mm)
    return Subject(
        said=said_of(recipe, plan, part, listed),
        slabs=made,
        edges={face: edges_seen(part, made, face) for face in Face},
        kinds=kinds,
        pockets=pockets,
        datum=_datum(plan, part),
        plane=plane,
        cut=cut_region(sliced, plane),
        behind=edges_behind(sliced, plane, reach),
        picture=isometric(made, scale),
        picture_scale=scale,
        sized=sized_in_views(pockets),
        in_section=tuple(in_section(pockets, plane)),
    )


def _datum(plan: Plan, part: Part) -> Datum:
    """Return the cover's datum; of an insert the lower left corner of its box."""
    if part is plan.cover:
        return datum_of(plan)
    box = box_of(part.profile)
    return Datum(
        Point(box.xmin, box.ymin),
        "",
        "lower left corner of the smallest box round the insert",
        "lay it against a square",
    )
