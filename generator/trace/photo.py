"""From a photo and readings to a traced part: the camera from a card or sheet, edges on the plane that each lies on.

A plate shows its top edge where the outward normal points away from the camera's foot point, its bottom edge where it
points towards it; in holes likewise. So every point of an edge is projected back onto its own plane, top or bottom.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.trace.bias import Bias, widened
from generator.trace.camera import USUAL_FOCAL_SD, Camera, Stand, focal_known
from generator.trace.cropped import AXIS_SD, looks_cropped, off_axis
from generator.trace.disputes import settled
from generator.trace.edge_model import Look
from generator.trace.edge_points import Ground
from generator.trace.found_reference import LEAST_SIGMA_PX, reference_in
from generator.trace.naming import Framing, measured_by
from generator.trace.notes import Notes
from generator.trace.other_height import height_words, not_blamed, other_height
from generator.trace.picture import Picture
from generator.trace.planes import Flags, faces_of
from generator.trace.readings import Caliper
from generator.trace.reference import A4, SHAPES, Quad, Shape, closer, things_on
from generator.trace.relating import Readings, Solved
from generator.trace.runs import Row
from generator.trace.solving import solve
from generator.trace.surround import Coarse, shoelace
from generator.trace.tracing import Seen, Traced, number_of
from generator.trace.unknowns import Known
from generator.trace.walls import pooled_of, stretches_of
from generator.trace.windows import Stretches
from generator.trace.wishes import NO_WISHES, Wishes

Floats = NDArray[np.float64]

FOCAL_AWAY: Final = 0.05
"""Two and a half standard deviations of what a file tells."""
LEAST_OPEN: Final = 0.0003
"""Less doubt of the scale is not worth a word."""
MOST_OF_HEIGHT: Final = 0.3
"""A thickness beyond this share of the camera's height is a slip."""
BLURRED_PX: Final = 0.4
"""Of the blur: so far a point beside a hollow's change from face to face may be off."""
LOW_SD_MM: Final = 0.02
"""By how much more edges on the table may be seen too far out than edges above it: shadow, walls."""
FOOT_SD: Final = 0.15
"""Height of what is seen as the wall's foot, as a share of the thickness: the lower edge is broken, light creeps under
it."""
THICKNESS_SD_MM: Final = 0.02
EVEN_PX: Final = 0.05
"""Standard deviation of what whole edges are seen off; the radii of twelve simulated photos are likeliest with 0.07,
with 0.03 if the worst photo is left out."""
KNOWN: Final = Known(scale=0.0003, skew=0.0002, aspect=0.0002, outside_mm=0.025, alike_mm=0.006, uneven_mm=0.003)
"""The camera's own unknowns are fitted with the part; the affine rest is what a lens has beyond one radial term."""


@frozen_record(eq=False)
class PhotoFrame:
    """How pixels become mm on the part's top face."""

    camera: Camera
    thickness: float
    middle: tuple[float, float]

    def nominal(self, point: tuple[float, float]) -> Floats:
        """Return where a pixel lies on the top face, mm."""
        at: Floats = self.camera.meets(np.array([point], dtype=np.float64), self.thickness)[0]
        return at

    def direction(self, direction_deg: float, near: Sequence[tuple[float, float]]) -> float:
        """Return a direction in the picture at some pixels (at the part's middle, if none) on the top face, rad."""
        at = np.mean(near, axis=0) if len(near) else np.array(self.middle)
        a = np.radians(direction_deg)
        step = 2.0 * np.array([np.cos(a), np.sin(a)])
        behind, ahead = self.camera.meets(np.array([at - step, at + step]), self.thickness)
        return float(np.arctan2(ahead[1] - behind[1], ahead[0] - behind[0]))

    def pixel(self, points: Floats) -> Floats:
        """Return the pixels of points of the top face, mm."""
        return self.camera.pixel(np.column_stack([points, np.full(len(points), self.thickness)]))


