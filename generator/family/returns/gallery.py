"""``gallery.html``: all variants on one page, a single file that needs no network and no program but a browser."""

from __future__ import annotations

import hashlib
import json
from base64 import b64encode
from collections.abc import Iterable, Mapping, Sequence
from importlib import resources
from string import Template
from typing import Any, Final
from urllib.parse import quote

from generator.base.cautions import cautions
from generator.base.many import many
from generator.family.proof import FamilyProof
from generator.family.returns.entry import (
    SEVERITIES,
    Base,
    Entry,
    base_of,
    counted,
    entries_of,
    mass_text,
    names_of,
    shared_values,
    title_of,
)
from generator.family.returns.gallery_data import LINKS, gallery_data
from generator.family.run import PACKS, Ran
from generator.outputs.lettering import xml_text

__all__ = ["WORDS", "gallery_files"]

WORDS: Final = {
    "mistake": ("mistake", "mistakes"),
    "forbids": ("that forbids", "that forbid"),
    "warns": ("warning", "warnings"),
    "notes": ("note", "notes"),
}
_LOOK: Final = "generator.outputs.visual"
"""Where the look of pages stands: the gallery's is that of a pack's own page, and what is added to it."""


def gallery_files(ran: Ran) -> dict[str, bytes]:
    """Return ``gallery.html``; the same family gives the same bytes but for the seconds that making took."""
    entries, base = entries_of(ran), base_of(ran.family)
    return {"gallery.html": _page(ran, entries, base).encode("utf-8", errors="replace")}


def _page(ran: Ran, entries: Sequence[Entry], base: Base) -> str:
    style = _file("page.css", _LOOK) + _file("gallery.css")
    script = _file("gallery.js")
    data = gallery_data(entries, base, title_of(ran.family))
    bears_load = any(s.check == "load-bearing" for e in entries for s in e.done.said)
    told = cautions(load_bearing=bears_load)
    return Template(_file("gallery.html")).substitute(
        title=xml_text(title_of(ran.family)),
        subtitle=_subtitle(ran, entries),
        style=style,
        style_hash=_digest(style),
        script=script,
        script_hash=_digest(script),
        proof=_proof(ran.proof),
        shared=_shared(entries),
        loud="".join(_caution(c.title, c.text, loud=True) for c in told if c.loud),
        cautions="".join(_caution(c.title, c.text) for c in told if not c.loud),
        count=len(entries),
        scale="All pictures are at one scale." if data["oneScale"] else "Each picture has a scale of its own.",
        table=_table(entries, base),
        data=_json(data),
    )


def _file(name: str, package: str = __package__) -> str:
    return (resources.files(package) / name).read_text(encoding="utf-8")


def _digest(text: str) -> str:
    """Return what a content security policy knows a script or style by."""
    return b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode()


def _json(data: Mapping[str, Any]) -> str:
    """Return the data as JSON in which nothing can end the element that it stands in."""
    text = json.dumps(data, ensure_ascii=True, separators=(",", ":"), allow_nan=False)
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _subtitle(ran: Ran, entries: Sequence[Entry]) -> str:
    counts = ", ".join(f"{n} {xml_text(word)}" for word, n in counted(entries).items())
    return (
        f"Family <code>{xml_text(ran.family.file.family)}</code> of the recipe "
        f"<code>{xml_text(ran.family.file.recipe)}</code>. {many(len(entries), 'variant')}: {counts}."
    )


def _proof(proof: FamilyProof) -> str:
    kind = "quiet" if proof.holds else "loud"
    return f'<p class="{kind}" id="proof">The proof for the family: {xml_text(proof.sentence())}.</p>'


def _shared(entries: Sequence[Entry]) -> str:
    shared = shared_values(entries)
    if not shared:
        return ""
    told = "; ".join(f"{xml_text(n)} <bdi>{xml_text(v)}</bdi>" for n, v in shared.items())
    return f'<p class="quiet">Alike in all: {told}.</p>'


def _caution(title: str, text: str, *, loud: bool = False) -> str:
    kind = ' class="loud"' if loud else ""
    return f"<p{kind}><strong>{xml_text(title)}.</strong> {xml_text(text)}</p>\n"


# ------------------------------------------------------------------ without scripts
def _table(entries: Sequence[Entry], base: Base) -> str:
    """Return all variants as a plain table, for browsers without scripts."""
    shared = shared_values(entries)
    names = [n for n in names_of(e.told for e in entries) if n not in shared]
    head = ["no.", "name", "status", *map(xml_text, names), "size", "mass", "findings", ""]
    rows = (
        [
            str(e.number),
            f"<strong>{xml_text(e.name)}</strong>",
            f'<span class="{xml_text(e.status.replace(" ", "-"))}">{xml_text(e.status)}</span> {xml_text(e.why)}',
            *(xml_text(e.told.get(n, "")) for n in names),
            base.unit.length(*e.done.size_mm) if e.has_size else "",
            mass_text(e.done.mass_g) if e.has_size else "",
            xml_text(findings_text(e)),
            " ".join(_links(e)),
        ]
        for e in entries
    )
    figures = {0, len(names) + 3, len(names) + 4}
    kinds = [' class="number"' if i in figures else "" for i in range(len(head))]
    lines = "".join(f"<tr>{_cells(head, kinds, row)}</tr>\n" for row in rows)
    titles = "".join(f'<th scope="col"{k}>{h}</th>' for h, k in zip(head, kinds, strict=True))
    table = f'<table class="stacked"><thead><tr>{titles}</tr></thead>\n<tbody>{lines}</tbody></table>'
    return f'<div class="wide">{table}</div>'


def _cells(head: Iterable[str], kinds: Iterable[str], row: Iterable[str]) -> str:
    return "".join(f'<td data-head="{h}"{k}>{c}</td>' for h, k, c in zip(head, kinds, row, strict=True))


def findings_text(e: Entry) -> str:
    """Return how many findings a variant has, the most serious first."""
    counts = [(WORDS[s], e.count(s)) for s in SEVERITIES]
    return ", ".join(f"{n} {words[n != 1]}" for words, n in counts if n)


def _links(e: Entry) -> Iterable[str]:
    folder = f"{PACKS}/{quote(e.name, safe='')}/"
    if not e.done.files:
        return
    for path, word in LINKS:
        if path in e.done.files:
            yield f'<a href="{folder}{path}">{word}</a>'
    yield f'<a href="{folder}">files</a>'
