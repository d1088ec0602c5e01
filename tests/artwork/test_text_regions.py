"""Letters as regions against fine facets of the same outlines, read and flattened by fontTools."""

from __future__ import annotations

import io
import json
from pathlib import Path

import numpy as np
import pytest
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, get_coordinates, points
from shapely import distance as apart
from shapely.ops import unary_union

from generator.artwork.text_arcs import Ring, rings_to_contours
from generator.artwork.text_faces import shipped_font
from generator.artwork.text_font import open_font
from generator.artwork.text_regions import fitting_em, glyph_region
from generator.artwork.text_setting import Setting, Size, set_text
from generator.base.units import MODEL
from generator.outline.combine import union
from generator.outline.contour import Contour
from generator.outline.crossings import refuse_crossings
from generator.outline.distance import hausdorff, points_distance
from generator.outline.measure import area, bounds, length, signed_area
from generator.outline.predicates import explain_contour, tangent_joints
from generator.outline.region import Region
from generator.outline.transform import moved
from tests.artwork.text_fonts import INNER, OUTER, box_font, collection, variable_font
from tests.oracles.fine_facets import perimeter, polygon
from tests.oracles.fine_facets import signed_area as facet_area

FIT = 2e-3
DATA = Path(__file__).parents[1] / "data" / "outlines"


def flattened(data: bytes, character: str, em_mm: float, count: int = 400) -> list[np.ndarray]:
    """Return the contours of a glyph as polygons: fontTools reads, Bernstein's sums flatten."""
    font = TTFont(io.BytesIO(data))
    pen = DecomposingRecordingPen(font.getGlyphSet())
    font.getGlyphSet()[font.getBestCmap()[ord(character)]].draw(pen)
    scale, t = em_mm / font["head"].unitsPerEm, np.linspace(0, 1, count)[1:, None]
    contours, points = [], []
    for verb, args in pen.value:
        match verb:
            case "moveTo":
                points = [np.array([args[0]], float)]
            case "lineTo":
                points.append(np.array([args[0]], float))
            case "qCurveTo":
                offs = [np.array(a, float) for a in args]
                for i, c in enumerate(offs[:-1]):
                    end = (c + offs[i + 1]) / 2 if i < len(offs) - 2 else offs[-1]
                    a = points[-1][-1]
                    points.append((1 - t) ** 2 * a + 2 * t * (1 - t) * c + t * t * end)
            case "curveTo":
                a, (b, c, d) = points[-1][-1], (np.array(p, float) for p in args)
                points.append((1 - t) ** 3 * a + 3 * t * (1 - t) ** 2 * b + 3 * t * t * (1 - t) * c + t**3 * d)
            case "closePath":
                contours.append(np.concatenate(points) * scale)
    return contours


@pytest.mark.parametrize("face", ["sans", "sans bold", "serif italic", "mono"])
@pytest.mark.parametrize("cap_mm", [3.0, 40.0])
def test_areas_are_those_of_fine_facets(face, cap_mm):
    data = shipped_font(face)
    font = open_font(data)
    em = cap_mm / font.cap_height
    for character in "aBgQ8&@S%ß":
        polygons = flattened(data, character, em)
        expected = sum(-facet_area(p) for p in polygons)  # TrueType runs clockwise
        region = glyph_region(font, font.glyph_of(character), em)
        bound = FIT * sum(perimeter(p) for p in polygons)
        assert abs(area(region) - expected) < bound, character
        # the arcs stray to both sides, so that areas agree far better than the bound
        assert abs(area(region) - expected) < 0.1 * bound, character
        assert len(region) == len(polygons)


@pytest.mark.parametrize("face", ["sans", "serif"])
@pytest.mark.parametrize("cap_mm", [2.0, 12.0, 90.0])
def test_boundary_lies_within_two_micrometres_both_ways(face, cap_mm):
    data = shipped_font(face)
    font = open_font(data)
    em = cap_mm / font.cap_height
    for character in "Sg&":
        facets = [Polygon(p).exterior for p in flattened(data, character, em, 1500)]
        curve = unary_union(facets)
        region = glyph_region(font, font.glyph_of(character), em)
        ours = [Polygon(polygon(c, 1e-6)).exterior for c in region]
        there = apart(points(np.concatenate([polygon(c, 1e-5)[::7] for c in region])), curve).max()
        back = apart(points(get_coordinates(curve)[::11]), unary_union(ours)).max()
        assert there < FIT * 1.001
        assert back < FIT * 1.001


@pytest.mark.parametrize("name", ["glyph_Sans_8_4", "glyph_Sans_amp_30", "glyph_SansMono_at_30", "glyph_Serif_8_30"])
def test_glyphs_that_were_fitted_otherwise(name):
    """Two fits of the same curves, each within 2 µm of them, lie within 4 µm of each other."""
    data = json.loads((DATA / f"{name}.json").read_text(encoding="utf-8"))
    there = Region.of(Contour.of(c) for g in data["regions"] for c in [g["outer"], *g["holes"]])
    _, face, sign, cap = name.split("_")
    word = {"Sans": "sans", "SansMono": "mono", "Serif": "serif"}[face]
    character = {"8": "8", "amp": "&", "at": "@"}[sign]
    font = open_font(shipped_font(word))
    heights = [float(cap) / h for h in (font.cap_height, 1493 / 2048)]
    ours = min(
        (glyph_region(font, font.glyph_of(character), em) for em in heights), key=lambda r: abs(area(r) - area(there))
    )
    assert abs(area(ours) - area(there)) < 2 * FIT * length(there)
    a, b = bounds(ours), bounds(there)
    shifted = moved(ours, b.centre.x - a.centre.x, b.centre.y - a.centre.y)
    assert hausdorff(shifted, there, 0.05) < 3 * FIT
    assert sum(map(len, ours)) <= 1.05 * sum(map(len, there))


