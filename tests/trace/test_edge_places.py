"""Edges within light profiles of known make: blur, shadow, bevel and noise put in, places and looks asked back."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter1d
from scipy.signal import savgol_coeffs

from generator.trace.edge_look import look_of
from generator.trace.edge_model import Look, distances, places
from generator.trace.windows import parabolic

FINE = 20
"""Steps to the pixel of the drawn profiles, blurred by an independent filter."""


def profiles(shifts, angles, *, blur, width=0.0, away=0.0, depth=0.0, bevel=0.0, noise=0.0, seed=1):
    """Light along normals: a step at each shift, a linear shadow beyond it, a bevel's ramp before it."""
    at = distances(12.0)
    rng = np.random.default_rng(seed)
    out = []
    for shift, angle in zip(shifts, angles, strict=True):
        d = (np.arange(-24 * FINE, 34 * FINE) + 0.5) / FINE  # the edge lies between two steps
        x = d + shift
        wide = width * max(np.cos(angle - away), 1e-9)
        lit = 0.85 * (1.0 - depth * np.clip(1.0 - d / wide, 0.0, 1.0)) if wide > 1e-3 else np.full_like(d, 0.85)
        metal = 0.3 * (1.0 + (0.2 * np.cos(angle) * np.clip(1.0 + d / bevel, 0.0, 1.0) if bevel else 0.0))
        light = gaussian_filter1d(np.where(d < 0.0, metal, lit), blur * FINE, mode="nearest")
        out.append(np.interp(at, x, light) + rng.normal(0.0, noise, len(at)))
    normals = np.column_stack([np.cos(angles), np.sin(angles)])
    return np.array(out), normals, at


def around(n):
    return np.linspace(-np.pi, np.pi, n, endpoint=False)


@pytest.mark.parametrize("window", [3, 5, 9, 31])
def test_an_outline_is_smoothed_by_the_weights_of_a_general_library(window):
    assert parabolic(window) == pytest.approx(savgol_coeffs(window, 2), abs=1e-14)


def test_a_plain_edge_lies_where_it_was_put():
    shifts = np.random.default_rng(3).uniform(-1.0, 1.0, 72)
    light, normals, at = profiles(shifts, around(72), blur=0.9)
    found = places(light, normals, at, look_of(light, normals, at))
    assert np.abs(found.shift_px - shifts).max() < 0.02


def test_shadow_and_bevel_are_told_and_taken_out():
    shifts = np.random.default_rng(4).uniform(-0.7, 0.7, 96)
    made = {"blur": 1.0, "width": 7.0, "away": 1.2, "depth": 0.4, "bevel": 3.5}
    light, normals, at = profiles(shifts, around(96), noise=0.002, **made)
    look = look_of(light, normals, at)
    assert look.blur_px == pytest.approx(1.0, abs=0.08)
    assert look.shadow_px == pytest.approx(7.0, abs=0.7)
    assert look.depth == pytest.approx(0.4, abs=0.04)
    assert np.cos(look.away_rad - 1.2) > np.cos(0.15)
    off = places(light, normals, at, look).shift_px - shifts
    assert np.abs(np.median(off)) < 0.03
    assert np.percentile(np.abs(off), 95) < 0.12  # a tenth of a pixel: 10 µm at 300 dpi


def test_without_the_shadow_in_the_look_edges_lie_outside():
    light, normals, at = profiles(np.zeros(96), around(96), blur=1.0, width=7.0, away=1.2, depth=0.4)
    facing = normals @ np.array([np.cos(1.2), np.sin(1.2)]) > 0.7
    plain = places(light, normals, at, Look(1.0)).shift_px[facing]
    told = places(light, normals, at, look_of(light, normals, at)).shift_px[facing]
    assert plain.min() > 0.15
    assert np.abs(told).max() < 0.1


def test_stated_deviations_are_those_of_repetitions():
    light, normals, at = profiles(np.zeros(400), np.full(400, 0.3), blur=1.0, noise=0.01)
    found = places(light, normals, at, Look(1.0))
    assert found.shift_px.std() == pytest.approx(float(np.median(found.sigma_px)), rel=0.8)
