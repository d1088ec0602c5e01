"""Marks of holes are seen to belong to their holes; tables that are parted go on after their beginning."""

from __future__ import annotations

from math import dist, hypot

import pytest
from drawing_recipes import DEMO, by_chance, demo

from generator.paper.drawing.drawing import Drawing, drawing_of, drawn_parts
from generator.paper.drawing.face_block import FaceView, face_block
from generator.paper.drawing.face_view import Placement, edges_seen
from generator.paper.drawing.find_place import Obstacles
from generator.paper.drawing.lettered import BALLOON_MM, draw_balloon
from generator.paper.drawing.marks import holes_of
from generator.paper.drawing.sizes import Spans
from generator.paper.sheet import Easel, Letters
from generator.part.part import Face, Part
from generator.part.slabs import slabs


def plate_of_holes(across: int, up: int, pitch: float) -> Part:
    """Holes of 4.5 mm in rows and columns."""
    from part_samples import plate, taken

    from generator.outline.create import circle, rectangle
    from generator.outline.region import Region

    wide, high = (across + 1) * pitch, (up + 1) * pitch
    holes = [
        taken(Region((circle(((k + 1) * pitch, (n + 1) * pitch), 2.25),)), 0.0, 8.0, name=f"h-{n}-{k}")
        for n in range(up)
        for k in range(across)
    ]
    return plate(*holes, profile=Region((rectangle(0.0, 0.0, wide, high),)))


@pytest.mark.parametrize(("pitch", "scale"), [(25.0, 0.5), (25.0, 1.0), (40.0, 0.2), (16.0, 1.0)])
def test_a_mark_stands_plainly_beside_its_own_hole_or_has_a_leader_to_it(pitch, scale):
    part = plate_of_holes(6, 4, pitch)
    placed = Placement(scale)
    holes = [h for kind in holes_of(part) for h in kind.holes]
    edges = edges_seen(part, slabs(part), Face.TOP)
    block = face_block(FaceView("Top face", "top", edges, placed, holes, (), None, None), Spans())
    rings = {h.mark: (*placed.point(h.at), h.radius_mm * scale) for h in holes}
    leaders = [t for i in block.drawn if getattr(i, "name", "") == "leader" for t in i.tracks]
    marks = {i.text: i.box for i in block.drawn if isinstance(i, Letters) and i.text in rings}
    assert set(marks) == set(rings)
    for mark, b in marks.items():
        gaps = {
            m: hypot(max(b.left - x, 0.0, x - b.right), max(b.bottom - y, 0.0, y - b.top)) - r
            for m, (x, y, r) in rings.items()
        }
        own = gaps.pop(mark)
        x, y, r = rings[mark]
        led = [
            t
            for t in leaders
            if abs(dist((t.vertices[0].x, t.vertices[0].y), (x, y)) - r) < 1e-6
            and b.grown(1.5).left <= t.vertices[-1].x <= b.grown(1.5).right
            and b.grown(1.5).bottom <= t.vertices[-1].y <= b.grown(1.5).top
        ]
        assert led or own + 1.0 < min(gaps.values()), mark


def out_of_order(drawing: Drawing) -> list[str]:
    """Parts of a table that stand over, and not right of, the part before, or on an earlier sheet."""
    out = []
    for name in ("holes", "pockets", "notes", "hole sizes", "parts list"):
        parts = [(k, b) for k, blocks in enumerate(drawing.blocks) for b in blocks if b.name == name]
        found = {}
        for k, b in parts:
            head = next(i.text for i in b.drawn if isinstance(i, Letters))
            found.setdefault("continued" in head, []).append((k, b))
        for k, b in found.get(True, []):
            for j, first in found.get(False, []):
                if k < j or (k == j and b.box.top > first.box.top + 1e-6 and b.box.left < first.box.right):
                    out.append(f"{name} on sheet {k + 1}")
    return out


@pytest.mark.parametrize("path", DEMO, ids=lambda p: p.stem)
def test_tables_of_the_demo_recipes_go_on_after_their_beginning(path):
    recipe, plan = demo(path)
    for part in drawn_parts(plan):
        assert out_of_order(drawing_of(recipe, plan, part)) == []


def test_tables_of_recipes_by_chance_go_on_after_their_beginning():
    for seed, recipe, plan in by_chance(12, first=500):
        assert out_of_order(drawing_of(recipe, plan, plan.cover)) == [], seed


def test_a_leader_keeps_off_a_balloon_as_off_its_number():
    easel = Easel()
    draw_balloon(easel, 7, (50.0, 50.0))
    obstacles = Obstacles(easel.items)
    beside = 50.0 + BALLOON_MM / 2.0 - 0.3  # within the balloon, right of the number
    assert obstacles.crosses_text((beside, 30.0), (beside, 70.0))
    assert not obstacles.crosses_text((50.0 + BALLOON_MM, 30.0), (50.0 + BALLOON_MM, 70.0))
    obstacles = Obstacles([])
    obstacles.add(easel.items)
    assert obstacles.crosses_text((beside, 30.0), (beside, 70.0))
