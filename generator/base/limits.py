"""Every limit that a check holds a plan against: its default with source, and the key that sets another one.

A recipe sets a limit under ``limits``; without it the published or customary figure counts. A check asks for both with
``recipe.limits.limit_of``, so that a finding always says whose limit it was.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from generator.base import practice
from generator.base.figures import Figure

LENGTH, NUMBER = "length", "number"


@dataclass(frozen=True)
class Limit:
    """One limit.

    Attributes:
        name: key under ``limits`` in the recipe.
        figure: the default, its unit, source and how well it is known.
        help: what it limits, in one sentence.
        kind: ``length`` (mm) or ``number`` (ratio, degrees Celsius, MPa: see the figure's unit).
        at_most: largest value that a recipe may give.
    """

    name: str
    figure: Figure
    help: str
    kind: str = LENGTH
    at_most: float = 1000.0


LIMITS: Final = (
    Limit("thinnest_wall", practice.THINNEST_WALL, "Walls and floors thinner than this are not relied on to survive."),
    Limit("sound_wall", practice.SOUND_WALL, "Walls and floors below this are warned of."),
    Limit("hole_to_edge", practice.HOLE_TO_EDGE, "Hole centre to the cover's edge, in hole diameters.", NUMBER, 10.0),
    Limit("drill_depth", practice.DRILL_DEPTH_LIMIT, "Deepest drilled hole, in diameters.", NUMBER, 100.0),
    Limit("rim_land", practice.RIM_LAND, "Flat land left between the edge break and a feature of the top face."),
    Limit("gap_tight", practice.GAP_TIGHT, "A smaller gap between insert and pocket needs force."),
    Limit("gap_loose", practice.GAP_LOOSE, "A larger gap between insert and pocket rattles and bonds badly."),
    Limit("sits_within", practice.SITS_WITHIN, "An insert that misses the height asked for by more is told."),
    Limit("dowel_span", practice.DOWEL_SPAN, "Least distance of the outermost dowels, in part lengths.", NUMBER, 1.0),
    Limit("dowel_asymmetry", practice.DOWEL_ASYMMETRY, "Dowel patterns that fit this closely when turned are told."),
)  # fmt: skip
"""In the order of the reference page. A new limit is one line here."""

BY_NAME: Final = {limit.name: limit for limit in LIMITS}
