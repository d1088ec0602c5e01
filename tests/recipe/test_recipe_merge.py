"""``based_on`` and ``--set``: what merges, what replaces, what is refused, and that places survive."""

from __future__ import annotations

from pathlib import Path

import pytest
from recipe_samples import KINDS, LARGE, SMALL, mistakes_of, read_text

from generator.base.errors import RecipeError
from generator.recipe.keys import keys_of
from generator.recipe.mistakes import listed
from generator.recipe.model import Recipe, Stock
from generator.recipe.read import Reading, read_recipe


def lay(folder: Path, over: str, base: str = LARGE, *sets: str) -> Reading:
    (folder / "base.yaml").write_text(base, encoding="utf-8")
    (folder / "over.yaml").write_text(f"based_on: base.yaml\n{over}", encoding="utf-8")
    return read_recipe(folder / "over.yaml", kinds=KINDS, sets=sets)


def told(folder: Path, name: str = "a.yaml") -> str:
    with pytest.raises(RecipeError) as caught:
        read_recipe(folder / name, kinds=KINDS)
    assert len(caught.value.mistakes) == 1
    return caught.value.mistakes[0].sentence().replace(f"{folder}/", "")


def test_five_lines_make_it_personal(tmp_path: Path) -> None:
    reading = lay(tmp_path, 'parameters: {plot: 22}\ncover: {stock: {measured: 7.9}}\nrevision: "B"\n')
    recipe = reading.recipe
    assert (recipe.name, recipe.revision) == ("gate-latch-22", "B")
    assert (recipe.cover.stock.thickness, recipe.cover.stock.measured, recipe.cover.stock.margin) == (8, 7.9, 10)
    assert recipe.parameters["wall"] == 3


def test_places_survive(tmp_path: Path) -> None:
    reading = lay(tmp_path, "parameters: {plot: 22}\n")
    over, base = reading.origins["parameters.plot"], reading.origins["parameters.wall"]
    assert (Path(over.file).name, over.line, over.column, over.value) == ("over.yaml", 2, 20, "22")
    assert (Path(base.file).name, base.line, base.value) == ("base.yaml", 9, "3")
    assert [Path(f.name).name for f in reading.files] == ["over.yaml", "base.yaml"]


def test_mistakes_name_the_file_they_stand_in(tmp_path: Path) -> None:
    with pytest.raises(RecipeError) as caught:
        lay(tmp_path, "clearance: {around: -1}\n", LARGE.replace("edge_break: 0.6", "edge_break: -1"))
    files = [(Path(m.file).name, m.path) for m in caught.value.mistakes]
    assert files == [("over.yaml", "clearance.around"), ("base.yaml", "cover.edge_break")]


def test_lists_replace(tmp_path: Path) -> None:
    recipe = lay(tmp_path, "original: {bolts: [{thread: M8, at: [[0, 0]]}]}\n").recipe
    assert [b.thread for b in recipe.original.bolts] == ["M8"]


def test_null_takes_away(tmp_path: Path) -> None:
    over = "original: {openings: {cable: null}, bolts: null}\ncover: {stock: {measured: ~}}\ntitle:\n"
    recipe = lay(tmp_path, over).recipe
    assert list(recipe.original.openings) == ["spindle"]
    assert recipe.original.bolts == ()
    assert recipe.cover.stock.measured is None
    assert recipe.title == ""


def test_what_must_be_given_cannot_be_taken_away(tmp_path: Path) -> None:
    with pytest.raises(RecipeError) as caught:
        lay(tmp_path, "original: {height: null}\n")
    assert "original.height: found nothing for `height`; expected a length" in str(caught.value)
    assert caught.value.mistakes[0].line == 2


def test_another_kind_of_outline_drops_the_first_and_keeps_what_is_done_to_it(tmp_path: Path) -> None:
    footprint = lay(tmp_path, "original: {footprint: {disc: {radius: 5}}}\n").recipe.original.footprint
    assert (footprint.kind, footprint.mirror, footprint.round_corners_mm) == ("disc", "both", 2)
    more = lay(tmp_path, "original: {footprint: {disc: {radius: 5}, mirror: null, cut: null}}\n").recipe
    assert (more.original.footprint.mirror, more.original.footprint.cut) == ("", ())


