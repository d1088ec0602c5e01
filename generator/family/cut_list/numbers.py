"""Numbers and names of the cut list as words."""

from __future__ import annotations

import re

__all__ = ["file_word", "percent", "plain", "square_metres"]


def plain(value: float) -> str:
    """Return a length in mm, or an angle, without needless digits."""
    return f"{round(value, 3) + 0.0:.3f}".rstrip("0").rstrip(".")


def square_metres(area_mm2: float) -> str:
    """Return an area in m²."""
    return f"{area_mm2 * 1e-6 + 0.0:.4f}"


def percent(share: float) -> str:
    """Return a share in per cent."""
    return f"{100.0 * share + 0.0:.1f} %"


def file_word(text: str) -> str:
    """Return a text as it may stand in a file's name: letters, digits, points and hyphens."""
    return re.sub(r"[^A-Za-z0-9.]+", "-", text).strip("-.") or "material"
