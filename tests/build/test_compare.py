"""What changed between two versions: held against closed forms and an independent library."""

from __future__ import annotations

import io
from dataclasses import replace
from math import acos, pi, sqrt
from pathlib import Path

import numpy as np
import pytest
import shapely
from PIL import Image

from generator.api import build, check, compare
from generator.base.errors import RecipeError
from generator.base.units import INCH, MILLIMETRE
from generator.build.compare.figures import changes, finer
from generator.build.compare.of_pack import version_of_pack
from generator.build.compare.of_recipe import NOT_DRAWN
from generator.build.compare.picture import picture_png, picture_svg
from generator.outline.measure import area, bounds
from generator.outputs import OUTPUTS
from tests.oracles.fine_facets import polygon

ROOT = Path(__file__).parents[2]
LATCH = ROOT / "recipes" / "gate-latch.yaml"
OTHER = ROOT / "recipes" / "gate-latch-22.yaml"
SHEETS = ("layers-dxf", *(o.name for o in OUTPUTS if o.name not in NOT_DRAWN))

PLAIN = """\
name: plain
revision: "A"
units: mm
original:
  height: 3
  load_bearing: false
  footprint: {{rectangle: {{size: [40, 20], radius: 4}}}}
  bolts:
    - {{hole: 5.5, at: {bolts}}}
cover:
  stock: {{thickness: {thick}}}
  outer: {{rectangle: {{size: [{wide}, 40], radius: 6}}}}
"""


@pytest.fixture
def plain(tmp_path):
    """Return a function that writes a recipe and returns its path."""

    def write(name: str, bolts: str = "[[-12, 0], [12, 0]]", thick: float = 8, wide: float = 60) -> Path:
        path = tmp_path / name
        path.write_text(PLAIN.format(bolts=bolts, thick=thick, wide=wide), encoding="utf-8")
        return path

    return write


def facets(region):
    """Return a region as shapely has it: contours one in another, inside where an odd number of them lies round."""
    whole = shapely.Polygon()
    for contour in region:
        whole = whole.symmetric_difference(shapely.Polygon(polygon(contour, 1e-5)))
    return whole


def area_of(found, part, layer):
    return next(a for a in found.areas if (a.part, a.layer) == (part, layer))


def crescent(d: float, s: float) -> float:
    """Area of a disc of diameter d that a like one, s away, does not cover (lens of two equal circles, closed form)."""
    r = d / 2.0
    return pi * r * r - (2.0 * r * r * acos(s / (2.0 * r)) - s / 2.0 * sqrt(4.0 * r * r - s * s))


def test_a_recipe_is_the_same_as_itself():
    found = compare(LATCH, LATCH)
    assert found.is_same
    assert found.told == ()


def test_moved_holes_tell_place_way_and_area(plain):
    found = compare(plain("a.yaml"), plain("b.yaml", "[[-12, 0], [13, 0.5]]"))
    moved = [h for h in found.holes if h.part == "cover"]
    assert [(h.kind, h.name, h.old_at, h.new_at) for h in moved] == [("moved", "hole-bolt-2", (12, 0), (13, 0.5))]
    assert moved[0].moved_mm == pytest.approx(sqrt(1.25))
    holes = area_of(found, "cover", "bolt-holes")
    assert holes.added_mm2 == pytest.approx(crescent(5.5, sqrt(1.25)), abs=1e-6)
    assert holes.removed_mm2 == pytest.approx(crescent(5.5, sqrt(1.25)), abs=1e-6)


def test_a_bolt_in_front_of_the_others_renames_them_and_moves_none(plain):
    found = compare(plain("a.yaml"), plain("b.yaml", "[[0, 0], [-12, 0], [12, 0]]"))
    told = [(h.kind, h.old_name, h.name) for h in found.holes if h.part == "cover"]
    assert ("added", "", "hole-bolt-1") in told
    assert ("renamed", "hole-bolt-1", "hole-bolt-2") in told
    assert ("renamed", "hole-bolt-2", "hole-bolt-3") in told
    assert not any(kind == "moved" for kind, *_ in told)


