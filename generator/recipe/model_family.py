"""The file of a family: a base recipe and what varies from one variant to the next."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, ClassVar, Final

from generator.base import fields as f
from generator.base.frozen_record import frozen_record

COLUMN: Final = r"[A-Za-z_][A-Za-z0-9_]{0,63}"
"""A name that may stand in braces and in expressions."""
RECIPE_PATH: Final = r"[A-Za-z_][A-Za-z0-9_-]*(?:\.[A-Za-z0-9_-]+|\[[0-9]{1,6}\])*"
MOST_VARIANTS: Final = 20_000
"""Variants of one family: our choice, some ten times a club's."""
_NOTHING: Final[Mapping[str, Any]] = MappingProxyType({})


@frozen_record(kw_only=True)
class CountedValues:
    """Numbers counted from the first to the last."""

    first: float = f.number("Where counting begins.", example=1)
    last: float = f.number("Where it ends, at the latest.", example=36)
    step: float = f.number("From one to the next; negative counts down.", default=1.0, example=2)
    digits: int = f.count(
        "Digits that a whole number is filled up to with zeros in front: 2 makes 07 of 7.",
        default=0,
        at_least=0,
        at_most=9,
        example=2,
    )


@frozen_record(kw_only=True)
class Override:
    """What some variants get that the others do not."""

    where: Mapping[str, Any] = f.map_of(
        f.value("A value, or a list of those that count.", family="some", example=7),
        "Values that a variant must have, by name; all of them.",
        pattern=COLUMN,
        fewest=1,
        example={"plot": 7},
    )
    set_: Mapping[str, Any] = f.map_of(
        f.value("What stands there in the recipe of these variants.", family="any", example=0.4),
        "Values by their path in the recipe.",
        pattern=RECIPE_PATH,
        fewest=1,
        example={"cover.edge_break": 0.4},
    )


@frozen_record(kw_only=True)
class StockSheet:
    """Sheets or plates that blanks and inserts are cut from."""

    material: str = f.text("As the recipe names it.", example="EN AW-6082 T6")
    thickness: float = f.length("Of the sheet; what is cut from it has the same.", above=0, at_most=200, example=10)
    length: float = f.length("Along the sheet.", above=0, at_most=10_000, example=1000)
    width: float = f.length("Across the sheet.", above=0, at_most=10_000, example=500)
    count: int | None = f.count(
        "How many there are; as many as are needed if it is left out.", default=None, at_least=1, example=2
    )


@frozen_record(kw_only=True)
class FamilyFile:
    """Many variants of one recipe."""

    AT_MOST_ONE: ClassVar = (("table", "rows"),)

    family: str = f.name("Name of the family; its folder below the packs.", example="allotment-plots")
    title: str = f.text("For gallery, contact sheet and cut list.", default="", example="Gate covers, season 3")
    recipe: str = f.file("The recipe that all variants begin with.", example="gate-latch.yaml")
    names: Any = f.value(
        "Name of a variant's pack; `{plot}` stands for the value of that name. The family's name and the number of the "
        "variant if it is left out.",
        default=None,
        example="plot-{plot}",
    )
    table: str = f.file(
        "Rows from a CSV file: a variant a row, values under the headings of the first row. An empty cell leaves the "
        "recipe as it is.",
        default="",
        example="plots.csv",
    )
    columns: Mapping[str, str] = f.map_of(
        f.text("A heading of the table.", example="Plot no."),
        "Names for headings of the table that are no names themselves.",
        default=_NOTHING,
        pattern=COLUMN,
        example={"plot": "Plot no."},
    )
    rows: tuple[Mapping[str, Any], ...] = f.list_of(
        f.map_of(
            f.value("A value of this variant.", example=21),
            "One variant: its values by name.",
            pattern=COLUMN,
            example={"plot": 21},
        ),
        "Rows written here instead of a table.",
        default=(),
        most=MOST_VARIANTS,
        example=[{"plot": 21, "holder": "Ash"}, {"plot": 22, "holder": "Elm"}],
    )
    lists: Mapping[str, Any] = f.map_of(
        f.list_of(
            f.value("A value.", example="CuZn37 R350"), "Values, each for a variant.", fewest=1, example=["a", "b"]
        ),
        "Values to be combined: every row with every value of every list.",
        default=_NOTHING,
        pattern=COLUMN,
        example={"metal": ["CuZn37 R350", "Cu-ETP R240"]},
    )
    ranges: Mapping[str, CountedValues] = f.map_of(
        f.record(CountedValues, "Numbers from first to last.", example={"first": 1, "last": 36}),
        "Counted numbers to be combined as lists are.",
        default=_NOTHING,
        pattern=COLUMN,
        example={"plot": {"first": 1, "last": 36}},
    )
    rules: Mapping[str, Any] = f.map_of(
        f.value("An expression, or a text with `{name}`.", example="30 + plot / 10"),
        "Values that follow from the others.",
        default=_NOTHING,
        pattern=COLUMN,
        example={"reach": "30 + plot / 10"},
    )
    sets: Mapping[str, Any] = f.map_of(
        f.value("What stands there; `{name}` for a value of the variant.", family="any", example="{metal}"),
        "Where values go, by path in the recipe. A value called as a parameter of the recipe sets that parameter, and "
        "a heading that is a path sets what stands there, without being named here.",
        default=_NOTHING,
        pattern=RECIPE_PATH,
        example={"inlays.number.material": "{metal}"},
    )
    leave_out: tuple[Mapping[str, Any], ...] = f.list_of(
        f.map_of(
            f.value("A value, or a list of those that count.", family="some", example=13),
            "Values that a variant must have to be left out; all of them.",
            pattern=COLUMN,
            fewest=1,
            example={"plot": 13},
        ),
        "Variants that are not made.",
        default=(),
        example=[{"plot": 13}, {"metal": "Cu-ETP R240", "plot": [1, 2]}],
    )
    overrides: tuple[Override, ...] = f.list_of(
        f.record(
            Override, "Values for some variants.", example={"where": {"plot": 7}, "set": {"cover.edge_break": 0.4}}
        ),
        "Values that only some variants get; a later one goes before an earlier one.",
        default=(),
        example=[{"where": {"plot": 7}, "set": {"cover.edge_break": 0.4}}],
    )
    outputs: tuple[str, ...] = f.list_of(
        f.text("Name of an output.", example="step"),
        "Outputs of every pack; all of them if it is left out.",
        default=(),
        example=["step", "layers-dxf"],
    )
    stock: tuple[StockSheet, ...] = f.list_of(
        f.record(
            StockSheet,
            "A sheet.",
            example={"material": "EN AW-6082 T6", "thickness": 10, "length": 1000, "width": 500},
        ),
        "Sheets that the cut list lays blanks and inserts on; what fits none of them is listed alone.",
        default=(),
        example=[{"material": "EN AW-6082 T6", "thickness": 10, "length": 1000, "width": 500}],
    )
    spacing: float = f.length(
        "Between pieces on a sheet: the width of the cut and some room.",
        default=4.0,
        at_least=0,
        at_most=100,
        example=4,
    )
    sheet_edge: float = f.length(
        "Kept free along the edges of a sheet.", default=5.0, at_least=0, at_most=200, example=5
    )
