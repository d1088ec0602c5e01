"""Read an outline from a DXF file: lines, arcs, circles, polylines with bulges, ellipses, splines, blocks.

Nothing in such a file can reach other files or run: the entities are read as numbers, references to other files are
left alone, and size, number and depth are bounded before anything is done with them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from typing import Any, Final

from generator.artwork.chain import Chain, closed_contours
from generator.artwork.dxf_blocks import Drawn, flattened, is_hidden, is_switched_off, layer_of, refuse_endless
from generator.artwork.dxf_chains import DRAWN, chain_of, is_wide
from generator.artwork.dxf_level import Level
from generator.artwork.dxf_load import load, quiet
from generator.artwork.dxf_text import inspect, plain
from generator.artwork.hairlines import refuse_hairlines
from generator.artwork.nest import nested
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.base.units import MM_PER_INCH
from generator.outline.region import Region

MOST_BYTES: Final = 32_000_000
MOST_ENTITIES: Final = 50_000
"""More than any outline needs (chosen); keeps reading within seconds and a few hundred megabytes."""
GAP_MM: Final = 0.01
"""Ends of lines that lie this close are joined (common practice, no source)."""

MM_PER_UNIT: Final[dict[int, float]] = {
    1: MM_PER_INCH, 2: 12.0 * MM_PER_INCH, 3: 63_360.0 * MM_PER_INCH, 4: 1.0, 5: 10.0, 6: 1000.0, 7: 1e6,
    8: MM_PER_INCH * 1e-6, 9: MM_PER_INCH * 1e-3, 10: 36.0 * MM_PER_INCH, 11: 1e-7, 12: 1e-6, 13: 1e-3, 14: 100.0,
    15: 1e4, 16: 1e5, 21: 1.2e6 / 3937.0, 22: 1e5 / 3937.0, 23: 3.6e6 / 3937.0,
}  # fmt: skip
"""Length units by the number in $INSUNITS (the published DXF reference, section HEADER)."""


@frozen_record
class DxfOutline:
    """What was found in a DXF file.

    Attributes:
        region: the area, mm.
        unit_note: which unit the numbers were taken in, and why.
        left_out: kinds of entities that are not outlines or cannot be seen, with their number.
    """

    region: Region
    unit_note: str
    left_out: tuple[tuple[str, int], ...] = ()


def outline_from_dxf(data: bytes, *, layer: str | None = None, gap_mm: float = GAP_MM) -> Region:
    """Return the region drawn in a DXF file, mm. See :func:`read_dxf`."""
    return read_dxf(data, layer=layer, gap_mm=gap_mm).region


def read_dxf(
    data: bytes, *, layer: str | None = None, gap_mm: float = GAP_MM, factor: float = 1.0, name: str = ""
) -> DxfOutline:
    """Return the outline drawn in the model space of a DXF file.

    Args:
        data: the file, in text form.
        layer: only what lies on this layer; without it, everything on layers that are switched on.
        gap_mm: ends within this distance are joined.
        factor: by which the drawing is enlarged; its curves are within tolerance at that size.
        name: of the file, for messages.

    Raises:
        GeometryError: not a DXF file, a damaged one, too large, no closed outline, an open one, or something not flat.
        ContourError: an outline crosses itself or another one, or lies within a hairline of it.
    """
    _refuse_large(data)
    text = plain(data)
    contents = inspect(text, most=3 * MOST_ENTITIES, name=name)
    refuse_endless(contents.blocks)
    with quiet():
        document = load(text, contents, name=name)
        return _outline(document, contents.foreign, layer, gap_mm, factor)


def _outline(document: Any, foreign: Mapping[str, int], layer: str | None, gap_mm: float, factor: float) -> DxfOutline:
    """Return what is drawn in the model space."""
    scale, unit_note = _unit(document)
    drawn, left_out = flattened(document, MOST_ENTITIES)
    chains: list[Chain] = []
    level = Level(scale)
    for entity in _chosen(document, drawn, layer, left_out):
        if entity.dxftype() in DRAWN:
            chains += chain_of(entity, scale * factor)
            level.demand(entity)
            left_out["line width"] += is_wide(entity)
        else:
            left_out[entity.dxftype()] += 1
    left_out |= Counter(foreign)  # the reader drops most of these
    if not chains:
        raise GeometryError(_nothing(document, layer, left_out))
    region = nested(closed_contours(chains, gap_mm * factor))
    refuse_hairlines(region, factor)
    return DxfOutline(region, unit_note, tuple(sorted((+left_out).items())))


# ------------------------------------------------------------------ the file
def _refuse_large(data: bytes) -> None:
    """Raise before anything is parsed if the file is empty, in binary form or too large."""
    if not data.strip():
        raise GeometryError("the DXF file is empty")
    if len(data) > MOST_BYTES:
        raise GeometryError(
            f"the DXF file has {len(data) / 1e6:.0f} MB, more than {MOST_BYTES // 1_000_000}: save the outline alone"
        )
    if b"\x00" in data[:4096]:
        raise GeometryError("this is not a DXF file in text form: save it as ASCII DXF")


def _unit(document: Any) -> tuple[float, str]:
    """Return mm per drawing unit, and a sentence that says so.

    Raises: GeometryError: a unit that is no length for a workshop.
    """
    code = document.header.get("$INSUNITS", 0)
    if not isinstance(code, int) or code == 0:
        return 1.0, "the file names no unit ($INSUNITS): its numbers are taken as mm"
    if code not in MM_PER_UNIT:
        raise GeometryError(f"the file's unit ($INSUNITS {code}) is not known: save it in mm or inches")
    return MM_PER_UNIT[code], f"one unit of the file is {MM_PER_UNIT[code]:g} mm ($INSUNITS {code})"


def _chosen(document: Any, drawn: list[Drawn], layer: str | None, left_out: Counter[str]) -> Iterator[Any]:
    """Yield the entities on ``layer``, whether it is switched on or not, or all that can be seen; count the others.

    Raises: GeometryError: nothing lies on that layer; names the layers there are.
    """
    if layer is None:
        for d in drawn:
            if not d.hidden and not is_hidden(document, d.entity):
                yield d.entity
            elif d.entity.dxftype() in DRAWN:
                left_out[f"hidden {d.entity.dxftype()}"] += 1
        return
    wanted = layer.casefold()
    chosen = [d.entity for d in drawn if layer_of(d.entity).casefold() == wanted]
    if not chosen:
        there = sorted({layer_of(d.entity) for d in drawn})
        near = get_close_matches(layer, there, 1)
        hint = f"; did you mean {near[0]!r}?" if near else ""
        raise GeometryError(f"nothing lies on layer {layer!r}; there are: {', '.join(there[:12]) or 'none'}{hint}")
    for entity in chosen:
        if not is_switched_off(entity):
            yield entity
        elif entity.dxftype() in DRAWN:
            left_out[f"hidden {entity.dxftype()}"] += 1


def _nothing(document: Any, layer: str | None, left_out: Counter[str]) -> str:
    where = f"on layer {layer!r}" if layer else "in the file"
    others = [f"{n} {k}" for k, n in sorted((+left_out).items())]
    paper = sum(e.dxftype() in DRAWN for page in document.layouts if not page.is_modelspace for e in page)
    others += [f"{paper} on sheets of the paper space: draw it in the model space"] if paper else []
    return f"no outline {where}: no lines, arcs, circles, polylines, ellipses or splines" + (
        f" (only {', '.join(others)})" if others else ""
    )
