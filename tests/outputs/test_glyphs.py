"""No picture shows an empty box: every character set is one that the face has, as another reader of the file finds."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from html import unescape

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.base.materials import material
from generator.outputs import previews
from generator.outputs.glyphs import heading, shown
from generator.outputs.lettering import xml_text
from generator.outputs.preview_exploded import exploded_svg
from generator.outputs.raster import font_files
from generator.part.part import Plan
from tests.outputs.picture_samples import samples

ttlib = pytest.importorskip("fontTools.ttLib")


@cache
def characters() -> frozenset[str]:
    """Return the characters of the face, read with fontTools from the table ``cmap``."""
    return frozenset(chr(c) for file in font_files() for c in ttlib.TTFont(file).getBestCmap())


def is_set(text: str) -> bool:
    return set(text) <= characters()


def pictures(of: Plan) -> list[str]:
    cut = previews._cut(of)
    return [previews.top_svg(of, cut), previews.bottom_svg(of, cut), exploded_svg(of, cut)]


def texts(svg: str) -> list[str]:
    return [unescape(t) for t in re.findall(r">([^<]*)</text>", svg)]


@settings(derandomize=True, deadline=None, max_examples=150)
@given(st.text(max_size=12))
def test_whatever_is_shown_the_face_has(text: str) -> None:
    told = unescape(xml_text(shown(text)))
    assert is_set(told)
    if is_set(text):
        assert shown(text) == text


def test_missing_letters_are_marked_and_missing_emoji_left_out() -> None:
    assert shown("Säule Nº 7 – ⌀120 · 4 × M6") == "Säule Nº 7 – ⌀120 · 4 × M6"
    assert shown("黄铜 CuZn37") == "?? CuZn37"
    assert shown("Canoe 🛶 cover") == "Canoe cover"
    assert shown("🛶 Canoe") == "Canoe"
    assert shown("עברית") == "עברית"


@pytest.mark.parametrize(
    ("title", "wanted"),
    [
        ("Gate latch cover", "Gate latch cover"),
        ("Canoe 🛶 cover", "Canoe cover"),
        ("天文台 pier", "pier (title in report.md)"),
        ("🛶", "pier (title in report.md)"),
        ("", "pier"),
    ],
)
def test_a_title_that_cannot_be_read_gives_way_to_the_name(title: str, wanted: str) -> None:
    assert heading(title, "pier") == wanted


@pytest.mark.parametrize("title", ["天文台 🛶", "Teleskop-Säule 🔭 Nº 7", "한국어", "<b> & \x00 \ud800", "👩‍🚀 ☕"])
def test_no_picture_holds_a_character_that_the_face_lacks(title: str) -> None:
    base = samples()["latch"]
    brass = replace(material("CuZn37 R350"), name="黄铜 🟡 CuZn37")
    insert = replace(base.inserts[0], name="insert-徽", material=brass)
    bolts = tuple(replace(b, thread="六角 M6") for b in base.bolts)
    of = replace(base, title=title, cover=replace(base.cover, material=brass), inserts=(insert,), bolts=bolts)
    for svg in pictures(of):
        assert [t for t in texts(svg) if not is_set(t)] == []
    said = texts(pictures(of)[2])
    for wanted in ("Insert ?", "?? CuZn37", "2 × ?? M6"):
        assert wanted in said
