"""Making a pack: plan → outputs → proofs → pack.

The solid kernel is loaded only when a chosen output needs it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

from generator.base.errors import GeometryError, Mistake, RecipeError
from generator.base.sharing import NOTHING_SHARED, Sharing
from generator.build.judge import Checked
from generator.build.reading import placed
from generator.build.work import work_of
from generator.estimate.toleranced_sizes import toleranced_sizes
from generator.outputs.manifest import manifest_bytes
from generator.outputs.output import Output, Proof, Solids, Work
from generator.outputs.pack import demand_place, write_pack
from generator.outputs.proofs import demand
from generator.outputs.report import report_files
from generator.part.slabs import slabs
from generator.recipe.resolve import resolved_yaml


def make_pack(
    checked: Checked,
    out: Path,
    chosen: tuple[Output, ...],
    key: str,
    versions: Mapping[str, str],
    progress: Callable[[str], None],
    sharing: Sharing = NOTHING_SHARED,
) -> tuple[Path, tuple[str, ...], tuple[Proof, ...]]:
    """Make and prove the ``chosen`` outputs, write the pack; return its folder, files and proofs.

    Args:
        checked: the recipe, planned and judged; no finding forbids building.
        out: folder of the packs.
        chosen: the outputs wanted.
        key: digest of the recipe and what it uses.
        versions: of the package and of the libraries, by name.
        progress: told what is being done.
        sharing: keeps what other builds can use.

    Raises:
        RecipeError: a solid cannot be made, or an output cannot be made of this recipe.
        ProofError: two outputs disagree; the previous pack stays as it was.
        OutputError: the folder or disk refuses; the previous pack stays as it was.
    """
    resolved = resolved_yaml(checked.reading)
    work = replace(work_of(checked), recipe_digest=key, resolved=resolved, tool_versions=versions, sharing=sharing)
    demand_place(out, checked.plan.name)
    if any(o.needs_solid for o in chosen):
        progress("loading the solid kernel and sewing the solids")
        work = replace(work, solids=_solids(checked, sharing))
    try:
        files, proofs = _write_and_prove(work, chosen, progress)
    except GeometryError as error:
        raise RecipeError([placed(checked.reading, _unmakable(error))]) from error
    except RecipeError as error:
        raise RecipeError([placed(checked.reading, m) for m in error.mistakes]) from error
    files.update(report_files(work, proofs, files))
    files["manifest.json"] = manifest_bytes(work, tuple(o.name for o in chosen), files)
    progress("writing the pack")
    where = write_pack(out, checked.plan.name, files)
    return where, tuple(sorted(files)), tuple(proofs)


def _unmakable(error: GeometryError) -> Mistake:
    """Return the mistake that stands for a solid that cannot be made although no check forbade it."""
    at = f" near ({error.point_mm[0]:z.2f}, {error.point_mm[1]:z.2f})" if error.point_mm else ""
    remedy = "make cover.edge_break smaller, or move apart or overlap more what only just touches there"
    return Mistake("", 0, 0, "cover.edge_break", f"{error}{at}", "a solid that can be made", remedy)


def _solids(checked: Checked, sharing: Sharing) -> Solids:
    """Return the solid side of a plan, with the limits that its models carry; loads the solid kernel."""
    from generator.solid.solids import make_solids

    sizes = toleranced_sizes(checked.reading.recipe, checked.plan)
    return make_solids(checked.plan, slabs, sizes=sizes, sharing=sharing)


def _write_and_prove(
    work: Work, chosen: tuple[Output, ...], progress: Callable[[str], None]
) -> tuple[dict[str, bytes], list[Proof]]:
    """Return the files of every chosen output and their proofs.

    Raises: ProofError: one of them does not hold.
    """
    files: dict[str, bytes] = {}
    proofs: list[Proof] = []
    work = replace(work, made=MappingProxyType(files))
    for output in chosen:
        progress(f"{output.name}: writing and proving")
        made = dict(output.write(work))
        found = tuple(output.prove(work, made))
        demand(found)
        files.update(made)
        proofs.extend(found)
    return files, proofs
