"""A band: a centre line of lines and arcs, thickened."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.outline.region import Region
from generator.shapes.shape import Context, Shape
from generator.shapes.steps import EXAMPLE_STEPS, Step, walk
from generator.shapes.thicken import thickened

ROUND, FLAT = "round", "flat"


@frozen_record(kw_only=True)
class Band:
    """A band of constant width along a path."""

    width: float = f.length("Width of the band.", above=0, at_most=2000, example=18)
    start: tuple[float, float] = f.point("Where the centre line begins.", example=[0, 0])
    steps: tuple[Step, ...] = f.list_of(
        f.record(Step, "One line or arc of the centre line."),
        "Lines and arcs of the centre line, in order.",
        fewest=1,
        most=500,
        example=EXAMPLE_STEPS,
    )
    ends: str = f.word(
        "How the band ends: `round` (half circles beyond the ends of the centre line) or `flat`.",
        (ROUND, FLAT),
        default=ROUND,
        example=ROUND,
    )
    corners: str = f.word(
        "How the band goes round a sharp corner of its centre line, on the outside: `round` or pointed (`sharp`).",
        (ROUND, "sharp"),
        default=ROUND,
        example="sharp",
    )


def draw(params: Band, context: Context) -> Region:
    """Return the band.

    Raises: GeometryError: a step cannot be taken; names it.
    """
    way = walk(params.start, params.steps)
    return thickened(way, params.width, round_ends=params.ends == ROUND, sharp_corners=params.corners == "sharp")


SHAPE = Shape("band", Band, draw, "A band of constant width along a path of lines and arcs.")
