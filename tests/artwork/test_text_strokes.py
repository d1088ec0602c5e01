"""The face of single strokes: complete, on its grid, evenly wide, and followed by its paths."""

from __future__ import annotations

from math import hypot, pi

import numpy as np
import pytest
from shapely import LineString, unary_union

from generator.artwork.text_draw import there_and_back
from generator.artwork.text_setting import Setting, Size, engraving_paths, set_text
from generator.artwork.text_strokes import stroke_letters
from generator.artwork.text_strokes_letters import CAP, LETTERS, MARKS_ABOVE
from generator.base.errors import GeometryError
from generator.outline.contour import Contour
from generator.outline.distance import boundary_points, points_distance
from generator.outline.measure import area, bounds, length, signed_area
from generator.outline.predicates import corner_angles, explain_contour
from generator.outline.region import Region
from tests.oracles.fine_facets import polygon

WANTED = (
    "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789"
    ".,-/&'\"!?:;()+=#*@%ÄÖÜäöüßéèêàçñåøæÉÈÊÀÇÑÅØÆŒœíìîïôòóúùûýÿÍÓÚŠšŽž–°"
)


def setting(text: str, **more) -> Setting:
    return Setting(text=text, face="engraving", features={}, **more)


def ways(paths) -> Region:
    return Region(tuple(there_and_back(p) for p in paths))


@pytest.mark.parametrize("character", WANTED)
def test_every_letter_is_there_and_can_be_cut(character):
    region = set_text(setting(character), Size(cap_height=3))
    assert region
    assert all(explain_contour(c) is None for c in region)
    assert bounds(region).height_mm < 4.6


@pytest.mark.parametrize("character", LETTERS)
def test_steps_join_and_stay_on_the_grid(character):
    """A step ends where the next begins or goes there straight; nothing is left of the letter or beyond its width."""
    (letter,), _ = stroke_letters(character)
    box = bounds(ways(letter.paths))
    slack = 1.6 / CAP
    assert -slack <= box.xmin
    assert box.xmax <= letter.width + slack
    assert box.ymin >= -6.1 / CAP
    assert box.ymax <= 23.1 / CAP
    for path in letter.paths:
        steps = [hypot(q.x - p.x, q.y - p.y) for p, q in zip(path.vertices, path.vertices[1:], strict=False)]
        assert min(steps) > 0.4 / CAP  # no scrap where two steps should have met


@pytest.mark.parametrize("character", "CDJOPQRSUabcdefghmnopqrtu02689")
def test_straight_strokes_run_into_round_ones_without_a_corner(character):
    """Angles of the grid are given to a hundredth of a degree."""
    (letter,), _ = stroke_letters(character)
    for path in letter.paths:
        turns = corner_angles(there_and_back(path))
        bulges = [v.bulge for v in path.vertices]
        joints = [i for i in range(1, len(bulges) - 1) if bulges[i - 1] or bulges[i]]
        assert all(abs(turns[i]) < 0.003 for i in joints)


def test_region_is_what_a_round_cutter_leaves():
    """Against a buffer of fine facets of the paths."""
    size = Size(cap_height=5)
    for text in ("Gate 21 & Co", "ÄÖÜ ß é å ç @ %"):
        paths, width = engraving_paths(setting(text, stroke_width_mm=0.5), size)
        region = set_text(setting(text, stroke_width_mm=0.5), size)
        lines = [LineString(polygon(there_and_back(p), 1e-5)) for p in paths]
        expected = unary_union([line.buffer(width / 2, quad_segs=400) for line in lines]).area
        assert area(region) == pytest.approx(expected, rel=1e-4)
        rim = boundary_points(region, 0.05)
        assert points_distance(ways(paths), rim) == pytest.approx(np.full(len(rim), width / 2), abs=1e-6)


def test_sizes_are_over_the_outside_of_the_strokes():
    region = set_text(setting("H", stroke_width_mm=0.4), Size(cap_height=3))
    assert bounds(region).height_mm == pytest.approx(3)
    region = set_text(setting("Hall 3", stroke_width_mm=0.4), Size(width=33))
    assert bounds(region).width_mm == pytest.approx(33)
    region = set_text(setting("Hall 3"), Size(width=33))
    assert bounds(region).width_mm == pytest.approx(33)
    assert bounds(set_text(setting("H"), Size(cap_height=10))).width_mm == pytest.approx(1.2 + 12 / 20 * 8.8)


def test_dot_and_line_have_the_areas_of_their_strokes():
    """An I is a slot: a rectangle and two half discs."""
    width, high = 0.4, 2.6
    region = set_text(setting("I", stroke_width_mm=width), Size(cap_height=high + width))
    assert area(region) == pytest.approx(high * width + pi * width**2 / 4)
    paths, _ = engraving_paths(setting("I", stroke_width_mm=width), Size(cap_height=high + width))
    assert length(ways(paths)) == pytest.approx(2 * high)


@pytest.mark.parametrize("composed", ["é", "Ä", "ñ", "ç", "î", "Å", "ű"])
def test_composed_and_decomposed_letters_are_one(composed):
    from unicodedata import normalize

    size = Size(cap_height=5)
    assert set_text(setting(composed), size) == set_text(setting(normalize("NFD", composed)), size)


def test_marks_stand_clear_of_their_letters():
    """Also at the widest stroke that is allowed for capitals, no mark but the cedilla grows into its letter."""
    for letter in "AEIOUaeiou":
        for mark in MARKS_ABOVE:
            plain = set_text(setting(letter, stroke_width_mm=0.5), Size(cap_height=5))
            whole = set_text(setting(letter + mark, stroke_width_mm=0.5), Size(cap_height=5))
            outer = [sum(signed_area(c) > 0 for c in r) for r in (plain, whole)]
            dot = letter == "i"
            assert outer[1] >= outer[0] - dot + 1, (letter, mark)


@pytest.mark.parametrize(
    ("text", "size", "more", "says"),
    [
        ("Ω", Size(cap_height=5), {}, "lacks Ω (U+03A9); face: sans"),
        ("漢", Size(cap_height=5), {}, "`engraving` lacks 漢 (U+6F22)"),
        ("H", Size(em=5), {}, "give `cap_height` instead"),
        ("H", Size(cap_height=2), {"stroke_width_mm": 1.5}, "stroke_width: at most 0.68"),
        ("H", Size(cap_height=2), {"stroke_width_mm": 2.5}, "close the insides"),
        ("H", Size(cap_height=0.2), {}, "too small for any cutter"),
        ("H", Size(cap_height=5), {"variation": (("wght", 1.0),)}, "no axes"),
        ("a\tb", Size(cap_height=5), {}, "control characters"),
    ],
)
def test_refused_with_a_remedy(text, size, more, says):
    with pytest.raises(GeometryError) as told:
        set_text(setting(text, **more), size)
    assert says in str(told.value)


def test_paths_stand_in_order_of_reading():
    paths, width = engraving_paths(setting("I|L"), Size(cap_height=5))
    assert len(paths) == 3
    starts = [p.vertices[0].x for p in paths]
    assert starts == pytest.approx(sorted(starts))
    assert width == pytest.approx(0.6)
    assert all(isinstance(p, Contour) for p in paths)
