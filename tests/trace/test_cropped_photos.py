"""Photos that were cropped: the lens's axis is off their middle, which is told, fitted, and in the uncertainty."""

from __future__ import annotations

import io

import pytest
from PIL import Image

from generator.outputs.footprint.account import account_of
from generator.trace.cropped import looks_cropped
from generator.trace.photo import trace_photo
from generator.trace.picture import load
from generator.trace.readings_file import read_caliper
from tests.scans.photo_light import render_photo, usual_photo
from tests.scans.scan_parts import all_parts
from tests.scans.scorer import score
from tests.trace.test_scans_against_truth import scored


@pytest.mark.parametrize(
    ("width", "height", "cropped"),
    [(4000, 3000, False), (3024, 4032, False), (1920, 1080, False), (3000, 2000, False), (2328, 1692, True)],
)
def test_forms_that_no_camera_saves(width, height, cropped):
    assert looks_cropped(width, height) == cropped


@pytest.mark.parametrize("seed", [5, 14])
def test_the_truth_lies_within_what_is_told_of_a_cropped_photo(seed):
    """3 % cut off the left and 6 % off the foot: taken to be in the middle, the axis puts edges 0.04 mm off."""
    part = next(p for p in all_parts() if p.name == "oval_flange")
    data, truth, typed = render_photo(part, usual_photo("card", False, seed, width=2400, height=1800), seed)
    image = Image.open(io.BytesIO(data))
    left, foot = 72, 108
    out = io.BytesIO()
    image.crop((left, 0, image.width, image.height - foot)).save(out, "PNG")
    kept = [r for r in typed["readings"] if r["kind"] == "thickness"] + typed["readings"][:2]
    readings = [{k: v for k, v in r.items() if k != "touch"} for r in kept]
    for r in readings:
        if "holes" in r:
            r["holes"] = [[u - left, v] for u, v in r["holes"]]
    caliper = read_caliper("c.yaml", opener=lambda _: f"units: mm\nreadings: {readings}".encode())
    found = trace_photo(load(out.getvalue(), "photo.png"), caliper, reference="card")
    told = account_of(found, "k", ["k.png"], "card")
    s = score(truth, scored(found))
    assert s.counts == s.true_counts
    assert s.both.most < told.footprint.outline_doubt
    assert s.both.rms < 0.012
    assert any("no camera's form, so it was probably cropped" in w for w in found.warnings)
