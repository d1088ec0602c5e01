"""What a PDF of ours shows, read back with another library than the one that wrote it."""

from __future__ import annotations

from collections.abc import Collection
from io import BytesIO
from math import hypot
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.paper.pdf import POINT_MM

__all__ = ["PdfError", "ReadPage", "ReadPath", "ReadText", "ReadWay", "read_pdf", "read_texts"]

Floats = NDArray[np.float64]
Matrix = tuple[float, float, float, float, float, float]

_SHARES: Final = np.linspace(0.0, 1.0, 9)[1:, None]
"""Places along a curve at which it is read."""
_GAUSS: Final = tuple(zip(*np.polynomial.legendre.leggauss(3), strict=True))
"""Places and weights that sum a polynomial of degree 5 exactly: the area beside a cubic curve is one."""
_PAINT: Final = {"S", "s", "f", "F", "f*", "B", "B*", "b", "b*", "n"}


class PdfError(Exception):
    """The file is not one of ours."""


@frozen_record
class ReadWay:
    """One way of a path: points along it (mm on the page, y up) and the signed area it goes round, exact, mm²."""

    points: Floats
    area_mm2: float


@frozen_record
class ReadPath:
    """One path: its name (empty without), its ways, and the operator that paints it."""

    name: str
    ways: tuple[ReadWay, ...]
    paint: str


@frozen_record
class ReadText:
    """One line of text: where its baseline starts (mm) and the size of the face (em, mm)."""

    text: str
    at: tuple[float, float]
    em_mm: float


@frozen_record
class ReadPage:
    """One page: its size (mm), paths and texts in the order of the file, and the paths that others are seen through."""

    size_mm: tuple[float, float]
    paths: tuple[ReadPath, ...]
    texts: tuple[ReadText, ...]
    windows: tuple[ReadPath, ...] = ()

    def named(self, name: str) -> tuple[ReadPath, ...]:
        """Return the paths of that name."""
        return tuple(p for p in self.paths if p.name == name)


def read_pdf(data: bytes, *, with_texts: bool = True) -> tuple[ReadPage, ...]:
    """Return what every page of a PDF shows (texts take a third of the time).

    Raises: PdfError: the file cannot be read.
    """
    from pypdf import PdfReader
    from pypdf.errors import PyPdfError

    try:
        reader = PdfReader(BytesIO(data), strict=True)
        return tuple(_page(page, with_texts) for page in reader.pages)
    except (PyPdfError, KeyError, IndexError, ValueError, AttributeError) as error:
        raise PdfError(f"not a PDF that can be read: {error}") from error


def read_texts(data: bytes, pages: Collection[int] | None = None) -> tuple[tuple[ReadText, ...], ...]:
    """Return the texts of every page of a PDF alone, in half the time; none of pages other than ``pages`` (from 0).

    Raises: PdfError: the file cannot be read.
    """
    from pypdf import PdfReader
    from pypdf.errors import PyPdfError

    try:
        read = enumerate(PdfReader(BytesIO(data), strict=True).pages)
        return tuple(_texts(page) if pages is None or k in pages else () for k, page in read)
    except (PyPdfError, KeyError, IndexError, ValueError, AttributeError) as error:
        raise PdfError(f"not a PDF that can be read: {error}") from error


def _page(page: Any, with_texts: bool) -> ReadPage:
    paths = _Paths()
    content = page.get_contents()
    for operands, operator in content.operations if content is not None else ():
        paths.hear(operator.decode("ascii"), operands)
    box = page.mediabox
    size = float(box.width) * POINT_MM, float(box.height) * POINT_MM
    return ReadPage(size, tuple(paths.found), _texts(page) if with_texts else (), tuple(paths.windows))


def _texts(page: Any) -> tuple[ReadText, ...]:
    """Return the texts of a page with their places."""
    out: list[ReadText] = []

    def visit(text: str, cm: list[float], tm: list[float], font: Any, size: float) -> None:
        if text.strip():
            x, y = _through(_matrix(cm), tm[4], tm[5])
            em = float(size) * hypot(tm[0], tm[1])
            out.append(ReadText(text.strip("\n"), (x * POINT_MM, y * POINT_MM), em * POINT_MM))

    page.extract_text(visitor_text=visit)
    return tuple(out)


