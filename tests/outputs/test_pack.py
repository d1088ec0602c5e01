"""A pack is written whole or not at all, and nothing that a person has put there is lost."""

from __future__ import annotations

import os
import signal

import pytest
from pack_tools import NAME, pack_as_picture, picture, small_pack

from generator.base.errors import OutputError
from generator.outputs import pack as pack_module
from generator.outputs.manifest import verify_pack
from generator.outputs.pack import demand_place, write_pack

DEEP = "/".join(["d" * 150] * 7)
OLD, NEW = small_pack("old"), small_pack("new")


@pytest.fixture(params=["one step", "three renames"])
def exchange(request, monkeypatch):
    """Run a test with the exchange in one step, and without it."""
    if request.param == "three renames":
        monkeypatch.setattr(pack_module, "exchange_folders", lambda a, b: False)
    return request.param


def test_first_pack_makes_its_folders(tmp_path):
    where = write_pack(tmp_path / "a" / "out", NAME, NEW)
    assert where == tmp_path / "a" / "out" / NAME
    assert picture(where) == pack_as_picture(NEW)
    assert os.listdir(where.parent) == [NAME]
    assert verify_pack(where) == ()


def test_pack_takes_the_place_of_the_previous_one(tmp_path, exchange):
    write_pack(tmp_path, NAME, small_pack("old", more={"gone.step": b"gone"}))
    write_pack(tmp_path, NAME, NEW)
    assert picture(tmp_path / NAME) == pack_as_picture(NEW)
    assert os.listdir(tmp_path) == [NAME]


def test_relative_out(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    write_pack("out", NAME, NEW)
    assert picture(tmp_path / "out" / NAME) == pack_as_picture(NEW)


def test_one_step_is_to_be_had_here(tmp_path):
    a, b = tmp_path / "a", tmp_path / "b"
    a.mkdir(), b.mkdir()
    (a / "x").write_text("a")
    if not pack_module.exchange_folders(a, b):
        pytest.skip("this system cannot exchange two folders in one step")
    assert (b / "x").read_text() == "a"
    assert os.listdir(a) == []


def test_foreign_files_move_along(tmp_path, exchange):
    where = write_pack(tmp_path, NAME, OLD)
    (where / "photo.jpg").write_bytes(b"mine")
    (where / "mill").mkdir()
    (where / "mill" / "top.nc").write_bytes(b"G0")
    (where / "link").symlink_to("photo.jpg")
    (where / "layers" / "mine.dxf").write_bytes(b"mine too")
    write_pack(tmp_path, NAME, NEW)
    kept = {"photo.jpg": b"mine", "mill": "folder", "mill/top.nc": b"G0", "link": "-> photo.jpg"}
    assert picture(where) == {**pack_as_picture(NEW), **kept, "layers/mine.dxf": b"mine too"}
    assert os.listdir(tmp_path) == [NAME]
    assert {f.kind for f in verify_pack(where)} == {"foreign"}


def test_foreign_files_move_along_where_files_have_one_name_only(tmp_path, monkeypatch):
    where = write_pack(tmp_path, NAME, OLD)
    (where / "photo.jpg").write_bytes(b"mine")
    (where / "link").symlink_to("photo.jpg")

    def refuse(*_args, **_options):
        raise OSError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", refuse)
    write_pack(tmp_path, NAME, NEW)
    assert picture(where) == {**pack_as_picture(NEW), "photo.jpg": b"mine", "link": "-> photo.jpg"}


@pytest.mark.parametrize("clash", ["extra.step", "extra"])
def test_foreign_file_in_the_place_of_a_new_one_is_refused(tmp_path, clash):
    where = write_pack(tmp_path, NAME, OLD)
    (where / clash).write_bytes(b"mine")
    before = picture(tmp_path)
    new = small_pack("new", more={"extra.step": b"x", "extra/deep.dxf": b"y"})
    with pytest.raises(OutputError, match=r"extra.* not coverplate's.*move it elsewhere"):
        write_pack(tmp_path, NAME, new)
    assert picture(tmp_path) == before


def test_file_that_arrives_in_the_last_instant_is_kept(tmp_path, monkeypatch, exchange):
    where = write_pack(tmp_path, NAME, OLD)
    real = pack_module._exchange

    def slow(root, name, staged):
        if not (where / "late.txt").exists():
            (where / "late.txt").write_bytes(b"late")
        real(root, name, staged)

    monkeypatch.setattr(pack_module, "_exchange", slow)
    write_pack(tmp_path, NAME, NEW)
    assert picture(where) == {**pack_as_picture(NEW), "late.txt": b"late"}


def test_file_that_arrives_in_the_last_instant_and_clashes_brings_the_previous_pack_back(tmp_path, monkeypatch):
    where = write_pack(tmp_path, NAME, OLD)
    real, calls = pack_module._exchange, []

    def slow(root, name, staged):
        calls.append(name)
        (where / "extra.step").write_bytes(b"late") if len(calls) == 1 else None
        real(root, name, staged)

    monkeypatch.setattr(pack_module, "_exchange", slow)
    with pytest.raises(OutputError, match=r"extra\.step"):
        write_pack(tmp_path, NAME, small_pack("new", more={"extra.step": b"x"}))
    assert picture(where) == {**pack_as_picture(OLD), "extra.step": b"late"}
    assert os.listdir(tmp_path) == [NAME]


def test_edited_file_of_the_pack_is_made_anew(tmp_path):
    where = write_pack(tmp_path, NAME, OLD)
    (where / "report.md").write_bytes(b"scribble")
    write_pack(tmp_path, NAME, OLD)
    assert picture(where) == pack_as_picture(OLD)


def make_file(where):
    where.write_text("precious")


def make_link(where):
    other = where.parent / "elsewhere"
    other.mkdir()
    (other / "x").write_text("precious")
    where.symlink_to(other)


def make_stranger(where):
    where.mkdir()
    (where / "thesis.txt").write_text("precious")


def make_spoilt(where):
    write_pack(where.parent, NAME, OLD)
    (where / "manifest.json").write_bytes(b'{"format": "cov')


def make_copy(where):
    write_pack(where.parent, NAME, OLD)
    where.rename(where.parent / "kept")
    where.mkdir()
    (where / "manifest.json").write_bytes(OLD["manifest.json"].replace(NAME.encode(), b"another"))


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (make_file, "is a file where the pack's folder is wanted"),
        (make_link, "is a link, not a pack"),
        (make_stranger, "is not a pack: it has files but no manifest.json"),
        (make_spoilt, "is not a pack"),
        (make_copy, "holds the pack another"),
    ],
)
def test_what_is_not_ours_is_refused_with_a_remedy(tmp_path, make, said):
    make(tmp_path / NAME)
    before = picture(tmp_path)
    for ask in (lambda: write_pack(tmp_path, NAME, NEW), lambda: demand_place(tmp_path, NAME)):
        with pytest.raises(OutputError, match=said) as error:
            ask()
        assert "move it away, or choose another `name`" in str(error.value)
        assert picture(tmp_path) == before


