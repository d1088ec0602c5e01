"""What is offered to hold the part holds it, and where a clamp is offered a place, nothing is in its way."""

from __future__ import annotations

from math import hypot, sqrt
from random import Random

import pytest
from recipe_trials import Edit, judged, of

from generator.base.finding import Finding, Severity
from generator.base.remedy import Way, ways
from generator.build.judge import Checked

BLANK = "dowels: {diameter: 6, axis: y}\nholding: {HELD}"
OUTER = "rectangle: {size: [90, 60], radius: 8}"
CUTTER_MM = 6.0


def plate(folder, held: str, way: Way = (), margin: float = 14.0) -> Checked:
    """Return a plate of 90 x 60 x 10 mm whose blank is so much larger all round, with its holding, judged."""
    more = BLANK.replace("HELD", held) if held else BLANK.partition("\n")[0]
    return judged(folder, more, (Edit("cover.stock.margin", f"{margin:g} mm"), *way), OUTER)


def about(made: Checked, check: str) -> list[Finding]:
    """Return what warns or forbids of one check."""
    return [f for f in of(made, check) if f.severity is not Severity.NOTES]


HELD = [
    "",
    "by: clamps",
    "by: clamps, width: 1",
    "by: clamps, width: 100",
    "by: vacuum",
    "by: adhesive, thickness: 0.2",
    "by: bolt holes, count: 2",
    "by: tabs, count: 4",
    "by: tabs, count: 4, width: 3.5, thickness: 0.9",
    "by: tabs, width: 1, thickness: 0.3",
    "by: tabs, width: 0.2, thickness: 0.2",
    "by: tabs, at: [20, 140, 260]",
    "by: tabs, at: [90, 210, 330], width: 2",
    "by: tabs, thickness: 11",
    "by: tabs, width: 90",
    "by: onion skin, thickness: 10",
    "by: onion skin, thickness: 0.01",
]


@pytest.mark.parametrize("held", HELD)
def test_what_is_offered_to_hold_the_part_holds_it(tmp_path, held):
    before = plate(tmp_path, held)
    tried = [(f, w) for f in of(before, "holding") for w in ways(f.remedy)]
    for finding, way in tried:
        after = plate(tmp_path, held, way)
        left = {f.code for f in about(after, "holding")}
        assert finding.code not in left, (finding.remedy, left)
        assert left <= {f.code for f in about(before, "holding")}, (finding.remedy, left)
    assert tried or not of(before, "holding")


@pytest.mark.parametrize("held", ["by: tabs, width: 3.5, thickness: 0.9", "by: tabs"])
def test_weak_tabs_are_made_thicker_wider_or_more_and_no_more_than_that(tmp_path, held):
    (weak,) = of(plate(tmp_path, held), "holding", "weak")
    offered = {w[0].key: w[0].value or "" for w in ways(weak.remedy)}
    assert set(offered) == {"holding.thickness", "holding.width", "holding.count"}
    for key, value in offered.items():
        number = float(value.removesuffix(" mm"))
        less = f"{number - 1:g}" if key.endswith("count") else f"{number - 0.02:g} mm"
        assert of(plate(tmp_path, held, (Edit(key, less),)), "holding", "weak"), (key, value, less)


# ------------------------------------------------------------------ clamps
def clear(made: Checked, at: tuple[float, float], radius: float) -> bool:
    """Return True if a clamp keeps off the part and the dowels: the part is a rectangle with rounded corners."""
    x, y = max(abs(at[0]) - 37.0, 0.0), max(abs(at[1]) - 22.0, 0.0)
    dowels = [(p.x, p.y) for p in (c.vertices[0] for c in made.plan.blank.dowel_holes)]
    off_part = hypot(x, y) - 8.0 >= CUTTER_MM + radius
    return off_part and all(hypot(at[0] - p[0], at[1] - p[1]) > radius - 6.0 for p in dowels)


def placed(way: Way) -> tuple[float, float]:
    """Return the place that a way names."""
    (edit,) = (e for e in way if e.key.startswith("holding.clamps"))
    x, y = (edit.value or "").strip("[]").split(", ")
    return float(x.removesuffix(" mm")), float(y.removesuffix(" mm"))


@pytest.mark.parametrize("margin", [14.0, 30.0, 4.0])
@pytest.mark.parametrize("number", range(6))
def test_a_clamp_that_is_moved_stands_clear_of_everything(tmp_path, number, margin):
    random = Random(number)
    at = [(random.uniform(-70, 70), random.uniform(-60, 60)) for _ in range(3)]
    at[0] = (0.0, 40.0)  # on a dowel and in the cutter's way at once
    held = f"by: tabs, clamp_radius: 8, clamps: [{', '.join(f'[{x:.2f}, {y:.2f}]' for x, y in at)}]"
    before = plate(tmp_path, held, margin=margin)
    told = of(before, "clamps")
    assert {f.path for f in told if f.code in ("in-the-way", "on-dowel")} >= {"holding.clamps[0]"}
    for finding in told:
        (way,) = ways(finding.remedy)
        after = plate(tmp_path, held, way, margin)
        assert not [f for f in of(after, "clamps") if f.path == finding.path], finding.remedy
        assert clear(after, placed(way), 8.0), finding.remedy
    together = {e.key: e for f in told for w in ways(f.remedy) for e in w if e.key.startswith("holding")}
    needed = [e for f in told for w in ways(f.remedy) for e in w if e.key == "cover.stock.margin"]
    larger = max((float((e.value or "").removesuffix(" mm")) for e in needed), default=margin)
    assert not of(plate(tmp_path, held, tuple(together.values()), larger), "clamps")


def test_two_clamps_are_not_sent_to_one_place(tmp_path):
    held = "by: tabs, clamp_radius: 8, clamps: [[30, 0], [30, 0]]"
    told = of(plate(tmp_path, held), "clamps", "in-the-way")
    a, b = (placed(way) for f in told for way in ways(f.remedy))
    assert hypot(a[0] - b[0], a[1] - b[1]) >= 15.9


def test_where_the_blank_is_too_small_the_margin_is_told_that_is_enough(tmp_path):
    no_dowels = (Edit("dowels", None),)
    (told,) = of(
        plate(tmp_path, "by: tabs, clamp_radius: 30, clamps: [[50, 0]]", no_dowels, 4.0), "clamps", "in-the-way"
    )
    ((margin, place),) = ways(told.remedy)
    assert margin.key == "cover.stock.margin"
    # over the part's rounded corner: radius 8, cutter 6 and clamp 30 to the middle, half of 30 over the blank's corner
    needed = (8.0 + 6.0 + 30.0 + 0.1) / sqrt(2.0) - 8.0 - 15.0 / sqrt(2.0)
    assert float((margin.value or "").removesuffix(" mm")) == pytest.approx(needed, abs=0.2)
    assert place.key == "holding.clamps[0]"
