"""The picture of a variant shows what the eye sees from above."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
from PIL import Image

from generator.build.judge import check
from generator.family.summary import Shapes, picture
from generator.outputs.raster import rasterise

LATCH = Path(__file__).parents[2] / "recipes" / "gate-latch.yaml"
DOTS = 8
"""Of the raster, to a mm."""


def test_holes_are_seen_through_their_seats_and_the_insert_lies_on_top():
    """Places and sizes by the recipe: M6 bolts 32 mm off the middle, an insert of 36 × 18 mm in the middle."""
    plan = check(str(LATCH)).plan
    shapes = Shapes()
    drawn = picture(plan, shapes)
    paths = "".join(f'<path d="{shapes.by_digest[s]}" fill="{c}" fill-rule="evenodd"/>' for c, s in drawn)
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{120 * DOTS}" height="{60 * DOTS}" viewBox="-60 -30 120 60">'
        f'<rect x="-60" y="-30" width="120" height="60" fill="#00ff00"/><g transform="scale(1 -1)">{paths}</g></svg>'
    )
    seen = np.asarray(Image.open(io.BytesIO(rasterise(svg))).convert("RGB"))

    def at(x: float, y: float) -> str:
        return "#" + "".join(f"{v:02x}" for v in seen[round((30 - y) * DOTS), round((x + 60) * DOTS)])

    cover, insert = plan.cover.material.colour, plan.inserts[0].material.colour
    assert [at(32, 0), at(-32, 0)] == ["#ffffff"] * 2  # through the holes
    assert at(32, 5) not in (cover, "#ffffff", "#00ff00")  # the seat round one
    assert at(32, 12) == cover
    assert at(17, 7) == insert
    assert at(55, 20) == "#00ff00"
