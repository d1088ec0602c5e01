"""A blank caliper sheet for a footprint: readings to fill in, those that help most first, and a numbered picture."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from itertools import count
from math import cos, hypot, pi, sin
from pathlib import Path
from shlex import quote
from typing import Any, Final

import numpy as np

from generator.base.errors import GeometryError, OutputError
from generator.base.frozen_record import frozen_record
from generator.base.paper_sizes import format_of
from generator.base.units import decimal
from generator.base.whole_files import write_together
from generator.build.judge import check
from generator.outline.contour import Contour, Point, Segment
from generator.outline.measure import signed_area
from generator.outputs.dxf_document import one_line
from generator.outputs.footprint.figures import SCHEMA
from generator.outputs.footprint.sheet_svg import sheet_svg
from generator.outputs.raster import rasterise
from generator.paper.caliper_sheet import Ends, Row, Shown, caliper_sheet
from generator.paper.pdf import pdf_bytes
from generator.recipe.model_caliper import CENTRES, DIAMETER, RADIUS, THICKNESS, WIDTH
from generator.trace.advice import direction_words

__all__ = ["CaliperFiles", "caliper_files"]

DPI: Final = 150
MOST_ROWS: Final = 14
"""On one sheet."""
LYING_UNDER: Final = ("card", "a4")
"""References of photos, in which a part's thickness shows."""


@frozen_record
class CaliperFiles:
    """What was written: folder, names, and a sentence for the person where there is one."""

    folder: Path
    files: tuple[str, ...]
    remark: str = ""


@frozen_record
class _Wanted:
    """A reading to be taken, or one that was: what stands in the sheet."""

    id: str
    kind: str
    what: str
    numbers: tuple[int, ...] = ()
    holes: tuple[tuple[float, ...], ...] = ()
    direction_px_deg: float | None = None
    value: float | None = None
    gain: str = ""
    again: str = ""
    along: Ends | None = None
    touched: Ends | None = None


@frozen_record
class _Subject:
    """A footprint with what is to be measured on it."""

    name: str
    shown: tuple[Shown, ...]
    wanted: tuple[_Wanted, ...]
    command: str
    sigma: float = 0.015
    resolution: float = 0.01
    remark: str = ""


def caliper_files(path: str, *, out: str, paper: str = "A4") -> CaliperFiles:
    """Write the blank sheet for a traced footprint, a recipe on one, or any recipe.

    Args:
        path: ``NAME.footprint.yaml``, ``NAME.trace.json`` or a recipe.
        out: folder.
        paper: sheet in the printer.

    Raises: RecipeError: the recipe is wrong. GeometryError: it has no footprint. OutputError: the folder refuses, or
        there is a sheet already, which may be filled in.
    """
    subject = _subject(path)
    folder = Path(out)
    sheet = f"{subject.name}.caliper.yaml"
    if (folder / sheet).exists():
        raise OutputError(
            f"{folder / sheet} is already there, perhaps filled in; move it away or choose another --out, nothing was "
            "overwritten"
        )
    rows = [
        Row(
            w.id,
            f"{w.what}; {w.again}" if w.again else w.what,
            "" if w.value is None else _plain(w.value),
            w.along,
            w.touched,
        )
        for w in subject.wanted
    ]
    if len(rows) > MOST_ROWS:  # what was read already stands in the file
        rows = [r for r in rows if not r.value][:MOST_ROWS]
    page = caliper_sheet(format_of(paper), subject.name, "mm", subject.shown, rows)
    files = {
        sheet: _yaml(subject).encode(),
        f"{subject.name}.caliper.pdf": pdf_bytes([page], title=f"caliper sheet {subject.name}"),
        f"{subject.name}.caliper.png": rasterise(sheet_svg(page), dpi=DPI),
    }
    try:
        write_together(folder, files)
    except OSError as error:
        raise OutputError(f"{out}: the caliper sheet cannot be written ({error.strerror or error})") from error
    return CaliperFiles(folder, tuple(files), subject.remark)


# ------------------------------------------------------------------ what is measured
def _subject(path: str) -> _Subject:
    beside = _figures_beside(path)
    if beside is not None:
        return _traced(beside)
    _demand_no_readings(path)
    checked = check(path)
    for file in checked.reading.files:
        beside = _figures_beside(file.name)
        if beside is not None:
            return _traced(beside)
    if checked.plan is None:
        raise GeometryError(f"{path}: its outline cannot be drawn; `coverplate check` says why")
    holes = [(b.at, b.hole_mm) for b in checked.plan.bolts]
    outline = max(checked.plan.footprint.contours, key=signed_area)
    return _drawn(checked.reading.recipe.name, outline, [(p[0], p[1], d) for p, d in holes])


