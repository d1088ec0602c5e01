"""Stretches of a closed row in which something holds."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]


def runs_round(flags: NDArray[np.bool_]) -> list[Ints]:
    """Return the indices of every stretch of flags that are set, in order; one that goes round the end comes first.

    Args:
        flags: one for each place of a closed row, shape (n,).
    """
    at = np.flatnonzero(flags)
    if not len(at):
        return []
    runs = np.split(at, 1 + np.flatnonzero(np.diff(at) > 1))
    if len(runs) > 1 and at[0] == 0 and at[-1] == len(flags) - 1:
        runs = [np.concatenate([runs[-1], runs[0]]), *runs[1:-1]]
    return runs
