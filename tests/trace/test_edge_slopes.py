"""Derivatives of an edge's light by what its look is made of: against differences of the light itself."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from generator.trace.edge_model import Look, distances, light_of
from generator.trace.edge_slopes import Slopes

LOOK = Look(0.9, 5.0, 1.0, 0.5, 0.2, 0.4, 0.3, 0.4, 0.05, 3.0, 2.5, (0.3, 0.1, -0.2))
NAMES = ("blur_px", "shadow_px", "away_rad", "depth", "spread", "fade", "core", "tail", "halo", "halo_px")
BEVEL = ("bevel_px", "bevel.0", "bevel.1", "bevel.2")
STEP = 1e-5


def changed(look: Look, name: str, by: float) -> Look:
    field, _, i = name.partition(".")
    if not i:
        return replace(look, **{field: getattr(look, field) + by})
    return replace(look, bevel=tuple(v + by * (k == int(i)) for k, v in enumerate(look.bevel)))


@pytest.mark.parametrize("look", [LOOK, replace(LOOK, tail=0.0), replace(LOOK, core=0.0), replace(LOOK, bevel_px=0.0)])
@pytest.mark.parametrize("name", NAMES + BEVEL)
def test_slopes_are_those_of_the_light(look, name):
    if name in BEVEL and look.bevel_px == 0.0:
        pytest.skip("no bevel, nothing of it changes")
    rng = np.random.default_rng(4)
    x = distances(8.0)[None, :] + rng.normal(0.0, 0.3, (20, 1))
    angle, metal, ground = rng.uniform(-3.0, 3.0, 20), rng.uniform(0.1, 0.3, 20), rng.uniform(0.7, 0.9, 20)
    down = 0.0 if name == "tail" and look.tail == 0.0 else STEP
    ahead, behind = (light_of(x, changed(look, name, by), angle, metal, ground) for by in (STEP, -down))
    (slope,) = Slopes(x, look, angle, metal, ground).by([name])
    assert np.abs(slope).max() > 1e-3
    assert slope == pytest.approx((ahead - behind) / (STEP + down), abs=2e-5)
