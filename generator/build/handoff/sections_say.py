"""Do the solids have the shape that the layers cut? Level sections of the STEP files against regions of the DXF files.

Just over and under each depth where layers begin or end, a part is its outline less the layers that go there.
Where walls slope, under the rim that is broken and within a countersink, no layer says what is left: nothing is
compared there but the upper edge, which is drawn.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Final

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.build.compare.areas import beyond
from generator.build.handoff.layers_say import LayerFile
from generator.outline.combine import difference, union
from generator.outline.measure import area, bounds
from generator.outline.region import EMPTY, Region
from generator.part.part import Face

__all__ = ["Cut", "cuts_of", "sections_disagree"]

BESIDE_MM: Final = 2e-3
"""So far over and under every depth a section is taken; depths that lie closer are one."""
UNDER_MM: Final = 1e-4
"""So far under the top face its outline is taken."""
EDGE, OUTER, INSERT = "edge-break", "outer-profile", "insert-profile"


@frozen_record
class Cut:
    """What layers leave of a part at a height.

    Attributes:
        z_mm: over the bottom face.
        left: what they leave, seen from the top.
        doubt: where they do not say what is left.
        files: of the layers that say it, and of those that end close by.
    """

    z_mm: float
    left: Region
    doubt: Region
    files: tuple[str, ...]


def cuts_of(layers: Sequence[LayerFile]) -> tuple[Cut, ...]:
    """Return the heights at which the layers of one part say what is left of it; none without its outline."""
    outline = next((f for f in layers if f.layer == OUTER or f.layer.startswith(INSERT)), None)
    return tuple(_cuts(layers, outline)) if outline else ()


def _cuts(layers: Sequence[LayerFile], outline: LayerFile) -> Iterator[Cut]:
    top = outline.to_mm
    edge = next((f for f in layers if f.layer == EDGE), None)
    others = [(f, _heights(f, top)) for f in layers if f is not outline and f is not edge]
    upper = top - (edge.to_mm if edge else 0.0)
    levels = sorted({0.0, upper, *(z for _, pair in others for z in pair if z < upper)})
    for low, high in pairwise(levels):
        if high - low > 3.0 * BESIDE_MM:  # close to both ends, so that no other depth passes
            yield _cut(low + BESIDE_MM, outline, others)
            yield _cut(high - BESIDE_MM, outline, others)
    if edge:
        yield _cut(top - UNDER_MM, edge, others)


def _heights(f: LayerFile, top: float) -> tuple[float, float]:
    """Return between which heights over the bottom face a layer is cut, mm."""
    return (top - f.to_mm, top - f.from_mm) if f.face is Face.TOP else (f.from_mm, f.to_mm)


def _cut(z: float, outline: LayerFile, others: Sequence[tuple[LayerFile, tuple[float, float]]]) -> Cut:
    here = [(f, high) for f, (low, high) in others if low < z < high]
    straight = [f for f, high in here if not f.is_cone or high - z <= UNDER_MM * 1.5]
    sloping = [f.region for f, _ in here if f not in straight]
    removed = union(*(f.region for f in straight)) if straight else EMPTY
    left = difference(outline.region, removed) if removed else outline.region
    near = (f.path for f, (low, high) in others if low - 2.0 * BESIDE_MM < z < high + 2.0 * BESIDE_MM)
    return Cut(z, left, union(*sloping) if sloping else EMPTY, (outline.path, *near))


def sections_disagree(part: str, cuts: Sequence[Cut], path: str, found: Mapping[float, Region]) -> Iterator[str]:
    """Yield a sentence for every height at which a solid is not what the layers leave.

    Args:
        part: its name.
        cuts: what the layers leave of it.
        path: of the STEP file.
        found: its sections by height, mm.
    """
    for cut in cuts:
        solid = found.get(cut.z_mm, EMPTY)
        try:
            more, less = beyond(solid, cut.left), beyond(cut.left, solid)
            if cut.doubt:
                more, less = (difference(r, cut.doubt) if r else r for r in (more, less))
        except GeometryError as error:
            yield f"{part}, {cut.z_mm:.3f} mm over the bottom face: {path} cannot be compared with the layers: {error}"
            continue
        for what, region in (("more", more), ("less", less)):
            if region:
                at = bounds(region).centre
                yield (
                    f"{part}, {cut.z_mm:.3f} mm over the bottom face: {path} has {area(region):.3g} mm² {what} than "
                    f"layers leave, about {at.x:.2f}, {at.y:.2f} ({', '.join(cut.files)})"
                )
