"""The drawings of a plan's parts, made once for all outputs that write them."""

from __future__ import annotations

from generator.base.errors import Mistake, RecipeError
from generator.estimate.characteristics import Characteristic
from generator.outputs.numbered import numbered
from generator.outputs.output import Work
from generator.paper.drawing.drawing import Drawing, NoSheetError, drawing_of, drawn_parts
from generator.part.part import Part, Plan
from generator.recipe.model import Recipe

__all__ = ["FOLDER", "drawings_of"]

FOLDER = "drawings"


def drawings_of(work: Work) -> tuple[tuple[Part, Drawing], ...]:
    """Return every made part with its drawing; none where the recipe is not known, which says how exact things are.

    Raises: RecipeError: the recipe's sheet is too small for a part; without its place in the recipe.
    """
    return work.once(_all_drawn)


def _all_drawn(work: Work) -> tuple[tuple[Part, Drawing], ...]:
    sheet = numbered(work)
    if work.recipe is None or sheet is None:
        return ()
    return tuple((p, _drawn(work.recipe, work.plan, p, sheet.characteristics)) for p in drawn_parts(work.plan))


def _drawn(recipe: Recipe, plan: Plan, part: Part, listed: tuple[Characteristic, ...]) -> Drawing:
    try:
        return drawing_of(recipe, plan, part, listed)
    except NoSheetError as error:
        found = f"`{recipe.paper.drawing}`, on which the drawing of the {part.name} does not fit at any scale"
        remedy = "set `paper.drawing: auto`, or leave the drawings out: name the other outputs with --outputs"
        raise RecipeError([Mistake("", 0, 0, "paper.drawing", found, "a larger sheet", remedy)]) from error