def _demand_no_readings(path: str) -> None:
    """Refuse a file of readings, which is what is written here.

    Raises: GeometryError: it is one.
    """
    try:
        with open(path, "rb") as handle:
            lines = handle.read(100_000).splitlines()
    except OSError:
        return  # the reader of recipes says what is wrong
    if any(line.startswith(b"readings:") for line in lines):
        raise GeometryError(
            f"{path}: this is a file of caliper readings; give the footprint that the sheet is for: "
            "NAME.footprint.yaml of a trace, or a recipe"
        )


def _figures_beside(path: str) -> dict[str, Any] | None:
    """Return the figures of the trace that a file of recipe lines came from."""
    file = Path(path)
    if file.name.endswith(".trace.json"):
        figures = file
    elif file.name.endswith(".footprint.yaml"):
        figures = file.with_name(file.name.removesuffix(".footprint.yaml") + ".trace.json")
    else:
        return None
    try:
        data = json.loads(figures.read_bytes())
        known = isinstance(data, dict) and data.get("schema") == SCHEMA
    except (OSError, ValueError):
        return None
    return data if known else None


def _traced(data: dict[str, Any]) -> _Subject:
    """Return what a trace's figures say is to be measured: again what is doubtful, what helps, then what was read."""
    shown = tuple(_shown(f) for f in data["features"])
    caliper = data["caliper"]
    ids = {r["id"] for r in caliper["readings"]}
    doubtful = [r for r in caliper["readings"] if r.get("doubtful")]
    again = [_taken_again(r, shown, level) for level, r in enumerate(doubtful, 1)]
    done = [_done(r) for r in caliper["readings"] if r not in doubtful]
    fresh = (f"r{n}" for n in count(1) if f"r{n}" not in ids)
    more: list[_Wanted] = []
    for w in data["to_measure"]:
        if any(w["kind"] == r["kind"] and set(w["numbers"]) == set(r.get("numbers", ())) for r in doubtful):
            continue  # it is among those to be read again
        more.append(_to_take(next(fresh), w, shown, len(again) + len(more) + 1))
    holes = [s for s in shown if s.radius_mm and s.is_open]
    if holes and not any(w.kind == DIAMETER for w in (*again, *more, *done)):
        more.append(_diameter(next(fresh), max(holes, key=lambda s: s.radius_mm), shown))
    if data["reference"] in LYING_UNDER and not any(w.kind == THICKNESS for w in (*again, *done)):
        more.append(_Wanted("t1", THICKNESS, "the thickness of the plate"))
    images = " ".join(quote(one_line(i)) for i in data["images"])
    name = data["name"]
    reference = "" if data["reference"] == "scan" else f" --reference {data['reference']}"
    options = "".join(f" {quote(str(word))}" for word in data.get("options", []))
    command = f"coverplate trace {images}{reference}{options} --readings {name}.caliper.yaml --name {name}"
    remark = "" if again or more else "what was read is enough: no further reading would change a figure that is told"
    sheet = (*again, *more, *done)
    return _Subject(name, shown, sheet, command, float(caliper["sigma"]), float(caliper["resolution"]), remark)


def _shown(f: dict[str, Any]) -> Shown:
    is_open = f["loop"] > 0
    if f["kind"] == "circle":
        at = (f["centre"][0], f["centre"][1])
        return Shown(f["number"], at, at, 0.0, f["radius"], is_open)
    return Shown(f["number"], tuple(f["start"]), tuple(f["end"]), f["bulge"], 0.0, is_open)


def _as_taken(r: dict[str, Any]) -> _Wanted:
    """Return what a reading was taken of, without its value."""
    what = r.get("what") or r["kind"].replace("_", " ")
    holes = tuple(tuple(p) for p in r["holes"])
    return _Wanted(r["id"], r["kind"], what, tuple(r.get("numbers", ())), holes, r["direction_px_deg"])


def _done(r: dict[str, Any]) -> _Wanted:
    """Return a reading that stands as it was taken."""
    w = _as_taken(r)
    return replace(w, what=f"{w.what}; read already", value=r["value"])


