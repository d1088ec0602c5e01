"""The plan: every layer true to its region, lettering that never collides or leaves the sheet, proofs that can fail."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.base.finding import Finding, Severity
from generator.checks.check import Outcome
from generator.outline.region import Region
from generator.outputs import plan_svg
from generator.outputs.output import Work
from generator.outputs.svg_read import SvgError, read_drawing
from generator.part.layers import layers
from generator.part.part import FlipAxis, Plan
from tests.outputs.picture_samples import plan, ring_of, samples

NAMES = tuple(samples())


def work(of: Plan, findings: tuple[Finding, ...] = ()) -> Work:
    return Work(of, layers(of), (Outcome("some-check", findings),), "0" * 64, "", {})


def drawn(of: Plan, findings: tuple[Finding, ...] = ()) -> bytes:
    ((path, data),) = plan_svg.write(work(of, findings))
    assert path == "plan.svg"
    return data


def failing(of: Plan, data: bytes) -> set[str]:
    return {p.what for p in plan_svg.prove(work(of), {"plan.svg": data}) if not p.holds}


def collisions(data: bytes) -> list[tuple[str, str]]:
    texts = read_drawing(data).texts
    return [(a.text, b.text) for a, b in combinations(texts, 2) if a.box.overlaps(b.box)]


def places(of: Plan) -> tuple[Finding, ...]:
    """Return findings of every severity, two of them at one place and one without a place."""
    at = [(b.at.x, b.at.y) for b in of.bolts] or [(0.0, 0.0)]
    found = [
        Finding("thin-wall", "thin", s, "The wall is 0.3 mm, too thin to cut.", point_mm=p, remedy="make it thicker")
        for s in Severity
        for p in (at[0], at[-1])
    ]
    return (*found, Finding("mass", "heavy", Severity.NOTES, "It is heavy."))


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("name", NAMES)
def test_every_layer_equals_its_region_and_lettering_stays_clear(name: str, units: str) -> None:
    of = replace(samples()[name], units=units)
    data = drawn(of, places(of))
    assert failing(of, data) == set()
    assert collisions(data) == []
    texts = [t.text for t in read_drawing(data).texts]
    for layer in layers(of):
        assert layer.name in texts
    assert all(any(b.name in t for t in texts) for b in of.bolts)


@settings(derandomize=True, deadline=None, max_examples=40)
@given(
    width=st.floats(14.0, 900.0),
    ratio=st.floats(0.15, 4.0),
    bolts=st.integers(0, 40),
    ring=st.floats(0.2, 0.42),
    inlay=st.booleans(),
    marked=st.booleans(),
    units=st.sampled_from(["mm", "inch"]),
)
def test_lettering_stays_clear_on_plates_of_any_size(
    width: float, ratio: float, bolts: int, ring: float, inlay: bool, marked: bool, units: str
) -> None:
    height = width * ratio
    small = min(width, height)
    of = plan(
        width=width,
        height=height,
        radius=small * 0.2,
        bolts=ring_of(bolts, small * ring),
        hole_mm=small * 0.02,
        seat_mm=small * 0.03,
        inlay=(small * 0.2, small * 0.1) if inlay else None,
        opening=False,
        rim_break=0.0,
    )
    of = replace(of, units=units)
    data = drawn(of, places(of) if marked else ())
    assert failing(of, data) == set()
    assert collisions(data) == []


def test_same_plan_gives_same_bytes() -> None:
    assert drawn(samples()["latch"]) == drawn(samples()["latch"])


def test_arcs_stay_arcs() -> None:
    text = drawn(samples()["crowded"]).decode()
    paths = re.findall(r'data-layer="([^"]+)" d="([^"]+)"', text)
    assert {"bolt-holes", "outer-profile", "bottom-pocket"} <= {name for name, _ in paths}
    for name, d in paths:
        assert set(re.findall("[A-Za-z]", d)) <= set("MLAZ")
        if name == "bolt-holes":
            assert "L" not in d
            assert d.count("Z") == 24


def test_bottom_face_layers_are_dashed_and_the_sheet_says_why() -> None:
    text = drawn(samples()["latch"]).decode()
    (line,) = re.findall(r'<path data-layer="bottom-pocket".*', text)
    assert "stroke-dasharray" in line
    (line,) = re.findall(r'<path data-layer="inlay-pocket-crest".*', text)
    assert "stroke-dasharray" not in line
    assert "mirrored in the flip axis" in " ".join(re.findall(r">([^<]*)</text>", text))


def test_main_dimensions_and_call_outs_are_there() -> None:
    texts = [t.text for t in read_drawing(drawn(samples()["latch"])).texts]
    for wanted in ("104", "64", "76", "144 blank", "80 blank", "2 × ⌀6.6", "bolt-1", "bolt-2", "flip axis"):
        assert wanted in texts


def test_findings_are_numbered_where_they_are_and_listed() -> None:
    of = samples()["latch"]
    data = drawn(of, places(of))
    texts = [t.text for t in read_drawing(data).texts]
    for number in range(1, 7):
        assert texts.count(str(number)) == 2  # on the plate and in the list
    assert "notes: It is heavy." in texts


def test_findings_without_a_place_are_told_by_words_the_most_serious_first_and_not_too_many() -> None:
    warns = Finding("fit-chance", "low", Severity.WARNS, "It goes over in 93 % of cases, " * 3 + "and no more.")
    notes = [Finding("some-check", "said", Severity.NOTES, f"Note {k} is said. " * 9) for k in range(15)]
    texts = [t.text for t in read_drawing(drawn(samples()["latch"], (*notes, warns))).texts]
    first = next(k for k, t in enumerate(texts) if t.startswith("warns: It goes over in 93 %"))
    lines = texts[first:]
    assert " ".join(lines[:2]) == f"warns: {warns.message}"  # told to its end
    told = [t for t in lines if t.startswith("notes: Note")]
    assert len(told) == 9
    assert all(t.endswith("…") for t in told)  # a line each
    assert "and 6 more: see report.md" in lines


def test_a_load_bearing_original_is_told_loudly() -> None:
    assert b"THE ORIGINAL BEARS LOAD" in drawn(samples()["latch"])


def test_a_moved_mirrored_or_missing_layer_does_not_prove() -> None:
    of = samples()["latch"]
    good = drawn(of).decode()
    assert failing(of, good.encode()) == set()
    (before,) = re.findall(r'<path data-layer="openings" d="M(-?[\d.]+) ', good)
    moved = good.replace(
        f'data-layer="openings" d="M{before} ', f'data-layer="openings" d="M{float(before) + 0.01:.6f} '
    )
    assert "plan: outline against region" in failing(of, moved.encode())
    missing = re.sub(r'<path data-layer="seats".*\n', "", good)
    assert "plan: layers drawn once each" in failing(of, missing.encode())
    flags = re.sub(r'(data-layer="seats" d=".*?A[\d.]+ [\d.]+ 0 0 )1', r"\g<1>0", good, count=1)
    assert "plan: outline against region" in failing(of, flags.encode())


def test_a_sheet_of_another_size_or_text_beyond_its_edge_does_not_prove() -> None:
    of = samples()["latch"]
    good = drawn(of).decode()
    stretched = re.sub(r'width="[\d.]+mm"', 'width="100mm"', good, count=1)
    assert "plan: one unit is one mm" in failing(of, stretched.encode())
    outside = good.replace("</svg>", '<text x="9999" y="0" font-size="3">far</text></svg>')
    assert "plan: texts that leave the sheet" in failing(of, outside.encode())


def test_broken_files_are_refused_with_a_reason() -> None:
    of = samples()["plain"]
    for bad in (b"", b"<svg", drawn(of)[:-9], drawn(of).replace(b'd="M', b'd="C')):
        with pytest.raises(SvgError):
            list(plan_svg.prove(work(of), {"plan.svg": bad}))


def test_strange_titles_give_well_formed_files() -> None:
    for title in ("天文台 🛶", "a" * 400, "<b> & \x00 \x0b \ud800 ￾", "", "x\ny"):
        of = plan(title=title, notes="&" + title)
        assert failing(of, drawn(of)) == set()


def test_an_insert_that_the_gap_has_eaten_up_is_left_out() -> None:
    base = samples()["latch"]
    of = replace(base, inserts=(replace(base.inserts[0], profile=Region()),))
    assert failing(of, drawn(of)) == set()


def test_a_flip_axis_along_x_is_named_and_clear() -> None:
    of = replace(samples()["latch"], flip=FlipAxis("x", 0.0))
    data = drawn(of, places(of))
    assert failing(of, data) == set()
    assert collisions(data) == []
    assert "flip axis" in [t.text for t in read_drawing(data).texts]
