"""Parts with upright walls, written and read without the solid kernel, held against what the kernel writes and reads.

The kernel (a general-purpose library) is the oracle both ways: of the same slabs it must write the same entities, and
what it writes must be read as it reads it itself. Texts that were spoiled must not be taken for sound.
"""

from __future__ import annotations

import re
from functools import cache
from math import inf

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from solid_bodies import disc, hole, rect, rounded, straight
from test_random_plates import Plate, plates

from generator.outline.distance import points_distance
from generator.outline.nearness import boundary_points
from generator.outline.region import Region
from generator.part.part import Slab
from generator.part.solid_facts import SolidFacts
from generator.solid.assemble import make_solid
from generator.solid.blocks import spans_of
from generator.solid.facts import solid_facts
from generator.solid.step_write import Product, unfinished_step
from generator.solid.upright_entities import UnlikeError, entities_of
from generator.solid.upright_faces import upright_body
from generator.solid.upright_read import _facts, upright_facts
from generator.solid.upright_text import upright_text

REAL = re.compile(r"(?<![#\w])-?\d+\.\d*(?:E[+-]\d+)?")
NAMED = re.compile(r"#(\d+)")


def kernel_text(slabs: list[Slab]) -> str:
    """The entities of the solids as the kernel writes them."""
    text = unfinished_step([Product("a", make_solid(slabs), "#000000", "", 0.0)], assembly=False).text
    (span,) = spans_of(text)
    return text[span.start : span.end].decode()


def own_text(slabs: list[Slab]) -> str:
    body = upright_body(slabs)
    assert body is not None
    return upright_text(body, 15).text()


def bare(text: str) -> str:
    return "".join(text.split())


def off(facts: SolidFacts, slabs: list[Slab]) -> float:
    """How far the walls that were read lie from the sections of the slabs, mm; infinite if one has more."""
    gap = 0.0
    for slab in slabs:
        z = (slab.z_from_mm + slab.z_to_mm) / 2.0
        found = Region(tuple(w.contour for w in facts.walls if w.z_from_mm < z < w.z_to_mm))
        planned = Region(tuple(w.lower for w in slab.walls))
        if len(found) != len(planned):
            return inf
        for here, there in ((found, planned), (planned, found)):
            gap = max(gap, float(points_distance(here, boundary_points(there.contours)).max()))
    return gap


def in_order(facts: SolidFacts) -> list[tuple[float, ...]]:
    holes = [(*h.at, h.diameter_mm, h.z_from_mm, h.z_to_mm) for h in facts.holes]
    return sorted(holes, key=lambda hole: tuple(round(v, 6) for v in hole))


RING = rounded(0.0, 0.0, 30.0, 20.0, 4.0)
STACKS = {
    "plate": [straight(0.0, 2.0, rect(0.0, 0.0, 30.0, 20.0))],
    "round plate with holes": [straight(0.0, 2.0, RING, hole(8.0, 8.0, 3.0), hole(20.0, 10.0, 4.0))],
    "pocket": [straight(0.0, 2.0, RING), straight(2.0, 3.5, RING, rounded(5.0, 5.0, 25.0, 15.0, 2.0).reversed())],
    "stepped hole": [straight(-1.0, 2.0, RING, hole(9.0, 9.0, 2.0)), straight(2.0, 3.0, RING, hole(9.0, 9.0, 4.0))],
    "island": [straight(0.0, 1.0, RING, hole(15.0, 10.0, 6.0), disc(15.0, 10.0, 2.5))],
    "boss": [straight(0.0, 1.0, RING), straight(1.0, 4.0, disc(15.0, 10.0, 2.5), rect(2.0, 6.0, 6.0, 12.0))],
    "sections that cross": [
        straight(0.0, 1.0, rect(0.0, 0.0, 20.0, 5.0)),
        straight(1.0, 2.0, rect(8.0, -9.0, 12.0, 9.0)),
    ],
    "bridge": [
        straight(0.0, 1.0, rect(0.0, 0.0, 5.0, 5.0), rect(20.0, 0.0, 25.0, 5.0)),
        straight(1.0, 2.0, rect(-1.0, -1.0, 26.0, 6.0)),
    ],
}


@pytest.mark.parametrize("name", STACKS)
def test_what_is_written_is_what_the_kernel_writes(name):
    agree(STACKS[name])


