"""The order of operations as a table: layer, what is done, cutter, depths, passes, speed, feed, minutes."""

from __future__ import annotations

from math import pi
from typing import Final

from generator.base.cutting import CARBIDE, sources_of
from generator.base.units import INCH, LengthUnit, decimal
from generator.estimate.operations import CHAMFERED, DRILLED, REAMED, ROUND
from generator.estimate.setup_steps import LayerWork, SetupStep
from generator.estimate.times import Minutes, kind_of_part
from generator.paper.letters import LEAST_MM, width_mm
from generator.paper.ruled import Cell, Column, Row, Ruled, Said, cell, width_for
from generator.paper.setup.drawn_marks import marks_of
from generator.paper.setup.marks import draw_mark
from generator.paper.setup.subject import Subject
from generator.paper.sheet import Easel
from generator.recipe.model_holding import SKIN, TABS, Holding

__all__ = ["StepFigures", "figures_of", "how_reckoned", "steps_table"]

BIG: Final = 3.5
MOST_MORE: Final = 26.0
"""What else is said of a step is broken where it would be wider than this, mm."""
MARK, CUTTER, TIME, LEAST_FILE = 9.8, 38.0, 12.0, 22.0
"""Widths of columns, mm; those of figures are as wide as their figures."""
TOO_SHORT: Final = "TOO SHORT for this depth"
FEET_PER_M: Final = 1.0 / 0.3048
BORED: Final = {
    DRILLED: "drills at half of an end mill's vc, 0.01 D a revolution",
    REAMED: "reamers at 0.08 of it, 0.02 D a revolution",
}


class StepFigures:
    """The figures of a step as the table tells them; the proof reads them back."""

    def __init__(self, subject: Subject, s: SetupStep) -> None:
        start, unit = s.step.start, subject.unit
        self.mark = s.mark
        self.depth = f"{subject.figure(s.from_mm)} – {subject.figure(s.to_mm)}"
        self.passes = _passes(subject, s)
        self.speed = f"{start.speed_rpm:.0f}"
        self.feed = feed_text(start.feed_mm_min, unit)


def figures_of(subject: Subject) -> tuple[StepFigures, ...]:
    """Return the figures of every step, in the order of the table."""
    return tuple(StepFigures(subject, s) for w in subject.works for s in w.steps)


def feed_text(feed_mm_min: float, unit: LengthUnit) -> str:
    """Return a feed as told: whole mm a minute, tenths of an inch."""
    return f"{feed_mm_min / INCH.mm:.1f}" if unit is INCH else f"{feed_mm_min:.0f}"


def _passes(subject: Subject, s: SetupStep) -> str:
    """Return number and depth of the passes; nothing for a chamfer, which is cut at one height."""
    start, op = s.step.start, s.step.operation
    if op.done == CHAMFERED:
        return "1"
    if start.passes == 1:
        return f"1 × {subject.figure(s.to_mm - s.from_mm)}"
    return f"{start.passes} × {subject.figure(start.step_down_mm)}"


def steps_table(subject: Subject, width_mm_: float) -> Ruled:
    """Return the table for a sheet's width; the file's name takes what is left."""
    told, suffix = figures_of(subject), subject.unit.suffix
    per = "in / min" if subject.unit is INCH else "mm / min"
    heads = (f"depth from – to, {suffix}", f"passes × depth, {suffix}", "speed, 1/min", f"feed, {per}")
    figures = zip(heads, zip(*((t.depth, t.passes, t.speed, t.feed) for t in told), strict=True), strict=False)
    wide = [width_for(head, texts) for head, texts in figures] or [20.0] * len(heads)
    steps = [(w, s) for w in subject.works for s in w.steps]
    more = min(MOST_MORE, width_for("", (_more(subject, w, s) for w, s in steps), LEAST_MM))
    done = max(more, width_for("what is done", (_done(s) for _, s in steps)))
    file = max(LEAST_FILE, width_mm_ - MARK - done - CUTTER - TIME - sum(wide))
    cutter = width_mm_ - MARK - done - TIME - sum(wide) - file
    columns = (
        Column("No.", MARK, "middle"),
        Column("file in layers, .dxf", file),
        Column("what is done", done),
        Column("cutter", cutter),
        *(Column(h, w, "middle" if k < 2 else "end") for k, (h, w) in enumerate(zip(heads, wide, strict=True))),
        Column("min.", TIME, "end"),
    )
    return Ruled(columns, tuple(_row(subject, w, file, done, cutter) for w in subject.works))


def _row(subject: Subject, work: LayerWork, file_mm: float, done_mm: float, cutter_mm: float) -> Row:
    number = work.number

    def draw(easel: Easel, middle: tuple[float, float]) -> None:
        draw_mark(easel, number, middle)

    name = Cell(tuple(Said(t, LEAST_MM) for t in _broken(subject.files[work.layer.name], file_mm - 2.2)))
    each = tuple(_step(subject, work, s, done_mm, cutter_mm) for s in work.steps) or (
        (Cell((Said("see the layer's note"),)),),
    )
    return Row((Cell(draw=draw), name), each)


def _step(subject: Subject, work: LayerWork, s: SetupStep, done_mm: float, cutter_mm: float) -> tuple[Cell, ...]:
    told = StepFigures(subject, s)
    more = _more(subject, work, s)
    return (
        cell(Said(_done(s), BIG), *((Said(more, LEAST_MM),) if more else ()), width_mm=done_mm),
        _cutter(subject, s, cutter_mm),
        Cell((Said(told.depth),)),
        Cell((Said(told.passes),)),
        Cell((Said(told.speed, BIG),)),
        Cell((Said(told.feed, BIG),)),
        Cell(tuple(Said(t, LEAST_MM) for t in _minutes(s.step.minutes))),
    )


