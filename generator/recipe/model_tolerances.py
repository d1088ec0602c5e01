"""The recipe's tolerances: how exactly things are known and made."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.frozen_record import frozen_record


@frozen_record(kw_only=True)
class Tolerances:
    """How exactly things are known and made; goes into report and drawings, and decides how well the cover fits.

    What was measured is uncertain by a value that 95 % of measurements keep within; what is cut lies evenly within its
    limits. Defaults: common practice for a caliper or a scan and a small mill, no source.
    """

    general: str = f.text("General tolerances.", default="ISO 2768-mK", example="ISO 2768-mK")
    footprint: float = f.length(
        "Uncertainty of the footprint's outline (95 %).", default=0.1, at_least=0, at_most=10, example=0.05
    )
    bolts: float = f.length(
        "Uncertainty of every bolt's position in the original, along x and along y (95 %).",
        default=0.1,
        at_least=0,
        at_most=10,
        example=0.05,
    )
    bolt_play: float = f.length(
        "How far a bolt can move sideways in the original, from the middle: 0 where it is screwed into a thread, half "
        "of hole less bolt where it goes through into a nut.",
        default=0.0,
        at_least=0,
        at_most=10,
        example=0.3,
    )
    height: float = f.length(
        "Uncertainty of the original's height (95 %).", default=0.1, at_least=0, at_most=10, example=0.05
    )
    position: float = f.length(
        "Positional uncertainty of what the machine cuts: every feature lies within plus or minus this along x and "
        "along y.",
        default=0.05,
        at_least=0,
        at_most=10,
        example=0.05,
    )
    size: float = f.length(
        "Sizes that the machine cuts, widths of pockets and diameters of holes, lie within plus or minus this.",
        default=0.05,
        at_least=0,
        at_most=10,
        example=0.05,
    )
    depth: float = f.length(
        "Depths that the machine cuts lie within plus or minus this.",
        default=0.05,
        at_least=0,
        at_most=10,
        example=0.05,
    )
    flip: float = f.length(
        "Offset between the two faces after turning over: plus or minus this at each dowel, along x and along y.",
        default=0.05,
        at_least=0,
        at_most=10,
        example=0.05,
    )
    samples: int = f.count(
        "Covers and originals that are made by chance to see how many fit.",
        default=4000,
        at_least=100,
        at_most=100_000,
        example=10_000,
    )