def _taken_again(r: dict[str, Any], shown: Sequence[Shown], level: int) -> _Wanted:
    """Return a doubtful reading as one to be taken again; a width is drawn beside the part at a level, from 1."""
    w = _as_taken(r)
    along, touched = None, None
    if w.kind not in (RADIUS, THICKNESS):
        along, touched = _ends(w.kind, w.numbers, r["direction_rad"], shown, level)
    why = f"{_plain(r['value'])} was read, but {r['doubtful']}"
    return replace(w, what=f"again: {w.what}", again=why, along=along, touched=touched)


def _diameter(name: str, hole: Shown, shown: Sequence[Shown]) -> _Wanted:
    ends = _ends(DIAMETER, (hole.number,), None, shown, 1)[0]
    what = f"the diameter of hole {hole.number}"
    gain = "it tells where edges are seen, and centres from readings over holes"
    return _Wanted(name, DIAMETER, what, (hole.number,), gain=gain, along=ends)


def _plain(value: float) -> str:
    """Return a reading as a display shows it: two decimals, more only where there are more."""
    text = decimal(value, 4)
    return text if len(text.partition(".")[2]) > 2 else f"{value:.2f}"


def _to_take(name: str, w: dict[str, Any], shown: Sequence[Shown], level: int) -> _Wanted:
    before, after = w["outline_95_before"], w["outline_95_after"]
    return _Wanted(
        name,
        w["kind"],
        w["what"],
        tuple(w["numbers"]),
        tuple(tuple(p) for p in w["holes"]),
        w["direction_px_deg"],
        None,
        f"the outline's uncertainty falls from {before:.3f} to {after:.3f} mm",
        "",
        *_ends(w["kind"], w["numbers"], w["direction_rad"], shown, level),
    )


def _ends(
    kind: str, numbers: Sequence[int], direction: float | None, shown: Sequence[Shown], level: int
) -> tuple[Ends, Ends | None]:
    """Return from where to where a reading goes, and what the jaws touch if it is drawn beside the part, mm.

    Args:
        kind: of the reading.
        numbers: of the features that are named.
        direction: of a width, rad.
        shown: the edges.
        level: how far beside the part a width is drawn, from 1.
    """
    named = [s for s in shown if s.number in numbers]
    if kind == WIDTH:
        assert direction is not None
        return _width_ends(direction, shown, level)
    if kind == DIAMETER:
        (x, y), r = named[0].start, named[0].radius_mm
        c, s = cos(0.6), sin(0.6)
        return ((x - r * c, y - r * s), (x + r * c, y + r * s)), None
    (ax, ay), (bx, by) = named[0].start, named[1].start
    far = max(hypot(bx - ax, by - ay), 1e-9)
    u, v = (bx - ax) / far, (by - ay) / far
    beyond = (0.0, 0.0) if kind == CENTRES else (named[0].radius_mm, named[1].radius_mm)
    return ((ax - beyond[0] * u, ay - beyond[0] * v), (bx + beyond[1] * u, by + beyond[1] * v)), None


def _width_ends(direction: float, shown: Sequence[Shown], level: int) -> tuple[Ends, Ends]:
    c, s = cos(direction), sin(direction)
    places = np.array([p for one in shown if not one.is_open for p in _edge_places(one)])
    along, across = places @ np.array([c, s]), places @ np.array([-s, c])
    beside = float(across.min()) - (0.06 + 0.05 * level) * float(np.ptp(places, axis=0).max())
    low, high = (int(i) for i in (along.argmin(), along.argmax()))
    a, b = ((along[i] * c - beside * s, along[i] * s + beside * c) for i in (low, high))
    touched = [(float(places[i][0]), float(places[i][1])) for i in (low, high)]
    return ((float(a[0]), float(a[1])), (float(b[0]), float(b[1]))), (touched[0], touched[1])


def _edge_places(s: Shown) -> list[tuple[float, float]]:
    if s.radius_mm:
        turns = np.arange(0.0, 2.0 * pi, pi / 90.0)
        return [(s.start[0] + s.radius_mm * cos(t), s.start[1] + s.radius_mm * sin(t)) for t in turns]
    piece = Segment(Point(*s.start), Point(*s.end), s.bulge)
    if not piece.is_arc:
        return [s.start, s.end]
    c, r = piece.centre, piece.radius_mm
    begin = np.arctan2(s.start[1] - c.y, s.start[0] - c.x)
    return [(c.x + r * cos(a), c.y + r * sin(a)) for a in begin + piece.sweep * np.linspace(0.0, 1.0, 65)]


