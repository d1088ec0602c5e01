r"""The text of a STEP file made the same each time: header, names, revision, counters.

The kernel's writer stamps the time, counts occurrences through the life of the process and writes names as raw
UTF-8. Here the header is replaced, occurrences are numbered within the file, and names are encoded as ISO 10303-21
asks (clause 6.4.3: ``'`` and ``\`` doubled, everything outside printable ASCII as ``\\X2\\…\\X0\\`` or
``\\X4\\…\\X0\\``).
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from generator.base.frozen_record import frozen_record
from generator.solid.blocks import outside_of, spans_of
from generator.solid.step_encoding import encode_text
from generator.solid.step_style import Style, style_text

TIME_STAMP = "1970-01-01T00:00:00"
"""Fixed: same recipe, same bytes. The manifest tells the recipe's digest instead."""


@frozen_record
class Header:
    """What the header says.

    Attributes:
        name: file name without folder.
        description: what is in the file.
        author, organisation: may be empty.
        preprocessor: the program library that wrote the text.
        origin: the program that made the model.
    """

    name: str
    description: str
    author: str = ""
    organisation: str = ""
    preprocessor: str = ""
    origin: str = "coverplate"


def header_text(header: Header, schema: str) -> str:
    """Return the HEADER section; ``schema`` is the list as the kernel wrote it, brackets included."""

    def quoted(text: str) -> str:
        return f"'{encode_text(text)}'"

    return (
        "HEADER;\n"
        f"FILE_DESCRIPTION(({quoted(header.description)}),'2;1');\n"
        f"FILE_NAME({quoted(header.name)},'{TIME_STAMP}',({quoted(header.author)}),({quoted(header.organisation)}),\n"
        f"  {quoted(header.preprocessor)},{quoted(header.origin)},'');\n"
        f"FILE_SCHEMA({schema});\n"
        "ENDSEC;\n"
    )


_SCHEMA = re.compile(rb"FILE_SCHEMA\((\(.*?\))\);", re.DOTALL)
_ENTITY = re.compile(
    r" = (?:PRODUCT\(\s*'(?P<product>[^']*)',\s*'[^']*',\s*'[^']*'"
    r"|PRODUCT_DEFINITION_FORMATION\(\s*'',\s*''"
    r"|NEXT_ASSEMBLY_USAGE_OCCURRENCE\(\s*'[^']*',\s*'(?P<used>[^']*)'"
    r"|DESCRIPTIVE_REPRESENTATION_ITEM\(\s*'(?P<material>[^']*)')"
)
_NAMELESS = (b" = MANIFOLD_SOLID_BREP(''", b" = BREP_WITH_VOIDS(''")


def finish_text(
    text: bytes, header: Header, names: Mapping[str, str], revision: str, styles: Mapping[str, Style]
) -> bytes:
    """Return the kernel's STEP text with its own header, the true names and no trace of clock or counters.

    Args:
        text: as the kernel wrote it, with stand-ins for names.
        header: what the header is to say.
        names: true name by stand-in.
        revision: revision of every product.
        styles: colour and material by the product's stand-in.

    Raises:
        ValueError: the text is not written as the kernel does.
    """
    start, end = text.index(b"HEADER;"), text.index(b"ENDSEC;") + len(b"ENDSEC;\n")
    schema = _SCHEMA.search(text, start, end)
    if schema is None:
        raise ValueError("the STEP text names no schema")
    data, rest = text[end:].rsplit(b"ENDSEC;", 1)
    spans = spans_of(data)
    outside = [piece.decode("ascii") for piece in outside_of(data, spans)]
    outside[-1] += style_text("".join(outside), {n for span in spans for n in span.solids}, styles)
    finish = _Finish(names, revision)
    pieces = [_ENTITY.sub(finish, outside[0]).encode("ascii")]
    for span, behind in zip(spans, outside[1:], strict=True):
        pieces.append(_named(data[span.start : span.end], len(span.solids), finish.product.encode("ascii")))
        pieces.append(_ENTITY.sub(finish, behind).encode("ascii"))
    said = header_text(header, _one_line(schema[1].decode("ascii"))).encode("ascii")
    return b"".join([text[:start], said, *pieces, b"ENDSEC;", rest])


def _named(block: bytes, solids: int, product: bytes) -> bytes:
    """Return the entities of a part whose solids have the name of the product."""
    found = sum(block.count(nameless) for nameless in _NAMELESS)
    if found != solids:
        raise ValueError(f"{solids} solids without a name were expected in the STEP text, found {found}")
    for nameless in _NAMELESS:
        block = block.replace(nameless, nameless[:-1] + product + b"'")
    return block


def _one_line(text: str) -> str:
    """Return the schema's name on one line."""
    return re.sub(r"\(\s*'", "('", re.sub(r"'\s*\)", "')", " ".join(text.split())))


class _Finish:
    """Rewrites one entity after the other.

    Attributes:
        product: name of the last product that was met; a solid gets the name of the product before it.
    """

    def __init__(self, names: Mapping[str, str], revision: str) -> None:
        self.names = names
        self.revision = encode_text(revision)
        self.product = ""
        self.uses = 0

    def __call__(self, found: re.Match[str]) -> str:
        return " = " + self._entity(found[0].removeprefix(" = ").split("(")[0], found)

    def _entity(self, kind: str, found: re.Match[str]) -> str:
        if kind == "PRODUCT":
            self.product = self._name(found["product"])
            return f"PRODUCT('{self.product}','{self.product}',''"
        if kind == "PRODUCT_DEFINITION_FORMATION":
            return f"PRODUCT_DEFINITION_FORMATION('{self.revision}',''"
        if kind == "NEXT_ASSEMBLY_USAGE_OCCURRENCE":
            self.uses += 1
            return f"NEXT_ASSEMBLY_USAGE_OCCURRENCE('{self.uses}','{self._name(found['used'])}'"
        return f"DESCRIPTIVE_REPRESENTATION_ITEM('{self._name(found['material'])}'"

    def _name(self, stand_in: str) -> str:
        return encode_text(self.names.get(stand_in, stand_in))
