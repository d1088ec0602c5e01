"""The reference page of every key, made from the declarations."""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.fields import Kind, Kinds, Spec
from generator.recipe.expression import CONSTANTS, FUNCTIONS
from generator.recipe.keys import Key, exclusive_of, groups_of, keys_of
from generator.recipe.mistakes import listed
from generator.recipe.model import Recipe
from generator.recipe.outline_keys import OutlineKeys
from generator.recipe.quantity import UNITS
from generator.recipe.schema import default_of, example_of, first_sentence, records_below
from generator.recipe.wording import bounds_text, flow

_INTRO = """\
# The recipe, key by key

Made from the declarations in the code; do not edit by hand. A recipe is one YAML file in UTF-8. Unquoted values are
read as the YAML 1.2 core schema says, and no other way: `017` is 17, `1e3` is 1000, `no` and `1:30` are texts. A text
that looks like a number, such as a revision `1.10`, must be quoted. Unknown and duplicate keys are mistakes.

## Numbers

Every number may be an arithmetic expression: `+ - * / **`, brackets, the parameters of the recipe by name,
{functions} (angles in degrees), and {constants}. `round`, `floor` and `ceil` round a length to whole units of the
recipe; halves are rounded away from zero.

A bare number where a length is wanted is in the recipe's `units`. A number with a unit carries its own: {units}.
`1/4 in` is a quarter of an inch, `3 1/4 in` three and a quarter. In a sum with a length a bare number is in the
recipe's units, in a sum with an angle in degrees. An angle is in degrees.

## Parameters and texts

`parameters` holds your own values. In expressions they stand by name, in texts as `{{name}}`; `{{{{` is a brace. What
reads as an expression over known names is a number (`wall * 2`), anything else is a text. In quotes, a single word, a
bare quantity (`"21"`) or words with hyphens (`"plot-21"`) are texts. A parameter must not need itself.

## One recipe based on another

`based_on: other.yaml` lays this recipe over another one: groups of keys merge, everything else (lists too) is replaced,
and `null` takes a key away. Where keys are alternatives, such as the kinds of an outline or `thread` and `hole`, the
upper recipe's choice drops the other. The file must lie in, below or beside the recipe's folder. On the command
line, `--set parameters.plot=21` lays a single value over everything; `--set original.bolts[0].thread=M8` reaches into
the first member of a list, and `--set 'cover.outer={{disc: {{radius: 40}}}}'` lays a group of keys over the recipe's.

"""


def reference_page(kinds: Kinds) -> str:
    """Return the reference page of every key as Markdown; made anew from the declarations each time."""
    parts = [_INTRO.format(functions=listed(FUNCTIONS, "and"), constants=listed(CONSTANTS), units=listed(UNITS))]
    parts += _section("Recipe", Recipe, "The keys of the file itself.")
    parts.append("## Records\n\n")
    nested = [r for r in records_below([Recipe]) if r is not Recipe]
    for record in nested:
        parts += _section(record.__name__, record, first_sentence(record.__doc__), level=3)
    parts += _outlines(kinds, set(nested))
    return "".join(parts).rstrip() + "\n"


def _outlines(kinds: Kinds, told: set[type]) -> Iterator[str]:
    yield "## Outlines\n\nAn outline is exactly one kind with its keys below it, and beside it what is done to it.\n\n"
    yield from _section("Beside any kind", OutlineKeys, first_sentence(OutlineKeys.__doc__), level=3)
    everywhere = {k.name for k in kinds.get("outline", ())}
    seen: set[str] = set()
    for kind in (k for family in kinds.values() for k in family):
        if kind.name in seen:
            continue
        seen.add(kind.name)
        where = "" if kind.name in everywhere else " Only as the cover's outer shape."
        yield from _section(f"`{kind.name}`", kind.params, f"{kind.help}{where}", level=3)
        for record in records_below([kind.params])[1:]:
            if record not in told:
                told.add(record)
                yield from _section(record.__name__, record, first_sentence(record.__doc__), level=4)


def _section(title: str, record: type, text: str, level: int = 2) -> Iterator[str]:
    yield f"{'#' * level} {title}\n\n{text}\n\n"
    for group in groups_of(record):
        yield f"Give exactly one of {listed(group)}.\n\n"
    for group in exclusive_of(record):
        yield f"Give at most one of {listed(group)}.\n\n"
    keys = keys_of(record)
    if keys:
        yield "| key | value | default | example | meaning |\n|---|---|---|---|---|\n"
        yield from (_row(k) for k in keys.values())
        yield "\n"


def _row(key: Key) -> str:
    default = "" if _is_its_records(key) else default_of(key)
    default_text = "**must be given**" if key.is_required else f"`{flow(default)}`" if default not in (None, "") else ""
    example = example_of(key.spec)
    cells = [f"`{key.word}`", value_text(key.spec), default_text, f"`{flow(example)}`", key.spec.help]
    return "| " + " | ".join(c.replace("|", "\\|") for c in cells) + " |\n"


def _is_its_records(key: Key) -> bool:
    """Return True if the default of a group of keys is what the record below says of each."""
    return key.spec.record is not None and isinstance(key.default, key.spec.record) and key.default == key.spec.record()


def value_text(spec: Spec) -> str:
    """Return what a key takes, for a table cell: sort, unit, bounds."""
    if spec.kind is Kind.WORD:
        return listed(spec.words, most=30)
    noun = _noun(spec)
    bounds = bounds_text(spec)
    words = f", or {listed(spec.words)}" if spec.words else ""
    return f"{noun}{', ' if bounds else ''}{bounds}{words}"


def _noun(spec: Spec) -> str:
    if spec.kind is Kind.RECORD and spec.record:
        return f"[{spec.record.__name__}](#{spec.record.__name__.lower()})"
    if spec.kind is Kind.OUTLINE:
        return "[outline](#outlines)"
    if spec.kind in (Kind.LIST, Kind.MAP) and spec.item:
        fewest = f" (at least {spec.fewest})" if spec.fewest else ""
        return f"list{fewest} of {_noun(spec.item)}" if spec.kind is Kind.LIST else f"{_noun(spec.item)} by name"
    others: dict[Kind, str] = {
        Kind.POINT: "point `[x, y]`",
        Kind.COUNT: "whole number",
        Kind.FLAG: "`true` or `false`",
        Kind.PARAMETER: "number, expression or text",
        Kind.VALUE: {"one": "number or text", "some": "number or text, or a list of them"}.get(spec.family, "anything"),
    }
    return others.get(spec.kind) or str(spec.kind.value)
