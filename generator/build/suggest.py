"""The other way round: the nearest recipe in which nothing forbids, found by search over the checks of the plane.

Every finding that forbids offers remedies that can be carried out (``base/remedy.py``); where it offers none, single
lengths are varied (``knobs.py``). The search tries the cheapest sum of changes first; then every change is taken back
as far as nothing is forbidden again and no warning is added. What the original is (its outline, height, bolt positions)
is never changed: a cover must fit it, not the other way round.
"""

from __future__ import annotations

import heapq
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import count
from math import hypot
from typing import Any, Final

from generator.base.errors import RecipeError
from generator.base.finding import Finding, Severity
from generator.base.remedy import Edit, Way, ways, ways_of_outline
from generator.base.units import INCH, MM_PER_INCH
from generator.build.judge import Checked, judge, read
from generator.build.knobs import Knob, knobs_for
from generator.recipe.model_suggest import Changes
from generator.recipe.read import Reading

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
FINEST_MM: Final = 0.01
HALVINGS: Final = 6
SLACK_MM: Final = 1e-6
"""Lengths that differ by less are the same here."""

_MEASURED: Final = re.compile(
    r"original\.(height|load_bearing|footprint\b.*|openings\b.*"
    r"|bolts\[\d+\]\.(at|circle|thread|holds|passes|into|property_class)\b.*)"
)
"""What the original is; nothing suggests to change it."""

Told = Callable[[str], None]


Warned = tuple[str, str, str]
"""Check, code and feature of a warning."""


@dataclass(frozen=True)
class Suggestion:
    """What came of the search.

    Attributes:
        edits: the edits, the recipe's own order; empty if nothing needed to be changed or nothing was found.
        before: what was forbidden.
        after: the recipe with the edits, judged; None if none was found.
        trials: recipes that were judged.
    """

    edits: tuple[Edit, ...]
    before: tuple[str, ...]
    after: Checked | None
    trials: int


@dataclass
class _Search:
    """The recipe at hand, and what was judged so far."""

    path: str
    sets: tuple[str, ...]
    told: Told
    reading: Reading
    trials: int = 0
    known: dict[tuple[Edit, ...], Checked | RecipeError] = field(default_factory=dict)

    @property
    def rules(self) -> Changes:
        """Return what the recipe lets be changed."""
        return self.reading.recipe.changes

    def judged(self, edits: Mapping[str, str | None]) -> Checked | RecipeError:
        """Return the recipe with these edits, judged, or why it cannot be read or drawn."""
        key = tuple(sorted((Edit(k, v) for k, v in edits.items()), key=lambda e: e.key))
        if key not in self.known:
            self.trials += 1
            self.told(f"{self.trials}: " + (", ".join(shown(e) for e in key) or "as it is"))
            try:
                self.known[key] = judge(read(self.path, sets=(*self.sets, *(_override(e) for e in key))))
            except RecipeError as error:
                self.known[key] = error
        return self.known[key]


def suggest(path: str, *, sets: Sequence[str] = (), told: Told = lambda _: None) -> Suggestion:
    """Return the nearest recipe in which nothing forbids.

    Args:
        path: the recipe.
        sets: overrides such as ``parameters.plot=21``, laid over it before anything else.
        told: called with a line for every recipe that is tried.
    Raises: RecipeError: the recipe cannot be read, or it cannot be drawn and nothing that was said of it is an edit.
    """
    search = _Search(path, tuple(sets), told, read(path, sets=sets))
    start = search.judged({})
    before = _forbidden(start)
    if isinstance(start, Checked) and not start.forbids:
        return Suggestion((), before, start, search.trials)
    if isinstance(start, RecipeError) and not any(_ways_of_mistakes(start)):
        raise start
    found = _cheapest(search)
    if found is None:
        return Suggestion((), before, None, search.trials)
    least = _taken_back(search, found)
    after = search.judged(least)
    assert isinstance(after, Checked)
    return Suggestion(tuple(Edit(k, v) for k, v in least.items()), before, after, search.trials)


def shown(edit: Edit) -> str:
    """Return an edit as a person would read it."""
    return f"{edit.key}: {edit.value}" if edit.value is not None else f"without {edit.key}"


def _override(edit: Edit) -> str:
    return f"{edit.key}={'null' if edit.value is None else edit.value}"


