"""A font opened: its characters, glyph outlines and advances, read by HarfBuzz.

Lengths of an opened font are shares of the em; a scale of mm turns them into a size.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property, lru_cache
from typing import Any, Final

from generator.artwork.text_arcs import Ring, ring_area
from generator.artwork.text_tables import check_font_tables
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record

__all__ = ["Font", "open_font"]

_FINE: Final = 64
"""Steps to a font unit, so that what a variable font makes of its numbers is not rounded to whole ones."""
_MOST_CURVES: Final = 5_000
"""A letter with more is a picture or damage (chosen; ornate letters have a few hundred)."""
_KEPT: Final = 24
_DEFAULT_LANGUAGE: Final = 0xFFFF
"""HarfBuzz's number for what a script does in every language that it does not name."""
_LEAST_CAP: Final = 0.05
"""Capitals lower than this, or higher than its inverse, in shares of the em, are damage (chosen)."""
_ROUND_LETTERS: Final = "oO0eDB8aпמ"
"""Letters with an inside, to tell whether a font's contours run as they should."""


@frozen_record(eq=False)
class Font:
    """A font at a setting of its axes.

    Attributes:
        face: HarfBuzz's face.
        font: HarfBuzz's font.
        em: of HarfBuzz's units in one em.
    """

    face: Any
    font: Any
    em: float

    @cached_property
    def characters(self) -> frozenset[int]:
        """Return the code points that the font has glyphs for."""
        return frozenset(self.face.unicodes)

    @cached_property
    def features(self) -> frozenset[str]:
        """Return the tags of the OpenType features that the font has, in whatever script; kerning by table counts."""
        found = {"kern"} if {"kern", "kerx"} & set(self.face.table_tags) else set()
        for table in ("GSUB", "GPOS"):
            for script in range(len(self.face.get_table_script_tags(table))):
                languages = range(len(self.face.get_script_language_tags(table, script)))
                for language in (_DEFAULT_LANGUAGE, *languages):
                    found.update(self.face.get_language_feature_tags(table, script, language))
        return frozenset(tag.rstrip() for tag in found)

    def glyph_of(self, character: str) -> int:
        """Return the number of a character's plain glyph; 0 if the font lacks it."""
        return self.font.get_nominal_glyph(ord(character)) or 0

    def rings(self, glyph: int) -> tuple[Ring, ...]:
        """Return the closed curves of a glyph, in shares of the em; none for a blank.

        Raises: GeometryError: the outline is damaged or far too long.
        """
        known: dict[int, tuple[Ring, ...]] = self._rings
        if glyph not in known:
            known[glyph] = self._drawn(glyph)
        return known[glyph]

    @cached_property
    def _rings(self) -> dict[int, tuple[Ring, ...]]:
        return {}

    def _drawn(self, glyph: int) -> tuple[Ring, ...]:
        pen = _Pen(self.em)
        self.font.draw_glyph(glyph, pen.funcs, pen)
        if pen.count > _MOST_CURVES:
            raise GeometryError(
                f"a letter of the font has {pen.count} curves, more than {_MOST_CURVES}: it is damaged or a picture; "
                "use another font"
            )
        return tuple(r for r in (Ring.of(curves) for curves in pen.contours) if r is not None)

    def is_coloured(self, glyph: int) -> bool:
        """Return whether the font paints this glyph instead of giving it one outline."""
        face = self.face
        return bool(
            (face.has_color_layers and face.get_glyph_color_layers(glyph))
            or (face.has_color_paint and face.glyph_has_color_paint(glyph))
        )

    @cached_property
    def runs_as_it_should(self) -> bool:
        """Return False if the insides of letters run the same way round as their outsides.

        By the format an inside runs the other way, and overlaps run the same way; a few fonts are not made so.
        """
        for character in _ROUND_LETTERS:
            areas = [ring_area(r) for r in self.rings(self.glyph_of(character)) if self.glyph_of(character)]
            if len(areas) > 1:
                largest = max(areas, key=abs)
                return any(a * largest < 0.0 for a in areas)
        return True

    @cached_property
    def cap_height(self) -> float | None:
        """Return the height of a capital letter, measured on H (else I, E, X), in shares of the em; None without."""
        for character in "HIEX":
            glyph = self.glyph_of(character)
            rings = self.rings(glyph) if glyph else ()
            height = max((float(r.curves[:, 0, 1].max()) for r in rings), default=0.0)
            if _LEAST_CAP < height < 1.0 / _LEAST_CAP:
                return height
        return None


