"""Variants of the demo's cover as an ordinary user would script them: one process, a loop, nothing proven.

Usage: plain_family.py FOLDER FIRST LAST
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

import cadquery as cq
from cadquery import exporters
from plain_script import POINTS, footprint, inlay, outer, plate


def variant(folder: Path, plot: int) -> None:
    """One cover with its number: three STEP files, a DXF a layer and one of all, a report."""
    folder.mkdir(parents=True, exist_ok=True)
    cover = plate()
    number = cq.Workplane("XY").text(str(plot), 12, 1.5, font="DejaVu Serif", kind="bold")
    insert = inlay(-0.1).extrude(1.5).cut(number)
    both = cq.Assembly(name=f"plot-{plot}")
    both.add(cover, name="cover", color=cq.Color(0.7, 0.7, 0.7))
    both.add(insert, name="insert", loc=cq.Location((0, 0, 8.5)), color=cq.Color(0.8, 0.65, 0.3))
    both.export(str(folder / "assembly.step"))
    exporters.export(cover, str(folder / "cover.step"))
    exporters.export(insert, str(folder / "insert.step"))
    holes = cq.Workplane("XY").pushPoints(POINTS)
    layers = {
        "outer-profile": outer(),
        "bottom-pocket": footprint(0.3),
        "bolt-holes": holes.circle(3.3),
        "seats": holes.circle(5.75),
        "inlay-pocket": inlay(0),
        "dowel-holes": cq.Workplane("XY").pushPoints([(0, -35), (0, 44)]).circle(3),
        "insert-profile": inlay(-0.1),
        "insert-artwork": number.faces("<Z").wires().toPending(),
        "blank": cq.Workplane("XY").rect(132, 116),
    }
    for name, layer in layers.items():
        exporters.exportDXF(layer, str(folder / f"{name}.dxf"))
    everything = cq.Workplane("XY")
    for layer in layers.values():
        everything = everything.add(layer.vals())
    exporters.exportDXF(everything, str(folder / "all.dxf"))
    volumes = {"cover_mm3": cover.val().Volume(), "insert_mm3": insert.val().Volume()}
    valid = {"cover": cover.val().isValid(), "insert": insert.val().isValid()}
    (folder / "report.json").write_text(json.dumps({"plot": plot, **volumes, "valid": valid}, indent=2))


def main() -> None:
    folder, first, last = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
    for plot in range(first, last + 1):
        variant(folder / f"plot-{plot}", plot)


if __name__ == "__main__":
    main()
