"""The exploded picture: original as a ghost below, cover above it, inserts above the cover, each with its label."""

from __future__ import annotations

from typing import Final

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.base.units import LengthUnit, length_unit
from generator.outline.measure import bounds, centroid
from generator.outline.region import Region
from generator.outputs.colour import shaded
from generator.outputs.glyphs import heading
from generator.outputs.lettering import Box
from generator.outputs.paint import Brush, paint_body, projected_path
from generator.outputs.preview_page import CAPTION, HEIGHT, MARGIN, WIDTH, Label, caption, labels, page, soft_shadow
from generator.outputs.projection import Floats, View, axonometric, facets
from generator.outputs.scene import Body, SlabsOf, body_of, extruded, inserts_of, lifted
from generator.part.part import Part, Plan

__all__ = ["Exploded", "explode", "exploded_svg"]

TURN_DEG: Final = -28.0
ELEVATION_DEG: Final = 36.0
COLUMN: Final = 372.0
"""Width of the column of labels, pixels."""
GHOST: Final = "#c3cad3"


@frozen_record
class Exploded:
    """The bodies at their heights in the picture, and the view that shows them all."""

    ghost: Body
    cover: Body
    inserts: tuple[Body, ...]
    view: View

    @property
    def bodies(self) -> tuple[Body, ...]:
        """Return every body, from the bottom up."""
        return (self.ghost, self.cover, *self.inserts)


def explode(plan: Plan, slabs_of: SlabsOf) -> Exploded:
    """Return the bodies taken apart along z, and a view that fits them into the page beside the labels."""
    view = axonometric(TURN_DEG, ELEVATION_DEG)
    ghost = extruded("original", plan.footprint, plan.original_height_mm, GHOST)
    cover = lifted(body_of(plan.cover, slabs_of(plan.cover)), ghost.top_mm + _gap(view, plan.footprint))
    inserts = []
    for part in inserts_of(plan):
        body = body_of(part, slabs_of(part))
        # every insert hovers at one distance above the cover's top face
        inserts.append(lifted(body, cover.top_mm - body.bottom_mm + _gap(view, part.profile, share=0.9)))
    bodies = (ghost, cover, *inserts)
    tips = [(b.at.x, b.at.y, _tip(ghost, cover)) for b in plan.bolts]
    return Exploded(ghost, cover, tuple(inserts), _fitted(view, bodies, tips))


def _tip(ghost: Body, cover: Body) -> float:
    """Return how high the axes of the bolts reach, mm."""
    return cover.top_mm + 0.35 * (cover.bottom_mm - ghost.top_mm)


def _gap(view: View, region: Region, *, share: float = 0.62) -> float:
    """Return a lift (mm of z) that moves a piece by ``share`` of its height in the picture."""
    pts = view.project(_points(region), 0.0)
    return share * float(pts[:, 1].max() - pts[:, 1].min()) / view.up[2]


def _points(region: Region) -> Floats:
    b = bounds(region)
    return np.vstack([facets(c, 0.01 * max(b.width_mm, b.height_mm)) for c in region])


def _fitted(view: View, bodies: tuple[Body, ...], tips: list[tuple[float, float, float]]) -> View:
    """Return the view at the scale and place at which all bodies and the tips of the axes fit beside the labels."""
    seen = [view.project(_points(b.slabs[0].lower), z) for b in bodies for z in (b.bottom_mm, b.top_mm)]
    pts = np.vstack([*seen, *(np.array([view.at(*tip)]) for tip in tips)])
    (x0, y0), (x1, y1) = pts.min(axis=0), pts.max(axis=0)
    room = Box(MARGIN, MARGIN, WIDTH - MARGIN - COLUMN - 60.0, HEIGHT - CAPTION - 36.0)
    scale = min(room.width / (x1 - x0), room.height / (y1 - y0))
    origin = (
        (room.left + room.right) / 2 - scale * (x0 + x1) / 2,
        (room.top + room.bottom) / 2 - scale * (y0 + y1) / 2,
    )
    return view.placed(float(scale), (float(origin[0]), float(origin[1])))


