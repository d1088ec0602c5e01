"""What an entity of a DXF file must hold so that it can be read in one way only.

A reader that repairs files takes a default for what is missing, drops what it does not understand and alters what is
out of range. None of that may happen to an outline, so it is looked for beforehand, in the text.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from difflib import get_close_matches
from itertools import pairwise
from typing import Final


@dataclass
class Values:
    """The values of one entity, those of lists counted.

    Attributes:
        first: the first value of every group code.
        count: how many there are.
        knots: values of group 40 of a spline.
        weights: values of group 41 of a spline.
    """

    first: dict[int, bytes] = field(default_factory=dict)
    count: Counter[int] = field(default_factory=Counter)
    knots: list[float] = field(default_factory=list)
    weights: list[float] = field(default_factory=list)

    def number(self, code: int, default: float) -> float:
        """Return the first value of a group code as a number."""
        return float(self.first[code]) if code in self.first else default


READ: Final = frozenset(
    {"LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE", "VERTEX", "ELLIPSE", "SPLINE", "INSERT", "BLOCK"}
)
"""Kinds of entities whose values bear on an outline."""

_OTHERS: Final = frozenset(
    {
        "3DFACE", "3DSOLID", "ACAD_PROXY_ENTITY", "ACAD_TABLE", "ARC_DIMENSION", "ATTDEF", "ATTRIB", "BODY",
        "DGNUNDERLAY", "DIMENSION", "DWFUNDERLAY", "ENDBLK", "HATCH", "HELIX", "IMAGE", "LEADER", "LIGHT", "MESH",
        "MLINE", "MTEXT", "MULTILEADER", "OLEFRAME", "OLE2FRAME", "PDFUNDERLAY", "POINT", "RAY", "REGION", "SEQEND",
        "SHAPE", "SOLID", "TABLE", "TEXT", "TOLERANCE", "TRACE", "VIEWPORT", "WIPEOUT", "XLINE",
    }
)  # fmt: skip
"""Kinds of entities that the published DXF reference names (section ENTITIES), and that are no outlines."""
ONE_LAYER: Final = frozenset({"ATTDEF", "ATTRIB", "DIMENSION", "ENDBLK", "HATCH", "MTEXT", "POINT", "SEQEND", "TEXT"})
"""Of these, the common ones that name their layer once: a second name is that of an entity whose beginning is lost."""
_KIND: Final = re.compile(r"[A-Z0-9_]*[A-Z][A-Z0-9_]*")


ENDS: Final = frozenset({"SEQEND", "ENDBLK"})
"""Marks of an end, that draw nothing: a place or size in one is of an entity whose beginning is lost."""
DRAWS: Final = frozenset({*range(10, 60), 210, 220, 230}) - {38, 39, 48}
"""Group codes of places, sizes and angles."""


def is_foreign(kind: str) -> bool:
    """Return whether the published reference does not name the kind: another program's own, or a damaged name."""
    return kind not in READ and kind not in _OTHERS


def misspelt(kind: str) -> str:
    """Return what is wrong with the name of a kind of entity; empty if it may be another program's own."""
    if kind in READ or kind in _OTHERS:
        return ""
    near = get_close_matches(kind, sorted(READ), 1, cutoff=0.7)
    if near:
        return f"which is no kind of entity; {near[0]} may be meant"
    return "" if _KIND.fullmatch(kind) else "which is no kind of entity"


_NEEDED: Final[dict[str, tuple[int, ...]]] = {
    "LINE": (10, 20, 11, 21),
    "CIRCLE": (10, 20, 40),
    "ARC": (10, 20, 40, 50, 51),
    "ELLIPSE": (10, 20, 11, 21, 40),
    "INSERT": (2, 10, 20),
    "LWPOLYLINE": (10,),
    "VERTEX": (10, 20),
    "SPLINE": (71,),
}
_MANY: Final = frozenset({"LWPOLYLINE", "SPLINE"})
"""Kinds with lists of points."""
_X_CODES: Final = frozenset({*range(10, 19), 210})
_Y_CODES: Final = frozenset(c + 10 for c in _X_CODES)
_Z_CODES: Final = frozenset(c + 20 for c in _X_CODES) - {38}
_ANY: Final = frozenset({5, 6, 8, 38, 39, 48})
"""Group codes below 60 that any entity may have: handle, line type, layer, elevation, thickness, scale of line type."""
_OWN: Final[dict[str, frozenset[int]]] = {
    "LINE": frozenset({10, 20, 30, 11, 21, 31}),
    "CIRCLE": frozenset({10, 20, 30, 40}),
    "ARC": frozenset({10, 20, 30, 40, 50, 51}),
    "ELLIPSE": frozenset({10, 20, 30, 11, 21, 31, 40, 41, 42}),
    "INSERT": frozenset({2, 10, 20, 30, 41, 42, 43, 44, 45, 50}),
    "BLOCK": frozenset({1, 2, 3, 4, 10, 20, 30}),
    "LWPOLYLINE": frozenset({10, 20, 30, 40, 41, 42, 43}),
    "POLYLINE": frozenset({10, 20, 30, 40, 41}),
    "VERTEX": frozenset({10, 20, 30, 40, 41, 42, 50}),
    "SPLINE": frozenset({10, 20, 30, 11, 21, 31, 12, 22, 32, 13, 23, 33, 40, 41, 42, 43, 44}),
}
"""Group codes below 60 that a kind has of its own (the published DXF reference, section ENTITIES)."""
_ONCE: Final = frozenset({2, *range(10, 60), 210, 220, 230})
_ALWAYS_ONCE: Final = frozenset({5, 8})
_FACE: Final = 71
"""A vertex with this code is a face of a mesh and needs no place."""
LEAST_RATIO: Final = 1e-6
"""Ellipses flatter than this cannot be read."""
MOST_TURN: Final = 1e4
"""Angles beyond this, radians, are damage (chosen); far beyond it they lose their digits."""
MOST_WEIGHT_RATIO: Final = 1e9
"""Weights of one spline differ by no more than this factor (chosen)."""
_RATIO_SLACK: Final = 1e-9
MOST_DEGREE: Final = 25
"""More than any drawn curve has (chosen)."""


