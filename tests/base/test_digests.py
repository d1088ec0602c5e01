"""Digests under which things are kept: equal for equal values, different for whatever differs."""

from __future__ import annotations

from dataclasses import replace
from math import nextafter
from pathlib import Path

import pytest

from generator.base.sharing import digest_of
from generator.build.judge import check
from generator.outline.contour import Contour, Point
from generator.outline.region import Region

SQUARE = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
RECIPE = Path(__file__).parents[2] / "recipes" / "gate-latch.yaml"


def test_equal_values_have_one_digest():
    one, other = (Region((Contour.of(SQUARE),)) for _ in range(2))
    assert one is not other
    assert digest_of(one, Point(1.0, 2.0)) == digest_of(other, Point(1.0, 2.0))


@pytest.mark.parametrize(
    "other",
    [
        ((0.0, 0.0), (nextafter(1.0, 2.0), 0.0), (1.0, 1.0), (0.0, 1.0)),
        ((0.0, 0.0, 5e-324), *SQUARE[1:]),
        (*SQUARE[1:], SQUARE[0]),
        ((-0.0, 0.0), *SQUARE[1:]),
        SQUARE[:3],
    ],
)
def test_the_last_bit_of_a_contour_tells(other):
    assert digest_of(Region((Contour.of(SQUARE),))) != digest_of(Region((Contour.of(other),)))


def test_what_is_alike_in_text_is_told_apart():
    values = [
        ("a", "b"),
        ["a", "b"],
        ("a,b",),
        ("a", ("b",)),
        (("a",), "b"),
        "('a','b')",
        ("a",),
        (),
        "",
        None,
        1,
        1.0,
        "1",
    ]
    assert len({digest_of(v) for v in values}) == len(values)
    assert digest_of("a", "b") != digest_of("ab") != digest_of(("a", "b"))


def test_every_field_of_a_part_tells():
    part = check(RECIPE).plan.cover
    changed = [
        replace(part, name="other"),
        replace(part, thickness_mm=nextafter(part.thickness_mm, 99.0)),
        replace(part, rim_break_mm=0.5),
        replace(part, features=part.features[:-1]),
        replace(part, features=tuple(reversed(part.features))),
        replace(part, features=(replace(part.features[0], z_to_mm=0.125), *part.features[1:])),
        replace(part, profile=part.features[0].region),
        replace(part, material=replace(part.material, density_kg_m3=1.0)),
    ]
    assert len({digest_of(p) for p in (part, *changed)}) == 1 + len(changed)
    assert digest_of(part) == digest_of(check(RECIPE).plan.cover)
