"""Does material anywhere run out to nothing between two cuts?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.errors import GeometryError
from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.base.units import MODEL
from generator.checks.check import Check, no_less
from generator.outline.contour import Contour
from generator.outline.distance import close_contours
from generator.outline.region import Region
from generator.outline.transform import reoriented
from generator.part.part import Part, Plan, Slab
from generator.part.relation import gap_between
from generator.part.slabs import slabs
from generator.recipe.model import Recipe

ID = "knife-edge"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``touching`` for every part in which two outlines of one section touch in a point."""
    for part in plan.parts:
        try:
            made = slabs(part) if part.profile else ()
        except GeometryError:
            continue  # told by the check that the part can be built
        yield from _first(recipe, part, made)


def _first(recipe: Recipe, part: Part, made: tuple[Slab, ...]) -> Iterator[Finding]:
    """Yield a finding for the first section with touching outlines; the sections above mostly repeat it."""
    lowest: dict[Region, float] = {}
    for slab in made:
        for section in (slab.lower, slab.upper):
            lowest.setdefault(section, slab.z_from_mm)
    for section, z_mm in lowest.items():
        for one, other in close_contours(section, MODEL.model_mm):
            gap = gap_between(_area(section.contours[one]), _area(section.contours[other]))
            if gap.distance_mm <= MODEL.model_mm:
                yield _finding(recipe.limits.walls.sound.value, part, z_mm, gap.distance_mm, gap.on_a)
                return


def _area(contour: Contour) -> Region:
    """Return the area that a contour goes round. The features have it so, too: then answers are remembered."""
    return Region((reoriented(contour, True),))


def _finding(apart_mm: float, part: Part, z_mm: float, gap_mm: float, at: tuple[float, float]) -> Finding:
    return Finding(
        check=ID,
        code="touching",
        severity=Severity.FORBIDS,
        message=f"two outlines of {part.name} touch at ({at[0]:z.3f}, {at[1]:z.3f}), {z_mm:g} mm above its bottom "
        "face: the material between them runs out to nothing",
        feature=part.layer,
        point_mm=at,
        face="top",
        figure=gap_mm,
        limit=MODEL.model_mm,
        unit="mm",
        source=GEOMETRY,
        remedy=f"move one of the two by {no_less(apart_mm)} away from the other, or so that they overlap",
        path="cover" if part.name == "cover" else f"inlays.{part.name.removeprefix('insert-')}",
    )


CHECK = Check(
    ID,
    "no knife edges",
    "Where two cuts just touch the metal ends in an edge of no thickness: no solid, and no part, can be made of it.",
    f"{GEOMETRY}; touching means nearer than the model's 1 µm",
    run,
    limits=("walls.sound",),
)
