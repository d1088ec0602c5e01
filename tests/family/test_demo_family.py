"""The demo family: a row of its table is a variant, and each can be made."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from generator.api import Asked, check, plan_family

FAMILIES = Path(__file__).parents[2] / "recipes" / "families"


@pytest.fixture(scope="module")
def planned(tmp_path_factory):
    return plan_family(Asked(str(FAMILIES / "allotments.yaml"), out=str(tmp_path_factory.mktemp("out"))))


def test_a_variant_a_row(planned):
    with open(FAMILIES / "plots.csv", encoding="utf-8", newline="") as table:
        rows = list(csv.DictReader(table))
    assert len(planned.rows) == len(rows) == 36
    for row, made in zip(rows, planned.rows, strict=True):
        assert made.variant.name == f"plot-{row['Plot no.']}"
        assert made.variant.values == {"plot": row["Plot no."], "holder": row["holder"], "emblem": row["emblem"]}
        assert made.why == "it has not been made yet"


@pytest.mark.parametrize("number", [0, 1, 2, 3, 12, 25])
def test_nothing_forbids_a_variant(planned, number):
    row = planned.rows[number]
    checked = check(planned.family.recipe, sets=row.made.sets)
    assert not checked.forbids, [f.message for f in checked.findings if f.severity.value == "forbids"]
    assert checked.reading.recipe.revision == "B"
    said = {f.name for f in checked.plan.inserts[0].features}
    assert {"engraving-plot", "engraving-emblem", "engraving-holder"} <= said
    assert (
        checked.reading.recipe.title == f"Gate cover, plot {row.variant.values['plot']}, {row.variant.values['holder']}"
    )


def test_emblems_differ_and_some_plates_have_a_larger_chamfer(planned):
    emblems = {r.variant.values["emblem"] for r in planned.rows}
    assert emblems == {"leaf", "sun", "star", "gear", "snowflake"}
    edges = [r.variant.name for r in planned.rows if "cover.edge_break=1" in r.made.sets]
    assert edges == ["plot-13", "plot-21"]
