"""``coverplate inspect``: readings of parts held against their recipe."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from math import isfinite
from typing import Any

from generator.build.inspection import Inspection, inspect
from generator.cli import codes
from generator.cli.tell import Console
from generator.estimate.verdicts import Capable, Said, Verdict
from generator.formulas.capability import FEWEST, SOURCE

GOOD = 1.33
"""A Cpk below this is told (common practice, no source)."""


def run(options: argparse.Namespace, console: Console) -> int:
    """Judge the readings and return the exit code."""
    found = inspect(options.recipe, options.readings, sets=options.sets)
    if console.json:
        console.document(_answer(found))
    else:
        for line in _lines(found, quiet=console.quiet):
            print(line)
    return codes.FINE if found.passes else codes.FORBIDDEN


# ------------------------------------------------------------------ for people
def _lines(found: Inspection, *, quiet: bool) -> Iterator[str]:
    sheet, unit = found.sheet, found.sheet.unit
    if not quiet:
        parts = len(found.readings.parts)
        told = f"{len(sheet.characteristics)} characteristics, {parts} part{'s' if parts > 1 else ''}"
        yield f"{sheet.name}, revision {sheet.revision}: {told}, in {unit.plural}"
    for part in found.readings.parts:
        counts = {said: found.count(part, said) for said in Said}
        failed = counts[Said.FAIL]
        if failed or not quiet:
            missing = f", {counts[Said.NOT_MEASURED]} not measured" if counts[Said.NOT_MEASURED] else ""
            verdict = "FAILS" if failed else "passes what was measured" if missing else "passes"
            yield f"{part} {verdict}: {counts[Said.PASS]} pass, {failed} fail{missing}"
        yield from (f"  {_failure(v)}" for v in found.verdicts if v.part == part and v.said is Said.FAIL)
    if not quiet:
        yield from _capability_lines(found)
        yield from _cause_lines(found)


def _failure(v: Verdict) -> str:
    """Return a failing characteristic on one line."""
    c, size = v.characteristic, v.size
    limit, way = (size.upper_text, "over") if v.beyond > 0.0 else (size.lower_text, "under")
    worst = size.text(max(v.readings) if v.beyond > 0.0 else min(v.readings))
    return f"{c.number} {c.what}: {worst} is {size.text(abs(v.beyond))} {way} {limit} ({c.instrument})"


def _capability_lines(found: Inspection) -> Iterator[str]:
    parts = len(found.readings.parts)
    if parts < 2:
        return
    if not found.capabilities:
        yield f"capability: {parts} parts are too few, {FEWEST} are needed"
        return
    yield f"capability, Cp = (upper - lower) / 6 s, Cpk to the nearer limit ({SOURCE}):"
    ranked = sorted(found.capabilities, key=lambda x: (round(x.capability.cpk, 6), x.characteristic.number))
    poor = [x for x in ranked if x.capability.cpk < GOOD]
    yield from (f"  {_capability(x)}" for x in poor)
    rest = ranked[len(poor) :]
    if rest:
        least = f"{rest[0].capability.cpk:.2f} at least" if isfinite(rest[0].capability.cpk) else "equal readings"
        yield f"  {'the other ' if poor else 'all '}{len(rest)}: Cpk {least}, {GOOD} is common practice"


def _capability(x: Capable) -> str:
    k, c = x.capability, x.characteristic
    told = f"{c.number} {c.what}: mean {x.size.text(k.mean)}, "
    if not isfinite(k.cp):
        return f"{told}all readings are equal"
    return f"{told}s {k.deviation:.2g}, Cp {k.cp:.2f}, Cpk {k.cpk:.2f} (at least {k.cpk_at_least:.2f} with 95 %)"


def _cause_lines(found: Inspection) -> Iterator[str]:
    if found.causes:
        yield "what the errors say (rules of thumb; mend one thing, measure again):"
    for cause in found.causes:
        yield f"  {cause.says} [{', '.join(str(n) for n in cause.numbers)}]"
        yield f"    remedy: {cause.remedy}"


# ------------------------------------------------------------------ for scripts
def _answer(found: Inspection) -> dict[str, Any]:
    """Return the JSON answer; figures in the sheet's unit."""
    sheet = found.sheet
    return {
        "recipe": sheet.name,
        "revision": sheet.revision,
        "characteristics": sheet.digest,
        "unit": sheet.unit.name,
        "status": "pass" if found.passes else "fail",
        "parts": {p: {said.value: found.count(p, said) for said in Said} for p in found.readings.parts},
        "verdicts": [_verdict_data(v) for v in found.verdicts],
        "capability": [_capability_data(x) for x in found.capabilities],
        "causes": [
            {
                "cause": c.id,
                "says": c.says,
                "remedy": c.remedy,
                "figure": c.figure,
                "unit": c.unit,
                "numbers": list(c.numbers),
            }
            for c in found.causes
        ],
    }


def _verdict_data(v: Verdict) -> dict[str, Any]:
    size = v.size
    return {
        "part": v.part,
        "number": v.characteristic.number,
        "what": v.characteristic.what,
        "nominal": size.nominal,
        "lower": size.lower,
        "upper": size.upper,
        "readings": list(v.readings),
        "said": v.said.value,
        "beyond": round(v.beyond, 6),
    }


def _capability_data(x: Capable) -> dict[str, Any]:
    k = x.capability
    figures = {"mean": k.mean, "deviation": k.deviation, "cp": k.cp, "cpk": k.cpk, "cpk_at_least": k.cpk_at_least}
    told = {name: value if isfinite(value) else None for name, value in figures.items()}
    return {"number": x.characteristic.number, "count": k.count, **told}
