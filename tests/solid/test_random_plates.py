"""Random plates with pockets, holes, seats, bosses, edge breaks and countersinks: valid, closed, as big as they should
be, and the same after a STEP file. Volumes in closed form, from the numbers that were drawn and not from regions."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from solid_bodies import cone, disc, frustum, hole, rect, rounded, straight, tapered

from generator.outline.combine import difference
from generator.outline.contour import Contour
from generator.outline.measure import area
from generator.outline.region import Region
from generator.outline.transform import turned
from generator.part.part import Slab, Wall
from generator.solid.assemble import make_solid
from generator.solid.facts import find_holes, is_closed, is_valid, solid_facts, volume_mm3
from generator.solid.step_read import read_facts
from generator.solid.step_text import Header
from generator.solid.step_write import Product, write_step

CELL = 20.0
"""Features stand in cells of this size, so that none meets another."""


@dataclass(frozen=True)
class Cell:
    """What stands in a cell: kind, size (share of the cell), and where its step is (share of the thickness)."""

    kind: str
    size: float
    step: float
    corner: float


KINDS = ("none", "hole", "seat", "pocket", "boss", "window")

cells = st.builds(
    Cell, st.sampled_from(KINDS), st.floats(0.2, 0.75), st.floats(0.2, 0.8), st.floats(0.05, 0.45)
)  # fmt: skip


@dataclass
class Plate:
    """Slabs of a plate and its volume, put together side by side."""

    columns: int
    rows: int
    thickness: float
    rim: float
    radius: float
    angle: float
    cells: list[Cell]

    def build(self) -> tuple[list[Slab], float, int]:
        """Return the slabs, the volume, and how many whole cylinders are holes."""
        t = self.thickness
        w, h = self.columns * CELL, self.rows * CELL
        outer, corner = (lambda i: rounded(i, i, w - i, h - i, self.radius - i)), self.radius
        a, length = w * h - (4 - pi) * corner**2, 2 * (w + h) - (8 - 2 * pi) * corner
        volume = a * (t - self.rim) + frustum(a, length, pi, self.rim, self.rim)
        heights = {0.0, t - self.rim, t}
        features: list[tuple[float, float, Contour, Contour]] = []
        found = 0
        for k, cell in enumerate(self.cells):
            x, y = (k % self.columns + 0.5) * CELL, (k // self.columns + 0.5) * CELL
            parts, taken, holes = _features(cell, x, y, t - self.rim, t)
            features += parts
            volume -= taken
            found += holes
            heights |= {z for part in parts for z in part[:2]}
        cuts = sorted(heights)
        slabs = []
        for low, high in pairwise(cuts):
            walls = [Wall(outer(0.0), outer(self.rim if low == t - self.rim else 0.0))]
            walls += [Wall(p[2], p[3]) for p in features if p[0] <= low and p[1] >= high]
            turn = [Wall(turned(x.lower, self.angle), turned(x.upper, self.angle)) for x in walls]
            straightened = [Wall(x.lower, x.lower) if x.lower == x.upper else x for x in turn]
            slabs.append(Slab(low, high, tuple(straightened)))
        return slabs, volume, found


def _features(cell: Cell, x: float, y: float, top: float, t: float) -> tuple[list, float, int]:  # type: ignore[type-arg]
    """Return (from, to, lower contour, upper contour) of a cell, the volume taken away, and its whole cylinders.

    Steps lie below ``top``, where the edge break begins; sinks taper within a slab of their own.
    """
    r, z = cell.size * CELL / 2.0, cell.step * top
    if cell.kind == "hole":
        return [(0.0, t, hole(x, y, r), hole(x, y, r))], pi * r * r * t, 1
    if cell.kind == "seat":
        s = r * 0.6
        parts = [(0.0, z, hole(x, y, s), hole(x, y, s)), (z, t, hole(x, y, r), hole(x, y, r))]
        return parts, pi * (s * s * z + r * r * (t - z)), 2
    if cell.kind == "pocket":
        c = rounded(x - r, y - r, x + r, y + r, cell.corner * 2 * r).reversed()
        return [(0.0, z, c, c)], (4 * r * r - (4 - pi) * (cell.corner * 2 * r) ** 2) * z, 0
    if cell.kind == "boss":
        c, b = rect(x - r, y - r, x + r, y + r).reversed(), disc(x, y, r * 0.5)
        return [(0.0, z, c, c), (0.0, z, b, b)], (4 * r * r - pi * r * r / 4) * z, 0
    if cell.kind == "window":
        c = rect(x - r, y - r * 0.7, x + r, y + r * 0.7).reversed()
        return [(0.0, t, c, c)], 4 * r * r * 0.7 * t, 0
    return [], 0.0, 0


plates = st.builds(
    Plate,
    columns=st.just(3),
    rows=st.just(2),
    thickness=st.floats(2.0, 12.0),
    rim=st.sampled_from([0.0, 0.3, 0.5, 1.0]),
    radius=st.floats(1.5, 6.0),
    angle=st.sampled_from([0.0, pi / 2, 0.3, 2.0, 4.4]),
    cells=st.lists(cells, min_size=6, max_size=6),
)


@settings(derandomize=True, deadline=None, max_examples=120)
@given(plates)
def test_random_plates(plate: Plate) -> None:
    slabs, volume, holes = plate.build()
    solid = make_solid(slabs)
    assert is_valid(solid)
    assert is_closed(solid)
    assert volume_mm3(solid) == pytest.approx(volume, rel=1e-11)
    assert len(find_holes(solid)) == holes


@settings(derandomize=True, deadline=None, max_examples=60)
@given(plates)
def test_random_plates_come_back_from_step(plate: Plate) -> None:
    slabs, volume, holes = plate.build()
    solid = make_solid(slabs)
    own = solid_facts("plate", solid)
    (read,) = read_facts(write_step([Product("plate", solid, "#808080", "brass", 8500.0)], Header("p.step", "plate")))
    assert read.volume_mm3 == pytest.approx(volume, rel=1e-11)
    assert (read.is_valid, read.is_closed, read.faces, len(read.holes)) == (True, True, own.faces, holes)
    assert read.box_mm == pytest.approx(own.box_mm, abs=1e-9)


@settings(derandomize=True, deadline=None, max_examples=200)
@given(
    st.floats(1.0, 8.0), st.floats(0.2, 6.0), st.floats(0.3, 4.0), st.floats(0.3, 4.0), st.booleans(), st.booleans()
)  # fmt: skip
def test_random_countersinks(r: float, flare: float, depth: float, rest: float, upwards: bool, full: bool) -> None:
    plate, narrow, wide = rect(-20, -20, 20, 20), hole(0, 0, r), hole(0, 0, r + flare)
    below = [] if full else [straight(0, rest, plate, narrow)]
    low = 0.0 if full else rest
    pair = (narrow, wide) if upwards else (wide, narrow)
    slabs = [*below, tapered(low, low + depth, [(plate, plate), pair])]
    taken = cone(r, r + flare, depth) + (0.0 if full else pi * r * r * rest)
    solid = make_solid(slabs)
    assert is_valid(solid)
    assert is_closed(solid)
    assert volume_mm3(solid) == pytest.approx(1600 * (low + depth) - taken, rel=1e-11)


@settings(derandomize=True, deadline=None, max_examples=200)
@given(
    st.floats(-9.0, 9.0), st.floats(-9.0, 9.0), st.floats(2.0, 8.0), st.floats(2.0, 12.0), st.floats(2.0, 12.0),
    st.floats(0.01, 6.27),  # turned by less, a circle that touches a side cuts it by some nanometres
)  # fmt: skip
def test_random_pockets_that_cross_from_both_faces(
    x: float, y: float, r: float, w: float, h: float, angle: float
) -> None:
    plate = rect(-30, -30, 30, 30)
    round_, square = hole(x, y, r), turned(rect(-w, -h, w, h), angle).reversed()
    solid = make_solid([straight(0, 2, plate, round_), straight(2, 5, plate, square)])
    assert is_valid(solid)
    assert is_closed(solid)
    assert volume_mm3(solid) == pytest.approx(3600 * 5 - pi * r * r * 2 - 4 * w * h * 3, rel=1e-9)


def _on_grid() -> st.SearchStrategy[Region]:
    """Discs and rectangles with whole numbers, which touch and share edges as often as they cross."""
    at = st.integers(-10, 10)
    discs = st.builds(lambda x, y, r: Region((disc(x, y, r),)), at, at, st.integers(1, 5))
    rects = st.builds(
        lambda x, y, w, h: Region((rect(x, y, x + w, y + h),)), at, at, st.integers(1, 8), st.integers(1, 8)
    )
    return st.one_of(discs, rects)


@settings(derandomize=True, deadline=None, max_examples=160)
@given(st.lists(st.lists(_on_grid(), max_size=3), min_size=2, max_size=4))
def test_sections_that_touch_and_share_edges(levels: list[list[Region]]) -> None:
    plate = Region((rect(-10, -10, 10, 10),))
    sections = [difference(plate, *taken) for taken in levels]
    slabs = [straight(2.0 * i, 2.0 * i + 2.0, *s.contours) for i, s in enumerate(sections) if s]
    if not slabs:
        return
    solid = make_solid(slabs)
    assert is_valid(solid)
    assert is_closed(solid)
    assert volume_mm3(solid) == pytest.approx(2.0 * sum(area(s) for s in sections), rel=1e-9)
