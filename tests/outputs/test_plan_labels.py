"""Where the plan writes the names of bolts: clear of what is drawn round their holes."""

from __future__ import annotations

from functools import cache
from math import hypot
from pathlib import Path

import pytest

from generator.build.judge import check
from generator.outputs import plan_svg
from generator.outputs.lettering import Box
from generator.outputs.output import Work
from generator.outputs.plan_frame import frame_of, round_holes
from generator.outputs.plan_style import legend_rows
from generator.outputs.svg_read import read_drawing

RECIPES = sorted((Path(__file__).parents[2] / "recipes").glob("*.yaml"))


@cache
def work(path: Path) -> Work:
    checked = check(path)
    return Work(checked.plan, checked.layers, checked.outcomes, "0" * 64, "", {})


def away(box: Box, x: float, y: float) -> float:
    return hypot(max(box.left - x, 0.0, x - box.right), max(box.top - y, 0.0, y - box.bottom))


@pytest.mark.parametrize("path", RECIPES, ids=lambda p: p.stem)
def test_names_of_bolts_lie_outside_every_hole_and_seat(path: Path) -> None:
    """Their halo once took a bite out of the circle of a seat."""
    of = work(path)
    frame = frame_of(of.plan, legend_rows(of.layers))
    ((_, data),) = plan_svg.write(of)
    texts = read_drawing(data).texts
    last = [t.text for t in texts].index("Layers")  # the view is drawn first, the table of bolts comes later
    names = [t for t in texts[:last] if t.text.startswith("bolt-") or "⌀" in t.text]
    assert len(names) >= len(of.plan.bolts)
    for x, y, r in round_holes(of.plan):
        centre = frame.at(x, y)
        for name in names:
            assert away(name.box, *centre) > r * frame.scale, name.text
