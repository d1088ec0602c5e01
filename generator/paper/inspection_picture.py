"""The plain picture beside an inspection table: the part from the top, with numbered balloons and their leaders.

Balloons stand in two columns, left and right of the part, in the order of the heights of their places: leaders run
inwards and meet no number.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.estimate.characteristic import BLANK, Characteristic, Datum
from generator.outline.contour import Point
from generator.outline.measure import Bounds, bounds
from generator.outline.region import Region
from generator.outline.transform import moved, scaled
from generator.paper.box import Box
from generator.paper.drawing.lettered import BALLOON_MM, balloon_width, draw_balloon
from generator.paper.lines import GREY, HIDDEN, NARROW, NEIGHBOUR, VISIBLE, Line
from generator.paper.sheet import Easel, circle, line, polyline
from generator.part.part import Face, Part, Plan
from generator.part.section import feature_at

__all__ = ["Picture", "draw_picture"]

COLUMN_MM: Final = 20.0
"""Room for balloons left and right of the part."""
GAP_MM: Final = 1.2
"""Between a balloon and the next."""
PITCH_MM: Final = BALLOON_MM + GAP_MM
ROW_MM: Final = 16.5
"""Numbers of one place stand side by side as far as they fit this, the others below."""
LARGEST: Final = 5.0
"""Small parts are drawn no more than so many times as large."""
DOT_MM: Final = 0.55
AXIS_MM: Final = 9.0
SAME_MM: Final = 0.05
LETTER_MM: Final = 2.5
LEADER: Final = Line("leader", 0.18, (), GREY)


@frozen_record
class Picture:
    """What a picture shows: the part's name, the characteristics with balloons, and the datum if it is on the part."""

    part: str
    shown: tuple[Characteristic, ...]
    datum: Datum | None


@frozen_record
class _Lie:
    """How the part lies on the sheet."""

    scale: float
    dx: float
    dy: float

    def region(self, region: Region) -> Region:
        """Return a region where it lies."""
        return moved(scaled(region, self.scale), self.dx, self.dy)

    def point(self, p: Point) -> tuple[float, float]:
        """Return a place where it lies."""
        return p.x * self.scale + self.dx, p.y * self.scale + self.dy


@frozen_record
class _Group:
    """Numbers that point at one place of the sheet."""

    at: tuple[float, float]
    numbers: tuple[int, ...]

    @property
    def rows(self) -> tuple[tuple[int, ...], ...]:
        """Return the numbers row by row."""
        out: list[tuple[int, ...]] = [()]
        for number in self.numbers:
            longer = (*out[-1], number)
            wide = sum(balloon_width(n) + GAP_MM for n in longer) - GAP_MM
            if out[-1] and wide > ROW_MM:
                out.append((number,))
            else:
                out[-1] = longer
        return tuple(out)

    @property
    def height(self) -> float:
        """Return the height of all rows, mm."""
        return len(self.rows) * PITCH_MM - GAP_MM


def draw_picture(easel: Easel, box: Box, plan: Plan, picture: Picture) -> None:
    """Draw the part with balloons into a box of the sheet (mm)."""
    outline = plan.blank.region if picture.part == BLANK else _part(plan, picture.part).profile
    lie = _lie(bounds(outline), box)
    if picture.part == BLANK:
        _draw_blank(easel, plan, lie)
    else:
        _draw_part(easel, _part(plan, picture.part), lie)
    if picture.datum is not None:
        _draw_datum(easel, lie.point(picture.datum.at))
    for column, is_left in _columns(picture.shown, lie, box):
        _draw_column(easel, column, box, is_left=is_left)


def _part(plan: Plan, name: str) -> Part:
    return next(p for p in plan.parts if p.name == name)


def _lie(part: Bounds, box: Box) -> _Lie:
    """Return the lie in which the part fills the middle of the box."""
    wide, high = box.width - 2.0 * COLUMN_MM, box.height - 2.0 * BALLOON_MM
    scale = min(wide / part.width_mm, high / part.height_mm, LARGEST)
    (x, y), middle = box.centre, part.centre
    return _Lie(scale, x - scale * middle.x, y - scale * middle.y)


# ------------------------------------------------------------------ the part
def _draw_part(easel: Easel, part: Part, lie: _Lie) -> None:
    """Draw the outline, what is seen from the top, and the bottom face's features dashed."""
    easel.region(lie.region(part.profile), kind=VISIBLE, name=part.layer)
    for f in part.features:
        if not f.region:
            continue
        is_hidden = f.face is Face.BOTTOM and f.z_to_mm < part.thickness_mm
        fine = f.layer.startswith(("engraving", "insert-engraving"))
        kind = HIDDEN if is_hidden else NARROW if fine else VISIBLE
        easel.region(lie.region(feature_at(f, f.z_to_mm)), kind=kind, name=f.name)
        if f.flare_mm:
            easel.region(lie.region(f.region), kind=NARROW)


