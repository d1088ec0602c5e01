"""A family made by a real Dask scheduler and two real workers, in processes of their own."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from generator.base.errors import OutputError
from generator.family.crew import Limits
from generator.family.run import Asked, run_family
from tests.family.family_cases import digests, write_family

pytest.importorskip("distributed")
pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")
ROOT = Path(__file__).parents[2]


class Cluster:
    """A scheduler and its workers; all of them end with the test."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.address = f"tcp://127.0.0.1:{self.port}"
        self.processes = [self._start("scheduler", "--host", "127.0.0.1", "--port", str(self.port), "--no-dashboard")]
        self._await_scheduler()
        more = ("--nthreads", "1", "--no-nanny", "--no-dashboard", "--local-directory", str(folder))
        self.processes += [self._start("worker", self.address, *more) for _ in range(2)]

    def _start(self, *words: str) -> subprocess.Popen[bytes]:
        environment = {**os.environ, "PYTHONPATH": str(ROOT), "TMPDIR": str(self._folder)}
        command = [sys.executable, "-m", "dask", *words]
        with open(self._folder / "log.txt", "ab") as log:
            return subprocess.Popen(command, cwd=self._folder, env=environment, stdout=log, stderr=log)

    def _await_scheduler(self) -> None:
        for _ in range(300):
            with socket.socket() as asking:
                if asking.connect_ex(("127.0.0.1", self.port)) == 0:
                    return
            time.sleep(0.2)
        raise AssertionError((self._folder / "log.txt").read_text())

    def end(self) -> None:
        for process in self.processes:
            process.kill()
            process.wait()


@pytest.fixture
def cluster(tmp_path) -> Iterator[Cluster]:
    (tmp_path / "cluster").mkdir()
    made = Cluster(tmp_path / "cluster")
    yield made
    made.end()


def asked(path: Path, out: str, **more) -> Asked:
    return Asked(str(path), out=str(path.parent / out), jobs=2, limits=Limits(seconds=120), **more)


def test_packs_from_other_machines_are_those_made_here_though_one_of_them_dies(tmp_path, cluster):
    path = write_family(tmp_path / "f", "table: tags.csv\n", "plot\n" + "".join(f"{i}\n" for i in range(1, 11)))
    here = run_family(asked(path, "here"))
    assert all(r.done and r.done.is_good for r in here.rows)
    seen = []

    def watch(done, count, of):
        seen.append(done.name)
        if count == 2:
            threading.Thread(target=cluster.processes[-1].send_signal, args=(signal.SIGKILL,)).start()

    there = run_family(asked(path, "there", scheduler=cluster.address), watch)
    assert cluster.processes[-1].wait(timeout=60) == -signal.SIGKILL
    assert all(r.done and r.done.is_good for r in there.rows), [r.done and r.done.why for r in there.rows]
    assert sorted(seen) == sorted(r.variant.name for r in there.rows)
    assert digests(tmp_path / "f" / "there" / "tags" / "packs") == digests(tmp_path / "f" / "here" / "tags" / "packs")
    again = run_family(asked(path, "there"))
    assert {r.done.status for r in again.rows if r.done} == {"unchanged"}, "and here nothing is made anew"


def test_a_mistake_is_told_with_the_names_of_here(tmp_path, cluster):
    path = write_family(tmp_path / "f", "table: tags.csv\n", "plot,reach\n1,20\n2,wide\n3,2\n")
    ran = run_family(asked(path, "there", scheduler=cluster.address))
    assert [r.done.status for r in ran.rows if r.done] == ["built", "wrong", "forbidden"]
    told = " ".join(r.done.why for r in ran.rows if r.done)
    assert "reach" in told
    assert "coverplate-" not in told, "no folder of the other machine"


def test_nobody_at_the_address(tmp_path, monkeypatch):
    from generator.family import cluster as module

    monkeypatch.setattr(module, "CONNECT_S", 1.0)
    path = write_family(tmp_path / "f")
    with pytest.raises(OutputError, match=r"no scheduler answers at tcp://127\.0\.0\.1:1"):
        run_family(asked(path, "there", scheduler="tcp://127.0.0.1:1"))
    with pytest.raises(OutputError, match="no scheduler answers at nonsense"):
        run_family(asked(path, "there", scheduler="nonsense"))
