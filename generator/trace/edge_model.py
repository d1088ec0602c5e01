"""What an edge looks like to a scanner, and where it lies within that: blurred step, shadow beside it, bevel upon it.

Along the outward normal, x in px from the edge, linear light is::

    metal + bevel ramp  (x < 0)     level (1 − depth · s(x))  (x > 0)

where s is 1 up to ``core · width`` and falls evenly to 0 at ``width``, or a share ``tail`` of it falls as
``exp(−2 x / width)`` (lamps of some length and stray light make both), less ``halo · exp(−x / reach)`` all round, since
material keeps stray light off; all blurred by a Gaussian. The shadow is widest and deepest where the edge faces away
from the lamp and vanishes towards it; blur, lamp and bevel are the picture's, shared by all edges. Levels and place are
each edge's own. Linear and shared unknowns are told apart by variable projection (Golub & Pereyra 1973).
"""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.special import erfcx

from generator.base.frozen_record import frozen_record

Floats = NDArray[np.float64]

INSIDE_PX: Final = 10.0
"""How far into the material a profile reaches: past any bevel that is told."""
STEP_PX: Final = 0.5
CLEARLY: Final = 1.3
"""Another place must explain an edge better by this factor to be taken instead of where light changes fastest."""
BESIDE_PX: Final = 0.5
"""An edge with a narrower shadow is looked for in one place only."""
FARTHEST_PX: Final = 8.0
"""An edge is not looked for farther from its first guess."""
SETTLED_PX: Final = 1e-5
WIDEST_SHADOW_PX: Final = 24.0
CLEAR: Final = 0.2
"""Share of the contrast between surroundings and material from which on an edge can be seen (chosen)."""
FADED: Final = 2.5
"""So many times its width away a shadow has faded."""
_BELL: Final = 0.3989422804014327
NO_WIDTH_PX: Final = 0.05
"""A shadow narrower than this (px) cannot be told from none."""


@frozen_record
class Look:
    """What the edges of one picture share.

    Attributes:
        blur_px: standard deviation of the blur.
        shadow_px: width of the shadow where it is widest; 0 where there is none.
        away_rad: direction (atan2(dv, du)) in which the widest shadow falls.
        depth: share of light that the shadow takes at the edge, 0 to 1.
        spread: how far round the shadow reaches beyond a right angle from its direction (cosine).
        fade: power by which depth falls as the edge turns.
        core: share of the width over which the shadow is equally deep, before it falls off.
        tail: share of the shadow that falls exponentially.
        halo, halo_px: share of light that is lost at the edge all round, and how far that reaches (to 1/e).
        bevel_px: width of the bevel; 0 where there is none.
        bevel: brightness of the bevel at the edge against the metal: mean, cosine and sine part of the direction.
    """

    blur_px: float
    shadow_px: float = 0.0
    away_rad: float = 0.0
    depth: float = 0.0
    spread: float = 0.0
    fade: float = 0.0
    core: float = 0.0
    tail: float = 0.0
    halo: float = 0.0
    halo_px: float = 4.0
    bevel_px: float = 0.0
    bevel: tuple[float, float, float] = (0.0, 0.0, 0.0)


class Found(NamedTuple):
    """Places of edges.

    Attributes:
        shift_px: from where the profile was taken, along its normal, shape (n,).
        sigma_px: standard deviation of that by the profile's own misfit, shape (n,).
        misfit: root mean square misfit, linear light, shape (n,).
        metal: light of the metal beside the edge, shape (n,).
        ground: light of the surroundings where no shadow falls, shape (n,).
    """

    shift_px: Floats
    sigma_px: Floats
    misfit: Floats
    metal: Floats
    ground: Floats


def distances(px_per_mm: float) -> Floats:
    """Return where profiles are sampled, px from the first guess along the normal."""
    return np.arange(-INSIDE_PX, min(WIDEST_SHADOW_PX, max(7.0, 1.3 * px_per_mm)) + STEP_PX / 2.0, STEP_PX)


def places(profiles: Floats, normals: Floats, at: Floats, look: Look) -> Found:
    """Return where the edges lie in profiles, given what they share.

    The bevel's brightness is what its direction tells: a free one would take the edge along.
    """
    angle = np.arctan2(normals[:, 1], normals[:, 0])
    return solved(profiles, at, look, angle, nearest(profiles, at, look, angle), rounds=8)[0]


def nearest(profiles: Floats, at: Floats, look: Look, angle: Floats) -> Floats:
    """Return for each edge the start from which it is explained best: light may change faster at the shadow's end.

    Args:
        profiles: linear light, shape (n, m).
        at: distances of the samples, px, shape (m,).
        look: what the edges share.
        angle: direction of their normals, rad, v down, shape (n,).
    """
    found = solved(profiles, at, look, angle, np.zeros(len(angle)), rounds=3)[0]
    shifts, misfit = found.shift_px, found.misfit
    width, _ = shadow_at(look, angle)
    beside = np.flatnonzero(width > BESIDE_PX)  # elsewhere the other starts are the same one
    for share in (0.5, 0.9) if len(beside) else ():
        other = solved(profiles[beside], at, look, angle[beside], -share * width[beside], rounds=3)[0]
        better = CLEARLY * other.misfit < misfit[beside]
        shifts[beside[better]] = other.shift_px[better]
        misfit[beside[better]] = CLEARLY * other.misfit[better]
    return shifts


