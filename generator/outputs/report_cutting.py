"""The report's part on cutters, the flip and holding: what the plan asks of tools, dowels and tabs."""

from __future__ import annotations

from math import degrees, inf
from typing import Any, Final, TypeAlias

from generator.base.units import INCH
from generator.estimate.bending import bent_of
from generator.estimate.cutters import Deep, deep_cuts
from generator.estimate.flip import flip_of
from generator.estimate.holding import bears_n, pull_of, tabs_of
from generator.estimate.stock import BOTTOM_FACE, floor_mm, recesses, thickness_of
from generator.outputs.markdown import escape, table
from generator.outputs.output import Work
from generator.recipe.model_holding import TABS, Holding

__all__ = ["cutting_data", "cutting_text"]

Data: TypeAlias = dict[str, Any]

HOW: Final = (
    "Largest: the end mill that leaves nothing of what is drawn. Corner: the tightest inside corner as it is cut. "
    "Cutter: the stiffest of those at hand that gets in and reaches the floor. It bends by so much in a full pass, an "
    "estimate: a light last pass takes most of it away."
)
DIGITS: Final = 4


def cutting_data(work: Work) -> Data | None:
    """Return what is asked of cutters, dowels and holding, as JSON can hold it; None if the recipe is not at hand."""
    if work.recipe is None:
        return None
    return {
        "cuts": [_cut(work, d) for d in deep_cuts(work.recipe, work.plan)],
        "flip": _flip(work),
        "thickness": _thickness(work),
        "holding": _holding(work),
    }


def _cut(work: Work, deep: Deep) -> Data:
    assert work.recipe is not None
    name, tool = deep.used
    bent = bent_of(work.recipe, work.plan, deep)
    return {
        "part": deep.part,
        "feature": deep.feature,
        "depth_mm": round(deep.depth_mm, DIGITS),
        "largest_mm": _known(deep.round_mm or 2.0 * deep.drawn_mm),
        "corner_mm": _known(deep.radius_mm),
        "cutter": name,
        "cutter_mm": round(tool.diameter, DIGITS),
        "depth_to_diameter": round(deep.depth_mm / tool.diameter, 3),
        "reaches_floor": bool(deep.reaching),
        "bends_mm": None if bent is None else round(bent.by_mm, DIGITS),
    }


def _known(value: float) -> float | None:
    """Return a length, or None for one without bounds."""
    return None if value == inf else round(value, DIGITS)


def _flip(work: Work) -> Data | None:
    assert work.recipe is not None
    flip = flip_of(work.recipe, work.plan)
    if flip is None or not work.plan.cover.profile:
        return None
    off, at = flip.worst(work.plan.cover.profile)
    return {
        "dowel_off_mm": round(flip.each_mm, DIGITS),
        "play_mm": round(flip.play_mm, DIGITS),
        "span_mm": round(flip.span_mm, DIGITS),
        "turn_deg": round(degrees(flip.angle_rad), DIGITS),
        "off_mm": round(off, DIGITS),
        "off_at_mm": [round(at.x, DIGITS) + 0.0, round(at.y, DIGITS) + 0.0],
    }


def _thickness(work: Work) -> Data:
    assert work.recipe is not None
    off, stock = thickness_of(work.recipe), work.recipe.cover.stock
    floors = [(round(floor_mm(work.plan, f), DIGITS), f.name) for f in recesses(work.plan)]
    thinnest = min(
        floors, key=lambda x: (x[0], x[1] == "bottom-pocket"), default=None
    )  # named by what is cut from the top
    return {
        "plate_off_mm": round(off.plate_mm, DIGITS),
        "depths_from": stock.depths_from,
        "floors_off_mm": round(off.floors_mm, DIGITS),
        "top_off_mm": round(off.top_mm, DIGITS),
        "thinnest_floor_mm": thinnest[0] if thinnest else None,
        "thinnest_floor_at": thinnest[1] if thinnest else None,
    }


