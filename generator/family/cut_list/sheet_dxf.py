"""A sheet of inserts as a drawing: the true outlines where they lie, the sheet's border, the names of the pieces.

Read back tag by tag before it is handed out: what stands there must be the outlines, moved and turned.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot, inf, pi
from typing import TYPE_CHECKING, Final

from generator.base.cautions import CAUTIONS
from generator.base.errors import ProofError
from generator.base.many import many
from generator.base.units import MODEL
from generator.family.cut_list.laid import Group, Sheet, cuts_on, lying_on
from generator.family.cut_list.numbers import plain
from generator.outline.create import rectangle
from generator.outline.measure import Bounds, bounds
from generator.outline.region import Region
from generator.outputs import dxf_tags
from generator.outputs.dxf_document import document_bytes, fixed_metadata, frame_view, new_document, one_line
from generator.outputs.dxf_pen import DxfCircle, Entity, entities_of
from generator.outputs.dxf_sheet import coded

if TYPE_CHECKING:
    from ezdxf.layouts.layout import Modelspace

__all__ = ["CUTS", "NAMES", "PROFILE", "SHEET", "sheet_dxf"]

PROFILE: Final = "insert-profile"
CUTS: Final = "insert-cuts"
SHEET: Final = "sheet"
NAMES: Final = "names"
INK, GREY, FAINT = 7, 8, 9
"""Colours by number as the DXF reference has them; which is used for what is our own choice."""
TEXT_MM: Final = 2.0
LEAST_TEXT_MM: Final = 0.8
FACE: Final = "DejaVuSans.ttf"
WIDE: Final = 0.75
"""Width of a letter in heights, roughly."""


def sheet_dxf(group: Group, sheet: Sheet, title: str) -> bytes:
    """Return the drawing of one sheet; the same sheet gives the same bytes.

    Args:
        group: that the sheet belongs to.
        sheet: which.
        title: of the family.

    Raises: ProofError: read back, it is not what it was made from; the defect is ours.
    """
    pattern = group.patterns[sheet.pattern]
    regions = lying_on(pattern, group.items)
    border = Region((rectangle(0.0, 0.0, pattern.stock.length, pattern.stock.width),))
    profiles = [e for r in regions for e in entities_of(r)]
    cuts = [e for r in cuts_on(pattern, group.items, sheet.pieces) for e in entities_of(r)]
    with fixed_metadata():
        doc = new_document({"sheet": sheet.name, "family": title, "units": "mm", "material": group.material})
        for name, colour, weight, words in (
            (PROFILE, INK, 35, f"inserts of {group.material}, {plain(group.thickness_mm)} mm, as seen from the top"),
            (CUTS, INK, 25, "letters and openings that are cut through the inserts; before their outlines"),
            (SHEET, GREY, 25, "border of the sheet of stock; not to be cut"),
            (NAMES, FAINT, 13, "names of the pieces; not to be cut"),
        ):
            row = doc.layers.add(name, color=colour, lineweight=weight)
            row.description = one_line(words)
        doc.styles.add("plain", font=FACE)
        space = doc.modelspace()
        _draw(space, profiles, PROFILE)
        _draw(space, cuts, CUTS)
        _draw(space, entities_of(border), SHEET)
        for region, wanted in zip(regions, sheet.pieces, strict=True):
            _name(space, region, wanted.label)
        frame_view(doc, Bounds(0.0, 0.0, pattern.stock.length, pattern.stock.width))
        data = document_bytes(doc, _comments(group, sheet, title))
    _demand(data, PROFILE, profiles, sheet)
    _demand(data, CUTS, cuts, sheet)
    return data


def _comments(group: Group, sheet: Sheet, title: str) -> list[str]:
    stock = group.patterns[sheet.pattern].stock
    return [
        f"{title}: sheet {sheet.name}, {many(len(sheet.pieces), 'insert')}. "
        "Millimetres, scale 1:1, everything at z = 0.",
        f"Stock: {group.material}, {plain(stock.length)} x {plain(stock.width)} x {plain(group.thickness_mm)} mm.",
        f"Cut from layers {CUTS}, then {PROFILE}; lines are finished outlines, the cutter's radius is not allowed for. "
        "Recesses and engravings are in each pack's own layers.",
        *(f"{c.title}: {c.text}" for c in CAUTIONS if c.id in ("machine", "edges")),
    ]


def _draw(space: Modelspace, entities: Sequence[Entity], layer: str) -> None:
    on = {"layer": layer}
    for e in entities:
        if isinstance(e, DxfCircle):
            space.add_circle((e.centre.x, e.centre.y, 0.0), e.radius_mm, dxfattribs=on)
        else:
            space.add_lwpolyline(e.vertices, format="xyb", close=True, dxfattribs=on)


def _name(space: Modelspace, region: Region, label: str) -> None:
    """Write a name on its piece, small enough for the box round it."""
    from ezdxf.enums import TextEntityAlignment

    text = one_line(label)
    box = bounds(region)
    x, y = box.centre
    room = max(box.width_mm, box.height_mm)
    height = min(TEXT_MM, max(0.8 * room / (WIDE * max(len(text), 1)), LEAST_TEXT_MM))
    entity = space.add_text(
        coded(text),
        height=round(height, 3),
        rotation=0.0 if box.width_mm >= box.height_mm else 90.0,
        dxfattribs={"layer": NAMES, "style": "plain"},
    )
    entity.set_placement((x, y, 0.0), align=TextEntityAlignment.MIDDLE_CENTER)


def _demand(data: bytes, layer: str, expected: Sequence[Entity], sheet: Sheet) -> None:
    """Compare what stands on a layer with what was to be drawn, entity by entity."""
    try:
        found = [e for e in dxf_tags.entities(data) if e.text(8) == layer]
        off = max((_off(f, e) for f, e in zip(found, expected, strict=True)), default=0.0)
    except (dxf_tags.DxfError, ValueError):
        off = inf
    if not off <= MODEL.model_mm:
        raise ProofError(
            f"nested/{sheet.name}.dxf, read back, is not what it was made from; this is a defect of coverplate, "
            "please report it",
            feature=sheet.name,
        )


def _off(found: dxf_tags.Entity, expected: Entity) -> float:
    """Return by how much an entity is off, mm, a bulge as the sagitta of a chord of its length."""
    if isinstance(expected, DxfCircle):
        if found.kind != "CIRCLE":
            return inf
        x, y, r = found.number(10), found.number(20), found.number(40)
        return hypot(x - expected.centre.x, y - expected.centre.y) + abs(r - expected.radius_mm)
    vertices = found.vertices()
    if found.kind != "LWPOLYLINE" or len(vertices) != len(expected.vertices) or found.number(70) != 1.0:
        return inf
    reach = 2.0 * pi * max(hypot(v.x, v.y) for v in expected.vertices)
    return max(
        hypot(x - v.x, y - v.y) + abs(b - v.bulge) * reach
        for (x, y, b), v in zip(vertices, expected.vertices, strict=True)
    )
