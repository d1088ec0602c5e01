"""Setups: what is cut in which clamping. Mirroring for the bottom face happens here, once, and nowhere else."""

from __future__ import annotations

from collections.abc import Iterable
from math import pi

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Point
from generator.outline.region import Region
from generator.outline.remembered import remembered
from generator.outline.transform import Axis, mirrored
from generator.part.part import Face, FlipAxis, Layer

__all__ = ["Setup", "as_machined", "mirror_axis", "setups"]


@frozen_record
class Setup:
    """One clamping of one piece of stock.

    Attributes:
        name: ``setup-1``, ``setup-2`` for the cover; ``setup-insert-NAME`` for an insert.
        part: ``cover`` or ``insert-NAME``.
        face: the face that is up.
        layers: names of the layers that are cut, in working order.
        note: what to do before cutting.
    """

    name: str
    part: str
    face: Face
    layers: tuple[str, ...]
    note: str


ORDER = (
    *("dowel-holes", "bottom-pocket", "inlay-pocket", "engraving"),
    *("bolt-holes", "seats-bore", "seats", "openings", "edge-break"),
)
"""Working order within a setup; the outline that frees the part comes last. Holes come before their countersinks: the
tip of a chamfer cutter cuts nothing (common practice, no source)."""

FIRST_NOTE = (
    "Bottom face up. Drill and ream the dowel holes through the blank into what lies under it, then the bottom pocket."
)
PLAIN_FIRST_NOTE = (
    "Bottom face up. Without dowels the blank must be registered by its edges: mark the edge on the axis."
)
SECOND_NOTE = "Turn the blank over about the flip axis. Top face up. The outline comes last: it frees the part."


def mirror_axis(flip: FlipAxis) -> Axis:
    """Return the flip axis as a mirror axis of the plane."""
    if flip.direction == "y":
        return Axis(Point(flip.at_mm, 0.0), pi / 2.0)
    return Axis(Point(0.0, flip.at_mm), 0.0)


def as_machined(region: Region, face: Face, flip: FlipAxis) -> Region:
    """Return a region seen from the top as the machine sees it: mirrored in the flip axis if the bottom face is up."""
    return _turned_over(region, flip) if face is Face.BOTTOM else region


@remembered
def _turned_over(region: Region, flip: FlipAxis) -> Region:
    return mirrored(region, mirror_axis(flip))


def setups(layers: tuple[Layer, ...]) -> tuple[Setup, ...]:
    """Return the setups that cut the given layers, in working order: two for the cover, one an insert."""
    out: list[Setup] = []
    cover = [la for la in layers if la.part in ("cover", "blank") and la.name != "blank"]
    has_dowels = any(la.name == "dowel-holes" for la in cover)
    first = _in_order(la for la in cover if la.face is Face.BOTTOM)
    second = _in_order(la for la in cover if la.face is Face.TOP)
    if first:
        out.append(Setup("setup-1", "cover", Face.BOTTOM, first, FIRST_NOTE if has_dowels else PLAIN_FIRST_NOTE))
    if second:
        out.append(Setup("setup-2", "cover", Face.TOP, second, SECOND_NOTE))
    for part in dict.fromkeys(la.part for la in layers if la.part.startswith("insert-")):
        names = tuple(la.name for la in layers if la.part == part)
        out.append(Setup(f"setup-{part}", part, Face.TOP, names, "Top face up, from sheet."))
    return tuple(out)


def _in_order(layers: Iterable[Layer]) -> tuple[str, ...]:
    """Return the names of the layers in working order."""

    def rank(layer: Layer) -> int:
        return next((i for i, word in enumerate(ORDER) if layer.name.startswith(word)), len(ORDER))

    return tuple(la.name for la in sorted(layers, key=rank))
