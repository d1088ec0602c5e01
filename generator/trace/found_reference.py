"""Which things in a photo are a card or a sheet, which of them tells the scale, and how well the others agree."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.trace.camera import USUAL_FOCAL_SD, Camera, Sides, Stand, first_guess, focal_known, stand_from
from generator.trace.edge_points import Ground
from generator.trace.picture import Picture
from generator.trace.reference import A4, CARD, SHAPES, Quad, Shape, quad_of, things_on
from generator.trace.surround import Coarse, shoelace
from generator.trace.walls import pooled_of, stretches_of

Floats = NDArray[np.float64]
Image = NDArray[np.float32]

WORST_MM: Final = 0.020
"""A rectangle whose sides fit worse is no reference (root mean square; those that fit reach 0.003 to 0.007)."""
ALIKE_MM: Final = 0.12
"""A quadrilateral whose sides fit worse than this is another thing; between the two it is a reference that is hurt."""
ROUND_MM: Final = 0.4
ROUND_PX: Final = 2.5
"""By how much the outline may pass a corner of the sides nearer or farther than a reference's: wear, and blur."""
LEAST_SIGMA_PX: Final = 0.02
APART: Final = 0.008
"""Two references whose sizes differ by more than this share contradict each other: a card's limits are 0.15 %, a camera
that one card tells is wrong by some 0.2 % at the picture's other end (measured on simulated photos)."""
UNLIKE: Final = 0.1
"""What differs by more is only alike in form."""
WALL_GAIN: Final = 9.0
"""Chi-square that a wall seen below a card's rim must save."""
STANDARD: Final = {CARD.name: "ISO/IEC 7810", A4.name: "ISO 216"}


@frozen_record(eq=False)
class Candidate:
    """A thing that looks like a reference.

    Attributes:
        shape: which one.
        quad: its sides, coarsely.
        sides: points on them.
        stand: the camera that it tells.
        walled: the camera if walls are seen below its rim and cannot be told from it; None where they can.
    """

    shape: Shape
    quad: Quad
    sides: Sides
    stand: Stand
    walled: Stand | None

    @property
    def where(self) -> str:
        """Return words on where it lies in the picture."""
        u, v = self.quad.corners.mean(axis=0)
        return f"the one round pixel ({u:.0f}, {v:.0f})"

    def size_by(self, camera: Camera) -> tuple[float, float]:
        """Return its long and short side as a camera sees them, mm."""
        at = camera.meets(self.sides.pixels, self.shape.height_mm)
        of = self.sides.of
        ends = [at[of == i].mean(axis=0) for i in range(4)]
        along = ends[1] - ends[3]
        along /= np.hypot(*along)
        # both ways round: the mean direction of the long sides is more certain than that of their middles
        turns = [np.linalg.svd(at[of == i] - ends[i], full_matrices=False)[2][0] for i in (0, 2)]
        d = sum((t * np.sign(t @ along) for t in turns), np.zeros(2))
        d /= np.hypot(*d)
        across = np.array([-d[1], d[0]])
        return abs(float((ends[1] - ends[3]) @ d)), abs(float((ends[2] - ends[0]) @ across))


@frozen_record(eq=False)
class Found:
    """What tells the scale of a photo.

    Attributes:
        quad: its sides in the picture.
        stand: the camera.
        walled: the camera if walls are seen below the reference's rim, where its sides leave that open; else None.
        things: what else lies where the part is, the largest first.
        even: the picture with the light made even there.
        remarks: sentences on further references and on the card's wall.
        sides: points on the reference's sides.
    """

    quad: Quad
    stand: Stand
    walled: Stand | None
    things: tuple[Coarse, ...]
    even: Image
    remarks: tuple[str, ...]
    sides: Sides


def reference_in(picture: Picture, things: Sequence[Coarse], even: Image, shape: Shape) -> Found:
    """Return the reference that was asked for, and the camera that it tells.

    Args:
        picture: the photo.
        things: what lies on the table.
        even: the picture with the table's light made even.
        shape: which reference.

    Raises: GeometryError: there is none, or another one contradicts it.
    """
    found = _candidates(picture, even, things)
    sheets = [c for c in found if c.shape is A4 and c.stand.rms_mm <= WORST_MM]
    if len(sheets) == 1 and (shape is A4 or not any(c.shape is CARD for c in found)):
        lying, light = _on_sheet(picture, sheets[0])  # the part, and perhaps a card, lie on it
        found += [c for c in _candidates(picture, light, lying) if c.shape is CARD]
        things, even = lying, light
    asked = sorted((c for c in found if c.shape is shape), key=lambda c: c.stand.rms_mm)
    if not asked or asked[0].stand.rms_mm > WORST_MM:
        raise _missing(picture.name, things, shape, asked)
    used = asked[0]
    others = [c for c in found if c is not used and c.stand.rms_mm <= WORST_MM]
    remarks = [r for r in (_agreement(picture.name, used, c) for c in others) if r]
    if any(used.sides.low):
        remarks.append(f"a wall of the {shape.name} is seen below its rim; it is told apart from the rim")
    taken = {id(c.quad.thing) for c in (used, *others)}
    rest = tuple(t for t in things if id(t) not in taken)
    return Found(used.quad, used.stand, used.walled, rest, even, tuple(remarks), used.sides)


