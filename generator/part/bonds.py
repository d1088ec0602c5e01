"""Which gap round an insert suits everything at once: adhesive, growth, hands; and what to do where none does."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor, pi, sqrt

from generator.base.adhesives import KEY_OF, Adhesive
from generator.base.figures import SET, Figure
from generator.base.frozen_record import frozen_record
from generator.base.galvanic import index_of
from generator.base.materials import MATERIALS, Material
from generator.base.practice import GAP_OF_FIT
from generator.formulas.adhesive import bond_force
from generator.formulas.expansion import mismatch
from generator.outline.contour import Contour
from generator.outline.measure import area, length, signed_area
from generator.outline.narrow import necks
from generator.outline.region import Region
from generator.outline.separate import separated
from generator.part.inlays import gap_of
from generator.part.metals import (
    adhesive_of,
    after_cuts,
    anodic_index,
    built_in_adhesive,
    far_corners,
    is_bonded,
    warmth,
)
from generator.part.part import Part, Plan
from generator.recipe.model import Recipe

__all__ = [
    "Insert",
    "bond_ways",
    "bonds",
    "gap_ways",
    "loosest",
    "may_be_thicker",
    "may_be_thinner",
    "stretch_of",
    "width_of",
]

STEP = 100.0
"""Gaps are given in hundredths of a millimetre, inside of what suits."""
NOISE = 1e-6
HOLE = 1.02
"""The hole round an island reaches this much farther at most once the gap that it needs is there."""


@frozen_record
class Insert:
    """An insert with what is asked about it.

    Attributes:
        recipe, plan, part: where it lies.
        inner: what it is of, or might be.
        adhesive: what bonds it, or might; None for nothing.
        named: whether the recipe names the adhesive: only then its gaps count.
    """

    recipe: Recipe
    plan: Plan
    part: Part
    inner: Material
    adhesive: Adhesive | None
    named: bool

    @classmethod
    def of(cls, recipe: Recipe, plan: Plan, part: Part) -> Insert:
        """Return an insert as the recipe has it."""
        inlay = recipe.inlays[part.name.removeprefix("insert-")]
        return cls(recipe, plan, part, part.material, adhesive_of(recipe, inlay), bool(inlay.adhesive))

    def of_metal(self, inner: Material) -> Insert:
        """Return it of another material."""
        return Insert(self.recipe, self.plan, self.part, inner, self.adhesive, self.named)

    def with_adhesive(self, adhesive: Adhesive) -> Insert:
        """Return it bonded with another adhesive."""
        return Insert(self.recipe, self.plan, self.part, self.inner, adhesive, True)

    @property
    def name(self) -> str:
        """Return its name in the recipe."""
        return self.part.name.removeprefix("insert-")

    @property
    def reach_mm(self) -> float:
        """Return how far it can reach from its middle, with whatever gap: as far as its pocket does."""
        return max(far.corner_mm for far in far_corners(self.part.profile)) + self.now_mm

    @property
    def now_mm(self) -> float:
        """Return its gap as it is."""
        return gap_of(self.recipe.inlays[self.name]).value

    @property
    def slip_mm(self) -> float:
        """Return how far its far corner slips over the floor at worst; 0 where it is not known."""
        inner, outer = self.inner.cte_per_k, self.plan.cover.material.cte_per_k
        if inner is None or outer is None:
            return 0.0
        return abs(mismatch(inner, outer, self.reach_mm, max(warmth(self.recipe), key=abs)))

    @property
    def closes_mm(self) -> float:
        """Return how much of the gap heat and cold take at most; 0 where it is not known."""
        inner, outer = self.inner.cte_per_k, self.plan.cover.material.cte_per_k
        if inner is None or outer is None:
            return 0.0
        taken = [
            x
            for far in far_corners(self.part.profile)
            for by in warmth(self.recipe)
            for x in (
                mismatch(inner, outer, far.corner_mm + self.now_mm, by),
                mismatch(outer, inner, HOLE * far.hole_mm, by),
            )
        ]
        return max(0.0, *taken)

    @property
    def room_mm(self) -> tuple[float, float]:
        """Return narrowest and widest gap that suit everything; the first is the larger one where none does."""
        return self.bounds_mm(at_best=True, by_size=False)

    def bounds_mm(self, *, at_best: bool, by_size: bool) -> tuple[float, float]:
        """Return the same, with the adhesive at its best or only bridging, with or without what sizes may be off."""
        limits, size = self.recipe.limits.inserts, self.recipe.tolerances.size
        low, high = [limits.gap_tight.value, self.closes_mm], [loosest(self.recipe, self.adhesive, self.named).value]
        if self.adhesive is None:
            return max(low), min(*high, limits.rattles.value - size)
        low.append(self.slip_mm / stretch_of(self.recipe, self.adhesive).value)
        if self.named:
            low.append(self.adhesive.thinnest.value)
            high.append((self.adhesive.best if at_best else self.adhesive.widest).value)
        return max(*low, size if by_size else 0.0), min(high)

    @property
    def suits(self) -> float | None:
        """Return the gap to take, mm: the customary one where it suits, else the nearest that does; None if none."""
        now = gap_of(self.recipe.inlays[self.name]).value
        wanted = GAP_OF_FIT["glued" if now > GAP_OF_FIT["glued"].value else "hand"].value
        for at_best, by_size in ((True, True), (True, False), (False, False)):
            low, high = self.bounds_mm(at_best=at_best, by_size=by_size)
            if low <= high + NOISE:
                return _between(wanted, low, high)
        return None


def _between(wanted: float, low: float, high: float) -> float:
    """Return the value nearest to one wanted, in hundredths where any lie between two bounds."""
    least, most = ceil(low * STEP - NOISE) / STEP, floor(high * STEP + NOISE) / STEP
    return min(max(wanted, least), most) if least <= most else round(0.5 * (low + high), 5)


def stretch_of(recipe: Recipe, adhesive: Adhesive) -> Figure:
    """Return the shear strain that an adhesive's film follows."""
    return adhesive.stretch or recipe.limits.metals.film_strain


