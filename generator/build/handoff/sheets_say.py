"""What drawings and the inspection sheet state, read back from their files: figures with the numbers in balloons."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Sequence
from math import hypot
from typing import Any, Final

from generator.base.errors import ProofError
from generator.base.frozen_record import frozen_record
from generator.base.units import LengthUnit, length_unit
from generator.build.handoff.statement import Statement
from generator.estimate.inspection_csv import COLUMNS, HEAD
from generator.paper.box import Box
from generator.paper.pdf_read import PdfError, ReadPage, ReadPath, read_pdf

__all__ = ["dxf_says", "pdf_says", "rows_say", "sheet_says"]

FIGURE: Final = re.compile(r"^[⌀R(]*([−-]?\d+(?:\.\d+)?)")
CHAMFER: Final = re.compile(r"(\d+(?:\.\d+)?) × 45°")
SLACK_MM: Final = 1e-6
HALF_MM: Final = 3.5
"""Balloons are less than twice as high on paper."""
SIGNS: Final = (("%%c", "⌀"), ("%%p", "±"), ("%%d", "°"), ("%%%", "%"))
BALLOON: Final = "balloon"
TABLE: Final = "table"
BARE: Final = re.compile(r"[⌀R]?[−-]?\d+(?:\.\d+)?")
SAME_ROW_MM: Final = 0.5
"""Balloon and nominal of a row stand at one height."""
CAPITAL: Final = 1493.0 / 4096.0
"""Half the height of a capital in em: DejaVu Sans 2.37."""


@frozen_record
class _Said:
    """One text on a sheet: where it begins or is anchored, mm."""

    text: str
    x: float
    y: float


def pdf_says(path: str, data: bytes, unit: LengthUnit) -> list[Statement]:
    """Return what a drawing states in its balloons.

    Raises: ProofError: it cannot be read.
    """
    try:
        pages = read_pdf(data)
    except PdfError as error:
        raise ProofError(f"{path}: {error}", feature=path) from error
    return [s for page in pages for s in _stated(path, _texts(page), list(_balloons(page.paths)), unit)]


def _texts(page: ReadPage) -> list[_Said]:
    return [_Said(t.text.strip(), *t.at) for t in page.texts]


def _balloons(paths: Iterable[ReadPath]) -> Iterator[Box]:
    for path in paths:
        if path.name == BALLOON:
            for way in path.ways:
                yield Box(*map(float, (*way.points.min(axis=0), *way.points.max(axis=0))))


def dxf_says(path: str, data: bytes, unit: LengthUnit) -> list[Statement]:
    """Return what a drawing in DXF states in its balloons.

    Raises: ProofError: it cannot be read.
    """
    from ezdxf.filemanagement import read
    from ezdxf.lldxf.const import DXFError

    try:
        doc = read(io.StringIO(data.decode("utf-8", errors="surrogateescape")))
    except (DXFError, OSError, ValueError) as error:
        raise ProofError(f"{path}: not readable: {error}", feature=path) from error
    texts: list[_Said] = []
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
            texts.append(_Said(_plain(d.text), at.x, at.y))
    return _stated(path, texts, balloons, unit)


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


def _stated(path: str, texts: Sequence[_Said], balloons: Sequence[Box], unit: LengthUnit) -> list[Statement]:
    """Return the figures that stand before numbers in balloons, in the order of the file."""
    out: list[Statement] = []
    figure: _Said | None = None
    for said in texts:
        if said.text.isdigit() and any(_holds(b, said) for b in balloons):
            found = _statement(int(said.text), path, figure.text, unit) if figure else None
            out += [found] if found else []
        else:
            figure = said
    return out


def _holds(balloon: Box, said: _Said) -> bool:
    return balloon.left < said.x < balloon.right and balloon.bottom < said.y < balloon.top


def _statement(number: int, path: str, text: str, unit: LengthUnit) -> Statement | None:
    found = CHAMFER.search(text) or FIGURE.match(text)
    if found is None:
        return None
    digits = found[1].replace("−", "-")
    return Statement(number, path, float(digits) * unit.mm, _rounding(digits, unit), text)


def _rounding(digits: str, unit: LengthUnit) -> float:
    """Return by how much a figure may be off through rounding, mm: no figure has fewer decimals than the unit's."""
    decimals = max(len(digits.partition(".")[2]), unit.decimals)
    return 0.5 * 10.0**-decimals * unit.mm + SLACK_MM


def rows_say(path: str, data: bytes, unit: LengthUnit) -> list[Statement]:
    """Return the nominals of the tables of an inspection or setup sheet: a row has its number in a balloon.

    Where a page frames its table, what lies outside it is a picture's.

    Raises: ProofError: it cannot be read.
    """
    try:
        pages = read_pdf(data)
    except PdfError as error:
        raise ProofError(f"{path}: {error}", feature=path) from error
    return [s for page in pages for s in _rows_of(path, page, unit)]


def _rows_of(path: str, page: ReadPage, unit: LengthUnit) -> Iterator[Statement]:
    frames = [Box.around([(float(x), float(y)) for x, y in w.points]) for p in page.named(TABLE) for w in p.ways]
    texts = [(_Said(t.text.strip(), *t.at), t.at[1] + CAPITAL * t.em_mm) for t in page.texts]
    for balloon in _balloons(page.paths):
        _, y = balloon.centre
        number = next((s.text for s, _ in texts if s.text.isdigit() and _holds(balloon, s)), None)
        if number is None or (frames and not any(balloon.within(f) for f in frames)):
            continue
        row = [s for s, middle in texts if s.x > balloon.right and abs(middle - y) < SAME_ROW_MM]
        bare = min((s for s in row if BARE.fullmatch(s.text)), key=lambda s: s.x, default=None)
        found = _statement(int(number), path, bare.text, unit) if bare else None
        if found:
            yield found


def sheet_says(path: str, data: bytes) -> list[Statement]:
    """Return the nominals of an inspection sheet.

    Raises: ProofError: it is no such sheet.
    """
    rows = list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))
    try:
        unit = length_unit(dict(row[:2] for row in rows[: len(HEAD)])["unit"])
        first = next(k for k, row in enumerate(rows) if row and row[0] == COLUMNS[0])
        number, nominal = COLUMNS.index("number"), COLUMNS.index("nominal")
        figures = [(int(row[number]), row[nominal]) for row in rows[first + 1 :]]
        return [Statement(n, path, float(f) * unit.mm, _rounding(f, unit), f) for n, f in figures]
    except (KeyError, ValueError, IndexError, StopIteration) as error:
        raise ProofError(f"{path}: not an inspection sheet: {error}", feature=path) from error