def counted(at: Floats, look: Look, angle: Floats, least: float) -> NDArray[np.bool_]:
    """Tell which samples count: as far inside as any bevel, as far outside as the widest shadow."""
    width, _ = shadow_at(look, angle)
    far = max(least, float(width.max(initial=0.0)) + 4.0)
    return np.asarray((at >= -max(6.0, look.bevel_px + 2.5)) & (at <= far))


def shadow_at(look: Look, angle: Floats) -> tuple[Floats, Floats]:
    """Return width (px) and depth of the shadow beside edges whose normals point to the given angles."""
    face = facing(look, angle)
    return look.shadow_px * face, look.depth * face**look.fade


def tilt_at(look: Look, angle: Floats) -> Floats:
    """Return how bright the bevel is at edges whose normals point to the given angles, against the metal."""
    return look.bevel[0] + look.bevel[1] * np.cos(angle) + look.bevel[2] * np.sin(angle)


def facing(look: Look, angle: Floats) -> Floats:
    """Return how far edges face the way the shadow falls: 1 straight, 0 from where on none is seen."""
    face: Floats = np.maximum((np.cos(angle - look.away_rad) + look.spread) / (1.0 + look.spread), 1e-9)
    return face


def unclear(found: Found, look: Look, angle: Floats) -> Floats:
    """Return how far beyond each edge the shadow is no clearly brighter than the material, px, shape (n,).

    There the edge cannot be seen: it is reckoned from where the shadow ends, by the shape that the look gives it.

    Args:
        found: the edges' places and lights.
        look: what they share.
        angle: direction of their normals, rad, v down, shape (n,).
    """
    if look.shadow_px <= 0.0:
        return np.zeros(len(angle))
    width, depth = shadow_at(look, angle)
    share = np.linspace(0.0, FADED, 64)
    ramp = np.clip((1.0 - share) / (1.0 - look.core), 0.0, 1.0)
    dark = ramp + look.tail * (np.exp(-2.0 * share) - ramp)
    beyond = np.maximum(width, NO_WIDTH_PX)[:, None] * share
    light = found.ground[:, None] * (1.0 - depth[:, None] * dark - look.halo * np.exp(-beyond / look.halo_px))
    apart = found.ground - found.metal
    clear = (light - found.metal[:, None]) / np.where(np.abs(apart) < 1e-3, 1e-3, apart)[:, None] > CLEAR
    first = np.where(clear.any(axis=1), clear.argmax(axis=1), len(share) - 1)
    return np.asarray(beyond[np.arange(len(angle)), first], dtype=np.float64)


def blurred(x: Floats, s: float) -> tuple[Floats, Floats, Floats]:
    """Return a step at 0, the ramp max(0, x) and an impulse, all blurred by s.

    The step is the normal distribution by Abramowitz & Stegun 26.2.17, to 8e-8, in a third of the time of one that is
    exact to the last digit.
    """
    t = x / s
    bell = np.exp(-0.5 * t * t)
    bell *= _BELL
    beyond = _mills(t)
    beyond *= bell
    step: Floats = np.where(t < 0.0, beyond, 1.0 - beyond)
    return step, x * step + s * bell, bell / s


def _mills(t: Floats) -> Floats:
    """Return what lies beyond ``|t|`` of a normal distribution, for its density there (Abramowitz & Stegun 26.2.17)."""
    k = np.abs(t)
    k *= 0.2316419
    k += 1.0
    np.reciprocal(k, out=k)
    ratio: Floats = k * 1.330274429
    for c in (-1.821255978, 1.781477937, -0.356563782, 0.319381530):
        ratio += c
        ratio *= k
    return ratio


def fading(x: Floats, s: float, length: Floats) -> Floats:
    """Return ``exp(−x / length)`` beyond 0, blurred by s."""
    t = x / s
    z = s / length - t
    ratio = _mills(z)
    far = (z > 3.0) & (t > -5.0)  # there that is right to some digits only, but not multiplied by so little
    ratio[far] = erfcx(z[far] * 0.5**0.5) * (0.5 / _BELL)
    ratio *= np.exp(-0.5 * t * t) * _BELL
    whole = np.exp(np.minimum(0.5 * (s / length) ** 2 - x / length, 0.0))
    return np.asarray(np.where(z > 0.0, ratio, whole - ratio), dtype=np.float64)


