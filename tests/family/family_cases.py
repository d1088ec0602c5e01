"""A small family for tests: a cover that is quickly made, with a parameter or two."""

from __future__ import annotations

import hashlib
from pathlib import Path

RECIPE = """name: tag
parameters: {plot: 7, reach: 20, holder: Ash}
title: "Plot {plot}, {holder}"
original:
  load_bearing: false
  height: 3
  material: carbon steel
  footprint: {rectangle: {size: [2 * reach + 20, 24], radius: 6}}
  bolts: [{thread: M5, at: [[-reach, 0], [reach, 0]]}]
clearance: {around: 0.3, above: 0.2}
cover:
  material: EN AW-6082 T6
  stock: {thickness: 8, margin: 12}
  outer: {even_margin: {margin: 5}}
dowels: {diameter: 6, axis: y}
tools:
  mill: {kind: end mill, diameter: 6, flute_length: 20}
  drill: {kind: drill, diameter: 5.5}
  bore: {kind: drill, diameter: 5.8}
  reamer: {kind: reamer, diameter: 6}
"""

FAMILY = "family: tags\nrecipe: tag.yaml\nnames: tag-{plot}\noutputs: [layers-dxf]\n"


def write_family(folder: Path, text: str = "ranges: {plot: {first: 1, last: 3}}\n", table: str = "") -> Path:
    """Write recipe, family and table into ``folder`` and return the family's file."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "tag.yaml").write_text(RECIPE, encoding="utf-8")
    if table:
        (folder / "tags.csv").write_text(table, encoding="utf-8")
    path = folder / "tags.yaml"
    path.write_text(FAMILY + text, encoding="utf-8")
    return path


def digests(folder: Path) -> dict[str, str]:
    """Return the SHA-256 of every file below ``folder`` that is not hidden, by relative path."""
    return {
        p.relative_to(folder).as_posix(): hashlib.sha256(p.read_bytes()).hexdigest()
        for p in sorted(folder.rglob("*"))
        if p.is_file() and not any(part.startswith(".") for part in p.relative_to(folder).parts)
    }
