"""Letters in a recipe: read with their lines, judged by the schema, told where they stand."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from jsonschema import Draft202012Validator

from generator.artwork.text_faces import FACE_WORDS
from generator.base.errors import RecipeError
from generator.build.judge import check
from generator.outline.measure import bounds
from generator.recipe.schema import recipe_schema
from generator.shapes import KINDS
from tests.artwork.text_fonts import OUTER, box_font, variable_font
from tests.shapes.recipe_form import drawn

ROOT = Path(__file__).parents[2]
BASE = yaml.safe_load((ROOT / "recipes" / "gate-latch.yaml").read_text(encoding="utf-8"))
SCHEMA = Draft202012Validator(recipe_schema(KINDS))
INLAY = {"rectangle": {"size": [30, 12], "radius": 2}}


def recipe(text: dict, **more) -> dict:
    name = next(iter(BASE["inlays"]))
    inlay = {**BASE["inlays"][name], "artwork": {"word": {"outline": {"text": text}}}}
    return {**BASE, "inlays": {name: inlay}, **more}


@pytest.fixture
def checked(tmp_path):
    def run(text: dict, **more):
        file = tmp_path / "r.yaml"
        file.write_text(yaml.safe_dump(recipe(text, **more), sort_keys=False, allow_unicode=True), encoding="utf-8")
        return check(file)

    return run


def told(checked, text: dict, **more):
    with pytest.raises(RecipeError) as error:
        checked(text, **more)
    return error.value.mistakes


# ------------------------------------------------------------------ what stands in a recipe
@pytest.mark.parametrize(
    "text",
    [
        {"say": "Anna", "fit": {"margin": 2}},
        {"say": "{plot}", "cap_height": "1/4 in", "face": "mono bold"},
        {"lines": ["a", "b"], "width": 12, "align": "left", "origin": "baseline"},
        {"say": "ab", "em": 5, "features": {"kern": False}, "letter_spacing": 0.1, "line_spacing": 2},
        {"say": "ab", "cap_height": 5, "along": {"radius": 20, "direction": 30, "heads": "inwards"}},
        {
            "say": "ab",
            "fit": {"margin": 1, "outline": INLAY, "centred": True},
            "face": "engraving",
            "stroke_width": 0.4,
        },
    ],
    ids=str,
)
def test_keys_are_read_and_fit_the_schema(checked, text):
    assert list(SCHEMA.iter_errors(recipe(text))) == []
    assert checked(text).plan


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ({"say": "a"}, "neither `cap_height`, `em`, `width` nor `fit`"),
        ({"cap_height": 5}, "neither `say` nor `lines`"),
        ({"say": "a", "cap_height": 5, "em": 7}, "both `cap_height` and `em`"),
        ({"say": "a", "cap_height": 5, "face": "sans blod"}, "sans bold"),
        ({"say": "a", "cap_hight": 5}, "cap_height"),
        ({"say": "a", "cap_height": -2}, "above 0"),
    ],
    ids=str,
)
def test_wrong_keys_are_told(checked, text, says):
    assert list(SCHEMA.iter_errors(recipe(text)))
    assert any(says in m.sentence() for m in told(checked, text))


def test_letters_that_a_face_lacks_are_told_with_their_line(checked):
    (mistake,) = told(checked, {"say": "Gate 漢", "cap_height": 5})
    assert mistake.line > 0
    assert mistake.path.endswith("artwork.word.outline.text")
    assert "lacks 漢 (U+6F22)" in mistake.sentence()


def test_a_font_that_is_not_there_or_none_is_told_with_its_line(checked, tmp_path):
    (mistake,) = told(checked, {"say": "H", "cap_height": 5, "font": "none.ttf"})
    assert mistake.line > 0
    assert "none.ttf" in mistake.sentence()
    (tmp_path / "broken.ttf").write_bytes(box_font([OUTER])[:300])
    (mistake,) = told(checked, {"say": "H", "cap_height": 5, "font": "broken.ttf"})
    assert mistake.line > 0
    assert "cut short" in mistake.sentence()


@pytest.mark.parametrize("text", [{"say": ""}, {"say": "  "}, {"lines": [""]}], ids=str)
def test_an_empty_text_is_called_empty(checked, text):
    (mistake,) = told(checked, {"cap_height": 5, **text})
    assert "the text is empty: write something in `say`" in mistake.sentence()


def test_a_text_far_longer_than_what_it_is_drawn_for_is_refused_before_it_is_judged(checked):
    (mistake,) = told(checked, {"say": "W" * 250, "cap_height": 5})
    assert "the text is 1" in mistake.sentence()
    assert "only 40.2 mm from corner to corner: write at most about 5 characters a line" in mistake.sentence()
    assert mistake.path.endswith("artwork.word.outline.text")
    assert checked({"say": "WWWWW", "cap_height": 5}).plan


def test_a_text_somewhat_too_long_is_left_to_the_checks(checked):
    assert any(f.check == "artwork-in-insert" for f in checked({"say": "WWWWWWWW", "cap_height": 5}).findings)


def notes(checked, text: dict) -> list[str]:
    return [f.message for f in checked(text).findings if f.code == "as-read"]


def test_features_that_the_face_does_not_have_are_told(checked):
    sans = {"say": "office", "cap_height": 5, "face": "sans"}
    (note,) = notes(checked, {**sans, "features": {"zzzz": True, "liga": False, "ss99": False}})
    assert "the face `sans` has no feature `zzzz` and `ss99`, which changes nothing; it has: `aalt`, `case`" in note
    assert notes(checked, {**sans, "features": {"kern": False, "dlig": True}}) == []
    assert notes(checked, {**sans, "face": "mono oblique", "features": {"kern": False, "liga": False}}) == []
    (note,) = notes(checked, {**sans, "face": "mono oblique", "features": {"kern": True}})
    assert "it has: `case`, `dlig`, `locl`, `mark`" in note


def test_what_is_doubtful_about_a_font_file_is_told_in_one_note(checked, tmp_path):
    data = bytearray(box_font([OUTER]))
    data[data.index(b"name") + 4] ^= 1  # the checksum of a table that no letter comes from
    (tmp_path / "b.ttf").write_bytes(data)
    (note,) = notes(checked, {"say": "H", "cap_height": 5, "font": "b.ttf", "features": {"zzzz": True}})
    assert note.startswith("b.ttf: the tables that letters are drawn from are sound, but")
    assert note.endswith("the font has no feature `zzzz`, which changes nothing; it has: none")


def test_a_variable_font_beside_the_recipe(checked, tmp_path):
    (tmp_path / "v.ttf").write_bytes(variable_font())
    assert checked({"say": "H", "cap_height": 5, "font": "v.ttf", "variation": {"wght": 650}}).plan
    (mistake,) = told(checked, {"say": "H", "cap_height": 5, "font": "v.ttf", "variation": {"wgth": 650}})
    assert "no axis `wgth`; there are: wght (100 to 900)" in mistake.sentence()


def test_parameters_are_filled_in(checked):
    narrow = checked({"say": "{plot}", "fit": {"margin": 2}}, parameters={**BASE["parameters"], "plot": "1"})
    wide = checked({"say": "{plot}", "fit": {"margin": 2}}, parameters={**BASE["parameters"], "plot": "1234"})
    assert narrow.plan != wide.plan


def test_other_mistakes_do_not_spoil_what_is_fitted_into_an_inlay(checked):
    """While a recipe has mistakes outlines are drawn alone, without the inlay that they belong to."""
    mistakes = told(checked, {"say": "Anna", "fit": {"margin": 2}}, dowels={"diameter": "six"})
    assert [m.path for m in mistakes] == ["dowels.diameter"]


# ------------------------------------------------------------------ as an outline
@pytest.mark.parametrize("face", FACE_WORDS)
def test_every_face(face):
    region = drawn({"text": {"say": "Ag 3", "cap_height": 10, "face": face}})
    assert 10 < bounds(region).height_mm < 15


def test_modifiers_apply_as_to_any_outline():
    plain = drawn({"text": {"say": "Hi", "cap_height": 10}})
    moved = drawn({"text": {"say": "Hi", "cap_height": 10}, "turn": 90, "at": [3, 4], "grow": 0.5})
    box, turned = bounds(plain), bounds(moved)
    assert (turned.width_mm, turned.height_mm) == pytest.approx((box.height_mm + 1, box.width_mm + 1), abs=1e-6)
    assert turned.centre == pytest.approx((3, 4), abs=1e-6)


def test_letters_cut_out_of_something():
    plate = drawn({"rectangle": {"size": [60, 20]}, "cut": [{"text": {"say": "Oak 8", "cap_height": 10}}]})
    assert len(plate) == 1 + 4 + 4  # the plate, the outsides of four letters, what O, a and twice 8 enclose
