"""A DXF file in text form gone through line by line before it is read, so that damage is told and not repaired.

Every group code of the file, and every value that bears on an outline, is looked at; nothing is kept but counts,
handles and the names of blocks.
"""

from __future__ import annotations

import io
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final, NamedTuple

from generator.artwork.dxf_numbers import MOST_CODE, Fault, Sort, is_sound, number_fault, shown, sort_of
from generator.artwork.dxf_rules import (
    DRAWS,
    ENDS,
    ONE_LAYER,
    POINT_CODES,
    READ,
    Values,
    complaints,
    follows,
    is_foreign,
    misspelt,
)
from generator.base.errors import GeometryError

NAMED: Final = 4
"""So many faults are told; the others are counted."""
MOST_FAULTS: Final = 100
"""After so many faults nothing more is looked at."""
AGAIN: Final = "save the drawing again"

_BYTE_ORDER_MARK: Final = b"\xef\xbb\xbf"
_CODE: Final = re.compile(rb"[ \t]*([0-9]{1,4}|-[1-5])[ \t]*\r?\n?")
_PADDED: Final = re.compile(rb"[ \t]\r?\n|\n[ \t]+[^-+0-9. \t\r\n]")
"""A blank behind a line, or before a word."""
_BLANKS: Final = re.compile(rb"[ \t]*\r?\n[ \t]*")
_COMMENT: Final = 999
_LAYER: Final = "LAYER"
"""An entry of the table of layers, whose numbers say whether it can be seen."""


@dataclass
class Contents:
    """What a file holds, counted.

    Attributes:
        counts: number of entities that bear on an outline, by kind.
        lines: where every such entity begins, by its handle.
        blocks: names of the blocks that every block refers to, in lower case.
        frames: handles of the frames round texts, which the reader takes as parts of the texts.
        foreign: number of entities of kinds that the published reference does not name, by kind.
    """

    counts: Counter[str] = field(default_factory=Counter)
    lines: dict[str, int] = field(default_factory=dict)
    blocks: dict[str, set[str]] = field(default_factory=dict)
    frames: set[str] = field(default_factory=set)
    foreign: Counter[str] = field(default_factory=Counter)


class LostError(Exception):
    """Nothing that follows can be understood."""

    def __init__(self, line: int, text: str) -> None:
        self.fault = Fault(line, text)
        super().__init__(text)


def bare(handle: str) -> str:
    """Return a handle in the one form in which it can be compared."""
    return handle.strip().upper().lstrip("0")


def plain(data: bytes) -> bytes:
    """Return the text without byte order mark and blanks round its lines, ended by line feeds; they keep their numbers.

    The reader takes ``ENTITIES`` with a blank behind it for another word.
    """
    data = data.removeprefix(_BYTE_ORDER_MARK)
    if b"\n" not in data:
        data = data.replace(b"\r", b"\n")
    return _BLANKS.sub(b"\n", data) if _PADDED.search(data) else data


def inspect(data: bytes, *, most: int, name: str = "") -> Contents:
    """Return what a DXF file holds.

    Args:
        data: the text, see :func:`plain`.
        most: number of items beyond which nothing is done.
        name: of the file, for messages.

    Raises: GeometryError: no DXF file, cut off, too many items, or a damaged value; says the line, what stands there,
        what should and how to mend it.
    """
    walk = _Walk(most)
    try:
        walk.through(io.BytesIO(data))
    except LostError as lost:
        walk.faults.append(lost.fault)
    if walk.faults:
        raise GeometryError(told(walk.faults, name))
    return walk.contents


def told(faults: list[Fault], name: str) -> str:
    """Return one message that names the first faults and counts the others."""
    first, *others = faults
    where = f"{name}:{first.line}" if name else f"line {first.line} of the DXF file"
    more = "".join(f"; also line {f.line}: {f.text.split(', expected')[0]}" for f in others[: NAMED - 1])
    left = len(faults) - NAMED
    return f"{where}: {first.text}{more}" + (f"; and {left} more" if left > 0 else "")


# ------------------------------------------------------------------ pairs of lines
class _Group(NamedTuple):
    code: int
    sort: Sort
    in_point: bool


def _pairs(source: io.BytesIO) -> Iterator[tuple[int, _Group, bytes]]:
    """Yield every group code with the number of the line that holds its value, and that value.

    Raises: LostError: a line that should be a group code is none, or the last one has no value.
    """
    known: dict[bytes, _Group] = {}
    line = 0
    for raw in source:
        line += 2
        group = known.get(raw) or known.setdefault(raw, _group(raw, line - 1))
        value = next(source, None)
        if value is None:
            raise LostError(line - 1, f"the file ends behind group code {group.code}: it was cut off; {AGAIN}")
        if group.code != _COMMENT:
            yield line, group, value.rstrip(b"\r\n")


