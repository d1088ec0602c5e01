"""Sizes with limits in STEP files: read by an independent parser down to the faces, and by the kernel."""

from __future__ import annotations

import hashlib
import subprocess
import sys
from dataclasses import replace
from functools import cache
from itertools import product
from pathlib import Path

import pytest
from part21 import StepText, parse, string

from generator.build.judge import check
from generator.estimate.toleranced_sizes import toleranced_sizes
from generator.solid.solids import make_solids

ROOT = Path(__file__).parents[2]
RECIPES = ("gate-latch", "telescope-pier", "door-bell", "canoe-yoke")


@cache
def made(name: str, *sets: str):
    """Return the plan of a recipe, the sizes that its models should carry, and the solid side."""
    checked = check(ROOT / "recipes" / f"{name}.yaml", sets=sets)
    sizes = toleranced_sizes(checked.reading.recipe, checked.plan)
    return checked.plan, sizes, make_solids(checked.plan, sizes=sizes)


# ------------------------------------------------------------------ an independent walk through the text
def refs(tokens: list[str]) -> list[int]:
    return [int(t[1:]) for t in tokens if t.startswith("#")]


def point_of(step: StepText, placement: int) -> tuple[float, float, float]:
    location = refs(step.entities[placement][1])[0]
    values = [t for t in step.entities[location][1] if t not in "(),"][1:]
    return tuple(map(float, values))  # type: ignore[return-value]


def surface(step: StepText, face: int) -> tuple[str, tuple[float, float, float], float]:
    """Return kind, place and radius (0 for a plane) of the surface under an ADVANCED_FACE."""
    kind, tokens = step.entities[face]
    assert kind == "ADVANCED_FACE"
    name, about = step.entities[refs(tokens)[-1]]
    radius = float(about[-2]) if name == "CYLINDRICAL_SURFACE" else 0.0
    return name, point_of(step, refs(about)[0]), radius


def faces_of(step: StepText, aspect: int) -> list[int]:
    """Return the faces of a shape aspect, or of all those that a composite one is made of."""
    usages = {refs(t)[0]: refs(t)[-1] for t in step.of("GEOMETRIC_ITEM_SPECIFIC_USAGE")}
    if step.entities[aspect][0] == "SHAPE_ASPECT":
        return [usages[aspect]]
    members = [refs(t)[1] for t in step.of("SHAPE_ASPECT_RELATIONSHIP") if refs(t)[0] == aspect]
    return [usages[m] for m in members]


def measure(step: StepText, entity: int) -> float:
    """Return the length of a typed measure."""
    tokens = step.entities[entity][1]
    at = next(i for i, t in enumerate(tokens) if t in ("LENGTH_MEASURE", "POSITIVE_LENGTH_MEASURE"))
    return float(tokens[at + 2])


def read(data: bytes) -> dict[int, dict]:
    """Return every size of a file by its number, as ISO 10303-242 links it: value, limits, words, faces."""
    step = parse(data)
    out: dict[int, dict] = {}
    for tokens in step.of("PLUS_MINUS_TOLERANCE"):
        bounds, size = refs(tokens)
        lower, upper = refs(step.entities[bounds][1])
        nominals = [refs(t)[1] for t in step.of("DIMENSIONAL_CHARACTERISTIC_REPRESENTATION") if refs(t)[0] == size]
        (item,) = refs(step.entities[nominals[0]][1])[:1]
        kind, about = step.entities[size]
        aspects = refs(about)
        words = step.entities[aspects[0]][1]
        out[int(string(words[1]))] = {
            "kind": kind,
            "what": string(words[3]),
            "nominal": measure(step, item),
            "limits": (measure(step, lower), measure(step, upper)),
            "faces": [[surface(step, f) for f in faces_of(step, a)] for a in aspects],
        }
    return out


@pytest.mark.parametrize("name", RECIPES)
def test_every_size_has_its_value_signed_limits_and_faces(name):
    plan, sizes, side = made(name)
    for part in plan.parts:
        found = read(side.part_step(part))
        own = [s for s in sizes if s.part == part.name]
        assert {s.number for s in own} == set(found)
        for s in own:
            f = found[s.number]
            assert f["what"] == s.what
            assert f["nominal"] == pytest.approx(s.nominal_mm, abs=1e-9)
            assert f["limits"] == pytest.approx((s.lower_mm, s.upper_mm), abs=1e-9)
            if s.is_diameter:
                assert f["kind"] == "DIMENSIONAL_SIZE"
                (faces,) = f["faces"]
                assert {kind for kind, _, _ in faces} == {"CYLINDRICAL_SURFACE"}
                assert all(2.0 * r == pytest.approx(s.nominal_mm, abs=1e-6) for _, _, r in faces)
                axes = {(round(at[0], 4), round(at[1], 4)) for _, at, _ in faces}
                assert axes == {(round(p.x, 4), round(p.y, 4)) for p in s.places}
            else:
                assert f["kind"] == "DIMENSIONAL_LOCATION"
                first, second = f["faces"]
                assert {kind for kind, _, _ in (*first, *second)} == {"PLANE"}
                for (_, p0, _), (_, p1, _) in product(first, second):
                    assert abs(p1[2] - p0[2]) == pytest.approx(s.nominal_mm, abs=1e-9)


