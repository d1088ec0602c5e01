"""The 1:1 prints without building: what forbids a build does not forbid trying paper on the real thing."""

from __future__ import annotations

from generator.base.errors import RecipeError
from generator.build.judge import Checked
from generator.build.reading import placed
from generator.build.work import work_of
from generator.outputs import templates
from generator.outputs.proofs import demand

__all__ = ["printed_templates"]


def printed_templates(checked: Checked) -> dict[str, bytes]:
    """Return the prints of a judged recipe by file name, proven; where a finding forbids, every sheet says so.

    Raises:
        RecipeError: the paper is too small for one.
        GeometryError: what was found leaves nothing that can be drawn.
        ProofError: a print is not what it should be.
    """
    work = work_of(checked)
    try:
        files = dict(templates.write(work))
    except RecipeError as error:
        raise RecipeError([placed(checked.reading, m) for m in error.mistakes]) from error
    demand(tuple(templates.prove(work, files)))
    return {path.rpartition("/")[2]: data for path, data in files.items()}
