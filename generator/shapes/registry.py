"""Registered kinds of outline, each loaded when it is first used: a recipe uses a few of many."""

from __future__ import annotations

from importlib import import_module
from typing import Any

from generator.base.frozen_record import frozen_record
from generator.outline.region import Region
from generator.shapes.shape import OUTLINE, Context, Shape

__all__ = ["Registered", "registered"]


@frozen_record
class Registered:
    """A kind by name; everything else about it is asked of its file.

    Attributes:
        name: the key in the recipe, and the name of its file.
        module: the file's module, which holds ``SHAPE``.
        family: ``outline`` (anywhere) or ``outer`` (only as the cover's outer shape).
    """

    name: str
    module: str
    family: str

    @property
    def shape(self) -> Shape:
        """Return the shape itself."""
        shape: Shape = import_module(self.module).SHAPE
        return shape

    @property
    def params(self) -> type:
        """Return the record of its keys."""
        return self.shape.params

    @property
    def help(self) -> str:
        """Return one sentence on it."""
        return self.shape.help

    def draw(self, params: Any, context: Context) -> Region:
        """Return its region. Raises what the shape raises: GeometryError."""
        return self.shape.draw(params, context)


def registered(room: str, names: str, family: str = OUTLINE) -> tuple[Registered, ...]:
    """Return the kinds called ``names`` (with blanks between) whose files lie in ``room`` (``shapes.outer``)."""
    return tuple(Registered(name, f"generator.{room}.{name}", family) for name in names.split())
