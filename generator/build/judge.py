"""The first half of the way through: reading → plan → checks. Never loads the solid kernel or any writer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from generator.base.errors import DRAWABLE, GeometryError, Mistake, RecipeError
from generator.base.finding import Finding, Severity
from generator.base.frozen_record import frozen_record
from generator.base.sharing import NOTHING_SHARED, Sharing
from generator.base.units import INCH, length_unit, with_inches
from generator.build.reading import UsedFiles, placed, read
from generator.checks import run_checks
from generator.checks.check import Outcome
from generator.paper.printed_bars import faults
from generator.part.layers import layers
from generator.part.part import Layer, Plan
from generator.part.plan import make_plan
from generator.recipe.model import Recipe
from generator.recipe.read import Reading
from generator.recipe.used import named_files

_FILES = "outline-file"


@frozen_record
class Checked:
    """A recipe read, planned and judged; nothing built.

    Attributes:
        reading: the recipe with the origin of every value.
        plan: the 2.5D plan.
        layers: every layer as the machine sees it.
        outcomes: what each check said.
    """

    reading: Reading
    plan: Plan
    layers: tuple[Layer, ...]
    outcomes: tuple[Outcome, ...]

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Return all findings, the most serious first."""
        order = list(Severity)
        found = [f for o in self.outcomes for f in o.findings]
        return tuple(sorted(found, key=lambda f: order.index(f.severity)))

    def place_of(self, finding: Finding) -> str:
        """Return ``file:line:column`` of the recipe line that a finding comes from; the file alone if it has none."""
        origin = self.reading.origin_of(finding.path)
        whole = self.reading.files[0].name if self.reading.files else ""
        return ":".join([origin.file or whole, *(str(n) for n in (origin.line, origin.column) if n)])

    @property
    def forbids(self) -> bool:
        """Return True if any finding forbids building."""
        return any(f.severity is Severity.FORBIDS for f in self.findings)


def check(path: str | Path, *, sets: Sequence[str] = ()) -> Checked:
    """Return the recipe at ``path`` planned and judged. Never loads the solid kernel.

    Raises: RecipeError: with every mistake found, an outline that cannot be drawn included.
    """
    return judge(read(path, sets=sets))


def judge(reading: Reading, sharing: Sharing = NOTHING_SHARED) -> Checked:
    """Return the reading planned and judged; geometry that cannot be drawn becomes a located mistake.

    Args:
        reading: the recipe.
        sharing: keeps outlines for recipes that have the same.

    Raises: RecipeError: an outline cannot be drawn, or the recipe contradicts itself.
    """
    files = UsedFiles(reading.folder)
    mistakes = _printed_bars(reading)
    try:
        plan = make_plan(reading.recipe, files=files, sharing=sharing)
    except GeometryError as error:
        raise RecipeError([*mistakes, _located(reading, error.path, str(error))]) from error
    except RecipeError as error:
        raise RecipeError([*mistakes, *(placed(reading, m) for m in error.mistakes)]) from error
    if mistakes:
        raise RecipeError(mistakes)
    outcomes = run_checks(reading.recipe, plan) + _as_read(files, reading.recipe)
    return Checked(reading, plan, layers(plan), tuple(_spoken(o, plan.units) for o in outcomes))


def _printed_bars(reading: Reading) -> list[Mistake]:
    """Return a mistake for every reading of a printed bar that none can have given."""
    recipe = reading.recipe
    return [placed(reading, m) for m in faults(recipe.paper.printed_bars, length_unit(recipe.units))]


def _spoken(outcome: Outcome, units: str) -> Outcome:
    """Return the outcome with inches beside every length of its texts, for a recipe in inches."""
    if units != INCH.name:
        return outcome
    texts = (replace(f, message=with_inches(f.message), remedy=with_inches(f.remedy)) for f in outcome.findings)
    return replace(outcome, findings=tuple(texts))


def _as_read(files: UsedFiles, recipe: Recipe) -> tuple[Outcome, ...]:
    """Return one outcome with a note for every file, where the recipe names it; none if there is nothing to say."""
    told = dict(files.told())
    if not told:
        return ()
    named = {name: path for path, name in reversed(tuple(named_files(recipe)))}
    notes = tuple(_note(name, what, named.get(name, "")) for name, what in told.items())
    return (Outcome(_FILES, notes),)


def _note(name: str, what: str, path: str) -> Finding:
    """Return the note about a file that the recipe names at ``path``."""
    return Finding(
        check=_FILES,
        code="as-read",
        severity=Severity.NOTES,
        message=f"{name}: {what}",
        source="the file itself",
        remedy="mend it if that is not what is meant, and compare the sizes in the report with the real thing",
        path=path,
    )


def _located(reading: Reading, path: str, message: str) -> Mistake:
    """Return a mistake at recipe ``path`` that says what the plane could not do."""
    return placed(reading, Mistake("", 0, 0, path, message, DRAWABLE))