@frozen_record(eq=False)
class SeenByCamera(Seen):
    """One photo with the part found in it.

    Attributes:
        shape: the reference.
        quad: its sides in the picture.
        stand: the camera as the reference tells it.
        camera: the same, at its likeliest.
        thickness: of the part, mm.
        walled: the camera if walls are seen below the reference's rim, where that is left open.
        moved: cameras whose axis is off by a share of its standard deviation, where the photo was cropped.
    """

    shape: Shape
    quad: Quad
    stand: Stand
    camera: Camera
    thickness: float
    walled: Stand | None = None
    moved: tuple[tuple[Stand, float], ...] = ()

    @property
    def frame(self) -> Framing:
        """Return how its pixels become mm."""
        u, v = self.part.outer.mean(axis=0)
        return PhotoFrame(self.camera, self.thickness, (float(u), float(v)))

    def rows(self) -> list[Row]:
        """Return the edges' places in mm, y up, each on its own plane."""
        lain = [self._lie(s.points, s.normals) for s in self.loops]
        rows = []
        for i, (s, on) in enumerate(zip(self.loops, lain, strict=True)):
            sigma = np.hypot(np.maximum(s.sigma_px, LEAST_SIGMA_PX) * on.size, on.unsure)
            k = on.kept
            rows.append(Row(on.at[k], on.normals[k], sigma[k], i, on.modes[k]))
        return _settled(rows)

    def _lie(self, points: Floats, normals: Floats) -> _Lain:
        camera, t = self.camera, self.thickness
        halfway, ahead = camera.meets(points, 0.5 * t), camera.meets(points + normals, 0.5 * t)
        normal = ahead - halfway
        size = np.hypot(normal[:, 0], normal[:, 1])
        normal /= size[:, None]
        top, kept, blurred = faces_of(halfway, normal, camera.centre[:2], t / float(camera.centre[2]))
        z = np.where(top, t, 0.0)
        at = camera.meets(points, z)
        modes = [other.meets(points, z) - at for other in self.stand.varied()]
        if self.walled is not None:
            modes.append(self.walled.camera.meets(points, z) - at)
        modes += [(moved.camera.meets(points, z) - at) / share for moved, share in self.moved]
        modes.append(camera.meets(points, np.where(top, t + THICKNESS_SD_MM, 0.0)) - at)
        modes.append(camera.meets(points, np.where(top, t, FOOT_SD * t)) - at)
        modes.append(np.where(top, 0.0, LOW_SD_MM)[:, None] * normal)
        unsure = np.where(blurred, BLURRED_PX * self.look.blur_px * size, 0.0)
        return _Lain(at, normal, size, np.stack(modes, axis=2), kept, unsure)


@frozen_record(eq=False)
class _Lain:
    """Points of an edge on the table's or the top face's plane, mm; size: mm of a pixel across the edge; kept: those
    that are on either.
    """

    at: Floats
    normals: Floats
    size: Floats
    modes: Floats
    kept: Flags
    unsure: Floats


def _settled(rows: list[Row]) -> list[Row]:
    """Return rows whose modes only bend the part: what moves or turns it as a whole is taken out."""
    at = np.vstack([r.points for r in rows])
    modes = np.vstack([r.modes for r in rows if r.modes is not None])
    about = at - at.mean(axis=0)
    n = len(at)
    rigid = np.zeros((2 * n, 3))
    rigid[:n, 0] = rigid[n:, 1] = 1.0
    rigid[:n, 2], rigid[n:, 2] = -about[:, 1], about[:, 0]
    flat = np.vstack([modes[:, 0], modes[:, 1]])
    flat = flat - rigid @ np.linalg.lstsq(rigid, flat, rcond=None)[0]
    bent = np.stack([flat[:n], flat[n:]], axis=1)
    ends = np.cumsum([len(r.points) for r in rows])[:-1]
    return [replace(r, modes=m) for r, m in zip(rows, np.split(bent, ends), strict=True)]


