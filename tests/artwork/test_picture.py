"""Pictures traced: shapes of known outline, drawn by an independent renderer, come back within a part of a pixel."""

from __future__ import annotations

import io
import struct
import zlib
from math import pi

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from generator.artwork.picture import PictureRules, trace
from generator.artwork.picture_edge import find_level
from generator.base.errors import GeometryError
from generator.outline import create
from generator.outline.combine import difference
from generator.outline.distance import boundary_distance, hausdorff
from generator.outline.fit import ellipse
from generator.outline.measure import area, bounds, length, signed_area
from generator.outline.predicates import explain_contour, is_circle, tangent_joints
from generator.outline.region import Region
from generator.outline.transform import moved, turned
from generator.outputs.svg_pen import path_data
from generator.shapes.shape import Context
from tests.artwork.picture_samples import FOLDER, FOX, grey, packed, png, two_tones
from tests.shapes.file_samples import OneFile
from tests.shapes.oracle import polygon_of
from tests.shapes.recipe_form import drawn

SIDE = 240
FOX_PNG = (FOLDER / "fox.png").read_bytes()


def star(points, outer, inner):
    n = 2 * points
    angles = [(2 * pi * k / n + 0.2, outer if k % 2 == 0 else inner) for k in range(n)]
    return create.polygon([(r * np.cos(a), r * np.sin(a)) for a, r in angles])


def with_hole(outer, hole):
    return Region.of([outer, hole.reversed()])


SHAPES = {
    "disc": (Region.of([create.circle((0, 0), 50)]), 2, 2),
    "small disc": (Region.of([create.circle((0, 0), 9)]), 2, 2),
    "ring": (create.ring((0, 0), 90, 60), 4, 4),
    "rectangle": (Region.of([turned(create.rectangle(-70, -40, 70, 40), 0.3)]), 4, 4),
    "slot": (Region.of([turned(create.slot((-50, 0), (50, 0), 44), 0.5)]), 10, 12),
    "rounded rectangle": (Region.of([turned(create.rectangle(-80, -50, 80, 50, 22), 0.2)]), 10, 14),
    "ellipse": (Region.of([ellipse((0, 0), 90, 55, 0.4)]), 30, 50),
    "star": (Region.of([star(6, 95, 50)]), 12, 14),
    "frame": (with_hole(turned(create.rectangle(-80, -60, 80, 60), 0.1), create.circle((10, 5), 40)), 6, 7),
}
AT = (SIDE / 2 + 0.37, SIDE / 2 - 0.21)


def picture_of(region):
    x, y = AT
    body = (
        f'<g transform="translate({x} {SIDE - y}) scale(1 -1)"><path fill-rule="evenodd" d="{path_data(region)}"/></g>'
    )
    return png(body, SIDE, SIDE)


def overlap(a, b):
    p, q = polygon_of(a), polygon_of(b)
    return p.intersection(q).area / p.union(q).area


# ------------------------------------------------------------------ known outlines
@pytest.mark.parametrize("name", SHAPES)
def test_grey_edges_give_the_outline_within_a_seventh_of_a_pixel(name):
    region, most, _ = SHAPES[name]
    true = Region.of(moved(c, *AT) for c in region)
    found = trace(picture_of(region), PictureRules())
    assert not found.two_tones
    assert hausdorff(found.region, true, 0.25) < 0.15
    assert overlap(found.region, true) > 1 - 0.06 * length(true) / area(true)
    assert sum(map(len, found.region)) <= most


@pytest.mark.parametrize("name", SHAPES)
def test_two_tones_give_it_within_two_thirds_of_a_pixel(name):
    region, _, most = SHAPES[name]
    true = Region.of(moved(c, *AT) for c in region)
    found = trace(two_tones(picture_of(region)), PictureRules())
    assert found.two_tones
    assert hausdorff(found.region, true, 0.25) < 0.65
    assert overlap(found.region, true) > 1 - 0.12 * length(true) / area(true)
    assert sum(map(len, found.region)) <= min(most, 16)


def test_disc_is_a_circle():
    (contour,) = trace(picture_of(SHAPES["disc"][0]), PictureRules()).region
    found = is_circle(contour)
    assert found is not None
    assert found.radius_mm == pytest.approx(50, abs=0.05)
    assert found.centre == pytest.approx(AT, abs=0.01)