def _forbidden(judged: Checked | RecipeError) -> tuple[str, ...]:
    """Return what is forbidden, as sentences."""
    if isinstance(judged, RecipeError):
        return tuple(m.sentence() for m in judged.mistakes)
    return tuple(f"{f.message} [{f.check}]" for f in judged.findings if f.severity is Severity.FORBIDS)


def _cheapest(search: _Search) -> dict[str, str | None] | None:
    """Return the cheapest edits that the search finds, by uniform cost."""
    tie = count()
    queue: list[tuple[float, int, dict[str, str | None]]] = [(0.0, next(tie), {})]
    seen: set[tuple[tuple[str, str | None], ...]] = set()
    while queue and search.trials < MOST_TRIALS:
        _, _, edits = heapq.heappop(queue)
        judged = search.judged(edits)
        if isinstance(judged, Checked) and not judged.forbids:
            return edits
        for way in _ways_on(search, judged, edits):
            more = {**edits, **{e.key: e.value for e in way}}
            key = tuple(sorted(more.items(), key=lambda e: e[0]))
            if key not in seen and more != edits:
                seen.add(key)
                heapq.heappush(queue, (_cost(search, more), next(tie), more))
    return None


def _ways_on(search: _Search, judged: Checked | RecipeError, edits: Mapping[str, str | None]) -> Iterator[Way]:
    """Yield what can be done next: about the first trouble that anything can be done about."""
    rules = search.rules
    if isinstance(judged, RecipeError):
        yield from (w for w in _ways_of_mistakes(judged) if _allowed(w, rules))
        return
    forbidding = [f for f in judged.findings if f.severity is Severity.FORBIDS]
    for finding in forbidding:
        offered = [w for w in ways(finding.remedy) if _allowed(w, rules)]
        offered = [w for w in (_within(w, rules) for w in offered) if w]
        if offered:
            yield from offered
            return
    for finding in forbidding:
        varied = [w for k in knobs_for(judged, finding) if (w := _turned(search, edits, k, finding, rules))]
        if varied:
            yield from varied
            return


def _turned(
    search: _Search, edits: Mapping[str, str | None], knob: Knob, finding: Finding, rules: Changes
) -> Way | None:
    """Return the least turn of a knob after which a finding is gone, None if there is none; by doubling and halving."""
    good = next((t for t in AMOUNTS_MM if _clears(search, edits, knob(t), finding, rules)), None)
    if good is None:
        return None
    low = good / 2.0
    while good - low > COARSE_MM:
        middle = (low + good) / 2.0
        low, good = (low, middle) if _clears(search, edits, knob(middle), finding, rules) else (middle, good)
    return _within(knob(good), rules)


def _clears(search: _Search, edits: Mapping[str, str | None], way: Way, finding: Finding, rules: Changes) -> bool:
    """Return True if the edits may be made and the finding is gone, and not merely moved to another check."""
    made = _within(way, rules) if _allowed(way, rules) else None
    if made is None or search.trials >= MOST_TRIALS:
        return False
    before, after = search.judged(edits), search.judged({**edits, **{e.key: e.value for e in made}})
    if isinstance(after, RecipeError) or isinstance(before, RecipeError):
        return False
    gone = all((f.check, f.feature) != (finding.check, finding.feature) for f in after.findings)
    return gone and len(_forbidden(after)) < len(_forbidden(before))


def _ways_of_mistakes(error: RecipeError) -> Iterator[Way]:
    """Yield what the refusals of outlines offer."""
    for mistake in error.mistakes:
        yield from ways_of_outline(mistake.found, mistake.path)


def _allowed(way: Way, rules: Changes) -> bool:
    return not any(_MEASURED.fullmatch(e.key) or any(_lies_in(e.key, kept) for kept in rules.keep) for e in way)


def _lies_in(key: str, group: str) -> bool:
    return key == group or key.startswith((f"{group}.", f"{group}["))


def _within(way: Way, rules: Changes) -> Way | None:
    """Return the edits moved to lengths that are allowed, None if one cannot be."""
    moved = [_bounded(e, rules) for e in way]
    return None if any(e is None for e in moved) else tuple(e for e in moved if e is not None)


def _bounded(edit: Edit, rules: Changes) -> Edit | None:
    bounds = next((b for b in rules.within if b.key == edit.key), None)
    lengths = lengths_of(edit.value)
    if bounds is None or len(lengths) != 1:
        return edit
    length = lengths[0]
    down = edit.towards < 0
    if bounds.one_of:
        usable = [x for x in bounds.one_of if (x <= length + SLACK_MM if down else x >= length - SLACK_MM)]
        return Edit(edit.key, f"{(max if down else min)(usable):g} mm", edit.towards) if usable else None
    low = bounds.at_least if bounds.at_least is not None else length
    high = bounds.at_most if bounds.at_most is not None else length
    return edit if low - SLACK_MM <= length <= high + SLACK_MM else None


