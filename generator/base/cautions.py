"""The cautions that always show: in the report, on the drawing and in the README. Their one place."""

from __future__ import annotations

from typing import Final

from generator.base.frozen_record import frozen_record

__all__ = ["CAUTIONS", "LOAD_BEARING", "Caution", "cautions"]


@frozen_record
class Caution:
    """One caution.

    Attributes:
        id: for ever the same.
        title: a few words.
        text: one or two plain sentences.
        loud: to be set apart from the others and read first.
    """

    id: str
    title: str
    text: str
    loud: bool = False


CAUTIONS: Final[tuple[Caution, ...]] = (
    Caution(
        "cosmetic",
        "For looks only",
        "The cover never replaces, thins or carries load for the original, which stays in place as it is.",
    ),
    Caution(
        "joint",
        "Soft metal in a joint",
        "Clamped under a bolt of a load-carrying joint, the cover puts soft metal into that joint: it settles, and the "
        "bolt loses tension. Whether that may be is for the equipment's maker or a qualified engineer to decide.",
    ),
    Caution(
        "movement",
        "Full movement",
        "Before use, move everything near by through its full travel and see that nothing touches the cover or its "
        "bolts.",
    ),
    Caution("edges", "Sharp edges", "Deburr every edge before handling and fitting; sawn and milled edges cut."),
    Caution(
        "machine",
        "At the machine",
        "Guards in place, eye and hearing protection on, the work held firmly; clear chips with a brush once the "
        "spindle has stopped, never by hand.",
    ),
    Caution(
        "law", "Codes and licences", "Local codes and licensed practice come first; where they ask for more, do more."
    ),
)

LOAD_BEARING: Final = Caution(
    "load-bearing",
    "THE ORIGINAL BEARS LOAD",
    "This recipe says that the original carries load. Do not clamp this cover under its bolts unless the equipment's "
    "maker or a qualified engineer has decided that soft metal may go into that joint, and has named bolts, tightening "
    "and how often to check. Until then hold the cover on by other means, or leave it off.",
    loud=True,
)


def cautions(*, load_bearing: bool) -> tuple[Caution, ...]:
    """Return the cautions in the order in which they are to be read; the loud one first if the original bears load."""
    return (LOAD_BEARING, *CAUTIONS) if load_bearing else CAUTIONS
