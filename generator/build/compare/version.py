"""One side of a comparison: what a recipe or a pack says, in the same form."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeAlias

from generator.base.frozen_record import frozen_record
from generator.base.units import LengthUnit, length_unit
from generator.outline.region import Region

__all__ = ["Cut", "Data", "Version"]

Data: TypeAlias = dict[str, Any]


@frozen_record
class Cut:
    """A layer as it is compared: its region as seen from the top (mm), and the depths that it is cut between (mm)."""

    region: Region
    from_mm: float
    to_mm: float
    face: str
    file: str


@frozen_record
class Version:
    """What a recipe or a pack says.

    Attributes:
        named: as the person named it.
        report: the report as plain data, see ``docs/report.md``.
        cuts: every layer by part and name.
        files: the files that show something to a person or a machine, by path in the pack.
        told: what the comparison has to be read with, one sentence each.
        unread: layers, by part and name, whose file is not there: nothing is known of their area.
    """

    named: str
    report: Data
    cuts: Mapping[tuple[str, str], Cut]
    files: Mapping[str, bytes]
    told: tuple[str, ...] = ()
    unread: frozenset[tuple[str, str]] = frozenset()

    @property
    def unit(self) -> LengthUnit:
        """Return the unit that lengths are told in."""
        return length_unit(self.report["recipe_units"])

    @property
    def revision(self) -> str:
        """Return the revision."""
        return str(self.report["revision"])
