"""A small plate that is unlike its mirror image, as outputs are given it; more is laid over it where a test asks."""

from __future__ import annotations

from pathlib import Path

from generator.build.judge import check
from generator.build.work import work_of
from generator.outputs.output import Work

PLATE = """
name: lamp-post
title: Lamp post plate
revision: "C"
original:
  height: 2.5
  load_bearing: false
  footprint: {rectangle: {size: [46, 22], radius: 6, centre: [11, 3]}}
  bolts:
    - {thread: M4, at: [[-2, 3], [24, 3]]}
cover:
  material: EN AW-6082 T6
  stock: {thickness: 9, margin: 34}
  outer: {rectangle: {size: [84, 50], radius: 8}}
  edge_break: 0.5
"""
DOWELS = "dowels: {diameter: 6, axis: y, through: [4, 0], at: [-42, 47]}\n"


def plate(folder: Path, more: str = DOWELS, *sets: str, under_original: str = "") -> Work:
    """Return the plate with lines of its recipe laid on, planned and judged."""
    path = folder / "plate.yaml"
    path.write_text(PLATE.replace("cover:\n", f"{under_original}cover:\n") + more, encoding="utf-8")
    made = check(path, sets=sets)
    return work_of(made)
