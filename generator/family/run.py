"""The way through a family: read → variants → what is due → workers → what is remembered → what comes back."""

from __future__ import annotations

import os
from collections.abc import Callable, Generator, Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import field, replace
from pathlib import Path
from typing import Final

from generator.base.errors import OutputError, ProofError
from generator.base.frozen_record import frozen_record
from generator.build.versions import demand_outputs as demand_known_outputs
from generator.build.versions import tool_versions
from generator.family.choose import chosen
from generator.family.come_back import come_back, get_ready
from generator.family.crew import WORKER, Limits, crew
from generator.family.digests import program_digest
from generator.family.due import Due
from generator.family.family_file import Family, read_family
from generator.family.index import Index, Known, stamps_of
from generator.family.preflight import demand_outputs, demand_paths, demand_rules, demand_sets, recipe_parameters
from generator.family.proof import FamilyProof, prove_family
from generator.family.readers import mistakes_of
from generator.family.store import NAME as STORE
from generator.family.store import trouble
from generator.family.strays import strays_in
from generator.family.task import BUILT, UNCHANGED, Done, Made, Task
from generator.family.unmatched import Conditions
from generator.family.unused import unused_values
from generator.family.variants import Variant, cut_names, variants_of
from generator.outputs.pack_disk import CAN_LOCK, reason, try_lock

__all__ = ["PACKS", "Asked", "Ran", "Row", "plan_family", "run_family"]

PACKS: Final = "packs"
"""Folder of the packs in that of the family."""


@frozen_record
class Asked:
    """What is asked of a run.

    Attributes:
        path: the file of the family.
        out: folder of the families.
        only: which variants; all if empty.
        outputs: names of the outputs; what the family says if empty.
        jobs: how many workers.
        keep_going: whether the others are made when one fails.
        limits: of the workers.
        scheduler: address of a running Dask cluster that does the work; empty for workers on this machine.
        store: folder of what variants share; beside the families if it is None, nowhere if it is empty.
    """

    path: str
    out: str = "out"
    only: tuple[str, ...] = ()
    outputs: tuple[str, ...] = ()
    jobs: int = field(default_factory=lambda: os.cpu_count() or 1)
    keep_going: bool = True
    limits: Limits = field(default_factory=Limits)
    store: str | None = None
    scheduler: str = ""


@frozen_record
class Row:
    """A variant with what is due and what became of it.

    Attributes:
        variant: the variant.
        made: what it is made of.
        why: why it has to be made; empty if nothing has changed.
        done: what became of it; None while it has not been made.
        is_chosen: whether this run may make it.
        mistake: what is wrong with its recipe, found by reading it; empty if nothing is, or it was not read.
    """

    variant: Variant
    made: Made
    why: str
    done: Done | None
    is_chosen: bool = True
    mistake: str = ""

    @property
    def is_due(self) -> bool:
        """Return True if this run is to make it."""
        return self.is_chosen and bool(self.why)


@frozen_record
class Planned:
    """A family with every variant, before anything is made."""

    family: Family
    folder: Path
    rows: tuple[Row, ...]
    strangers: tuple[str, ...]
    """Packs in the folder that no variant of the family has."""
    unused: tuple[str, ...] = ()
    """A sentence on every value that changes nothing, every condition that no variant meets, and names that are cut."""


@frozen_record
class Ran:
    """What a run has come to: every variant with what became of it.

    Attributes:
        family, folder, rows: as planned, with what became of every variant.
        strangers: packs in the folder that no variant of the family has.
        unused: a sentence on every value that changes nothing, every condition that no variant meets, and cut names.
        stopped: whether a failure ended the run.
        proof: what holds between variants.
        files: of the family beside the packs, by name.
        store_trouble: why variants that were made shared nothing although they were to; empty if they did.
    """

    family: Family
    folder: Path
    rows: tuple[Row, ...]
    strangers: tuple[str, ...] = ()
    unused: tuple[str, ...] = ()
    stopped: bool = False
    proof: FamilyProof = FamilyProof(0, 0, 0, ())
    files: tuple[str, ...] = ()
    store_trouble: str = ""


