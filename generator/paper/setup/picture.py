"""The picture of a setup: the piece of stock as the machine sees it, cuts shaded by depth, what must be kept clear.

Plain enough to be read at arm's length: few lines, large marks, every layer with its number.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from generator.estimate.setup_steps import LayerWork
from generator.outline.contour import Point
from generator.outline.create import circle as round_contour
from generator.outline.measure import Bounds, bounds
from generator.outline.region import Region
from generator.paper.box import Box
from generator.paper.drawing.lettered import draw_arrow
from generator.paper.lines import CENTRE, HIDDEN, NARROW, NEIGHBOUR, VISIBLE, Colour, Line
from generator.paper.setup.free_spots import Ground
from generator.paper.setup.legend import draw_legend, legend_height
from generator.paper.setup.lie import LARGEST, Lie, lie_in
from generator.paper.setup.marks import LEFT, RIGHT, draw_marks
from generator.paper.setup.names import Name, draw_names, names_of_holes
from generator.paper.setup.shades import reach_of, shade_of, works_shaded
from generator.paper.setup.subject import Subject
from generator.paper.setup.zero import middle_of, pins, sides
from generator.paper.sheet import Easel, Letters, Track, circle, line, polyline, tracks_of
from generator.part.part import Clamp, Tab

__all__ = ["draw_picture", "height_at", "height_for", "lie_for", "outline_name"]

TEXT_MM: Final = 3.5
SIDE_MM: Final = LEFT + 9.0
"""Left of the piece: marks and the dimension of its height."""
ABOVE_MM: Final = 10.0
BELOW_MM: Final = 12.0
ALONG: Final = (0.0, 0.08, 0.12, 0.16, 0.2, 0.25, 0.3, 0.7, 0.75, 0.8, 0.85, 0.9)
"""Where along the flip axis its name may stand, from its end."""
OVER_MM: Final = 5.0
"""The flip axis goes so far beyond the piece."""
AXIS_MM: Final = 12.0
RED: Final[Colour] = (0.75, 0.0, 0.05)
ZERO: Final = Line("zero", 0.6, (), RED)
KEPT: Final = Line("keep-out", 0.35, (2.5, 1.5))
STOP: Final = Line("stop", 1.4)
SHARES: Final = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)
"""Where along a dimension its figure may stand."""
WHITE: Final[Colour] = (1.0, 1.0, 1.0)
BLACK: Final[Colour] = (0.0, 0.0, 0.0)


def outline_name(number: int) -> str:
    """Return the name under which the file carries the outline of a layer."""
    return f"cut-{number}"


def lie_for(box: Box, subject: Subject) -> Lie:
    """Return how the piece lies in the picture's box of the sheet (mm)."""
    return lie_in(_room(box, subject), _whole(subject))


def _room(box: Box, subject: Subject) -> Box:
    low = box.bottom + legend_height(subject, box.width) + BELOW_MM
    return Box(box.left + SIDE_MM, low, box.right - RIGHT, box.top - _above_mm(subject))


def draw_picture(easel: Easel, box: Box, subject: Subject) -> None:
    """Draw the setup into a box of the sheet (mm)."""
    lie, legend = lie_for(box, subject), legend_height(subject, box.width)
    easel.draw(*tracks_of(lie.region(subject.stock)), kind=VISIBLE, fill=WHITE, name="stock")
    _draw_underneath(easel, subject, lie)
    _draw_cuts(easel, subject, lie)
    _draw_kept_clear(easel, subject, lie)
    _draw_register(easel, subject, lie)
    zero = _draw_zero(easel, subject, lie, _room(box, subject).grown(2.0))
    inner = Box(box.left, box.bottom + legend, box.right, box.top)
    names = [*_names_of_places(subject, lie), *names_of_holes(subject, lie), *zero]
    draw_marks(easel, subject, lie, inner)
    _draw_size(easel, subject, lie)
    kept = [(lie.point(_seen(subject, c.at)), c.radius_mm * lie.scale) for c in subject.plan.clamps]
    draw_names(easel, names, inner, kept)
    draw_legend(easel, subject, Box(box.left, box.bottom, box.right, box.bottom + legend))


def _whole(subject: Subject) -> Bounds:
    """Return the box of all that is drawn: the piece of stock, and the cutter where it runs over its edge."""
    reach = reach_of(subject)
    return bounds(Region((*subject.stock.contours, *reach.contours)))


def _above_mm(subject: Subject) -> float:
    """Return the room above the piece: for the end of the flip axis where there is one."""
    return ABOVE_MM if subject.is_cover and subject.count > 1 else 3.0


def height_for(subject: Subject, width_mm_: float) -> float:
    """Return the height of the picture that uses a width to the full, mm."""
    what = _whole(subject)
    return height_at(subject, width_mm_, min(LARGEST, (width_mm_ - SIDE_MM - RIGHT) / what.width_mm))


def height_at(subject: Subject, width_mm_: float, scale: float) -> float:
    """Return the height of the picture at a scale, mm."""
    high = _whole(subject).height_mm * scale
    return high + _above_mm(subject) + BELOW_MM + legend_height(subject, width_mm_)


