"""The quick answers about regions against the exact ones of ``outline``."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from part_samples import round_hole

from generator.outline.create import circle, rectangle
from generator.outline.distance import boundary_distance
from generator.outline.predicates import contains_region, overlaps
from generator.outline.region import Region
from generator.part.relation import apart, covers, disc_of, gap_between, meets

PLACE = st.integers(-12, 12).map(lambda k: k / 2.0)
SIZE = st.integers(1, 12).map(lambda k: k / 2.0)


@st.composite
def regions(draw: st.DrawFn) -> Region:
    """Discs, boxes and rings on a coarse grid, so that touching and equal ones come up often."""
    x, y, a, b = draw(PLACE), draw(PLACE), draw(SIZE), draw(SIZE)
    kind = draw(st.sampled_from(["disc", "box", "rounded", "ring"]))
    if kind == "disc":
        return round_hole(a, (x, y))
    if kind == "ring":
        return Region((circle((x, y), a + b), circle((x, y), a).reversed()))
    radius = min(a, b) / 2.0 if kind == "rounded" else 0.0
    return Region((rectangle(x - a, y - b, x + a, y + b, radius),))


@settings(derandomize=True, deadline=None, max_examples=300)
@given(regions(), regions())
def test_quick_answers_equal_the_exact_ones(a: Region, b: Region) -> None:
    assert covers(a, b) == contains_region(a, b)
    assert meets(a, b) == overlaps(a, b)
    quick, exact = gap_between(a, b), boundary_distance(a, b)
    assert quick.distance_mm == pytest.approx(exact.distance_mm, abs=1e-9)
    distance = ((quick.on_a[0] - quick.on_b[0]) ** 2 + (quick.on_a[1] - quick.on_b[1]) ** 2) ** 0.5
    assert distance == pytest.approx(quick.distance_mm, abs=1e-9)
    if apart(a, b):
        assert exact.distance_mm > 0.0


def test_a_disc_is_told_from_two_arcs_that_are_none() -> None:
    assert disc_of(round_hole(2.0, (1.0, 3.0))) == ((1.0, 3.0), 2.0)
    assert disc_of(Region((circle((0, 0), 2.0).reversed(),))) is None
    assert disc_of(Region((rectangle(0, 0, 1, 1),))) is None


def test_the_empty_region_lies_in_every_region() -> None:
    assert covers(round_hole(1.0), Region())