def test_modifiers_alone_are_laid_over(tmp_path: Path) -> None:
    footprint = lay(tmp_path, "original: {footprint: {turn: 90}}\n").recipe.original.footprint
    assert (footprint.kind, footprint.at_mm) == ("hull", (1, 2))


def test_alternatives_inside_a_kind(tmp_path: Path) -> None:
    outline = lay(tmp_path, "original: {openings: {spindle: {outline: {disc: {radius: 4}}}}}\n").recipe
    params = outline.original.openings["spindle"].outline.params
    assert (params.radius, params.diameter) == (4, None)


def corners(folder: Path, base: str, over: str, *sets: str) -> tuple[float, float | None]:
    """How the corners of a footprint end up: with keys in a recipe, and keys in one laid over it."""
    footprint = f"{{corners: {{corners: [{{at: [0, 0]}}, {{at: [9, 0]}}, {{at: [0, 9]}}], {base}}}}}"
    above = f"original: {{footprint: {{corners: {{{over}}}}}}}\n" if over else ""
    reading = lay(folder, above, SMALL.replace("{disc: {radius: 20}}", footprint), *sets)
    params = reading.recipe.original.footprint.params
    return params.rounded, params.cut_off


def test_keys_that_exclude_each_other_drop_one_another(tmp_path: Path) -> None:
    assert corners(tmp_path, "rounded: 2", "") == (2, None)
    assert corners(tmp_path, "rounded: 2", "cut_off: 1") == (0, 1)
    assert corners(tmp_path, "cut_off: 1", "rounded: 2") == (2, None)
    assert corners(tmp_path, "cut_off: 1", "rounded: null") == (0, 1)
    assert corners(tmp_path, "cut_off: null, rounded: 3", "") == (3, None)
    assert corners(tmp_path, "cut_off: 1", "", "original.footprint.corners.rounded=4") == (4, None)


def test_keys_that_exclude_each_other_are_refused_in_one_recipe_at_the_last(tmp_path: Path) -> None:
    with pytest.raises(RecipeError) as caught:
        corners(tmp_path, "cut_off: 1, rounded: 2", "")
    (mistake,) = caught.value.mistakes
    assert "found both `rounded` and `cut_off`; expected only one of `rounded` or `cut_off`" in mistake.sentence()
    assert mistake.snippet[mistake.column - 1 :].startswith("rounded: 2")
    assert corners(tmp_path, "cut_off: 1, rounded: 2", "rounded: 5") == (5, None)


def test_a_word_replaces_a_group_and_a_group_a_word(tmp_path: Path) -> None:
    recipe = lay(tmp_path, "cover: {seats: none, material: POM-C}\ndowels: none\n").recipe
    assert (recipe.cover.seats, recipe.cover.material, recipe.dowels) == ("none", "POM-C", "none")
    assert lay(tmp_path, "dowels: {diameter: 5}\n", SMALL + "dowels: none\n").recipe.dowels.diameter == 5  # type: ignore[union-attr]


def test_members_can_be_added(tmp_path: Path) -> None:
    over = "inlays: {second: {stock: {thickness: 2}, outline: {disc: {radius: 3}}}}\n"
    assert list(lay(tmp_path, over).recipe.inlays) == ["number", "second"]


def test_chains(tmp_path: Path) -> None:
    (tmp_path / "sub").mkdir()
    (tmp_path / "sub" / "c.yaml").write_text("based_on: ../b.yaml\nrevision: C\n")
    (tmp_path / "b.yaml").write_text("based_on: sub/a.yaml\ntitle: B\nrevision: B\n")
    (tmp_path / "sub" / "a.yaml").write_text(SMALL)
    reading = read_recipe(tmp_path / "sub" / "c.yaml", kinds=KINDS)
    assert (reading.recipe.title, reading.recipe.revision, reading.recipe.name) == ("B", "C", "garden-gate")
    assert len(reading.files) == 3


