"""Edits that do, made such as a person would make them: none too many, none too large, of what can be bought, in the
recipe's own unit and parameters.
"""

from __future__ import annotations

import re
from math import ceil, floor
from typing import Final

from generator.base.remedy import Edit
from generator.base.stocked import INCH_PLATE_STEP, PLATES_MM, SHEETS_MM
from generator.base.units import INCH, MM_PER_INCH
from generator.build.edit_lengths import lengths_before, lengths_of
from generator.build.edit_rules import allowed, bounded
from generator.build.trials import Edits, Trials, Warned, warnings

__all__ = ["settled"]

FINEST_MM: Final = 0.01
FINEST_IN: Final = 0.001
HALVINGS: Final = 6
_BOUGHT: Final = re.compile(r"original\.bolts\[\d+\]\.length")
"""What comes in standard lengths: as it was suggested, or not at all."""


def settled(trials: Trials, edits: Edits, most: int) -> Edits:
    """Return the edits without those that are not needed, each length as near to what it was as can be had.

    Args:
        trials: the recipe and what was tried.
        edits: edits after which nothing forbids.
        most: recipes that may have been judged at the end.
    """
    known = warnings(trials.judged(edits))
    for key in list(edits):
        fewer = {k: v for k, v in edits.items() if k != key}
        if trials.is_fine(fewer, known):
            edits = fewer
    for key in list(edits):
        rules = [b for b in trials.rules.within if b.key == key]
        if not _BOUGHT.fullmatch(key) and not any(b.one_of for b in rules):
            edits = _nearer(trials, edits, key, known, most)
            edits = edits if rules else _stocked(trials, edits, key, known)
        edits = _in_inches(trials, edits, key, known)
        edits = _by_parameter(trials, edits, key, known)
    return edits


def _nearer(trials: Trials, edits: Edits, key: str, known: frozenset[Warned], most: int) -> Edits:
    """Return the edits with one length moved towards what it was, as far as everything stays fine."""
    there, before = lengths_of(edits[key]), lengths_before(trials.reading, key)
    if len(there) != 1 or len(before) != 1:
        return edits
    good, bad = there[0], before[0]
    for _ in range(HALVINGS):
        middle = round((good + bad) / 2.0 / FINEST_MM) * FINEST_MM
        if middle in (good, bad) or trials.count >= most:
            break
        text = f"{middle:.6g} mm"
        trial = {**edits, key: text}
        if bounded(Edit(key, text), trials.rules) and trials.is_fine(trial, known):
            good, edits = middle, trial
        else:
            bad = middle
    return edits


def _stocked(trials: Trials, edits: Edits, key: str, known: frozenset[Warned]) -> Edits:
    """Return the edits with a plate's or sheet's thickness that dealers have, if one does."""
    there, before = lengths_of(edits[key]), lengths_before(trials.reading, key)
    if not key.endswith("stock.thickness") or len(there) != 1 or len(before) != 1:
        return edits
    sizes: tuple[float, ...] = PLATES_MM if key.startswith("cover.") else SHEETS_MM
    if trials.reading.recipe.units == INCH.name:
        sizes = tuple(k * INCH_PLATE_STEP for k in range(1, 129))
    thicker = there[0] > before[0]
    fits = [x for x in sizes if (x >= there[0] if thicker else x <= there[0])]
    if not fits:
        return edits
    trial = {**edits, key: f"{(min if thicker else max)(fits):.7g} mm"}
    return trial if trials.is_fine(trial, known) else edits


def _in_inches(trials: Trials, edits: Edits, key: str, known: frozenset[Warned]) -> Edits:
    """Return the edits with one length in inches, for a recipe in inches: rounded away from what it was."""
    there, before = lengths_of(edits[key]), lengths_before(trials.reading, key)
    if trials.reading.recipe.units != INCH.name or len(there) != 1:
        return edits
    larger = not before or there[0] >= before[0]
    inches = there[0] / MM_PER_INCH / FINEST_IN
    whole = round(inches)
    nearest = whole if abs(whole - inches) < 1e-6 else ceil(inches) if larger else floor(inches)
    exact = there[0] / INCH_PLATE_STEP
    text = f"{there[0] / MM_PER_INCH:.6g} in" if abs(exact - round(exact)) < 1e-6 else f"{nearest * FINEST_IN:.6g} in"
    trial = {**edits, key: text}
    return trial if trials.is_fine(trial, known) else edits


def _by_parameter(trials: Trials, edits: Edits, key: str, known: frozenset[Warned]) -> Edits:
    """Return the edits with a parameter changed where the key holds nothing but that, if everything stays fine."""
    recipe, there = trials.reading.recipe, lengths_of(edits[key])
    name = trials.reading.origin_of(key).value
    if len(there) != 1 or not isinstance(recipe.parameters.get(name), int | float):
        return edits
    number = there[0] / (MM_PER_INCH if recipe.units == INCH.name else 1.0)
    change = Edit(f"parameters.{name}", f"{number:.6g}")
    if not allowed((change,), trials.rules):
        return edits
    trial: Edits = {k: v for k, v in edits.items() if k != key}
    trial[change.key] = change.value
    return trial if trials.is_fine(trial, known) else edits
