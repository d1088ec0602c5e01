"""A STEP file with little prisms in the stead of its solids: what is round the solids, to be read in no time."""

from __future__ import annotations

import re
from functools import lru_cache
from math import cos, pi, sin

from generator.outline.contour import Contour, Vertex
from generator.part.part import Slab, Wall
from generator.part.solid_facts import SolidFacts
from generator.solid.blocks import Span, outside_of, spans_of
from generator.solid.compose import Block, composed
from generator.solid.unfinished import Unfinished
from generator.solid.upright_faces import upright_body
from generator.solid.upright_read import upright_facts
from generator.solid.upright_text import upright_text

__all__ = ["with_stand_ins"]

_NUMBER = re.compile(rb"#(\d+)")
FEWEST_SIDES = 4


def with_stand_ins(data: bytes) -> tuple[bytes, tuple[SolidFacts, ...]]:
    """Return a STEP file with prisms for solids, and what they are, part by part; none if that cannot be done.

    Every part has as many prisms as it has solids, and these as many faces as are named round it, so that sizes with
    limits still have different faces. Prisms of different parts differ, and none comes to lie as it was if it is turned
    round or over: so it shows which product has which solids, and how they are placed.
    """
    spans = spans_of(data)
    named = {int(n) for text in outside_of(data, spans) for n in _NUMBER.findall(text)} if spans else set()
    made = [_prisms(len(span.solids), _faces_named(span, named), 1.0 + i) for i, span in enumerate(spans)]
    file = composed([block for block, _ in made], lambda _: Unfinished(data, ())) if made else None
    return (file.text, tuple(facts for _, facts in made)) if file else (data, ())


def _faces_named(span: Span, named: set[int]) -> int:
    return sum(span.first <= n < span.after and n not in span.solids for n in named)


@lru_cache(maxsize=16)
def _prisms(count: int, faces: int, long_mm: float) -> tuple[Block, SolidFacts]:
    """Return so many prisms, apart from each other, and their facts; the first has so many faces.

    They are 1 mm wide and high, twice ``long_mm`` long, and lie aside from both axes.
    """
    walls = []
    for i in range(count):
        n = FEWEST_SIDES if i else max(FEWEST_SIDES, faces - 2)
        turns = [2.0 * pi * k / n for k in range(n)]
        middle = 3.0 * long_mm * (i + 1)
        ring = Contour(tuple(Vertex(middle + long_mm * cos(t), 2.0 + 0.5 * sin(t)) for t in turns))
        walls.append(Wall(ring, ring))
    body = upright_body([Slab(0.0, 1.0, tuple(walls))])
    assert body is not None
    made = upright_text(body, 1)
    text = made.text().encode("ascii")
    facts = upright_facts(text)
    assert facts is not None
    return Block(text, 1, 1 + len(made.lines), made.solids, faces=made.faces[0]), facts
