"""What is measured before the piece is turned over or unclamped: numbers of the inspection sheet, nominal, limits."""

from __future__ import annotations

from generator.estimate.characteristic import Characteristic
from generator.estimate.told_sizes import told_size
from generator.paper.drawing.lettered import draw_balloon
from generator.paper.letters import LEAST_MM
from generator.paper.ruled import Cell, Column, Row, Ruled, Said, cell, width_for
from generator.paper.setup.drawn_marks import marks_of
from generator.paper.setup.subject import Subject
from generator.paper.sheet import Easel

__all__ = ["measures_table", "measures_title"]

NUMBER, INSTRUMENT, READING = 13.0, 32.0, 20.0
"""Widths of columns, mm; those of figures are as wide as their figures."""


def measures_title(subject: Subject) -> str:
    """Return the heading."""
    return "Measure before turning over" if subject.is_first_of_two else "Measure before unclamping"


def measures_table(subject: Subject, width_mm: float) -> Ruled:
    """Return the table for a sheet's width, with an empty column for readings."""
    told = [_figures(subject, c) for c in subject.measured]
    head = f"nominal, {subject.unit.suffix}"
    nominal, limits = width_for(head, (t[0] for t in told)), width_for("limits", (t[1] for t in told))
    what = width_mm - NUMBER - nominal - limits - INSTRUMENT - READING
    columns = (
        Column("No.", NUMBER, "middle"),
        Column("what", what),
        Column(head, nominal, "end"),
        Column("limits", limits, "middle"),
        Column("instrument", INSTRUMENT),
        Column("reading", READING),
    )
    rows = (_row(subject, c, figures, what) for c, figures in zip(subject.measured, told, strict=True))
    return Ruled(columns, tuple(rows), least_mm=6.5)


def _figures(subject: Subject, c: Characteristic) -> tuple[str, str]:
    """Return nominal and limits as the inspection sheet tells them."""
    size = told_size(c, subject.unit)
    sign = "⌀" if "diameter" in c.kind.value else "R" if c.kind.value == "corner radius" else ""
    return f"{sign}{size.nominal_text}", f"{size.lower_text} – {size.upper_text}"


def _row(subject: Subject, c: Characteristic, figures: tuple[str, str], what_mm: float) -> Row:
    def draw(easel: Easel, middle: tuple[float, float]) -> None:
        draw_balloon(easel, c.number, middle)

    alike = [o for o in subject.measured if _singular(o) == _singular(c)]
    marks = marks_of(subject, c.features) if len(alike) > 1 else ""
    words = f"{c.count} × {c.what}" if c.count > 1 else c.what
    words += f" {marks}" if marks else ""
    cells = (
        Cell(draw=draw),
        cell(Said(words, 3.5), width_mm=what_mm),
        *(Cell((Said(f),)) for f in figures),
        cell(Said(c.instrument, LEAST_MM), width_mm=INSTRUMENT),
        Cell(),
    )
    return Row((), (cells,))


def _singular(c: Characteristic) -> str:
    """Return what a characteristic is of one hole: bolt holes and a bolt hole are not told apart."""
    first, comma, rest = c.what.partition(",")
    return first.removesuffix("s") + comma + rest
