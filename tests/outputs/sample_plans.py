"""Plans made by hand, so that the outputs are tested without reader, shapes or checks."""

from __future__ import annotations

from dataclasses import replace

from generator.base.finding import Finding, Severity
from generator.base.materials import material
from generator.checks.check import Outcome
from generator.outline.contour import Contour, Point
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.outline.transform import Axis, mirrored
from generator.outputs.output import Hole, SolidFacts, Work
from generator.part.part import Blank, Bolt, Face, Feature, FlipAxis, Layer, Part, Plan

HALF_PI = 1.5707963267948966


def disc(x: float, y: float, r: float, *, hole: bool = False) -> Contour:
    c = Contour.of([(x + r, y, 1.0), (x - r, y, 1.0)])
    return c.reversed() if hole else c


def rect(x0: float, y0: float, x1: float, y1: float) -> Contour:
    return Contour.of([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def obround(x: float, half: float, r: float) -> Contour:
    return Contour.of([(x - half, -r), (x + half, -r, 1.0), (x + half, r), (x - half, r, 1.0)])


OUTER = obround(0.0, 30.0, 25.0)
POCKET = obround(0.0, 20.0, 12.3)
CREST = rect(-12.0, 12.9, 12.0, 20.9)
INSERT = rect(-11.95, 12.95, 11.95, 20.85)
BOLTS = (Point(-20.0, 0.0), Point(20.0, 0.0))
THICK = 12.0
FLIP_X = 0.5


def cover() -> Part:
    holes = tuple(
        Feature(f"bolt-{i}", "bolt-holes", Face.TOP, Region((disc(*p, 3.3),)), 0.0, THICK)
        for i, p in enumerate(BOLTS, 1)
    )
    seats = tuple(
        Feature(f"seat-bolt-{i}", "seats", Face.TOP, Region((disc(*p, 5.5),)), 5.6, THICK)
        for i, p in enumerate(BOLTS, 1)
    )
    pocket = Feature("bottom-pocket", "bottom-pocket", Face.BOTTOM, Region((POCKET,)), 0.0, 3.4)
    inlay = Feature("inlay-pocket-crest", "inlay-pocket-crest", Face.TOP, Region((CREST,)), 10.5, THICK)
    return Part(
        "cover", material("EN AW-6082 T6"), THICK, Region((OUTER,)), (*holes, *seats, pocket, inlay), rim_break_mm=0.5
    )


def insert(name: str = "crest") -> Part:
    return Part(
        f"insert-{name}", material("CuZn39Pb3 R430"), 1.5, Region((INSERT,)), (), 0.0, 10.5, f"insert-profile-{name}"
    )


def plan(*, load_bearing: bool = True, rim_break_mm: float = 0.5) -> Plan:
    bolts = tuple(
        Bolt(f"bolt-{i}", p, 6.6, "M6", "ISO 4762", "ISO 273 medium", f"original.bolts[0].at[{i - 1}]")
        for i, p in enumerate(BOLTS, 1)
    )
    dowels = Region.of([disc(FLIP_X, 35.0, 3.0), disc(FLIP_X, -37.0, 3.0)])
    return Plan(
        name="gate-latch-21",
        title="Gate latch cover, plot 21",
        revision="B",
        notes="Deburr all edges.",
        load_bearing=load_bearing,
        original_height_mm=3.2,
        footprint=Region((obround(0.0, 20.0, 12.0),)),
        cover=replace(cover(), rim_break_mm=rim_break_mm),
        inserts=(insert(),),
        bolts=bolts,
        blank=Blank(Region((rect(-65.0, -45.0, 66.0, 45.0),)), THICK, dowels, 6.0),
        flip=FlipAxis("y", FLIP_X),
        tool_diameters=(("finisher", 3.0),),
    )


def layers() -> tuple[Layer, ...]:
    flipped = mirrored(Region((POCKET,)), Axis(Point(FLIP_X, 0.0), HALF_PI))
    holes = Region.of([disc(*p, 3.3) for p in BOLTS])
    seats = Region.of([disc(*p, 5.5) for p in BOLTS])
    dowels = Region.of([disc(FLIP_X, 35.0, 3.0), disc(FLIP_X, -37.0, 3.0)])
    return (
        Layer("blank", "blank", Face.TOP, Region((rect(-65.0, -45.0, 66.0, 45.0),)), 0.0, THICK, "Saw to size."),
        Layer("dowel-holes", "blank", Face.TOP, dowels, 0.0, THICK, "Ream 6 H7 through."),
        Layer("dowel-holes", "blank", Face.BOTTOM, dowels, 0.0, THICK, "Reference only: already there."),
        Layer("bottom-pocket", "cover", Face.BOTTOM, flipped, 0.0, 3.4, "Over the original."),
        Layer("bolt-holes", "cover", Face.TOP, holes, 0.0, THICK, "Through."),
        Layer("seats", "cover", Face.TOP, seats, 0.0, 6.4, "Counterbore."),
        Layer("inlay-pocket-crest", "cover", Face.TOP, Region((CREST,)), 0.0, 1.5, ""),
        Layer("outer-profile", "cover", Face.TOP, Region((OUTER,)), 0.0, THICK, "Cut last."),
        Layer("insert-profile-crest", "insert-crest", Face.TOP, Region((INSERT,)), 0.0, 1.5, "Cut out."),
    )


FINDING = Finding(
    check="thin-floor",
    code="thin",
    severity=Severity.WARNS,
    message="The floor between the inlay pocket and the bottom pocket is thin.",
    feature="inlay-pocket-crest",
    point_mm=(0.0, 16.9),
    face="top",
    figure=0.8,
    limit=1.0,
    unit="mm",
    source="common practice, no source",
    remedy="set inlays.crest.pocket_depth to 1.3",
    path="inlays.crest.pocket_depth",
)


def work(**changes: object) -> Work:
    base = Work(
        plan=plan(),
        layers=layers(),
        outcomes=(Outcome("thin-floor", (FINDING,)), Outcome("bolts-inside"), Outcome("flip", (), "KeyError: 'x'")),
        recipe_digest="ab" * 32,
        resolved="name: gate-latch-21\nunits: mm\n",
        tool_versions={"coverplate": "0.1.0", "ezdxf": "1.4.5"},
    )
    return replace(base, **changes)  # type: ignore[arg-type]


def facts(part: Part, volume_mm3: float, bolts: tuple[Point, ...] = BOLTS, *, seated: bool = False) -> SolidFacts:
    holes = tuple(Hole(p, 6.6, 3.4, 5.6) for p in bolts) if part.name == "cover" else ()
    box = bounds(part.profile)
    z = part.seat_z_mm if seated else 0.0
    where = (box.xmin, box.ymin, z, box.xmax, box.ymax, z + part.thickness_mm)
    return SolidFacts(f"gate-latch-21 {part.name}", volume_mm3, True, True, 20, holes, where)
