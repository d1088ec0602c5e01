"""A superellipse, |x/a|ⁿ + |y/b|ⁿ = 1: of given size anywhere, or the smallest one round an original.

The smallest is that of least area. With u = a⁻ⁿ and v = b⁻ⁿ every point (x, y) to be enclosed demands
|x|ⁿ u + |y|ⁿ v ≤ 1, and the area falls as u·v grows: u·v is unimodal along the edge of that convex set, so a golden
section finds the best.
"""

from __future__ import annotations

from math import atan2

import numpy as np
from numpy.typing import NDArray

from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline import fit
from generator.outline.carrier import tangents
from generator.outline.contour import Contour, Point
from generator.outline.create import circle
from generator.outline.measure import bounds, signed_area
from generator.outline.predicates import corner_angles
from generator.outline.region import Region
from generator.shapes.shape import Context, Shape, up

SAG_MM = 1e-3
"""Points along the margin's outline stand so close that arcs bulge no more than this between them."""
SPARE_MM = MODEL.fit_mm + SAG_MM + MODEL.model_mm
"""Added to the margin, so that fitted arcs, sampling and the model's tolerance cannot eat into the wall."""


@frozen_record(kw_only=True)
class Superellipse:
    """Between ellipse (exponent 2) and rectangle; as an outer shape its size may follow from the margin."""

    exponent: float = f.number(
        "2 is an ellipse; the larger, the nearer to a rectangle.",
        default=2.5,
        at_least=2,
        at_most=20,
        example=3,
    )
    half_width: float | None = f.length(
        "Half of the width along x; without it (outer shape only), as small as the margin allows.",
        default=None,
        above=0,
        at_most=2000,
        example=55,
    )
    half_height: float | None = f.length(
        "Half of the height along y; without it (outer shape only), as small as the margin allows.",
        default=None,
        above=0,
        at_most=2000,
        example=35,
    )
    margin: float | None = f.length(
        "Least wall round the bottom pocket and every bolt seat (outer shape only).",
        default=None,
        above=0,
        at_most=500,
        example=6,
    )
    centre: tuple[float, float] | None = f.point(
        "Centre; without it, the middle of the box round the bottom pocket, or the origin if there is no pocket.",
        default=None,
        example=[0, 0],
    )


def draw(params: Superellipse, context: Context) -> Region:
    """Return the superellipse, made of tangent arcs that stay within 2 µm of it.

    Raises: GeometryError: a size is missing, or too small for the margin; says the smallest that will do.
    """
    if context.pocket is None or params.margin is None:
        return _given(params)
    inner = [c for c in context.pocket if signed_area(c) > 0.0] + [circle(at, radius) for at, radius in context.seats]
    if not inner:
        raise GeometryError("there is nothing to enclose")
    centre = params.centre if params.centre is not None else bounds(Region(tuple(inner))).centre
    points = _points(inner, params.margin, centre)
    a, b = _sizes(params, points)
    return Region.of([fit.superellipse(centre, a, b, params.exponent)])


def _given(params: Superellipse) -> Region:
    if params.half_width is None or params.half_height is None:
        raise GeometryError(
            "its size is missing: give `half_width` and `half_height`; or, as a cover's outer shape, a `margin`"
        )
    return Region.of(
        [fit.superellipse(params.centre or (0.0, 0.0), params.half_width, params.half_height, params.exponent)]
    )


def _points(inner: list[Contour], margin: float, centre: tuple[float, float]) -> NDArray[np.float64]:
    """Return points (relative to the centre, first quadrant) that the superellipse must enclose.

    They lie on what grows out of the convex arcs and corners: a convex outline round those goes round all the rest.
    Of two points the one that lies farther out both ways speaks for the other.
    """
    runs = [_grown(contour, margin + SPARE_MM) for contour in inner]
    points: NDArray[np.float64] = np.abs(np.concatenate(runs) - np.array(centre))
    points = points[np.lexsort((-points[:, 1], -points[:, 0]))]
    highest = np.maximum.accumulate(points[:, 1])
    return points[np.concatenate(([True], points[1:, 1] > highest[:-1]))]


