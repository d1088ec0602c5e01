"""What the files say in words: material and quantity of every part, size of its stock, revision of every file."""

from __future__ import annotations

import csv
import io
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Final

from generator.base.errors import ProofError
from generator.base.frozen_record import frozen_record
from generator.base.units import LengthUnit
from generator.build.handoff.drawings_say import dxf_drawing
from generator.build.handoff.layers_say import LayerFile
from generator.build.handoff.sheet_texts import SheetText, sheet_pages, texts_of
from generator.build.handoff.title_says import MATERIAL, QUANTITY, REVISION, title_fields
from generator.estimate.characteristic import BLANK
from generator.estimate.inspection_csv import COLUMNS, MOST_PARTS, PART
from generator.estimate.parts_list import MADE
from generator.estimate.table_cells import plain_text
from generator.outline.measure import bounds
from generator.outputs.inspection import PDF, TABLE
from generator.outputs.parts_list import FILE as PARTS_LIST

__all__ = ["words_disagree"]

STOCK, STOCK_THICK = "piece of stock", "thickness of the stock"
EVERY: Final = "every file"
CUT_OFF: Final = "…"
_REVISION: Final = re.compile(r"(?:^|[\s;,])revision ?(.*)")
_STOCK: Final = re.compile(r"\bStock (\d.*? (?:mm|in)), (.*?);")
_STEP_REVISION: Final = re.compile(r"PRODUCT_DEFINITION_FORMATION\w*\('((?:[^']|'')*)'")
_STEP_MATERIAL: Final = re.compile(r"DESCRIPTIVE_REPRESENTATION_ITEM\('((?:[^']|'')*)',''\)")
_ENCODED: Final = re.compile(r"\\X([24])\\([0-9A-F]+)\\X0\\")


@frozen_record
class Word:
    """What a file says.

    Attributes:
        what: material, quantity, revision or piece of stock.
        part: of which; ``every file`` for the revision.
        file: path.
        said: the words; cut off where they end with an ellipsis.
        is_open: other words may follow, after a comma, colon or semicolon.
    """

    what: str
    part: str
    file: str
    said: str
    is_open: bool = False


def words_disagree(files: Mapping[str, bytes], layers: Sequence[LayerFile], unit: LengthUnit) -> list[str]:
    """Return a sentence for every file that says something else than the first one that says it.

    Raises: ProofError: a file cannot be read.
    """
    by_what: dict[tuple[str, str], list[Word]] = defaultdict(list)
    for word in _words(files, layers, unit):
        by_what[word.what, word.part].append(word)
    out = []
    for (what, part), words in by_what.items():
        first = next((w for w in words if not w.is_open and not w.said.endswith(CUT_OFF)), words[0])
        out += [
            f"{what} of {part}: {first.file} says `{first.said}`, {w.file} `{w.said}`"
            for w in words
            if not _fits(w, first.said)
        ]
    return out


def _fits(word: Word, said: str) -> bool:
    """Return True if a word is what another file says, or its beginning."""
    if word.said.endswith(CUT_OFF):
        begun = word.said.removesuffix(CUT_OFF).rstrip()
        return said.startswith(begun) or (word.is_open and begun.startswith(said))
    if word.is_open:
        return word.said.startswith(said) and word.said[len(said) :].strip()[:1] in ("", ",", ":", ";")
    return word.said == said


def _words(files: Mapping[str, bytes], layers: Sequence[LayerFile], unit: LengthUnit) -> Iterator[Word]:
    for path, data in files.items():
        if path == TABLE:
            yield from _table_says(path, data)
        elif path == PARTS_LIST:
            yield from _list_says(path, data)
        elif path.endswith(".step"):
            yield from _step_says(path, data)
        elif path.startswith("drawings/"):
            yield from _title_says(path, data)
        elif path == PDF or path.startswith("setups/"):
            yield from _sheet_says(path, [t for page in sheet_pages(path, data) for t in texts_of(page)])
    yield from (Word(REVISION, EVERY, f.path, f.revision) for f in layers)
    for blank in (f for f in layers if (f.part, f.layer) == (BLANK, BLANK)):
        box = bounds(blank.region)
        yield Word(STOCK, "cover", blank.path, unit.length(box.width_mm, box.height_mm, blank.to_mm - blank.from_mm))


