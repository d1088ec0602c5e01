"""The tables of a drawing: holes with their places, pockets, and what is checked besides."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from generator.estimate.characteristics import Datum, Kind
from generator.estimate.parts_list import MADE, PartsRow, parts_list
from generator.paper.drawing.block import Block
from generator.paper.drawing.marks import Hole, HoleKind, Pocket
from generator.paper.drawing.said import DIAMETER, Said
from generator.paper.drawing.sizes import is_round, measured
from generator.paper.drawing.table import MOST_ROWS, Cell, Column, table, tables
from generator.paper.drawing.told import Told
from generator.part.describe import floor_left_mm, is_through
from generator.part.part import Face, Feature, Part
from generator.part.relation import box_of

__all__ = ["checks_table", "hole_tables", "parts_table", "pocket_table"]


# ------------------------------------------------------------------ holes
def hole_tables(
    kinds: Sequence[HoleKind], datum: Datum, told: Told, room_mm: float, fits: Callable[[Block], bool] = lambda _: True
) -> list[Block]:
    """Return the table of holes: one, or places and sizes apart where one would be too large.

    Args:
        kinds: the holes.
        datum: from which places are told.
        told: what has its balloon already.
        room_mm: no table is wider.
        fits: tells whether a block finds a place on an empty sheet.
    """
    if not kinds:
        return []
    title = "Holes, x and y from datum O"
    places = [_place(h, datum, told) for kind in kinds for h in kind.holes]
    bare = "–" if any(h.seats for kind in kinds for h in kind.holes) else ""
    sizes = [_size(kind, told, bare) for kind in kinds]
    filled = [
        row for kind, size in zip(kinds, sizes, strict=True) for row in [size, *[EMPTY_SIZE] * (len(kind.holes) - 1)]
    ]
    one = table(
        "holes", title, [*PLACE_COLUMNS, *SIZE_COLUMNS], [[*p, *s] for p, s in zip(places, filled, strict=True)]
    )
    if one.box.width <= room_mm and len(places) <= MOST_ROWS and fits(one):
        return [one]
    rows = [[_marks(kind), *row] for kind, row in zip(kinds, sizes, strict=True)]
    return [
        *tables("holes", title, PLACE_COLUMNS, places, room_mm),
        *tables("hole sizes", "Sizes of the holes", [Column("Marks"), *SIZE_COLUMNS], rows, room_mm),
    ]


def _marks(kind: HoleKind) -> Cell:
    first, last = kind.holes[0].mark, kind.holes[-1].mark
    return Cell(first if first == last else f"{first} to {last}")


PLACE_COLUMNS = [Column("Mark"), Column("x", True, True), Column("y", True, True)]
SIZE_COLUMNS = [
    Column("Diameter"),
    Column("Depth"),
    Column("Seat"),
    Column("Seat diameter"),
    Column("Seat depth"),
    Column("Count", True),
]
EMPTY_SIZE = [Cell()] * len(SIZE_COLUMNS)


def _place(hole: Hole, datum: Datum, told: Told) -> list[Cell]:
    """Return mark and place of a hole; the datum itself lies at nothing, without limits."""
    name = [hole.feature.name]
    x = told.label(name, Kind.POSITION_X, otherwise=hole.at.x - datum.at.x)
    y = told.label(name, Kind.POSITION_Y, otherwise=hole.at.y - datum.at.y)
    return [Cell(hole.mark), Cell(*x), Cell(*y)]


def _size(kind: HoleKind, told: Told, bare: str) -> list[Cell]:
    first = kind.holes[0]
    names = [h.feature.name for h in kind.holes]
    across = told.label(names, Kind.DIAMETER, otherwise=2.0 * first.radius_mm, sign=DIAMETER)
    return [Cell(*across), Cell("through"), *_seat(kind, told, bare), Cell(f"{len(kind.holes)}×")]


def _seat(kind: HoleKind, told: Told, bare: str) -> list[Cell]:
    """Return what kind of seat there is, its diameter at the top face, and its depth from there; ``bare`` for none."""
    seats = kind.holes[0].seats
    if not seats:
        return [Cell(bare), Cell(bare), Cell(bare)]
    names = [s.name for h in kind.holes for s in h.seats]
    wide = max(box_of(s.region).width_mm + 2.0 * s.flare_mm for s in seats)
    deep = told.said.part.thickness_mm - min(s.z_from_mm for s in seats)
    cone = any(s.flare_mm for s in seats)
    across = told.label(names, Kind.DIAMETER, Kind.CONE, otherwise=wide, sign=DIAMETER)
    depth = told.label(names, Kind.DEPTH, otherwise=deep)
    if cone and told.find(names, Kind.DEPTH):
        word = "countersink 90°, straight above"
    else:
        word = "countersink 90°" if cone else "counterbore"
    return [Cell(word), Cell(*across), Cell(*depth)]


# ------------------------------------------------------------------ pockets
def pocket_table(
    pockets: Sequence[Pocket], datum: Datum, told: Told, sized: set[str], sectioned: set[str], room_mm: float
) -> list[Block]:
    """Return the table of pockets, engravings and cuts; nothing for none.

    Args:
        pockets: with their marks.
        datum: x and y of middles count from there.
        told: what has its balloon already.
        sized: names of features whose sizes stand in a view.
        sectioned: names of features whose depth stands in the section.
        room_mm: width of a table.
    """
    columns = [
        Column("Mark"),
        Column("What"),
        Column("x", True, True),
        Column("y", True, True),
        Column("Size x"),
        Column("Size y"),
        Column("Depth"),
        Column("Radius"),
        Column("Floor"),
    ]
    rows = [_pocket(p, datum, told, p.feature.name in sized, p.feature.name in sectioned) for p in pockets]
    title = "Pockets and cuts, x and y from datum O"
    return tables("pockets", title, columns, rows, room_mm)


def _pocket(pocket: Pocket, datum: Datum, told: Told, sized: bool, sectioned: bool) -> list[Cell]:
    f, part = pocket.feature, told.said.part
    name, middle = [f.name], box_of(measured(f)).centre
    x = told.label(name, Kind.POSITION_X, otherwise=middle.x - datum.at.x)
    y = told.label(name, Kind.POSITION_Y, otherwise=middle.y - datum.at.y)
    wide, high = (Cell("view"), Cell("view")) if sized else _across(f, told)
    deep = Cell("through") if is_through(part, f) else Cell("A-A") if sectioned else Cell(*_depth(f, told))
    radius = told.label(name, Kind.RADIUS, sign="R")
    floor = Cell("–") if is_through(part, f) else Cell(*_floor(part, f, told))
    return [
        Cell(pocket.mark),
        Cell(what(f)),
        Cell(*x),
        Cell(*y),
        wide,
        high,
        deep,
        Cell(radius[0] or "–", radius[1]),
        floor,
    ]


def _across(f: Feature, told: Told) -> tuple[Cell, Cell]:
    box = box_of(measured(f))
    if is_round(measured(f)):
        return Cell(*told.label([f.name], Kind.DIAMETER, otherwise=box.width_mm, sign=DIAMETER)), Cell("–")
    x = told.label([f.name], Kind.SIZE_X, otherwise=box.width_mm)
    y = told.label([f.name], Kind.SIZE_Y, otherwise=box.height_mm)
    return Cell(*x), Cell(*y)


def _depth(f: Feature, told: Told) -> tuple[str, tuple[int, ...]]:
    return told.label([f.name], Kind.DEPTH, otherwise=f.depth_mm)


def _floor(part: Part, f: Feature, told: Told) -> tuple[str, tuple[int, ...]]:
    c = told.find([f.name], Kind.FLOOR)
    if c is None:
        return f"({told.said.figure(floor_left_mm(part, f))})", ()
    return told.label([f.name], Kind.FLOOR)


def what(f: Feature) -> str:
    """Return what a feature is, in words."""
    face = "" if f.face is Face.TOP else ", bottom face" if f.layer != "bottom-pocket" else ""
    return f.name.replace("-", " ") + face


# ------------------------------------------------------------------ what is left
def checks_table(told: Told, room_mm: float) -> list[Block]:
    """Return the table of characteristics that stand nowhere else; nothing for none."""
    rows = []
    for c in told.left:
        text = told.said.with_limits(c)
        told.numbers.add(c.number)
        rows.append([Cell(c.what), Cell(text, (c.number,))])
    return tables("other checks", "Checked besides", [Column("What"), Column("Figure")], rows, room_mm)


# ------------------------------------------------------------------ parts
def parts_table(said: Said, room_mm: float) -> list[Block]:
    """Return the parts list of the whole order; it stands on the cover's drawing alone."""
    if not said.is_cover:
        return []
    columns = [Column("Item"), Column("Number"), Column("What"), Column("Standard or material, size")]
    rows = [
        [Cell(str(r.item)), Cell(r.quantity), Cell(r.what), Cell(_bought_as(r))]
        for r in parts_list(said.recipe, said.plan)
    ]
    return tables("parts list", "Parts list of the order", columns, rows, room_mm)


def _bought_as(row: PartsRow) -> str:
    """Return what a part is made of or called by, and its size."""
    name = row.material if row.kind == MADE else row.designation or row.material
    return ", ".join(t for t in (name, row.size) if t) or "–"
