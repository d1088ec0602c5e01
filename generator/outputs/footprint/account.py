"""All that is told of a traced footprint, put together once for every file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from generator.base.frozen_record import frozen_record
from generator.trace.advice import Wanted, advice
from generator.trace.calibrating import mended
from generator.trace.damage import Damage, damages
from generator.trace.distances import Distance, distances
from generator.trace.footprint import Footprint, footprint_of
from generator.trace.lost_edges import Lost, lost_edges
from generator.trace.naming import measured_by
from generator.trace.other_shape import other_shape
from generator.trace.tracing import Traced
from generator.trace.unknowns import Measured
from generator.trace.untold import uncontrolled, untold

__all__ = ["Account", "account_of"]


@frozen_record(eq=False)
class Account:
    """What is told.

    Attributes:
        name: what the files are called.
        images: the pictures, as the person named them.
        reference: what told the scale.
        options: further words of the command that traces in the same way.
        traced: what was traced.
        footprint: the same in its own frame.
        measured: the readings that count.
        distances: between holes, across edges.
        wanted: readings that would help most.
        planned: readings to take one after the other.
        untold: sentences on what the readings cannot tell.
        uncontrolled: names of readings in which a slip would not show.
        damages: chips and burrs.
        lost: features whose edges are lost in their shadow.
    """

    name: str
    images: tuple[str, ...]
    reference: str
    options: tuple[str, ...]
    traced: Traced
    footprint: Footprint
    measured: tuple[Measured, ...]
    distances: tuple[Distance, ...]
    wanted: tuple[Wanted, ...]
    planned: tuple[Wanted, ...]
    untold: tuple[str, ...]
    uncontrolled: tuple[str, ...]
    damages: tuple[Damage, ...]
    lost: tuple[Lost, ...]


def account_of(
    traced: Traced, name: str, images: Sequence[str], reference: str, options: Sequence[str] = ()
) -> Account:
    """Return what is to be told of a traced part.

    Raises: GeometryError: its outline is no outline.
    """
    footprint = footprint_of(traced.solved)
    measured = readings_of(traced)
    alone = uncontrolled(traced, measured)
    # what is doubtful may well be read again
    sound = [m for m in measured if m.name not in alone and m.name not in traced.solved.slips]
    hurt = damages(traced, footprint)
    return Account(
        name,
        tuple(images),
        reference,
        tuple(options),
        _doubted(traced, other_shape(hurt, footprint)),
        footprint,
        tuple(measured),
        tuple(distances(traced.solved, footprint)),
        *advice(traced, footprint, taken=sound),
        tuple(untold(traced, footprint, measured)),
        tuple(alone),
        tuple(hurt),
        tuple(lost_edges(traced, footprint)),
    )


def _doubted(traced: Traced, sentence: str) -> Traced:
    """Return what was traced with one more warning, if there is a sentence."""
    if not sentence:
        return traced
    return replace(traced, remarks=(*traced.remarks, sentence), warnings=(*traced.warnings, sentence))


def readings_of(traced: Traced) -> list[Measured]:
    """Return the readings that count, in the order of the fit's residuals."""
    named = measured_by(traced.caliper, traced.seen[0].frame)
    solved = traced.solved
    return list(mended(named, solved.slips)(solved.layout, solved.found.x))
