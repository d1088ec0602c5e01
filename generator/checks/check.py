"""The record of a check, and how one run of all checks is told."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from generator.base.finding import Finding
from generator.part.part import Plan
from generator.recipe.model import Recipe


@dataclass(frozen=True)
class Check:
    """One check: it explains itself.

    Attributes:
        id: name for ever, such as ``thin-floor``.
        title: a few words.
        why: why anyone should care.
        source: where its limits come from.
        run: judges recipe and plan, yields findings.
    """

    id: str
    title: str
    why: str
    source: str
    run: Callable[[Recipe, Plan], Iterable[Finding]]


@dataclass(frozen=True)
class Outcome:
    """What became of one check: passed, found something, or crashed (ours to mend).

    ``crash`` is empty unless the check itself failed.
    """

    check: str
    findings: tuple[Finding, ...] = ()
    crash: str = ""