def agree(slabs: list[Slab]) -> None:
    """Written text and facts that were read are the kernel's."""
    own, kernels = bare(own_text(slabs)), bare(kernel_text(slabs))
    assert REAL.split(own) == REAL.split(kernels)
    assert list(map(float, REAL.findall(own))) == pytest.approx(list(map(float, REAL.findall(kernels))), abs=2e-11)
    wanted = solid_facts("", make_solid(slabs))
    for text in (own, kernels):
        found = upright_facts(text.encode())
        assert found is not None
        assert found.volume_mm3 == pytest.approx(wanted.volume_mm3, rel=1e-11)
        assert found.box_mm == pytest.approx(wanted.box_mm, abs=1e-9)
        assert (found.is_valid, found.is_closed, found.faces) == (wanted.is_valid, wanted.is_closed, wanted.faces)
        assert len(found.holes) == len(wanted.holes)
        for h, k in zip(in_order(found), in_order(wanted), strict=True):
            assert h == pytest.approx(k, abs=1e-9)
        assert off(found, slabs) < 1e-9


@settings(derandomize=True, deadline=None, max_examples=60)
@given(plates)
def test_random_plates_are_written_and_read_as_by_the_kernel(plate: Plate) -> None:
    plate.rim = 0.0
    slabs, _, _ = plate.build()
    slabs = [slab for slab in slabs if slab.z_to_mm > slab.z_from_mm]
    assume(upright_body(slabs) is not None)
    agree(slabs)


# ------------------------------------------------------------------ what is for the kernel
def test_what_is_not_upright_and_apart_is_left_to_the_kernel():
    from solid_bodies import tapered

    lower, upper = rounded(0.0, 0.0, 30.0, 20.0, 4.0), rounded(1.0, 1.0, 29.0, 19.0, 3.0)
    touching = [straight(0.0, 1.0, disc(0.0, 0.0, 5.0), disc(10.0, 0.0, 5.0))]
    hollow = [
        straight(0.0, 1.0, RING),
        straight(1.0, 2.0, RING, hole(15.0, 10.0, 3.0)),
        straight(2.0, 3.0, RING),
    ]
    seam = [straight(0.0, 1.0, rect(0.0, 0.0, 10.0, 5.0)), straight(1.0, 2.0, rect(0.0, 0.0, 6.0, 5.0))]
    for slabs in ([tapered(0.0, 1.0, [(lower, upper)])], touching, hollow, seam, []):
        assert upright_body(slabs) is None


def test_a_whole_file_or_no_file_is_not_read():
    text = own_text(STACKS["plate"])
    for spoiled in ("", text[:-2], text + "x", "HEADER;\n" + text, text.replace("#20 =", "#21 ="), "x" + text):
        assert upright_facts(spoiled.encode()) is None


# ------------------------------------------------------------------ what was spoiled is seen
ENTITY = re.compile(r"#(\d+) = ([A-Z_0-9]+)\((.*)\);")
SENSES = re.compile(r"\.([TF])\.\)")


@cache
def sound(name: str) -> tuple[str, SolidFacts]:
    text = own_text(STACKS[name])
    facts = upright_facts(text.encode())
    assert facts is not None
    return text, facts


def references(text: str) -> tuple[dict[str, str], list[re.Match[str]]]:
    """The kind of every entity by its number, and every place where one is referred to."""
    kinds = {m[1]: m[2] for m in ENTITY.finditer(text)}
    return kinds, [m for m in NAMED.finditer(text) if text[m.end() : m.end() + 2] != " ="]


@pytest.mark.parametrize("name", STACKS)
def test_every_sense_that_is_turned_over_is_seen(name):
    text, _ = sound(name)
    places = [m.start(1) for m in SENSES.finditer(text)]
    assert len(places) > 40
    for at in places:
        spoiled = text[:at] + ("F" if text[at] == "T" else "T") + text[at + 1 :]
        assert upright_facts(spoiled.encode()) is None


@pytest.mark.parametrize("name", STACKS)
@settings(derandomize=True, deadline=None, max_examples=60)
@given(data=st.data())
def test_every_other_reference_is_seen(name, data):
    """Each reference in the text leads to another entity of the same kind."""
    text, _ = sound(name)
    kinds, places = references(text)
    place = data.draw(st.sampled_from(places))
    others = [n for n in kinds if kinds[n] == kinds[place[1]] and n != place[1]]
    assume(others)
    other = data.draw(st.sampled_from(others))
    spoiled = text[: place.start(1)] + other + text[place.end(1) :]
    assert upright_facts(spoiled.encode()) is None


