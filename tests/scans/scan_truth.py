"""What is true of a simulated scan, and what a person with a caliper would write down, both in the corpus's formats."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from tests.scans.hurt import Damage
from tests.scans.scan_conditions import Conditions
from tests.scans.scan_light import Bed
from tests.scans.scan_shape import Part, Segment, seats, segments, support

CLICK = 3.0
"""Standard deviation of a person's clicks, pixels."""


def truth_of(part: Part, c: Conditions, bed: Bed, damage: Damage, caliper: list[dict[str, Any]]) -> dict[str, Any]:
    """The record ``trace-truth/1``."""
    kx, ky = c.dpi * (1 + c.ex), c.dpi * (1 + c.ey)
    settings = {k: v for k, v in vars(c).items() if k not in ("readings", "sigma", "resolution", "mistyped")}
    return {
        "format": "trace-truth/1",
        "case": f"{part.name}-{c.dpi:g}",
        "part": part.name,
        "units": "mm",
        "y_axis": "up",
        "outer": [list(v) for v in part.outer],
        "joins": part.joins,
        "inner": [[list(v) for v in loop] for loop in part.inner],
        "circles": [{"id": n, "x": x, "y": y, "d": d} for n, x, y, d in part.circles],
        "symmetry": [{"point": list(p), "direction": list(d)} for p, d in part.axes],
        "primitives": part.counts(),
        "image": {
            "kind": "scan",
            "width": bed.width,
            "height": bed.height,
            "dpi_nominal": c.dpi,
            "dpi_true_x": kx,
            "dpi_true_y": ky,
            "mm_to_px": bed.matrix.tolist(),
            "pixel_convention": "(0,0) is the centre of the top left pixel, y down",
            "wobble": {
                "amplitude_mm": c.wobble,
                "period_mm": c.wobble_period,
                "phase": c.wobble_phase,
                "note": "v_ideal = v - a*sin(2*pi*v/p+phase), in px",
            },
            "file": "image." + c.fmt,
            "metadata_dpi": c.dpi if c.meta_dpi == "true" else c.meta_dpi,
        },
        "imperfections": {
            **settings,
            **damage.told(),
            "dust_px": [list(d) for d in damage.dust],
        },
        "caliper": caliper,
    }


def _choices(part: Part) -> list[dict[str, Any]]:
    """What a sensible person measures, most useful first: a hole, the longest distance, two widths, more of each."""
    holes = {n: (x, y, d) for n, x, y, d in part.circles}
    names = sorted(holes, key=lambda n: -holes[n][2])
    pairs = [(a, b) for i, a in enumerate(holes) for b in list(holes)[i + 1 :]]
    pairs.sort(key=lambda p: -math.dist(holes[p[0]][:2], holes[p[1]][:2]))
    edges = segments(part.outer)
    widths = sorted(seats(edges), key=lambda s: (not _steady(edges, s[0]), -s[1]))
    first = widths[0]
    rest = sorted(widths[1:], key=lambda s: -round(abs(math.sin(s[0] - first[0])), 1))
    diameters = [{"kind": "diameter", "true": holes[n][2], "of": n} for n in names]
    distances = [
        {"kind": "centre_distance", "true": math.dist(holes[a][:2], holes[b][:2]), "between": [a, b]} for a, b in pairs
    ]
    jaws = [{"kind": "outside_width", "true": w, "angle": a} for a, w in [first, *rest]]
    order = [diameters[:1], distances[:1], jaws[:1], jaws[1:2], distances[1:2], diameters[1:2], jaws[2:3]]
    return [item for group in order for item in group]


def _steady(edges: list[Segment], angle: float) -> bool:
    """Whether a jaw that measures in this direction lies on a straight edge or on two places, and so holds itself."""
    return any(support(edges, a).spread > 1.0 for a in (angle, angle + math.pi))


def _typed(value: float, how: str, resolution: float) -> float:
    """A reading written down wrong."""
    if how == "inch":
        return round(value / 25.4, 3)
    text = list(f"{value:.2f}")
    if how == "digit":
        text[0] = str(int(text[0]) % 9 + 1)
        return float("".join(text))
    for i in range(len(text) - 1):  # the first two unlike neighbours change places
        if text[i].isdigit() and text[i + 1].isdigit() and text[i] != text[i + 1]:
            text[i], text[i + 1] = text[i + 1], text[i]
            break
    return float("".join(text))


def caliper_of(
    part: Part, c: Conditions, bed: Bed, rng: np.random.Generator
) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    """Return what was typed in (as ``caliper.yaml`` holds it) and the truth behind every reading."""
    holes = {n: (x, y) for n, x, y, _ in part.circles}
    edges = segments(part.outer)
    typed: list[dict[str, Any]] = []
    true: list[dict[str, Any]] = []

    def click(point: np.ndarray) -> list[int]:
        return [int(n) for n in np.rint(bed.pixel(point[None, :])[0] + rng.normal(0, CLICK, 2))]

    chosen = _choices(part)[: c.readings]
    slip = next((i for i, m in enumerate(chosen) if m["kind"] == "outside_width"), 0) if c.mistyped else -1
    for i, m in enumerate(chosen):
        value = round(float(m["true"] + rng.normal(0, c.sigma)) / c.resolution) * c.resolution
        value = _typed(value, c.mistyped, c.resolution) if i == slip else round(value, 4)
        entry: dict[str, Any] = {"id": f"m{i + 1}", "kind": m["kind"], "value": value}
        fact: dict[str, Any] = {"id": f"m{i + 1}", "kind": m["kind"], "true": m["true"], "reading": value}
        if m["kind"] == "diameter":
            entry["holes"] = [click(np.array(holes[m["of"]]))]
            fact["of"] = m["of"]
        elif m["kind"] == "centre_distance":
            entry["holes"] = [click(np.array(holes[n])) for n in m["between"]]
            fact["between"] = m["between"]
        else:
            a = m["angle"]
            entry["touch"] = [click(support(edges, b).middle) for b in (a, a + math.pi)]
            du, dv = bed.matrix[:, :2] @ np.array([math.cos(a), math.sin(a)])
            entry["direction_px_deg"] = round(math.degrees(math.atan2(dv, du)))
            fact["direction_deg"] = math.degrees(a)
        if i == slip:
            fact["mistyped"] = True
        typed.append(entry)
        true.append(fact)
    return {"units": "mm", "sigma": c.sigma, "resolution": c.resolution, "readings": typed}, true
