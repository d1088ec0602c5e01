"""Resolutions: scans at several, pixels that are not square, files that say the wrong one; scored against the truth."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from PIL import Image

from generator.base.errors import GeometryError
from generator.trace.picture import Picture, load
from generator.trace.readings import DIAMETER, Caliper, Reading
from generator.trace.readings_file import read_caliper
from generator.trace.surround import find_parts
from generator.trace.tracing import Traced, trace_scans
from tests.scans.scan_cases import TARGETS
from tests.scans.scan_conditions import Conditions, usual
from tests.scans.scan_parts import all_parts
from tests.scans.scan_shape import Part
from tests.scans.scorer import Score, score
from tests.scans.simulate import Scan, render, render_turned
from tests.trace.test_scans_against_truth import beyond, scored

PARTS = {p.name: p for p in all_parts()}


def picture(scan: Scan, name: str, dpi: tuple[float, float] | None) -> Picture:
    """A scan's picture as a file that states a resolution, or none."""
    out = io.BytesIO()
    more = {} if dpi is None else {"dpi": dpi}
    Image.open(io.BytesIO(scan[0])).save(out, "PNG", **more)
    return load(out.getvalue(), name)


def caliper(scan: Scan) -> Caliper:
    """The readings of a scan without their own errors: what is judged here is what pixels are taken for."""
    true = {c["id"]: c["true"] for c in scan[1]["caliper"]}
    readings = [r | {"value": true[r["id"]]} for r in scan[2]["readings"]]
    return read_caliper("c.yaml", opener=lambda _: f"units: mm\nreadings: {readings}".encode())


def judged(scan: Scan, found: Traced) -> Score:
    return score(scan[1], scored(found))


def plain(part: Part, dpi: float, **more: object) -> Conditions:
    return usual(dpi, 11, fmt="png", meta_dpi="true", rust=0.0, wobble=0.0, **more)


@cache
def of_two_resolutions() -> tuple[Scan, Scan]:
    """The same part on the same scanner, at 600 dpi, then turned by a quarter at 300."""
    part = PARTS["waisted_keeper"]
    fine = plain(part, 600.0)
    coarse = replace(fine, dpi=300.0)
    return render_turned(part, fine, 5)[0], render_turned(part, coarse, 5)[1]


@pytest.mark.parametrize("stated", [(600.0, 300.0), (None, None), (600.0, 72.0)])
def test_scans_at_two_resolutions_are_each_used_by_their_own(stated):
    scans = of_two_resolutions()
    pictures = [
        picture(s, f"{n}.png", None if d is None else (d, d))
        for n, (s, d) in enumerate(zip(scans, stated, strict=True))
    ]
    found = trace_scans(pictures, caliper(scans[0]))
    assert [round(25.4 / s.mm_per_px[0]) for s in found.seen] == [600, 300]
    s = judged(scans[0], found)
    assert beyond(s, "300 dpi, two scans") == []
    assert s.counts == s.true_counts
    assert any("1.png: 300 dpi, where 0.png has 600" in r for r in found.remarks)


def test_the_finer_scan_may_come_second():
    fine, coarse = of_two_resolutions()
    found = trace_scans([picture(coarse, "a", (300, 300)), picture(fine, "b", (600, 600))], caliper(coarse))
    assert beyond(judged(coarse, found), "300 dpi, two scans") == []


def test_a_file_whose_statement_the_parts_size_contradicts_is_not_believed():
    fine = of_two_resolutions()[0]
    first, second = picture(fine, "a", (600, 600)), picture(fine, "b", (300, 300))
    second.light[0, 0] += 0.01  # another scan
    found = trace_scans([first, second], Caliper())
    assert found.seen[1].mm_per_px == found.seen[0].mm_per_px
    assert any("b: the file says 300 dpi, but the part is as large as in a; 600 dpi" in w for w in found.warnings)


def test_another_size_that_no_resolution_explains_is_refused_with_the_true_cause():
    fine = of_two_resolutions()[0]
    image = Image.open(io.BytesIO(fine[0]))
    out = io.BytesIO()
    image.resize((int(image.width * 0.88), int(image.height * 0.88))).save(out, "PNG")
    with pytest.raises(GeometryError, match=r"b: the part is 0\.88 times as large as in a.* same part"):
        trace_scans([picture(fine, "a", (600, 600)), load(out.getvalue(), "b")], Caliper())


STRETCHED = plain(PARTS["waisted_keeper"], 600.0).but(ey=-0.5003, ex=0.0021, skew=0.0)
"""A carriage that takes half as many steps: 600 × 300 dpi."""


@cache
def stretched(name: str) -> Scan:
    return render(PARTS[name], STRETCHED, 7)


