"""STEP text that lacks nothing but names, colours and materials: what solids with the same shape have in common."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import astuple
from functools import lru_cache
from typing import Any

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.solid.step_sizes import NumberedSize
from generator.solid.step_style import Style
from generator.solid.step_text import Header, finish_text

__all__ = ["Label", "Unfinished", "finished_step"]


@frozen_record
class Label:
    """What a product is called, looks like and is made of.

    Attributes:
        name: unique in the file.
        colour: ``#rrggbb``.
        material: designation, may be empty.
        density_kg_m3: of the material.
    """

    name: str
    colour: str
    material: str
    density_kg_m3: float


@frozen_record
class Unfinished:
    """The text of products, with stand-ins for names, and of each its sizes with the numbers of their faces."""

    text: bytes
    sizes: tuple[tuple[NumberedSize, ...], ...]

    def to_bytes(self) -> bytes:
        """Return it as JSON; ``from_bytes`` reads it back."""
        sizes = [[list(astuple(size)) for size in own] for own in self.sizes]
        return json.dumps({"sizes": sizes, "text": self.text.decode("ascii")}).encode()

    @staticmethod
    @lru_cache(maxsize=8)  # a part that variants share, and what is round their parts
    def from_bytes(data: bytes) -> Unfinished:
        """Return what ``to_bytes`` wrote."""
        made = json.loads(data)
        return Unfinished(made["text"].encode("ascii"), tuple(tuple(map(_size, own)) for own in made["sizes"]))


def _size(values: Sequence[Any]) -> NumberedSize:
    name, description, is_diameter, nominal, lower, upper, first, second = values
    return NumberedSize(name, description, is_diameter, nominal, lower, upper, tuple(first), tuple(second))


def finished_step(
    made: Unfinished, labels: Sequence[Label], header: Header, *, assembly: str = "", revision: str = ""
) -> bytes:
    """Return the STEP file of a text: with names, colours and materials.

    Args:
        made: the text and the sizes.
        labels: of the products, in their order, with different names.
        header: what the header says.
        assembly: name of the product that holds the others; empty for a file of one part.
        revision: revision of every product.

    Raises:
        GeometryError: names are not unique.
    """
    names = [p.name for p in labels] + ([assembly] if assembly else [])
    if len(set(names)) != len(names):
        raise GeometryError(f"products of a STEP file need different names, found {', '.join(names)}")
    stand_ins = {f"name-{i}": name for i, name in enumerate(names)}
    stand_ins |= {f"material-{i}": p.material for i, p in enumerate(labels)}
    styles = {
        f"name-{i}": Style(p.colour, f"material-{i}", p.density_kg_m3, made.sizes[i]) for i, p in enumerate(labels)
    }
    try:
        return finish_text(made.text, header, stand_ins, revision, styles)
    except ValueError as error:
        raise GeometryError(f"STEP file of {', '.join(names)}: {error}") from error
