"""Names of places in a picture: beside their place where no line runs, farther off with a leader where it must be."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import hypot
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.paper.box import Box
from generator.paper.letters import letters_box
from generator.paper.lines import Colour, Line
from generator.paper.setup.free_spots import FAR_MM, NEAR_MM, Ground, Place, Spot, spots
from generator.paper.setup.holes import holes_of
from generator.paper.setup.lie import Lie
from generator.paper.setup.subject import Subject
from generator.paper.setup.zero import pins
from generator.paper.sheet import Easel, line

__all__ = ["Name", "draw_names", "names_of_holes"]

NAME_MM: Final = (3.5, 2.5)
"""Heights in which a name is tried."""
PLAINLY_MM: Final = 1.0
"""A name lies nearer by this to its own hole than to any other."""
MOST_NAMES: Final = 40
"""Of more holes than this none is named in the picture: their table has the places."""
LEADER: Final = Line("leader", 0.25)
Kept = tuple[Place, float]
"""Middle and radius of a circle on the sheet."""


@frozen_record
class Name:
    """What is written beside a place.

    Attributes:
        text: a few letters.
        places: on the sheet; one of them will do.
        rim_mm: so far round the place nothing is written.
        colour: of the letters.
        is_hole: it must not be taken for the name of another hole; it gets a leader where there is no room near by.
    """

    text: str
    places: tuple[Place, ...]
    rim_mm: float
    colour: Colour = (0.0, 0.0, 0.0)
    is_hole: bool = False


def names_of_holes(subject: Subject, lie: Lie) -> list[Name]:
    """Return names of holes other than dowel holes; none where there are too many."""
    pinned = {p.mark for p in pins(subject)}
    found = [h for h in holes_of(subject) if h.mark not in pinned]
    if len(found) > MOST_NAMES:
        return []
    rims = (h.bores[0].diameter_mm / 2.0 * lie.scale for h in found)
    return [Name(h.mark, (lie.point(h.at),), rim, is_hole=True) for h, rim in zip(found, rims, strict=True)]


def draw_names(easel: Easel, names: Sequence[Name], room: Box, kept: Sequence[Kept] = ()) -> None:
    """Set names within a box of the sheet; what finds no room is left out: tables and words say it.

    Names keep out of the circles ``kept`` (middle and radius on the sheet), where they would name what stands there;
    those circles' own names do not.
    """
    ground = Ground(easel.items)
    holes = [n for n in names if n.is_hole]
    for name in names:
        off = [] if any(p == at for p in name.places for at, _ in kept) else kept
        found = _near(name, ground, [h for h in holes if h is not name], room, off)
        if found is None and name.is_hole:
            found = _far(easel, name, ground, room)
        if found is not None:
            spot, high = found
            own = _box(name.text, high)
            at = (spot.middle[0] - own.centre[0], spot.middle[1] - own.centre[1])
            ground.write(easel.write(name.text, at, high, anchor="middle", bold=True, colour=name.colour))


def _box(text: str, height_mm: float) -> Box:
    return letters_box(text, (0.0, 0.0), height_mm, anchor="middle", turn_deg=0.0, bold=True)


def _near(
    name: Name, ground: Ground, others: Iterable[Name], room: Box, kept: Sequence[Kept]
) -> tuple[Spot, float] | None:
    """Return a free spot beside the place, and the height of letters that fits there."""
    rest = list(others)
    for high in NAME_MM:
        size = (_box(name.text, high).width, _box(name.text, high).height)
        for at in name.places:
            for spot in spots(size, at, name.rim_mm, NEAR_MM, room):
                if any(_is_in(spot.box, c) for c in kept):
                    continue
                if ground.is_free(spot.box) and (not name.is_hole or _is_plain(spot, name, rest)):
                    return spot, high
    return None


def _is_in(box: Box, circle: Kept) -> bool:
    """Return True if a box reaches into a circle."""
    (x, y), radius = circle
    return hypot(max(box.left - x, 0.0, x - box.right), max(box.bottom - y, 0.0, y - box.top)) < radius


def _is_plain(spot: Spot, name: Name, others: Iterable[Name]) -> bool:
    own = _gap(spot, name)
    return all(_gap(spot, o) > own + PLAINLY_MM for o in others)


def _gap(spot: Spot, name: Name) -> float:
    """Return how far the middle of a label is from the rim of a place; nothing inside it."""
    (x, y), (px, py) = spot.middle, name.places[0]
    return max(0.0, hypot(x - px, y - py) - name.rim_mm)


def _far(easel: Easel, name: Name, ground: Ground, room: Box) -> tuple[Spot, float] | None:
    """Return a free spot farther off and draw a leader from there, which crosses no text."""
    high = NAME_MM[0]
    at, own = name.places[0], _box(name.text, high)
    for spot in spots((own.width, own.height), at, name.rim_mm, FAR_MM, room):
        start, end = _leader(spot, at, name.rim_mm)
        if ground.is_free(spot.box) and not ground.crosses_text(start, end):
            easel.draw(line(start, end), kind=LEADER, name="leader")
            return spot, high
    return None


def _leader(spot: Spot, at: Place, rim_mm: float) -> tuple[Place, Place]:
    """Return a line from the border of a label's box to the rim of its place."""
    (x, y), box = spot.middle, spot.box
    dx, dy = at[0] - x, at[1] - y
    far = max(hypot(dx, dy), 1e-9)
    out = min(box.width / 2.0 / max(abs(dx), 1e-9), box.height / 2.0 / max(abs(dy), 1e-9))
    share = 1.0 - min(rim_mm / far, 1.0)
    return (x + out * dx, y + out * dy), (x + share * dx, y + share * dy)
