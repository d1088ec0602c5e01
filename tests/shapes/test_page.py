"""The pages on outlines: every example is drawn, and no kind is missing."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml

from generator.outline.measure import area
from generator.outline.offset import offset_region
from generator.shapes import SHAPES
from generator.shapes.shape import Context
from tests.shapes.file_samples import Samples
from tests.shapes.recipe_form import drawn, outline

DOCS = Path(__file__).parents[2] / "docs"
PAGES = ("outlines.md", "outer-shapes.md", "lettering.md", "drawings.md", "emblems.md")
"""Pages whose examples are outlines; one that is not there yet is left out."""
TEXT = "\n".join((DOCS / page).read_text(encoding="utf-8") for page in PAGES if (DOCS / page).exists())
EXAMPLES = [yaml.safe_load(text) for text in re.findall(r"```yaml\n(.*?)```", TEXT, flags=re.S)]


def kinds_in(data):
    if isinstance(data, dict):
        for key, value in data.items():
            yield key
            yield from kinds_in(value)
    elif isinstance(data, list):
        for value in data:
            yield from kinds_in(value)


@pytest.mark.parametrize("data", EXAMPLES, ids=[outline(e).kind for e in EXAMPLES])
def test_example_is_drawn(data):
    footprint = drawn({"hull": {"outlines": [{"disc": {"radius": 9, "centre": [x, 0]}} for x in (-30, 30)]}})
    context = Context(
        files=Samples(),
        footprint=footprint,
        pocket=offset_region(footprint, 0.3),
    )
    assert area(drawn(data, context)) > 50


def test_no_kind_is_missing():
    shown = {k for e in EXAMPLES for k in kinds_in(e)}
    assert {s.name for s in SHAPES} <= shown