def test_a_wider_cover_adds_its_strip_and_its_mass(plain):
    found = compare(plain("a.yaml"), plain("b.yaml", wide=61))
    profile = area_of(found, "cover", "outer-profile")
    assert profile.added_mm2 == pytest.approx(40.0, abs=1e-6)  # both ends move out by half a millimetre
    assert profile.removed_mm2 == 0.0
    told = {(c.group, c.what): (c.old_value, c.new_value) for c in found.changes}
    assert told["cover", "width along x"] == (60.0, 61.0)
    old, new = told["cover", "mass"]
    density = check(LATCH.parent / "gate-latch.yaml").plan.cover.material.density_kg_m3  # the default plate is the same
    assert new - old == pytest.approx(40.0 * 8.0 * density * 1e-6, rel=0.02)


def test_another_thickness_changes_depths_and_no_area(plain):
    found = compare(plain("a.yaml"), plain("b.yaml", thick=9))
    holes = area_of(found, "cover", "bolt-holes")
    assert (holes.added_mm2, holes.removed_mm2) == (0.0, 0.0)
    assert holes.depths_differ
    assert (holes.old.to_mm, holes.new.to_mm) == (8.0, 9.0)


def test_another_quantity_is_named():
    found = {(c.group, c.what): (c.old, c.new) for c in compare(LATCH, LATCH, sets=["order.quantity=7"]).changes}
    assert found == {("recipe", "quantity"): ("1", "7")}


def test_another_corner_is_named(plain):
    one, two = plain("one.yaml"), plain("two.yaml")
    text = two.read_text(encoding="utf-8")
    two.write_text(text.replace("radius: 6", "radius: 7").replace("radius: 4", "radius: 5"), encoding="utf-8")
    found = {(c.group, c.what): (c.old, c.new) for c in compare(one, two).changes}
    assert found["cover", "smallest corner radius"] == ("6 mm", "7 mm")
    assert found["cover", "bottom-pocket, smallest corner radius"] == ("4.3 mm", "5.3 mm")


def test_a_report_of_an_earlier_program_has_no_corners_and_none_are_new(packs, tmp_path):
    old = version_of_pack(packs[0])
    parts = [{k: v for k, v in p.items() if k != "corner_radius_mm"} for p in old.report["parts"]]
    earlier = replace(old, report={k: v for k, v in old.report.items() if k != "quantity"} | {"parts": parts})
    assert changes(earlier, old) == changes(old, earlier) == ()


@pytest.mark.parametrize("unit", [INCH, MILLIMETRE])
@pytest.mark.parametrize("by", [0.0011, 0.0015, 0.004, 0.3])
def test_figures_that_differ_are_told_apart(unit, by):
    fine = finer(unit, (3.4, 3.4 + by), (by, 0.0))
    assert fine.figure(3.4) != fine.figure(3.4 + by)
    assert float(fine.figure(by)) == pytest.approx(by / unit.mm, rel=0.5)
    assert finer(unit, (3.0, 4.0)).decimals == unit.limit_decimals


def test_areas_agree_with_an_independent_library():
    found = compare(LATCH, OTHER)
    assert len(found.areas) >= 6
    for change in found.areas:
        old, new = facets(change.old.region), facets(change.new.region)
        assert change.added_mm2 == pytest.approx(shapely.difference(new, old).area, abs=0.02)
        assert change.removed_mm2 == pytest.approx(shapely.difference(old, new).area, abs=0.02)
        assert area(change.kept) == pytest.approx(shapely.intersection(new, old).area, abs=0.02)


# ------------------------------------------------------------------ sheets
def why(found):
    return {r.path: r.why for r in found.reissue}


def test_only_sheets_that_show_something_else_are_reissued():
    found = compare(LATCH, LATCH, sets=["inlays.number.fit=press", "revision=B"])
    told = why(found)
    assert told["drawings/insert-number.pdf"] == "changed"
    assert told["templates/insert-number.pdf"] == "changed"
    assert told["insert-number.step"] == "changed"
    assert told["templates/footprint.pdf"] == "name or revision only"
    assert told["layers/cover_bottom-face_bottom-pocket.dxf"] == "name or revision only"
    assert not found.revision_is_stale


def test_a_bare_revision_changes_nothing_but_itself():
    found = compare(LATCH, LATCH, sets=["revision=B"])
    assert [c.what for c in found.changes] == ["revision"]
    assert not found.areas
    assert set(why(found).values()) == {"name or revision only"}


