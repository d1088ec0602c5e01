"""What the end mills at hand reach of everything that is milled: pockets, openings, engravings, artwork, outlines."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from math import pi, sqrt

from generator.base.frozen_record import frozen_record
from generator.outline.combine import difference
from generator.outline.distance import Gap, least_gap
from generator.outline.measure import area
from generator.outline.narrow import Narrow, narrowest, narrowest_between, necks, necks_between
from generator.outline.reach import LargestCutter, Loss, largest_cutter, losses, losses_outside
from generator.outline.region import Region
from generator.outline.separate import separated
from generator.part.describe import is_through
from generator.part.part import Face, Feature, Part, Plan
from generator.part.relation import disc_of

__all__ = ["Cut", "Reach", "cuts", "cuts_and_losses", "material_of", "thin_places", "thin_ribs"]

DRILLED = ("bolt-holes", "seats", "dowel-holes")
"""Layers of round holes, which have no corners."""
REMEMBERED = 256
"""Answers kept: check and drawing ask the same."""

ORDINARY = 1.25
"""So many times what a right angle loses is still an ordinary rounded corner: one of 80 degrees (our own choice)."""
SEEN_MM = 0.17
"""What is less deep is not seen at arm's length: one minute of arc, the acuity of most eyes, at 0.6 m (from memory)."""


@frozen_record
class Cut:
    """One area that an end mill clears, or an outline that it goes round.

    Attributes:
        part: ``cover`` or ``insert-NAME``.
        feature: name of the feature, or layer of the outline.
        face: the face it is cut from.
        region: as drawn, seen from the top: what is to be cut, or, for an outline, what is to stay.
        outline: whether the cutter goes round the region outside it, round each piece by itself: pieces are cut apart.
        cutter_mm: diameter of the cutter in use: the one that the recipe names for it, or the smallest end mill.
        matched: whether the plan gives its corners the cutter's radius; what is lost is then not drawn on any layer.
        path: recipe path of the outline.
        depth_mm: how deep it is cut; what stands between its sides is as high.
        swallowed: corners were to be made for the cutter, and it goes in nowhere.
        named: whether corners stay as drawn and the recipe names the cutter all the same.
    """

    part: str
    feature: str
    face: Face
    region: Region
    outline: bool
    cutter_mm: float
    matched: bool
    path: str
    depth_mm: float
    swallowed: bool = False
    named: bool = False

    @property
    def lost(self) -> tuple[Loss, ...]:
        """Return the places that the cutter in use does not reach, the largest first."""
        return _lost(self.region, self.cutter_mm / 2.0, self.outline)

    def is_ordinary(self, loss: Loss) -> bool:
        """Return True for a corner that the plan rounds itself and that nobody has to look at.

        It is no more acute than about a right angle, of which a cutter of radius r leaves (1 - pi / 4) r², and that
        (sqrt(2) - 1) r deep; or it is less deep than the eye sees. What is more is a sharp point or a narrow place.
        """
        r = self.cutter_mm / 2.0
        small = loss.area_mm2 <= ORDINARY * (1.0 - pi / 4.0) * r**2
        shallow = loss.depth_mm <= ORDINARY * (sqrt(2.0) - 1.0) * r
        return self.matched and ((small and shallow) or loss.depth_mm <= SEEN_MM)

    @property
    def left_whole(self) -> bool:
        """Return True if the cutter goes in nowhere."""
        if self.matched:
            return self.swallowed
        return not self.outline and len(self.lost) > 0 and sum(x.area_mm2 for x in self.lost) >= area(self.region)

    @property
    def largest(self) -> LargestCutter:
        """Return the largest cutter that loses nothing."""
        return _largest(self.region, self.outline)

    @property
    def narrowest(self) -> Narrow | None:
        """Return the narrowest place that the cutter has to go through."""
        if not self.outline:
            return narrowest(self.region)
        found = [n for p in separated(self.region) if (n := narrowest_between(p)) is not None]
        return min(found, key=lambda n: n.width_mm, default=None)

    @property
    def closest(self) -> Gap | None:
        """Return how near two pieces of an outline lie to each other; None where there is but one."""
        pieces = separated(self.region) if self.outline else ()
        return least_gap(pieces).gap if len(pieces) > 1 else None


