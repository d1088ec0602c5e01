"""Prints measured as a person would, in pictures made by a renderer that the package does not use (pdfium)."""

from __future__ import annotations

import io
from math import hypot

import numpy as np
import pypdfium2

DPI = 600
MM = 25.4 / DPI
MARK_MM = 3.0
"""Radius of the marks that join sheets, as a person measures it on the paper."""


class Picture:
    """One page as ink, measured in mm from its lower left corner."""

    def __init__(self, data: bytes, page: int = 0) -> None:
        with pypdfium2.PdfDocument(io.BytesIO(data)) as document:
            self.size_mm = tuple(v * 25.4 / 72 for v in document[page].get_size())
            bitmap = document[page].render(scale=DPI / 72, grayscale=True)
            grey = np.asarray(bitmap.to_numpy()).reshape(bitmap.height, bitmap.width)
            self.dark = (255.0 - grey[::-1].astype(np.float32)) / 255.0  # row 0 is the foot of the page

    def cut(self, left: float, bottom: float, right: float, top: float) -> np.ndarray:
        """Return the darkness of a box, mm."""
        rows, columns = self.dark.shape
        a, b = max(0, round(bottom / MM)), min(rows, round(top / MM))
        c, d = max(0, round(left / MM)), min(columns, round(right / MM))
        return self.dark[a:b, c:d]

    def lines_across(self, y: float, left: float, right: float) -> list[float]:
        """Return the middles of all lines that a level line at ``y`` crosses between two places."""
        strip = self.cut(left, y - 0.2, right, y + 0.2).mean(axis=0)
        return [round(left / MM) * MM + v for v in _middles(strip)]

    def lines_up(self, x: float, bottom: float, top: float) -> list[float]:
        """Return the middles of all lines that an upright line at ``x`` crosses between two places."""
        strip = self.cut(x - 0.2, bottom, x + 0.2, top).mean(axis=1)
        return [round(bottom / MM) * MM + v for v in _middles(strip)]

    def centre_near(self, x: float, y: float, radius: float, reach: float) -> tuple[float, float]:
        """Return where the arms of a crosshair meet that reaches beyond a hole of that radius."""
        off = (radius + reach) / 2.0
        across = [self.lines_across(y + s * off, x - 1.5, x + 1.5) for s in (-1, 1)]
        up = [self.lines_up(x + s * off, y - 1.5, y + 1.5) for s in (-1, 1)]
        assert all(len(found) == 1 for found in (*across, *up)), (across, up)
        return (across[0][0] + across[1][0]) / 2.0, (up[0][0] + up[1][0]) / 2.0

    def marks(self) -> list[tuple[float, float]]:
        """Return the middles of all marks: two black quarters that meet at a point, found without knowing where."""
        coarse = self.dark[: self.dark.shape[0] // 12 * 12, : self.dark.shape[1] // 12 * 12]
        coarse = coarse.reshape(coarse.shape[0] // 12, 12, coarse.shape[1] // 12, 12).mean(axis=(1, 3))
        step = 12 * MM
        quarter = np.pi * MARK_MM**2 / 4.0
        blobs = []
        for blob in _blobs(coarse > 0.97):
            if 0.4 * quarter < len(blob) * step**2 < 1.2 * quarter:
                row, column = np.mean(blob, axis=0)
                blobs.append(((column + 0.5) * step, (row + 0.5) * step))
        pairs = [
            ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
            for i, a in enumerate(blobs)
            for b in blobs[i + 1 :]
            if hypot(a[0] - b[0], a[1] - b[1]) < 1.4 * MARK_MM
        ]
        return sorted(self._middle(*p) for p in pairs)

    def _middle(self, x: float, y: float) -> tuple[float, float]:
        """Return the centre of the ink of a mark, which is the same when turned by half a turn."""
        for _ in range(4):
            left, bottom = round((x - 4.0) / MM), round((y - 4.0) / MM)
            n = round(8.0 / MM)
            part = self.dark[bottom : bottom + n, left : left + n]
            rows, columns = np.mgrid[0:n, 0:n]
            px, py = (left + columns + 0.5) * MM, (bottom + rows + 0.5) * MM
            weight = part * (np.hypot(px - x, py - y) < MARK_MM + 0.4)
            x, y = float((weight * px).sum() / weight.sum()), float((weight * py).sum() / weight.sum())
        return x, y

    def ink_box(self) -> tuple[float, float, float, float]:
        """Return the box round all ink, mm: left, bottom, right, top."""
        rows, columns = np.flatnonzero((self.dark > 0.5).any(1)), np.flatnonzero((self.dark > 0.5).any(0))
        return columns[0] * MM, rows[0] * MM, (columns[-1] + 1) * MM, (rows[-1] + 1) * MM


def _blobs(solid: np.ndarray) -> list[list[tuple[int, int]]]:
    """Return the cells of every patch of a picture that hangs together along sides."""
    left = {(int(r), int(c)) for r, c in zip(*np.nonzero(solid), strict=True)}
    out = []
    while left:
        todo, blob = [left.pop()], []
        while todo:
            r, c = todo.pop()
            blob.append((r, c))
            near = {(r - 1, c), (r + 1, c), (r, c - 1), (r, c + 1)} & left
            left -= near
            todo += near
        out.append(blob)
    return out


def _middles(strip: np.ndarray) -> list[float]:
    """Return the middles of the dark runs of a strip, mm from its start, weighed by darkness."""
    dark = np.flatnonzero(strip > 0.25)
    out = []
    for where in np.split(dark, np.flatnonzero(np.diff(dark) > 1) + 1) if len(dark) else ():
        wide = np.arange(max(0, where[0] - 2), min(len(strip), where[-1] + 3))
        out.append(float((strip[wide] * (wide + 0.5)).sum() / strip[wide].sum()) * MM)
    return out


def texts(data: bytes) -> list[str]:
    """Return the text of every page on one line, read by pdfium."""
    with pypdfium2.PdfDocument(io.BytesIO(data)) as document:
        return [" ".join(page.get_textpage().get_text_bounded().split()) for page in document]
