"""Where zero is: that of the files, for every setup; how it is found on the piece of stock, in words.

All layers of a part share one frame: the blank stays where it is when it is turned over about its axis. So the files'
own zero serves both setups, nothing is shifted and nothing mirrored at the machine.
"""

from __future__ import annotations

from generator.base.frozen_record import frozen_record
from generator.estimate.stock import BOTTOM_FACE
from generator.outline.contour import Point
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.paper.setup.drawn_marks import drawn_mark
from generator.paper.setup.subject import Subject
from generator.part.part import Face

__all__ = ["Pin", "middle_of", "pins", "sides", "zero_xy", "zero_z"]


@frozen_record
class Pin:
    """A dowel hole as the machine sees it: ``D1``, ``D2`` … along the flip axis, or as the cover's drawing names it."""

    mark: str
    at: Point


def pins(subject: Subject) -> tuple[Pin, ...]:
    """Return the dowel holes of the cover's blank; none for an insert."""
    holes = subject.plan.blank.dowel_holes
    if not subject.is_cover or not holes:
        return ()
    seen = subject.as_seen(holes)
    along = sorted((bounds(Region((c,))).centre for c in seen), key=lambda p: (p.x + p.y, p.x))
    return tuple(Pin(drawn_mark(subject, p) or f"D{k}", p) for k, p in enumerate(along, start=1))


def middle_of(subject: Subject) -> Point:
    """Return the middle of the piece of stock, as the machine sees it."""
    return bounds(subject.stock).centre


def sides(subject: Subject) -> tuple[str, str, float, float]:
    """Return which edges register a blank without dowels, in words, and their x and y in this setup.

    The edge along the flip axis changes sides when the blank is turned over; the edge across it stays.
    """
    box = bounds(subject.stock)
    first = subject.setup.face is Face.BOTTOM
    if subject.plan.flip.direction == "y":
        return ("left", "lower", box.xmin, box.ymin) if first else ("right", "lower", box.xmax, box.ymin)
    return ("left", "lower", box.xmin, box.ymin) if first else ("left", "upper", box.xmin, box.ymax)


def zero_xy(subject: Subject) -> tuple[str, ...]:
    """Return where zero of x and y is and how it is found, in sentences."""
    same = "x=0, y=0 of the files."
    middle = f"The middle of the stock is {_xy(subject, middle_of(subject))}."
    if not subject.is_cover:
        return (same, f"{middle} Find it between opposite edges.")
    found = pins(subject)
    if subject.is_first_of_two and found:
        return (same, f"{middle} Find it between opposite edges; lay the blank straight along {_axis(subject)}.")
    if subject.is_second_of_two and found:
        first, last = found[0], found[-1]
        return (
            f"As in setup 1: {same} Blank on the pins, nothing is moved.",
            f"If zero is lost: {first.mark} is {_xy(subject, first.at)}; {last.mark} sets {_axis(subject)} straight.",
        )
    if subject.count > 1:
        across, along, x, y = sides(subject)
        turned = "the same two edges as in setup 1" if subject.is_second_of_two else "mark both, setup 2 needs them"
        where = f"{across} edge x={subject.aligned(x)}, {along} edge y={subject.aligned(y)}"
        return (same, f"No dowels: touch the {where}; {turned}.")
    return (same, f"{middle} Find it between opposite edges.")


def zero_z(subject: Subject) -> str:
    """Return where zero of z is, in a sentence."""
    face = subject.setup.face.value
    if subject.is_cover and face == "top" and subject.recipe.cover.stock.depths_from == BOTTOM_FACE:
        depth = subject.figure(-subject.thickness_mm)
        return f"Touch what the blank lies on and set z={depth}: heights are held from the bottom face."
    return f"0 on the face that is up, the {face} face. Depths are minus z."


def _xy(subject: Subject, at: Point) -> str:
    return f"x={subject.aligned(at.x)}, y={subject.aligned(at.y)}"


def _axis(subject: Subject) -> str:
    return subject.plan.flip.direction