def hint(picture: Picture) -> str:
    """Return which reference lies in a picture that was taken for a scan, as words to add; empty if there is none."""
    try:
        things, even = things_on(picture.light)
        found = [c for c in _candidates(picture, even, things) if c.stand.rms_mm <= WORST_MM]
    except GeometryError:
        return ""
    words = {A4.name: "a4", CARD.name: "card"}
    return (
        f"; a {found[0].shape.name} lies in the picture: use --reference {words[found[0].shape.name]}" if found else ""
    )


def _on_sheet(picture: Picture, sheet: Candidate) -> tuple[tuple[Coarse, ...], Image]:
    """Return what lies on a sheet, and the picture with the sheet's light made even.

    Raises: GeometryError: nothing does.
    """
    try:
        return things_on(picture.light, sheet.quad.corners)
    except GeometryError as error:
        raise GeometryError(f"{picture.name}: on the sheet, {error}") from None


def _candidates(picture: Picture, even: Image, things: Sequence[Coarse]) -> list[Candidate]:
    """Return all things that look like a reference; of two that one thing may be, the likelier."""
    out = []
    for thing in things:
        quad = None if thing.cropped else quad_of(thing)
        if quad is None:
            continue
        may_be = [c for c in (_candidate(picture, even, quad, s) for s in SHAPES.values()) if c is not None]
        if may_be:
            out.append(min(may_be, key=lambda c: c.stand.rms_mm))
    return out


def _agreement(name: str, used: Candidate, other: Candidate) -> str:
    """Return a sentence on how well another reference agrees, empty where it is none.

    Raises: GeometryError: it contradicts the one that is used.
    """
    long, short = other.size_by(used.stand.camera)
    s = other.shape
    off = max(abs(long / s.long_mm - 1.0), abs(short / s.short_mm - 1.0))
    alike = other.shape is used.shape
    if off > UNLIKE and not alike:
        return ""
    seen = f"{long:.2f} × {short:.2f} mm, by {STANDARD[s.name]} it has {s.long_mm:.2f} × {s.short_mm:.2f}"
    both = f"two of a {s.name}" if alike else f"a {used.shape.name} and a {s.name}"
    who = used.where if alike else f"the {used.shape.name}"
    it = other.where if alike else f"the {s.name}"
    if off > APART:
        raise GeometryError(
            f"{name}: {both} lie in the picture and contradict each other: by {who}, {it} has {seen}, "
            f"{100 * off:.1f} % off; take out what is no such thing, or what does not lie flat"
        )
    return f"{both} lie in the picture; {who} tells the scale, by it {it} has {seen}: they agree to {100 * off:.2f} %"


def _missing(name: str, things: Sequence[Coarse], shape: Shape, hurt: Sequence[Candidate]) -> GeometryError:
    """Return what is to be said where no reference can be used."""
    if hurt:
        return GeometryError(
            f"{name}: the sides of the {shape.name} are {1e3 * hurt[0].stand.rms_mm:.0f} µm off straight lines of its "
            f"size, at most {1e3 * WORST_MM:.0f} are allowed; it must lie flat, its rim clean, on a surface that "
            "contrasts with all of its rim"
        )
    cut = " (what touches the picture's rim does not count)" if any(x.cropped for x in things) else ""
    remedy = (
        "lay it beside the part, with some of the table all round it, or use --reference a4"
        if shape is CARD
        else "lay the part upon it, with some of a contrasting table all round the sheet, or use --reference card"
    )
    return GeometryError(f"{name}: there is no {shape.name} wholly in the picture{cut}; {remedy}")


def _candidate(picture: Picture, even: Image, quad: Quad, shape: Shape) -> Candidate | None:
    """Return a quadrilateral as a reference with the camera that sees it so, or None if it is another thing.

    Where what the file says of the lens does not fit, as after cropping, the lens is found from the sides alone.
    """
    h, w = picture.light.shape
    told, sure = focal_known(picture.focal_35mm, w, h)
    found = _seen_as(picture, even, quad, shape, (told, sure))
    if (found is None or found.stand.rms_mm > WORST_MM) and sure < USUAL_FOCAL_SD:
        again = _seen_as(picture, even, quad, shape, (told, USUAL_FOCAL_SD))
        if again is not None and again.stand.rms_mm <= WORST_MM:
            return again
    return found


