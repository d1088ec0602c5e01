"""What is measured on the cover and its blank."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from generator.estimate import allowed
from generator.estimate.characteristic import BLANK, ISLAND, Allowed, Datum, Kind, Wanted
from generator.estimate.measured_places import (
    SAME_MM,
    extreme,
    inside_radius,
    largest_piece,
    pieces_of,
    round_holes,
    spot_in,
    wall_beside,
)
from generator.outline.contour import Point
from generator.outline.region import Region
from generator.part.describe import floor_left_mm
from generator.part.part import Face, Feature, Plan
from generator.part.relation import box_of, disc_of, meets
from generator.part.section import feature_at
from generator.recipe.model import Recipe
from generator.recipe.model_dowels import Dowels

__all__ = ["blank_wanted", "cover_wanted", "sizes_of"]

SIDES = ((-1, 0, "left"), (1, 0, "right"), (0, -1, "lower"), (0, 1, "upper"))


def cover_wanted(recipe: Recipe, plan: Plan, datum: Datum) -> Iterator[Wanted]:
    """Yield the cover's characteristics: overall, holes, seats, pockets, floors, walls."""
    yield from _overall(recipe, plan)
    yield from _alike(recipe, plan, "bolt-holes", "bolt hole", allowed.size(recipe), Kind.DIAMETER)
    yield from _positions(recipe, plan, datum, "bolt-holes")
    yield from _seats(recipe, plan)
    yield from _bottom_pocket(recipe, plan, datum)
    yield from _openings(recipe, plan, datum)
    yield from _recesses(recipe, plan, datum)
    yield from _walls(recipe, plan)
    if isinstance(recipe.dowels, Dowels):
        fit = allowed.dowel_hole(recipe, recipe.dowels)
        yield from _alike(recipe, plan, "dowel-holes", "dowel hole", fit, Kind.DIAMETER)
        yield from _positions(recipe, plan, datum, "dowel-holes")


def blank_wanted(recipe: Recipe, plan: Plan) -> Iterator[Wanted]:
    """Yield what is measured on the blank before it is turned over: dowel holes that are not in the cover."""
    dowels = recipe.dowels
    holes = [d for c in plan.blank.dowel_holes if (d := disc_of(Region((c,))))]
    if not isinstance(dowels, Dowels) or dowels.place == "inside" or not holes:
        return
    fit = allowed.dowel_hole(recipe, dowels)
    names = tuple(f"dowel-hole-{k}" for k, _ in enumerate(holes, start=1))
    first = holes[0]
    face = Face.BOTTOM
    yield Wanted(
        BLANK, names[0], Kind.DIAMETER, "dowel holes, diameter", dowels.diameter, fit, first.centre, face, names
    )
    at = allowed.position(recipe)
    for name, hole in zip(names[1:], holes[1:], strict=True):
        apart = hypot(hole.centre.x - first.centre.x, hole.centre.y - first.centre.y)
        what = f"{_words(name)}, from middle to middle of {_words(names[0])}"
        yield Wanted(BLANK, name, Kind.DISTANCE, what, apart, at, hole.centre, face)


def sizes_of(part: str, feature: str, what: str, region: Region, face: Face, limits: Allowed) -> Iterator[Wanted]:
    """Yield the diameter of what is round outside, else its sizes along x and y."""
    disc = disc_of(Region(region.contours[:1]))
    box = box_of(region)
    if disc:
        yield Wanted(part, feature, Kind.DIAMETER, f"{what}, diameter", 2.0 * disc.radius_mm, limits, disc.centre, face)
        return
    yield Wanted(part, feature, Kind.SIZE_X, f"{what}, along x", box.width_mm, limits, extreme(region, 1, 0), face)
    yield Wanted(part, feature, Kind.SIZE_Y, f"{what}, along y", box.height_mm, limits, extreme(region, 0, 1), face)


def _overall(recipe: Recipe, plan: Plan) -> Iterator[Wanted]:
    cover = plan.cover
    box = box_of(cover.profile)
    wide, high = allowed.general(recipe, box.width_mm), allowed.general(recipe, box.height_mm)
    right, upper, left = extreme(cover.profile, 1, 0), extreme(cover.profile, 0, 1), extreme(cover.profile, -1, 0)
    disc = disc_of(Region(cover.profile.contours[:1]))
    if disc:
        yield from sizes_of("cover", "cover", "cover", cover.profile, Face.TOP, wide)
    else:
        yield Wanted("cover", "cover", Kind.SIZE_X, "cover, over all along x", box.width_mm, wide, right, Face.TOP)
        yield Wanted("cover", "cover", Kind.SIZE_Y, "cover, over all along y", box.height_mm, high, upper, Face.TOP)
    thick, plate = cover.thickness_mm, allowed.plate(recipe)
    yield Wanted("cover", "cover", Kind.THICKNESS, "cover, thickness", thick, plate, left, Face.TOP)
    if cover.rim_break_mm > 0.0:
        broken, low = allowed.broken_edge(recipe, cover.rim_break_mm), extreme(cover.profile, 0, -1)
        what = "upper rim, chamfer at 45°"
        yield Wanted("cover", "edge-break", Kind.CHAMFER, what, cover.rim_break_mm, broken, low, Face.TOP)


