"""Sizes with limits as STEP entities linked to faces, so that a program can read them: ISO 10303-242, semantic PMI.

They are written here and not by the kernel: its writer drops names, writes deviations without their sign, and as bare
numbers where the schema wants typed ones. The form is that of the shape_dimension_representation schema
(ISO 10303-47): size or location of shape aspects, nominal value, plus-minus tolerance with signed deviations.
"""

from __future__ import annotations

from collections.abc import Sequence

from generator.base.frozen_record import frozen_record
from generator.part.toleranced import Toleranced
from generator.solid.step_encoding import encode_text
from generator.solid.step_entities import Body, real

__all__ = ["NumberedSize", "numbered_size", "size_entities"]


@frozen_record
class NumberedSize:
    """A size as the file has it: numbers of the face entities, of a distance those at either end.

    ``name`` and ``description`` are texts as they stand in the file (stand-ins will do); lengths are mm.
    """

    name: str
    description: str
    is_diameter: bool
    nominal_mm: float
    lower_mm: float
    upper_mm: float
    first: tuple[int, ...]
    second: tuple[int, ...] = ()


def numbered_size(size: Toleranced, first: tuple[int, ...], second: tuple[int, ...]) -> NumberedSize:
    """Return a size with the numbers of its faces."""
    name, said = encode_text(str(size.number)), encode_text(size.what)
    return NumberedSize(name, said, size.is_diameter, size.nominal_mm, size.lower_mm, size.upper_mm, first, second)


def size_entities(body: Body, unit: int, size: NumberedSize) -> list[str]:
    """Return the entities of one size; ``@k`` stands for the k-th of them.

    Args:
        body: where the product's shape is in the file.
        unit: number of the entity of the millimetre.
        size: what is written.
    """
    out: list[str] = []
    first = _aspect(out, body, size, size.first)
    if size.is_diameter:
        out.append(f"DIMENSIONAL_SIZE(@{first},'diameter')")
    else:
        second = _aspect(out, body, size, size.second)
        out.append(f"DIMENSIONAL_LOCATION('linear distance',$,@{first},@{second})")
    k = len(out) - 1
    nominal = f"POSITIVE_LENGTH_MEASURE({real(size.nominal_mm)})"
    out += [
        f"(LENGTH_MEASURE_WITH_UNIT() MEASURE_REPRESENTATION_ITEM() MEASURE_WITH_UNIT({nominal},#{unit}) "
        "REPRESENTATION_ITEM('nominal value'))",
        f"SHAPE_DIMENSION_REPRESENTATION('',(@{k + 1}),#{body.context})",
        f"DIMENSIONAL_CHARACTERISTIC_REPRESENTATION(@{k},@{k + 2})",
        f"LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE({real(size.lower_mm)}),#{unit})",
        f"LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE({real(size.upper_mm)}),#{unit})",
        f"TOLERANCE_VALUE(@{k + 4},@{k + 5})",
        f"PLUS_MINUS_TOLERANCE(@{k + 6},@{k})",
    ]
    return out


def _aspect(out: list[str], body: Body, size: NumberedSize, faces: Sequence[int]) -> int:
    """Add the shape aspect of one face or of several, and return its place among the entities."""
    if len(faces) == 1:
        return _single(out, body, size, faces[0])
    whole = len(out)
    out.append(f"COMPOSITE_SHAPE_ASPECT('{size.name}','{size.description}',#{body.shape},.T.)")
    for face in faces:
        one = _single(out, body, size, face)
        out.append(f"SHAPE_ASPECT_RELATIONSHIP('',$,@{whole},@{one})")
    return whole


def _single(out: list[str], body: Body, size: NumberedSize, face: int) -> int:
    at = len(out)
    out.append(f"SHAPE_ASPECT('{size.name}','{size.description}',#{body.shape},.T.)")
    out.append(f"GEOMETRIC_ITEM_SPECIFIC_USAGE('','',@{at},#{body.representation},#{face})")
    return at
