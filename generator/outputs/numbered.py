"""The numbered characteristics that several outputs show: reckoned once a build."""

from __future__ import annotations

from generator.estimate.inspection_csv import Inspected, inspected
from generator.outputs.output import Work

__all__ = ["numbered"]


def numbered(work: Work) -> Inspected | None:
    """Return what is measured on the parts; None where the recipe is not known, which says how exact things are."""
    return work.once(_inspected)


def _inspected(work: Work) -> Inspected | None:
    return None if work.recipe is None else inspected(work.recipe, work.plan)
