"""Pictures with nothing in them that tells scale or perspective: scaled by the readings, honest in their intervals."""

from __future__ import annotations

import io
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from generator.base.errors import GeometryError
from generator.outputs.footprint.account import account_of
from generator.trace.bare import narrower, trace_bare
from generator.trace.picture import Picture, load
from generator.trace.readings import CENTRES, DIAMETER, WIDTH, Caliper, Reading
from generator.trace.readings_file import read_caliper
from tests.scans.photo_light import PhotoConditions, render_photo
from tests.scans.scan_parts import all_parts
from tests.scans.scorer import score
from tests.trace.test_scans_against_truth import scored
from tests.trace.traced_cases import CORPUS, KEEPER, image_of

PARTS = {p.name: p for p in all_parts()}


def keeper() -> Picture:
    picture = image_of(KEEPER)
    return load(picture.read_bytes(), picture.name)


def test_a_scan_is_scaled_by_its_readings_and_its_truth_lies_within_what_is_told():
    caliper = read_caliper(str(CORPUS / KEEPER / "caliper.yaml"))
    for dpi in (None, (333.0, 12.0)):
        found = trace_bare([replace(keeper(), dpi=dpi)], caliper)
        told = account_of(found, "k", ["k.jpg"], "none")
        (far,) = [d for d in told.distances if not d.edges]
        assert abs(far.value - 40.0) < far.doubt < 0.2
        hole = told.footprint.feature(told.footprint.holes[0])
        assert abs(2.0 * hole.primitive.values[2] - 5.5) < 4.0 * hole.doubt.radius
    assert any("straight from above" in w for w in found.warnings)


@pytest.mark.parametrize(
    ("name", "tilt", "thickness", "seed"), [("waisted_keeper", 1.0, 1.0, 3), ("oval_flange", 4.0, 0.5, 4)]
)
def test_a_photo_held_nearly_square_lies_within_what_is_told(name, tilt, thickness, seed):
    """On white paper, which is the simulator's sheet with its rim cut away, the lens's axis still in the middle."""
    conditions = PhotoConditions(
        reference="a4", tilt=tilt, azimuth=70.0, thickness=thickness, pose=(0.0, 0.0, 20.0), metal=105.0,
        table=95.0, reference_level=228.0, width=3600, height=2700, reference_pose=(0.0, 0.0, 0.0),
    )  # fmt: skip
    data, truth, typed = render_photo(PARTS[name], conditions, seed)
    whole = Image.open(io.BytesIO(data)).convert("L")
    left, top = 1150, 900
    out = io.BytesIO()
    whole.crop((left, top, whole.width - left, whole.height - top)).save(out, "PNG")
    readings = [r | {"holes": [[u - left, v - top] for u, v in r.get("holes", [])]} for r in typed["readings"]]
    for r in readings:
        r.pop("touch", None)
    caliper = read_caliper("c.yaml", opener=lambda _: f"units: mm\nreadings: {readings}".encode())
    found = trace_bare([load(out.getvalue(), "photo.png")], caliper)
    told = account_of(found, "k", ["k.jpg"], "none")
    s = score(truth, scored(found))
    assert s.counts == s.true_counts
    assert s.both.rms < told.footprint.outline_doubt < 0.3


@pytest.mark.parametrize(
    ("readings", "said"),
    [
        ((), "without a reference nothing but readings tells the scale"),
        ((Reading("t", "thickness", 3.0),), "without a reference nothing but readings tells the scale"),
        (
            (Reading("a", WIDTH, 56.0, direction_deg=17.0), Reading("b", WIDTH, 65.0, direction_deg=17.0)),
            r"b \(0\.0491 mm a pixel\) against a \(0\.0423 mm a pixel\)\. Read b and a again",
        ),
    ],
)
def test_without_readings_that_tell_a_scale_it_is_refused(readings, said):
    with pytest.raises(GeometryError, match=said):
        trace_bare([keeper()], Caliper(readings))


def test_two_pictures_are_refused_with_what_to_do():
    with pytest.raises(GeometryError, match=r"one by one.*--reference scan"):
        trace_bare([keeper(), keeper()], Caliper((Reading("d", DIAMETER, 5.5, ((342.0, 320.0),)),)))


def test_one_reading_leaves_the_other_direction_wide():
    along = Reading("c", CENTRES, 40.0, ((1231.0, 607.0), (338.0, 337.0)))
    both = (along, Reading("w", WIDTH, 16.0, direction_deg=-73.0), Reading("d", DIAMETER, 5.5, ((342.0, 320.0),)))
    one = account_of(trace_bare([keeper()], Caliper((along,))), "k", ["k.jpg"], "none")
    more = account_of(trace_bare([keeper()], Caliper(both)), "k", ["k.jpg"], "none")
    assert one.footprint.outline_doubt > 1.5 * more.footprint.outline_doubt


def test_holes_tell_how_far_off_square_a_picture_is():
    """A circle seen at an angle is an ellipse, narrower by its cosine."""
    t = np.linspace(0.0, 2.0 * np.pi, 200, endpoint=False)

    def seen(radius: float, tilt: float) -> np.ndarray:
        return np.column_stack([100.0 + radius * np.cos(t), 50.0 + radius * np.cos(np.radians(tilt)) * np.sin(t)])

    slot = np.column_stack([np.cos(t) * 30.0 + 10.0 * np.sign(np.cos(t)), 30.0 * np.sin(t)])
    for tilt in (0.0, 4.0, 12.0, 20.0):
        narrow, radius = narrower([seen(60.0, tilt), seen(90.0, tilt), slot])
        assert narrow == pytest.approx(1.0 - np.cos(np.radians(tilt)), abs=0.002)
        assert radius == pytest.approx(75.0 * (1.0 - 0.5 * narrow), rel=0.01)
    assert narrower([]) == (0.0, 0.0)


def test_a_photo_far_off_square_is_refused():
    """12° by its truth.json; beside the part lies a card, which is not asked for here."""
    folder = CORPUS / "s05-d-flange-photo-card"
    caliper = read_caliper(str(folder / "caliper.yaml"))
    with pytest.raises(GeometryError, match=r"round holes look \d\.\d % narrower one way.*--reference card"):
        trace_bare([load((folder / "image.jpg").read_bytes(), "photo.jpg")], caliper, part=2)
