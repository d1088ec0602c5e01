"""The record of a shape, and what a shape may ask for while it is drawn.

A shape is one file with a frozen record of its recipe keys, a pure function that draws it, and a :class:`Shape` that
names both; one line in ``shapes/__init__.py`` registers it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import field
from typing import Any, Protocol

from generator.base.errors import GeometryError
from generator.base.fields import OutlineSpec
from generator.base.frozen_record import frozen_record
from generator.base.sharing import NOTHING_SHARED, Sharing
from generator.outline.contour import Point
from generator.outline.region import Region
from generator.shapes.budget import Budget

OUTLINE = "outline"
"""Family of free-standing outlines."""
OUTER = "outer"
"""Family of outlines that are drawn round an original's pocket."""


class Files(Protocol):
    """The files that a recipe names; whoever draws hands them in."""

    def read(self, name: str) -> bytes:
        """Return the bytes of a file.

        Raises: GeometryError: it cannot be read.
        """

    def tell(self, name: str, what: str) -> None:
        """Keep what had to be assumed or left out while the file was read, for the report."""


class NoRoomError(GeometryError):
    """Something is to be fitted into its inlay's outline, and none is known here."""


class NoFiles:
    """Stands where no file can be read."""

    def read(self, name: str) -> bytes:
        """Raise GeometryError."""
        raise GeometryError(f"{name}: files cannot be read here")

    def tell(self, name: str, what: str) -> None:
        """Do nothing."""


def _no_nesting(_spec: OutlineSpec) -> Region:
    raise GeometryError("outlines within outlines cannot be drawn here")


@frozen_record
class Context:
    """What a shape may ask for beyond its own numbers. Shapes never touch files themselves.

    Attributes:
        files: the files that the recipe names.
        footprint: outline of the original (outer shapes only).
        pocket: the footprint grown by the clearance (outer shapes only).
        seats: centre and radius (mm) of every bolt seat, or of the hole where there is no seat (outer shapes only).
        room: the inlay's outline, for artwork that is fitted into it; None elsewhere.
        nested: draws an outline within an outline; set by ``draw_outline``.
        budget: counts what is repeated; one for all outlines of a recipe.
        sharing: keeps what is drawn for others who draw the same.
    """

    files: Files = NoFiles()
    footprint: Region | None = None
    pocket: Region | None = None
    seats: tuple[tuple[Point, float], ...] = ()
    room: Region | None = None
    nested: Callable[[OutlineSpec], Region] = _no_nesting
    budget: Budget = field(default_factory=Budget, compare=False)
    sharing: Sharing = field(default=NOTHING_SHARED, compare=False)


@frozen_record
class Shape:
    """One registered kind of outline.

    Attributes:
        name: the key in the recipe.
        params: frozen record of its keys.
        draw: makes its region, outer contours counter-clockwise.
        help: one sentence for hover text and the reference page.
        family: ``outline`` (anywhere) or ``outer`` (only as the cover's outer shape).
    """

    name: str
    params: type
    draw: Callable[[Any, Context], Region]
    help: str
    family: str = OUTLINE


def given(params: object, names: Sequence[str]) -> list[str]:
    """Return those of ``names`` that the recipe gives: not None, not an empty list or text."""
    return [n for n in names if getattr(params, n) not in (None, (), "")]


def the_one_of(params: object, *names: str) -> str:
    """Return the one of ``names`` that the recipe gives.

    Raises: GeometryError: none or more than one is given; names them.
    """
    there = given(params, names)
    if len(there) == 1:
        return there[0]
    listed = " or ".join(f"`{n}`" for n in names)
    if not there:
        raise GeometryError(f"nothing that says its size or place: give {listed}")
    raise GeometryError(f"{' and '.join(f'`{n}`' for n in there)} together say it twice: give only one of {listed}")


def up(value_mm: float) -> str:
    """Return a length rounded up to a hundredth, so that what a message says is enough really is."""
    return f"{-(-value_mm * 100.0 // 1) / 100.0:.10g}"
