"""Offsets by distances far beyond any cover: refused or right, never off by the size of facets."""

from __future__ import annotations

from math import pi

import pytest

from generator.base.errors import OffsetError
from generator.outline.create import rectangle
from generator.outline.measure import area
from generator.outline.offset import offset_region
from generator.outline.region import Region


@pytest.mark.parametrize("distance", [1e3, 9e4, 99_941.7])
def test_rectangle_grown_by_many_metres(distance):
    """Steiner's formula for a convex outline: A + L d + π d²."""
    grown = offset_region(Region.of([rectangle(-30.0, -20.0, 30.0, 20.0)]), distance)
    assert area(grown) == pytest.approx(2400.0 + 200.0 * distance + pi * distance**2, rel=1e-12)


def test_further_than_can_be_computed_is_refused():
    with pytest.raises(OffsetError, match="100 m"):
        offset_region(Region.of([rectangle(-30.0, -20.0, 30.0, 20.0)]), 2e5)
