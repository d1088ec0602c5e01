"""The recipe's holding: what holds the part when its outline is cut free, and where the blank is clamped."""

from __future__ import annotations

from typing import Final

from generator.base import fields as f
from generator.base.frozen_record import frozen_record

TABS, SKIN, ADHESIVE, VACUUM, OWN_HOLES, CLAMPS = "tabs", "onion skin", "adhesive", "vacuum", "bolt holes", "clamps"
HOLDING_WORDS: Final = (TABS, SKIN, ADHESIVE, VACUUM, OWN_HOLES, CLAMPS)


@frozen_record(kw_only=True)
class Holding:
    """What holds the cover when its outline, the last cut, sets it free."""

    by: str = f.word(
        "`tabs`: bridges left in the outline; `onion skin`: a thin floor left under the outline; `adhesive`: tape or "
        "glue under the part; `vacuum`; `bolt holes`: screws through the part's own bolt holes; `clamps`: on the blank "
        "only.",
        HOLDING_WORDS,
        example=TABS,
    )
    count: int = f.count("Number of tabs, where `at` does not say.", default=4, at_least=1, at_most=100, example=4)
    width: float = f.length("Width of every tab.", default=4.0, above=0, at_most=100, example=5)
    thickness: float = f.length(
        "Thickness of tabs, or of the onion skin. Default: our own choice for tabs in metal.",
        default=1.0,
        above=0,
        at_most=50,
        example=0.8,
    )
    at: tuple[float, ...] = f.list_of(
        f.angle("Direction of a tab from the middle of the part.", example=45),
        "Directions of the tabs from the middle of the part, counter-clockwise from the x axis; without it they are "
        "put where the outline is to be filed anyway.",
        default=(),
        fewest=1,
        most=100,
        example=[45, 135, 225, 315],
    )
    clamps: tuple[tuple[float, float], ...] = f.list_of(
        f.point("Middle of a clamp on the blank.", example=[-60, 30]),
        "Where clamps stand on the blank, as seen from the top.",
        default=(),
        fewest=1,
        most=100,
        example=[[-60, 30], [60, -30]],
    )
    clamp_radius: float = f.length(
        "The cutter keeps this far from a clamp's middle. Default: our own choice for small strap clamps.",
        default=12.0,
        above=0,
        at_most=500,
        example=15,
    )
