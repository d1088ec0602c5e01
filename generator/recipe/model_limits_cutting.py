"""Limits of what cutters and drills can do."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.figures import Figure
from generator.base.frozen_record import frozen_record
from generator.base.practice import OWN, PRINTED


@frozen_record(kw_only=True)
class CuttingLimits:
    """What cutters and drills can do."""

    drill_depth: Figure = f.limit(
        Figure(10.0, "x d", f"{PRINTED} (drilled depth 4 diameters best, 10 the limit)", "read"),
        "Deepest drilled hole, in diameters.",
        at_least=0.1,
        at_most=100,
    )
    depth_good: Figure = f.limit(
        Figure(4.0, "x d", f"{PRINTED} (pocket depth up to 4 tool diameters)", "cross-checked"),
        "Depth that an end mill cuts without more ado, in diameters.",
        at_least=0.1,
        at_most=100,
    )
    depth_most: Figure = f.limit(
        Figure(6.0, "x d", f"{PRINTED} (pocket depth 4 to 6 tool diameters)", "read"),
        "Deepest that an end mill cuts with care, in diameters.",
        at_least=0.1,
        at_most=100,
    )
    slot_depth: Figure = f.limit(
        Figure(4.0, "x width", f"{PRINTED} (pocket depth below 4 widths)", "read"),
        "Depth of a pocket against its width where it is narrowest.",
        at_least=0.1,
        at_most=100,
    )
    corner_radius: Figure = f.limit(
        Figure(
            1.0 / 3.0, "x depth", f"{PRINTED} (inside corner radius at least a third of the depth)", "cross-checked"
        ),
        "Radius of the inside corners of the plate against their depth.",
        at_most=10,
    )
    artwork_lost: Figure = f.limit(
        Figure(2.0, "% of the area", f"{OWN}: more is seen at arm's length", ""),
        "What corners for the cutter may take of artwork, or fill of it, before it is worth a warning.",
        at_most=100,
    )
    mill_in_hole: Figure = f.limit(
        Figure(0.9, "x diameter", f"{OWN}: chips get out", ""),
        "An end mill goes round in a hole if its diameter has at most this share of the hole's; else it plunges.",
        at_least=0.1,
        at_most=1,
    )
    drill_fits: Figure = f.limit(
        Figure(0.05, "mm", OWN, ""),
        "A drill or a reamer within this of a hole's diameter makes it.",
        at_most=2,
    )
    deflection: Figure = f.limit(
        Figure(1.0, "x size", f"{OWN}: the whole of the tolerance", ""),
        "Share of `tolerances.size` that an end mill may bend by as it cuts.",
        at_most=20,
    )
