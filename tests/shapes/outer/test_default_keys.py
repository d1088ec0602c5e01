"""Every outer shape round every original with nothing but a margin: the exact wall, no sharp corner."""

from __future__ import annotations

import pytest

from generator.base.errors import GeometryError
from generator.outline.measure import area, signed_area
from generator.outline.offset import offset_region
from generator.outline.predicates import explain_contour
from generator.shapes.outer import OUTER_SHAPES
from generator.shapes.shape import Context
from tests.shapes.outer.walls import NAMES, around, exact_wall, facet_wall, smooth
from tests.shapes.recipe_form import drawn

MICROMETRE = 1e-3
KINDS = [s.name for s in OUTER_SHAPES]
NEEDS = {"pointed": {"direction": 60, "reach": 130}}
"""Keys that a kind cannot do without."""
LOOSE = {
    "pointed": 200.0,  # its reach is given
    "superellipse": 0.006,  # enclosed by samples, with what they may miss added
}
"""By how much the wall may be thicker than asked for; the others are the smallest that keep it."""


@pytest.mark.parametrize("margin", [2, 5, 9, 15])
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("kind", KINDS)
def test_wall_is_kept(kind, name, margin):
    outer = drawn({kind: {"margin": margin, **NEEDS.get(kind, {})}}, around(name))
    assert len(outer) == 1
    assert signed_area(outer.contours[0]) > 0
    assert explain_contour(outer.contours[0]) is None
    assert smooth(outer)
    assert margin - MICROMETRE <= exact_wall(outer, name) <= margin + LOOSE.get(kind, MICROMETRE)
    assert facet_wall(outer, name) >= margin - MICROMETRE


@pytest.mark.parametrize("kind", KINDS)
def test_not_without_an_original(kind):
    with pytest.raises(GeometryError, match=r"for `cover\.outer` only|its size is missing"):
        drawn({kind: {"margin": 4, **NEEDS.get(kind, {})}}, Context())


@pytest.mark.parametrize("kind", [k for k in KINDS if k != "pointed"])
def test_a_larger_margin_gives_a_larger_cover(kind):
    sizes = [area(drawn({kind: {"margin": m}}, around("oval-two-bolt"))) for m in (3, 6, 12)]
    assert sizes == sorted(sizes)
    assert sizes[0] > area(offset_region(around("oval-two-bolt").pocket, 2.9))