def exploded_svg(plan: Plan, slabs_of: SlabsOf) -> str:
    """Return the exploded picture as SVG."""
    scene = explode(plan, slabs_of)
    view = scene.view
    brush = Brush(view, line_px=1.5, sheen=(WIDTH - COLUMN, HEIGHT - CAPTION))
    parts = [_ground(scene)]
    ghost = paint_body(scene.ghost, Brush(view, line_px=1.2, shadow_reach=0.0))
    parts.append(f'<g opacity="0.6">{"".join(ghost)}</g>')
    parts.append(_axes(plan, view, scene.ghost.top_mm, scene.cover.bottom_mm))
    parts += paint_body(scene.cover, brush)
    parts.append(_axes(plan, view, scene.cover.top_mm, _tip(scene.ghost, scene.cover)))
    for part, body in zip(inserts_of(plan), scene.inserts, strict=True):
        c = centroid(part.profile)
        parts.append(_axis(view, c.x, c.y, scene.cover.top_mm - part.thickness_mm, body.bottom_mm))
    for body in scene.inserts:
        parts += paint_body(body, brush)
    column = Box(WIDTH - MARGIN - COLUMN, MARGIN + 10, WIDTH - MARGIN, HEIGHT - CAPTION - 30)
    text, _ = labels(_labels(plan, scene), column)
    words = caption(heading(plan.title, plan.name), "Exploded view", _count(plan))
    return page("".join(parts) + text + words)


def _count(plan: Plan) -> str:
    n = len(inserts_of(plan))
    pieces = "cover" if n == 0 else "cover and insert" if n == 1 else f"cover and {n} inserts"
    return f"{pieces} above the original"


def _ground(scene: Exploded) -> str:
    shape = projected_path((w.lower for w in scene.ghost.slabs[0].walls), scene.view, 0.0)
    return soft_shadow(shape, shift=(3.0, 7.0), spread_px=15.0, strength=0.24) + f'<path d="{shape}" fill="#f7f8fa"/>'


def _axes(plan: Plan, view: View, z0: float, z1: float) -> str:
    return "".join(_axis(view, b.at.x, b.at.y, z0, z1) for b in plan.bolts)


def _axis(view: View, x: float, y: float, z0: float, z1: float) -> str:
    (x0, y0), (x1, y1) = view.at(x, y, z0), view.at(x, y, z1)
    return (
        f'<path d="M{x0:.2f} {y0:.2f}L{x1:.2f} {y1:.2f}" fill="none" stroke="{shaded("#3f6fa8", 0.9)}" '
        'stroke-width="1.3" stroke-dasharray="13 4 2 4"/>'
    )


def _labels(plan: Plan, scene: Exploded) -> list[Label]:
    view, unit = scene.view, length_unit(plan.units)
    out = []
    for part, body in zip(inserts_of(plan), scene.inserts, strict=True):
        name = part.name.removeprefix("insert-")
        out.append(
            Label((f"Insert {name}", part.material.name, _thick(part, unit)), _rightmost(part.profile, view, body))
        )
    cover = plan.cover
    out.append(Label(("Cover", cover.material.name, _thick(cover, unit)), _rightmost(cover.profile, view, scene.cover)))
    note = ("Original, stays in place", f"{unit.length(plan.original_height_mm)} high", *_bolts(plan, unit))
    out.append(Label(note, _rightmost(plan.footprint, view, scene.ghost)))
    return out


def _thick(part: Part, unit: LengthUnit) -> str:
    return f"{unit.length(part.thickness_mm)} thick"


def _bolts(plan: Plan, unit: LengthUnit) -> tuple[str, ...]:
    """Return how many bolts of which thread there are; empty without bolts."""
    counts: dict[str, int] = {}
    for bolt in plan.bolts:
        kind = bolt.thread or f"⌀{unit.length(bolt.hole_mm)}"
        counts[kind] = counts.get(kind, 0) + 1
    return (", ".join(f"{n} × {kind}" for kind, n in counts.items()),) if counts else ()


def _rightmost(region: Region, view: View, body: Body) -> tuple[float, float]:
    """Return the point of a piece's outline that lies farthest right in the picture, half way up its wall."""
    pts = view.project(_points(region), (body.bottom_mm + body.top_mm) / 2)
    i = int(pts[:, 0].argmax())
    return float(pts[i, 0]), float(pts[i, 1])
