"""Render a scan of a flat part from its exact outline: distances, light, optics, carriage, surface, sensor, file.

The picture is built on a grid finer than its pixels, where edges lie exactly and are covered by area, then spread by
the optics and summed up to pixels. Light adds up linearly; the encoding to grey levels comes last, noise after it.
"""

from __future__ import annotations

import io
import math
from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw
from scipy.ndimage import gaussian_filter, map_coordinates
from scipy.stats import norm

from tests.scans.hurt import Damage, into_chips, swollen
from tests.scans.scan_conditions import Conditions
from tests.scans.scan_shape import Part, Segment, measure, ray

BAND = 256
"""Rows rendered at a time, so that a whole bed fits into memory."""


@dataclass(frozen=True)
class Bed:
    """Where the part lies in the picture: px = matrix [x, y, 1], and the picture's size."""

    matrix: np.ndarray
    width: int
    height: int

    def pixel(self, points: np.ndarray) -> np.ndarray:
        return points @ self.matrix[:, :2].T + self.matrix[:, 2]

    def place(self, u: np.ndarray, v: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        back = np.linalg.inv(self.matrix[:, :2])
        u, v = u - self.matrix[0, 2], v - self.matrix[1, 2]
        return back[0, 0] * u + back[0, 1] * v, back[1, 0] * u + back[1, 1] * v


def bed_of(part: Part, c: Conditions) -> Bed:
    """Lay the part down turned, with its margin, under the scanner's own errors of scale and squareness."""
    a, kx, ky = math.radians(c.rot), c.dpi / 25.4 * (1 + c.ex), c.dpi / 25.4 * (1 + c.ey)
    turn = np.array([[math.cos(a), -math.sin(a)], [math.sin(a), math.cos(a)]])
    linear = np.array([[kx, kx * math.tan(math.radians(c.skew))], [0.0, -ky]]) @ turn
    outline = np.vstack([s.points(np.linspace(0, 1, 50)) for s in part.edges()]) @ linear.T
    left, top, right, bottom = c.margin if isinstance(c.margin, tuple) else (c.margin,) * 4
    low = outline.min(axis=0) - np.array([left * kx, top * ky])
    high = outline.max(axis=0) + np.array([right * kx, bottom * ky])
    width, height = (int(n) for n in np.ceil(high - low))
    off = -low + 0.37  # edges shall not fall on pixel borders
    return Bed(np.column_stack([linear, off]), width, height)


def decoded(level: float, gamma: float | str) -> float:
    """Linear light, 0 to 1, of a grey level."""
    e = level / 255.0
    if gamma == "srgb":
        return e / 12.92 if e <= 0.04045 else ((e + 0.055) / 1.055) ** 2.4
    return float(e ** float(gamma))


def encoded(light: np.ndarray, gamma: float | str) -> np.ndarray:
    """Grey levels 0 to 255 of linear light."""
    light = np.clip(light, 0.0, 1.0)
    if gamma == "srgb":
        return 255.0 * np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    return 255.0 * light ** (1.0 / float(gamma))


# ------------------------------------------------------------------ where the edges are


@dataclass(frozen=True)
class Near:
    """What lies near edges in a band: pixels (rows, columns) and, on their fine grid, three distances and a slope."""

    rows: np.ndarray
    columns: np.ndarray
    off: np.ndarray
    shaded: np.ndarray
    facing: np.ndarray
    hole: np.ndarray


def stripe(bed: Bed, edge: Segment, reach: float, first: int, count: int) -> np.ndarray:
    """Mask of the pixels of a band within ``reach`` pixels of an edge, and some beyond."""
    sheet = Image.new("1", (bed.width, count), 0)
    run = max(abs(edge.sweep) * 24, 1.0)
    points = bed.pixel(edge.points(np.linspace(0, 1, math.ceil(run) + 1))) - np.array([0.0, first])
    pen = ImageDraw.Draw(sheet)
    wide = math.ceil(reach) + 2
    pen.line([tuple(p) for p in points], fill=1, width=2 * wide + 1, joint="curve")
    for x, y in (points[0], points[-1]):
        pen.ellipse([x - wide, y - wide, x + wide, y + wide], fill=1)
    return np.array(sheet)


def near_edges(part: Part, bed: Bed, c: Conditions, k: int, first: int, count: int, reach: float) -> Near:
    """Distances on the fine grid near every edge of a band of rows."""
    edges = part.edges()
    pixels = reach * c.dpi / 25.4 * 1.01 + 2.0 * c.wobble * c.dpi / 25.4
    masks = [stripe(bed, s, pixels, first, count) for s in edges]
    rows, columns = np.nonzero(np.logical_or.reduce(masks))
    index = np.full((count, bed.width), -1, dtype=np.int64)
    index[rows, columns] = np.arange(len(rows))
    fine = (np.arange(k) + 0.5) / k - 0.5
    v = (rows + first)[:, None, None] + fine[None, :, None]
    ideal = v - c.wobble * c.dpi / 25.4 * np.sin(2 * math.pi * v / (c.wobble_period * c.dpi / 25.4) + c.wobble_phase)
    x, y = bed.place(columns[:, None, None] + fine[None, None, :], ideal)
    least, side, best = np.full(x.shape, np.inf), np.full(x.shape, np.inf), np.zeros(x.shape)
    shaded, facing, hole = np.full(x.shape, np.inf), np.zeros(x.shape), np.zeros(x.shape, dtype=bool)
    back = np.linalg.inv(bed.matrix[:, :2]) @ -np.array(
        [math.cos(math.radians(c.light_deg)), math.sin(math.radians(c.light_deg))]
    )
    lx, ly = back / np.hypot(*back)
    for number, (edge, mask) in enumerate(zip(edges, masks, strict=True)):
        at = index[mask]
        away, signed, nx, ny = measure(edge, x[at], y[at])
        # where two edges are as near, their common corner is: the one seen less edge-on says which side it is
        tie = np.abs(away - least[at]) < 1e-9
        closer = (away < least[at] - 1e-9) | (tie & (np.abs(signed) > np.abs(best[at])))
        least[at] = np.where(closer, away, least[at])
        best[at] = np.where(closer, signed, best[at])
        side[at] = np.where(closer, np.copysign(away, signed), side[at])
        facing[at] = np.where(closer, nx * lx + ny * ly, facing[at])
        hole[at] = np.where(closer, number >= len(part.outer), hole[at])
        if c.shadow_depth:
            shaded[at] = np.minimum(shaded[at], ray(edge, x[at], y[at], lx, ly))
    return Near(rows, columns, side, shaded, facing, hole)


def damaged_side(
    near: Near, bed: Bed, c: Conditions, k: int, first: int, damage: Damage
) -> tuple[np.ndarray, np.ndarray]:
    """Distances off the metal with burrs, and those into chips (positive inside a chip)."""
    fine = (np.arange(k) + 0.5) / k - 0.5
    x, y = bed.place(
        near.columns[:, None, None] + fine[None, None, :], (near.rows + first)[:, None, None] + fine[None, :, None]
    )
    return swollen(near.off, x, y, damage.burrs), into_chips(x, y, damage.chips)


def shadow(c: Conditions, run: np.ndarray) -> np.ndarray:
    """Share of the lid's light that arrives, ``run`` mm behind the edge that keeps it off."""
    t = np.minimum(run / c.shadow_w, 50.0)
    if c.shadow_form == "ramp":
        lost = np.clip(1.0 - t, 0.0, 1.0)
    elif c.shadow_form == "soft":  # the ramp seen under a lamp of some width
        lost = (1.0 - t) * norm.cdf((1.0 - t) / 0.15) + 0.15 * norm.pdf((1.0 - t) / 0.15)
    elif c.shadow_form == "exponential":
        lost = np.exp(-2.0 * t)
    elif c.shadow_form == "step":
        lost = 1.0 - norm.cdf(t, 0.5, 0.12)
    elif c.shadow_form == "core":
        lost = np.clip((1.0 - t) / (2.0 / 3.0), 0.0, 1.0)
    else:
        raise ValueError(c.shadow_form)
    return 1.0 - c.shadow_depth * lost


# ------------------------------------------------------------------ surfaces


@dataclass(frozen=True)
class Surface:
    """Tables of chance for brush marks and rust, laid over the part."""

    fine: np.ndarray
    coarse: np.ndarray
    blots: np.ndarray
    specks: np.ndarray


def surface_of(rng: np.random.Generator) -> Surface:
    return Surface(*(rng.standard_normal(n).astype(np.float32) for n in ((701, 41), (251, 23), (61, 61), (211, 211))))


def _noise(table: np.ndarray, a: np.ndarray, b: np.ndarray, order: int = 1) -> np.ndarray:
    return map_coordinates(table, [a, b], order=order, mode="grid-wrap", output=np.float32)


def metal_face(bed: Bed, c: Conditions, surface: Surface, first: int, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Share of the metal's usual light, and of rust, for each pixel of a band."""
    face, rusty = np.ones((count, bed.width), np.float32), np.zeros((count, bed.width), np.float32)
    if not (c.brushed or c.rust):
        return face, rusty
    v, u = np.mgrid[first : first + count, 0 : bed.width].astype(np.float32)
    x, y = bed.place(u, v)
    if c.brushed:
        a = math.radians(c.brush_deg)
        along, across = x * math.cos(a) + y * math.sin(a), y * math.cos(a) - x * math.sin(a)
        marks = 1.1 * _noise(surface.fine, across / 0.09, along / 7.0) + _noise(
            surface.coarse, across / 0.5, along / 15
        )
        face *= np.maximum(1.0 + c.brushed * marks, 0.1)
    if c.rust:
        heap = 0.9 * _noise(surface.blots, y / 2.2, x / 2.2, 3) + 0.4 * _noise(surface.specks, y / 0.5, x / 0.5)
        rusty = np.clip((heap - 0.75 * norm.ppf(1 - c.rust)) / 0.08, 0.0, 1.0).astype(np.float32)
        face *= 1.0 - 0.45 * rusty
    return face, rusty


def scratch_sheet(bed: Bed, c: Conditions, rng: np.random.Generator) -> np.ndarray | None:
    """Scratches over the whole picture as shares of light added or taken."""
    if not c.scratches:
        return None
    total = np.zeros((bed.height, bed.width), np.float32)
    for _ in range(c.scratches):
        sheet = Image.new("L", (bed.width, bed.height), 0)
        u, v, a = rng.uniform(0, bed.width), rng.uniform(0, bed.height), rng.uniform(0, 2 * math.pi)
        run = rng.uniform(8, 25) * c.dpi / 25.4
        line = [(u, v), (u + run * math.cos(a), v + run * math.sin(a))]
        ImageDraw.Draw(sheet).line(line, fill=255, width=max(1, round(0.08 * c.dpi / 25.4)))
        total += np.asarray(sheet, np.float32) / 255.0 * np.float32(rng.choice([0.5, -0.35]))
    return total


# ------------------------------------------------------------------ the picture


def inside(part: Part, bed: Bed, first: int, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Masks of a band: metal, and openings in it (rough at edges, where the fine grid takes over)."""
    metal, openings = Image.new("1", (bed.width, count), 0), Image.new("1", (bed.width, count), 0)
    edges, shift = part.edges(), np.array([0.0, first])

    def polygon(loop: list[Segment]) -> list[tuple[float, ...]]:
        points = np.vstack([s.points(np.linspace(0, 1, 90)[:-1]) for s in loop])
        return [tuple(p) for p in bed.pixel(points) - shift]

    ImageDraw.Draw(metal).polygon(polygon(edges[: len(part.outer)]), fill=1)
    done = len(part.outer)
    for n in [*(len(loop) for loop in part.inner), *(1 for _ in part.circles)]:
        ImageDraw.Draw(openings).polygon(polygon(edges[done : done + n]), fill=1)
        done += n
    hollow = np.array(openings)
    return np.array(metal) & ~hollow, hollow


def band_of_light(
    part: Part, bed: Bed, c: Conditions, k: int, rows: tuple[int, int], surface: Surface, damage: Damage
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Light of the metal and of the lid in a band, spread by the optics, and the share of rust."""
    halo = math.ceil(4 * c.blur) + 1
    first, count = rows[0] - halo, rows[1] - rows[0] + 2 * halo
    pixel = 25.4 / c.dpi
    reach = max(c.shadow_w * (2.5 if c.shadow_form == "exponential" else 1.5) if c.shadow_depth else 0.0,
                c.bevel, 4 * c.halo_w if c.halo_depth else 0.0, 2 * pixel,
                *(r[2] + 0.1 for r in damage.chips), *(b[2] + 0.1 for b in damage.burrs))  # fmt: skip
    near = near_edges(part, bed, c, k, first, count, reach)
    off, chip = damaged_side(near, bed, c, k, first, damage)
    share = np.clip(0.5 - off / (pixel / k), 0.0, 1.0)
    broken = np.clip(0.5 + chip / (pixel / k), 0.0, 1.0)
    face, rusty = metal_face(bed, c, surface, first, count)
    metal_px, hollow = inside(part, bed, first, count)
    metal, lid = decoded(c.metal, c.gamma), decoded(c.lid, c.gamma)
    behind = np.where(hollow, lid if c.hole is None else decoded(c.hole, c.gamma), lid).astype(np.float32)
    slope = 1.0 + c.bevel_gain * near.facing * np.clip(1.0 + off / c.bevel, 0.0, 1.0) if c.bevel else 1.0
    edge_metal = metal * face[near.rows, near.columns][:, None, None] * slope
    back = np.where(near.hole, lid if c.hole is None else decoded(c.hole, c.gamma), lid)
    if c.shadow_depth:
        under = np.where(near.facing < 0, 0.0, np.inf)  # fine cells whose middle is just within the metal
        back = back * shadow(c, np.where(off < 0, under, near.shaded))
    if c.halo_depth:
        back = back * (1.0 - c.halo_depth * np.exp(-np.maximum(off, 0.0) / c.halo_w))
    if c.chips_dark:
        edge_metal = edge_metal * (1.0 - 0.8 * broken)
    else:
        share = share * (1.0 - broken)

    def spread(flat: np.ndarray, fine: np.ndarray) -> np.ndarray:
        grid = np.repeat(np.repeat(flat.astype(np.float32)[:, :, None, None], k, axis=2), k, axis=3)
        grid[near.rows, near.columns] = fine
        sheet = grid.transpose(0, 2, 1, 3).reshape(count * k, bed.width * k)
        sheet = gaussian_filter(sheet, c.blur * k, mode="nearest", truncate=4.0)
        return sheet.reshape(count, k, bed.width, k).mean(axis=(1, 3))[halo:-halo]

    if not c.colour:
        both = spread(np.where(metal_px, metal * face, behind), share * edge_metal + (1 - share) * back)
        return both, np.zeros(0), rusty[halo:-halo]
    own = spread(np.where(metal_px, metal * face, 0.0), share * edge_metal)
    return own, spread(np.where(metal_px, 0.0, behind), (1 - share) * back), rusty[halo:-halo]


def picture_of(part: Part, c: Conditions, bed: Bed, rng: np.random.Generator, damage: Damage) -> np.ndarray:
    """The finished picture as grey levels 0 to 255 in whole numbers, (rows, columns) or (rows, columns, 3)."""
    k = 4 if c.dpi < 250 else 3 if c.dpi < 450 else 2
    surface, scratches = surface_of(rng), scratch_sheet(bed, c, rng)
    fall = rng.uniform(-1, 1, 4)
    out = np.empty((bed.height, bed.width, 3) if c.colour else (bed.height, bed.width), np.uint8)
    for start in range(0, bed.height, BAND):
        stop = min(start + BAND, bed.height)
        metal, lid, rusty = band_of_light(part, bed, c, k, (start, stop), surface, damage)
        if c.colour:
            tints = [(1.03, 1.0, 0.55), (0.995, 1.0, -0.05), (0.95, 0.99, -0.5)]  # metal, lid, rust: red, green, blue
            light = np.stack([metal * m * (1 + r * rusty) + lid * b for m, b, r in tints], axis=2)
        else:
            light = metal
        light = _on_the_glass(light, c, bed, start, damage, scratches, fall)
        levels = encoded(light, c.gamma) + rng.standard_normal(light.shape, np.float32) * np.float32(c.noise)
        out[start:stop] = np.clip(np.rint(levels), 0, 255)
    return out


def _on_the_glass(
    light: np.ndarray,
    c: Conditions,
    bed: Bed,
    start: int,
    damage: Damage,
    scratches: np.ndarray | None,
    fall: np.ndarray,
) -> np.ndarray:
    """Uneven light, scratches and dust on a band of rows that begins at ``start``."""
    count = light.shape[0]

    def wide(a: np.ndarray) -> np.ndarray:
        return a[..., None] if light.ndim == 3 else a

    u = np.linspace(-1, 1, bed.width, dtype=np.float32)[None, :]
    v = ((np.arange(start, start + count) / bed.height) * 2 - 1).astype(np.float32)[:, None]
    light = light * wide(1.0 + c.uneven * (fall[0] * u + fall[1] * v + fall[2] * u * v + fall[3] * u * u))
    if scratches is not None:
        light = light * wide(1.0 + gaussian_filter(scratches[start : start + count], 0.5))
    for x, y, radius in damage.dust:
        low, high = max(0, int(y - 4 * radius) - start), min(count, int(y + 4 * radius) + 2 - start)
        left, right = max(0, int(x - 4 * radius)), min(bed.width, int(x + 4 * radius) + 2)
        if low >= high or left >= right:
            continue
        vv, uu = np.mgrid[low:high, left:right]
        far = np.hypot(uu - x, vv + start - y)
        opaque = wide(0.7 / (1.0 + np.exp((far - radius) / 0.4)))
        patch = light[low:high, left:right]
        light[low:high, left:right] = patch * (1 - opaque) + 0.3 * opaque
    return light


def file_of(levels: np.ndarray, c: Conditions) -> bytes:
    """The picture as a file with the metadata that the conditions ask for."""
    out = io.BytesIO()
    dpi = c.dpi if c.meta_dpi == "true" else c.meta_dpi
    more: dict[str, object] = {} if dpi is None else {"dpi": (dpi, dpi)}
    if c.fmt == "jpg":
        more |= {"quality": c.quality}
    Image.fromarray(levels).save(out, {"jpg": "JPEG", "png": "PNG", "tif": "TIFF"}[c.fmt], **more)
    return out.getvalue()
