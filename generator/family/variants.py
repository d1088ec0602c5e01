"""From a family to its variants: rows × lists × ranges, rules worked out, some left out, each with its overrides."""

from __future__ import annotations

import itertools
import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from generator.base.errors import Mistake, RecipeError
from generator.base.frozen_record import frozen_record
from generator.base.many import many
from generator.family.family_file import Family, GivenRow
from generator.family.pack_name import LONGEST, in_a_family, pack_name
from generator.family.settings import Setter
from generator.family.unmatched import Conditions
from generator.recipe.mistakes import Mistakes, listed, one_mistake
from generator.recipe.model_family import MOST_VARIANTS, CountedValues
from generator.recipe.parameters import Parameter, plain_number, read_parameters
from generator.recipe.places import Place, shown
from generator.recipe.resolve import quoted
from generator.recipe.scalars import resolve_scalar
from generator.recipe.text import MapNode, Node, Scalar

__all__ = ["Variant", "cut_names", "variants_of"]

_MOST_COUNTED: Final = 1_000_000


@frozen_record
class Variant:
    """One variant.

    Attributes:
        number: its number in the family, from 1, those left out not counted.
        name: name of its pack.
        values: what varies, by name, as it stands in a text.
        sets: what is laid over the recipe, as ``coverplate build --set`` takes it.
        place: ``file:line`` that it comes from, the file named from the family's folder.
        is_cut: whether its name was longer and has been cut.
    """

    number: int
    name: str
    values: Mapping[str, str]
    sets: tuple[str, ...]
    place: str
    is_cut: bool = False


def variants_of(
    family: Family, parameters: frozenset[str], conditions: Conditions | None = None
) -> tuple[Variant, ...]:
    """Return the variants of a family.

    Args:
        family: as read.
        parameters: names of the parameters that the recipe has.
        conditions: those of the family, to be asked later which of them no variant meets.

    Raises: RecipeError: with every mistake found; two variants of one name are one.
    """
    mistakes = Mistakes()
    _demand_own_names(family, mistakes)
    _refuse_names_of_packs(family, mistakes)
    mistakes.raise_any()
    setter, conditions = Setter(family, parameters), conditions or Conditions(family)
    made: list[Variant] = []
    for row, chosen in _combined(family):
        values = _worked_out(family, row, chosen, mistakes)
        overrides = None if values is None else conditions.overrides_of(values)
        if values is None or overrides is None:
            continue
        try:
            name, is_cut = pack_name(family, row, values, len(made) + 1)
            sets = (_name_set(name), *setter.sets(row, values, overrides))
            written = {n: p.written for n, p in values.items()}
            made.append(Variant(len(made) + 1, name, written, sets, _place(family, row), is_cut))
        except RecipeError as error:
            mistakes.extend(error.mistakes)
    _demand_use(family, made, mistakes)
    _refuse_same_names(family, made, mistakes)
    if not made and not mistakes:
        mistakes.add(family.place_of("leave_out"), "leave_out", "no variant left", "at least one", "leave out fewer")
    mistakes.raise_any()
    return tuple(made)


def _demand_own_names(family: Family, mistakes: Mistakes) -> None:
    """Tell names that two sources of values give."""
    file = family.file
    given = {n for row in family.rows for n in row.values}
    for key, names in (("lists", file.lists), ("ranges", file.ranges), ("rules", file.rules)):
        for name in names:
            if name in given:
                found = f"`{name}`, which has values from elsewhere in the family"
                own = family.place_of(key, name)
                mistakes.add(own, f"{key}.{name}", found, "a name of its own", "rename or delete one")
        given |= set(names)


def _refuse_names_of_packs(family: Family, mistakes: Mistakes) -> None:
    """Tell where a pack is given another name than `names` gives it: two could get one, and none be found again."""
    told = ("the recipe's `name`", "a path other than `name`", "let `names` tell how packs are called")
    if "name" in family.file.sets:
        mistakes.add(family.place_of("sets"), "sets.name", *told)
    for i, override in enumerate(family.file.overrides):
        if "name" in override.set_:
            mistakes.add(family.place_of("overrides"), f"overrides[{i}].set.name", *told)


def _combined(family: Family) -> Iterator[tuple[GivenRow, dict[str, Scalar]]]:
    """Yield every row with every combination of the lists and ranges, the last of them varying fastest.

    Raises: RecipeError: too many.
    """
    file = family.file
    axes = {n: [v for v in values if isinstance(v, Scalar)] for n, values in file.lists.items()}
    for name, counted in file.ranges.items():
        axes[name] = _counted(counted, family.place_of("ranges", name), name)
    many = len(family.rows)
    for values in axes.values():
        many *= len(values)
    if many > MOST_VARIANTS:
        found, remedy = f"{many} variants", "combine fewer lists and ranges"
        raise one_mistake(family.root.place, found, f"at most {MOST_VARIANTS}", remedy)
    for row in family.rows:
        for values_of_row in itertools.product(*axes.values()):
            yield row, dict(zip(axes, values_of_row, strict=True))