@pytest.mark.parametrize("name", STACKS)
@settings(derandomize=True, deadline=None, max_examples=60)
@given(data=st.data())
def test_two_references_that_change_places_are_seen_or_mean_the_same(name, data):
    text, facts = sound(name)
    kinds, places = references(text)
    first = data.draw(st.sampled_from(places))
    alike = [m for m in places if kinds[m[1]] == kinds[first[1]] and m.start() > first.start() and m[1] != first[1]]
    assume(alike)
    second = data.draw(st.sampled_from(alike))
    spoiled = (
        text[: first.start(1)] + second[1] + text[first.end(1) : second.start(1)] + first[1] + text[second.end(1) :]
    )
    same_or_seen(spoiled, facts, STACKS[name])


@pytest.mark.parametrize("name", STACKS)
@settings(derandomize=True, deadline=None, max_examples=60)
@given(data=st.data())
def test_every_number_that_is_changed_is_seen_or_means_the_same(name, data):
    """By a quarter of a micrometre, or far; what only shifts a plane in itself or turns a circle is the same."""
    text, facts = sound(name)
    place = data.draw(st.sampled_from(list(REAL.finditer(text))))
    by = data.draw(st.sampled_from([2.5e-7, -1e-3, 0.5, -2.0, 40.0]))
    spoiled = f"{text[: place.start()]}{float(place[0]) + by:.12f}{text[place.end() :]}"
    same_or_seen(spoiled, facts, STACKS[name])


def same_or_seen(spoiled: str, facts: SolidFacts, slabs: list[Slab]) -> None:
    found = upright_facts(spoiled.encode())
    if found is None:
        return
    same = found.volume_mm3 == pytest.approx(facts.volume_mm3, rel=1e-9) and found.faces == facts.faces
    boxes = found.box_mm == pytest.approx(facts.box_mm, abs=1e-6)
    assert (same and boxes and off(found, slabs) < 2e-7) or off(found, slabs) > 1e-7 or not same


def spoilt(name: str, old: str, new: str, nth: int = 0) -> str:
    """Why a text is refused in which the nth match of a pattern gave way to something else."""
    text, _ = sound(name)
    match = list(re.finditer(old, text))[nth]
    with pytest.raises(UnlikeError) as caught:
        _facts(entities_of((text[: match.start()] + match.expand(new) + text[match.end() :]).encode()))
    return str(caught.value)


@pytest.mark.parametrize(
    ("name", "old", "new", "why"),
    [
        ("plate", r"VERTEX_POINT\('',#(\d+)\)", r"VERTEX_POINT('',#99\1)", "out of the bodies"),
        ("plate", r"PLANE\('',#(\d+)\)", r"PLANE('',#15)", "something else"),
        ("plate", r"PLANE\(", "CONICAL_SURFACE(", "no kind that is expected"),
        ("plate", r"FACE_BOUND\('',#(\d+),\.T\.\)", r"FACE_BOUND('',#\1,.X.)", "form that is not expected"),
        ("plate", r"VECTOR\('',#(\d+),1\.\)", r"VECTOR('',#\1,2.)", "not of length 1"),
        ("plate", r"DIRECTION\('',\(0\.,1\.,0\.\)\)", "DIRECTION('',(0.,0.6,0.8))", "line misses the end"),
        ("round plate with holes", r"CIRCLE\('',#(\d+),3\.\)", r"CIRCLE('',#\1,3.1)", "circle misses"),
        ("round plate with holes", r"SURFACE\('',#(\d+),3\.\)", r"SURFACE('',#\1,3.1)", "arc misses its wall"),
        ("round plate with holes", r"CIRCLE\('',#(\d+),3\.\)", r"CIRCLE('',#\1,-3.)", "not positive"),
    ],
)
def test_what_is_wrong_is_said(name, old, new, why):
    assert why in spoilt(name, old, new)


@pytest.mark.parametrize("to", [50.0, 20.0])
def test_a_hole_beside_its_face_and_a_hole_in_a_hole_are_refused(to):
    """Every wall and ring is as it should be, the volume too; but the hole is in the wrong place."""
    text = own_text([straight(0.0, 2.0, RING, hole(10.0, 11.0, 2.0), hole(20.0, 10.0, 6.0))])
    assert upright_facts(text.encode()) is not None
    moved = text.replace("(10.,11.,", f"({to}0,11.,").replace("(12.,11.,", f"({to + 2.0}0,11.,")
    assert moved != text
    with pytest.raises(UnlikeError, match="does not lie in its face"):
        _facts(entities_of(moved.encode()))
