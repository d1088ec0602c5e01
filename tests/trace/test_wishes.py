"""Relations that a person demands or forbids by name."""

from __future__ import annotations

import pytest

from generator.base.errors import GeometryError
from generator.trace.picture import load
from generator.trace.readings_file import read_caliper
from generator.trace.tracing import trace_scans
from generator.trace.wishes import wishes
from tests.trace.traced_cases import CORPUS, KEEPER, LEAF, account, image_of


def test_names_as_people_write_them():
    assert wishes(["Equal-Radius 5 3", " tangent  4,3 "], []).demanded == {"equal radius 3 5", "tangent 3 4"}
    assert wishes([], ["mirrored", "in_line 2 1"]).forbidden == {"mirrored", "in line 1 2"}


@pytest.mark.parametrize("name", ["", "near 1 2", "tangent", "tangent 1", "tangent 1 2 3", "tangent 2 2", "3 4"])
def test_what_is_no_relation(name):
    with pytest.raises(GeometryError):
        wishes([name], [])


def again(folder: str, demanded: list[str], forbidden: list[str]):
    picture = image_of(folder)
    caliper = read_caliper(str(CORPUS / folder / "caliper.yaml"))
    return trace_scans([load(picture.read_bytes(), picture.name)], caliper, wishes=wishes(demanded, forbidden)).solved


def test_what_was_too_dear_holds_if_it_is_demanded_and_what_held_does_not_if_it_is_forbidden():
    before = account(LEAF).traced.solved
    dear = before.dropped[0][0].name
    cheap = next(r.name for r in before.relations if r.kind == "tangent")
    after = again(LEAF, [dear], [cheap])
    names = [r.name for r in after.relations]
    assert dear in names
    assert cheap not in names
    held = next(r for r in after.relations if r.name == dear)
    x = after.found.x
    for of, function in held.equations:
        assert abs(complex(function(x[list(of)].astype(complex))).real) < 1e-6


@pytest.mark.parametrize(
    ("name", "said"),
    [
        pytest.param("concentric 1 6", "mm off it", marks=pytest.mark.slow),
        ("parallel 1 6", "are arc and circle"),
        pytest.param("equal radius 1 99", "numbered 1 to 6", marks=pytest.mark.slow),
        ("mirrored 1 2", "no axis of symmetry"),
    ],
)
def test_what_cannot_hold_is_told(name, said):
    with pytest.raises(GeometryError, match=said):
        again(KEEPER, [name], [])