def _group(raw: bytes, line: int) -> _Group:
    match = _CODE.fullmatch(raw)
    code = int(match[1]) if match else MOST_CODE + 1
    if code <= MOST_CODE:
        return _Group(code, sort_of(code), code in POINT_CODES)
    if line == 1:
        raise LostError(
            1, f"found {shown(raw)}, expected the group code 0: this is not a DXF file in text form; {AGAIN}"
        )
    raise LostError(
        line,
        f"found {shown(raw)}, expected a group code (a whole number from 0 to {MOST_CODE}): this line is damaged, or "
        f"one is missing or too many before it; {AGAIN}",
    )


# ------------------------------------------------------------------ one entity
class _Entity:
    """An entity whose values bear on the outline."""

    def __init__(self, kind: str, line: int) -> None:
        self.kind = kind
        self.line = line
        self.handle = ""
        self.values = Values()
        self._first, self._count = self.values.first, self.values.count
        self.faults: list[Fault] = []
        self._before = -1
        self._in_point = False

    def add(self, line: int, group: _Group, value: bytes) -> None:
        """Look at one value."""
        code, sort, in_point = group
        if sort is not Sort.TEXT and not is_sound(value, sort):
            if len(self.faults) < MOST_FAULTS:
                self.faults.append(number_fault(line, value, sort, f"group {code} of {self.named()}"))
        elif self.kind == "SPLINE" and code in (40, 41):
            (self.values.knots if code == 40 else self.values.weights).append(float(value))
        elif code == 5:
            self.handle = value.decode("latin-1").strip()
        if (in_point or self._in_point) and code != self._before + 10 and not self.faults:
            wrong = follows(self.kind, self._before, code)
            self.faults += [Fault(line - 1, f"{wrong} in {self.named()}; {AGAIN}")] if wrong else []
        self._before, self._in_point = code, in_point
        if code in self._first:
            self._count[code] += 1
        else:
            self._first[code], self._count[code] = value, 1

    def named(self) -> str:
        """Return the kind with the handle, if there is one."""
        return f"{self.kind} (handle {self.handle})" if self.handle else self.kind

    def text(self, code: int) -> str:
        """Return a name in lower case."""
        return self.values.first.get(code, b"").decode("latin-1").casefold()

    def finished(self) -> list[Fault]:
        """Return everything that is wrong with it."""
        wrong = follows(self.kind, self._before, 0)
        if not self.faults and wrong:
            return [Fault(self.line, f"{wrong} in {self.named()}; {AGAIN}")]
        if not self.faults and self.kind != _LAYER:
            return [Fault(self.line, f"{self.named()}: {c}; {AGAIN}") for c in complaints(self.kind, self.values)]
        return self.faults


