"""Colour and material of products, written as STEP entities behind those of the kernel.

The kernel's own writer lists colours in the order of memory addresses, which differs from run to run, and states
densities in a wrong unit. The entities are those of ISO 10303-46 (styled item) and ISO 10303-45 (material property
representation) in the form that common readers know.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterator, Mapping, Sequence

from generator.base.frozen_record import frozen_record
from generator.solid.step_entities import Body, bodies_of, millimetre_of, real
from generator.solid.step_sizes import NumberedSize, size_entities


@frozen_record
class Style:
    """What a product looks like and is made of.

    Attributes:
        colour: ``#rrggbb``.
        material: designation as it stands in the file (a stand-in will do).
        density_kg_m3: of the material.
        sizes: sizes with limits, with the numbers of their faces in the file.
    """

    colour: str
    material: str
    density_kg_m3: float
    sizes: tuple[NumberedSize, ...] = ()


def style_text(data: str, solids: Container[int], styles: Mapping[str, Style]) -> str:
    """Return the entities to be put before the end of the data section.

    Args:
        data: the text of the data section; the entities of the solids may be left out.
        solids: numbers of the solids.
        styles: style by product name as it stands in the file.

    Raises:
        ValueError: a product has no solid in the file.
    """
    bodies, last = bodies_of(data, solids)
    unit = millimetre_of(data)
    lines: list[str] = []
    for product, style in styles.items():
        if product not in bodies:
            raise ValueError(f"no solid of {product} in the STEP text")
        body = bodies[product]
        lines += _numbered([*_colour(body, style.colour), *_material(body, style)], last + len(lines) + 1)
        for size in style.sizes:
            lines += _numbered(size_entities(body, unit, size), last + len(lines) + 1)
    return "".join(lines)


def _numbered(entities: Sequence[str], first: int) -> list[str]:
    """Return entities with their numbers; ``@k`` stands for the k-th of them."""
    return [
        f"#{first + i} = " + re.sub(r"@(\d+)", lambda m: f"#{first + int(m[1])}", entity) + ";\n"
        for i, entity in enumerate(entities)
    ]


def _colour(body: Body, colour: str) -> Iterator[str]:
    """Yield one styled item for each solid, then what they share."""
    n = len(body.solids)
    items = ",".join(f"@{i + 1}" for i in range(n))
    yield f"MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',({items}),#{body.context})"
    for solid in body.solids:
        yield f"STYLED_ITEM('color',(@{n + 1}),#{solid})"
    yield f"PRESENTATION_STYLE_ASSIGNMENT((@{n + 2}))"
    yield f"SURFACE_STYLE_USAGE(.BOTH.,@{n + 3})"
    yield f"SURFACE_SIDE_STYLE('',(@{n + 4}))"
    yield f"SURFACE_STYLE_FILL_AREA(@{n + 5})"
    yield f"FILL_AREA_STYLE('',(@{n + 6}))"
    yield f"FILL_AREA_STYLE_COLOUR('',@{n + 7})"
    red, green, blue = (real(round(int(colour[i : i + 2], 16) / 255.0, 6)) for i in (1, 3, 5))
    yield f"COLOUR_RGB('',{red},{green},{blue})"


def _material(body: Body, style: Style) -> Iterator[str]:
    """Yield name and density of the material, g/cm³; numbered after the entities of the colour."""
    k = len(body.solids) + 8
    yield f"PROPERTY_DEFINITION('material property','material name',#{body.definition})"
    yield f"PROPERTY_DEFINITION_REPRESENTATION(@{k},@{k + 2})"
    yield f"REPRESENTATION('material name',(@{k + 3}),#{body.context})"
    yield f"DESCRIPTIVE_REPRESENTATION_ITEM('{style.material}','')"
    yield f"PROPERTY_DEFINITION('material property','density',#{body.definition})"
    yield f"PROPERTY_DEFINITION_REPRESENTATION(@{k + 4},@{k + 6})"
    yield f"REPRESENTATION('density',(@{k + 7}),#{body.context})"
    density = real(round(style.density_kg_m3 / 1000.0, 9))
    yield f"MEASURE_REPRESENTATION_ITEM('density measure',POSITIVE_RATIO_MEASURE({density}),@{k + 8})"
    yield f"DERIVED_UNIT((@{k + 9},@{k + 10}))"
    yield f"DERIVED_UNIT_ELEMENT(@{k + 11},1.)"
    yield f"DERIVED_UNIT_ELEMENT(@{k + 12},-3.)"
    yield "(MASS_UNIT() NAMED_UNIT(*) SI_UNIT($,.GRAM.))"
    yield "(LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.CENTI.,.METRE.))"
