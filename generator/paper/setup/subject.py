"""One setup with all that its sheet tells, out of recipe, plan, layers and findings; nothing is laid out here."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from generator.base.finding import Finding, Severity
from generator.base.frozen_record import frozen_record
from generator.base.units import LengthUnit, length_unit
from generator.checks import bolts, cutting, fit, flip, metals
from generator.estimate.characteristic import BLANK, Characteristic, Kind
from generator.estimate.making import estimate, piece_size
from generator.estimate.setup_steps import LayerWork, work_of
from generator.outline.create import rectangle
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.part.part import Face, Layer, Part, Plan
from generator.part.setups import Setup, as_machined, setups
from generator.recipe.model import Recipe

__all__ = ["Subject", "subjects"]

OF_ASSEMBLY: Final = frozenset(c.id for c in (*bolts.CHECKS, *metals.CHECKS, *fit.CHECKS))
"""What these checks say concerns who fits the cover, not who cuts it."""
OF_CUTTING: Final = frozenset(c.id for c in (*cutting.CHECKS, *flip.CHECKS)) | {"burr-side"}
"""Of these even plain notes concern who cuts."""
MEASURED: Final = (Kind.DIAMETER, Kind.CONE, Kind.SIZE_X, Kind.SIZE_Y, Kind.DEPTH, Kind.RADIUS, Kind.DISTANCE)
"""What can be measured while the blank is still clamped; overall sizes and places wait for the free part."""


@frozen_record
class Subject:
    """One setup.

    Attributes:
        recipe, plan: it is of.
        setup: name, part, face, layers.
        part: that is made.
        stock: outline of the piece of stock as the machine sees it.
        thickness_mm: of the stock.
        works: layers in working order with their steps.
        files: names of the layers' files by the layers' names, without folder and ending.
        unit: in which lengths are told.
        measured: what is measured before the piece is turned over or unclamped.
        findings: that concern this setup, the most serious first.
        count: of setups of the same part.
    """

    recipe: Recipe
    plan: Plan
    setup: Setup
    part: Part
    stock: Region
    thickness_mm: float
    works: tuple[LayerWork, ...]
    files: Mapping[str, str]
    unit: LengthUnit
    measured: tuple[Characteristic, ...]
    findings: tuple[Finding, ...]
    count: int

    @property
    def is_cover(self) -> bool:
        """Return True for a setup of the cover."""
        return self.part is self.plan.cover

    @property
    def is_first_of_two(self) -> bool:
        """Return True if the blank is turned over after this setup."""
        return self.is_cover and self.setup.face is Face.BOTTOM and self.count > 1

    @property
    def is_second_of_two(self) -> bool:
        """Return True if the blank has been turned over before this setup."""
        return self.is_cover and self.setup.face is Face.TOP and self.count > 1

    def as_seen(self, region: Region) -> Region:
        """Return a region of the plan as the machine sees it in this setup."""
        return as_machined(region, self.setup.face, self.plan.flip)

    def figure(self, mm: float) -> str:
        """Return a length as a bare figure, with a true minus sign."""
        return self.unit.figure(mm).replace("-", "−")

    def aligned(self, mm: float) -> str:
        """Return a length as a bare figure with all its decimals, with a true minus sign."""
        return self.unit.aligned(mm).replace("-", "−")


def subjects(
    recipe: Recipe,
    plan: Plan,
    layers: Sequence[Layer],
    findings: Iterable[Finding],
    numbered: Sequence[Characteristic],
    files: Mapping[tuple[str, str], str],
) -> tuple[Subject, ...]:
    """Return every setup of a plan with what its sheet tells.

    Args:
        recipe: of the plan.
        plan: with a body.
        layers: of the plan, as the machine sees them.
        findings: of the checks.
        numbered: characteristics of all parts.
        files: names of files by part and name of layer.

    Raises: GeometryError: the plan has no body.
    """
    steps = estimate(recipe, plan).steps
    parts = {p.name: p for p in plan.parts}
    found = sorted(findings, key=lambda f: list(Severity).index(f.severity))
    every = setups(tuple(layers))
    out = []
    for setup in every:
        part = parts[setup.part]
        works = work_of(setup, part, layers, steps)
        stock, thickness = _stock(plan, setup, part)
        out.append(
            Subject(
                recipe=recipe,
                plan=plan,
                setup=setup,
                part=part,
                stock=stock,
                thickness_mm=thickness,
                works=works,
                files={w.layer.name: files.get((w.layer.part, w.layer.name), w.layer.name) for w in works},
                unit=length_unit(plan.units),
                measured=tuple(c for c in numbered if _is_measured(c, part, works)),
                findings=tuple(f for f in found if _concerns(f, setup, _names(part, works))),
                count=sum(s.part == setup.part for s in every),
            )
        )
    return tuple(out)


def _stock(plan: Plan, setup: Setup, part: Part) -> tuple[Region, float]:
    """Return outline and thickness of the piece of stock; an insert's lies about the insert's middle."""
    if part is plan.cover:
        return as_machined(plan.blank.region, setup.face, plan.flip), plan.blank.thickness_mm
    (x, y), (wide, high, thickness) = bounds(part.profile).centre, piece_size(plan, part)
    return Region((rectangle(x - wide / 2.0, y - high / 2.0, x + wide / 2.0, y + high / 2.0),)), thickness


def _names(part: Part, works: Iterable[LayerWork]) -> set[str]:
    """Return the names of features and layers that a setup cuts."""
    out: set[str] = set()
    for work in works:
        out.add(work.layer.name)
        for s in work.steps:
            out.update(s.step.operation.features)
    return out


def _is_measured(c: Characteristic, part: Part, works: Sequence[LayerWork]) -> bool:
    """Return True for what this setup cuts and what can be measured while the piece is clamped."""
    if c.kind not in MEASURED or c.feature == part.name:
        return False
    if c.part == BLANK:
        return any(w.layer.name == "dowel-holes" for w in works)
    return c.part == part.name and c.feature in _names(part, works)


def _concerns(f: Finding, setup: Setup, names: set[str]) -> bool:
    if f.check in OF_ASSEMBLY or (f.severity is Severity.NOTES and f.check not in OF_CUTTING):
        return False
    if f.feature in names or f.feature == setup.part:
        return True
    return setup.part == "cover" and f.feature == "blank"
