"""What the STEP files state: sizes over all, holes, depths and floors, measured on the solids read back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import hypot
from typing import Final

from generator.base.errors import ProofError
from generator.build.handoff.statement import Look, Statement
from generator.estimate.characteristic import ISLAND, Kind
from generator.outline.contour import Point
from generator.part.part import Face
from generator.part.solid_facts import Hole, Probed, product_name

__all__ = ["solids_say"]

MODEL_MM: Final = 1e-3
NEAR_MM: Final = 2.0
PROBED: Final = (Kind.DEPTH, Kind.FLOOR)


def solids_say(
    files: Mapping[str, bytes], plan: str, wanted: Sequence[Look], datum: Point, has_hole: bool
) -> Iterator[Statement]:
    """Yield what the STEP files state of the numbers that are looked for; loads the solid kernel.

    Args:
        files: a STEP file by the name of its part.
        plan: name of the plan, with which its products are named.
        wanted: where to look.
        datum: about where the datum lies, mm.
        has_hole: whether it is the middle of a hole; else the corner of the box round the cover.

    Raises: ProofError: a file cannot be read, or does not hold its part.
    """
    from generator.solid.probe import probe_step

    for part, data in files.items():
        path = f"{part}.step"
        own = [look for look in wanted if look.part == part]
        name = product_name(plan, part)
        places = {name: [p for look in own if look.kind in PROBED for p in look.places]}
        found = next((p for p in probe_step(data, places) if p.product == name), None)
        if found is None or not found.boxes:
            raise ProofError(f"{path} does not hold the part {part}", feature=path)
        origin = _origin(found, datum, has_hole) if part == "cover" else None
        for look in own:
            value = _value(found, look, origin)
            if value is not None:
                yield Statement(look.number, path, value, MODEL_MM, f"{value:z.4f} mm")


def _origin(found: Probed, datum: Point, has_hole: bool) -> Point | None:
    """Return the datum as the solid has it."""
    if not has_hole:
        return Point(*found.boxes[0][:2])
    hole = _nearest(found.holes, datum)
    return hole[0].at if hole else None


def _nearest(holes: Sequence[Hole], place: Point) -> list[Hole]:
    """Return the cylinders about the axis that is nearest to a place, the narrowest first; empty if none is near."""
    near = [h for h in holes if _apart(h.at, place) < NEAR_MM]
    if not near:
        return []
    best = min(_apart(h.at, place) for h in near)
    return sorted((h for h in near if _apart(h.at, place) < best + MODEL_MM), key=lambda h: h.diameter_mm)


def _value(found: Probed, look: Look, origin: Point | None) -> float | None:
    """Return the size that a number stands for, mm; None where no upright cylinder, box or line tells it."""
    xmin, ymin, zmin, xmax, ymax, zmax = found.boxes[0]
    if look.is_overall:
        sizes = {Kind.SIZE_X: xmax - xmin, Kind.DIAMETER: xmax - xmin, Kind.SIZE_Y: ymax - ymin}
        return (sizes | {Kind.THICKNESS: zmax - zmin}).get(look.kind)
    if look.kind is Kind.DIAMETER and not look.feature.endswith(ISLAND):
        return _diameter(found, look)
    if look.kind in (Kind.POSITION_X, Kind.POSITION_Y) and origin:
        hole = _nearest(found.holes, look.places[0]) if look.layer in ("bolt-holes", "openings") else []
        if not hole:
            return None
        return hole[0].at.x - origin.x if look.kind is Kind.POSITION_X else hole[0].at.y - origin.y
    if look.kind in PROBED:
        return _depth(found, look)
    return None


def _diameter(found: Probed, look: Look) -> float | None:
    """Return a hole's diameter; of equal holes that of the one that differs most from what is expected.

    A seat lies about the same axis as its hole, so the cylinder whose size is nearest to the expected one is taken.
    """
    sizes = [
        min((h.diameter_mm for h in about), key=look.misses)
        for place in look.places
        if (about := _nearest(found.holes, place))
    ]
    return max(sizes, key=look.misses, default=None)


def _depth(found: Probed, look: Look) -> float | None:
    """Return depth or floor where it is measured: by an upright line, or by the cylinder of a seat over its hole."""
    zmin, zmax = found.boxes[0][2], found.boxes[0][5]
    levels = found.levels[look.places[0]]
    if levels:
        if look.kind is Kind.FLOOR:
            return sum(b - a for a, b in zip(levels[::2], levels[1::2], strict=False))
        return zmax - levels[-1] if look.face is Face.TOP else levels[0] - zmin
    about = _nearest(found.holes, look.places[0])
    if look.kind is Kind.FLOOR or len(about) < 2:
        return None
    return about[-1].z_to_mm - about[-1].z_from_mm


def _apart(a: Point, b: Point) -> float:
    return hypot(a.x - b.x, a.y - b.y)
