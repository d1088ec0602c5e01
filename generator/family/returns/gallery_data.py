"""What the gallery's script works on: every text and every shape once, variants by their places in these lists."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import Any, Final, Generic, TypeVar

from generator.base.units import decimal
from generator.family.returns.entry import NOT_MADE, SEVERITIES, Base, Entry, counted, mass_text, shared_values
from generator.family.returns.pictures import Frame, Picture, frame_of, picture_of
from generator.family.run import PACKS
from generator.family.task import BUILT

__all__ = ["LINKS", "gallery_data"]

LINKS: Final = (("report.html", "report"), ("report.md", "text"))
"""Files of a pack that a card leads to, with the word for it."""

_RANKS: Final = {BUILT: 0, NOT_MADE: 1}
_BAD: Final = 2
"""How ill a variant stands, whatever was found in it."""
ROOM: Final = 0.02
"""Kept free round a picture, in its longer side."""

T = TypeVar("T", bound=Hashable)


class _Once(Generic[T]):
    """A list in which everything stands once."""

    def __init__(self) -> None:
        self._places: dict[T, int] = {}

    def place(self, one: T) -> int:
        """Return the place of ``one``, which is added if it is new."""
        return self._places.setdefault(one, len(self._places))

    @property
    def all(self) -> list[T]:
        """Return everything in order."""
        return list(self._places)


def gallery_data(entries: Sequence[Entry], base: Base, title: str) -> dict[str, Any]:
    """Return the data, ready to be written as JSON.

    Args:
        entries: all variants.
        base: unit that sizes are told in.
        title: of the family.
    """
    pictures = [picture_of(e) for e in entries]
    frame = frame_of(pictures)
    shapes, said, drawn, names = _Once[str](), _Once[tuple[int, str, str]](), _Once[tuple[Any, ...]](), _Once[str]()
    statuses, shared = list(counted(entries)), shared_values(entries)
    variants = []
    for e, p in zip(entries, pictures, strict=True):
        one = {
            "number": e.number,
            "name": e.name,
            "status": statuses.index(e.status),
            "values": [[names.place(n), v] for n, v in e.told.items() if n not in shared],
            "said": [said.place((SEVERITIES.index(s.severity), s.check, s.message)) for s in e.done.said],
            "seconds": e.done.seconds,
        }
        if e.why:
            one["why"] = e.why
        if e.has_size:
            length, width, _ = e.done.size_mm
            one |= {"size": base.unit.length(*e.done.size_mm), "area": round(length * width, 3)}
            one |= {"mass": mass_text(e.done.mass_g), "grams": e.done.mass_g}
        if p is not None:
            one["picture"] = drawn.place(_drawn(p, frame, shapes))
        if e.done.files:
            one["links"] = [i for i, (path, _) in enumerate(LINKS) if path in e.done.files]
        variants.append(one)
    return {
        "title": title,
        "packs": PACKS,
        "statuses": statuses,
        "ranks": [_RANKS.get(s, _BAD) for s in statuses],
        "links": [list(link) for link in LINKS],
        "shared": list(shared.items()),
        "names": names.all,
        "said": said.all,
        "shapes": shapes.all,
        "pictures": drawn.all,
        "oneScale": frame.one_scale,
        "ratio": _ratio(frame),
        "variants": variants,
    }


def _ratio(frame: Frame) -> float:
    """Return width to height of the view box."""
    room = 2.0 * ROOM * max(frame.width, frame.height)
    return round((frame.width + room) / (frame.height + room), 4)


def _drawn(picture: Picture, frame: Frame, shapes: _Once[str]) -> tuple[Any, ...]:
    """Return the view box of a picture (y down, as SVG has it) and its layers: colour and place of the shape."""
    x0, y0, x1, y1 = frame.around(picture.box)
    room = ROOM * max(x1 - x0, y1 - y0)
    box = (x0 - room, -y1 - room, x1 - x0 + 2.0 * room, y1 - y0 + 2.0 * room)
    return " ".join(decimal(v, 2) for v in box), tuple((c, shapes.place(d)) for c, d in picture.layers)
