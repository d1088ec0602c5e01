"""The traced footprint as lines of a recipe: exact, with sizes, uncertainties and misfits as comments.

It can be pasted into a recipe, or the recipe can be `based_on` it.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator
from typing import Final

import numpy as np

from generator.base.units import decimal
from generator.outputs.dxf_document import one_line
from generator.outputs.footprint.account import Account
from generator.outputs.footprint.told import (
    LARGEST_BOLT_MM,
    cost_words,
    feature_words,
    given_up_lines,
    raised,
    reading_lines,
    size,
    thread_of,
    wrapped_list,
)
from generator.trace.damage import damage_words
from generator.trace.disputes import dispute_words
from generator.trace.doubts import COVERAGE
from generator.trace.equations import linearised
from generator.trace.footprint import Feature, Footprint
from generator.trace.lost_edges import lost_words
from generator.trace.primitives import LINE
from generator.trace.relations import Relation
from generator.trace.unknowns import HOLDS

__all__ = ["bolt_holes", "distance_lines", "dropped_lines", "fragment", "relation_lines"]

DIGITS: Final = 7
"""Decimals of coordinates: what is rounded away stays under a ten-millionth of a millimetre."""
WIDTH: Final = 112


def fragment(account: Account) -> str:
    """Return the text of the recipe lines."""
    lines = [*_head(account), *_original(account), *_tolerances(account), *_remarks(account)]
    return "\n".join(lines) + "\n"


def bolt_holes(footprint: Footprint) -> list[Feature]:
    """Return the holes that are small enough to be bolts'."""
    holes = [footprint.feature(n) for n in footprint.holes]
    return [f for f in holes if 2.0 * f.primitive.values[2] <= LARGEST_BOLT_MM]


def _head(account: Account) -> Iterator[str]:
    pictures = ", ".join(one_line(i) for i in account.images)
    used = len(account.measured)
    yield f"# Footprint {account.name}, traced from {pictures} with {used} caliper reading{'s' if used != 1 else ''}."
    yield "# Lengths in mm. ± is the 95 % uncertainty (k = 2); misfit is the root mean square distance of the edge as"
    yield "# seen from what is written here. A value in brackets with ? is a round one that lies within: yours to take."
    yield f"# Frame: {account.footprint.placement.rule}."
    yield "# Paste this into a recipe in mm, or begin one in mm with `based_on:` and this file's name."
    yield "units: mm"


def _original(account: Account) -> Iterator[str]:
    footprint = account.footprint
    yield "original:"
    thick = account.traced.caliper.thickness()
    if thick is not None:
        half = COVERAGE * account.traced.caliper.deviation
        yield f"  height: {decimal(thick, 3)}  # thickness by caliper, {size(thick, half)}"
    yield f"  footprint:  # {_counted(footprint)}, known to ± {footprint.outline_doubt:.3f} across the edge"
    yield from _outline(footprint, footprint.outline, "    ")
    yield from _bolts(footprint)
    yield from _openings(footprint)


def _counted(footprint: Footprint) -> str:
    n = len(footprint.outline)
    return f"{n} edge{'s' if n != 1 else ''}"


def _outline(footprint: Footprint, loop: tuple[int, ...], indent: str) -> Iterator[str]:
    """Yield a loop as an outline of a recipe."""
    if len(loop) == 1:
        f = footprint.feature(loop[0])
        x, y, r = f.primitive.values
        yield f"{indent}disc: {{radius: {_number(r)}}}  # {feature_words(f)}"
        yield f"{indent}at: {_point((x, y))}"
        return
    first = footprint.feature(loop[0])
    yield f"{indent}path:"
    yield f"{indent}  start: {_point(first.start)}"
    yield f"{indent}  steps:"
    for n in loop:
        f = footprint.feature(n)
        step = f"to: {_point(f.end)}"
        if f.primitive.kind != LINE:
            side = "left" if f.bulge > 0.0 else "right"
            step += f", around: {_point(f.primitive.values[:2])}, side: {side}"
        yield f"{indent}    - {{{step}}}  # {feature_words(f)}"


def _bolts(footprint: Footprint) -> Iterator[str]:
    groups: dict[str, list[Feature]] = {}
    for f in bolt_holes(footprint):
        groups.setdefault(_bolt_words(f), []).append(f)
    if not groups:
        return
    yield "  bolts:  # threads are guesses by the holes; put in what goes through them"
    for words, holes in groups.items():
        yield f"    - {words}"
        yield "      at:"
        for f in holes:
            yield f"        - {_point(f.primitive.values[:2])}  # {feature_words(f)}"


