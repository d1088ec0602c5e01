"""Numbers by counting, and the field of form errors."""

from __future__ import annotations

import numpy as np
import pytest

from generator.fit.draws import STEP, normals, product, scrambled, uniforms
from generator.fit.field import field_weights


def test_scrambling_is_splitmix64():
    """The first five numbers for the seed 1234567, as printed in Rosetta Code, "Pseudo-random numbers/Splitmix64"."""
    states = np.array([(1234567 + k * int(STEP)) % 2**64 for k in range(1, 6)], dtype=np.uint64)
    assert scrambled(states).tolist() == [
        6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431, 16408922859458223821,
    ]  # fmt: skip


def test_uniforms_are_even():
    u = uniforms(7, 4, range(50_000))
    assert u.shape == (4, 50_000)
    assert np.abs(u).max() < 1.0
    counts = np.array([np.histogram(row, bins=20, range=(-1, 1))[0] for row in u])
    chi2 = ((counts - 2500) ** 2 / 2500).sum(axis=1)
    assert (chi2 < 43.8).all()  # 99.9 % of chi squared with 19 degrees of freedom
    assert np.abs(np.corrcoef(u) - np.eye(4)).max() < 4.0 / np.sqrt(50_000)


def test_normals_are_normal():
    z = normals(31, 3, range(50_000))
    assert z.shape == (3, 50_000)
    error = 4.0 / np.sqrt(50_000)
    assert np.abs(z.mean(axis=1)).max() < error
    assert np.abs(z.std(axis=1) - 1.0).max() < error
    assert np.abs((np.abs(z) < 1.96).mean(axis=1) - 0.95).max() < 4.0 * np.sqrt(0.95 * 0.05 / 50_000)
    assert np.abs((z**4).mean(axis=1) - 3.0).max() < 4.0 * np.sqrt(96.0 / 50_000)


def test_a_stream_does_not_depend_on_how_much_is_drawn():
    assert (uniforms(5, 3, range(100))[1][:40] == uniforms(6, 1, range(40))[0]).all()
    assert (normals(5, 2, range(100))[:, :40] == normals(5, 2, range(40))).all()


def test_later_numbers_are_those_of_a_longer_draw():
    assert (uniforms(5, 2, range(60, 100)) == uniforms(5, 2, range(100))[:, 60:]).all()
    assert (normals(5, 3, range(60, 100)) == normals(5, 3, range(100))[:, 60:]).all()


def test_a_product_in_rows_is_the_product():
    rng = np.random.default_rng(1)
    a, b = rng.normal(size=(3001, 40)), rng.normal(size=(40, 90))
    assert np.allclose(product(a, b), a @ b, rtol=1e-12, atol=1e-12)
    assert product(a[:2], b).shape == (2, 90)


@pytest.mark.parametrize("together", [5.0, 20.0])
def test_the_field_has_its_covariance(together):
    rng = np.random.default_rng(3)
    places = rng.uniform(-30, 30, (70, 2))
    places[5] = places[4]  # a corner stands twice among the contacts
    weights = field_weights(places, together)
    d = np.hypot(*(places[:, None, :] - places[None, :, :]).transpose(2, 0, 1))
    wanted = np.exp(-((d / together) ** 2) / 2.0)
    assert np.abs(weights.T @ weights - wanted).max() < 5e-3
    assert len(weights) < 70
    assert weights[:, 4] == pytest.approx(weights[:, 5])


def test_the_field_does_not_mind_where_the_outline_lies():
    rng = np.random.default_rng(4)
    places = rng.uniform(-30, 30, (40, 2))
    turned = places @ np.array([[0.6, 0.8], [-0.8, 0.6]]) + [100.0, -20.0]
    assert field_weights(turned, 15.0) == pytest.approx(field_weights(places, 15.0), abs=1e-6)
