"""Workers on this machine: processes that are fed tasks, watched, renewed when they grow and replaced when they die."""

from __future__ import annotations

import dataclasses
import json
import os
import queue
import subprocess
import sys
import tempfile
import threading
import time
from collections import deque
from collections.abc import Generator, Iterable, Iterator, Sequence
from contextlib import suppress
from pathlib import Path
from typing import IO, Any, Final

from generator.base.errors import OutputError
from generator.base.frozen_record import frozen_record
from generator.base.process import ONE_THREAD
from generator.family.again import said_again
from generator.family.task import CRASHED, HUNG, READY, Done, Task, arguments_of, done_of

__all__ = ["WORKER", "Bench", "Limits", "crew", "environment"]

WORKER: Final = (sys.executable, "-m", "generator.family.worker")
"""Command that starts a worker."""

TRIES: Final = 2
"""A variant whose process died or hung is tried once more, in a fresh process."""
FALSE_STARTS: Final = 3
"""Workers that end before they are ready, one after another, until nothing more is tried."""
START_S, MOST_START_S = 60.0, 300.0
"""A worker may take as long to start as a variant may take to be made, within these bounds: it loads its libraries."""
PATIENCE_S: Final = 0.25
PARTING_S: Final = 5.0


@frozen_record
class Limits:
    """What a worker may take.

    Attributes:
        seconds: time for one variant.
        memory_mb: memory of a worker; beyond it the system refuses more.
        renew_mb: a worker that has held so much is replaced by a fresh one once its variant is made.
    """

    seconds: float = 300.0
    memory_mb: float = 4000.0
    renew_mb: float = 1200.0


Event = tuple["_Worker", "str | None"]
"""A line that a worker has said, or None when it has ended."""


class _Worker:
    """One process, what it is working on and since when."""

    def __init__(self, command: Sequence[str], events: queue.Queue[Event]) -> None:
        self.errors: IO[bytes] = tempfile.TemporaryFile()  # noqa: SIM115  closed with the worker
        self.process = subprocess.Popen(
            command,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=self.errors,
            env=environment(),
            start_new_session=os.name == "posix",  # a terminal's Ctrl-C is not for it
        )
        self.task: Task | None = None
        self.since = time.monotonic()
        self.is_ready = False
        self.is_late = False
        threading.Thread(target=self._listen, args=(events,), daemon=True).start()

    def _listen(self, events: queue.Queue[Event]) -> None:
        assert self.process.stdout is not None
        with suppress(OSError, ValueError):
            for line in self.process.stdout:
                events.put((self, line.decode("utf-8", "replace")))
        events.put((self, None))

    def give(self, task: Task) -> None:
        """Hand the worker a task; one that has died meanwhile is told of by its event."""
        assert self.process.stdin is not None
        self.task, self.since = task, time.monotonic()
        with suppress(OSError):
            self.process.stdin.write(json.dumps(dataclasses.asdict(task)).encode() + b"\n")
            self.process.stdin.flush()

    def dismiss(self) -> None:
        """Tell the worker that nothing more comes; it ends by itself."""
        with suppress(OSError):
            if self.process.stdin is not None:
                self.process.stdin.close()

    def kill(self) -> None:
        """End the worker whatever it does."""
        with suppress(OSError):
            self.process.kill()

    def why(self) -> str:
        """Return how it ended, with the last thing that it said."""
        code = self.process.wait()
        how = f"ended by signal {-code}" if code < 0 else f"ended with code {code}"
        self.errors.seek(0)
        said = [s for s in self.errors.read()[-4000:].decode("utf-8", "replace").splitlines() if s.strip()]
        fatal = [s for s in said if s.startswith("Fatal")]
        last = (fatal or said[-1:] or [""])[0].strip()[:200]
        return f"{how}: {last}" if last else how

    def close(self) -> None:
        """Give back what the process held here."""
        for stream in (self.process.stdin, self.process.stdout, self.errors):
            if stream is not None:
                with suppress(OSError, ValueError):
                    stream.close()


def environment() -> dict[str, str]:
    """Return what the environment of a worker is: this one, with this package to be found and one thread each."""
    home = str(Path(__file__).parents[2])
    paths = [home, *filter(None, [os.environ.get("PYTHONPATH")])]
    return {**os.environ, "PYTHONPATH": os.pathsep.join(paths), **dict([ONE_THREAD]), "PYTHONUNBUFFERED": "1"}


def crew(
    tasks: Iterable[Task], jobs: int, limits: Limits, outputs: Sequence[str], worker: Sequence[str] = WORKER
) -> Generator[Done, None, None]:
    """Yield what became of every task, in the order in which they end. Closing the iterator ends all workers.

    Args:
        tasks: what is to be made.
        jobs: how many workers.
        limits: of each.
        outputs: names of the outputs that workers get ready for; all of them if empty.
        worker: command that starts a worker.

    Raises: OutputError: workers do not start.
    """
    at_work = _AtWork(deque(tasks), limits, outputs, worker)
    try:
        yield from at_work.run(jobs)
    finally:
        at_work.stop()


