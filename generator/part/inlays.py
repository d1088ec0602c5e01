"""Inlays: the pocket in the top face and the insert that goes into it."""

from __future__ import annotations

from generator.base.errors import Mistake, blamed
from generator.base.figures import Figure
from generator.base.practice import GAP_OF_FIT
from generator.outline.offset import offset_region
from generator.outline.region import Region
from generator.part.bolts import mistake
from generator.part.corners import as_made, mated
from generator.part.heights import Heights, level
from generator.part.materials import material_of
from generator.part.part import Face, Feature, Part
from generator.recipe.model_adhesive import OwnAdhesive
from generator.recipe.model_inlay import AS_DRAWN, Inlay

__all__ = ["gap_of", "inlay_depth", "insert_part", "pocket_feature"]

AGREE_MM = 1e-6
"""Two ways of stating one depth that differ by less agree."""


def inlay_depth(inlay: Inlay, path: str, mistakes: list[Mistake]) -> float | None:
    """Return the depth of the inlay pocket in mm, or None after a contradiction.

    The depth is the insert's thickness, less what it stands proud, plus what it lies recessed. A ``pocket_depth`` that
    says otherwise contradicts ``sits`` and ``by``.
    """
    _adhesive_contradiction(inlay, path, mistakes)
    sign = {"flush": 0.0, "proud": -1.0, "recessed": 1.0}[inlay.sits]
    depth = inlay.stock.thickness + sign * inlay.by
    if inlay.sits == "flush" and inlay.by > 0.0:
        mistakes.append(
            mistake(
                f"{path}.by",
                f"{inlay.by:g} mm on an insert that sits flush",
                "0, or `sits: proud` or `sits: recessed`",
                f"leave {path}.by out, or say how it sits",
            )
        )
        return None
    if inlay.pocket_depth is not None and abs(inlay.pocket_depth - depth) > AGREE_MM:
        mistakes.append(_depth_contradiction(inlay, depth, path))
        return None
    if depth <= AGREE_MM:
        mistakes.append(
            mistake(
                f"{path}.by",
                f"an insert of {inlay.stock.thickness:g} mm that stands proud by {inlay.by:g} mm",
                "a pocket of some depth",
                f"set {path}.by below {inlay.stock.thickness:g}",
            )
        )
        return None
    return depth


def _adhesive_contradiction(inlay: Inlay, path: str, mistakes: list[Mistake]) -> None:
    """Tell an adhesive of one's own whose gaps are the wrong way round."""
    own = inlay.adhesive
    if not isinstance(own, OwnAdhesive):
        return
    for less, more, key in (
        (own.thinnest, own.thickest, "thickest"),
        (own.thickest, own.thickest if own.bridges is None else own.bridges, "bridges"),
    ):
        if less > more:
            mistakes.append(
                mistake(
                    f"{path}.adhesive.{key}",
                    f"{more:g} mm, but {own.name} needs at least {less:g} mm",
                    f"at least {less:g} mm",
                    f"set {path}.adhesive.{key} to at least {less:g} mm",
                )
            )


def _depth_contradiction(inlay: Inlay, depth: float, path: str) -> Mistake:
    """Return the mistake of a pocket depth that is not what thickness and fit make."""
    assert inlay.pocket_depth is not None
    over = inlay.stock.thickness - inlay.pocket_depth
    fit = "sits: proud" if over > 0 else "sits: recessed"
    sits = f"{inlay.sits} by {inlay.by:g} mm" if inlay.by else inlay.sits
    return mistake(
        f"{path}.pocket_depth",
        f"{inlay.pocket_depth:g} mm, but an insert of {inlay.stock.thickness:g} mm that sits {sits} needs {depth:g} mm",
        f"{depth:g} mm or no `pocket_depth`",
        f"leave it out, or write `{fit}` and `by: {abs(over):.4g}`" if abs(over) > AGREE_MM else "leave it out",
    )


def gap_of(inlay: Inlay) -> Figure:
    """Return the gap a side between insert and pocket wall, mm, and where it comes from."""
    return GAP_OF_FIT[inlay.fit] if inlay.gap is None else Figure(inlay.gap, "mm", "the recipe", "read")


def pocket_feature(
    name: str, inlay: Inlay, region: Region, depth_mm: float, cutter_mm: float, heights: Heights
) -> Feature:
    """Return the pocket of inlay ``name`` for the drawn ``region``, corners as drawn or made for a cutter (0: none).

    Raises: GeometryError: the corners cannot be made; carries the recipe path.
    """
    low = heights.below_top(depth_mm)
    layer, drawn = f"inlay-pocket-{name}", inlay.corners == AS_DRAWN
    with blamed(f"inlays.{name}.outline"):
        made, asked = as_made(region, mated(region, 0.0 if drawn else cutter_mm / 2.0, gap_of(inlay).value))
    top = heights.thickness_mm
    path = f"inlays.{name}"
    return Feature(layer, layer, Face.TOP, made, low, top, path=path, asked=asked, cutter_mm=cutter_mm, as_drawn=drawn)


def insert_part(name: str, inlay: Inlay, pocket: Feature) -> Part:
    """Return the bare insert: the pocket's region, smaller by the gap all round.

    Raises: GeometryError: the offset cannot be made. An insert that the gap swallows has an empty profile.
    """
    gap = gap_of(inlay).value
    with blamed(f"inlays.{name}.gap"):
        profile = offset_region(pocket.region, -gap) if gap > 0.0 and pocket.region else pocket.region
    return Part(
        name=f"insert-{name}",
        material=material_of(inlay.material),
        thickness_mm=level(inlay.stock.thickness),
        profile=profile,
        seat_z_mm=pocket.z_from_mm,
        layer=f"insert-profile-{name}",
    )
