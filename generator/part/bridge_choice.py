"""Which bridges are built: the ways over a cut weighed against each other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import product
from math import atan2, hypot, inf, pi

from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline.contour import Point
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.outline.transform import Axis
from generator.part.crossings import SAME_MM, Crossing, Sheet, axes_of, crossings_of, image
from generator.part.islands import outer_contour

__all__ = ["Chooser", "Group", "Strip"]

THIN = 100.0
"""A bridge that lands on a piece thinner than its own width counts as so many times as long: a last resort."""
PLAIN = 0.75
"""An upright or level bridge through the middle of an island counts as this share of its length (our own choice)."""
THROUGH = 0.7
"""Two such bridges in one line count as this share of their lengths (our own choice)."""
SPREAD = 0.5
"""Bridges of one island lie at least this share of an even spacing apart, seen from its middle (our own choice)."""
LANDING = 0.5
"""A bridge reaches into the pieces by half its width, or half as deep as they are."""
ASKEW = 0.1
"""A bridge that leads past the middle of an island by half its size counts as so much longer (our own choice)."""
ALIKE = 0.97
"""Of choices that differ by less in cost the first one is taken, which saves looking at all (our own choice)."""


@frozen_record
class Strip:
    """A bridge that can be made."""

    way: Crossing
    corners: tuple[Point, ...]
    cost: float


@frozen_record
class _Choice:
    """Bridges that are taken together: one, one with its mirror images, or two in one line."""

    ways: tuple[Crossing, ...]
    share: float = 1.0

    @cached_property
    def estimate(self) -> float:
        """Return the least it can cost, mm."""
        return self.share * sum(w.length_mm for w in self.ways)


@dataclass
class _Bond:
    """What hangs together with what."""

    parent: dict[int, int] = field(default_factory=dict)

    def root(self, k: int) -> int:
        """Return the number that stands for everything that piece ``k`` hangs together with."""
        while self.parent.get(k, k) != k:
            k = self.parent[k]
        return k

    def join(self, a: int, b: int) -> None:
        """Note that two pieces hang together."""
        self.parent[self.root(a)] = self.root(b)


@frozen_record
class Group:
    """Islands that are held over one piece of the cut.

    Attributes:
        part: the piece of the cut that goes round them, or all of it for pieces that are cut off at the sheet's edge.
        mine: their numbers.
        others: numbers of the pieces that they may be joined to.
    """

    part: Region
    mine: tuple[int, ...]
    others: frozenset[int]


class Chooser:
    """Chooses bridges over one piece of the cut."""

    def __init__(self, sheet: Sheet, group: Group, width_mm: float, count: int) -> None:
        mine = group.mine
        self._sheet, self._mine, self._width, self._count = sheet, mine, width_mm, count
        self._axes = axes_of(group.part)[: 2 if count > 1 else 1]
        self._middles = {k: bounds(Region((outer_contour(sheet.left.pieces[k]),))).centre for k in mine}
        self._sizes = {k: bounds(sheet.left.pieces[k]).diagonal_mm / 2.0 for k in mine}
        self._made: dict[Crossing, Strip | None] = {}
        held = group.others.union(mine)
        ways = [w for w in crossings_of(sheet, group.part, mine, self._axes) if held.issuperset(w.pieces)]
        self._choices = self._together(ways)

    def strips(self) -> list[Strip]:
        """Return the bridges chosen."""
        chosen: list[_Choice] = []
        for spread in (SPREAD, SPREAD / 4.0):
            while (best := self._best(chosen, spread)) is not None:
                chosen.append(best)
        for choice in sorted(chosen, key=self._cost, reverse=True):
            rest = [c for c in chosen if c is not choice]
            if self._lack(rest) <= self._lack(chosen):
                chosen = rest
        return [s for c in chosen for s in self._strips(c)]

    # -- what there is to choose from
    def _together(self, ways: Sequence[Crossing]) -> list[_Choice]:
        """Return the ways, each with its mirror images; without axes, upright and level ones count as shorter."""
        orbits = zip(ways, self._orbits(ways), strict=True)
        out = [_Choice(orbit, self._share(way)) for way, orbit in orbits if orbit is not None]
        if self._count > 1 and not self._axes:
            out += [_Choice(pair, THROUGH) for k in self._mine for pair in self._in_line(ways, k)]
        return sorted(out, key=lambda c: (round(c.estimate, 6), self._taste(c)))

    def _orbits(self, ways: Sequence[Crossing]) -> list[tuple[Crossing, ...] | None]:
        """Return every way with its mirror images; None where two of them are neither one nor clear of each other."""
        orbits: list[tuple[Crossing, ...] | None] = [(way,) for way in ways]
        for axis in self._axes:
            asked = [(k, way) for k, orbit in enumerate(orbits) if orbit is not None for way in orbit]
            images = self._mirrored([way for _, way in asked], axis)
            for (k, _), other in zip(asked, images, strict=True):
                orbits[k] = self._joined(orbits[k], other)
        return orbits

    def _joined(self, orbit: tuple[Crossing, ...] | None, other: Crossing | None) -> tuple[Crossing, ...] | None:
        if orbit is None or other is None:
            return None
        apart = min(_apart(other.middle, f.middle) for f in orbit)
        if apart <= SAME_MM:
            return orbit
        return None if apart < 2.0 * self._width else (*orbit, other)

    def _mirrored(self, ways: Sequence[Crossing], axis: Axis) -> list[Crossing | None]:
        """Return the ways' mirror images, with the pieces that are there; None where there is none."""
        ends, lines = [], []
        for way in ways:
            a, b = image(way.start, axis), image(way.end, axis)
            d = way.length_mm
            ends.append((a, b))
            lines.append((Point((a.x + b.x) / 2.0, (a.y + b.y) / 2.0), Point((b.x - a.x) / d, (b.y - a.y) / d)))
        found: list[Crossing | None] = []
        for (a, b), others in zip(ends, self._sheet.crossings(lines), strict=True):
            near = (o for o in others if max(_apart(o.start, a), _apart(o.end, b)) < SAME_MM)
            other = next(near, None)
            found.append(other and Crossing(a, b, other.pieces, other.depths))
        return found

    def _share(self, way: Crossing) -> float:
        """Return as what share of its length a way counts: less where it looks as if the letter were symmetric."""
        if self._axes or min(map(abs, way.direction)) >= MODEL.same_mm:
            return 1.0
        plain = any(self._is_plain(way, k, upright) for k in self._middles for upright in (True, False))
        return PLAIN if plain else 1.0

    def _is_plain(self, way: Crossing, k: int, upright: bool) -> bool:
        """Return True for an upright (or level) way through the middle of island ``k``."""
        if k not in way.pieces:
            return False
        (mx, my), (x, y), (ux, uy) = self._middles[k], way.middle, way.direction
        across, slope = (x - mx, ux) if upright else (y - my, uy)
        return abs(slope) < MODEL.same_mm and abs(across) < MODEL.same_mm

    def _in_line(self, ways: Iterable[Crossing], k: int) -> Iterator[tuple[Crossing, Crossing]]:
        """Yield pairs of ways that leave island ``k`` on opposite sides along one upright or level line."""
        mx, my = self._middles[k]
        for upright in (True, False):
            line = [w for w in ways if self._is_plain(w, k, upright)]
            beyond = [(w.middle.y - my if upright else w.middle.x - mx) > 0.0 for w in line]
            yield from product(
                [w for w, above in zip(line, beyond, strict=True) if not above],
                [w for w, above in zip(line, beyond, strict=True) if above],
            )

    def _taste(self, choice: _Choice) -> tuple[bool, float, float, float]:
        """Return what decides between equally long ones: upright, through the middle, low, left."""
        w = choice.ways[0]
        return abs(w.direction.x) > 1e-6, round(self._askew(w), 4), round(w.middle.y, 6), round(w.middle.x, 6)

    # -- strips
    def _strips(self, choice: _Choice) -> list[Strip]:
        made = [self._strip(w) for w in choice.ways]
        return [s for s in made if s is not None] if all(made) else []

    def _cost(self, choice: _Choice) -> float:
        """Return what a choice costs, mm; inf if it cannot be made.

        That is its length, more where it lands on something thin, has slanted ends or leads past the island's middle.
        """
        made = self._strips(choice)
        return choice.share * sum(s.cost * self._askew(s.way) for s in made) if made else inf

    def _askew(self, way: Crossing) -> float:
        """Return by how much a way is dearer that leads past the middles of its islands."""
        (ux, uy), (x, y) = way.direction, way.middle
        off = 0.0
        for k in set(way.pieces).intersection(self._mine):
            (mx, my), size = self._middles[k], self._sizes[k]
            off = max(off, abs((mx - x) * uy - (my - y) * ux) / size)
        return 1.0 + ASKEW * min(1.0, off)

    def _strip(self, way: Crossing) -> Strip | None:
        if way not in self._made:
            self._made[way] = _strip_of(self._sheet, way, self._width)
        return self._made[way]

    # -- choosing
    def _best(self, chosen: Sequence[_Choice], spread: float) -> _Choice | None:
        """Return the choice that costs least for every bridge wanted that it adds; None if none adds any."""
        lack, best, least = self._lack(chosen), None, inf
        gains: dict[tuple[tuple[int, int], ...], int] = {}
        for choice in self._choices if lack else ():
            joins = tuple(w.pieces for w in choice.ways)
            gain = gains[joins] if joins in gains else gains.setdefault(joins, lack - self._lack([*chosen, choice]))
            if gain <= 0 or choice.estimate / gain >= ALIKE * least:
                continue
            if choice in chosen or not self._is_clear(choice, chosen, spread):
                continue
            cost = self._cost(choice) / gain
            if cost < ALIKE * least:
                best, least = choice, cost
        return best

    def _lack(self, chosen: Iterable[_Choice]) -> int:
        """Return how many bridges are missing, and how many islands do not hang together with the sheet."""
        bond = _Bond()
        counts = dict.fromkeys(self._mine, 0)
        others = set()
        for way in (w for c in chosen for w in c.ways):
            bond.join(*way.pieces)
            for piece in way.pieces:
                if piece in counts:
                    counts[piece] += 1
                else:
                    others.add(piece)
        roots = {bond.root(o) for o in others}
        loose = {bond.root(k) for k in self._mine if bond.root(k) not in roots}
        return sum(max(0, self._count - n) for n in counts.values()) + len(loose)

    def _is_clear(self, choice: _Choice, chosen: Sequence[_Choice], spread: float) -> bool:
        """Return True if its bridges keep their distance from those chosen before, and round every island."""
        before = [w for c in chosen for w in c.ways]
        for w in choice.ways:
            if any(_apart(w.middle, o.middle) < 2.0 * self._width for o in before):
                return False
        least = spread * 2.0 * pi / max(2, self._count)
        for k in self._mine:
            mine = [self._angle(k, w) for w in choice.ways if k in w.pieces]
            theirs = [self._angle(k, w) for w in before if k in w.pieces]
            pairs = [(a, b) for i, a in enumerate(mine) for b in (*theirs, *mine[:i])]
            if len(theirs) < self._count and any(_turn(a, b) < least for a, b in pairs):
                return False
        return True

    def _angle(self, k: int, way: Crossing) -> float:
        mx, my = self._middles[k]
        return atan2(way.middle.y - my, way.middle.x - mx)