def _drawn(name: str, outline: Contour, holes: Sequence[tuple[float, float, float]]) -> _Subject:
    """Return what is to be measured of a footprint that was not traced: its longest dimensions first."""
    shown = [
        Shown(i, (v.x, v.y), (w.x, w.y), v.bulge)
        for i, (v, w) in enumerate(zip(outline.vertices, [*outline.vertices[1:], outline.vertices[0]], strict=True), 1)
    ]
    shown += [Shown(len(shown) + k, (x, y), (x, y), 0.0, d / 2.0, True) for k, (x, y, d) in enumerate(holes, 1)]
    wanted: list[_Wanted] = []
    widths = [(turn, _width_ends(turn, shown, 1)) for turn in (0.0, pi / 2.0)]
    for turn, width in sorted(widths, key=lambda w: -round(_length(w[1][0]), 6)):
        what = f"the width over everything {direction_words(turn)}"
        wanted.append(_Wanted(f"r{len(wanted) + 1}", WIDTH, what, along=width[0], touched=width[1]))
    open_ones = [s for s in shown if s.is_open]
    pairs = [(a, b) for k, a in enumerate(open_ones) for b in open_ones[k + 1 :]]
    pairs.sort(key=lambda p: -round(hypot(p[0].start[0] - p[1].start[0], p[0].start[1] - p[1].start[1]), 6))
    for a, b in pairs[:2]:
        numbers = (a.number, b.number)
        what = f"the centre distance of holes {a.number} and {b.number}"
        ends = _ends(CENTRES, numbers, None, shown, 1)[0]
        wanted.append(_Wanted(f"r{len(wanted) + 1}", CENTRES, what, numbers, along=ends))
    wanted += [_diameter(f"r{len(wanted) + 1}", s, shown) for s in open_ones[:1]]
    wanted.append(_Wanted("t1", THICKNESS, "the thickness of the plate, for a photo; a scan needs none"))
    remark = (
        "this footprint was not traced: its numbers are those of this picture alone. When it is traced, take the "
        "numbers of the trace's overlay"
    )
    command = f"coverplate trace IMAGE --readings {name}.caliper.yaml --name {name}"
    return _Subject(name, tuple(shown), tuple(wanted), command, remark=remark)


def _length(ends: Ends) -> float:
    return hypot(ends[1][0] - ends[0][0], ends[1][1] - ends[0][1])


# ------------------------------------------------------------------ the file to fill in
def _yaml(subject: _Subject) -> str:
    lines = [
        f"# Caliper sheet for {subject.name}. Put in what the caliper shows behind `value:`; what stays empty is",
        "# passed over. The picture beside this file shows where. Then:",
        f"#   {subject.command}",
    ]
    if subject.remark:
        lines.append(f"# Note: {subject.remark}.")
    lines += [
        "units: mm  # or inch; a value may carry its own unit: 0.2165 in",
        f"sigma: {decimal(subject.sigma, 4)}  # standard deviation of one reading, half of what 95 % keep within",
        f"resolution: {decimal(subject.resolution, 4)}  # smallest step of the display",
        "readings:",
    ]
    for w in subject.wanted:
        gain = "".join(f"; {why}" for why in (w.gain, w.again) if why)
        lines.append(f"  # {one_line(w.what + gain)}")
        lines.append(f"  - id: {w.id}")
        lines.append(f"    kind: {w.kind}")
        lines.append(f"    value:{'' if w.value is None else f' {_plain(w.value)}'}")
        if w.holes:
            pixels = ", ".join(f"[{decimal(p[0], 1)}, {decimal(p[1], 1)}]" for p in w.holes)
            numbers = f"  # {' and '.join(map(str, w.numbers))} in the picture" if w.numbers else ""
            lines.append(f"    holes: [{pixels}]{numbers}")
        elif w.numbers and w.kind != WIDTH:
            lines.append(f"    numbers: [{', '.join(map(str, w.numbers))}]")
        if w.kind == WIDTH:
            turn = "" if w.direction_px_deg is None else f" {decimal(w.direction_px_deg, 2)}"
            lines.append(f"    direction_px_deg:{turn}  # in the picture: 0 to the right, 90 down")
    return "\n".join(lines) + "\n"
