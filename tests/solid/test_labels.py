"""What a STEP file says of its products is read as it was meant, and missed where it lacks."""

from __future__ import annotations

import re

import pytest
from solid_bodies import slabs_of, small_plan

from generator.base.errors import ProofError
from generator.solid.label_text import labels_in
from generator.solid.solids import make_solids

WILD = "insert-Žluť 'n\\o'; 😀"


def test_every_product_has_its_label():
    plan = small_plan(insert_name=WILD, revision="B;'2'")
    side = make_solids(plan, slabs_of)
    for data, parts in ((side.assembly_step(), plan.parts), *((side.part_step(p), (p,)) for p in plan.parts)):
        found = labels_in(data)
        assert [label.product for label in found] == [f"gate-latch {part.name}" for part in parts]
        for label, part in zip(found, parts, strict=True):
            assert label.revision == "B;'2'"
            assert label.material == part.material.name
            assert label.density_kg_m3 == pytest.approx(part.material.density_kg_m3, rel=1e-9)
            assert "#" + "".join(f"{round(255 * shade):02x}" for shade in label.colour) == part.material.colour


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (r"STYLED_ITEM\('color',\(#(\d+)\),#\d+\)", r"STYLED_ITEM('color',(#\1),#1)"),
        (r"COLOUR_RGB\('',[^,]+,", "COLOUR_RGB('',"),
        (r"'material name',#", "'surface finish',#"),
        (r"'density',#", "'material name',#"),
        (r"PRODUCT_DEFINITION\('design','',#(\d+),", r"PRODUCT_DEFINITION('design','',#9999\1,"),
    ],
)
def test_what_is_missing_or_there_twice_is_a_fault(old, new):
    plan = small_plan()
    data = make_solids(plan, slabs_of).part_step(plan.cover)
    spoiled = re.sub(old.encode(), new.encode(), data, count=1)
    assert spoiled != data
    with pytest.raises(ProofError, match="says of its products"):
        labels_in(spoiled)