def test_circles_are_named(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text("based_on: b.yaml\n")
    (tmp_path / "b.yaml").write_text("title: x\nbased_on: c.yaml\n")
    (tmp_path / "c.yaml").write_text("based_on: b.yaml\n")
    assert told(tmp_path) == (
        "c.yaml:1:11: based_on: found a circle of recipes: b.yaml → c.yaml → b.yaml; expected an end; "
        "delete one `based_on`"
    )
    (tmp_path / "s.yaml").write_text("based_on: ./s.yaml\n")
    assert "found a circle of recipes: s.yaml → s.yaml" in told(tmp_path, "s.yaml")


def test_long_chains_are_refused(tmp_path: Path) -> None:
    for i in range(12):
        (tmp_path / f"r{i}.yaml").write_text(f"based_on: r{i + 1}.yaml\n")
    assert "found more than 10 recipes based on one another" in told(tmp_path, "r0.yaml")


BASES = {
    "nope.yaml": "found no file `nope.yaml`; expected a readable recipe file",
    "bass.yaml": "found no file `bass.yaml`; expected a readable recipe file; did you mean `base.yaml`?",
    "/etc/passwd": "found `/etc/passwd`; expected a relative path; write the path from this recipe's folder, with `/`",
    "C:\\x.yaml": "found `C:\\x.yaml`; expected a relative path; write the path from this recipe's folder, with `/`",
    "../../x.yaml": "found `../../x.yaml`, outside the recipe's surroundings; expected a recipe in, below or beside "
    "the recipe's folder",
    "link.yaml": "found `link.yaml`, outside the recipe's surroundings; expected a recipe in, below or beside "
    "the recipe's folder",
    "sub": "found the folder `sub`; expected a readable recipe file; name a file in it",
    "[a]": "found a list of 1; expected another recipe's file, such as `gate.yaml`",
    "7": "found `7`; expected another recipe's file, such as `gate.yaml`",
}


@pytest.mark.parametrize(("base", "expected"), BASES.items())
def test_bases_that_cannot_be(tmp_path: Path, base: str, expected: str) -> None:
    folder = tmp_path / "deep" / "er"
    folder.mkdir(parents=True)
    (folder / "sub").mkdir()
    (folder / "base.yaml").write_text(SMALL)
    (folder / "link.yaml").symlink_to("/etc/hostname")
    (folder / "a.yaml").write_text(f"based_on: {base}\n")
    assert told(folder) == f"a.yaml:1:11: based_on: {expected}"


def test_a_missing_recipe_names_its_neighbour(tmp_path: Path) -> None:
    (tmp_path / "gate-latch.yaml").write_text(SMALL)
    assert told(tmp_path, "gate-lacth.yaml") == (
        "gate-lacth.yaml: found no file `gate-lacth.yaml`; expected a readable recipe file; did you mean "
        "`gate-latch.yaml`?"
    )
    assert "found the folder" in told(tmp_path.parent, tmp_path.name)
    with pytest.raises(RecipeError, match="cannot be read"):
        read_recipe("a\0b", kinds=KINDS)
    with pytest.raises(RecipeError, match="cannot be read"):
        read_recipe("/dev/zero", kinds=KINDS)


def test_an_unreadable_recipe_is_told() -> None:
    def locked(path: str) -> bytes:
        raise PermissionError(13, "Permission denied", path)

    with pytest.raises(RecipeError) as caught:
        read_recipe("x.yaml", kinds=KINDS, opener=locked)
    assert str(caught.value) == (
        "x.yaml: found the file `x.yaml`, which may not be read; expected a readable recipe file; "
        "give yourself the right to read it"
    )


def test_set_single_values() -> None:
    sets = (
        "parameters.plot=22",
        "title=Gate: the sequel",
        'revision="7"',
        "original.bolts[0].thread=M8",
        "original.bolts[0].at[1][0]=31 mm",
        "cover.stock.measured=null",
        "cover.outer.even_margin.margin=7",
        "tools.drill.kind=drill",
        "tools.drill.diameter=6.6",
        "original.footprint.at=[3, 4]",
    )
    reading = read_text(LARGE, *sets)
    recipe = reading.recipe
    assert (recipe.name, recipe.title, recipe.revision) == ("gate-latch-22", "Gate: the sequel", "7")
    assert (recipe.original.bolts[0].thread, recipe.original.bolts[0].at[1]) == ("M8", (31, 0))
    assert recipe.cover.stock.measured is None
    assert recipe.tools["drill"].diameter == 6.6
    assert recipe.original.footprint.at_mm == (3, 4)
    origin = reading.origins["parameters.plot"]
    assert (origin.source, origin.file, str(origin)) == ("--set", "--set parameters.plot=22", "--set")


def test_set_drops_what_it_excludes() -> None:
    bolt = read_text(LARGE, "original.bolts[0].hole=7", "cover.outer.disc.radius=60").recipe
    assert (bolt.original.bolts[0].hole, bolt.original.bolts[0].thread) == (7, "")
    assert bolt.cover.outer.kind == "disc"


def test_later_sets_win() -> None:
    assert read_text(SMALL, "title=a", "title=b").recipe.title == "b"


def test_a_group_of_keys_is_laid_over_that_of_the_recipe() -> None:
    disc = read_text(SMALL, "cover.outer={disc: {radius: 40, centre: [1, 2]}}", "cover.stock={measured: 8.1}").recipe
    assert disc.cover.outer.kind == "disc"
    assert (disc.cover.outer.params.radius, disc.cover.outer.params.centre) == (40, (1, 2))
    assert (disc.cover.stock.thickness, disc.cover.stock.measured) == (8, 8.1)
    assert read_text(SMALL, 'cover.outer={"disc": {"diameter": 50}}').recipe.cover.outer.params.diameter == 50
    both = read_text(LARGE, "parameters={plot: 7}").recipe
    assert (both.parameters["plot"], both.parameters["wall"]) == (7, 3)


def test_a_text_may_begin_with_a_parameter() -> None:
    garden = read_text(LARGE).recipe.parameters["garden"]
    assert read_text(LARGE, "title={plot}").recipe.title == "21"
    assert read_text(LARGE, "title={plot} of {garden}").recipe.title == f"21 of {garden}"


SETS = {
    "cover.outer={disc: {radius: 40}": "found text that is not YAML (did not find expected ',' or '}'); expected a "
    "value; mind the quotes and brackets",
    "parameters={plot: 7, plto: 8}": "parameters: found the unknown parameter `plto`; expected a parameter of the "
    "recipe: `plot`, `garden`, `wall`, `quarter`, `reach`, `tilt` or `label`; did you mean `plot`?",
    "parameters.plot": "found `parameters.plot`; expected `path.to.key=value`; for example `--set parameters.plot=21`",
    "=3": "found `=3`; expected `path.to.key=value`; for example `--set parameters.plot=21`",
    "a..b=3": "found `a..b=3`; expected `path.to.key=value`; for example `--set parameters.plot=21`",
    "cover.stock.thicknes=3": "cover.stock.thicknes: found the unknown key `thicknes`; expected a key of "
    f"`cover.stock`: {listed(keys_of(Stock))}; did you mean `thickness`?",
    "covr.edge_break=3": "covr.edge_break: found the unknown key `covr`; expected a key of a recipe: "
    f"{listed(keys_of(Recipe))}; did you mean `cover`?",
    "name.first=x": "name.first: found `first` below `name`; expected nothing below `name`: it is one value",
    "original.bolts[3].thread=M5": "original.bolts[3].thread: found `3`; expected the number of a member of "
    "`original.bolts` (0 to 2); set the whole list: `--set original.bolts=[…]`",
    "cover.edge_break=-1": "cover.edge_break: found `-1`; expected a length of at least 0 mm and at most 20 mm",
    "cover.stock.thickness=wal": "cover.stock.thickness: found the unknown name `wal`; expected a length above 0 mm "
    "and at most 200 mm; did you mean `wall`?",
    "title=[1": "found text that is not YAML (did not find expected ',' or ']'); expected a value; mind the quotes and "
    "brackets",
}


@pytest.mark.parametrize(("text", "expected"), SETS.items())
def test_sets_that_cannot_be(text: str, expected: str) -> None:
    assert mistakes_of(LARGE, text) == [f"--set {text}: {expected}"]


def test_all_wrong_sets_are_told_at_once() -> None:
    assert len(mistakes_of(LARGE, "nope=1", "cover.nope=1", "clearance.around=-3")) == 3
