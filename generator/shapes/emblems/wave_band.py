"""Waves side by side: lines of tangent arcs, one above the other."""

from __future__ import annotations

from math import atan, cos, sin

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour, Vertex
from generator.outline.distance import boundary_distance
from generator.outline.region import Region
from generator.outline.transform import moved
from generator.shapes.emblems.finish import corner_radius, finished, size
from generator.shapes.emblems.remedy import demand
from generator.shapes.shape import Context, Shape

STEEPEST = 0.6
"""Largest bulge of a half wave; steeper waves leave gaps that look uneven (chosen by eye)."""
_HALVINGS = 9
"""The gap between lines is found to a five-hundredth of their distance, on the safe side."""


@frozen_record(kw_only=True)
class WaveBand:
    """Waves that run along x."""

    size: float = size("Width over all, along x.")
    waves: int = f.count("Number of waves, each a crest and a trough.", default=3, at_least=1, at_most=40, example=3)
    amplitude: float | None = f.length(
        "Height of a crest above the middle of its line; without it an eighth of the length of a wave.",
        default=None,
        above=0,
        at_most=500,
        example=2.2,
    )
    thickness: float | None = f.length(
        "Width of a line; without it 0.045 of the size, less for many waves.",
        default=None,
        above=0,
        at_most=500,
        example=1.8,
    )
    lines: int = f.count("Number of lines, one above the other.", default=3, at_least=1, at_most=12, example=3)
    gap: float | None = f.length(
        "Least gap between two lines; without it 0.7 of their width.", default=None, above=0, at_most=500, example=1.2
    )
    corner_radius: float = corner_radius()


def draw(params: WaveBand, context: Context) -> Region:
    """Return the waves; a turn by 180 degrees changes nothing.

    Raises: GeometryError: amplitude, thickness or corner radius do not fit; says what would.
    """
    return finished(params, _sharp)


def _sharp(params: WaveBand) -> list[Contour]:
    usual = min(0.045, 0.15 / params.waves) * params.size
    thick = usual if params.thickness is None else params.thickness
    demand(thick < 0.5 * params.size, "thickness", thick, "leaves no length for a wave")
    chord = (params.size - thick) / (2.0 * params.waves)
    rise = chord / 4.0 if params.amplitude is None else params.amplitude
    demand(rise < STEEPEST * chord / 2.0 * 1.002, "amplitude", rise, "is too steep for waves of this length")
    bulge = 2.0 * rise / chord
    radius = chord * (1.0 + bulge * bulge) / (4.0 * bulge)
    demand(thick < 2.0 * radius, "thickness", thick, "is too wide for the bends of the waves")
    gap = 0.7 * thick if params.gap is None else params.gap
    pitch = _pitch(params.waves, chord, bulge, thick, gap) if params.lines > 1 else 0.0
    first = -pitch * (params.lines - 1) / 2.0
    return [_line(params.waves, chord, bulge, thick / 2.0, first + k * pitch) for k in range(params.lines)]


def _pitch(waves: int, chord: float, bulge: float, thick: float, gap: float) -> float:
    """Return how far apart the lines lie so that the gap is least the one asked for and not much more."""
    bends = min(waves, 2)  # the same for every wave
    one = _line(bends, chord, bulge, thick / 2.0, 0.0)
    low, high = thick + gap, (thick + gap) / cos(2.0 * atan(bulge))
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        enough = boundary_distance(one, moved(one, 0.0, middle)).distance_mm >= gap
        low, high = (low, middle) if enough else (middle, high)
    return high


def _line(waves: int, chord: float, bulge: float, half: float, y: float) -> Contour:
    """Return one line with round ends; its middle runs from crest to trough, rising first."""
    n, slope = 2 * waves, 2.0 * atan(bulge)
    lower: list[Vertex] = []
    upper: list[Vertex] = []
    for k in range(n + 1):
        sign = 1.0 if k % 2 == 0 else -1.0
        x, nx, ny = (k - waves) * chord, -sign * sin(slope) * half, cos(slope) * half
        lower.append(Vertex(x - nx, y - ny, -sign * bulge if k < n else 1.0))
        upper.append(Vertex(x + nx, y + ny, -sign * bulge if k else 1.0))
    # travelled back, a vertex carries the bulge of the half wave before it, whose sign is the other one twice over
    return Contour((*lower, *reversed(upper)))


SHAPE = Shape("wave_band", WaveBand, draw, "Lines of waves, one above the other.")
