"""Artwork finer than its cutter: how much is lost and where, and the cutter or size that would do, tried."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from harness import found
from part_samples import RECIPE, box, crest, disc

from generator.base.finding import Finding
from generator.base.remedy import Edit, ways
from generator.build.judge import judge
from generator.build.reading import read
from generator.recipe.model import Recipe
from generator.recipe.model_inlay import Artwork
from generator.recipe.model_tools import Tool

PLATE = """\
name: plate
original:
  height: 3
  load_bearing: false
  footprint: {rectangle: {size: [90, 40], radius: 5}}
  bolts:
    - {thread: M5, at: [[-38, 0], [38, 0]]}
cover:
  stock: {thickness: 12}
  outer: {even_margin: {margin: 8}}
  seats: {screw: ISO 4762}
inlays:
  number:
    stock: {thickness: 1.5}
    outline: {rectangle: {size: [36, 18], radius: 3}}
    cutter: finisher
    artwork:
      plot: {outline: {text: {say: Orchard, fit: {margin: 1}}}, done: engraved, depth: 0.3, cutter: fine}
tools:
  finisher: {kind: end mill, diameter: 3}
  fine: {kind: end mill, diameter: 0.8}
"""
LOST = ("piece-lost", "nothing-left", "thinned")


def told(folder: Path, *edits: Edit) -> list[Finding]:
    (folder / "plate.yaml").write_text(PLATE, encoding="utf-8")
    made = judge(read(str(folder / "plate.yaml"), sets=[f"{e.key}={e.value}" for e in edits]))
    return [f for f in made.findings if f.check == "finer-than-cutter" and f.code in LOST]


def mill(diameter: float) -> Edit:
    return Edit("tools.fine.diameter", f"{diameter:g} mm")


def test_lost_pieces_are_told_with_area_share_place_and_the_largest_cutter(tmp_path: Path) -> None:
    (finding,) = told(tmp_path)
    assert finding.code == "piece-lost"
    match = re.search(r"loses ([\d.]+) mm², ([\d.]+) % of its area", finding.message)
    assert match is not None
    assert float(match[2]) == pytest.approx(finding.figure, abs=0.06)
    assert finding.point_mm is not None
    assert "at ({:.2f}, {:.2f})".format(*finding.point_mm) in finding.message
    largest = re.search(r"no more than 2 % has ([\d.]+) mm; one of ([\d.]+) mm is sold", finding.message)
    assert largest is not None
    assert told(tmp_path, mill(float(largest[1]))) == []
    assert told(tmp_path, mill(float(largest[1]) + 0.01))
    assert ways(finding.remedy) == ((Edit("tools.fine.diameter", f"{largest[2]} mm"),),)
    assert told(tmp_path, mill(float(largest[2]))) == []


def test_an_end_mill_at_hand_that_would_do_is_named(tmp_path: Path) -> None:
    (finding,) = told(tmp_path, Edit("tools.finest", "{kind: end mill, diameter: 0.2}"))
    assert ways(finding.remedy) == ((Edit("inlays.number.artwork.plot.cutter", "finest"),),)


def test_where_no_cutter_would_do_the_finest_is_told_with_what_it_loses_and_the_size_that_would(tmp_path: Path) -> None:
    def high(cap_mm: float) -> Edit:
        return Edit("inlays.number.artwork.plot.outline", f"{{text: {{say: Orchard, cap_height: {cap_mm:g}}}}}")

    (finding,) = told(tmp_path, high(0.6))
    assert "even an end mill of 0.1 mm loses" in finding.message
    factor = times_larger(finding.remedy)
    assert told(tmp_path, high(0.6 * factor)) == []
    assert told(tmp_path, high(0.55 * factor))


def times_larger(remedy: str) -> float:
    match = re.search(r"draw it ([\d.]+) times as large", remedy)
    assert match is not None, remedy
    return float(match[1])


def strip(scale: float, diameter: float = 1.0) -> Recipe:
    """A disc and a speck cut through the insert; a strip of the insert's own."""
    outline = replace(disc(1.2 * scale), add=(box(0.4 * scale, 0.4 * scale, (2.0 * scale, 0.0)),))
    tools = {**RECIPE.tools, "fine": Tool(kind="end mill", diameter=diameter)}
    return replace(crest(artwork={"mark": Artwork(outline=outline, cutter="fine")}), tools=tools)


def test_the_size_that_is_told_is_enough_and_hardly_more() -> None:
    (finding,) = found(strip(1.0), "finer-than-cutter")
    assert finding.code == "piece-lost"
    factor = times_larger(finding.remedy)
    assert {f.code for f in found(strip(factor), "finer-than-cutter")} <= {"corners-rounded"}
    assert {f.code for f in found(strip(0.96 * factor), "finer-than-cutter")} & set(LOST)


def test_a_piece_that_goes_where_another_falls_in_two_is_not_overlooked() -> None:
    """Two pieces before, two after: a speck goes, and a dumbbell breaks at its neck."""
    dumbbell = (disc(2.0, (6.0, 0.0)), box(6.0, 0.5, (3.0, 0.0)), box(0.5, 0.5, (3.0, 2.0)))
    tools = {**RECIPE.tools, "fine": Tool(kind="end mill", diameter=0.8)}
    outline = replace(disc(2.0, (-3.0, 0.0)), add=dumbbell)
    recipe = replace(crest(artwork={"mark": Artwork(outline=outline, cutter="fine")}), tools=tools)
    assert [f.code for f in found(recipe, "finer-than-cutter")] == ["piece-lost"]


def test_letters_as_pockets_are_judged_as_pockets_are_made() -> None:
    outline = replace(disc(2.5, (-4.0, 4.0)), add=(box(1.4, 1.4, (8.0, 0.0)),))
    recipe = crest(outline=outline)
    finding = next(f for f in found(recipe, "finer-than-cutter") if f.code in LOST)
    sold = re.search(r"one of ([\d.]+) mm is sold", finding.message)
    assert sold is not None
    tools = {**RECIPE.tools, "fine": Tool(kind="end mill", diameter=float(sold[1]))}
    mended = replace(crest(outline=outline, cutter="fine"), tools=tools)
    assert {f.code for f in found(mended, "finer-than-cutter")} <= {"corners-rounded"}
