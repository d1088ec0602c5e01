"""Render a photo of a plate beside a bank card or on a sheet of A4: both faces, walls between, shadow, lens, noise.

Away from edges one sample a pixel does; pixels that an edge crosses are made of many.
"""

from __future__ import annotations

import io
import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from PIL import Image, ImageDraw
from scipy.ndimage import gaussian_filter

from tests.scans.hurt import Damage, in_openings, into_chips, on_outline, swollen
from tests.scans.photo_camera import Camera, stand
from tests.scans.scan_light import Surface, _noise, decoded, encoded, surface_of
from tests.scans.scan_shape import Part, Segment, belt, corners, full_circle, off, ray, segments
from tests.scans.scan_truth import caliper_of

CARD = (85.60, 53.98, 3.18, 0.76)
"""Width, height, corner radius, thickness of an ID-1 card, mm (ISO/IEC 7810)."""
A4 = (297.0, 210.0, 0.0, 0.0)
"""ISO 216; paper has no height worth the name."""
FINE = 3


@dataclass(frozen=True)
class PhotoConditions:
    """One photo. Grey levels are encoded ones, lengths mm, angles degrees.

    Attributes:
        reference: "card" beside the part, "a4" below it.
        thickness: of the part.
        tilt, azimuth, roll: of the camera; focal_35mm, k1: of its lens; width, height: pixels.
        pose: of the part: x, y, degrees; reference_pose: of the card or sheet.
        blur, noise, gamma, quality: of optics, sensor, encoding, JPEG.
        metal, table, reference_level: levels; wall: share of the metal's light that walls send.
        card_wall: the card's own narrow side is seen, where it faces the camera.
        shadow_len, shadow_depth, light_deg: shadow on the table, direction (world) in which it falls.
        brushed, uneven: contrast of brush marks, fall of the light over the picture.
        exif: whether the file says the focal length.
        chips, burrs, hurt_openings, hurt_size, chips_dark: as for scans; burrs and chips that are not dark go through.
        readings, sigma, resolution, mistyped: as for scans.
    """

    reference: str = "card"
    thickness: float = 2.0
    tilt: float = 10.0
    azimuth: float = 40.0
    roll: float = 5.0
    focal_35mm: float = 27.0
    k1: float = 0.0
    width: int = 2800
    height: int = 2100
    pose: tuple[float, float, float] = (-52.0, 4.0, 20.0)
    reference_pose: tuple[float, float, float] = (47.0, -4.0, -11.0)
    blur: float = 0.9
    noise: float = 2.2
    gamma: float | str = "srgb"
    quality: int = 90
    metal: float = 105.0
    table: float = 175.0
    reference_level: float = 75.0
    wall: float = 0.7
    card_wall: bool = False
    shadow_len: float = 1.0
    shadow_depth: float = 0.4
    light_deg: float = 300.0
    brushed: float = 0.05
    uneven: float = 0.25
    exif: bool = True
    chips: int = 0
    burrs: int = 0
    hurt_openings: int = 0
    hurt_size: float = 1.0
    chips_dark: bool = True
    readings: int = 5
    sigma: float = 0.015
    resolution: float = 0.01
    mistyped: str = ""

    def but(self, **changes: Any) -> PhotoConditions:
        return replace(self, **changes)


