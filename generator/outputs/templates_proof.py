"""Proofs of a 1:1 print: outlines, bars, figures and windows of every sheet, read back from the file."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from generator.outputs.output import Proof
from generator.outputs.proofs import count_proof
from generator.paper.box import Box
from generator.paper.pdf_proof import deviation_mm
from generator.paper.pdf_read import PdfError, ReadPage, ReadPath, read_pdf
from generator.paper.template_pages import Page
from generator.paper.templates import Template

__all__ = ["prove_print"]

PRINT_MM: Final = 0.01
"""How far a line of a print may lie from where it should."""


def prove_print(path: str, data: bytes, template: Template, pages: Sequence[Page]) -> Iterator[Proof]:
    """Yield the proofs of one file against the pages that it was written from."""
    try:
        read = read_pdf(data)
    except PdfError:
        read = ()
    yield count_proof("template: pages", path, abs(len(read) - len(pages)))
    for found, page in zip(read, pages, strict=False):
        feature = f"{path} {page.sheet.title}"
        yield Proof("template: outlines against regions", feature, _outlines(found, template, page), PRINT_MM, "mm")
        yield Proof("template: bars, square and circle", feature, _measures(found, page), PRINT_MM, "mm")
        yield Proof("template: sheet and window", feature, _edges(found, page), PRINT_MM, "mm")


def _outlines(found: ReadPage, template: Template, page: Page) -> float:
    """Return how far any outline on a sheet is from its region, mm."""
    middle = page.sheet.box.centre
    return max(
        deviation_mm(found.named(o.name), page.placing.region(o.region), stretch=page.sheet.stretch, middle=middle)
        for o in template.outlines
    )


def _measures(found: ReadPage, page: Page) -> float:
    """Return how far bars, square and circle are from the lengths that they stand for, mm."""
    frame, (kx, ky) = page.frame, page.sheet.stretch
    across, upright = _box(found.named(f"bar-{frame.across.axis}")), _box(found.named(f"bar-{frame.upright.axis}"))
    square, circle = _box(found.named("square")), _box(found.named("circle"))
    if across is None or upright is None or square is None or circle is None:
        return float("inf")
    pairs = [
        (across.width, kx * frame.across.length_mm),
        (upright.height, ky * frame.upright.length_mm),
        (square.width, kx * frame.square.width),
        (square.height, ky * frame.square.width),
        (circle.width, kx * frame.circle.width),
        (circle.height, ky * frame.circle.width),
    ]
    return max(abs(a - b) for a, b in pairs)


def _edges(found: ReadPage, page: Page) -> float:
    """Return how far the page and the window that the part is seen through are from what they should be, mm."""
    sheet, (kx, ky), (mx, my) = page.sheet, page.sheet.stretch, page.sheet.box.centre
    boxes = {b for w in found.windows if (b := _box((w,))) is not None}
    if not boxes:
        return float("inf")
    want = page.window
    meant = (
        mx + kx * (want.left - mx),
        my + ky * (want.bottom - my),
        mx + kx * (want.right - mx),
        my + ky * (want.top - my),
    )
    off = max(abs(a - b) for box in boxes for a, b in zip(box, meant, strict=True))
    size = zip(found.size_mm, (sheet.format.width_mm, sheet.format.height_mm), strict=True)
    return max(off, *(abs(a - b) for a, b in size))


def _box(paths: Sequence[ReadPath]) -> Box | None:
    """Return the box round paths; None without any."""
    points = [w.points for p in paths for w in p.ways]
    if not points:
        return None
    rows = np.vstack(points)
    return Box(*(float(v) for v in (*rows.min(0), *rows.max(0))))