def _title_says(path: str, data: bytes) -> Iterator[Word]:
    part = path.removeprefix("drawings/").rpartition(".")[0]
    if path.endswith(".dxf"):
        texts = dxf_drawing(path, data)[0]
    else:
        texts = [t for page in sheet_pages(path, data) for t in texts_of(page)]
    fields = title_fields(texts)
    for what in (MATERIAL, QUANTITY):
        yield Word(what, part, path, fields.get(what, ""))
    yield Word(REVISION, EVERY, path, fields.get(REVISION, ""))


def _sheet_says(path: str, texts: Sequence[SheetText]) -> Iterator[Word]:
    """Yield the revision in the head of inspection and setup sheets; of setup sheets the stock as well."""
    found = [m for t in texts if (m := _REVISION.search(t.text))]
    yield from (Word(REVISION, EVERY, path, m[1].strip(), is_open=True) for m in found)
    stock = _STOCK.search(" ".join(t.text for t in texts))
    if path != PDF and stock:
        name = path.removeprefix("setups/setup-").removesuffix(".pdf")
        part = name if name.startswith("insert-") else "cover"
        yield Word(MATERIAL, part, path, stock[2])
        yield Word(STOCK, part, path, stock[1])
        yield Word(STOCK_THICK, part, path, _last(stock[1]))


def _step_says(path: str, data: bytes) -> Iterator[Word]:
    text = data.decode("ascii", errors="replace")
    for revision in dict.fromkeys(_STEP_REVISION.findall(text)):
        yield Word(REVISION, EVERY, path, _decoded(revision))
    part = path.removesuffix(".step")
    if part != "assembly":
        yield from (Word(MATERIAL, part, path, _decoded(m)) for m in dict.fromkeys(_STEP_MATERIAL.findall(text)))


def _decoded(text: str) -> str:
    """Return a text of ISO 10303-21, clause 6.4.3, as it reads."""

    def characters(found: re.Match[str]) -> str:
        wide = 2 * int(found[1])
        return "".join(chr(int(found[2][k : k + wide], 16)) for k in range(0, len(found[2]), wide))

    return _ENCODED.sub(characters, text.replace("''", "'")).replace("\\\\", "\\")


def _rows(path: str, data: bytes) -> list[list[str]]:
    try:
        return list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))
    except (UnicodeDecodeError, csv.Error) as error:
        raise ProofError(f"{path}: not a table: {error}", feature=path) from error


def _table_says(path: str, data: bytes) -> Iterator[Word]:
    """Yield the revision of the inspection sheet, and how many parts it has columns for."""
    rows = _rows(path, data)
    yield from (Word(REVISION, EVERY, path, plain_text(row[1])) for row in rows if row[:1] == ["revision"])
    for row in rows:
        count = sum(cell.startswith(PART) for cell in row)
        if row[:1] == [COLUMNS[0]] and count < MOST_PARTS:
            yield Word(QUANTITY, "cover", path, str(count))


def _list_says(path: str, data: bytes) -> Iterator[Word]:
    """Yield what the parts list says of parts that are made, and of the stock for them."""
    head, *rows = _rows(path, data)
    for cells in rows:
        row = {key: plain_text(cell) for key, cell in zip(head, cells, strict=False)}
        if row["kind"] == MADE:
            part = row["what"].replace(" ", "-", 1)
            yield Word(MATERIAL, part, path, row["material"])
            yield Word(QUANTITY, part, path, row["quantity"])
            yield from _open_revision(path, row["designation"])
        elif row["what"].endswith(" for the cover"):
            yield Word(STOCK_THICK, "cover", path, _last(row["size"]))
        elif " for insert " in row["what"]:
            yield Word(STOCK_THICK, "insert-" + row["what"].partition(" for insert ")[2], path, _last(row["size"]))


def _last(size: str) -> str:
    """Return the last of a size's figures; the others are rounded up for the saw."""
    return size.rpartition(" × ")[2]


def _open_revision(path: str, text: str) -> Iterable[Word]:
    found = _REVISION.search(text)
    return [Word(REVISION, EVERY, path, found[1].strip())] if found else []
