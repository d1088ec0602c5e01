"""Full disks, refusals, signals, killed processes and rivals: the previous pack is there, or the new one, whole."""

from __future__ import annotations

import errno
import os
import random
import shutil
import signal
import subprocess
import tempfile
import threading
import time
from contextlib import contextmanager
from pathlib import Path

import pytest
from pack_tools import NAME, child, pack_as_picture, picture, small_pack

from generator.base.errors import OutputError
from generator.outputs import pack as pack_module
from generator.outputs.manifest import verify_pack
from generator.outputs.pack import ASIDE, STAGED, write_pack

OLD, NEW = small_pack("old"), small_pack("new")
WHOLE = (pack_as_picture(OLD), pack_as_picture(NEW))


@pytest.fixture
def tmp_path(tmp_path):
    """A folder in memory where there is one: hundreds of builds here would wait for the disk."""
    memory = Path("/dev/shm")
    if not (memory.is_dir() and os.access(memory, os.W_OK)):
        yield tmp_path
        return
    with tempfile.TemporaryDirectory(dir=memory) as folder:
        yield Path(folder)


BUILDER = """
from pack_tools import NAME, small_pack
from generator.outputs.pack import write_pack
out, marks, times = sys.argv[1], sys.argv[2].split(","), int(sys.argv[3])
packs = [small_pack(m, more={f"only-{m}.step": b"x" * 100_000}) for m in marks]
print("ready", flush=True)
for i in range(times):
    write_pack(out, NAME, packs[i % len(packs)])
"""


class FailingCall:
    """Stands in for a function of ``os``; call number ``fatal`` (from 0) fails with ``code``, for ever or once."""

    def __init__(self, real, counter, fatal, code):
        self.real, self.counter, self.fatal, self.code = real, counter, fatal, code

    def __call__(self, *args, **options):
        number = next(self.counter)
        if number == self.fatal:
            if isinstance(self.code, BaseException):
                raise self.code
            raise OSError(self.code, os.strerror(self.code))
        return self.real(*args, **options)


CALLS = ("open", "write", "fsync", "mkdir", "rename", "link", "scandir", "lstat")


@contextmanager
def failing(fatal: int, code: object):
    """Have the ``fatal``-th call of any of ``CALLS`` fail; yields a function that says how many calls there were."""
    counter = iter(range(10**9))
    real = {name: getattr(os, name) for name in CALLS}
    with pytest.MonkeyPatch.context() as patch:
        for name in CALLS:
            patch.setattr(os, name, FailingCall(real[name], counter, fatal, code))
        yield lambda: next(counter)


def calls_of_one_build(tmp_path) -> int:
    write_pack(tmp_path, NAME, OLD)
    (tmp_path / NAME / "mine.txt").write_bytes(b"mine")
    with failing(-1, 0) as count:
        write_pack(tmp_path, NAME, NEW)
        total = count()
    shutil.rmtree(tmp_path / NAME)
    return total


def outcome(out, fatal: int, code: object) -> BaseException | None:
    """Return how a build ends whose ``fatal``-th call fails; None if it ends well."""
    try:
        with failing(fatal, code):
            write_pack(out, NAME, NEW)
    except (OutputError, KeyboardInterrupt) as error:
        return error
    return None


@pytest.mark.parametrize("three_renames", [False, True])
@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EIO, errno.EACCES, KeyboardInterrupt()], ids=repr)
def test_whatever_call_fails_all_or_nothing(tmp_path, code, three_renames, monkeypatch):
    if three_renames:
        monkeypatch.setattr(pack_module, "exchange_folders", lambda a, b: False)
    failed = 0
    total = calls_of_one_build(tmp_path)
    assert total > 40
    for fatal in range(total):
        write_pack(tmp_path, NAME, OLD)
        (tmp_path / NAME / "mine.txt").write_bytes(b"mine")
        error = outcome(tmp_path, fatal, code)
        failed += error is not None
        old, new = ({**whole, "mine.txt": b"mine"} for whole in WHOLE)
        if error is None:
            assert picture(tmp_path / NAME) == new, fatal
        elif isinstance(code, int):
            assert isinstance(error, OutputError)
            assert picture(tmp_path / NAME) == old, fatal
        else:
            assert error is code
            assert picture(tmp_path / NAME) in (old, new), fatal
        assert [n for n in os.listdir(tmp_path) if not n.startswith(STAGED)] == [NAME], fatal
        write_pack(tmp_path, NAME, OLD)
        assert os.listdir(tmp_path) == [NAME], fatal
        shutil.rmtree(tmp_path / NAME)
    assert failed > total // 2