class Bench:
    """One worker that is kept between tasks, for who has tasks one at a time."""

    def __init__(self, limits: Limits, outputs: Sequence[str], worker: Sequence[str] = WORKER) -> None:
        self._at_work = _AtWork(deque(), limits, outputs, worker)

    def make(self, task: Task) -> Done:
        """Return what became of a task.

        Raises: OutputError: the worker does not start.
        """
        return self._at_work.one(task)

    def close(self) -> None:
        """End the worker."""
        self._at_work.stop()


class _AtWork:
    """The tasks that wait, the workers and what they have said."""

    def __init__(self, waiting: deque[Task], limits: Limits, outputs: Sequence[str], worker: Sequence[str]) -> None:
        self._waiting = waiting
        self._limits = limits
        self._command = [*worker, *arguments_of(limits.seconds, limits.memory_mb, outputs)]
        self._events: queue.Queue[Event] = queue.Queue()
        self._workers: set[_Worker] = set()
        self._tries: dict[str, int] = {}
        self._false_starts = 0
        self._start_s = min(max(START_S, limits.seconds), MOST_START_S)
        self._keeps = False

    def run(self, jobs: int) -> Iterator[Done]:
        """Yield what is done until nothing waits and nobody works."""
        for _ in range(min(jobs, len(self._waiting))):
            self._hire()
        while self._waiting or any(w.task for w in self._workers):
            try:
                worker, line = self._events.get(timeout=PATIENCE_S)
            except queue.Empty:
                self._end_the_late()
                continue
            self._end_the_late()
            yield from self._ended(worker) if line is None else self._heard(worker, line)

    def one(self, task: Task) -> Done:
        """Return what became of a task; a worker that is free afterwards waits for the next."""
        self._keeps = True
        self._tries.clear()
        self._waiting.append(task)
        free = next((w for w in self._workers if w.is_ready and w.task is None), None)
        if free is not None:
            free.give(self._waiting.popleft())
        done = list(self.run(0 if self._workers else 1))
        return done[-1]

    def _hire(self) -> None:
        self._workers.add(_Worker(self._command, self._events))

    def _heard(self, worker: _Worker, line: str) -> Iterator[Done]:
        """Yield what a worker has made, and give it something new or let it go."""
        data: dict[str, Any] = json.loads(line)
        if READY in data:
            worker.is_ready = True
            self._false_starts = 0
        else:
            worker.task = None
            done = done_of(data)
            yield done
            if done.rss_mb > self._limits.renew_mb and (self._waiting or self._keeps):
                self._let_go(worker)
                if self._waiting:
                    self._hire()
                return
        if self._waiting:
            worker.give(self._waiting.popleft())
        elif not self._keeps:
            self._let_go(worker)

    def _let_go(self, worker: _Worker) -> None:
        self._workers.discard(worker)
        worker.dismiss()

    def _ended(self, worker: _Worker) -> Iterator[Done]:
        """Look after a worker that has ended: one that was let go, one that died, one that never began."""
        if worker not in self._workers:
            worker.process.wait()
            worker.close()
            return
        self._workers.discard(worker)
        why, task = worker.why(), worker.task
        if worker.is_late and not worker.is_ready:
            why = f"not ready after {self._start_s:g} s, {why}"
        worker.close()
        if not worker.is_ready:
            self._false_starts += 1
            if self._false_starts >= FALSE_STARTS:
                raise OutputError(f"workers do not start: {why}; try with --jobs 1, or mend the installation")
        if task is not None:
            yield from self._again(task, worker, why)
        if self._waiting:
            self._hire()

    def _again(self, task: Task, worker: _Worker, why: str) -> Iterator[Done]:
        tried = self._tries[task.name] = self._tries.get(task.name, 0) + 1
        if tried < TRIES:
            self._waiting.append(task)
            return
        if worker.is_late:
            told = f"took longer than {self._limits.seconds:g} s, twice, each time in a fresh process"
        else:
            told = f"its process {why}, twice"
        status = HUNG if worker.is_late else CRASHED
        yield Done(task.name, status, why=f"{told}; to see it alone: {said_again(task)}")

    def _end_the_late(self) -> None:
        now = time.monotonic()
        for worker in self._workers:
            limit = self._limits.seconds if worker.task else self._start_s
            if (worker.task or not worker.is_ready) and now - worker.since > limit:
                worker.is_late = True
                worker.kill()

    def stop(self) -> None:
        """End all workers, politely first: one that is writing a pack finishes or undoes that."""
        for worker in self._workers:
            worker.dismiss()
            if worker.task is not None:
                with suppress(OSError):
                    worker.process.terminate()
        until = time.monotonic() + PARTING_S
        for worker in self._workers:
            try:
                worker.process.wait(timeout=max(0.0, until - time.monotonic()))
            except subprocess.TimeoutExpired:
                worker.kill()
                worker.process.wait()
            worker.close()
        self._workers.clear()
