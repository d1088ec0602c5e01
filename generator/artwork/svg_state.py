"""What an element of an SVG drawing takes from those that it lies in."""

from __future__ import annotations

from dataclasses import field

from generator.artwork.svg_numbers import Matrix
from generator.artwork.svg_shapes import Viewport
from generator.base.frozen_record import frozen_record
from generator.outline.region import Region


@frozen_record
class State:
    """What an element takes from those that it lies in."""

    matrix: Matrix
    values: dict[str, str]
    viewport: Viewport
    cover: float = 1.0
    clips: tuple[Region, ...] = ()
    above: tuple[int, ...] = ()
    depth: int = 0
    size: dict[str, str] = field(default_factory=dict)
