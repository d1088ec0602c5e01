"""What contradicts itself in a recipe is refused where it stands, with the nearest right word or figure."""

from __future__ import annotations

import pytest

from generator.base.errors import Mistake, RecipeError
from generator.build.reading import read

PLATE = """\
name: plate
original:
  height: 3
  load_bearing: false
  footprint: {rectangle: {size: [70, 40], radius: 5}}
  bolts:
    - {thread: M5, at: [[-28, 0], [28, 0]]}
cover:
  stock: {thickness: 10 mm}
  outer: {rectangle: {size: [100, 70], radius: 8}}
inlays:
  crest: {stock: {thickness: 1.5 mm}, outline: {disc: {diameter: 20}}, fit: hand}
"""


def mistakes(folder, more: str, units: str = "mm") -> tuple[Mistake, ...]:
    """Return what is wrong with the plate and some more lines."""
    path = folder / "plate.yaml"
    path.write_text(PLATE + f"units: {units}\n" + more, encoding="utf-8")
    try:
        read(str(path))
    except RecipeError as error:
        return error.mistakes
    return ()


GOOD = [
    "changes: {keep: [cover.stock.thickness, cover.outer, inlays, inlays.crest.outline.disc.diameter, holding]}",
    "changes: {keep: ['original.bolts[0].length', original.bolts, cover.seats.depth, tolerances]}",
    "changes: {within: [{key: cover.stock.thickness, one_of: [6, 8, 10], at_most: 9}]}",
    "changes: {within: [{key: cover.outer.rectangle.radius, at_least: 8, at_most: 8}]}",
    "limits: {walls: {thinnest: 1, sound: 1}}",
    "limits: {cutting: {depth_good: 9, depth_most: 9}}",
    "limits: {inserts: {epoxy_thinnest: 0.1, epoxy_best: 0.1, epoxy_widest: 0.1}}",
]


@pytest.mark.parametrize("more", GOOD)
def test_what_goes_together_is_read(tmp_path, more):
    assert mistakes(tmp_path, more) == ()


KEYS = [
    ("cover.stock.thicknes", "did you mean `cover.stock.thickness`?"),
    ("cover.stok.thickness", "did you mean `cover.stock.thickness`?"),
    ("inlays.crets.stock", "did you mean `inlays.crest.stock`?"),
    ("cover.outer.rectangel.size", "did you mean `cover.outer.rectangle.size`?"),
    ("original.bolts[0].lenght", "did you mean `original.bolts[0].length`?"),
    ("cover.stock.thickness.mm", ""),
    ("zzz", ""),
]


@pytest.mark.parametrize(("key", "remedy"), KEYS)
@pytest.mark.parametrize("where", ["keep: ['KEY']", "within: [{key: 'KEY', at_most: 9}]"])
def test_a_key_that_there_is_not_is_refused_with_the_nearest(tmp_path, key, remedy, where):
    (told,) = mistakes(tmp_path, "changes:\n  " + where.replace("KEY", key))
    assert told.found == f"`{key}`"
    assert told.remedy == remedy
    assert told.line == PLATE.count("\n") + 3  # units, changes, and then this line
    assert told.column > 0


def test_a_member_that_there_is_not_is_refused(tmp_path):
    (told,) = mistakes(tmp_path, "changes: {keep: ['original.bolts[3].length']}")
    assert "has 1 member" in told.expected
    (told,) = mistakes(tmp_path, "changes: {keep: ['cover.stock[0]']}")
    assert told.remedy == "write `cover.stock`"


BOUNDS = [
    ("{key: cover.stock.thickness}", "no bounds for `cover.stock.thickness`"),
    ("{key: cover.stock.thickness, at_least: 9, at_most: 8}", "at least 9 mm and at most 8 mm: no length is both"),
    ("{key: cover.stock.thickness, at_least: 9, one_of: [6, 8]}", "no length of `one_of` that is at least 9 mm"),
    ("{key: cover.stock, at_most: 8}", "`cover.stock`, which is no length"),
    ("{key: cover.material, at_most: 8}", "`cover.material`, which is no length"),
]


