"""Families whose variants need given pieces, without a pack being made; shapes; and what lies on a sheet by shapely."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from math import cos, pi, sin
from pathlib import Path
from types import SimpleNamespace

import family_cases
import shapely
from shapely import affinity

from generator.family.cut_list.laid import Item, Pattern, Placed
from generator.family.family_file import read_family
from generator.family.summary import loops_text
from generator.family.task import BUILT, Done, Piece, Said
from generator.outline.contour import Contour
from generator.outline.create import circle, polygon, rectangle
from generator.outline.fit import ellipse
from generator.outline.measure import bounds
from generator.outline.region import Region

BRASS, ALUMINIUM = "CuZn37 R350", "EN AW-6082 T6"


def star(points: int, outer: float, inner: float) -> Contour:
    corners = []
    for k in range(2 * points):
        r = inner if k % 2 else outer
        corners.append((r * cos(pi * k / points), r * sin(pi * k / points)))
    return polygon(corners)


SHAPES: Mapping[str, Region] = {
    "disc": Region((circle((0.0, 0.0), 20.0),)),
    "oval": Region((ellipse((0.0, 0.0), 25.0, 14.0),)),
    "star": Region((star(5, 20.0, 9.0),)),
    "triangle": Region((polygon([(0.0, 0.0), (40.0, 0.0), (20.0, 36.0)]),)),
    "shield": Region((polygon([(0, 30), (0, 12), (6, 5), (15, 0), (24, 5), (30, 12), (30, 30)]),)),
    "angle": Region((polygon([(0, 0), (40, 0), (40, 12), (12, 12), (12, 40), (0, 40)]),)),
    "ring": Region.of((circle((0.0, 0.0), 16.0), circle((0.0, 0.0), 9.0).reversed())),
    "islands": Region.of((circle((0.0, 0.0), 6.0), rectangle(9.0, -4.0, 30.0, 5.0, 2.0))),
}
"""Outlines as inserts have them: one contour, a hole, several islands."""


def item_of(region: Region) -> Item:
    box = bounds(region)
    return Item(box.width_mm, box.height_mm, region)


def cover(length: float, width: float, thickness: float = 8.0, material: str = ALUMINIUM) -> Piece:
    return Piece("cover", material, thickness, length, width)


def insert(name: str, shape: str, thickness: float = 1.5, material: str = BRASS) -> tuple[Piece, str]:
    """A piece with the text of its outline; its digest is its name here."""
    item = item_of(SHAPES[shape])
    return Piece(f"insert-{name}", material, thickness, item.length_mm, item.width_mm, shape), shape


def done(name: str, pieces: Sequence[object], status: str = BUILT, said: tuple[Said, ...] = ()) -> Done:
    """What became of a variant: blanks as pieces, inserts as ``insert`` gives them."""
    plain = tuple(p[0] if isinstance(p, tuple) else p for p in pieces)
    shapes = {p[1]: loops_text(SHAPES[p[1]]) for p in pieces if isinstance(p, tuple)}
    return Done(name, status, said=said, pieces=plain, shapes=shapes)


def ran(folder: Path, stock: Sequence[Mapping[str, object]], every: Sequence[Done | None], more: str = ""):
    """A run over a family with that stock."""
    text = f"ranges: {{plot: {{first: 1, last: 3}}}}\n{more}stock: {json.dumps(list(stock))}\n"
    family = read_family(str(family_cases.write_family(folder, text)))
    rows = [
        SimpleNamespace(variant=SimpleNamespace(name=d.name if d else f"not-made-{k}"), done=d)
        for k, d in enumerate(every)
    ]
    return SimpleNamespace(family=family, rows=tuple(rows))


def sheet(length: float, width: float, material: str = BRASS, thickness: float = 1.5, count: int | None = None):
    made = {"material": material, "thickness": thickness, "length": length, "width": width}
    return made if count is None else {**made, "count": count}


# ------------------------------------------------------------------ shapely, which knows no arcs
def polygon_of(region: Region, per_arc: int = 48) -> shapely.Geometry:
    """A region in chords, outer ones minus holes; inside the true outline by up to a few µm."""
    outers, holes = [], []
    for contour in region:
        points: list[tuple[float, float]] = []
        for s in contour.segments():
            if not s.is_arc:
                points.append((s.start.x, s.start.y))
                continue
            c, turn = s.centre, s.sweep / per_arc
            for k in range(per_arc):
                x, y = s.start.x - c.x, s.start.y - c.y
                points.append(
                    (c.x + cos(k * turn) * x - sin(k * turn) * y, c.y + sin(k * turn) * x + cos(k * turn) * y)
                )
        ring = shapely.Polygon(points)
        (outers if ring.exterior.is_ccw else holes).append(ring)
    return shapely.unary_union(outers).difference(shapely.unary_union(holes)) if holes else shapely.unary_union(outers)


def lying(item: Item, placed: Placed) -> shapely.Geometry:
    """An item where it lies: turned, then moved so that its box begins at the place told."""
    shape = polygon_of(item.outline) if item.outline else shapely.box(0.0, 0.0, item.length_mm, item.width_mm)
    turned = affinity.rotate(shape, placed.turn_deg, origin=(0.0, 0.0))
    left, bottom, _, _ = turned.bounds
    return affinity.translate(turned, placed.x_mm - left, placed.y_mm - bottom)


def least_gap(shapes: Sequence[shapely.Geometry]) -> float:
    """The least distance between any two; 0 where they overlap."""
    tree = shapely.STRtree(shapes)
    first, second = tree.query(shapes, predicate="dwithin", distance=50.0)
    gaps = [shapes[i].distance(shapes[j]) for i, j in zip(first, second, strict=True) if i < j]
    return min(gaps, default=50.0)


def edge_gap(shapes: Sequence[shapely.Geometry], pattern: Pattern) -> float:
    """How near they come to the edge of the sheet; negative beyond it."""
    boxes = [s.bounds for s in shapes]
    stock = pattern.stock
    return min(min(b[0], b[1], stock.length - b[2], stock.width - b[3]) for b in boxes)
