"""Where two carriers meet: of two crossings the one at which the boundary turns to the right side.

Two crossings of the same directed curves always turn to opposite sides. The boundary of a union of two areas turns
right where it changes from one to the other, that of an intersection left; so the side decides between crossings
that lie arbitrarily close together, where nearness would be a guess.
"""

from __future__ import annotations

from math import hypot, sqrt
from typing import NamedTuple, TypeAlias

CarrierRow: TypeAlias = tuple[bool, float, float, float, float, float]
"""``(circle, x, y, radius, ux, uy)``."""
Spot: TypeAlias = tuple[float, float]

_PARALLEL = 1e-12


class Meeting(NamedTuple):
    """A joint found by computation, mm; ``gap_mm`` is positive where the carriers only come near each other."""

    x: float
    y: float
    gap_mm: float


def distance_to(carrier: CarrierRow, p: Spot) -> float:
    """Return the unsigned distance of ``p`` from the carrier, mm."""
    circle, x, y, radius, ux, uy = carrier
    if circle:
        return abs(hypot(p[0] - x, p[1] - y) - radius)
    return abs((p[0] - x) * uy - (p[1] - y) * ux)


def foot_on(carrier: CarrierRow, p: Spot) -> Spot:
    """Return the point of the carrier that is nearest to ``p``, mm."""
    circle, x, y, radius, ux, uy = carrier
    dx, dy = p[0] - x, p[1] - y
    if circle:
        k = radius / (hypot(dx, dy) or 1.0)
        return x + k * dx, y + k * dy
    t = dx * ux + dy * uy
    return x + t * ux, y + t * uy


def direction_at(carrier: CarrierRow, sign: int, p: Spot) -> Spot:
    """Return the direction of travel at ``p`` (unit)."""
    circle, x, y, _, ux, uy = carrier
    if not circle:
        return sign * ux, sign * uy
    dx, dy = p[0] - x, p[1] - y
    size = hypot(dx, dy) or 1.0
    return -sign * dy / size, sign * dx / size


def meet(
    a: CarrierRow, a_sign: int, b: CarrierRow, b_sign: int, hint: Spot, side: int, max_gap_mm: float
) -> Meeting | None:
    """Return where travel changes from ``a`` to ``b``, or None if they stay further apart than ``max_gap_mm``.

    Args:
        a: carrier travelled first.
        a_sign: +1 if along it, -1 if against.
        b: carrier travelled next.
        b_sign: the same for it.
        hint: roughly where, mm.
        side: +1 if the boundary turns left here, -1 if right, 0 if not known (the nearest is taken).
        max_gap_mm: carriers that miss each other by no more are taken to touch.
    """
    found = _crossings(a, b, hint)
    if not found:
        return None
    if found[0].gap_mm > 0.0:
        return found[0] if found[0].gap_mm <= max_gap_mm else None
    if side and len(found) == 2:
        turns = [_turn(a, a_sign, b, b_sign, (m.x, m.y)) * side for m in found]
        return found[0] if turns[0] >= turns[1] else found[1]
    return min(found, key=lambda m: hypot(m.x - hint[0], m.y - hint[1]))


def _turn(a: CarrierRow, a_sign: int, b: CarrierRow, b_sign: int, p: Spot) -> float:
    (ux, uy), (vx, vy) = direction_at(a, a_sign, p), direction_at(b, b_sign, p)
    return ux * vy - uy * vx


def _crossings(a: CarrierRow, b: CarrierRow, hint: Spot) -> list[Meeting]:
    if a[0] and b[0]:
        return _two_circles(a, b)
    if a[0]:
        return _line_circle(b, a)
    if b[0]:
        return _line_circle(a, b)
    return _two_lines(a, b, hint)


def _two_lines(a: CarrierRow, b: CarrierRow, hint: Spot) -> list[Meeting]:
    _, ax, ay, _, aux, auy = a
    _, bx, by, _, bux, buy = b
    cross = aux * buy - auy * bux
    if abs(cross) < _PARALLEL:
        return []
    # from the foot of the hint, so that far-away base points cost nothing
    t0 = (hint[0] - ax) * aux + (hint[1] - ay) * auy
    px, py = ax + t0 * aux, ay + t0 * auy
    t = ((bx - px) * buy - (by - py) * bux) / cross
    return [Meeting(px + t * aux, py + t * auy, 0.0)]


def _line_circle(line: CarrierRow, circle: CarrierRow) -> list[Meeting]:
    _, lx, ly, _, ux, uy = line
    _, cx, cy, r, _, _ = circle
    t = (cx - lx) * ux + (cy - ly) * uy
    fx, fy = lx + t * ux, ly + t * uy
    ox, oy = fx - cx, fy - cy
    off = hypot(ox, oy)
    if off > r:
        k = (r + off) / 2.0 / off
        return [Meeting(cx + k * ox, cy + k * oy, off - r)]
    h = sqrt((r - off) * (r + off))
    return [Meeting(fx + h * ux, fy + h * uy, 0.0), Meeting(fx - h * ux, fy - h * uy, 0.0)]


def _two_circles(a: CarrierRow, b: CarrierRow) -> list[Meeting]:
    _, ax, ay, r, _, _ = a
    _, bx, by, s, _, _ = b
    dx, dy = bx - ax, by - ay
    d = hypot(dx, dy)
    if d == 0.0:
        return []
    ux, uy = dx / d, dy / d
    if d > r + s:
        k = (r + d - s) / 2.0
        return [Meeting(ax + k * ux, ay + k * uy, d - r - s)]
    if d < abs(r - s):
        k = (r + d + s) / 2.0 if r > s else -(r - d + s) / 2.0
        return [Meeting(ax + k * ux, ay + k * uy, abs(r - s) - d)]
    along = (d + (r - s) * (r + s) / d) / 2.0
    h = sqrt(max((r + s - d) * (d - r + s) * (d + r - s) * (d + r + s), 0.0)) / (2.0 * d)
    px, py = ax + along * ux, ay + along * uy
    return [Meeting(px - h * uy, py + h * ux, 0.0), Meeting(px + h * uy, py - h * ux, 0.0)]