def usual_photo(reference: str, steep: bool, seed: int, **changes: Any) -> PhotoConditions:
    """A photo as people take them; steep: 15 to 25 degrees off square, else up to 15."""
    rng = np.random.default_rng([seed, steep, len(reference)])

    def between(a: float, b: float) -> float:
        return float(rng.uniform(a, b))

    card = reference == "card"
    return PhotoConditions(
        reference=reference, thickness=between(0.8, 3.0) if card else between(1.5, 4.0),
        tilt=between(15, 25) if steep else between(3, 15), azimuth=between(0, 360), roll=between(-8, 8),
        focal_35mm=float(rng.integers(24, 30)), k1=between(-0.03, 0.03), width=3000 if card else 3600,
        height=2250 if card else 2700,
        pose=(-52 + between(-4, 4), between(-6, 6), between(-180, 180)) if card
        else (between(-40, 40), between(-20, 20), between(-180, 180)),
        reference_pose=(47 + between(-2, 2), between(-8, 8), between(-15, 15)) if card else (0, 0, between(-5, 5)),
        blur=between(0.7, 1.1), noise=between(1.5, 2.8), quality=int(rng.integers(86, 95)), metal=between(90, 135),
        table=between(165, 190) if card else between(80, 110), reference_level=between(60, 90) if card else 228.0,
        wall=between(0.5, 0.85), shadow_len=between(0.4, 2.0), shadow_depth=between(0.25, 0.45),
        light_deg=between(0, 360), brushed=between(0.03, 0.08), uneven=between(0.1, 0.3), exif=seed % 3 != 2,
        card_wall=card and seed % 4 == 3,
        readings=int(rng.integers(4, 6)),
    ).but(**changes)  # fmt: skip


@dataclass(frozen=True)
class Pose:
    """A flat thing on the table: part coordinates to the world and back."""

    x: float
    y: float
    degrees: float

    @property
    def turn(self) -> np.ndarray:
        a = math.radians(self.degrees)
        return np.array([[math.cos(a), -math.sin(a)], [math.sin(a), math.cos(a)]])

    def world(self, points: np.ndarray, z: float) -> np.ndarray:
        at = points @ self.turn.T + (self.x, self.y)
        return np.column_stack([at, np.full(len(at), z)])

    def own(self, x: np.ndarray, y: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        t = self.turn
        x, y = x - self.x, y - self.y
        return t[0, 0] * x + t[1, 0] * y, t[0, 1] * x + t[1, 1] * y


@dataclass(frozen=True)
class PartBed:
    """Lets caliper readings click into a photo: its top face and how it lies in the picture round the part's middle."""

    camera: Camera
    pose: Pose
    z: float

    def pixel(self, points: np.ndarray) -> np.ndarray:
        return self.camera.pixel(self.pose.world(points, self.z))

    @property
    def matrix(self) -> np.ndarray:
        at = self.pixel(np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]]))
        return np.column_stack([at[1] - at[0], at[2] - at[0], at[0]])


