"""Files of caliper readings: those of the corpus are read as they are, wrong ones are told where and how to mend."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.base.errors import RecipeError
from generator.trace.readings_file import read_caliper

CORPUS = Path(__file__).parents[1] / "data" / "scans"
HEAD = "units: mm\nreadings:\n"


def read(text: str):
    return read_caliper("c.yaml", opener=lambda _: text.encode())


def mistakes(text: str) -> list[tuple[int, str]]:
    with pytest.raises(RecipeError) as refused:
        read(text)
    return [(m.line, m.sentence()) for m in refused.value.mistakes]


@pytest.mark.parametrize("folder", sorted(p.name for p in CORPUS.iterdir() if p.is_dir()))
def test_files_of_the_corpus_are_read_as_they_stand(folder):
    caliper = read_caliper(str(CORPUS / folder / "caliper.yaml"))
    assert caliper.sigma == 0.015
    assert caliper.resolution == 0.01
    assert [r.name for r in caliper.readings] == [f"m{i + 1}" for i in range(len(caliper.readings))]
    assert all(r.direction_deg is not None for r in caliper.readings if r.kind == "outside_width")


def test_inches_of_the_file_and_of_one_value():
    caliper = read(
        "units: inch\nsigma: 0.0005\nreadings:\n"
        "- {id: a, kind: diameter, value: 0.25, holes: [[3, 4]]}\n- {id: b, kind: thickness, value: 3 mm}\n"
    )
    assert [r.value for r in caliper.readings] == pytest.approx([6.35, 3.0])
    assert caliper.readings[0].holes == ((3.0, 4.0),), "pixels have no unit"
    assert caliper.sigma == pytest.approx(0.0127)
    assert caliper.resolution == pytest.approx(0.01), "the default is a hundredth of a millimetre in any unit"


def test_a_sheet_that_is_not_filled_in_yet_is_passed_over():
    caliper = read(HEAD + "- {id: a, kind: diameter, value: , holes: [[3, 4]]}\n- {id: b, kind: thickness, value: 3}\n")
    assert [r.name for r in caliper.readings] == ["b"]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("{id: a, kind: diam, value: 3, holes: [[1, 2]]}", "did you mean `diameter`?"),
        ("{id: a, kind: diameter, value: 3}", "add `holes: [[342, 320]]`"),
        ("{id: a, kind: diameter, value: -3, holes: [[1, 2]]}", "found `-3`; expected a length above 0 mm"),
        ("{id: a, kind: diameter, value: .nan, holes: [[1, 2]]}", "found `.nan`"),
        ("{id: a, kind: diameter, value: .inf, holes: [[1, 2]]}", "found `.inf`"),
        ("{id: a, kind: diameter, value: 3, holes: [[1, 2, 3]]}", "at most 2 members"),
        ("{id: a, kind: centre_distance, value: 3, holes: [[1, 2]]}", "a pixel in each of the two features"),
        ("{id: a, kind: centre_distance, value: 3, numbers: [4, 4]}", "4 twice"),
        ("{id: a, kind: outside_width, value: 3, numbers: [4, 4]}", "4 twice"),
        ("{id: a, kind: outside_width, value: 3, touch: [[1, 2], [4, 9]]}", "add `direction_px_deg: 67`"),
        ("{id: a, kind: thickness, value: 3, holes: [[1, 2]]}", "it is that of the plate"),
        ("{id: a, kind: diameter, value: 3, holes: [[1, 2]], numbers: [1]}", "only one of"),
        ("{id: a, kind: diameter, valu: 3, holes: [[1, 2]]}", "did you mean `value`?"),
    ],
)
def test_what_is_wrong_is_told_on_its_line(line, said):
    found = mistakes(HEAD + "- " + line + "\n")
    assert any(said in sentence for _, sentence in found), found
    assert all(number == 3 for number, _ in found)


def test_two_readings_of_one_name():
    found = mistakes(HEAD + "- {id: a, kind: thickness, value: 3}\n- {id: a, kind: thickness, value: 3.02}\n")
    assert [(n, "`a`, which line 3 has, too" in s) for n, s in found] == [(4, True)]


@pytest.mark.parametrize("text", ["", "hello", "- 1", "a: [", "units: furlong\nreadings: []", "units: mm\n"])
def test_what_is_no_sheet_of_readings(text):
    assert mistakes(text)


def test_no_file(tmp_path):
    with pytest.raises(RecipeError, match="no file"):
        read_caliper(str(tmp_path / "caliper.yaml"))


def test_thicknesses_that_contradict_each_other():
    found = mistakes(HEAD + "- {id: a, kind: thickness, value: 3}\n- {id: b, kind: thickness, value: 6}\n")
    assert [(n, "line 3 has 3 mm" in s and "measure again" in s) for n, s in found] == [(4, True)]
    alike = read(HEAD + "- {id: a, kind: thickness, value: 3}\n- {id: b, kind: thickness, value: 3.02}\n")
    assert alike.thickness() == pytest.approx(3.01)


@pytest.mark.parametrize("text", ["", "# nothing\n", "hello\n", "- 1\n"])
def test_a_file_without_readings_is_told_as_one_of_readings(text):
    ((_, said),) = mistakes(text)
    assert "caliper readings" in said
    assert "coverplate readings" in said
    assert "recipe" not in said
