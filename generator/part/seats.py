"""Seats under bolt heads: counterbores and countersinks with the dimensions of the standards, or the recipe's own."""

from __future__ import annotations

from collections.abc import Sequence

from generator.base.errors import Mistake
from generator.base.frozen_record import frozen_record
from generator.base.practice import BUTTON_HEAD_PLAY
from generator.base.standards import UnknownStandardError, counterbore, countersink, head
from generator.outline.contour import Point
from generator.outline.create import circle
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.part.bolts import mistake
from generator.part.heights import Heights, level
from generator.part.part import Bolt, Face, Feature
from generator.recipe.model_bolts import Seat

__all__ = ["SeatSize", "rims_of", "seat_features", "seat_size"]

SMALL_MM = 1e-6
"""A straight part above a countersink lower than this is not made."""


@frozen_record
class SeatSize:
    """Dimensions of a seat before it is placed.

    Attributes:
        is_countersink: a 90° cone, else a flat-floored counterbore.
        diameter_mm: at the top of cone or counterbore.
        depth_mm: from the top face's datum to the floor, or to where the cone meets the hole.
        source: where the dimensions come from, with provenance.
    """

    is_countersink: bool
    diameter_mm: float
    depth_mm: float
    source: str


def seat_size(seat: Seat, thread: str, hole_mm: float, path: str, mistakes: list[Mistake]) -> SeatSize | None:
    """Return the dimensions of a seat, or None after a mistake.

    Source: ISO 4762 heads: DIN 974-1 series 1, depth head height + 0.4 to 0.6 mm. ISO 7380-1: head diameter + play
    (common practice, no source), depth head height. ISO 10642: DIN 74 form F, 90°.
    """
    given = seat.depth is not None and seat.diameter is not None
    if not thread and not (given or (seat.screw == "ISO 10642" and seat.diameter is not None)):
        mistakes.append(
            mistake(
                path,
                "a seat for bolts that have a `hole` but no `thread`",
                "dimensions of the seat",
                "add `diameter` and `depth` to the seat, or `thread` to the bolts",
            )
        )
        return None
    try:
        size = _standard_size(seat, thread, hole_mm)
    except UnknownStandardError as error:
        mistakes.append(mistake(path, str(error), "a size that the tables hold", "give `diameter` and `depth`"))
        return None
    return _judged(size, seat, hole_mm, path, mistakes)


def _standard_size(seat: Seat, thread: str, hole_mm: float) -> SeatSize:
    """Return the seat as its standard has it, with what the recipe says put in its place."""
    if seat.screw == "ISO 10642":
        row = countersink(thread) if seat.diameter is None else None
        diameter = row.diameter_mm if row else float(seat.diameter or 0.0)
        depth = (diameter - hole_mm) / 2.0 if seat.depth is None else seat.depth
        return SeatSize(True, diameter, depth, f"DIN 74:2003 form F ({row.provenance})" if row else "recipe")
    if seat.depth is not None and seat.diameter is not None:
        return SeatSize(False, seat.diameter, seat.depth, "recipe")
    size = head(seat.screw, thread)
    if seat.screw == "ISO 4762":
        bore = counterbore(thread)
        diameter, depth = bore.diameter_mm, size.k_max_mm + bore.extra_depth_mm
        source = f"DIN 974-1 series 1 ({bore.provenance}), ISO 4762:2004 ({size.provenance})"
    else:
        diameter, depth = size.dk_max_mm + BUTTON_HEAD_PLAY.value, size.k_max_mm
        play = f"{BUTTON_HEAD_PLAY.value:g} mm play ({BUTTON_HEAD_PLAY.source})"
        source = f"{seat.screw}:2011 head ({size.provenance}) + {play}"
    return SeatSize(
        False,
        diameter if seat.diameter is None else seat.diameter,
        depth if seat.depth is None else seat.depth,
        source if seat.depth is None and seat.diameter is None else f"recipe, else {source}",
    )


def _judged(size: SeatSize, seat: Seat, hole_mm: float, path: str, mistakes: list[Mistake]) -> SeatSize | None:
    """Return the size unless it contradicts itself."""
    if size.diameter_mm <= hole_mm:
        mistakes.append(
            mistake(
                f"{path}.diameter" if seat.diameter is not None else path,
                f"a seat of {size.diameter_mm:g} mm round a hole of {hole_mm:g} mm",
                f"more than {hole_mm:g} mm",
                f"set {path}.diameter above {hole_mm:g}, or the seat to none",
            )
        )
        return None
    cone = (size.diameter_mm - hole_mm) / 2.0
    if size.is_countersink and seat.diameter is not None and seat.depth is not None and seat.depth < cone - SMALL_MM:
        mistakes.append(
            mistake(
                f"{path}.depth",
                f"a countersink {seat.depth:g} mm deep and {seat.diameter:g} mm wide",
                f"at least {cone:.3f} mm for a 90° cone from {seat.diameter:g} mm to the hole of {hole_mm:g} mm",
                f"leave {path}.depth or {path}.diameter out",
            )
        )
        return None
    return size


def seat_features(bolt: Bolt, size: SeatSize, path: str, heights: Heights) -> tuple[Feature, ...]:
    """Return a counterbore, or a cone with a straight part above it if it is sunk deeper than its height."""
    low, top = heights.below_top(size.depth_mm), heights.thickness_mm
    name = f"seat-{bolt.name}"
    if not size.is_countersink:
        return (_seat(name, "seats", bolt, size.diameter_mm / 2.0, low, top, 0.0, path),)
    hole = bolt.hole_mm / 2.0
    cone = min(size.diameter_mm / 2.0 - hole, top - low)  # 90°: as high as it is wide
    rim = level(low + cone)
    if top - rim < SMALL_MM:
        return (_seat(name, "seats", bolt, hole, low, top, top - low, path),)
    return (
        _seat(name, "seats", bolt, hole, low, rim, cone, path),
        _seat(f"{name}-bore", "seats-bore", bolt, size.diameter_mm / 2.0, rim, top, 0.0, path),
    )


def _seat(
    name: str, layer: str, bolt: Bolt, radius: float, z_from: float, z_to: float, flare: float, path: str
) -> Feature:
    """Return one round feature of a seat."""
    region = Region((circle(bolt.at, radius),))
    return Feature(name, layer, Face.TOP, region, z_from, z_to, flare_mm=flare, path=path)


def rims_of(bolts: Sequence[Bolt], seats: Sequence[Feature]) -> tuple[tuple[Point, float], ...]:
    """Return centre and radius (mm) of every seat at the top face, or of the hole where there is no seat."""
    radii = {b.name: b.hole_mm / 2.0 for b in bolts}
    for f in seats:
        name = f.name.removeprefix("seat-").removesuffix("-bore")
        radii[name] = max(radii[name], bounds(f.region).width_mm / 2.0 + f.flare_mm)
    return tuple((b.at, radii[b.name]) for b in bolts)
