"""What is offered for what a cutter does not reach, and for ribs and bridges too thin: put into the recipe, judged."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from recipe_trials import engraving, inlay, judged, mending, of

from generator.estimate.cutters import deep_cuts
from generator.estimate.operations import operations

HAIRS = "text: {say: Fine lines & hairs, cap_height: 6, face: serif italic}, at: [0, -26]"
DRAWN = "cutter: rough, corners: as drawn"
GEAR = "gear: {size: 26, corner_radius: 0.5}"


def ring(width: float, more: str = "") -> str:
    art = f"outline: {{ring: {{outer: 20, inner: 14}}}}, cutter: fine, bridges: {{width: {width:g}, count: 2}}"
    return inlay("rectangle: {size: [36, 26]}", art + more, "cutter: fin")


# ------------------------------------------------------------------ corners as drawn, cut with a cutter that is named
def test_a_cutter_that_is_named_is_judged_though_corners_stay_as_drawn(tmp_path: Path) -> None:
    plain = judged(tmp_path, engraving(HAIRS, "corners: as drawn"))
    named = judged(tmp_path, engraving(HAIRS, DRAWN))
    (small,), (rough,) = of(plain, "cutter-reach", "uncut"), of(named, "cutter-reach", "uncut")
    assert small.message.startswith("the smallest end mill, 0.5 mm, leaves")
    assert rough.message.startswith("the end mill of 6 mm that the recipe names leaves")
    assert (rough.figure or 0.0) > 4.0 * (small.figure or 0.0)
    region = {m.plan.cover.features[-1].region for m in (plain, named)}
    assert len(region) == 1


def test_a_cutter_that_is_named_cuts_pocket_and_insert_as_drawn(tmp_path: Path) -> None:
    more = inlay(GEAR, more=DRAWN)
    made = judged(tmp_path, more)
    findings = of(made, "cutter-reach")
    assert {(f.code, f.feature) for f in findings} == {
        ("does-not-fit", "inlay-pocket-n"),
        ("uncut", "insert-profile-n"),
    }
    for finding in findings:
        assert [[e.key for e in way] for way in mending(tmp_path, more, finding)] == [["inlays.n.cutter"]]


def test_estimate_and_depth_take_the_named_cutter(tmp_path: Path) -> None:
    made = judged(tmp_path, inlay("rectangle: {size: [36, 26]}", more=DRAWN))
    recipe = made.reading.recipe
    tools = {o.tool for o in operations(recipe, made.plan) if o.what == "inlay-pocket-n"}
    assert tools == {"rough"}
    (deep,) = [d for d in deep_cuts(recipe, made.plan) if d.feature == "inlay-pocket-n"]
    assert deep.used[0] == "rough"
    assert deep.radius_mm == pytest.approx(3.0)


def test_corners_that_cannot_be_rounded_so_far_are_not_offered(tmp_path: Path) -> None:
    for more in (engraving(HAIRS, "corners: as drawn"), engraving(HAIRS, DRAWN)):
        (finding,) = of(judged(tmp_path, more), "cutter-reach", "uncut")
        assert "round_corners" not in finding.remedy
        assert list(mending(tmp_path, more, finding)) == []
        match = re.fullmatch(
            r"add an end mill of ([\d.]+) mm to tools, name it in cover.engravings.e.cutter and leave "
            r"cover.engravings.e.corners out",
            finding.remedy,
        )
        assert match is not None
        fine = judged(tmp_path, engraving(HAIRS).replace("cutter: fine", "cutter: rough"))
        assert of(fine, "finer-than-cutter", "piece-lost", "nothing-left")


@pytest.mark.parametrize(
    "more", [engraving("rectangle: {size: [40, 8]}, at: [0, -26]", DRAWN), inlay(GEAR, more=DRAWN)]
)
def test_every_edit_that_is_offered_mends(tmp_path: Path, more: str) -> None:
    for finding in of(judged(tmp_path, more), "cutter-reach"):
        assert list(mending(tmp_path, more, finding))


def test_a_rectangle_is_offered_rounder_corners_or_corners_made_for_the_cutter(tmp_path: Path) -> None:
    more = engraving("rectangle: {size: [40, 12]}, at: [0, -26]", "corners: as drawn")
    (finding,) = of(judged(tmp_path, more), "cutter-reach", "uncut")
    keys = [[e.key for e in way] for way in mending(tmp_path, more, finding)]
    assert ["cover.engravings.e.outline.round_corners"] in keys
    assert len(keys) == 2


# ------------------------------------------------------------------ bridges
def test_thin_bridges_are_told_how_wide_to_be(tmp_path: Path) -> None:
    more = ring(0.2)
    made = judged(tmp_path, more)
    ribs = of(made, "cutter-reach", "thin-rib")
    assert {f.feature for f in ribs} == {"cut-a", "insert-profile-n"}
    for finding in (*ribs, *of(made, "insert-width")):
        keys = [way[0].key for way in mending(tmp_path, more, finding)]
        assert keys[-1] == "inlays.n.artwork.a.bridges.width"
        assert "times as" not in finding.remedy


def test_a_bridge_just_as_wide_as_it_must_be_is_no_rib(tmp_path: Path) -> None:
    assert of(judged(tmp_path, ring(0.5)), "cutter-reach", "thin-rib") == []
    assert of(judged(tmp_path, ring(0.49)), "cutter-reach", "thin-rib")


def test_bridges_that_find_no_room_when_wider_are_not_offered(tmp_path: Path) -> None:
    """The inside of the ring is 0.4 mm across: no bridge of 0.5 mm holds it."""
    art = "outline: {ring: {outer: 8, inner: 0.4}}, cutter: fine, bridges: {width: 0.2}"
    more = inlay("rectangle: {size: [36, 26]}", art)
    ribs = of(judged(tmp_path, more), "cutter-reach", "thin-rib")
    assert ribs
    assert not [f for f in ribs if "bridges.width" in f.remedy]
