"""The demo's cover as an ordinary user would script it with cadquery: STEP and DXF layers, nothing proven.

Usage: plain_script.py FOLDER
"""

from __future__ import annotations

import sys
from pathlib import Path

import cadquery as cq
from cadquery import exporters

R, HALF, HOLLOW = 13.0, 32.0, 60.0


def footprint(grown: float) -> cq.Workplane:
    """The keeper's outline, grown: two bosses, a straight edge below, a hollow arc above."""
    r, h = R + grown, HOLLOW - grown
    cy = ((h + r) ** 2 - HALF**2) ** 0.5
    tx, ty = HALF - HALF * r / (h + r), cy * r / (h + r)
    return (
        cq.Workplane("XY")
        .moveTo(-HALF, -r)
        .lineTo(HALF, -r)
        .threePointArc((HALF + r, 0), (tx, ty))
        .threePointArc((0, cy - h), (-tx, ty))
        .threePointArc((-HALF - r, 0), (-HALF, -r))
        .close()
    )


def outer() -> cq.Workplane:
    return cq.Workplane("XY").ellipse(52, 23)


def inlay(size: float) -> cq.Workplane:
    return (
        cq.Workplane("XY").center(0, -2).sketch().rect(34 + size, 15 + size).vertices().fillet(3 + size / 2).finalize()
    )


POINTS = [(-HALF, 0), (HALF, 0)]


def plate() -> cq.Workplane:
    """The cover: chamfered, hollowed, drilled, with seats and the pocket of the insert."""
    cover = outer().extrude(10).faces(">Z").chamfer(0.6)
    cover = cover.cut(footprint(0.3).extrude(3.4))
    cover = cover.cut(cq.Workplane("XY").pushPoints(POINTS).circle(3.3).extrude(10))
    cover = cover.cut(cq.Workplane("XY").workplane(offset=6.7).pushPoints(POINTS).circle(5.75).extrude(3.3))
    return cover.cut(inlay(0).extrude(1.5).translate((0, 0, 8.5)))


def main() -> None:
    folder = Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    cover = plate()
    insert = inlay(-0.1).extrude(1.5)
    both = cq.Assembly(name="cover-and-insert")
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
        "insert-profile": insert.faces("<Z").wires().toPending(),
        "blank": cq.Workplane("XY").rect(132, 93),
    }
    for name, layer in layers.items():
        exporters.exportDXF(layer, str(folder / f"{name}.dxf"))


if __name__ == "__main__":
    main()
