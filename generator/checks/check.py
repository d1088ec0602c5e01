"""The record of a check, how one run of all checks is told, and how figures are written into remedies."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from generator.base.finding import Finding
from generator.base.frozen_record import frozen_record
from generator.base.remedy import NOISE as NOISE
from generator.base.remedy import STEP as STEP
from generator.base.remedy import no_less as no_less
from generator.base.remedy import no_more as no_more
from generator.estimate.thicker import thicker as thicker
from generator.part.part import Plan
from generator.recipe.model import Recipe


@frozen_record
class Check:
    """One check: it explains itself.

    Attributes:
        id: name for ever, such as ``thin-floor``.
        title: a few words.
        why: why anyone should care.
        source: where its reasoning or formula comes from; the limits carry their own sources.
        run: judges recipe and plan, yields findings.
        formula: how the figure is reckoned, in plain words or symbols; empty where it is measured on the regions.
        limits: those of the recipe's limits that it holds the plan against, such as ``walls.sound``.
    """

    id: str
    title: str
    why: str
    source: str
    run: Callable[[Recipe, Plan], Iterable[Finding]]
    formula: str = ""
    limits: tuple[str, ...] = ()


@frozen_record
class Outcome:
    """What became of one check: passed, found something, or crashed (ours to mend).

    ``crash`` is empty unless the check itself failed.
    """

    check: str
    findings: tuple[Finding, ...] = ()
    crash: str = ""
