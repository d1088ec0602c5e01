"""Which files are to be reissued: those that show something else than before.

Sheets and tables are held against each other by what they say: texts and lines where they stand. Files of layers by
region and depths, models by the parts that they are of. A file that differs in nothing but name, title or revision of
the recipe says so.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from typing import Any, Final

from generator.base.frozen_record import frozen_record
from generator.build.compare.areas import AreaChange
from generator.build.compare.version import Version
from generator.outputs.layers_dxf import ALL_LAYERS
from generator.paper.pdf_read import PdfError, ReadPage, read_pdf

__all__ = ["CHANGED", "GONE", "NEW", "TITLE", "Reissue", "reissues"]

CHANGED, TITLE, NEW, GONE = "changed", "name or revision only", "new", "withdrawn"
DIGITS: Final = 3
"""Places on paper are compared to 1 µm."""
READ: Final = (".pdf", ".csv", ".dxf")
"""Endings of files that are read and compared; all others are models and pictures."""
PATH: Final = "path"
NOT_ISSUED: Final = ("report.md", "report.json", "report.html", "manifest.json")


@frozen_record
class Reissue:
    """A file that is not what it was, and why: ``changed``, ``name or revision only``, ``new`` or ``withdrawn``."""

    path: str
    why: str


def reissues(old: Version, new: Version, areas: Sequence[AreaChange]) -> tuple[tuple[Reissue, ...], tuple[str, ...]]:
    """Return the files that differ, and those kinds of files that only one side has, which are not compared."""
    found = [*_layers(old, new, areas), *_models(old, new)]
    was, now = _sheets(old), _sheets(new)
    both = {_kind(p) for p in was} & {_kind(p) for p in now}
    for path in sorted({*was, *now}):
        if _kind(path) in both:
            if path not in was or path not in now:
                found.append(Reissue(path, NEW if path in now else GONE))
            elif was[path] != now[path] and (why := _differs(path, was[path], now[path], old, new)):
                found.append(Reissue(path, why))
    single = sorted({_kind(p) for p in was} ^ {_kind(p) for p in now})
    return tuple(found), tuple(single)


def _sheets(version: Version) -> dict[str, bytes]:
    return {
        path: data
        for path, data in version.files.items()
        if path.endswith(READ) and not path.startswith(("layers/", "report")) and path not in NOT_ISSUED
    }


def _kind(path: str) -> str:
    """Return what a file belongs to: its folder and ending, such as ``drawings/*.pdf``."""
    folder, _, name = path.rpartition("/")
    return f"{folder}/*.{name.rpartition('.')[2]}" if folder else name


# ------------------------------------------------------------------ layers and models
def _layers(old: Version, new: Version, areas: Sequence[AreaChange]) -> Iterator[Reissue]:
    """Yield the files of layers: region or depths differ, or the name and revision that they carry do."""
    changed = {(a.part, a.layer) for a in areas}
    revised = _heading(old) != _heading(new)
    for key, cut in new.cuts.items():
        if key not in old.cuts:
            yield Reissue(cut.file, NEW)
        elif key in changed or revised:
            yield Reissue(cut.file, CHANGED if key in changed else TITLE)
    yield from (Reissue(cut.file, GONE) for key, cut in old.cuts.items() if key not in new.cuts)
    if changed or revised:
        yield Reissue(ALL_LAYERS, CHANGED if changed else TITLE)


def _models(old: Version, new: Version) -> Iterator[Reissue]:
    """Yield the STEP files, of parts that differ and of the assembly."""
    was, now = _parts(old), _parts(new)
    revised = _heading(old) != _heading(new)
    whole = False
    for name in now | was:
        if name not in now or name not in was:
            whole = True
            yield Reissue(f"{name}.step", NEW if name in now else GONE)
        elif now[name] != was[name] or revised:
            changed = now[name] != was[name]
            whole |= changed
            yield Reissue(f"{name}.step", CHANGED if changed else TITLE)
    if whole or revised:
        yield Reissue("assembly.step", CHANGED if whole else TITLE)


def _parts(version: Version) -> dict[str, Any]:
    """Return what the model of every part shows: shape, material, place; and the regions of its layers."""
    keys = ("thickness_mm", "rim_break_mm", "seat_z_mm", "volume_mm3", "centre_of_mass_mm", "profile", "material")
    return {part["name"]: [part[k] for k in keys] for part in version.report["parts"]}


# ------------------------------------------------------------------ sheets
def _differs(path: str, old: bytes, new: bytes, was: Version, now: Version) -> str:
    """Return why two files are not the same; empty if they show the same."""
    tell = _pages if path.endswith(".pdf") else _lines
    a, b = tell(old), tell(new)
    left, came = a - b, b - a
    if not left and not came:
        return ""
    if _heading(was) == _heading(now):
        return CHANGED
    drawn = f"{path[:-4]}.pdf"
    if path.endswith(".dxf") and drawn in was.files and drawn in now.files:  # the same sheet in another form
        return _differs(drawn, was.files[drawn], now.files[drawn], was, now) or CHANGED
    plain = _without(_heading(was)), _without(_heading(now))
    same = Counter(map(plain[0], _said(left))) == Counter(map(plain[1], _said(came)))
    return TITLE if same else CHANGED


def _said(lines: Counter[str]) -> Iterator[str]:
    """Yield lines but those of unnamed paths: a longer title makes tables wider, and what is told still stands."""
    return (line for line in lines.elements() if f" {PATH}  " not in line)


def _heading(version: Version) -> tuple[str, ...]:
    """Return what every sheet carries: title, name and revision."""
    return tuple(str(version.report[key]) for key in ("title", "name", "revision"))


def _without(words: Sequence[str]) -> Callable[[str], str]:
    """Return a function that takes words, where they stand for themselves, out of a text; the longest first."""
    found = [re.escape(w) for w in sorted(words, key=len, reverse=True) if w]
    pattern = re.compile(rf"(?<!\w)(?:{'|'.join(found)})(?!\w)") if found else None
    return lambda text: pattern.sub("", text) if pattern else text


def _lines(data: bytes) -> Counter[str]:
    return Counter(data.decode("utf-8", errors="replace").splitlines())


def _pages(data: bytes) -> Counter[str]:
    """Return what the pages of a PDF show, each thing with its place; all bytes for a file that cannot be read."""
    try:
        pages = read_pdf(data)
    except PdfError:
        return Counter((data.hex(),))
    return Counter(line for number, page in enumerate(pages) for line in _page(number, page))


def _page(number: int, page: ReadPage) -> Iterator[str]:
    yield f"{number} page {page.size_mm[0]:.{DIGITS}f} {page.size_mm[1]:.{DIGITS}f}"
    for text in page.texts:
        # where a line of text begins depends on how long it is, so a word that differs alone must not shift the rest
        yield f"{number} text {text.at[1]:.1f} {text.text.strip()}"
    for path in (*page.paths, *page.windows):
        ways = sorted(",".join(f"{p[0]:z.{DIGITS}f} {p[1]:z.{DIGITS}f}" for p in way.points) for way in path.ways)
        yield f"{number} {PATH} {path.name} {path.paint} {';'.join(ways)}"
