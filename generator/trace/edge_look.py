"""What the edges of one picture share: blur, shadow, stray light and bevel, found from profiles of many edges."""

from __future__ import annotations

from dataclasses import replace
from math import log, pi
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from generator.trace.edge_model import WIDEST_SHADOW_PX, Look, counted, nearest, own_directions, solved
from generator.trace.edge_slopes import Slopes

Floats = NDArray[np.float64]

SEEN_PX: Final = 8.0
"""How far outside every look must explain what is seen: one without a shadow shall not win by looking away."""
ENOUGH: Final = 1e-6
"""Share of the cost; a step that saves less is the last."""
_LIGHT_NOISE: Final = 0.01
"""Scale of residuals in linear light."""
_SOFT: Final = 0.5
"""Beyond this share of the scale residuals count less (dust, scratches)."""
_USUAL_SPREAD: Final = 0.3
_USUAL_FADE: Final = 0.5
"""Standard deviations of what a shadow does with direction (chosen: a lamp of some width makes as much)."""

_Unknown = tuple[str, float, float, float]
"""Name of a look's field, its least and most value, and its scale."""
_BLUR: Final[tuple[_Unknown, ...]] = (("blur_px", 0.35, 3.5, 0.1),)
_FALLS: Final[tuple[_Unknown, ...]] = (
    ("shadow_px", 0.5, WIDEST_SHADOW_PX, 1.0),
    ("away_rad", -10.0, 10.0, 0.2),
    ("depth", 0.0, 0.95, 0.1),
    ("halo", 0.0, 0.3, 0.03),
)
_SHADOW: Final[tuple[_Unknown, ...]] = (*_FALLS, ("core", 0.0, 0.85, 0.2))
_TAILED: Final[tuple[_Unknown, ...]] = (*_FALLS, ("tail", 0.0, 1.0, 0.3))
_TURNS: Final[tuple[_Unknown, ...]] = (
    ("spread", 0.0, 0.9, 0.3),
    ("fade", 0.0, 2.0, 0.3),
    ("halo_px", 1.0, WIDEST_SHADOW_PX, 2.0),
)
_BEVEL: Final[tuple[_Unknown, ...]] = (
    ("bevel_px", 1.5, 8.0, 1.0),
    ("bevel.0", -0.6, 0.8, 0.1),
    ("bevel.1", -0.6, 0.6, 0.1),
    ("bevel.2", -0.6, 0.6, 0.1),
)


def rough_look(profiles: Floats, normals: Floats, at: Floats) -> Look:
    """Return what the edges share about: blur and the likeliest shadow of many, without a bevel.

    Args:
        profiles: linear light, shape (n, m).
        normals: unit normals away from the material, shape (n, 2), v down.
        at: distances of the samples, px, shape (m,).
    """
    trial = _Trial(profiles[::2, ::2], normals[::2], at[::2])
    plain = trial.led(Look(1.0), _BLUR, most=12)
    guesses = sorted((trial.judged(guess) for guess in trial.shadows(plain[1])), key=_score)[:3]
    return min([plain, *(trial.led(guess, _BLUR + _SHADOW, most=6) for _, guess in guesses)], key=_score)[1]


def look_of(profiles: Floats, normals: Floats, at: Floats, first: Look | None = None) -> Look:
    """Return what the edges share: the simplest of four looks (with or without shadow, bevel) that explains them.

    Simplest by Schwarz's criterion (1978): misfit against the number of unknowns.

    Args:
        profiles: linear light, shape (n, m).
        normals: unit normals away from the material, shape (n, 2), v down.
        at: distances of the samples, px, shape (m,).
        first: what the edges share about, if it is known.
    """
    if first is None or first.shadow_px <= 0.0:  # profiles across an edge not yet followed may have hidden it
        first = rough_look(profiles, normals, at)
    trial = _Trial(profiles, normals, at)
    plain = trial.led(Look(1.0), _BLUR, most=12)
    found = plain
    if first.shadow_px > 0.0:
        found = _shaded(trial, replace(plain[1], bevel_px=0.0), first)
        if plain[0] <= found[0]:
            trial.move(plain[1])
            found = plain
    found = min(found, _bevelled(trial, found[1]), key=_score)
    if found[1].bevel_px > 0.0:  # a bevel that was not known may have hidden where the shadow begins
        shadow = found[1] if found[1].shadow_px > 0.0 else first
        if shadow.shadow_px > 0.0:
            found = min(found, _shaded(trial, found[1], shadow), key=_score)
    return found[1]


