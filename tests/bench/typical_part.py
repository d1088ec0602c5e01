"""Model time of a typical part: regions to verified solid, against a plain cadquery script for the same part.

The part: plate 90 x 62 x 8, outline of ten lines and arcs, bottom pocket with four bosses, four counterbored holes,
inlay pocket of three glyphs (some 250 lines and arcs), 0.5 chamfer on the upper rim. The plain script is what an
ordinary user writes; it draws the very same lines and arcs, models, and neither checks nor measures. Ours makes slabs
from regions, puts the solid together, checks that it is valid and closed and measures its volume.

Run: ``python tests/bench/typical_part.py``; prints both medians and their ratio.
"""

from __future__ import annotations

import json
import statistics
import sys
import time
from collections.abc import Callable, Iterable
from math import cos, hypot, sin, sqrt
from pathlib import Path

ROOT = Path(__file__).parents[2]
if str(ROOT) not in sys.path:
    sys.path.insert(0, str(ROOT))

from generator.base.materials import MATERIALS  # noqa: E402
from generator.outline.contour import Contour, Segment  # noqa: E402
from generator.outline.measure import bounds  # noqa: E402
from generator.outline.region import Region  # noqa: E402
from generator.outline.transform import moved, scaled  # noqa: E402
from generator.part.part import Face, Feature, Part  # noqa: E402

DATA = ROOT / "tests" / "data" / "outlines"
GLYPHS = ("glyph_Sans_8_4", "glyph_SansMono_amp_4", "glyph_Sans_8_4")
BOLTS = ((-35.0, -21.0), (35.0, -21.0), (35.0, 21.0), (-35.0, 21.0))
THICKNESS, POCKET, INLAY, BREAK = 8.0, 4.0, 1.5, 0.5
HOLE, SEAT, SEAT_DEPTH, BOSS = 6.6, 11.0, 2.0, 13.0
TARGET = 0.3
REPEATS = 5

QUARTER = sqrt(2.0) - 1.0
"""Bulge of a quarter turn."""


def disc(x: float, y: float, diameter: float) -> Contour:
    """Return a circle."""
    return Contour.of([(x + diameter / 2.0, y, 1.0), (x - diameter / 2.0, y, 1.0)])


def outline() -> Contour:
    """Return the plate's outline: a rounded rectangle whose upper edge bulges, ten segments."""
    x, y, r = 45.0, 31.0, 6.0
    return Contour.of(
        [
            (-x + r, -y), (x - r, -y, QUARTER), (x, -y + r), (x, y - r, QUARTER), (x - r, y),
            (12.0, y, 0.12), (-12.0, y), (-x + r, y, QUARTER), (-x, y - r), (-x, -y + r, QUARTER),
        ]
    )  # fmt: skip


def pocket() -> Region:
    """Return the bottom pocket: a rounded rectangle round four bosses."""
    x, y, r = 42.0, 28.0, 4.0
    rim = Contour.of(
        [
            (-x + r, -y), (x - r, -y, QUARTER), (x, -y + r), (x, y - r, QUARTER),
            (x - r, y), (-x + r, y, QUARTER), (-x, y - r), (-x, -y + r, QUARTER),
        ]
    )  # fmt: skip
    return Region.of([rim, *(disc(bx, by, BOSS).reversed() for bx, by in BOLTS)])


def glyphs() -> Region:
    """Return three glyphs side by side, 18 mm high, clear of the bolts."""
    found: list[Contour] = []
    for i, name in enumerate(GLYPHS):
        data = json.loads((DATA / f"{name}.json").read_text(encoding="utf-8"))
        loops = Region.of(Contour.of(c) for r in data["regions"] for c in (r["outer"], *r["holes"]))
        box = bounds(loops)
        factor = 18.0 / box.height_mm
        at = (i - 1) * 17.0
        found += moved(scaled(loops, factor), at - box.centre.x * factor, -box.centre.y * factor).contours
    return Region.of(found)


