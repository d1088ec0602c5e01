"""What drawings state, read back from their files: figures with the numbers in balloons behind them."""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Mapping, Sequence
from math import hypot
from typing import Any, Final

from generator.base.errors import ProofError
from generator.base.units import LengthUnit
from generator.build.handoff.figures_say import SLACK_MM, figure_in, limits_of, stated
from generator.build.handoff.sheet_texts import SheetText, balloons_of, holds, sheet_pages, texts_of
from generator.build.handoff.statement import Statement
from generator.build.handoff.title_says import GENERAL, title_fields
from generator.estimate.characteristic import Kind
from generator.estimate.general_limits import general_limits
from generator.paper.box import Box

__all__ = ["dxf_drawing", "dxf_says", "pdf_says"]

SHARED: Final = re.compile(r"[^\W\d].* ±(\d+(?:\.\d+)?)")
"""The head of a column whose limits hold for all figures in it."""
HALF_MM: Final = 3.5
"""Balloons are less than twice as high on paper."""
SIGNS: Final = (("%%c", "⌀"), ("%%p", "±"), ("%%d", "°"), ("%%%", "%"))
LINES: Final = 3
"""A note that ends with a chamfer has it on no more lines than these."""


def pdf_says(path: str, data: bytes, unit: LengthUnit, kinds: Mapping[int, Kind]) -> list[Statement]:
    """Return what a drawing states in its balloons; ``kinds`` by the number of the characteristic.

    Raises: ProofError: it cannot be read.
    """
    pages = sheet_pages(path, data)
    general = title_fields([t for page in pages for t in texts_of(page)]).get(GENERAL, "")
    found = ((texts_of(page), list(balloons_of(page.paths))) for page in pages)
    return [s for texts, balloons in found for s in _stated(path, texts, balloons, unit, kinds, general)]


def dxf_says(path: str, data: bytes, unit: LengthUnit, kinds: Mapping[int, Kind]) -> list[Statement]:
    """Return what a drawing in DXF states in its balloons; ``kinds`` by the number of the characteristic.

    Raises: ProofError: it cannot be read.
    """
    texts, balloons = dxf_drawing(path, data)
    return _stated(path, texts, balloons, unit, kinds, title_fields(texts).get(GENERAL, ""))


def dxf_drawing(path: str, data: bytes) -> tuple[list[SheetText], list[Box]]:
    """Return texts and balloons of a drawing in DXF.

    Raises: ProofError: it cannot be read.
    """
    from ezdxf.filemanagement import read
    from ezdxf.lldxf.const import DXFError

    try:
        doc = read(io.StringIO(data.decode("utf-8", errors="surrogateescape")))
    except (DXFError, OSError, ValueError) as error:
        raise ProofError(f"{path}: not readable: {error}", feature=path) from error
    texts: list[SheetText] = []
    balloons: list[Box] = []
    entities: Iterable[Any] = doc.modelspace()
    for item in entities:
        d, kind = item.dxf, item.dxftype()
        if kind == "CIRCLE" and d.radius < HALF_MM:
            balloons.append(Box(d.center.x, d.center.y, d.center.x, d.center.y).grown(d.radius))
        elif kind == "LWPOLYLINE":
            balloons += _oblong([(float(x), float(y), float(b)) for x, y, b in item.get_points("xyb")])
        elif kind == "TEXT":
            at = d.insert if d.get("halign", 0) == 0 else d.align_point
            texts.append(SheetText(_plain(d.text), at.x, at.y))
    return texts, balloons


def _oblong(rows: Sequence[tuple[float, float, float]]) -> list[Box]:
    """Return the box of a balloon for two digits: two straight sides and two half circles; nothing for other lines."""
    if [abs(b) for _, _, b in rows] != [0.0, 1.0, 0.0, 1.0]:
        return []
    xs, ys = [x for x, _, _ in rows], [y for _, y, _ in rows]
    box = Box(min(xs), min(ys), max(xs), max(ys))
    half = hypot(rows[2][0] - rows[1][0], rows[2][1] - rows[1][1]) / 2.0
    if half > HALF_MM:
        return []
    dx, dy = (half, 0.0) if abs(rows[1][1] - rows[0][1]) < SLACK_MM else (0.0, half)
    return [Box(box.left - dx, box.bottom - dy, box.right + dx, box.top + dy)]


def _plain(text: str) -> str:
    for code, sign in SIGNS:
        text = text.replace(code, sign)
    return text


def _stated(
    path: str,
    texts: Sequence[SheetText],
    balloons: Sequence[Box],
    unit: LengthUnit,
    kinds: Mapping[int, Kind],
    general: str,
) -> list[Statement]:
    """Return the figures that stand before numbers in balloons, in the order of the file.

    A table is written column by column, so limits in the head of a column hold for the figures behind it.
    """
    out: list[Statement] = []
    before: list[str] = []
    shared: str | None = None
    for said in texts:
        if said.text.isdigit() and any(holds(b, said) for b in balloons):
            found = _statement(int(said.text), path, before, shared, unit, kinds, general) if before else None
            out += [found] if found else []
            continue
        before = [*before, said.text][-LINES:]
        if figure_in(said.text) is None:
            head = SHARED.fullmatch(said.text)
            shared = head[1] if head else None
    return out


def _statement(
    number: int,
    path: str,
    before: Sequence[str],
    shared: str | None,
    unit: LengthUnit,
    kinds: Mapping[int, Kind],
    general: str,
) -> Statement | None:
    """Return what stands before a balloon: figure, and limits beside it, over its column, or in the title block."""
    text = " ".join(before) if before[-1].endswith("45°") else before[-1]
    figure = figure_in(text)
    if figure is None:
        return None
    limits = limits_of(figure, unit)
    if limits is None and shared is not None and not figure.is_reference:
        limits = -float(shared) * unit.mm, float(shared) * unit.mm
    if limits is None and number in kinds and not figure.is_reference:
        limits = general_limits(general, kinds[number], float(figure.nominal) * unit.mm)
    return stated(number, path, figure.nominal, limits, unit, before[-1], is_reference=figure.is_reference)