def _shaded(trial: _Trial, look: Look, shadow: Look) -> tuple[float, Look]:
    """Return the best look with a shadow like another's: as it is, wider with a core, fading slowly."""
    rough = _Trial(trial.profiles[::2, ::2], trial.normals[::2], trial.at[::2])
    bevel = _BEVEL if look.bevel_px > 0.0 else ()
    like = replace(
        shadow, blur_px=look.blur_px, bevel_px=look.bevel_px, bevel=look.bevel, spread=min(shadow.spread, 0.1),
        fade=min(shadow.fade, 0.2), halo=max(shadow.halo, 0.01), halo_px=shadow.halo_px,
    )  # fmt: skip
    ramps, tails = _BLUR + _SHADOW + bevel, _BLUR + _TAILED + bevel
    tried = (
        (replace(like, tail=0.0), ramps),
        (
            replace(like, tail=0.0, shadow_px=1.3 * like.shadow_px, core=0.35, depth=min(1.1 * like.depth, 0.9)),
            ramps,
        ),
        (replace(like, tail=0.8, core=0.0, depth=min(1.3 * like.depth, 0.9)), tails),
    )
    near = sorted(((rough.led(guess, free, most=6), free) for guess, free in tried), key=lambda t: t[0][0])
    found = [(trial.led(led[1], free, most=8), free) for led, free in near[:2]]
    best, free = min(found, key=lambda t: t[0][0])
    return min(best, trial.led(best[1], free + _TURNS, most=8), key=_score)


def _bevelled(trial: _Trial, look: Look) -> tuple[float, Look]:
    """Return the best look with a bevel added."""
    shadow = _TAILED if look.tail > 0.0 else _SHADOW
    unknowns = _BLUR + (shadow if look.shadow_px > 0.0 else ()) + _BEVEL
    wide = [trial.best(replace(look, bevel_px=b), unknowns, most=5) for b in (2.2, 3.5, 5.0)]
    return trial.best(min(wide, key=_score)[1], unknowns)


def _score(scored: tuple[float, Look]) -> float:
    return scored[0]


def _unusual(look: Look) -> Floats:
    """Return how unusual a shadow's change with direction is, in standard deviations: little else tells it."""
    return np.array([look.spread / _USUAL_SPREAD, look.fade / _USUAL_FADE])


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
        self.start = nearest(self.profiles, self.at, look, self.angle)

    def shadows(self, look: Look) -> list[Look]:
        """Return looks with shadows of many directions, widths and forms."""
        far = float(self.at[-1]) - 3.0
        return [
            replace(
                look,
                shadow_px=share * far,
                away_rad=away,
                depth=depth,
                spread=0.1,
                fade=0.2,
                core=core,
                halo=0.01,
                halo_px=0.25 * far,
            )
            for away in np.arange(8) * (pi / 4.0)
            for share in (0.15, 0.3, 0.5, 0.75)
            for depth, core in ((0.4, 0.05), (0.4, 0.35))
        ]

    def judged(self, look: Look) -> tuple[float, Look]:
        """Return the score of a look, edges taken from where it puts them."""
        self.move(look)
        return self._score(look, 0, self.start), look

    def led(self, look: Look, unknowns: tuple[_Unknown, ...], most: int) -> tuple[float, Look]:
        """Return the best look that can be reached from one, edges taken from where each puts them."""
        self.move(look)
        found = self.best(look, unknowns, most)[1]
        self.move(found)
        return self._score(found, len(unknowns), self.start), found

    def best(self, start: Look, unknowns: tuple[_Unknown, ...], most: int = 12) -> tuple[float, Look]:
        """Return the score (less is better) and the best look that can be reached by changing the unknowns.

        Steps are damped (Marquardt 1963), places and levels follow them (Kaufman 1975), what is far off counts less
        (linearly beyond ``_SOFT``).
        """
        names = [u[0] for u in unknowns]
        least, top, scale = (np.array([u[i] for u in unknowns]) for i in (1, 2, 3))
        x = np.clip([_value(start, name) for name in names], least + 1e-6, top - 1e-6)
        here = _Judged(self, _changed(start, names, x), self.start)
        damping = 1e-2
        for _ in range(most):
            normal, right = here.normal(names, scale)
            step = _within(normal, right, damping, (least - x) / scale, (top - x) / scale)
            tried_x = np.clip(x + step * scale, least, top)
            tried = _Judged(self, _changed(start, names, tried_x), here.found.shift_px)
            if tried.cost < here.cost:
                done = here.cost - tried.cost < ENOUGH * here.cost
                x, here, damping = tried_x, tried, max(0.1 * damping, 1e-6)
                if done:
                    break
            else:
                damping *= 10.0
        return self._score(here.look, len(names), here.found.shift_px), here.look

    def _score(self, look: Look, unknowns: int, near: Floats) -> float:
        rest = solved(self.profiles, self.at, look, self.angle, near, rounds=2, least=SEEN_PX)[1]
        same = rest[:, (self.at >= -6.0) & (self.at <= SEEN_PX)]  # the same samples for every look
        squares = np.sort((same**2).sum(axis=1))[: max(1, int(0.85 * len(same)))]
        unusual = float(_unusual(look) @ _unusual(look))
        return same.size * log(max(float(squares.sum()), 1e-12) / same.size) + unknowns * log(same.size) + unusual


