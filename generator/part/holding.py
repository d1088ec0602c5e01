"""What holds the cover at its last cut: in words for the person at the machine, tabs and clamps by place."""

from __future__ import annotations

from math import cos, hypot, sin

from generator.outline.contour import Point
from generator.outline.distance import boundary_points, point_distance
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.part.part import Clamp, Tab
from generator.recipe.model import Recipe
from generator.recipe.model_holding import ADHESIVE, OWN_HOLES, SKIN, TABS, VACUUM, Holding

__all__ = ["clamps_of", "held_words", "tabs_of"]

ALONG_MM = 0.25
"""The foot of a tab is looked for at points this far apart on the outline."""
JUST_OUTSIDE_MM = 0.05
"""From here the nearest point of the outline tells which way it faces."""


def held_words(recipe: Recipe) -> str:
    """Return one sentence; empty where the recipe does not say, or clamps alone hold the blank."""
    held = recipe.holding
    if not isinstance(held, Holding):
        return ""
    many = len(held.at) or held.count
    return {
        TABS: f"Leave {many} tab{'s' if many > 1 else ''}, {held.width:.4g} mm wide and {held.thickness:.4g} mm thick.",
        SKIN: f"Leave a skin of {held.thickness:.4g} mm.",
        ADHESIVE: "Adhesive under the part holds it.",
        VACUUM: "Vacuum holds the part.",
        OWN_HOLES: "Screw it down through its own bolt holes before.",
    }.get(held.by, "")


def clamps_of(recipe: Recipe) -> tuple[Clamp, ...]:
    """Return the clamps on the blank."""
    held = recipe.holding
    if not isinstance(held, Holding):
        return ()
    return tuple(Clamp(Point(*at), held.clamp_radius) for at in held.clamps)


def tabs_of(recipe: Recipe, profile: Region, cutter_mm: float) -> tuple[Tab, ...]:
    """Return the tabs whose directions the recipe says, as long as the cutter that goes round is wide."""
    held = recipe.holding
    if not isinstance(held, Holding) or held.by != TABS or not held.at or not profile:
        return ()
    middle = bounds(profile).centre
    points = [(float(x) - middle.x, float(y) - middle.y) for x, y in boundary_points(profile, ALONG_MM)]
    return tuple(_tab(profile, middle, points, angle, held.width, cutter_mm) for angle in held.at)


def _tab(
    profile: Region,
    middle: Point,
    points: list[tuple[float, float]],
    angle_rad: float,
    width_mm: float,
    cutter_mm: float,
) -> Tab:
    """Return the tab in one direction from the middle: at the farthest point of the outline there, square to it."""
    c, s = cos(angle_rad), sin(angle_rad)
    ahead = [(round(abs(y * c - x * s), 9), x * c + y * s) for x, y in points if x * c + y * s > 0.0]
    beside = min((off for off, _ in ahead), default=0.0) + 2.0 * ALONG_MM
    reach = max((along for off, along in ahead if off <= beside), default=0.0)
    foot = point_distance(profile, (middle.x + c * reach, middle.y + s * reach)).point
    near = (foot.x + c * JUST_OUTSIDE_MM, foot.y + s * JUST_OUTSIDE_MM)
    nearest = point_distance(profile, near).point
    dx, dy = near[0] - nearest.x, near[1] - nearest.y
    far = hypot(dx, dy)
    x, y = (dx / far, dy / far) if far > 0.0 else (c, s)
    return Tab(foot, Point(foot.x + x * cutter_mm, foot.y + y * cutter_mm), width_mm)
