"""What an edge looks like to a scanner, and where it lies within that: blurred step, shadow beside it, bevel upon it.

Along the outward normal, x in px from the edge, linear light is::

    metal + bevel ramp  (x < 0)     level (1 − depth · s(x))  (x > 0)

where s is 1 up to ``core · width`` and falls evenly to 0 at ``width``; all blurred by a Gaussian. The shadow is widest
and deepest where the edge faces away from the lamp and vanishes towards it; blur, lamp and bevel are the picture's,
shared by all edges. Levels and place are each edge's own. Linear and shared unknowns are told apart by variable
projection (Golub & Pereyra 1973).
"""

from __future__ import annotations

from dataclasses import replace
from math import log, pi
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record

Floats = NDArray[np.float64]

INSIDE_PX: Final = 10.0
"""How far into the material a profile reaches: past any bevel that is told."""
STEP_PX: Final = 0.5
CLEARLY: Final = 1.3
"""Another place must explain an edge better by this factor to be taken instead of where light changes fastest."""
FARTHEST_PX: Final = 8.0
"""An edge is not looked for farther from its first guess."""
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
        core: share of the width over which the shadow is equally deep, before it falls off.
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
    found = _shaded(trial, plain[1])
    if plain[0] <= found[0]:
        trial.start[:] = 0.0
        found = plain
    found = min(found, _bevelled(trial, found[1]), key=_score)
    if found[1].bevel_px > 0.0:  # a bevel that was not known may have hidden where the shadow begins
        found = min(found, _shaded(trial, replace(found[1], shadow_px=0.0)), key=_score)
    return found[1]


def _shaded(trial: _Trial, look: Look) -> tuple[float, Look]:
    """Return the best look with a shadow added: the likeliest of many, improved."""
    rough = _Trial(trial.profiles[::2, ::2], trial.normals[::2], trial.at[::2])
    guesses = sorted((rough.judged(guess) for guess in trial.shadows(look)), key=_score)[:3]
    unknowns = _BLUR + _SHADOW + (_BEVEL if look.bevel_px > 0.0 else ())
    best = min((rough.led(guess, unknowns, most=6) for _, guess in guesses), key=_score)
    found = trial.led(best[1], unknowns, most=10)
    deeper = replace(found[1], shadow_px=1.3 * found[1].shadow_px, core=0.35, depth=min(1.1 * found[1].depth, 0.9))
    other = rough.led(deeper, unknowns, most=6)[1]
    return min(found, trial.led(other, unknowns, most=10), key=_score)


def _bevelled(trial: _Trial, look: Look) -> tuple[float, Look]:
    """Return the best look with a bevel added."""
    unknowns = _BLUR + (_SHADOW if look.shadow_px > 0.0 else ()) + _BEVEL
    wide = [trial.best(replace(look, bevel_px=b), unknowns, most=5) for b in (2.2, 3.5, 5.0)]
    return trial.best(min(wide, key=_score)[1], unknowns)


def _score(scored: tuple[float, Look]) -> float:
    return scored[0]


def places(profiles: Floats, normals: Floats, at: Floats, look: Look) -> Found:
    """Return where the edges lie in profiles, given what they share.

    The bevel's brightness is what its direction tells: a free one would take the edge along.
    """
    angle = np.arctan2(normals[:, 1], normals[:, 0])
    return _solve(profiles, at, look, angle, _nearest(profiles, at, look, angle), rounds=8)[0]


def _nearest(profiles: Floats, at: Floats, look: Look, angle: Floats) -> Floats:
    """Return for each edge the start from which it is explained best: light may change faster at the shadow's end."""
    width, _ = shadow_at(look, angle)
    shares = (0.0, 0.5, 0.9) if look.shadow_px > 0.0 else (0.0,)
    tried = [_solve(profiles, at, look, angle, -share * width, rounds=3)[0] for share in shares]
    misfit = np.stack([t.misfit for t in tried])
    misfit[1:] *= CLEARLY
    shifts: Floats = np.stack([t.shift_px for t in tried])[np.argmin(misfit, axis=0), np.arange(len(angle))]
    return shifts


