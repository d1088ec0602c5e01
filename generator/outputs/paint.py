"""Paint bodies exactly by the painter's method, slab by slab from the bottom up.

Seen from above, by any parallel projection, nothing lower hides anything higher. So for each slab come its walls that
face the eye, farthest first, and then its upper face; whatever is hidden is painted over. No mesh and no depth buffer.
Everything is written as SVG in picture coordinates.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import hypot

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline.contour import Contour
from generator.outline.measure import length, signed_area
from generator.outputs.colour import LIGHT, luminance, shaded
from generator.outputs.projection import Floats, View, facets
from generator.outputs.scene import Body
from generator.outputs.shade import shadow_on
from generator.outputs.slope_cells import has_tip, slope_cells
from generator.part.part import Slab, Wall

__all__ = ["LINE_PX", "Brush", "floor_tone", "paint_body", "path_of", "projected_path"]

CHORD_PX = 0.06
"""Facets of arcs may lie off by this many pixels: invisible."""
LINE_PX = 2.2
"""Width of edges seen straight from above."""
STEP_PX = 9.0
"""Longest facet of a wall: short ones can be sorted by distance without error."""
SHADOW = 0.22
GROUND_SHADOW = 0.16
"""How much darker a floor, and the ground under the piece, is in the shadow of what stands above."""
SHADOW_INK = "#0b0f16"
CREASE = 0.86
"""Cosine of the angle from which on two facets of a wall meet in a visible edge (about 30 degrees)."""


@frozen_record
class Brush:
    """How bodies are painted.

    Attributes:
        view: the projection.
        line_px: width of the edges.
        shadow_reach: reach of cast shadows on floors, as a share of the height that casts them.
        sheen: where the gradient over upper faces ends, pixels; None for faces in one tone.
    """

    view: View
    line_px: float = LINE_PX
    shadow_reach: float = 0.55
    sheen: tuple[float, float] | None = None


def path_of(points: Floats) -> str:
    """Return a closed SVG path through picture points."""
    return "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in points.tolist()) + "Z"


def projected_path(contours: Iterable[Contour], view: View, z: float, shift: tuple[float, float] = (0, 0)) -> str:
    """Return the picture of contours at height ``z`` as one SVG path; ``shift`` moves them in the plane, mm."""
    chord = CHORD_PX / view.scale
    return "".join(path_of(view.project(facets(c, chord) + np.array(shift), z)) for c in contours)


def paint_body(body: Body, brush: Brush) -> Iterator[str]:
    """Yield the SVG elements of one body, from the bottom up."""
    for i, slab in enumerate(body.slabs):
        yield from _walls(body, slab, body.slabs[i - 1] if i else None, brush)
        yield from _upper_face(body, i, brush)
    for i, (region, colour) in enumerate(body.fills):
        path = projected_path(region, brush.view, body.top_mm)
        yield from _fill(path, colour, f"{body.name}-fill-{i}", brush)
        yield _line(path, colour, brush.line_px)


# -- upper faces ---------------------------------------------------------------------------------------------------


def _upper_face(body: Body, number: int, brush: Brush) -> Iterator[str]:
    """Yield what is seen of a slab's upper face: all of it less what stands on it, the shadow on it, and its rims."""
    slab, above = body.slabs[number], body.slabs[number + 1 :]
    view, z = brush.view, slab.z_to_mm + body.z_mm
    floor = [w.upper for w in slab.walls]
    standing = [w.lower for w in above[0].walls] if above else []
    kept = set(floor) ^ set(standing)  # even-odd: what both share cancels out
    if any(c not in standing for c in floor) or any(c not in floor for c in standing):
        face = projected_path((c for c in (*floor, *standing) if c in kept), view, z)
        yield from _fill(face, floor_tone(body, z), f"{body.name}-{number}", brush)
        if above and brush.shadow_reach > 0.0:
            chord = CHORD_PX / view.scale
            cast = shadow_on(floor, above, slab.z_to_mm, reach=brush.shadow_reach, chord_mm=chord)
            path = "".join(path_of(view.project(p, z)) for p in cast)
            yield f'<path d="{path}" fill="{SHADOW_INK}" fill-opacity="{SHADOW}" fill-rule="evenodd"/>'
    yield from _rims(body, slab, above[0] if above else None, brush)


ENGRAVED = 0.42
"""How bright an engraved floor is drawn: real ones are in shadow, dulled or filled with paint."""


