"""What is unknown when a part is measured, and where each unknown stands in one vector.

The scanner's errors of scale along u and v and its skew, by how much edges are seen outside the material (outline,
holes), the edges' unevenness with direction, what a camera leaves open, the pose of every further scan, axes of
symmetry, and all primitives.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.trace.primitives import LINE, Primitive

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

SCALE_U, SCALE_V, SKEW, OUT_OUTLINE, OUT_HOLES, UNEVEN_C, UNEVEN_S = range(7)
LEVER_MM: Final = 30.0
"""An angle counts as what it moves at this distance when equations are compared."""
HOLDS: Final = 1e-6
"""An equation holds that is this near to 0, mm or rad."""
HEAD: Final = 7
"""Unknowns before the poses: see the names above."""


@frozen_record
class Known:
    """What is known beforehand, as standard deviations.

    Attributes:
        scale: relative error of scale along one axis.
        skew: of the axes' angle, rad.
        aspect: relative difference of both scales, beside what ``scale`` lets through; infinite where unknown.
        outside_mm: by how much edges are seen outside the material.
        alike_mm: difference of that between outline and holes.
        uneven_mm: how that differs with the direction of the edge (second harmonic).
    """

    scale: float = 0.006
    skew: float = 0.004
    aspect: float = 0.006
    outside_mm: float = 0.03
    alike_mm: float = 0.004
    uneven_mm: float = 0.002


@frozen_record
class Points:
    """Points on edges, all scans together.

    Attributes:
        at: shape (n, 2), mm by the nominal scale, y up.
        angle: direction of the outward normal in the picture, rad, shape (n,).
        sigma: standard deviation across the edge, mm, shape (n,).
        of: number of the primitive that each lies on, shape (n,).
        scan: number of the scan, shape (n,).
        modes: how far the camera's unknowns move each, mm by their own standard deviation, shape (n, 2, m); for photos.
    """

    at: Floats
    angle: Floats
    sigma: Floats
    of: Ints
    scan: Ints
    modes: Floats | None = None

    def seen(self, x: Floats) -> Floats:
        """Return where the points lie with the camera's unknowns, which follow the head of ``x``, shape (n, 2)."""
        if self.modes is None:
            return self.at
        moved: Floats = self.at + self.modes @ x[HEAD : HEAD + self.modes.shape[2]]
        return moved


Equation = tuple[tuple[int, ...], Callable[[NDArray[np.complex128]], "np.complex128 | complex"]]
"""Numbers of the unknowns that it concerns, and a function of their values that is 0 where the equation holds.

The function must be analytic: it is differentiated by a complex step (Squire & Trapp 1998)."""


@frozen_record
class Measured:
    """A measured value that the unknowns explain: ``value ± sigma`` of ``function(unknowns)``, mm.

    ``instead`` gives what else may have been measured.
    """

    of: tuple[int, ...]
    function: Callable[[Floats], float]
    value: float
    sigma: float
    name: str = ""
    instead: Callable[[], Sequence[Instead]] | None = None


class Instead(NamedTuple):
    """What may have been measured instead of what a reading says: in words, and as a measured value.

    ``plain``: it is so likely a mistake that it is taken as meant where nothing else explains the reading.
    """

    words: str
    measured: Measured
    plain: bool


@frozen_record(eq=False)
class Model:
    """What is to be fitted: the primitives' kinds and sides, scans and axes, and where each unknown stands."""

    primitives: tuple[Primitive, ...]
    scans: int = 1
    axes: int = 0
    modes: int = 0

    @property
    def poses(self) -> int:
        """Return where the poses of scans after the first begin: angle, x and y of each; the camera's come before."""
        return HEAD + self.modes

    @property
    def axis_start(self) -> int:
        """Return where the axes of symmetry begin: angle of the normal and distance of each."""
        return self.poses + 3 * (self.scans - 1)

    def poses_of(self, x: Floats) -> list[tuple[float, float, float]]:
        """Return angle (rad) and shift (mm) of every scan after the first."""
        at = [self.poses + 3 * i for i in range(self.scans - 1)]
        return [(float(x[a]), float(x[a + 1]), float(x[a + 2])) for a in at]

    def places(self) -> list[int]:
        """Return where each primitive's numbers begin."""
        at = self.axis_start + 2 * self.axes
        out = []
        for p in self.primitives:
            out.append(at)
            at += p.size
        return out

    def units(self) -> Floats:
        """Return for every unknown the change that moves points by about a millimetre."""
        out = np.ones(self.axis_start + 2 * self.axes + sum(p.size for p in self.primitives))
        out[:OUT_OUTLINE] = 1.0 / LEVER_MM
        out[self.poses : self.axis_start : 3] = 1.0 / LEVER_MM
        places = self.places()
        out[self.axis_start : places[0] : 2] = 1.0 / LEVER_MM
        for p, at in zip(self.primitives, places, strict=True):
            if p.kind == LINE:
                out[at] = 1.0 / LEVER_MM
        return out

    def start(
        self, poses: Sequence[tuple[float, float, float]] = (), axes: Sequence[tuple[float, float]] = ()
    ) -> Floats:
        """Return the vector of first values."""
        rest = [v for p in self.primitives for v in p.values]
        return np.array([0.0] * self.poses + [v for p in poses for v in p] + [v for a in axes for v in a] + rest)

    def with_values(self, x: Floats) -> tuple[Primitive, ...]:
        """Return the primitives with the values of a vector."""
        return tuple(
            Primitive(p.kind, p.side, tuple(float(v) for v in x[at : at + p.size]), p.loop)
            for p, at in zip(self.primitives, self.places(), strict=True)
        )


@frozen_record(eq=False)
class Fit:
    """What came of a fit.

    Attributes:
        x: the unknowns.
        covariance: of the unknowns, shape (k, k), scaled by what the points' misfit says of their noise.
        rest: residuals of the points in mm, positive outside, shape (n,).
        weight: robust weight of every point, 0 to 1, shape (n,).
        readings: residuals of the readings, mm (fit less reading).
        chi2: weighted sum of squares of everything.
        noise: factor on the points' stated deviations that their misfit asks for.
        off: largest amount by which an equation does not hold.
    """

    x: Floats
    covariance: Floats
    rest: Floats
    weight: Floats
    readings: Floats
    chi2: float
    noise: float
    off: float = 0.0

    @property
    def holds(self) -> bool:
        """Tell whether all equations hold."""
        return self.off <= HOLDS


def straightened(head: Floats) -> Floats:
    """Return the matrix that takes the scanner's errors of scale and skew out of points: ``true = matrix · seen``."""
    return np.array([[1.0 + head[SCALE_U], head[SKEW]], [0.0, 1.0 + head[SCALE_V]]])
