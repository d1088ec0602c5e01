"""``drawings/PART.dxf``: the same drawings as DXF, for who wants to measure in them; never to cut from."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import cos, radians, sin, tan

import numpy as np

from generator.outputs.drawings import FOLDER, drawings_of
from generator.outputs.dxf_sheet import SHEET_GAP_MM, coded, sheets_dxf
from generator.outputs.dxf_tags import DxfError, entities
from generator.outputs.output import Files, Output, Proof, Work
from generator.outputs.proofs import count_proof
from generator.paper.drawing.drawing import Drawing
from generator.paper.drawing.scales import scale_word
from generator.paper.sheet import Letters
from generator.part.part import Part, Plan

__all__ = ["OUTPUT"]

SAME_DIGITS = 3
ONE_DIGIT = 1.5 * 10.0**-SAME_DIGITS
Key = tuple[float, ...]
Named = Key | tuple[str, Key]
Piece = tuple[float, float, float, float, float]
"""A line or arc: x and y of its ends, and its bulge."""


def write(work: Work) -> Iterator[tuple[str, bytes]]:
    """Yield one file a part."""
    for part, drawing in drawings_of(work):
        yield f"{FOLDER}/{part.name}.dxf", _file(work.plan, part, drawing)


def _file(plan: Plan, part: Part, drawing: Drawing) -> bytes:
    scale = scale_word(drawing.scale)
    comments = [
        f"{plan.name}, {part.name}, revision {plan.revision}: drawing, lengths in mm on paper, views at {scale}.",
        "For looking and measuring. Cut from the files of the layers, which have scale 1:1.",
    ]
    properties = {"pack": plan.name, "part": part.name, "revision": plan.revision, "units": "mm", "scale": scale}
    return sheets_dxf(drawing.sheets, comments=comments, properties=properties)


def prove(work: Work, files: Files) -> Iterator[Proof]:
    """Yield the proofs that every file, read back, holds each line and text of its drawing once, and nothing else."""
    drawn = {f"{FOLDER}/{part.name}.dxf": drawing for part, drawing in drawings_of(work)}
    yield count_proof("one file a part and no other", f"{FOLDER}, DXF", len(set(drawn) ^ set(files)))
    for path, drawing in drawn.items():
        if path in files:
            yield count_proof("lines and texts that are not those of the drawing", path, _wrong(files[path], drawing))


def _wrong(data: bytes, drawing: Drawing) -> int:
    """Return how many lines and texts are missing or too many; very many for a file that cannot be read."""
    meant = _meant(drawing)
    try:
        found = _found(data)
    except DxfError:
        return sum(meant.values())
    left, more = list((meant - found).elements()), list((found - meant).elements())
    for key in tuple(left):
        like = next((m for m in more if _alike(key, m)), None)
        if like is not None:
            left.remove(key)
            more.remove(like)
    return len(left) + len(more)


def _meant(drawing: Drawing) -> Counter[Named]:
    """Return the lines, arcs and texts of a drawing, sheets side by side."""
    out: Counter[Named] = Counter()
    pieces: list[Piece] = []
    dx = 0.0
    for sheet in drawing.sheets:
        for item, _ in sheet.flat():
            if isinstance(item, Letters):
                out[coded(item.text), _rounded(item.at[0] + dx, item.at[1], item.height_mm, item.turn_deg)] += 1
            else:
                for track in item.tracks:
                    rows = [*track.vertices, *track.vertices[: int(track.is_closed)]]
                    pieces += [(a.x + dx, a.y, b.x + dx, b.y, a.bulge) for a, b in pairwise(rows)]
        dx += sheet.format.width_mm + SHEET_GAP_MM
    out.update(_keys(pieces))
    return out


def _alike(a: Named, b: Named) -> bool:
    """Return True for the same thing, where figures near a half of the last digit were rounded one up and one down."""
    (a_name, a_key), (b_name, b_key) = _apart(a), _apart(b)
    same = a_name == b_name and len(a_key) == len(b_key)
    return same and all(abs(p - q) < ONE_DIGIT for p, q in zip(a_key, b_key, strict=True))


def _apart(key: Named) -> tuple[str, Key]:
    """Return the text or kind in a key, empty for lines and arcs, and its figures."""
    return (key[0], key[1]) if len(key) == 2 and isinstance(key[0], str) else ("", key)


def _keys(pieces: Sequence[Piece]) -> Iterator[Key]:
    """Yield what is the same for a line or arc drawn either way: its middle and its ends in order."""
    x0, y0, x1, y1, bulge = np.array(pieces).reshape(-1, 5).T
    middle = (x0 + x1 + bulge * (y1 - y0)) / 2.0, (y0 + y1 - bulge * (x1 - x0)) / 2.0
    # a minus before a zero is none
    rows = np.round(np.stack((*middle, x0, y0, x1, y1), axis=1), SAME_DIGITS) + 0.0
    for mx, my, *ends in rows.tolist():
        first, last = tuple(ends[:2]), tuple(ends[2:])
        yield (mx, my, *first, *last) if first <= last else (mx, my, *last, *first)


def _rounded(*values: float) -> Key:
    return tuple(round(v, SAME_DIGITS) + 0.0 for v in values)


def _found(data: bytes) -> Counter[Named]:
    """Return the lines, arcs and texts of a file.

    Raises: DxfError: it cannot be read.
    """
    found: Counter[Named] = Counter()
    pieces: list[Piece] = []
    for item in entities(data):
        n = item.number
        if item.kind == "TEXT":
            # where a text is not set from its left, the second point is the one that counts
            x, y = (n(10), n(20)) if n(72) == 0.0 else (n(11), n(21))
            found[item.text(1), _rounded(x, y, n(40), n(50))] += 1
        elif item.kind == "LINE":
            pieces.append((n(10), n(20), n(11), n(21), 0.0))
        elif item.kind == "CIRCLE":
            pieces += _arcs(n(10), n(20), n(40), (0.0, 180.0, 360.0))
        elif item.kind == "ARC":
            start, end = n(50), n(51)
            pieces += _arcs(n(10), n(20), n(40), (start, end if end > start else end + 360.0))
        elif item.kind == "LWPOLYLINE":
            rows = item.vertices()
            rows += rows[: int(n(70)) & 1]
            pieces += [(a[0], a[1], b[0], b[1], a[2]) for a, b in pairwise(rows)]
        else:
            found[item.kind, (0.0,)] += 1
    found.update(_keys(pieces))
    return found


def _arcs(x: float, y: float, radius: float, angles_deg: tuple[float, ...]) -> Iterator[Piece]:
    """Yield the arcs between angles."""
    for start, end in pairwise(angles_deg):
        a, b = ((x + radius * cos(radians(t)), y + radius * sin(radians(t))) for t in (start, end))
        yield (*a, *b, tan(radians(end - start) / 4.0))


OUTPUT = Output(
    name="drawings-dxf",
    help="The same drawings as DXF, in mm on paper; not to cut from.",
    needs_solid=False,
    write=write,
    prove=prove,
)