def typical_part() -> Part:
    """Return the part as features."""
    top, bottom = Face.TOP, Face.BOTTOM
    features = [Feature("pocket", "bottom-pocket", bottom, pocket(), 0.0, POCKET)]
    for i, (x, y) in enumerate(BOLTS):
        hole, seat = Region((disc(x, y, HOLE),)), Region((disc(x, y, SEAT),))
        features.append(Feature(f"hole-{i}", "bolt-holes", top, hole, 0.0, THICKNESS))
        features.append(Feature(f"seat-{i}", "seats", top, seat, THICKNESS - SEAT_DEPTH, THICKNESS))
    features.append(Feature("inlay", "inlay-pocket", top, glyphs(), THICKNESS - INLAY, THICKNESS))
    profile = Region((outline(),))
    return Part("cover", MATERIALS[0], THICKNESS, profile, tuple(features), rim_break_mm=BREAK)


# ------------------------------------------------------------------ ours
def our_model(part: Part) -> float:
    """Make and verify the solid; return its volume, mm³."""
    from generator.solid.facts import solid_facts
    from generator.solid.kernel_solids import part_solid

    facts = solid_facts(part.name, part_solid(part))
    if not (facts.is_valid and facts.is_closed):
        raise SystemExit("the solid is not valid")
    return facts.volume_mm3


# ------------------------------------------------------------------ the plain script
def middle(seg: Segment) -> tuple[float, float]:
    """Return the middle of an arc."""
    (cx, cy), r = seg.centre, seg.radius_mm
    dx, dy = seg.start.x - cx, seg.start.y - cy
    c, s = cos(seg.sweep / 2.0), sin(seg.sweep / 2.0)
    d = hypot(dx, dy)
    return cx + r * (dx * c - dy * s) / d, cy + r * (dx * s + dy * c) / d


def draw(plane: object, contours: Iterable[Contour]) -> object:
    """Draw contours on a Workplane, line by line and arc by arc."""
    work = plane
    for contour in contours:
        segments = list(contour.segments())
        work = work.moveTo(*segments[0].start)  # type: ignore[attr-defined]
        for seg in segments:
            work = work.threePointArc(middle(seg), tuple(seg.end)) if seg.is_arc else work.lineTo(*seg.end)
        work = work.close()
    return work


def plain_model(glyph_contours: Iterable[Contour]) -> object:
    """Return the part as a plain script models it."""
    import cadquery as cq

    plate = draw(cq.Workplane("XY"), [outline()]).extrude(THICKNESS)  # type: ignore[attr-defined]
    plate = plate.faces(">Z").chamfer(BREAK)
    hollow = draw(cq.Workplane("XY"), [pocket().contours[0]]).extrude(POCKET)  # type: ignore[attr-defined]
    bosses = cq.Workplane("XY").pushPoints(BOLTS).circle(BOSS / 2.0).extrude(POCKET)
    plate = plate.cut(hollow.cut(bosses))
    plate = plate.faces(">Z").workplane(origin=(0, 0, THICKNESS)).pushPoints(BOLTS).cboreHole(HOLE, SEAT, SEAT_DEPTH)
    top = cq.Workplane("XY").workplane(offset=THICKNESS - INLAY)
    inlay = draw(top, glyph_contours).extrude(INLAY)  # type: ignore[attr-defined]
    return plate.cut(inlay)


# ------------------------------------------------------------------ timing
def seconds(action: Callable[[], object]) -> float:
    """Return how long the action takes."""
    start = time.perf_counter()
    action()
    return time.perf_counter() - start


def model_times(repeats: int = REPEATS) -> tuple[float, float]:
    """Return the median seconds of our model and of the plain one, taken in turn after a first round of each."""
    contours = glyphs().contours
    ours, plain = our_model(typical_part()), plain_model(contours)
    theirs = plain.val().Volume()  # type: ignore[attr-defined]
    if abs(ours - theirs) > 1e-6 * theirs:
        raise SystemExit(f"not the same part: {ours:.6f} mm³ against {theirs:.6f} mm³")
    pairs = [
        (seconds(lambda: our_model(typical_part())), seconds(lambda: plain_model(contours))) for _ in range(repeats)
    ]
    return statistics.median(p[0] for p in pairs), statistics.median(p[1] for p in pairs)


def main() -> None:
    """Print the ratio."""
    count = sum(len(c) for c in glyphs())
    ours, plain = model_times()
    print(f"typical part, {count} segments of glyphs; medians of {REPEATS} in one run")
    print(f"  regions to verified solid  {ours * 1e3:8.1f} ms")
    print(f"  plain script's model       {plain * 1e3:8.1f} ms")
    print(f"  ratio                      {ours / plain:8.3f}   (target {TARGET})")


if __name__ == "__main__":
    main()
