"""A thickness that dealers have is offered such that the cover stays whole."""

from __future__ import annotations

import pytest
from recipe_trials import Edit, inlay, judged, mending, of

from generator.base import stocked


@pytest.mark.parametrize("thickness", [5.4, 5.5, 5.6, 7.0, 9.0, 13.5])
def test_a_plate_is_offered_no_thinner_than_it_was_drawn(tmp_path, thickness):
    edit = (Edit("cover.stock.thickness", f"{thickness:g} mm"),)
    (told,) = of(judged(tmp_path, "", edit), "stock-standard")
    offered = float(told.remedy.split(" to ")[1].split(" mm")[0])
    assert offered > thickness
    assert offered in stocked.PLATES_MM
    assert not [x for x in stocked.PLATES_MM if thickness < x < offered]  # the next
    assert told.limit == min(stocked.PLATES_MM, key=lambda x: (abs(x - thickness), -x))


def test_of_two_as_near_the_larger_is_told():
    assert stocked.nearest(5.5, stocked.PLATES_MM) == 6.0
    assert stocked.nearest(5.4, stocked.PLATES_MM) == 5.0
    assert stocked.smaller(5.0, stocked.PLATES_MM) == 4.0
    assert stocked.smaller(1.0, stocked.PLATES_MM) is None
    assert stocked.smaller(stocked.INCH_MM, (), stocked.INCH_PLATE_STEP) == pytest.approx(31.0 / 32.0 * stocked.INCH_MM)


@pytest.mark.parametrize("thickness", [1.7, 2.2, 3.4, 4.4, 5.6])
def test_a_sheet_is_offered_that_leaves_a_floor_under_its_pocket(tmp_path, thickness):
    # plate of 10 mm over an original of 3 mm with its clearance
    more = inlay("disc: {diameter: 24}").replace("thickness: 1.5", f"thickness: {thickness}")
    (told,) = of(judged(tmp_path, more), "stock-standard")
    assert len(list(mending(tmp_path, more, told))) == 1