# ------------------------------------------------------------------ what is cut
def _draw_underneath(easel: Easel, subject: Subject, lie: Lie) -> None:
    """Draw what is hidden or comes later: the part in the blank before it is turned over, then the pocket below."""
    if subject.is_first_of_two:
        easel.region(lie.region(subject.as_seen(subject.plan.cover.profile)), kind=NEIGHBOUR, name="part")
    if subject.is_second_of_two:
        own = [f for f in subject.part.features if f.face.value == "bottom" and f.layer != "dowel-holes"]
        for f in own:
            easel.region(lie.region(subject.as_seen(f.region)), kind=HIDDEN, name="underneath")


def _draw_cuts(easel: Easel, subject: Subject, lie: Lie) -> None:
    """Draw the layers, the shallow ones first, each named for the proof; outlines with the way of their cutter."""
    works = {w.layer.name: w for w in subject.works}
    for layer in works_shaded(subject):
        work = works[layer.name]
        if layer.name == subject.part.layer:
            _draw_outline(easel, subject, work, lie)
        else:
            easel.region(
                lie.region(layer.region), kind=NARROW, fill=shade_of(subject, layer), name=outline_name(work.number)
            )
    for work in subject.works:
        if work.layer.name == "edge-break":
            easel.region(lie.region(work.layer.region), kind=NARROW, name=outline_name(work.number))


def _draw_outline(easel: Easel, subject: Subject, work: LayerWork, lie: Lie) -> None:
    outside = reach_of(subject)
    slot = (*tracks_of(lie.region(outside)), *tracks_of(lie.region(work.layer.region)))
    easel.draw(*slot, kind=None, fill=shade_of(subject, work.layer), name="slot")
    easel.region(lie.region(outside), kind=KEPT, name="cutter")
    easel.region(lie.region(work.layer.region), kind=VISIBLE, name=outline_name(work.number))


# ------------------------------------------------------------------ what is kept clear
def _draw_kept_clear(easel: Easel, subject: Subject, lie: Lie) -> None:
    if not subject.is_cover:
        return
    for clamp in subject.plan.clamps:
        x, y = lie.point(_seen(subject, clamp.at))
        easel.draw(circle((x, y), clamp.radius_mm * lie.scale), kind=KEPT, name="clamp")
        easel.draw(line((x - 2.5, y - 2.5), (x + 2.5, y + 2.5)), kind=VISIBLE)
        easel.draw(line((x - 2.5, y + 2.5), (x + 2.5, y - 2.5)), kind=VISIBLE)
    if subject.setup.face.value == "top":
        for tab in subject.plan.tabs:
            easel.draw(_tab(tab, lie), kind=VISIBLE, fill=WHITE, name="tab")


def _seen(subject: Subject, at: Point) -> Point:
    """Return a place of the plan as the machine sees it: by the setups' own mirroring of regions."""
    return bounds(subject.as_seen(Region((round_contour(at, 1.0),)))).centre


