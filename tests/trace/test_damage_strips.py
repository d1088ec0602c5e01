"""Chips and burrs in strips of light made by closed form: each told once, with its place, depth and length."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.ndimage import gaussian_filter
from scipy.stats import norm

from generator.trace.missing import Face, face_of, gaps
from generator.trace.rims import Rim
from generator.trace.swells import blunt, levelled, swells

STEP, BLUR, PX = 0.1, 0.08, 0.0847
METAL, GROUND = 0.2, 0.8
N = 600
ACROSS = np.arange(-1.5, 1.2, 0.5 * PX)
ROUND = 2.0 * np.pi * (np.arange(N) + 0.5) / N


def rim(light: np.ndarray | None = None, ground: float = GROUND) -> Rim:
    """A round rim whose metal lies within; ``light`` in place of an undamaged edge's."""
    radius = N * STEP / (2.0 * np.pi)
    normals = np.column_stack([np.cos(ROUND), np.sin(ROUND)])
    whole = np.tile(METAL + (ground - METAL) * norm.cdf(ACROSS / BLUR), (N, 1))
    return Rim(
        radius * normals, normals, np.zeros(N, dtype=np.int64), np.full(N, STEP), ACROSS,
        whole if light is None else light, np.full(N, 1.5), np.full(N, METAL), np.full(N, ground), whole / METAL,
    )  # fmt: skip


def spoilt(first: float, length: float, low: float, high: float, level: float, seed: int = 0) -> Rim:
    """A rim on which light is ``level`` from ``first`` on for a length, between two distances, with brush marks."""
    along = (np.arange(N) * STEP - first) % (N * STEP)
    patch = (along[:, None] < length) & (low < ACROSS) & (high > ACROSS)
    soft = gaussian_filter(patch.astype(float), (BLUR / STEP, BLUR / (0.5 * PX)), mode=("wrap", "nearest"))
    marks = 1.0 + 0.04 * np.random.default_rng(seed).standard_normal((N, 1))
    return rim((rim().light * (1.0 - soft) + soft * level) * marks)


def found(r: Rim) -> list:
    face = face_of([r], BLUR)
    return gaps(r, face, BLUR, face.shortest(PX, photo=False))


@settings(deadline=None, max_examples=40)
@given(
    first=st.floats(0.0, 60.0),
    length=st.floats(0.6, 2.5),
    depth=st.floats(0.35, 1.2),
    level=st.one_of(st.floats(0.02, 0.06), st.floats(0.55, 0.8)),
    seed=st.integers(0, 99),
)
def test_a_chip_is_told_once_wherever_it_is(first, length, depth, level, seed):
    (patch,) = found(spoilt(first, length, -depth, 0.0, level, seed))
    assert -patch.off == pytest.approx(depth, abs=2.0 * BLUR)
    assert patch.length == pytest.approx(length, abs=0.35)
    middle = first + 0.5 * length
    away = abs((patch.worst * STEP - middle + 0.5 * N * STEP) % (N * STEP) - 0.5 * N * STEP)
    assert away <= 0.5 * length + 0.1


@settings(deadline=None, max_examples=25)
@given(first=st.floats(0.0, 60.0), length=st.floats(0.5, 3.0), lost=st.floats(0.0, 0.36), seed=st.integers(0, 99))
def test_rust_at_an_edge_is_no_chip(first, length, lost, seed):
    """Brush marks of up to 0.12 come on top."""
    assert found(spoilt(first, length, -1.0, 0.0, METAL * (1.0 - lost), seed)) == []


def test_what_does_not_reach_the_edge_is_no_damage_of_it():
    assert found(spoilt(10.0, 1.0, -1.2, -0.7, 0.03)) == []
    assert len(found(spoilt(10.0, 1.0, -1.2, -0.1, 0.03))) == 1


