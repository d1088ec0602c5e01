"""What is offered against faces that do not meet can be done, and mends it."""

from __future__ import annotations

import pytest
from recipe_trials import Edit, judged, mending, of

from generator.base.remedy import ways

OUTER = "rectangle: {size: [WIDE, 70], radius: 8}"
DOWELS = "dowels: {diameter: 6, axis: AXIS, AT}\ntolerances: {flip: FLIP}"


def flip(at: str = "", off: float = 0.1, axis: str = "y") -> str:
    """Return the keys of dowels at places, with an error at each."""
    line = DOWELS.replace("AXIS", axis).replace("FLIP", f"{off:g}")
    return line.replace(", AT", f", at: {at}" if at else "")


@pytest.mark.parametrize("wide", [100, 180, 400])
@pytest.mark.parametrize(("at", "off"), [("", 0.1), ("", 0.3), ("[-60, 64]", 0.1), ("[-52, 53]", 0.05)])
def test_every_edit_brings_the_faces_together(tmp_path, wide, at, off):
    outer = OUTER.replace("WIDE", str(wide))
    told = of(judged(tmp_path, flip(at, off), outer=outer), "flip-error")
    for finding in told:
        assert "at most 0 mm" not in finding.remedy
        tried = list(mending(tmp_path, flip(at, off), finding, outer))
        assert tried, finding.remedy


def test_dowels_farther_apart_are_offered_with_their_places(tmp_path):
    outer = OUTER.replace("WIDE", "320")
    (told,) = of(judged(tmp_path, flip("[-60, 64]", 0.06), outer=outer), "flip-error")
    tried = list(mending(tmp_path, flip("[-60, 64]", 0.06), told, outer))
    (at,) = (e.value for w in tried for e in w if e.key == "dowels.at")
    low, high = (float(x.removesuffix(" mm")) for x in (at or "").strip("[]").split(", "))
    assert low < -60.0
    assert high > 64.0
    nearer = (Edit("dowels.at", f"[{low + 0.5:g} mm, {high - 0.5:g} mm]"),)
    assert of(judged(tmp_path, flip("[-60, 64]", 0.06), nearer, outer), "flip-error")  # no farther than needed


def test_where_nobody_works_so_closely_it_is_said_plainly(tmp_path):
    near = "[-3.2, 3.2], place: inside"
    (told,) = of(judged(tmp_path, flip(near, 0.1), outer=OUTER.replace("WIDE", "500")), "flip-error", "crooked")
    assert told.remedy.startswith("register the blank another way than on these dowels")
    assert "at most" not in told.remedy


@pytest.mark.parametrize(("at", "wide"), [("[50, 60]", 60), ("[50, 58]", 90), ("[-60, -50]", 60)])
def test_dowels_are_offered_clear_of_the_part(tmp_path, at, wide):
    outer = OUTER.replace("WIDE", str(wide))
    told = of(judged(tmp_path, flip(at, 0.05), outer=outer), "flip-error", "crooked")
    assert told
    for finding in told:
        found = [w for w in ways(finding.remedy) if any(e.key == "dowels.at" for e in w)]
        assert found, finding.remedy
        for way in found:
            after = judged(tmp_path, flip(at, 0.05), way, outer)
            assert not of(after, "flip-error", "crooked")
            assert not [f for f in of(after, "dowels") if f.severity.name == "FORBIDS"]
