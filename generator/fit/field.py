"""Form error of an outline: neighbouring places err together, places far apart do not.

A random field with a covariance that falls with distance as ``exp(-(d/L)²/2)`` (squared exponential; Rasmussen and
Williams, "Gaussian Processes for Machine Learning", 2006, section 4.2). Only distances count, so neither where the
outline lies nor how it is cut into sides changes anything, and the deviation is the same at every place.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from generator.fit.draws import Floats

__all__ = ["field_weights"]

LEFT: Final = 4e-3
"""Share of the variance that may be missing where the expansion ends."""


def field_weights(places: Floats, together_mm: float) -> Floats:
    """Return (R, K) weights: numbers of R independent normals times these are the field at the K places.

    Cholesky's decomposition with pivoting, ended when little variance is left anywhere.
    """
    d2 = ((places[:, None, :] - places[None, :, :]) ** 2).sum(axis=2)
    covariance = np.exp(-d2 / (2.0 * together_mm * together_mm))
    left = np.ones(len(places))
    rows: list[Floats] = []
    while len(rows) < len(places) and left.max() > LEFT:
        k = int(np.round(left, 9).argmax())  # rounded: noise must not choose between equals
        row = covariance[k] - sum((r[k] * r for r in rows), start=np.zeros(len(places)))
        row = row / np.sqrt(left[k])
        rows.append(row)
        left = np.maximum(left - row * row, 0.0)
    return np.array(rows).reshape(-1, len(places))