@lru_cache(maxsize=_KEPT)
def open_font(data: bytes, member: int = 0, variation: tuple[tuple[str, float], ...] = ()) -> Font:
    """Return the font in a file, opened; opened fonts are kept.

    Args:
        data: the bytes of a TTF, OTF or TTC file.
        member: which font of a collection, from 0.
        variation: settings of the axes of a variable font, such as ``(("wght", 650.0),)``.

    Raises: GeometryError: no font, damaged, without outlines, or without such an axis; says what would do.
    """
    import uharfbuzz as hb  # heavy: only who draws letters pays for it

    check_font_tables(data, member)
    face = hb.Face(data, member)
    font = hb.Font(face)
    font.scale = (face.upem * _FINE, face.upem * _FINE)
    if variation:
        font.set_variations(_axes(face, dict(variation)))
    return Font(face, font, float(face.upem * _FINE))


def _axes(face: Any, wanted: Mapping[str, float]) -> dict[str, float]:
    """Return the settings if the font has these axes and ranges.

    Raises: GeometryError: it has not; says which there are.
    """
    try:
        axes = {a.tag: a for a in face.axis_infos} if face.has_var_data else {}
    except UnicodeError as error:
        raise GeometryError("the names of the font's axes are damaged; use another copy of the file") from error
    if not axes:
        raise GeometryError("the font is not variable: leave `variation` out, or use a variable font")
    for tag, value in wanted.items():
        if tag not in axes:
            there = ", ".join(f"{a.tag} ({a.min_value:g} to {a.max_value:g})" for a in axes.values())
            raise GeometryError(f"the font has no axis `{tag}`; there are: {there}")
        low, high = axes[tag].min_value, axes[tag].max_value
        if not low <= value <= high:
            raise GeometryError(f"axis `{tag}`: {value:g} is outside the font's range; {tag}: {low:g} to {high:g}")
    return dict(wanted)


class _Pen:
    """Keeps the curves that HarfBuzz draws, each by four control points, in shares of the em."""

    def __init__(self, em: float) -> None:
        import uharfbuzz as hb

        self.contours: list[list[Sequence[float]]] = []
        self.count = 0
        self._em = em
        self._at = self._start = (0.0, 0.0)
        self.funcs = hb.DrawFuncs()
        self.funcs.set_move_to_func(_move)
        self.funcs.set_line_to_func(_line)
        self.funcs.set_quadratic_to_func(_quadratic)
        self.funcs.set_cubic_to_func(_cubic)
        self.funcs.set_close_path_func(_close)

    def move(self, x: float, y: float) -> None:
        self._at = self._start = (x / self._em, y / self._em)
        self.contours.append([])

    def curve(self, *points: float) -> None:
        """Keep a curve by its further control points: one a line, two a quadratic, three a cubic."""
        self.count += 1
        p = [v / self._em for v in points]
        (ax, ay), (x, y) = self._at, p[-2:]
        self._at = (x, y)
        if self.count > _MOST_CURVES:
            return
        if len(p) == 2:
            inner = ((2 * ax + x) / 3, (2 * ay + y) / 3, (ax + 2 * x) / 3, (ay + 2 * y) / 3)
        elif len(p) == 4:  # raising the degree changes nothing of the curve
            cx, cy = p[:2]
            inner = ((ax + 2 * cx) / 3, (ay + 2 * cy) / 3, (x + 2 * cx) / 3, (y + 2 * cy) / 3)
        else:
            inner = (p[0], p[1], p[2], p[3])
        self.contours[-1].append((ax, ay, *inner, x, y, float(len(p) == 2)))

    def close(self) -> None:
        if self._at != self._start:
            self.curve(*(v * self._em for v in self._start))


def _move(x: float, y: float, pen: _Pen) -> None:
    pen.move(x, y)


def _line(x: float, y: float, pen: _Pen) -> None:
    pen.curve(x, y)


def _quadratic(cx: float, cy: float, x: float, y: float, pen: _Pen) -> None:
    pen.curve(cx, cy, x, y)


def _cubic(c1x: float, c1y: float, c2x: float, c2y: float, x: float, y: float, pen: _Pen) -> None:
    pen.curve(c1x, c1y, c2x, c2y, x, y)


def _close(pen: _Pen) -> None:
    pen.close()
