"""Making one variant, in whatever process: a task in, what became of it out; nothing is raised but a stop."""

from __future__ import annotations

import sys
import time
from dataclasses import replace
from functools import cache
from typing import Final

from generator.base.errors import CoverplateError, GeometryError, ProofError, RecipeError
from generator.base.sharing import NOTHING_SHARED, Sharing
from generator.build.pack_up import Built, build, key_of
from generator.build.versions import tool_versions
from generator.family import summary
from generator.family.alike import file_likeness, geometry_of, recipe_likeness
from generator.family.digests import program_digest
from generator.family.store import Store
from generator.family.task import BUILT, FAILED, FORBIDDEN, UNCHANGED, WRONG, Done, Said, Task
from generator.family.told import first_told, of_a_variant

try:
    import resource
except ImportError:  # not on Windows, where memory is not watched
    resource = None  # type: ignore[assignment]

__all__ = ["make_variant", "memory_mb", "this_program", "wrong"]

_TRIES: Final = 2
"""A variant is made once more where a drawing was changed between being read and being told of."""


@cache
def _versions() -> dict[str, str]:
    return tool_versions()


@cache
def this_program() -> str:
    """Return the digest of the program and libraries that this process runs."""
    return program_digest(_versions())


@cache
def _sharing(store: str) -> Sharing:
    return Store(store, this_program()) if store else NOTHING_SHARED


def make_variant(task: Task) -> Done:
    """Build the pack of one variant and return what became of it."""
    start = time.perf_counter()
    done = _made(task)
    return replace(done, seconds=round(time.perf_counter() - start, 3), rss_mb=memory_mb())


def _made(task: Task) -> Done:
    try:
        for _ in range(_TRIES):
            built = _built(task)
            done = _summed_up(task, built)
            if _is_as_read(built):
                break
        else:
            return Done(task.name, FAILED, why="a file that it uses was changed while it was made; run again")
    except RecipeError as error:
        return wrong(task, error)
    except CoverplateError as error:
        return Done(task.name, FAILED, why=str(error))
    except MemoryError:
        return Done(task.name, FAILED, why="out of memory")
    except Exception as error:  # one variant that fails must not take the others with it
        return Done(task.name, FAILED, why=f"internal failure: {type(error).__name__}: {error}")
    if built.checked.plan.name != task.name:
        return Done(task.name, FAILED, why=f"its pack is called {built.checked.plan.name}; a fault of coverplate")
    return done


def _is_as_read(built: Built) -> bool:
    """Return True if the drawings that a recipe uses are what they were before it was drawn."""
    reading = built.checked.reading
    return not reading.used_files or key_of(reading, _versions()) == built.key


def _built(task: Task) -> Built:
    """Return what was built; what does not agree is made once more of nothing that others have made.

    Raises: whatever ``build`` raises.
    """

    def with_(sharing: Sharing) -> Built:
        return build(
            task.recipe, out=task.out, sets=task.sets, outputs=task.outputs, sharing=sharing, versions=_versions()
        )

    sharing = _sharing(task.store)
    try:
        return with_(sharing)
    except ProofError:
        if sharing is NOTHING_SHARED:
            raise
        return with_(NOTHING_SHARED)


def wrong(task: Task, error: RecipeError) -> Done:
    """Return what became of a variant whose recipe has mistakes."""
    said = tuple(Said("mistake", m.path, of_a_variant(m).sentence()) for m in error.mistakes)
    return Done(task.name, WRONG, why=first_told(error), said=said)


def _summed_up(task: Task, built: Built) -> Done:
    checked = built.checked
    forbidding = [f.message for f in checked.findings if f.severity.value == "forbids"]
    status = FORBIDDEN if built.folder is None else UNCHANGED if built.was_current else BUILT
    done = Done(
        task.name,
        status,
        why=forbidding[0] if built.folder is None else "",
        said=summary.said_of(checked.findings),
        parameters=summary.parameters_of(checked.reading),
        uses=summary.uses_of(checked.reading),
        likeness=recipe_likeness(checked.reading.resolved),
        proofs=summary.proofs_of(built),
    )
    try:
        return _with_shape(done, built)
    except GeometryError:  # what a finding forbids may have no shape to tell of
        if built.folder is not None:
            raise
        return done


def _with_shape(done: Done, built: Built) -> Done:
    """Return what became of a variant with its sizes, pictures and files."""
    plan, shapes = built.checked.plan, summary.Shapes()
    files = {} if built.folder is None else summary.files_of(built)
    return replace(
        done,
        files=files,
        size_mm=summary.size_of(plan),
        mass_g=summary.mass_of(plan),
        pieces=summary.pieces(built.checked, shapes),
        picture=summary.picture(plan, shapes),
        shapes=shapes.by_digest,
        geometry=geometry_of(plan),
        alike={} if built.folder is None else file_likeness(built.folder, plan, files),
    )


def memory_mb() -> float:
    """Return the most memory that this process has held, MB; 0 where the system does not tell."""
    if resource is None:
        return 0.0
    most = float(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
    return round(most / (1e6 if sys.platform == "darwin" else 1e3), 1)
