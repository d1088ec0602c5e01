"""What every check looks at and why, in words: for ``coverplate check --explain`` and for the page in the docs."""

from __future__ import annotations

import re
from collections.abc import Sequence
from textwrap import fill

from generator.checks import CHECKS
from generator.checks.check import Check
from generator.recipe.mistakes import did_you_mean

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


def checks_page() -> str:
    """Return the page on all checks as Markdown."""
    parts = [_HEAD, "| check | what it asks |", "|---|---|"]
    parts += [f"| [`{c.id}`](#{c.id}) | {c.title} |" for c in CHECKS]
    for c in CHECKS:
        parts += ["", f"## {c.id}", "", fill(f"**{c.title[:1].upper()}{c.title[1:]}.** {c.why}", 120)]
        if c.formula:
            parts += ["", fill(f"Reckoned: {c.formula}", 120)]
        parts += ["", fill(f"Source: {c.source}", 120)]
        parts += ["", f"Codes: {', '.join(f'`{code}`' for code in codes_of(c))}"]
    return "\n".join(parts) + "\n"
