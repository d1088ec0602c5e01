"""What is cut how deep, and which of the end mills at hand do it: what checks of cutters ask."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf
from typing import Final

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline.contour import Point
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.outline.remembered import remembered_of_the_same
from generator.part.part import Face, Feature, Part, Plan
from generator.part.reach import Cut, cuts
from generator.part.relation import covers, disc_of
from generator.recipe.model import Recipe
from generator.recipe.model_tools import Tool

__all__ = [
    "DRILL_POINT",
    "Deep",
    "below_face_mm",
    "deep_cuts",
    "drills_of",
    "net_depth_mm",
    "reaches",
    "round_features",
]

DRILL_POINT: Final = 0.3
"""Length of a drill's point in diameters: 118° (geometry: 0.5 / tan 59°)."""


@frozen_record
class Deep:
    """Something that an end mill cuts.

    Attributes:
        part: ``cover`` or ``insert-NAME``.
        feature: name of the feature, or layer of the outline.
        face: the face it is cut from.
        path: recipe path.
        at: the place that keeps the cutter small; None where none does.
        depth_mm: how deep the cutting edges go in.
        below_mm: how deep the tip goes below the face that it is cut from: over a recess more than ``depth_mm``.
        fits_mm: diameter of the largest end mill that can do it; of the one that the recipe names for it.
        drawn_mm: radius of the tightest inside corner as drawn, 0 if it is sharp; inf where there is none.
        radius_mm: of the tightest inside corner as the cutter leaves it; inf where there is none.
        region: what is cut, or what is cut round.
        outline: whether the cutter goes round the region outside it.
        round_mm: diameter of a round hole or recess, else 0.
        mills: end mills at hand that can do it, by name, the largest first.
    """

    part: str
    feature: str
    face: Face
    path: str
    at: Point | None
    depth_mm: float
    below_mm: float
    fits_mm: float
    drawn_mm: float
    radius_mm: float
    region: Region
    outline: bool
    round_mm: float
    mills: tuple[tuple[str, Tool], ...]

    @property
    def reaching(self) -> tuple[tuple[str, Tool], ...]:
        """Return those of the end mills whose flutes and stick-out are long enough, or of no known length."""
        return tuple((n, t) for n, t in self.mills if reaches(t, self.depth_mm, self.below_mm))

    @property
    def used(self) -> tuple[str, Tool]:
        """Return the stiffest of the end mills that reach the floor; of those that go in, where none reaches it."""
        return (self.reaching or self.mills)[0]


@remembered_of_the_same
def deep_cuts(recipe: Recipe, plan: Plan) -> tuple[Deep, ...]:
    """Return all that end mills cut, outlines included; of equal holes one, and nothing that no end mill gets into."""
    mills = sorted(((n, t) for n, t in recipe.tools.items() if t.kind == "end mill"), key=lambda x: -x[1].diameter)
    found = (*_free(plan), *_round(recipe, plan))
    return tuple(d for d in (_with(mills, d) for d in found) if d.mills)


def _with(mills: list[tuple[str, Tool]], deep: Deep) -> Deep:
    usable = tuple(
        (n, t)
        for n, t in mills
        if t.diameter <= deep.fits_mm + MODEL.model_mm or abs(t.diameter - deep.round_mm) <= MODEL.model_mm
    )
    return Deep(**{**deep.__dict__, "mills": usable})


def reaches(tool: Tool, depth_mm: float, below_mm: float) -> bool:
    """Return True if flutes and stick-out are long enough, or of no known length.

    Args:
        tool: that is at hand.
        depth_mm: how deep its cutting edges go in.
        below_mm: how deep its tip goes below the face.
    """
    flutes_reach = tool.flute_length is None or tool.flute_length >= depth_mm - MODEL.same_mm
    return flutes_reach and stands_out(tool, below_mm)


def stands_out(tool: Tool, below_mm: float) -> bool:
    """Return True if a tool stands out of its holder as far as its tip goes below the face, or it is not known."""
    return tool.stick_out is None or tool.stick_out >= below_mm - MODEL.same_mm


# ------------------------------------------------------------------ what is not round
def _free(plan: Plan) -> Iterator[Deep]:
    parts = {p.name: p for p in plan.parts}
    for cut in cuts(plan):
        if not cut.left_whole:
            yield _of_cut(parts[cut.part], cut)


