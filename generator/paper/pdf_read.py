"""What a PDF of ours shows, read back with another library than the one that wrote it."""

from __future__ import annotations

from collections.abc import Mapping
from io import BytesIO
from math import hypot
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.paper.pdf import POINT_MM
from generator.paper.pdf_operators import characters, operations

__all__ = ["PdfError", "ReadPage", "ReadPath", "ReadText", "ReadWay", "read_pdf"]

Floats = NDArray[np.float64]
Matrix = tuple[float, float, float, float, float, float]

_PLACES: Final = 8
"""Places along a curve at which it is read."""
_T: Final = np.linspace(0.0, 1.0, _PLACES + 1)[1:, None]
_BASIS: Final = np.hstack([(1 - _T) ** 3, 3 * (1 - _T) ** 2 * _T, 3 * (1 - _T) * _T**2, _T**3])
"""Share of each of a curve's four points at these places: Bernstein's polynomials."""
_BESIDE: Final = ((0, 1, 6), (0, 2, 3), (0, 3, 1), (1, 2, 3), (1, 3, 3), (2, 3, 6))
"""The area beside a cubic curve is a twentieth of these cross products of its points: their integrals by Bernstein."""
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


def read_pdf(data: bytes) -> tuple[ReadPage, ...]:
    """Return what every page of a PDF shows.

    Raises: PdfError: the file cannot be read.
    """
    from pypdf import PdfReader
    from pypdf.errors import PyPdfError

    try:
        reader = PdfReader(BytesIO(data), strict=True)
        return tuple(_page(page) for page in reader.pages)
    except (PyPdfError, KeyError, IndexError, ValueError, AttributeError, TypeError) as error:
        raise PdfError(f"not a PDF that can be read: {error}") from error


def _page(page: Any) -> ReadPage:
    seen = _Seen({str(name)[1:]: _characters(face.get_object()) for name, face in _faces(page).items()})
    content = page.get_contents()
    for operator, operands in operations(content.get_data()) if content is not None else ():
        seen.hear(operator, operands)
    box = page.mediabox
    size = float(box.width) * POINT_MM, float(box.height) * POINT_MM
    return ReadPage(size, tuple(seen.found), tuple(seen.texts), tuple(seen.windows))


def _faces(page: Any) -> Any:
    """Return the faces of a page by name."""
    resources = page.get("/Resources")
    faces = resources.get_object().get("/Font") if resources is not None else None
    return faces.get_object() if faces is not None else {}


def _characters(face: Any) -> Mapping[int, str]:
    """Return what the codes of a face stand for; those of ASCII where it does not say."""
    table = face.get("/ToUnicode")
    return {} if table is None else characters(table.get_object().get_data())


class _Seen:
    """Hears the operators of a page and keeps paths and texts."""

    def __init__(self, faces: Mapping[str, Mapping[int, str]]) -> None:
        self.found: list[ReadPath] = []
        self.windows: list[ReadPath] = []
        self.texts: list[ReadText] = []
        self._faces = faces
        self._clips = False
        self._matrix: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
        self._saved: list[Matrix] = []
        self._ways: list[list[list[float]]] = []
        self._names: list[str] = []
        self._face: Mapping[int, str] = {}
        self._size = 0.0
        self._set: Matrix = self._matrix
        self._said: list[tuple[str, Matrix, float]] = []

    def hear(self, operator: str, n: list[Any]) -> None:
        """Take one operator of the page and its operands."""
        if operator in ("l", "c"):
            self._ways[-1].append(n)
        elif operator == "m":
            self._ways.append([n])
        elif operator == "h":
            self._ways[-1].append(self._ways[-1][0])
        elif operator == "re":
            x, y, w, h = n
            self._ways.append([[x, y], [x + w, y], [x + w, y + h], [x, y + h], [x, y]])
        elif operator in ("W", "W*"):
            self._clips = True
        elif operator in _PAINT:
            self._paint(operator)
        elif operator in ("q", "Q", "cm"):
            self._turn(operator, n)
        elif operator == "BMC":
            self._names.append(n[0])
        elif operator == "EMC":
            self._names.pop()
        else:
            self._write(operator, n)

    def _turn(self, operator: str, n: list[float]) -> None:
        if operator == "q":
            self._saved.append(self._matrix)
        elif operator == "Q":
            self._matrix = self._saved.pop()
        else:
            self._matrix = _product(_matrix(n), self._matrix)

    def _write(self, operator: str, n: list[Any]) -> None:
        """Take an operator of texts: each run of them is one line, which begins where its first letters do."""
        if operator == "BT":
            self._said = []
        elif operator == "Tf":
            self._face, self._size = self._faces[n[0]], n[1]
        elif operator == "Tm":
            self._set = _matrix(n)
        elif operator == "Tj":
            said = "".join(self._face.get(code, chr(code)) for code in n[0])
            self._said.append((said, self._set, self._size))
        elif operator == "ET" and self._said:
            _, at, size = self._said[0]
            text = "".join(words for words, _, _ in self._said)
            x, y = _through(self._matrix, at[4], at[5])
            em = size * hypot(at[0], at[1])
            if text.strip():
                self.texts.append(ReadText(text, (x * POINT_MM, y * POINT_MM), em * POINT_MM))

    def _paint(self, operator: str) -> None:
        name = self._names[-1] if self._names else ""
        path = ReadPath(name, tuple(_way(w, self._matrix) for w in self._ways), operator)
        if self._clips:
            self.windows.append(path)
        if operator != "n":
            self.found.append(path)
        self._ways, self._clips = [], False


def _way(pieces: list[list[float]], matrix: Matrix) -> ReadWay:
    """Return a way from its start and the operands of its lines (two figures) and curves (six)."""
    a, b, c, d, e, f = matrix
    turned = np.array([[a, b], [c, d]])
    ends = (np.array([p[-2:] for p in pieces]) @ turned + (e, f)) * POINT_MM
    x, y = ends.T
    beside = (x[:-1] * y[1:] - x[1:] * y[:-1]) / 2.0
    curved = np.array([len(p) == 6 for p in pieces])
    if not curved.any():
        return ReadWay(ends, float(beside.sum()))
    at = curved.nonzero()[0]
    handles = (np.array([pieces[i][:4] for i in at]).reshape(-1, 2, 2) @ turned + (e, f)) * POINT_MM
    points = np.concatenate([ends[at - 1][:, None], handles, ends[at][:, None]], axis=1)
    cross = (k * (points[:, i, 0] * points[:, j, 1] - points[:, i, 1] * points[:, j, 0]) for i, j, k in _BESIDE)
    beside[at - 1] = sum(cross) / 20.0
    counts = np.where(curved, _PLACES, 1)
    last = np.cumsum(counts) - 1
    out = np.empty((int(last[-1]) + 1, 2))
    out[last] = ends
    out[last[at][:, None] + np.arange(1 - _PLACES, 1)] = np.einsum("tk,nkc->ntc", _BASIS, points)
    return ReadWay(out, float(beside.sum()))


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
