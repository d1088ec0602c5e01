"""What the recipe says of paper: which sheets go into the printer, what it really prints, how drawings are laid out."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.base.paper_sizes import FORMAT_WORDS, FORMATS

FIRST_ANGLE, THIRD_ANGLE = "first angle", "third angle"
AUTO = "auto"


@frozen_record(kw_only=True)
class PrintedBars:
    """What the bars of an earlier print measure on the paper, by caliper or rule."""

    x: float = f.length("Measured length of the bar across the sheet.", above=0, at_most=2000, example=99.6)
    y: float = f.length("Measured length of the bar up the sheet.", above=0, at_most=2000, example=100.2)


@frozen_record(kw_only=True)
class Paper:
    """Sheets that are printed."""

    size: str = f.word(
        "Sheet in the printer, for templates, setup and inspection sheets.", FORMAT_WORDS, default="A4", example="A4"
    )
    printed_bars: PrintedBars | None = f.record(
        PrintedBars,
        "What the bars of an earlier print measure; later prints are made larger or smaller along each axis by what "
        "was missing. Good for one printer and its settings.",
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
