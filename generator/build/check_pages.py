"""What every check looks at and why, in words: for ``coverplate check --explain`` and for the page in the docs."""

from __future__ import annotations

import re
from collections.abc import Sequence
from textwrap import fill

from generator.base.fields import spec_of
from generator.base.figures import Figure
from generator.checks import CHECKS
from generator.checks.check import Check
from generator.recipe.mistakes import did_you_mean
from generator.recipe.model_limits import Limits

__all__ = ["checks_page", "explained", "unknown"]

WIDTH = 100
_HEAD = """# Checks

Made from the code by `make docs`; `coverplate check --explain NAME` prints one of these. A check judges the plan before
anything is built. Its findings forbid, warn or note; each names the place, the figure, the limit with its source, and
the smallest change that mends it.
"""


def explained(name: str) -> str:
    """Return reasoning, formula and source of one check as plain text.

    Raises: KeyError: there is no such check; ask ``unknown`` what to say.
    """
    check = {c.id: c for c in CHECKS}[name]
    lines = [f"{check.id}: {check.title}", "", fill(check.why, WIDTH)]
    if check.formula:
        lines += ["", fill(f"Reckoned: {check.formula}", WIDTH)]
    lines += ["", fill(f"Source: {check.source}", WIDTH)]
    lines += ["", *_limits_told(check)] if check.limits else []
    lines += ["", fill(f"It can say: {', '.join(codes_of(check))}", WIDTH)]
    return "\n".join(lines)


def unknown(name: str) -> str:
    """Return what to say of a name that no check has."""
    names = [c.id for c in CHECKS]
    near = did_you_mean(name, names)
    return f"no check is called `{name}`; {near or 'there are: ' + ', '.join(names)}"


def codes_of(check: Check) -> Sequence[str]:
    """Return the codes of a check's findings, from the words of its ``run``."""
    return re.findall(r"``([a-z0-9-]+)``", check.run.__doc__ or "")


def limits_of(check: Check) -> Sequence[tuple[str, Figure, str]]:
    """Return key in the recipe, default with its source, and meaning of every limit that a check knows."""
    return [_limit(word) for word in check.limits]


def _limit(word: str) -> tuple[str, Figure, str]:
    theme, _, name = word.partition(".")
    group = getattr(Limits(), theme)
    figure = getattr(group, name)
    assert isinstance(figure, Figure)
    meaning, _, _ = spec_of(type(group), name).help.partition(" Default: ")
    return f"limits.{word}", figure, meaning


def _limits_told(check: Check) -> list[str]:
    lines = []
    for key, figure, meaning in limits_of(check):
        lines.append(f"{key}: {figure.value:.4g} {figure.unit}  ({figure.told_source})")
        lines.append(fill(meaning, WIDTH, initial_indent="    ", subsequent_indent="    "))
    return ["Limits, each can be set in the recipe:", *lines]


def _limits_table(check: Check) -> list[str]:
    rows = [
        f"| `{key}` | {figure.value:.4g} {figure.unit} | {figure.told_source} | {meaning} |"
        for key, figure, meaning in limits_of(check)
    ]
    return ["| limit | default | source | meaning |", "|---|---|---|---|", *rows]


def checks_page() -> str:
    """Return the page on all checks as Markdown."""
    parts = [_HEAD, "| check | what it asks |", "|---|---|"]
    parts += [f"| [`{c.id}`](#{c.id}) | {c.title} |" for c in CHECKS]
    for c in CHECKS:
        parts += ["", f"## {c.id}", "", fill(f"**{c.title[:1].upper()}{c.title[1:]}.** {c.why}", 120)]
        if c.formula:
            parts += ["", fill(f"Reckoned: {c.formula}", 120)]
        parts += ["", fill(f"Source: {c.source}", 120)]
        parts += ["", *_limits_table(c)] if c.limits else []
        parts += ["", f"Codes: {', '.join(f'`{code}`' for code in codes_of(c))}"]
    return "\n".join(parts) + "\n"
