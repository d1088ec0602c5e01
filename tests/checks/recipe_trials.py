"""Recipes as people write them: what a remedy offers is put into the recipe and judged again."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from generator.base.finding import Finding, Severity
from generator.base.remedy import Edit, Way, ways
from generator.build.judge import Checked, judge
from generator.build.reading import read

PLATE = """\
name: plate
original:
  height: 3
  load_bearing: false
  footprint: {rectangle: {size: [70, 40], radius: 5}}
  bolts:
    - {thread: M5, at: [[-28, 0], [28, 0]]}
cover:
  stock: {thickness: 10}
  outer: {OUTER}
  seats: {screw: ISO 4762}
MORE
tools:
  fin: {kind: end mill, diameter: 2}
  fine: {kind: end mill, diameter: 0.5}
  rough: {kind: end mill, diameter: 6}
  rim: {kind: chamfer cutter, diameter: 8}
"""
"""OUTER stands for the outer shape, MORE for inlays or engravings; cover keys go on two spaces in."""
LARGE = "rectangle: {size: [100, 70], radius: 8}"


def inlay(outline: str, artwork: str = "", more: str = "") -> str:
    """Return an inlay of brass, let in by hand and cut with ``fin``."""
    art = f", artwork: {{a: {{{artwork}}}}}" if artwork else ""
    rest = f", {more}" if more else ""
    return f"inlays:\n  n: {{stock: {{thickness: 1.5}}, outline: {{{outline}}}, fit: hand{art}{rest}}}"


def engraving(outline: str, more: str = "cutter: fine") -> str:
    """Return an engraving in the cover."""
    return f"  engravings:\n    e: {{outline: {{{outline}}}, depth: 0.3, {more}}}"


def judged(folder: Path, more: str, way: Way = (), outer: str = LARGE) -> Checked:
    """Return the plate with something on it, with edits laid over it, judged.

    Raises: RecipeError: it cannot be read or drawn with them.
    """
    path = folder / "plate.yaml"
    path.write_text(PLATE.replace("OUTER", outer).replace("MORE", more), encoding="utf-8")
    return judge(read(str(path), sets=[f"{e.key}={'null' if e.value is None else e.value}" for e in way]))


def of(made: Checked, check: str, *codes: str) -> list[Finding]:
    """Return the findings of one check, of these codes if there are any."""
    return [f for f in made.findings if f.check == check and (not codes or f.code in codes)]


def forbidden(made: Checked) -> set[tuple[str, str]]:
    """Return check and feature of what is forbidden."""
    return {(f.check, f.feature) for f in made.findings if f.severity is Severity.FORBIDS}


def mending(folder: Path, more: str, finding: Finding, outer: str = LARGE) -> Iterator[Way]:
    """Yield every way that a finding offers, once it was seen that with it the finding is gone and nothing new forbids.

    Raises: RecipeError: an edit leads into a recipe that cannot be read or drawn.
    """
    before = judged(folder, more, outer=outer)
    for way in ways(finding.remedy):
        after = judged(folder, more, way, outer)
        same = [f for f in of(after, finding.check, finding.code) if f.feature == finding.feature]
        assert not same, (way, same)
        assert forbidden(after) <= forbidden(before), way
        yield way


def value(way: Way) -> float:
    """Return the length or number of a single edit."""
    (edit,) = way
    assert edit.value is not None
    return float(edit.value.partition(" ")[0])


__all__ = ["LARGE", "Edit", "engraving", "forbidden", "inlay", "judged", "mending", "of", "value"]
