"""Edges of a plate in a photo: top face, the wall that is seen below it, and the table with the shadow upon it.

Along the outward normal, x in px from the edge against the table, linear light is::

    top (x < −w)     wall (−w < x < 0)     ground + slope · x  (x > 0)

blurred by a Gaussian that the picture's edges share. How wide the wall looks, w, is known from camera and thickness, 0
where the top edge hides it; its light is nearly the same share of the top's everywhere. Slope takes the shadow, whose
shape depends on what hides it. Levels and slope are linear; the place is found by Gauss-Newton, all edges at once.
"""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from generator.trace.edge_points import Edge, Ground, steepest
from generator.trace.surround import LEAST_LOOP_MM, Coarse, shoelace
from generator.trace.windows import Pooled, Stretches

Floats = NDArray[np.float64]

INSIDE_PX: Final = 6.0
OUTSIDE_PX: Final = 5.5
"""How far profiles are used: the shadow is straight enough over that."""
STEP_PX: Final = 0.5
BLURS: Final = (0.55, 0.7, 0.85, 1.0, 1.15, 1.3, 1.5, 1.75, 2.0, 2.4)
"""Widths of the blur that are tried, px, before the best is improved."""
FIRST_SHARE: Final = 0.7
LOOSE, TIED = 0.5, 0.08
"""Standard deviation of the wall's light as a share of the top's, before and after it is known."""
SLOPE_SD: Final = 0.06
"""Of the light on the table, for a pixel: a shadow of 0.4 that ends within 8 pixels has 0.05."""
NOISE: Final = 0.01
WIDE_PX: Final = 3.0
"""Walls as wide as this tell their light by themselves."""
LEAST_POINTS: Final = 32


class Places(NamedTuple):
    """Where edges lie: shift (px along the normal), its standard deviation, light of the wall for the top's, misfit."""

    shift: Floats
    sigma: Floats
    share: Floats
    misfit: Floats


def pooled_of(ground: Ground, thing: Coarse, px_per_mm: float) -> list[Pooled]:
    """Return the profiles of a thing's outline and openings; what is smaller than dirt is left out."""
    out = []
    for i, loop in enumerate((thing.outer, *thing.inner)):
        area = shoelace(loop)
        if i and abs(area) < np.pi / 4.0 * (LEAST_LOOP_MM * px_per_mm) ** 2:
            continue
        outward = (-1.0 if area > 0.0 else 1.0) * (1.0 if i == 0 else -1.0)
        edge: Edge = steepest(ground, loop, outward, thing.surround - thing.level)
        if len(edge.points) >= LEAST_POINTS:
            out.append(Pooled(ground, edge, px_per_mm))
    return out


def stretches_of(pooled: list[Pooled], widths: list[Floats]) -> tuple[list[Stretches], float]:
    """Return the edges' places and the blur (px) that they share.

    Args:
        pooled: profiles of every loop.
        widths: how wide the wall looks at each stretch, px, for every loop.
    """
    w = np.concatenate(widths)
    everything = _profiles(pooled)
    blur = _blur(everything, pooled[0].at, w)
    share = FIRST_SHARE
    first = places(everything, pooled[0].at, w, blur, (share, LOOSE))
    wide = w > WIDE_PX
    if wide.sum() >= 8:
        share = float(np.clip(np.median(first.share[wide]), 0.2, 1.5))
    ends = np.cumsum([len(x) for x in widths])[:-1]
    for p, shift in zip(pooled, np.split(first.shift, ends), strict=True):
        p.follow(shift)
    everything = _profiles(pooled)
    blur = _blur(everything, pooled[0].at, w)
    found = places(everything, pooled[0].at, w, blur, (share, TIED))
    out = []
    for p, shift, sigma in zip(pooled, np.split(found.shift, ends), np.split(found.sigma, ends), strict=True):
        out.append(Stretches(p.points + p.normals * shift[:, None], p.normals, sigma))
    return out, blur


def _profiles(pooled: list[Pooled]) -> Floats:
    """Return all profiles, each by the light of the table beside it."""
    profiles = np.vstack([p.profiles for p in pooled])
    far = np.median(profiles[:, pooled[0].at > 3.0], axis=1)
    scaled: Floats = profiles / np.maximum(far, 0.02)[:, None]
    return scaled


