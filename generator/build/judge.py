"""The first half of the way through: recipe → plan → checks. Never loads the solid kernel or any writer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from generator.base.errors import DRAWABLE, GeometryError, Mistake, RecipeError
from generator.base.fields import OutlineSpec
from generator.base.finding import Finding, Severity
from generator.base.frozen_record import frozen_record
from generator.base.sharing import NOTHING_SHARED, Sharing
from generator.base.units import INCH, length_unit, with_inches
from generator.checks import run_checks
from generator.checks.check import Outcome
from generator.paper.printed_bars import faults
from generator.part.layers import layers
from generator.part.part import Layer, Plan
from generator.part.plan import make_plan
from generator.recipe.model import Recipe
from generator.recipe.read import Reading, read_recipe
from generator.recipe.used import named_files, read_used_file
from generator.shapes import KINDS
from generator.shapes.budget import Budget
from generator.shapes.draw import draw_outline
from generator.shapes.shape import Context, NoRoomError

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


def read(path: str | Path, *, sets: Sequence[str] = ()) -> Reading:
    """Return the recipe at ``path`` with ``sets`` (``parameters.plot=21``) laid over it.

    Raises: RecipeError: with every mistake found.
    """
    budget = Budget()

    def undrawable(outline: OutlineSpec, folder: str) -> tuple[str, str] | None:
        """Return path and reason if an outline cannot be drawn, None if it can."""
        try:
            draw_outline(outline, Context(files=_Files(folder), budget=budget))
        except NoRoomError:
            return None  # the room is only known once the inlay is drawn
        except GeometryError as error:
            return error.path, str(error)
        return None

    return read_recipe(path, kinds=KINDS, sets=sets, undrawable=undrawable)


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
    files = _Files(reading.folder)
    mistakes = _printed_bars(reading)
    try:
        plan = make_plan(reading.recipe, files=files, sharing=sharing)
    except GeometryError as error:
        raise RecipeError([*mistakes, _located(reading, error.path, str(error))]) from error
    except RecipeError as error:
        raise RecipeError([*mistakes, *(placed(reading, m) for m in error.mistakes)]) from error
    if mistakes:
        raise RecipeError(mistakes)
    outcomes = run_checks(reading.recipe, plan) + files.outcome(reading.recipe)
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


class _Files:
    """Reads the files that a recipe names, and remembers what had to be assumed of them."""

    def __init__(self, folder: str) -> None:
        self._folder = folder
        self._told: dict[str, str] = {}

    def read(self, name: str) -> bytes:
        """Return the bytes of a file.

        Raises: GeometryError: the file cannot be read.
        """
        try:
            return read_used_file(self._folder, name)
        except OSError as error:
            raise GeometryError(f"the file {name} cannot be read: {error.strerror or error}") from error

    def tell(self, name: str, what: str) -> None:
        """Keep what was said of a file; saying it again changes nothing."""
        self._told[name] = what

    def outcome(self, recipe: Recipe) -> tuple[Outcome, ...]:
        """Return one outcome with a note for every file, where the recipe names it; none if there is nothing to say."""
        if not self._told:
            return ()
        named = {name: path for path, name in reversed(tuple(named_files(recipe)))}
        notes = tuple(_note(name, what, named.get(name, "")) for name, what in self._told.items())
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


def placed(reading: Reading, mistake: Mistake) -> Mistake:
    """Return ``mistake`` with file, line and column filled in from its recipe path."""
    origin = reading.origin_of(mistake.path)
    return replace(mistake, file=origin.file, line=origin.line, column=origin.column, snippet=origin.snippet)


def _located(reading: Reading, path: str, message: str) -> Mistake:
    """Return a mistake at recipe ``path`` that says what the plane could not do."""
    return placed(reading, Mistake("", 0, 0, path, message, DRAWABLE))