def _holding(work: Work) -> Data | None:
    recipe = work.recipe
    if recipe is None or not isinstance(recipe.holding, Holding):
        return None
    held, pull = recipe.holding, pull_of(recipe, work.plan)
    bears = None if pull is None else bears_n(recipe, work.plan, held, pull)
    return {
        "by": held.by,
        "tabs": tabs_of(held) if held.by == TABS else None,
        "width_mm": held.width if held.by == TABS else None,
        "thickness_mm": held.thickness,
        "clamps_at_mm": [list(p) for p in held.clamps],
        "pull_n": None if pull is None else round(pull.force_n),
        "bears_n": None if bears is None else round(bears),
    }


# ------------------------------------------------------------------ in words
def cutting_text(data: Data | None, inch: bool) -> list[str]:
    """Return the sections of the report, as lines of Markdown; lengths in inches beside mm where the recipe is."""
    if data is None:
        return []
    return [*_cuts_text(data["cuts"], inch), *_faces_text(data, inch)]


def _mm(value: float, inch: bool, digits: int = 3) -> str:
    text = f"{round(value, digits) + 0.0:g} mm"
    return f"{text} ({INCH.length(value)})" if inch else text


def _cuts_text(cuts: list[Data], inch: bool) -> list[str]:
    if not cuts:
        return []
    head = ("cut", "depth", "largest", "corner", "cutter", "depth / ⌀", "bends")
    return ["## Cutters", "", HOW, "", *table(head, [_row(c, inch) for c in cuts], right=(1, 2, 3, 5, 6)), ""]


def _row(cut: Data, inch: bool) -> tuple[str, ...]:
    largest, corner, bends = cut["largest_mm"], cut["corner_mm"], cut["bends_mm"]
    return (
        escape(cut["feature"] if cut["part"] == "cover" else f"{cut['feature']} of {cut['part']}"),
        _mm(cut["depth_mm"], inch),
        "any" if largest is None else _mm(largest, inch) if largest else "none: sharp",
        "" if corner is None else _mm(corner, inch),
        f"{escape(cut['cutter'])}, {_mm(cut['cutter_mm'], inch)}" + ("" if cut["reaches_floor"] else ", too short"),
        f"{cut['depth_to_diameter']:.1f}",
        "" if bends is None else _mm(bends, inch),
    )


def _faces_text(data: Data, inch: bool) -> list[str]:
    lines = []
    if flip := data["flip"]:
        lines.append(
            f"- Dowels {_mm(flip['span_mm'], inch)} apart, each off by up to {_mm(flip['dowel_off_mm'], inch)}: the "
            f"faces may be turned by {flip['turn_deg']:.3f}° and are off by up to {_mm(flip['off_mm'], inch)}"
        )
    lines.append(f"- {_plate(data['thickness'], inch)}")
    if held := data["holding"]:
        lines.append(f"- The last cut: {_held(held, inch)}")
    return ["## Two faces", "", *lines] if lines else []


def _plate(thickness: Data, inch: bool) -> str:
    off, floor = thickness["plate_off_mm"], thickness["thinnest_floor_mm"]
    plate = f"The plate may be {_mm(off, inch)} thicker or thinner" if off else "The plate was measured"
    floors = f"floors are right within {_mm(thickness['floors_off_mm'], inch)}"
    top = f"depths from the top within {_mm(thickness['top_off_mm'], inch)}"
    least = f"; the thinnest floor, at {escape(thickness['thinnest_floor_at'])}, is {_mm(floor, inch)}" if floor else ""
    face = "each from its own face" if thickness["depths_from"] != BOTTOM_FACE else "all from the bottom face"
    return f"{plate}, depths are held {face}: {floors}, {top}{least}"


def _held(held: Data, inch: bool) -> str:
    size = f" of {_mm(held['width_mm'], inch)} × {_mm(held['thickness_mm'], inch)}" if held["tabs"] else ""
    what = f"{held['tabs']} tabs{size}" if held["tabs"] else held["by"]
    if held["by"] == "onion skin":
        what += f" of {_mm(held['thickness_mm'], inch)}"
    known = held["bears_n"] is not None and held["pull_n"] is not None
    pull = f"; it bears about {held['bears_n']} N, the cutter pulls with some {held['pull_n']} N" if known else ""
    return f"held by {what}{pull}"
