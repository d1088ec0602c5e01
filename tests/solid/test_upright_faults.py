"""Bodies whose every edge joins two faces and that are wrong all the same, and texts at the border of what is read.

Volume and sections of the first are those of the sound ones, and the kernel (a general-purpose library) finds no fault:
it looks at faces one by one. What a sound body is comes from ISO 10303-42: faces of a shell do not meet but in edges,
and bodies of one part do not touch.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from solid_bodies import QUARTER, disc, hole, prism_volume, rect, rounded, straight

from generator.base.sharing import NOTHING_SHARED
from generator.outline.contour import Contour
from generator.part.part import Slab
from generator.solid.anonymous import Anonymous
from generator.solid.compose import Block, composed
from generator.solid.kernel_solids import stand_ins
from generator.solid.read_again import ReadAgain
from generator.solid.step_read import read_facts
from generator.solid.step_text import Header
from generator.solid.unfinished import Label, finished_step
from generator.solid.upright_faces import Face, UprightBody, upright_body
from generator.solid.upright_read import upright_facts
from generator.solid.upright_text import UprightText, upright_text
from tests.family.test_shared_outputs import Kept

RING = rounded(0.0, 0.0, 30.0, 20.0, 4.0)
PLATE = straight(0.0, 2.0, RING, hole(20.0, 10.0, 4.0))
BOSS = straight(2.0, 3.0, disc(8.0, 10.0, 3.0))


def body_of(*slabs: Slab) -> UprightBody:
    made = upright_body(slabs)
    assert made is not None
    return made


def skinned(z_mm: float) -> UprightText:
    """A plate whose hole is closed at one end by a skin without thickness."""
    made = body_of(PLATE)
    (faces,) = made.bodies
    (old,) = (f for f in faces if f.turn and f.z_mm == z_mm)
    skin = Face((old.rings[1],), z_mm, -old.turn, None)
    others = tuple(f for f in faces if f is not old)
    return upright_text(replace(made, bodies=((old._replace(rings=old.rings[:1]), *others, skin),)), 15)


def apart(*slabs: Slab) -> UprightText:
    """Slabs that lie on each other, each a body of its own."""
    made, first = [], 15
    for slab in slabs:
        made.append(upright_text(body_of(slab), first))
        first += len(made[-1].lines)
    lines = tuple(line for text in made for line in text.lines)
    solids = tuple(n for text in made for n in text.solids)
    return UprightText(lines, 15, solids, tuple(f for text in made for f in text.faces))


def file_of(made: UprightText) -> bytes:
    block = Block(made.text().encode(), 15, 15 + len(made.lines), made.solids)
    whole = composed([block], lambda counts: stand_ins((0.0,), counts, assembly=False))
    assert whole is not None
    return finished_step(whole, [Label("a plate", "#808080", "steel", 7850.0)], Header("a.step", "a plate"))


@pytest.mark.parametrize(
    ("made", "slabs"),
    [
        (skinned(2.0), [PLATE]),
        (skinned(0.0), [PLATE]),
        (apart(PLATE, BOSS), [PLATE, BOSS]),
        (apart(BOSS, PLATE), [PLATE, BOSS]),
        (apart(PLATE, replace(PLATE, z_from_mm=2.0, z_to_mm=3.0)), [replace(PLATE, z_to_mm=3.0)]),
    ],
    ids=["skin above", "skin below", "boss", "boss first", "plate on plate"],
)
@pytest.mark.parametrize("sharing", [NOTHING_SHARED, Kept()], ids=["alone", "in a family"])
def test_faces_that_lie_in_each_other_are_a_fault(made, slabs, sharing):
    data = file_of(made)
    (kernels,) = read_facts(data)
    assert kernels.is_valid
    assert kernels.volume_mm3 == pytest.approx(prism_volume(slabs), rel=1e-9)
    (found,) = ReadAgain(sharing).facts(data)
    assert found.is_valid is False
    (sound,) = ReadAgain(sharing).facts(file_of(upright_text(body_of(*slabs), 15)))
    assert sound.is_valid


def test_levels_that_look_up_and_down_side_by_side_are_no_fault():
    crossing = [straight(0.0, 1.0, rect(0.0, 0.0, 20.0, 5.0)), straight(1.0, 2.0, rect(8.0, -9.0, 12.0, 9.0))]
    shifted = [straight(0.0, 1.0, disc(0.0, 0.0, 5.0)), straight(1.0, 2.0, disc(3.0, 0.0, 5.0), disc(20.0, 0.0, 1.0))]
    ledge = [
        straight(0.0, 1.0, RING, hole(20.0, 10.0, 4.0)),
        straight(1.0, 2.0, rounded(1.0, 1.0, 31.0, 21.0, 4.0), hole(20.0, 10.0, 3.0), hole(8.0, 8.0, 2.0)),
    ]
    for slabs in (crossing, shifted, ledge):
        facts = upright_facts(upright_text(body_of(*slabs), 15).text().encode())
        assert facts is not None
        assert facts.is_valid


def test_arcs_that_are_all_but_straight_are_for_the_kernel_to_judge():
    """At a radius of 750 km the kernel calls its own solid faulty; digits of a file end near there."""
    flat = Contour.of([(0.0, 0.0, 1e-8), (30.0, 0.0), (30.0, 30.0), (0.0, 30.0)])
    assert upright_facts(upright_text(body_of(straight(0.0, 1.0, flat)), 15).text().encode()) is None
    round_ = Contour.of([(0.0, 0.0, 1e-4), (30.0, 0.0), (30.0, 30.0), (0.0, 30.0)])
    assert upright_facts(upright_text(body_of(straight(0.0, 1.0, round_)), 15).text().encode()) is not None


def test_a_thin_plate_far_from_all_axes_has_its_volume():
    """A corner of its outline is ten nanometres off; area times height of the planned contour is the measure."""
    x, y = -995.0, -495.0
    ring = Contour.of([(x + 5, y, QUARTER), (x, y + 5 + 1e-8, QUARTER), (x - 5, y, QUARTER), (x, y - 5, QUARTER)])
    slabs = [straight(100.0, 100.001, ring)]
    facts = upright_facts(upright_text(body_of(*slabs), 15).text().encode())
    assert facts is not None
    assert facts.volume_mm3 == pytest.approx(prism_volume(slabs), rel=1e-8)


def test_outlines_that_share_a_line_are_left_to_the_kernel():
    beside = rect(10.0 + 1e-8, 0.0, 20.0, 10.0)
    assert upright_body([straight(0.0, 1.0, rect(0.0, 0.0, 10.0, 10.0), beside)]) is None


@pytest.mark.parametrize("spoiled", [b"(3 0.,", b"(30 .,", b"(30.\n,-0.", b"(30. 0,"])
def test_a_blank_within_a_number_is_a_fault(spoiled):
    text = upright_text(body_of(straight(0.0, 1.0, rect(0.0, 0.0, 30.0, 20.0))), 15).text().encode()
    assert b"(30.," in text
    assert upright_facts(text.replace(b"(30.,", spoiled, 1)) is None


def test_blanks_beside_commas_and_brackets_mean_nothing():
    text = upright_text(body_of(straight(0.0, 1.0, rect(0.0, 0.0, 30.0, 20.0))), 15).text().encode()
    wrapped = text.replace(b",#", b",\r\n  #").replace(b");", b"  );")
    assert upright_facts(wrapped) == upright_facts(text)


def test_files_that_differ_in_a_blank_within_a_number_differ_in_what_is_round_their_solids():
    data = file_of(upright_text(body_of(PLATE), 15))
    for old, new, alike in ((b"1.E-07", b"1. E-07", False), (b",'confusion", b",\n 'confusion", True)):
        assert data.count(old) == 1
        frames = [Anonymous(d).apart.frame for d in (data, data.replace(old, new))]
        assert (frames[0] == frames[1]) is alike
