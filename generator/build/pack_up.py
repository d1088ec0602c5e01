"""The second half of the way through: a pack that is there and unchanged is kept, any other is made anew."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path

from generator.base.errors import Mistake, RecipeError
from generator.base.frozen_record import frozen_record
from generator.base.sharing import NOTHING_SHARED, Sharing
from generator.build.judge import Checked, judge
from generator.build.reading import placed, read
from generator.build.versions import demand_outputs, tool_versions
from generator.outputs import OUTPUTS
from generator.outputs.manifest import is_current
from generator.outputs.output import Proof
from generator.outputs.registry import Registered
from generator.recipe.read import Reading
from generator.recipe.resolve import digest

Progress = Callable[[str], None]
"""Told what is being done, one short sentence at a time."""


@frozen_record
class Built:
    """What one build handed back.

    Attributes:
        checked: the recipe and what the checks said.
        folder: the pack's folder; None if a finding forbade building.
        files: relative paths of the pack's files.
        proofs: every comparison that was made; empty if the pack was already there, proven and unchanged.
        was_current: True if every file was there, verified and unchanged.
        key: digest of the recipe and of the files that it uses, as they were when it was read, and of all versions.
    """

    checked: Checked
    folder: Path | None
    files: tuple[str, ...] = ()
    proofs: tuple[Proof, ...] = ()
    was_current: bool = False
    key: str = ""


def build(
    path: str | Path,
    *,
    out: str | Path = "out",
    sets: Sequence[str] = (),
    outputs: Iterable[str] = (),
    progress: Progress = lambda _: None,
    taken: dict[str, str] | None = None,
    sharing: Sharing = NOTHING_SHARED,
    versions: Mapping[str, str] | None = None,
) -> Built:
    """Build the recipe at ``path`` into ``out``/NAME and return what was made and proven.

    Args:
        path: the recipe.
        out: folder of the packs.
        sets: overrides such as ``parameters.plot=21``.
        outputs: names of the outputs wanted; all of them by default.
        progress: told what is being done.
        taken: pack names already made in this run, by recipe; a second recipe with the same name is refused.
        sharing: keeps what other builds can use.
        versions: what ``tool_versions`` says, for who knows it already.

    Raises:
        RecipeError: with every mistake found, an output that there is not, or no folder, included.
        ProofError: two outputs disagree; the previous pack stays as it was.
        OutputError: the folder or disk refuses; the previous pack stays as it was.
    """
    chosen = _chosen(outputs)
    _demand_folder(out)
    reading = read(path, sets=sets)
    _claim(reading, str(path), {} if taken is None else taken)
    versions = tool_versions() if versions is None else versions
    names = tuple(o.name for o in chosen)
    key = key_of(reading, versions)
    folder = Path(out) / reading.recipe.name
    if is_current(folder, key, versions, names):
        checked = judge(reading, sharing)
        files = tuple(sorted(p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()))
        return Built(checked, folder, files, was_current=True, key=key)
    progress("drawing and judging the plan")
    checked = judge(reading, sharing)
    if checked.forbids:
        return Built(checked, None, key=key)
    from generator.build.make_pack import make_pack  # only now: an unchanged pack needs no writer

    writers = tuple(o.output for o in chosen)
    where, files, proofs = make_pack(checked, Path(out), writers, key, versions, progress, sharing)
    return Built(checked, where, files, proofs, key=key)


def key_of(reading: Reading, versions: Mapping[str, str]) -> str:
    """Return the digest of a recipe, of the files that it uses as they are now, and of all versions."""
    return digest(reading, "\n".join(f"{k} {v}" for k, v in sorted(versions.items())))


def _chosen(names: Iterable[str]) -> tuple[Registered, ...]:
    """Return the outputs called ``names``, in the registry's order; all of them without names."""
    wanted = list(names)
    demand_outputs(wanted)
    return tuple(o for o in OUTPUTS if not wanted or o.name in wanted)


def _demand_folder(out: str | Path) -> None:
    """Refuse an empty name, as a script with an unset variable gives it: it would mean the current folder."""
    if isinstance(out, str) and not out.strip():
        remedy = "name one, write `.` for the current folder, or leave it out for `out`"
        raise RecipeError([Mistake("out", 0, 0, "", "nothing", "the folder of the packs", remedy)])


def _claim(reading: Reading, path: str, taken: dict[str, str]) -> None:
    """Note that this run makes the pack of ``reading``; refuse a name that another recipe of the run has made."""
    name = reading.recipe.name
    other = taken.setdefault(name, path)
    if other != path:
        remedy = "give each recipe a name of its own"
        raise RecipeError([placed(reading, Mistake("", 0, 0, "name", f"{name}, also made by {other}", "", remedy))])
