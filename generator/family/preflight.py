"""What is wrong with a family for all its variants, told once and before any of them is begun."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import replace

from generator.base.errors import Mistake, RecipeError
from generator.build.reading import read
from generator.build.versions import unknown_outputs
from generator.family.family_file import Family
from generator.family.told import in_a_file
from generator.family.variants import Variant
from generator.recipe.expression import ExpressionError, names_in, parse_expression
from generator.recipe.load import load, open_source, read_bytes
from generator.recipe.merge import overridden, parse_override
from generator.recipe.mistakes import Mistakes, did_you_mean, mistake_at
from generator.recipe.places import shown
from generator.recipe.scalars import is_number
from generator.recipe.text import ListNode, Scalar
from generator.shapes import KINDS

__all__ = ["demand_outputs", "demand_paths", "demand_rules", "demand_sets", "recipe_parameters"]


def recipe_parameters(family: Family) -> dict[str, bool]:
    """Return the parameters of the family's recipe by name: whether each is a number.

    Raises: RecipeError: the recipe has mistakes, which every variant would have.
    """
    return {name: not isinstance(value, str) for name, value in read(family.recipe).recipe.parameters.items()}


def demand_rules(family: Family, parameters: Mapping[str, bool], variants: Sequence[Variant]) -> None:
    """Refuse rules that are texts, maybe by a slip, for parameters that are numbers in the recipe.

    Raises: RecipeError: with every one of them, where the family says it.
    """
    mistakes = Mistakes()
    known = {n for v in variants for n in v.values}
    for name, node in family.file.rules.items():
        told = _no_expression(node, known) if parameters.get(name) and isinstance(node, Scalar) else None
        if told:
            offset, found, remedy = told
            expected = f"an expression: `{name}` is a number in the recipe"
            mistakes.add(node.place_of(offset), f"rules.{name}", found, expected, remedy)
    mistakes.raise_any()


def _no_expression(node: Scalar, known: Set[str]) -> tuple[int, str, str] | None:
    """Return where a rule is no expression, what was found there and the remedy; None if it is one."""
    if node.plain and is_number(node.value):
        return None
    try:
        names = names_in(parse_expression(node.text))
    except ExpressionError as error:
        return error.offset, error.found, error.remedy
    unknown = sorted(names - known)
    if not unknown:
        return None
    found = f"the unknown name `{shown(unknown[0])}` in `{shown(node.text)}`"
    return max(node.text.find(unknown[0]), 0), found, did_you_mean(unknown[0], sorted(known))


def demand_paths(family: Family, variants: tuple[Variant, ...]) -> None:
    """Refuse overrides of keys that no recipe has, each told once, where the family names it.

    Raises: RecipeError: with every one of them.
    """
    root = load(open_source(family.recipe, read_bytes), KINDS, read_bytes).root
    mistakes, seen = Mistakes(), set()
    for text, variant in _texts(family, variants):
        path = text.partition("=")[0]
        if path in seen:
            continue
        seen.add(path)
        told = Mistakes()
        overridden(root, [text], KINDS, told)
        if told:
            parse_override(text)
            mistakes.extend(_placed(m, family, path, variant) for m in told.error().mistakes)
    mistakes.raise_any()


def _texts(family: Family, variants: tuple[Variant, ...]) -> Iterator[tuple[str, Variant]]:
    """Yield all that variants set, then the paths of overrides that none of them may have come by, with any value."""
    for variant in variants:
        for text in variant.sets:
            yield text, variant
    for override in family.file.overrides:
        for path in override.set_:
            yield f"{path}=0", variants[0]


def demand_sets(family: Family, variants: tuple[Variant, ...]) -> None:
    """Refuse what `sets` says for all variants alike and no recipe takes, told once, where the family says it.

    Raises: RecipeError: with every mistake of that sort in the first variant.
    """
    alike = set(variants[0].sets).intersection(*(v.sets for v in variants))
    ours = [path for path in family.file.sets if any(text.startswith(f"{path}=") for text in alike)]
    if not ours:
        return
    mistakes = Mistakes()
    try:
        read(family.recipe, sets=variants[0].sets)
    except RecipeError as error:
        for m in error.mistakes:
            path = next((p for p in ours if m.path == p or m.path.startswith((f"{p}.", f"{p}["))), "")
            if path:
                place = family.file.sets[path].place
                mistakes.extend([mistake_at(place, f"sets.{m.path}", m.found, m.expected, in_a_file(m.remedy))])
    mistakes.raise_any()


def _placed(mistake: Mistake, family: Family, path: str, variant: Variant) -> Mistake:
    """Return a mistake in an override at the place of the family that it comes from."""
    found, expected, remedy = mistake.found, mistake.expected, in_a_file(mistake.remedy)
    if path in family.file.sets:
        return mistake_at(family.place_of("sets"), f"sets.{path}", found, expected, remedy)
    for i, override in enumerate(family.file.overrides):
        if path in override.set_:
            return mistake_at(override.set_[path].place, f"overrides[{i}].set.{path}", found, expected, remedy)
    file, _, line = variant.place.rpartition(":")
    named = os.path.join(os.path.dirname(family.path), file or variant.place)
    return replace(mistake, file=named, line=int(line) if line.isdecimal() else 0, path=f"table.{path}")


def demand_outputs(family: Family) -> None:
    """Refuse names of outputs in the family's file that there are not.

    Raises: RecipeError: with every one of them.
    """
    mistakes = Mistakes()
    node = family.root.get("outputs")
    places = [n.place for n in node.items] if isinstance(node, ListNode) else []
    for i, *told in unknown_outputs(family.file.outputs):
        mistakes.add(places[i], f"outputs[{i}]", *told)
    mistakes.raise_any()
