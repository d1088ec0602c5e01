"""Texts and balloons of a sheet, where they stand."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from generator.base.errors import ProofError
from generator.base.frozen_record import frozen_record
from generator.paper.box import Box
from generator.paper.pdf_read import PdfError, ReadPage, ReadPath, read_pdf

__all__ = ["SheetText", "balloons_of", "holds", "sheet_pages", "texts_of"]

BALLOON: Final = "balloon"


@frozen_record
class SheetText:
    """One text on a sheet: where it begins or is anchored, mm."""

    text: str
    x: float
    y: float


def sheet_pages(path: str, data: bytes) -> tuple[ReadPage, ...]:
    """Return the pages of a PDF.

    Raises: ProofError: it cannot be read.
    """
    try:
        return read_pdf(data)
    except PdfError as error:
        raise ProofError(f"{path}: {error}", feature=path) from error


def texts_of(page: ReadPage) -> list[SheetText]:
    """Return the texts of a page in the order of the file."""
    return [SheetText(t.text.strip(), *t.at) for t in page.texts]


def balloons_of(paths: Iterable[ReadPath]) -> Iterator[Box]:
    """Yield the boxes round balloons."""
    for path in paths:
        if path.name == BALLOON:
            for way in path.ways:
                yield Box(*map(float, (*way.points.min(axis=0), *way.points.max(axis=0))))


def holds(balloon: Box, said: SheetText) -> bool:
    """Return True if a text stands in a balloon."""
    return balloon.left < said.x < balloon.right and balloon.bottom < said.y < balloon.top