@frozen_record
class Reach:
    """A cut that is not reached everywhere, and what is lost."""

    cut: Cut
    lost: tuple[Loss, ...]

    @property
    def area_mm2(self) -> float:
        """Return the area lost, mm²."""
        return sum(x.area_mm2 for x in self.lost)


def cuts(plan: Plan) -> Iterator[Cut]:
    """Yield everything that an end mill cuts, in the order of the plan; nothing where no end mill is at hand."""
    smallest = min((d for _, d in plan.tool_diameters), default=0.0)
    if not smallest:
        return
    for part in plan.parts:
        for f in part.features:
            if not f.layer.startswith(DRILLED) and not f.flare_mm and f.region and disc_of(f.region) is None:
                yield _inside(part, f, smallest)
        if part.profile:
            yield _round(plan, part, smallest)


def _inside(part: Part, f: Feature, smallest_mm: float) -> Cut:
    cutter = f.cutter_mm or smallest_mm
    matched = f.corners_mm > 0.0
    drawn, swallowed, named = f.asked or f.region, matched and f.asked == f.region, f.as_drawn and f.cutter_mm > 0.0
    return Cut(part.name, f.name, f.face, drawn, False, cutter, matched, _path(f), f.depth_mm, swallowed, named)


def _round(plan: Plan, part: Part, smallest_mm: float) -> Cut:
    """Return the cut round a part: the cutter that the recipe names for a pocket as drawn cuts its insert, too."""
    layer = part.layer.replace("insert-profile", "inlay-pocket")
    pocket = next((f for f in plan.cover.features if f.layer == layer), None)
    named = pocket.cutter_mm if pocket is not None and pocket.as_drawn else 0.0
    return Cut(
        part=part.name,
        feature=part.layer,
        face=Face.TOP,
        region=part.profile,
        outline=True,
        cutter_mm=named or smallest_mm,
        matched=False,
        path=_outline_path(part),
        depth_mm=part.thickness_mm,
        named=named > 0.0,
    )


def _path(f: Feature) -> str:
    return "original.footprint" if f.layer == "bottom-pocket" else f"{f.path}.outline"


def _outline_path(part: Part) -> str:
    return "cover.outer" if part.name == "cover" else f"inlays.{part.name.removeprefix('insert-')}.outline"


def cuts_and_losses(plan: Plan) -> tuple[Reach, ...]:
    """Return the cuts that the cutters in use do not reach everywhere, with what is lost."""
    return tuple(Reach(cut, cut.lost) for cut in cuts(plan) if cut.lost)


@lru_cache(maxsize=REMEMBERED)
def _lost(region: Region, radius_mm: float, outline: bool) -> tuple[Loss, ...]:
    if not outline:
        return losses(region, radius_mm)
    found = [x for piece in separated(region) for x in losses_outside(piece, radius_mm)]
    return tuple(sorted(found, key=lambda x: (-round(x.area_mm2, 6), x.at)))


@lru_cache(maxsize=REMEMBERED)
def _largest(region: Region, outline: bool) -> LargestCutter:
    pieces = separated(region) if outline else (region,)
    return min((largest_cutter(p, outside=outline) for p in pieces), key=lambda x: x.radius_mm)


# ------------------------------------------------------------------ ribs
def thin_ribs(cut: Cut, below_mm: float) -> tuple[Narrow, ...]:
    """Return the ribs below a thickness that a cut leaves standing between its own sides, the thinnest first."""
    return () if cut.outline else necks_between(cut.region, below_mm)


def thin_places(part: Part, below_mm: float) -> tuple[Narrow, ...]:
    """Return the places narrower than ``below_mm`` of a part that is cut from sheet, the narrowest first.

    Raises:
        OffsetError: what is cut through it could not be taken away.
    """
    return necks(material_of(part), below_mm)


def material_of(part: Part) -> Region:
    """Return what is left of a part's profile where nothing goes through it.

    Raises:
        OffsetError: what is cut through it could not be taken away.
    """
    through = tuple(f.region for f in part.features if is_through(part, f) and f.region)
    return _less(part.profile, through)


@lru_cache(maxsize=REMEMBERED)
def _less(profile: Region, through: tuple[Region, ...]) -> Region:
    return difference(profile, *through)