def _of_cut(part: Part, cut: Cut) -> Deep:
    """Return a pocket, opening, engraving or outline; corners that the cutter in use rounds get its radius."""
    radius, at = _largest(cut)
    left = max(radius, cut.cutter_mm / 2.0) if cut.matched or cut.lost else radius
    feature = next((f for f in part.features if f.name == cut.feature), None)
    return Deep(
        part=cut.part,
        feature=cut.feature,
        face=cut.face,
        path=cut.path,
        at=at,
        depth_mm=part.thickness_mm if feature is None else net_depth_mm(part, feature),
        below_mm=part.thickness_mm if feature is None else below_face_mm(part, feature),
        fits_mm=cut.cutter_mm if cut.named else max(cut.cutter_mm, 2.0 * radius),
        drawn_mm=radius,
        radius_mm=left,
        region=cut.region,
        outline=cut.outline,
        round_mm=0.0,
        mills=(),
    )


def _largest(cut: Cut) -> tuple[float, Point | None]:
    """Return the radius of the largest cutter that loses nothing, and the place that limits it."""
    try:
        largest = cut.largest
    except GeometryError:
        return 0.0, bounds(cut.region).centre
    return largest.radius_mm, None if largest.radius_mm == inf else largest.at


def net_depth_mm(part: Part, feature: Feature) -> float:
    """Return how deep a feature is cut, mm: less what a pocket from the other face has taken away before."""
    low, high = _net(part, feature)
    return high - low


def below_face_mm(part: Part, feature: Feature) -> float:
    """Return how deep the tip goes below the face that a feature is cut from, mm."""
    low, high = _net(part, feature)
    return part.thickness_mm - low if feature.face is Face.TOP else high


def _net(part: Part, feature: Feature) -> tuple[float, float]:
    """Return the heights between which a feature is cut, less what others have taken away before."""
    low, high = max(feature.z_from_mm, 0.0), min(feature.z_to_mm, part.thickness_mm)
    for other in part.features:
        if other is feature or other.flare_mm or not other.region or not covers(other.region, feature.region):
            continue
        if other.z_from_mm <= low < other.z_to_mm < high:
            low = other.z_to_mm
        if low < other.z_from_mm < high <= other.z_to_mm:
            high = other.z_from_mm
    return low, high


# ------------------------------------------------------------------ what is round
def round_features(plan: Plan) -> Iterator[tuple[Part, Feature, float]]:
    """Yield straight round holes and recesses with their diameters, of equal ones of a layer the first."""
    seen: set[tuple[object, ...]] = set()
    for part in plan.parts:
        for f in part.features:
            disc = disc_of(f.region) if f.region and not f.flare_mm and f.layer != "dowel-holes" else None
            if disc is None:
                continue
            key = (part.name, f.layer, f.path, f.z_from_mm, f.z_to_mm, round(disc.radius_mm, 6))
            if key not in seen:
                seen.add(key)
                yield part, f, 2.0 * disc.radius_mm


def drills_of(recipe: Recipe, diameter_mm: float) -> tuple[str, ...]:
    """Return the names of the drills of a diameter at hand."""
    near = recipe.limits.cutting.drill_fits.value + MODEL.same_mm
    return tuple(n for n, t in recipe.tools.items() if t.kind == "drill" and abs(t.diameter - diameter_mm) <= near)


def _round(recipe: Recipe, plan: Plan) -> Iterator[Deep]:
    """Yield the round holes and recesses that are milled; a hole whose drill is at hand is drilled."""
    for part, f, diameter in round_features(plan):
        through = f.z_from_mm <= 0.0 and f.z_to_mm >= part.thickness_mm
        if through and drills_of(recipe, diameter):
            continue
        yield Deep(
            part=part.name,
            feature=f.name,
            face=f.face,
            path=f.path,
            at=bounds(f.region).centre,
            depth_mm=net_depth_mm(part, f),
            below_mm=below_face_mm(part, f),
            fits_mm=recipe.limits.cutting.mill_in_hole.value * diameter,
            drawn_mm=inf,
            radius_mm=inf,
            region=f.region,
            outline=False,
            round_mm=diameter,
            mills=(),
        )
