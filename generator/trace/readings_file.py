"""Reading a file of caliper readings: safe YAML, every mistake located, with how to mend it."""

from __future__ import annotations

from math import atan2, degrees
from typing import Final

from generator.recipe.context import Context
from generator.recipe.load import Opener, opened, read_bytes
from generator.recipe.mistakes import Mistakes
from generator.recipe.model_caliper import (
    BETWEEN_HOLES,
    CENTRES,
    DIAMETER,
    OVER_HOLES,
    RADIUS,
    THICKNESS,
    WIDTH,
    CaliperFile,
    CaliperReading,
)
from generator.recipe.parameters import read_parameters
from generator.recipe.records import read_record
from generator.recipe.text import ListNode, MapNode, Node, Scalar, parse_text, source_text
from generator.trace.readings import Caliper, Reading

__all__ = ["read_caliper"]

WANTED: Final = {DIAMETER: 1, RADIUS: 1, CENTRES: 2, OVER_HOLES: 2, BETWEEN_HOLES: 2}
"""How many features each kind of reading lies between."""
EXPECTED: Final = (
    "caliper readings: a list under `readings`",
    "`coverplate readings` writes a sheet to fill in; see docs/scanning.md",
)
ALIKE: Final = 6.0
"""Readings of one thing that differ by more than this many standard deviations contradict each other."""


def read_caliper(path: str, *, opener: Opener = read_bytes) -> Caliper:
    """Return the readings in a file; those without a value are left out.

    Args:
        path: of the file.
        opener: gives the bytes of a file by its path.

    Raises: RecipeError: with every mistake found.
    """
    data = opened(path, "a readable file of caliper readings", opener)
    root = parse_text(source_text(path, data), EXPECTED)
    mistakes = Mistakes()
    units = root.get("units")
    unit = units.text if isinstance(units, Scalar) and units.text in ("mm", "inch") else "mm"
    context = Context({}, read_parameters(None, unit, mistakes), unit, mistakes, "")
    file = read_record(context, CaliperFile, root, "", root.place)
    if isinstance(file, CaliperFile) and isinstance(root.get("readings"), ListNode):
        places = _places(root)
        for i, reading in enumerate(file.readings):
            _judge(mistakes, reading, places[i], f"readings[{i}]")
        _refuse_repeated(mistakes, file, places)
        _refuse_two_thicknesses(mistakes, file, places)
    mistakes.raise_any()
    assert isinstance(file, CaliperFile)
    kept = [r for r in file.readings if r.value is not None]
    return Caliper(tuple(_reading(r) for r in kept), file.sigma, file.resolution)


def _places(root: MapNode) -> list[MapNode]:
    node: Node | None = root.get("readings")
    assert isinstance(node, ListNode)
    return [n for n in node.items if isinstance(n, MapNode)]


def _judge(mistakes: Mistakes, r: CaliperReading, node: MapNode, path: str) -> None:
    """Tell what a reading lacks, or has too much of, to be of its kind."""
    if r.value is None:
        return
    given = r.holes or r.numbers
    if r.kind in WANTED and len(given) != WANTED[r.kind]:
        wanted = "a pixel in the feature" if WANTED[r.kind] == 1 else "a pixel in each of the two features"
        example = "`holes: [[342, 320]]`" if WANTED[r.kind] == 1 else "`holes: [[1231, 607], [338, 337]]`"
        word = "holes" if r.holes or not r.numbers else "numbers"
        place = node.entries[word][0] if word in node.entries else node.place
        plural = "" if len(given) == 1 else "s"
        found = f"{len(given)} feature{plural} for a `{r.kind}`" if given else f"no features for a `{r.kind}`"
        mistakes.add(place, f"{path}.{word}", found, wanted, f"add {example}, or `numbers` as in the numbered picture")
    if r.kind in (*WANTED, WIDTH) and len(r.numbers) == 2 and r.numbers[0] == r.numbers[1]:
        mistakes.add(
            node.entries["numbers"][0],
            f"{path}.numbers",
            f"{r.numbers[0]} twice",
            "two features",
            "name the features that the caliper was held between",
        )
    if r.kind == WIDTH and r.direction_px_deg is None and len(r.numbers) != 2:
        remedy = "add `direction_px_deg`: 0 to the right, 90 down"
        if len(r.touch) == 2:
            (u, v), (w, z) = r.touch
            remedy = f"add `direction_px_deg: {degrees(atan2(z - v, w - u)):.0f}` if the jaws were square to that line"
        found = "no direction for an `outside_width`"
        mistakes.add(node.place, path, found, "the direction that was measured along", remedy)
    if r.kind == THICKNESS and (given or r.direction_px_deg is not None):
        mistakes.add(
            node.place,
            path,
            "features for a `thickness`",
            "none: it is that of the plate",
            "delete them, or mend `kind`",
        )


def _refuse_repeated(mistakes: Mistakes, file: CaliperFile, places: list[MapNode]) -> None:
    """Tell names that several readings have."""
    seen: dict[str, int] = {}
    for i, r in enumerate(file.readings):
        if r.id in seen:
            line = places[seen[r.id]].place.line
            mistakes.add(
                places[i].entries["id"][0],
                f"readings[{i}].id",
                f"`{r.id}`, which line {line} has, too",
                "a name of its own",
                "rename one of them",
            )
        seen.setdefault(r.id, i)


def _refuse_two_thicknesses(mistakes: Mistakes, file: CaliperFile, places: list[MapNode]) -> None:
    """Tell readings of the thickness that contradict each other: no other reading says which is right."""
    known = [(i, r) for i, r in enumerate(file.readings) if r.kind == THICKNESS and r.value is not None]
    for i, r in known[1:]:
        first_at, first = known[0]
        assert r.value is not None
        assert first.value is not None
        if abs(r.value - first.value) > ALIKE * max(file.sigma, file.resolution):
            mistakes.add(
                places[i].entries["value"][0],
                f"readings[{i}].value",
                f"a thickness of {r.value:g} mm, where line {places[first_at].place.line} has {first.value:g} mm",
                "one thickness",
                "measure again, away from burrs, and delete the wrong reading",
            )


def _reading(r: CaliperReading) -> Reading:
    assert r.value is not None
    holes = tuple((p[0], p[1]) for p in r.holes)
    touch = tuple((p[0], p[1]) for p in r.touch)
    return Reading(r.id, r.kind, r.value, holes, r.numbers, touch, r.direction_px_deg)
