"""What stands below the picture: the piece of stock, zero, flip axis and dowels, holding; and the table of holes."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.units import INCH, MODEL, with_inches
from generator.estimate.dowel_holes import is_reamed
from generator.estimate.operations import PIN_IN_BED
from generator.outline.measure import bounds
from generator.paper.letters import LEAST_MM
from generator.paper.ruled import Cell, Column, Row, Ruled, Said, cell, width_for
from generator.paper.setup.holes import Bore, Hole, holes_of
from generator.paper.setup.shades import runs_over
from generator.paper.setup.subject import Subject
from generator.paper.setup.zero import pins, zero_xy, zero_z
from generator.paper.sheet import Easel
from generator.paper.words import wrapped
from generator.recipe.model_dowels import Dowels

__all__ = ["Section", "draw_sections", "holes_table", "holes_title", "sections", "sections_height"]

TEXT_MM: Final = 3.5
PITCH_MM: Final = 1.45 * TEXT_MM
GAP_MM: Final = 2.6
MARK_MM: Final = 11.0


@frozen_record
class Section:
    """A heading with sentences."""

    head: str
    sentences: tuple[str, ...]


def sections(subject: Subject) -> tuple[Section, ...]:
    """Return what stands below the picture, in the order of doing it."""
    out = [_stock(subject), Section("Zero of x and y", zero_xy(subject)), Section("Zero of z", (zero_z(subject),))]
    if subject.is_cover and subject.count > 1:
        out.append(_flip(subject))
    holding = _holding(subject)
    if holding:
        out.append(Section("Holding", holding))
    return tuple(out)


def _stock(subject: Subject) -> Section:
    stock, part = bounds(subject.stock), bounds(subject.as_seen(subject.part.profile))
    size = subject.unit.length(stock.width_mm, stock.height_mm, subject.thickness_mm)
    left, right = part.xmin - stock.xmin, stock.xmax - part.xmax
    low, high = part.ymin - stock.ymin, stock.ymax - part.ymax
    room = f"Allowance round the part: {_both(subject, left, right)} along x, {_both(subject, low, high)} along y."
    out = [f"{size}, {subject.part.material.name}; may be larger along x and y.", room]
    if subject.is_cover:
        given = subject.recipe.cover.stock
        if given.measured is not None:
            out.append("Thickness as measured, no allowance.")
        elif given.tolerance:
            off = subject.figure(given.tolerance)
            out.append(f"Thickness ±{off}, no allowance: measure it.")
    else:
        out.append("Thickness of the sheet, no allowance.")
    return Section("Stock", tuple(out))


def _both(subject: Subject, a: float, b: float) -> str:
    low, high = subject.figure(a), subject.figure(b)
    return low if low == high else f"{low} and {high}"


def _flip(subject: Subject) -> Section:
    flip, dowels = subject.plan.flip, subject.recipe.dowels
    across = "x" if flip.direction == "y" else "y"
    change = "left and right" if flip.direction == "y" else "front and back"
    out = [f"Along {flip.direction} at {across} {subject.figure(flip.at_mm)}."]
    if isinstance(dowels, Dowels) and pins(subject):
        deep = subject.figure(PIN_IN_BED * dowels.diameter)
        size = f"⌀{subject.figure(dowels.diameter)}"
        if subject.is_first_of_two:
            out.append(f"Dowel holes {size} {dowels.fit}, through the blank and {deep} into what lies under it.")
            if is_reamed(subject.recipe):
                out.append("The drill goes deeper than the reamer, which must not meet the drill's cone.")
            out.append("Mark the edge with a pen at the triangle.")
        else:
            names = ", ".join(p.mark for p in pins(subject))
            out.append(f"Pins {size} {dowels.pins} in {names}, no higher than the face that is up.")
    if subject.is_second_of_two:
        stays = "the pen mark stays at its end" if pins(subject) else "the edges marked are touched again"
        out.append(f"Turned over about it: {change} change places, {stays}.")
    return Section("Flip axis", tuple(out))


def _holding(subject: Subject) -> tuple[str, ...]:
    plan = subject.plan
    if not subject.is_cover:
        over = "The cutter runs over the edge of this piece: hold the insert itself. " if runs_over(subject) else ""
        return (f"{over}The last cut frees the insert: tape under it, or tabs, hold it.",)
    out = []
    if subject.setup.face.value == "top":
        held = with_inches(plan.held) if subject.unit is INCH else plan.held
        out.append(held or "The last cut frees the part: see that it is held.")
    if plan.clamps:
        radius = max(c.radius_mm for c in plan.clamps)
        out.append(f"Clamps at the crosses; keep {subject.figure(radius)} off them.")
    elif subject.setup.face.value == "top":
        out.append("Clamps outside the dashed line only: the cutter comes as far.")
    else:
        out.append("Clamps clear of what is shaded.")
    return tuple(out)


def sections_height(rows: Sequence[Section], width_mm: float) -> float:
    """Return the height of sections in a column, mm."""
    return sum(_height(s, width_mm) + GAP_MM for s in rows)


def _height(section: Section, width_mm: float) -> float:
    lines = sum(len(wrapped(t, TEXT_MM, width_mm)) for t in section.sentences)
    return PITCH_MM * (lines + 1)


def draw_sections(easel: Easel, rows: Sequence[Section], left: float, top: float, width_mm: float) -> float:
    """Write sections down a column and return the height at which they end."""
    y = top
    for s in rows:
        y -= PITCH_MM
        easel.write(s.head, (left, y), TEXT_MM, bold=True)
        for sentence in s.sentences:
            for text in wrapped(sentence, TEXT_MM, width_mm):
                y -= PITCH_MM
                easel.write(text, (left, y), TEXT_MM)
        y -= GAP_MM
    return y


# ------------------------------------------------------------------ holes
def holes_title(subject: Subject) -> str:
    """Return the heading of the table of holes."""
    return f"Holes from zero, {subject.unit.suffix}"


def holes_table(subject: Subject, width_mm: float, across: int = 1) -> Ruled | None:
    """Return the table of round holes with their places from zero, ``across`` holes side by side; None without any."""
    found = holes_of(subject)
    if not found:
        return None
    x, y = (width_for("x", (subject.aligned(h.at[k]) for h in found)) for k in (0, 1))
    rest = width_mm / across - MARK_MM - x - y
    columns = (
        Column("hole", MARK_MM, "middle"),
        Column("x", x, "end"),
        Column("y", y, "end"),
        Column("size, depth", rest),
    )
    down = ceil(len(found) / across)
    rows = []
    for k in range(down):
        holes = found[k::down]
        cells = [c for h in holes for c in _cells(subject, h, rest)]
        cells += [Cell()] * (len(columns) * across - len(cells))
        rows.append(Row((), (tuple(cells),)))
    return Ruled(columns * across, tuple(rows), least_mm=6.0)


def _cells(subject: Subject, hole: Hole, rest_mm: float) -> tuple[Cell, ...]:
    sizes = tuple(Said(_bore(subject, b), LEAST_MM) for b in hole.bores)
    return (
        Cell((Said(hole.mark, TEXT_MM, True),)),
        Cell((Said(subject.aligned(hole.at.x)),)),
        Cell((Said(subject.aligned(hole.at.y)),)),
        cell(*sizes, width_mm=rest_mm),
    )


def _bore(subject: Subject, bore: Bore) -> str:
    size = f"⌀{subject.figure(bore.diameter_mm)}"
    if bore.is_cone:
        return f"{size} cone"
    if bore.to_mm >= subject.part.thickness_mm - MODEL.model_mm:
        return f"{size} through"
    return f"{size} to {subject.figure(bore.to_mm)}"
