"""Notes and cautions of a drawing, wrapped to a width."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from generator.base.cautions import Caution, cautions
from generator.estimate.characteristics import Datum, Kind
from generator.paper.box import Box
from generator.paper.drawing.block import Block
from generator.paper.drawing.lettered import draw_label, label_width
from generator.paper.drawing.outline_corners import outside_radii
from generator.paper.drawing.told import Told
from generator.paper.letters import width_mm
from generator.paper.lines import VISIBLE
from generator.paper.sheet import Easel, rectangle
from generator.part.loose import loose_pieces

__all__ = ["Note", "caution_blocks", "note_blocks", "notes_of", "wrapped"]

TEXT_MM: Final = 2.5
TITLE_MM: Final = 3.5
PITCH_MM: Final = 1.45 * TEXT_MM
"""From baseline to baseline; ISO 3098 wants 1.4 of the height at least (from memory)."""
BALLOON_ROOM_MM: Final = 1.2
MOST_LINES: Final = 40
INDENT_MM: Final = 6.0
FILLED: Final = 0.94
OF_INSERTS: Final = ("edges", "machine", "law")
"""Cautions that concern who makes an insert; the others are about fitting the cover."""

Note = tuple[str, tuple[int, ...]]
"""A sentence, and the balloons that stand behind its end."""


def notes_of(told: Told, datum: Datum | None, sheet_words: Sequence[str], *, has_pockets: bool) -> list[Note]:
    """Return the notes of a part: datum, rim, what is not dimensioned, and what the recipe adds."""
    said, part = told.said, told.said.part
    out: list[Note] = []
    out.append((f"Lengths in {said.unit.plural}, of the finished part.", ()))
    if datum is not None:
        along = f"; {datum.along}" if datum.along and datum.feature else ""
        out.append((f"Datum O: {datum.what}{along}. x to the right, y up, seen from the top face.", ()))
    if has_pockets:
        out.append(("Pockets: x and y of the middle, smallest inside radius, floor left under it.", ()))
    if part.rim_break_mm > 0.0:
        text, numbers = told.label(["edge-break"], Kind.CHAMFER, otherwise=part.rim_break_mm)
        out.append((f"Upper rim of the outline: chamfer {text} × 45°", numbers))
    radii = outside_radii(part)
    if radii:
        out.append((f"Outside radii of the outline: {', '.join(f'R{said.figure(r)}' for r in radii)}.", ()))
    out.append(("What is not dimensioned follows the files of layers (DXF) and solid (STEP) of this revision.", ()))
    out.append(("Numbers in balloons are those of the inspection sheet; figures in brackets follow from others.", ()))
    pieces = 1 if said.is_cover else loose_pieces(part)
    if pieces > 1:
        out.append((f"The insert is {pieces} loose pieces: quantity counts inserts, not pieces.", ()))
    if any(p.fill for p in part.features):
        fills = dict.fromkeys(f.fill.name for f in part.features if f.fill)
        out.append((f"Engravings are filled: {', '.join(fills)}.", ()))
    out += [(w, ()) for w in sheet_words if w]
    if said.plan.notes.strip() and said.is_cover:
        out.append((said.plan.notes.strip(), ()))
    return out


def note_blocks(notes: Sequence[Note], width_mm_: float) -> list[Block]:
    """Return numbered notes under a heading, wrapped to a width (mm), in blocks that find their places on any sheet."""
    rows = [row for k, note in enumerate(notes, start=1) for row in _rows(k, note, width_mm_ - INDENT_MM)]
    parts = [rows[k : k + MOST_LINES] for k in range(0, len(rows), MOST_LINES)]
    return [_note_block(part, "Notes" if k == 0 else "Notes, continued", width_mm_) for k, part in enumerate(parts)]


def _rows(number: int, note: Note, room: float) -> list[tuple[str, str, tuple[int, ...]]]:
    """Return the lines of a note: its number before the first, its balloons behind the last."""
    text, numbers = note
    lines = wrapped(text, room, numbers)
    return [
        (f"{number}" if n == 0 else "", words, numbers if n == len(lines) - 1 else ()) for n, words in enumerate(lines)
    ]


def _note_block(rows: Sequence[tuple[str, str, tuple[int, ...]]], title: str, width: float) -> Block:
    easel = Easel()
    easel.write(title, (0.0, -TITLE_MM), TITLE_MM)
    y = -TITLE_MM - 2.0
    for number, words, numbers in rows:
        y -= PITCH_MM + (BALLOON_ROOM_MM if numbers else 0.0)
        if number:
            easel.write(number, (0.0, y), TEXT_MM)
        draw_label(easel, words, numbers, (INDENT_MM, y), TEXT_MM)
        y -= BALLOON_ROOM_MM if numbers else 0.0
    return Block("notes", tuple(easel.items), Box(0.0, y - 1.5, width, 0.0))


def caution_blocks(told: Told, width: float) -> tuple[list[Block], Block]:
    """Return the loud cautions, each in a frame of its own, and the block of the others."""
    rows = cautions(load_bearing=told.said.plan.load_bearing)
    if not told.said.is_cover:
        rows = tuple(c for c in rows if c.id in OF_INSERTS)
    loud = [c for c in rows if c.loud]
    return [_loud(c, width) for c in loud], _plain([c for c in rows if not c.loud], width)


def _loud(caution: Caution, width: float) -> Block:
    easel = Easel()
    y = -2.0 - TITLE_MM
    easel.write(caution.title, (2.0, y), TITLE_MM, bold=True)
    y -= 1.5
    for words in wrapped(caution.text, width - 4.0):
        y -= PITCH_MM
        easel.write(words, (2.0, y), TEXT_MM)
    box = Box(0.0, y - 2.5, width, 0.0)
    easel.draw(rectangle(box), kind=VISIBLE, name="caution")
    return Block("loud caution", tuple(easel.items), Box(0.0, box.bottom - 1.0, width, 1.0))


def _plain(rows: Iterable[Caution], width: float) -> Block:
    easel = Easel()
    easel.write("Cautions", (0.0, -TITLE_MM), TITLE_MM)
    y = -TITLE_MM - 2.0
    for caution in rows:
        head = f"{caution.title}. "
        for n, words in enumerate(wrapped(head + caution.text, width)):
            y -= PITCH_MM
            if n == 0 and words.startswith(head.strip()):
                easel.write(head.strip(), (0.0, y), TEXT_MM, bold=True)
                easel.write(
                    words[len(head) :], (width_mm(head.strip(), TEXT_MM, bold=True) + 1.2, y), TEXT_MM
                ) if words[len(head) :] else None
            else:
                easel.write(words, (0.0, y), TEXT_MM)
    return Block("cautions", tuple(easel.items), Box(0.0, y - 1.5, width, 0.0))


def wrapped(text: str, room_mm: float, numbers: tuple[int, ...] = ()) -> list[str]:
    """Return a text in lines no wider than ``room_mm``, at the height of notes; balloons fit behind the last one.

    Words fill the lines not quite: the bold heading of a caution runs wider.
    """
    out: list[str] = [""]
    for word in (piece for w in text.split() for piece in _chopped(w, room_mm * FILLED)):
        longer = f"{out[-1]} {word}".strip()
        if out[-1] and label_width(longer, (), TEXT_MM) > room_mm * FILLED:
            out.append(word)
        else:
            out[-1] = longer
    if numbers and label_width(out[-1], numbers, TEXT_MM) > room_mm:
        head, _, last = out[-1].rpartition(" ")
        out[-1:] = [head, last] if head else ["", last]
    return out


def _chopped(word: str, room_mm: float) -> list[str]:
    """Return a word in pieces that fit on a line."""
    out = [""]
    for char in word:
        if out[-1] and label_width(out[-1] + char, (), TEXT_MM) > room_mm:
            out.append("")
        out[-1] += char
    return out