def trace_photo(
    picture: Picture,
    caliper: Caliper,
    *,
    reference: str,
    thickness: float | None = None,
    part: int | None = None,
    wishes: Wishes = NO_WISHES,
) -> Traced:
    """Return the part that a photo shows beside a bank card or on a sheet of A4.

    Args:
        picture: the photo, whole as the camera took it: the lens's axis is taken to be its middle.
        caliper: the readings.
        reference: ``card`` or ``a4``.
        thickness: of the part, mm; None to take it from the readings.
        part: which part of the picture is meant, 1 for the largest; None for that, and further ones are told.
        wishes: relations that are demanded or forbidden.

    Raises: GeometryError: there is no reference, or two that contradict each other; no part, or not wholly in the
        picture; no thickness, or one that cannot be.
    """
    shape = SHAPES[reference]
    t = thickness if thickness is not None else caliper.thickness()
    notes = Notes()
    for r in picture.remarks:
        notes.remark(picture.name, r)
    things, even = things_on(picture.light)
    used = reference_in(picture, things, even, shape)
    quad, stand = used.quad, used.stand
    moved: tuple[tuple[Stand, float], ...] = ()
    h, w = picture.light.shape
    if looks_cropped(w, h):
        focal = focal_known(picture.focal_35mm, w, h)[0]
        stand, moved = off_axis(stand, used.sides, shape, (focal, USUAL_FOCAL_SD), max(w, h))
        notes.warn(
            picture.name,
            f"{w} × {h} pixels are no camera's form, so it was probably cropped: where the lens's axis meets it is not "
            f"known to better than {AXIS_SD * max(w, h):.0f} px, and all lengths are less certain for that; give the "
            "photo whole",
        )
    camera = stand.camera
    coarse = closer(_chosen(picture, used.things, part, shape, notes, caliper), used.even)
    if t is None:
        raise GeometryError(f"{picture.name}: {_parallax(camera, coarse)}")
    if t > MOST_OF_HEIGHT * camera.centre[2]:
        raise GeometryError(
            f"{picture.name}: a thickness of {t:g} mm does not go with a camera {camera.centre[2]:.0f} mm above the "
            "table; read it again, or take the photo from farther away"
        )
    for r in (*used.remarks, *_told(picture, stand, shape, t)):
        notes.remark(picture.name, r)
    size = _mm_per_px(camera, coarse, t)
    if used.walled is not None:
        share = abs(_mm_per_px(used.walled.camera, coarse, t) / size - 1.0)
        if share > LEAST_OPEN:
            notes.remark(
                picture.name,
                f"whether the {shape.name}'s own wall, {shape.height_mm:.2f} mm high, is seen below "
                f"its rim cannot be told: by {100.0 * share:.2f} % the scale is less certain for that; hold the camera "
                "squarer above it, or take a reading across the part",
            )
    loops, blur = _edges(used.even, coarse, camera, t, size)
    seen = SeenByCamera(
        picture, coarse, tuple(loops), Look(blur), (size, size), shape, quad, stand, camera, t, used.walled, moved
    )
    readings = measured_by(caliper, seen.frame)
    solved = solve([seen.rows()], readings, KNOWN, wishes)
    wide = widened(solved.layout, solved.found, [Bias(EVEN_PX * size, 0.0, 0.0)])
    solved, disputes = settled(solved, KNOWN, readings, wide)
    solved = _by_height(seen, solved, readings, notes)
    return Traced((seen,), solved, caliper, tuple(notes.remarks), tuple(notes.warnings), disputes)


def _by_height(seen: SeenByCamera, solved: Solved, readings: Readings, notes: Notes) -> Solved:
    """Return the part with its readings not blamed where all of them ask for another height of the reference."""
    away = float(seen.camera.centre[2]) - seen.thickness
    lifted = other_height(solved, readings(solved.layout, solved.found.x), KNOWN, away)
    if lifted is None:
        return solved
    notes.warn(seen.picture.name, height_words(lifted, seen.shape.name, seen.shape.height_mm, seen.thickness))
    return not_blamed(solved, seen.shape.name)