def _counted(counted: CountedValues, place: Place, name: str) -> list[Scalar]:
    """Return the numbers of a range.

    Raises: RecipeError: it never arrives, or goes on for too long.
    """
    step, span = counted.step, counted.last - counted.first
    path = f"ranges.{name}"
    if step == 0 or span * step < 0:
        found = f"steps of {plain_number(step)} from {plain_number(counted.first)} to {plain_number(counted.last)}"
        raise one_mistake(place, found, "steps that lead from first to last", "mend the sign of `step`", path)
    count = int(span / step + 1e-9) + 1
    if count > _MOST_COUNTED:
        raise one_mistake(place, f"{count} numbers", f"at most {MOST_VARIANTS} variants", "", path)
    texts = (plain_number(counted.first + i * step) for i in range(count))
    return [Scalar(_filled_up(t, counted.digits), True, place) for t in texts]


def _filled_up(text: str, digits: int) -> str:
    if not text.lstrip("-").isdecimal():
        return text
    return f"{'-' if text.startswith('-') else ''}{text.lstrip('-').zfill(digits)}"


def _worked_out(
    family: Family, row: GivenRow, chosen: Mapping[str, Scalar], mistakes: Mistakes
) -> dict[str, Parameter] | None:
    """Return all values of a variant, those of the rules worked out; None once a mistake in them is told.

    Values under a path in the recipe are no names, and stand aside.
    """
    entries: dict[str, tuple[Place, Node]] = {n: (s.place, s) for n, s in row.values.items() if n.isidentifier()}
    entries |= {n: (s.place, s) for n, s in chosen.items()}
    place = family.place_of("rules")
    entries |= {n: (place, node) for n, node in family.file.rules.items()}
    told = Mistakes()
    known = read_parameters(MapNode(entries, row.place), "mm", told).known
    if told:
        mistakes.extend(_in_row(told, family, row))
        return None
    return {n: p for n, p in known.items() if p is not None}


def _in_row(told: Mistakes, family: Family, row: GivenRow) -> list[Mistake]:
    """Return mistakes in the values of a row with the path that they have in a family."""
    at = f" (with the row at {row.place.source.name}:{row.place.line})" if row.place.line and row.values else ""
    out = []
    for m in told.error().mistakes:
        name = m.path.removeprefix("parameters.")
        group = "rules" if name in family.file.rules else "lists" if name in family.file.lists else "rows"
        remedy = in_a_family(m.remedy)
        out.append(
            replace(m, path=f"{group}.{name}", remedy=remedy, found=f"{m.found}{at if group == 'rules' else ''}")
        )
    return out


def _name_set(name: str) -> str:
    """Return what sets the name of the pack: quoted where it would be taken for a number."""
    return f"name={name if isinstance(resolve_scalar(name), str) else quoted(name)}"


def _place(family: Family, row: GivenRow) -> str:
    place = row.place if row.values else family.root.place
    home = os.path.dirname(family.path)
    file = os.path.relpath(place.source.name, home or os.curdir).replace(os.sep, "/")
    return f"{file}:{place.line}" if place.line else file


def _demand_use(family: Family, made: list[Variant], mistakes: Mistakes) -> None:
    """Tell names in `leave_out` and `overrides` that no variant has."""
    if not made:
        return
    known = {n for v in made for n in v.values} | {n for row in family.rows for n in row.values}
    wanted = [("leave_out", n) for w in family.file.leave_out for n in w]
    wanted += [("overrides", n) for o in family.file.overrides for n in o.where]
    for key, name in dict.fromkeys(wanted):
        if name not in known:
            found = f"the unknown name `{shown(name)}`"
            mistakes.add(family.place_of(key), f"{key}.{name}", found, f"one of {listed(sorted(known))}")


def _refuse_same_names(family: Family, made: list[Variant], mistakes: Mistakes) -> None:
    """Tell variants whose packs would stand in the same place."""
    first: dict[str, Variant] = {}
    for variant in made:
        other = first.setdefault(variant.name.lower(), variant)
        if other is not variant:
            found = f"the name `{variant.name}` for {_told(other)} and for {_told(variant)}"
            remedy = "put a value that tells them apart into `names`"
            if variant.is_cut or other.is_cut:
                found += f", cut to {LONGEST} letters"
                remedy = "shorten what `names` says, or put the value that tells them apart first"
            mistakes.add(family.place_of("names"), "names", found, "names that differ in more than capitals", remedy)


def cut_names(family: Family, variants: Sequence[Variant]) -> tuple[str, ...]:
    """Return a sentence on names that were longer than a pack's may be; none if there are none."""
    cut = [v.name for v in variants if v.is_cut]
    if not cut:
        return ()
    place = family.place_of("names")
    at = f"{place.source.name}:{place.line}: names"
    told = f"{many(len(cut), 'name')} of more than {LONGEST} letters {'is' if len(cut) == 1 else 'are'} cut there"
    return (f"{at}: {told}, first `{cut[0]}`: shorten what `names` says if the end matters",)


def _told(variant: Variant) -> str:
    values = ", ".join(f"{n} {shown(v, 20)}" for n, v in itertools.islice(variant.values.items(), 3))
    return f"variant {variant.number} ({variant.place}{': ' if values else ''}{values})"