def _blur(profiles: Floats, at: Floats, widths: Floats) -> float:
    """Return the blur under which the profiles are explained best, px."""
    step = max(1, len(profiles) // 80)
    some, w = profiles[::step], widths[::step]

    def misfit(s: float) -> float:
        found = places(some, at, w, s, (FIRST_SHARE, LOOSE), rounds=5)
        return float(np.median(found.misfit))

    scores = [misfit(s) for s in BLURS]
    k = int(np.clip(np.argmin(scores), 1, len(BLURS) - 2))
    a, b = np.polyfit(BLURS[k - 1 : k + 2], scores[k - 1 : k + 2], 2)[:2]
    best = -b / (2.0 * a) if a > 1e-12 else BLURS[k]
    return float(np.clip(best, BLURS[k - 1], BLURS[k + 1]))


def places(
    profiles: Floats, at: Floats, widths: Floats, blur: float, share: tuple[float, float], *, rounds: int = 8
) -> Places:
    """Return where the edges lie.

    Args:
        profiles: light, the table's beside the edge about 1, shape (n, m).
        at: distances of the samples along the normals, px, shape (m,).
        widths: of the walls, px, shape (n,).
        blur: standard deviation, px.
        share: the wall's light for the top's, and its standard deviation.
        rounds: of Gauss-Newton.
    """
    used = (at >= -INSIDE_PX) & (at <= OUTSIDE_PX)
    p, x0 = profiles[:, used], at[used]
    n = len(p)
    w = np.maximum(widths, 0.0)[:, None]
    shift = np.zeros(n)
    weight = np.ones_like(p)
    tie = np.array([share[0], -1.0, 0.0, 0.0])
    slope = np.array([0.0, 0.0, 0.0, 1.0])
    level = np.maximum(np.median(p[:, x0 < -3.0], axis=1), 0.05)
    known = (NOISE / (share[1] * level))[:, None, None] ** 2 * np.outer(tie, tie) + (NOISE / SLOPE_SD) ** 2 * np.outer(
        slope, slope
    )
    known = known + 1e-9 * np.eye(4)
    levels = np.zeros((n, 4))
    rest, own = p, np.ones(n)
    for i in range(rounds):
        x = x0[None, :] - shift[:, None]
        far, near = (x + w) / blur, x / blur
        before, beyond = ndtr(far), ndtr(near)
        bell_far, bell = np.exp(-0.5 * far * far) / 2.5066282746, np.exp(-0.5 * near * near) / 2.5066282746
        columns = np.stack([1.0 - before, before - beyond, beyond, x * beyond + blur * bell], axis=2)
        normal = np.einsum("nmi,nm,nmj->nij", columns, weight, columns) + known
        levels = np.linalg.solve(normal, np.einsum("nmi,nm->ni", columns, weight * p)[:, :, None])[:, :, 0]
        rest = p - np.einsum("nmi,ni->nm", columns, levels)
        climb = (
            levels[:, :1] * -bell_far
            + levels[:, 1:2] * (bell_far - bell)
            + levels[:, 2:3] * bell
            + levels[:, 3:] * blur * beyond
        ) / blur
        g = -climb  # what the light changes by when the edge moves out
        gc = np.einsum("nmi,nm->ni", columns, weight * g)
        own = (weight * g * g).sum(axis=1) - (gc * np.linalg.solve(normal, gc[:, :, None])[:, :, 0]).sum(axis=1)
        own = np.maximum(own, 1e-9)
        pull = (weight * g * rest).sum(axis=1)  # levels are the best for this place: they have no part in it
        shift = np.clip(shift + np.clip(pull / own, -0.5, 0.5), -4.0, 4.0)
        if i >= 2:
            scale = 1.4826 * np.median(np.abs(rest), axis=1)[:, None] + 1e-4
            weight = np.maximum(1.0 - (rest / (5.0 * scale)) ** 2, 0.0) ** 2
    misfit = np.sqrt((weight * rest * rest).sum(axis=1) / np.maximum(weight.sum(axis=1) - 4.0, 4.0))
    return Places(shift, misfit / np.sqrt(own * STEP_PX), levels[:, 1] / np.maximum(levels[:, 0], 1e-3), misfit)