def floor_tone(body: Body, z_mm: float) -> str:
    """Return the colour of a face at a height: the deeper the darker, but colours can still be told."""
    depth = body.top_mm - z_mm
    if depth <= 0.0:
        return body.colour
    if any(abs(z_mm - body.z_mm - z) < MODEL.same_mm for z in body.engraved_mm):
        return shaded(body.colour, ENGRAVED)
    return shaded(body.colour, max(0.66, 0.93 - 0.18 * depth / (body.top_mm - body.bottom_mm)))


def _fill(face: str, tone: str, key: str, brush: Brush) -> Iterator[str]:
    """Yield a face in one tone, or in a soft gradient round it when the brush has a sheen."""
    paint = tone
    if brush.sheen:
        paint = f"url(#sheen-{key})"
        yield sheen_gradient(f"sheen-{key}", tone, brush.sheen)
    yield f'<path d="{face}" fill="{paint}" fill-rule="evenodd"/>'


def sheen_gradient(key: str, tone: str, span: tuple[float, float]) -> str:
    """Return a gradient as of brushed metal under a window, from the picture's upper left to ``span`` (pixels)."""
    stops = "".join(f'<stop offset="{at}" stop-color="{shaded(tone, k)}"/>' for at, k in _SHEEN)
    return (
        f'<linearGradient id="{key}" gradientUnits="userSpaceOnUse" x1="0" y1="0" x2="{span[0]:g}" y2="{span[1]:g}">'
        f"{stops}</linearGradient>"
    )


SHEEN_BRIGHT, SHEEN_DARK = 0.22, 0.09
_SHEEN = ((0, 1.0 + SHEEN_BRIGHT), (0.38, 1.02), (0.52, 1.14), (0.72, 0.97), (1, 1.0 - SHEEN_DARK))
"""Places along the gradient and how bright the metal is there."""


def _rims(body: Body, slab: Slab, above: Slab | None, brush: Brush) -> Iterator[str]:
    """Yield the edges round the upper face, less those where a wall goes on upwards at the same slope."""
    going_on = {(w.lower, _slope_of(w, above)) for w in above.walls} if above else set()
    rims = [w.upper for w in slab.walls if (w.upper, _slope_of(w, slab)) not in going_on]
    if rims:
        path = projected_path(rims, brush.view, slab.z_to_mm + body.z_mm)
        yield _line(path, body.colour, brush.line_px)


def _slope_of(wall: Wall, slab: Slab) -> float:
    """Return how far a wall recedes for each millimetre of height, rounded so that equal slopes compare equal."""
    return 0.0 if wall.is_straight else round(_offset_between(wall) / (slab.z_to_mm - slab.z_from_mm), 3)


def _line(path: str, colour: str, width: float) -> str:
    return (
        f'<path d="{path}" fill="none" stroke="{edge_colour(colour)}" stroke-width="{width:g}" stroke-linejoin="round" '
        'stroke-linecap="round"/>'
    )


def edge_colour(colour: str) -> str:
    """Return the colour of edges on a body: dark on bright metal, lighter than the body on very dark ones."""
    return "#23272e" if luminance(colour) > 0.28 else shaded(colour, 1.36)


# -- walls -----------------------------------------------------------------------------------------------------------


def _walls(body: Body, slab: Slab, below: Slab | None, brush: Brush) -> Iterator[str]:
    """Yield the walls of a slab that face the eye, farthest facet first, then the lower edges of its slopes."""
    standing = {(w.upper, _slope_of(w, below)) for w in below.walls} if below else set()
    feet: list[Contour] = []
    facing: list[tuple[float, str]] = []
    for wall in slab.walls:
        has_foot = (wall.lower, _slope_of(wall, slab)) not in standing
        if not wall.is_straight:
            facing += _slope(wall, body, slab, brush)
            feet += [wall.lower] if has_foot else []
        elif brush.view.sees_walls:
            facing += _upright(wall.lower, body, slab, has_foot, brush)
    facing.sort(key=lambda item: item[0])
    yield from (text for _, text in facing)
    if feet:
        yield _line(projected_path(feet, brush.view, slab.z_from_mm + body.z_mm), body.colour, brush.line_px)


def _normals(points: Floats) -> tuple[Floats, Floats]:
    """Return the ends of each facet and its unit normal away from the material (to the right of travel)."""
    ends = np.roll(points, -1, axis=0)
    d = ends - points
    size = np.maximum(np.hypot(d[:, 0], d[:, 1]), 1e-12)
    return ends, np.column_stack((d[:, 1], -d[:, 0])) / size[:, None]