def test_first_pack_fails_and_leaves_no_folder(tmp_path):
    failed = 0
    for fatal in range(60):
        error = outcome(tmp_path / "a" / "out", fatal, errno.ENOSPC)
        if error is None:
            assert picture(tmp_path / "a" / "out" / NAME) == WHOLE[1], fatal
            shutil.rmtree(tmp_path / "a")
        else:
            failed += 1
            assert "the disk is full; free some space" in str(error)
            assert picture(tmp_path) == {}, fatal
    assert failed > 20


@contextmanager
def mounted(where, options: str):
    """Mount a small file system of memory at ``where``; skips if this machine does not let us."""
    where.mkdir(exist_ok=True)
    done = subprocess.run(["mount", "-t", "tmpfs", "-o", options, "tmpfs", str(where)], capture_output=True, text=True)
    if done.returncode:
        pytest.skip(f"a small file system cannot be mounted here: {done.stderr.strip()}")
    try:
        yield
    finally:
        subprocess.run(["umount", str(where)], check=True)


@pytest.fixture
def can_mount():
    if os.name != "posix" or shutil.which("mount") is None:
        pytest.skip("no mount command")


@pytest.mark.usefixtures("can_mount")
def test_full_disk(tmp_path):
    disk = tmp_path / "disk"
    with mounted(disk, "size=256k"):
        write_pack(disk, NAME, OLD)
        before = picture(disk)
        with pytest.raises(OutputError, match="the disk is full; free some space"):
            write_pack(disk, NAME, small_pack("new", more={"big.step": b"x" * 300_000}))
        assert picture(disk) == before
        write_pack(disk, NAME, NEW)
        assert picture(disk) == {NAME: "folder", **{f"{NAME}/{k}": v for k, v in WHOLE[1].items()}}


@pytest.mark.usefixtures("can_mount")
def test_disk_without_free_names(tmp_path):
    disk = tmp_path / "disk"
    with mounted(disk, "size=1m,nr_inodes=12"):
        write_pack(disk, NAME, OLD)
        before = picture(disk)
        with pytest.raises(OutputError, match="the disk is full"):
            write_pack(disk, NAME, NEW)
        assert picture(disk) == before


@pytest.mark.usefixtures("can_mount")
def test_read_only_disk(tmp_path):
    disk = tmp_path / "disk"
    with mounted(disk, "size=1m"):
        write_pack(disk, NAME, OLD)
        before = picture(disk)
        subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)
        for out in (disk, disk / "new-folder"):
            with pytest.raises(OutputError, match="the disk is read-only; choose another place with --out"):
                write_pack(out, NAME, NEW)
        assert picture(disk) == before


def test_folder_without_permission(tmp_path):
    if os.geteuid() == 0:
        pytest.skip("permissions do not bind this user; the read-only disk and the failing calls stand for it")
    write_pack(tmp_path / "out", NAME, OLD)
    (tmp_path / "out").chmod(0o500)
    try:
        with pytest.raises(OutputError, match="you may not write there"):
            write_pack(tmp_path / "out", NAME, NEW)
        assert picture(tmp_path / "out" / NAME) == WHOLE[0]
    finally:
        (tmp_path / "out").chmod(0o700)