def _tab(tab: Tab, lie: Lie) -> Track:
    (x0, y0), (x1, y1) = lie.point(tab.foot), lie.point(tab.root)
    far = max(((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5, 1e-9)
    half = tab.width_mm * lie.scale / 2.0 / far
    across = (-(y1 - y0) * half, (x1 - x0) * half)
    return polyline(
        (x0 + across[0], y0 + across[1]),
        (x1 + across[0], y1 + across[1]),
        (x1 - across[0], y1 - across[1]),
        (x0 - across[0], y0 - across[1]),
        closed=True,
    )


# ------------------------------------------------------------------ register and zero
def _draw_register(easel: Easel, subject: Subject, lie: Lie) -> None:
    """Draw the flip axis and the pins in it; without pins the two edges that register the blank."""
    if not subject.is_cover or subject.count < 2:
        return
    box = lie.box(bounds(subject.stock))
    start, end = _axis_ends(subject, lie, box)
    easel.draw(line(start, end), kind=CENTRE, name="flip-axis")
    found = pins(subject)
    if subject.is_second_of_two:
        r = subject.plan.blank.dowel_mm / 2.0 * lie.scale
        for pin in found:
            easel.draw(circle(lie.point(pin.at), r), kind=NARROW, fill=BLACK, name="pin")
    if found:
        _draw_edge_mark(easel, start, upright=subject.plan.flip.direction == "y")
        return
    across, along, _, _ = sides(subject)
    x = box.left if across == "left" else box.right
    y = box.bottom if along == "lower" else box.top
    easel.draw(line((x, box.bottom), (x, box.top)), line((box.left, y), (box.right, y)), kind=STOP, name="stops")


def _axis_ends(subject: Subject, lie: Lie, box: Box) -> tuple[tuple[float, float], tuple[float, float]]:
    flip = subject.plan.flip
    x, y = lie.point((flip.at_mm, flip.at_mm))
    if flip.direction == "y":
        return (x, box.bottom - OVER_MM), (x, box.top + OVER_MM)
    return (box.left - OVER_MM, y), (box.right + OVER_MM, y)


def _draw_edge_mark(easel: Easel, at: tuple[float, float], *, upright: bool) -> None:
    """Draw the pen mark on the edge where the flip axis begins: it stays there when the blank is turned over."""
    x, y = at
    tip = (x, y + OVER_MM) if upright else (x + OVER_MM, y)
    base = [(x - 2.2, y + 0.8), (x + 2.2, y + 0.8)] if upright else [(x + 0.8, y - 2.2), (x + 0.8, y + 2.2)]
    easel.draw(polyline(tip, *base, closed=True), kind=NARROW, fill=RED, name="edge-mark")


def _draw_zero(easel: Easel, subject: Subject, lie: Lie, room: Box) -> list[Name]:
    """Draw zero with its two axes, or the middle of the piece where zero lies outside; return names to be set."""
    at = lie.point((0.0, 0.0))
    if not (room.left <= at[0] <= room.right and room.bottom <= at[1] <= room.top):
        x, y = lie.point(middle_of(subject))
        easel.draw(line((x - 4.0, y), (x + 4.0, y)), line((x, y - 4.0), (x, y + 4.0)), kind=ZERO, name="middle")
        return [Name("middle", ((x, y),), 1.5, RED)]
    easel.draw(circle(at, 2.0), kind=ZERO, name="zero")
    names: list[Name] = [Name("0", (at,), 2.0, RED)]
    for word, dx, dy in (("x", 1.0, 0.0), ("y", 0.0, 1.0)):
        tip = (at[0] + AXIS_MM * dx, at[1] + AXIS_MM * dy)
        easel.draw(line(at, (tip[0] - 2.0 * dx, tip[1] - 2.0 * dy)), kind=ZERO, name=f"axis-{word}")
        side = 1.3
        back = (tip[0] - 3.5 * dx, tip[1] - 3.5 * dy)
        left, right = (back[0] - side * dy, back[1] + side * dx), (back[0] + side * dy, back[1] - side * dx)
        easel.draw(polyline(tip, left, right, closed=True), kind=None, fill=RED)
        names.append(Name(word, (tip,), 0.3, RED))
    return names


def _names_of_places(subject: Subject, lie: Lie) -> list[Name]:
    """Return pins, clamps, tabs and the flip axis with place, rim and colour; they are set where there is room."""
    out: list[Name] = []
    if not subject.is_cover:
        return out
    r = subject.plan.blank.dowel_mm / 2.0 * lie.scale
    out += [Name(p.mark, (lie.point(p.at),), r, is_hole=True) for p in pins(subject)]
    clamps: Sequence[Clamp] = subject.plan.clamps
    out += [Name("clamp", (lie.point(_seen(subject, c.at)),), 3.5) for c in clamps]
    if subject.setup.face.value == "top":
        out += [Name("tab", (lie.point(t.root),), 1.0) for t in subject.plan.tabs]
    if subject.count > 1:
        (x0, y0), (x1, y1) = _axis_ends(subject, lie, lie.box(bounds(subject.stock)))
        along = tuple((x1 + s * (x0 - x1), y1 + s * (y0 - y1)) for s in ALONG)
        out.append(Name("flip axis", along, 0.3))
        if pins(subject):
            out.append(Name("pen mark", ((x0, y0),), 1.5, RED))
    return out


# ------------------------------------------------------------------ size
def _draw_size(easel: Easel, subject: Subject, lie: Lie) -> None:
    """Draw the dimensions of the piece of stock: below and left of it."""
    what = bounds(subject.stock)
    box, out = lie.box(what), lie.box(_whole(subject))
    y, x = out.bottom - BELOW_MM + 3.5, out.left - 6.5
    for a, b in (((box.left, box.bottom), (box.left, y - 1.0)), ((box.right, box.bottom), (box.right, y - 1.0))):
        easel.draw(line(a, b), kind=NARROW)
    for a, b in (((box.left, box.bottom), (x - 1.0, box.bottom)), ((box.left, box.top), (x - 1.0, box.top))):
        easel.draw(line(a, b), kind=NARROW)
    wide, high = subject.figure(what.width_mm), subject.figure(what.height_mm)
    _dimension(easel, (box.left, y), (box.right, y), wide, turn=0.0)
    _dimension(easel, (x, box.bottom), (x, box.top), high, turn=90.0)


def _dimension(easel: Easel, a: tuple[float, float], b: tuple[float, float], text: str, *, turn: float) -> None:
    easel.draw(line(a, b), kind=NARROW)
    draw_arrow(easel, a, 180.0 + turn)
    draw_arrow(easel, b, turn)
    ground = Ground(easel.items)
    for share in SHARES:
        x, y = a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])
        at = (x - 1.4, y) if turn else (x, y + 1.4)
        told = Letters(text, at, TEXT_MM, "middle", turn)
        if ground.is_free(told.box):
            easel.items.append(told)
            return