def test_empty_folder_is_taken(tmp_path):
    (tmp_path / NAME).mkdir()
    demand_place(tmp_path, NAME)
    write_pack(tmp_path, NAME, NEW)
    assert picture(tmp_path / NAME) == pack_as_picture(NEW)


@pytest.mark.parametrize("out", ["file", "file/below", "file/below/more"])
def test_out_is_a_file(tmp_path, out):
    (tmp_path / "file").write_text("precious")
    before = picture(tmp_path)
    with pytest.raises(OutputError, match="a file stands where a folder is wanted; choose another place with --out"):
        write_pack(tmp_path / out, NAME, NEW)
    assert picture(tmp_path) == before


def test_out_is_a_broken_link_or_a_circle(tmp_path):
    (tmp_path / "nowhere").symlink_to(tmp_path / "not-there")
    (tmp_path / "circle").symlink_to(tmp_path / "circle")
    for out in ("nowhere", "circle"):
        before = picture(tmp_path)
        with pytest.raises(OutputError, match="cannot write the pack"):
            write_pack(tmp_path / out, NAME, NEW)
        assert picture(tmp_path) == before


def test_out_too_deep(tmp_path):
    with pytest.raises(OutputError, match="path is too long"):
        write_pack(tmp_path / ("d" * 300), NAME, NEW)
    with pytest.raises(OutputError, match="path is too long"):
        write_pack(tmp_path.joinpath(*["d" * 200] * 30), NAME, NEW)
    assert picture(tmp_path) == {}


@pytest.mark.parametrize(
    "name",
    [
        "",
        ".",
        "..",
        "../x",
        "/etc",
        "a/b",
        "a\\b",
        ".hid",
        "a\nb",
        "a\0b",
        "con",
        "NUL.x",
        "n" * 201,
        "e.",
        "c:",
        "ü" * 101,
    ],
)
def test_names_of_packs_that_lead_elsewhere_are_refused(tmp_path, name):
    for ask in (lambda: write_pack(tmp_path / "out", name, NEW), lambda: demand_place(tmp_path / "out", name)):
        with pytest.raises(OutputError, match="choose another `name`"):
            ask()
    assert picture(tmp_path) == {}


@pytest.mark.parametrize(
    "path",
    [
        "",
        "/etc/passwd",
        "../x",
        "a/../../x",
        "a//b",
        "./a",
        "a/.",
        "a\\b",
        "a\tb",
        "c:/x",
        "a/",
        "x" * 256,
        "lpt1.x",
        DEEP,
    ],
)
def test_names_of_files_that_lead_elsewhere_are_refused(tmp_path, path):
    with pytest.raises(OutputError, match="no file of a pack can be called"):
        write_pack(tmp_path / "out", NAME, {**NEW, path: b"x"})
    assert picture(tmp_path) == {}


@pytest.mark.parametrize("paths", [("a.step", "A.step"), ("straße.dxf", "strasse.dxf")])
def test_names_that_are_one_name_elsewhere_are_refused(tmp_path, paths):
    with pytest.raises(OutputError, match="two files of the pack would be one"):
        write_pack(tmp_path, NAME, {**NEW, **dict.fromkeys(paths, b"x")})
    assert picture(tmp_path) == {}


def test_file_and_folder_of_one_name_are_refused(tmp_path):
    with pytest.raises(OutputError, match="a file and a folder at once"):
        write_pack(tmp_path, NAME, {**NEW, "a": b"x", "A/b": b"y"})
    assert picture(tmp_path) == {}


@pytest.mark.skipif(not hasattr(os, "fork"), reason="a system without fork")
def test_a_child_of_a_process_that_has_written_writes_too(tmp_path):
    write_pack(tmp_path, NAME, OLD)
    child = os.fork()
    if child == 0:
        try:
            signal.alarm(20)  # threads of its parent that it waited for would never answer
            write_pack(tmp_path, NAME, NEW)
        finally:
            os._exit(0)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0
    assert picture(tmp_path / NAME) == pack_as_picture(NEW)