# ------------------------------------------------------------------ signals and death
def builder_pack(mark: str) -> dict[str, bytes]:
    """Return the pack that ``BUILDER`` builds for ``mark``."""
    return small_pack(mark, more={f"only-{mark}.step": b"x" * 100_000})


def is_whole(out) -> bool:
    wholes = [pack_as_picture(builder_pack(m)) for m in ("old", "new")]
    return picture(out / NAME) in wholes and verify_pack(out / NAME) == ()


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_signal_leaves_no_debris(tmp_path, number):
    delays = random.Random(int(number))
    write_pack(tmp_path, NAME, builder_pack("old"))
    for round_ in range(3):
        with child(BUILDER, str(tmp_path), "old,new", "100000") as process:
            assert process.stdout.readline() == "ready\n"
            time.sleep(0.02 + 0.05 * delays.random())
            process.send_signal(number)
            _, said = process.communicate(timeout=30)
        # the process ends as the signal would have ended it
        assert process.returncode == (-number if number != signal.SIGINT else process.returncode), said
        assert process.returncode != 0
        assert os.listdir(tmp_path) == [NAME], round_
        assert is_whole(tmp_path)


def test_ignored_signal_stays_ignored(tmp_path):
    before = signal.signal(signal.SIGHUP, signal.SIG_IGN)
    real = pack_module.write_file

    def write_and_hang_up(path, content):
        os.kill(os.getpid(), signal.SIGHUP)
        real(path, content)

    try:
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(pack_module, "write_file", write_and_hang_up)
            write_pack(tmp_path, NAME, NEW)
        assert signal.getsignal(signal.SIGHUP) == signal.SIG_IGN
    finally:
        signal.signal(signal.SIGHUP, before)
    assert picture(tmp_path / NAME) == WHOLE[1]


def test_signal_whose_handler_goes_on_is_an_error_of_its_own(tmp_path):
    heard = []
    before = signal.signal(signal.SIGTERM, lambda n, _frame: heard.append(n))
    real = pack_module.write_file

    def write_and_terminate(path, content):
        os.kill(os.getpid(), signal.SIGTERM)
        real(path, content)

    try:
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(pack_module, "write_file", write_and_terminate)
            with pytest.raises(OutputError, match="stopped by a signal"):
                write_pack(tmp_path, NAME, NEW)
        assert heard == [signal.SIGTERM]
    finally:
        signal.signal(signal.SIGTERM, before)
    assert picture(tmp_path) == {}


def test_interrupt_after_the_exchange_keeps_the_new_pack(tmp_path, monkeypatch):
    write_pack(tmp_path, NAME, OLD)
    real = pack_module.remove_folder

    def remove_and_interrupt(folder):
        os.kill(os.getpid(), signal.SIGINT)
        real(folder)

    monkeypatch.setattr(pack_module, "remove_folder", remove_and_interrupt)
    with pytest.raises(KeyboardInterrupt):
        write_pack(tmp_path, NAME, NEW)
    assert picture(tmp_path / NAME) == WHOLE[1]
    assert os.listdir(tmp_path) == [NAME]


def test_works_in_another_thread(tmp_path):
    worker = threading.Thread(target=write_pack, args=(tmp_path, NAME, NEW))
    worker.start()
    worker.join()
    assert picture(tmp_path / NAME) == WHOLE[1]


def test_killed_builds_leave_a_whole_pack_and_the_next_sweeps(tmp_path):
    delays = random.Random(9)
    debris = 0
    write_pack(tmp_path, NAME, builder_pack("old"))
    for _ in range(7):
        with child(BUILDER, str(tmp_path), "old,new", "100000") as process:
            assert process.stdout.readline() == "ready\n"
            time.sleep(0.02 + 0.05 * delays.random())
            process.kill()
        assert process.returncode == -signal.SIGKILL
        debris += len(os.listdir(tmp_path)) > 1
        assert is_whole(tmp_path)
        if len(os.listdir(tmp_path)) > 1:
            (tmp_path / NAME / "mine.txt").write_bytes(b"mine")
            write_pack(tmp_path, NAME, NEW)
            assert picture(tmp_path) == {
                NAME: "folder", **{f"{NAME}/{k}": v for k, v in WHOLE[1].items()}, f"{NAME}/mine.txt": b"mine",
            }  # fmt: skip
            (tmp_path / NAME / "mine.txt").unlink()
            write_pack(tmp_path, NAME, builder_pack("old"))
    assert debris > 0, "no kill ever hit a build: the test has shown nothing"


