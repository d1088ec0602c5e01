"""Declarations of recipe values: what a key means, its unit, range, default and example, said once.

A recipe record is a frozen, keyword-only dataclass whose fields are made by the functions below. The reader, the JSON
Schema, the messages and the reference page all follow from these declarations. Lengths are mm and angles radians in
the record; in the recipe a bare length is in the recipe's units and an angle is in degrees.

>>> @dataclasses.dataclass(frozen=True, kw_only=True)
... class Disc:
...     radius: float = length("Radius of the disc.", above=0, example=30)
>>> spec_of(Disc, "radius").unit
'mm'
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from enum import Enum
from typing import Any, Final, Protocol

from generator.base.errors import CoverplateError
from generator.base.figures import Figure
from generator.base.frozen_record import frozen_record

SPEC: Final = "spec"
"""Key of the declaration in a dataclass field's metadata."""

REQUIRED: Final = dataclasses.MISSING
"""Default of a field that the recipe must give."""


class Kind(Enum):
    """What sort of value a key takes."""

    LENGTH = "length"
    ANGLE = "angle"
    NUMBER = "number"
    COUNT = "count"
    TEXT = "text"
    NAME = "name"
    FLAG = "flag"
    WORD = "word"
    POINT = "point"
    FILE = "file"
    RECORD = "record"
    LIST = "list"
    MAP = "map"
    OUTLINE = "outline"
    PARAMETER = "parameter"
    VALUE = "value"


@frozen_record
class Spec:
    """The declaration of one value.

    Attributes:
        kind: sort of value.
        help: one or two sentences for hover text and the reference page.
        unit: ``mm``, ``°`` or empty, for people.
        example: as it would stand in a recipe.
        above, at_least, at_most, below: bounds in mm, radians' degrees (as written) or plain numbers.
        words: the words allowed (``WORD``), or words allowed instead of the value (any other kind).
        record: the dataclass of a ``RECORD``.
        item: declaration of the members of a ``LIST`` or ``MAP``.
        fewest, most: bounds on the number of members.
        pattern: regular expression that a whole ``TEXT`` or ``NAME``, or every name of a ``MAP``, must match.
        family: which registry an ``OUTLINE`` chooses from: ``outline`` or ``outer``; what a ``VALUE`` may be: ``one``
            value, ``some`` values in a list too, or ``any``thing that a recipe may hold.
        exactly_one: names of fields of this ``RECORD`` of which exactly one must be given.
        figure: of a limit: its default with the source; the record holds a figure, too.
    """

    kind: Kind
    help: str
    unit: str = ""
    example: Any = None
    above: float | None = None
    at_least: float | None = None
    at_most: float | None = None
    below: float | None = None
    words: tuple[str, ...] = ()
    record: type | None = None
    item: Spec | None = None
    fewest: int = 0
    most: int = 10_000
    pattern: str = ""
    family: str = ""
    exactly_one: tuple[str, ...] = ()
    figure: Figure | None = None


@frozen_record
class OutlineSpec:
    """An outline as described in a recipe, read but not drawn: a kind with its parameters, and what is done to it.

    The modifiers are applied in the order of the attributes below.

    Attributes:
        kind: name of the registered kind, such as ``disc``.
        params: that kind's own frozen record.
        mirror: ``x``, ``y`` or ``both``: the union with its mirror image in that axis; empty for none.
        add: outlines united with it.
        cut: outlines taken away from it.
        round_corners_mm: radius given to every sharp corner, inside and outside; 0 for none.
        grow_mm: offset outward (negative: inward).
        turn_rad: turned counter-clockwise about its own origin.
        at_mm: then moved by this.
        path: recipe path, such as ``original.footprint``, for messages.
    """

    kind: str
    params: Any
    mirror: str = ""
    add: tuple[OutlineSpec, ...] = ()
    cut: tuple[OutlineSpec, ...] = ()
    round_corners_mm: float = 0.0
    grow_mm: float = 0.0
    turn_rad: float = 0.0
    at_mm: tuple[float, float] = (0.0, 0.0)
    path: str = ""


@frozen_record
class OutlineKind:
    """What the reader must know of a registered outline kind: its name, its record and one sentence."""

    name: str
    params: type
    help: str


class AnyKind(Protocol):
    """What stands for a registered outline kind; whoever registers may load it when it is first asked."""

    @property
    def name(self) -> str:
        """Return the key in the recipe."""

    @property
    def params(self) -> type:
        """Return the record of its keys."""

    @property
    def help(self) -> str:
        """Return one sentence on it."""


Kinds = Mapping[str, Sequence[AnyKind]]
"""Registries handed to the reader: family name → kinds (``outline``: free-standing; ``outer``: these and more)."""


class DeclarationError(CoverplateError):
    """A record is declared wrongly: ours to mend."""


def declare(spec: Spec, default: Any = REQUIRED) -> Any:
    """Return a dataclass field that carries ``spec``; without ``default`` the recipe must give the value."""
    if default is REQUIRED:
        return dataclasses.field(metadata={SPEC: spec})
    if isinstance(default, Mapping):  # dataclasses refuse a mapping as a plain default, even a read-only one
        return dataclasses.field(default_factory=lambda: default, metadata={SPEC: spec})
    return dataclasses.field(default=default, metadata={SPEC: spec})


