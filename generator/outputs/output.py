"""The record of an output, what it is given, and the proofs it gives back."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import field
from typing import Any, Protocol, TypeVar

from generator.base.frozen_record import frozen_record
from generator.base.sharing import NOTHING_SHARED, Sharing
from generator.base.units import MODEL, Tolerance
from generator.checks.check import Outcome
from generator.part.part import Layer, Part, Plan
from generator.part.solid_facts import UNKNOWN_BOX, Hole, ReadLabel, ReadSize, SolidFacts
from generator.part.toleranced import Toleranced
from generator.recipe.model import Recipe

__all__ = [
    "UNKNOWN_BOX",
    "Files",
    "Hole",
    "Output",
    "Proof",
    "ReadSize",
    "SolidFacts",
    "Solids",
    "Toleranced",
    "Work",
]


T = TypeVar("T")


class Solids(Protocol):
    """The solid side as the outputs see it; handed in by the build, made in ``solid/``."""

    def facts(self, part: Part) -> SolidFacts | None:
        """Return the facts of a part's solid; None if its file is written from its faces, without one."""

    def part_step(self, part: Part) -> bytes:
        """Return the STEP file of one part."""

    def assembly_step(self) -> bytes:
        """Return the STEP file of cover and inserts as named, coloured products."""

    def sizes(self, part: Part) -> tuple[Toleranced, ...]:
        """Return the sizes with limits that a part's model carries."""

    def read_sizes(self, data: bytes) -> tuple[ReadSize, ...]:
        """Return the sizes with limits in a STEP file, in its order, as the kernel reads them."""

    def read_labels(self, data: bytes) -> tuple[ReadLabel, ...]:
        """Return what a STEP file says of its products beside their shape."""

    def read_step(self, data: bytes) -> tuple[SolidFacts, ...]:
        """Return the facts of every product of a STEP file, by an independent pass through the file."""


@frozen_record
class Work:
    """What an output is given.

    Attributes:
        plan: the 2.5D plan.
        layers: every layer, as the machine sees it.
        outcomes: what the checks said.
        recipe_digest: SHA-256 of the resolved recipe and the files it uses, hexadecimal.
        resolved: the resolved recipe as YAML text.
        tool_versions: versions of the libraries that shape the outputs, by name.
        solids: the solid side, None if no chosen output needs it.
        tol: the tolerances of the proofs.
        recipe: the recipe itself, for what the plan does not hold (tolerances, units); None if it is not known.
        sharing: keeps what other variants can use.
        made: the files of the pack so far, for an output that tells of those before it.
        kept: what ``once`` has made.
    """

    plan: Plan
    layers: tuple[Layer, ...]
    outcomes: tuple[Outcome, ...]
    recipe_digest: str
    resolved: str
    tool_versions: Mapping[str, str]
    solids: Solids | None = None
    tol: Tolerance = MODEL
    recipe: Recipe | None = None
    sharing: Sharing = NOTHING_SHARED
    made: Mapping[str, bytes] = field(default_factory=dict)
    kept: dict[Callable[[Work], Any], Any] = field(default_factory=dict, init=False, compare=False, repr=False)

    def once(self, make: Callable[[Work], T]) -> T:
        """Return ``make(self)``, made when it is first asked for: writing, proving and other outputs share it."""
        if make not in self.kept:
            self.kept[make] = make(self)
        kept: T = self.kept[make]
        return kept


@frozen_record
class Proof:
    """One comparison of two outputs that must agree.

    Attributes:
        what: such as ``volume: regions against solid``.
        feature: part, layer or file.
        deviation: how far apart they are, in ``unit``.
        limit: how far they may be.
        unit: ``mm``, ``mm²``, ``relative`` …

    Raises: TypeError, ValueError: deviation or limit is no number.
    """

    what: str
    feature: str
    deviation: float
    limit: float
    unit: str

    def __post_init__(self) -> None:
        """Make plain numbers of deviation and limit: what compares those of an array is no bool that JSON can hold."""
        for name in ("deviation", "limit"):
            object.__setattr__(self, name, float(getattr(self, name)))

    @property
    def holds(self) -> bool:
        """Return True if the deviation is a number within the limit."""
        return self.deviation <= self.limit


Files = Mapping[str, bytes]
"""Files of a pack by relative path with forward slashes."""


@frozen_record
class Output:
    """One kind of output.

    Attributes:
        name: such as ``layers-dxf``.
        help: one sentence.
        needs_solid: whether the solid kernel must be loaded for it.
        write: yields (relative path, bytes); same work, same bytes.
        prove: reads the bytes back and yields proofs.
    """

    name: str
    help: str
    needs_solid: bool
    write: Callable[[Work], Iterable[tuple[str, bytes]]]
    prove: Callable[[Work, Files], Iterable[Proof]]
