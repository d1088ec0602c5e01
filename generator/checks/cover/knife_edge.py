"""Does material anywhere run out to nothing between two cuts?"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from generator.base.errors import GeometryError
from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.base.units import MODEL
from generator.checks.check import Check, no_less
from generator.outline.measure import Bounds
from generator.outline.region import Region
from generator.outline.transform import reoriented
from generator.part.part import Part, Plan, Slab
from generator.part.relation import box_of, boxes_touch, gap_between
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
    for slab in made:
        for section in dict.fromkeys((slab.lower, slab.upper)):
            for (a, p), (b, q) in combinations(_outlines(section), 2):
                if boxes_touch(p, q) and gap_between(a, b).distance_mm <= MODEL.model_mm:
                    gap = gap_between(a, b)
                    yield _finding(recipe.limits.walls.sound.value, part, slab.z_from_mm, gap.distance_mm, gap.on_a)
                    return


def _outlines(section: Region) -> list[tuple[Region, Bounds]]:
    """Return every contour as the area it goes round, with a box grown by what counts as touching.

    The features have them so, too: then answers are remembered.
    """
    outlines = [Region((reoriented(c, True),)) for c in section]
    return [(o, _grown(box_of(o))) for o in outlines]


def _grown(box: Bounds) -> Bounds:
    """Return a box larger by what counts as touching."""
    d = MODEL.model_mm
    return Bounds(box.xmin - d, box.ymin - d, box.xmax + d, box.ymax + d)


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