def loosest(recipe: Recipe, adhesive: Adhesive | None, named: bool) -> Figure:
    """Return the widest gap that is not loose: that of the adhesive that is named, where nobody set another."""
    limit = recipe.limits.inserts.gap_loose
    wider = named and adhesive is not None and adhesive.widest.value > limit.value
    return adhesive.widest if adhesive is not None and wider and limit.source != SET else limit


def bonds(plan: Plan, insert: Part) -> list[tuple[float, Region]]:
    """Return the bonded area of every piece, its face and the part of its edge in the pocket, mm², and the piece."""
    depth = min(insert.thickness_mm, plan.cover.thickness_mm - insert.seat_z_mm)
    return [(area(p) + length(p) * depth, p) for p in separated(after_cuts(insert))]


def width_of(contour: Contour) -> float:
    """Return how wide a slender piece is, mm: the short side of the rectangle of equal area and perimeter.

    Where it is rounder than a square, the diameter of the disc of equal area.
    """
    size, half = abs(signed_area(contour)), 0.5 * length(contour)
    under = half**2 - 4.0 * size
    return 2.0 * sqrt(size / pi) if under < 0.0 else 0.5 * (half - sqrt(under))


def may_be_thicker(recipe: Recipe, plan: Plan, insert: Part, by_mm: float) -> bool:
    """Return True if an insert can be thicker, and its pocket as much deeper, for all that its own limits say."""
    limits, below = recipe.limits, recipe.original.height + recipe.clearance.above
    thick = insert.thickness_mm + by_mm
    slender = limits.inserts.narrow.value * thick
    if insert.seat_z_mm - by_mm < below + limits.walls.sound.value:
        return False
    depth = plan.cover.thickness_mm - insert.seat_z_mm + by_mm
    islands = (width_of(c) for c in insert.profile if signed_area(c) < 0.0)
    if any(width < limits.inserts.island.value * depth for width in islands):
        return False
    return slender <= NOISE or not necks(after_cuts(insert), slender - NOISE)


def may_be_thinner(recipe: Recipe, plan: Plan, insert: Part, by_mm: float) -> bool:
    """Return True if an insert can be thinner, and its pocket as much shallower, and its adhesive still holds it."""
    adhesive = adhesive_of(recipe, recipe.inlays[insert.name.removeprefix("insert-")])
    if adhesive is None:
        return True
    limits = recipe.limits.inserts
    left = min(a - length(p) * by_mm for a, p in bonds(plan, insert))
    return bond_force(left, adhesive.shear.value, limits.bond_share.value) >= limits.holds.value - NOISE