@pytest.mark.parametrize("name", ["waisted_keeper", "oval_flange"])
def test_pixels_that_are_not_square_are_used_as_the_file_says_and_told(name):
    scan = stretched(name)
    found = trace_scans([picture(scan, "a.png", (600, 300))], caliper(scan))
    assert [25.4 / k for k in found.seen[0].mm_per_px] == pytest.approx([600, 300], abs=0.01)
    assert any("600 dpi along rows and 300 along columns" in w for w in found.warnings)
    assert found.solved.slips == {}
    s = judged(scan, found)
    assert s.counts == s.true_counts
    assert beyond(s, "300 dpi, one scan") == []


def test_square_pixels_in_a_file_that_says_otherwise_are_told_by_the_holes():
    scan = of_two_resolutions()[0]
    with pytest.raises(GeometryError, match=r"holes are round only if pixels are square.*--dpi"):
        trace_scans([picture(scan, "a.png", (600, 300))], Caliper())
    found = trace_scans([picture(scan, "a.png", (600, 300))], caliper(scan))
    assert round(25.4 / found.seen[0].mm_per_px[1]) == 600
    assert beyond(judged(scan, found), "600 dpi, one scan") == []
    assert any("round only if pixels are square" in r for r in found.remarks)


@pytest.mark.parametrize(("dpi", "turned"), [((600, 600), False), (None, False), ((300, 300), True)])
def test_long_pixels_that_the_file_does_not_tell_are_refused(dpi, turned):
    scan = stretched("waisted_keeper")
    page = picture(scan, "a.png", dpi)
    if turned:
        page = replace(page, light=np.ascontiguousarray(page.light.T))
    way = "along rows as along columns" if turned else "along columns as along rows"
    with pytest.raises(GeometryError, match=rf"a\.png: its holes are round only if pixels are twice as long {way}"):
        trace_scans([page], Caliper())


def test_the_same_picture_twice_is_refused():
    fine = of_two_resolutions()[0]
    with pytest.raises(GeometryError, match="b is the same picture as a, and tells nothing more"):
        trace_scans([picture(fine, "a", (600, 600)), picture(fine, "b", (300, 300))], Caliper())


def test_scans_between_which_the_part_was_not_turned_are_told():
    part = PARTS["waisted_keeper"]
    scans = render_turned(part, plain(part, 300.0), 5, (0.0, 4.0))
    found = trace_scans([picture(s, str(n), (300, 300)) for n, s in enumerate(scans)], caliper(scans[0]))
    assert any("1: the part lies in it as in 0" in w and "by a quarter" in w for w in found.warnings)


def test_turning_a_part_between_stretched_scans_is_used_too():
    part = PARTS["waisted_keeper"]
    scans = render_turned(part, STRETCHED, 5)
    found = trace_scans([picture(s, str(n), (600, 300)) for n, s in enumerate(scans)], caliper(scans[0]))
    assert beyond(judged(scans[0], found), "300 dpi, two scans") == []


def test_the_targets_named_are_those_of_the_table():
    assert {"300 dpi, one scan", "300 dpi, two scans", "600 dpi, one scan"} <= set(TARGETS)


def two_parts() -> Picture:
    """A scan of a keeper with a smaller copy of itself beside it."""
    fine = of_two_resolutions()[0]
    image = Image.open(io.BytesIO(fine[0])).convert("L")
    lid = int(np.asarray(image)[:4].mean())
    page = Image.new("L", (image.width * 2, image.height), lid)
    page.paste(image, (0, 0))
    page.paste(image.resize((image.width // 2, image.height // 2)), (image.width + 40, 60))
    out = io.BytesIO()
    page.save(out, "PNG", dpi=(600, 600))
    return load(out.getvalue(), "two.png")


def test_the_part_in_which_readings_were_taken_is_the_one_that_is_meant():
    page = two_parts()
    places = [p.outer.mean(axis=0) for p in find_parts(page.light)]
    hole = find_parts(page.light)[1].inner[0].mean(axis=0)
    found = trace_scans([page], Caliper((Reading("m", DIAMETER, 3.3, (tuple(map(float, hole)),)),)))
    assert found.seen[0].part.outer.mean(axis=0) == pytest.approx(places[1])
    (warning,) = [w for w in found.warnings if "parts are seen" in w]
    assert "that in which the readings were taken, about pixel (" in warning
    assert "--part 1 is the one about pixel (" in warning


def test_of_several_parts_the_largest_is_traced_and_it_is_said_unless_one_was_chosen():
    page = two_parts()
    found = trace_scans([page], Caliper())
    (warning,) = [w for w in found.warnings if "parts are seen" in w]
    assert warning in found.remarks
    assert "two.png: 2 parts are seen; the largest, about pixel (" in warning
    assert "--part 2 is the one about pixel (" in warning
    assert trace_scans([page], Caliper(), part=1).warnings == ()
    assert trace_scans([page], Caliper(), part=2).warnings == ()