class _Judged:
    """A look with the places and levels of all edges under it, and what it costs.

    Args:
        trial: the profiles.
        look: what the edges share.
        near: where to begin looking for the edges, px, shape (n,).
    """

    def __init__(self, trial: _Trial, look: Look, near: Floats) -> None:
        self.trial, self.look = trial, look
        self.found, rest = solved(trial.profiles, trial.at, look, trial.angle, near, rounds=2, least=SEEN_PX)
        self.rest = rest / _LIGHT_NOISE
        self.prior = 0.5 * _unusual(look)
        self.cost = float(_soft(self.rest) + _soft(self.prior))

    def normal(self, names: list[str], scale: Floats) -> tuple[Floats, Floats]:
        """Return the normal matrix and the right side of the step that makes the cost less, unknowns in scales."""
        trial, look, found = self.trial, self.look, self.found
        counts = counted(trial.at, look, trial.angle, SEEN_PX)
        x = trial.at[counts][None, :] - found.shift_px[:, None]
        slopes = Slopes(x, look, trial.angle, found.metal, found.ground).by(names)
        slopes *= (scale / _LIGHT_NOISE)[:, None, None]
        for across in own_directions(x, look, trial.angle, found):
            slopes -= np.einsum("knm,nm->kn", slopes, across)[:, :, None] * across
        rest = self.rest[:, counts]
        weight = _weight(rest)
        flat = (slopes * weight).reshape(len(names), -1)
        normal = flat @ slopes.reshape(len(names), -1).T
        right = flat @ rest.ravel()
        for value, name, usual in zip(self.prior, ("spread", "fade"), (_USUAL_SPREAD, _USUAL_FADE), strict=True):
            if name in names:
                k = names.index(name)
                slope, counts_for = 0.5 / usual * scale[k], _weight(value)
                normal[k, k] += counts_for * slope * slope
                right[k] -= counts_for * slope * value
        return normal, right


def _within(normal: Floats, right: Floats, damping: float, least: Floats, most: Floats) -> Floats:
    """Return a damped step between bounds: what would leave them stops there, the rest allow for it."""
    step = np.zeros(len(right))
    free = np.ones(len(right), dtype=bool)
    damped = normal + damping * np.diag(np.diag(normal) + 1e-9)
    while free.any():
        held = ~free
        step[free] = np.linalg.solve(damped[np.ix_(free, free)], right[free] - normal[np.ix_(free, held)] @ step[held])
        out = free & ((step < least) | (step > most))
        if not out.any():
            break
        step[out] = np.clip(step[out], least[out], most[out])
        free &= ~out
    return step


def _soft(rest: Floats) -> float:
    """Return the sum of squares that grow linearly beyond ``_SOFT`` (pseudo-Huber: Charbonnier et al. 1997)."""
    return float(2.0 * _SOFT**2 * (np.sqrt(1.0 + (rest / _SOFT) ** 2) - 1.0).sum())


def _weight(rest: Floats) -> Floats:
    weight: Floats = 1.0 / np.sqrt(1.0 + (rest / _SOFT) ** 2)
    return weight
