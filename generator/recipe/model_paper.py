"""What the recipe says of paper: which sheets go into the printer, what it really prints, how drawings are laid out."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.base.paper_sizes import FORMAT_WORDS, FORMATS

FIRST_ANGLE, THIRD_ANGLE = "first angle", "third angle"
AUTO = "auto"


@frozen_record(kw_only=True)
class PrintedBars:
    """What the bars of a print that was not made larger or smaller measure on the paper, by caliper or rule."""

    x: float = f.length(
        "Reading of bar x, along the short side of the sheet, from 0 to its long mark at 100 or 150 mm; the reading "
        "tells which of them it is.",
        example=99.6,
    )
    y: float = f.length(
        "Reading of bar y, along the long side of the sheet, from 0 to its long mark at 100, 150 or 200 mm.",
        example=100.2,
    )


@frozen_record(kw_only=True)
class Paper:
    """Sheets that are printed."""

    size: str = f.word(
        "Sheet in the printer, for templates, setup and inspection sheets.", FORMAT_WORDS, default="A4", example="A4"
    )
    printed_bars: PrintedBars | None = f.record(
        PrintedBars,
        "What the bars of an earlier print measure; later 1:1 prints are made larger or smaller along each axis by "
        "what was off. Good for one printer and its settings.",
        default=None,
    )
    drawing: str = f.word(
        "Sheet of the drawings; `auto` takes the smallest that shows the part at a scale of ISO 5455.",
        (AUTO, *(name for name in FORMATS if name != "Letter")),
        default=AUTO,
        example="A3",
    )
    projection: str = f.word(
        "Where the views of a drawing lie (ISO 5456-2).",
        (FIRST_ANGLE, THIRD_ANGLE),
        default=FIRST_ANGLE,
        example=THIRD_ANGLE,
    )
