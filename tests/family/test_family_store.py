"""The store: an entry is believed only if it is whole; faults of disks and processes cost time and nothing else."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.base.errors import OutputError
from generator.family import store as store_module
from generator.family.store import Store, clean, entries, trouble


def made_by(store: Store, kind: str = "k", key: str = "1", data: bytes = b"made") -> tuple[bytes, int]:
    """Return what the store gives, and how often it had to be made."""
    made = []

    def make() -> bytes:
        made.append(1)
        return data

    return store.get(kind, key, make), len(made)


def only(folder: Path) -> Path:
    (entry,) = entries(folder)
    return entry.path


def test_made_once_for_all_processes(tmp_path):
    assert made_by(Store(tmp_path, "p")) == (b"made", 1)
    assert made_by(Store(tmp_path, "p")) == (b"made", 0)


@pytest.mark.parametrize("other", [("q", "k", "1"), ("p", "l", "1"), ("p", "k", "2")])
def test_program_kind_and_key_tell_things_apart(tmp_path, other):
    program, kind, key = other
    made_by(Store(tmp_path, "p"))
    assert made_by(Store(tmp_path, program), kind, key, b"other") == (b"other", 1)


@given(st.binary(max_size=200), st.integers(0, 400), st.sampled_from(["cut", "flip", "empty", "swap"]))
@settings(max_examples=80, deadline=None)
def test_a_damaged_entry_is_made_anew(tmp_path_factory, data, at, how):
    folder = tmp_path_factory.mktemp("store")
    made_by(Store(folder, "p"), data=data)
    path = only(folder)
    whole = path.read_bytes()
    at %= len(whole)
    spoilt = {
        "cut": whole[:at],
        "flip": whole[:at] + bytes([whole[at] ^ 0x10]) + whole[at + 1 :],
        "empty": b"",
        "swap": whole[::-1],
    }[how]
    path.write_bytes(spoilt)
    assert made_by(Store(folder, "p"), data=data) == (data, 0 if spoilt == whole else 1)
    assert only(folder).read_bytes() == whole, "and kept whole again"


def test_an_entry_in_the_place_of_another_is_not_believed(tmp_path):
    """Whole entries that changed places are not what their names say."""
    one, other = ("k", "1", b"one"), ("k", "2", b"other")
    for kind, key, data in (one, other):
        made_by(Store(tmp_path, "p"), kind, key, data)
    first, second = (e.path for e in entries(tmp_path))
    held = first.read_bytes()
    first.write_bytes(second.read_bytes())
    second.write_bytes(held)
    for kind, key, data in (one, other):
        assert made_by(Store(tmp_path, "p"), kind, key, data) == (data, 1)


def test_what_is_no_store_is_told_and_left_alone(tmp_path):
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    assert "not empty and no store" in trouble(tmp_path)
    assert "variants share nothing" in trouble(tmp_path / "mine.txt")
    assert [p.name for p in tmp_path.iterdir()] == ["mine.txt"]
    assert trouble(tmp_path / "new") == trouble(tmp_path / "new") == ""


def test_a_full_disk_keeps_nothing_and_loses_nothing(tmp_path, monkeypatch):
    def full(path: Path, data: bytes) -> int:
        with open(path, "wb") as file:
            file.write(data[:5])
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    assert made_by(Store(tmp_path, "p")) == (b"made", 1)
    assert list(entries(tmp_path)) == []
    monkeypatch.undo()
    assert made_by(Store(tmp_path, "p")) == (b"made", 1)


def test_a_folder_that_cannot_be_written(tmp_path):
    (tmp_path / "s").write_text("a file where the store should be")
    assert made_by(Store(tmp_path / "s", "p")) == (b"made", 1)


def test_an_error_in_making_is_passed_on_and_nothing_kept(tmp_path):
    def fails() -> bytes:
        raise ValueError("no")

    with pytest.raises(ValueError, match="no"):
        Store(tmp_path, "p").get("k", "1", fails)
    assert list(entries(tmp_path)) == []


def test_what_is_at_hand_is_bounded(tmp_path, monkeypatch):
    monkeypatch.setattr(store_module, "HELD_MB", 0.001)
    store = Store(tmp_path, "p")
    for i in range(20):
        made_by(store, key=str(i), data=bytes(400))
    assert store._held_bytes <= 1000
    assert made_by(store, key="0", data=b"x") == (bytes(400), 0), "what went from hand is on the disk"


def test_cleaning_takes_the_longest_unused_first(tmp_path):
    store = Store(tmp_path, "p")
    for i in range(4):
        made_by(store, key=str(i), data=bytes(100))
    for i, entry in enumerate(sorted(entries(tmp_path), key=lambda e: e.path)):
        os.utime(entry.path, (1000 + i, 1000 + i))
    size = next(entries(tmp_path)).size
    assert clean(tmp_path, keep_bytes=2 * size) == (2, 2 * size)
    assert sorted(e.used for e in entries(tmp_path)) == [1002.0, 1003.0]
    assert clean(tmp_path) == (2, 2 * size)
    assert [p.name for p in tmp_path.iterdir()] == [store_module.MARK_FILE], "an empty store leaves no folders"


def test_cleaning_leaves_what_is_being_written_and_takes_what_was_begun_long_ago(tmp_path):
    made_by(Store(tmp_path, "p"))
    path = only(tmp_path)
    new, old = (path.with_name(f".{path.name}.{pid}.0123abcd.part") for pid in (17, 18))
    new.write_bytes(b"x")
    old.write_bytes(b"x")
    os.utime(old, (time.time() - 7200,) * 2)
    clean(tmp_path)
    assert new.exists()
    assert not old.exists()


def everything(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


@pytest.mark.parametrize("marked", [False, True])
def test_what_is_no_entry_is_never_touched(tmp_path, marked):
    """A folder that is named by mistake keeps every file, and so does a store into which something was put."""
    if marked:
        made_by(Store(tmp_path, "p"))
    for name in ("a/b/c.txt", "ssl/ce/rts", "k/ab/notes.txt", "k/ab/.notes.part", "k/x", "top.txt"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("somebody's")
    (tmp_path / "k" / "ab" / ("0" * 62)).symlink_to(tmp_path / "top.txt")
    before = everything(tmp_path)
    if marked:
        assert clean(tmp_path)[0] == 1
        assert set(before) - set(everything(tmp_path)) == {
            k for k in before if len(k.split("/")[-1]) == 62 and "00000" not in k
        }
        assert (tmp_path / "k" / "ab" / ("0" * 62)).is_symlink()
    else:
        for ask in (clean, lambda f: list(entries(f))):
            with pytest.raises(OutputError, match="is not a store"):
                ask(tmp_path)
        assert everything(tmp_path) == before
        assert made_by(Store(tmp_path, "p")) == (b"made", 1)
        assert everything(tmp_path) == before, "and nothing is kept in it"


def test_a_store_that_is_not_there_is_empty(tmp_path):
    assert list(entries(tmp_path / "no")) == []
    assert clean(tmp_path / "no") == (0, 0)


@pytest.mark.parametrize("words", [["--clean"], ["--size"], []])
def test_the_command_refuses_other_folders(tmp_path, words, capsys):
    from generator.cli.main import main

    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "file.txt").write_text("x")
    assert main(["store", "--store", str(tmp_path / "mine"), *words]) == 3
    assert "is not a store of coverplate's" in capsys.readouterr().err
    assert (tmp_path / "mine" / "file.txt").read_text() == "x"


_WRITER = """
import sys
from generator.family.store import Store
for i in range(300):
    key = str(i % 7)
    got = Store(sys.argv[1], "p").get("k", key, lambda: key.encode() * 5000)
    assert got == key.encode() * 5000, key
