"""Readings that contradict each other: told with both sides where nothing decides, decided where a majority does.

The keeper of the picture is 56 mm long, its holes 40 apart and 5.5 wide (truth.json beside it).
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from generator.base.errors import GeometryError
from generator.outputs.footprint.account import account_of
from generator.outputs.footprint.figures import figures
from generator.outputs.footprint.fragment import fragment
from generator.outputs.footprint.report import report
from generator.trace.disputes import dispute_words
from generator.trace.picture import load
from generator.trace.readings import CENTRES, DIAMETER, OVER_HOLES, WIDTH, Caliper, Reading
from generator.trace.tracing import Traced, trace_scans
from tests.trace.traced_cases import KEEPER, image_of

CLICKS = ((1231.0, 607.0), (338.0, 337.0))
HOLE = Reading("hole", DIAMETER, 5.50, ((342.0, 320.0),))
CENTRE = Reading("centre", CENTRES, 39.99, CLICKS)
LONG = Reading("long", WIDTH, 56.01, direction_deg=17.0)
OVER = Reading("over", OVER_HOLES, 45.49, CLICKS)


def more(reading: Reading, factor: float, name: str) -> Reading:
    return replace(reading, value=round(reading.value * factor, 2), name=name)


@cache
def traced(*readings: Reading, dpi: float | None = None) -> Traced:
    picture = image_of(KEEPER)
    return trace_scans([load(picture.read_bytes(), picture.name)], Caliper(readings), dpi=dpi)


TWO_AND_TWO = (HOLE, CENTRE, LONG, more(OVER, 1.01, "over"), more(LONG, 1.01, "long2"))


def test_two_against_two_are_told_with_what_each_side_implies():
    found = traced(*TWO_AND_TWO)
    (dispute,) = found.disputes
    assert {s.names for s in dispute.sides} == {("centre", "long"), ("over", "long2")}
    small = next(s for s in dispute.sides if "centre" in s.names)
    assert {n: v for n, _, v in small.others} == {
        "over": pytest.approx(45.49, abs=0.03),
        "long2": pytest.approx(56.01, abs=0.03),
    }
    large = next(s for s in dispute.sides if "over" in s.names)
    assert {n: v for n, _, v in large.others} == {
        "centre": pytest.approx(40.39, abs=0.03),
        "long": pytest.approx(56.57, abs=0.03),
    }
    assert dispute.again in ("long", "long2"), "the longest tells them apart best"
    assert sorted(dispute.shows) == [pytest.approx(56.01, abs=0.03), pytest.approx(56.57, abs=0.03)]


def test_no_side_is_used_and_the_uncertainty_covers_both():
    found = traced(*TWO_AND_TWO)
    told = account_of(found, "k", ["k.jpg"], "scan")
    assert {m.name for m in told.measured} == {"hole"}
    far = next(d for d in told.distances if not d.edges)
    assert far.value - far.doubt < 39.99 < far.value + far.doubt
    assert far.value - far.doubt < 39.99 * 1.01 < far.value + far.doubt
    agreed = account_of(traced(HOLE, CENTRE, LONG), "k", ["k.jpg"], "scan")
    assert told.footprint.outline_doubt > 5.0 * agreed.footprint.outline_doubt


def test_they_are_told_in_every_file():
    told = account_of(traced(*TWO_AND_TWO), "k", ["k.jpg"], "scan")
    (sentence,) = [dispute_words(d) for d in told.traced.disputes]
    for word in (
        "centre and long",
        "over and long2",
        "nothing decides",
        "Read long",
        "again: 56.",
        "None of them was used",
    ):
        assert word in sentence
    assert sentence in report(told)
    assert sentence in fragment(told)
    assert "given up" not in report(told).split("## Features")[0]
    data = figures(told)
    assert data["slips"] == []
    (dispute,) = data["contradictions"]
    assert sorted(s["ids"] for s in dispute["sides"]) == [["centre", "long"], ["over", "long2"]]


def test_one_word_against_another_is_not_decided_either():
    found = traced(HOLE, LONG, more(LONG, 1.01, "long2"))
    (dispute,) = found.disputes
    assert {s.names for s in dispute.sides} == {("long",), ("long2",)}


def test_what_the_picture_decides_is_no_dispute():
    # by its edges, known to a share of a pixel, no hole of the picture is a tenth of a millimetre larger
    found = traced(HOLE, CENTRE, LONG, more(HOLE, 1.02, "hole2"))
    assert found.disputes == ()
    assert set(found.solved.slips) == {"hole2"}


def test_three_that_differ_are_three_sides():
    found = traced(HOLE, LONG, more(LONG, 1.01, "long2"), more(LONG, 0.99, "long3"))
    (dispute,) = found.disputes
    assert {s.names for s in dispute.sides} == {("long",), ("long2",), ("long3",)}


def test_a_majority_decides():
    found = traced(HOLE, CENTRE, LONG, OVER, more(LONG, 1.01, "long2"))
    assert found.disputes == ()
    assert set(found.solved.slips) == {"long2"}


def test_a_plain_slip_is_none_of_two_equal_words():
    # 56.01 typed as 65.01: by the file's resolution it can only be that
    found = traced(HOLE, LONG, replace(LONG, name="long2", value=65.01))
    assert found.disputes == ()
    assert found.solved.slips["long2"].words == "two digits changed places"


def test_readings_that_agree_are_no_dispute():
    assert traced(HOLE, CENTRE, LONG, OVER).disputes == ()
    assert traced(HOLE, CENTRE, LONG, OVER).solved.slips == {}


def without_resolution(*readings: Reading) -> Traced:
    picture = image_of(KEEPER)
    loaded = load(picture.read_bytes(), picture.name)
    return trace_scans([replace(loaded, dpi=None)], Caliper(readings))


def test_readings_that_alone_tell_the_scale_and_contradict_each_other_are_refused_with_both_sides():
    with pytest.raises(
        GeometryError,
        match=r"contradict each other.*: big and long2 \(54\d dpi\) against centre and long \(60\d dpi\); "
        r"the file does not say its resolution\. Read .* again, or give the resolution as --dpi",
    ):
        without_resolution(CENTRE, LONG, more(LONG, 1.1, "long2"), more(CENTRE, 1.1, "big"))
    found = without_resolution(CENTRE, LONG, more(LONG, 1.1, "long2"))  # a majority
    assert set(found.solved.slips) == {"long2"}


def test_a_side_that_the_resolution_told_bears_out_is_right():
    found = traced(CENTRE, LONG, more(LONG, 1.1, "long2"), more(CENTRE, 1.1, "big"))
    assert found.disputes == ()
    assert set(found.solved.slips) == {"long2", "big"}


def test_one_odd_reading_does_not_overturn_a_usual_resolution():
    # the width over all typed as the distance of the holes' centres: 428 dpi
    found = traced(replace(CENTRE, value=56.01))
    assert round(25.4 / found.seen[0].mm_per_px[0]) == 600
    assert set(found.solved.slips) == {"centre"}
    assert found.warnings == ()


def test_over_holes_and_between_holes_tell_a_scale_too():
    found = without_resolution(OVER)
    assert round(25.4 / found.seen[0].mm_per_px[0]) == 600


@pytest.mark.parametrize(("factor", "unit"), [(1.0 / 25.4, "inch"), (25.4, "mm")])
def test_readings_that_are_all_of_the_other_unit_are_refused_with_it(factor, unit):
    with pytest.raises(GeometryError, match=rf"25\.4 times as .* 600 that are stated.*`units: {unit}`"):
        traced(more(CENTRE, factor, "a"), more(LONG, factor, "b"))


def test_a_resolution_that_no_scanner_has_is_refused():
    with pytest.raises(GeometryError, match=r"by the readings it has 1528\d\.\d dpi, which no scanner has.*`units`"):
        without_resolution(replace(CENTRE, value=1.574))
