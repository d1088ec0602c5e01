"""What is offered for artwork over its insert's edge mends it: each edit is put into the recipe and judged."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from generator.base.finding import Finding, Severity
from generator.base.remedy import Edit, ways
from generator.build.judge import Checked, judge
from generator.build.reading import read

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
    outline: {rectangle: {size: [36, 18], radius: 3}, at: [AT]}
    artwork:
      plot: {outline: {OUTLINE}, MORE}
tools:
  finisher: {kind: end mill, diameter: 2}
  fine: {kind: end mill, diameter: 0.3}
"""
DRAWING = '<svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="20mm" viewBox="0 0 50 20"><ellipse cx="25" \
cy="10" rx="25" ry="10"/></svg>'
ARTWORK = "inlays.number.artwork.plot.outline"


def checked(
    folder: Path, outline: str, more: str = "cutter: fine", at: str = "0, 2", edits: tuple[Edit, ...] = ()
) -> Checked:
    text = PLATE.replace("OUTLINE", outline).replace("MORE", more).replace("AT", at)
    (folder / "plate.yaml").write_text(text, encoding="utf-8")
    (folder / "drawing.svg").write_text(DRAWING, encoding="utf-8")
    return judge(read(str(folder / "plate.yaml"), sets=[f"{e.key}={e.value}" for e in edits]))


def told(made: Checked) -> list[Finding]:
    return [f for f in made.findings if f.check == "artwork-in-insert" and f.code in ("breaks-out", "thin-edge")]


LINEAR = {
    "cap height": ('text: {say: "21", cap_height: 30, face: serif bold}', "text.cap_height"),
    "em": ('text: {say: "21", em: 40}', "text.em"),
    "width": ("text: {say: Plot, width: 60}", "text.width"),
    "star": ("star: {size: 24}", "star.size"),
    "disc": ("disc: {radius: 12}", "disc.radius"),
    "diameter": ("disc: {diameter: 24}", "disc.diameter"),
    "off its middle": ("disc: {radius: 5, centre: [6, 3]}, at: [2, 1], turn: 30", "disc.radius"),
    "drawing": ("outline_file: {file: drawing.svg, width: 50, origin: middle}", "outline_file.width"),
    "scale": ("outline_file: {file: drawing.svg, scale: 1.5, origin: middle}", "outline_file.scale"),
}


@pytest.mark.parametrize("name", LINEAR)
def test_the_size_that_is_named_fits_and_is_the_largest(tmp_path: Path, name: str) -> None:
    outline, key = LINEAR[name]
    (finding,) = told(checked(tmp_path, outline))
    (edit,) = next(w for w in ways(finding.remedy) if w[0].key == f"{ARTWORK}.{key}")
    assert told(checked(tmp_path, outline, edits=(edit,))) == []
    assert edit.value is not None
    figure, _, unit = edit.value.partition(" ")
    larger = replace(edit, value=f"{float(figure) * 1.02 + 0.01:g} {unit}".strip())
    assert told(checked(tmp_path, outline, edits=(larger,)))


OTHERS = {
    "box": ("rectangle: {size: [40, 10], radius: 2}", f"set {ARTWORK}.rectangle.size to [3"),
    "ellipse": ("ellipse: {half_width: 19, half_height: 9}", f"set {ARTWORK}.ellipse.half_width to at most 1"),
    "ring": ("ring: {outer: 20, inner: 8}", f"set {ARTWORK}.ring.outer to at most 1"),
    "strokes": ("text: {say: AB, cap_height: 18, face: engraving, stroke_width: 1}", "text.cap_height to at most 1"),
    "beside": ("disc: {radius: 4}, at: [15, 0]", f"set {ARTWORK}.at to [13.45 mm, 0 mm]"),
    "above": ("disc: {radius: 4}, at: [1, 6]", f"set {ARTWORK}.at to [1 mm, 4.45 mm]"),
    "thin edge": ("disc: {radius: 8.8}", "set inlays.number.outline.grow to at least 0.35 mm"),
    "fitted": ("text: {say: AB, fit: {margin: 0.3}}", f"set {ARTWORK}.text.fit.margin to at least 0.55 mm"),
    "two": ("disc: {radius: 6}, add: [{disc: {radius: 6}, at: [14, 0]}]", f"set {ARTWORK}.at to"),
}


@pytest.mark.parametrize("name", OTHERS)
@pytest.mark.parametrize("at", ["0, 2", "3, -4"])
def test_every_edit_that_is_offered_mends(tmp_path: Path, name: str, at: str) -> None:
    outline, says = OTHERS[name]
    before = checked(tmp_path, outline, at=at)
    (finding,) = told(before)
    assert says in finding.remedy
    for way in ways(finding.remedy):
        after = checked(tmp_path, outline, at=at, edits=way)
        assert told(after) == [], way
        assert {f.check for f in after.findings if f.severity is Severity.FORBIDS} <= {
            f.check for f in before.findings if f.severity is Severity.FORBIDS
        }


def test_artwork_that_lies_where_the_cover_says_is_moved_there(tmp_path: Path) -> None:
    more = "cutter: fine, origin: cover"
    (finding,) = told(checked(tmp_path, "disc: {radius: 4}, at: [21, 2]", more, at="5, 2"))
    (edit,) = ways(finding.remedy)[0]
    assert edit == Edit(f"{ARTWORK}.at", "[18.45 mm, 2 mm]")
    assert told(checked(tmp_path, "disc: {radius: 4}, at: [21, 2]", more, at="5, 2", edits=(edit,))) == []


def test_a_kind_without_a_size_is_told_its_factor(tmp_path: Path) -> None:
    outline = "polygon: {points: [[-36, -8], [36, -8], [36, 8], [-36, 8]]}"
    (finding,) = told(checked(tmp_path, outline))
    assert finding.remedy.startswith(f"draw {ARTWORK} at most 0.48 times as large")
