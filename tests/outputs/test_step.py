"""STEP: the proofs hold for honest solids and notice every lie."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf, nan

import pytest
import sample_plans
from sample_plans import BOLTS, THICK

from generator.base.errors import ProofError
from generator.outline.contour import Point
from generator.outputs import step
from generator.outputs.output import Hole, ReadSize, Toleranced
from generator.outputs.proofs import demand
from generator.part.mass import volume_mm3
from generator.part.part import Part
from generator.part.solid_facts import FacePlace, ReadLabel

COVER, INSERT = sample_plans.plan().parts


def closed_form_volume(rim: float) -> float:
    """Volume of the sample cover by hand: obrounds, discs and a rectangle; the rim by Steiner's formula."""
    pi = 3.141592653589793
    outer = 60.0 * 50.0 + pi * 25.0**2
    length = 2.0 * 60.0 + 2.0 * pi * 25.0
    pocket = (40.0 * 24.6 + pi * 12.3**2) * 3.4
    holes = 2.0 * pi * 3.3**2 * (5.6 - 3.4)
    seats = 2.0 * pi * 5.5**2 * (THICK - 5.6)
    inlay = 24.0 * 8.0 * 1.5
    # rim: A(t) = A - L t + pi t², missing volume is the integral of A - A(t) over t = 0 … rim
    lost = length * rim**2 / 2.0 - pi * rim**3 / 3.0
    return outer * THICK - pocket - holes - seats - inlay - lost


def label_of(part: Part) -> ReadLabel:
    """What a file ought to say of a part of the sample plan."""
    colour = tuple(round(int(part.material.colour[i : i + 2], 16) / 255.0, 6) for i in (1, 3, 5))
    name = f"gate-latch-21 {part.name}"
    return ReadLabel(name, sample_plans.plan().revision, colour, part.material.name, part.material.density_kg_m3)


@dataclass
class FakeSolids:
    """Solids that say what they are told to; ``lie`` changes the facts of a part as found in a place.

    Places are ``solid`` and the names of the files.
    """

    parts: tuple[Part, ...]
    lie: object = None
    sized: tuple[Toleranced, ...] = ()
    read: tuple[ReadSize, ...] = ()
    mislabel: object = None

    def sizes(self, part):
        return tuple(s for s in self.sized if s.part == part.name)

    def read_sizes(self, data):
        return self.read if data in (b"cover.step", b"assembly.step") else ()

    def _facts(self, part: Part, place: str):
        honest = sample_plans.facts(part, volume_mm3(part), seated=place == "assembly.step")
        return self.lie(honest, place) if self.lie else honest

    def facts(self, part):
        return self._facts(part, "solid")

    def read_labels(self, data):
        place = data.decode()
        parts = self.parts if place == "assembly.step" else [p for p in self.parts if f"{p.name}.step" == place]
        made = [label_of(part) for part in parts]
        return tuple(self.mislabel(label, place) if self.mislabel else label for label in made)

    def part_step(self, part):
        return f"{part.name}.step".encode()

    def assembly_step(self):
        return b"assembly.step"

    def read_step(self, data):
        place = data.decode()
        parts = self.parts if place == "assembly.step" else [p for p in self.parts if f"{p.name}.step" == place]
        return tuple(f for p in parts if (f := self._facts(p, place)) is not None)


def work(lie=None, **changes):
    return sample_plans.work(solids=FakeSolids((COVER, INSERT), lie), **changes)


def prove(w):
    files = dict(step.write(w))
    return tuple(step.prove(w, files))


def told(feature, place, change):
    """Return a lie: the facts of ``feature`` in ``place`` (any if empty) changed by ``change``."""

    def lie(facts, where):
        return change(facts) if facts.product == f"gate-latch-21 {feature}" and place in ("", where) else facts

    return lie


def test_one_file_a_part_and_the_assembly():
    assert [name for name, _ in step.write(work())] == ["assembly.step", "cover.step", "insert-crest.step"]


@pytest.mark.parametrize("rim", [0.0, 0.5])
def test_volume_of_the_sample_is_the_closed_form(rim):
    assert volume_mm3(replace(COVER, rim_break_mm=rim)) == pytest.approx(closed_form_volume(rim), rel=1e-9)


def test_honest_solids_pass():
    proofs = demand(prove(work()))
    features = {p.feature for p in proofs}
    for place in ("", " in cover.step", " in assembly.step"):
        assert {f"cover{place}", f"bolt-1{place}", f"bolt-2{place}"} <= features
    assert {"insert-crest", "insert-crest in insert-crest.step", "insert-crest in assembly.step"} <= features


def test_limits_are_those_of_the_brief():
    limits = {(p.what.split(":")[0], p.feature.split()[0]): p.limit for p in prove(work())}
    assert limits["volume", "cover"] == 1e-6  # it has an edge break
    assert limits["volume", "insert-crest"] == 1e-9
    assert limits["bolt hole", "bolt-1"] == limits["place and size", "cover"] == 1e-3