def test_smooth_letters_have_no_corners():
    font = open_font(shipped_font("sans"))
    for contour in glyph_region(font, font.glyph_of("O"), 11.0):
        assert tangent_joints(contour, angle_rad=1e-9).all()


@pytest.mark.parametrize("character", "aBgQ8&@Sﬁ")
def test_regions_are_sound(character):
    font = open_font(shipped_font("serif bold italic"))
    region = glyph_region(font, font.glyph_of(character), 5.0)
    assert all(explain_contour(c) is None for c in region)
    assert signed_area(region.contours[0]) > 0


# ------------------------------------------------------------------ which way contours run
def area_of(data: bytes, character: str = "O", variation=(), member: int = 0) -> float:
    font = open_font(data, member, variation)
    return area(glyph_region(font, font.glyph_of(character), 1000.0))


RING = 500 * 700 - 300 * 500


@pytest.mark.parametrize("outer", [OUTER, OUTER[::-1]])
@pytest.mark.parametrize("inner", [INNER, INNER[::-1]])
@pytest.mark.parametrize("cff", [False, True])
def test_nested_contours_are_holes_whichever_way_they_run(outer, inner, cff):
    assert area_of(box_font([outer, inner], cff=cff)) == pytest.approx(RING, abs=0.01)


@pytest.mark.parametrize("backwards", [False, True])
def test_overlaps_are_united(backwards):
    other = [(x + 250, y) for x, y in OUTER]
    both = [c[::-1] if backwards else c for c in (OUTER, other)]
    assert area_of(box_font(both)) == pytest.approx(750 * 700, abs=0.01)


def test_part_inside_another_stays_solid_where_the_font_is_made_well():
    """A serif drawn wholly within a stem: the round letters say that this font's contours run as they should."""
    data = box_font([OUTER, INNER], more={"I": [OUTER, INNER[::-1]]})
    assert area_of(data, "O") == pytest.approx(RING, abs=0.01)
    assert area_of(data, "I") == pytest.approx(500 * 700, abs=0.01)


@pytest.mark.parametrize(("weight", "width"), [(100, 100), (500, 300), (650, 375), (900, 500)])
def test_variable_font(weight, width):
    data = variable_font()
    assert area_of(data, "H", (("wght", float(weight)),)) == pytest.approx(700 * width, abs=0.5)
    both = 2 * width if width <= 200 else 200 + width
    assert area_of(data, "O", (("wght", float(weight)),)) == pytest.approx(700 * both, abs=0.5)


def test_members_of_a_collection():
    assert area_of(collection(), member=0) == pytest.approx(500 * 700, abs=0.01)
    assert area_of(collection(), member=1) == pytest.approx(RING, abs=0.01)


# ------------------------------------------------------------------ any curves
numbers = st.integers(-60, 60).map(float)
corners = st.lists(st.tuples(numbers, numbers), min_size=3, max_size=9)


@settings(derandomize=True, deadline=None, max_examples=60)
@given(data=st.data(), scale=st.sampled_from([0.02, 0.4, 3.0]))
def test_any_closed_curves_are_followed(data, scale):
    """Cubics with loops, cusps and turning points: every point of theirs lies within the tolerance of the arcs."""
    ends = data.draw(corners)
    rows = []
    for (ax, ay), (dx, dy) in zip(ends, ends[1:] + ends[:1], strict=True):
        bx, by, cx, cy = (data.draw(numbers) for _ in range(4))
        rows.append((ax, ay, bx, by, cx, cy, dx, dy, 0.0))
    ring = Ring.of(rows)
    if ring is None:
        return
    (contour,) = rings_to_contours([ring], scale)
    if len(contour) < 2:
        return
    t = np.linspace(0, 1, 200)[:, None]
    for row in ring.curves * scale:
        a, b, c, d = row
        curve = (1 - t) ** 3 * a + 3 * t * (1 - t) ** 2 * b + 3 * t * t * (1 - t) * c + t**3 * d
        assert points_distance(contour, curve).max() < 1.02 * FIT
    assert all(abs(v.bulge) <= 1.0 for v in contour.vertices)


@given(em=st.floats(0.01, 5000))
@settings(derandomize=True, deadline=None, max_examples=50)
def test_letters_are_scaled_down_only_and_little(em):
    assert em <= fitting_em(em) * (1 + 1e-9) <= em * 2**0.2500001


@pytest.mark.parametrize("text", ["A\u0301\u0302", "A\u0300\u0300", "e\u0301\u0302"])
def test_marks_that_meet_within_a_letter_are_united(text):
    region = set_text(Setting(text=text, face="sans bold", features={}), Size(cap_height=10.0))
    alone = [Region.of([c]) for c in region if signed_area(c) > 0.0]
    holes = sum(signed_area(c) for c in region if signed_area(c) < 0.0)
    assert area(region) == pytest.approx(area(union(*alone)) + holes, abs=1e-9)
    refuse_crossings(region.contours, MODEL)
