"""A printer's settings file: what is in it and what it really prints, for prints of any recipe."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.base.paper_sizes import FORMAT_WORDS
from generator.recipe.model_paper import PrintedBars


@frozen_record(kw_only=True)
class Printer:
    """One printer with its settings. Bare lengths are mm; `3.94 in` carries its own unit."""

    paper: str = f.word(
        "Sheet in the printer; takes the place of `paper.size` in the recipe.", FORMAT_WORDS, default="", example="A4"
    )
    printed_bars: PrintedBars | None = f.record(
        PrintedBars,
        "What the bars of an earlier print measure; take the place of `paper.printed_bars` in the recipe.",
        default=None,
    )
