"""What is round the solids of a STEP file: a file in which it was spoiled is read as the kernel reads it.

The kernel (a general-purpose library) is the oracle: where variants share, it reads what is round the solids once and
with prisms in their stead, and what is told of a file must still be what it reads of the whole file.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import pytest
from solid_bodies import disc, hole, rect, rounded, small_plan, straight

from generator.base.sharing import NOTHING_SHARED
from generator.outline.contour import Point
from generator.outputs.step import _size_gap
from generator.part.part import Part, Slab
from generator.part.solid_facts import SolidFacts
from generator.part.toleranced import Toleranced
from generator.solid.blocks import spans_of
from generator.solid.read_again import ReadAgain
from generator.solid.sized_text import sized_ends
from generator.solid.solids import StepSolids
from generator.solid.step_read import read_facts
from tests.family.test_shared_outputs import Kept

COVER = (straight(0.0, 8.0, rounded(0.0, 0.0, 60.0, 40.0, 5.0), hole(10.0, 10.0, 3.3), hole(50.0, 10.0, 3.3)),)
INSERT = (
    straight(0.0, 1.0, rect(0.0, 0.0, 20.0, 10.0), hole(4.0, 4.0, 1.5), disc(30.0, 5.0, 4.0), disc(40.0, 5.0, 2.0)),
    straight(1.0, 1.5, rect(0.0, 0.0, 20.0, 10.0), disc(30.0, 5.0, 4.0), disc(40.0, 5.0, 2.0)),
)
SIZES = (
    Toleranced(1, "cover", "thickness", False, 8.0, -0.1, 0.1, (Point(30.0, 20.0),), 0.0, 8.0),
    Toleranced(2, "cover", "holes", True, 6.6, 0.0, 0.1, (Point(10.0, 10.0), Point(50.0, 10.0))),
    Toleranced(3, "insert-number", "thickness", False, 1.5, -0.05, 0.05, (Point(10.0, 5.0),), 0.0, 1.5),
)


def slabs_of(part: Part) -> tuple[Slab, ...]:
    return COVER if part.name == "cover" else INSERT


@cache
def files() -> dict[str, str]:
    """The files of two parts with upright walls, the second of which is three bodies, and of their assembly."""
    plan = small_plan()
    solids = StepSolids(plan, slabs_of=slabs_of, sizes=SIZES)
    made = {part.name: solids.part_step(part).decode() for part in plan.parts}
    return {**made, "assembly": solids.assembly_step().decode()}


def told(kept: Kept, spoiled: str) -> tuple[SolidFacts, ...]:
    """Return what a family is told of a spoiled assembly, after the sound files."""
    again = ReadAgain(kept)
    for data in files().values():
        again.facts(data.encode())
    return again.facts(spoiled.encode())


def agrees(found: tuple[SolidFacts, ...], spoiled: str) -> bool:
    wanted = read_facts(spoiled.encode())
    return len(found) == len(wanted) and all(
        f.product == w.product
        and f.volume_mm3 == pytest.approx(w.volume_mm3, rel=1e-9)
        and f.box_mm == pytest.approx(w.box_mm, abs=1e-7)
        and (f.is_valid, f.is_closed, f.faces, len(f.holes)) == (w.is_valid, w.is_closed, w.faces, len(w.holes))
        for f, w in zip(found, wanted, strict=True)
    )


def changed(pattern: str, new: str, file: str = "assembly") -> str:
    text = files()[file]
    spoiled, times = re.subn(pattern, new, text, count=1, flags=re.DOTALL)
    assert times == 1
    assert spoiled != text
    return spoiled


def solids_in(text: str) -> list[str]:
    return re.findall(r"#(\d+) = MANIFOLD_SOLID_BREP", text)


PLACED = (
    r"(CARTESIAN_POINT\('',\(0\.,0\.,)6\.5(\)\);\s*"
    r"#\d+ = DIRECTION\('',\()0\.,0\.,1\.(\)\);\s*"
    r"#\d+ = DIRECTION\('',\()1\.,0\.,-?0\."
)
"""Where the insert sits: height, main and first direction."""


@pytest.mark.parametrize(
    ("z_mm", "main", "across"),
    [
        ("6.5", "0.,0.,1.", "0.,1.,0."),
        ("6.5", "0.,0.,1.", "-1.,0.,0."),
        ("6.5", "0.,0.,-1.", "1.,0.,0."),
        ("7.5", "0.,0.,-1.", "1.,0.,0."),
        ("7.5", "0.,0.,-1.", "0.,1.,0."),
    ],
)
def test_a_part_that_is_turned_round_or_over_in_its_assembly_is_seen(z_mm, main, across):
    spoiled = changed(PLACED, rf"\g<1>{z_mm}\g<2>{main}\g<3>{across}")
    assert agrees(told(Kept(), spoiled), spoiled)


def test_solids_that_have_changed_names_are_seen():
    """Each of two parts of one body is said to be the shape of the other's product."""
    plan = small_plan()
    one = (straight(0.0, 1.5, rect(0.0, 0.0, 20.0, 10.0)),)
    solids = StepSolids(plan, slabs_of=lambda part: COVER if part.name == "cover" else one)
    again = ReadAgain(Kept())
    for part in plan.parts:
        again.facts(solids.part_step(part))
    text = solids.assembly_step().decode()
    first, second = solids_in(text)
    spoiled = re.sub(
        rf"(REPRESENTATION\('',\(#\d+,#)({first}|{second})(\))",
        lambda m: f"{m[1]}{second if m[2] == first else first}{m[3]}",
        text,
    )
    assert spoiled.count(f",#{first})") == text.count(f",#{first})") > 0
    assert agrees(again.facts(spoiled.encode()), spoiled)


