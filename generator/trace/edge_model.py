"""What an edge looks like to a scanner, and where it lies within that: blurred step, shadow beside it, bevel upon it.

Along the outward normal, x in px from the edge, linear light is::

    metal + bevel ramp  (x < 0)     level (1 − depth · (1 − x / width)₊)  (x > 0)

blurred by a Gaussian. The shadow is widest and deepest where the edge faces away from the lamp and vanishes towards it;
blur, lamp and bevel are the picture's, shared by all edges. Levels and place are each edge's own.
Linear and shared unknowns are told apart by variable projection (Golub & Pereyra 1973).
"""

from __future__ import annotations

from dataclasses import replace
from math import log
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares
from scipy.special import ndtr

from generator.base.frozen_record import frozen_record

Floats = NDArray[np.float64]

INSIDE_PX: Final = 6.0
"""How far into the material a profile reaches: past any bevel that is told."""
STEP_PX: Final = 0.5
WIDEST_SHADOW_PX: Final = 24.0
_LIGHT_NOISE: Final = 0.01
"""Scale of residuals in linear light; beyond half of it they count less (dust, scratches)."""
_TINY: Final = 0.05
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
        bevel_px: width of the bevel; 0 where there is none.
        bevel: brightness of the bevel at the edge against the metal: mean, cosine and sine part of the direction.
    """

    blur_px: float
    shadow_px: float = 0.0
    away_rad: float = 0.0
    depth: float = 0.0
    spread: float = 0.0
    fade: float = 0.0
    bevel_px: float = 0.0
    bevel: tuple[float, float, float] = (0.0, 0.0, 0.0)


class Found(NamedTuple):
    """Places of edges.

    Attributes:
        shift_px: from where the profile was taken, along its normal, shape (n,).
        sigma_px: standard deviation of that by the profile's own misfit, shape (n,).
        misfit: root mean square misfit, linear light, shape (n,).
        metal: light of the metal beside the edge, shape (n,).
    """

    shift_px: Floats
    sigma_px: Floats
    misfit: Floats
    metal: Floats


def distances(px_per_mm: float) -> Floats:
    """Return where profiles are sampled, px from the first guess along the normal."""
    return np.arange(-INSIDE_PX, min(WIDEST_SHADOW_PX, max(7.0, 1.3 * px_per_mm)) + STEP_PX / 2.0, STEP_PX)


def look_of(profiles: Floats, normals: Floats, at: Floats) -> Look:
    """Return what the edges share: the simplest of four looks (with or without shadow, bevel) that explains them.

    Simplest by Schwarz's criterion (1978): misfit against the number of unknowns.

    Args:
        profiles: linear light, shape (n, m).
        normals: unit normals away from the material, shape (n, 2), v down.
        at: distances of the samples, px, shape (m,).
    """
    trial = _Trial(profiles, normals, at)
    plain = trial.best(Look(1.0), _BLUR)
    shaded = trial.best(trial.first_shadow(plain[1]), _BLUR + _SHADOW)
    tried = [plain, shaded]
    better = min(tried, key=lambda scored: scored[0])
    for wide in (2.0, 3.5):
        start = replace(better[1], bevel_px=wide)
        tried.append(trial.best(start, _BLUR + (_SHADOW if better is shaded else ()) + _BEVEL))
    return min(tried, key=lambda scored: scored[0])[1]


def places(profiles: Floats, normals: Floats, at: Floats, look: Look) -> Found:
    """Return where the edges lie in profiles, given what they share.

    The bevel's brightness is what its direction tells: a free one would take the edge along.
    """
    angle = np.arctan2(normals[:, 1], normals[:, 0])
    return _solve(profiles, _weights(at, look, angle), at, look, angle, rounds=8)[0]


def _weights(at: Floats, look: Look, angle: Floats) -> Floats:
    width, _ = shadow_at(look, angle)
    far = max(5.0, float(width.max(initial=0.0)) + 4.0)
    return np.where((at >= -INSIDE_PX) & (at <= far), 1.0, 0.0)


def shadow_at(look: Look, angle: Floats) -> tuple[Floats, Floats]:
    """Return width (px) and depth of the shadow beside edges whose normals point to the given angles."""
    facing = np.maximum((np.cos(angle - look.away_rad) + look.spread) / (1.0 + look.spread), 1e-9)
    return look.shadow_px * facing, look.depth * facing**look.fade


def _ramp(x: Floats, s: float) -> Floats:
    """Return max(0, x) blurred by s."""
    t = x / s
    blurred: Floats = s * (t * ndtr(t) + np.exp(-0.5 * t * t) / 2.5066282746310002)
    return blurred


def _columns(x: Floats, look: Look, angle: Floats) -> tuple[Floats, Floats]:
    """Return what the levels of metal and of surroundings are multiplied by, each of shape (n, m)."""
    s = look.blur_px
    beyond = ndtr(x / s)
    metal, ground = 1.0 - beyond, beyond
    if look.shadow_px > 0.0:
        width, depth = shadow_at(look, angle)
        w = np.maximum(width, _TINY)[:, None]
        wedge = beyond - (_ramp(x, s) - _ramp(x - w, s)) / w
        ground = beyond - np.where(width > _TINY, depth, 0.0)[:, None] * wedge
    if look.bevel_px > 0.0:
        tilt = look.bevel[0] + look.bevel[1] * np.cos(angle) + look.bevel[2] * np.sin(angle)
        metal = metal + tilt[:, None] * ((_ramp(x + look.bevel_px, s) - _ramp(x, s)) / look.bevel_px - beyond)
    return metal, ground


def _solve(
    profiles: Floats, weights: Floats, at: Floats, look: Look, angle: Floats, *, rounds: int
) -> tuple[Found, Floats]:
    """Return the edges' places and the residuals by Gauss-Newton, all edges at once."""
    shift = np.zeros(len(profiles))
    h = 0.02
    for _ in range(rounds):
        x = at[None, :] - shift[:, None]
        a, b = _columns(x, look, angle)
        ahead_a, ahead_b = _columns(x - h, look, angle)
        aw, bw = a * weights, b * weights
        aa, ab, bb = (aw * a).sum(1), (aw * b).sum(1), (bw * b).sum(1)
        ap, bp = (aw * profiles).sum(1), (bw * profiles).sum(1)
        det = aa * bb - ab * ab + 1e-12
        metal, ground = (bb * ap - ab * bp) / det, (aa * bp - ab * ap) / det
        rest = profiles - metal[:, None] * a - ground[:, None] * b
        slope = (metal[:, None] * (ahead_a - a) + ground[:, None] * (ahead_b - b)) / h
        # the slope's part that the levels cannot take (one step of Gauss-Newton on the place alone)
        sw = slope * weights
        as_, bs, ss = (aw * slope).sum(1), (bw * slope).sum(1), (sw * slope).sum(1)
        own = ss - (as_ * (bb * as_ - ab * bs) + bs * (aa * bs - ab * as_)) / det
        own = np.maximum(own, 1e-9)
        shift = np.clip(shift + np.clip((sw * rest).sum(1) / own, -0.4, 0.4), -5.0, 5.0)
    count = max(float(weights.sum()), 5.0)
    misfit = np.sqrt((weights * rest * rest).sum(axis=1) / (count - 3.0))
    # neighbouring samples of a blurred picture are not independent: two samples to the pixel count as one
    sigma = misfit / np.sqrt(own * STEP_PX)
    return Found(shift, sigma, misfit, metal), rest * weights


