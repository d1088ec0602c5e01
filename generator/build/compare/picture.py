"""The picture of a comparison: a panel for each layer of which the area differs."""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.units import LengthUnit, decimal
from generator.build.compare.areas import AreaChange
from generator.build.compare.compare import Comparison
from generator.build.compare.holes import MOVED, HoleChange
from generator.outline.region import EMPTY, Region
from generator.outputs.change_picture import Arrow, Panel, change_picture
from generator.outputs.raster import rasterise

__all__ = ["area_words", "depth_words", "picture_png", "picture_svg"]

DPI = 150
SORTS = {"bolt-holes": "hole-", "seats": "seat-", "dowel-holes": "dowel-hole-"}
"""Layers whose moved holes are shown, and how those are called."""


def picture_svg(found: Comparison) -> str:
    """Return the picture as SVG."""
    old, new = (f"{v.report['name']}, revision {v.revision}" for v in (found.old, found.new))
    title = f"What changed: {old} to {new}" if old != new else f"What changed in {new}"
    subtitle = f"From {found.old.named} to {found.new.named}."
    return change_picture(list(_panels(found)), title=title, subtitle=subtitle, unit=found.new.unit)


def picture_png(found: Comparison) -> bytes:
    """Return the picture as PNG.

    Raises: OutputError: the font that ships with the dependencies is missing.
    """
    return rasterise(picture_svg(found), dpi=DPI)


def _panels(found: Comparison) -> Iterator[Panel]:
    for change in found.areas:
        lines = [area_words(change, found.new.unit)]
        if change.depths_differ:
            lines.append(depth_words(change, found.new.unit))
        moved = [h for h in found.holes if h.kind == MOVED and _belongs(h, change)]
        arrows = tuple(Arrow(h.old_at, h.new_at) for h in moved if h.old_at and h.new_at)
        title = f"{change.part}: {change.layer}"
        around = _around(found, change)
        group = change.part if change.part.startswith("insert") else "cover"
        yield Panel(title, group, tuple(lines), change.kept, change.added, change.removed, around, arrows)


def _belongs(hole: HoleChange, change: AreaChange) -> bool:
    start = SORTS.get(change.layer)
    return start is not None and hole.part == change.part and hole.name.startswith(start)


def _around(found: Comparison, change: AreaChange) -> Region:
    """Return the part's own outline, for orientation."""
    for (part, layer), cut in found.new.cuts.items():
        if part == change.part and (layer.endswith("profile") or "-profile-" in layer or layer == "blank"):
            return cut.region
    return EMPTY


def area_words(change: AreaChange, unit: LengthUnit) -> str:
    """Return how much area came and went, in words."""
    if change.old is None:
        return f"new: {_square(change.added_mm2, unit)}"
    if change.new is None:
        return f"gone: {_square(change.removed_mm2, unit)}"
    if not change.added and not change.removed:
        return "the same area"
    came = f"+{_square(change.added_mm2, unit)} added" if change.added else ""
    went = f"−{_square(change.removed_mm2, unit)} removed" if change.removed else ""
    return ", ".join(words for words in (came, went) if words)


def depth_words(change: AreaChange, unit: LengthUnit) -> str:
    """Return between which depths the layer was and is cut, in words."""
    old, new = change.old, change.new
    if old is None or new is None:
        return ""
    was, now = (f"{unit.figure(c.from_mm)} to {unit.length(c.to_mm)}" for c in (old, new))
    if old.face == new.face:
        return f"depths: {was}, now {now}, from the {new.face} face"
    return f"depths: {was} from the {old.face} face, now {now} from the {new.face} face"


def _square(value_mm2: float, unit: LengthUnit) -> str:
    return f"{decimal(value_mm2 / unit.mm**2, unit.decimals)} {unit.suffix}²"