Watch = Callable[[Done, int, int], None]
"""Told of every variant that is done, how many are, and of how many."""


@frozen_record
class _Read:
    """A family with its variants, found free of mistakes; nothing of its folder was looked at."""

    family: Family
    folder: Path
    variants: tuple[Variant, ...]
    wanted: frozenset[str]
    unused: tuple[str, ...]


def plan_family(asked: Asked, watch: Callable[[int, int, int], None] = lambda *_: None) -> Planned:
    """Return what a run would make, and why; the recipe of each is read as it would be. Nothing is written.

    Args:
        asked: which family, and how.
        watch: told how many recipes are read, of how many, and how many of them have mistakes.

    Raises: RecipeError: with every mistake found in the family, its table or what is asked.
    """
    found = _read(asked)
    planned = _planned(found, asked, Index(found.folder))
    due = [r for r in planned.rows if r.is_due]
    mistakes = mistakes_of(planned.family.recipe, [r.made.sets for r in due], asked.jobs, watch)
    told = {r.variant.name: m for r, m in zip(due, mistakes, strict=True)}
    return replace(planned, rows=tuple(replace(r, mistake=told.get(r.variant.name, "")) for r in planned.rows))


def _read(asked: Asked) -> _Read:
    family = read_family(asked.path)
    demand_outputs(family)
    demand_known_outputs(asked.outputs, "--outputs")
    parameters = recipe_parameters(family)
    conditions = Conditions(family)
    variants = variants_of(family, frozenset(parameters), conditions)
    demand_rules(family, parameters, variants)
    demand_paths(family, variants)
    demand_sets(family, variants)
    wanted = frozenset(v.name for v in chosen(variants, asked.only))
    folder = Path(asked.out) / family.file.family
    unused = (
        *unused_values(family, variants, frozenset(parameters)),
        *conditions.unmatched(),
        *cut_names(family, variants),
    )
    return _Read(family, folder, variants, wanted, unused)


def _planned(found: _Read, asked: Asked, index: Index) -> Planned:
    family, folder = found.family, found.folder
    due = Due(str(folder / PACKS), os.path.dirname(family.path))
    program = program_digest(tool_versions())
    outputs = asked.outputs or family.file.outputs
    rows = []
    for variant in found.variants:
        made, known = Made(family.file.recipe, variant.sets, outputs, program), index.known.get(variant.name)
        why = due.why(variant.name, made, known)
        rows.append(Row(variant, made, why, known.done if known else None, variant.name in found.wanted))
    return Planned(family, folder, tuple(rows), _strangers(folder, {v.name for v in found.variants}), found.unused)


def _strangers(folder: Path, names: set[str]) -> tuple[str, ...]:
    try:
        there = sorted(e.name for e in os.scandir(folder / PACKS) if e.is_dir() and not e.name.startswith("."))
    except OSError:
        return ()
    return tuple(n for n in there if n not in names)


