"""Letters as exact regions: overlapping contours united, insides kept, the same whichever way contours run."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import ceil, log2

from generator.artwork.text_arcs import rings_to_contours
from generator.artwork.text_font import Font
from generator.base.units import MODEL
from generator.outline.clip import FillRule
from generator.outline.combine import regularise
from generator.outline.contour import Contour
from generator.outline.measure import signed_area
from generator.outline.region import EMPTY, Region
from generator.outline.transform import reoriented

__all__ = ["fitting_em", "glyph_region"]

_STEPS_AN_OCTAVE = 4
_KEPT = 2_000
_SAME_AREA = 1e-6
"""Share of its area by which a contour may differ before it counts as changed."""


def fitting_em(em_mm: float) -> float:
    """Return the size at which letters of ``em_mm`` are fitted with arcs: the next of four steps an octave, mm.

    Letters of one step up are scaled down, never up, so that their arcs stay within tolerance; a text that is fitted
    into something keeps the same arcs while its size is sought.
    """
    return float(2.0 ** (ceil(log2(em_mm) * _STEPS_AN_OCTAVE - 1e-9) / _STEPS_AN_OCTAVE))


@lru_cache(maxsize=_KEPT)
def glyph_region(font: Font, glyph: int, em_mm: float, tol_mm: float = MODEL.fit_mm) -> Region:
    """Return the region of a glyph at a size, its origin at (0, 0); empty for a blank.

    Raises: GeometryError: the outline is damaged; OffsetError: no region passed its checks.
    """
    contours = rings_to_contours(font.rings(glyph), em_mm, tol_mm=tol_mm)
    if not contours:
        return EMPTY
    if len(contours) > 1 and not font.runs_as_it_should:
        nested = _nested(contours)
        if nested is not None:
            return nested
    return regularise(contours, rule=FillRule.NON_ZERO)


def _nested(contours: Sequence[Contour]) -> Region | None:
    """Return what lies in an odd number of the contours if none crosses another; None if one does."""
    region = regularise([reoriented(c, True) for c in contours], rule=FillRule.EVEN_ODD)
    before = sorted(abs(signed_area(c)) for c in contours)
    after = sorted(abs(signed_area(c)) for c in region)
    same = len(before) == len(after) and all(abs(a - b) <= _SAME_AREA * a for a, b in zip(before, after, strict=True))
    return region if same else None
