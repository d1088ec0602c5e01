"""Which end mill clears a pocket: against openings by an independent polygon library, and Steiner's formula."""

from __future__ import annotations

from math import pi

import pytest
import shapely

from generator.estimate.clears import CLEARED_SHARE, clears, largest_that_clears, swept_at_most_mm2
from generator.outline.combine import difference, union
from generator.outline.create import circle, rectangle
from generator.outline.offset import offset_region
from generator.outline.region import EMPTY, Region
from tests.outline.facet_oracle import facet_region

BAR = Region((rectangle(0.0, 0.0, 20.0, 4.0),))
COMB = union(BAR, *(Region((rectangle(x, 0.0, x + 2.0, 12.0),)) for x in (0.0, 6.0, 12.0, 18.0)))
RING = difference(Region((circle((0.0, 0.0), 8.0),)), Region((circle((0.0, 0.0), 5.5),)))
BELL = union(Region((rectangle(0.0, 0.0, 9.0, 9.0),)), Region((rectangle(4.0, 8.0, 5.0, 30.0),)))
POCKETS = {"bar": BAR, "comb": COMB, "ring": RING, "bell": BELL, "two": union(BAR, Region((circle((40.0, 0.0), 1.0),)))}
MILLS_MM = (0.5, 1.0, 1.9, 2.4, 2.6, 3.0, 3.9, 4.1, 6.0, 9.1)


def swept_mm2(region: Region, mill_mm: float) -> float:
    """What a disc sweeps that stays inside, on fine facets."""
    polygons = facet_region(region)
    return float(polygons.buffer(-mill_mm / 2.0, 64).buffer(mill_mm / 2.0, 64).area)


@pytest.mark.parametrize("name", POCKETS)
def test_as_openings_of_polygons_have_it(name):
    region = POCKETS[name]
    whole = facet_region(region).area
    does = [swept_mm2(region, m) >= CLEARED_SHARE * whole for m in MILLS_MM]
    assert [clears(region, m) for m in MILLS_MM] == does
    first_bad = does.index(False)
    for many in range(1, len(MILLS_MM) + 1):
        some = MILLS_MM[:many]
        largest = ([None, *some] if many <= first_bad else [None, *some[:first_bad]])[-1]
        assert largest_that_clears(region, reversed(some)) == largest


def test_no_mill_clears_what_none_enters():
    assert largest_that_clears(RING, []) is None
    assert largest_that_clears(RING, [2.6, 3.0]) is None


def test_most_that_is_swept():
    """Exact for a convex way; never less than the offset that shapely makes, where ways come near each other."""
    assert swept_at_most_mm2(BAR, 1.5) == pytest.approx(80.0 + 1.5 * 48.0 + pi * 1.5**2)
    assert swept_at_most_mm2(EMPTY, 1.5) == 0.0
    for region in POCKETS.values():
        for radius in (0.1, 1.0, 3.0):
            assert swept_at_most_mm2(region, radius) >= shapely.area(facet_region(region).buffer(radius, 64)) - 1e-6
            assert swept_at_most_mm2(region, radius) >= sum(c.signed_area_mm2 for c in offset_region(region, radius))
