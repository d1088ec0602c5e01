"""Chance that is the same on every machine: numbers drawn by counting, not from a state.

The n-th number of a stream is a scrambled count (splitmix64: Steele, Lea and Flood, "Fast splittable pseudorandom
number generators", 2014; constants from memory). So every error source has numbers of its own: a bolt more changes
none of the numbers of the others, and two recipes are compared under the same luck.
"""

from __future__ import annotations

from math import pi
from typing import Final

import numpy as np
from numpy.typing import NDArray

__all__ = ["Floats", "normals", "product", "scrambled", "uniforms"]

Floats = NDArray[np.float64]

SEED: Final = 20_117
"""Where every count begins. Any other would do; it is fixed so that the same recipe gives the same figures."""
STEP, _MIX1, _MIX2 = (np.uint64(n) for n in (0x9E3779B97F4A7C15, 0xBF58476D1CE4E5B9, 0x94D049BB133111EB))
_SHIFTS = tuple(np.uint64(n) for n in (30, 27, 31, 11, 32))


def uniforms(stream: int, rows: int, samples: range) -> Floats:
    """Return numbers evenly spread over the open interval -1 … 1, as (rows, samples).

    Args:
        stream: number of the first row's stream; the following rows have the following streams.
        rows: how many streams.
        samples: which numbers of each.
    """
    streams = np.arange(stream, stream + rows, dtype=np.uint64)[:, None] << _SHIFTS[4]
    with np.errstate(over="ignore"):
        counts = (streams + np.arange(samples.start, samples.stop, dtype=np.uint64)[None, :] + np.uint64(SEED)) * STEP
    halves = (scrambled(counts) >> _SHIFTS[3]).astype(np.float64) + 0.5
    return halves * 2.0**-52 - 1.0


def scrambled(x: NDArray[np.uint64]) -> NDArray[np.uint64]:
    """Return splitmix64's scrambling of states that are ``STEP`` apart."""
    with np.errstate(over="ignore"):
        x = (x ^ (x >> _SHIFTS[0])) * _MIX1
        x = (x ^ (x >> _SHIFTS[1])) * _MIX2
    return np.asarray(x ^ (x >> _SHIFTS[2]), dtype=np.uint64)


def normals(stream: int, rows: int, samples: range) -> Floats:
    """Return numbers of the normal distribution with mean 0 and deviation 1, as (rows, samples).

    Two rows from two streams at a time (Box and Muller, "A note on the generation of random normal deviates", 1958).
    """
    pairs = (rows + 1) // 2
    u = uniforms(stream, 2 * pairs, samples)
    far = np.sqrt(-2.0 * np.log((u[:pairs] + 1.0) / 2.0))
    turn = pi * u[pairs:]
    return np.concatenate((far * np.cos(turn), far * np.sin(turn)))[:rows]


AT_ONCE: Final = 200_000
"""Multiplications in one go that a library of linear algebra does not share out to several threads."""


def product(a: Floats, b: Floats) -> Floats:
    """Return the matrix product, reckoned a few rows at a time.

    Threads would start anew for every product: slower here, much slower on a busy machine, and the last digits would
    depend on how many there are.
    """
    step = max(1, AT_ONCE // max(1, b.size))
    if len(a) <= step:
        return np.asarray(a @ b, dtype=np.float64)
    out = np.empty((len(a), b.shape[1]))
    for first in range(0, len(a), step):
        np.matmul(a[first : first + step], b, out=out[first : first + step])
    return out
