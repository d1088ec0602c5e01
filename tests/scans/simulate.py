"""Simulated scans: ``render`` gives the file, the truth and the caliper's readings of one scan of one part."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import yaml

from tests.scans.hurt import damage_of
from tests.scans.scan_conditions import Conditions
from tests.scans.scan_light import bed_of, file_of, picture_of
from tests.scans.scan_shape import Part
from tests.scans.scan_truth import caliper_of, truth_of

Scan = tuple[bytes, dict[str, Any], dict[str, Any]]
"""The picture's file, its truth as ``truth.json`` holds it, the readings as ``caliper.yaml`` holds them."""


def render(part: Part, conditions: Conditions, seed: int) -> Scan:
    """Scan ``part``; the same seed gives the same bytes."""
    own = [np.random.default_rng([seed, n]) for n in range(3)]  # damage, caliper and picture do not move one another
    bed = bed_of(part, conditions)
    damage = damage_of(part, conditions, bed.width, bed.height, own[0])
    typed, true = caliper_of(part, conditions, bed, own[1])
    levels = picture_of(part, conditions, bed, own[2], damage)
    return file_of(levels, conditions), truth_of(part, conditions, bed, damage, true), typed


def render_turned(part: Part, conditions: Conditions, seed: int, turns: tuple[float, ...] = (0.0, 90.0)) -> list[Scan]:
    """Scan the same part on the same scanner several times, turned by so many degrees, never quite exactly.

    Chips and burrs stay where they are on the part; dust, noise and the carriage's phase are new in every scan.
    The readings of each scan click into that scan; the values of the first are those that the person took.
    """
    rng = np.random.default_rng([seed, 9])
    scans: list[Scan] = []
    for n, turn in enumerate(turns):
        lain = conditions.but(
            rot=conditions.rot + turn + float(rng.uniform(-2.5, 2.5)) * (n > 0),
            wobble_phase=float(rng.uniform(0, 6.28)),
        )
        own = [np.random.default_rng([seed, m]) for m in range(2)] + [np.random.default_rng([seed, 2, n])]
        bed = bed_of(part, lain)
        damage = damage_of(part, lain, bed.width, bed.height, own[0])
        typed, true = caliper_of(part, lain, bed, own[1])
        levels = picture_of(part, lain, bed, own[2], damage)
        scans.append((file_of(levels, lain), truth_of(part, lain, bed, damage, true), typed))
    return scans


def save(scan: Scan, folder: Path) -> Path:
    """Write a scan as a case of the corpus; return the picture's path."""
    data, truth, typed = scan
    folder.mkdir(parents=True, exist_ok=True)
    picture = folder / truth["image"]["file"]
    picture.write_bytes(data)
    (folder / "truth.json").write_text(json.dumps(truth, indent=1), encoding="utf-8")
    (folder / "caliper.yaml").write_text(yaml.safe_dump(typed, sort_keys=False), encoding="utf-8")
    return picture
