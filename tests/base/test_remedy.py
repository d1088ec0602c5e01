"""Remedies read as edits: every form that a check writes, and none where it only gives advice."""

from __future__ import annotations

import pytest

from generator.base.remedy import Edit, ways, ways_of_outline

THICKER = Edit("cover.stock.thickness", "12.4 mm", 1)

FORMS = {
    "set cover.stock.thickness to at least 12.4 mm": ((THICKER,),),
    "set cover.stock.thickness and cover.stock.measured to at least 12.4 mm": (
        (THICKER, Edit("cover.stock.measured", "12.4 mm", 1)),
    ),
    "set cover.outer.grow to at least 0.3 mm, or cover.seats.diameter to at most 10.4 mm": (
        (Edit("cover.outer.grow", "0.3 mm", 1),),
        (Edit("cover.seats.diameter", "10.4 mm", -1),),
    ),
    "set dowels.place to outside and leave dowels.at out, or choose other positions inside the part": (
        (Edit("dowels.place", "outside"), Edit("dowels.at", None)),
    ),
    "leave dowels.at out: then one dowel lies beyond each end": ((Edit("dowels.at", None),),),
    "set inlays.a-b.stock.thickness to at most 7.8 mm with inlays.a-b.sits at flush and without inlays.a-b.by": (
        (
            Edit("inlays.a-b.stock.thickness", "7.8 mm", -1),
            Edit("inlays.a-b.sits", "flush"),
            Edit("inlays.a-b.by", None),
        ),
    ),
    "hold it by screws of its own, or set original.bolts[1].seat.screw to ISO 4762 so that it bears; ask first": (
        (Edit("original.bolts[1].seat.screw", "ISO 4762"),),
    ),
    "set cover.stock.depths_from to `own face`: measured from there it keeps its depth": (
        (Edit("cover.stock.depths_from", "own face"),),
    ),
    "set inlays.a.outline.at to [3.2 mm, -0.5 mm], or inlays.a.outline.grow to at most -0.4 mm": (
        (Edit("inlays.a.outline.at", "[3.2 mm, -0.5 mm]"),),
        (Edit("inlays.a.outline.grow", "-0.4 mm", -1),),
    ),
    "set inlays.a.outline.at to [3 mm, 0 mm] and inlays.a.outline.grow to at most -0.4 mm": (
        (Edit("inlays.a.outline.at", "[3 mm, 0 mm]"), Edit("inlays.a.outline.grow", "-0.4 mm", -1)),
    ),
    "move the positions in original.bolts[0] apart until 0.8 mm are left": (),
    "set cover.stock.margin larger, or dowels.diameter smaller": (),
    "": (),
}


@pytest.mark.parametrize("remedy", FORMS)
def test_forms(remedy: str) -> None:
    assert ways(remedy) == FORMS[remedy]


def test_an_alternative_that_is_half_advice_is_no_edit() -> None:
    assert ways("set cover.edge_break to at most 1 mm and file the rest by hand") == ()


def test_what_a_refused_outline_offers() -> None:
    said = "the shield leaves 2.1 mm; reach: at least 41.3 mm, `count`: at most 12, or a smaller original"
    assert ways_of_outline(said, "cover.outer.shield") == (
        (Edit("cover.outer.shield.reach", "41.3 mm", 1),),
        (Edit("cover.outer.shield.count", "12", -1),),
    )
