"""Plans made by hand for the tests of the pictures: small, large, crowded, plain."""

from __future__ import annotations

from math import cos, pi, sin

from generator.base.materials import material
from generator.outline.contour import Point
from generator.outline.create import circle, rectangle, slot
from generator.outline.region import EMPTY, Region
from generator.part.part import Blank, Bolt, Face, Feature, FlipAxis, Part, Plan

COVER_MM = 8.0
POCKET_MM = 3.4


def hole(at: tuple[float, float], diameter: float) -> Region:
    return Region.of([circle(at, diameter / 2.0)])


def bolt(number: int, at: tuple[float, float], hole_mm: float = 6.6, thread: str = "M6") -> Bolt:
    return Bolt(
        f"bolt-{number}", Point(*at), hole_mm, thread, "ISO 4762", "ISO 273 medium", f"original.bolts[{number}]"
    )


def box(width: float, height: float, radius: float) -> Region:
    return Region.of([rectangle(-width / 2, -height / 2, width / 2, height / 2, min(radius, width / 2, height / 2))])


def plan(
    *,
    name: str = "gate-latch-21",
    title: str = "Gate latch cover, plot 21",
    width: float = 104.0,
    height: float = 64.0,
    radius: float = 14.0,
    bolts: tuple[tuple[float, float], ...] = ((-38.0, 0.0), (38.0, 0.0)),
    hole_mm: float = 6.6,
    seat_mm: float = 11.0,
    countersunk: bool = False,
    inlay: tuple[float, float] | None = (44.0, 18.0),
    opening: bool = True,
    dowels: bool = True,
    rim_break: float = 0.6,
    notes: str = "Deburr all edges.",
    cover_material: str = "EN AW-6082 T6",
    insert_material: str = "CuZn39Pb3 R430",
) -> Plan:
    """Return a plan round a rounded rectangle; everything of it in proportion to ``width`` and ``height``."""
    k = min(width / 104.0, height / 64.0)
    thick, pocket = COVER_MM * max(k, 0.4), POCKET_MM * max(k, 0.4)
    footprint = box(width - 14 * k, height - 18 * k, radius - 5 * k)
    grown = box(width - 14 * k + 0.6, height - 18 * k + 0.6, radius - 5 * k + 0.3)
    features = [Feature("bottom-pocket", "bottom-pocket", Face.BOTTOM, grown, 0.0, pocket)]
    for i, at in enumerate(bolts, 1):
        features.append(Feature(f"hole-bolt-{i}", "bolt-holes", Face.TOP, hole(at, hole_mm), 0.0, thick))
        if seat_mm > hole_mm:
            features.append(_seat(i, at, hole_mm, seat_mm, thick, countersunk))
    if opening:
        tall = Region.of([slot((12 * k, -20 * k), (24 * k, -20 * k), 5.0 * k)])
        features.append(Feature("opening-drain", "openings", Face.TOP, tall, 0.0, thick))
    inserts: tuple[Part, ...] = ()
    if inlay:
        w, h = inlay
        deep = 1.5 * max(k, 0.4)
        well = box(w, h, min(h / 2, 6 * k))
        features.append(Feature("inlay-pocket-crest", "inlay-pocket-crest", Face.TOP, well, thick - deep, thick))
        piece = box(w - 0.1, h - 0.1, min(h / 2, 6 * k) - 0.05)
        inserts = (
            Part("insert-crest", material(insert_material), deep, piece, (), 0.0, thick - deep, "insert-profile-crest"),
        )
    cover = Part("cover", material(cover_material), thick, box(width, height, radius), tuple(features), rim_break)
    stock = box(width + 40 * k, height + 16 * k, 0.0) if k > 0 else EMPTY
    pins = Region.of([circle((0.0, height / 2 + 4.5 * k), 2.0 * k), circle((0.0, -height / 2 - 4.0 * k), 2.0 * k)])
    blank = Blank(stock, thick, pins if dowels else EMPTY, 4.0 * k if dowels else 0.0)
    return Plan(
        name, title, "A", notes, True, 3.2 * max(k, 0.4), footprint, cover, inserts,
        tuple(bolt(i, at, hole_mm, "M6" if hole_mm == 6.6 else "") for i, at in enumerate(bolts, 1)),
        blank, FlipAxis("y", 0.0), (("finishing", 3.0),),
    )  # fmt: skip


def _seat(i: int, at: tuple[float, float], hole_mm: float, seat_mm: float, thick: float, countersunk: bool) -> Feature:
    if countersunk:
        deep = (seat_mm - hole_mm) / 2.0
        return Feature(f"seat-bolt-{i}", "seats", Face.TOP, hole(at, hole_mm), thick - deep, thick, deep)
    return Feature(f"seat-bolt-{i}", "seats", Face.TOP, hole(at, seat_mm), thick * 0.5, thick)


def ring_of(count: int, radius: float) -> tuple[tuple[float, float], ...]:
    """Return bolt positions on a circle, the first at three o'clock."""
    return tuple((radius * cos(2 * pi * i / count), radius * sin(2 * pi * i / count)) for i in range(count))


def samples() -> dict[str, Plan]:
    """Return plans of every sort by name."""
    return {
        "latch": plan(),
        "tiny": plan(
            name="bell", title="Door bell", width=24, height=18, radius=5, bolts=((-7, 0), (7, 0)), hole_mm=2.4,
            seat_mm=4.4, countersunk=True, inlay=(7, 4), opening=False, rim_break=0.3,
        ),
        "large": plan(
            name="yoke", title="Canoe yoke with a rather long title that says more than a title block likes to hold",
            width=620, height=180, radius=60, bolts=((-260, -30), (-260, 30), (260, -30), (260, 30)), hole_mm=9,
            seat_mm=18, inlay=(300, 60), cover_material="S235JR", insert_material="EN AW-6082 T6",
        ),
        "crowded": plan(
            name="pier", title="Teleskop-Säule Nº 7 – Ø 120 天文台", width=124, height=124, radius=62,
            bolts=ring_of(24, 48.0), hole_mm=4.5, seat_mm=0, inlay=(40, 20), opening=False, dowels=True,
        ),
        "plain": plan(
            name="tap", title="", bolts=(), inlay=None, opening=False, dowels=False, rim_break=0.0, notes="",
            cover_material="POM-C",
        ),
        "tall": plan(
            name="pole", title="Pole clamp", width=40, height=210, radius=16, bolts=((0, -85), (0, 85)),
            inlay=(14, 80), opening=False, cover_material="CuZn39Pb3 R430", insert_material="1.4301 annealed",
        ),
    }  # fmt: skip
