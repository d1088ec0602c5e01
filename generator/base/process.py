"""How a process of this package is set up: told once for the command and for workers."""

from __future__ import annotations

from typing import Final

__all__ = ["ONE_THREAD", "RARE"]

RARE: Final = (50_000, 20, 100)
"""Objects made before the collector looks for circles among them: short commands leave few, and looking takes time."""

ONE_THREAD: Final = ("OPENBLAS_NUM_THREADS", "1")
"""Matrices here are small: threads of the library for linear algebra would only wait, and they wait at full speed."""