# ------------------------------------------------------------------ holes and seats
def _alike(recipe: Recipe, plan: Plan, layer: str, one: str, limits: Allowed, kind: Kind) -> Iterator[Wanted]:
    """Yield one diameter for all round holes of a layer that are equally large."""
    groups: dict[float, list[tuple[Feature, Point]]] = {}
    for f in plan.cover.features:
        if f.layer == layer and (disc := disc_of(f.region)):
            groups.setdefault(round(2.0 * disc.radius_mm, 6), []).append((f, disc.centre))
    for diameter, found in groups.items():
        first, at = found[0]
        what = f"{_plural(one, len(found))}, diameter"
        names = tuple(f.name for f, _ in found)
        yield Wanted("cover", first.name, kind, what, diameter, limits, at, first.face, names)


def _positions(recipe: Recipe, plan: Plan, datum: Datum, layer: str) -> Iterator[Wanted]:
    for f in plan.cover.features:
        if f.layer == layer and f.region and f.name != datum.feature:
            yield from _position(f, box_of(f.region).centre, datum, allowed.position(recipe))


def _position(f: Feature, at: Point, datum: Datum, limits: Allowed) -> Iterator[Wanted]:
    """Yield how far a feature's middle lies from the datum along x and along y, but what the part is set straight by.

    That position would read as planned however far off the hole is.
    """
    name = _words(f.name)
    ways = ((Kind.POSITION_X, "x", at.x - datum.at.x), (Kind.POSITION_Y, "y", at.y - datum.at.y))
    for kind, axis, off in ways:
        if (f.name, kind) != datum.held:
            yield Wanted("cover", f.name, kind, f"{name}, middle, {axis} from datum", off, limits, at, f.face)


def _seats(recipe: Recipe, plan: Plan) -> Iterator[Wanted]:
    """Yield diameter and depth of counterbores; of countersinks the diameter at the top face, which tells the depth."""
    groups: dict[tuple[float, float, bool], list[Feature]] = {}
    for f in plan.cover.features:
        if f.name.startswith("seat-bolt-") and f.layer in ("seats", "seats-bore"):
            through = f.z_from_mm <= 0.0
            under_bore = f.flare_mm > 0.0 and f.z_to_mm < plan.cover.thickness_mm - SAME_MM
            if under_bore or (through and not f.flare_mm):
                continue  # under its straight part the cone's rim cannot be measured; a hole has no depth
            wide = box_of(f.region).width_mm + 2.0 * f.flare_mm
            groups.setdefault((round(wide, 6), round(f.depth_mm, 6), bool(f.flare_mm)), []).append(f)
    for (wide, deep, is_cone), found in groups.items():
        first, names = found[0], tuple(f.name for f in found)
        at = box_of(first.region).centre
        if is_cone:
            cone = allowed.cone(recipe)
            what = f"{_plural('countersink', len(found))}, diameter at the top face"
            yield Wanted("cover", first.name, Kind.CONE, what, wide, cone, at, Face.TOP, names)
            continue
        what, size = _plural("seat", len(found)), allowed.size(recipe)
        yield Wanted("cover", first.name, Kind.DIAMETER, f"{what}, diameter", wide, size, at, Face.TOP, names)
        limits = allowed.top_depth(recipe)
        yield Wanted("cover", first.name, Kind.DEPTH, f"{what}, depth", deep, limits, at, Face.TOP, names)


# ------------------------------------------------------------------ pockets
def _bottom_pocket(recipe: Recipe, plan: Plan, datum: Datum) -> Iterator[Wanted]:
    """Yield the bottom pocket's sizes, its place from the datum hole, which is what the fit lives on, and its depth."""
    for f in plan.cover.features:
        if f.layer == "bottom-pocket" and f.region:
            yield from sizes_of("cover", f.name, "bottom pocket", f.region, Face.BOTTOM, allowed.size(recipe))
            if datum.feature:
                at_hole = allowed.faces(recipe, turned=_is_drilled_from_top(plan, datum))
                yield from _position(f, box_of(f.region).centre, datum, at_hole)
            others = tuple(
                o.region for o in plan.cover.features if o is not f and o.region and meets(o.region, f.region)
            )
            at = spot_in(f.region, others) or extreme(f.region, -1, 0)
            deep = allowed.above_original(recipe)
            yield Wanted("cover", f.name, Kind.DEPTH, "bottom pocket, depth", f.depth_mm, deep, at, Face.BOTTOM)
            yield from _corner(recipe, f, "bottom pocket", recipe.clearance.around)
            left = plan.cover.thickness_mm - f.z_to_mm
            if left > 0.0 and at:
                limits = allowed.floor(recipe, left)
                yield Wanted("cover", f.name, Kind.FLOOR, "floor over the bottom pocket", left, limits, at, Face.TOP)