def test_straight_sides_are_straight_and_round_ones_run_into_them():
    (box,) = trace(picture_of(SHAPES["rectangle"][0]), PictureRules()).region
    assert not box.array[:, 2].any()
    (rounded,) = trace(picture_of(SHAPES["rounded rectangle"][0]), PictureRules()).region
    assert tangent_joints(rounded).all()
    assert sorted(round(s.radius_mm) for s in rounded.segments() if s.is_arc)[::3] == pytest.approx([22, 22], abs=1)


@pytest.mark.parametrize("size", [24, 60, 150])
def test_the_same_shape_at_several_sizes(size):
    region = Region.of([turned(create.slot((-size / 4, 0), (size / 4, 0), size / 3), 0.7)])
    true = Region.of(moved(c, *AT) for c in region)
    assert hausdorff(trace(picture_of(region), PictureRules()).region, true, 0.1) < 0.15
    assert hausdorff(trace(two_tones(picture_of(region)), PictureRules()).region, true, 0.1) < 0.6


def test_holes_and_islands():
    body = "".join(
        f'<circle cx="120" cy="120" r="{r}" fill="{c}"/>'
        for r, c in ((100, "#000"), (80, "#fff"), (60, "#000"), (40, "#fff"), (20, "#000"))
    )
    region = trace(png(body, SIDE, SIDE), PictureRules()).region
    assert [signed_area(c) > 0 for c in region] == [True, False, True, False, True]
    assert area(region) == pytest.approx(pi * (100**2 - 80**2 + 60**2 - 40**2 + 20**2), rel=2e-3)


def test_what_touches_the_rim_ends_there():
    region = trace(png('<rect x="-5" y="60" width="105" height="300"/>', SIDE, SIDE), PictureRules()).region
    box = bounds(region)
    assert (box.xmin, box.ymin, box.xmax, box.ymax) == pytest.approx((0, 0, 100, 180), abs=0.05)


def test_squares_that_meet_at_corners_are_sound():
    board = np.kron(np.indices((6, 6)).sum(axis=0) % 2, np.ones((20, 20))).astype(np.uint8) * 255
    region = trace(packed(board), PictureRules()).region
    assert all(explain_contour(c) is None for c in region)
    assert area(region) == pytest.approx(18 * 400, rel=0.02)


@pytest.mark.parametrize("wide", [1, 2])
@pytest.mark.parametrize("upright", [False, True])
def test_hair_lines_keep_their_width(wide, upright):
    values = np.full((wide + 8, 80), 255)
    values[4:-4, 10:60] = 0
    region = trace(bytes_of(values.T if upright else values), PictureRules()).region
    assert area(region) == pytest.approx(50 * wide, rel=0.1)


# ------------------------------------------------------------------ dirt
def test_noise_and_specks():
    rng = np.random.default_rng(5)
    region, _, _ = SHAPES["frame"]
    true = Region.of(moved(c, *AT) for c in region)
    values = grey(picture_of(region)).astype(float) + rng.normal(0, 12, (SIDE, SIDE))
    rows, columns = rng.integers(2, SIDE - 2, (2, 60))
    values[rows, columns] = np.where(rng.random(60) < 0.5, 0, 255)
    found = trace(packed(np.clip(values, 0, 255).astype(np.uint8)), PictureRules())
    assert found.left_out > 10
    assert len(found.region) == 2
    assert hausdorff(found.region, true, 0.25) < 2  # where a speck touches the edge
    assert area(found.region) == pytest.approx(area(true), rel=4e-3)


def test_speckle_says_how_small_is_dirt():
    body = '<rect x="50" y="50" width="80" height="80"/><rect x="160" y="160" width="6" height="6"/>'
    data = png(body, SIDE, SIDE)
    assert len(trace(data, PictureRules()).region) == 2
    assert len(trace(data, PictureRules(speckle=40)).region) == 1


def test_more_smoothing_gives_no_more_pieces():
    counts = [sum(map(len, trace(two_tones(FOX_PNG), PictureRules(smooth=s)).region)) for s in (0.5, 1.0, 2.0)]
    assert counts == sorted(counts, reverse=True)


# ------------------------------------------------------------------ grey values
def test_level_lies_midway_however_much_paper_there_is():
    values = np.full((400, 400), 0.9, dtype=np.float32)
    values[:10, :20] = 0.2
    level = find_level(values)
    assert level is not None
    assert level.at == pytest.approx(0.55, abs=1e-6)


