"""Readings of another feature, or of another kind, than they say: recognised, used or offered by the rule of slips.

The true sizes are those that the pictures were made from (truth.json beside them).
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from generator.base.errors import GeometryError
from generator.outputs.footprint.told import slip_words
from generator.trace.by_number import located
from generator.trace.picture import load
from generator.trace.readings import BETWEEN_HOLES, CENTRES, DIAMETER, OVER_HOLES, RADIUS, Caliper, Reading
from generator.trace.readings_file import read_caliper
from generator.trace.slips import Slip
from generator.trace.tracing import Traced, trace_scans
from tests.trace.traced_cases import CORPUS, KEEPER, image_of

FLANGE = "s02-three-hole-flange-300"
CLICKS = ((1231.0, 607.0), (338.0, 337.0))
"""In the holes of the keeper, 5.5 wide and 40 apart."""


@cache
def traced(folder: str, *more: Reading) -> Traced:
    """A scan with its own readings but those that more readings stand for."""
    caliper = read_caliper(str(CORPUS / folder / "caliper.yaml"))
    names = {r.name for r in more}
    kept = tuple(r for r in caliper.readings if r.name not in names)
    picture = image_of(folder)
    return trace_scans([load(picture.read_bytes(), picture.name)], replace(caliper, readings=(*kept, *more)))


def slip(found: Traced, name: str) -> Slip:
    assert set(found.solved.slips) == {name}
    return found.solved.slips[name]


@pytest.mark.parametrize(
    ("kind", "value", "right", "words"),
    [
        (CENTRES, 45.50, 40.0, "over both holes, far edge to far edge, was read"),
        (CENTRES, 34.50, 40.0, "between the holes, near edge to near edge, was read"),
        (OVER_HOLES, 40.01, 45.5, "from centre to centre was read"),
        (OVER_HOLES, 34.51, 45.5, "between the holes, near edge to near edge, was read"),
        (BETWEEN_HOLES, 39.99, 34.5, "from centre to centre was read"),
        (BETWEEN_HOLES, 45.49, 34.5, "over both holes, far edge to far edge, was read"),
    ],
)
def test_another_kind_of_distance_is_recognised_and_used_as_what_it_is(kind, value, right, words):
    found = traced(KEEPER, Reading("m2", kind, value, CLICKS))
    s = slip(found, "m2")
    assert s.words == words
    assert s.probable == pytest.approx(right, abs=0.05)
    assert s.plain
    assert slip_words(s).endswith(f"{words}; {s.probable:.2f} was used")
    apart = found.solved.primitives
    holes = [p.values for p in apart if p.kind == "circle"]
    assert abs(holes[0][0] - holes[1][0]) ** 2 + abs(holes[0][1] - holes[1][1]) ** 2 == pytest.approx(1600.0, abs=2.0)


def test_a_radius_for_a_diameter_and_the_reverse():
    found = traced(KEEPER, Reading("m1", DIAMETER, 2.75, ((342.0, 320.0),)))
    s = slip(found, "m1")
    assert (s.words, s.plain) == ("a radius was read for a diameter", True)
    assert s.probable == pytest.approx(5.5, abs=0.03)
    found = traced(KEEPER, Reading("m9", RADIUS, 5.49, ((342.0, 320.0 + 65.0),)))
    s = slip(found, "m9")
    assert (s.words, s.plain) == ("a diameter was read for a radius", True)
    assert s.probable == pytest.approx(2.75, abs=0.03)


def test_a_neighbouring_hole_is_offered_by_its_number_and_not_used():
    own = traced(FLANGE)
    middle = next(i for i, p in enumerate(own.solved.primitives, 1) if p.kind == "circle" and p.values[2] > 9.0)
    small = next(r for r in own.caliper.readings if r.kind == CENTRES).holes[0]
    found = traced(FLANGE, Reading("m9", DIAMETER, 22.01, (small,)))  # the pixel lies in a small one
    s = slip(found, "m9")
    assert not s.plain
    assert s.words == f"feature {middle} was measured"
    assert slip_words(s).endswith("? It was not used")


def test_the_width_at_right_angles_is_offered():
    found = traced(KEEPER, Reading("m3", "outside_width", 56.01, (), (), (), -73.0))
    s = slip(found, "m3")
    assert s.words == "the width at right angles was read"
    assert not s.plain


def test_a_slip_of_digits_is_still_found_first():
    found = traced(KEEPER, Reading("m2", CENTRES, 93.99, CLICKS))
    s = slip(found, "m2")
    assert s.words == "two digits changed places"
    assert s.probable == pytest.approx(39.99)


def test_a_width_by_numbers_touches_the_outline():
    width = Reading("w", "outside_width", 45.5, (), (5, 6))
    with pytest.raises(GeometryError, match=r"reading w: feature 5 is a circle of an opening.*over_holes"):
        located(Caliper((width,)), lambda _: traced(KEEPER))
