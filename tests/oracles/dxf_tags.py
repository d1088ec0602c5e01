"""A reader of DXF that knows nothing but the group codes; independent of every DXF library.

Source: DXF reference, group codes of HEADER, LWPOLYLINE and CIRCLE.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise
from math import atan, cos, hypot, pi, sin


@dataclass
class TagEntity:
    kind: str
    layer: str = ""
    flags: int = 0
    points: list[list[float]] = field(default_factory=list)  # x, y, bulge
    radius: float = 0.0
    others: list[tuple[int, str]] = field(default_factory=list)

    def signed_area(self) -> float:
        """Area by the trapezium rule plus circular segments, from the bulges; positive counter-clockwise."""
        if self.kind == "CIRCLE":
            return pi * self.radius**2
        total = 0.0
        for (x0, y0, b), (x1, y1, _) in pairwise([*self.points, self.points[0]]):
            total += (x0 * y1 - x1 * y0) / 2.0
            if b:
                sweep = 4.0 * atan(b)
                r = hypot(x1 - x0, y1 - y0) / (2.0 * sin(abs(sweep) / 2.0))
                total += r * r * (sweep - sin(sweep)) / 2.0
        return total

    def facets(self, per_arc: int = 64) -> list[tuple[float, float]]:
        """Points along the outline."""
        if self.kind == "CIRCLE":
            cx, cy, _ = self.points[0]
            steps = [2.0 * pi * i / per_arc for i in range(per_arc)]
            return [(cx + self.radius * cos(t), cy + self.radius * sin(t)) for t in steps]
        out = []
        for (x0, y0, b), (x1, y1, _) in pairwise([*self.points, self.points[0]]):
            out += [(x0, y0)] if not b else _arc_points(x0, y0, x1, y1, b, per_arc)
        return out


def _arc_points(x0: float, y0: float, x1: float, y1: float, b: float, n: int) -> list[tuple[float, float]]:
    """Points from the start (included) to the end (excluded), by turning the start about the centre."""
    k = (1.0 - b * b) / (4.0 * b)
    cx, cy = (x0 + x1) / 2.0 - k * (y1 - y0), (y0 + y1) / 2.0 + k * (x1 - x0)
    turn = 4.0 * atan(b) / n
    out = []
    for i in range(n):
        c, s = cos(i * turn), sin(i * turn)
        out.append((cx + c * (x0 - cx) - s * (y0 - cy), cy + s * (x0 - cx) + c * (y0 - cy)))
    return out


@dataclass
class TagFile:
    comments: list[str]
    header: dict[str, list[tuple[int, str]]]
    layers: list[str]
    entities: list[TagEntity]
    blocks_with_content: list[str]

    def value(self, name: str) -> str:
        return self.header[name][0][1]

    def properties(self) -> dict[str, str]:
        keys = [v for _, v in self.header.get("$CUSTOMPROPERTYTAG", [])]
        return dict(zip(keys, [v for _, v in self.header.get("$CUSTOMPROPERTY", [])], strict=True))


def read_tags(data: bytes) -> TagFile:
    lines = data.decode("utf-8").split("\n")
    if lines[-1] == "":
        lines.pop()
    assert len(lines) % 2 == 0, "group codes and values come in pairs"
    tags = [(int(lines[i]), lines[i + 1].rstrip("\r")) for i in range(0, len(lines), 2)]
    comments = [v for c, v in tags if c == 999]
    tags = [t for t in tags if t[0] != 999]
    assert tags[-1] == (0, "EOF")
    sections = _sections(tags)
    return TagFile(
        comments,
        _header(sections["HEADER"]),
        [_first(r, 2) for r in _records(sections["TABLES"]) if r[0][1] == "LAYER"],
        [_entity(r) for r in _records(sections["ENTITIES"])],
        _blocks_with_content(sections["BLOCKS"]),
    )


def _sections(tags: list[tuple[int, str]]) -> dict[str, list[tuple[int, str]]]:
    out: dict[str, list[tuple[int, str]]] = {}
    i = 0
    while tags[i] != (0, "EOF"):
        assert tags[i] == (0, "SECTION")
        end = tags.index((0, "ENDSEC"), i)
        out[tags[i + 1][1]] = tags[i + 2 : end]
        i = end + 1
    return out


def _header(tags: list[tuple[int, str]]) -> dict[str, list[tuple[int, str]]]:
    out: dict[str, list[tuple[int, str]]] = {}
    name = ""
    for code, value in tags:
        if code == 9:
            name = value
            out.setdefault(name, [])
        else:
            out[name].append((code, value))
    return out


def _records(tags: list[tuple[int, str]]) -> list[list[tuple[int, str]]]:
    out: list[list[tuple[int, str]]] = []
    for tag in tags:
        if tag[0] == 0:
            out.append([])
        out[-1].append(tag)
    return out


def _first(record: list[tuple[int, str]], code: int) -> str:
    return next(v for c, v in record if c == code)


def _entity(record: list[tuple[int, str]]) -> TagEntity:
    made = TagEntity(record[0][1])
    for code, value in record[1:]:
        if code == 8:
            made.layer = value
        elif code == 70:
            made.flags = int(value)
        elif code == 10:
            made.points.append([float(value), 0.0, 0.0])
        elif code == 20:
            made.points[-1][1] = float(value)
        elif code == 42:
            made.points[-1][2] = float(value)
        elif code == 40 and made.kind == "CIRCLE":
            made.radius = float(value)
        elif code not in (5, 330, 100, 90):  # handles, owners, class names, count of vertices
            made.others.append((code, value))
    return made


def _blocks_with_content(tags: list[tuple[int, str]]) -> list[str]:
    out, name = [], ""
    for record in _records(tags):
        kind = record[0][1]
        if kind == "BLOCK":
            name = _first(record, 2)
        elif kind != "ENDBLK":
            out.append(name)
    return out
