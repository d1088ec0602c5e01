"""How tabs or a skin must be sized to bear the pull of the cutter: the smallest change that does, reckoned."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from math import ceil, hypot

from generator.base.frozen_record import frozen_record
from generator.base.remedy import NOISE, STEP, no_less, no_more
from generator.estimate.holding import Pull, bears_n, pull_of, tabs_of
from generator.outline.measure import bounds, length
from generator.outline.region import Region
from generator.part.holding import tabs_of as placed_tabs
from generator.part.part import Plan
from generator.recipe.model import Recipe
from generator.recipe.model_holding import SKIN, TABS, Holding

__all__ = ["by_tabs", "stronger", "with_size"]

MOST_WIDTH_SHARE = 0.5
"""Tabs take no more of the outline than this: the rest is to be cut (chosen)."""
MOST_THICK_SHARE = 0.5
"""Tabs and skin are no thicker than this share of the plate: they are cut through by hand (chosen)."""
MOST_TABS = 12
"""More tabs than this are not offered (chosen): each is filed away by hand."""
HALVINGS = 40
STEPS = 20
"""Sizes tried between the two ends where width and thickness have to grow together."""


@frozen_record
class _Change:
    """One way to size the holding.

    Attributes:
        edits: as they stand in a remedy, without the word set.
        share: by which it makes what is left to be filed away larger.
        held: the holding then.
    """

    edits: tuple[str, ...]
    share: float
    held: Holding


def by_tabs(recipe: Recipe, plan: Plan, held: Holding | None = None) -> str:
    """Return the edit that lets tabs hold the part, sized so that they bear the pull where that is known.

    Args:
        recipe: the recipe at hand.
        plan: its plan.
        held: what the recipe says so far, whose sizes are kept where they do; None for nothing.
    """
    given = replace(held, by=TABS) if held is not None else Holding(by=TABS)
    count = max(given.count, ceil(recipe.limits.flip.tabs.value - NOISE))
    sure = recipe.limits.flip.skin.value + recipe.tolerances.depth
    edits = {"holding.count": f"at {count}"}
    base = replace(given, count=count, at=())
    if not sure - NOISE <= base.thickness <= MOST_THICK_SHARE * plan.cover.thickness_mm:
        base = replace(base, thickness=_up(sure))
        edits["holding.thickness"] = f"to {base.thickness:g} mm"
    widest = MOST_WIDTH_SHARE * length(plan.cover.profile) / count
    if base.width > widest:
        base = replace(base, width=_up(widest / 2.0))
        edits["holding.width"] = f"to {base.width:g} mm"
    edits |= _more(recipe, plan, base)
    counted = edits.pop("holding.count").removeprefix("to at least ").removeprefix("at ")
    out = [f"set holding.by to tabs with holding.count at {counted}", *(f"set {k} {v}" for k, v in edits.items())]
    return " and ".join([*out, "leave holding.at out"] if given.at else out)


def with_size(recipe: Recipe, plan: Plan, held: Holding, key: str, value_mm: float) -> str:
    """Return the edit that takes one size of tabs or skin down, with what else they need to bear the pull then.

    Args:
        recipe: the recipe at hand.
        plan: its plan.
        held: as it is.
        key: ``width`` or ``thickness``.
        value_mm: what it is to be at most.
    """
    sizes = {f"holding.{key}": f"to at most {no_more(value_mm)}"}
    now = replace(held, width=value_mm) if key == "width" else replace(held, thickness=value_mm)
    sizes |= _more(recipe, plan, now)
    return " and ".join(f"set {k} {v}" for k, v in sizes.items())


def _more(recipe: Recipe, plan: Plan, held: Holding) -> dict[str, str]:
    """Return what else is to be changed so that the holding bears the pull: key and value of each edit."""
    pull = pull_of(recipe, plan)
    if pull is None or _bears(recipe, plan, pull)(held):
        return {}
    change = min(_changes(recipe, plan, held, pull), key=lambda c: c.share, default=None)
    return dict(e.split(" ", 1) for e in change.edits) if change else {}


def stronger(recipe: Recipe, plan: Plan, held: Holding) -> str:
    """Return the edits that let the holding bear the pull: the smallest change first; by tabs where none does."""
    if held.by not in (TABS, SKIN):
        return by_tabs(recipe, plan, held)
    pull = pull_of(recipe, plan)
    found = sorted(_changes(recipe, plan, held, pull), key=lambda c: c.share) if pull else []
    ways = [" and ".join(f"set {e}" for e in c.edits) for c in found]
    if ways:
        return ", or ".join(ways)
    if held.by == SKIN:
        return by_tabs(recipe, plan, held)
    return "hold it by adhesive or through its bolt holes, or go round with a smaller step down or cutter: no tabs do"


def _bears(recipe: Recipe, plan: Plan, pull: Pull) -> Callable[[Holding], bool]:
    wanted = recipe.limits.flip.hold_safety.value * pull.force_n

    def does(held: Holding) -> bool:
        bears = bears_n(recipe, plan, held, pull)
        return bears is None or bears >= wanted

    return does


def _changes(recipe: Recipe, plan: Plan, held: Holding, pull: Pull) -> Iterator[_Change]:
    """Yield one key changed at a time; width and thickness together where none of them alone does."""
    does, found = _bears(recipe, plan, pull), False
    sure = recipe.limits.flip.skin.value + recipe.tolerances.depth
    thickest = MOST_THICK_SHARE * plan.cover.thickness_mm
    thickness = _found(max(held.thickness, sure), thickest, lambda x: does(replace(held, thickness=x)))
    if thickness:
        found = True
        now = replace(held, thickness=thickness)
        yield _Change((f"holding.thickness to at least {no_less(thickness)}",), thickness / held.thickness, now)
    if held.by != TABS:
        return
    thin = held.thickness < sure - NOISE
    widest = _widest(recipe, plan, held, pull)
    width = None if thin else _found(held.width, widest, lambda x: does(replace(held, width=x)))
    if width:
        found = True
        yield _Change((f"holding.width to at least {no_less(width)}",), width / held.width, replace(held, width=width))
    if not held.at and not thin:
        most = min(MOST_TABS, int(MOST_WIDTH_SHARE * length(plan.cover.profile) / held.width))
        count = next((n for n in range(held.count + 1, most + 1) if does(replace(held, count=n))), 0)
        if count:
            found = True
            now = replace(held, count=count)
            yield _Change((f"holding.count to at least {count}",), count / held.count, now)
    if not found:
        yield from _together(held, (max(held.thickness, sure), thickest), (held.width, widest), does)


def _widest(recipe: Recipe, plan: Plan, held: Holding, pull: Pull) -> float:
    """Return how wide tabs may be: enough of the outline is cut, and dowel holes stay clear of those put by angle."""
    widest = MOST_WIDTH_SHARE * length(plan.cover.profile) / tabs_of(held)
    sound = recipe.limits.walls.sound.value
    for tab in placed_tabs(recipe, plan.cover.profile, pull.cutter_mm):
        for hole in plan.blank.dowel_holes:
            box = bounds(Region((hole,)))
            off = hypot(box.centre.x - tab.root.x, box.centre.y - tab.root.y)
            widest = min(widest, 2.0 * (off - sound) - box.width_mm)
    return widest


def _together(
    held: Holding, thickness: tuple[float, float], width: tuple[float, float], does: Callable[[Holding], bool]
) -> Iterator[_Change]:
    """Yield width and thickness grown by the same share of what either may grow; nothing where that does not do."""
    for k in range(1, STEPS + 1):
        t, w = (_up(low + (high - low) * k / STEPS) for low, high in (thickness, width))
        now = replace(held, thickness=t, width=w)
        if does(now):
            edits = (f"holding.thickness to at least {no_less(t)}", f"holding.width to at least {no_less(w)}")
            yield _Change(edits, t / held.thickness * w / held.width, now)
            return


def _found(low: float, high: float, does: Callable[[float], bool]) -> float | None:
    """Return the smallest size between two that does, in hundredths rounded up; None if none does."""
    if low > high or not does(high):
        return None
    if does(_up(low)):
        return _up(low)
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        low, high = (low, middle) if does(middle) else (middle, high)
    return _up(high)


def _up(value: float) -> float:
    return ceil(value * STEP - NOISE) / STEP