class _Paths:
    """Hears the operators of a page and keeps the paths."""

    def __init__(self) -> None:
        self.found: list[ReadPath] = []
        self.windows: list[ReadPath] = []
        self._clips = False
        self._matrix: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
        self._saved: list[Matrix] = []
        self._ways: list[list[Floats]] = []
        self._areas: list[float] = []
        self._names: list[str] = []

    def hear(self, operator: str, operands: Any) -> None:
        """Take one operator of the page."""
        if operator == "q":
            self._saved.append(self._matrix)
        elif operator == "Q":
            self._matrix = self._saved.pop()
        elif operator == "cm":
            self._matrix = _product(_matrix([float(v) for v in operands]), self._matrix)
        elif operator == "BMC":
            self._names.append(str(operands[0]).lstrip("/"))
        elif operator == "EMC":
            self._names.pop()
        elif operator in ("m", "l", "c", "h", "re"):
            self._build(operator, [float(v) for v in operands])
        elif operator in ("W", "W*"):
            self._clips = True
        elif operator in _PAINT:
            self._paint(operator)

    def _paint(self, operator: str) -> None:
        name = self._names[-1] if self._names else ""
        ways = (ReadWay(np.vstack(w), a) for w, a in zip(self._ways, self._areas, strict=True))
        path = ReadPath(name, tuple(ways), operator)
        if self._clips:
            self.windows.append(path)
        if operator != "n":
            self.found.append(path)
        self._ways, self._areas, self._clips = [], [], False

    def _build(self, operator: str, n: list[float]) -> None:
        places = [self._place(n[i], n[i + 1]) for i in range(0, len(n) - 1, 2)]
        if operator == "m":
            self._ways.append([places[0]])
            self._areas.append(0.0)
        elif operator == "l":
            self._line(places[0])
        elif operator == "c":
            self._curve(*places)
        elif operator == "h":
            self._line(self._ways[-1][0][:1])
        else:
            x, y, w, h = n
            self._ways.append([self._place(x, y)])
            self._areas.append(0.0)
            for corner in ((x + w, y), (x + w, y + h), (x, y + h), (x, y)):
                self._line(self._place(*corner))

    def _line(self, to: Floats) -> None:
        (ax, ay), (bx, by) = self._ways[-1][-1][-1], to[0]
        self._areas[-1] += (ax * by - bx * ay) / 2.0
        self._ways[-1].append(to)

    def _curve(self, a: Floats, b: Floats, end: Floats) -> None:
        start, t = self._ways[-1][-1][-1:], _SHARES
        for place, weight in _GAUSS:
            u = (place + 1.0) / 2.0
            (x, y), (dx, dy) = _bezier(start, a, b, end, u)[0], _slope(start, a, b, end, u)[0]
            self._areas[-1] += weight / 2.0 * (x * dy - y * dx) / 2.0
        self._ways[-1].append(_bezier(start, a, b, end, t))

    def _place(self, x: float, y: float) -> Floats:
        return np.array([_through(self._matrix, x, y)]) * POINT_MM


def _bezier(start: Floats, a: Floats, b: Floats, end: Floats, t: float | Floats) -> Floats:
    return (1 - t) ** 3 * start + 3 * (1 - t) ** 2 * t * a + 3 * (1 - t) * t**2 * b + t**3 * end


def _slope(start: Floats, a: Floats, b: Floats, end: Floats, t: float) -> Floats:
    return 3 * (1 - t) ** 2 * (a - start) + 6 * (1 - t) * t * (b - a) + 3 * t**2 * (end - b)


def _matrix(m: Any) -> Matrix:
    a, b, c, d, e, f = (float(v) for v in m)
    return a, b, c, d, e, f


def _through(m: Matrix, x: float, y: float) -> tuple[float, float]:
    a, b, c, d, e, f = m
    return a * x + c * y + e, b * x + d * y + f


def _product(m: Matrix, n: Matrix) -> Matrix:
    """Return the matrix that does ``m`` first, then ``n``."""
    return (
        m[0] * n[0] + m[1] * n[2],
        m[0] * n[1] + m[1] * n[3],
        m[2] * n[0] + m[3] * n[2],
        m[2] * n[1] + m[3] * n[3],
        *_through(n, m[4], m[5]),
    )
