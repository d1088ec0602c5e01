"""``coverplate compare`` as a person and a script use it."""

from __future__ import annotations

import json

import pytest

from generator.cli import codes


@pytest.fixture
def wider(small):
    path = small.with_name("wider.yaml")
    path.write_text(small.read_text(encoding="utf-8").replace("[12, 0]", "[12.5, 0]"), encoding="utf-8")
    return path


def test_what_changed_is_told_and_is_no_failure(run, small, wider):
    code, out, err = run("compare", small, wider)
    assert code == codes.FINE
    assert "cover hole-bolt-2: moved, by 0.5 mm, from (12, 0) to (12.5, 0)" in out
    assert "cover bolt-holes: +" in out
    assert "changed: layers/cover_top-face_bolt-holes.dxf" in out
    assert "raise `revision`" in err


def test_nothing_differs(run, small):
    code, out, err = run("compare", small, small)
    assert (code, err) == (codes.FINE, "")
    assert "nothing differs" in out


def test_values_are_laid_over_the_new_one(run, small):
    code, out, _ = run("compare", small, small, "--set", "cover.stock.thickness=9")
    assert code == codes.FINE
    assert "thickness: 8 mm -> 9 mm" in out


def test_answer_for_scripts(run, small, wider):
    code, out, err = run("compare", small, wider, "--json", "--picture", "changes.svg")
    data = json.loads(out)
    assert (code, err) == (codes.FINE, "")
    assert data["status"] == "different"
    assert data["revision_is_stale"] is True
    moved = [h for h in data["holes"] if h["kind"] == "moved"]
    assert [(h["name"], h["moved_mm"], h["new_at"]) for h in moved] == [("hole-bolt-2", 0.5, [12.5, 0.0])]
    assert data["picture"] == "changes.svg"


def test_inches_are_told_in_inches(run, small):
    path = small.with_name("inch.yaml")
    text = small.read_text(encoding="utf-8").replace("units: mm", "units: inch")
    for a, b in (("height: 3", "height: 1/8"), ("[40, 20], radius: 4", "[1.5, 3/4], radius: 1/8"),
                 ("[-12, 0], [12, 0]", "[-1/2, 0], [1/2, 0]"),
                 ("thickness: 8", "thickness: 3/8"), ("margin: 4", "margin: 1/8")):  # fmt: skip
        text = text.replace(a, b)
    path.write_text(text, encoding="utf-8")
    code, out, _ = run("compare", path, path, "--set", "cover.stock.thickness=1/2")
    assert code == codes.FINE
    assert "thickness: 0.375 in -> 0.5 in" in out


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("nix.yaml",), "nix.yaml: found no file `nix.yaml`"),
        (("plain-rev-A-handoff.zip",), "name one of them; a zip for a shop was made from such a folder"),
        ((".",), "found a folder without the manifest of a pack"),
        (("small.yaml", "--picture", "a.jpg"), "end the name with .svg or .png"),
        (("small.yaml", "--set", "cover.outter=1"), "did you mean `outer`?"),
    ],
)
def test_wrong_input_is_located(run, small, args, said):
    code, out, err = run("compare", small, *args)
    assert (code, out) == (codes.WRONG, "")
    assert said in err
    assert "Traceback" not in err


def test_a_picture_that_cannot_be_written(run, small, wider, tmp_path):
    (tmp_path / "taken.svg").mkdir()
    code, _, err = run("compare", small, wider, "--picture", "taken.svg")
    assert code == codes.INTERNAL
    assert "taken.svg cannot be written" in err
    assert [p.name for p in tmp_path.iterdir() if p.name.endswith(".part")] == []


def test_a_picture_in_a_folder_that_there_is_not(run, small, wider, tmp_path):
    code, _, err = run("compare", small, wider, "--picture", "no/such/picture.svg")
    assert code == codes.INTERNAL
    assert "make the folder no/such first" in err.replace("\\", "/")
    assert not (tmp_path / "no").exists()