def _counts(at: Floats, look: Look, angle: Floats) -> NDArray[np.bool_]:
    """Tell which samples count: as far inside as any bevel, as far outside as the widest shadow."""
    width, _ = shadow_at(look, angle)
    far = max(5.0, float(width.max(initial=0.0)) + 4.0)
    return np.asarray((at >= -max(6.0, look.bevel_px + 2.5)) & (at <= far))


def shadow_at(look: Look, angle: Floats) -> tuple[Floats, Floats]:
    """Return width (px) and depth of the shadow beside edges whose normals point to the given angles."""
    facing = np.maximum((np.cos(angle - look.away_rad) + look.spread) / (1.0 + look.spread), 1e-9)
    return look.shadow_px * facing, look.depth * facing**look.fade


def _blurred(x: Floats, s: float) -> tuple[Floats, Floats, Floats]:
    """Return a step at 0, the ramp max(0, x) and an impulse, all blurred by s.

    The step is the normal distribution by Abramowitz & Stegun 26.2.17, to 8e-8, in a third of the time of one that is
    exact to the last digit.
    """
    t = x / s
    bell = np.exp(-0.5 * t * t)
    bell *= 0.3989422804014327
    k = np.abs(t)
    k *= 0.2316419
    k += 1.0
    np.reciprocal(k, out=k)
    beyond = k * 1.330274429
    for c in (-1.821255978, 1.781477937, -0.356563782, 0.319381530):
        beyond += c
        beyond *= k
    beyond *= bell
    step: Floats = np.where(t < 0.0, beyond, 1.0 - beyond)
    return step, x * step + s * bell, bell / s