@dataclass(frozen=True)
class Scene:
    part: Part
    c: PhotoConditions
    camera: Camera
    surface: Surface
    damage: Damage = Damage([], [], [])

    @property
    def pose(self) -> Pose:
        return Pose(*self.c.pose)

    @property
    def reference(self) -> tuple[Pose, list[Segment], float]:
        width, height, radius, z = CARD if self.c.reference == "card" else A4
        x, y = width / 2, height / 2
        loop = belt(corners([(-x, -y, radius), (x, -y, radius), (x, y, radius), (-x, y, radius)]))[0]
        return Pose(*self.c.reference_pose), segments(loop), z

    def colours(self, u: np.ndarray, v: np.ndarray, light: np.ndarray) -> np.ndarray:
        """Light of samples, (n, 3); ``light`` is what arrives on the table at each."""
        c, camera = self.c, self.camera
        looks = camera.looks(u, v)
        edges, t = self.part.edges(), c.thickness
        out = self.ground(looks) * light[:, None]
        slant = float(np.max(np.hypot(looks[:, 0], looks[:, 1]) / -looks[:, 2])) * t  # from face to face
        left = np.arange(len(u))
        for z in (t, 0.75 * t, 0.5 * t, 0.25 * t, 0.0):
            x, y = self.pose.own(*camera.meets(looks[left], z))
            away = swollen(off(edges, x, y), x, y, self.damage.burrs)
            if not c.chips_dark:
                away = np.maximum(away, into_chips(x, y, self.damage.chips))
            inside = away < 0
            out[left[inside]] = self.metal(x[inside], y[inside], top=z == t)
            left = left[~inside & (away < slant + 0.1)]
        return out

    def metal(self, x: np.ndarray, y: np.ndarray, *, top: bool) -> np.ndarray:
        """Light of the metal at places of the part."""
        c = self.c
        marks = 1.0 + c.brushed * _noise(self.surface.fine, y / 0.09, x / 7.0)
        tone = decoded(c.metal, c.gamma) * marks * (1.0 if top else c.wall)
        if top and c.chips_dark and self.damage.chips:
            tone = np.where(into_chips(x, y, self.damage.chips) > 0.0, 0.2 * tone, tone)
        return tone[:, None] * np.array([1.02, 1.0, 0.97])

    def ground(self, looks: np.ndarray) -> np.ndarray:
        """Table, card or sheet without the part."""
        c = self.c
        x, y = self.camera.meets(looks, 0.0)
        grain = 1.0 + 0.06 * _noise(self.surface.coarse, (y + 0.3 * x) / 6.0, x / 60.0)
        out = (decoded(c.table, c.gamma) * grain)[:, None] * np.array([1.1, 1.0, 0.8])
        pose, _, z = self.reference
        own = pose.own(*self.camera.meets(looks, z))
        on = _on_reference(c, *own)
        tint = np.array([0.75, 0.95, 1.6]) if c.reference == "card" else np.ones(3)
        if c.card_wall:
            out[_on_reference(c, *pose.own(x, y))] = 0.7 * decoded(c.reference_level, c.gamma) * tint
        out[on] = decoded(c.reference_level, c.gamma) * tint
        if c.reference == "card":  # a chip and lines of print, well within the rim
            for x0, x1, y0, y1, level in ((-30, -18, 4, 14, 170), (-32, -20, -20, -17, 225), (-14, 20, -20, -17, 225)):
                print_ = (own[0] > x0) & (own[0] < x1) & (own[1] > y0) & (own[1] < y1)
                out[print_] = decoded(level, c.gamma)
        return out

    def shade(self, u: np.ndarray, v: np.ndarray) -> np.ndarray:
        """Share of the light that arrives on the table beside the part."""
        c = self.c
        x, y = self.pose.own(*self.camera.meets(self.camera.looks(u, v), 0.0))
        a = math.radians(c.light_deg - c.pose[2] + 180.0)
        run = np.min([ray(s, x, y, math.cos(a), math.sin(a)) for s in self.part.edges()], axis=0)
        return 1.0 - c.shadow_depth * np.clip(1.0 - run / c.shadow_len, 0.0, 1.0)


