"""The report's part on the fit: how likely the cover goes over its original, and what that hangs on."""

from __future__ import annotations

from math import degrees, isinf
from typing import Any, TypeAlias

from generator.base.units import INCH
from generator.fit.chains import Chain
from generator.fit.summary import summary_of
from generator.outputs.markdown import table
from generator.outputs.output import Work

__all__ = ["fit_data", "fit_text"]

Data: TypeAlias = dict[str, Any]

HOW = (
    "Covers and originals made by lot from the tolerances above, each cover shifted and turned until it goes on as "
    "well as it can. The sums beside it take no turning into account; both ask what 99.73 % of covers keep within. At "
    "worst every error reaches its limit in the worst direction at once: what is cut its full limits, what was "
    "measured three standard deviations (for bolts, as many as keep all of them within). The root sum of squares takes "
    "as many standard uncertainties, and is never more than the worst."
)


def fit_data(work: Work) -> Data | None:
    """Return what is known of the fit, as JSON can hold it; None if the recipe is not at hand."""
    if work.recipe is None:
        return None
    found = summary_of(work.recipe, work.plan)
    chance, play = found.chance, found.play
    return {
        "samples": chance.samples,
        "fit": chance.fit,
        "chance": round(chance.share, 6),
        "standard_error": round(chance.standard_error, 6),
        "bolts_go_in": round(chance.bolts_share, 6),
        "wanted": found.wanted,
        "clearance_mm": round(found.case.clearance_mm, 6),
        "clearance_wanted_mm": None if isinf(found.needed_mm) else round(found.needed_mm, 4),
        "clear_above": round(found.clear_above, 6),
        "room_above_wanted_mm": round(found.above_mm, 4),
        "shift_mm": round(play.shift_mm, 4),
        "turn_deg": None if isinf(play.turn_rad) else round(degrees(play.turn_rad), 4),
        "edge_off_mm": round(play.edge_mm, 4),
        "sums": [_chain(c) for c in found.chains],
    }


def _chain(chain: Chain) -> Data:
    return {
        "name": chain.name,
        "room_mm": round(chain.room_mm, 6),
        "worst_mm": round(chain.worst_mm, 6),
        "rss_mm": round(chain.rss_mm, 6),
        "errors": [
            {"name": t.name, "key": t.key, "worst_mm": round(t.worst_mm, 6), "share": round(share, 4)}
            for t, share in chain.shares()
        ],
    }


def fit_text(data: Data | None, inch: bool) -> list[str]:
    """Return the section of the report, as lines of Markdown; lengths in inches beside mm where the recipe is."""
    if data is None:
        return []

    def mm(value: float) -> str:
        return f"{value:.3f} mm ({INCH.length(value)})" if inch else f"{value:.3f} mm"

    wanted, needed = _percent(data["wanted"], 1), data["clearance_wanted_mm"]
    enough = "no clearance is enough: the bolts do not go in" if needed is None else f"{mm(needed)} would do"
    turn = "freely" if data["turn_deg"] is None else f"by {data['turn_deg']:.2f}°"
    rows = [
        (c["name"], f"{c['room_mm']:.3f}", f"{c['worst_mm']:.3f}", f"{c['rss_mm']:.3f}", _mostly(c))
        for c in data["sums"]
    ]
    return [
        "## Fit on the original",
        "",
        f"- {_told(data)} go over the original with all bolts in",
        f"- Clearance all round {mm(data['clearance_mm'])}; for {wanted} {enough}",
        f"- The floor of the pocket clears the original in {_percent(data['clear_above'])} of covers; for {wanted} "
        f"{mm(data['room_above_wanted_mm'])} above would do",
        f"- Put on carelessly, the cover can be shifted by {mm(data['shift_mm'])} or turned {turn}; its edge is then "
        f"up to {mm(data['edge_off_mm'])} off",
        "",
        HOW,
        "",
        *table(("sum", "room, mm", "worst, mm", "rss, mm", "mostly"), rows, right=(1, 2, 3)),
    ]


def _told(data: Data) -> str:
    """Return the share that fits with its error; where all samples do, what that is worth (3 / samples at 95 %)."""
    if data["fit"] == data["samples"]:
        least = _percent(1.0 - 3.0 / data["samples"])
        return f"All of {data['samples']} samples (so, at 95 % confidence, at least {least} of covers)"
    share, error = _percent(data["chance"]), _percent(data["standard_error"])
    return f"{share} of covers (± {error}, {data['samples']} samples)"


def _percent(share: float, digits: int = 2) -> str:
    return f"{100.0 * share:.{digits}f} %"


def _mostly(chain: Data) -> str:
    """Return the errors that make most of a sum's variance, the largest first."""
    return (
        ", ".join(f"{e['name']} {_percent(e['share'], 0)}" for e in chain["errors"][:3] if e["share"] > 0.0)
        or "nothing"
    )