def _bolt_words(f: Feature) -> str:
    diameter = 2.0 * f.primitive.values[2]
    found = thread_of(diameter, 2.0 * COVERAGE * f.doubt.radius)
    if found is None:
        return (
            f"hole: {decimal(diameter, 2)}  # no clearance hole of ISO 273: state the `thread` instead if there is one"
        )
    thread, series, nominal = found
    return f"thread: {thread}  # {nominal:g} is the {series} clearance hole of ISO 273 for {thread}"


def _openings(footprint: Footprint) -> Iterator[str]:
    """Yield larger holes and other openings, commented out: only who carries the part knows what must stay open."""
    bolts = {f.number for f in bolt_holes(footprint)}
    loops = [(n,) for n in footprint.holes if n not in bolts] + list(footprint.openings)
    if not loops:
        return
    yield "  # openings:  # take the # away from those that must stay open under the cover"
    for loop in loops:
        yield f"  #   opening-{loop[0]}:"
        yield "  #     outline:"
        for line in _outline(footprint, loop, ""):
            yield f"  #       {line}"


def _tolerances(account: Account) -> Iterator[str]:
    footprint = account.footprint
    yield "tolerances:"
    yield f"  footprint: {raised(footprint.outline_doubt):.3f}  # 95 %, root mean square along the outline"
    holes = bolt_holes(footprint)
    if holes:
        worst = max(holes, key=lambda f: footprint.hole_doubt(f.number))
        told = raised(max(footprint.hole_doubt(worst.number), 0.001))
        yield f"  bolts: {told:.3f}  # 95 % along x or y, the worst of them, hole {worst.number}"
    if account.traced.caliper.thickness() is not None:
        yield f"  height: {raised(COVERAGE * account.traced.caliper.deviation):.3f}"


def _remarks(account: Account) -> Iterator[str]:
    """Yield what else is to be known, as comments."""
    for title, sentences in (
        ("Distances", distance_lines(account)),
        ("Readings", reading_lines(account)),
        ("Readings that contradict each other", [one_line(dispute_words(d)) for d in account.traced.disputes]),
        ("Slips", given_up_lines(account)),
        ("Damage", [damage_words(d) for d in account.damages]),
        ("Edges lost in their shadow", [lost_words(e) for e in account.lost]),
        ("What the readings cannot tell", list(account.untold)),
        ("What would help most", [f"measure {w.what}: {w.why}" for w in account.wanted]),
        ("Relations that hold, with the misfit that each costs (chi-square)", relation_lines(account)),
        ("Relations given up", dropped_lines(account)),
        ("Remarks", [one_line(r) for r in account.traced.remarks]),
    ):
        if sentences:
            yield "#"
            yield f"# {title}:"
            yield from (f"#   {line}" for line in sentences)


def distance_lines(account: Account, most: int = 24) -> list[str]:
    """Return distances of holes and widths across parallel edges that face apart, with uncertainties."""
    return [
        f"{'edge' if d.edges else 'hole'} {d.numbers[0]} to {d.numbers[1]}: {size(d.value, d.doubt)}"
        for d in account.distances
        if d.apart
    ][:most]


def relation_lines(account: Account) -> list[str]:
    """Return the relations with their costs, a kind at a time."""
    solved = account.traced.solved
    return _by_kind(zip(solved.relations, solved.costs, strict=True), solved.layout.model.axes)


def dropped_lines(account: Account) -> list[str]:
    """Return the relations that were given up with their costs, a kind at a time; what others bring about is told."""
    solved = account.traced.solved
    x = solved.found.x
    # an axis that no relation holds goes anywhere
    axes = {-1, *(r.axis for r in solved.relations)}
    held = {
        (r.name, r.axis)
        for r, _ in solved.dropped
        if r.axis in axes and np.abs(linearised(r.equations, x)[0]).max() < HOLDS
    }
    return _by_kind(solved.dropped, solved.layout.model.axes, held)


def _by_kind(
    relations: Iterable[tuple[Relation, float]], axes: int, held: Container[tuple[str, int]] = ()
) -> list[str]:
    kinds: dict[str, list[str]] = {}
    for r, cost in relations:
        title = f"{r.kind}, axis {r.axis + 1}" if r.axis >= 0 and axes > 1 else r.kind
        told = f"{cost_words(cost)}{', holds by others' if (r.name, r.axis) in held else ''}"
        kinds.setdefault(title, []).append(f"{r.name.removeprefix(r.kind).strip()} ({told})")
    lines = []
    for title, names in kinds.items():
        first, *others = wrapped_list(names, WIDTH - len(title) - 4)
        lines += [f"{title}: {first}", *(f"    {line}" for line in others)]
    return lines


def _number(value: float) -> str:
    return decimal(value, DIGITS)


def _point(at: tuple[float, ...]) -> str:
    return f"[{_number(at[0])}, {_number(at[1])}]"
