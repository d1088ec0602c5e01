"""Everything that is known of a traced footprint as JSON: schema ``coverplate-trace/1``, mm, rad where it says so."""

from __future__ import annotations

import json
from collections.abc import Mapping
from math import isfinite
from typing import Any, Final

import numpy as np

from generator.outputs.footprint.account import Account
from generator.outputs.footprint.told import length_of, round_value
from generator.trace.advice import Wanted
from generator.trace.disputes import Dispute
from generator.trace.doubts import COVERAGE
from generator.trace.footprint import Feature
from generator.trace.pixels import direction_in_picture, pixels_of
from generator.trace.primitives import LINE
from generator.trace.slips import Slip
from generator.trace.taken import taken
from generator.trace.unknowns import OUT_HOLES, OUT_OUTLINE, SCALE_U, SCALE_V, SKEW, UNEVEN_C, UNEVEN_S

__all__ = ["SCHEMA", "figures", "figures_text"]

SCHEMA: Final = "coverplate-trace/1"
HEAD: Final = {
    "scale_u": SCALE_U,
    "scale_v": SCALE_V,
    "skew": SKEW,
    "edge_offset_outline": OUT_OUTLINE,
    "edge_offset_holes": OUT_HOLES,
    "uneven_cos": UNEVEN_C,
    "uneven_sin": UNEVEN_S,
}


def figures_text(account: Account, files: Mapping[str, str]) -> str:
    """Return the figures as text; ``files`` gives the SHA-256 of every other file by its name."""
    return json.dumps(figures(account) | {"files": dict(files)}, indent=1, ensure_ascii=False) + "\n"


def figures(account: Account) -> dict[str, Any]:
    """Return the figures as plain data."""
    footprint, traced = account.footprint, account.traced
    solved = traced.solved
    place = footprint.placement
    return {
        "schema": SCHEMA,
        "name": account.name,
        "images": list(account.images),
        "reference": account.reference,
        "options": list(account.options),
        "frame": {"rule": place.rule, "angle_rad": _r(place.angle), "origin": [_r(place.x), _r(place.y)]},
        "outline": {
            "numbers": list(footprint.outline),
            "uncertainty_95": _r(footprint.outline_doubt),
        },
        "openings": [list(loop) for loop in footprint.openings],
        "holes": list(footprint.holes),
        "features": [_feature(account, f) for f in footprint.features],
        "distances": [
            {
                "between": list(d.numbers),
                "kind": "edges" if d.edges else "centres",
                "value": _r(d.value),
                "uncertainty_95": _r(d.doubt),
                "round": round_value(d.value, d.doubt),
            }
            for d in account.distances
        ],
        "relations": [
            {"name": r.name, "axis": r.axis + 1 or None, "cost_chi2": _r(c)}
            for r, c in zip(solved.relations, solved.costs, strict=True)
        ],
        "given_up": [{"name": r.name, "axis": r.axis + 1 or None, "cost_chi2": _r(c)} for r, c in solved.dropped],
        "scanner": _scanner(account),
        "readings": _readings(account),
        "slips": [_slip(s) for s in solved.slips.values() if not s.sides],
        "contradictions": [_dispute(d) for d in traced.disputes],
        "damage": [
            {"number": d.number, "at": [_r(c) for c in d.at], "off": _r(d.off), "length": _r(d.length)}
            for d in account.damages
        ],
        "lost_in_shadow": [
            {
                "number": e.number,
                "at": [_r(c) for c in e.at],
                "length": _r(e.length),
                "gap": _r(e.gap),
                "edge_uncertainty_95": _r(e.doubt),
            }
            for e in account.lost
        ],
        "cannot_tell": list(account.untold),
        "would_help": [_wanted(w) for w in account.wanted],
        "to_measure": [_wanted(w) for w in account.planned],
        "caliper": _caliper(account),
        "noise": _r(solved.found.noise),
        "remarks": list(traced.remarks),
        "warnings": list(traced.warnings),
    }


def _slip(s: Slip) -> dict[str, Any]:
    return {
        "id": s.name,
        "read": _r(s.value),
        "expected": _r(s.expected),
        "sigma": _r(s.sigma),
        "meant": None if s.probable is None else _r(s.probable),
        "why": s.words,
        "mended": s.plain and s.probable is not None,
    }


def _dispute(d: Dispute) -> dict[str, Any]:
    return {
        "sides": [
            {
                "ids": list(s.names),
                "others_should_show": [
                    {"id": n, "read": _r(read), "expected": _r(value)} for n, read, value in s.others
                ],
            }
            for s in d.sides
        ],
        "read_again": {"id": d.again, "by_each_side": [_r(v) for v in d.shows]},
    }


