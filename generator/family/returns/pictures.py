"""Pictures of variants: which shapes they are made of, how large they are, and a frame that suits all of them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.family.returns.entry import Entry
from generator.outputs.svg_read import Arc, SvgError, read_path

__all__ = ["GREY", "Frame", "Picture", "Ways", "frame_of", "picture_of", "ways_of"]

GREY: Final = "#808080"
"""Instead of a colour that is none."""
_COLOUR: Final = re.compile(r"#[0-9a-f]{6}")
_FAR: Final = 3.0
"""Variants that differ by more than this in size are each drawn as large as there is room: one scale for all would
leave the small ones too small to be told apart."""

Ways = tuple[tuple[Arc, ...], ...]
"""Closed contours of a shape."""
Box = tuple[float, float, float, float]


@frozen_record
class Picture:
    """One picture.

    Attributes:
        layers: colour and path data of what is drawn, the lowest first; mm, y up.
        box: xmin, ymin, xmax, ymax, mm.
    """

    layers: tuple[tuple[str, str], ...]
    box: Box


@frozen_record
class Frame:
    """Room for a picture: the largest width and height, mm, and whether all pictures are drawn at one scale."""

    width: float
    height: float
    one_scale: bool

    def around(self, box: Box) -> Box:
        """Return the part of the plane that is shown round a picture: xmin, ymin, xmax, ymax."""
        (x0, y0, x1, y1) = box
        grown = 1.0
        if not self.one_scale:
            grown = max((x1 - x0) / self.width, (y1 - y0) / self.height)
        half_x, half_y = self.width * grown / 2.0, self.height * grown / 2.0
        x, y = (x0 + x1) / 2.0, (y0 + y1) / 2.0
        return x - half_x, y - half_y, x + half_x, y + half_y


@lru_cache(maxsize=512)  # what variants share, and all of a small family
def ways_of(data: str) -> Ways:
    """Return the contours of path data without pieces of no length; none if it is not to be understood."""
    try:
        contours = read_path(data)
    except (SvgError, ValueError, IndexError):
        return ()
    whole = (tuple(a for a in c if (a.x0, a.y0) != (a.x1, a.y1)) for c in contours)
    return tuple(c for c in whole if c)


@lru_cache(maxsize=4096)
def _box(data: str) -> Box | None:
    arcs = [arc for contour in ways_of(data) for arc in contour]
    points = [(a.x0, a.y0) for a in arcs]  # every end is the beginning of another
    points += [p for a in arcs if a.radius for p in a.extremes()]
    if not points:
        return None
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def picture_of(entry: Entry) -> Picture | None:
    """Return the picture of a variant; None where there is none."""
    return _picture(entry.done.picture, entry.done.shapes)


def _picture(layers: Sequence[tuple[str, str]], shapes: Mapping[str, str]) -> Picture | None:
    drawn = [(c if _COLOUR.fullmatch(c) else GREY, shapes.get(s, "")) for c, s in layers]
    boxes = [(c, d, b) for c, d in drawn if (b := _box(d)) is not None]
    if not boxes:
        return None
    lows, highs = [b[:2] for _, _, b in boxes], [b[2:] for _, _, b in boxes]
    box = (min(x for x, _ in lows), min(y for _, y in lows), max(x for x, _ in highs), max(y for _, y in highs))
    return Picture(tuple((c, d) for c, d, _ in boxes), box) if box[0] < box[2] and box[1] < box[3] else None


def frame_of(pictures: Iterable[Picture | None]) -> Frame:
    """Return a frame that has room for every picture, one by one where they differ much."""
    sizes = [(p.box[2] - p.box[0], p.box[3] - p.box[1]) for p in pictures if p is not None] or [(2.0, 1.0)]
    width, height = (max(s[i] for s in sizes) for i in (0, 1))
    one_scale = all(max(w / width, h / height) * _FAR >= 1.0 for w, h in sizes)
    return Frame(width, height, one_scale)