@pytest.mark.parametrize(
    "change",
    [
        {"revision": "C"},
        {"material": "EN AW-6082"},
        {"density_kg_m3": 2700.01},
        {"colour": (0.5, 0.5, 0.5)},
        {"product": "gate-latch-21 lid"},
    ],
)
@pytest.mark.parametrize("file", ["cover.step", "assembly.step"])
def test_what_a_file_says_of_a_product_is_held_against_the_plan(change, file):
    def mislabel(label, place):
        return replace(label, **change) if place == file and label.product.endswith("cover") else label

    w = sample_plans.work(solids=FakeSolids((COVER, INSERT), mislabel=mislabel))
    with pytest.raises(ProofError, match=f"{file}: revision, colour, material and density"):
        demand(prove(w))


def moved_hole(facts):
    return replace(facts, holes=(replace(facts.holes[0], at=Point(BOLTS[0].x + 2e-3, 0.0)), *facts.holes[1:]))


def wide_hole(facts):
    return replace(facts, holes=(*facts.holes[:1], replace(facts.holes[1], diameter_mm=6.602)))


def no_holes(facts):
    return replace(facts, holes=())


def holes_without_size(facts):
    return replace(facts, holes=tuple(Hole(h.at, nan, 0.0, 1.0) for h in facts.holes))


def larger(by):
    return lambda facts: replace(facts, volume_mm3=facts.volume_mm3 * (1.0 + by))


def no_number(facts):
    return replace(facts, volume_mm3=nan)


def invalid(facts):
    return replace(facts, is_valid=False)


def leaky(facts):
    return replace(facts, is_closed=False)


def shifted(axis):
    def change(facts):
        box = list(facts.box_mm)
        box[axis] += 2e-3
        return replace(facts, box_mm=tuple(box))

    return change


def nowhere(facts):
    return replace(facts, box_mm=(nan,) * 6)


def renamed(facts):
    return replace(facts, product="Open CASCADE STEP translator 7.9 1")


def missing(_facts):
    return None


@pytest.mark.parametrize("place", ["solid", "cover.step", "assembly.step"])
@pytest.mark.parametrize(
    ("change", "feature"),
    [
        (larger(2e-6), "cover"), (larger(-2e-6), "cover"), (no_number, "cover"), (invalid, "cover"), (leaky, "cover"),
        (shifted(0), "cover"), (shifted(2), "cover"), (shifted(5), "cover"), (nowhere, "cover"),
        (moved_hole, "bolt-1"), (wide_hole, "bolt-2"), (no_holes, "bolt-1"), (holes_without_size, "bolt-1"),
    ],
)  # fmt: skip
def test_lie_about_the_cover_is_noticed_and_named(place, change, feature):
    with pytest.raises(ProofError, match="This is a fault of coverplate") as error:
        demand(prove(work(told("cover", place, change))))
    where = "" if place == "solid" else f" in {place}"
    assert error.value.feature == f"{feature}{where}"
    assert f"{feature}{where}: " in str(error.value)
    assert "FAILED" in str(error.value)


@pytest.mark.parametrize("place", ["insert-crest.step", "assembly.step"])
@pytest.mark.parametrize("change", [renamed, missing])
def test_missing_or_renamed_product_is_noticed(place, change):
    with pytest.raises(ProofError) as error:
        demand(prove(work(told("insert-crest", place, change))))
    assert f"insert-crest in {place}" in error.value.feature
    assert "products" in str(error.value)


def test_doubled_product_is_noticed():
    w = work()
    solids = w.solids
    real = solids.read_step
    solids.read_step = lambda data: real(data) * (2 if data == b"assembly.step" else 1)
    with pytest.raises(ProofError, match="products"):
        demand(prove(w))


def test_insert_that_is_not_at_its_height_is_noticed():
    lie = told("insert-crest", "assembly.step", lambda facts: sample_plans.facts(INSERT, facts.volume_mm3))
    with pytest.raises(ProofError, match="place and size") as error:
        demand(prove(work(lie)))
    assert error.value.feature == "insert-crest in assembly.step"
    assert max(p.deviation for p in prove(work(lie))) == pytest.approx(INSERT.seat_z_mm)


@pytest.mark.parametrize(("by", "holds"), [(0.9e-9, True), (2e-9, False)])
def test_without_taper_volumes_agree_to_a_billionth(by, holds):
    proofs = prove(work(told("insert-crest", "", larger(by))))
    assert all(p.holds for p in proofs) is holds


def test_without_solids_it_is_our_fault():
    with pytest.raises(ProofError, match="without solids"):
        list(step.write(sample_plans.work()))


