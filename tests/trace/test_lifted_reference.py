"""A card that lies higher than it is taken to makes all lengths wrong alike: that is told, no reading is blamed."""

from __future__ import annotations

import re

import numpy as np
import pytest

from generator.trace.photo import trace_photo
from generator.trace.picture import Picture
from generator.trace.readings import CENTRES, Caliper, Reading
from tests.trace.photo_scenes import CARD_MM, Camera, camera_at, scene

CAMERA = camera_at(8.0, 320.0, width=1600, height=1200)
PLATE = (60.0, 40.0, 5.0)
HOLES = ((-62.0, -12.0), (-18.0, -12.0), (-62.0, 12.0))
"""Their centres, mm; 44 and 24 mm apart."""


def photo(rise: float, camera: Camera = CAMERA) -> Picture:
    """A plate without thickness beside a card that lies higher than upon the table, mm."""
    card = (CARD_MM, (45.0, 0.0, 4.0), 0.76 + rise, 0.08)
    plate = (PLATE, (-40.0, 0.0, 0.0), 0.0, 0.1)
    return scene(camera, [card, plate, *(((6.0, 6.0, 3.0), (x, y, 0.0), 0.0, 0.4) for x, y in HOLES)])


def traced(rise: float, along: float, across: float):
    at = [tuple(CAMERA.pixel(np.array([[x, y, 0.0]]))[0]) for x, y in HOLES]
    readings = (
        Reading("m1", CENTRES, along, (at[0], at[1])),
        Reading("m2", CENTRES, across, (at[0], at[2])),
    )
    return trace_photo(photo(rise), Caliper(readings), reference="card", thickness=0.0)


def heights(found) -> list[str]:
    return [w for w in found.warnings if "all readings have the part" in w]


@pytest.mark.parametrize("rise", [5.0, 9.0])
def test_a_card_that_lies_higher_is_told_with_its_height(rise):
    """Similar triangles: seen from H above the table, lengths are h / H longer than with the card on it."""
    found = traced(rise, 44.0, 24.0)
    (told,) = heights(found)
    number = re.search(r"lay ([0-9.]+) ± ([0-9.]+) mm higher than the 0\.76 mm above the table", told)
    assert number is not None, told
    assert float(number[1]) == pytest.approx(rise, abs=float(number[2]))
    assert float(number[2]) < 1.0
    assert all("another feature" not in s.words and "digit" not in s.words for s in found.solved.slips.values())


def test_a_card_on_the_table_is_not_blamed():
    found = traced(0.0, 44.0, 24.0)
    assert heights(found) == []
    assert not found.solved.slips


def test_a_slip_of_one_reading_is_still_one():
    """The other reading is as the card says, so its height is right."""
    found = traced(0.0, 45.0, 24.0)
    assert heights(found) == []
    assert set(found.solved.slips) == {"m1"}


def test_where_the_card_is_taken_to_lie_is_said():
    found = trace_photo(photo(0.0), Caliper(), reference="card", thickness=0.0)
    assert any(
        "bank card is taken to lie on the table beside the part, its face 0.76 mm above it" in r for r in found.remarks
    )
