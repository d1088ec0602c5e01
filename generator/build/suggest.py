"""The other way round: the nearest recipe in which nothing forbids, found by search over the checks of the plane.

Every finding that forbids offers remedies that can be carried out (``base/remedy.py``); where it offers none, single
lengths are varied (``knobs.py``). The search tries the cheapest sum of changes first; then every change is taken back
as far as nothing is forbidden again and no warning is added. What the original is (its outline, height, bolt positions)
is never changed: a cover must fit it, not the other way round.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Mapping, Sequence
from itertools import count
from math import hypot
from typing import Final

from generator.base.errors import RecipeError
from generator.base.finding import Finding, Severity
from generator.base.frozen_record import frozen_record
from generator.base.remedy import Edit, Way, ways, ways_of_outline
from generator.build.edit_lengths import lengths_before, lengths_of, value_at
from generator.build.edit_rules import allowed, within
from generator.build.judge import Checked
from generator.build.knobs import Knob, knobs_for
from generator.build.reading import read
from generator.build.settle import settled
from generator.build.trials import Edits, Judged, Told, Trials, forbidden, shown, warned, warnings
from generator.recipe.model_suggest import Changes

__all__ = ["Suggestion", "shown", "suggest"]

MOST_TRIALS: Final = 240
"""Recipes judged before the search gives up (chosen: some ten seconds)."""
PER_EDIT: Final = 0.1
WORD_COST: Final = 0.6
LEFT_OUT_COST: Final = 1.5
"""What an edit costs beside the share by which it changes a length: fewer and smaller edits go first (chosen)."""
SMALLEST_MM: Final = 1.0
"""Changes of smaller lengths are reckoned as a share of this (chosen)."""
PLACE_MM: Final = 10.0
"""What moves or grows by so much changes as much as a length that is doubled (chosen)."""
AMOUNTS_MM: Final = (0.5, 1.0, 2.0, 4.0, 8.0, 16.0, 32.0, 64.0)
COARSE_MM: Final = 0.26
"""By how much single lengths are varied, and how nearly the least amount is found (chosen)."""


@frozen_record
class Suggestion:
    """What came of the search.

    Attributes:
        edits: the edits, the recipe's own order; empty if nothing needed to be changed or nothing was found.
        before: what was forbidden.
        after: the recipe with the edits, judged; None if none was found.
        trials: recipes that were judged.
        was: what stood at the key of each edit, as the recipe has it; empty where nothing did.
        new_warnings: what is warned of only after the edits, as sentences.
    """

    edits: tuple[Edit, ...]
    before: tuple[str, ...]
    after: Checked | None
    trials: int
    was: tuple[str, ...] = ()
    new_warnings: tuple[str, ...] = ()


def suggest(path: str, *, sets: Sequence[str] = (), told: Told = lambda _: None) -> Suggestion:
    """Return the nearest recipe in which nothing forbids.

    Args:
        path: the recipe.
        sets: overrides such as ``parameters.plot=21``, laid over it before anything else.
        told: called with a line for every recipe that is tried.
    Raises: RecipeError: the recipe cannot be read, or it cannot be drawn and nothing that was said of it is an edit.
    """
    trials = Trials(path, tuple(sets), told, read(path, sets=sets))
    start = trials.judged({})
    before = forbidden(start)
    if isinstance(start, Checked) and not start.forbids:
        return Suggestion((), before, start, trials.count)
    if isinstance(start, RecipeError) and not any(_ways_of_mistakes(start)):
        raise start
    found = _cheapest(trials)
    if found is None:
        return Suggestion((), before, None, trials.count)
    least = settled(trials, found, 2 * MOST_TRIALS)
    after = trials.judged(least)
    assert isinstance(after, Checked)
    known = warnings(start)
    return Suggestion(
        edits=tuple(Edit(k, v) for k, v in least.items()),
        before=before,
        after=after,
        trials=trials.count,
        was=tuple(_written_at(trials, k) for k in least),
        new_warnings=tuple(
            f"{f.message} [{f.check}]" for f in warned(after) if (f.check, f.code, f.feature) not in known
        ),
    )


def _written_at(trials: Trials, key: str) -> str:
    """Return what stands at a key of the recipe, as it was written or comes by default."""
    found = value_at(trials.reading.resolved, key)
    return trials.reading.origins[key].value if key in trials.reading.origins and found is not None else ""


def _cheapest(trials: Trials) -> Edits | None:
    """Return the cheapest edits that the search finds, by uniform cost."""
    tie = count()
    queue: list[tuple[float, int, Edits]] = [(0.0, next(tie), {})]
    seen: set[tuple[tuple[str, str | None], ...]] = set()
    while queue and trials.count < MOST_TRIALS:
        _, _, edits = heapq.heappop(queue)
        judged = trials.judged(edits)
        if isinstance(judged, Checked) and not judged.forbids:
            return edits
        for way in _ways_on(trials, judged, edits):
            more = {**edits, **{e.key: e.value for e in way}}
            key = tuple(sorted(more.items(), key=lambda e: e[0]))
            if key not in seen and more != edits:
                seen.add(key)
                heapq.heappush(queue, (_cost(trials, more), next(tie), more))
    return None


def _ways_on(trials: Trials, judged: Judged, edits: Mapping[str, str | None]) -> Iterator[Way]:
    """Yield what can be done next: about the first trouble that anything can be done about."""
    rules = trials.rules
    if isinstance(judged, RecipeError):
        yield from (w for w in _ways_of_mistakes(judged) if allowed(w, rules))
        return
    forbidding = [f for f in judged.findings if f.severity is Severity.FORBIDS]
    yield from _bounds_tried(trials, edits, rules)
    for finding in forbidding:
        offered = [w for w in ways(finding.remedy) if allowed(w, rules)]
        offered = [w for w in (within(w, rules) for w in offered) if w]
        if offered:
            yield from offered
            return
    for finding in forbidding:
        varied = [w for k in knobs_for(judged, finding) if (w := _turned(trials, edits, k, finding, rules))]
        if varied:
            yield from varied
            return


def _bounds_tried(trials: Trials, edits: Mapping[str, str | None], rules: Changes) -> Iterator[Way]:
    """Yield the ends of the lengths that the recipe allows, and those it lists, where fewer things are forbidden.

    What a remedy asks for leaves a sound wall; what is allowed may only just be enough.
    """
    before = len(forbidden(trials.judged(edits)))
    for bounds in rules.within:
        for length in dict.fromkeys(x for x in (bounds.at_least, bounds.at_most, *bounds.one_of) if x is not None):
            edit = Edit(bounds.key, f"{length:.6g} mm")
            if bounds.key in edits or within((edit,), rules) is None or not allowed((edit,), rules):
                continue
            if trials.count < MOST_TRIALS and len(forbidden(trials.judged({**edits, edit.key: edit.value}))) < before:
                yield (edit,)


def _turned(
    trials: Trials, edits: Mapping[str, str | None], knob: Knob, finding: Finding, rules: Changes
) -> Way | None:
    """Return the least turn of a knob after which a finding is gone, None if there is none; by doubling and halving."""
    good = next((t for t in AMOUNTS_MM if _clears(trials, edits, knob(t), finding, rules)), None)
    if good is None:
        return None
    low = good / 2.0
    while good - low > COARSE_MM:
        middle = (low + good) / 2.0
        low, good = (low, middle) if _clears(trials, edits, knob(middle), finding, rules) else (middle, good)
    return within(knob(good), rules)


def _clears(trials: Trials, edits: Mapping[str, str | None], way: Way, finding: Finding, rules: Changes) -> bool:
    """Return True if the edits may be made and the finding is gone, and not merely moved to another check."""
    made = within(way, rules) if allowed(way, rules) else None
    if made is None or trials.count >= MOST_TRIALS:
        return False
    before, after = trials.judged(edits), trials.judged({**edits, **{e.key: e.value for e in made}})
    if isinstance(after, RecipeError) or isinstance(before, RecipeError):
        return False
    gone = all((f.check, f.feature) != (finding.check, finding.feature) for f in after.findings)
    return gone and len(forbidden(after)) < len(forbidden(before))


def _ways_of_mistakes(error: RecipeError) -> Iterator[Way]:
    """Yield what the refusals of outlines offer."""
    for mistake in error.mistakes:
        yield from ways_of_outline(mistake.found, mistake.path)


def _cost(trials: Trials, edits: Mapping[str, str | None]) -> float:
    return sum(_cost_of(trials, key, value) for key, value in edits.items())


def _cost_of(trials: Trials, key: str, value: str | None) -> float:
    """Return what an edit costs: for a length the share by which it changes."""
    if value is None:
        return LEFT_OUT_COST
    new, old = lengths_of(value), lengths_before(trials.reading, key)
    if not new or len(new) != len(old):
        return WORD_COST
    size = PLACE_MM if key.endswith((".at", ".grow")) else max(abs(old[0]), SMALLEST_MM)
    return PER_EDIT + hypot(*(a - b for a, b in zip(new, old, strict=True))) / size
