"""What lets a cutter reach everything: rounder corners, another cutter, a larger drawing; tried before it is told."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from generator.base.errors import GeometryError
from generator.base.practice import FINE_END_MILLS_MM, STANDARD_END_MILLS_MM
from generator.base.remedy import NOISE, STEP, no_less, no_more
from generator.base.units import MODEL
from generator.outline.offset import offset_region
from generator.outline.reach import loses_nothing, losses_outside
from generator.outline.region import Region
from generator.outline.rounding import can_be_rounded, rounded
from generator.outline.separate import separated
from generator.outline.transform import scaled
from generator.part.corners import cut_by, mated
from generator.part.cutter_loss import cutter_loss
from generator.part.inlays import gap_of
from generator.part.part import Feature, Plan
from generator.part.reach import Cut
from generator.part.rounder import rounded_by
from generator.recipe.model import Recipe

__all__ = ["smaller_mill", "times", "ways_to_reach"]

LARGEST = 10.0
"""Nothing is to be drawn more times as large as this (chosen)."""
PERCENT = 100.0


def ways_to_reach(recipe: Recipe, plan: Plan, cut: Cut) -> str:
    """Return the edits that let everything of a cut be reached; each was tried.

    The footprint is as the original was measured: of the bottom pocket only clearance and cutter can be others.
    """
    radius = cut.cutter_mm / 2.0
    if cut.feature == "bottom-pocket":
        return ", or ".join([f"set clearance.around to at least {no_less(radius)}", *smaller_mill(plan, cut)])
    edits = _rounds(recipe, plan, cut)
    edits += smaller_mill(plan, cut) or _matched(recipe, plan, cut)
    edits += _larger(cut)
    wider = f"make {cut.path} wider than {cut.cutter_mm:g} mm"
    return ", or ".join(edits) or (wider if cut.left_whole else "finish by hand what the cutter leaves")


def times(factor: float) -> str:
    """Return a factor with two decimals, rounded up."""
    return f"{ceil(factor * STEP - NOISE) / STEP:g}"


def smaller_mill(plan: Plan, cut: Cut) -> list[str]:
    """Return the edit that names an end mill which reaches everything; none where no round cutter does."""
    diameter = 2.0 * cut.largest.radius_mm
    if not diameter:
        return []
    key = f"{cut.path.removesuffix('.outline')}.cutter"
    at_hand = [(d, n) for n, d in plan.tool_diameters if d <= diameter + MODEL.model_mm]
    if cut.named and at_hand:
        return [f"set {key} to {max(at_hand)[1]}"]
    sizes = (d for d in (*STANDARD_END_MILLS_MM, *FINE_END_MILLS_MM) if d < cut.cutter_mm)
    stocked = next((d for d in sizes if d <= diameter + MODEL.model_mm), 0.0)
    size = f"{stocked:g} mm" if stocked else f"at most {no_more(diameter)}"
    return [f"add an end mill of {size} to tools{f' and name it in {key}' if cut.named else ''}"]


def _is_reached(region: Region, cut: Cut) -> bool:
    """Return True if the cutter in use would reach everything of another region in the same place."""
    radius = cut.cutter_mm / 2.0
    if not cut.outline:
        return loses_nothing(region, radius)
    return not any(losses_outside(piece, radius) for piece in separated(region))


# ------------------------------------------------------------------ rounder corners
def _rounds(recipe: Recipe, plan: Plan, cut: Cut) -> list[str]:
    """Return the edit that rounds corners by the cutter's radius, if it can be drawn and then all is reached."""
    radius = float(no_less(cut.cutter_mm / 2.0).partition(" ")[0])
    feature = _feature(plan, cut)
    gap = gap_of(recipe.inlays[cut.path.split(".")[1]]).value if feature is not None and cut.outline else 0.0

    def does(region: Region) -> bool:
        try:
            return _is_reached(offset_region(region, -gap) if gap else region, cut)
        except GeometryError:
            return False

    edit = rounded_by(recipe, plan, cut.path, radius, does, cut.largest.at)
    return [edit] if edit else _rounded_as_read(cut, radius)


def _rounded_as_read(cut: Cut, radius_mm: float) -> list[str]:
    """Return the same for what is read from a file: that it is as drawn, with its corners rounded."""
    try:
        if (cut.part == "cover" and cut.outline) or not all(can_be_rounded(c, radius_mm) for c in cut.region):
            return []
        is_reached = _is_reached(Region.of(rounded(c, radius_mm) for c in cut.region), cut)
    except GeometryError:
        return []
    return [f"set {cut.path}.round_corners to at least {no_less(radius_mm)}"] if is_reached else []


def _feature(plan: Plan, cut: Cut) -> Feature | None:
    """Return the pocket, engraving or artwork that a cut belongs to, the pocket for the insert; None for others."""
    name = cut.feature.replace("insert-profile", "inlay-pocket")
    features = (f for p in plan.parts if cut.outline or p.name == cut.part for f in p.features)
    return next((f for f in features if f.name == name and f.path.startswith(("inlays", "cover.engravings"))), None)


# ------------------------------------------------------------------ corners for a cutter
def _matched(recipe: Recipe, plan: Plan, cut: Cut) -> list[str]:
    """Return the edit that gives drawn corners the radius of a cutter that hardly changes the drawing."""
    feature = _feature(plan, cut)
    if feature is None or not feature.as_drawn:
        return []
    leave = f"leave {feature.path}.corners out"
    if cut.named and _hardly_changes(recipe, feature, cut.cutter_mm):
        return [leave]
    at_hand = sorted(plan.tool_diameters, key=lambda m: -m[1])
    name = next((n for n, d in at_hand if _hardly_changes(recipe, feature, d)), "")
    if name:
        return [f"set {feature.path}.cutter to {name} and {leave}"]
    finer = (d for d in (*STANDARD_END_MILLS_MM, *FINE_END_MILLS_MM) if d < at_hand[-1][1])
    sold = next((d for d in finer if _hardly_changes(recipe, feature, d)), 0.0)
    return [f"add an end mill of {sold:g} mm to tools, name it in {feature.path}.cutter and {leave}"] if sold else []


def _hardly_changes(recipe: Recipe, feature: Feature, diameter_mm: float) -> bool:
    keys = feature.path.split(".")
    is_pocket = keys[0] == "inlays" and len(keys) == 2
    try:
        if is_pocket:
            made = mated(feature.region, diameter_mm / 2.0, gap_of(recipe.inlays[keys[1]]).value)
        else:
            made = cut_by(feature.region, diameter_mm / 2.0)
        loss = cutter_loss(feature.region, made)
    except GeometryError:
        return False
    return not loss.torn and PERCENT * max(loss.share, loss.filled) <= recipe.limits.cutting.artwork_lost.value


# ------------------------------------------------------------------ larger
def _larger(cut: Cut) -> Iterator[str]:
    """Yield how much larger the drawing must be where it is narrower than the cutter."""
    neck = cut.narrowest
    if neck is None or neck.width_mm >= cut.cutter_mm - MODEL.model_mm:
        return
    told = times(cut.cutter_mm / neck.width_mm)
    if float(told) <= LARGEST and _is_reached(scaled(cut.region, float(told)), cut):
        yield f"draw it at least {told} times as large"
