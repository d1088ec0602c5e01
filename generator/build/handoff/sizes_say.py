"""What STEP files state in their text: sizes with limits, by the number that their shape aspects are named by.

The entities are those of the shape_dimension_representation schema (ISO 10303-47). The kernel's reader drops the names
and the signs of deviations, so the text itself is read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from generator.build.handoff.statement import Statement

__all__ = ["sizes_say"]

_ENTITY: Final = re.compile(r"#(\d+) ?= ?(.*?);\r?\n", re.DOTALL)
_NUMBERED: Final = re.compile(r"(?:COMPOSITE_)?SHAPE_ASPECT\('(\d+)'")
_SIZE: Final = re.compile(r"DIMENSIONAL_SIZE\(#(\d+),|DIMENSIONAL_LOCATION\('[^']*',\$,#(\d+),")
_TOLERANCE: Final = re.compile(r"PLUS_MINUS_TOLERANCE\(#(\d+),#(\d+)\)")
_BOUNDS: Final = re.compile(r"TOLERANCE_VALUE\(#(\d+),#(\d+)\)")
_SHOWN: Final = re.compile(r"DIMENSIONAL_CHARACTERISTIC_REPRESENTATION\(#(\d+),#(\d+)\)")
_ITEM: Final = re.compile(r"SHAPE_DIMENSION_REPRESENTATION\('[^']*',\(#(\d+)\)")
_MEASURE: Final = re.compile(r"LENGTH_MEASURE\((-?[\d.]+(?:E[+-]?\d+)?)\)")
WRITTEN_MM: Final = 1e-6


def sizes_say(path: str, data: bytes) -> Iterator[Statement]:
    """Yield nominal and limits of the sizes in a STEP file; mm."""
    entities = {int(k): text for k, text in _ENTITY.findall(data.decode("ascii", errors="replace"))}
    nominals = {int(m[1]): int(m[2]) for text in entities.values() if (m := _SHOWN.match(text))}
    for text in entities.values():
        tolerance = _TOLERANCE.match(text)
        if tolerance is None:
            continue
        bounds, size = entities.get(int(tolerance[1]), ""), int(tolerance[2])
        aspect = _SIZE.match(entities.get(size, ""))
        numbered = _NUMBERED.match(entities.get(int(aspect[1] or aspect[2]), "")) if aspect else None
        ends, item = _BOUNDS.match(bounds), _ITEM.match(entities.get(nominals.get(size, 0), ""))
        if numbered and ends and item:
            low, high, nominal = (_length(entities.get(int(k), "")) for k in (ends[1], ends[2], item[1]))
            if low is not None and high is not None and nominal is not None:
                said = f"{nominal:.4f} mm with limits"
                yield Statement(int(numbered[1]), path, nominal, WRITTEN_MM, said, low, high, WRITTEN_MM)


def _length(text: str) -> float | None:
    found = _MEASURE.search(text)
    return float(found[1]) if found else None
