"""Artwork wider than its insert: one finding says what to do, and nothing that is offered leads into a mistake."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from recipe_trials import inlay, judged, mending, of

from generator.base.remedy import ways

INSERT = "rectangle: {size: [54, 30]}, at: [0, 10]"
WIDE = "rectangle: {size: [160, 140]}"


def letters(cap: float, bridges: str = "", say: str = "AB&8") -> str:
    return inlay(
        INSERT, f"outline: {{text: {{say: '{say}', cap_height: {cap:g}}}}}, cutter: fine{bridges}", "cutter: fin"
    )


BRIDGED = ", bridges: {width: 0.8, count: 2}"


def test_what_bridges_cannot_hold_at_the_edge_waits_for_the_check_that_says_what_to_do(tmp_path: Path) -> None:
    more = letters(14, BRIDGED)
    made = judged(tmp_path, more, outer=WIDE)
    (over,) = of(made, "artwork-in-insert", "breaks-out")
    assert list(mending(tmp_path, more, over, WIDE))
    (cut,) = of(made, "fallen-pieces")
    assert cut.code == "cut-off"
    assert cut.remedy.startswith("bring cut-a onto insert-n first")
    assert ways(cut.remedy) == ()


def test_bridges_that_are_offered_hold_what_falls_out(tmp_path: Path) -> None:
    more = letters(12.6)
    findings = of(judged(tmp_path, more, outer=WIDE), "fallen-pieces")
    assert len(findings) == 6
    assert len({f.remedy for f in findings}) == 1
    after = judged(tmp_path, more, ways(findings[0].remedy)[0], WIDE)
    assert of(after, "fallen-pieces") == []


@pytest.mark.parametrize("cap", [1.6, 3.0, 5.0])
def test_bridges_are_no_wider_than_there_is_room_and_no_thinner_than_what_stands(tmp_path: Path, cap: float) -> None:
    """In small letters 0.8 mm finds no room: a narrower bridge that stands, or none."""
    more = letters(cap, say="8")
    findings = of(judged(tmp_path, more, outer=WIDE), "fallen-pieces")
    for finding in findings:
        for way in ways(finding.remedy):
            after = judged(tmp_path, more, way, WIDE)
            assert of(after, "fallen-pieces") == []
            assert [f for f in of(after, "cutter-reach", "thin-rib") if "bridges" in f.remedy] == []


def long_text(cap: float, say: str) -> str:
    art = f"outline: {{text: {{say: {say}, cap_height: {cap:g}}}}}, cutter: fine, done: engraved, depth: 0.3"
    return inlay("rectangle: {size: [36, 26], radius: 3}", art, "cutter: fin")


def test_a_size_that_the_cutter_cannot_make_is_not_offered(tmp_path: Path) -> None:
    more = long_text(0.95, "x" * 50)
    made = judged(tmp_path, more)
    (over,) = of(made, "artwork-in-insert", "breaks-out")
    assert "cap_height" not in over.remedy
    (lost,) = of(made, "finer-than-cutter")
    match = re.fullmatch(r"draw it ([\d.]+) times as large and write at most (\d+) letters in a line", lost.remedy)
    assert match is not None
    mended = judged(tmp_path, long_text(0.95 * float(match[1]), "x" * int(match[2])))
    assert of(mended, "finer-than-cutter", "nothing-left", "piece-lost") == []
    assert of(mended, "artwork-in-insert") == []


def test_letters_too_many_for_the_insert_are_told_how_many_there_may_be(tmp_path: Path) -> None:
    (over,) = of(judged(tmp_path, long_text(6, "Gardenhouse")), "artwork-in-insert", "breaks-out")
    match = re.fullmatch(r"write at most (\d+) letters in a line and at most 2 lines", over.remedy)
    assert match is not None
    mended = judged(tmp_path, long_text(6, "Gardenhouse"[: int(match[1])]))
    assert of(mended, "artwork-in-insert") == []
    assert of(mended, "finer-than-cutter", "nothing-left", "piece-lost") == []