@pytest.mark.parametrize("file", ["assembly", "insert-number"])
def test_a_body_that_is_named_twice_in_the_stead_of_another_is_seen(file):
    *_, second, third = solids_in(files()[file])
    spoiled = changed(rf"(REPRESENTATION\('',\([#\d,]*#{second},#){third}\)", rf"\g<1>{second})", file)
    assert agrees(told(Kept(), spoiled), spoiled)


def test_files_that_differ_in_their_solids_alone_need_the_kernel_once():
    read: list[int] = []

    def counted(data: bytes) -> tuple[SolidFacts, ...]:
        read.append(len(data))
        return read_facts(data)

    kept = Kept()
    for height in (1.5, 1.7, 1.9):
        plan = small_plan()
        insert = (INSERT[0], replace(INSERT[1], z_to_mm=height))
        solids = StepSolids(plan, slabs_of=lambda p, s=insert: COVER if p.name == "cover" else s, sizes=SIZES[:2])
        again = ReadAgain(kept, counted)
        for data in (*map(solids.part_step, plan.parts), solids.assembly_step()):
            assert agrees(again.facts(data), data.decode())
    assert len(read) == 3, "what is round a cover, an insert and an assembly"


# ------------------------------------------------------------------ sizes with limits
LINKED = re.compile(r"(GEOMETRIC_ITEM_SPECIFIC_USAGE\('',''),(#\d+,#\d+),#(\d+)\)")


@pytest.mark.parametrize(
    ("file", "sharing", "alike"),
    [("cover", NOTHING_SHARED, 0), ("cover", Kept(), 0), ("insert-number", Kept(), 4), ("assembly", Kept(), 4)],
)
def test_a_size_that_belongs_to_another_face_is_seen(file, sharing, alike):
    """Each link in turn leads to every other face of the part; but at the same height every level face will do."""
    text = files()[file]
    wanted = [size for size in SIZES if file in (size.part, "assembly")]
    again = ReadAgain(sharing)
    assert all(_size_gap(w, f) < 1e-9 for w, f in zip(wanted, again.sizes(text.encode()), strict=True))
    spans = spans_of(text.encode())
    unseen = 0
    for link in LINKED.finditer(text):
        (span,) = (s for s in spans if s.first <= int(link[3]) < s.after)
        faces = re.findall(r"#(\d+) = ADVANCED_FACE", text[span.start : span.end])
        assert link[3] in faces
        for other in faces:
            spoiled = f"{text[: link.start()]}{link[1]},{link[2]},#{other}){text[link.end() :]}"
            gaps = [_size_gap(w, f) for w, f in zip(wanted, again.sizes(spoiled.encode()), strict=True)]
            unseen += other != link[3] and max(gaps) < 1.0
    assert unseen == alike


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("CYLINDRICAL_SURFACE", "CONICAL_SURFACE"),
        (r"CYLINDRICAL_SURFACE\('',(#\d+),3\.3\)", r"CYLINDRICAL_SURFACE('',\1,E)"),
        (r"CYLINDRICAL_SURFACE\('',#\d+,", "CYLINDRICAL_SURFACE('',$,"),
        (r"PLANE\('',#\d+\)", "PLANE('',$)"),
        (r"CARTESIAN_POINT\('',\(0\.,0\.,8\.\)\)", "CARTESIAN_POINT('',(0.,0.,E))"),
        (r"DIRECTION\('',\(0\.,0\.,1\.\)\)", "DIRECTION('',(0.,1.))"),
        (r"ADVANCED_FACE\(", "FACE_SURFACE("),
    ],
)
def test_a_face_that_is_not_told_as_it_should_be_is_none(old, new):
    text = files()["cover"]
    spoiled = re.sub(old, new, text)
    assert spoiled != text
    sound, found = (sum(len(end) for size in sized_ends(d.encode()) for end in size) for d in (text, spoiled))
    assert sound == 4
    assert found < sound


def test_what_is_no_file_of_ours_has_no_sizes():
    assert sized_ends(b"ISO-10303-21;") == ()
