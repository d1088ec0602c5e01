"""Measure finished pictures against the sections that they show: the rim in its place, metal and open ground too."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from io import BytesIO

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour
from generator.outline.measure import signed_area
from generator.outputs.colour import rgb_of
from generator.outputs.output import Proof
from generator.outputs.paint import GROUND_SHADOW, LINE_PX, SHADOW, SHEEN_BRIGHT, SHEEN_DARK, floor_tone
from generator.outputs.preview_page import HEIGHT, WIDTH
from generator.outputs.projection import Floats, View, facets
from generator.outputs.scene import Body

__all__ = ["prove_faces", "prove_flat", "read_png"]

DARK = 0.62
"""Shares of full brightness: edges are darker, the ground is brighter even in shadow."""
RIM_LIMIT_PX = 1.5
TONE_LIMIT = 0.03
"""How far a channel may lie outside the band that sheen and shadow allow; rounding to eight bits takes 0.004."""
_CLEAR_PX = 5.0
_GRID_PX = 29
_OPEN = (0.965, 0.97, 0.98)
"""The ground in openings."""


def read_png(data: bytes) -> Floats:
    """Return a PNG as an array (height, width, 3) of shares from 0 to 1."""
    from PIL import Image

    with Image.open(BytesIO(data), formats=("PNG",)) as image:
        return np.asarray(image.convert("RGB"), dtype=np.float64) / 255.0


def _size_proof(path: str, pixels: Floats) -> Proof:
    off = abs(pixels.shape[1] - WIDTH) + abs(pixels.shape[0] - HEIGHT)
    return Proof("picture: size", path, float(off), 0.0, "px")


def prove_flat(path: str, data: bytes, bodies: Sequence[Body], cover: Body, view: View) -> Iterator[Proof]:
    """Yield the proofs of a picture seen straight from above.

    Args:
        path: the file's name.
        data: the file.
        bodies: what is painted, the later over the earlier.
        cover: the body whose rim is measured.
        view: the straight view that was used.
    """
    pixels = read_png(data)
    yield _size_proof(path, pixels)
    if pixels.shape[:2] != (HEIGHT, WIDTH):
        return
    limit = RIM_LIMIT_PX / view.scale
    yield Proof("picture: rim against outline", path, _rim_deviation(pixels, cover, view) / view.scale, limit, "mm")
    yield Proof("picture: metal and open ground", path, _tone_deviation(pixels, bodies, view), TONE_LIMIT, "share")


# -- the rim ----------------------------------------------------------------------------------------------------------


@frozen_record
class _Edges:
    """Straight edges in picture coordinates, from ``a`` to ``b``, each (n, 2)."""

    a: Floats
    b: Floats

    @classmethod
    def of(cls, contours: Sequence[Contour], view: View, z: float = 0.0, *, chord_px: float = 0.4) -> _Edges:
        rings = [view.project(facets(c, chord_px / view.scale), z) for c in contours]
        return cls(np.vstack(rings), np.vstack([np.roll(r, -1, axis=0) for r in rings]))

    def distance(self, points: Floats) -> Floats:
        """Return the distance of each point from the nearest edge."""
        best = np.full(len(points), np.inf)
        step = self.b - self.a
        square = np.maximum((step**2).sum(axis=1), 1e-30)
        for i in range(0, len(points), 256):  # bounded memory
            p = points[i : i + 256, None, :]
            t = np.clip(((p - self.a) * step).sum(axis=2) / square, 0.0, 1.0)
            best[i : i + 256] = np.sqrt((((p - self.a) - t[..., None] * step) ** 2).sum(axis=2).min(axis=1))
        return best

    def around(self, points: Floats) -> NDArray[np.bool_]:
        """Return which points lie inside, by the even-odd rule."""
        inside = np.zeros(len(points), dtype=bool)
        (ax, ay), (bx, by) = self.a.T, self.b.T
        rise = np.where(by == ay, 1.0, by - ay)
        for i in range(0, len(points), 256):
            x, y = points[i : i + 256, 0, None], points[i : i + 256, 1, None]
            crosses = ((ay > y) != (by > y)) & (x < ax + (y - ay) * (bx - ax) / rise)
            inside[i : i + 256] = crosses.sum(axis=1) % 2 == 1
        return inside


def _rim_deviation(pixels: Floats, cover: Body, view: View) -> float:
    """Return the largest distance (px) of the picture's outermost dark pixels from where the rim should be."""
    sections = [r for s in cover.slabs for r in (s.lower, s.upper) if r]
    drawn = (_Edges.of(r.contours, view, chord_px=0.1) for r in sections)
    edges = max(drawn, key=lambda e: float(np.ptp(e.a, axis=0).sum()))
    low, high = edges.a.min(axis=0), edges.a.max(axis=0)
    x0, y0 = np.maximum(np.floor(low) - 30, 0).astype(int)
    x1, y1 = np.ceil(high).astype(int) + 30
    dark = pixels[y0:y1, x0:x1].mean(axis=2) < DARK
    found = np.vstack([_first_dark(dark, axis, end) for axis in (0, 1) for end in (False, True)])
    if not len(found):
        return float("inf")
    found = found + np.array([x0, y0])
    # the picture's own box must be the outline's: a piece that is not there cannot be off
    half = LINE_PX / 2.0
    box = np.abs([found.min(axis=0) - (low - half), found.max(axis=0) - (high + half)])
    miss = np.abs(edges.distance(found[::3]) - half)
    return float(max(miss.max(), box.max()))


