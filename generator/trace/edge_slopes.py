"""How the light beside an edge changes with what its look is made of, in closed form.

A Gaussian blur of width s obeys the equation of heat: the change of what it blurs with s is s times its second
derivative across the edge. So all that a look is made of is differentiated with the functions that make it up.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.trace.edge_model import NO_WIDTH_PX, Look, blurred, facing, fading, shadow_at, tilt_at

Floats = NDArray[np.float64]


class Slopes:
    """Derivatives of the light in profiles by fields of a look, places and levels of the edges held.

    Args:
        x: distances of the samples from the edges, px, shape (n, m).
        look: what the edges share.
        angle: direction of their normals, rad, v down, shape (n,).
        metal: level of each edge, linear light, shape (n,).
        ground: of its surroundings.
    """

    def __init__(self, x: Floats, look: Look, angle: Floats, metal: Floats, ground: Floats) -> None:
        self._x, self._look, self._angle = x, look, angle
        self._metal, self._ground = metal[:, None], ground[:, None]
        s = look.blur_px
        self._step, self._ramp, self._impulse = blurred(x, s)
        self._bend = -x * self._impulse / s  # s times the second derivative of the step
        if look.shadow_px > 0.0:
            self._shadow()
        self._strayed = fading(x, s, np.array([[look.halo_px]])) if look.halo > 0.0 or look.shadow_px > 0.0 else None
        if look.bevel_px > 0.0:
            self._start, start_ramp, self._start_impulse = blurred(x + look.bevel_px, s)
            self._rise = (start_ramp - self._ramp) / look.bevel_px
            self._tilt = tilt_at(look, angle)[:, None]

    def _shadow(self) -> None:
        look, s = self._look, self._look.blur_px
        width, depth = shadow_at(look, self._angle)
        self._wide = (width > NO_WIDTH_PX)[:, None]
        self._w = w = np.maximum(width, NO_WIDTH_PX)[:, None]
        self._lost = np.where(self._wide, depth[:, None], 0.0)
        self._near, near_ramp, self._near_impulse = blurred(self._x - look.core * w, s)
        self._far, far_ramp, self._far_impulse = blurred(self._x - w, s)
        self._run = w * (1.0 - look.core)
        self._fall = (near_ramp - far_ramp) / self._run
        self._slow = fading(self._x, s, 0.5 * w) if look.tail > 0.0 else np.zeros_like(self._x)
        self._dark = (1.0 - look.tail) * (self._step - self._fall) + look.tail * self._slow

    def by(self, names: Sequence[str]) -> Floats:
        """Return the derivatives by some fields (``bevel.1`` is the second number of ``bevel``), shape (k, n, m)."""
        return np.stack([_BY[name](self) for name in names])

    def _blur(self) -> Floats:
        look, s = self._look, self._look.blur_px
        metal, ground = -self._bend, self._bend
        if look.shadow_px > 0.0:
            dark = self._bend - s * (self._near_impulse - self._far_impulse) / self._run
            slow = self._spread_out(self._slow, 0.5 * self._w) if look.tail > 0.0 else 0.0
            ground = ground - self._lost * ((1.0 - look.tail) * dark + look.tail * slow)
        if look.halo > 0.0 and self._strayed is not None:
            ground = ground - look.halo * self._spread_out(self._strayed, np.array([[look.halo_px]]))
        if look.bevel_px > 0.0:
            rise = s * (self._start_impulse - self._impulse) / look.bevel_px
            metal = metal + self._tilt * (rise - self._bend)
        return self._metal * metal + self._ground * ground

    def _spread_out(self, fade: Floats, length: Floats) -> Floats:
        """Return how an exponential fall changes with the blur."""
        bend: Floats = self._bend - self._look.blur_px * (self._impulse - fade / length) / length
        return bend

    def _lengthened(self, fade: Floats, length: Floats) -> Floats:
        """Return how an exponential fall changes with its length."""
        s = self._look.blur_px
        longer: Floats = (fade * (self._x - s * s / length) + s * s * self._impulse) / length**2
        return longer

    def _wider(self) -> Floats:
        """Return how darkness changes with the width of the shadow at each edge."""
        look = self._look
        wider = self._fall / self._w - (self._far - look.core * self._near) / self._run
        if look.tail > 0.0:
            wider = (1.0 - look.tail) * wider + 0.5 * look.tail * self._lengthened(self._slow, 0.5 * self._w)
        return np.where(self._wide, self._lost * wider, 0.0)

    def _width(self) -> Floats:
        return -self._ground * facing(self._look, self._angle)[:, None] * self._wider()

    def _depth(self) -> Floats:
        return -self._ground * (self._lost / max(self._look.depth, 1e-6)) * self._dark

    def _turned(self, change: Floats) -> Floats:
        """Return the light's change where the shadow's facing changes."""
        look, face = self._look, facing(self._look, self._angle)
        change = np.where(face > 1e-6, change, 0.0)[:, None]
        lost = look.fade * self._lost / face[:, None]
        return -self._ground * change * (look.shadow_px * self._wider() + lost * self._dark)

    def _away(self) -> Floats:
        return self._turned(np.sin(self._angle - self._look.away_rad) / (1.0 + self._look.spread))

    def _spread(self) -> Floats:
        return self._turned((1.0 - np.cos(self._angle - self._look.away_rad)) / (1.0 + self._look.spread) ** 2)

    def _fade(self) -> Floats:
        return -self._ground * self._lost * np.log(facing(self._look, self._angle))[:, None] * self._dark

    def _core(self) -> Floats:
        fall = (self._fall * self._w - self._w * self._near) / self._run
        return self._ground * self._lost * (1.0 - self._look.tail) * fall

    def _tail(self) -> Floats:
        slow = self._slow if self._look.tail > 0.0 else fading(self._x, self._look.blur_px, 0.5 * self._w)
        return -self._ground * self._lost * (slow - self._step + self._fall)

    def _halo(self) -> Floats:
        assert self._strayed is not None
        return -self._ground * self._strayed

    def _reach(self) -> Floats:
        assert self._strayed is not None
        return -self._ground * self._look.halo * self._lengthened(self._strayed, np.array([[self._look.halo_px]]))

    def _bevel_width(self) -> Floats:
        return self._metal * self._tilt * (self._start - self._rise) / self._look.bevel_px

    def _bevel(self, factor: Floats) -> Floats:
        return self._metal * factor[:, None] * (self._rise - self._step)


_BY: Final[dict[str, Callable[[Slopes], Floats]]] = {
    "blur_px": Slopes._blur,
    "shadow_px": Slopes._width,
    "away_rad": Slopes._away,
    "depth": Slopes._depth,
    "spread": Slopes._spread,
    "fade": Slopes._fade,
    "core": Slopes._core,
    "tail": Slopes._tail,
    "halo": Slopes._halo,
    "halo_px": Slopes._reach,
    "bevel_px": Slopes._bevel_width,
    "bevel.0": lambda s: s._bevel(np.ones_like(s._angle)),
    "bevel.1": lambda s: s._bevel(np.cos(s._angle)),
    "bevel.2": lambda s: s._bevel(np.sin(s._angle)),
}