def _caliper(account: Account) -> dict[str, Any]:
    """Return the readings as they were taken, of what, and which of them were given up, or used as something else."""
    caliper, slips = account.traced.caliper, account.traced.solved.slips
    of = taken(account.traced, account.footprint)
    return {
        "sigma": _r(caliper.sigma),
        "resolution": _r(caliper.resolution),
        "readings": [
            {
                "id": r.name,
                "kind": r.kind,
                "value": _r(r.value),
                "holes": [list(p) for p in r.holes],
                "direction_px_deg": r.direction_deg,
                "numbers": list(of[r.name].numbers),
                "direction_rad": None if of[r.name].direction is None else _r(of[r.name].direction or 0.0),
                "what": of[r.name].what,
                "doubtful": _doubtful(slips.get(r.name)),
            }
            for r in caliper.readings
        ],
    }


def _doubtful(slip: Slip | None) -> str:
    """Return why a reading should be taken again, empty if it need not."""
    if slip is None:
        return ""
    return "others contradict it" if slip.sides else f"{slip.expected:.2f} is expected, {slip.words}"


def _wanted(w: Wanted) -> dict[str, Any]:
    return {
        "kind": w.kind,
        "numbers": list(w.numbers),
        "holes": [list(p) for p in w.holes],
        "direction_px_deg": None if w.direction_px_deg is None else round(w.direction_px_deg, 2),
        "direction_rad": None if w.direction is None else _r(w.direction),
        "what": w.what,
        "outline_95_before": _r(w.before),
        "outline_95_after": _r(w.after),
    }


def _feature(account: Account, f: Feature) -> dict[str, Any]:
    p, d = f.primitive, f.doubt
    model = account.traced.solved.primitives[f.number - 1]
    if p.kind == LINE:
        a, b = (account.footprint.placement.back(*at) for at in (f.start, f.end))
        middle = np.array([[(a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0]])
    else:
        middle = np.array([model.values[:2]])
    u, v = pixels_of(account.traced, middle)[0]
    shape: dict[str, Any] = (
        {
            "faces_rad": _r(p.values[0]),
            "from_origin": _r(p.values[1]),
            "faces_px_deg": round(direction_in_picture(account.traced, model.values[0]), 3),
            "angle_uncertainty_95_rad": _r(COVERAGE * d.angle),
        }
        if p.kind == LINE
        else {
            "centre": [_r(p.values[0]), _r(p.values[1])],
            "radius": _r(p.values[2]),
            "hollow": p.side < 0,
            "radius_uncertainty_95": _r(COVERAGE * d.radius),
            "centre_covariance": [[_r(c, 12) for c in row] for row in d.centre],
            "round_radius": round_value(p.values[2], COVERAGE * d.radius),
        }
    )
    return {
        "number": f.number,
        "kind": p.kind,
        "loop": p.loop,
        **shape,
        "start": [_r(c) for c in f.start],
        "end": [_r(c) for c in f.end],
        "bulge": _r(f.bulge, 9),
        "length": _r(length_of(f)),
        "edge_uncertainty_95": _r(COVERAGE * d.edge),
        "misfit_rms": _r(f.off),
        "misfit_most": _r(f.worst),
        "given_up_share": _r(f.given_up),
        "pixel": [round(float(u), 2), round(float(v), 2)],
    }


def _scanner(account: Account) -> dict[str, Any]:
    found = account.traced.solved.found
    told = {
        name: {"value": _r(float(found.x[at]), 8), "sigma": _r(max(float(found.covariance[at, at]), 0.0) ** 0.5, 8)}
        for name, at in HEAD.items()
    }
    k = account.traced.seen[0].mm_per_px
    return {"nominal_dpi": [round(25.4 / k[0], 3), round(25.4 / k[1], 3)], **told}


def _readings(account: Account) -> list[dict[str, Any]]:
    found = account.traced.solved.found
    kinds = {r.name: r.kind for r in account.traced.caliper.readings}
    return [
        {
            "id": m.name,
            "kind": kinds.get(m.name, ""),
            "value": _r(m.value),
            "sigma": _r(m.sigma),
            "traced": _r(m.value + float(rest)),
            "residual": _r(float(rest)),
            "controlled": m.name not in account.uncontrolled,
        }
        for m, rest in zip(account.measured, found.readings, strict=True)
    ]


def _r(value: float, digits: int = 7) -> float | None:
    """Return a number rounded, None for what is not finite; never a negative zero."""
    value = float(value)
    return round(value, digits) + 0.0 if isfinite(value) else None
