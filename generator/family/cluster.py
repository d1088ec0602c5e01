"""Workers on other machines: the same tasks given to a running Dask cluster, packs brought back by their content.

A task goes out with every file that its recipe is read from or uses; nothing of this machine's folders is needed there.
What is made stays with the worker that made it until it is fetched: first what became of the variant, then only those
files whose content has not been brought back before. A machine that is lost costs what lay on it, which the cluster
makes again elsewhere. Packs are written here, whole or not at all, as ever.
"""

from __future__ import annotations

import dataclasses
import os
from collections.abc import Generator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from generator.base.errors import OutputError, RecipeError
from generator.base.frozen_record import frozen_record
from generator.build.reading import read
from generator.family.again import said_again
from generator.family.crew import Limits
from generator.family.elsewhere import describe, make_there, pick
from generator.family.make_variant import wrong
from generator.family.task import CRASHED, FAILED, Done, Task, done_of
from generator.outputs.pack import write_pack
from generator.recipe.used import read_used_file

if TYPE_CHECKING:
    from distributed import Client, Future

    Made = Future[dict[str, Any]]

__all__ = ["cluster"]

CONNECT_S: Final = 20.0
AT_ONCE: Final = 4
"""Tasks that wait at the cluster for each of its threads, so that none is idle and few are lost."""


@frozen_record
class _Parcel:
    """A task as it goes out: the recipe by its path below the root, and the content of every file that it needs."""

    task: Task
    root: str
    files: Mapping[str, bytes]


def cluster(tasks: Sequence[Task], address: str, limits: Limits, program: str) -> Generator[Done, None, None]:
    """Yield what became of every task, in the order in which they end.

    Args:
        tasks: what is to be made.
        address: of the running scheduler, such as ``tcp://bench:8786``.
        limits: of one variant on a worker.
        program: digest of the program and its libraries, which every worker must have, too.

    Raises: OutputError: Dask is not installed, nobody answers at the address, or a worker has another program.
    """
    client = _connected(address)
    try:
        yield from _AtCluster(client, limits, program).run(list(tasks))
    finally:
        client.close()  # type: ignore[no-untyped-call]


def _connected(address: str) -> Client:
    try:
        from distributed import Client
    except ImportError as error:
        raise OutputError("workers on other machines need Dask: pip install 'coverplate[cluster]'") from error
    try:
        return Client(address, timeout=CONNECT_S, set_as_default=False)  # type: ignore[no-untyped-call]
    except (OSError, ValueError, TimeoutError) as error:
        raise OutputError(f"no scheduler answers at {address}: {error}") from error


class _AtCluster:
    """Futures under way, and what has been brought back."""

    def __init__(self, client: Client, limits: Limits, program: str) -> None:
        self._client = client
        self._limits = limits
        self._program = program
        self._brought: dict[str, Path] = {}

    def run(self, tasks: list[Task]) -> Generator[Done, None, None]:
        """Yield what is done until nothing waits and nothing is under way."""
        from distributed import as_completed

        waiting = iter(tasks)
        under_way: dict[Made, _Parcel] = {}
        coming: Any = as_completed(loop=self._client.loop)  # type: ignore[no-untyped-call]
        while True:
            while len(under_way) < self._room():
                task = next(waiting, None)
                if task is None:
                    break
                parcel = _packed(task)
                if isinstance(parcel, Done):
                    yield parcel
                    continue
                future = self._send(parcel)
                under_way[future] = parcel
                coming.add(future)
            if not under_way:
                return
            future = next(coming)
            yield self._home(future, under_way.pop(future))

    def _room(self) -> int:
        workers = self._client.scheduler_info(n_workers=-1)["workers"].values()
        return max(1, AT_ONCE * sum(int(w["nthreads"]) for w in workers))

    def _send(self, parcel: _Parcel) -> Made:
        task = dataclasses.asdict(parcel.task)
        limits = dataclasses.asdict(self._limits)
        return self._client.submit(make_there, task, dict(parcel.files), limits, pure=False)

    def _home(self, future: Made, parcel: _Parcel) -> Done:
        """Bring a variant home and write its pack."""
        task = parcel.task
        try:
            told = self._client.submit(describe, future, pure=False).result()
            if told["program"] != self._program:
                raise OutputError(
                    f"the worker {told['worker']} has another version of coverplate or of a library; "
                    "install the same on all machines"
                )
            done = _called_as_here(done_of(told["done"]), told["root"], parcel.root)
            if not done.is_good:
                return done
            missing = sorted({d for d in done.files.values() if d not in self._brought})
            fetched = self._client.submit(pick, future, missing, pure=False).result() if missing else {}
            content = {p: fetched[d] if d in fetched else self._brought[d].read_bytes() for p, d in done.files.items()}
            folder = write_pack(task.out, task.name, content)
            self._brought |= {d: folder / p for p, d in done.files.items() if d not in self._brought}
            return done
        except OutputError as error:
            if "another version" in str(error):
                raise
            return Done(task.name, FAILED, why=str(error))
        except Exception as error:  # whatever befell the cluster costs this variant
            why = f"lost at the cluster: {type(error).__name__}: {error}; to see it alone: {said_again(task)}"
            return Done(task.name, CRASHED, why=why)
        finally:
            future.release()  # type: ignore[no-untyped-call]


def _packed(task: Task) -> _Parcel | Done:
    """Return a task with every file that its recipe needs, or what is wrong with the recipe."""
    try:
        reading = read(task.recipe, sets=task.sets)
    except RecipeError as error:
        return wrong(task, error)
    home = os.path.abspath(reading.folder or os.curdir)
    root = os.path.dirname(home)
    names = [os.path.abspath(f.name) for f in reading.files]
    names += [os.path.normpath(os.path.join(home, name)) for name in reading.used_files]
    files = {}
    for name in dict.fromkeys(names):
        below = os.path.relpath(name, root).replace(os.sep, "/")
        files[below] = read_used_file(root, below)
    there = os.path.relpath(os.path.abspath(task.recipe), root).replace(os.sep, "/")
    return _Parcel(replace(task, recipe=there), root, files)


def _called_as_here(done: Done, there: str, here: str) -> Done:
    """Return ``done`` with the paths of files as they are here."""

    def called(text: str) -> str:
        return text.replace(f"{there}{os.sep}", f"{here}{os.sep}").replace(there, here)

    said = tuple(replace(s, message=called(s.message)) for s in done.said)
    uses = {called(os.path.abspath(p) if os.path.isabs(p) else p): d for p, d in done.uses.items()}
    return replace(done, why=called(done.why), said=said, uses=uses)
