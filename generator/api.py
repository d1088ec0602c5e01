"""The public Python API: the same things that the command does.

>>> from generator import api as coverplate
>>> checked = coverplate.check("recipes/gate-latch-22.yaml")
>>> checked.forbids, [f.check for f in checked.findings][:2]
(False, ['load-bearing', 'weak-head'])
>>> round(coverplate.mass_g(checked.plan.cover))
99
>>> built = coverplate.build("recipes/gate-latch.yaml", out="out")   # doctest: +SKIP
>>> built.folder, built.files, [p.deviation for p in built.proofs]   # doctest: +SKIP

``read`` gives the typed recipe, ``check`` the 2.5D plan with findings, ``build`` the pack; ``resolved_yaml`` is what
``coverplate show`` prints, ``inspect`` what readings of made parts say, ``compare`` what changed between two recipes or
packs; ``handoff`` writes the zip for a shop. ``run_family(Asked(path))`` makes a family, ``plan_family`` tells what is
due in it. ``volume_mm3``, ``mass_g`` and ``slabs`` measure a part of a plan.
Mistakes in a recipe are a ``RecipeError`` that holds them all. Nothing here loads the solid kernel except ``build``,
``handoff`` and ``to_cadquery``.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from generator.base.errors import (
    CoverplateError,
    GeometryError,
    Mistake,
    OutputError,
    ProofError,
    RecipeError,
)
from generator.base.finding import Finding, Severity
from generator.build.compare.compare import Comparison, compare
from generator.build.handoff.handoff import HandedOff, handoff
from generator.build.inspection import Inspection, inspect
from generator.build.judge import Checked, check
from generator.build.pack_up import Built, build
from generator.build.reading import read
from generator.build.suggest import Suggestion, suggest
from generator.family.run import Asked, Ran, plan_family, run_family
from generator.part.mass import mass_g, volume_mm3
from generator.part.slabs import slabs
from generator.recipe.resolve import resolved_yaml

if TYPE_CHECKING:
    from generator.part.part import Part

__all__ = [
    "Asked",
    "Built",
    "Checked",
    "Comparison",
    "CoverplateError",
    "Finding",
    "GeometryError",
    "HandedOff",
    "Inspection",
    "Mistake",
    "OutputError",
    "ProofError",
    "Ran",
    "RecipeError",
    "Severity",
    "Suggestion",
    "build",
    "check",
    "compare",
    "handoff",
    "inspect",
    "mass_g",
    "plan_family",
    "read",
    "resolved_yaml",
    "run_family",
    "slabs",
    "suggest",
    "to_cadquery",
    "volume_mm3",
]


def to_cadquery(part: Part) -> Any:
    """Return the solid of ``part`` as a ``cadquery.Workplane``; loads cadquery."""
    from generator.solid.solids import to_cadquery as convert

    return convert(part)