def _first_dark(dark: NDArray[np.bool_], axis: int, from_end: bool) -> Floats:
    """Return the outer border of the first dark pixel of every row (axis 1) or column (axis 0), as (x, y)."""
    seen = np.flip(dark, axis) if from_end else dark
    lines = np.flatnonzero(seen.any(axis=axis))
    first = seen.argmax(axis=axis)[lines].astype(np.float64)
    at = dark.shape[axis] - first if from_end else first
    along = lines + 0.5
    return np.column_stack((at, along) if axis == 1 else (along, at))


# -- metal and open ground --------------------------------------------------------------------------------------------


def _tone_deviation(pixels: Floats, bodies: Sequence[Body], view: View) -> float:
    """Return how far (share of a channel) the picture is from what lies topmost, at points clear of every edge."""
    ys, xs = np.mgrid[_GRID_PX // 2 : HEIGHT : _GRID_PX, _GRID_PX // 2 : WIDTH : _GRID_PX]
    points = np.column_stack((xs.ravel(), ys.ravel())) + 0.5
    contours = {c: None for b in bodies for s in b.slabs for w in s.walls for c in (w.lower, w.upper)}
    edges = _Edges.of(list(contours), view)
    box_low, box_high = edges.a.min(axis=0), edges.a.max(axis=0)
    points = points[((points > box_low) & (points < box_high)).all(axis=1)]
    points = points[edges.distance(points) > _CLEAR_PX]
    if not len(points):
        return 0.0
    wanted = np.tile(np.array(_OPEN), (len(points), 1))
    shade = np.full(len(points), GROUND_SHADOW)
    sloped = np.zeros(len(points), dtype=bool)
    within = np.zeros(len(points), dtype=bool)  # beyond every outer contour lies the page with its soft shadow
    for body in bodies:
        for slab in body.slabs:
            rims = [w.lower for w in slab.walls if signed_area(w.lower) > 0.0]
            within |= _Edges.of(rims, view).around(points) if rims else False
            low = _Edges.of(slab.lower.contours, view).around(points)
            high = _Edges.of(slab.upper.contours, view).around(points)
            z = slab.z_to_mm + body.z_mm
            wanted[high] = rgb_of(floor_tone(body, z))
            shade[high] = 0.0 if z >= body.top_mm else SHADOW
            sloped = (sloped & ~high) | (low & ~high)  # chamfers are shaded by their slope
        for region, colour in body.fills:
            inside = _Edges.of(region.contours, view).around(points)
            wanted[inside], shade[inside], sloped[inside] = rgb_of(colour), 0.0, False
    got = pixels[points[:, 1].astype(int), points[:, 0].astype(int)]
    return float(_outside_band(got, wanted, shade)[within & ~sloped].max(initial=0.0))


def _outside_band(got: Floats, wanted: Floats, shade: Floats) -> Floats:
    """Return by how much the worst channel lies outside what sheen (both ways) and shadow (down) make of a tone."""
    low = wanted * (1.0 - SHEEN_DARK) * (1.0 - shade)[:, None]
    high = wanted + SHEEN_BRIGHT * (1.0 - wanted)
    return np.asarray(np.maximum(np.maximum(low - got, got - high), 0.0).max(axis=1))


def prove_faces(path: str, data: bytes, bodies: Sequence[Body], view: View) -> Iterator[Proof]:
    """Yield the proofs of the exploded picture: every piece shows its metal where its upper face lies.

    Args:
        path: the file's name.
        data: the file.
        bodies: from the bottom up; only faces that no box of a higher piece covers are looked at.
        view: the view that was used.
    """
    pixels = read_png(data)
    yield _size_proof(path, pixels)
    if pixels.shape[:2] != (HEIGHT, WIDTH):
        return
    for i, body in enumerate(bodies):
        points = _free_points(body, bodies[i + 1 :], view)
        if len(points):
            got = pixels[points[:, 1].astype(int), points[:, 0].astype(int)]
            tone = np.tile(np.array(rgb_of(body.colour)), (len(points), 1))
            off = _outside_band(got, tone, np.zeros(len(points)))
            # axes and their dashes cross a face here and there, so the middle one speaks
            yield Proof("picture: metal of a piece", f"{path} {body.name}", float(np.median(off)), TONE_LIMIT, "share")


def _free_points(body: Body, above: Sequence[Body], view: View) -> Floats:
    """Return picture points on the upper face of a body, clear of edges and of the boxes of pieces above."""
    top = body.slabs[-1].upper.contours
    if not top:
        return np.empty((0, 2))
    edges = _Edges.of(top, view, body.top_mm)
    low, high = edges.a.min(axis=0), edges.a.max(axis=0)
    xs, ys = np.meshgrid(np.linspace(low[0], high[0], 40), np.linspace(low[1], high[1], 40))
    points = np.column_stack((xs.ravel(), ys.ravel()))
    points = points[edges.around(points)]
    points = points[edges.distance(points) > _CLEAR_PX] if len(points) else points
    for other in above:
        section = other.slabs[0].lower.contours
        a = np.vstack([_Edges.of(section, view, z).a for z in (other.bottom_mm, other.top_mm)])
        hidden = ((points >= a.min(axis=0) - 2) & (points <= a.max(axis=0) + 2)).all(axis=1)
        points = points[~hidden]
    return points
