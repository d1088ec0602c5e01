"""What a solid says of itself, as plain values: made in ``solid/``, read by the outputs."""

from __future__ import annotations

from collections.abc import Mapping
from math import nan

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour, Point


def product_name(plan: str, part: str) -> str:
    """Return a part's name as a product, as whoever opens its file alone must be told: ``gate-latch cover``."""
    return f"{plan} {part}"


UNKNOWN_BOX = (nan, nan, nan, nan, nan, nan)


@frozen_record
class Hole:
    """A cylindrical hole found in a solid: axis position (mm), diameter (mm) and heights (mm)."""

    at: Point
    diameter_mm: float
    z_from_mm: float
    z_to_mm: float


@frozen_record
class WallRing:
    """A closed ring of upright walls: the contour that it stands on, material to the left, and its heights, mm."""

    z_from_mm: float
    z_to_mm: float
    contour: Contour


@frozen_record
class SolidFacts:
    """What a solid says of itself: volume in mm³, validity, closedness, counts, its holes and where it lies.

    ``is_valid``: whether the kernel finds no fault; None where it was not asked.
    ``box_mm``: smallest upright box, xmin, ymin, zmin, xmax, ymax, zmax; of a product in an assembly, where it stands
    in the assembly. Not a number where it is not known, which proves nothing.
    ``walls``: all its walls, where all are upright and were read face by face; empty where they were not.
    """

    product: str
    volume_mm3: float
    is_valid: bool | None
    is_closed: bool
    faces: int
    holes: tuple[Hole, ...]
    box_mm: tuple[float, float, float, float, float, float] = UNKNOWN_BOX
    walls: tuple[WallRing, ...] = ()


@frozen_record
class Probed:
    """What is measured on a product of a STEP file.

    Attributes:
        product: its name.
        boxes: of every solid, the largest solid first; as in ``SolidFacts``.
        holes: upright cylinders with material outside.
        levels: by place (mm), the heights at which an upright line there enters and leaves material, rising (mm).
    """

    product: str
    boxes: tuple[tuple[float, float, float, float, float, float], ...]
    holes: tuple[Hole, ...]
    levels: Mapping[Point, tuple[float, ...]]


@frozen_record
class FacePlace:
    """Where a face with a size lies: of an upright cylinder its axis and diameter, of a level face its height, mm.

    What the other sort has is no number.
    """

    axis: Point
    diameter_mm: float
    z_mm: float


@frozen_record
class ReadSize:
    """A size with limits as a program reads it from a STEP file.

    Attributes:
        is_diameter: whether it is a diameter, or a distance.
        nominal_mm: its value.
        lower_mm, upper_mm: deviations without sign, as the kernel gives them.
        faces: how many faces it belongs to, both ends of a distance together.
        ends: which they are, in the text of the file: those of a diameter, or those at either end of a distance.
    """

    is_diameter: bool
    nominal_mm: float
    lower_mm: float
    upper_mm: float
    faces: int
    ends: tuple[tuple[FacePlace, ...], ...] = ()


@frozen_record
class ReadLabel:
    """What a STEP file says of a product beside its shape.

    Attributes:
        product: its name.
        revision: as the recipe has it.
        colour: red, green and blue, 0 to 1.
        material: designation.
        density_kg_m3: of the material.
    """

    product: str
    revision: str
    colour: tuple[float, float, float]
    material: str
    density_kg_m3: float
