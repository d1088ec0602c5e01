"""What stands in a picture: bodies made of slabs, each in its place and colour."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour
from generator.outline.measure import Bounds, bounds
from generator.outline.region import Region
from generator.outline.transform import mirrored
from generator.part.part import FlipAxis, Part, Plan, Slab, Wall
from generator.part.setups import mirror_axis

__all__ = ["Body", "SlabsOf", "body_of", "extruded", "inserts_of", "lifted", "stack_bounds", "turned_over"]

SlabsOf = Callable[[Part], tuple[Slab, ...]]


@frozen_record
class Body:
    """A piece as the pictures see it.

    Attributes:
        name: name of the part.
        slabs: from the bottom up.
        colour: ``#rrggbb``.
        z_mm: added to every height.
        engraved_mm: heights (before that) of engraved floors, which are drawn dark so that artwork can be read.
        fills: areas of the upper face that are filled with a colour, flush with it.
    """

    name: str
    slabs: tuple[Slab, ...]
    colour: str
    z_mm: float = 0.0
    engraved_mm: tuple[float, ...] = ()
    fills: tuple[tuple[Region, str], ...] = ()

    @property
    def bottom_mm(self) -> float:
        """Return the height of its lowest face, mm."""
        return self.slabs[0].z_from_mm + self.z_mm

    @property
    def top_mm(self) -> float:
        """Return the height of its highest face, mm."""
        return self.slabs[-1].z_to_mm + self.z_mm


def inserts_of(plan: Plan) -> tuple[Part, ...]:
    """Return the inserts that there is anything of; a gap as wide as the pocket leaves none."""
    return tuple(p for p in plan.inserts if p.profile)


def body_of(part: Part, slabs: tuple[Slab, ...]) -> Body:
    """Return a part as a body, at its height in the assembly."""
    engraved = tuple(sorted({f.z_from_mm for f in part.features if "engraving" in f.layer}))
    fills = tuple((f.region, f.fill.colour) for f in part.features if f.fill and f.region)
    return Body(part.name, slabs, part.material.colour, part.seat_z_mm, engraved, fills)


def extruded(name: str, region: Region, height_mm: float, colour: str) -> Body:
    """Return a plain prism from z = 0 up."""
    return Body(name, (Slab(0.0, height_mm, tuple(Wall(c, c) for c in region)),), colour)


def lifted(body: Body, by_mm: float) -> Body:
    """Return the body higher by ``by_mm``."""
    return replace(body, z_mm=body.z_mm + by_mm)


def turned_over(body: Body, flip: FlipAxis, thickness_mm: float) -> Body:
    """Return the body turned over about the flip axis of a plate ``thickness_mm`` thick: height z becomes t - z."""
    axis = mirror_axis(flip)

    def turn(contour: Contour) -> Contour:
        return mirrored(contour, axis)

    def turn_slab(slab: Slab) -> Slab:
        walls = tuple(Wall(turn(w.upper), turn(w.lower)) for w in slab.walls)
        low, high = slab.z_from_mm + body.z_mm, slab.z_to_mm + body.z_mm
        return Slab(thickness_mm - high, thickness_mm - low, walls)

    return Body(body.name, tuple(turn_slab(s) for s in reversed(body.slabs)), body.colour)


def stack_bounds(plan: Plan) -> Bounds:
    """Return the box of cover, inserts and footprint in the plane, mm."""
    boxes = [bounds(r) for r in (*(p.profile for p in plan.parts), plan.footprint) if r]
    return Bounds(
        min(b.xmin for b in boxes), min(b.ymin for b in boxes), max(b.xmax for b in boxes), max(b.ymax for b in boxes)
    )