@pytest.mark.parametrize(("name", "seats"), [("gate-latch", 2), ("garden-tap", 3), ("well-pump", 6)])
def test_depth_of_seats_belongs_to_the_floors_of_all(name, seats):
    """The floor of a counterbore is a face of its own: as many as the recipe has bolts. The kernel's reader links the
    same."""
    plan, sizes, side = made(name)
    data = side.part_step(plan.cover)
    (depth,) = (s for s in sizes if s.what == "seats, depth")
    step = parse(data)
    aspects = {string(t[1]): k for k, (kind, t) in step.entities.items() if kind == "COMPOSITE_SHAPE_ASPECT"
               and string(t[3]) == "seats, depth"}  # fmt: skip
    floors = faces_of(step, aspects[str(depth.number)])
    assert len(set(floors)) == len(floors) == seats
    assert all(p[2] == pytest.approx(depth.to_z_mm, abs=1e-6) for _, p, _ in (surface(step, f) for f in floors))
    at = [s.number for s in side.sizes(plan.cover)].index(depth.number)
    assert side.read_sizes(data)[at].faces == seats + 1  # and the top face


def test_thickness_holes_and_depths_are_all_carried():
    plan, sizes, side = made("gate-latch")
    told = [s.what for s in side.sizes(plan.cover)]
    assert told == ["cover, thickness", "bolt holes, diameter", "seats, diameter", "seats, depth",
                    "bottom pocket, depth", "inlay pocket number, depth"]  # fmt: skip
    assert [s.what for s in side.sizes(plan.inserts[0])] == ["insert number, thickness"]
    assert len(sizes) == 7


def test_deviations_keep_their_sign_where_both_lie_on_one_side():
    plan, sizes, _ = made("gate-latch")
    uneven = [replace(s, lower_mm=0.012, upper_mm=0.03) if s.is_diameter else replace(s, lower_mm=-0.1, upper_mm=-0.0)
              for s in sizes]  # fmt: skip
    found = read(make_solids(plan, sizes=uneven).part_step(plan.cover))
    assert {f["limits"] for f in found.values() if f["kind"] == "DIMENSIONAL_SIZE"} == {(0.012, 0.03)}
    assert {f["limits"] for f in found.values() if f["kind"] == "DIMENSIONAL_LOCATION"} == {(-0.1, 0.0)}


@pytest.mark.parametrize("name", RECIPES)
def test_the_kernel_reads_the_same_sizes(name):
    plan, sizes, side = made(name)
    for part in plan.parts:
        got = side.read_sizes(side.part_step(part))
        own = [s for s in sizes if s.part == part.name]
        assert [g.is_diameter for g in got] == [s.is_diameter for s in own]
        for g, s in zip(got, own, strict=True):
            wanted = (s.nominal_mm, abs(s.lower_mm), abs(s.upper_mm))
            assert (g.nominal_mm, g.lower_mm, g.upper_mm) == pytest.approx(wanted, abs=1e-9)
            assert g.faces >= (len(s.places) if s.is_diameter else 1 + len(s.places))
    assert len(side.read_sizes(side.assembly_step())) == len(sizes)


def test_a_size_without_a_face_is_not_carried():
    plan, sizes, _ = made("gate-latch")
    strange = [replace(s, nominal_mm=s.nominal_mm + 0.1, to_z_mm=s.to_z_mm + 0.1) for s in sizes]
    side = make_solids(plan, sizes=strange)
    assert side.sizes(plan.cover) == ()
    assert b"PLUS_MINUS_TOLERANCE" not in side.part_step(plan.cover)


def test_words_in_other_scripts_are_coded():
    plan, sizes, _ = made("gate-latch")
    worded = [replace(s, what="Bohrung 'ø' Žluť") for s in sizes]
    found = read(make_solids(plan, sizes=worded).part_step(plan.cover))
    assert {f["what"] for f in found.values()} == {"Bohrung 'ø' Žluť"}


def test_shape_and_products_are_as_without_sizes():
    plan, _, side = made("gate-latch")
    bare = make_solids(plan)
    pairs = (side.assembly_step(), bare.assembly_step()), (side.part_step(plan.cover), bare.part_step(plan.cover))
    for data, other in pairs:
        assert data != other
        with_sizes, without = (
            [(f.product, f.volume_mm3, f.faces, f.box_mm) for f in side.read_step(d)] for d in (data, other)
        )
        assert with_sizes == without


def test_another_program_imports_the_file(tmp_path):
    from cadquery import importers

    plan, _, side = made("gate-latch")
    path = tmp_path / "cover.step"
    path.write_bytes(side.part_step(plan.cover))
    assert importers.importStep(str(path)).val().Volume() == pytest.approx(side.facts(plan.cover).volume_mm3, rel=1e-9)


def test_two_processes_write_the_same_bytes():
    _, _, side = made("gate-latch")
    code = (
        "import hashlib; from generator.build.judge import check; "
        "from generator.estimate.toleranced_sizes import toleranced_sizes; "
        "from generator.solid.solids import make_solids; c = check('recipes/gate-latch.yaml'); "
        "s = make_solids(c.plan, sizes=toleranced_sizes(c.reading.recipe, c.plan)); "
        "print(hashlib.sha256(s.assembly_step()).hexdigest())"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    assert done.stdout.strip() == hashlib.sha256(side.assembly_step()).hexdigest()
