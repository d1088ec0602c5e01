"""``drawings/PART.dxf``: the same drawings as DXF, for who wants to measure in them; never to cut from."""

from __future__ import annotations

import io
from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import pairwise
from math import cos, radians, sin, tan
from typing import Any

from generator.outline.contour import Vertex
from generator.outputs.drawings import FOLDER, drawings_of
from generator.outputs.dxf_sheet import SHEET_GAP_MM, coded, sheets_dxf
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
    meant: Counter[Key | tuple[str, Key]] = Counter()
    x = 0.0
    for sheet in drawing.sheets:
        for item, _ in sheet.flat():
            if isinstance(item, Letters):
                meant[coded(item.text), _rounded(item.at[0] + x, item.at[1], item.height_mm, item.turn_deg)] += 1
            else:
                for track in item.tracks:
                    rows = [*track.vertices, *track.vertices[: int(track.is_closed)]]
                    meant.update(_piece(a, b, x) for a, b in pairwise(rows))
        x += sheet.format.width_mm + SHEET_GAP_MM
    found = _read(data)
    if found is None:
        return sum(meant.values())
    left, more = list((meant - found).elements()), list((found - meant).elements())
    for key in tuple(left):
        like = next((m for m in more if _alike(key, m)), None)
        if like is not None:
            left.remove(key)
            more.remove(like)
    return len(left) + len(more)


def _alike(a: Named, b: Named) -> bool:
    """Return True for the same thing, where figures near a half of the last digit were rounded one up and one down."""
    (a_name, a_key), (b_name, b_key) = _apart(a), _apart(b)
    same = a_name == b_name and len(a_key) == len(b_key)
    return same and all(abs(p - q) < ONE_DIGIT for p, q in zip(a_key, b_key, strict=True))


def _apart(key: Named) -> tuple[str, Key]:
    """Return the text or kind in a key, empty for lines and arcs, and its figures."""
    return (key[0], key[1]) if len(key) == 2 and isinstance(key[0], str) else ("", key)


def _piece(a: Vertex, b: Vertex, dx: float) -> Key:
    """Return what is the same for a line or arc drawn either way: its middle and its ends in order."""
    middle = (a.x + b.x + a.bulge * (b.y - a.y)) / 2.0 + dx, (a.y + b.y - a.bulge * (b.x - a.x)) / 2.0
    ends = sorted((_rounded(a.x + dx, a.y), _rounded(b.x + dx, b.y)))
    return (*_rounded(*middle), *ends[0], *ends[1])


def _rounded(*values: float) -> Key:
    return tuple(round(v, SAME_DIGITS) + 0.0 for v in values)


def _read(data: bytes) -> Counter[Key | tuple[str, Key]] | None:
    """Return the lines, arcs and texts of a file as ezdxf's strict reader gives them; None if it refuses the file."""
    from ezdxf.filemanagement import read
    from ezdxf.lldxf.const import DXFError

    try:
        doc = read(io.StringIO(data.decode("utf-8", errors="surrogateescape")))
    except (DXFError, OSError, ValueError):
        return None
    found: Counter[Key | tuple[str, Key]] = Counter()
    entities: Iterable[Any] = doc.modelspace()
    for item in entities:
        kind, d = item.dxftype(), item.dxf
        if kind == "TEXT":
            at = d.insert if d.get("halign", 0) == 0 else d.align_point
            found[d.text, _rounded(at.x, at.y, d.height, d.rotation)] += 1
        elif kind == "LINE":
            found[_piece(Vertex(d.start.x, d.start.y), Vertex(d.end.x, d.end.y), 0.0)] += 1
        elif kind == "CIRCLE":
            c, r = d.center, d.radius
            found.update(_arc_pieces(c.x, c.y, r, (0.0, 180.0, 360.0)))
        elif kind == "ARC":
            end = d.end_angle if d.end_angle > d.start_angle else d.end_angle + 360.0
            found.update(_arc_pieces(d.center.x, d.center.y, d.radius, (d.start_angle, end)))
        elif kind == "LWPOLYLINE":
            rows = [Vertex(*p) for p in item.get_points("xyb")]
            rows += rows[: int(item.closed)]
            found.update(_piece(a, b, 0.0) for a, b in pairwise(rows))
        else:
            found[kind, (0.0,)] += 1
    return found


def _arc_pieces(x: float, y: float, radius: float, angles_deg: tuple[float, ...]) -> Iterator[Key]:
    """Yield the arcs between angles."""
    for start, end in pairwise(angles_deg):
        a, b = (Vertex(x + radius * cos(radians(t)), y + radius * sin(radians(t))) for t in (start, end))
        yield _piece(Vertex(a.x, a.y, tan(radians(end - start) / 4.0)), b, 0.0)


OUTPUT = Output(
    name="drawings-dxf",
    help="The same drawings as DXF, in mm on paper; not to cut from.",
    needs_solid=False,
    write=write,
    prove=prove,
)
