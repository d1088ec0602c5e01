"""How large the pixels of a scan are: as given, as its file says, by the readings, or by another scan of the part."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import atan2, cos, degrees, radians, sin
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.errors import GeometryError
from generator.base.units import MM_PER_INCH
from generator.trace.notes import Notes
from generator.trace.picture import Picture, sensible_dpi
from generator.trace.readings import Caliper, Reading, agreed, rivals, scales
from generator.trace.surround import Coarse, shoelace

Floats = NDArray[np.float64]
Pair = tuple[float, float]

USUAL_DPI: Final = (75, 100, 120, 150, 200, 240, 300, 400, 600, 800, 1200, 2400)
"""Resolutions that scanners offer (common practice, no source)."""
LEAST_DPI, MOST_DPI = 15.0, 10_000.0
APART: Final = 0.03
"""Scales that differ by less than this share are the same but for a scanner's error and what a coarse outline tells."""
SQUARE: Final = 0.001
"""Pixels whose sides differ by less than this share are square."""
ROUND: Final = 0.02
"""An opening whose extents in all directions differ by less than this share is round."""


def scale_of(picture: Picture, part: Coarse, caliper: Caliper, dpi: float | None, notes: Notes) -> Pair:
    """Return the nominal size of a pixel along u and v, mm: as given, else by the file, else by the readings.

    Raises: GeometryError: nothing tells it.
    """
    loops = (part.outer, *part.inner)
    told, why = ((dpi, dpi), "") if dpi is not None else sensible_dpi(picture.dpi)
    if told is not None and abs(told[0] / told[1] - 1.0) > SQUARE:
        if _round_as_they_are(part.inner, told):
            told, why = None, f"{why.split(';')[0]}, but its holes are round only if pixels are square; it is not used"
        else:
            notes.warn(picture.name, why)
    if told is None or _grain(told) == (1.0, 1.0):
        _demand_square(picture.name, part.inner)
    grain = (1.0, 1.0) if told is None else _grain(told)
    mean = None if told is None else (told[0] * told[1]) ** 0.5
    by_each = scales(evened(caliper, grain), [loop / np.array(grain) for loop in loops])
    if mean is not None and len(by_each) > 2 and len(rivals(by_each)) == len(by_each):
        by_each = []  # no two agree, nor with what is stated: the outline is at fault, which what follows will tell
    _demand_agreement(picture.name, by_each, mean, why)
    by_readings = agreed(by_each, None if mean is None else mean / MM_PER_INCH)
    if by_readings is not None:
        found = MM_PER_INCH * by_readings
        _demand_unit(picture.name, found, mean)
        usual = _usual(found)
        near = abs(usual - found) < APART * usual and grain == (1.0, 1.0)
        nominal = usual if near else found
        if mean is None:
            notes.remark(
                picture.name,
                f"{why or 'the file tells no resolution'}; by the readings it is {round(nominal, 1):g} dpi",
            )
            return MM_PER_INCH / nominal, MM_PER_INCH / nominal
        lone = len(by_each) == 1 and not near and abs(_usual(mean) - mean) < SQUARE * mean
        if abs(mean / found - 1.0) > APART and not lone:  # one odd reading against a usual resolution is a slip
            who = "the file says" if dpi is None else "--dpi says"
            notes.warn(
                picture.name,
                f"{who} {_dpi_words(told)} dpi, but the reading{'s say' if len(by_each) > 1 else ' says'} "
                f"{_dpi_words((found * grain[0], found * grain[1]))}; {round(nominal, 1):g} is taken",
            )
            return MM_PER_INCH / (nominal * grain[0]), MM_PER_INCH / (nominal * grain[1])
    if told is None:
        raise GeometryError(
            f"{picture.name}: {why or 'the file tells no resolution'}; give it as --dpi, or a reading of the part"
        )
    return MM_PER_INCH / told[0], MM_PER_INCH / told[1]


