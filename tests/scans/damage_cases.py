"""Damaged cases of every kind: chips that show dark, chips through which the lid is seen, a black lid; openings too."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from tests.scans.photo_light import render_photo, usual_photo
from tests.scans.scan_cases import TARGETS, Case
from tests.scans.scan_conditions import black_lid, usual
from tests.scans.scan_parts import all_parts
from tests.scans.simulate import render_turned, save

KINDS = [k for k in TARGETS if "shadow" not in k]


def damaged_case(kind: str, number: int, folder: Path, size: float = 1.0) -> Case:
    """Case ``number`` of a kind, with three chips and a burr on its outline, one of each in its openings.

    Sizes are as in other damaged cases (chips of 0.4 to 1 mm radius, burrs of 0.1 to 0.3 mm), times ``size``.
    """
    parts = all_parts()
    part = parts[(11 * number + 3 * list(TARGETS).index(kind)) % len(parts)]
    spoilt: dict[str, Any] = {
        "chips": 3, "burrs": 1, "hurt_openings": 2, "hurt_size": size, "chips_dark": number % 3 != 1,
    }  # fmt: skip
    name = f"{part.name}-damaged-{kind.replace(',', '').replace(' ', '-')}-{number}" + f"-{size:g}" * (size != 1.0)
    if kind.startswith("photo"):
        reference = ("card", "a4")[number % 2]
        photo = render_photo(part, usual_photo(reference, "25" in kind, number, **spoilt), number)
        image = save(photo, folder / name)
        return Case(name, kind, [image], image.parent / "caliper.yaml", photo[1], reference)
    c = (black_lid if number % 3 == 2 else usual)(float(kind.split()[0]), 100 + number, **spoilt)
    scans = render_turned(part, c, number, (0.0, 90.0) if "two" in kind else (0.0,))
    images = [save(scan, folder / name / str(n)) for n, scan in enumerate(scans)]
    return Case(name, kind, images, images[0].parent / "caliper.yaml", scans[0][1])
