"""Uncertainties of features against resampling: footprints drawn by chance from the fit's covariance, each laid upon
the mean one by the rigid motion that brings all edges nearest, scatter as much as is told."""

from __future__ import annotations

import numpy as np
import pytest

from generator.outputs.footprint.told import length_of
from generator.trace.doubts import COVERAGE, freed
from generator.trace.primitives import LINE
from tests.trace.traced_cases import KEEPER, SLOTTED, account

DRAWS = 1500


@pytest.mark.parametrize("folder", [KEEPER, pytest.param(SLOTTED, marks=pytest.mark.slow)])
def test_stated_uncertainties_are_those_of_footprints_drawn_by_chance(folder):
    told = account(folder)
    solved, along = told.traced.solved, told.footprint.along
    model, x = solved.layout.model, solved.found.x
    values, vectors = np.linalg.eigh(solved.found.covariance)
    root = vectors * np.sqrt(np.maximum(values, 0.0))
    draws = x + np.random.default_rng(7).standard_normal((DRAWS, len(x))) @ root.T
    base = model.with_values(x)
    rounds = [i for i, p in enumerate(base) if p.kind != LINE]
    radii, centres = [], []
    for draw in draws:
        drawn = model.with_values(draw)
        # how far every edge moved along its normal; a point-to-normal motion of the whole, one Gauss-Newton step
        shift = along.rows @ (draw - x)
        w = along.weight
        a = along.rigid * w[:, None]
        motion = np.linalg.solve(a.T @ along.rigid, a.T @ shift)
        turn = motion[2]
        c, s = np.cos(-turn), np.sin(-turn)
        back = np.array([[c, -s], [s, c]])
        radii.append([drawn[i].values[2] for i in rounds])
        centres.append([back @ (np.array(drawn[i].values[:2]) - motion[:2]) for i in rounds])
    spread_r = np.std(radii, axis=0)
    spread_c = np.cov(np.array(centres).reshape(DRAWS, -1).T)
    for k, i in enumerate(rounds):
        doubt = told.footprint.features[i].doubt.turned(-told.footprint.placement.angle)
        assert spread_r[k] == pytest.approx(doubt.radius, rel=0.1, abs=1e-6)
        own = spread_c[2 * k : 2 * k + 2, 2 * k : 2 * k + 2]
        scale = max(float(np.trace(own)), 1e-12)
        assert np.array(doubt.centre) == pytest.approx(own, abs=0.12 * scale)


def test_a_motion_of_the_whole_part_is_no_uncertainty():
    told = account(KEEPER)
    solved, along = told.traced.solved, told.footprint.along
    x = solved.found.x
    moved = np.zeros(len(x))
    for p, at in zip(solved.primitives, solved.layout.model.places(), strict=True):
        assert p.kind != LINE, "this part is all arcs"
        moved[at], moved[at + 1] = 0.3 - 0.01 * p.values[1], -0.2 + 0.01 * p.values[0]
    assert np.abs(freed(solved.layout.model, x, along) @ moved).max() < 1e-9


def test_the_outline_figure_is_the_root_mean_square_of_its_edges():
    told = account(SLOTTED)
    edges = [(f.doubt.edge, f) for f in told.footprint.features if f.primitive.loop == 0]
    length = np.array([length_of(f) for _, f in edges])
    mean = np.sqrt((np.array([e for e, _ in edges]) ** 2 @ length) / length.sum())
    assert told.footprint.outline_doubt == pytest.approx(COVERAGE * mean, rel=1e-3)
