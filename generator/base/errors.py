"""Every exception the package raises on purpose.

::

    CoverplateError
    ├─ RecipeError    the person's file is wrong: a list of located mistakes; exit code 2
    ├─ GeometryError  the plane cannot do it: contour, segment number, point
    │  ├─ ContourError   an outline is open, degenerate or crosses itself
    │  └─ OffsetError    an offset or boolean could not be made within tolerance
    ├─ OutputError    the folder or disk refuses; nothing half-written is left; exit code 3
    └─ ProofError     two outputs disagree: ours to mend; nothing is handed back; exit code 3

Findings (what a check has to say about a plan) are values, not exceptions: see ``finding.py``.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Self

DRAWABLE = "an outline that can be drawn"
"""What was expected where one cannot."""


class CoverplateError(Exception):
    """Root of all errors raised on purpose."""


@dataclass(frozen=True, order=True)
class Mistake:
    """One thing wrong in a recipe, with its address.

    Attributes:
        file: the recipe file as the person named it, or ``<text>``.
        line: 1-based; 0 when the whole file is meant.
        column: 1-based; 0 when the whole line is meant.
        path: where in the recipe, such as ``cover.outer.even_margin.margin``; empty for the file itself.
        found: what stands there.
        expected: what could stand there.
        remedy: how to mend it, the nearest right word included; may be empty.
        snippet: the source line, for a caret below it; may be empty.
    """

    file: str
    line: int
    column: int
    path: str
    found: str
    expected: str
    remedy: str = ""
    snippet: str = ""

    def sentence(self) -> str:
        """Return ``file:line:column: found, expected, how to mend it`` on one line."""
        where = ":".join([self.file, *(str(n) for n in (self.line, self.column) if n)])
        at = f"{self.path}: " if self.path else ""
        parts = [f"found {self.found}", f"expected {self.expected}" if self.expected else "", self.remedy]
        return f"{where}: {at}" + "; ".join(p for p in parts if p)


class RecipeError(CoverplateError):
    """The recipe is wrong; carries every mistake found in one run."""

    def __init__(self, mistakes: list[Mistake] | tuple[Mistake, ...]) -> None:
        self.mistakes: tuple[Mistake, ...] = tuple(mistakes)
        super().__init__("\n".join(m.sentence() for m in self.mistakes))


class GeometryError(CoverplateError):
    """The plane cannot do what was asked.

    Attributes:
        contour: name or number of the contour, empty if not known.
        segment: number of the segment in the contour, -1 if none is to blame.
        point_mm: where, or None.
        path: recipe path of the outline, such as ``original.footprint``; empty until somebody knows it.
    """

    def __init__(
        self,
        message: str,
        *,
        contour: str = "",
        segment: int = -1,
        point_mm: tuple[float, float] | None = None,
        path: str = "",
    ) -> None:
        self.path = path
        self.contour = contour
        self.segment = segment
        self.point_mm = point_mm
        super().__init__(message)

    def placed(self, path: str) -> Self:
        """Return the same error, of the same type and with all that it carries, with another recipe path.

        No constructor is called, so that an error may be made from whatever arguments it likes.
        """
        other = type(self).__new__(type(self), *self.args)
        other.__dict__.update(self.__dict__, path=path)
        return other


class ContourError(GeometryError):
    """An outline is open, degenerate or crosses itself."""


class OffsetError(GeometryError):
    """An offset or boolean could not be made within its tolerance."""


class OutputError(CoverplateError):
    """The output folder or the disk refuses; nothing half-written is left."""


class ProofError(CoverplateError):
    """Two outputs that must agree do not.

    Attributes:
        feature: the feature, layer or file that disagrees.
    """

    def __init__(self, message: str, *, feature: str = "") -> None:
        self.feature = feature
        super().__init__(message)


@contextmanager
def blamed(path: str) -> Iterator[None]:
    """Give a geometry error the recipe path of what was being drawn, unless it already names one."""
    try:
        yield
    except GeometryError as error:
        error.path = error.path or path
        raise
