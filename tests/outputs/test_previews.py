"""The pictures: right size, same bytes, true to the sections that they show, and proofs that can fail."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from io import BytesIO

import numpy as np
import pytest
from PIL import Image, ImageDraw

from generator.base.errors import OutputError
from generator.outline.contour import Contour
from generator.outline.region import Region
from generator.outputs import previews, raster
from generator.outputs.output import Files, Work
from generator.outputs.preview_page import HEIGHT, WIDTH
from generator.outputs.preview_proof import read_png
from generator.part.part import Face, Feature, Plan
from tests.outputs.picture_samples import bolt, hole, plan, samples

NAMES = tuple(samples())


def work(of: Plan) -> Work:
    return Work(of, (), (), "0" * 64, "", {})


@cache
def written(name: str) -> tuple[Plan, Files]:
    of = samples()[name]
    return of, dict(previews.write(work(of)))


@pytest.mark.parametrize("name", NAMES)
def test_pictures_open_at_their_size_and_prove_true(name: str) -> None:
    of, files = written(name)
    assert set(files) == {"previews/top.png", "previews/bottom.png", "previews/exploded.png"}
    for data in files.values():
        assert Image.open(BytesIO(data)).size == (WIDTH, HEIGHT)
    proofs = list(previews.prove(work(of), files))
    assert len(proofs) >= 8
    assert [p for p in proofs if not p.holds] == []


def test_same_plan_gives_same_bytes_without_a_date() -> None:
    of, files = written("latch")
    again = dict(previews.write(work(of)))
    assert again == files
    for data in files.values():
        assert b"tIME" not in data
        assert b"tEXt" not in data


def failing(of: Plan, files: Files) -> set[str]:
    return {p.what for p in previews.prove(work(of), files) if not p.holds}


def test_a_picture_of_another_outline_does_not_prove() -> None:
    _, files = written("latch")
    assert "picture: rim against outline" in failing(plan(radius=20.0), files)
    assert "picture: rim against outline" in failing(plan(height=63.0), files)


def test_a_picture_with_a_missing_pocket_hole_or_insert_does_not_prove() -> None:
    _, files = written("latch")
    wrong = (
        plan(bolts=((-38.0, 12.0), (38.0, 0.0)), seat_mm=18.0),
        plan(opening=False),
        plan(inlay=None),
        plan(insert_material="POM-C"),
    )
    for other in wrong:
        assert "picture: metal and open ground" in failing(other, files)


def test_top_and_bottom_cannot_change_places() -> None:
    of, files = written("latch")
    swapped = {
        **files,
        "previews/top.png": files["previews/bottom.png"],
        "previews/bottom.png": files["previews/top.png"],
    }
    assert "picture: metal and open ground" in failing(of, swapped)


def test_a_painted_over_picture_does_not_prove() -> None:
    of, files = written("latch")
    image = Image.open(BytesIO(files["previews/top.png"])).convert("RGB")
    ImageDraw.Draw(image).rectangle((400, 100, 760, 270), fill="#ffffff")
    out = BytesIO()
    image.save(out, "PNG")
    assert "picture: metal and open ground" in failing(of, {**files, "previews/top.png": out.getvalue()})


def test_exploded_picture_proves_the_colour_of_each_piece() -> None:
    _, files = written("latch")
    assert "picture: metal of a piece" in failing(plan(insert_material="1.4301 annealed"), files)


def test_silhouette_area_counted_in_pixels_is_that_of_the_outline() -> None:
    """The stroke round a plain dark plate reaches half its width beyond the outline: A + L w/2 + pi w²/4 (Steiner)."""
    of, files = written("plain")
    pixels = read_png(files["previews/top.png"])
    w, h, r = 104.0, 64.0, 14.0
    area = w * h - (4.0 - np.pi) * r * r
    length = 2 * (w + h) - 8 * r + 2 * np.pi * r
    scale = previews.flat_view(previews.bounds(of.cover.profile)).scale
    reach = 1.1 / scale
    expected = area + length * reach + np.pi * reach**2
    dark = pixels[:760].mean(axis=2) < 0.62  # above the caption
    assert dark.sum() / scale**2 == pytest.approx(expected, abs=length * 0.35 / scale)


def test_titles_that_the_face_lacks_or_that_are_far_too_long_do_not_break() -> None:
    for title in ("天文台 🛶", "a" * 400, "<b> & \x00 \ud800", "", "עברית"):
        of = replace(samples()["plain"], title=title)
        svg = previews.top_svg(of, previews._cut(of))
        assert previews.rasterise(svg)[:4] == b"\x89PNG"


def star(points: int, bulge: float) -> Region:
    """Return a star with sharp points, its sides straight or hollow."""
    at = [
        (r * np.cos(a), r * np.sin(a), bulge)
        for a, r in zip(np.arange(2 * points) * np.pi / points, [30, 17] * points, strict=True)
    ]
    return Region.of([Contour.of(at)])


@pytest.mark.parametrize("bulge", [0.0, -0.12])
def test_chamfers_of_sharp_points_stay_inside_the_outline(bulge: float) -> None:
    """Facets beside a corner of less than 90 degrees once reached across it."""
    base = samples()["plain"]
    of = replace(base, cover=replace(base.cover, profile=star(7, bulge), features=(), rim_break_mm=1.2))
    files = dict(previews.write(work(of)))
    assert [p for p in previews.prove(work(of), files) if not p.holds] == []


def test_ground_beyond_a_slanting_rim_is_not_taken_for_an_opening() -> None:
    base = samples()["plain"]
    triangle = Region.of([Contour.of([(-40, -30), (40, -30), (0, 40)])])
    cover = replace(
        base.cover, profile=triangle, features=(Feature("h", "bolt-holes", Face.TOP, hole((0, -5), 8), 0, 8),)
    )
    of = replace(base, cover=cover, bolts=(bolt(1, (0.0, -5.0), 8.0),))
    files = dict(previews.write(work(of)))
    assert [p for p in previews.prove(work(of), files) if not p.holds] == []


def test_an_insert_that_the_gap_has_eaten_up_is_left_out() -> None:
    base = samples()["latch"]
    of = replace(base, inserts=(replace(base.inserts[0], profile=Region()),))
    files = dict(previews.write(work(of)))
    assert [p for p in previews.prove(work(of), files) if not p.holds] == []


def test_a_missing_font_is_told_with_a_remedy(monkeypatch: pytest.MonkeyPatch) -> None:
    raster.font_files.cache_clear()
    monkeypatch.setattr(raster, "shipped_path", lambda name: None)
    with pytest.raises(OutputError, match="pip install matplotlib"):
        raster.rasterise("<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'/>")
    raster.font_files.cache_clear()