def _grown(contour: Contour, by_mm: float) -> NDArray[np.float64]:
    """Return points on the arcs that grow out of a contour's convex arcs and corners."""
    runs: list[NDArray[np.float64]] = []
    for segment, turn in zip(contour.segments(), corner_angles(contour).tolist(), strict=True):
        u = tangents(segment)[0]
        first = atan2(-u.x, u.y)
        runs.append(_arc(segment.start, by_mm, first - max(turn, 0.0), max(turn, 0.0)))
        if segment.bulge > 0.0:
            runs.append(_arc(segment.centre, segment.radius_mm + by_mm, first, segment.sweep))
    return np.concatenate(runs)


def _arc(centre: Point, radius: float, first: float, sweep: float) -> NDArray[np.float64]:
    """Return points on an arc, so close together that it bulges no more than ``SAG_MM`` between them."""
    angles = first + np.linspace(0.0, sweep, 2 + int(sweep / (8.0 * SAG_MM / radius) ** 0.5))
    return np.column_stack([centre.x + radius * np.cos(angles), centre.y + radius * np.sin(angles)])


def _sizes(params: Superellipse, points: NDArray[np.float64]) -> tuple[float, float]:
    """Return both half axes, the missing ones as small as the points allow.

    Raises: GeometryError: the given ones are too small.
    """
    n = params.exponent
    if params.half_width is not None and params.half_height is not None:
        least = _least(points[:, 0], points[:, 1] / params.half_height, n)
        if least is None or least > params.half_width:
            raise GeometryError(_remedy(params, points, least))
        return params.half_width, params.half_height
    if params.half_width is not None:
        return params.half_width, _other(params, "half_width", points[:, 0], points[:, 1], params.half_width)
    if params.half_height is not None:
        return _other(params, "half_height", points[:, 1], points[:, 0], params.half_height), params.half_height
    return _smallest(points, n)


def _least(free: NDArray[np.float64], taken: NDArray[np.float64], n: float) -> float | None:
    """Return the least half axis when the other one uses up ``taken`` (share) of each point; None if none is enough."""
    if taken.max() >= 1.0:
        return None
    return float((free / (1.0 - taken**n) ** (1.0 / n)).max())


def _other(
    params: Superellipse, name: str, along: NDArray[np.float64], across: NDArray[np.float64], size: float
) -> float:
    least = _least(across, along / size, params.exponent)
    if least is None:
        raise GeometryError(
            f"{name} {size:g} is too small for a margin of {params.margin:g}; {name}: at least "
            f"{up(float(along.max()) + 0.01)} mm, more for a reasonable height and width"
        )
    return least


def _remedy(params: Superellipse, points: NDArray[np.float64], width: float | None) -> str:
    assert params.half_width is not None
    assert params.half_height is not None
    height = _least(points[:, 1], points[:, 0] / params.half_width, params.exponent)
    ways = [f"half_width: at least {up(width)} mm"] if width is not None else []
    ways += [f"half_height: at least {up(height)} mm"] if height is not None else []
    if not ways:
        k = _scale(points, params.half_width, params.half_height, params.exponent)
        ways = [
            f"half_width: at least {up(k * params.half_width)} mm and "
            f"half_height: at least {up(k * params.half_height)} mm"
        ]
    return f"too small to leave a wall of {params.margin:g} all round; {', or '.join(ways)}"


def _scale(points: NDArray[np.float64], a: float, b: float, n: float) -> float:
    """Return by how much both half axes must grow together."""
    share = float(((points[:, 0] / a) ** n + (points[:, 1] / b) ** n).max())
    return float(share ** (1.0 / n))


def _smallest(points: NDArray[np.float64], n: float) -> tuple[float, float]:
    """Return the half axes of least area that enclose the points."""
    size = points.max(axis=0)
    if min(size) <= 0.0:
        raise GeometryError("there is nothing to enclose")
    xn, yn = (points[:, 0] / size[0]) ** n, (points[:, 1] / size[1]) ** n

    def v_of(u: float) -> float:
        return float(((1.0 - xn * u)[yn > 0.0] / yn[yn > 0.0]).min())

    low, high = 0.0, 1.0
    golden = (5.0**0.5 - 1.0) / 2.0
    for _ in range(80):
        left, right = high - golden * (high - low), low + golden * (high - low)
        if left * v_of(left) < right * v_of(right):
            low = left
        else:
            high = right
    u = (low + high) / 2.0
    return float(size[0] * u ** (-1.0 / n)), float(size[1] * v_of(u) ** (-1.0 / n))


SHAPE = Shape(
    "superellipse",
    Superellipse,
    draw,
    "Between ellipse and rectangle; of given size, or the smallest round an original.",
)
