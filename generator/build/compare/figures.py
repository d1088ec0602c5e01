"""Figures and words of two reports, put side by side where they differ."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any, Final

from generator.base.frozen_record import frozen_record
from generator.base.units import LengthUnit, decimal
from generator.build.compare.version import Data, Version

__all__ = ["Change", "changes", "finer"]

SAME_MM: Final = 1e-3
MOST_DECIMALS: Final = 6
SAME_G: Final = 5e-3
NONE: Final = "none"
TOLERANCES: Final = {
    "general": "general tolerance",
    "footprint_mm": "tolerance of the footprint",
    "bolts_mm": "tolerance of the bolts' places",
    "bolt_play_mm": "play of the bolts in their threads",
    "height_mm": "tolerance of the original's height",
    "position_mm": "tolerance of positions",
    "size_mm": "tolerance of sizes",
    "depth_mm": "tolerance of depths",
    "flip_mm": "tolerance of the flip",
}


@frozen_record
class Change:
    """One thing that differs.

    Attributes:
        group: part, or ``recipe``, ``original``, ``blank``, ``bolts``, ``tolerances``.
        what: in plain words.
        old, new: as told to a person; ``none`` where there is none.
        old_value, new_value: the same as plain data; lengths mm, masses g.
    """

    group: str
    what: str
    old: str
    new: str
    old_value: Any
    new_value: Any


_Row = tuple[str, str, Any]
"""Group, what, value; lengths are floats, masses are named so."""


def changes(old: Version, new: Version) -> tuple[Change, ...]:
    """Return every figure and word that differs, in the order of the report."""
    both = "quantity" in old.report and "quantity" in new.report  # reports of earlier programs tell less
    was = {(g, w): v for g, w, v in _rows(old.report, both)}
    now = {(g, w): v for g, w, v in _rows(new.report, both)}
    keys = [*now, *(k for k in was if k not in now)]
    return tuple(
        _change(g, w, was.get((g, w)), now.get((g, w)), new.unit)
        for g, w in keys
        if _differ(w, was.get((g, w)), now.get((g, w)))
    )


def _change(group: str, what: str, old: Any, new: Any, unit: LengthUnit) -> Change:
    if isinstance(old, float) and isinstance(new, float) and what != "mass" and not what.endswith("torque"):
        unit = finer(unit, (old, new))
    return Change(group, what, _told(what, old, unit), _told(what, new, unit), old, new)


def finer(unit: LengthUnit, *pairs: tuple[float, float]) -> LengthUnit:
    """Return a unit with decimals enough to tell lengths apart (mm) that differ by more than models are exact."""
    for decimals in range(unit.limit_decimals, MOST_DECIMALS):
        fine = replace(unit, decimals=decimals)
        if all(fine.figure(a) != fine.figure(b) for a, b in pairs if abs(a - b) > SAME_MM):
            return fine
    return replace(unit, decimals=MOST_DECIMALS)


def _differ(what: str, old: Any, new: Any) -> bool:
    if isinstance(old, float) and isinstance(new, float):
        return abs(old - new) > (SAME_G if what == "mass" else SAME_MM)
    return bool(old != new)


def _told(what: str, value: Any, unit: LengthUnit) -> str:
    """Return a value as a person reads it."""
    if value is None or value == "":
        return NONE
    if isinstance(value, bool):
        return "yes" if value else "no"
    if not isinstance(value, float):
        return str(value)
    if what == "mass":
        return f"{decimal(value, 2)} g"
    if what.endswith("torque"):
        return f"{decimal(value, 2)} N m"
    return f"{decimal(value / unit.mm, unit.limit_decimals)} {unit.suffix}"


# ------------------------------------------------------------------ what is compared
def _rows(report: Data, whole: bool) -> Iterator[_Row]:
    """Yield what is compared; ``whole`` if both reports tell quantity and corners."""
    for key in ("name", "title", "revision", "notes", "recipe_units", *(("quantity",) if whole else ())):
        yield "recipe", key.replace("_", " "), report[key]
    original = report["original"]
    yield "original", "bears load", original["bears_load"]
    yield "original", "height", _mm(original["height_mm"])
    yield from _box("original", "footprint ", original["footprint"])
    for part in report["parts"]:
        yield from _part(part, whole)
    blank = report["blank"]
    yield from _box("blank", "", blank)
    yield "blank", "thickness", _mm(blank["thickness_mm"])
    yield "blank", "dowel holes, diameter", _mm(blank["dowel_mm"])
    yield "blank", "flip axis", blank["flip_axis"]["direction"]
    yield from _bolts(report)
    for key, what in TOLERANCES.items():
        value = (report["tolerances"] or {}).get(key)
        yield "tolerances", what, _mm(value) if key.endswith("_mm") else value


def _part(part: Data, whole: bool) -> Iterator[_Row]:
    name = part["name"]
    yield name, "is made", True
    yield from _box(name, "", part["profile"])
    if whole and part["corner_radius_mm"]:
        yield name, "smallest corner radius", _mm(part["corner_radius_mm"])
    yield name, "thickness", _mm(part["thickness_mm"])
    yield name, "material", part["material"]["name"]
    yield name, "mass", _mm(part["mass_g"])
    yield name, "edge break", _mm(part["rim_break_mm"])
    yield name, "height in the assembly", _mm(part["seat_z_mm"])
    yield name, "gap to its pocket", _mm(part["gap"]["gap_mm"]) if part["gap"] else None
    for fill in part["fills"]:
        yield name, f"{fill['feature']}, filled with", fill["name"]
    for feature in part["features"]:
        yield from _feature(name, feature)
        if whole and feature["corner_radius_mm"]:
            yield name, f"{feature['name']}, smallest corner radius", _mm(feature["corner_radius_mm"])


def _feature(part: str, feature: Data) -> Iterator[_Row]:
    said = feature["name"]
    yield part, said, feature["shape"] + f", from the {feature['face']} face"
    if not feature["diameter_mm"]:
        yield part, f"{said}, width along x", _mm(feature["width_mm"])
        yield part, f"{said}, height along y", _mm(feature["height_mm"])
    else:
        yield part, f"{said}, diameter", _mm(feature["diameter_mm"])
    if feature["shape"] != "through":
        yield part, f"{said}, depth", _mm(feature["depth_mm"])
        yield part, f"{said}, floor left", _mm(feature["floor_left_mm"])


def _box(group: str, what: str, extent: Data) -> Iterator[_Row]:
    if extent["box_mm"]:
        xmin, ymin, xmax, ymax = extent["box_mm"]
        yield group, f"{what}width along x", _mm(xmax - xmin)
        yield group, f"{what}height along y", _mm(ymax - ymin)


def _bolts(report: Data) -> Iterator[_Row]:
    for bolt in report["bolts"]:
        yield "bolts", f"{bolt['name']}, thread", bolt["thread"]
        yield "bolts", f"{bolt['name']}, head", bolt["screw"]
    for group in report.get("bolting") or ():
        yield "bolts", f"{group['bolts']}, length", _mm(group["length_mm"])
        yield "bolts", f"{group['bolts']}, property class", group["property_class"]
        yield "bolts", f"{group['bolts']}, torque", _mm(group["torque_n_m"])


def _mm(value: float | None) -> float | None:
    return None if value is None else float(value)


def by_group(found: tuple[Change, ...]) -> Mapping[str, list[Change]]:
    """Return changes by their group, in order."""
    groups: dict[str, list[Change]] = {}
    for change in found:
        groups.setdefault(change.group, []).append(change)
    return groups
