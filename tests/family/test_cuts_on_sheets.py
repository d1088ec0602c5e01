"""What is cut through an insert lies on the sheet where the insert does, turned as it is."""

from __future__ import annotations

import io

import ezdxf
import pytest
from ezdxf import bbox

from generator.family.crew import Limits
from generator.family.cut_list.laid import Item, Pattern, Placed, Wanted, cuts_on
from generator.family.cut_list.sheet_dxf import CUTS, PROFILE
from generator.family.run import Asked, run_family
from generator.outline.contour import Contour
from generator.outline.create import circle
from generator.outline.region import Region
from generator.recipe.model_family import StockSheet
from tests.family.family_cases import write_family

SHEET = StockSheet(material="CuZn37 R350", thickness=1.5, length=300.0, width=200.0)
ANGLE = Region((Contour.of([(-10, -5), (30, -5), (30, 5), (0, 5), (0, 25), (-10, 25)]),))
HOLE = Region((circle((-4.0, 18.0), 2.0),))


@pytest.mark.parametrize("turn", [0.0, 90.0, 180.0, 270.0, 30.0])
def test_cuts_lie_as_the_outline_does(turn):
    with_hole = Region((*ANGLE.contours, *HOLE.contours))
    pattern = Pattern(SHEET, (Placed(0, 40.0, 60.0, turn),))
    (found,) = cuts_on(pattern, [Item(40.0, 30.0, ANGLE)], [Wanted(0, "v", "insert-a", HOLE)])
    whole = Item(40.0, 30.0, with_hole).lying(turn)
    wanted = [(v.x + 40.0, v.y + 60.0) for v in whole.contours[1].vertices]
    got = [(v.x, v.y) for v in found.contours[0].vertices]
    assert got == [pytest.approx(w, abs=1e-9) for w in wanted]


def test_pieces_through_which_nothing_is_cut_have_none():
    pattern = Pattern(SHEET, (Placed(0, 0.0, 0.0), Placed(0, 50.0, 0.0)))
    wanted = [Wanted(0, "v", "insert-a"), Wanted(0, "w", "insert-a", HOLE)]
    assert len(cuts_on(pattern, [Item(40.0, 30.0, ANGLE)], wanted)) == 1


def test_the_nested_drawing_has_the_numbers_that_are_cut_through(tmp_path):
    more = (
        "ranges: {plot: {first: 4, last: 6}}\n"
        "sets:\n  inlays.number:\n    material: CuZn37 R350\n    stock: {thickness: 1.5}\n"
        "    outline: {rectangle: {size: [18, 10], radius: 2}}\n    fit: hand\n    cutter: mill\n"
        "    artwork: {plot: {outline: {text: {say: '{plot}', cap_height: 6}}, cutter: fine}}\n"
        "  tools.mill.diameter: 3\n  tools.fine: {kind: end mill, diameter: 0.5, flute_length: 2}\n"
        "stock: [{material: CuZn37 R350, thickness: 1.5, length: 300, width: 200}]\n"
    )
    path = write_family(tmp_path, more)
    ran = run_family(Asked(str(path), out=str(tmp_path / "out"), jobs=2, limits=Limits(seconds=120)))
    assert [r.done.status for r in ran.rows if r.done] == ["built"] * 3, [r.done.why for r in ran.rows if r.done]
    (name,) = [f for f in ran.files if f.startswith("nested/")]
    doc = ezdxf.read(io.StringIO((ran.folder / name).read_text(encoding="utf-8")))
    on = {layer: [e for e in doc.modelspace() if e.dxf.layer == layer] for layer in (PROFILE, CUTS)}
    assert len(on[PROFILE]) == 3
    assert len(on[CUTS]) >= 3 + 2, "4 and 6 have an inside"
    boxes = [bbox.extents([e]) for e in on[PROFILE]]
    for e in on[CUTS]:
        box = bbox.extents([e])
        assert sum(b.contains(box) for b in boxes) == 1
