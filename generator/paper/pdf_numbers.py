"""Numbers of a PDF file as its library writes them, told faster: sheets with many pictures are mostly numbers."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

__all__ = ["quick_numbers", "told"]


@contextmanager
def quick_numbers() -> Iterator[None]:
    """Have paths of the library write their numbers by ``told``; its own way is put back afterwards."""
    from reportlab.pdfgen import pathobject

    paths: Any = pathobject
    before = paths.fp_str
    paths.fp_str = lambda *values: told(*(values if len(values) > 1 else values[0]))
    try:
        yield
    finally:
        paths.fp_str = before


def told(*values: float) -> str:
    """Return numbers as ``reportlab.lib.rl_accel.fp_str`` does: six digits, fewer where they are noughts.

    >>> told(0.5, -12.25, 100.0, 1e-9)
    '.5 -12.25 100 0'
    """
    return " ".join(map(_one, values))


def _one(value: float) -> str:
    size = abs(value)
    if size <= 1e-7:
        return "0"
    if size >= 1e6:
        return f"{value:.0f}"
    if size >= 100.0:
        text = f"{value:.4f}" if size < 1000.0 else f"{value:.{3 if size < 1e4 else 2 if size < 1e5 else 1}f}"
    else:
        text = f"{value:.5f}" if size >= 10.0 else f"{value:.6f}"
    text = text.rstrip("0").rstrip(".")
    return text[1:] if text[0] == "0" and len(text) > 1 else text
