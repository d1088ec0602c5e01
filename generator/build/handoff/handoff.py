"""From a recipe to the one zip that goes to the shop: the pack, verified, compared file by file, and a letter."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final

from generator.base.errors import OutputError, ProofError
from generator.base.frozen_record import frozen_record
from generator.base.whole_file import write_whole
from generator.build.compare.of_pack import whole_pack
from generator.build.handoff.agreement import Agreement, agreement
from generator.build.handoff.archive import archive, archive_name, folder_name
from generator.build.handoff.choose import chosen
from generator.build.handoff.readme import README, missing, readme
from generator.build.judge import Checked
from generator.build.pack_up import build

__all__ = ["HandedOff", "handoff"]

COMPARED: Final = (
    "Sizes, places, depths and their limits agree in drawing, STEP, DXF, inspection and setup sheets; the solids are "
    "what the DXF layers leave; material, quantity and revision of the parts are the same in models, drawings, sheets "
    "and parts list. Not compared: rows of the parts list for what is bought or sawn, counts of holes in call-outs, "
    "finish; pictures, views and sections on paper (each is proven against the plan when it is drawn); order of "
    "operations, cutters, speeds and feeds on setup sheets; slopes of countersinks; where inserts lie in the assembly."
)
"""What a shop may rely on, and what it may not."""


@frozen_record
class HandedOff:
    """What was handed over.

    Attributes:
        checked: the recipe and what the checks said.
        path: the zip; None if a finding forbade building.
        files: paths in it.
        missing: what the shop will ask for: recipe path and a sentence.
        agreed: how far the files agree; None without a zip.
    """

    checked: Checked
    path: Path | None
    files: tuple[str, ...] = ()
    missing: tuple[tuple[str, str], ...] = ()
    agreed: Agreement | None = None


def handoff(
    recipe: str | Path,
    *,
    out: str | Path = "out",
    sets: Sequence[str] = (),
    progress: Callable[[str], None] = lambda _: None,
) -> HandedOff:
    """Build the recipe's pack into ``out``, or take the one that is there and unchanged, and zip what a shop needs.

    Args:
        recipe: the recipe.
        out: folder of the pack and of the zip.
        sets: overrides such as ``parameters.plot=21``.
        progress: told what is being done.

    Raises:
        RecipeError: with every mistake found.
        ProofError: two files disagree; no zip is written.
        OutputError: the folder or disk refuses; an earlier zip is as it was.
    """
    built = build(recipe, out=out, sets=sets, progress=progress)
    checked = built.checked
    wanted = tuple(missing(checked.reading))
    if built.folder is None:
        return HandedOff(checked, None, missing=wanted)
    files = chosen(_files(built.folder))
    progress("comparing what drawing, STEP, DXF, inspection and setup sheets state")
    plan, said = checked.plan, checked.reading.recipe
    agreed = agreement(said, plan, files)
    files[README] = readme(
        said,
        plan,
        files,
        f"{agreed.numbers} numbers were read back from these files, {agreed.statements} figures in all. {COMPARED}",
    )
    progress("writing the zip")
    path = Path(out) / archive_name(plan.name, plan.revision)
    _replace(path, archive(folder_name(plan.name, plan.revision), files))
    return HandedOff(checked, path, tuple(sorted(files)), wanted, agreed)


def _files(folder: Path) -> dict[str, bytes]:
    """Return the files of a pack, each as the manifest has it."""
    manifest, _ = whole_pack(folder)
    files = {path: (folder / path).read_bytes() for path in manifest.files}
    if any(len(data) != manifest.files[path].size for path, data in files.items()):
        raise ProofError(f"{folder} changed while it was read", feature="hand-off")
    return files


def _replace(path: Path, content: bytes) -> None:
    """Write a file in one step: whoever reads it gets the earlier one or this one, whole."""
    try:
        write_whole(path, content)
    except OSError as error:
        raise OutputError(
            f"{path} cannot be written: {error.strerror or error}; an earlier one is as it was"
        ) from error
