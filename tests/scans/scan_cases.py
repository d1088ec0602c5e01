"""Cases to trace: those of the corpus and simulated ones, each with its kind and the figures to reach."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tests.scans.photo_light import render_photo, usual_photo
from tests.scans.scan_conditions import Conditions, black_lid, damaged, lost_in_shadow, usual
from tests.scans.scan_parts import all_parts
from tests.scans.simulate import render, render_turned, save

CORPUS = Path(__file__).parents[1] / "data" / "scans"


@dataclass(frozen=True)
class Target:
    """Figures to reach in the worst case, mm and seconds on two cores."""

    rms: float
    p95: float
    most: float
    diameter: float
    centre: float
    seconds: float = float("inf")


TARGETS = {
    "600 dpi, one scan": Target(0.005, 0.010, 0.015, 0.010, 0.015, 5),
    "600 dpi, two scans": Target(0.004, 0.007, 0.012, 0.008, 0.010, 8),
    "300 dpi, one scan": Target(0.010, 0.020, 0.035, 0.015, 0.020, 3),
    "300 dpi, two scans": Target(0.007, 0.014, 0.025, 0.012, 0.012, 5),
    "200 dpi, one scan": Target(0.015, 0.030, 0.045, 0.020, 0.025, 2),
    "edge lost in shadow": Target(0.020, 0.040, 0.080, 0.040, 0.025),
    "photo, to 15 deg": Target(0.020, 0.040, 0.070, 0.030, 0.030, 10),
    "photo, 15-25 deg": Target(0.035, 0.070, 0.120, 0.050, 0.050, 10),
}
"""From a study with a prototype; what a cover's clearance asks for."""
AT_DAMAGE = 0.060
"""How far off an outline may be within half a millimetre of chips and burrs, mm."""


@dataclass(frozen=True)
class Case:
    """Pictures of one part, what was measured, what is true; ``reference`` is what a photo has beside the part."""

    name: str
    kind: str
    images: list[Path]
    readings: Path
    truth: dict[str, Any] = field(repr=False)
    reference: str = "scan"


def corpus() -> list[Case]:
    """The six cases that were made elsewhere."""
    return [_case_in(folder) for folder in sorted(CORPUS.iterdir()) if folder.is_dir()]


def _case_in(folder: Path) -> Case:
    truth = json.loads((folder / "truth.json").read_text(encoding="utf-8"))
    image = truth["image"]
    if image["kind"] == "photo":
        reference = "a4" if image["reference"]["kind"] == "A4" else "card"
        kind = "photo, to 15 deg" if image["camera"]["tilt_deg"] <= 15 else "photo, 15-25 deg"
    else:
        reference, kind = "scan", f"{image['dpi_nominal']} dpi, one scan"
    return Case(folder.name, kind, [folder / image["file"]], folder / "caliper.yaml", truth, reference)


def conditions_of(kind: str, seed: int) -> Conditions:
    """The conditions of a simulated case of a kind; two scans come with two readings.

    Of five single scans one has a reading mistyped, one is damaged, one is before a black lid.
    """
    if kind == "edge lost in shadow":
        return lost_in_shadow((600, 300)[seed % 2], seed)
    dpi = float(kind.split()[0])
    if "two" in kind:
        return usual(dpi, seed, readings=2)
    if seed % 5 == 2:
        return usual(dpi, seed, readings=6, mistyped=("swap", "inch", "digit")[seed % 3])
    return {3: damaged, 4: black_lid}.get(seed % 5, usual)(dpi, seed)


def simulated(kind: str, number: int, folder: Path) -> Case:
    """Simulated case ``number`` of a kind, its files written below ``folder``; the parts take turns."""
    parts = all_parts()
    part = parts[(7 * number + 4 * list(TARGETS).index(kind)) % len(parts)]
    name = f"{part.name}-{kind.replace(',', '').replace(' ', '-')}-{number}"
    if kind.startswith("photo"):
        reference = ("card", "a4")[number % 2]
        photo = render_photo(part, usual_photo(reference, "25" in kind, number), number)
        image = save(photo, folder / name)
        return Case(name, kind, [image], image.parent / "caliper.yaml", photo[1], reference)
    c = conditions_of(kind, number)
    turns = (0.0, 90.0) if "two" in kind else (0.0,)
    scans = render_turned(part, c, number, turns) if len(turns) > 1 else [render(part, c, number)]
    images = [save(scan, folder / name / str(n)) for n, scan in enumerate(scans)]
    return Case(name, kind, images, images[0].parent / "caliper.yaml", scans[0][1])
