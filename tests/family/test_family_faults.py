"""Whatever is killed, filled or damaged: the next run ends with the bytes of an undisturbed one."""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path

import pytest

from generator.family.store import entries
from tests.family.family_cases import digests, write_family

ROOT = Path(__file__).parents[2]
pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="processes and disks of Linux")
TABLE = "plot,holder\n" + "".join(f"{i},Holder {i}\n" for i in range(1, 9))


def command(path: Path, out: Path, *more: str) -> list[str]:
    return [sys.executable, "-m", "generator.cli", "family", str(path), "--out", str(out), "--jobs", "2", *more]


def started(path: Path, out: Path, *more: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        command(path, out, *more),
        cwd=path.parent,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )


def ended(run: subprocess.Popen[str]) -> tuple[int, str]:
    out, err = run.communicate(timeout=300)
    return run.returncode, out + err


def workers_of(pid: int) -> list[int]:
    found = subprocess.run(["pgrep", "-P", str(pid)], capture_output=True, text=True, check=False)
    return [int(p) for p in found.stdout.split()]


def undisturbed(packs: Path) -> dict[str, str]:
    return digests(packs)


@pytest.fixture(scope="module")
def sound(tmp_path_factory):
    """Return a family and the bytes of its packs after a run that nothing disturbed."""
    path = write_family(tmp_path_factory.mktemp("sound"), "table: tags.csv\n", TABLE)
    code, said = ended(started(path, path.parent / "out"))
    assert code == 0, said
    return path, undisturbed(path.parent / "out" / "tags" / "packs")


def killed(path: Path, out: Path, seed: int) -> str:
    """Start a run, kill something of it at a moment by chance, and return what."""
    chance = random.Random(seed)
    run = started(path, out)
    time.sleep(chance.uniform(0.3, 6.0))
    what = chance.choice(["worker", "main", "everything"])
    workers = workers_of(run.pid)
    victims = {"worker": workers[:1], "main": [run.pid], "everything": [run.pid, *workers]}[what]
    for pid in victims:
        with suppress(ProcessLookupError):
            os.kill(pid, signal.SIGKILL)
    run.communicate(timeout=300)
    return what


def same_after(path: Path, out: Path, wanted: dict[str, str]) -> None:
    for _ in range(60):  # workers of a main process that was killed finish what they had begun, or end
        code, said = ended(started(path, out))
        if "another run is at work" not in said:
            break
        time.sleep(0.5)
    assert code == 0, said
    assert undisturbed(out / "tags" / "packs") == wanted
    assert not [p for p in (out / "tags" / "packs").iterdir() if p.name.startswith(".coverplate")]


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_killed_at_a_moment_by_chance(sound, tmp_path, seed):
    path, wanted = sound
    killed(path, tmp_path / "out", seed)
    same_after(path, tmp_path / "out", wanted)


@pytest.mark.slow
def test_killed_at_twenty_moments_by_chance(sound, tmp_path):
    path, wanted = sound
    seen = set()
    for seed in range(100, 120):
        out = tmp_path / f"out-{seed % 4}"  # some begin with what an earlier one has left
        seen.add(killed(path, out, seed))
        if seed % 2:
            same_after(path, out, wanted)
    assert seen == {"worker", "main", "everything"}
    for out in tmp_path.iterdir():
        same_after(path, out, wanted)


def test_interrupted_cleanly_and_carried_on(sound, tmp_path):
    path, wanted = sound
    out = tmp_path / "out"
    run = started(path, out)
    packs = out / "tags" / "packs"
    for _ in range(600):
        if packs.is_dir() and [p for p in packs.iterdir() if not p.name.startswith(".")]:
            break
        time.sleep(0.05)
    workers = workers_of(run.pid)
    os.kill(run.pid, signal.SIGINT)
    code, said = ended(run)
    assert code == 130, said
    assert "stopped" in said
    assert not [w for w in workers if Path(f"/proc/{w}").exists()], "no worker is left"
    finished = [p.name for p in packs.iterdir() if not p.name.startswith(".")]
    assert 0 < len(finished) < 8
    code, said = ended(started(path, out))
    assert code == 0
    assert f"{len(finished)} unchanged" in said or "8 built" not in said
    assert undisturbed(packs) == wanted


def test_two_families_at_once_over_one_store(sound, tmp_path):
    path, wanted = sound
    store = str(tmp_path / "store")
    runs = [started(path, tmp_path / f"out-{i}", "--store", store) for i in range(2)]
    assert [ended(run)[0] for run in runs] == [0, 0]
    for i in range(2):
        assert undisturbed(tmp_path / f"out-{i}" / "tags" / "packs") == wanted
    assert list(entries(store))


def test_damaged_entries_of_the_store_are_found_and_made_anew(sound, tmp_path):
    path, wanted = sound
    store = tmp_path / "store"
    assert ended(started(path, tmp_path / "one", "--store", str(store)))[0] == 0
    found = list(entries(store))
    for i, entry in enumerate(found):
        data = bytearray(entry.path.read_bytes())
        data[len(data) * (i % 10) // 10] ^= 0xFF
        entry.path.write_bytes(bytes(data) if i % 3 else bytes(data[: len(data) // 2]))
    assert ended(started(path, tmp_path / "two", "--store", str(store)))[0] == 0
    assert undisturbed(tmp_path / "two" / "tags" / "packs") == wanted


@pytest.fixture
def small_disk(tmp_path):
    """Return a folder on a disk of 3 MB of its own."""
    folder = tmp_path / "small"
    folder.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=3m", "tmpfs", str(folder)]
    if os.geteuid() or subprocess.run(mount, capture_output=True, check=False).returncode:
        pytest.skip("no right to mount a small disk")
    yield folder
    subprocess.run(["umount", str(folder)], check=False)


def test_a_full_disk_is_told_and_what_is_there_is_whole(sound, small_disk, tmp_path):
    path, wanted = sound
    filler = small_disk / "filler"
    filler.write_bytes(bytes(2_600_000))
    code, said = ended(started(path, small_disk / "out"))
    assert code == 3, said
    assert "the disk is full; free some space" in said
    assert "Traceback" not in said
    packs = small_disk / "out" / "tags" / "packs"
    there = undisturbed(packs) if packs.is_dir() else {}
    assert {p: d for p, d in there.items() if wanted[p] != d} == {}
    for name in {p.split("/")[0] for p in there}:
        assert {p for p in there if p.startswith(f"{name}/")} == {p for p in wanted if p.startswith(f"{name}/")}
    filler.unlink()
    shutil.copytree(small_disk / "out", tmp_path / "larger", copy_function=shutil.copy2)
    same_after(path, tmp_path / "larger", wanted)