def _columns(x: Floats, look: Look, angle: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Return what the levels of metal and of surroundings are multiplied by, and the slopes of both, each (n, m)."""
    s = look.blur_px
    beyond, ramp, impulse = blurred(x, s)
    metal, metal_slope = 1.0 - beyond, -impulse
    ground, ground_slope = beyond, impulse
    if look.shadow_px > 0.0:
        width, depth = shadow_at(look, angle)
        w = np.maximum(width, NO_WIDTH_PX)[:, None]
        full = look.core * w
        near, near_ramp, _ = blurred(x - full, s)
        far, far_ramp, _ = blurred(x - w, s)
        lost = np.where(width > NO_WIDTH_PX, depth, 0.0)[:, None]
        dark, dark_slope = beyond - (near_ramp - far_ramp) / (w - full), impulse - (near - far) / (w - full)
        if look.tail > 0.0:
            slow = fading(x, s, 0.5 * w)
            dark = dark + look.tail * (slow - dark)
            dark_slope = dark_slope + look.tail * (impulse - 2.0 * slow / w - dark_slope)
        ground = beyond - lost * dark
        ground_slope = impulse - lost * dark_slope
    if look.halo > 0.0:
        strayed = fading(x, s, np.array([[look.halo_px]]))
        ground = ground - look.halo * strayed
        ground_slope = ground_slope - look.halo * (impulse - strayed / look.halo_px)
    if look.bevel_px > 0.0:
        tilt = tilt_at(look, angle)[:, None]
        start, start_ramp, _ = blurred(x + look.bevel_px, s)
        metal = metal + tilt * ((start_ramp - ramp) / look.bevel_px - beyond)
        metal_slope = metal_slope + tilt * ((start - beyond) / look.bevel_px - impulse)
    return metal, ground, metal_slope, ground_slope


def light_of(x: Floats, look: Look, angle: Floats, metal: Floats, ground: Floats) -> Floats:
    """Return the light in profiles.

    Args:
        x: distances of the samples from the edges, px, shape (n, m).
        look: what the edges share.
        angle: direction of their normals, rad, v down, shape (n,).
        metal: level of each edge, linear light, shape (n,).
        ground: of its surroundings.
    """
    a, b, _, _ = _columns(x, look, angle)
    return metal[:, None] * a + ground[:, None] * b


def solved(
    profiles: Floats, at: Floats, look: Look, angle: Floats, start: Floats, *, rounds: int, least: float = 5.0
) -> tuple[Found, Floats]:
    """Return the edges' places and the residuals by Gauss-Newton on the places alone, all edges at once.

    The levels are linear: each step takes out what they can explain (variable projection).

    Args:
        profiles: linear light, shape (n, m).
        at: distances of the samples, px, shape (m,).
        look: what the edges share.
        angle: direction of their normals, rad, v down, shape (n,).
        start: first guess of the places, px, shape (n,).
        rounds: steps.
        least: how far outside samples count at least, px.
    """
    counts = counted(at, look, angle, least)
    data, where = profiles[:, counts], at[counts]
    shift = start.copy()
    for _ in range(rounds):
        a, b, a_slope, b_slope = _columns(where[None, :] - shift[:, None], look, angle)
        aa, ab, bb = _dot(a, a), _dot(a, b), _dot(b, b)
        ap, bp = _dot(a, data), _dot(b, data)
        det = aa * bb - ab * ab + 1e-12
        metal, ground = (bb * ap - ab * bp) / det, (aa * bp - ab * ap) / det
        rest = data - metal[:, None] * a - ground[:, None] * b
        slope = -(metal[:, None] * a_slope + ground[:, None] * b_slope)
        as_, bs = _dot(a, slope), _dot(b, slope)
        own = _dot(slope, slope) - (as_ * (bb * as_ - ab * bs) + bs * (aa * bs - ab * as_)) / det
        own = np.maximum(own, 1e-9)
        step = np.clip(_dot(slope, rest) / own, -0.5, 0.5)
        shift = np.clip(shift + step, -FARTHEST_PX, FARTHEST_PX)
        if np.abs(step).max(initial=0.0) < SETTLED_PX:
            break
    misfit = np.sqrt(_dot(rest, rest) / (max(int(counts.sum()), 5) - 3.0))
    # neighbouring samples of a blurred picture are not independent: two samples to the pixel count as one
    sigma = misfit / np.sqrt(own * (where[1] - where[0]))
    full = np.zeros_like(profiles)
    full[:, counts] = rest
    return Found(shift, sigma, misfit, metal, ground), full


def own_directions(x: Floats, look: Look, angle: Floats, found: Found) -> tuple[Floats, Floats, Floats]:
    """Return how each edge's light changes with its own levels and place: made square to each other, (n, m) each.

    Args:
        x: distances of the samples from the edges, px, shape (n, m).
        look: what the edges share.
        angle: direction of their normals, rad, v down, shape (n,).
        found: levels of the edges.
    """
    a, b, a_slope, b_slope = _columns(x, look, angle)
    slope = found.metal[:, None] * a_slope + found.ground[:, None] * b_slope
    a = _unit(a)
    b = _unit(b - _dot(a, b)[:, None] * a)
    return a, b, _unit(slope - _dot(a, slope)[:, None] * a - _dot(b, slope)[:, None] * b)


def _unit(a: Floats) -> Floats:
    return a / np.sqrt(np.maximum(_dot(a, a), 1e-18))[:, None]


def _dot(a: Floats, b: Floats) -> Floats:
    product: Floats = np.einsum("nk,nk->n", a, b)
    return product