def lengths_of(value: str | None) -> tuple[float, ...]:
    """Return the length that an edit sets, or the two of a place, mm; none if it sets neither."""
    match = re.fullmatch(r"(-?[\d.]+) mm|\[(-?[\d.]+) mm, (-?[\d.]+) mm\]", value or "")
    return tuple(float(x) for x in match.groups() if x is not None) if match else ()


def _cost(search: _Search, edits: Mapping[str, str | None]) -> float:
    return sum(_cost_of(search, key, value) for key, value in edits.items())


def _cost_of(search: _Search, key: str, value: str | None) -> float:
    """Return what an edit costs: for a length the share by which it changes."""
    if value is None:
        return LEFT_OUT_COST
    new, old = lengths_of(value), _lengths_before(search, key)
    if not new or len(new) != len(old):
        return WORD_COST
    size = PLACE_MM if key.endswith((".at", ".grow")) else max(abs(old[0]), SMALLEST_MM)
    return PER_EDIT + hypot(*(a - b for a, b in zip(new, old, strict=True))) / size


def _lengths_before(search: _Search, key: str) -> tuple[float, ...]:
    """Return the length, or the two of a place, at a key of the recipe as it is, mm; none if none stands there."""
    found = value_at(search.reading.resolved, key)
    unit = MM_PER_INCH if search.reading.recipe.units == INCH.name else 1.0
    if found is None:
        return (0.0,) if key.endswith(".grow") else (0.0, 0.0) if key.endswith(".at") else ()
    many = found if isinstance(found, list | tuple) else [found]
    read = [_length(x, unit) for x in many]
    return tuple(x for x in read if x is not None) if None not in read else ()


def _length(written: Any, unit_mm: float) -> float | None:
    if isinstance(written, str):
        return (lengths_of(written) or (None,))[0]
    is_number = isinstance(written, int | float) and not isinstance(written, bool)
    return float(written) * unit_mm if is_number else None


def value_at(plain: Any, key: str) -> Any:
    """Return what stands at a key of plain data, None if nothing does."""
    for step in re.findall(r"[^.\[\]]+", key):
        if isinstance(plain, Mapping):
            plain = plain.get(step)
        elif isinstance(plain, list | tuple) and step.isdecimal() and int(step) < len(plain):
            plain = plain[int(step)]
        else:
            return None
    return plain


def _taken_back(search: _Search, edits: dict[str, str | None]) -> dict[str, str | None]:
    """Return the edits without those that are not needed, each length as near to what it was as can be."""
    known = _warnings(search.judged(edits))
    for key in list(edits):
        fewer = {k: v for k, v in edits.items() if k != key}
        if _is_fine(search, fewer, known):
            edits = fewer
    for key in list(edits):
        edits = _nearer(search, edits, key, known)
    return edits


def _nearer(search: _Search, edits: dict[str, str | None], key: str, known: frozenset[Warned]) -> dict[str, str | None]:
    """Return the edits with one length moved towards what it was, as far as everything stays fine."""
    there, before = lengths_of(edits[key]), _lengths_before(search, key)
    if len(there) != 1 or len(before) != 1 or any(b.key == key and b.one_of for b in search.rules.within):
        return edits
    good, bad = there[0], before[0]
    for _ in range(HALVINGS):
        middle = round((good + bad) / 2.0 / FINEST_MM) * FINEST_MM
        if middle in (good, bad) or search.trials >= 2 * MOST_TRIALS:
            break
        trial = {**edits, key: f"{middle:.6g} mm"}
        if _is_fine(search, trial, known):
            good, edits = middle, trial
        else:
            bad = middle
    return edits


def _is_fine(search: _Search, edits: dict[str, str | None], known: frozenset[Warned]) -> bool:
    judged = search.judged(edits)
    return isinstance(judged, Checked) and not judged.forbids and _warnings(judged) <= known


def _warnings(judged: Checked | RecipeError) -> frozenset[Warned]:
    """Return which warnings there are: an edit may not trade one for another."""
    if isinstance(judged, RecipeError):
        return frozenset()
    return frozenset((f.check, f.code, f.feature) for f in judged.findings if f.severity is Severity.WARNS)
