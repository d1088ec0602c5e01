"""Outlines from what is kept are those that are drawn, to the last bit; nothing old or wrong is handed out."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.base.errors import GeometryError
from generator.base.fields import OutlineSpec
from generator.build.judge import judge
from generator.build.reading import read
from generator.outline.create import rectangle
from generator.outline.region import Region
from generator.part.shared_outlines import shared_outline
from generator.shapes.shape import Context

RECIPES = sorted((Path(__file__).parents[2] / "recipes").glob("*.yaml"))


class Kept:
    """Keeps what is made in memory, and counts."""

    def __init__(self) -> None:
        self.kept: dict[tuple[str, str], bytes] = {}
        self.made = 0

    def get(self, kind, key, make):
        if (kind, key) not in self.kept:
            self.kept[kind, key] = make()
            self.made += 1
        return self.kept[kind, key]


class OneFile:
    """A folder with one file, of whose reading something is told."""

    def __init__(self, content: bytes | None = b"30") -> None:
        self.content = content
        self.told: dict[str, str] = {}

    def read(self, name: str) -> bytes:
        if self.content is None:
            raise GeometryError(f"{name} is not there")
        return self.content

    def tell(self, name: str, what: str) -> None:
        self.told[name] = what


class Drawing:
    """Draws a rectangle as wide as its file says, and counts."""

    def __init__(self) -> None:
        self.drawn = 0

    def __call__(self, spec: OutlineSpec, context: Context) -> Region:
        self.drawn += 1
        width = float(context.files.read("width.txt"))
        if width < 0.0:
            raise GeometryError("a width below 0")
        context.files.tell("width.txt", f"{width:g} mm are assumed")
        return Region((rectangle(0.0, 0.0, width, 0.1 + 0.2),))


SPEC = OutlineSpec(kind="from_file", params=None, path="cover.outer")


@pytest.mark.parametrize("path", RECIPES, ids=lambda p: p.stem)
def test_a_plan_from_what_is_kept_is_the_plan(path):
    reading, kept = read(path), Kept()
    plain = judge(reading)
    first = judge(reading, kept)
    made = kept.made
    again = judge(reading, kept)
    assert plain.plan == first.plan == again.plan
    assert plain.findings == again.findings
    assert made > 0
    assert kept.made == made


def test_it_is_drawn_once_and_what_was_told_is_told_again():
    kept, draw = Kept(), Drawing()
    first, again = OneFile(), OneFile()
    drawn = shared_outline(SPEC, Context(files=first, sharing=kept), draw)
    assert shared_outline(SPEC, Context(files=again, sharing=kept), draw) == drawn
    assert draw.drawn == 1
    assert first.told == again.told == {"width.txt": "30 mm are assumed"}


def test_another_content_of_its_file_is_another_outline():
    kept, draw = Kept(), Drawing()
    made = [shared_outline(SPEC, Context(files=OneFile(w), sharing=kept), draw) for w in (b"30", b"31", b"30")]
    assert made[0] == made[2] != made[1]
    assert draw.drawn == 2


def test_another_room_is_another_outline():
    kept, draw = Kept(), Drawing()
    for width in (1.0, 2.0, 1.0):
        room = Region((rectangle(0.0, 0.0, width, 1.0),))
        shared_outline(SPEC, Context(files=OneFile(), sharing=kept, room=room), draw)
    assert draw.drawn == 2


def test_a_file_that_has_gone_is_told_by_who_draws():
    kept, draw = Kept(), Drawing()
    shared_outline(SPEC, Context(files=OneFile(), sharing=kept), draw)
    with pytest.raises(GeometryError, match=r"width\.txt is not there"):
        shared_outline(SPEC, Context(files=OneFile(None), sharing=kept), draw)


def test_what_cannot_be_drawn_is_not_kept():
    kept, draw = Kept(), Drawing()
    for _ in range(2):
        with pytest.raises(GeometryError, match="below 0"):
            shared_outline(SPEC, Context(files=OneFile(b"-1"), sharing=kept), draw)
    assert not kept.kept