def test_a_change_under_the_same_revision_is_told():
    assert compare(LATCH, LATCH, sets=["parameters.reach=32.1"]).revision_is_stale


# ------------------------------------------------------------------ packs
@pytest.fixture(scope="module")
def packs(tmp_path_factory):
    """Two packs without solids."""
    out = tmp_path_factory.mktemp("packs")
    return tuple(build(path, out=out, outputs=SHEETS).folder for path in (LATCH, OTHER))


def test_a_pack_says_what_its_recipe_says(packs):
    found = compare(packs[0], LATCH)
    assert found.is_same, (found.changes, found.areas, found.reissue)


def test_packs_differ_as_their_recipes_do(packs):
    by_packs, by_recipes = compare(*packs), compare(LATCH, OTHER)
    assert by_packs.changes == by_recipes.changes
    assert by_packs.holes == by_recipes.holes
    assert why(by_packs) == why(by_recipes)
    for a, b in zip(by_packs.areas, by_recipes.areas, strict=True):
        assert (a.part, a.layer) == (b.part, b.layer)
        assert (a.added_mm2, a.removed_mm2) == pytest.approx((b.added_mm2, b.removed_mm2), abs=1e-3)


def test_what_only_one_side_has_is_told_and_not_compared(packs, tmp_path):
    bare = build(OTHER, out=tmp_path, outputs=["layers-dxf"]).folder
    found = compare(packs[0], bare)
    assert "only one side has templates/*.pdf: not compared" in found.told
    assert not any(r.path.startswith("templates/") for r in found.reissue)


def test_layers_without_a_file_are_not_known_and_not_gone(packs, tmp_path):
    bare = build(LATCH, out=tmp_path, outputs=["parts-list"]).folder
    for old, new in ((bare, packs[0]), (packs[0], bare), (bare, LATCH), (bare, bare)):
        found = compare(old, new)
        assert found.areas == ()
        assert not [r for r in found.reissue if r.path.startswith("layers/")]
        assert any(t == f"{bare} has no file of any layer: areas of these are not compared" for t in found.told)
    assert compare(bare, packs[1]).areas == ()
    assert compare(bare, packs[1]).changes  # what the report says is compared all the same


def test_missing_and_altered_files_are_named_by_hash(packs, tmp_path):
    copy = tmp_path / "copy"
    for path in packs[0].rglob("*"):
        target = copy / path.relative_to(packs[0])
        target.parent.mkdir(parents=True, exist_ok=True)
        if path.is_file():
            target.write_bytes(path.read_bytes())
    (copy / "templates" / "cover.pdf").unlink()
    (copy / "parts-list.csv").write_bytes(b"?" * (copy / "parts-list.csv").stat().st_size)
    (copy / "note.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(RecipeError) as error:
        compare(copy, tmp_path / "none.yaml")
    told = {Path(m.file).name: m for m in error.value.mistakes}
    assert set(told) == {"cover.pdf", "parts-list.csv", "none.yaml"}  # both sides in one go; a note is no fault
    assert told["cover.pdf"].found == "no such file"
    assert "SHA-256" in told["cover.pdf"].expected
    assert "SHA-256" in told["parts-list.csv"].found


# ------------------------------------------------------------------ picture
def test_the_picture_shows_the_areas_in_their_colours(plain):
    found = compare(plain("a.yaml"), plain("b.yaml", wide=80))
    svg = picture_svg(found)
    assert svg == picture_svg(found)
    pixels = np.asarray(Image.open(io.BytesIO(picture_png(found))).convert("RGB"), dtype=float)
    red, blue = pixels[..., 0], pixels[..., 2]
    blueish = (blue - red > 25.0).sum() * (25.4 / 150.0) ** 2
    # drawn at the scale of the bar: the blank of 80 + 2 x margin fills a panel; all added strips, the swatch included
    blank = next(a for a in found.areas if a.layer == "blank").new.region
    scale = 128.0 / bounds(blank).width_mm
    shown = sum(a.added_mm2 for a in found.areas) * scale**2 + 60.0
    assert blueish == pytest.approx(shown, rel=0.12)  # lines round the areas are 0.35 mm wide
    for words in ("added: lines one way", "removed: lines crossed, edge dashed", "unchanged"):
        assert words in svg