def spec_of(record: type, name: str) -> Spec:
    """Return the declaration of field ``name`` of ``record``.

    Raises: DeclarationError: the field is not there or carries no declaration.
    """
    for f in dataclasses.fields(record):
        if f.name == name and SPEC in f.metadata:
            spec = f.metadata[SPEC]
            assert isinstance(spec, Spec)
            return spec
    raise DeclarationError(f"{record.__name__}.{name} is not declared")


def length(help: str, *, default: Any = REQUIRED, **bounds: Any) -> Any:
    """Declare a length: mm in the record; bounds and default in mm."""
    return declare(Spec(Kind.LENGTH, help, unit="mm", **bounds), default)


def limit(figure: Figure, help: str, **bounds: Any) -> Any:
    """Declare a limit of a check, whose default is ``figure``; the record holds the figure with its source.

    A figure in mm is a length in the recipe, every other one a plain number in the figure's unit.
    """
    kind = Kind.LENGTH if figure.unit == "mm" else Kind.NUMBER
    unit = figure.unit if kind is Kind.LENGTH else ""
    if "above" not in bounds:
        bounds.setdefault("at_least", 0)
    bounds.setdefault("example", int(figure.value) if figure.value.is_integer() else round(figure.value, 4))
    told = f"{help} Default: {figure.told_source}."
    return declare(Spec(kind, told, unit=unit, figure=figure, **bounds), figure)


def angle(help: str, *, default: Any = REQUIRED, **bounds: Any) -> Any:
    """Declare an angle: radians in the record, degrees in the recipe; bounds in degrees, default in radians."""
    return declare(Spec(Kind.ANGLE, help, unit="°", **bounds), default)


def number(help: str, *, default: Any = REQUIRED, **bounds: Any) -> Any:
    """Declare a plain number."""
    return declare(Spec(Kind.NUMBER, help, **bounds), default)


def count(help: str, *, default: Any = REQUIRED, **bounds: Any) -> Any:
    """Declare a whole number."""
    return declare(Spec(Kind.COUNT, help, **bounds), default)


def text(help: str, *, default: Any = REQUIRED, **more: Any) -> Any:
    """Declare a text; ``{name}`` in it is replaced by the parameter of that name."""
    return declare(Spec(Kind.TEXT, help, **more), default)


def name(help: str, *, default: Any = REQUIRED, **more: Any) -> Any:
    """Declare a name that becomes a file name: letters, digits, ``-`` and ``_``."""
    more.setdefault("pattern", r"[A-Za-z0-9][A-Za-z0-9_-]{0,63}")
    return declare(Spec(Kind.NAME, help, **more), default)


def flag(help: str, *, default: Any = REQUIRED, **more: Any) -> Any:
    """Declare a ``true``/``false``."""
    return declare(Spec(Kind.FLAG, help, **more), default)


def word(help: str, words: tuple[str, ...], *, default: Any = REQUIRED, **more: Any) -> Any:
    """Declare one of a few words."""
    return declare(Spec(Kind.WORD, help, words=words, **more), default)


def point(help: str, *, default: Any = REQUIRED, **more: Any) -> Any:
    """Declare a point ``[x, y]``: an ``outline.contour``-like pair of mm in the record (a plain tuple)."""
    return declare(Spec(Kind.POINT, help, unit="mm", **more), default)


def file(help: str, *, default: Any = REQUIRED, **more: Any) -> Any:
    """Declare a file named relative to the recipe; the record holds the text as written."""
    return declare(Spec(Kind.FILE, help, **more), default)


def record(kind: type, help: str, *, default: Any = REQUIRED, **more: Any) -> Any:
    """Declare a nested record; with ``words`` one of these words may stand instead and is kept as text."""
    return declare(Spec(Kind.RECORD, help, record=kind, **more), default)


def outline(help: str, *, family: str = "outline", default: Any = REQUIRED, **more: Any) -> Any:
    """Declare an outline, read into an :class:`OutlineSpec`."""
    return declare(Spec(Kind.OUTLINE, help, family=family, **more), default)


def value(help: str, *, family: str = "one", default: Any = REQUIRED, **more: Any) -> Any:
    """Declare a value that is kept as it is written, with its place; what it means is known only later."""
    return declare(Spec(Kind.VALUE, help, family=family, **more), default)


def list_of(item: Any, help: str, *, default: Any = REQUIRED, **more: Any) -> Any:
    """Declare a list (a tuple in the record) of what ``item``, another declared field, describes."""
    return declare(Spec(Kind.LIST, help, item=item.metadata[SPEC], **more), default)


def map_of(item: Any, help: str, *, default: Any = REQUIRED, **more: Any) -> Any:
    """Declare named members (a read-only mapping in the record) of what ``item`` describes."""
    return declare(Spec(Kind.MAP, help, item=item.metadata[SPEC], **more), default)
