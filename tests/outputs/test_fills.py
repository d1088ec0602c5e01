"""Filled engravings: their colour in the pictures, read back from the pixels, and their line in the report."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest

from generator.base.fills import FILL_WORDS, FILLS, Fill
from generator.outline.measure import area, bounds
from generator.outputs import plan_svg, previews
from generator.outputs.colour import rgb_of
from generator.outputs.output import Work
from generator.outputs.preview_proof import read_png
from generator.outputs.previews import BOTTOM, EXPLODED, TOP
from generator.outputs.report_data import report_data
from generator.outputs.report_text import report_text
from generator.outputs.svg_read import read_drawing
from generator.part.layers import layers
from generator.part.part import Face, Feature, Plan
from tests.outputs.picture_samples import box, plan

RED = FILLS["red"]


def engraved(fill: Fill | None) -> Plan:
    """The plan with a broad engraving in the top face, in the place of an insert."""
    of = plan(inlay=None, opening=False)
    top = of.cover.thickness_mm
    mark = Feature("engraving-mark", "engraving-mark", Face.TOP, box(40.0, 16.0, 3.0), top - 0.5, top, fill=fill)
    return replace(of, cover=replace(of.cover, features=(*of.cover.features, mark)))


def work(of: Plan) -> Work:
    return Work(of, layers(of), (), "0" * 64, "", {})


def pictures(of: Plan) -> dict[str, bytes]:
    return dict(previews.write(work(of)))


def coloured(data: bytes, colour: str) -> int:
    """How many pixels have about this colour, under a light that may be a fourth brighter or darker."""
    pixels, wanted = read_png(data), np.array(rgb_of(colour))
    light = (pixels @ wanted) / (wanted @ wanted)
    off = np.abs(pixels - light[..., None] * wanted).max(axis=2)
    return int(((off < 0.12) & (light > 0.7) & (light < 1.6)).sum())


@pytest.fixture(scope="module")
def red() -> dict[str, bytes]:
    return pictures(engraved(RED))


def test_the_fill_is_seen_from_the_top_and_taken_apart_but_not_from_below(red: dict[str, bytes]) -> None:
    bare = pictures(engraved(None))
    for name in (TOP, EXPLODED):
        assert coloured(red[name], RED.colour) > 5000
        assert coloured(bare[name], RED.colour) < 500
    assert red[BOTTOM] == bare[BOTTOM]


def test_pictures_of_fills_prove_and_another_colour_does_not(red: dict[str, bytes]) -> None:
    of = engraved(RED)
    assert [p for p in previews.prove(work(of), red) if not p.holds] == []
    green = engraved(FILLS["green"])
    assert "picture: metal and open ground" in {p.what for p in previews.prove(work(green), red) if not p.holds}


def test_the_report_names_the_fill_and_how_much_it_takes() -> None:
    of = engraved(RED)
    data = report_data(work(of), (), {})
    (fill,) = data["parts"][0]["fills"]
    region = of.cover.features[-1].region
    assert fill == {"feature": "engraving-mark", "name": "red", "colour": RED.colour,
                    "volume_mm3": pytest.approx(area(region) * 0.5, abs=1e-6)}  # fmt: skip
    assert json.loads(json.dumps(data["parts"][0]["fills"])) == [fill]
    text = report_text(data)
    row = next(line for line in text.splitlines() if line.startswith("| fill of engraving-mark"))
    assert [c.strip() for c in row.strip("|").split("|")] == [
        "fill of engraving-mark", f"{area(region) * 0.5:.1f} mm³", "", "red"]  # fmt: skip
    assert f"engraving-mark is filled: red ({RED.colour})" in text


def test_the_plan_names_the_fill_in_its_legend() -> None:
    ((_, filled),), ((_, bare),) = plan_svg.write(work(engraved(RED))), plan_svg.write(work(engraved(None)))
    assert "filled: red" in " ".join(t.text for t in read_drawing(filled).texts)
    assert "filled" not in " ".join(t.text for t in read_drawing(bare).texts)


def test_colours_are_told_apart() -> None:
    values = [np.array(rgb_of(FILLS[w].colour)) for w in FILL_WORDS]
    apart = [float(np.abs(a - b).max()) for i, a in enumerate(values) for b in values[:i]]
    assert min(apart) > 0.05
    assert bounds(engraved(RED).cover.features[-1].region).width_mm == 40.0
