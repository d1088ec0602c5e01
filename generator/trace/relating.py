"""Relations imposed upon the primitives, and those given up that cost too much."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cached_property
from math import inf
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.trace.bundle import costs, fit
from generator.trace.displaced import by_itself, to_give_up
from generator.trace.layout import Layout
from generator.trace.primitives import Primitive
from generator.trace.proposals import IN_ORDER, Proposals
from generator.trace.reading_equations import Joint
from generator.trace.relations import EQUAL, MIRROR, Relation, surprise
from generator.trace.slips import Slip
from generator.trace.symmetry import symmetry_axes, without_pairs
from generator.trace.unknowns import Fit, Known, Measured, Model
from generator.trace.wishes import NO_WISHES, Wishes

Floats = NDArray[np.float64]

Readings = Callable[[Layout, Floats], Sequence[Measured]]
"""Readings as measured values, given the primitives and the present values of the unknowns."""

LIKELY: Final = 9.0
"""Squared Mahalanobis distance for each equation up to which a relation is proposed: three standard deviations."""
DEAREST: Final = 12.0
"""Chi-square for each equation that a relation may cost (Schwarz's criterion asks ln n, some 6, for what it saves)."""


@frozen_record(eq=False)
class Solved:
    """Primitives with their relations.

    Attributes:
        layout: the primitives, as they were cut.
        found: the fit.
        relations: those that hold.
        costs: chi-square that each of them costs, images and equal radii with all others of the same features.
        dropped: those that were likely but too dear, with their costs.
        joints: with what touches told.
        slips: readings that were given up, by name.
    """

    layout: Layout
    found: Fit
    relations: tuple[Relation, ...]
    costs: tuple[float, ...]
    dropped: tuple[tuple[Relation, float], ...]
    joints: tuple[tuple[Joint, ...], ...]
    slips: dict[str, Slip]

    @cached_property
    def primitives(self) -> tuple[Primitive, ...]:
        """Return the primitives as fitted."""
        return self.layout.model.with_values(self.found.x)


def relate(
    layout: Layout,
    free: Fit,
    readings: Readings,
    known: Known,
    slips: dict[str, Slip],
    wishes: Wishes = NO_WISHES,
) -> Solved:
    """Return the layout fitted with the relations that its free fit makes likely and that cost little.

    Args:
        layout: the primitives.
        free: their fit without relations.
        readings: what the caliper says.
        known: what is known beforehand.
        slips: readings that were given up, by name.
        wishes: relations that must hold whatever they cost, and those that must not be imposed.

    Raises: GeometryError: what is demanded cannot hold.
    """
    axes = symmetry_axes(layout, free)
    model = replace(layout.model, axes=len(axes))
    start = _widened(layout.model, free.x, axes)
    layout = replace(layout, model=model)
    found = fit(model, layout.points, start, known=known, readings=readings(layout, start))
    kept: list[Relation] = []
    dropped: list[tuple[Relation, float]] = []
    for proposals in IN_ORDER:
        likely = _likely(proposals, layout, found, axes, wishes)
        if proposals is IN_ORDER[-1]:
            likely += wishes.missing(model, [*kept, *likely])
        if not likely:
            continue
        wishes.demand_near(likely, found.x)
        kept += likely
        measured = readings(layout, found.x)
        while kept:
            equations = [e for r in kept for e in r.equations]
            tried = fit(model, layout.points, found.x, known=known, readings=measured, equations=equations)
            given_up = _too_dear(layout, tried, kept, measured, known, wishes)
            if not given_up:
                new = [r for r in likely if r in kept and not wishes.demands(r)]
                given_up = _displacing(layout, tried, free.noise, known, new)
            if not given_up:
                found = tried
                break
            dropped += given_up
            gone = [r for r, _ in given_up]
            kept = [r for r in kept if r not in gone]
    kept = _founded(kept, model, wishes)
    wishes.demand_kept(dropped)
    return _solved(layout, found, kept, dropped, readings, known, slips)


def _too_dear(
    layout: Layout, tried: Fit, kept: Sequence[Relation], measured: Sequence[Measured], known: Known, wishes: Wishes
) -> list[tuple[Relation, float]]:
    """Return the relations that go next since they cost too much, with what they cost; none where all can hold.

    Raises: GeometryError: what is demanded cannot hold.
    """
    last = max(r.axis for r in kept)
    if not tried.holds and last >= 0:
        return [(r, inf) for r in kept if r.axis == last]
    groups = [r.equations for r in kept]
    prices = costs(layout.model, layout.points, tried, groups, known=known, readings=measured)
    dear = [-1.0 if wishes.demands(r) else p / len(r.equations) for p, r in zip(prices, kept, strict=True)]
    dearest = int(np.argmax(dear))
    if dear[dearest] <= DEAREST and tried.holds:
        return []
    if dear[dearest] < 0.0:
        told = ", ".join(f"`{r.name}`" for r in kept)
        raise GeometryError(f"what is demanded cannot hold together: {told}")
    return [(kept[dearest], prices[dearest])]


def _displacing(
    layout: Layout, tried: Fit, noise: float, known: Known, relations: Sequence[Relation]
) -> list[tuple[Relation, float]]:
    """Return those of some relations that hold a whole feature away from its points, with what that costs."""
    own = by_itself(layout.model, layout.points, tried, noise, known)
    return [(r, own.misfit(r)) for r in to_give_up(relations, own)]


def _founded(kept: Sequence[Relation], model: Model, wishes: Wishes) -> list[Relation]:
    """Return the relations without images in an axis that too little speaks for; those demanded stay."""
    outline = [i for i, p in enumerate(model.primitives) if p.loop == 0]
    unfounded = without_pairs(kept, outline)
    return [r for r in kept if r not in unfounded or wishes.demands(r)]


def _solved(
    layout: Layout,
    found: Fit,
    kept: Sequence[Relation],
    dropped: Sequence[tuple[Relation, float]],
    readings: Readings,
    known: Known,
    slips: dict[str, Slip],
) -> Solved:
    """Return the last fit, with the relations that are kept."""
    model = layout.model
    equations = [e for r in kept for e in r.equations]
    measured = readings(layout, found.x)
    found = fit(model, layout.points, found.x, known=known, readings=measured, equations=equations)
    groups = [r.equations for r in kept]
    prices = costs(model, layout.points, found, groups, known=known, readings=measured, together=_alike(kept))
    touching = {frozenset(r.of) for r in kept if r.kind == "tangent"}
    joints = tuple(
        tuple(Joint(j.before, j.after, j.near, frozenset((j.before, j.after)) in touching) for j in loop)
        for loop in layout.joints
    )
    return Solved(layout, found, tuple(kept), tuple(prices), tuple(dropped), joints, slips)


def _likely(
    proposals: Proposals, layout: Layout, found: Fit, axes: Sequence[tuple[float, float]], wishes: Wishes
) -> list[Relation]:
    """Return the proposed relations that the fit makes likely, and those that a person demands."""
    proposed = [r for r in proposals(layout, found, axes) if not wishes.forbids(r)]
    return [r for r in proposed if wishes.demands(r) or surprise(r, found.x, found.covariance) < LIKELY]


def _widened(model: Model, x: Floats, axes: Sequence[tuple[float, float]]) -> Floats:
    return np.concatenate([x[: model.axis_start], [v for a in axes for v in a], x[model.axis_start :]])


def _alike(kept: Sequence[Relation]) -> list[list[int]]:
    """Return for each relation the numbers of those that are judged with it, itself among them.

    Images in several axes and equal radii imply each other; so what one of them costs is what all of them cost that
    hold the same features.
    """
    like = [r.kind in (EQUAL, MIRROR) for r in kept]
    return [
        [k for k, q in enumerate(kept) if k == i or (like[i] and like[k] and set(q.of) & set(r.of))]
        for i, r in enumerate(kept)
    ]
