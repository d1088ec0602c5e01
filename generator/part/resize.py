"""How much smaller an outline must be drawn to lie within bounds, as edits of its own keys: reckoned, then drawn."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import ceil, cos, floor, sin
from typing import Any

from generator.base.errors import GeometryError
from generator.base.fields import OutlineSpec
from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline.contour import Point
from generator.outline.region import Region
from generator.outline.transform import ORIGIN, scaled
from generator.part.clearing import Room, halved, told_place
from generator.shapes.draw import draw_outline
from generator.shapes.shape import Context

__all__ = ["Smaller", "drawn_again", "factor_into", "is_fitted", "is_from_file", "larger", "smaller"]

SIZE_KEYS = (
    ("cap_height",),
    ("em",),
    ("scale",),
    ("size",),
    ("half_width", "half_height"),
    ("outer", "inner"),
    ("length", "width"),
    ("diameter", "width", "reach"),
    ("across_flats",),
    ("across_corners",),
    ("width",),
    ("height",),
    ("diameter",),
    ("radius",),
)
"""Keys that say how large an outline is, whatever its kind; the first that are all given count."""
NO_LENGTH = ("scale",)
LEAST = 0.05
"""An outline that would have to be smaller than this share of itself is not offered."""
TRIES = (1.0005, 1.0, 0.98, 0.95, 0.9)
"""A trifle more than what halving found; and where a kind is not larger and smaller by one factor, a little less."""
LARGER_TRIES = (1.0, 1.02, 1.1)
"""The same for what is drawn larger."""
STEP = 100.0


@frozen_record
class Smaller:
    """An outline drawn smaller, or larger.

    Attributes:
        edits: what to write, such as ``set K.text.cap_height to at most 12.5 mm``.
        outline: the outline with these edits.
    """

    edits: str
    outline: OutlineSpec


def is_fitted(outline: OutlineSpec) -> bool:
    """Return True for an outline that is as large as its inlay lets it be."""
    fit = getattr(outline.params, "fit", None)
    return fit is not None and getattr(fit, "outline", None) is None and getattr(fit, "box", None) is None


def factor_into(region: Region, room: Room, outline: OutlineSpec, origin: Point) -> float | None:
    """Return the largest factor at which a region lies in the room, drawn about its outline's own centre.

    Args:
        region: as it is.
        room: what must hold it.
        outline: what it was drawn from.
        origin: where the outline's origin lies on the cover.

    Returns:
        1 at most; None where it does not lie in it however small it is.
    """
    centre = _turned_centre(outline)
    about = Point(origin.x + outline.at_mm[0] + centre.x, origin.y + outline.at_mm[1] + centre.y)

    def is_good(factor: float) -> bool:
        return room.is_held(scaled(region, factor, about))

    return halved(LEAST, 1.0, is_good) if is_good(LEAST) else None


def smaller(outline: OutlineSpec, path: str, factor: float, fits: Callable[[OutlineSpec], bool]) -> Smaller | None:
    """Return the edits that draw an outline smaller; None if it has no key for that, or does not fit with them.

    Args:
        outline: as it is.
        path: its recipe path.
        factor: reckoned.
        fits: draws an outline and says whether it lies where it should.
    """
    shares = (1.0,) if is_from_file(outline) else TRIES
    tried = (_with_factor(outline, path, factor * share) for share in shares)
    return next((s for s in tried if s is not None and fits(s.outline)), None)


def larger(outline: OutlineSpec, path: str, factor: float, does: Callable[[OutlineSpec], bool]) -> Smaller | None:
    """Return the edits that draw an outline larger, tried; None if it has no key for that, or does not do with them.

    One that others are added to or cut from keeps its shape with no single size, and is not tried.

    Args:
        outline: as it is.
        path: its recipe path.
        factor: reckoned.
        does: draws an outline and says whether it does what it should.
    """
    if is_from_file(outline) or outline.add or outline.cut or outline.mirror:
        return None
    tried = (_with_factor(outline, path, factor * share, up=True) for share in LARGER_TRIES)
    return next((s for s in tried if s is not None and does(s.outline)), None)


def is_from_file(outline: OutlineSpec) -> bool:
    """Return True for an outline that cannot be drawn again here: it is larger and smaller by one factor."""
    return any(getattr(outline.params, key, "") for key in ("file", "font"))


def drawn_again(outline: OutlineSpec, room: Region) -> Region | None:
    """Return an outline drawn about its own origin; None if it is read from a file, or cannot be drawn.

    Args:
        outline: what to draw.
        room: the inlay's outline, about its middle, for what is fitted into it.
    """
    try:
        return draw_outline(outline, Context(room=room))
    except GeometryError:
        return None


def _turned_centre(outline: OutlineSpec) -> Point:
    """Return what stays where it is when the outline's size changes, before it is moved."""
    centre = getattr(outline.params, "centre", None)
    if not isinstance(centre, tuple):
        return ORIGIN
    c, s = cos(outline.turn_rad), sin(outline.turn_rad)
    return Point(c * centre[0] - s * centre[1], s * centre[0] + c * centre[1])


def _with_factor(outline: OutlineSpec, path: str, factor: float, *, up: bool = False) -> Smaller | None:
    """Return the outline with its size keys times a factor, rounded down or up."""
    keys = next((k for k in SIZE_KEYS if all(_is_size(getattr(outline.params, key, None)) for key in k)), None)
    if keys is None:
        return None
    changes, told = {}, []
    for key in keys:
        old = getattr(outline.params, key)
        new = tuple(_to_step(x * factor, up) for x in old) if isinstance(old, tuple) else _to_step(old * factor, up)
        if not _is_size(new):
            return None
        changes[key] = new
        told.append(f"{path}.{outline.kind}.{key} to {_told(key, new, up)}")
    return Smaller("set " + " and ".join(told), replace(outline, params=replace(outline.params, **changes)))


def _is_size(value: Any) -> bool:
    """Return True for a length or two that say how large something is."""
    if isinstance(value, tuple):
        return len(value) == 2 and all(_is_size(x) for x in value)
    return isinstance(value, int | float) and not isinstance(value, bool) and value > 0.0


def _to_step(value: float, up: bool) -> float:
    return (ceil(value * STEP - MODEL.same_mm) if up else floor(value * STEP + MODEL.same_mm)) / STEP


def _told(key: str, value: Any, up: bool) -> str:
    if isinstance(value, tuple):
        return told_place(value)
    return f"at {'least' if up else 'most'} {value:g}" + ("" if key in NO_LENGTH else " mm")
