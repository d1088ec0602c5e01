"""The sums that a fitter does by hand: what errors add up to along three chains, at worst and by root sum of squares.

``wall``: the original in the pocket. ``bolt``: a bolt in its hole. ``wall to bolt``: the original lies against the wall
on one side and a bolt against its hole on the other, so both rooms and all errors count. Turning to fit is left to the
simulation.

Both sums ask for the same: what 99.73 % of covers keep within. An even error has its full limits. A normal one has as
many of its standard deviations as that takes: 3 in one direction; for n bolts, of which each errs along x and y,
``root(-2 ln(0.0027 / n))``, beyond which one of them lies off in at most 0.27 % of covers (derived: Rayleigh's
distribution, the chances of n bolts added; from wall to bolt it is one bolt). At worst all of these are added. The root
sum of squares takes as many standard uncertainties (JCGM 100:2008, GUM: 95 % of a normal distribution is 1.96 of them,
4.3.4; limits are a rectangle, half its width over the root of 3, 4.3.7); it stops at the worst, beyond which nothing
lies that the worst does not know of.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot, inf, log, sqrt
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.fit.case import FitCase
from generator.fit.chance import DEVIATIONS_95

__all__ = ["Chain", "Term", "chains_of", "largest", "tightest"]

COVERAGE: Final = 3.0
"""Standard deviations of a normal error, one direction asked: 99.73 % keep within."""
OUTSIDE: Final = 0.0027
"""Share of a normal distribution that lies further off than three standard deviations."""
NOTHING_MM: Final = 1e-9
"""Room that is none."""
ACROSS: Final = sqrt(2.0)
"""Limits along x and along y reached together."""


@frozen_record
class Term:
    """One error in a chain.

    Attributes:
        name: in plain words.
        key: the recipe's key.
        worst_mm: most that it takes of the room: full limits, or what 99.73 % keep within.
        standard_mm: standard uncertainty in one direction.
    """

    name: str
    key: str
    worst_mm: float
    standard_mm: float


@frozen_record
class Chain:
    """Errors against the room that they have.

    Attributes:
        name: ``wall``, ``bolt`` or ``wall to bolt``.
        room_mm: what there is for them.
        terms: the errors.
        coverage: standard uncertainties that the root sum of squares is taken to.
    """

    name: str
    room_mm: float
    terms: tuple[Term, ...]
    coverage: float = COVERAGE

    @property
    def worst_mm(self) -> float:
        """Return the sum of all errors at their worst, mm."""
        return sum(t.worst_mm for t in self.terms)

    @property
    def rss_mm(self) -> float:
        """Return ``coverage`` times the root sum of squares of the standard uncertainties, mm; at most the worst."""
        return min(self.coverage * sqrt(sum(t.standard_mm**2 for t in self.terms)), self.worst_mm)

    @property
    def spare_mm(self) -> float:
        """Return the room that is left at worst, mm; negative where it is not enough."""
        return self.room_mm - self.worst_mm

    def shares(self) -> tuple[tuple[Term, float], ...]:
        """Return the terms with their shares of the variance, the largest first."""
        total = sum(t.standard_mm**2 for t in self.terms) or 1.0
        pairs = [(t, t.standard_mm**2 / total) for t in self.terms]
        return tuple(sorted(pairs, key=lambda pair: (-pair[1], pair[0].key)))


def chains_of(case: FitCase) -> tuple[Chain, ...]:
    """Return the chains of a cover: the wall's, and with bolts the narrowest bolt's and the one from wall to bolt."""
    e, turned = case.errors, any(p.turned_over for p in case.pins)
    wall = (_measured("footprint", "footprint", e.footprint, COVERAGE), _cut("pocket width", "size", e.size / 2.0, 1.0))
    chains = [Chain("wall", case.clearance_mm, wall)]
    if case.pins:
        room = min(p.room_mm for p in case.pins)
        every, one = _coverage_in_plane(len(case.pins)), _coverage_in_plane(1)
        holes = (
            _cut("hole position", "position", e.position, ACROSS),
            _cut("hole diameter", "size", e.size / 2.0, 1.0),
        )
        between = [_cut("pocket position", "position", e.position, ACROSS)]
        if turned:
            between.append(_cut("turning over", "flip", e.flip * _reach(case), ACROSS))
        bolt = (_measured("bolt position", "bolts", e.bolts, every), *holes)
        both = (*wall, _measured("bolt position", "bolts", e.bolts, one), *holes, *between)
        chains += [Chain("bolt", room, bolt, every), Chain("wall to bolt", case.clearance_mm + room, both, one)]
    return tuple(chains)


def _coverage_in_plane(bolts: int) -> float:
    """Return the standard deviations along x and y whose circle all of so many bolts keep within in 99.73 %."""
    return sqrt(-2.0 * log(OUTSIDE / bolts))


def tightest(chains: Sequence[Chain]) -> Chain:
    """Return the chain that needs most of its room, by root sum of squares; of equals the first."""
    return max(chains, key=lambda c: c.rss_mm / max(c.room_mm, NOTHING_MM))


def largest(chains: Sequence[Chain], names: Sequence[str]) -> str:
    """Return the error that makes most of the tightest of the chains named, in words: ``footprint (93 %)``."""
    term, share = tightest([c for c in chains if c.name in names]).shares()[0]
    return f"{term.name} ({100.0 * share:.0f} %)"


def _measured(name: str, key: str, half_mm: float, coverage: float) -> Term:
    deviation = half_mm / DEVIATIONS_95
    return Term(name, f"tolerances.{key}", coverage * deviation, deviation)


def _cut(name: str, key: str, half_mm: float, across: float) -> Term:
    return Term(name, f"tolerances.{key}", half_mm * across, half_mm / sqrt(3.0))


def _reach(case: FitCase) -> float:
    """Return how many times its error at the ends of the flip axis the flip has at the farthest bolt turned over.

    Between the ends it is no more than at one of them; beyond, and beside the axis, the turn adds to it.
    """
    one, two = case.flip_ends
    span = hypot(two.x - one.x, two.y - one.y)
    if not span:
        return inf
    middle = ((one.x + two.x) / 2.0, (one.y + two.y) / 2.0)
    far = max(hypot(p.at.x - middle[0], p.at.y - middle[1]) for p in case.pins if p.turned_over)
    return max(1.0, far * 2.0 / span)