def scale_by_readings(picture: Picture, part: Coarse, caliper: Caliper) -> float:
    """Return the size of a pixel, mm, by the readings alone.

    Raises: GeometryError: none tells it, or they contradict each other.
    """
    by_each = scales(caliper, (part.outer, *part.inner))
    found = agreed(by_each)
    if found is None:
        raise GeometryError(
            f"{picture.name}: without a reference nothing but readings tells the scale: give --readings with the "
            "diameter of a hole, a distance of two holes or an outside width"
        )
    sides = rivals(by_each)
    if sides:
        told = _against(sides, lambda r: 1.0 / r, "{:.4f} mm a pixel")
        raise GeometryError(
            f"{picture.name}: readings contradict each other, and nothing decides between them: {told}. Read "
            f"{sides[0][0][0]} and {sides[1][0][0]} again"
        )
    return 1.0 / found


def _demand_unit(name: str, found: float, mean: float | None) -> None:
    """Refuse readings of another unit than they say: all of them are off by 25.4.

    Raises: GeometryError: says which unit it probably is.
    """
    for factor, unit in ((MM_PER_INCH, "inch"), (1.0 / MM_PER_INCH, "mm")):
        if mean is not None and abs(found / mean / factor - 1.0) <= APART:
            times = "25.4 times as fine as" if factor > 1.0 else "25.4 times as coarse as"
            raise GeometryError(
                f"{name}: by the readings it has {found:.0f} dpi, {times} the {mean:.0f} that are stated: their unit "
                f"is probably another one; write `units: {unit}` in their file"
            )
    if not LEAST_DPI <= found <= MOST_DPI:
        raise GeometryError(
            f"{name}: by the readings it has {found:.1f} dpi, which no scanner has (at most {MOST_DPI:.0f}); look at "
            "their values and at `units` in their file"
        )


def _demand_agreement(name: str, by_each: Sequence[tuple[str, float]], mean: float | None, why: str) -> None:
    """Refuse readings that contradict each other where nothing else tells the scale.

    Raises: GeometryError: says who contradicts whom, and what each would make of the picture.
    """
    sides = rivals(by_each)
    if not sides or (
        mean is not None and any(abs(MM_PER_INCH * r / mean - 1.0) <= APART for side in sides for _, r in side)
    ):
        return
    told = _against(sides, lambda r: MM_PER_INCH * r, "{:.0f} dpi")
    file = why or ("the file tells no resolution" if mean is None else f"{mean:.0f} dpi, as stated, fits none of them")
    raise GeometryError(
        f"{name}: readings contradict each other, and nothing decides between them: {told}; {file}. Read "
        f"{sides[0][0][0]} and {sides[1][0][0]} again, or give the resolution as --dpi"
    )


def _against(sides: Sequence[Sequence[tuple[str, float]]], size: Callable[[float], float], words: str) -> str:
    """Return who contradicts whom, and what each side makes of the scale (px in a mm) as a size in words."""
    return " against ".join(
        f"{' and '.join(n for n, _ in side)} ({words.format(np.median([size(r) for _, r in side]))})" for side in sides
    )


def _usual(dpi: float) -> float:
    return float(min(USUAL_DPI, key=lambda d: abs(d - dpi) / d))


def scale_beside(
    picture: Picture, part: Coarse, first: Picture, first_part: Coarse, first_scale: Pair, notes: Notes
) -> Pair:
    """Return the nominal size of a pixel of a further scan, mm: the first one's, or by how large the part is in both.

    One scanner errs alike whatever it is set to, so what was found out of the first counts; what the files say counts
    for the ratio alone, as far as the part's size bears it out.

    Raises: GeometryError: the part has another size, which no resolution explains.
    """
    area = abs(shoelace(part.outer))
    size = (abs(shoelace(first_part.outer)) * first_scale[0] * first_scale[1] / area) ** 0.5
    here, there = sensible_dpi(picture.dpi)[0], sensible_dpi(first.dpi)[0]
    own = MM_PER_INCH / first_scale[0], MM_PER_INCH / first_scale[1]
    if here is not None and there is not None:
        stated = first_scale[0] * there[0] / here[0], first_scale[1] * there[1] / here[1]
        if _alike(stated, size):
            if not _alike(stated, (first_scale[0] * first_scale[1]) ** 0.5) or _aspect(stated) != _aspect(first_scale):
                _other_resolution(picture, (MM_PER_INCH / stated[0], MM_PER_INCH / stated[1]), first, own, notes)
            return stated
    if _alike(first_scale, size):
        if here is not None and there is not None:
            notes.warn(
                picture.name,
                f"the file says {_dpi_words(here)} dpi, but the part is as large as in {first.name}; "
                f"{_dpi_words(own)} dpi is taken",
            )
        return first_scale
    found = MM_PER_INCH / size
    usual = _usual(found)
    if abs(usual / found - 1.0) > APART:
        ratio = (size / (first_scale[0] * first_scale[1]) ** 0.5) ** -1.0
        raise GeometryError(
            f"{picture.name}: the part is {ratio:.2f} times as large as in {first.name}, which no resolution that "
            "scanners offer explains; give scans of the same part, whose files tell their resolution"
        )
    # the first scan's nominal scale may be off its own usual one
    k = _usual(own[0]) / own[0]
    taken = MM_PER_INCH / usual * k if abs(k - 1.0) < APART else MM_PER_INCH / usual
    _other_resolution(picture, (MM_PER_INCH / taken, MM_PER_INCH / taken), first, own, notes)
    return taken, taken


