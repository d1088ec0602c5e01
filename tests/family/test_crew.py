"""Workers: fed, watched, renewed, replaced. What goes wrong in one variant costs that one."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from generator.base.errors import OutputError
from generator.family.crew import Bench, Limits, crew
from generator.family.task import Done, Task

HERE = Path(__file__).parent
PRETEND = (sys.executable, str(HERE / "troubled_worker.py"), "--pretend")
pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")


def made(folder: Path, names: list[str], jobs: int = 2, limits: Limits | None = None) -> dict[str, Done]:
    tasks = [Task(n, "r.yaml", ("parameters.plot=7",), str(folder), ("layers-dxf",)) for n in names]
    dones = list(crew(tasks, jobs, limits or Limits(seconds=60), ("layers-dxf",), PRETEND))
    assert len({d.name for d in dones}) == len(dones), "nothing is told twice"
    return {d.name: d for d in dones}


def test_everything_is_made_once(tmp_path):
    names = [f"v{i}" for i in range(30)]
    done = made(tmp_path, names, 3)
    assert sorted(done) == sorted(names)
    assert {d.status for d in done.values()} == {"built"}
    assert 1 <= len({d.why for d in done.values()}) <= 3, "by three processes at most"


def test_nothing_to_do_starts_nobody(tmp_path):
    assert made(tmp_path, []) == {}


def test_a_crash_costs_one_variant_and_is_tried_twice(tmp_path):
    done = made(tmp_path, ["v1", "crash", "v2", "v3", "v4"])
    assert {n: d.status for n, d in done.items()} == {
        "v1": "built", "v2": "built", "v3": "built", "v4": "built", "crash": "crashed"
    }  # fmt: skip
    assert "Segmentation fault" in done["crash"].why
    assert "twice" in done["crash"].why
    assert "coverplate build r.yaml --set parameters.plot=7" in done["crash"].why, "with how to see it alone"


def test_what_goes_wrong_once_is_made_in_a_fresh_process(tmp_path):
    done = made(tmp_path, ["once", "v1", "v2"])
    assert {d.status for d in done.values()} == {"built"}


def test_a_loop_without_end_costs_one_variant(tmp_path):
    done = made(tmp_path, ["hang", "v1", "v2"], limits=Limits(seconds=1.5))
    assert done["hang"].status == "hung"
    assert "longer than 1.5 s, twice" in done["hang"].why
    assert done["v1"].status == done["v2"].status == "built"


def test_memory_is_bounded(tmp_path):
    done = made(tmp_path, ["fat", "v1"], limits=Limits(seconds=60, memory_mb=600))
    assert done["fat"].why == "out of memory"
    assert done["v1"].status == "built"


def test_a_worker_that_has_grown_is_replaced(tmp_path):
    done = made(tmp_path, ["grown1", "v2", "v3"], jobs=1)
    assert done["v2"].why == done["v3"].why != done["grown1"].why


def test_what_libraries_print_is_no_answer(tmp_path):
    done = made(tmp_path, ["chatter", "v1"])
    assert set(done) == {"chatter", "v1"}


def test_workers_that_do_not_start_are_told(tmp_path):
    nobody = (sys.executable, "-c", "import sys; sys.exit('no such library')")
    task = Task("v", "r.yaml", (), str(tmp_path), ())
    with pytest.raises(OutputError, match="workers do not start: ended with code 1: no such library"):
        list(crew([task], 2, Limits(), (), nobody))


def test_a_bench_gives_every_task_its_two_tries(tmp_path):
    bench = Bench(Limits(seconds=60), ("layers-dxf",), PRETEND)
    try:
        done = [bench.make(Task(n, "r", (), str(tmp_path), ())) for n in ("v1", "crash", "crash", "v2", "v3")]
    finally:
        bench.close()
    assert [d.status for d in done] == ["built", "crashed", "crashed", "built", "built"]
    assert all("twice" in d.why for d in done[1:3])
    assert done[3].why == done[4].why != done[0].why, "one worker goes on until it dies"


def test_closing_ends_all_workers(tmp_path):
    at_work = crew(
        [Task(f"slow{i}", "r", (), str(tmp_path), ("layers-dxf",)) for i in range(50)], 2, Limits(), (), PRETEND
    )
    first = next(at_work)
    at_work.close()
    alive = subprocess.run(["ps", "-o", "pid=", "-p", first.why], capture_output=True, text=True, check=False)
    assert first.why not in alive.stdout.split()


def test_a_worker_ends_when_nobody_talks_to_it():
    worker = subprocess.Popen([*PRETEND, "60", "0", "layers-dxf"], stdin=subprocess.PIPE, stdout=subprocess.PIPE)
    assert worker.stdin
    worker.stdin.close()
    assert worker.wait(timeout=60) == 0
