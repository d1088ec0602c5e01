"""What a STEP file says of its products beside their shape: name, revision, colour, material, density; from its text.

It stands round the solids as ISO 10303-41 (products), -45 (material properties) and -46 (colours) have it; whoever
opens the file sees it, so it is held against the plan in every file. Nothing of the writer is used, not even how it
finds its way round an entity (``step_entities``).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from generator.base.errors import ProofError
from generator.part.solid_facts import ReadLabel
from generator.solid.blocks import outside_of, spans_of
from generator.solid.step_encoding import decode_text

__all__ = ["labels_in"]

_ENTITY: Final = re.compile(r"#(\d+) = ([A-Z0-9_]+)\s*\(((?:'(?:[^']|'')*'|[^';])*)\);")
_TEXT: Final = re.compile(r"'((?:[^']|'')*)'")
_NUMBER: Final = re.compile(r"#(\d+)")
_REAL: Final = re.compile(r"(?<![#\w.])-?\d+\.\d*(?:E[+-]?\d+)?")
_STEPS: Final = 9
"""A colour stands at the end of so many references at most."""


def labels_in(data: bytes) -> tuple[ReadLabel, ...]:
    """Return what is said of every product that has solids, in the order of the file.

    Raises: ProofError: something that belongs to a product is missing, or stands there twice.
    """
    spans = spans_of(data)
    text = b"".join(outside_of(data, spans)).decode("ascii", "replace")
    try:
        return tuple(_Labels(text, {n for span in spans for n in span.solids}).all())
    except (KeyError, IndexError, ValueError) as error:
        raise ProofError(f"what a STEP file says of its products cannot be read: {error}", feature="step") from error


class _Labels:
    """The entities round the solids by number, and those of a kind."""

    def __init__(self, text: str, solids: set[int]) -> None:
        self._solids = solids
        self._said = {int(n): (kind, args) for n, kind, args in _ENTITY.findall(text)}

    def all(self) -> Iterator[ReadLabel]:
        """Yield the label of every product that has solids."""
        colours = self._colours()
        properties = self._properties()
        for _, (shape, representation) in self._of("SHAPE_DEFINITION_REPRESENTATION"):
            own = [n for n in self._references(representation) if n in self._solids]
            if not own:
                continue  # an assembly
            (seen,) = {colours[n] for n in own}
            definition = self._references(shape)[0]
            formation = self._references(definition)[0]
            product = self._references(formation)[0]
            yield ReadLabel(
                product=self._texts(product)[0],
                revision=self._texts(formation)[0],
                colour=seen,
                material=properties[definition, "material name"],
                density_kg_m3=1000.0 * float(properties[definition, "density"]),
            )

    def _colours(self) -> dict[int, tuple[float, float, float]]:
        """Return the colour (red, green, blue, 0 to 1) of every solid that has one."""
        found: dict[int, tuple[float, float, float]] = {}
        for number, (style, solid) in self._of("STYLED_ITEM"):
            if solid in found:
                raise ValueError(f"#{number} gives a solid a second colour")
            for _ in range(_STEPS):
                if self._said[style][0] == "COLOUR_RGB":
                    break
                style = self._references(style)[-1]
            red, green, blue = map(float, _REAL.findall(self._said[style][1]))
            found[solid] = (red, green, blue)
        return found

    def _properties(self) -> dict[tuple[int, str], str]:
        """Return the values of material properties by product definition and name."""
        given = {whole: value for _, (whole, value) in self._of("PROPERTY_DEFINITION_REPRESENTATION")}
        found: dict[tuple[int, str], str] = {}
        for number, (definition,) in self._of("PROPERTY_DEFINITION"):
            name = self._texts(number)[1]
            if (definition, name) in found:
                raise ValueError(f"#{number} gives a product a second {name}")
            item = self._references(given[number])[0]
            kind, args = self._said[item]
            is_text = kind == "DESCRIPTIVE_REPRESENTATION_ITEM"
            found[definition, name] = self._texts(item)[0] if is_text else _REAL.findall(args)[0]
        return found

    def _of(self, kind: str) -> Iterator[tuple[int, list[int]]]:
        for number, (its, _) in self._said.items():
            if its == kind:
                yield number, self._references(number)

    def _references(self, number: int) -> list[int]:
        return [int(n) for n in _NUMBER.findall(_TEXT.sub("''", self._said[number][1]))]

    def _texts(self, number: int) -> list[str]:
        return [decode_text(text) for text in _TEXT.findall(self._said[number][1])]