def _edges(
    even: NDArray[np.float32], part: Coarse, camera: Camera, t: float, size: float
) -> tuple[list[Stretches], float]:
    """Return the places of a part's edges and the blur, px: walls are as wide as camera and thickness say."""
    pooled = pooled_of(Ground(even, part.rows, part.columns), part, 1.0 / size)
    return stretches_of(pooled, [_wall_px(camera, p.points, p.normals, t) for p in pooled])


def _wall_px(camera: Camera, points: Floats, normals: Floats, t: float) -> Floats:
    """Return how wide the wall looks at points of the edge on the table, px; 0 where the top hides it."""
    below = camera.meets(points, 0.0)
    above = camera.pixel(np.column_stack([below, np.full(len(below), t)]))
    wide: Floats = np.maximum(((points - above) * normals).sum(axis=1), 0.0)
    return wide


def _chosen(
    picture: Picture, things: Sequence[Coarse], part: int | None, shape: Shape, notes: Notes, caliper: Caliper
) -> Coarse:
    """Return the part that is meant.

    Raises: GeometryError: there is none, or it is not wholly in the picture.
    """
    where = "on the sheet" if shape is A4 else "beside the card"
    if not things:
        raise GeometryError(f"{picture.name}: there is no part {where}")
    number = number_of(picture.name, things, part, notes, caliper, f" {where}")
    if things[number - 1].cropped:
        raise GeometryError(f"{picture.name}: the part is not wholly in the picture; step back and take it again")
    return things[number - 1]


def _mm_per_px(camera: Camera, part: Coarse, z: float) -> float:
    """Return the mean size of a pixel at a part, mm."""
    at = camera.meets(part.outer, z)
    return float(np.sqrt(abs(shoelace(at)) / abs(shoelace(part.outer))))


def _parallax(camera: Camera, part: Coarse) -> str:
    """Return a sentence that asks for the thickness and says what its absence would cost."""
    far = float(np.hypot(*(camera.meets(part.outer, 0.0) - camera.centre[:2]).T).max())
    height = float(camera.centre[2])
    return (
        "the part's thickness is not known: give a reading of the kind thickness. The upper edge of a plate of "
        f"thickness t is seen off by t / H × its distance from the point below the camera: here 1 mm / {height:.0f} mm "
        f"× {far:.0f} mm = {far / height:.2f} mm for every millimetre"
    )


def _told(picture: Picture, stand: Stand, shape: Shape, t: float) -> list[str]:
    """Return sentences on planes that differ, and on a camera that is not as the file says."""
    out = []
    camera = stand.camera
    rise = abs(t - shape.height_mm)
    tilt = float(np.degrees(np.arccos(np.clip(-camera.turn[2, 2], -1.0, 1.0))))
    if rise > 0.1:
        out.append(
            f"the {shape.name} is taken to lie on the table beside the part, its face {shape.height_mm:.2f} mm above "
            f"it: the part's top lies {rise:.2f} mm off the plane of the {shape.name}. Taken to be in one plane, it "
            f"would be wrong by {100.0 * rise / camera.centre[2]:.2f} % (height / distance of the camera, "
            f"{camera.centre[2]:.0f} mm); both planes are reckoned with"
        )
    h, w = picture.light.shape
    told = focal_known(picture.focal_35mm, w, h)[0]
    away = float(camera.focal_px) / told - 1.0
    if picture.focal_35mm is not None and abs(away) > FOCAL_AWAY:
        out.append(
            f"the lens looks {100.0 * abs(away):.0f} % {'longer' if away > 0.0 else 'shorter'} than "
            "the file says: the photo was cropped or scaled by a zoom; give it whole"
        )
    if tilt > 15.0:
        out.append(f"the camera was held {tilt:.0f}° off square; under 15° edges are found better")
    return out
