"""Limits of work on two faces."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.figures import Figure
from generator.base.frozen_record import frozen_record
from generator.base.practice import OWN


@frozen_record(kw_only=True)
class FlipLimits:
    """What registers the blank when it is turned over."""

    dowel_span: Figure = f.limit(
        Figure(0.5, "x length", OWN, ""),
        "Least distance of the outermost dowels, as a share of the part's length along the flip axis.",
        at_most=10,
    )
    dowel_asymmetry: Figure = f.limit(
        Figure(3.0, "mm", f"{OWN}: a blank that lies so far off is seen", ""),
        "A blank that goes onto two dowels turned end for end lies off by this at least, so that somebody notices.",
        at_most=100,
    )
    offset: Figure = f.limit(
        Figure(0.2, "mm", f"{OWN}: an uneven rim that is seen", ""),
        "What lies on the two faces may be off against each other by this, anywhere on the part.",
        at_most=100,
    )
    dowel_hold: Figure = f.limit(
        Figure(1.0, "x d", "common practice, no source", "memory"),
        "Least thickness of the blank that holds a dowel, in diameters.",
        at_most=20,
    )
    frame: Figure = f.limit(
        Figure(3.0, "mm", f"{OWN}: it is clamped, and tabs hang on it", ""),
        "Least width of what is left of the blank round the cutter that goes round the part.",
        at_most=500,
    )
    tabs: Figure = f.limit(
        Figure(3.0, "tabs", f"{OWN}: on two the part tips", ""),
        "Least number of tabs; of screws through bolt holes one less.",
        at_most=100,
    )
    skin: Figure = f.limit(
        Figure(0.1, "mm", OWN, ""),
        "What is left at least of an onion skin when depths are off as far as they may be.",
        at_most=10,
    )
    hold_safety: Figure = f.limit(
        Figure(4.0, "x force", f"{OWN}: a cutter that catches pulls several times as hard", ""),
        "What holds the part must bear this many times the cutting force.",
        at_most=1000,
    )
    tape_shear: Figure = f.limit(
        Figure(0.1, "MPa", "double-sided tapes bear some tenths in shear", "memory"),
        "Shear that tape or glue under the part is trusted with.",
        at_most=100,
    )
    vacuum_grip: Figure = f.limit(
        Figure(0.015, "MPa", "0.08 MPa of vacuum at a friction of 0.2", "memory"),
        "Sideways grip of a vacuum table, over the area that touches it.",
        at_most=1,
    )
