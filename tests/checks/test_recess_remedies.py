"""What is offered for recesses of the top face that come too near to the cover's edge: put into the recipe, judged."""

from __future__ import annotations

from pathlib import Path

import pytest
from recipe_trials import engraving, inlay, judged, mending, of

MARGIN = "even_margin: {margin: 6, hull: true}"
RIM = "text: {say: LAKE, cap_height: 5, along: {radius: 22}}"


def keys(folder: Path, more: str, code: str) -> list[str]:
    (finding,) = of(judged(folder, more, outer=MARGIN), "inlay-in-cover", code)
    return [way[0].key for way in mending(folder, more, finding, MARGIN)]


def test_letters_are_not_shrunk_until_nothing_is_left(tmp_path: Path) -> None:
    assert keys(tmp_path, engraving(RIM), "breaks-out") == ["cover.outer.grow", "cover.engravings.e.outline.at"]


@pytest.mark.parametrize(
    ("outline", "code"),
    [
        ("rectangle: {size: [20, 8], radius: 2}, at: [0, 22.5]", "breaks-out"),
        ("rectangle: {size: [20, 8], radius: 2}, at: [0, 21.6]", "thin-wall"),
    ],
)
def test_what_is_large_enough_may_shrink(tmp_path: Path, outline: str, code: str) -> None:
    assert keys(tmp_path, engraving(outline), code) == [
        "cover.outer.grow",
        "cover.engravings.e.outline.grow",
        "cover.engravings.e.outline.at",
    ]
    assert "inlays.n.outline.grow" in keys(tmp_path, inlay(outline, more="cutter: fin"), code)


def test_shrinking_that_the_cutter_or_the_gap_would_not_survive_is_not_offered(tmp_path: Path) -> None:
    """0.8 mm less on either side leave 0.4 mm of a bar of 2 mm: the end mill of 0.5 mm does not go in."""
    bar = "rectangle: {size: [40, 2]}, at: [0, 25]"
    assert keys(tmp_path, engraving(bar), "thin-wall") == ["cover.outer.grow", "cover.engravings.e.outline.at"]
    ring = "ring: {outer: 18, inner: 12.8}, at: [0, 16.8]"
    assert "inlays.n.outline.grow" not in keys(tmp_path, inlay(ring, more="cutter: fine, gap: 1.2"), "thin-wall")


def test_what_is_fitted_into_the_cover_gets_a_wider_margin(tmp_path: Path) -> None:
    assert keys(tmp_path, engraving("text: {say: LAKE, fit: {margin: 0.2}}"), "thin-wall") == [
        "cover.engravings.e.outline.text.fit.margin"
    ]
