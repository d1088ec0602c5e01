"""Which variants of a family are meant: by name, with ``*`` and ``?``, or by a value."""

from __future__ import annotations

from collections.abc import Sequence
from fnmatch import fnmatchcase

from generator.base.errors import Mistake, RecipeError
from generator.family.variants import Variant
from generator.recipe.mistakes import did_you_mean, listed
from generator.recipe.places import shown

__all__ = ["chosen"]


def chosen(variants: Sequence[Variant], only: Sequence[str]) -> tuple[Variant, ...]:
    """Return the variants that any of ``only`` means; all of them if it is empty.

    Args:
        variants: of the family.
        only: names such as ``plot-7`` or ``plot-1*``, or values such as ``metal=CuZn37 R350``.

    Raises: RecipeError: one of them means no variant.
    """
    if not only:
        return tuple(variants)
    mistakes = [_nothing(text, variants) for text in only if not any(_means(text, v) for v in variants)]
    if mistakes:
        raise RecipeError(mistakes)
    return tuple(v for v in variants if any(_means(text, v) for text in only))


def _means(text: str, variant: Variant) -> bool:
    name, equals, value = text.partition("=")
    if equals:
        return variant.values.get(name.strip()) == value.strip()
    return fnmatchcase(variant.name.lower(), text.strip().lower())


def _nothing(text: str, variants: Sequence[Variant]) -> Mistake:
    name, equals, _ = text.partition("=")
    if equals:
        known = list(dict.fromkeys(n for v in variants for n in v.values))
        values = list(dict.fromkeys(v.values.get(name.strip(), "") for v in variants))
        if name.strip() in known:
            return Mistake("--only", 0, 0, "", f"`{shown(text)}`", f"a value of `{name.strip()}`: {listed(values)}")
        expected = f"one of {listed(known)} before the `=`" if known else "a name: nothing varies by value"
        return Mistake("--only", 0, 0, "", f"`{shown(text)}`", expected, did_you_mean(name, known))
    names = [v.name for v in variants]
    expected = f"a variant, such as {listed(names[:3])}, or `plot=7` for a value"
    return Mistake("--only", 0, 0, "", f"`{shown(text)}`", expected, did_you_mean(text, names))
