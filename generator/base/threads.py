"""ISO metric coarse threads, property classes of screws, and nuts, each row with how well it is known.

Provenance words as in ``standards``. No standard was read in its official edition: confirm for contract work.
"""

from __future__ import annotations

from typing import Final

from generator.base.frozen_record import frozen_record


@frozen_record
class Thread:
    """A coarse thread: nominal diameter and pitch (mm), and its stress area (mm²).

    ``provenance`` is that of the stress area.
    """

    name: str
    d_mm: float
    pitch_mm: float
    stress_area_mm2: float
    provenance: str


@frozen_record
class PropertyClass:
    """A property class: stress under proof load (or 0.2 % proof stress) and least tensile strength, MPa.

    ``standard``: where the class is defined.
    """

    name: str
    proof_mpa: float
    tensile_mpa: float
    standard: str
    provenance: str


THREADS: Final[tuple[Thread, ...]] = (
    Thread("M1.6", 1.6, 0.35, 1.27, "memory"),
    Thread("M2", 2.0, 0.4, 2.07, "memory"),
    Thread("M2.5", 2.5, 0.45, 3.39, "memory"),
    Thread("M3", 3.0, 0.5, 5.03, "cross-checked"),
    Thread("M3.5", 3.5, 0.6, 6.78, "memory"),
    Thread("M4", 4.0, 0.7, 8.78, "cross-checked"),
    Thread("M5", 5.0, 0.8, 14.2, "cross-checked"),
    Thread("M6", 6.0, 1.0, 20.1, "cross-checked"),
    Thread("M7", 7.0, 1.0, 28.9, "memory"),
    Thread("M8", 8.0, 1.25, 36.6, "cross-checked"),
    Thread("M10", 10.0, 1.5, 58.0, "cross-checked"),
    Thread("M12", 12.0, 1.75, 84.3, "cross-checked"),
    Thread("M14", 14.0, 2.0, 115.0, "cross-checked"),
    Thread("M16", 16.0, 2.0, 157.0, "cross-checked"),
    Thread("M18", 18.0, 2.5, 192.0, "memory"),
    Thread("M20", 20.0, 2.5, 245.0, "memory"),
)
"""Source: ISO 261 and 262 (pitch), ISO 898-1 (stress area)."""

PROPERTY_CLASSES: Final[tuple[PropertyClass, ...]] = (
    PropertyClass("4.6", 225.0, 400.0, "ISO 898-1", "memory"),
    PropertyClass("5.6", 280.0, 500.0, "ISO 898-1", "memory"),
    PropertyClass("5.8", 380.0, 520.0, "ISO 898-1", "memory"),
    PropertyClass("8.8", 580.0, 800.0, "ISO 898-1", "cross-checked"),
    PropertyClass("10.9", 830.0, 1040.0, "ISO 898-1", "cross-checked"),
    PropertyClass("12.9", 970.0, 1220.0, "ISO 898-1", "memory"),
    PropertyClass("A2-50", 210.0, 500.0, "ISO 3506-1", "memory"),
    PropertyClass("A2-70", 450.0, 700.0, "ISO 3506-1", "memory"),
    PropertyClass("A2-80", 600.0, 800.0, "ISO 3506-1", "memory"),
    PropertyClass("A4-50", 210.0, 500.0, "ISO 3506-1", "memory"),
    PropertyClass("A4-70", 450.0, 700.0, "ISO 3506-1", "memory"),
    PropertyClass("A4-80", 600.0, 800.0, "ISO 3506-1", "memory"),
)
"""Source: ISO 898-1 (8.8: up to M16), ISO 3506-1; a maker's torques for classes 50, 70 and 80 agree with these."""

LARGE_8_8: Final = PropertyClass("8.8", 600.0, 830.0, "ISO 898-1", "memory")
"""Class 8.8 over M16. Source: ISO 898-1."""
LARGE_FROM_MM: Final = 16.0

NUT_HEIGHTS_MM: Final = {
    "M3": 2.4, "M4": 3.2, "M5": 4.7, "M6": 5.2, "M8": 6.8, "M10": 8.4, "M12": 10.8, "M16": 14.8, "M20": 18.0,
}  # fmt: skip
"""Largest height of a hexagon nut, style 1. Source: ISO 4032, from memory."""
NUT_HEIGHT_ELSE: Final = 0.9
"""Height of a nut that the table does not hold, in diameters: on the safe side of all rows above."""

CLASS_WORDS: Final = tuple(c.name for c in PROPERTY_CLASSES)


def thread_of(name: str) -> Thread | None:
    """Return the coarse thread called ``name`` (``M6``), or None."""
    return next((t for t in THREADS if t.name == name), None)


def property_class(name: str, d_mm: float) -> PropertyClass:
    """Return a property class as it counts for a thread of this diameter.

    Raises: KeyError: there is no such class; recipes are read so that this does not happen.
    """
    if name == LARGE_8_8.name and d_mm > LARGE_FROM_MM:
        return LARGE_8_8
    return {c.name: c for c in PROPERTY_CLASSES}[name]


def nut_height(thread: Thread) -> float:
    """Return the height of a hexagon nut for a thread, mm. Source: ISO 4032, from memory."""
    return NUT_HEIGHTS_MM.get(thread.name, NUT_HEIGHT_ELSE * thread.d_mm)
