"""A file of caliper readings of a part that is traced: what was measured, between which features of its picture."""

from __future__ import annotations

from typing import ClassVar

from generator.base import fields as f
from generator.base.frozen_record import frozen_record

DIAMETER, RADIUS, CENTRES, OVER_HOLES, BETWEEN_HOLES, WIDTH, THICKNESS = (
    "diameter",
    "radius",
    "centre_distance",
    "over_holes",
    "between_holes",
    "outside_width",
    "thickness",
)
KINDS = (DIAMETER, RADIUS, CENTRES, OVER_HOLES, BETWEEN_HOLES, WIDTH, THICKNESS)
MOST_PIXELS = 100_000


@frozen_record(kw_only=True)
class CaliperReading:
    """One reading. Features are named by pixels in the first picture, or by their numbers in the numbered one."""

    AT_MOST_ONE: ClassVar = (("holes", "numbers"), ("direction_px_deg", "numbers"))

    id: str = f.name("How the reading is called in reports.", example="m1")
    kind: str = f.word(
        "What was measured: the `diameter` of a hole; the `radius` of an arc; the `centre_distance` of two holes; from "
        "edge to edge `over_holes` (far edges) or `between_holes` (near edges); the `outside_width` of the outline; "
        "the `thickness` of the plate.",
        KINDS,
        example=CENTRES,
    )
    value: float | None = f.length(
        "What the caliper shows; a reading without a value is passed over.",
        default=None,
        above=0,
        at_most=2000,
        example=39.99,
    )
    holes: tuple[tuple[float, ...], ...] = f.list_of(
        f.list_of(
            f.number("Pixel.", at_least=-MOST_PIXELS, at_most=MOST_PIXELS),
            "A pixel [u, v], u to the right and v down.",
            fewest=2,
            most=2,
            example=[342, 320],
        ),
        "A pixel in each hole that was measured, or beside the arc.",
        default=(),
        most=2,
        example=[[1231, 607], [338, 337]],
    )
    numbers: tuple[int, ...] = f.list_of(
        f.count("Number of a feature.", at_least=1, at_most=10_000),
        "Numbers of the features in the numbered picture; of an outside width what both jaws touched.",
        default=(),
        most=2,
        example=[5, 6],
    )
    touch: tuple[tuple[float, ...], ...] = f.list_of(
        f.list_of(
            f.number("Pixel.", at_least=-MOST_PIXELS, at_most=MOST_PIXELS),
            "A pixel [u, v].",
            fewest=2,
            most=2,
            example=[833, 289],
        ),
        "Where the jaws touched, roughly.",
        default=(),
        most=2,
        example=[[833, 289], [734, 658]],
    )
    direction_px_deg: float | None = f.number(
        "Direction of an outside width in the picture, degrees: 0 to the right, 90 down.",
        default=None,
        at_least=-360,
        at_most=360,
        example=-73,
    )


@frozen_record(kw_only=True)
class CaliperFile:
    """Caliper readings of one part."""

    units: str = f.word("Unit of bare lengths in this file.", ("mm", "inch"), default="mm", example="mm")
    sigma: float = f.length(
        "Standard deviation of one reading: half of what 95 % of repeated readings keep within. Default 0.015 mm: "
        "common practice for a good caliper, no source.",
        default=0.015,
        above=0,
        at_most=1,
        example=0.015,
    )
    resolution: float = f.length(
        "Smallest step that the caliper shows. Default 0.01 mm.", default=0.01, at_least=0, at_most=1, example=0.01
    )
    readings: tuple[CaliperReading, ...] = f.list_of(
        f.record(CaliperReading, "One reading."),
        "The readings, in any order.",
        most=200,
        example=[{"id": "m1", "kind": "diameter", "value": 5.5, "holes": [[342, 320]]}],
    )
