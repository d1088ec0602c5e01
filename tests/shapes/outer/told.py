"""What a refusal tells to change, read back and applied."""

from __future__ import annotations

import re
from typing import Any

from generator.base.errors import GeometryError
from generator.outline.region import Region
from tests.shapes.outer.walls import around
from tests.shapes.recipe_form import drawn

Way = dict[str, float | str | None]
"""Keys that are changed together, and to what; None: left out."""


def ways(error: str) -> list[Way]:
    """The alternatives that a refusal names."""
    out: list[Way] = []
    for part in error.split(", or "):
        way: Way = {key: float(value) for key, value in re.findall(r"(\w+): (?:at least |at most |)([0-9.]+)", part)}
        way |= dict.fromkeys(re.findall(r"leave out `(\w+)`", part))
        way |= dict.fromkeys(re.findall(r"(sides): straight", part), "straight")
        out += [way] if way else []
    return out


def changed(params: dict[str, Any], way: Way) -> dict[str, Any]:
    """The recipe's keys with a way applied."""
    out = dict(params)
    for key, value in way.items():
        if key in ("hollow", "bulging"):
            out["sides"] = {key: value}
        elif value is None:
            del out[key]
        else:
            out[key] = int(float(value)) if key == "count" else value
    return out


def drawn_or_told(kind: str, params: dict[str, Any], name: str) -> tuple[Region | None, str]:
    """The shape, or why not."""
    try:
        return drawn({kind: params}, around(name)), ""
    except GeometryError as error:
        return None, str(error)


def refusal(kind: str, params: dict[str, Any], name: str) -> str:
    """Why it is refused."""
    outer, why = drawn_or_told(kind, params, name)
    assert outer is None
    return why
