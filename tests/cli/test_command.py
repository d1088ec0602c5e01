"""The command as a person and a script use it: exit codes, JSON, and no traceback."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time

import ezdxf
import pytest

from generator.base.errors import GeometryError
from generator.base.finding import Finding, Severity
from generator.cli import codes
from generator.cli.tell import finding_text
from tests.cli.conftest import ROOT, SMALL


def test_help_shows_examples_and_exit_codes(run):
    code, out, _ = run("--help")
    assert code == codes.FINE
    assert "coverplate build" in out
    assert "exit codes" in out
    for command in ("new", "check", "show", "build", "schema"):
        code, out, _ = run(command, "--help")
        assert code == codes.FINE
        assert "examples:" in out


def test_check_is_fine(run, small):
    code, out, err = run("check", small)
    assert (code, err) == (codes.FINE, "")
    assert "small" in out


def test_check_json(run, small):
    code, out, _ = run("check", small, "--json")
    answer = json.loads(out)["recipes"][0]
    assert code == codes.FINE
    assert answer["status"] == "fine"
    assert answer["name"] == "small"
    assert answer["crashed_checks"] == []


def test_quiet_says_nothing_when_all_is_well(run, small):
    assert run("check", small, "--quiet") == (codes.FINE, "", "")


def test_wrong_recipe_lists_every_mistake_with_its_place(run, small):
    small.write_text(SMALL.replace("height: 3", "hieght: 3").replace("thickness: 8", "thickness: -8"))
    code, _, err = run("check", small)
    assert code == codes.WRONG
    assert f"{small}:4:3: " in err
    assert "height" in err
    assert f"{small}:10:" in err
    assert "Traceback" not in err


def test_wrong_recipe_as_json(run, small):
    small.write_text(SMALL.replace("height: 3", "hieght: 3"))
    code, out, _ = run("check", small, "--json")
    assert code == codes.WRONG
    mistakes = json.loads(out)["recipes"][0]["mistakes"]
    assert {m["line"] for m in mistakes} >= {4}


def test_outline_that_cannot_be_drawn_has_its_place(run, small):
    bow_tie = "footprint: {polygon: {points: [[-20, -10], [20, 10], [20, -10], [-20, 14]]}}"
    small.write_text(SMALL.replace("footprint: {rectangle: {size: [40, 20], radius: 4}}", bow_tie))
    code, _, err = run("check", small)
    assert code == codes.WRONG
    assert f"{small}:6:" in err
    assert "cross" in err


def test_forbidden_recipe_builds_nothing(run, small, tmp_path):
    code, _, err = run("build", small, "--set", "cover.stock.thickness=3")
    assert code == codes.FORBIDDEN
    assert "forbids" in err
    assert "remedy" in err
    assert not (tmp_path / "out" / "small").exists()


def test_show_is_a_recipe_that_means_the_same(run, small, tmp_path):
    code, out, _ = run("show", small)
    assert code == codes.FINE
    (tmp_path / "again.yaml").write_text(out, encoding="utf-8")
    _, again, _ = run("show", "again.yaml", "--json")
    _, first, _ = run("show", small, "--json")
    assert json.loads(again) == json.loads(first)


@pytest.mark.parametrize("units", ["mm", "inch"])
def test_new_recipe_is_fine_as_it_is(run, units):
    assert run("new", "my-tap.yaml", "--units", units)[0] == codes.FINE
    code, out, err = run("check", "my-tap.yaml")
    assert code == codes.FINE, err
    assert "my-tap" in out


def test_new_never_overwrites(run, small):
    before = small.read_bytes()
    code, _, err = run("new", small)
    assert code == codes.INTERNAL
    assert "already there" in err
    assert small.read_bytes() == before


def test_missing_recipe_and_empty_pattern(run):
    code, _, err = run("check", "nowhere.yaml")
    assert code == codes.WRONG
    assert "nowhere.yaml" in err
    code, _, err = run("check", "no*.yaml")
    assert code == codes.WRONG
    assert "no*.yaml" in err


def test_unknown_output_is_refused_with_the_right_ones(run, small):
    code, _, err = run("build", small, "--outputs", "stepp")
    assert code == codes.WRONG
    assert "layers-dxf" in err


@pytest.mark.parametrize("folder", ["", "  "])
def test_no_folder_is_refused_and_nothing_is_written(run, small, tmp_path, folder):
    before = sorted(tmp_path.rglob("*"))
    code, _, err = run("build", small, "--out", folder)
    assert code == codes.WRONG
    assert "found nothing; expected the folder of the packs; name one, write `.`" in err
    assert sorted(tmp_path.rglob("*")) == before


def test_internal_failure_gives_a_sentence_and_debug_gives_the_traceback(run, small, monkeypatch):
    def broken(*_args, **_more):
        raise ZeroDivisionError("planted")

    monkeypatch.setattr("generator.cli.check.check", broken)
    code, _, err = run("check", small)
    assert code == codes.INTERNAL
    assert "planted" in err
    assert "Traceback" not in err
    with pytest.raises(ZeroDivisionError):
        run("check", small, "--debug")


def test_build_makes_a_pack_and_answers_at_once_the_second_time(run, small, tmp_path):
    code, out, err = run("build", small)
    assert (code, err) == (codes.FINE, "")
    folder = tmp_path / "out" / "small"
    first = {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}
    assert {"assembly.step", "cover.step", "report.md", "report.json", "manifest.json", "plan.svg"} <= set(first)
    assert "proven" in out
    code, out, _ = run("build", small)
    assert code == codes.FINE
    assert "unchanged" in out
    (folder / "plan.svg").write_text("spoiled")
    code, out, _ = run("build", small, "--json")
    answer = json.loads(out)["recipes"][0]
    assert not answer["unchanged"]
    assert all(p["deviation"] <= p["limit"] for p in answer["proofs"])
    again = {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}
    assert again == first


def test_two_recipes_of_one_name_are_not_laid_over_each_other(run, small, tmp_path):
    other = tmp_path / "other.yaml"
    other.write_text(SMALL.replace("thickness: 8", "thickness: 9"))
    code, _, err = run("build", small, other, "--outputs", "layers-dxf")
    assert code == codes.WRONG
    assert "name" in err


def test_a_bad_recipe_does_not_stop_the_others(run, small, tmp_path):
    (tmp_path / "bad.yaml").write_text("name: bad\n")
    code, out, _ = run("build", "bad.yaml", small, "--outputs", "layers-dxf")
    assert code == codes.WRONG
    assert (tmp_path / "out" / "small").is_dir()
    assert "built" in out


def test_interrupted_build_leaves_one_pack_or_the_other_and_no_debris(small, tmp_path):
    """A signal at any moment: the pack is wholly the old one or wholly the new one."""
    args = [sys.executable, "-m", "generator.cli", "build", str(small), "--out", str(tmp_path / "out"), "--debug"]
    other = [*args, "--set", "cover.stock.thickness=9"]
    folder = tmp_path / "out" / "small"

    def pack():
        return {p: p.read_bytes() for p in folder.rglob("*") if p.is_file()}

    assert subprocess.run(other, cwd=ROOT, capture_output=True).returncode == 0
    new = pack()
    assert subprocess.run(args, cwd=ROOT, capture_output=True).returncode == 0
    old = pack()
    for delay in (0.3, 0.8, 1.6, 2.4):
        child = subprocess.Popen(other, cwd=ROOT, stderr=subprocess.PIPE)
        time.sleep(delay)
        child.send_signal(signal.SIGTERM)
        _, err = child.communicate()
        # the interpreter itself ends by SIGINT if the interrupt fell into code that a library was running at load
        assert child.returncode in (codes.FINE, codes.INTERRUPTED, -signal.SIGTERM, -signal.SIGINT), err
        assert os.listdir(tmp_path / "out") == ["small"]
        assert pack() in (old, new)
        if child.returncode == codes.FINE:
            assert pack() == new
            break


def test_check_loads_no_solid_kernel(small):
    code = (
        "import sys; from generator.cli import main; "
        f"assert main(['check', {str(small)!r}, '--quiet']) == 0; "
        "print({'OCP', 'cadquery', 'vtk', 'ezdxf', 'PIL'} & set(sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True)
    assert done.stdout.strip() == "set()", done.stderr


def test_drawing_without_a_unit_is_taken_as_mm_and_said_so(run, small, tmp_path):
    document = ezdxf.new()
    document.header["$INSUNITS"] = 0
    document.modelspace().add_lwpolyline([(-20, -10), (20, -10), (20, 10), (-20, 10)], close=True)
    document.modelspace().add_text("plate")
    document.saveas(tmp_path / "plate.dxf")
    small.write_text(SMALL.replace("{rectangle: {size: [40, 20], radius: 4}}", "{outline_file: {file: plate.dxf}}"))
    code, out, _ = run("check", small)
    assert code == codes.FINE
    assert f"{small}:6:" in out
    assert "names no unit" in out
    assert "1 TEXT left out" in out


def test_every_command_takes_json_and_quiet(run, small):
    assert json.loads(run("new", "a.yaml", "--json")[1]) == {"wrote": "a.yaml"}
    assert run("new", "b.yaml", "--quiet") == (codes.FINE, "", "")
    assert json.loads(run("schema", "--write", "s.json", "--json")[1]) == {"wrote": "s.json"}
    assert run("schema", "--write", "s.json", "--quiet") == (codes.FINE, "", "")
    assert json.loads(run("show", small, "--json")[1])["name"] == "small"


def test_show_tells_what_the_plan_derives(run, small):
    _, out, _ = run("show", small)
    assert "# Derived" in out
    assert "hole-bolt-1: top face, diameter 5.5 mm, through" in out
    assert "ISO 273" in out


def test_every_outline_that_cannot_be_drawn_is_told_in_one_run(run, small):
    text = SMALL.replace("{rectangle: {size: [40, 20], radius: 4}}", "{rectangle: {size: [40, 20], radius: 11}}")
    small.write_text(text + "inlays:\n  name: {stock: {thickness: 1}, outline: {slot: {length: 5, width: 6}}}\n")
    code, _, err = run("check", small)
    assert code == codes.WRONG
    assert f"{small}:6:" in err
    assert f"{small}:13:" in err
    assert err.count("^") == 2


def test_findings_carry_the_line_that_they_come_from(run, small):
    code, _, err = run("check", small, "--set", "original.height=9")
    assert code == codes.FORBIDDEN
    assert "forbids" in err
    small.write_text(SMALL.replace("height: 3", "height: 9"))
    code, out, err = run("check", small, "--json")
    places = {f["where"] for f in json.loads(out)["recipes"][0]["findings"] if f["severity"] == "forbids"}
    assert places
    assert all(place.startswith(f"{small}:") for place in places)


def test_parameter_that_the_recipe_does_not_have_is_refused(run, small):
    code, _, err = run("check", small, "--set", "parameters.plto=21")
    assert code == codes.WRONG
    assert "plto" in err


def test_repetitions_of_all_outlines_count_together(run, small):
    row = "{repeated: {count: 1000, step: [0.02, 0], outline: {disc: {radius: 1}}}}"
    text = SMALL.replace("{rectangle: {size: [40, 20], radius: 4}}", f"{{union: {{outlines: [{row}, {row}]}}}}")
    small.write_text(text + f"inlays:\n  name: {{stock: {{thickness: 1}}, outline: {row}}}\n")
    code, _, err = run("check", small)
    assert code == codes.WRONG
    assert "with the other repetitions of the recipe 6000" in err


def test_repetition_without_end_is_refused(run, small):
    endless = "{disc: {radius: 1}}"
    for step in ("[0, 1]", "[1, 0]", "[1, 1]"):
        endless = f"{{repeated: {{count: 1000, step: {step}, outline: {endless}}}}}"
    small.write_text(SMALL.replace("{rectangle: {size: [40, 20], radius: 4}}", endless))
    code, _, err = run("check", small)
    assert code == codes.WRONG
    assert "repeat less" in err


TOOTH = "{polygon: {points: [[-45, -30], [45, -30], [45, 30], [40, 30], [40, 26], [36, 26], [36, 30], [-45, 30]]}}"


def test_tooth_that_closes_up_under_the_edge_break_is_forbidden_with_the_break_that_fits(run, small):
    small.write_text(SMALL.replace("{even_margin: {margin: 4}}", TOOTH))
    code, _, err = run("check", small, "--set", "cover.edge_break=2.6")
    assert code == codes.FORBIDDEN
    assert "at most 2.4" in err
    assert run("check", small, "--set", "cover.edge_break=2.4")[0] == codes.FINE


def test_solid_that_cannot_be_made_is_a_located_mistake(run, small, monkeypatch):
    def refuse(*_):
        raise GeometryError("cover: a tapered wall closes up", point_mm=(3.0, 4.0))

    monkeypatch.setattr("generator.build.make_pack._write_and_prove", refuse)
    code, _, err = run("build", small)
    assert code == codes.WRONG
    assert f"{small}:" in err
    assert "near (3.00, 4.00)" in err
    assert "edge_break smaller" in err


def test_a_wrong_key_does_not_hide_an_outline_that_cannot_be_drawn(run, tmp_path):
    (tmp_path / "r.yaml").write_text(
        "name: r\n"
        "original: {height: 3, load_bearing: false, footprint: {rectangle: {size: [60, 30]}},\n"
        "  openings: {slit: {outline: {slot: {length: 3, width: 5}}}}}\n"
        "cover: {stock: {thickness: -8}, outer: {even_margin: {margin: 6}}}\n"
        "inlays: {one: {stock: {thickness: 1}, outline: {polygon: {points: [[0, 0], [9, 9], [9, 0], [0, 9]]}}},\n"
        "  two: {stock: {thickness: 1}, outline: {disc: {radius: 4},\n"
        "    cut: [{polygon: {points: [[0, 0], [9, 9], [9, 0], [0, 9]]}}]}}}\n",
        encoding="utf-8",
    )
    code, _, said = run("check", "r.yaml")
    assert code == codes.WRONG
    places = ["3:37: original.openings.slit", "4:28: cover.stock.thickness", "5:58: inlays.one", "7:21: inlays.two"]
    assert [said.count(f"r.yaml:{place}") for place in places] == [1, 1, 1, 1], said
    assert said.count(": found ") == 4


def test_a_check_is_explained_and_a_misspelt_one_gets_the_nearest(run):
    code, out, _ = run("check", "--explain", "thin-floor")
    assert code == codes.FINE
    assert "floor under the inlays" in out
    assert "broken-through" in out
    code, out, err = run("check", "--explain", "thin-flor")
    assert (code, out) == (codes.WRONG, "")
    assert "did you mean `thin-floor`?" in err
    assert run("check")[0] == codes.WRONG


def test_no_zero_is_negative():
    finding = Finding("id", "code", Severity.WARNS, "so it is", point_mm=(-0.001, -12.3), figure=-0.0, limit=-1e-17)
    text = finding_text(finding, "here")
    assert "at (0.00, -12.30) mm" in text
    assert "-0 " not in text