def _more(subject: Subject, work: LayerWork, s: SetupStep) -> str:
    """Return how many holes or seats a step makes and which by the drawing's marks, or what it leaves standing."""
    op, marks = s.step.operation, marks_of(subject, s.step.operation.features)
    many = f"{op.count} holes {marks}" if op.count > 1 else marks
    if work.layer.name == subject.part.layer and op.done == ROUND:
        many = _left_standing(subject)
    if op.done == CHAMFERED:
        many = f"{op.count} seats {marks}" if op.count > 1 else f"{subject.unit.length(op.width_mm)} × 45° {marks}"
    return many.strip()


def _left_standing(subject: Subject) -> str:
    """Return what the last cut of the cover leaves standing, in a few words."""
    held = subject.recipe.holding
    if not subject.is_cover or not isinstance(held, Holding):
        return ""
    skin = f"leave {subject.figure(held.thickness)} skin"
    return {TABS: f"leave {len(held.at) or held.count} tabs", SKIN: skin}.get(held.by, "")


def _done(s: SetupStep) -> str:
    """Return what is done, behind the step's letter where its layer has several."""
    letter = s.mark.lstrip("0123456789")
    return f"{letter} {s.step.operation.done}" if letter else s.step.operation.done


def _cutter(subject: Subject, s: SetupStep, wide: float) -> Cell:
    op = s.step.operation
    kind = {"chamfer cutter": "chamfer"}.get(op.kind, op.kind)
    first = f"⌀{subject.figure(op.diameter_mm)} {kind}"
    big = width_mm(first, BIG) <= wide - 2.3
    teeth = f"{op.teeth} edge{'s' if op.teeth > 1 else ''}"
    name = f"{op.tool or 'assumed'}, {teeth}"
    if not big:
        first, name = first.removesuffix(f" {kind}"), f"{kind}, {op.tool or 'assumed'}"
    lines = list(cell(Said(first, BIG), width_mm=wide).lines)
    lines += cell(Said(name, LEAST_MM, not op.tool), width_mm=wide).lines
    if op.is_short:
        lines += cell(Said(TOO_SHORT, LEAST_MM, True), width_mm=wide).lines
    return Cell(tuple(lines))


def _minutes(span: Minutes) -> tuple[str, ...]:
    """Return least and most minutes in two lines: whole ones, or tenths below ten."""
    digits = 0 if span.most >= 10.0 else 1
    low, high = f"{span.least:.{digits}f}", f"{span.most:.{digits}f}"
    return (low,) if low == high else (f"{low} to", high)


def _broken(name: str, room_mm: float) -> list[str]:
    """Return a file's name in lines, broken behind its hyphens and underscores, else anywhere."""
    pieces: list[str] = [""]
    for char in name:
        pieces[-1] += char
        if char in "-_":
            pieces.append("")
    out = [""]
    for piece in pieces:
        if out[-1] and width_mm(out[-1] + piece, LEAST_MM) > room_mm:
            out.append("")
        for char in piece:
            if out[-1] and width_mm(out[-1] + char, LEAST_MM) > room_mm:
                out.append("")
            out[-1] += char
    return [t for t in out if t]


def how_reckoned(subject: Subject) -> list[str]:
    """Return how speeds and feeds are reckoned, from what, cutter by cutter, in sentences."""
    recipe, kind = subject.recipe, kind_of_part(subject.recipe, subject.part)
    inch = subject.unit is INCH
    formula = "n = 1000 vc / (π D), feed = n z fz (vc m/min, D and fz mm)"
    if inch:
        formula = "n = 12 vc / (π D), feed = n z fz (vc ft/min, D and fz inches)"
    top, per = feed_text(recipe.making.feed, subject.unit), "in/min" if inch else "mm/min"
    steps = [s for w in subject.works for s in w.steps]
    each = "; ".join(dict.fromkeys(_cuts(subject, s) for s in steps))
    out = [
        f"Speeds and feeds to start with: {formula}, z cutting edges. By the slowest of the charts for a {CARBIDE} in "
        f"{kind} ({sources_of(kind)}), no more than {recipe.making.spindle:.0f} 1/min and {top} {per} of the machine. "
        "The maker of the cutter knows better; so do the ears at the machine.",
        f"{each}.",
        "Time: estimate, least to most, without setting up and tool changes.",
    ]
    done = {s.step.operation.done for s in steps}
    own = [text for what, text in BORED.items() if what in done]
    if own:
        out[1] += f" From memory: {'; '.join(own)}."
    return out


def _cuts(subject: Subject, s: SetupStep) -> str:
    """Return what a cutter's edge does: cutting speed as the spindle gives it, and feed a tooth."""
    op, start = s.step.operation, s.step.start
    vc = pi * op.diameter_mm * start.speed_rpm / 1000.0
    inch = subject.unit is INCH
    speed = f"{vc * FEET_PER_M:.0f} ft/min" if inch else f"{vc:.0f} m/min"
    fz = decimal(start.feed_tooth_mm / subject.unit.mm, 5 if inch else 4)
    name = op.tool or f"{op.kind} ⌀{subject.figure(op.diameter_mm)}"
    return f"{name}: vc {speed}, z {op.teeth}, fz {fz}"


def assumed(subject: Subject) -> str:
    """Return which cutters were assumed, in a sentence; empty if all are at hand."""
    ops = [s.step.operation for w in subject.works for s in w.steps if not s.step.operation.tool]
    if not ops:
        return ""
    named = dict.fromkeys(f"{op.kind} ⌀{subject.figure(op.diameter_mm)}" for op in ops)
    why = "not among the recipe's tools" if subject.recipe.tools else "the recipe names no tools"
    return f"ASSUMED CUTTERS ({why}): {', '.join(named)}. With others, speeds, feeds and passes are others."
