"""Shapes of pixels against a general-purpose library, which goes pixel by pixel."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import ndimage

from generator.trace.masks import dilated, eroded, filled_area, opened, patches


@pytest.fixture(params=[(1, 1, 0.5), (40, 70, 0.35), (61, 33, 0.6), (120, 120, 0.9)])
def mask(request):
    height, width, share = request.param
    rng = np.random.default_rng(height)
    return ndimage.uniform_filter(rng.random((height, width)), 3) < 0.35 + 0.3 * share


@pytest.mark.parametrize("times", [1, 4])
def test_shapes_grow_and_shrink_as_in_a_library(mask, times):
    assert (eroded(mask, times) == ndimage.binary_erosion(mask, iterations=times)).all()
    assert (dilated(mask, times) == ndimage.binary_dilation(mask, iterations=times)).all()
    assert (opened(mask) == ndimage.binary_opening(mask)).all()


def test_what_is_enclosed_counts_as_in_a_library(mask):
    assert filled_area(mask) == ndimage.binary_fill_holes(mask).sum()


def test_large_patches_are_those_of_a_library(mask):
    labels, large = patches(mask, 5)
    sizes = np.bincount(ndimage.label(mask)[0].ravel())
    assert [label for label, _ in large] == [i for i in range(1, len(sizes)) if sizes[i] >= 5]
    assert all((labels[box] == label).sum() == sizes[label] for label, box in large)