def test_killed_between_two_renames_the_pack_comes_back(tmp_path):
    write_pack(tmp_path, NAME, OLD)
    (tmp_path / NAME / "mine.txt").write_bytes(b"mine")
    (tmp_path / NAME).rename(tmp_path / f"{ASIDE}{NAME}")
    write_pack(tmp_path, "other", small_pack("new"))
    assert sorted(os.listdir(tmp_path)) == [NAME, "other"]
    assert picture(tmp_path / NAME) == {**WHOLE[0], "mine.txt": b"mine"}


def test_killed_after_two_renames_the_set_aside_pack_goes(tmp_path):
    write_pack(tmp_path, NAME, OLD)
    shutil.copytree(tmp_path / NAME, tmp_path / f"{ASIDE}{NAME}")
    write_pack(tmp_path, NAME, NEW)
    assert os.listdir(tmp_path) == [NAME]


def test_what_only_looks_like_a_leftover_stays(tmp_path):
    for name in (f"{STAGED}mine", f"{STAGED}0123456789abcdef.txt", ".coverplate", f".{NAME}"):
        (tmp_path / name).mkdir()
    (tmp_path / f"{STAGED}0123456789abcdef").write_text("a file")
    before = picture(tmp_path)
    write_pack(tmp_path, NAME, NEW)
    assert before.items() <= picture(tmp_path).items()


def test_leftover_that_its_owner_removes_meanwhile_is_no_error(tmp_path, monkeypatch):
    (tmp_path / f"{STAGED}0123456789abcdef").mkdir()
    real = pack_module.try_lock

    def gone(folder):
        if folder.name == f"{STAGED}0123456789abcdef":
            folder.rmdir()
        return real(folder)

    monkeypatch.setattr(pack_module, "try_lock", gone)
    write_pack(tmp_path, NAME, NEW)
    assert os.listdir(tmp_path) == [NAME]


def test_folder_of_a_living_build_is_not_swept(tmp_path):
    waits = """
import os
from pack_tools import NAME, small_pack
from generator.outputs import pack
real = pack.write_file
def write_and_wait(path, content):
    real(path, content)
    if not told:
        told.append(print("writing", flush=True))
        sys.stdin.readline()
told = []
pack.write_file = write_and_wait
pack.write_pack(sys.argv[1], NAME, small_pack("new"))
"""
    with child(waits, str(tmp_path), stdin=subprocess.PIPE) as process:
        assert process.stdout.readline() == "writing\n"
        write_pack(tmp_path, NAME, OLD)
        assert len(os.listdir(tmp_path)) == 2
        _, said = process.communicate("go on\n", timeout=30)
    assert process.returncode == 0, said
    assert picture(tmp_path) == {NAME: "folder", **{f"{NAME}/{k}": v for k, v in WHOLE[1].items()}}


def test_two_builds_at_once_do_not_mix(tmp_path):
    builders = [child(BUILDER, str(tmp_path), mark, "60") for mark in ("old", "new")]
    for b in builders:
        assert b.stdout.readline() == "ready\n"
    seen = set()
    while any(b.poll() is None for b in builders):
        if (tmp_path / NAME / "manifest.json").exists():
            seen.update(n for n in os.listdir(tmp_path / NAME) if n.startswith("only-"))
    for b in builders:
        _, said = b.communicate()
        assert b.returncode == 0, said
    assert os.listdir(tmp_path) == [NAME]
    assert is_whole(tmp_path)
    assert seen == {"only-old.step", "only-new.step"}