def test_level_of_a_scan_is_that_of_otsu():
    """Two normal distributions of equal size and width part midway between their means."""
    rng = np.random.default_rng(1)
    values = np.concatenate([rng.normal(0.3, 0.05, 50_000), rng.normal(0.7, 0.05, 50_000)]).reshape(500, 200)
    level = find_level(values.astype(np.float32))
    assert level is not None
    assert level.at == pytest.approx(0.5, abs=0.005)


def test_threshold_moves_the_edge():
    ramp = np.tile(np.linspace(0, 255, 256).astype(np.uint8), (60, 1))
    widths = [bounds(trace(packed(ramp), PictureRules(threshold=t)).region).xmax for t in (0.25, 0.5, 0.75)]
    assert widths == pytest.approx([64.25, 128, 191.75], abs=0.1)


def formats():
    plain = Image.fromarray(grey(FOX_PNG))
    ink = Image.merge("RGBA", [Image.new("L", plain.size, 0)] * 3 + [plain.point(lambda v: 255 - v)])
    wide = Image.fromarray(np.asarray(plain).astype(np.uint16) * 257)
    return {
        "grey": plain, "colour": plain.convert("RGB"), "palette": plain.convert("P"), "ink on nothing": ink,
        "grey and alpha": plain.convert("LA"), "sixteen bits": wide,
    }  # fmt: skip


@pytest.mark.parametrize("name", formats())
def test_every_kind_of_png_gives_the_same(name):
    region = trace(packed(formats()[name]), PictureRules()).region
    assert hausdorff(region, trace(FOX_PNG, PictureRules()).region, 0.5) < 0.05


def test_light_is_the_area_if_asked():
    turned_over = packed((255 - grey(FOX_PNG)).astype(np.uint8))
    region = trace(turned_over, PictureRules(dark=False)).region
    assert hausdorff(region, trace(FOX_PNG, PictureRules()).region, 0.5) < 0.05


def test_same_picture_same_outline():
    assert trace(FOX_PNG, PictureRules()).region == trace(FOX_PNG, PictureRules()).region


# ------------------------------------------------------------------ what is refused
def header(width, height):
    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    size = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", size) + chunk(b"IDAT", zlib.compress(b"\0" * 64)) + chunk(b"IEND", b"")


def animated():
    frames = [Image.new("L", (30, 30), v) for v in (0, 255)]
    out = io.BytesIO()
    frames[0].save(out, "PNG", save_all=True, append_images=frames[1:])
    return out.getvalue()


def bytes_of(values):
    return packed(np.asarray(values, dtype=np.uint8))