def evened(caliper: Caliper, grain: Pair) -> Caliper:
    """Return readings whose pixels and directions are those of square pixels, u and v divided by ``grain``."""
    if grain == (1.0, 1.0):
        return caliper

    def moved(r: Reading) -> Reading:
        turn = r.direction_deg
        if turn is not None:
            a = radians(turn)
            turn = degrees(atan2(sin(a) / grain[1], cos(a) / grain[0]))
        return replace(r, holes=tuple((u / grain[0], v / grain[1]) for u, v in r.holes), direction_deg=turn)

    return replace(caliper, readings=tuple(moved(r) for r in caliper.readings))


def _grain(dpi: Pair) -> Pair:
    """Return how much finer pixels are along u and v than square ones of the same area."""
    if abs(dpi[0] / dpi[1] - 1.0) <= SQUARE:
        return 1.0, 1.0
    mean = (dpi[0] * dpi[1]) ** 0.5
    return dpi[0] / mean, dpi[1] / mean


def _round_as_they_are(openings: Sequence[Floats], dpi: Pair) -> bool:
    """Tell whether more openings are round by square pixels than by those that a file states."""
    grain = np.array(_grain(dpi))
    square = sum(_is_round(loop) for loop in openings)
    return square > sum(_is_round(loop / grain) for loop in openings)


def _demand_square(name: str, openings: Sequence[Floats]) -> None:
    """Refuse a picture in which openings are round only if its pixels are twice as long one way, which it does not say.

    Raises: GeometryError: says which way.
    """
    if any(_is_round(loop) for loop in openings):
        return
    for grain, way in (((1.0, 0.5), "along columns as along rows"), ((0.5, 1.0), "along rows as along columns")):
        if 2 * sum(_is_round(loop / np.array(grain)) for loop in openings) > len(openings):
            raise GeometryError(
                f"{name}: its holes are round only if pixels are twice as long {way}, but its file does not say so; "
                "scan with one resolution for both, or save the file with both of its resolutions"
            )


def _is_round(loop: Floats) -> bool:
    turns = np.radians(np.arange(0.0, 180.0, 15.0))
    wide = np.ptp(loop @ np.stack([np.cos(turns), np.sin(turns)]), axis=0)
    slack = ROUND + 2.0 / max(float(wide.max()), 1.0)  # outlines are coarse: a pixel on either side
    return bool(wide.max() < (1.0 + slack) * wide.min())


def _alike(scale: Pair, size: float) -> bool:
    return bool(abs((scale[0] * scale[1]) ** 0.5 / size - 1.0) < APART)


def _aspect(scale: Pair) -> float:
    return round(scale[0] / scale[1], 3)


def _other_resolution(picture: Picture, dpi: Pair, first: Picture, own: Pair, notes: Notes) -> None:
    notes.remark(
        picture.name,
        f"{_dpi_words(dpi)} dpi, where {first.name} has {_dpi_words(own)}: each is used by its own scale, and the "
        "scanner is taken to err alike at both; scans at one setting bear that out",
    )


def _dpi_words(dpi: Pair | None) -> str:
    assert dpi is not None
    x, y = (f"{round(d, 1):g}" for d in dpi)
    return x if x == y else f"{x} × {y}"