def _upright(contour: Contour, body: Body, slab: Slab, has_foot: bool, brush: Brush) -> Iterator[tuple[float, str]]:
    """Yield the facets of a vertical wall that face the eye, each with its nearness and drawn with its edges."""
    view = brush.view
    points = facets(contour, CHORD_PX / view.scale, STEP_PX / view.scale)
    ends, normals = _normals(points)
    towards = np.array(view.towards) / hypot(*view.towards)
    facing = normals @ towards
    low = view.project(points, slab.z_from_mm + body.z_mm)
    high = view.project(points, slab.z_to_mm + body.z_mm)
    nearness = ((points + ends) / 2.0) @ towards
    n = len(points)
    light = normals @ np.array(LIGHT[:2])
    for i in np.flatnonzero(facing > 0.0).tolist():
        j = (i + 1) % n
        tone = shaded(body.colour, 0.82 + 0.30 * float(light[i]))
        yield float(nearness[i]), _patch(np.array([low[i], low[j], high[j], high[i]]), tone)
        if has_foot:
            yield float(nearness[i]), _line(_segment(low[i], low[j]), body.colour, brush.line_px)
        for k, other in ((i, (i - 1) % n), (j, j)):
            if facing[other] <= 0.0 or float(normals[i] @ normals[other]) < CREASE:
                yield float(nearness[i]), _line(_segment(low[k], high[k]), body.colour, brush.line_px)


def _slope(wall: Wall, body: Body, slab: Slab, brush: Brush) -> Iterator[tuple[float, str]]:
    """Yield the facets of a chamfer or countersink that face the eye, each with its nearness.

    Facets meet in mitres at corners, and in the ridge between curved sides. Where the upper contour has an arc
    instead, the upper face is painted afterwards and covers what reaches too far.
    """
    view = brush.view
    away, rise = _offset_between(wall), slab.z_to_mm - slab.z_from_mm
    points = facets(wall.lower, CHORD_PX / view.scale)
    ends, normals = _normals(points)
    flat, lift = rise / hypot(away, rise), -away / hypot(away, rise)
    towards = np.array(view.towards)
    # the eye stands hypot(towards) high and up[2] far, both as shares of its distance
    facing = flat * view.up[2] * (normals @ towards) / hypot(*view.towards) + lift * hypot(*view.towards)
    light = flat * (normals @ np.array(LIGHT[:2])) + lift * LIGHT[2]
    nearness = ((points + ends) / 2.0) @ towards
    corners = points + _mitres(normals) * away
    strips = np.stack((points, ends, np.roll(corners, -1, axis=0), corners), axis=1)
    clash = away < 0.0 < signed_area(wall.lower) and has_tip(normals)
    cells = slope_cells(strips, normals) if clash else [[s] for s in strips]
    for i in np.flatnonzero(facing > 0.0).tolist():
        tone = shaded(body.colour, 0.70 + 0.55 * float(light[i]))
        for polygon in cells[i]:
            # along the facet's normal the slope rises evenly
            z = slab.z_from_mm + body.z_mm + rise * ((polygon - points[i]) @ normals[i]) / away
            yield float(nearness[i]), _patch(_at_heights(view, polygon, z), tone)


def _at_heights(view: View, points: Floats, z: Floats) -> Floats:
    """Return the pictures of points that lie at different heights."""
    flat = view.project(points, 0.0)
    return flat + np.column_stack((view.right[2] * z, -view.up[2] * z)) * view.scale


def _mitres(normals: Floats) -> Floats:
    """Return how far each vertex moves when both its facets move by one along their normals."""
    before = np.roll(normals, 1, axis=0)
    spread = 1.0 + (before * normals).sum(axis=1)
    return np.asarray((before + normals) / np.maximum(spread, 0.02)[:, None])


def _offset_between(wall: Wall) -> float:
    """Return how far the upper contour lies outside the material of the lower one (negative: a chamfer), mm."""
    # Steiner: the area between parallel curves is their distance times the mean of their lengths
    return (signed_area(wall.upper) - signed_area(wall.lower)) / ((length(wall.lower) + length(wall.upper)) / 2.0)


def _patch(corners: Floats, tone: str) -> str:
    """Return a filled facet; a hair of stroke in the same tone closes the seams to its neighbours."""
    return f'<path d="{path_of(corners)}" fill="{tone}" stroke="{tone}" stroke-width="1.4" stroke-linejoin="round"/>'


def _segment(a: Floats, b: Floats) -> str:
    return f"M{a[0]:.2f} {a[1]:.2f}L{b[0]:.2f} {b[1]:.2f}"