POINT_CODES: Final = _X_CODES | _Y_CODES | _Z_CODES
"""Codes of the numbers of a point."""


def follows(kind: str, before: int, code: int) -> str:
    """Return what is wrong with ``code`` standing behind ``before`` in an entity; empty if nothing.

    The three numbers of a point stand one behind the other; lines alone come in any order.
    """
    if kind == "LINE":
        return ""
    if before in _X_CODES and code != before + 10:
        return f"group {before + 10} is missing behind group {before}"
    if (code in _Y_CODES and before != code - 10) or (code in _Z_CODES and before != code - 10):
        return f"group {code} does not stand behind group {code - 10}"
    return ""


def complaints(kind: str, values: Values) -> Iterator[str]:
    """Yield what is missing, doubled or out of range in one entity whose numbers are sound."""
    if not (kind == "VERTEX" and _FACE in values.first):
        yield from (f"group {c} is missing" for c in _NEEDED.get(kind, ()) if c not in values.first)
    once = _ALWAYS_ONCE if kind in _MANY else _ONCE if kind == "BLOCK" else _ONCE | _ALWAYS_ONCE
    yield from (f"group {c} is given twice" for c, n in values.count.items() if n > 1 and c in once)
    own = _OWN[kind]
    yield from (f"group {c} does not belong there" for c in values.count if c < 60 and c not in own and c not in _ANY)
    yield from _extrusion(values)
    if kind == "LWPOLYLINE":
        yield from _counted(values, 90, 10, "vertices")
    elif kind == "SPLINE":
        yield from _spline(values)
    elif kind == "ELLIPSE":
        yield from _ellipse(values)
        yield from _turns(values, (41, 42), 1.0)
    elif kind == "ARC":
        yield from _turns(values, (50, 51), 57.3)
    elif kind == "INSERT":
        yield from (f"its scale (group {c}) is 0" for c in (41, 42, 43) if values.number(c, 1.0) == 0.0)
        yield from (f"its count (group {c}) is below 0" for c in (70, 71) if values.number(c, 1.0) < 0.0)


def _extrusion(values: Values) -> Iterator[str]:
    given = [c for c in (210, 220, 230) if c in values.first]
    if given and len(given) < 3:
        yield "its extrusion (groups 210, 220, 230) is not complete"
    elif given and all(values.number(c, 0.0) == 0.0 for c in given):
        yield "its extrusion (groups 210, 220, 230) has no length"


def _counted(values: Values, told: int, listed: int, what: str) -> Iterator[str]:
    found, said = values.count[listed], int(values.number(told, values.count[listed]))
    if said != found:
        yield f"it announces {said} {what} (group {told}) but holds {found} (group {listed})"


def _spline(values: Values) -> Iterator[str]:
    yield from _counted(values, 72, 40, "knots")
    yield from _counted(values, 73, 10, "control points")
    yield from _counted(values, 74, 11, "fit points")
    degree, controls = int(values.number(71, 3.0)), values.count[10]
    if not 1 <= degree <= MOST_DEGREE:
        yield f"its degree (group 71) is {degree}, not 1 to {MOST_DEGREE}"
    elif not controls and not values.count[11]:
        yield "it has no points"
    elif controls:
        yield from _curve(values, degree, controls)


def _curve(values: Values, degree: int, controls: int) -> Iterator[str]:
    """Yield what is wrong with a spline's knots and weights (Piegl and Tiller, The NURBS Book, 1997, 3.2 and 4.2)."""
    if controls <= degree:
        yield f"{controls} control points (group 10) are too few for degree {degree}"
    elif len(values.knots) != controls + degree + 1:
        yield f"it has {len(values.knots)} knots (group 40) where its points need {controls + degree + 1}"
    elif any(b < a for a, b in pairwise(values.knots)):
        yield "its knots (group 40) do not rise"
    if values.weights and (len(values.weights) != controls or min(values.weights) <= 0.0):
        yield f"its weights (group 41) must be {controls} numbers above 0"
    elif values.weights and max(values.weights) > MOST_WEIGHT_RATIO * min(values.weights):
        yield f"its weights (group 41) differ by a factor of more than {MOST_WEIGHT_RATIO:g}"


def _turns(values: Values, codes: tuple[int, ...], radian: float) -> Iterator[str]:
    for code in codes:
        if abs(values.number(code, 0.0)) > MOST_TURN * radian:
            yield f"group {code} is {values.number(code, 0.0):g}, too large for an angle"


def _ellipse(values: Values) -> Iterator[str]:
    ratio = values.number(40, 1.0)
    if not LEAST_RATIO <= abs(ratio) <= 1.0 + _RATIO_SLACK:
        yield f"the ratio of its axes (group 40) is {ratio:g}, not between {LEAST_RATIO:g} and 1"