def _seen_as(picture: Picture, even: Image, quad: Quad, shape: Shape, focal: tuple[float, float]) -> Candidate | None:
    """Return a quadrilateral as a reference seen by a lens known so well, or None if it is another thing."""
    h, w = picture.light.shape
    middle = np.array([(w - 1) / 2.0, (h - 1) / 2.0])
    corners = quad.corners if shoelace(quad.corners) < 0.0 else quad.corners[::-1]
    around = float(np.hypot(*(corners - np.roll(corners, 1, axis=0)).T).sum())
    size = 2.0 * (shape.long_mm + shape.short_mm) / around
    thing = replace(quad.thing, inner=())
    pooled = pooled_of(Ground(even, thing.rows, thing.columns), thing, 1.0 / size)
    loop = stretches_of(pooled, [np.zeros(len(p.points)) for p in pooled])[0][0]
    best: tuple[Sides, Stand] | None = None
    for turned in (0, 1):
        own = np.roll(corners, -turned, axis=0)
        of = _sides_of(loop.points, own)
        kept = of >= 0
        if min(np.bincount(of[kept], minlength=4)) < 8:
            continue
        sides = Sides(loop.points[kept], np.maximum(loop.sigma_px[kept], LEAST_SIGMA_PX) * size, of[kept])
        start, heading = first_guess(own, shape, focal[0], middle)
        stand = stand_from(sides, start, heading, shape, focal, middle)
        if best is None or stand.rms_mm < best[1].rms_mm:
            best = (sides, stand)
    if best is None:
        return None
    sides, stand, walled = _with_walls(*best, shape, focal)
    if stand.rms_mm > ALIKE_MM or not _round_as(stand, loop.points, shape, size):
        return None
    return Candidate(shape, quad, sides, stand, walled)


def _with_walls(
    sides: Sides, stand: Stand, shape: Shape, focal: tuple[float, float]
) -> tuple[Sides, Stand, Stand | None]:
    """Return sides and camera with walls seen below the rim, if the points speak for that, and the camera left open.

    A wall can be seen where the camera's foot point lies beyond its side; whether it is, depends on its colour.
    """
    foot = stand.camera.centre[:2]
    c, s = np.cos(stand.heading), np.sin(stand.heading)
    along, across = float(c * foot[0] + s * foot[1]), float(c * foot[1] - s * foot[0])
    x, y = shape.long_mm / 2.0, shape.short_mm / 2.0
    facing = (-across > y, along > x, across > y, -along > x)
    if shape.height_mm <= 0.0 or not any(facing):
        return sides, stand, None
    lower = replace(sides, low=facing)
    other = stand_from(lower, stand.values, stand.heading, shape, focal, stand.middle)
    if abs(other.chi2 - stand.chi2) < WALL_GAIN:
        return sides, stand, other
    return (lower, other, None) if other.chi2 < stand.chi2 else (sides, stand, None)


def _sides_of(points: Floats, corners: Floats) -> NDArray[np.int64]:
    """Return the side that each point lies on, -1 near corners and off the sides."""
    of = np.full(len(points), -1)
    for i in range(4):
        a, b = corners[i], corners[(i + 1) % 4]
        length = float(np.hypot(*(b - a)))
        d = (b - a) / length
        along, off = (points - a) @ d, (points - a) @ np.array([-d[1], d[0]])
        of[(along > 0.08 * length) & (along < 0.92 * length) & (np.abs(off) < 0.03 * length)] = i
    return of


def _round_as(stand: Stand, points: Floats, shape: Shape, mm_per_px: float) -> bool:
    """Tell whether at least three corners are as round as the reference's: how near the outline comes to them."""
    at = stand.camera.meets(points, shape.height_mm)
    c, s = np.cos(stand.heading), np.sin(stand.heading)
    own = np.abs(at @ np.array([[c, -s], [s, c]]))
    quarter = (at @ np.array([[c, -s], [s, c]]) > 0.0) @ np.array([1, 2])
    near = np.hypot(own[:, 0] - shape.long_mm / 2.0, own[:, 1] - shape.short_mm / 2.0)
    gaps = np.array([near[quarter == q].min(initial=99.0) for q in range(4)])
    wanted = (2.0**0.5 - 1.0) * shape.corner_mm
    return int((np.abs(gaps - wanted) < ROUND_MM + ROUND_PX * mm_per_px).sum()) >= 3
