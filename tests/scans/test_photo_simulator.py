"""Simulated photos: the camera against the corpus's own and closed forms, areas, walls, sameness."""

from __future__ import annotations

import io
import json

import numpy as np
import pytest
import yaml
from PIL import Image

from tests.scans.photo_camera import Camera, stand
from tests.scans.photo_light import PhotoConditions, Pose, framed, render_photo, usual_photo
from tests.scans.scan_cases import CORPUS
from tests.scans.scan_light import decoded
from tests.scans.scan_parts import all_parts
from tests.scans.test_scan_simulator import area

PARTS = {p.name: p for p in all_parts()}
PLAIN = PhotoConditions(
    width=900, height=675, thickness=0.001, tilt=0.0, noise=0.0, uneven=0.0, shadow_depth=0.0, brushed=0.0, quality=98
)


@pytest.mark.parametrize("case", ["s05-d-flange-photo-card", "s06-lever-photo-a4"])
def test_the_camera_sees_the_holes_of_the_corpus_where_people_clicked(case):
    """Clicks are a few pixels off (as its README says): another renderer's camera and pose, read from its truth."""
    truth = json.loads((CORPUS / case / "truth.json").read_text(encoding="utf-8"))
    seen, image = truth["image"]["camera"], truth["image"]
    camera = Camera(
        np.array(seen["R_world_to_cam"]), np.array(seen["centre_mm"]), seen["f_px"], seen["k1"], image["width"],
        image["height"],
    )  # fmt: skip
    pose, z = Pose(*image["part"]["pose_xy_deg"]), image["part"]["plane_top_z_mm"]
    holes = {c["id"]: camera.pixel(pose.world(np.array([[c["x"], c["y"]]]), z))[0] for c in truth["circles"]}
    readings = yaml.safe_load((CORPUS / case / "caliper.yaml").read_text(encoding="utf-8"))["readings"]
    named = {f["id"]: f.get("between") or [f["of"]] for f in truth["caliper"] if "of" in f or "between" in f}
    gaps = [
        np.hypot(*(np.array(click) - holes[hole]))
        for r in readings
        for hole, click in zip(named.get(r["id"], []), r.get("holes", []), strict=True)
    ]
    assert len(gaps) >= 3
    assert max(gaps) < 25


def test_looking_undoes_seeing():
    camera = Camera(*stand((5.0, -3.0), 22.0, 130.0, 7.0, 220.0), 2500.0, -0.03, 3000, 2250)
    rng = np.random.default_rng(2)
    points = np.column_stack([rng.uniform(-90, 90, 200), rng.uniform(-70, 70, 200), np.full(200, 1.5)])
    px = camera.pixel(points)
    x, y = camera.meets(camera.looks(px[:, 0], px[:, 1]), 1.5)
    assert np.column_stack([x, y]) == pytest.approx(points[:, :2], abs=1e-7)


def test_a_camera_square_above_shows_similar_triangles():
    camera = Camera(*stand((0.0, 0.0), 0.0, 0.0, 0.0, 200.0), 2000.0, 0.0, 1000, 800)
    assert camera.pixel(np.array([[10.0, 5.0, 0.0]]))[0] == pytest.approx([499.5 + 100, 399.5 - 50])
    assert camera.pixel(np.array([[10.0, 5.0, 50.0]]))[0] == pytest.approx([499.5 + 133.3333, 399.5 - 66.6667])


@pytest.mark.parametrize("reference", ["card", "a4"])
def test_a_thin_part_seen_from_above_has_its_area(reference):
    part = PARTS["vent_plate"]
    pose = PLAIN.pose if reference == "card" else (10.0, 5.0, 20.0)
    c = PLAIN.but(reference=reference, pose=pose, reference_level=75.0 if reference == "card" else 228.0,
                  metal=60.0, table=230.0)  # fmt: skip
    data, truth, _ = render_photo(part, c, 1)
    table = np.array([decoded(n, c.gamma) for n in range(256)])
    green = table[np.asarray(Image.open(io.BytesIO(data)))[:, :, 1]]
    camera = framed(c, part)
    px = camera.pixel(Pose(*c.pose).world(np.vstack([s.points(np.linspace(0, 1, 9)) for s in part.edges()]), 0.0))
    (left, top), (right, bottom) = (px.min(axis=0) - 8).astype(int), (px.max(axis=0) + 8).astype(int)
    crop = green[top:bottom, left:right]
    behind = np.median(crop[crop > 0.4])
    metal = decoded(c.metal, c.gamma)
    scale = camera.focal / camera.centre[2]
    assert ((behind - crop) / (behind - metal)).sum() / scale**2 == pytest.approx(area(part), rel=0.012)
    assert truth["image"]["part"]["thickness_mm"] == 0.001


def test_a_thick_part_shows_walls_on_the_side_to_the_camera_foot():
    """A plate left of the camera's foot: its right side is seen as a wall, dark between top and table, its left not."""
    part = PARTS["square_flange"]
    c = PLAIN.but(thickness=6.0, wall=0.2, metal=200.0, table=60.0, pose=(-62.0, 0.0, 0.0), width=1400, height=1050)
    data, _, _ = render_photo(part, c, 1)
    levels = np.asarray(Image.open(io.BytesIO(data)))[:, :, 1].astype(float)
    camera, pose = framed(c, part), Pose(*c.pose)

    def level(x: float, z: float) -> float:
        u, v = np.rint(camera.pixel(pose.world(np.array([[x, 0.0]]), z))[0]).astype(int)
        return float(levels[v - 2 : v + 3, u].mean())

    assert level(30.0, 3.0) < 130 < level(28.5, 6.0)
    assert level(-28.5, 6.0) > 130


def test_same_seed_same_bytes_and_a_reading_of_the_thickness():
    c = usual_photo("a4", True, 3).but(width=640, height=480)
    first = render_photo(PARTS["pawl"], c, 4)
    assert first == render_photo(PARTS["pawl"], c, 4)
    _, truth, typed = first
    assert typed["readings"][-1]["kind"] == "thickness"
    assert abs(typed["readings"][-1]["value"] - c.thickness) < 0.08
    assert truth["image"]["camera"]["tilt_deg"] == c.tilt
    assert truth["image"]["camera"]["R_world_to_cam"][2][2] == pytest.approx(-np.cos(np.radians(c.tilt)))