# ------------------------------------------------------------------ the file
class _Walk:
    """Goes through sections, blocks and entities."""

    def __init__(self, most: int) -> None:
        self.faults: list[Fault] = []
        self.contents = Contents()
        self._most = most
        self._items = 0
        self._section = ""
        self._block: str | None = None
        self._entity: _Entity | None = None
        self._last = ""
        self._layers = 0
        self._header = b""
        self._unit = b""

    def through(self, source: io.BytesIO) -> None:
        """Look at everything up to the mark of the end.

        Raises: LostError: the file is cut off or out of step.
        """
        line = 1
        for line, group, value in _pairs(source):
            if group.code == 0:
                self._close()
                if len(self.faults) >= MOST_FAULTS:
                    return
                kind = value.decode("latin-1").strip().upper()
                if kind == "EOF":
                    self._end(line, source)
                    return
                self._item(line, kind)
            elif self._entity is not None:
                self._entity.add(line, group, value)
            else:
                self._other(line, group, value)
        raise LostError(line, f"the file ends without its mark of the end (EOF): it was cut off; {AGAIN}")

    def _item(self, line: int, kind: str) -> None:
        self._items += 1
        if self._items > self._most:
            raise LostError(
                line, f"the file holds {self._items} items, far more than an outline needs: save the outline alone"
            )
        if kind in ("SECTION", "ENDSEC"):
            if kind == "SECTION" and self._section:
                self._lose(line, f"section {self._section} is not closed (ENDSEC is missing)")
            self._leave(line)
        elif self._last == "VERTEX" and kind not in ("VERTEX", "SEQEND"):
            self._lose(line, "the polyline before it has no end (SEQEND is missing)")
        if kind in ("BLOCK", "ENDBLK") and self._section == "BLOCKS":
            self._refuse_open(line, kind)
        if kind in READ or (kind == _LAYER and self._section == "TABLES"):
            self._check_place(line, kind)
            self._entity = _Entity(kind, line)
        elif self._section == "ENTITIES" or self._block is not None:
            wrong = misspelt(kind)
            if wrong:
                self._lose(line, f"found {shown(kind.encode())}, {wrong}")
            self.contents.foreign[kind] += is_foreign(kind)
        self._last, self._layers = kind, 0

    def _leave(self, line: int) -> None:
        if self._block is not None:
            self._lose(line, "the section ends inside of a block (ENDBLK is missing)")
        self._section, self._block = "", None

    def _refuse_open(self, line: int, kind: str) -> None:
        if kind == "BLOCK" and self._block is not None:
            self._lose(line, "a block begins inside of another one (ENDBLK is missing)")
        elif kind == "ENDBLK" and self._block is None:
            self._lose(line, "a block ends (ENDBLK) that did not begin")
        self._block = None

    def _check_place(self, line: int, kind: str) -> None:
        """Note an entity that a reader would pass over because of where it stands."""
        if kind == _LAYER:
            return
        if self._section not in ("ENTITIES", "BLOCKS"):
            self._lose(line, f"{kind} stands in section {self._section or '(none)'}, not in ENTITIES or BLOCKS")
        elif self._section == "BLOCKS" and kind != "BLOCK" and self._block is None:
            self._lose(line, f"{kind} stands outside of any block")
        elif self._section == "ENTITIES" and kind == "BLOCK":
            self._lose(line, "a block begins in section ENTITIES")
        elif kind == "VERTEX" and self._last not in ("POLYLINE", "VERTEX"):
            self._lose(line, "VERTEX stands outside of any polyline")

    def _lose(self, line: int, text: str) -> None:
        self.faults.append(Fault(line, f"{text}; {AGAIN}"))

    def _other(self, line: int, group: _Group, value: bytes) -> None:
        """Take the name of a section, and the unit in the header; see whether two entities run into one."""
        if self._last == "SECTION" and not self._section:
            if group.code != 2:
                raise LostError(line, f"the section has no name (group 2); {AGAIN}")
            self._section = value.decode("latin-1").strip().upper()
        elif self._last == "SECTION" and self._section in ("ENTITIES", "BLOCKS"):
            raise LostError(line - 1, f"group {group.code} stands before the first entity, whose name is lost; {AGAIN}")
        elif group.code == 8:
            self._layers += 1
            if self._layers == 2 and self._last in ONE_LAYER and self._section in ("ENTITIES", "BLOCKS"):
                self._lose(
                    line, f"{self._last} names a second layer: the beginning of the entity that it is of is lost"
                )
        elif group.code in DRAWS and self._last in ENDS:
            self._lose(line - 1, f"group {group.code} in {self._last}: the beginning of the entity it is of is lost")
            self._last = ""
        elif group.code == 1005 and self._last == "MTEXT":
            self.contents.frames.add(bare(value.decode("latin-1")))
        elif group.code == 9:
            self._header = value.strip()
        elif self._header == b"$INSUNITS":
            if group.code != 70 or not is_sound(value, Sort.WHOLE):
                self.faults.append(number_fault(line, value, Sort.WHOLE, "the unit ($INSUNITS, group 70)"))
            elif self._unit not in (b"", value.strip()):
                self._lose(line, "the file names two units ($INSUNITS)")
            self._header, self._unit = b"", value.strip()

    def _close(self) -> None:
        """Count the entity that ends here and note what is wrong with it."""
        entity, self._entity = self._entity, None
        if entity is None:
            return
        self.faults += entity.finished()
        if entity.kind == _LAYER:
            return
        self.contents.counts[entity.kind] += 1
        if entity.handle and entity.kind != "BLOCK":
            twin = self.contents.lines.setdefault(bare(entity.handle), entity.line)
            if twin != entity.line:
                self._lose(entity.line, f"{entity.named()} has the handle of the entity in line {twin}")
        if entity.kind == "BLOCK":
            self._block = entity.text(2)
            if self._block and self._block in self.contents.blocks:
                self._lose(entity.line, f"there are two blocks named {self._block!r}")
            self.contents.blocks[self._block] = set()
        elif entity.kind == "INSERT" and self._block is not None:
            self.contents.blocks[self._block].add(entity.text(2))

    def _end(self, line: int, source: io.BytesIO) -> None:
        if self._section:
            self._lose(line, f"section {self._section} is not closed (ENDSEC is missing)")
        if b"SECTION" in source.read():
            self._lose(line + 1, "the file goes on behind its mark of the end (EOF)")
