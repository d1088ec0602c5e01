"""Published cutting data for end mills: cutting speeds, feeds a tooth and specific cutting forces, by kind of material.

Charts of different makers disagree by up to a factor of six (brass); so every chart read stands here as a row, and what
is asked of them is a range. All are for solid carbide end mills in rigid machines; small mills start at the low end.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Final

from generator.base.frozen_record import frozen_record

CARBIDE: Final = "solid carbide end mill"


@frozen_record
class SpeedRow:
    """One maker's chart for one kind of material.

    Attributes:
        kind: kind of material, one of ``KINDS_OF_MATERIAL``.
        vc_min, vc_max: cutting speed, m/min.
        feeds: pairs of diameter (mm) and feed a tooth (mm), by diameter.
        source: the chart.
    """

    kind: str
    vc_min: float
    vc_max: float
    feeds: tuple[tuple[float, float], ...]
    source: str


@frozen_record
class ForceRow:
    """Specific cutting force kc = kc1 · h^-m, N/mm², h in mm. Source: ISCAR catalogue 2017, VDI 3323 groups (read)."""

    kind: str
    kc1: float
    m: float


ALUMINIUM, BRASS, COPPER, STAINLESS, STEEL, PLASTIC = "aluminium", "brass", "copper", "stainless", "steel", "plastic"
KINDS_OF_MATERIAL: Final = (ALUMINIUM, BRASS, COPPER, STAINLESS, STEEL, PLASTIC)

SPEEDS: Final[tuple[SpeedRow, ...]] = (
    SpeedRow(ALUMINIUM, 367, 440, ((3, 0.01), (4, 0.02), (6, 0.04), (8, 0.06), (10, 0.08), (12, 0.12)), "ATA 2022"),
    SpeedRow(ALUMINIUM, 300, 750, ((6, 0.025), (8, 0.025), (10, 0.035), (12, 0.035)), "Tungaloy 2020, slotting"),
    SpeedRow(ALUMINIUM, 259, 396, ((3, 0.025), (6, 0.051), (12, 0.102)), "GWS chart"),
    SpeedRow(BRASS, 122, 213, ((3, 0.025), (6, 0.051), (12, 0.076)), "GWS chart"),
    SpeedRow(BRASS, 244, 457, ((3, 0.025), (6, 0.051), (10, 0.064), (12, 0.076)), "Torbide chart"),
    SpeedRow(BRASS, 76, 152, ((3, 0.025), (6, 0.051), (12, 0.076)), "Protocutter chart"),
    SpeedRow(COPPER, 137, 259, ((3, 0.025), (6, 0.051), (12, 0.076)), "GWS chart"),
    SpeedRow(COPPER, 213, 305, ((3, 0.025), (6, 0.051), (10, 0.064), (12, 0.076)), "Torbide chart"),
    SpeedRow(STAINLESS, 94, 113, ((3, 0.015), (4, 0.02), (6, 0.025), (8, 0.025), (10, 0.05), (12, 0.06)), "ATA 2022"),
    SpeedRow(STAINLESS, 60, 100, ((6, 0.025), (8, 0.025), (10, 0.035), (12, 0.035)), "Tungaloy 2020, slotting"),
    SpeedRow(STAINLESS, 60, 110, ((3, 0.009), (6, 0.018), (12, 0.036)), "ISCAR 2022, start value 0.003 D"),
    SpeedRow(STAINLESS, 61, 122, ((3, 0.013), (6, 0.025), (12, 0.076)), "Protocutter chart"),
    SpeedRow(STEEL, 190, 230, ((3, 0.01), (4, 0.02), (6, 0.04), (8, 0.06), (10, 0.08), (12, 0.1)), "ATA 2022"),
    SpeedRow(STEEL, 140, 180, ((6, 0.03), (8, 0.03), (10, 0.035), (12, 0.035)), "Tungaloy 2020, slotting"),
    SpeedRow(STEEL, 210, 300, ((3, 0.018), (6, 0.036), (12, 0.072)), "ISCAR 2022, start value 0.006 D"),
    SpeedRow(STEEL, 46, 122, ((3, 0.013), (6, 0.025), (12, 0.076)), "Protocutter chart"),
    SpeedRow(PLASTIC, 244, 488, ((3, 0.051), (6, 0.076), (12, 0.152)), "GWS chart"),
)
"""Every row was read in the chart named; none was checked against a second copy."""

FORCES: Final[tuple[ForceRow, ...]] = (
    ForceRow(ALUMINIUM, 800.0, 0.25),
    ForceRow(BRASS, 700.0, 0.27),
    ForceRow(COPPER, 700.0, 0.27),
    ForceRow(STAINLESS, 2150.0, 0.20),
    ForceRow(STEEL, 1350.0, 0.21),
)

_KIND_OF: Final = {
    "EN AW-6082 T6": ALUMINIUM,
    "EN AW-5083 H111": ALUMINIUM,
    "EN AW-6061 T6": ALUMINIUM,
    "CuZn39Pb3 R430": BRASS,
    "CuZn37 R350": BRASS,
    "Cu-ETP R240": COPPER,
    "1.4301 annealed": STAINLESS,
    "S235JR": STEEL,
    "POM-C": PLASTIC,
}


def kind_of(material: str) -> str:
    """Return the kind of a built-in material; empty for one that the tables do not know."""
    return _KIND_OF.get(material, "")


def speed_range(kind: str) -> tuple[float, float]:
    """Return the lowest and the highest cutting speed of all charts for a kind of material, m/min."""
    rows = [r for r in SPEEDS if r.kind == kind]
    return min(r.vc_min for r in rows), max(r.vc_max for r in rows)


def feed_range(kind: str, diameter_mm: float) -> tuple[float, float]:
    """Return the lowest and the highest feed a tooth of all charts, mm.

    Between the printed diameters it is interpolated; outside them it goes with the diameter (from memory).
    """
    feeds = [_feed(r.feeds, diameter_mm) for r in SPEEDS if r.kind == kind]
    return min(feeds), max(feeds)


def force_of(kind: str) -> ForceRow | None:
    """Return the specific cutting force of a kind of material; None where no figure is known."""
    return next((r for r in FORCES if r.kind == kind), None)


def sources_of(kind: str) -> str:
    """Return the charts for a kind of material, as text."""
    return ", ".join(dict.fromkeys(r.source for r in SPEEDS if r.kind == kind))


def _feed(feeds: tuple[tuple[float, float], ...], diameter_mm: float) -> float:
    first, last = feeds[0], feeds[-1]
    if diameter_mm <= first[0]:
        return first[1] * diameter_mm / first[0]
    if diameter_mm >= last[0]:
        return last[1] * diameter_mm / last[0]
    (d0, f0), (d1, f1) = next((a, b) for a, b in pairwise(feeds) if a[0] <= diameter_mm <= b[0])
    return f0 + (f1 - f0) * (diameter_mm - d0) / (d1 - d0)
