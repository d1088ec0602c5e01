"""A small cover for the hand-off, and its files without those that need the solid kernel."""

from __future__ import annotations

from pathlib import Path

from generator.build.handoff.agreement import Agreement, agreement
from generator.build.handoff.choose import chosen
from generator.build.judge import check
from generator.build.work import work_of
from generator.outputs import drawings_dxf, drawings_pdf, inspection, layers_dxf, parts_list, setup_sheets

RECIPE = """\
name: plain
revision: "A"
units: mm
original:
  height: 3
  load_bearing: true
  footprint: {rectangle: {size: [40, 20], radius: 4}}
  bolts:
    - {thread: M5, at: [[-12, 0], [12, 0]]}
cover:
  material: EN AW-6082 T6
  stock: {thickness: 10}
  outer: {rectangle: {size: [52, 32], radius: 6}}
  seats: {screw: ISO 4762}
inlays:
  plate: {material: CuZn37 R350, stock: {thickness: 1}, outline: {rectangle: {size: [9, 7], radius: 2}}}
dowels: {diameter: 6, axis: x}
order: {quantity: 3, contact: "Workshop 3, ask for the planner"}
"""
FLAT = (drawings_dxf, drawings_pdf, inspection, layers_dxf, parts_list, setup_sheets)


def flat_files(path: Path, *sets: str, outputs=FLAT) -> dict[str, bytes]:
    """Return the files of some outputs that go to a shop, by path."""
    work = work_of(check(path, sets=sets))
    return chosen({p: d for o in outputs for p, d in o.OUTPUT.write(work)})


def agreed(path: Path, files: dict[str, bytes], *sets: str) -> Agreement:
    """Return how far files agree about a recipe."""
    checked = check(path, sets=sets)
    return agreement(checked.reading.recipe, checked.plan, files)
