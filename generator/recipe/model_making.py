"""The recipe's making: what the machine can do and what the work costs, for estimates."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.frozen_record import frozen_record


@frozen_record(kw_only=True)
class Making:
    """The machine and what the work costs; the estimates of time and money come from here."""

    spindle: float = f.number(
        "Highest speed of the spindle, revolutions a minute. Default: that of many small mills, our own choice.",
        default=10_000.0,
        at_least=100,
        at_most=200_000,
        example=24_000,
    )
    feed: float = f.length(
        "Fastest feed while cutting, a minute. Default: that of many small mills, our own choice.",
        default=1000.0,
        above=0,
        at_most=50_000,
        example=1500,
    )
    step_down: float = f.number(
        "Depth of a pass in cutter diameters. Default: 0.25, careful in a small mill; our own choice.",
        default=0.25,
        above=0,
        at_most=3,
        example=0.5,
    )
    step_over: float = f.number(
        "Width of a pass in cutter diameters when a pocket is cleared. Default: 0.4, common practice, no source.",
        default=0.4,
        above=0,
        at_most=1,
        example=0.4,
    )
    accuracy: float = f.length(
        "The machine and who runs it hold positions, sizes and depths within plus or minus this; tolerances tighter "
        "than that are asked in vain. Default: common practice for a small mill in good order, no source.",
        default=0.02,
        above=0,
        at_most=5,
        example=0.05,
    )
    setup: float = f.number(
        "Minutes to clamp, align and find zero, for each setup. Default: our own choice.",
        default=20.0,
        at_least=0,
        at_most=1000,
        example=15,
    )
    tool_change: float = f.number(
        "Minutes to change and measure a tool. Default: our own choice.",
        default=3.0,
        at_least=0,
        at_most=100,
        example=2,
    )
    spread: float = f.number(
        "Setups and tool changes take from the minutes stated divided by this to the minutes times this. Default: a "
        "stranger's machine, our own choice; nearer to 1 where your own are timed.",
        default=2.0,
        at_least=1,
        at_most=10,
        example=1.2,
    )
    rate: float | None = f.number(
        "Cost of an hour of work; without it the work is not costed.",
        default=None,
        at_least=0,
        at_most=100_000,
        example=45,
    )
    currency: str = f.text("Currency of all prices, as text.", default="EUR", example="GBP")
