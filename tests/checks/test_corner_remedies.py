"""What is offered to make corners rounder has an effect: it is put into the recipe and judged again."""

from __future__ import annotations

import pytest
import recipe_trials
from recipe_trials import judged, mending, of, value

OUTER = "rectangle: {size: [100, 70], radius: 8}"
ROSETTE = "rosette: {margin: 5, count: 18}"


@pytest.fixture
def plate(monkeypatch):
    """Judge the plate with an opening in the original that runs over the cover's edge."""

    def use(outline: str) -> None:
        opening = f"  openings:\n    o: {{outline: {{{outline}, at: [0, -35]}}}}\ncover:\n"
        text = recipe_trials.PLATE.replace("cover:\n", opening, 1)
        text = text.replace("diameter: 0.5}", "diameter: 3}").replace("diameter: 2}", "diameter: 3}")
        monkeypatch.setattr(recipe_trials, "PLATE", text)

    return use


def mended(folder, check: str, code: str, outer: str = OUTER):
    """Return the ways that were followed, each with its finding gone."""
    (finding,) = of(judged(folder, "", outer=outer), check, code)
    return finding, list(mending(folder, "", finding, outer))


def test_hollows_of_a_rosette_are_made_rounder_by_their_own_key(tmp_path):
    finding, ways = mended(tmp_path, "corner-to-depth", "tight", ROSETTE)
    ((edit,),) = ways
    assert edit.key == "cover.outer.rosette.hollow_radius"
    assert value((edit,)) == pytest.approx(finding.limit, abs=0.01)


@pytest.mark.parametrize(("check", "code"), [("cutter-reach", "uncut"), ("corner-to-depth", "tight")])
def test_corners_of_an_opening_over_the_edge_are_rounded_in_the_opening(tmp_path, plate, check, code):
    plate("rectangle: {size: [12, 16]}")
    _, ways = mended(tmp_path, check, code)
    ((edit,),) = ways
    assert edit.key == "original.openings.o.outline.round_corners"


def test_a_rectangle_with_a_radius_of_its_own_is_rounded_by_that(tmp_path, plate):
    plate("rectangle: {size: [12, 16], radius: 2}")
    _, ways = mended(tmp_path, "corner-to-depth", "tight")
    assert [e.key for (e,) in ways] == ["original.openings.o.outline.rectangle.radius"]


def test_of_a_round_opening_over_the_edge_no_key_is_told(tmp_path, plate):
    plate("disc: {diameter: 6}")
    finding, ways = mended(tmp_path, "corner-to-depth", "tight")
    assert ways == []
    assert "no key alone rounds this corner" in finding.remedy
    assert "3.34 mm" in finding.remedy  # a third of 10 mm


def test_the_mouth_of_a_notch_is_broken_by_hand_for_no_key_rounds_it(tmp_path, plate):
    plate("rectangle: {size: [12, 16]}")
    finding, ways = mended(tmp_path, "sharp-corners", "catches")
    assert ways == []
    assert finding.remedy.startswith("leave it and break the corner by hand")


def test_corners_of_the_outer_shape_itself_are_still_rounded_by_its_modifier(tmp_path):
    _, ways = mended(tmp_path, "sharp-corners", "catches", "rectangle: {size: [100, 70]}")
    assert [e.key for (e,) in ways] == ["cover.outer.round_corners"]