def _on_reference(c: PhotoConditions, x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Which places of the card or sheet, from its middle, lie on it."""
    width, height, radius, _ = CARD if c.reference == "card" else A4
    x, y = np.abs(x) - width / 2 + radius, np.abs(y) - height / 2 + radius
    return np.where((x > 0) & (y > 0), np.hypot(x, y) < radius, np.maximum(x, y) < radius)


def framed(c: PhotoConditions, part: Part) -> Camera:
    """The camera from as near as the frame allows."""
    focal = c.focal_35mm * c.width / 36.0
    scene = Scene(part, c, Camera(np.eye(3), np.zeros(3), focal, c.k1, c.width, c.height), _NO_SURFACE)
    where, rim, z = scene.reference
    share = np.linspace(0, 1, 12)
    points = np.vstack(
        [where.world(s.points(share), z) for s in rim] + [scene.pose.world(s.points(share), 0.0) for s in part.edges()]
    )
    target = tuple((points.min(axis=0) + points.max(axis=0))[:2] / 2)
    distance = 120.0
    while True:
        camera = Camera(*stand(target, c.tilt, c.azimuth, c.roll, distance), focal, c.k1, c.width, c.height)
        seen = camera.pixel(points)
        if (seen > 0.05 * c.height).all() and (seen < np.array([c.width, c.height]) - 0.05 * c.height).all():
            return camera
        distance += 2.0


_NO_SURFACE = Surface(*(np.zeros((2, 2), np.float32) for _ in range(4)))


@dataclass(frozen=True)
class Masks:
    """Pixels by what is in them: an edge, the shadow or what it may reach, the top face, any of the part."""

    crossed: np.ndarray
    dim: np.ndarray
    top: np.ndarray
    any: np.ndarray


def masks_of(scene: Scene) -> Masks:
    c, camera, pose = scene.c, scene.camera, scene.pose
    size = (c.width, c.height)
    crossed, dim, top, anywhere = (Image.new("1", size, 0) for _ in range(4))
    wide = 2 * math.ceil(1.3 * c.shadow_len * camera.focal / camera.centre[2]) + 9

    def path(s: Segment, where: Pose, z: float, n: int) -> list[tuple[float, ...]]:
        return [tuple(p) for p in camera.pixel(where.world(s.points(np.linspace(0, 1, n)), z))]

    edges, outer = scene.part.edges(), len(scene.part.outer)
    for z in (c.thickness, 0.5 * c.thickness, 0.0):
        paths = [path(s, pose, z, 60) for s in edges]
        for p in paths:
            if z != 0.5 * c.thickness:
                ImageDraw.Draw(crossed).line(p, fill=1, width=7)
            ImageDraw.Draw(dim).line(p, fill=1, width=wide)
        ImageDraw.Draw(anywhere).polygon([q for p in paths[:outer] for q in p], fill=1)
        if z == c.thickness:
            ImageDraw.Draw(top).polygon([q for p in paths[:outer] for q in p], fill=1)
            start = outer
            for n in [*(len(loop) for loop in scene.part.inner), *(1 for _ in scene.part.circles)]:
                ImageDraw.Draw(top).polygon([q for p in paths[start : start + n] for q in p], fill=0)
                start += n
    hurt = scene.damage
    around = [(x, y, r + 0.2) for x, y, r in hurt.chips] + [(x, y, 3.0 * w) for x, y, _, w in hurt.burrs]
    for z in (c.thickness, 0.0):
        for x, y, r in around:
            disc = path(full_circle(x, y, 2.0 * r), pose, z, 40)
            for sheet in (crossed, dim):
                ImageDraw.Draw(sheet).polygon(disc, fill=1)
    where, rim, z = scene.reference
    for s in rim:
        ImageDraw.Draw(crossed).line(path(s, where, z, 40), fill=1, width=7)
    return Masks(*(np.array(m) for m in (crossed, dim, top, anywhere)))


def band_of(scene: Scene, masks: Masks, rows: slice) -> np.ndarray:
    """Light of some rows, (rows, columns, 3)."""
    c, camera = scene.c, scene.camera
    crossed, dim, top, anywhere = (m[rows].ravel() for m in (masks.crossed, masks.dim, masks.top, masks.any))
    v, u = (g.ravel().astype(float) for g in np.mgrid[rows, 0 : c.width])
    looks = camera.looks(u, v)
    band = scene.ground(looks)
    plain = np.flatnonzero(dim & ~top & ~crossed)
    band[plain] *= scene.shade(u[plain], v[plain])[:, None]
    face = np.flatnonzero(top & ~crossed)
    band[face] = scene.metal(*scene.pose.own(*camera.meets(looks[face], c.thickness)), top=True)
    walls = np.flatnonzero(anywhere & ~top & ~crossed)  # and openings
    if len(walls):
        band[walls] = scene.colours(u[walls], v[walls], scene.shade(u[walls], v[walls]))
    fine = (np.arange(FINE) + 0.5) / FINE - 0.5
    for at, shaded in ((np.flatnonzero(crossed & dim), True), (np.flatnonzero(crossed & ~dim), False)):
        if not len(at):
            continue
        uu = (u[at, None, None] + fine[None, None, :] + 0 * fine[None, :, None]).ravel()
        vv = (v[at, None, None] + fine[None, :, None] + 0 * fine[None, None, :]).ravel()
        lit = scene.shade(uu, vv) if shaded else None  # else an edge of the card or sheet, far from the part
        seen = scene.ground(camera.looks(uu, vv)) if lit is None else scene.colours(uu, vv, lit)
        band[at] = seen.reshape(len(at), FINE * FINE, 3).mean(axis=1)
    return band.reshape(-1, c.width, 3)


def photo_levels(scene: Scene, rng: np.random.Generator) -> np.ndarray:
    """The finished picture, (rows, columns, 3), 0 to 255."""
    c, masks = scene.c, masks_of(scene)
    fall = rng.uniform(-0.5, 0.5, 2)
    light = np.empty((c.height, c.width, 3), np.float32)
    for first in range(0, c.height, 200):
        rows = slice(first, min(first + 200, c.height))
        light[rows] = band_of(scene, masks, rows)
    for channel in range(3):
        light[:, :, channel] = gaussian_filter(light[:, :, channel], c.blur)
    u, v = np.linspace(-1, 1, c.width)[None, :, None], np.linspace(-1, 1, c.height)[:, None, None]
    light *= (1.0 + c.uneven * (fall[0] * u + fall[1] * v - 0.3 * (u * u + v * v))).astype(np.float32)
    levels = encoded(light, c.gamma) + rng.standard_normal(light.shape, np.float32) * np.float32(c.noise)
    return np.clip(np.rint(levels), 0, 255).astype(np.uint8)


def render_photo(part: Part, c: PhotoConditions, seed: int) -> tuple[bytes, dict[str, Any], dict[str, Any]]:
    """Photograph ``part``; return the JPEG file, its truth and the caliper readings, thickness last."""
    rng = np.random.default_rng([seed, 77])
    camera = framed(c, part)
    own = np.random.default_rng([seed, 78])
    spoilt = [on_outline(part, c, own), in_openings(part, c, own)]
    damage = Damage(*(a + b for a, b in zip(*spoilt, strict=True)), [])
    scene = Scene(part, c, camera, surface_of(rng), damage)
    typed, true = caliper_of(part, c, PartBed(camera, scene.pose, c.thickness), rng)  # type: ignore[arg-type]
    measured = round(round((c.thickness + rng.normal(0, c.sigma)) / c.resolution) * c.resolution, 4)
    name = f"m{len(true) + 1}"
    typed["readings"].append({"id": name, "kind": "thickness", "value": measured})
    true.append({"id": name, "kind": "thickness", "true": c.thickness, "reading": measured})
    image = Image.fromarray(photo_levels(scene, rng))
    out, tags = io.BytesIO(), Image.Exif()
    if c.exif:
        tags.get_ifd(0x8769)[0xA405] = round(c.focal_35mm)
    image.save(out, "JPEG", quality=c.quality, exif=tags)
    return out.getvalue(), _truth(scene, true), typed


def _truth(scene: Scene, caliper: list[dict[str, Any]]) -> dict[str, Any]:
    part, c, camera = scene.part, scene.c, scene.camera
    width, height, radius, z = CARD if c.reference == "card" else A4
    hurt = {k: v for k, v in vars(c).items() if k not in ("readings", "sigma", "resolution", "mistyped")}
    return {
        "format": "trace-truth/1", "case": f"{part.name}-photo-{c.reference}", "part": part.name, "units": "mm",
        "y_axis": "up", "outer": [list(v) for v in part.outer], "joins": part.joins,
        "inner": [[list(v) for v in loop] for loop in part.inner],
        "circles": [{"id": n, "x": x, "y": y, "d": d} for n, x, y, d in part.circles],
        "symmetry": [{"point": list(p), "direction": list(d)} for p, d in part.axes], "primitives": part.counts(),
        "image": {
            "kind": "photo", "width": c.width, "height": c.height,
            "reference": {"kind": "A4" if c.reference == "a4" else "ISO/IEC 7810 ID-1", "size_mm": [width, height],
                          "corner_radius_mm": radius, "plane_z_mm": z, "pose_xy_deg": list(c.reference_pose)},
            "part": {"thickness_mm": c.thickness, "plane_top_z_mm": c.thickness, "pose_xy_deg": list(c.pose)},
            "camera": {"f_px": camera.focal, "principal_point": camera.middle.tolist(), "k1": c.k1,
                       "model": "x_d = x_u*(1+k1*r_u^2), normalised", "R_world_to_cam": camera.turn.tolist(),
                       "centre_mm": camera.centre.tolist(), "tilt_deg": c.tilt},
            "pixel_convention": "(0,0) is the centre of the top left pixel, y down; world z up, base plane z=0",
            "file": "image.jpg", "metadata_dpi": None,
        },
        "imperfections": {**hurt, **scene.damage.told()},
        "caliper": caliper,
    }  # fmt: skip