def _draw_blank(easel: Easel, plan: Plan, lie: _Lie) -> None:
    easel.region(lie.region(plan.blank.region), kind=VISIBLE, name="blank")
    easel.region(lie.region(plan.cover.profile), kind=NEIGHBOUR)
    easel.region(lie.region(plan.blank.dowel_holes), kind=VISIBLE, name="dowel-holes")


def _draw_datum(easel: Easel, at: tuple[float, float]) -> None:
    """Draw the origin circle with its two axes (ISO 129-1, from memory)."""
    x, y = at
    easel.draw(circle(at, 1.6), kind=NARROW, name="datum")
    for dx, dy in ((1.0, 0.0), (0.0, 1.0)):
        tip = (x + AXIS_MM * dx, y + AXIS_MM * dy)
        easel.draw(line(at, tip), kind=NARROW)
        left = (tip[0] - 2.0 * dx - 0.5 * dy, tip[1] - 2.0 * dy + 0.5 * dx)
        right = (tip[0] - 2.0 * dx + 0.5 * dy, tip[1] - 2.0 * dy - 0.5 * dx)
        easel.draw(polyline(tip, left, right, closed=True), kind=NARROW, fill=(0.0, 0.0, 0.0))


# ------------------------------------------------------------------ balloons
def _columns(
    shown: Sequence[Characteristic], lie: _Lie, box: Box
) -> tuple[tuple[list[_Group], bool], tuple[list[_Group], bool]]:
    """Return the groups of the left and of the right column, each as full as the other."""
    by_place: dict[tuple[float, float], list[int]] = {}
    for c in shown:
        at = lie.point(c.place)
        near = next((p for p in by_place if hypot(p[0] - at[0], p[1] - at[1]) < SAME_MM), at)
        by_place.setdefault(near, []).append(c.number)
    groups = sorted((_Group(at, tuple(numbers)) for at, numbers in by_place.items()), key=lambda g: (g.at, g.numbers))
    half = sum(g.height + GAP_MM for g in groups) / 2.0
    left: list[_Group] = []
    used = 0.0
    for g in groups:
        is_left = g.at[0] < box.centre[0] - SAME_MM or (g.at[0] <= box.centre[0] + SAME_MM and used < half)
        if is_left and used + (g.height + GAP_MM) / 2.0 <= max(half, 0.75 * box.height):
            left.append(g)
            used += g.height + GAP_MM
    right = [g for g in groups if g not in left]
    return (left, True), (right, False)


def _draw_column(easel: Easel, groups: Sequence[_Group], box: Box, *, is_left: bool) -> None:
    """Draw the balloons of one side, the highest place first, and their leaders."""
    ordered = sorted(groups, key=lambda g: (-g.at[1], g.at[0] if is_left else -g.at[0], g.numbers))
    for g, top in zip(ordered, _tops(ordered, box), strict=True):
        y = top - BALLOON_MM / 2.0
        ends = [_draw_row(easel, row, y - k * PITCH_MM, box, is_left=is_left) for k, row in enumerate(g.rows)]
        # straight inwards past all balloons of the column, then to the place: no number is crossed
        bend = (box.left + ROW_MM + GAP_MM if is_left else box.right - ROW_MM - GAP_MM, y)
        easel.draw(polyline((ends[0], y), bend, g.at), kind=LEADER)
        easel.draw(circle(g.at, DOT_MM), kind=None, fill=(0.0, 0.0, 0.0))


def _draw_row(easel: Easel, row: Sequence[int], y: float, box: Box, *, is_left: bool) -> float:
    """Draw balloons side by side from the border inwards and return how far they reach inwards."""
    ordered, x, sign = (row, box.left, 1.0) if is_left else (tuple(reversed(row)), box.right, -1.0)
    for number in ordered:
        wide = balloon_width(number)
        draw_balloon(easel, number, (x + sign * wide / 2.0, y))
        x += sign * (wide + GAP_MM)
    return x - sign * GAP_MM


def _tops(groups: Sequence[_Group], box: Box) -> list[float]:
    """Return the upper edges of the groups: each as near to its place as the others let it, none beyond the box."""
    tops: list[float] = []
    free = box.top
    for g in groups:
        top = min(free, g.at[1] + g.height / 2.0)
        tops.append(top)
        free = top - g.height - GAP_MM
    floor = box.bottom
    for k in range(len(groups) - 1, -1, -1):
        tops[k] = max(tops[k], floor + groups[k].height)
        floor = tops[k] + GAP_MM
    return tops
