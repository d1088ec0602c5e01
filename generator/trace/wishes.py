"""Relations that a person forbids or demands, by the names that the report gives them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from math import pi
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.trace.equations import linearised
from generator.trace.primitives import LINE
from generator.trace.relations import (
    CONCENTRIC,
    EQUAL,
    IN_LINE,
    MIRROR,
    PARALLEL,
    SQUARE,
    TANGENT,
    Relation,
    at_right_angles,
    concentric,
    equal_radius,
    in_line,
    tangent,
)
from generator.trace.unknowns import Model

Floats = NDArray[np.float64]

FAR_MM: Final = 1.0
FAR_RAD: Final = 0.1
"""What is farther than this from a relation cannot be bent to it."""
KINDS: Final = (TANGENT, CONCENTRIC, EQUAL, PARALLEL, SQUARE, IN_LINE, MIRROR)


@frozen_record
class Wishes:
    """What a person wants of relations.

    Attributes:
        demanded: names such as ``tangent 3 4`` of those that must hold whatever they cost.
        forbidden: names, or kinds alone, of those that must not be imposed.
    """

    demanded: frozenset[str] = frozenset()
    forbidden: frozenset[str] = frozenset()

    def forbids(self, relation: Relation) -> bool:
        """Tell whether a relation must not be imposed."""
        return relation.name in self.forbidden or relation.kind in self.forbidden

    def demands(self, relation: Relation) -> bool:
        """Tell whether a relation must hold."""
        return relation.name in self.demanded

    def demand_near(self, relations: Iterable[Relation], x: Floats) -> None:
        """Refuse demanded relations that are far from what was seen.

        Raises: GeometryError: names the first of them.
        """
        for r in relations:
            off = float(np.abs(linearised(r.equations, x)[0]).max()) if self.demands(r) else 0.0
            turn = r.kind in (PARALLEL, SQUARE)
            if off > (FAR_RAD if turn else FAR_MM):
                told = f"{np.degrees(off):.0f}°" if turn else f"{off:.1f} mm"
                raise GeometryError(f"`{r.name}` is demanded, but what was seen is {told} off it")

    def demand_kept(self, dropped: Iterable[tuple[Relation, float]]) -> None:
        """Refuse if a demanded relation had to be dropped.

        Raises: GeometryError: names the first of them.
        """
        for r, _ in dropped:
            if self.demands(r):
                raise GeometryError(f"`{r.name}` is demanded, but cannot hold")

    def missing(self, model: Model, proposed: Iterable[Relation]) -> list[Relation]:
        """Return the demanded relations that nobody proposed.

        Raises: GeometryError: a name means no relation of these primitives.
        """
        known = {r.name for r in proposed}
        return [_made(model, name) for name in sorted(self.demanded - known)]


NO_WISHES: Final = Wishes()


def wishes(demanded: Iterable[str], forbidden: Iterable[str]) -> Wishes:
    """Return wishes by names as a person writes them: ``equal radius 5 3``, ``equal-radius 3 5``.

    Raises: GeometryError: no such kind, numbers that are none, or both demanded and forbidden.
    """
    wanted = frozenset(_name(d, kind_alone=False) for d in demanded)
    unwanted = frozenset(_name(f, kind_alone=True) for f in forbidden)
    both = sorted(wanted & unwanted)
    if both:
        raise GeometryError(f"`{both[0]}` is demanded and forbidden: give only one")
    return Wishes(wanted, unwanted)


def _name(text: str, *, kind_alone: bool) -> str:
    match = re.fullmatch(r" *([A-Za-z][A-Za-z _-]*?)[ ,:]*((?:\d+[ ,]*)*)", text)
    kind = re.sub(r"[ _-]+", " ", match[1]).strip().lower() if match else ""
    if match is None or kind not in KINDS:
        raise GeometryError(
            f"`{text}` is no relation: give its kind ({', '.join(KINDS)}) and the numbers of the features, such as "
            "`tangent 3 4`"
        )
    numbers = sorted({int(n) for n in re.findall(r"\d+", match[2])})
    if not numbers and kind_alone:
        return kind
    if len(numbers) != 2 and not (kind == MIRROR and len(numbers) == 1):
        raise GeometryError(f"`{text}`: a relation is between two features; give their numbers, such as `{kind} 3 4`")
    return " ".join([kind, *map(str, numbers)])


def _made(model: Model, name: str) -> Relation:
    """Return a relation by its name.

    Raises: GeometryError: the primitives cannot be so related.
    """
    kind, numbers = re.sub(r"[\d ]+$", "", name), [int(n) - 1 for n in re.findall(r"\d+", name)]
    count = len(model.primitives)
    beyond = [n + 1 for n in numbers if not 0 <= n < count]
    if beyond:
        raise GeometryError(
            f"`{name}` is demanded, but there is no feature {beyond[0]}: they are numbered 1 to {count}"
        )
    if kind == MIRROR:
        raise GeometryError(f"`{name}` is demanded, but no axis of symmetry was found in which that could be")
    one, other = numbers
    p, q = model.primitives[one], model.primitives[other]
    lines = (p.kind == LINE) + (q.kind == LINE)
    if lines != {CONCENTRIC: 0, EQUAL: 0, PARALLEL: 2, SQUARE: 2, IN_LINE: 2}.get(kind, lines):
        raise GeometryError(f"`{name}` is demanded, but features {one + 1} and {other + 1} are {p.kind} and {q.kind}")
    if kind == CONCENTRIC:
        return concentric(model, one, other)
    if kind == EQUAL:
        return equal_radius(model, one, other)
    if kind == IN_LINE:
        return in_line(model, one, other)
    if kind in (PARALLEL, SQUARE):
        quarter = round((q.values[0] - p.values[0]) / (pi / 2.0)) % 4
        if (quarter % 2 == 0) != (kind == PARALLEL):
            raise GeometryError(f"`{name}` is demanded, but they are nearer to the other")
        return at_right_angles(model, one, other, quarter)
    found = tangent(model, one, other)
    if found is None:
        raise GeometryError(f"`{name}` is demanded, but two lines, or arcs of one radius, cannot be tangent")
    return found