def run_family(asked: Asked, watch: Watch = lambda *_: None, worker: Sequence[str] = WORKER) -> Ran:
    """Make every variant that is due and return what became of all of them.

    Args:
        asked: which family, and how.
        watch: told of every variant that is done.
        worker: command that starts a worker.

    Raises:
        RecipeError: with every mistake found in the family, its table or what is asked.
        OutputError: the folder or disk refuses, workers do not start, or another run is at work on this family.
        ProofError: variants that must agree do not.
    """
    found = _read(asked)
    with _held(found.folder):
        index = Index(found.folder)
        planned = _planned(found, asked, index)
        due = {r.variant.name: r for r in planned.rows if r.is_due}
        finished: dict[str, Done] = {}
        stopped = False
        with closing(_work(planned, tuple(due.values()), asked, worker)) as at_work:
            for one in at_work:
                done = finished[one.name] = _at_home(one, planned.family)
                stamps = stamps_of(str(planned.folder / PACKS / done.name), done.files)
                index.add(Known(done, due[done.name].made, stamps))
                watch(done, len(finished), len(due))
                if len(finished) == 1:
                    get_ready()
                if not done.is_good and not asked.keep_going:
                    stopped = True
                    break
        rows = tuple(_result(r, finished) for r in planned.rows)
        index.close(r.variant.name for r in rows)
        dones = [r.done for r in rows if r.done]
        proof = replace(prove_family(dones), strays=strays_in(planned.folder / PACKS, dones))
        ran = Ran(planned.family, planned.folder, rows, planned.strangers, planned.unused, stopped, proof)
        files = come_back(_whoever_made_them(ran), rows[0].made.program)
    if not proof.holds:
        there = f"the packs are in {found.folder / PACKS}, and {found.folder / files[0]} lists them"
        raise ProofError(f"{proof.sentence()}; {there}; {proof.remedy(str(found.folder / PACKS), _store_of(asked))}")
    return replace(ran, files=files, store_trouble=_store_trouble(asked) if due else "")


def _whoever_made_them(ran: Ran) -> Ran:
    """Return ``ran`` as if this run had made all packs: what comes back does not tell which run did."""
    rows = (replace(r, done=replace(r.done, status=BUILT)) if r.done and r.done.is_good else r for r in ran.rows)
    return replace(ran, rows=tuple(rows))


def _work(planned: Planned, due: Sequence[Row], asked: Asked, worker: Sequence[str]) -> Generator[Done, None, None]:
    packs = str(planned.folder / PACKS)
    store = _store_of(asked)
    tasks = [Task(r.variant.name, planned.family.recipe, r.made.sets, packs, r.made.outputs, store) for r in due]
    program, outputs = planned.rows[0].made.program, planned.rows[0].made.outputs
    if asked.scheduler:
        from generator.family.cluster import cluster

        return cluster(tasks, asked.scheduler, asked.limits, program)
    return crew(tasks, asked.jobs, asked.limits, outputs, worker)


def _store_of(asked: Asked) -> str:
    """Return the folder of what variants share; empty for none."""
    return str(Path(asked.out) / STORE) if asked.store is None else asked.store


def _store_trouble(asked: Asked) -> str:
    """Return why variants share nothing although they are to, as a sentence; empty if they do."""
    store = _store_of(asked)
    return trouble(store) if store and not asked.scheduler else ""


def _at_home(done: Done, family: Family) -> Done:
    """Return ``done`` with used files named from the family's folder: it may be called from anywhere, and move."""
    home = os.path.dirname(family.path) or os.curdir
    return replace(done, uses={os.path.relpath(path, home): digest for path, digest in done.uses.items()})


def _result(row: Row, finished: dict[str, Done]) -> Row:
    if row.variant.name in finished:
        return replace(row, done=finished[row.variant.name])
    if row.done is not None and row.is_chosen and not row.why and row.done.is_good:
        return replace(row, done=replace(row.done, status=UNCHANGED))
    return replace(row, done=None) if row.why else row  # what was made before is no longer what is asked for


@contextmanager
def _held(folder: Path) -> Iterator[None]:
    """Keep the family's folder for this run; it is made if need be.

    Raises: OutputError: another run has it, or it cannot be made.
    """
    try:
        (folder / PACKS).mkdir(parents=True, exist_ok=True)
        lock = try_lock(folder)
    except OSError as error:
        raise OutputError(f"cannot write into {folder}: {reason(error)}") from error
    if lock is None and CAN_LOCK:
        raise OutputError(f"another run is at work on {folder}; wait for it, or give --out another folder")
    try:
        yield
    finally:
        if lock is not None:
            os.close(lock)