"""


def test_several_processes_at_once(tmp_path):
    writers = [subprocess.Popen([sys.executable, "-c", _WRITER, str(tmp_path)]) for _ in range(3)]
    for _ in range(20):
        clean(tmp_path)
        time.sleep(0.02)
    assert [w.wait(timeout=120) for w in writers] == [0, 0, 0]


@pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")
def test_killed_at_any_moment(tmp_path):
    for i in range(8):
        writer = subprocess.Popen([sys.executable, "-c", _WRITER, str(tmp_path)])
        time.sleep(0.25 + 0.03 * i)
        writer.kill()
        writer.wait()
    for i in range(7):
        data = str(i).encode() * 5000
        assert made_by(Store(tmp_path, "p"), key=str(i), data=data)[0] == data


def test_entries_that_cannot_be_taken_away_are_told(tmp_path, monkeypatch):
    for key in ("1", "2"):
        made_by(Store(tmp_path, "p"), key=key)
    stuck = sorted(e.path for e in entries(tmp_path))[0]
    unlink = Path.unlink

    def refuse(path: Path, **more) -> None:
        if path == stuck:
            raise PermissionError(errno.EACCES, "Permission denied")
        unlink(path, **more)

    monkeypatch.setattr(Path, "unlink", refuse)
    with pytest.raises(OutputError, match="1 entry cannot be removed: Permission denied; 1 other is gone"):
        clean(tmp_path)
    assert [e.path for e in entries(tmp_path)] == [stuck]
