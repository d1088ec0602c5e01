"""Materials by designation, with density, expansion, stiffness and their provenance (words as in ``standards``)."""

from __future__ import annotations

from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.standards import UnknownStandardError


@frozen_record
class Material:
    """A material in a stated condition.

    Attributes:
        name: designation and temper, as it goes on the drawing.
        density_kg_m3: kg/m³.
        cte_per_k: linear expansion, 1/K.
        youngs_gpa: modulus of elasticity, GPa.
        proof_mpa: proof or yield strength, MPa.
        colour: ``#rrggbb`` for STEP and pictures; our own choice.
        provenance: how well density, expansion and modulus are known.
        note: what sources disagree on.
    """

    name: str
    density_kg_m3: float
    cte_per_k: float | None
    youngs_gpa: float | None
    proof_mpa: float | None
    colour: str
    provenance: str
    note: str = ""


MATERIALS: Final[tuple[Material, ...]] = (
    Material(
        "EN AW-6082 T6",
        2700.0,
        23.4e-6,
        70.0,
        255.0,
        "#b9bcc0",
        "cross-checked",
        "one sheet prints CTE 23.2 at 20-100 C and density 2710",
    ),
    Material(
        "EN AW-5083 H111",
        2660.0,
        23.8e-6,
        71.0,
        125.0,
        "#b4b9bd",
        "cross-checked",
        "density 2650 and CTE 25 in one trade sheet",
    ),
    Material(
        "EN AW-6061 T6",
        2700.0,
        23.6e-6,
        68.9,
        276.0,
        "#bcbec1",
        "cross-checked",
        "",
    ),
    Material(
        "CuZn39Pb3 R430",
        8470.0,
        20.9e-6,
        97.0,
        250.0,
        "#c9a24b",
        "memory",
        "neighbour alloy CuZn37Pb2/C35300 read: 8400, 20.9, 103; one open table prints 8470, 19.8, 102, 250",
    ),
    Material(
        "CuZn37 R350",
        8440.0,
        20.2e-6,
        110.0,
        170.0,
        "#d0ab55",
        "read",
        "CTE is the 20-300 C mean; E 99-115 cold formed",
    ),
    Material(
        "Cu-ETP R240",
        8940.0,
        16.8e-6,
        115.0,
        180.0,
        "#b8704a",
        "cross-checked",
        "CTE 16.8 at 20-100 C, 17.7 at 0-300 C; E 110 / 115; density 8930",
    ),
    Material(
        "1.4301 annealed",
        7900.0,
        16.0e-6,
        200.0,
        210.0,
        "#a7abad",
        "read",
        "density, E, CTE as in EN 10088-1",
    ),
    Material(
        "S235JR",
        7850.0,
        12.0e-6,
        210.0,
        235.0,
        "#6f7478",
        "cross-checked",
        "EN 1993-1-1 design constants",
    ),
    Material(
        "POM-C",
        1410.0,
        110e-6,
        2.8,
        65.0,
        "#2d2f31",
        "read",
        "CTE 104 to 120; 110 is the customary value; density 1390 in one sheet",
    ),
)
"""Source: EN data sheets; the provenance says how well each row is known."""

MATERIAL_WORDS: Final = tuple(m.name for m in MATERIALS)


def material(name: str) -> Material:
    """Return the built-in material called ``name``.

    Raises: UnknownStandardError: there is none.
    """
    for row in MATERIALS:
        if row.name == name:
            return row
    raise UnknownStandardError(f"no material called {name}; known: {', '.join(MATERIAL_WORDS)}")