def test_scratches_across_an_edge_are_no_chips():
    assert found(spoilt(10.0, 0.2, -1.5, 0.0, 0.7)) == []
    light = rim().light.copy()
    for k, x in enumerate(ACROSS):  # aslant: a millimetre along for one across
        light[(100 + round(-x / STEP) + np.arange(2)) % N, k] += 0.5
    assert found(rim(light)) == []


def test_where_all_of_the_face_is_spotted_only_what_is_darker_still_counts():
    spots = np.repeat(np.random.default_rng(4).random((N // 6, 1)) < 0.1, 6, axis=0)
    spotted = spoilt(10.0, 1.0, -0.6, 0.0, 0.55 * METAL).light * np.where(spots, 0.5, 1.0)
    face = face_of([rim(spotted)], BLUR)
    assert not face.even
    assert face.dark[0] > face_of([rim()], BLUR).dark[0]
    assert face_of([rim()], BLUR) == Face((0.48, pytest.approx(0.336)), (0.3, pytest.approx(0.21)), True)


def test_in_the_shadow_of_its_edges_a_chip_is_told_before_a_bright_lid_only():
    half = METAL + 0.4 * (GROUND - METAL)
    assert len(found(spoilt(20.0, 1.0, -0.6, 0.0, half))) == 1
    dull = replace(spoilt(20.0, 1.0, -0.6, 0.0, METAL * 1.3), ground=np.full(N, METAL * 1.4))
    assert found(dull) == []


# ------------------------------------------------------------------ places that were seen off their feature


def bumped(height: float, sigma: float, middle: float = 30.0, noise: float = 0.004) -> tuple[np.ndarray, Rim]:
    """How far points every half millimetre are seen off a round edge with a bell on it, and the strip beside it."""
    along = np.arange(N) * STEP
    bell = height * np.exp(-0.5 * ((along - middle) / sigma) ** 2)
    light = METAL + (GROUND - METAL) * norm.cdf((ACROSS[None, :] - bell[:, None]) / BLUR)
    off = bell[::5] + np.random.default_rng(1).normal(0.0, noise, N // 5)
    return off, rim(light)


def told(off: np.ndarray, strip: Rim, *, dents: bool = True) -> list:
    points = strip.at[::5]
    even, least = levelled(off, np.zeros(len(off), dtype=int), 0.04)
    return swells(points, even, least, strip, PX, dents=dents)


@settings(deadline=None, max_examples=25)
@given(height=st.floats(0.08, 0.3), sigma=st.floats(0.3, 0.7), middle=st.floats(2.0, 58.0))
def test_a_burr_is_told_once_with_its_height_and_half_its_width(height, sigma, middle):
    (patch,) = told(*bumped(height, sigma, middle))
    assert patch.off == pytest.approx(height, rel=0.3)
    assert patch.length == pytest.approx(2.355 * sigma, rel=0.35)  # a bell's width at half its height: 2 √(2 ln 2) σ
    assert patch.worst * STEP == pytest.approx(middle, abs=0.5)


def test_a_grain_of_dust_is_no_burr_though_it_is_as_high():
    assert told(*bumped(0.2, 0.1)) == []


def test_noise_is_no_damage():
    assert told(*bumped(0.0, 0.5, noise=0.012)) == []


def test_a_dent_counts_where_the_metal_beside_it_is_as_bright_as_elsewhere():
    off, strip = bumped(-0.15, 0.6)
    (patch,) = told(off, strip)
    assert patch.off == pytest.approx(-0.15, abs=0.04)
    assert told(off, strip, dents=False) == []
    dim = strip.light.copy()
    dim[270:330] *= 0.6
    assert told(off, replace(strip, light=dim)) == []


def test_blur_of_a_corner_is_no_damage():
    off, strip = bumped(0.1, 0.4)
    even, least = levelled(off, np.zeros(len(off), dtype=int), 0.04)
    corner = strip.at[300:301]
    assert swells(strip.at[::5], even, blunt(strip.at[::5], least, corner), strip, PX) == []
    assert (blunt(strip.at[::5], least, corner[:0]) == least).all()
