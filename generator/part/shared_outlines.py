"""Outlines that variants share, drawn once: kept under a digest of all that they are drawn from.

Which files an outline reads is only known once it has been drawn. So their names are kept under what the recipe says of
it, and the region under that and what the files hold.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache

from generator.base.errors import GeometryError
from generator.base.fields import OutlineSpec
from generator.base.sharing import NOTHING_SHARED, digest_of
from generator.outline.contour import Contour
from generator.outline.region import Region
from generator.shapes.shape import Context, Files

__all__ = ["shared_outline"]

_KEPT = 32
"""Outlines at hand: those that a recipe's variants share."""
Draw = Callable[[OutlineSpec, Context], Region]


def shared_outline(spec: OutlineSpec, context: Context, draw: Draw) -> Region:
    """Return what ``draw`` makes of an outline, from what is kept if it was drawn before.

    Raises: GeometryError: it cannot be drawn; that is never kept.
    """
    sharing = context.sharing
    if sharing is NOTHING_SHARED:
        return draw(spec, context)
    once = _Once(spec, context, draw)
    key = digest_of(spec, context.footprint, context.pocket, context.room, context.seats)
    names = json.loads(sharing.get("outline-files", key, once.names))
    try:
        held = [hashlib.sha256(context.files.read(name)).hexdigest() for name in names]
    except GeometryError:
        return once.region  # who draws says it better
    region, told = _read(sharing.get("outline", digest_of(key, names, held), once.whole))
    for name, what in told:
        context.files.tell(name, what)
    return once.drawn or region


@lru_cache(maxsize=_KEPT)
def _read(kept: bytes) -> tuple[Region, tuple[tuple[str, str], ...]]:
    """Return an outline and what was told of files; the same bytes give the same one, with all it knows of itself."""
    made = json.loads(kept)
    region = Region(tuple(Contour.of(rows) for rows in made["contours"]))
    return region, tuple((name, what) for name, what in made["told"])


class _Once:
    """Draws an outline when it is first asked for, and keeps what was read and told on the way."""

    def __init__(self, spec: OutlineSpec, context: Context, draw: Draw) -> None:
        self._files = _Listening(context.files)
        self._spec, self._context, self._draw = spec, replace(context, files=self._files), draw
        self.drawn: Region | None = None

    @property
    def region(self) -> Region:
        """Return the region. Raises: GeometryError: it cannot be drawn."""
        if self.drawn is None:
            self.drawn = self._draw(self._spec, self._context)
        return self.drawn

    def names(self) -> bytes:
        """Return the names of the files that it is drawn from, as JSON."""
        _ = self.region
        return json.dumps(sorted(self._files.names)).encode()

    def whole(self) -> bytes:
        """Return region and what was told, as JSON; floats are read back to the last bit."""
        contours = [[[v.x, v.y, v.bulge] for v in c.vertices] for c in self.region]
        return json.dumps({"contours": contours, "told": sorted(self._files.told.items())}).encode()


class _Listening:
    """Files that remember which of them were read, and what was told of them."""

    def __init__(self, files: Files) -> None:
        self._files = files
        self.names: set[str] = set()
        self.told: dict[str, str] = {}

    def read(self, name: str) -> bytes:
        """Return the bytes of a file. Raises: GeometryError."""
        self.names.add(name)
        return self._files.read(name)

    def tell(self, name: str, what: str) -> None:
        """Keep what was assumed of a file."""
        self.told[name] = what
        self._files.tell(name, what)