def _apart(p: Point, q: Point) -> float:
    return hypot(p.x - q.x, p.y - q.y)


def _turn(a: float, b: float) -> float:
    """Return the angle between two directions, radians."""
    return abs((a - b + pi) % (2.0 * pi) - pi)


def _strip_of(sheet: Sheet, way: Crossing, width_mm: float) -> Strip | None:
    """Return the bridge along a way; None if its sides do not run from the one piece straight to the other."""
    half = width_mm / 2.0
    beside = sheet.across(way, [share * half for share in (-1.0, -0.5, 0.0, 0.5, 1.0)])
    found = [b for b in beside if b is not None]
    if len(found) < len(beside):
        return None
    (mx, my), (ux, uy) = way.middle, way.direction
    starts = [(b.start.x - mx) * ux + (b.start.y - my) * uy for b in found]
    ends = [(b.end.x - mx) * ux + (b.end.y - my) * uy for b in found]
    depths = [min(b.depths[side] for b in found) for side in (0, 1)]
    low = min(starts) - LANDING * min(width_mm, depths[0])
    high = max(ends) + LANDING * min(width_mm, depths[1])
    corners = tuple(
        Point(mx + s * ux - t * uy, my + s * uy + t * ux)
        for s, t in ((low, -half), (high, -half), (high, half), (low, half))
    )
    slant = max(starts) - min(starts) + max(ends) - min(ends)
    length = sum(b.length_mm for b in found) / len(found)
    thin = max(_thinness(d, width_mm) for d in depths)
    return Strip(way, corners, (length + slant) * thin)


def _thinness(depth_mm: float, width_mm: float) -> float:
    """Return by how much a bridge is dearer because it lands on something thin."""
    if depth_mm < width_mm:
        return THIN
    return 1.0 + max(0.0, 2.0 * width_mm / depth_mm - 1.0)
