"""An SVG file made into a tree of elements with their lines, within bounds.

Nothing in the file can reach other files, expand or run: whatever declares or calls an entity is refused, and size,
number and depth are bounded while the text is read.
"""

from __future__ import annotations

import zlib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final
from xml.parsers import expat

from generator.base.errors import GeometryError

MOST_BYTES: Final = 16_000_000
MOST_ELEMENTS: Final = 50_000
DEEPEST: Final = 64
"""More than any outline needs (chosen); keeps reading within seconds and a few hundred megabytes."""

SVG: Final = "http://www.w3.org/2000/svg"
XLINK: Final = "http://www.w3.org/1999/xlink"
_XML: Final = "http://www.w3.org/XML/1998/namespace"
_GZIP: Final = b"\x1f\x8b"
_AS_GZIP: Final = 31
"""What zlib calls a stream with the head of a gzip file (zlib manual, inflateInit2)."""


@dataclass
class Element:
    """One element of SVG's own namespace.

    Attributes:
        tag: its name without the namespace.
        attributes: those without a namespace; ``xlink:href`` stands as ``href`` unless that is there too.
        line: where it begins.
        children: the elements in it.
        text: what stands in it as text.
    """

    tag: str
    attributes: dict[str, str]
    line: int
    children: list[Element] = field(default_factory=list)
    text: str = ""

    def walk(self) -> Iterator[Element]:
        """Yield this element and all in it, in the order of the file."""
        waiting = [self]
        while waiting:
            element = waiting.pop()
            yield element
            waiting += reversed(element.children)


@dataclass
class Document:
    """What was read.

    Attributes:
        root: the outermost element.
        by_id: the first element with every id.
        notes: what was left alone while reading, counted.
    """

    root: Element
    by_id: dict[str, Element]
    notes: Counter[str]


class SvgError(GeometryError):
    """A drawing that cannot be read; knows the line."""

    def __init__(self, line: int, text: str) -> None:
        self.line = line
        super().__init__(f"line {line} of the SVG file: {text}" if line else text)


def parse(data: bytes) -> Document:
    """Return the tree of an SVG file.

    Args:
        data: the file, plain or compressed (gzip).

    Raises: SvgError: not well-formed, no SVG, too large, too deep, or something that declares or calls an entity.
    """
    data = _plain(data)
    reader = _Reader()
    try:
        reader.parser.Parse(data, True)
    except expat.ExpatError as error:
        raise SvgError(
            error.lineno, f"not well-formed XML ({expat.ErrorString(error.code)}); save the drawing again as plain SVG"
        ) from error
    except (ValueError, LookupError) as error:  # an encoding that is unknown or of many bytes
        raise SvgError(1, f"its encoding cannot be read ({error}); save it as UTF-8") from error
    if reader.root is None or reader.root.tag != "svg":
        raise SvgError(1, "the outermost element is not svg: this is not an SVG file")
    by_id: dict[str, Element] = {}
    for element in reader.root.walk():
        if "id" in element.attributes:
            by_id.setdefault(element.attributes["id"], element)
    return Document(reader.root, by_id, reader.notes)


def _plain(data: bytes) -> bytes:
    """Return the text, taken out of its compression within bounds."""
    if data.startswith(_GZIP):
        engine = zlib.decompressobj(_AS_GZIP)
        try:
            data = engine.decompress(data, MOST_BYTES + 1)
            whole = engine.eof or len(data) > MOST_BYTES
        except zlib.error as error:
            raise SvgError(0, f"the compressed SVG file is damaged ({error}): save it as plain SVG") from error
        if not whole:
            raise SvgError(0, "the compressed SVG file is cut off: save it again as plain SVG")
    if not data.strip():
        raise SvgError(0, "the SVG file is empty")
    if len(data) > MOST_BYTES:
        raise SvgError(0, f"the SVG file has more than {MOST_BYTES // 1_000_000} MB: save the outline alone")
    return data


class _Reader:
    """Hears what the XML parser finds."""

    def __init__(self) -> None:
        self.root: Element | None = None
        self.notes: Counter[str] = Counter()
        self._open: list[Element | None] = []
        self._skipped = 0
        self._elements = 0
        self.parser = parser = expat.ParserCreate(namespace_separator=" ")
        parser.buffer_text = True
        parser.SetParamEntityParsing(expat.XML_PARAM_ENTITY_PARSING_NEVER)
        parser.StartDoctypeDeclHandler = self._doctype
        parser.EntityDeclHandler = self._entity
        parser.ExternalEntityRefHandler = self._outside
        parser.SkippedEntityHandler = self._unknown
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._end
        parser.CharacterDataHandler = self._text
        parser.ProcessingInstructionHandler = self._instruction

    def _refuse(self, text: str) -> SvgError:
        return SvgError(self.parser.CurrentLineNumber, text)

    def _doctype(self, _name: str, _system: str | None, _public: str | None, inner: bool | int) -> None:
        if inner:
            raise self._refuse("the DOCTYPE declares something of its own: take it out, or save as plain SVG")

    def _entity(self, name: str, *_rest: object) -> None:
        raise self._refuse(f"it declares an entity ({name[:40]!r}): take it out, or save as plain SVG")

    def _outside(self, *_rest: object) -> int:
        raise self._refuse("it calls an entity of another file: take it out, or save as plain SVG")

    def _unknown(self, name: str, _parameter: bool) -> None:
        raise self._refuse(f"it calls an entity ({name[:40]!r}) that XML does not know: write the sign itself")

    def _instruction(self, target: str, _data: str) -> None:
        if target == "xml-stylesheet":
            self.notes["style sheet of another file"] += 1

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        self._elements += 1
        if self._elements > MOST_ELEMENTS:
            raise self._refuse(f"more than {MOST_ELEMENTS} elements, far more than an outline needs: simplify it")
        if len(self._open) >= DEEPEST:
            raise self._refuse(f"elements lie more than {DEEPEST} deep within each other: take groups apart")
        space, _, tag = name.rpartition(" ")
        if self._skipped or space != SVG:
            if self.root is None:
                hint = " without its namespace (xmlns)" if tag == "svg" else ""
                raise self._refuse(f"the outermost element is {tag[:40]}{hint}: this is not an SVG file")
            self._skipped += 1
            self._open.append(None)
            return
        element = Element(tag, _named(attributes), self.parser.CurrentLineNumber)
        if self.root is None:
            self.root = element
        else:
            parent = self._open[-1]
            assert parent is not None
            parent.children.append(element)
        self._open.append(element)

    def _end(self, _name: str) -> None:
        if self._open.pop() is None:
            self._skipped -= 1

    def _text(self, text: str) -> None:
        element = self._open[-1] if self._open else None
        if element is not None and element.tag == "style":
            element.text += text


def _named(attributes: dict[str, str]) -> dict[str, str]:
    """Return the attributes by their plain names; those of other programs are left out."""
    out: dict[str, str] = {}
    for name, value in attributes.items():
        space, _, plain = name.rpartition(" ")
        if not space:
            out[plain] = value
        elif space == XLINK and plain == "href":
            out.setdefault("href", value)
        elif space == _XML and plain == "id":
            out.setdefault("id", value)
    return out
