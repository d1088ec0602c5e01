"""The small language of remedies: what a person reads as a sentence, the program reads as edits of the recipe.

A remedy names alternatives, parted by ``, or``. An alternative that can be carried out is made of edits, joined by
``and``, ``with`` or a space: ``set KEY to VALUE``, ``set KEY to at least LENGTH``, ``set KEY to at most LENGTH``,
``leave KEY out``, ``without KEY``; several keys may share a value (``set A and B to …``); a place is
``[x mm, y mm]``. Everything else is advice for a person (``move the two apart``), and no edit.

>>> ways("set cover.stock.thickness to at least 12.4 mm, or leave dowels.at out")
((Edit(key='cover.stock.thickness', value='12.4 mm', towards=1),), (Edit(key='dowels.at', value=None, towards=0),))
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import ceil, floor


@dataclass(frozen=True, order=True)
class Edit:
    """One edit of a recipe.

    Attributes:
        key: recipe path, such as ``cover.stock.thickness``.
        value: as it could be written there, units included; None to leave the key out.
        towards: 1 if more would do as well (``at least``), -1 if less would (``at most``), 0 if just this value does.
    """

    key: str
    value: str | None
    towards: int = 0


Way = tuple[Edit, ...]
"""Edits that mend a finding together."""

STEP = 100.0
"""Remedies are given in hundredths of a millimetre, on the safe side."""
NOISE = 1e-6


def no_less(value_mm: float) -> str:
    """Return a length for ``set … to at least …``: rounded up, with its unit, as it can stand in any recipe."""
    return f"{ceil(value_mm * STEP - NOISE) / STEP:g} mm"


def no_more(value_mm: float) -> str:
    """Return a length for ``set … to at most …``: rounded down, with its unit, as it can stand in any recipe."""
    return f"{floor(value_mm * STEP + NOISE) / STEP:g} mm"


_KEY = r"[a-z][\w-]*(?:\[\d+\])*(?:\.[\w-]+(?:\[\d+\])*)*"
_KEYS = rf"{_KEY}(?:(?:, | and ){_KEY})*"
_SET = re.compile(
    rf"(?:set |with )?(?P<keys>{_KEYS}) (?:to|at) (?P<bound>at least |at most )?"
    r"(?P<value>`[^`]+`|\[-?[\d.]+ mm, -?[\d.]+ mm\]|[^\s,]+(?: mm)?|ISO \d+(?:-\d)?)"
)
_LEAVE = re.compile(rf"(?:leave (?P<a>{_KEY}) out|without (?P<b>{_KEY}))")
_ALTERNATIVE = re.compile(r", or |, if ")
_INCHES = re.compile(r"(?<= mm) \(-?[\d.]+ in\)")
"""What a length has behind it in the remedies of a recipe in inches."""
_END = re.compile(r" so that| until |;|: ")
_JOINT = re.compile(rf" and (?=set |leave |without |{_KEY} to )| (?=with |without )")


def ways(remedy: str) -> tuple[Way, ...]:
    """Return the alternatives of a remedy that can be carried out, in its order; none for mere advice."""
    remedy = _INCHES.sub("", remedy)
    ends = (m.start() for m in _END.finditer(remedy) if not remedy.count("`", 0, m.start()) % 2)  # not within a value
    found = (_way(text.strip()) for text in _ALTERNATIVE.split(remedy[: next(ends, len(remedy))]))
    return tuple(dict.fromkeys(w for w in found if w))


def _way(text: str) -> Way | None:
    """Return the edits of one alternative; None if any part of it is no edit."""
    edits: list[Edit] = []
    for part in [text] if _SET.fullmatch(text) else _JOINT.split(text):
        if left := _LEAVE.fullmatch(part):
            edits.append(Edit(left["a"] or left["b"], None))
        elif match := _SET.fullmatch(part):
            value = match["value"].strip("`")
            towards = {"at least ": 1, "at most ": -1}.get(match["bound"] or "", 0)
            edits += (Edit(key, value, towards) for key in re.split(r", | and ", match["keys"]))
        else:
            return None
    return tuple(edits)


_PLAIN = re.compile(r"`?([a-z_]+)`?: (at least|at most) (-?\d+(?:\.\d+)?(?: mm)?)")


def ways_of_outline(message: str, outline: str) -> tuple[Way, ...]:
    """Return what the refusal of an outline offers (``reach: at least 41.3``), each figure as an edit of its own.

    Args:
        message: what was said; lengths carry their unit, angles are degrees.
        outline: recipe path of the outline's kind, such as ``cover.outer.shield``.
    """
    return tuple(
        dict.fromkeys(
            (Edit(f"{outline}.{m[1]}", m[3], 1 if m[2] == "at least" else -1),) for m in _PLAIN.finditer(message)
        )
    )
