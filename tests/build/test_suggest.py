"""The nearest recipe in which nothing forbids: found, small, within what may be changed, and written with care."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.base.errors import OutputError, RecipeError
from generator.base.remedy import Edit
from generator.build.judge import check
from generator.build.rewrite_file import edited_text, write_edits
from generator.build.suggest import Suggestion, suggest

PLATE = """\
# a cover over a plain block
name: plate
original:                          # measured
  height: 3
  load_bearing: false
  footprint: {rectangle: {size: [60, 30], radius: 5}}
  bolts:
    - {thread: M5, at: [[-20, 0], [20, 0]]}
cover:
  stock: {thickness: 12}           # from the rack
  outer: {even_margin: {margin: 6}}
  seats: {screw: ISO 4762}
inlays:
  crest:
    stock: {thickness: 1}
    outline: {rectangle: {size: [14, 8], radius: 2}}
"""


@pytest.fixture
def plate(tmp_path: Path):
    def make(*changes: tuple[str, str], more: str = "") -> str:
        text = PLATE
        for old, new in changes:
            assert old in text
            text = text.replace(old, new)
        path = tmp_path / "plate.yaml"
        path.write_text(text + more, encoding="utf-8")
        return str(path)

    return make


def overrides(found: Suggestion) -> list[str]:
    return [f"{e.key}={'null' if e.value is None else e.value}" for e in found.edits]


def test_a_sound_recipe_needs_nothing(plate) -> None:
    found = suggest(plate())
    assert found.edits == ()
    assert found.before == ()
    assert found.after is not None


THIN = ("thickness: 12}", "thickness: 8}")


def test_too_thin_a_plate_gets_as_thick_as_is_needed(plate) -> None:
    path = plate(THIN)
    found = suggest(path)
    assert found.before
    (edit,) = found.edits
    assert edit.key == "cover.stock.thickness"
    assert edit.value == "12 mm"  # pocket 3.2, head 5.4, 1.6 to bear half the preload: the next plate that dealers have
    assert not found.new_warnings
    assert found.was == ("8",)
    assert not check(path, sets=overrides(found)).forbids


def test_what_is_to_be_kept_is_kept(plate) -> None:
    path = plate(THIN, more="changes: {keep: [cover.stock]}\n")
    found = suggest(path)
    assert found.after is not None
    assert found.edits
    assert not any(e.key.startswith("cover.stock") for e in found.edits)
    assert not check(path, sets=overrides(found)).forbids


def test_only_plates_in_the_rack(plate) -> None:
    path = plate(THIN, more="changes: {within: [{key: cover.stock.thickness, one_of: [6, 10.5, 12]}]}\n")
    assert suggest(path).edits == (Edit("cover.stock.thickness", "10.5 mm", 0),)


def test_bounds_that_leave_no_way(plate) -> None:
    path = plate(
        THIN,
        more="changes:\n  keep: [cover.seats, inlays, clearance]\n"
        "  within: [{key: cover.stock.thickness, at_most: 8.5}]\n",
    )
    found = suggest(path)
    assert found.after is None
    assert found.edits == ()
    assert found.before


def test_a_thickness_that_nobody_sells_where_the_rack_ends(plate) -> None:
    path = plate(THIN, more="changes: {within: [{key: cover.stock.thickness, at_most: 9.6}]}\n")
    found = suggest(path)
    assert found.after is not None
    thickness = [e for e in found.edits if e.key == "cover.stock.thickness"]
    assert all(float(e.value.removesuffix(" mm")) <= 9.6 for e in thickness)


def test_a_parameter_is_changed_where_the_key_holds_nothing_else(plate) -> None:
    path = plate(("thickness: 12}", "thickness: t}"), ("name: plate", "name: plate\nparameters: {t: 8}"))
    assert suggest(path).edits == (Edit("parameters.t", "12"),)


def test_a_recipe_in_inches_gets_inches(plate) -> None:
    path = plate(
        ("name: plate", "name: plate\nunits: inch"),
        ("height: 3", "height: 0.12"),
        ("[60, 30], radius: 5", "[2.4, 1.2], radius: 0.2"),
        ("[[-20, 0], [20, 0]]", "[[-0.8, 0], [0.8, 0]]"),
        ("thickness: 12}", "thickness: 5/16}"),
        ("margin: 6", "margin: 0.25"),
        ("thickness: 1}", "thickness: 0.04}"),
        ("[14, 8], radius: 2", "[0.55, 0.3], radius: 0.08"),
    )
    (edit,) = suggest(path).edits
    assert edit.key == "cover.stock.thickness"
    assert float(edit.value.removesuffix(" in")) * 32 == pytest.approx(round(float(edit.value[:-3]) * 32))
    assert f"thickness: {edit.value.removesuffix(' in')}}}" in edited_text(path, [edit])


def test_an_inlay_too_long_for_its_place_is_shortened(plate) -> None:
    path = plate(("size: [14, 8], radius: 2}}", "size: [58, 8], radius: 2}}"))
    found = suggest(path)
    assert found.after is not None
    assert not check(path, sets=overrides(found)).forbids


def test_what_is_only_warned_of_afterwards_is_told(plate) -> None:
    found = suggest(plate(THIN))
    assert found.after is not None
    known = {f"{f.message} [{f.check}]" for f in found.after.findings}
    assert set(found.new_warnings) <= known


def test_an_inlay_in_the_way_of_a_seat_is_moved(plate) -> None:
    path = plate(("radius: 2}}", "radius: 2}, at: [14, 0]}"))
    found = suggest(path)
    assert [e.key for e in found.edits] == ["inlays.crest.outline.at"]
    assert not check(path, sets=overrides(found)).forbids


def test_the_original_is_never_changed(plate) -> None:
    path = plate(("at: [[-20, 0], [20, 0]]", "at: [[-20, 0], [20, 0], [21, 0]]"))
    found = suggest(path)
    assert all(
        not e.key.startswith(("original.footprint", "original.height", "original.bolts[0].at")) for e in found.edits
    )


def test_an_outline_that_cannot_be_drawn_is_mended_by_what_it_says(plate) -> None:
    path = plate(("{even_margin: {margin: 6}}", "{stadium: {length: 40, width: 38, margin: 3}}"))
    with pytest.raises(RecipeError):
        check(path)
    found = suggest(path)
    assert found.after is not None
    assert {e.key for e in found.edits} <= {"cover.outer.stadium.length", "cover.outer.stadium.width"}


def test_mistakes_are_no_matter_of_search(plate) -> None:
    with pytest.raises(RecipeError, match="thickniss"):
        suggest(plate(("thickness: 12", "thickniss: 12")))


def test_same_answer_every_time(plate) -> None:
    path = plate(THIN)
    assert suggest(path).edits == suggest(path).edits


# ------------------------------------------------------------------ written
def test_written_with_comments_and_order_kept(plate) -> None:
    path = plate(THIN)
    write_edits(path, suggest(path).edits)
    text = Path(path).read_text(encoding="utf-8")
    before = PLATE.replace(*THIN).splitlines()
    assert [a for a, b in zip(before, text.splitlines(), strict=True) if a != b] == [
        "  stock: {thickness: 8}           # from the rack"
    ]
    assert "# from the rack" in text
    assert not check(path).forbids


INCHES = (("thickness: 12", "thickness: 0.5"), ("margin: 6", "margin: 0.2"))


def test_inches_are_written_with_their_unit(plate) -> None:
    path = plate(("name: plate", "name: plate\nunits: inch"), *INCHES)
    text = edited_text(path, [Edit("cover.edge_break", "0.2 mm")])
    assert "edge_break: 0.2 mm" in text


def test_a_value_from_the_base_is_laid_over_it(plate, tmp_path: Path) -> None:
    plate(THIN)
    over = tmp_path / "over.yaml"
    over.write_text("based_on: plate.yaml\nname: over\n", encoding="utf-8")
    write_edits(str(over), suggest(str(over)).edits)
    assert over.read_text(encoding="utf-8").startswith("based_on: plate.yaml\nname: over\n")
    assert not check(over).forbids
    assert (tmp_path / "plate.yaml").read_text(encoding="utf-8") == PLATE.replace(*THIN)


def test_what_a_set_says_gives_way_to_what_is_written(plate) -> None:
    path = plate()
    sets = ["cover.stock.thickness=8"]
    write_edits(path, suggest(path, sets=sets).edits, sets=sets)
    assert "thickness: 12}" in Path(path).read_text(encoding="utf-8")


def test_what_cannot_be_written_is_told_and_nothing_changes(plate) -> None:
    path = plate(("thickness: 12}", "thickness: &t 8, margin: *t}"))
    before = Path(path).read_bytes()
    with pytest.raises(OutputError, match=r"by hand: cover\.stock.thickness=9 mm"):
        write_edits(path, [Edit("cover.stock.thickness", "9 mm")])
    assert Path(path).read_bytes() == before
    assert [p.name for p in Path(path).parent.iterdir()] == ["plate.yaml"]


BOLTS = "{thread: M5, at: [[-20, 0], [20, 0]]}"
HEADS_AND_ENDS = (
    (BOLTS, "{thread: M5, at: [[-20, 0], [20, 0]], length: 4}", "length"),
    (BOLTS, "{thread: M6, at: [[-20, 0], [20, 0]], washer: true}", "washer"),
)


@pytest.mark.parametrize(("old", "new", "key"), HEADS_AND_ENDS, ids=[h[2] for h in HEADS_AND_ENDS])
def test_bolts_that_do_not_go_are_changed_but_what_they_meet_is_not(plate, old: str, new: str, key: str) -> None:
    path = plate((old, new))
    found = suggest(path)
    assert found.before
    assert found.edits
    assert all(e.key.startswith(("original.bolts[0].", "cover.")) for e in found.edits)
    assert not any(word in e.key for e in found.edits for word in ("into", "passes", "holds", "property_class"))
    assert not check(path, sets=overrides(found)).forbids


@pytest.mark.parametrize("rule", ["at_most: 5.6", "one_of: [4, 5.6]", "at_least: 4, at_most: 5.6"])
def test_the_only_length_that_is_allowed_is_found(plate, rule):
    """A remedy would leave a sound floor, of 0.8 mm; the most that is allowed leaves 0.4 mm, which nothing forbids."""
    path = plate(
        ("thickness: 12}", "thickness: 5}"),
        ("seats: {screw: ISO 4762}", "seats: none"),
        ("stock: {thickness: 1}", "stock: {thickness: 2}"),
        more=f"changes: {{keep: [inlays, clearance], within: [{{key: cover.stock.thickness, {rule}}}]}}\n",
    )
    assert [f.check for f in check(path).findings if f.severity.name == "FORBIDS"] == ["thin-floor"]
    found = suggest(path)
    assert found.after is not None, found
    assert not found.after.forbids
    (edit,) = found.edits
    assert edit.key == "cover.stock.thickness"
    assert 5.2 < float((edit.value or "").removesuffix(" mm")) <= 5.6