_Unknown = tuple[str, float, float, float]
"""Name of a look's field, its least and most value, and its scale."""
_BLUR: Final[tuple[_Unknown, ...]] = (("blur_px", 0.35, 3.5, 0.1),)
_SHADOW: Final[tuple[_Unknown, ...]] = (
    ("shadow_px", 0.5, WIDEST_SHADOW_PX, 1.0),
    ("away_rad", -10.0, 10.0, 0.2),
    ("depth", 0.0, 0.95, 0.1),
    ("spread", 0.0, 0.9, 0.3),
    ("fade", 0.0, 2.0, 0.3),
)
_BEVEL: Final[tuple[_Unknown, ...]] = (
    ("bevel_px", 1.5, INSIDE_PX - 1.0, 1.0),
    ("bevel.0", -0.9, 3.0, 0.1),
    ("bevel.1", -0.9, 3.0, 0.1),
    ("bevel.2", -0.9, 3.0, 0.1),
)


def _value(look: Look, name: str) -> float:
    field, _, i = name.partition(".")
    value = getattr(look, field)
    return float(value[int(i)] if i else value)


def _changed(look: Look, names: list[str], values: Floats) -> Look:
    bevel = list(look.bevel)
    for name, value in zip(names, values, strict=True):
        field, _, i = name.partition(".")
        if i:
            bevel[int(i)] = float(value)
        else:
            plain: dict[str, Any] = {field: float(value)}
            look = replace(look, **plain)
    return replace(look, bevel=(bevel[0], bevel[1], bevel[2]))


class _Trial:
    """Fits of looks to the same profiles."""

    def __init__(self, profiles: Floats, normals: Floats, at: Floats) -> None:
        self.profiles, self.normals, self.at = profiles, normals, at
        self.angle = np.arctan2(normals[:, 1], normals[:, 0])

    def first_shadow(self, look: Look) -> Look:
        """Return a look with a first guess of a shadow: it falls to where light is missing beyond the edge."""
        ground = np.percentile(self.profiles[:, -4:], 70)
        lost = (ground - self.profiles[:, self.at > 1.5]).sum(axis=1) * STEP_PX
        most = lost > np.median(lost)
        design = np.column_stack([self.normals, np.ones(len(lost))])[most]
        towards = np.linalg.lstsq(design, lost[most], rcond=None)[0]
        far = float(self.at[-1])
        away = float(np.arctan2(towards[1], towards[0]))
        return replace(look, shadow_px=min(0.3 * far, 6.0), away_rad=away, depth=0.35, spread=0.3, fade=0.5)

    def best(self, start: Look, unknowns: tuple[_Unknown, ...]) -> tuple[float, Look]:
        """Return the score (less is better) and the best look that can be reached by changing the unknowns."""
        names = [u[0] for u in unknowns]
        least, most = np.array([u[1] for u in unknowns]), np.array([u[2] for u in unknowns])
        first = np.clip([_value(start, name) for name in names], least + 1e-6, most - 1e-6)

        def rest(y: Floats) -> Floats:
            return self._rest(_changed(start, names, y)).ravel() / _LIGHT_NOISE

        found = least_squares(
            rest,
            first,
            bounds=(least, most),
            loss="soft_l1",
            f_scale=0.5,
            x_scale=[u[3] for u in unknowns],
            diff_step=0.01,
            max_nfev=15,
        ).x
        look = _changed(start, names, found)
        same = self._rest(look)[:, self.at <= 8.0]  # the same samples for every look
        squares = np.sort((same**2).sum(axis=1))[: max(1, int(0.85 * len(same)))]
        return same.size * log(max(float(squares.sum()), 1e-12) / same.size) + len(names) * log(same.size), look

    def _rest(self, look: Look) -> Floats:
        return _solve(self.profiles, _weights(self.at, look, self.angle), self.at, look, self.angle, rounds=4)[1]
