"""What no cutter reaches, read back from the plan drawing: areas, rings, keys, legend, and a proof that can fail."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations
from math import pi, radians, tan

import pytest

from generator.outline.combine import difference, union
from generator.outline.create import circle, polygon, rectangle
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.outputs import plan_svg
from generator.outputs.output import Work
from generator.outputs.plan_reach import AREA, unreached
from generator.outputs.svg_read import read_drawing
from generator.part.corners import cut_by
from generator.part.layers import layers
from generator.part.part import Face, Feature, Plan
from tests.outputs.picture_samples import plan, ring_of, samples

CORNER = (1.0 - pi / 4.0) * 1.5**2
"""What a 3 mm cutter leaves in a square corner, mm²."""


def box(*corners: float) -> Region:
    return Region((rectangle(*corners),))


def with_pocket(region: Region, of: Plan | None = None) -> Plan:
    """The plan with another pocket in its top face, and no insert."""
    of = of or plan(inlay=None)
    top = of.cover.thickness_mm
    pocket = Feature("inlay-pocket-crest", "inlay-pocket-crest", Face.TOP, region, top - 1.0, top, path="inlays.crest")
    return replace(of, cover=replace(of.cover, features=(*of.cover.features, pocket)))


SHARP = with_pocket(box(-20.0, -8.0, 20.0, 8.0))
NECKED = with_pocket(union(Region((circle((-12, 0), 6),)), Region((circle((12, 0), 6),)), box(-12.0, -0.6, 12.0, 0.6)))
CROWDED = with_pocket(
    Region.of(rectangle(x, -6.0 - 0.1 * abs(x), x + 5.0, 6.0) for x in range(-44, 44, 8)),
    plan(inlay=None, bolts=ring_of(10, 24.0)),
)


def work(of: Plan) -> Work:
    return Work(of, layers(of), (), "0" * 64, "", {})


def drawn(of: Plan) -> bytes:
    ((_, data),) = plan_svg.write(work(of))
    return data


def failing(of: Plan, data: bytes) -> set[str]:
    return {p.what for p in plan_svg.prove(work(of), {"plan.svg": data}) if not p.holds}


def texts(data: bytes) -> list[str]:
    return [t.text for t in read_drawing(data).texts]


def rings(data: bytes) -> list[tuple[float, float, float]]:
    found = re.findall(r'<circle cx="([-\d.]+)" cy="([-\d.]+)" r="([\d.]+)" [^>]*stroke-dasharray', data.decode())
    return [(float(x), float(y), float(r)) for x, y, r in found]


@pytest.mark.parametrize(
    "of", [plan(), samples()["plain"], replace(SHARP, tool_diameters=())], ids=["latch", "tap", "none"]
)
def test_a_plan_that_is_reached_everywhere_says_nothing(of: Plan) -> None:
    data = drawn(of)
    assert unreached(of) == ()
    assert read_drawing(data).unreached == ()
    assert rings(data) == []
    assert "Not reached by the cutter" not in texts(data)


def test_corners_are_drawn_where_they_are_with_their_area() -> None:
    drawing = read_drawing(drawn(SHARP))
    (path,) = drawing.unreached
    assert path.layer == "cover inlay-pocket-crest"
    assert [sum(a.area() for a in c) for c in path.contours] == pytest.approx([CORNER] * 4, rel=1e-5)
    assert path.bounds == pytest.approx((-20.0, -8.0, 20.0, 8.0), abs=1e-5)
    assert failing(SHARP, drawn(SHARP)) == set()


def test_small_corners_have_rings_with_keys_and_large_places_have_keys_only() -> None:
    data = drawn(SHARP)
    assert len(rings(data)) == 4
    assert {"u1", "u2", "u3", "u4"} <= set(texts(data))
    assert all(r >= 2.0 for _, _, r in rings(data))  # 4 mm on paper, however small the corner
    assert rings(drawn(NECKED)) == []
    assert "u1" in texts(drawn(NECKED))


def test_the_legend_tells_cutter_areas_and_depths() -> None:
    legend = " ".join(texts(drawn(SHARP)))
    assert "Not reached by the cutter" in legend
    assert "⌀3 end mill: 1.93 mm² not cut in inlay-pocket-crest, 4 places" in legend
    assert "u1 to u4: 0.483 mm², 0.62 mm deep each" in legend
    swatch = AREA.attributes()
    assert drawn(SHARP).decode().count(swatch) == 2  # the area itself, at 1:1, and its sample


def test_inches_are_told_in_inches() -> None:
    legend = " ".join(texts(drawn(replace(SHARP, units="inch"))))
    assert "⌀0.1181 end mill: 0.00299 in² not cut" in legend
    assert "0.0245 in deep each" in legend


def test_outlines_and_matched_corners_are_told_apart() -> None:
    notched = difference(SHARP.cover.profile, box(-10.0, 20.0, 10.0, 40.0))
    pocket = replace(SHARP.cover.features[-1], asked=SHARP.cover.features[-1].region, cutter_mm=2.0)
    of = replace(SHARP, cover=replace(SHARP.cover, profile=notched, features=(*SHARP.cover.features[:-1], pocket)))
    legend = " ".join(texts(drawn(of)))
    assert "⌀2 end mill: 0.858 mm² rounded away in inlay-pocket-crest" in legend
    assert "⌀3 end mill: 0.966 mm² left standing outside outer-profile, 2 places" in legend


def test_a_whole_pocket_that_is_too_narrow_is_drawn_whole() -> None:
    of = with_pocket(box(-20.0, -1.0, 20.0, 1.0))
    data = drawn(of)
    assert sum(a.area() for p in read_drawing(data).unreached for c in p.contours for a in c) == pytest.approx(80.0)
    assert any("80 mm², all of it" in t for t in texts(data))


@pytest.mark.parametrize("of", [SHARP, NECKED, CROWDED], ids=["sharp", "necked", "crowded"])
@pytest.mark.parametrize("units", ["mm", "inch"])
def test_lettering_stays_clear_and_everything_proves(of: Plan, units: str) -> None:
    of = replace(of, units=units)
    data = drawn(of)
    found = read_drawing(data).texts
    assert [(a.text, b.text) for a, b in combinations(found, 2) if a.box.overlaps(b.box)] == []
    assert failing(of, data) == set()
    assert data == drawn(of)


def test_of_very_many_places_the_largest_are_ringed_and_all_are_drawn() -> None:
    found = unreached(CROWDED)
    assert len(found) == 44
    assert sum(bool(u.key) for u in found) == 24
    data = drawn(CROWDED)
    assert len(rings(data)) == 24
    assert sum(len(p.contours) for p in read_drawing(data).unreached) == 44
    assert min(u.loss.area_mm2 for u in found if u.key) >= max(u.loss.area_mm2 for u in found if not u.key) - 1e-9


def matched(region: Region, cutter_mm: float = 3.0) -> Plan:
    """The plan with a pocket whose corners are made for the cutter."""
    of = with_pocket(region)
    pocket = replace(of.cover.features[-1], region=cut_by(region, cutter_mm / 2.0), asked=region, cutter_mm=cutter_mm)
    return replace(of, cover=replace(of.cover, features=(*of.cover.features[:-1], pocket)))


def corner_of(degrees: float) -> Region:
    """A wedge with one corner of so many degrees; the other two are blunter."""
    half = radians(degrees) / 2.0
    return Region((polygon([(-12.0, 0.0), (0.0, -12.0 * tan(half)), (12.0, 0.0), (0.0, 12.0 * tan(half))]),))


def test_ordinary_rounded_corners_are_drawn_and_summed_up_but_not_ringed() -> None:
    of = matched(box(-20.0, -8.0, 20.0, 8.0))
    data = drawn(of)
    assert sum(len(p.contours) for p in read_drawing(data).unreached) == 4
    assert rings(data) == []
    assert not any(t.startswith("u1") for t in texts(data))
    legend = " ".join(texts(data))
    assert "1.93 mm² rounded away in inlay-pocket-crest, 4 places" in legend
    assert "4 ordinary rounded corners, none deeper than 0.62 mm" in legend
    assert failing(of, data) == set()


@pytest.mark.parametrize(("degrees", "ringed"), [(85.0, 0), (60.0, 2)])
def test_points_more_acute_than_a_right_angle_are_ringed(degrees: float, ringed: int) -> None:
    data = drawn(matched(corner_of(degrees)))
    assert len(rings(data)) == ringed
    legend = " ".join(texts(data))
    if ringed:
        a = radians(degrees) / 2.0
        area = 1.5**2 * (1.0 / tan(a) - (pi / 2.0 - a))  # of a corner of angle 2a, less the arc's share
        assert f"u1 and u2: {area:.2f} mm², 1.5 mm deep each" in legend
        assert "2 ordinary rounded corners, " in legend


def test_points_too_small_to_be_seen_are_not_ringed() -> None:
    """The same wedge with an end mill of 0.3 mm: 0.15 mm deep, below one minute of arc at 600 mm, 0.1745 mm."""
    data = drawn(matched(corner_of(60.0), 0.3))
    assert rings(data) == []
    assert "4 ordinary rounded corners, none deeper than 0.15 mm" in " ".join(texts(data))


def test_an_area_that_is_missing_or_moved_does_not_prove() -> None:
    good = drawn(SHARP).decode()
    gone = re.sub(r'<path data-reach=".*\n', "", good)
    assert gone != good
    assert "plan: area not reached" in failing(SHARP, gone.encode())
    flipped = re.sub(
        r'(data-reach="[^"]+" d=".*?A[\d.]+ [\d.]+ 0 0 )([01])', lambda m: m[1] + "10"[int(m[2])], good, count=1
    )
    assert "plan: area not reached" in failing(SHARP, flipped.encode())


def test_the_legend_stands_below_the_layers_and_inside_the_sheet() -> None:
    drawing = read_drawing(drawn(SHARP))
    where = {t.text: t.box for t in drawing.texts}
    assert where["Layers"].top < where["Not reached by the cutter"].top
    assert all(t.box.within(drawing.sheet) for t in drawing.texts)
    assert bounds(SHARP.cover.profile).width_mm < drawing.sheet.width