def _holds(insert: Insert, gap_mm: float) -> bool:
    """Return True if every piece is held by the adhesive, with another gap: a wider one takes of every face."""
    limits = insert.recipe.limits.inserts
    if insert.adhesive is None:
        return False
    least = min(a - length(p) * (gap_mm - insert.now_mm) for a, p in bonds(insert.plan, insert.part))
    return bond_force(least, insert.adhesive.shear.value, limits.bond_share.value) >= limits.holds.value - NOISE


# ------------------------------------------------------------------ remedies
def gap_ways(recipe: Recipe, plan: Plan, part: Part) -> str:
    """Return the one gap that suits everything, as an edit; where none does, what else would, with its figures."""
    insert = Insert.of(recipe, plan, part)
    now, suits = gap_of(recipe.inlays[insert.name]).value, insert.suits
    if suits is not None and abs(suits - now) > NOISE:
        return f"set inlays.{insert.name}.gap to {suits:g} mm"
    ways = [*_adhesives(insert), *_metals(insert), *_smaller(insert)]
    return (", or ".join(ways) or "keep it so: nothing in the tables suits better") + _why(insert, suits)


def bond_ways(recipe: Recipe, plan: Plan, part: Part) -> str:
    """Return the edit that has an insert bonded by what suits it; a plain word where nothing does."""
    found = list(_adhesives(Insert.of(recipe, plan, part)))
    return found[0] if found else "bond it with an adhesive that its gap and its growth suit"


def _adhesives(insert: Insert) -> Iterator[str]:
    """Yield the first other adhesive of the table that has a gap that suits, and holds if the present one does."""
    held = insert.adhesive is not None and not _holds(insert, insert.now_mm)
    for name in KEY_OF:
        other = insert.with_adhesive(built_in_adhesive(insert.recipe, name))
        suits = other.suits
        if suits is None or (insert.named and insert.adhesive and insert.adhesive.name == name):
            continue
        if (held or _holds(other, suits)) and suits <= other.adhesive.best.value + NOISE:  # type: ignore[union-attr]
            yield f"set inlays.{insert.name}.adhesive to {_word(name)}{_gap(insert, other)}"
            return


def _metals(insert: Insert) -> Iterator[str]:
    """Yield the first metal of the table whose growth leaves a gap that suits."""
    if insert.adhesive is None or not (insert.slip_mm or insert.closes_mm):
        return
    for metal in MATERIALS:
        other = insert.of_metal(metal)
        index = index_of(metal.name)
        if index is None or index == anodic_index(insert.recipe.cover.material) or metal.cte_per_k is None:
            continue  # no metal, or one that looks like the cover's
        if other.slip_mm < insert.slip_mm and other.room_mm[0] <= other.room_mm[1]:
            yield f"set inlays.{insert.name}.material to {_word(metal.name)}{_gap(insert, other)}"
            return


def _smaller(insert: Insert) -> Iterator[str]:
    """Yield how far the insert may reach for its growth to fit the widest gap that suits the rest."""
    _, high = insert.room_mm
    needs = [insert.closes_mm]
    if insert.adhesive is not None:
        needs.append(insert.slip_mm / stretch_of(insert.recipe, insert.adhesive).value)
    if max(needs) > high > 0.0:
        reach = floor(insert.reach_mm * high / max(needs) * 10.0) / 10.0
        yield f"make it of pieces that reach at most {reach:g} mm from their middle, not {insert.reach_mm:.4g} mm"


def _gap(insert: Insert, other: Insert) -> str:
    """Return the edit of the gap that goes along, where the present one does not suit."""
    now = gap_of(insert.recipe.inlays[insert.name]).value
    low, high = other.room_mm
    if low - NOISE <= now <= high + NOISE and is_bonded(insert.recipe.inlays[insert.name]):
        return ""
    return f" and inlays.{insert.name}.gap to {other.suits:g} mm"


def _word(name: str) -> str:
    return f"`{name}`" if " " in name else name


def _why(insert: Insert, suits: float | None) -> str:
    """Return why no gap is offered."""
    low, high = insert.bounds_mm(at_best=suits is None, by_size=False)
    if suits is not None or low <= high:
        return ""
    if insert.adhesive is None:
        least, most = "growth needs", "its fit bears"
    else:
        least, most = "growth and adhesive need", f"{insert.adhesive.name if insert.named else 'adhesive'} bears"
    return f"; no gap does here: {least} at least {low:.3g} mm, {most} at most {max(high, 0.0):.3g} mm"
