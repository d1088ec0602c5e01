"""No torque is offered that leaves a screw loose, and one that does is told; how much thread holds."""

from __future__ import annotations

import pytest
from test_bolts_remedies import sets_of, told, written

from generator.base.remedy import ways

LOOSE = ("tightening-torque", "too-loose")


def sets(**values: object) -> list[str]:
    return [f"{key.replace('__', '.')}={value}" for key, value in values.items()]


@pytest.mark.parametrize("thickness", [4.8, 5.1, 5.4, 6.0, 7.0, 8.0])
@pytest.mark.parametrize("load", [False, True])
def test_no_torque_is_offered_that_leaves_the_screws_loose(tmp_path, load, thickness):
    path = written(tmp_path, {}, load, seats="none")
    plate = sets(cover__stock__thickness=thickness)
    offered = {
        e.value
        for finding in told(path, plate).values()
        for way in ways(finding.remedy)
        for e in way
        if e.key == "original.bolts[0].torque"
    }
    for torque in offered:
        assert LOOSE not in told(path, [*plate, f"original.bolts[0].torque={torque}"])


def test_where_no_torque_helps_the_heads_are_let_through(tmp_path):
    # an M6 8.8 on a floor of 0.9 mm over a gap: the floor bears 0.47 N m of 9.7
    path = written(tmp_path, {}, True, seats="none")
    found = told(path, sets(cover__stock__thickness=5.1))
    for key in (("tightening-torque", "held-back"), ("floor-over-gap", "yields")):
        assert found[key].remedy.startswith("set cover.stock.thickness to at least")
        assert ".torque" not in found[key].remedy


@pytest.mark.parametrize("torque", [0.05, 0.19, 0.9])
def test_a_screw_that_is_hardly_tightened_is_told(tmp_path, torque):
    # 0.1 of the M6's own 8.2 kN at K = 0.2 is 0.98 N m
    path = written(tmp_path, {"torque": torque}, False, seats={"screw": "ISO 4762", "depth": 6.4})
    way = ways(told(path)[LOOSE].remedy)[0]
    assert LOOSE not in told(path, sets_of(way))
    assert LOOSE not in told(path, ["original.bolts[0].torque=4"])


def test_two_turns_hold_one(tmp_path):
    # of 2 mm of M6 x 1 one whole turn is left: 0.7 x 210 MPa x pi 6 (1/2 + 0.6495/sqrt 3) = 2.42 kN; T = K F d
    path = written(tmp_path, {"into": {"material": "steel", "depth": 2}}, False, seats={"screw": "ISO 4762"})
    found = told(path)
    assert "at most 2.9, and keep the load off" in found["thread-engagement", "shallow-thread"].remedy
    assert ("tightening-torque", "held-back") in found


def test_a_thread_of_the_original_is_no_deeper_than_the_original(tmp_path):
    path = written(tmp_path, {"passes": 0}, False, seats={"screw": "ISO 4762"})
    finding = told(path)["thread-engagement", "shallow-thread"]
    assert finding.figure == pytest.approx(4.0 / 6.0)
    assert "the thread in the original is 4 mm deep" in finding.message
    assert ("thread-engagement", "shallow-thread") not in told(path, ["original.height=6"])
    deeper = ["original.bolts[0].into={material: steel, depth: 9}"]
    assert ("thread-engagement", "shallow-thread") not in told(path, deeper)
    assert ("thread-engagement", "shallow-thread") not in told(path, ["original.bolts[0].into=nut"])
