"""True outlines on sheets: none too near another, more than by boxes where the shape allows it, fallbacks that hold."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import floor, sqrt

import cut_list_cases as cases
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.base.errors import OffsetError, ProofError
from generator.family.cut_list import groups, masks
from generator.family.cut_list.fill import Margins, rectangle_fillers, spread
from generator.family.cut_list.laid import Item, Pattern, Placed
from generator.family.cut_list.outlines import outline_fillers, worth_trying
from generator.family.cut_list.proof import fault_of
from generator.outline.region import Region
from generator.recipe.model_family import StockSheet

MARGINS = Margins(4.0, 5.0)
SHEET = StockSheet(material="any", thickness=1.0, length=300.0, width=200.0)
FACETS_MM = 0.02
"""Chords of 48 to an arc lie so far inside arcs of 25 mm at most, so gaps come out larger by up to twice that."""


@cache
def both(shape: str, count: int):
    item = cases.item_of(cases.SHAPES[shape])
    counts = np.array([count])
    boxes = spread([item], counts, [(SHEET, None)], rectangle_fillers([item], MARGINS))
    outlines = spread([item], counts, [(SHEET, None)], outline_fillers([item], MARGINS, [SHEET]))
    return item, boxes, outlines


@pytest.mark.parametrize("shape", cases.SHAPES)
def test_outlines_keep_their_distance_by_another_reckoning(shape):
    item, _, outlines = both(shape, 60)
    for pattern in outlines.patterns:
        assert fault_of(pattern, [item], MARGINS) == ""
        shapes = [cases.lying(item, p) for p in pattern.placed]
        assert cases.least_gap(shapes) >= MARGINS.spacing_mm - 1e-6
        assert cases.edge_gap(shapes, pattern) >= MARGINS.edge_mm - FACETS_MM
    laid = sum(p.times * len(p.placed) for p in outlines.patterns)
    assert laid + sum(outlines.left) == 60


@pytest.mark.parametrize(("shape", "gain"), [("star", 1.3), ("triangle", 1.3), ("angle", 1.3), ("disc", 1.02)])
def test_shapes_that_interlock_lie_closer_than_their_boxes(shape, gain):
    # how much is ours to say; that it cannot be more than the area allows is not
    item, boxes, outlines = both(shape, 60)
    by_box, by_outline = len(boxes.patterns[0].placed), len(outlines.patterns[0].placed)
    assert by_outline >= gain * by_box
    assert by_outline * item.area_mm2 <= SHEET.length * SHEET.width


def test_discs_lie_at_least_as_close_as_rows_set_off_by_half():
    # closed form: discs 44 mm apart in rows set off by half a disc, rows 44 * sqrt(3) / 2 apart
    _, _, outlines = both("disc", 60)
    pitch, long, wide = 44.0, 294.0, 194.0

    def staggered(along: float, across: float) -> int:
        rows = 1 + floor((across - pitch) / (pitch * sqrt(3.0) / 2.0))
        full, short = floor(along / pitch), floor((along - pitch / 2.0) / pitch)
        return full * ((rows + 1) // 2) + short * (rows // 2)

    assert len(outlines.patterns[0].placed) >= max(staggered(long, wide), staggered(wide, long))


def test_rectangles_are_not_laid_by_their_outlines():
    assert not worth_trying([Item(36.0, 18.0, Region((cases.rectangle(0.0, 0.0, 36.0, 18.0, 3.0),)))])
    assert worth_trying([cases.item_of(cases.SHAPES["oval"])])


stars = st.tuples(st.integers(3, 7), st.floats(8.0, 30.0), st.floats(4.0, 8.0), st.integers(1, 4))


@settings(max_examples=12, deadline=None)
@given(st.lists(stars, min_size=1, max_size=5), st.floats(0.5, 6.0), st.floats(0.0, 10.0))
def test_random_stars_lie_apart_and_none_is_lost(rows, spacing, edge):
    items = [cases.item_of(Region((cases.star(n, round(r, 2), round(i, 2)),))) for n, r, i, _ in rows]
    margins, counts = Margins(spacing, edge), np.array([n for *_, n in rows])
    sheet = StockSheet(material="any", thickness=1.0, length=150.0, width=110.0)
    made = spread(items, counts, [(sheet, None)], outline_fillers(items, margins, [sheet]))
    placed = np.array(made.left)
    for pattern in made.patterns:
        assert fault_of(pattern, items, margins) == ""
        shapes = [cases.lying(items[p.item], p) for p in pattern.placed]
        assert cases.least_gap(shapes) >= spacing - 1e-6
        assert cases.edge_gap(shapes, pattern) >= edge - 1e-6
        placed += pattern.times * np.bincount([p.item for p in pattern.placed], minlength=len(items))
    assert (placed == counts).all()


# ------------------------------------------------------------------ cells and bits
@settings(max_examples=60, deadline=None)
@given(st.data())
def test_forbidden_places_are_those_where_cells_meet(data):
    size = st.tuples(st.integers(1, 7), st.integers(1, 7))
    sheet = np.array(data.draw(st.lists(st.lists(st.booleans(), min_size=9, max_size=9), min_size=11, max_size=11)))
    i, j = data.draw(size)
    cells = np.array(data.draw(st.lists(st.lists(st.booleans(), min_size=j, max_size=j), min_size=i, max_size=i)))
    cells[0, 0] = True
    stride = 16
    mask, occupied = masks.Mask(cells, 0.0), masks.bits_of(masks.Mask(sheet, 0.0), stride)
    bits = masks.forbidden(occupied, mask, stride)
    for x in range(11 - i + 1):
        for y in range(9 - j + 1):
            expected = bool((sheet[x : x + i, y : y + j] & cells).any())
            assert bool(bits >> (x * stride + y) & 1) == expected


@pytest.mark.parametrize("shape", cases.SHAPES)
@pytest.mark.parametrize("base", [0.0, 30.0])
def test_cells_cover_the_grown_outline_in_every_turn(shape, base):
    item, cell, spacing = cases.item_of(cases.SHAPES[shape]), 0.8, 4.0
    grown = masks.grown_mm(spacing, cell)
    for mask in masks.masks_of(item, base, spacing, cell):
        at = [s + grown for s in mask.slack_mm]
        outline = cases.lying(item, Placed(0, at[0], at[1], mask.turn_deg)).buffer(spacing / 2.0)
        squares = [
            cases.shapely.box(i * cell, j * cell, (i + 1) * cell, (j + 1) * cell) for i, j in np.argwhere(mask.cells)
        ]
        assert cases.shapely.unary_union(squares).buffer(1e-3).contains(outline)


# ------------------------------------------------------------------ what the proof sees
OVAL = cases.item_of(cases.SHAPES["oval"])


@pytest.mark.parametrize(
    ("places", "told"),
    [
        (((5.0, 5.0), (59.0, 5.0)), ""),
        (((5.0, 5.0), (58.999, 5.0)), "pieces 1 and 2"),
        (((5.0, 5.0), (5.0, 5.0)), "pieces 1 and 2"),
        (((4.999, 5.0), (60.0, 5.0)), "piece 1 lies nearer to the edge"),
        (((5.0, 5.0), (245.001, 5.0)), "piece 2 lies nearer to the edge"),
        (((5.0, 5.0), (245.0, 167.001)), "piece 2 lies nearer to the edge"),
        (((5.0, 5.0), (40.0, 30.0)), ""),  # boxes overlap, the ovals keep their distance
        (((5.0, 5.0), (33.0, 26.0)), "pieces 1 and 2"),
    ],
)
def test_proof_tells_what_lies_wrong(places, told):
    pattern = Pattern(SHEET, tuple(Placed(0, x, y) for x, y in places))
    fault = fault_of(pattern, [OVAL], MARGINS)
    assert fault.startswith(told)
    assert bool(fault) == bool(told)
    shapes = [cases.lying(OVAL, p) for p in pattern.placed]
    near = cases.least_gap(shapes) < 4.0 - 0.0005 or cases.edge_gap(shapes, pattern) < 5.0 - 0.0005
    assert near == bool(told)


def test_without_spacing_pieces_may_touch_but_not_overlap():
    item = Item(20.0, 10.0)
    side = Pattern(SHEET, (Placed(0, 5.0, 5.0), Placed(0, 25.0, 5.0)))
    assert fault_of(side, [item], Margins(0.0, 5.0)) == ""
    over = replace(side, placed=(side.placed[0], Placed(0, 24.9, 5.0)))
    assert fault_of(over, [item], Margins(0.0, 5.0)) != ""


def test_outlines_that_fail_their_proof_lie_by_their_boxes(monkeypatch, tmp_path):
    run = cases.ran(tmp_path, [cases.sheet(300.0, 200.0)], [cases.done(f"p-{k}", [cases.insert("n", "star")])
                    for k in range(30)])  # fmt: skip
    assert groups.groups_of(run)[0].by_outline
    pile = [Placed(0, 5.0, 5.0)]
    monkeypatch.setattr(groups, "outline_fillers", lambda *_: [lambda _, counts: pile * int(counts[0])])
    group = groups.groups_of(run)[0]
    assert not group.by_outline
    assert sum(len(s.pieces) for s in group.sheets) == 30
    assert not any(fault_of(p, group.items, MARGINS) for p in group.patterns)


def test_outlines_that_cannot_be_grown_lie_by_their_boxes(monkeypatch, tmp_path):
    def refuse(*_):
        raise OffsetError("no result")

    monkeypatch.setattr(groups, "outline_fillers", refuse)
    run = cases.ran(tmp_path, [cases.sheet(300.0, 200.0)], [cases.done("p", [cases.insert("n", "star")])])
    assert not groups.groups_of(run)[0].by_outline


def test_rectangles_that_fail_their_proof_go_out_nowhere(monkeypatch, tmp_path):
    pile = [Placed(0, 5.0, 5.0)]
    monkeypatch.setattr(groups, "rectangle_fillers", lambda *_: [lambda _, counts: pile * int(counts[0])])
    run = cases.ran(tmp_path, [cases.sheet(300.0, 200.0)], [cases.done(f"p-{k}", [cases.insert("n", "star")])
                    for k in range(2)])  # fmt: skip
    with pytest.raises(ProofError, match="pieces 1 and 2 lie nearer"):
        groups.groups_of(run)


@settings(max_examples=10, deadline=None)
@given(st.lists(st.sampled_from(sorted(cases.SHAPES)), min_size=1, max_size=25))
def test_outlines_never_take_more_stock_than_boxes(tmp_path_factory, shapes):
    run = cases.ran(tmp_path_factory.mktemp("family"), [cases.sheet(160.0, 120.0)],
                    [cases.done(f"p-{k}", [cases.insert("n", s)]) for k, s in enumerate(shapes)])  # fmt: skip
    (group,) = groups.groups_of(run)
    counts = np.bincount([w.item for s in group.sheets for w in s.pieces], minlength=len(group.items))
    stock = run.family.file.stock[0]
    boxes = spread(group.items, counts, [(stock, None)], rectangle_fillers(group.items, MARGINS))
    assert sum(p.times for p in group.patterns) <= sum(p.times for p in boxes.patterns)
    assert sorted(w.variant for s in group.sheets for w in s.pieces) == sorted(f"p-{k}" for k in range(len(shapes)))
