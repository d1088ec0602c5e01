"""From a recipe to the 2.5D plan: every outline drawn, every height known, nothing judged yet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace

from generator.base.errors import DRAWABLE, GeometryError, Mistake, RecipeError
from generator.base.fields import OutlineSpec
from generator.outline.combine import difference, union
from generator.outline.contour import Point
from generator.outline.create import circle
from generator.outline.measure import bounds, signed_area
from generator.outline.offset import offset_region
from generator.outline.region import EMPTY, Region
from generator.part.blank import blank_of, dowel_points, flip_axis
from generator.part.bolts import bolts_of, mistake, seat_of
from generator.part.heights import Heights, heights_of, level
from generator.part.inlays import inlay_depth, insert_part, pocket_feature
from generator.part.materials import material_of
from generator.part.part import Blank, Bolt, Face, Feature, FlipAxis, Part, Plan
from generator.part.relation import covers, meets
from generator.part.seats import seat_features, seat_size
from generator.recipe.model import Dowels, Opening, Recipe
from generator.shapes.draw import draw_outline
from generator.shapes.shape import Context, Files

__all__ = ["filled", "make_plan"]

THIN_MM = 1e-6
"""A feature shallower than this has no depth."""


@dataclass(frozen=True)
class _Drawn:
    """The outlines of a recipe, drawn."""

    footprint: Region
    pocket: Region
    outer: Region
    openings: tuple[tuple[str, Region], ...]
    inlays: tuple[tuple[str, Region], ...]


def make_plan(recipe: Recipe, *, files: Files) -> Plan:
    """Return the 2.5D plan of a recipe.

    Args:
        recipe: read and typed; lengths mm.
        files: the files that the recipe names.

    Raises:
        RecipeError: the recipe contradicts itself; all contradictions at once, with recipe paths but no lines.
        GeometryError: an outline cannot be drawn; carries its recipe path.
    """
    mistakes: list[Mistake] = []
    heights = heights_of(recipe.cover.stock)
    bolts = bolts_of(recipe, mistakes)
    seats = _seats(recipe, bolts, heights, mistakes)
    drawn = _draw(recipe, _rims(bolts, seats), files, mistakes)
    pockets = _inlay_pockets(recipe, drawn, heights, mistakes)
    profile, notching = _notched(drawn, mistakes)
    flip = flip_axis(recipe, drawn.outer)
    blank = blank_of(recipe, drawn.outer, heights.thickness_mm, dowel_points(recipe, drawn.outer, flip, mistakes))
    features = (
        _bottom_pocket(recipe, drawn.pocket),
        *_bolt_holes(bolts, heights),
        *seats,
        *_openings(drawn, notching, heights),
        *pockets,
        *_dowels_inside(recipe, blank, heights),
    )
    mistakes += _without_depth(features)
    if mistakes:
        raise RecipeError(mistakes)
    return _plan(recipe, drawn, _cover(recipe, heights, profile, features), bolts, blank, flip)


def _cover(recipe: Recipe, heights: Heights, profile: Region, features: tuple[Feature, ...]) -> Part:
    """Return the cover as a part."""
    return Part(
        name="cover",
        material=material_of(recipe.cover.material),
        thickness_mm=heights.thickness_mm,
        profile=profile,
        features=features,
        rim_break_mm=recipe.cover.edge_break,
    )


def _plan(recipe: Recipe, drawn: _Drawn, cover: Part, bolts: tuple[Bolt, ...], blank: Blank, flip: FlipAxis) -> Plan:
    """Return the plan of a cover whose features are known; the inserts follow from their pockets."""
    by_name = {f.name: f for f in cover.features}
    return Plan(
        name=recipe.name,
        title=recipe.title,
        revision=recipe.revision,
        notes=recipe.notes,
        load_bearing=recipe.original.load_bearing,
        original_height_mm=recipe.original.height,
        footprint=drawn.footprint,
        cover=cover,
        inserts=tuple(insert_part(n, i, by_name[f"inlay-pocket-{n}"]) for n, i in recipe.inlays.items()),
        bolts=bolts,
        blank=blank,
        flip=flip,
        tool_diameters=tuple((n, t.diameter) for n, t in recipe.tools.items() if t.kind == "end mill"),
        outer=drawn.outer,
        units=recipe.units,
    )


@contextmanager
def _blamed(path: str) -> Iterator[None]:
    """Give a geometry error the recipe path of what was being drawn, unless it already names one."""
    try:
        yield
    except GeometryError as error:
        error.path = error.path or path
        raise


def filled(region: Region) -> Region:
    """Return the region with its holes filled."""
    outers = [Region((c,)) for c in region if signed_area(c) > 0.0]
    return union(*outers) if len(outers) > 1 else Region(tuple(c for r in outers for c in r))


def _rims(bolts: tuple[Bolt, ...], seats: tuple[Feature, ...]) -> tuple[tuple[Point, float], ...]:
    """Return centre and radius of every seat at the top face, or of the hole where there is no seat."""
    radii = {b.name: b.hole_mm / 2.0 for b in bolts}
    for f in seats:
        name = f.name.removeprefix("seat-").removesuffix("-bore")
        radii[name] = max(radii[name], bounds(f.region).width_mm / 2.0 + f.flare_mm)
    return tuple((b.at, radii[b.name]) for b in bolts)


def _draw(recipe: Recipe, rims: tuple[tuple[Point, float], ...], files: Files, mistakes: Sequence[Mistake]) -> _Drawn:
    """Return every outline of the recipe, drawn.

    Raises:
        GeometryError: one cannot be drawn; carries its recipe path.
        RecipeError: several cannot, or one cannot and the recipe contradicts itself (``mistakes``) as well.
    """
    tries = _Tries()
    footprint, pocket = EMPTY, EMPTY
    with tries.one():
        footprint = _draw_one(recipe.original.footprint, Context(files=files), "original.footprint")
        with _blamed("clearance.around"):
            pocket = _grown(filled(footprint), recipe.clearance.around)
    context = Context(files=files, footprint=footprint, pocket=pocket, seats=rims)
    openings = []
    for name, opening in recipe.original.openings.items():
        with tries.one():
            openings.append((name, _opening_region(opening, context, f"original.openings.{name}")))
    outer = EMPTY
    if pocket:  # outer shapes follow the pocket: without one their own mistakes cannot be told
        with tries.one():
            outer = _draw_one(recipe.cover.outer, context, "cover.outer")
    inlays = []
    for name, inlay in recipe.inlays.items():
        with tries.one():
            inlays.append((name, _draw_one(inlay.outline, context, f"inlays.{name}.outline")))
    tries.end(mistakes)
    return _Drawn(footprint, pocket, outer, tuple(openings), tuple(inlays))


def _opening_region(opening: Opening, context: Context, path: str) -> Region:
    drawn = _draw_one(opening.outline, context, f"{path}.outline")
    with _blamed(f"{path}.clearance"):
        return _grown(drawn, opening.clearance)


class _Tries:
    """Keeps what could not be drawn, so that one outline does not hide the mistakes of the next."""

    def __init__(self) -> None:
        self._errors: list[GeometryError] = []

    @contextmanager
    def one(self) -> Iterator[None]:
        """Keep the geometry error of the block."""
        try:
            yield
        except GeometryError as error:
            self._errors.append(error)

    def end(self, mistakes: Sequence[Mistake]) -> None:
        """Raise what was kept: alone as it is, several or with ``mistakes`` as one recipe error."""
        if len(self._errors) == 1 and not mistakes:
            raise self._errors[0]
        if self._errors:
            undrawn = [Mistake("", 0, 0, e.path, str(e), DRAWABLE) for e in self._errors]
            raise RecipeError([*mistakes, *undrawn])


def _draw_one(spec: OutlineSpec, context: Context, path: str) -> Region:
    """Return the drawn outline; an empty one is an error too."""
    with _blamed(spec.path or path):
        region = draw_outline(spec if spec.path else replace(spec, path=path), context)
        if not region:
            raise GeometryError("the outline encloses nothing")
        return region


def _grown(region: Region, by_mm: float) -> Region:
    """Return the region grown by an offset; growing by nothing changes no digit."""
    return offset_region(region, by_mm) if by_mm else region


def _notched(drawn: _Drawn, mistakes: list[Mistake]) -> tuple[Region, frozenset[str]]:
    """Return the cover's outline and the names of the openings that notch it.

    An opening that lies partly inside and partly outside the outline notches it; one that runs into such a notch
    becomes part of it.
    """
    profile, notching, changed = drawn.outer, set[str](), True
    while changed:
        changed = False
        for name, region in drawn.openings:
            if name not in notching and not covers(profile, region) and meets(profile, region):
                with _blamed(f"original.openings.{name}"):
                    profile = difference(profile, region)
                notching.add(name)
                changed = True
    if not profile:
        found = "openings that take the whole cover away"
        mistakes.append(mistake("original.openings", found, "openings that leave a cover", "make them smaller"))
    return profile, frozenset(notching)


def _bottom_pocket(recipe: Recipe, pocket: Region) -> Feature:
    """Return the pocket that the original stands in."""
    depth = level(recipe.original.height + recipe.clearance.above)
    return Feature("bottom-pocket", "bottom-pocket", Face.BOTTOM, pocket, 0.0, depth, path="clearance")


def _bolt_holes(bolts: tuple[Bolt, ...], heights: Heights) -> Iterator[Feature]:
    """Yield a through hole for every bolt."""
    for b in bolts:
        region = Region((circle(b.at, b.hole_mm / 2.0),))
        yield Feature(f"hole-{b.name}", "bolt-holes", Face.TOP, region, 0.0, heights.thickness_mm, path=b.path)


def _seats(recipe: Recipe, bolts: tuple[Bolt, ...], heights: Heights, mistakes: list[Mistake]) -> tuple[Feature, ...]:
    """Return the seats of all bolts; one mistake a group, however many bolts it has."""
    out: list[Feature] = []
    for i, group in enumerate(recipe.original.bolts):
        seat, path = seat_of(recipe, i)
        mine = [b for b in bolts if b.path == f"original.bolts[{i}]"]
        if seat is None or not mine:
            continue
        size = seat_size(seat, group.thread, mine[0].hole_mm, path, mistakes)
        if size is not None:
            out += [f for b in mine for f in seat_features(b, size, path, heights)]
    return tuple(out)


def _openings(drawn: _Drawn, notching: frozenset[str], heights: Heights) -> Iterator[Feature]:
    """Yield a through cut for every opening that does not notch the outline."""
    for name, region in drawn.openings:
        if name not in notching:
            path = f"original.openings.{name}"
            yield Feature(f"opening-{name}", "openings", Face.TOP, region, 0.0, heights.thickness_mm, path=path)


def _inlay_pockets(recipe: Recipe, drawn: _Drawn, heights: Heights, mistakes: list[Mistake]) -> tuple[Feature, ...]:
    """Return the inlay pockets in the order of the recipe."""
    out = []
    for name, region in drawn.inlays:
        depth = inlay_depth(recipe.inlays[name], f"inlays.{name}", mistakes)
        if depth is not None:
            out.append(pocket_feature(name, region, depth, heights))
    return tuple(out)


def _dowels_inside(recipe: Recipe, blank: Blank, heights: Heights) -> Iterator[Feature]:
    """Yield the dowel holes that stay in the finished part because the recipe wants them inside."""
    if isinstance(recipe.dowels, Dowels) and recipe.dowels.place == "inside":
        for k, contour in enumerate(blank.dowel_holes, start=1):
            region = Region((contour,))
            top = heights.thickness_mm
            yield Feature(f"dowel-hole-{k}", "dowel-holes", Face.BOTTOM, region, 0.0, top, path="dowels")


def _without_depth(features: tuple[Feature, ...]) -> list[Mistake]:
    """Return a mistake for every feature that the measured thickness leaves without depth."""
    return [
        mistake(
            f.path,
            f"{f.name} of no depth in the measured thickness",
            "a depth larger than nominal less measured thickness",
            "set cover.stock.depths_from to own face, or make it deeper",
        )
        for f in features
        if f.depth_mm <= THIN_MM
    ]
