"""Advice on bolts as edits of a recipe in a file: what is offered can be done, and does not merely silence."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest
import yaml

from generator.base.finding import Finding, Severity
from generator.base.remedy import Way, ways
from generator.base.screws import ISO_888_MM
from generator.build.judge import check


def written(tmp_path: Path, bolts: dict, load: bool = True, **cover: object) -> str:
    """A plate of 15 mm over an original of 4 mm with two bolts M6, as a file."""
    recipe = {
        "name": "plate",
        "original": {
            "height": 4,
            "load_bearing": load,
            "footprint": {"rectangle": {"size": [70, 30], "radius": 4}},
            "bolts": [{"at": [[-25, 0], [25, 0]], **({} if "hole" in bolts else {"thread": "M6"}), **bolts}],
        },
        "cover": {"stock": {"thickness": 15}, "outer": {"even_margin": {"margin": 8}}, **cover},
    }
    path = tmp_path / "plate.yaml"
    path.write_text(yaml.safe_dump(recipe), encoding="utf-8")
    return str(path)


def told(path: str, sets: Sequence[str] = ()) -> dict[tuple[str, str], Finding]:
    return {(f.check, f.code): f for f in check(path, sets=sets).findings}


def sets_of(way: Way) -> list[str]:
    return [f"{e.key}={e.value}" for e in way]


BOLTS = (
    ("button heads", {}, {"seats": {"screw": "ISO 7380-1"}}),
    ("button heads in a wide seat", {}, {"seats": {"screw": "ISO 7380-1", "diameter": 10.9, "depth": 5}}),
    ("cones", {}, {"seats": {"screw": "ISO 10642"}}),
    ("no seats", {}, {"seats": "none"}),
    ("a group without its seats", {"seat": "none"}, {"seats": {"screw": "ISO 4762"}}),
    ("nothing said of seats", {}, {}),
    ("large", {"thread": "M14"}, {"seats": "none"}),
    ("inch bolts, of which the hole is known", {"hole": 6.747}, {}),
)


@pytest.mark.parametrize(("bolts", "cover"), [b[1:] for b in BOLTS], ids=[b[0] for b in BOLTS])
@pytest.mark.parametrize("code", [("load-bearing", "in-the-joint"), ("floor-over-gap", "stands-clear")])
def test_heads_are_let_through_the_cover_whole(tmp_path, bolts, cover, code):
    path = written(tmp_path, bolts, **cover)
    found = told(path)
    if code not in found:  # of a bolt without a thread the floor is not judged
        assert code[0] == "floor-over-gap"
        assert bolts
        return
    (way,) = ways(found[code].remedy)
    after = told(path, sets_of(way))
    assert ("load-bearing", "on-original") in after
    assert not {c for c, _ in after} & {"floor-over-gap", "weak-head"}
    assert not [f for f in after.values() if f.severity is Severity.FORBIDS]


def test_button_heads_on_a_load_bearing_original_are_told(tmp_path):
    path = written(tmp_path, {}, seats={"screw": "ISO 7380-1", "depth": 15})
    found = told(path)
    assert ("load-bearing", "on-original") in found
    way = ways(found["weak-head", "in-the-joint"].remedy)[0]
    assert ("weak-head", "in-the-joint") not in told(path, sets_of(way))


@pytest.mark.parametrize("seats", ["none", {"screw": "ISO 4762"}, {"screw": "ISO 7380-1"}])
def test_screws_that_are_called_the_covers_own_leave_the_original_unheld(tmp_path, seats):
    path = written(tmp_path, {"holds": "cover only"}, seats=seats)
    found = told(path)
    assert found["load-bearing", "unheld"].severity is Severity.WARNS
    (way,) = ways(found["load-bearing", "unheld"].remedy)
    assert ("load-bearing", "on-original") in told(path, sets_of(way))


def test_screws_beside_an_original_cannot_hold_it(tmp_path):
    path = written(tmp_path, {"at": [[0, 40]], "holds": "cover only"}, seats="none")
    path_of_cover = ["cover.outer={rectangle: {size: [120, 120]}}"]
    assert not ways(told(path, path_of_cover)["load-bearing", "unheld"].remedy)


TOO_TIGHT = (
    ({"torque": 12}, {"seats": {"screw": "ISO 7380-1"}}),
    ({"torque": 40, "property_class": "10.9", "into": {"material": "aluminium", "depth": 9}},
     {"seats": {"screw": "ISO 10642"}, "material": "EN AW-5083 H111"}),
    ({"torque": 9, "into": {"material": "plastic", "depth": 6}}, {"seats": "none"}),
    ({"torque": 15, "property_class": "12.9"}, {"seats": {"screw": "ISO 4762"}, "material": "EN AW-5083 H111"}),
    ({"torque": 12}, {"seats": {"screw": "ISO 4762", "depth": 9.5}}),
)  # fmt: skip
HARD = {("tightening-torque", "too-tight"), ("weak-head", "too-tight"), ("bearing-pressure", "gives-way"),
        ("floor-over-gap", "yields")}  # fmt: skip


@pytest.mark.parametrize(("bolts", "cover"), TOO_TIGHT)
@pytest.mark.parametrize("load", [False, True])
def test_one_torque_is_told_and_all_links_bear_it(tmp_path, bolts, cover, load):
    path = written(tmp_path, bolts, load, **cover)
    offered = {
        e.value
        for key, finding in told(path).items()
        if key in HARD
        for way in ways(finding.remedy)
        for e in way
        if e.key.endswith(".torque")
    }
    assert len(offered) == 1 or (load and not offered)  # a joint that bears load is not left with next to nothing
    for torque in offered:
        assert not set(told(path, [f"original.bolts[0].torque={torque}"])) & HARD


@pytest.mark.parametrize("torque", [0.001, 0.5, 3.0])
def test_too_little_torque_is_told_with_the_one_to_set(tmp_path, torque):
    path = written(tmp_path, {"torque": torque, "property_class": "10.9"}, seats={"screw": "ISO 4762", "depth": 15})
    way = ways(told(path)["tightening-torque", "too-loose"].remedy)[0]
    assert way[0].key == "original.bolts[0].torque"
    assert not {code for check_id, code in told(path, sets_of(way)) if check_id == "tightening-torque"}


def test_a_bolt_loses_no_more_than_its_preload(tmp_path):
    path = written(tmp_path, {"torque": 0.5}, seats={"screw": "ISO 4762"})
    finding = told(path, ["clearance.above=0"])["settling", "loses-preload"]
    assert finding.figure == 1.0
    assert "lose all of their preload" in finding.message


LENGTHS = (
    ("too long for a blind hole", {"length": 30, "into": {"material": "steel", "depth": 7.6, "blind": True}}),
    ("too long for a shallow blind hole", {"length": 30, "into": {"material": "steel", "depth": 4, "blind": True}}),
    ("too short", {"length": 5}),
    ("longer than stocked", {"length": 20, "passes": 80}),
    ("few turns", {"length": 12, "into": {"material": "plastic"}}),
    ("few turns in a thread whose window has no length", {
        "length": 16, "into": {"material": "aluminium", "depth": 10.1, "blind": True}}),
    ("no length", {"passes": 80}),
    ("no length in a blind hole", {"into": {"material": "steel", "depth": 7.2, "blind": True}, "passes": 1.0}),
    ("nut", {"length": 10, "into": "nut"}),
)  # fmt: skip


@pytest.mark.parametrize("bolts", [x[1] for x in LENGTHS], ids=[x[0] for x in LENGTHS])
@pytest.mark.parametrize("seats", ["none", {"screw": "ISO 4762"}])
def test_lengths_that_are_offered_are_standard_and_mend(tmp_path, bolts, seats):
    path = written(tmp_path, bolts, False, seats=seats)
    found = {k: f for k, f in told(path).items() if k[0] in ("bolt-length", "thread-engagement")}
    for key, finding in found.items():
        for way in ways(finding.remedy):
            lengths = [e for e in way if e.key.endswith(".length")]
            assert all(float(e.value.removesuffix(" mm")) in ISO_888_MM and not e.towards for e in lengths)
            assert key not in told(path, sets_of(way)) or key == ("bolt-length", "not-standard")
        assert ways(finding.remedy) or "measure" in finding.remedy
