"""The pages of a 1:1 print: as few sheets as can be, with marks that join them and a map of the whole."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.paper_sizes import Format
from generator.base.units import INCH, length_unit
from generator.outline.contour import Point
from generator.outline.create import circle as disc
from generator.outline.region import Region
from generator.outline.transform import scaled
from generator.paper.box import Box
from generator.paper.joints import Joint, draw_joint, joints_of
from generator.paper.lines import NARROW
from generator.paper.placing import Placing
from generator.paper.printed_bars import Correction
from generator.paper.sheet import Easel, Sheet, line, rectangle, tracks_of
from generator.paper.template_frame import TEXT_MM, Frame, draw_frame, frame_of
from generator.paper.templates import SHALLOW, Template
from generator.paper.tiles import Paving, Tile, paving_of

__all__ = ["AS_IT_IS", "FIRST_PRINT", "Page", "PrintFacts", "pages_of"]

AS_IT_IS: Final = "Print at 100 %, actual size, not fitted to the page."
FIRST_PRINT: Final = (
    "Measure bars x and y from 0 to a long mark; if either is off, give both readings back for the next print: "
    "coverplate build RECIPE --printed-bar x=99.6,y=100.2"
)
INCHES: Final = " (100, 150 and 200 mm are 3.937, 5.906 and 7.874 in; a reading in inches is written x=3.92in)."
MOST_NAMED: Final = 4
"""So many findings are named on a sheet."""
AFTER: Final = "The bars must now be as long as their figures say; leave the readings as they are."
JOIN: Final = (
    "Cut each sheet along its dash-dot lines on the right and at the foot, lay it on the next so that the halves of "
    "every mark meet, and tape them."
)
_SHADE: Final = (0.8, 0.8, 0.8)


@frozen_record
class PrintFacts:
    """What a print says of the plan that it comes from, and what it is printed on.

    Attributes:
        name, title, revision, date: of the plan; title and date may be empty.
        units: ``mm`` or ``inch``: how lengths are told.
        paper: the sheet in the printer, upright.
        correction: how much larger it is printed.
        forbidden: codes of the findings that forbid building; none for a plan that may be built.
    """

    name: str
    title: str
    revision: str
    date: str
    units: str
    paper: Format
    correction: Correction
    forbidden: tuple[str, ...] = ()


@frozen_record
class Page:
    """One sheet of a print, and what is to be found on it.

    Attributes:
        sheet: the page.
        frame: its layout.
        tile: what it shows of the joined print.
        window: where it shows that, on this sheet.
        placing: of the part on this sheet.
    """

    sheet: Sheet
    frame: Frame
    tile: Tile
    window: Box
    placing: Placing


def pages_of(template: Template, facts: PrintFacts) -> tuple[Page, ...]:
    """Return the pages of a print.

    Raises: TooManySheetsError: the paper is too small for it.
    """
    crosses = (Region((disc(Point(x, y), reach),)) for x, y, reach in template.centres)
    outlines = [*(o.region for o in template.outlines), *crosses]
    frames = {many: [_blank(template, facts, f, many) for f in _ways(facts.paper)] for many in (False, True)}
    centres = [(x, y) for x, y, _ in template.centres]
    paving = paving_of(outlines, [_room(f) for f in frames[False]])
    if len(paving.tiles) > 1:
        paving = paving_of(outlines, [_room(f) for f in frames[True]], centres)
    joints = joints_of(paving, outlines)
    return tuple(_page(template, facts, paving, joints, tile) for tile in paving.tiles)


def _ways(paper: Format) -> tuple[Format, Format]:
    return paper.portrait, paper.landscape


def _room(frame: Frame) -> tuple[bool, float, float]:
    is_landscape = frame.format.width_mm > frame.format.height_mm
    return is_landscape, frame.window.width, frame.window.height


def _blank(template: Template, facts: PrintFacts, sheet: Format, many: bool) -> Frame:
    """Return the layout before it is known how many sheets there are: as high as it will be."""
    return _frame(template, facts, sheet, ("Z9", 99, 99) if many else None)


def _frame(template: Template, facts: PrintFacts, sheet: Format, place: tuple[str, int, int] | None) -> Frame:
    heading = template.title + (f", {place[0]}" if place else "")
    title = facts.title or facts.name
    loud = f"{_not_to_be_cut(facts.forbidden)} {AS_IT_IS}" if facts.forbidden else AS_IT_IS
    sentences = (_line_of_facts(facts, place), *_sentences(template, facts, place))
    return frame_of(sheet, facts.correction, heading, loud, sentences, with_key=place is not None, title=title)


def _not_to_be_cut(codes: tuple[str, ...]) -> str:
    """Return what stands on every sheet of a plan that may not be built."""
    named = ", ".join(codes[:MOST_NAMED]) + (" and others" if len(codes) > MOST_NAMED else "")
    return f"NOT TO BE CUT: findings forbid building ({named}). For trying the paper on only."


def _line_of_facts(facts: PrintFacts, place: tuple[str, int, int] | None) -> str:
    words = [facts.name, f"revision {facts.revision}", "scale 1:1", facts.paper.name]
    words += [f"sheet {place[0]} ({place[1]} of {place[2]})"] if place else []
    return ", ".join(words + ([facts.date] if facts.date else [])) + "."


def _sentences(template: Template, facts: PrintFacts, place: tuple[str, int, int] | None) -> Iterator[str]:
    corrected = facts.correction.sentence(length_unit(facts.units))
    inches = INCHES if facts.units == INCH.name else ""
    yield f"{corrected} {AFTER}{inches}" if corrected else f"{FIRST_PRINT}{inches}"
    if place:
        yield JOIN
    yield " ".join(template.use)


def _page(template: Template, facts: PrintFacts, paving: Paving, joints: Sequence[Joint], tile: Tile) -> Page:
    sheet = facts.paper.landscape if paving.is_landscape else facts.paper.portrait
    count = len(paving.tiles)
    many = count > 1
    frame = _frame(template, facts, sheet, (tile.name, paving.tiles.index(tile) + 1, count) if many else None)
    window = frame.window
    # what a word more or less would move must not move the window: all sheets of a print have the same one
    window = Box(window.left, window.top - paving.grid.height_mm, window.left + paving.grid.width_mm, window.top)
    dx, dy = window.left - tile.window.left, window.bottom - tile.window.bottom
    placing = paving.placing.moved(dx, dy)
    easel, part = Easel(), Easel()
    draw_frame(easel, frame)
    _draw_part(part, template, placing)
    easel.window(part.items, window)
    if many:
        for joint in joints:
            if tile in (joint.one, joint.other):
                draw_joint(easel, joint, tile, dx, dy)
        _draw_key(easel, template, paving, tile, frame.key)
    stretch = facts.correction.stretch(is_landscape=paving.is_landscape)
    title = f"{template.title} {tile.name}" if many else template.title
    return Page(Sheet(sheet, tuple(easel.items), title, stretch), frame, tile, window, placing)


def _draw_part(easel: Easel, template: Template, placing: Placing) -> None:
    """Draw the outlines and the crosshairs; the cut line last, so that nothing lies on it."""
    for outline in reversed(template.outlines):
        easel.region(placing.region(outline.region), kind=outline.line, name=outline.name)
    for x, y, reach in template.centres:
        arms = (line((x - reach, y), (x + reach, y)), line((x, y - reach), (x, y + reach)))
        easel.draw(*(placing.track(a) for a in arms), kind=NARROW, name="centre")


def _draw_key(easel: Easel, template: Template, paving: Paving, tile: Tile, room: Box) -> None:
    """Draw the map of all sheets with the part across them; this sheet is shaded."""
    width, height = paving.grid.size
    scale = min(room.width / width, room.height / height)
    left, bottom = room.left + (room.width - scale * width) / 2.0, room.top - scale * height

    def small(box: Box) -> Box:
        return Box(*(v * scale for v in box)).moved(left, bottom)

    for other in paving.tiles:
        fill = _SHADE if other == tile else None
        easel.draw(rectangle(small(other.core)), kind=NARROW, fill=fill)
    outline = scaled(paving.placing.region(template.outlines[0].region), scale)
    easel.draw(*tracks_of(Placing(0.0, left, bottom).region(outline)), kind=SHALLOW)
    for other in paving.tiles:
        box = small(other.core)
        if box.width > 7.0 and box.height > 4.0:
            x, y = box.centre
            easel.write(other.name, (x, y - TEXT_MM / 2.0), TEXT_MM, anchor="middle", bold=other == tile)
