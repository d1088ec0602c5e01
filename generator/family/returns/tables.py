"""``family.csv`` and ``family.json``: a row a variant, for spreadsheets and for programs.

The CSV follows RFC 4180 (commas, CRLF, quotes where they are needed) and begins with a mark, by which spreadsheets know
that it is UTF-8. A text that a spreadsheet would take for a formula gets an apostrophe in front; numbers stay numbers.
"""

from __future__ import annotations

import csv
import dataclasses
import io
import json
import re
from collections.abc import Mapping, Sequence
from typing import Any, Final

from generator.base.units import decimal
from generator.family.proof import FamilyProof
from generator.family.returns.entry import SEVERITIES, Entry, entries_of, names_of, title_of
from generator.family.run import Ran

__all__ = ["FORMAT", "spreadsheet_text", "table_files"]

FORMAT: Final = "coverplate family 1"
MARK: Final = "\ufeff"
_NUMBER: Final = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?")
_FORMULA: Final = ("=", "+", "-", "@", "＝", "＋", "－", "＠")
"""What a formula begins with, after blanks too; the wide forms count where a spreadsheet is set to an East Asian
language (list of the OWASP page on CSV injection, from memory)."""
_ENDS: Final = {"mistake": "mistakes", "forbids": "forbids", "warns": "warns", "notes": "notes"}


def table_files(ran: Ran) -> dict[str, bytes]:
    """Return ``family.csv`` and ``family.json``; ``seconds`` alone may differ from one making to another."""
    entries = entries_of(ran)
    return {"family.csv": _csv(entries), "family.json": _json(ran, entries)}


def spreadsheet_text(text: str) -> str:
    """Return a text so that no spreadsheet works it out, whatever it begins with.

    >>> spreadsheet_text("=HYPERLINK(A1)"), spreadsheet_text("-12.5"), spreadsheet_text("-a")
    ("'=HYPERLINK(A1)", '-12.5', "'-a")
    """
    if text.lstrip().startswith(_FORMULA) or text[:1] in ("\t", "\r", "\n"):
        return text if _NUMBER.fullmatch(text) else f"'{text}"
    return text


def _csv(entries: Sequence[Entry]) -> bytes:
    values = names_of(e.values for e in entries)
    # a parameter's own column tells it as it came out
    settings = [n for n in names_of(e.settings for e in entries) if not n.startswith("parameters.")]
    parameters = names_of(e.done.parameters for e in entries)
    head = ["number", "name", "status", "why"]
    head += [f"value.{n}" for n in values] + [f"set.{n}" for n in settings] + [f"parameter.{n}" for n in parameters]
    head += ["length_mm", "width_mm", "thickness_mm", "mass_g", *_ENDS.values(), "proofs", "files", "seconds"]
    out = io.StringIO(newline="")
    rows = csv.writer(out, lineterminator="\r\n")
    rows.writerow(map(spreadsheet_text, head))
    for e in entries:
        texts = [e.name, e.status, e.why]
        for names, given in ((values, e.values), (settings, e.settings), (parameters, e.done.parameters)):
            texts += [given.get(n, "") for n in names]
        rows.writerow([str(e.number), *map(spreadsheet_text, texts), *_figures(e)])
    return (MARK + out.getvalue()).encode("utf-8", errors="replace")


def _figures(e: Entry) -> list[str]:
    """Return size, mass and counts; what was not reached stays empty."""
    size = [decimal(v, 3) for v in (*e.done.size_mm, e.done.mass_g)] if e.has_size else [""] * 4
    counts = [str(e.count(s)) for s in SEVERITIES]
    return [*size, *counts, str(e.done.proofs), str(len(e.done.files)), decimal(e.done.seconds, 3)]


def _json(ran: Ran, entries: Sequence[Entry]) -> bytes:
    """Return the document; every variant on a line of its own, so that two runs can be compared line by line."""
    head: dict[str, Any] = {
        "format": FORMAT,
        "family": ran.family.file.family,
        "title": title_of(ran.family),
        "recipe": ran.family.file.recipe,
        "stopped": ran.stopped,
        "proof": _proof(ran.proof),
        "others": list(ran.strangers),
    }
    lines = ",\n".join(_line(_variant(e)) for e in entries)
    return f'{_line(head)[:-1]}, "variants": [\n{lines}\n]}}\n'.encode()


def _proof(proof: FamilyProof) -> dict[str, Any]:
    return {
        "holds": proof.holds,
        "packs": proof.packs,
        "comparisons": proof.comparisons,
        "alike": proof.alike,
        "faults": list(proof.faults),
        "suspects": list(proof.suspects),
        "strays": list(proof.strays),
    }


def _line(data: Mapping[str, Any]) -> str:
    # escaped beyond ASCII: a text may hold half a pair of surrogates, which no UTF-8 can carry
    return json.dumps(data, ensure_ascii=True, allow_nan=False)


def _variant(e: Entry) -> dict[str, Any]:
    length, width, thickness = e.done.size_mm
    size = {"length": length, "width": width, "thickness": thickness} if e.has_size else None
    return {
        "number": e.number,
        "name": e.name,
        "status": e.status,
        "why": e.why,
        "place": e.place,
        "values": dict(e.values),
        "settings": dict(e.settings),
        "parameters": dict(e.done.parameters),
        "size_mm": size,
        "mass_g": e.done.mass_g if e.has_size else None,
        "findings": [dataclasses.asdict(s) for s in e.done.said],
        "pieces": [_piece(dataclasses.asdict(p)) for p in e.done.pieces],
        "proofs": e.done.proofs,
        "seconds": e.done.seconds,
        "folder": e.folder,
        "files": dict(sorted(e.done.files.items())),
    }


def _piece(piece: dict[str, Any]) -> dict[str, Any]:
    """Return a piece of stock without the digests of shapes, which lead nowhere outside the program."""
    piece.pop("outline")
    piece.pop("cuts")
    return piece
