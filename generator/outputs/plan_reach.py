"""What no cutter in use reaches, in the plan: the areas in a colour of their own, rings round small ones, a legend.

Ordinary rounded corners are drawn and summed up, but neither ringed nor named: in letters there are dozens of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from math import isfinite
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.units import LengthUnit, decimal, length_unit
from generator.outline.measure import bounds
from generator.outline.reach import Loss
from generator.outline.region import Region
from generator.outputs.label_places import Field, rings
from generator.outputs.lettering import Box, text_width, wrapped
from generator.outputs.plan_frame import Frame
from generator.outputs.svg_pen import path_data
from generator.outputs.svg_sheet import INK, QUIET, Sheet, Style
from generator.part.part import Plan
from generator.part.reach import Cut, cuts_and_losses

__all__ = ["AREA", "Unreached", "draw_unreached", "name_unreached", "unreached", "unreached_block"]

AREA: Final = Style("#7a1f00", 0.12, (), "#e8590c")
"""Orange with a dark rim: no layer is filled so strongly, and in grey it is darker than any tint."""
_RING: Final = Style("#b8440a", 0.4, (1.2, 0.6))
_LEAST_RING: Final = 2.0
_SMALL: Final = 6.0
"""Areas that are smaller on paper than this get a ring, mm."""
_MOST: Final = 24
"""So many places are ringed and numbered, the largest first; all are drawn."""
_TOLD: Final = 6
"""So many places of one cut are told with their figures in the legend."""
_LABEL: Final = 2.6
_HEAD, _TEXT, _LEADING = 3.9, 3.1, 1.38


@frozen_record
class Unreached:
    """One place that is not reached: its key in the drawing (empty where it has none), the cut, and the figures."""

    key: str
    cut: Cut
    loss: Loss


def unreached(plan: Plan) -> tuple[Unreached, ...]:
    """Return all places that the cutters in use do not reach, cut by cut, the largest of each first.

    Keys u1, u2 … have the largest of those that are more than ordinary rounded corners.
    """
    found = [(reach.cut, loss) for reach in cuts_and_losses(plan) for loss in reach.lost]
    told = [i for i, (cut, loss) in enumerate(found) if not cut.is_ordinary(loss)]
    ranked = sorted(told, key=lambda i: (-found[i][1].area_mm2, i))[:_MOST]
    keys = {i: f"u{n}" for n, i in enumerate(sorted(ranked), 1)}
    return tuple(Unreached(keys.get(i, ""), cut, loss) for i, (cut, loss) in enumerate(found))


def draw_unreached(sheet: Sheet, found: Sequence[Unreached], frame: Frame) -> None:
    """Draw the areas, one path a cut, and rings round those that are small on paper."""
    if not found:
        return
    sheet.raw(f'<g transform="{frame.transform}" stroke-linejoin="round">', frame.box)
    for cut, places in _by_cut(found):
        d = path_data(Region(tuple(c for p in places for c in p.loss.region)))
        sheet.raw(f'<path data-reach="{cut.part} {cut.feature}" d="{d}" {AREA.attributes(frame.scale)}/>')
    sheet.raw("</g>")
    for place in found:
        if ring := _ring(place, frame):
            sheet.circle(*ring, _RING)


def _by_cut(found: Sequence[Unreached]) -> list[tuple[Cut, list[Unreached]]]:
    return [(cut, list(places)) for cut, places in groupby(found, key=lambda u: u.cut)]


def _ring(place: Unreached, frame: Frame) -> tuple[tuple[float, float], float] | None:
    """Return middle and radius of the ring round a place on the sheet; None where it needs none."""
    box = bounds(place.loss.region)
    across = box.diagonal_mm * frame.scale
    if not place.key or across > _SMALL:
        return None
    return frame.at(*box.centre), max(_LEAST_RING, across / 2.0 + 0.7)


def name_unreached(sheet: Sheet, found: Sequence[Unreached], room: Field, frame: Frame) -> None:
    """Write the keys beside the places; rings are kept free of other labels."""
    marks = [(p, *(_ring(p, frame) or (frame.at(*p.loss.at), 0.5))) for p in found if p.key]
    for _, (x, y), r in marks:
        room.take(Box(x - 0.7 * r, y - 0.7 * r, x + 0.7 * r, y + 0.7 * r))
    for place, at, r in marks:
        size = (text_width(place.key, _LABEL, bold=True) + 0.4, _LABEL)
        spot = room.find(at, size, rings(at, size, [r + d for d in (0.3, 0.8, 1.5, 3.0, 5.0, 8.0, 12.0)]), touch=r)
        if spot is None:
            continue
        if spot.leader:
            sheet.line(list(spot.leader), Style(_RING.ink, 0.15))
        baseline = (spot.x, spot.y + 0.36 * _LABEL)
        sheet.text(place.key, baseline, _LABEL, anchor="middle", bold=True, ink=_RING.ink, halo=True)


# ------------------------------------------------------------------ legend
def unreached_block(sheet: Sheet, x: float, y: float, width: float, plan: Plan, found: Sequence[Unreached]) -> float:
    """Write the legend of what is not reached from (x, y) down, so wide; return where it ends."""
    unit = length_unit(plan.units)
    sheet.line([(x, y), (x + width, y)], Style("#b7bdc5", 0.18))
    sheet.text("Not reached by the cutter", (x, y + 1.8 + _HEAD), _HEAD, bold=True)
    y += _HEAD * 1.9 + 1.2
    for cut, places in _by_cut(found):
        d = f"M{x + 5.0:.3f} {y + 0.5:.3f}h15v5.2h-15z"
        sheet.raw(f'<path d="{d}" {AREA.attributes()}/>', Box(x + 5.0, y + 0.5, x + 20.0, y + 5.7))
        words = x + 23.0
        y = _lines(sheet, words, y, wrapped(_of_cut(cut, places, unit), _TEXT, width - 23.0), INK)
        y = _lines(sheet, words, y, wrapped(_of_places(places, unit), _TEXT, width - 23.0), QUIET) + 0.9
    return y + 1.0


def _lines(sheet: Sheet, x: float, y: float, lines: Sequence[str], ink: str) -> float:
    for line in lines:
        sheet.text(line, (x, y + _TEXT), _TEXT, ink=ink)
        y += _TEXT * _LEADING
    return y


def _of_cut(cut: Cut, places: Sequence[Unreached], unit: LengthUnit) -> str:
    """Return what is lost of one cut in all, and by which cutter."""
    total = area_text(sum(p.loss.area_mm2 for p in places), unit)
    many = f"{len(places)} places" if len(places) > 1 else "1 place"
    how = "left standing outside" if cut.outline else "rounded away in" if cut.matched else "not cut in"
    return f"⌀{unit.figure(cut.cutter_mm)} end mill: {total} {how} {cut.feature}, {many}"


def _of_places(places: Sequence[Unreached], unit: LengthUnit) -> str:
    """Return the largest places with their figures, those alike in one go; then how many more, and rounded corners."""
    named = [p for p in places if p.key]
    groups = [(what, [p.key for p in alike]) for what, alike in groupby(named, key=lambda p: _of_place(p, unit))]
    told = [f"{keys[0]}: {what}" if len(keys) == 1 else f"{_span(keys)}: {what} each" for what, keys in groups[:_TOLD]]
    plain = [p for p in places if p.cut.is_ordinary(p.loss)]
    rest = len(places) - len(plain) - sum(len(keys) for _, keys in groups[:_TOLD])
    return "; ".join([*told, *([f"{rest} more"] if rest and told else []), *_of_corners(plain, bool(told), unit)])


def _of_corners(plain: Sequence[Unreached], others: bool, unit: LengthUnit) -> list[str]:
    """Return the line that sums up ordinary rounded corners; with their area where not all is theirs."""
    if not plain:
        return []
    deepest = unit.length(max(p.loss.depth_mm for p in plain))
    many = f"{len(plain)} ordinary rounded corners" if len(plain) > 1 else "1 ordinary rounded corner"
    total = f", {area_text(sum(p.loss.area_mm2 for p in plain), unit)} in all" if others else ""
    return [f"{many}{total}, none deeper than {deepest}" if len(plain) > 1 else f"{many}{total}, {deepest} deep"]


def _span(keys: Sequence[str]) -> str:
    """Return neighbouring keys as ``u1 to u4``."""
    return f"{keys[0]} to {keys[-1]}" if len(keys) > 2 else " and ".join(keys)


def _of_place(place: Unreached, unit: LengthUnit) -> str:
    depth = f", {unit.length(place.loss.depth_mm)} deep" if isfinite(place.loss.depth_mm) else ", all of it"
    return f"{area_text(place.loss.area_mm2, unit)}{depth}"


def area_text(value_mm2: float, unit: LengthUnit) -> str:
    """Return an area in the unit that lengths are told in; two digits more where it is small."""
    return f"{decimal(value_mm2 / unit.mm**2, unit.decimals + (1 if value_mm2 < unit.mm**2 else 0))} {unit.suffix}²"
