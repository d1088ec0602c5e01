"""The report's part on making: pieces of stock, tools and how they start, time and cost; estimates, and they say so."""

from __future__ import annotations

from typing import Any, TypeAlias

from generator.base.cutting import CARBIDE, sources_of
from generator.estimate.making import Piece, Step, estimate
from generator.estimate.times import kind_of_part
from generator.outputs.markdown import escape, table
from generator.outputs.output import Work

__all__ = ["making_data", "making_text"]

Data: TypeAlias = dict[str, Any]

HOW = (
    "An estimate, from published charts for a {tool}. These disagree by factors, so every time has two ends: by the "
    "fastest figures of all charts and by the slowest, held to what the machine can do. n = 1000 vc / (π D), feed = "
    "n z fz, time = way / feed; for ways through the air a tenth is added at least and a half at most. Setups and tool "
    "changes take from the stated minutes divided by making.spread to the minutes times it. The starting values are "
    "the slowest ones. The maker of the cutter knows better; so do the ears at the machine."
)


def making_data(work: Work) -> Data | None:
    """Return what making takes, as JSON can hold it; None if the recipe is not at hand."""
    if work.recipe is None:
        return None
    found = estimate(work.recipe, work.plan)
    kinds = {p.name: kind_of_part(work.recipe, p) for p in work.plan.parts}
    return {
        "pieces": [_piece(p) for p in found.pieces],
        "steps": [_step(s) for s in found.steps],
        "charts": {part: {"cut_like": kind, "source": sources_of(kind)} for part, kind in kinds.items()},
        "setups": found.setups,
        "tools": found.tools,
        "tools_not_at_hand": [{"kind": kind, "diameter_mm": diameter} for kind, diameter in found.missing],
        "tool_changes": found.changes,
        "cutting_min": [round(found.cutting.least, 1), round(found.cutting.most, 1)],
        "setting_min": [round(found.setting.least, 1), round(found.setting.most, 1)],
        "whole_min": [round(found.whole.least, 1), round(found.whole.most, 1)],
        "material_cost": None if found.material_cost is None else round(found.material_cost, 2),
        "work_cost": None if found.work_cost is None else [round(x, 2) for x in found.work_cost],
        "currency": found.currency,
    }


def _piece(piece: Piece) -> Data:
    return {
        "part": piece.part,
        "material": piece.material,
        "size_mm": [round(x, 3) for x in piece.size_mm],
        "mass_g": round(piece.mass_g, 3),
        "part_mass_g": round(piece.part_mass_g, 3),
        "cost": None if piece.price is None else round(piece.price, 2),
    }


def _step(step: Step) -> Data:
    op, start = step.operation, step.start
    return {
        "part": op.part,
        "what": op.what,
        "done": op.done,
        "tool": op.tool or None,
        "kind": op.kind,
        "diameter_mm": op.diameter_mm,
        "teeth": op.teeth,
        "count": op.count,
        "start_speed_rpm": round(start.speed_rpm),
        "start_feed_mm_min": round(start.feed_mm_min),
        "feed_tooth_mm": round(start.feed_tooth_mm, 4),
        "step_down_mm": round(start.step_down_mm, 3),
        "passes": start.passes,
        "minutes": [round(step.minutes.least, 2), round(step.minutes.most, 2)],
    }


def making_text(data: Data | None) -> list[str]:
    """Return the section of the report, as lines of Markdown."""
    if data is None:
        return []
    missing = [f"{t['kind']} {t['diameter_mm']:g} mm" for t in data["tools_not_at_hand"]]
    unnamed = "not at hand" if missing else "any"
    rows = [
        (
            escape(s["part"]),
            escape(s["what"]),
            s["done"] if s["count"] == 1 else f"{s['done']}, {s['count']} times",
            f"{escape(s['tool'] or unnamed)} ({s['kind']} ⌀ {s['diameter_mm']:g})",
            f"{s['start_speed_rpm']:d}",
            f"{s['start_feed_mm_min']:d}",
            f"{s['passes']} of {s['step_down_mm']:g}" if s["passes"] > 1 else "1",
            _span(s["minutes"], 1),
        )
        for s in data["steps"]
    ]
    head = ("part", "what", "done", "tool, mm", "speed 1/min", "feed mm/min", "passes, mm", "minutes")
    return [
        "## Making: an estimate",
        "",
        f"- {data['setups']} setups, {data['tools']} tools, {data['tool_changes']} tool changes",
        *([f"- Not at hand: {', '.join(missing)}"] if missing else []),
        f"- Cutting {_span(data['cutting_min'])} minutes, setups and changes {_span(data['setting_min'])}; in all "
        f"{_span(data['whole_min'])} minutes",
        *(f"- {line}" for line in _stock(data)),
        *(f"- {line}" for line in _costs(data)),
        "",
        HOW.format(tool=CARBIDE),
        "",
        *(f"- {escape(part)}: cut like {c['cut_like']}; charts: {c['source']}" for part, c in data["charts"].items()),
        "",
        *table(head, rows, right=(4, 5, 6, 7)),
    ]


def _stock(data: Data) -> list[str]:
    return [
        f"Stock for {escape(p['part'])}: {p['size_mm'][0]:g} × {p['size_mm'][1]:g} × {p['size_mm'][2]:g} mm "
        f"{escape(p['material'])}, {p['mass_g']:.0f} g, of which {p['part_mass_g']:.0f} g are left"
        for p in data["pieces"]
    ]


def _costs(data: Data) -> list[str]:
    money = escape(data["currency"])
    lines = []
    if data["material_cost"] is not None:
        lines.append(f"Material: {data['material_cost']:.2f} {money}")
    if data["work_cost"] is not None:
        lines.append(f"Work: {data['work_cost'][0]:.2f} to {data['work_cost'][1]:.2f} {money}")
    return lines


def _span(ends: list[float], digits: int = 0) -> str:
    low, high = (f"{x:.{digits}f}" for x in ends)
    return low if low == high else f"{low} to {high}"
