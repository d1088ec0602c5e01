"""Outlines parted by their boxes, against shapely, which asks every pair."""

from __future__ import annotations

import random

import pytest
import shapely

from generator.outline import clusters
from generator.outline.clusters import clustered, neighbourhoods
from generator.outline.create import circle, polygon
from generator.outline.region import Region


def box(x: float, y: float, w: float, h: float) -> Region:
    return Region((polygon([(x, y), (x + w, y), (x + w, y + h), (x, y + h)]),))


def asked_pair_by_pair(boxes: list[tuple[float, float, float, float]], within: float) -> list[list[int]]:
    drawn = [shapely.box(x, y, x + w, y + h) for x, y, w, h in boxes]
    left, groups = set(range(len(drawn))), []
    while left:
        front = [min(left)]
        group = set(front)
        while front:
            k = front.pop()
            grown = shapely.box(*(b + s * within for b, s in zip(drawn[k].bounds, (-1, -1, 1, 1), strict=True)))
            near = {j for j in left - group if grown.intersects(drawn[j])}
            group |= near
            front += near
        left -= group
        groups.append(sorted(group))
    return sorted(groups)


@pytest.mark.parametrize("within", [0.0, 0.5])
@pytest.mark.parametrize("most_compared", [4_000, 1])
@pytest.mark.parametrize("seed", range(6))
def test_groups_are_those_whose_boxes_touch(seed, most_compared, within, monkeypatch):
    chance = random.Random(seed)
    count, size = chance.choice([(60, 9.0), (150, 4.0), (150, 8.0)])
    spots = [(chance.uniform(0, 100), chance.uniform(0, 100), size * chance.random(), size) for _ in range(count)]
    expected = asked_pair_by_pair(spots, within)
    monkeypatch.setattr(clusters, "_PAIRS_OF", most_compared)
    found = neighbourhoods([box(*s) for s in spots], within)
    if most_compared > count:
        assert found == expected
    else:  # coarser, but never apart what belongs together
        assert all(any(set(group) <= set(f) for f in found) for group in expected)
    assert sorted(k for group in found for k in group) == list(range(count))


def test_lines_part_rows_and_columns_without_comparing(monkeypatch):
    monkeypatch.setattr(clusters, "_PAIRS_OF", 0)
    grid = [circle((3.0 * (k % 40), 3.0 * (k // 40)), 1.0) for k in range(1600)]
    assert neighbourhoods(grid) == [[k] for k in range(1600)]


def test_pinwheels_are_parted_though_no_line_goes_between():
    wheel = [(0, 0, 6, 2), (7, 0, 2, 6), (3, 7, 6, 2), (0, 3, 2, 6)]
    assert neighbourhoods([box(*map(float, b)) for b in wheel]) == [[0], [1], [2], [3]]


def test_touching_boxes_belong_together():
    assert neighbourhoods([box(0, 0, 1, 1), box(1, 1, 1, 1), box(2.5, 0, 1, 1)]) == [[0, 1], [2]]
    assert neighbourhoods([]) == []


def test_pieces_keep_their_holes_and_every_digit():
    ring = [circle((0, 0), 5.0), circle((0, 0), 3.0).reversed()]
    dot, far = circle((0.1, 0), 1.0), circle((20.0, 0), 1.0)
    region = Region.of([*ring, dot, far])
    assert clustered(region) == (Region.of([*ring, dot]), Region.of([far]))
    assert clustered(Region.of([far])) == (Region.of([far]),)
    assert clustered(Region()) == ()
