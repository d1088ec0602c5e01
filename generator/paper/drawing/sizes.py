"""Which sizes are dimensioned in which view: spans along x below it, along y on its left."""

from __future__ import annotations

from collections.abc import Sequence

from generator.base.frozen_record import frozen_record
from generator.estimate.characteristics import Datum, Kind
from generator.estimate.measured_places import extreme, largest_piece, wall_beside
from generator.outline.contour import Point
from generator.outline.predicates import is_circle
from generator.outline.region import Region
from generator.paper.drawing.dimensions import Span
from generator.paper.drawing.face_view import Placement
from generator.paper.drawing.marks import Pocket
from generator.paper.drawing.said import DIAMETER
from generator.paper.drawing.told import Told
from generator.part.part import Face, Feature
from generator.part.relation import box_of, disc_of

__all__ = ["Spans", "is_round", "measured", "overall", "pocket_sizes", "sized_in_views", "walls"]

MOST = 3
"""So many pockets of a face are dimensioned in its view; with more of them all sizes go into the table."""
SAME_MM = 1e-6


@frozen_record
class Spans:
    """Dimensions along x and along y of one view."""

    x: tuple[Span, ...] = ()
    y: tuple[Span, ...] = ()

    def __add__(self, other: Spans) -> Spans:
        """Return both together."""
        return Spans(self.x + other.x, self.y + other.y)


def measured(f: Feature) -> Region:
    """Return what of a feature is measured: of an inlay pocket its largest piece."""
    return largest_piece(f.region) if f.layer.startswith("inlay-pocket") else f.region


def sized_in_views(pockets: Sequence[Pocket]) -> set[str]:
    """Return the names of features whose sizes are dimensioned in a view; engravings and artwork are not."""
    out: set[str] = set()
    for face in Face:
        names = [p.feature.name for p in pockets if p.feature.face is face and _is_sized(p.feature)]
        if len(names) <= MOST:
            out.update(names)
    return out


def _is_sized(f: Feature) -> bool:
    return not ("engraving" in f.layer or "cut" in f.layer) and not is_round(measured(f))


def is_round(region: Region) -> bool:
    """Return True for one circle, however it is made up."""
    return len(region) == 1 and is_circle(region.contours[0]) is not None


def pocket_sizes(pockets: Sequence[Pocket], face: Face, placed: Placement, told: Told, sized: set[str]) -> Spans:
    """Return the sizes of the pockets of one face."""
    out = Spans()
    for p in pockets:
        f = p.feature
        if f.face is face and f.name in sized:
            box = box_of(measured(f))
            x = told.label([f.name], Kind.SIZE_X, otherwise=box.width_mm)
            y = told.label([f.name], Kind.SIZE_Y, otherwise=box.height_mm)
            out += _across(measured(f), placed, x, y)
    return out


def overall(placed: Placement, told: Told, datum: Datum | None) -> Spans:
    """Return the sizes over all, those of the largest piece if there are several, and how the datum lies in them."""
    part = told.said.part
    profile, piece = part.profile, largest_piece(part.profile)
    box, disc = box_of(profile), disc_of(profile)
    if disc:
        text = told.label([part.name], Kind.DIAMETER, otherwise=box.width_mm, sign=DIAMETER)
        out = Spans(_across(profile, placed, text, ("", ())).x)
    elif len(piece) == len(profile):
        x = told.label([part.name], Kind.SIZE_X, otherwise=box.width_mm)
        out = _across(profile, placed, x, told.label([part.name], Kind.SIZE_Y, otherwise=box.height_mm))
    else:
        figure = told.said.figure
        out = _across(profile, placed, (figure(box.width_mm), ()), (figure(box.height_mm), ()))
        x = told.label([part.name], Kind.SIZE_X, otherwise=box_of(piece).width_mm)
        out += _across(piece, placed, x, told.label([part.name], Kind.SIZE_Y, otherwise=box_of(piece).height_mm))
    if datum is not None:
        out += _to_datum(profile, placed, told, datum)
    return out


def _to_datum(profile: Region, placed: Placement, told: Told, datum: Datum) -> Spans:
    """Return how far the outline reaches to the left of the datum and below it."""
    box, figure = box_of(profile), told.said.figure
    o, left, low = placed.point(datum.at), placed.point(extreme(profile, -1, 0)), placed.point(extreme(profile, 0, -1))
    x, y = datum.at.x - box.xmin, datum.at.y - box.ymin
    return Spans(
        (_span(left.x, o.x, left.y, o.y, (figure(x), ())),) if x > SAME_MM else (),
        (_span(low.y, o.y, low.x, o.x, (figure(y), ())),) if y > SAME_MM else (),
    )


def _across(region: Region, placed: Placement, x: tuple[str, tuple[int, ...]], y: tuple[str, tuple[int, ...]]) -> Spans:
    """Return the spans over a region; extension lines begin where it reaches farthest."""
    seen = placed.region(region)
    left, right, low, high = (extreme(seen, *d) for d in ((-1, 0), (1, 0), (0, -1), (0, 1)))
    return Spans(
        (_span(left.x, right.x, left.y, right.y, x),) if x[0] else (),
        (_span(low.y, high.y, low.x, high.x, y),) if y[0] else (),
    )


def _span(a: float, b: float, from_a: float, from_b: float, text: tuple[str, tuple[int, ...]]) -> Span:
    (a, from_a), (b, from_b) = sorted(((a, from_a), (b, from_b)))
    return Span(a, b, from_a, from_b, *text)


def walls(placed: Placement, told: Told) -> Spans:
    """Return the walls beside the bottom pocket, which tell how the faces lie over each other.

    They are measured, so their limits stand with them: only what nobody checks stands in brackets (ISO 129-1).
    """
    part = told.said.part
    pocket = next((f for f in part.features if f.layer == "bottom-pocket" and f.region), None)
    out = Spans()
    if pocket is None:
        return out
    for name, dx, dy in (("left", -1, 0), ("right", 1, 0), ("lower", 0, -1), ("upper", 0, 1)):
        found = wall_beside(pocket.region, part.profile, dx, dy)
        if found and told.find([f"wall-{name}"], Kind.WALL):
            text = told.label([f"wall-{name}"], Kind.WALL)
            start = extreme(pocket.region, dx, dy)
            end = Point(start.x + dx * found[0], start.y + dy * found[0])
            a, b = placed.point(start), placed.point(end)
            if dx:
                out += Spans((_span(a.x, b.x, a.y, b.y, text),))
            else:
                out += Spans((), (_span(a.y, b.y, a.x, b.x, text),))
    return out