NOISE = np.random.default_rng(2).integers(0, 2, (900, 900)) * 255
BOARD = np.indices((300, 300)).sum(axis=0) % 2 * 255
COMB = np.where(np.arange(400)[None, :] % 6 < 3, 0, 255) * np.ones((400, 1))
REFUSED = {
    "not a picture": (b"GIF89a" + b"0" * 60, "not a PNG file; save it as a PNG"),
    "empty": (b"", "not a PNG file"),
    "cut off": (FOX_PNG[:3000], "the PNG file is damaged"),
    "only begun": (FOX_PNG[:20], "the PNG file is damaged"),
    "no size": (header(0, 40), "0 × 40 pixels large: it has no area"),
    "bomb": (header(60_000, 60_000), r"60000 × 60000 pixels .* at most 5000 × 5000"),
    "long": (header(200_000, 4), "longer than 30000"),
    "animated": (animated(), "the picture is animated"),
    "white": (bytes_of(np.full((40, 40), 255)), "the picture is white all over"),
    "black": (bytes_of(np.zeros((40, 40))), "the picture is black all over"),
    "grey": (bytes_of(np.full((40, 40), 128)), r"the picture is grey \(0\.50\) all over"),
    "noise": (bytes_of(NOISE), r"crosses \d+ pixels, at most 800000: it is a photograph or noise"),
    "chequers of a pixel": (bytes_of(BOARD), r"the picture has 45000 spots of dark and light, at most 2000; raise"),
    "comb": (bytes_of(np.tile(COMB, (2, 1))), r"pixels long, at most 75000; scale the picture to"),
    "all transparent": (packed(np.zeros((40, 40, 4), np.uint8)), "the picture is white all over"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_says_why_it_cannot_be_traced(name):
    data, told = REFUSED[name]
    with pytest.raises(GeometryError, match=told):
        trace(data, PictureRules(speckle=0))


def test_threshold_beyond_all_shades_names_those_that_do():
    data = packed((grey(FOX_PNG) // 2 + 60).astype(np.uint8))
    with pytest.raises(
        GeometryError, match=r"nothing in the picture is darker than 0\.10; threshold: between 0\.24 and"
    ):
        trace(data, PictureRules(threshold=0.1))
    assert trace(data, PictureRules(threshold=0.3)).region


def test_largest_spot_is_named_when_all_are_too_small():
    data = png('<rect x="50" y="50" width="20" height="20"/>', SIDE, SIDE)
    with pytest.raises(GeometryError, match=r"speckle: at most (399|400)"):
        trace(data, PictureRules(speckle=500))
    assert trace(data, PictureRules(speckle=399)).region


SMALL = packed(Image.open(io.BytesIO(FOX_PNG)).resize((64, 64)))


@settings(derandomize=True, deadline=None, max_examples=80, suppress_health_check=list(HealthCheck))
@given(data=st.data())
def test_damaged_files_are_told(data):
    spoiled = bytearray(SMALL)
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(spoiled) - 1))
        spoiled[at] = data.draw(st.integers(0, 255))
    if data.draw(st.booleans()):
        del spoiled[data.draw(st.integers(0, len(spoiled) - 1)) :]
    try:
        region = trace(bytes(spoiled), PictureRules()).region
    except GeometryError as error:
        told = str(error)
    else:
        told = "" if region else "nothing"
    assert told != "nothing"
    assert "Traceback" not in told


@settings(derandomize=True, deadline=None, max_examples=20, suppress_health_check=list(HealthCheck))
@given(seed=st.integers(0, 10_000), blur=st.sampled_from([0, 1, 2]), smooth=st.sampled_from([0.2, 0.5, 2.0]))
def test_blots_of_any_kind_are_sound(seed, blur, smooth):
    rng = np.random.default_rng(seed)
    values = np.kron(rng.random((12, 12)), np.ones((5, 5)))
    for _ in range(blur):
        values = (values + np.roll(values, 1, 0) + np.roll(values, 1, 1) + np.roll(values, -1, 0)) / 4
    region = trace(bytes_of(255 * values), PictureRules(smooth=smooth, threshold=0.5)).region
    assert all(explain_contour(c) is None for c in region)
    assert area(region) > 0
    inside = float((values <= 0.5).sum())
    assert area(region) == pytest.approx(inside, abs=0.5 * length(region))


# ------------------------------------------------------------------ in a recipe
def picture(**keys):
    file = OneFile(FOX_PNG)
    return drawn({"picture": {"file": "fox.png", **keys}}, Context(files=file)), file


def test_width_is_that_of_what_is_shown():
    region, file = picture(width=40)
    box = bounds(region)
    assert box.width_mm == pytest.approx(40, abs=1e-9)
    assert box.centre == pytest.approx((0, 0), abs=1e-9)
    assert file.told["fox.png"].startswith("traced with grey edges; dark ends at grey value 0.50, found in the picture")


def test_height_and_dpi():
    assert bounds(picture(height=25)[0]).height_mm == pytest.approx(25, abs=1e-9)
    assert bounds(picture(dpi=254)[0]).width_mm == pytest.approx(30.05, abs=0.1)


def test_flipped_is_the_mirror_image():
    plain, over = picture(width=40)[0], picture(width=40, flipped="x")[0]
    lowest = min(plain.contours[0].vertices, key=lambda v: v.y)
    highest = max(over.contours[0].vertices, key=lambda v: v.y)
    assert (lowest.x, lowest.y) == pytest.approx((highest.x, -highest.y), abs=1e-9)


def test_fox_takes_few_pieces():
    assert sum(map(len, picture(width=40)[0])) < 80
    assert "circle" in FOX


def test_fit_is_the_largest_in_an_outline():
    plate = {"rectangle": {"size": [60, 20]}}
    region, _ = picture(fit={"outline": plate, "margin": 1.5})
    assert boundary_distance(region, drawn(plate)).distance_mm == pytest.approx(1.5, abs=1e-3)
    assert area(difference(region, drawn(plate))) == pytest.approx(0, abs=1e-9)


def test_fit_in_a_box():
    box = bounds(picture(fit={"box": [60, 20]})[0])
    assert box.height_mm == pytest.approx(20, abs=1e-9)


def test_fit_needs_something_to_fit_into():
    with pytest.raises(GeometryError, match="nothing to fit into"):
        picture(fit={"margin": 1})