@pytest.mark.parametrize(("bounds", "found"), BOUNDS)
def test_bounds_that_say_nothing_or_too_much_are_refused(tmp_path, bounds, found):
    (told,) = mistakes(tmp_path, f"changes: {{within: [{bounds}]}}")
    assert told.found == found
    assert told.path.startswith("changes.within[0]")
    assert told.remedy


def test_bounds_of_what_is_kept_and_bounds_given_twice_are_refused(tmp_path):
    (told,) = mistakes(tmp_path, "changes: {keep: [cover.stock], within: [{key: cover.stock.margin, at_most: 8}]}")
    assert "`changes.keep` lets nobody change" in told.found
    twice = "changes: {within: [{key: cover.edge_break, at_most: 8}, {key: cover.edge_break, at_least: 1}]}"
    (told,) = mistakes(tmp_path, twice)
    assert told.path == "changes.within[1].key"


def test_figures_are_told_in_the_unit_of_the_recipe(tmp_path):
    more = "changes: {within: [{key: cover.edge_break, at_least: 0.1, at_most: 0.05}]}"
    (told,) = [m for m in mistakes(tmp_path, more, "inch") if m.path.startswith("changes")]
    assert told.found == "at least 0.1 in and at most 0.05 in: no length is both"


LIMITS = [
    ("walls: {thinnest: 2}", "limits.walls.thinnest", "set it to at most"),
    ("walls: {sound: 0.1}", "limits.walls.sound", "set it to at least"),
    ("walls: {thinnest: 2, sound: 1}", "limits.walls.thinnest", "set it to at most 1 mm"),
    ("cutting: {depth_good: 9, depth_most: 5}", "limits.cutting.depth_good", "set it to at most 5"),
    ("inserts: {gap_tight: 0.9}", "limits.inserts.gap_tight", "set it to at most"),
    ("metals: {marine: 0.9}", "limits.metals.marine", "set it to at most"),
    ("bolts: {nut_factor_lubricated: 0.25}", "limits.bolts.nut_factor_lubricated", "set it to at most 0.2"),
]


@pytest.mark.parametrize(("limits", "path", "remedy"), LIMITS)
def test_limits_the_wrong_way_round_are_refused_where_they_are_given(tmp_path, limits, path, remedy):
    (told,) = mistakes(tmp_path, f"limits: {{{limits}}}")
    assert told.path == path
    assert told.remedy.startswith(remedy)
    assert told.line == PLATE.count("\n") + 2


@pytest.mark.parametrize("adhesive", ["epoxy", "cyanoacrylate", "engineering", "elastic"])
@pytest.mark.parametrize(("low", "high"), [("thinnest", "best"), ("best", "widest")])
def test_gaps_of_an_adhesive_that_stand_the_wrong_way_round_are_refused(tmp_path, adhesive, low, high):
    gaps = {"thinnest": 0.3, "best": 0.3, "widest": 0.3} | {low: 0.31}
    if low == "thinnest":
        gaps["widest"] = 0.4
    else:
        gaps["thinnest"] = 0.1
    inner = ", ".join(f"{adhesive}_{word}: {gap}" for word, gap in gaps.items())
    (told,) = mistakes(tmp_path, f"limits: {{inserts: {{{inner}}}}}")
    assert told.path == f"limits.inserts.{adhesive}_{low}"
    assert f"`limits.inserts.{adhesive}_{high}` of 0.3 mm" in told.found
    assert "set it to at most 0.3 mm" in told.remedy


@pytest.mark.parametrize(
    ("given", "blamed"),
    [("limits.inserts.epoxy_thinnest=0.5", "epoxy_thinnest"), ("limits.inserts.epoxy_best=0.01", "epoxy_best")],
)
def test_a_limit_given_to_a_command_is_the_one_that_is_told(tmp_path, given, blamed):
    path = tmp_path / "plate.yaml"
    path.write_text(PLATE + "units: mm\n", encoding="utf-8")
    with pytest.raises(RecipeError) as refused:
        read(str(path), sets=(given,))
    (mistake,) = refused.value.mistakes
    assert mistake.path == f"limits.inserts.{blamed}"
    assert mistake.file == f"--set {given}"