def _is_drilled_from_top(plan: Plan, datum: Datum) -> bool:
    return any(f.face is Face.TOP for f in plan.cover.features if f.name == datum.feature)


def _corner(recipe: Recipe, f: Feature, what: str, room_mm: float) -> Iterator[Wanted]:
    """Yield the smallest inside radius of a pocket; the round end of a slot is its width and no corner."""
    box, corner = box_of(f.region), inside_radius(f.region)
    if corner and 2.0 * corner[0] < min(box.width_mm, box.height_mm) - SAME_MM:
        radius, at = corner
        limits = allowed.mating_corner(recipe, radius, room_mm)
        yield Wanted("cover", f.name, Kind.RADIUS, f"{what}, smallest inside radius", radius, limits, at, f.face)


def _openings(recipe: Recipe, plan: Plan, datum: Datum) -> Iterator[Wanted]:
    for f in plan.cover.features:
        if f.layer == "openings" and f.region:
            yield from sizes_of("cover", f.name, _words(f.name), f.region, Face.TOP, allowed.size(recipe))
            yield from _position(f, box_of(f.region).centre, datum, allowed.position(recipe))


def _recesses(recipe: Recipe, plan: Plan, datum: Datum) -> Iterator[Wanted]:
    """Yield inlay pockets with sizes, place, depth, corner and floor; of engravings the depth."""
    for f in plan.cover.features:
        if not f.is_top_recess or not f.region:
            continue
        what, piece = _words(f.name), largest_piece(f.region)
        deep, at = allowed.top_depth(recipe), spot_in(piece) or box_of(piece).centre
        if f.layer.startswith("engraving"):
            yield Wanted("cover", f.name, Kind.DEPTH, f"{what}, depth", f.depth_mm, deep, at, Face.TOP)
            continue
        inlay = f.layer.removeprefix("inlay-pocket-")
        single = pieces_of(f.region) == 1
        named = what if single else f"{what}, largest piece"
        yield from sizes_of("cover", f.name, named, piece, Face.TOP, allowed.pocket_size(recipe, inlay))
        for wide, centre in round_holes(f.region) if single else ():
            size, island = allowed.insert_size(recipe, inlay), f"{f.name}{ISLAND}"
            yield Wanted(
                "cover", island, Kind.DIAMETER, f"{what}, island in it, diameter", wide, size, centre, Face.TOP
            )
        yield from _position(f, box_of(piece).centre, datum, allowed.position(recipe))
        yield Wanted("cover", f.name, Kind.DEPTH, f"{what}, depth", f.depth_mm, deep, at, Face.TOP)
        yield from _corner(recipe, f, what, allowed.room_of(recipe, inlay))
        yield from _floor_under(recipe, plan, f, piece, what)


def _floor_under(recipe: Recipe, plan: Plan, f: Feature, piece: Region, what: str) -> Iterator[Wanted]:
    """Yield the floor between an inlay pocket and the bottom pocket where the two lie over each other."""
    left = floor_left_mm(plan.cover, f)
    if left < SAME_MM or left > f.z_from_mm - SAME_MM:
        return
    under = next((o for o in plan.cover.features if o.layer == "bottom-pocket"), None)
    through = tuple(o.region for o in plan.cover.features if o.layer == "bolt-holes" and meets(o.region, piece))
    if under is None or not meets(under.region, piece):
        return
    at = spot_in(piece, through) or box_of(piece).centre
    yield Wanted("cover", f.name, Kind.FLOOR, f"floor under {what}", left, allowed.floor(recipe, left), at, Face.TOP)


def _walls(recipe: Recipe, plan: Plan) -> Iterator[Wanted]:
    """Yield the walls on four sides of the bottom pocket, which tell how well the faces lie over each other."""
    pocket = next((f for f in plan.cover.features if f.layer == "bottom-pocket" and f.region), None)
    if pocket is None:
        return
    box = box_of(plan.cover.profile)
    region = feature_at(pocket, 0.0)
    for dx, dy, side in SIDES:
        found = wall_beside(region, plan.cover.profile, dx, dy)
        if found:
            thick, at = found
            limits = allowed.wall(recipe, box.width_mm if dx else box.height_mm)
            what = f"wall beside the bottom pocket, {side}, along {'x' if dx else 'y'}"
            yield Wanted("cover", f"wall-{side}", Kind.WALL, what, thick, limits, at, Face.BOTTOM)


def _words(name: str) -> str:
    """Return a feature's name in words: ``hole-bolt-2`` is ``hole of bolt-2``."""
    if name.startswith("hole-"):
        return f"hole of {name.removeprefix('hole-')}"
    if name == "bottom-pocket":
        return "bottom pocket"
    for start, said in (("inlay-pocket-", "inlay pocket"), ("dowel-hole-", "dowel hole")):
        if name.startswith(start):
            return f"{said} {name.removeprefix(start)}"
    return name.replace("-", " ", 1) if name.startswith(("opening-", "engraving-")) else name


def _plural(word: str, count: int) -> str:
    return f"{word}s" if count > 1 else word