def test_hole_that_is_nowhere_whole_is_left_to_the_volume():
    features = tuple(
        replace(f, z_from_mm=2.0) if f.name == "seat-bolt-1" else f for f in COVER.features
    )  # the seat falls through into the pocket
    cover = replace(COVER, features=features)
    plan = replace(sample_plans.plan(), cover=cover)
    w = sample_plans.work(plan=plan, solids=FakeSolids((cover, INSERT), told("cover", "", no_holes)))
    named = {p.feature for p in prove(w) if "bolt" in p.what}
    assert named == {"bolt-2", "bolt-2 in cover.step", "bolt-2 in assembly.step"}


def test_deviation_of_nothing_is_infinite_and_never_holds():
    proofs = prove(work(told("cover", "", no_holes)))
    assert [p.deviation for p in proofs if p.what.startswith("bolt hole")] == [inf] * 6


# ------------------------------------------------------------------ the real kernel
@pytest.fixture(scope="module")
def real():
    from generator.part.slabs import slabs
    from generator.solid.solids import make_solids

    plan = sample_plans.plan()
    return sample_plans.work(plan=plan, solids=make_solids(plan, slabs))


def test_real_solids_pass_far_inside_the_limits(real):
    proofs = demand(prove(real))
    assert max(p.deviation for p in proofs if p.unit == "relative") < 1e-10
    assert max(p.deviation for p in proofs if p.unit == "mm") < 1e-6


def test_a_step_file_of_another_plan_fails(real):
    from generator.part.slabs import slabs
    from generator.solid.solids import make_solids

    other = sample_plans.plan(rim_break_mm=0.6)
    files = dict(step.write(sample_plans.work(plan=other, solids=make_solids(other, slabs))))
    wrong = [p for p in step.prove(real, files) if not p.holds]
    assert {p.feature for p in wrong} == {"cover in cover.step", "cover in assembly.step"}
    assert all(p.what.startswith("volume") for p in wrong)


def test_real_step_has_the_same_bytes_twice(real):
    from generator.part.slabs import slabs
    from generator.solid.solids import make_solids

    plan = sample_plans.plan()
    assert dict(step.write(real)) == dict(step.write(real))
    assert dict(step.write(real)) == dict(step.write(sample_plans.work(plan=plan, solids=make_solids(plan, slabs))))


SIZED = Toleranced(5, "cover", "bolt holes, diameter", True, 6.6, -0.05, 0.05, BOLTS)
FACES = tuple(FacePlace(bolt, 6.6, nan) for bolt in BOLTS)
READ = ReadSize(True, 6.6, 0.05, 0.05, len(BOLTS), (FACES,))
OTHER = (
    replace(FACES[0], diameter_mm=6.5),
    FacePlace(Point(nan, nan), nan, 6.6),
    replace(FACES[0], axis=Point(1.0, 2.0)),
)


@pytest.mark.parametrize(
    ("read", "holds"),
    [
        ((READ,), True),
        ((), False),
        ((READ, READ), False),
        ((replace(READ, nominal_mm=6.61),), False),
        ((replace(READ, upper_mm=0.06),), False),
        ((replace(READ, lower_mm=0.04),), False),
        ((replace(READ, faces=1),), False),
        ((replace(READ, is_diameter=False),), False),
        ((replace(READ, ends=()),), False),
        ((replace(READ, ends=(FACES, FACES)),), False),
        ((replace(READ, ends=((FACES[0], *FACES[:-1]),)),), False),
        *(((replace(READ, ends=((face, *FACES[1:]),)),), False) for face in OTHER),
    ],
)
def test_sizes_with_limits_are_read_back(read, holds):
    asked = sample_plans.work(solids=FakeSolids((COVER, INSERT), sized=(SIZED,), read=read))
    proofs = [p for p in step.prove(asked, dict(step.write(asked))) if "limits" in p.what]
    assert len(proofs) == 4  # count and figures, in the file of the part and in that of the assembly
    assert all(p.holds for p in proofs) is holds


DEPTH = Toleranced(6, "cover", "pocket, depth", False, 2.0, -0.1, 0.1, (Point(20.0, 15.0),), 8.0, 6.0)
TOP, FLOOR = FacePlace(Point(nan, nan), nan, 8.0), FacePlace(Point(nan, nan), nan, 6.0)


@pytest.mark.parametrize(
    ("ends", "holds"),
    [(((TOP,), (FLOOR,)), True), (((TOP,), (TOP,)), False), (((FLOOR,), (TOP,)), False), (((TOP, FLOOR),), False)],
)
def test_a_distance_belongs_to_faces_at_its_two_heights(ends, holds):
    read = (ReadSize(False, 2.0, 0.1, 0.1, 2, ends),)
    asked = sample_plans.work(solids=FakeSolids((COVER, INSERT), sized=(DEPTH,), read=read))
    proofs = [p for p in step.prove(asked, dict(step.write(asked))) if "limits" in p.what]
    assert all(p.holds for p in proofs) is holds