def _columns(x: Floats, look: Look, angle: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Return what the levels of metal and of surroundings are multiplied by, and the slopes of both, each (n, m)."""
    s = look.blur_px
    beyond, ramp, impulse = _blurred(x, s)
    metal, metal_slope = 1.0 - beyond, -impulse
    ground, ground_slope = beyond, impulse
    if look.shadow_px > 0.0:
        width, depth = shadow_at(look, angle)
        w = np.maximum(width, _TINY)[:, None]
        full = look.core * w
        near, near_ramp, _ = _blurred(x - full, s)
        far, far_ramp, _ = _blurred(x - w, s)
        lost = np.where(width > _TINY, depth, 0.0)[:, None]
        ground = beyond - lost * (beyond - (near_ramp - far_ramp) / (w - full))
        ground_slope = impulse - lost * (impulse - (near - far) / (w - full))
    if look.bevel_px > 0.0:
        tilt = (look.bevel[0] + look.bevel[1] * np.cos(angle) + look.bevel[2] * np.sin(angle))[:, None]
        start, start_ramp, _ = _blurred(x + look.bevel_px, s)
        metal = metal + tilt * ((start_ramp - ramp) / look.bevel_px - beyond)
        metal_slope = metal_slope + tilt * ((start - beyond) / look.bevel_px - impulse)
    return metal, ground, metal_slope, ground_slope


def _solve(
    profiles: Floats, at: Floats, look: Look, angle: Floats, start: Floats, *, rounds: int
) -> tuple[Found, Floats]:
    """Return the edges' places and the residuals by Gauss-Newton on the places alone, all edges at once.

    The levels are linear: each step takes out what they can explain (variable projection).
    """
    counts = _counts(at, look, angle)
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
        shift = np.clip(shift + np.clip(_dot(slope, rest) / own, -0.5, 0.5), -FARTHEST_PX, FARTHEST_PX)
    misfit = np.sqrt(_dot(rest, rest) / (max(int(counts.sum()), 5) - 3.0))
    # neighbouring samples of a blurred picture are not independent: two samples to the pixel count as one
    sigma = misfit / np.sqrt(own * (where[1] - where[0]))
    full = np.zeros_like(profiles)
    full[:, counts] = rest
    return Found(shift, sigma, misfit, metal), full


def _dot(a: Floats, b: Floats) -> Floats:
    product: Floats = np.einsum("nk,nk->n", a, b)
    return product


_Unknown = tuple[str, float, float, float]
"""Name of a look's field, its least and most value, and its scale."""
_BLUR: Final[tuple[_Unknown, ...]] = (("blur_px", 0.35, 3.5, 0.1),)
_SHADOW: Final[tuple[_Unknown, ...]] = (
    ("shadow_px", 0.5, WIDEST_SHADOW_PX, 1.0),
    ("away_rad", -10.0, 10.0, 0.2),
    ("depth", 0.0, 0.95, 0.1),
    ("spread", 0.0, 0.9, 0.3),
    ("fade", 0.0, 2.0, 0.3),
    ("core", 0.0, 0.85, 0.2),
)
_BEVEL: Final[tuple[_Unknown, ...]] = (
    ("bevel_px", 1.5, 8.0, 1.0),
    ("bevel.0", -0.6, 0.8, 0.1),
    ("bevel.1", -0.6, 0.6, 0.1),
    ("bevel.2", -0.6, 0.6, 0.1),
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
        self.start = np.zeros(len(profiles))

    def move(self, look: Look) -> None:
        """Begin from where a look finds the edges."""
        self.start = _nearest(self.profiles, self.at, look, self.angle)

    def shadows(self, look: Look) -> list[Look]:
        """Return looks with shadows of many directions, widths and forms."""
        far = float(self.at[-1]) - 3.0
        return [
            replace(look, shadow_px=share * far, away_rad=away, depth=depth, spread=0.15, fade=0.4, core=core)
            for away in np.arange(8) * (pi / 4.0)
            for share in (0.15, 0.3, 0.5, 0.75)
            for depth, core in ((0.4, 0.05), (0.4, 0.35))
        ]

    def judged(self, look: Look) -> tuple[float, Look]:
        """Return the score of a look, edges taken from where it puts them."""
        self.move(look)
        return self._score(look, 0), look

    def led(self, look: Look, unknowns: tuple[_Unknown, ...], most: int) -> tuple[float, Look]:
        """Return the best look that can be reached from one, edges taken from where it puts them."""
        self.move(look)
        return self.best(look, unknowns, most)

    def best(self, start: Look, unknowns: tuple[_Unknown, ...], most: int = 12) -> tuple[float, Look]:
        """Return the score (less is better) and the best look that can be reached by changing the unknowns."""
        from scipy.optimize import least_squares  # takes its time to load, and photos do without

        names = [u[0] for u in unknowns]
        least, top = np.array([u[1] for u in unknowns]), np.array([u[2] for u in unknowns])
        first = np.clip([_value(start, name) for name in names], least + 1e-6, top - 1e-6)

        def rest(y: Floats) -> Floats:
            return self._rest(_changed(start, names, y)).ravel() / _LIGHT_NOISE

        found = least_squares(
            rest,
            first,
            bounds=(least, top),
            loss="soft_l1",
            f_scale=0.5,
            x_scale=[u[3] for u in unknowns],
            diff_step=0.01,
            max_nfev=most,
        ).x
        look = _changed(start, names, found)
        return self._score(look, len(names)), look

    def _score(self, look: Look, unknowns: int) -> float:
        same = self._rest(look)[:, (self.at >= -6.0) & (self.at <= 8.0)]  # the same samples for every look
        squares = np.sort((same**2).sum(axis=1))[: max(1, int(0.85 * len(same)))]
        return same.size * log(max(float(squares.sum()), 1e-12) / same.size) + unknowns * log(same.size)

    def _rest(self, look: Look) -> Floats:
        return _solve(self.profiles, self.at, look, self.angle, self.start, rounds=3)[1]
