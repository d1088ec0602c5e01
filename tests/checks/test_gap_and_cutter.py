"""What is lost to a gap is not laid at the cutter's door; what is lost to the cutter has figures that help."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from recipe_trials import Edit, inlay, judged, mending, of, value

from generator.base.remedy import ways

LETTERS = "text: {say: Köln 8, cap_height: 9}"


def test_a_gap_as_wide_as_half_a_stroke_is_told_once_and_the_cutter_is_not_blamed(tmp_path: Path) -> None:
    more = inlay(LETTERS, more="cutter: fine, gap: 1")
    made = judged(tmp_path, more)
    (finding,) = of(made, "insert-gap")
    assert finding.code == "piece-swallowed"
    assert [f.code for f in of(made, "finer-than-cutter")] == ["corners-rounded"]
    (way,) = mending(tmp_path, more, finding)
    assert way[0].key == "inlays.n.gap"
    after = judged(tmp_path, more, way)
    # the dots are pieces again, and tiny ones
    more_said = {(f.check, f.severity) for f in after.findings} - {(f.check, f.severity) for f in made.findings}
    assert {check for check, _ in more_said} <= {"insert-island"}


@pytest.mark.parametrize("outline", [LETTERS, "disc: {radius: 3}, add: [{disc: {radius: 0.6}, at: [8, 0]}]"])
def test_the_widest_gap_that_is_told_leaves_every_piece_and_hardly_more_does_not(tmp_path: Path, outline: str) -> None:
    more = inlay(outline, more="cutter: fine, gap: 1")
    (finding,) = of(judged(tmp_path, more), "insert-gap")
    match = re.search(r"at most ([\d.]+) mm would leave all of it", finding.message)
    assert match is not None
    for by, codes in ((0.0, set()), (0.02, {"piece-swallowed", "falls-apart", "swallowed"})):
        gap = Edit("inlays.n.gap", f"{float(match[1]) + by:g} mm")
        found = {f.code for f in of(judged(tmp_path, more, (gap,)), "insert-gap")} - {"loose", "uneven"}
        assert found <= codes
        assert bool(found) == bool(codes)


def test_pieces_too_small_for_any_gap_are_to_be_drawn_larger(tmp_path: Path) -> None:
    more = inlay("disc: {radius: 3}, add: [{disc: {radius: 0.015}, at: [8, 0]}]", more="corners: as drawn")
    (finding,) = of(judged(tmp_path, more), "insert-gap", "piece-swallowed")
    assert not ways(finding.remedy)
    match = re.search(r"at least ([\d.]+) times as large", finding.remedy)
    assert match is not None
    assert float(match[1]) == pytest.approx(0.05 / 0.01, rel=0.01)


FIFTY = inlay("rectangle: {size: [36, 26], radius: 3}", "outline: {text: {SAY, fit: {margin: 1}}}, cutter: fine, DEPTH")
ENGRAVED = "done: engraved, depth: 0.3"


def fifty(say: str) -> str:
    return FIFTY.replace("SAY", say).replace("DEPTH", ENGRAVED)


def test_fifty_fitted_letters_are_answered_with_fewer_letters_more_lines_or_a_larger_region(tmp_path: Path) -> None:
    (finding,) = of(judged(tmp_path, fifty(f"say: {'x' * 50}")), "finer-than-cutter", "nothing-left")
    match = re.fullmatch(
        r"write at most (\d+) letters in a line and at most (\d+) lines, or fit it into a region at least ([\d.]+) "
        r"times as large, ([\d.]+) x ([\d.]+) mm",
        finding.remedy,
    )
    assert match is not None, finding.remedy
    letters, lines = int(match[1]), int(match[2])
    few = fifty(f"lines: [{', '.join(['x' * letters] * lines)}]")
    lost = ("nothing-left", "piece-lost", "thinned")
    assert of(judged(tmp_path, few), "finer-than-cutter", *lost) == []
    many = fifty(f"say: {'x' * (2 * letters)}")
    assert of(judged(tmp_path, many), "finer-than-cutter", *lost)
    width, height = float(match[4]), float(match[5])
    region = fifty(f"say: {'x' * 50}").replace("size: [36, 26]", f"size: [{width}, {height}]")
    wide = "rectangle: {size: [400, 300], radius: 8}"
    assert of(judged(tmp_path, region, outer=wide), "finer-than-cutter", *lost) == []


def test_a_text_of_fixed_width_is_told_how_much_larger(tmp_path: Path) -> None:
    more = inlay(
        "rectangle: {size: [60, 26], radius: 3}", f"outline: {{text: {{say: {'x' * 30}, width: 30}}}}, cutter: fine"
    )
    (finding,) = of(judged(tmp_path, more), "finer-than-cutter", "nothing-left", "piece-lost")
    assert finding.remedy.startswith(("draw it", "add an end mill"))
    assert value((Edit("x", re.search(r"draw it ([\d.]+) times", finding.remedy)[1]),)) > 1.0
