"""Recipes as people write them, made by chance: a plate with bolts, seats, now and then an inlay or an opening."""

from __future__ import annotations

import json
import random
from math import hypot
from pathlib import Path
from typing import Any

THREADS = {"M4": 4.5, "M5": 5.5, "M6": 6.6}
"""Clearance holes, mm: ISO 273, medium series (from memory)."""
GENERAL = ("ISO 2768-mK", "ISO 2768-mK", "ISO 2768-fH", "ISO 2768-c", "ISO 22081", "none", "as drawn, else 0.2 mm", "")


def recipe_text(seed: int) -> str:
    """Return a recipe; JSON is YAML too."""
    return json.dumps(_recipe(random.Random(seed), f"chance-{seed}"), indent=1)


def written(folder: Path, seed: int) -> Path:
    """Return the path of a recipe that was written to ``folder``."""
    path = folder / f"chance-{seed}.yaml"
    path.write_text(recipe_text(seed), encoding="utf-8")
    return path


def _recipe(r: random.Random, name: str) -> dict[str, Any]:
    wide, high = _mm(r, 50, 130), _mm(r, 32, 90)
    thread = r.choice(sorted(THREADS))
    places = _apart(r, r.randint(0, 5), wide / 2 - 9, high / 2 - 9)
    recipe: dict[str, Any] = {
        "name": name,
        "revision": r.choice(["A", "1", "Ä 1", ""]),
        "units": r.choice(["mm", "mm", "inch"]),
        "original": {
            "height": f"{_mm(r, 1, 4)} mm",
            "load_bearing": r.random() < 0.5,
            "footprint": {"rectangle": {"size": _all_mm(wide, high), "radius": f"{_mm(r, 1.8, 8)} mm"}},
            "bolts": [{"thread": thread, "at": [_all_mm(*p) for p in places]}] if places else [],
        },
        "clearance": {"around": f"{r.choice([0.15, 0.2, 0.3, 0.5])} mm"},
        "cover": {
            "material": r.choice(["EN AW-6082 T6", "CuZn37 R350"]),
            "stock": {"thickness": f"{r.choice([10, 12, 15])} mm", "margin": "14 mm"},
            "outer": _outer(r, wide, high),
            "seats": {"screw": r.choice(["ISO 4762", "ISO 7380-1", "ISO 10642"])} if places else "none",
            "edge_break": f"{r.choice([0, 0.05, 0.3, 0.4, 0.5, 0.8, 1])} mm",
        },
        "tolerances": {"general": r.choice(GENERAL), "size": f"{r.choice([0.02, 0.05, 0.1])} mm"},
        "order": {"quantity": r.choice([1, 3, 250])},
        "paper": {"projection": r.choice(["first angle", "third angle"]), "drawing": r.choice(["auto", "A3", "A2"])},
        "dowels": {"diameter": "6 mm", "axis": r.choice("xy")},
    }
    if r.random() < 0.6:
        recipe["inlays"] = _inlay(r, places, wide, high)
    return recipe


def _outer(r: random.Random, wide: float, high: float) -> dict[str, Any]:
    more = r.uniform(14, 22)
    if r.random() < 0.5:
        return {
            "rectangle": {
                "size": _all_mm(round(wide + more, 2), round(high + more, 2)),
                "radius": f"{_mm(r, 4, 12)} mm",
            }
        }
    return {"superellipse": {"exponent": _mm(r, 2.1, 4), "margin": f"{_mm(r, 5, 9)} mm"}}


def _inlay(r: random.Random, places: list[tuple[float, float]], wide: float, high: float) -> dict[str, Any]:
    """Return an inlay clear of the bolts; none where there is no room."""
    for _ in range(80):
        w, h = _mm(r, 8, 30), _mm(r, 8, 18)
        x, y = _mm(r, -wide / 2 + 16, wide / 2 - 16), _mm(r, -high / 2 + 10, high / 2 - 10)
        if all(abs(p[0] - x) > w / 2 + 8 or abs(p[1] - y) > h / 2 + 8 for p in places):
            outline = {"rectangle": {"size": _all_mm(w, h), "radius": f"{_mm(r, 1.6, 3.5)} mm"}, "at": _all_mm(x, y)}
            fit = r.choice(["hand", "glued", "press"])
            return {"tag": {"stock": {"thickness": "1.5 mm"}, "outline": outline, "fit": fit}}
    return {}


def _apart(r: random.Random, count: int, x: float, y: float) -> list[tuple[float, float]]:
    found: list[tuple[float, float]] = []
    for _ in range(200):
        p = _mm(r, -x, x), _mm(r, -y, y)
        if len(found) < count and all(hypot(p[0] - q[0], p[1] - q[1]) > 22 for q in found):
            found.append(p)
    return found


def _mm(r: random.Random, low: float, high: float) -> float:
    return round(r.uniform(low, high), 2)


def _all_mm(*values: float) -> list[str]:
    return [f"{v} mm" for v in values]
