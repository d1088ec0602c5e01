"""How much larger an insert has to be drawn for its bond is tried on a plan before it is told."""

from __future__ import annotations

import pytest
from recipe_trials import forbidden, inlay, judged, mending, of

from generator.base.remedy import ways

GLUED = "adhesive: elastic adhesive"
SMALL = [
    "disc: {diameter: 2.4}",
    "rectangle: {size: [2.6, 2.2], radius: 0.3}",
    "regular_polygon: {sides: 6, across_flats: 2.4}",
    "text: {say: I, cap_height: 3.2, face: sans bold}",
]


@pytest.mark.parametrize("outline", SMALL)
def test_a_small_insert_is_drawn_as_large_as_its_bond_needs(tmp_path, outline):
    more = inlay(f"{outline}, at: [0, 15]", more=GLUED)
    (told,) = of(judged(tmp_path, more), "glue-area")
    followed = list(mending(tmp_path, more, told))
    assert any(e.key.startswith("inlays.n.outline") for way in followed for e in way), told.remedy


def test_where_it_has_no_room_it_is_said_what_it_would_need(tmp_path):
    more = inlay("disc: {diameter: 2.4}, at: [23.2, 0]", more=GLUED)  # beside a seat
    before = judged(tmp_path, more)
    (told,) = of(before, "glue-area")
    assert not [w for w in ways(told.remedy) for e in w if "outline" in e.key]
    assert "times as large: every piece needs" in told.remedy
    assert "room for that in the cover" in told.remedy
    assert not {f for f in forbidden(before) if f[0] == "glue-area"}
