"""Sheets as a PDF file (ISO 32000): true curves, embedded letters, no date, asked to be printed at its own size."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from functools import cache
from io import BytesIO
from itertools import pairwise
from math import atan, cos, hypot, radians, sin, tan
from typing import TYPE_CHECKING, Any, Final

from generator.artwork.text_faces import shipped_font
from generator.outline.contour import Vertex
from generator.paper.box import Box
from generator.paper.letters import CAP_SHARE, face_word, has
from generator.paper.lines import whole_dashes
from generator.paper.pdf_numbers import quick_numbers
from generator.paper.sheet import Drawn, Letters, Sheet, Track

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas
    from reportlab.pdfgen.pathobject import PDFPathObject

__all__ = ["POINT_MM", "pdf_bytes"]

POINT_MM: Final = 25.4 / 72.0
"""A point, the unit of PDF, in mm."""
_MOST_SWEEP: Final = 0.8
"""Radians: arcs are written as curves of at most this sweep, each true to 1e-6 of its radius."""
CHAIN: Final = 4
"""Lines of so many dashes and gaps are chain lines."""
_FACES: Final = {False: "Plain", True: "Bold"}
_NAME: Final = re.compile(r"[A-Za-z0-9._-]+")


def pdf_bytes(sheets: Iterable[Sheet], *, title: str) -> bytes:
    """Return the PDF of ``sheets``, a page each; the same sheets give the same bytes.

    Args:
        sheets: the pages.
        title: of the file.

    Raises: ValueError: a name that PDF cannot carry.
    """
    _register_faces()
    with _packed_only(), quick_numbers():
        return _written(sheets, title)


def _written(sheets: Iterable[Sheet], title: str) -> bytes:
    from reportlab.pdfgen.canvas import Canvas

    out = BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=1, pdfVersion=(1, 7))
    canvas.setTitle(title)
    canvas.setViewerPreference("PrintScaling", "None")
    _undated(canvas)
    for number, sheet in enumerate(sheets):
        canvas.setPageSize((sheet.format.width_mm / POINT_MM, sheet.format.height_mm / POINT_MM))
        if sheet.title:
            canvas.bookmarkPage(f"page-{number}")
            canvas.addOutlineEntry(sheet.title, f"page-{number}", 0, closed=False)
        _Page(canvas, sheet).draw()
        canvas.showPage()
    canvas.save()
    return out.getvalue()


@contextmanager
def _packed_only() -> Iterator[None]:
    """Leave compressed streams as they are: told in letters of ASCII they are a quarter longer, and slow to tell."""
    from reportlab import rl_config

    before = rl_config.useA85
    rl_config.useA85 = 0
    try:
        yield
    finally:
        rl_config.useA85 = before


@cache
def _register_faces() -> None:
    """Load the two faces of sheets."""
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    for bold, name in _FACES.items():
        registerFont(TTFont(name, BytesIO(shipped_font(face_word(bold=bold)))))


def _undated(canvas: Canvas) -> None:
    """Leave the dates out: a sheet carries one only where the recipe gives it."""
    from reportlab.pdfbase.pdfdoc import PDFDictionary, PDFInfo, PDFString

    class Undated(PDFInfo):
        """What is known of the file, without the moment of its writing."""

        def format(self, document: Any) -> Any:
            """Return title and maker."""
            return PDFDictionary({"Title": PDFString(self.title), "Creator": PDFString("coverplate")}).format(document)

    document: Any = canvas._doc  # type: ignore[attr-defined]  # the only way to its record of itself
    undated = Undated()
    undated.title = document.info.title
    document.info = undated


def _is_straight(track: Track) -> bool:
    return len(track.vertices) == 2 and not track.is_closed and track.vertices[0].bulge == 0.0


class _Page:
    """Draws one sheet onto the current page."""

    def __init__(self, canvas: Canvas, sheet: Sheet) -> None:
        self._canvas = canvas
        self._middle = sheet.format.width_mm / 2.0, sheet.format.height_mm / 2.0
        self._sheet = sheet

    def draw(self) -> None:
        """Draw every item, through its window if it has one."""
        for item, clip in self._sheet.flat():
            self._canvas.saveState()
            if clip is not None:
                self._clip(clip)
            if isinstance(item, Letters):
                self._letters(item)
            else:
                self._drawn(item)
            self._canvas.restoreState()

    def _at(self, x: float, y: float) -> tuple[float, float]:
        """Return a place of the sheet in points of the page."""
        (kx, ky), (mx, my) = self._sheet.stretch, self._middle
        return (mx + kx * (x - mx)) / POINT_MM, (my + ky * (y - my)) / POINT_MM

    def _clip(self, box: Box) -> None:
        path = self._canvas.beginPath()
        (left, bottom), (right, top) = self._at(box.left, box.bottom), self._at(box.right, box.top)
        path.rect(left, bottom, right - left, top - bottom)
        self._canvas.clipPath(path, stroke=0, fill=0)

    def _drawn(self, item: Drawn) -> None:
        canvas = self._canvas
        if item.line is not None:
            canvas.setLineWidth(item.line.width_mm / POINT_MM)
            canvas.setStrokeColorRGB(*item.line.colour)
            canvas.setLineJoin(1)
            canvas.setLineCap(0 if item.line.dashes else 1)
            canvas.setDash([d / POINT_MM for d in item.line.dashes])
        if item.fill is not None:
            canvas.setFillColorRGB(*item.fill)
        if item.name:
            if not _NAME.fullmatch(item.name):
                raise ValueError(f"{item.name!r} cannot be the name of something drawn")
            canvas.addLiteral(f"/{item.name} BMC")
        for tracks in self._together(item):
            path = canvas.beginPath()
            for track in tracks:
                self._track(path, track)
            canvas.drawPath(path, stroke=int(item.line is not None), fill=int(item.fill is not None), fillMode=0)
        if item.name:
            canvas.addLiteral("EMC")

    def _together(self, item: Drawn) -> Iterator[tuple[Track, ...]]:
        """Yield the tracks that are drawn at once: all, but straight chain lines one by one, each in whole dashes."""
        dashes = item.line.dashes if item.line is not None else ()
        if len(dashes) < CHAIN or item.fill is not None or not all(_is_straight(t) for t in item.tracks):
            yield item.tracks
            return
        for track in item.tracks:
            a, b = track.vertices
            whole = whole_dashes(dashes, hypot(b.x - a.x, b.y - a.y))
            self._canvas.setDash([d / POINT_MM for d in whole])
            yield (track,)

    def _track(self, path: PDFPathObject, track: Track) -> None:
        rows = (*track.vertices, track.vertices[0]) if track.is_closed else track.vertices
        path.moveTo(*self._at(rows[0].x, rows[0].y))
        for a, b in pairwise(rows):
            if a.bulge == 0.0:
                path.lineTo(*self._at(b.x, b.y))
            else:
                self._arc(path, a, b)
        if track.is_closed:
            path.close()

    def _arc(self, path: PDFPathObject, a: Vertex, b: Vertex) -> None:
        """Add an arc as curves whose handles are 4/3 tan(sweep / 4) of the radius long (handbook formula)."""
        sweep = 4.0 * atan(a.bulge)
        # the centre lies (1 - bulge²) / (4 bulge) of the chord to the left of its middle
        k = (1.0 - a.bulge * a.bulge) / (4.0 * a.bulge)
        cx = (a.x + b.x) / 2.0 - k * (b.y - a.y)
        cy = (a.y + b.y) / 2.0 + k * (b.x - a.x)
        n = max(1, int(abs(sweep) / _MOST_SWEEP) + 1)
        h = 4.0 / 3.0 * tan(sweep / n / 4.0)
        ux, uy = a.x - cx, a.y - cy
        for i in range(1, n + 1):
            angle = sweep * i / n
            c, s = cos(angle), sin(angle)
            vx, vy = c * (a.x - cx) - s * (a.y - cy), s * (a.x - cx) + c * (a.y - cy)
            first = self._at(cx + ux - h * uy, cy + uy + h * ux)
            second = self._at(cx + vx + h * vy, cy + vy - h * vx)
            path.curveTo(*first, *second, *self._at(cx + vx, cy + vy))
            ux, uy = vx, vy

    def _letters(self, item: Letters) -> None:
        text = "".join(c if has(c, bold=item.bold) else "?" for c in item.text)
        canvas = self._canvas
        canvas.setFillColorRGB(*item.colour)
        size = item.height_mm / CAP_SHARE / POINT_MM
        width = canvas.stringWidth(text, _FACES[item.bold], size)
        back = {"start": 0.0, "middle": width / 2.0, "end": width}[item.anchor]
        x, y = self._at(*item.at)
        c, s = cos(radians(item.turn_deg)), sin(radians(item.turn_deg))
        words = canvas.beginText()
        words.setFont(_FACES[item.bold], size)
        words.setTextTransform(c, s, -s, c, x - back * c, y - back * s)
        words.textOut(text)
        canvas.drawText(words)
