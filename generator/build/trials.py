"""Recipes tried with edits: each is judged once, however often it is asked for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from generator.base.errors import RecipeError
from generator.base.finding import Finding, Severity
from generator.base.remedy import Edit
from generator.build.judge import Checked, judge
from generator.build.reading import read
from generator.recipe.model_suggest import Changes
from generator.recipe.read import Reading

__all__ = ["Edits", "Judged", "Told", "Trials", "Warned", "forbidden", "shown", "warned", "warnings"]

Told = Callable[[str], None]
Edits = dict[str, str | None]
"""Values by key; None to leave a key out."""
Judged = Checked | RecipeError
Warned = tuple[str, str, str]
"""Check, code and feature of a warning."""


@dataclass
class Trials:
    """The recipe at hand, and what was judged so far.

    Attributes:
        path: the recipe.
        sets: overrides that are laid over it before anything else.
        told: called with a line for every recipe that is tried.
        reading: the recipe as it is.
        count: recipes that were judged.
    """

    path: str
    sets: tuple[str, ...]
    told: Told
    reading: Reading
    count: int = 0
    known: dict[tuple[Edit, ...], Judged] = field(default_factory=dict)

    @property
    def rules(self) -> Changes:
        """Return what the recipe lets be changed."""
        return self.reading.recipe.changes

    def judged(self, edits: Mapping[str, str | None]) -> Judged:
        """Return the recipe with these edits, judged, or why it cannot be read or drawn."""
        key = tuple(sorted((Edit(k, v) for k, v in edits.items()), key=lambda e: e.key))
        if key not in self.known:
            self.count += 1
            self.told(f"{self.count}: " + (", ".join(shown(e) for e in key) or "as it is"))
            overrides = (f"{e.key}={'null' if e.value is None else e.value}" for e in key)
            try:
                self.known[key] = judge(read(self.path, sets=(*self.sets, *overrides)))
            except RecipeError as error:
                self.known[key] = error
        return self.known[key]

    def is_fine(self, edits: Mapping[str, str | None], known: frozenset[Warned]) -> bool:
        """Return True if nothing forbids and nothing is warned of that is not known: no edit trades one for another."""
        judged = self.judged(edits)
        return isinstance(judged, Checked) and not judged.forbids and warnings(judged) <= known


def shown(edit: Edit) -> str:
    """Return an edit as a person would read it."""
    return f"{edit.key}: {edit.value}" if edit.value is not None else f"without {edit.key}"


def forbidden(judged: Judged) -> tuple[str, ...]:
    """Return what is forbidden, as sentences."""
    if isinstance(judged, RecipeError):
        return tuple(m.sentence() for m in judged.mistakes)
    return tuple(f"{f.message} [{f.check}]" for f in judged.findings if f.severity is Severity.FORBIDS)


def warned(judged: Judged) -> tuple[Finding, ...]:
    """Return the findings that warn; none of a recipe that could not be judged."""
    if isinstance(judged, RecipeError):
        return ()
    return tuple(f for f in judged.findings if f.severity is Severity.WARNS)


def warnings(judged: Judged) -> frozenset[Warned]:
    """Return which warnings there are."""
    return frozenset((f.check, f.code, f.feature) for f in warned(judged))
