"""What is kept of a variant once its pack is made: sizes, mass, stock, its picture, what it was made from."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Final

from generator.base.finding import Finding
from generator.build.judge import Checked
from generator.build.pack_up import Built
from generator.family.digests import file_digest
from generator.family.task import Piece, Said
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.outline.remembered import remembered
from generator.outputs.colour import shaded
from generator.outputs.manifest import MANIFEST, read_manifest
from generator.outputs.report import REPORT_JSON
from generator.outputs.svg_pen import path_data
from generator.part.describe import is_through
from generator.part.mass import mass_g
from generator.part.part import Feature, Part, Plan
from generator.recipe.parameters import plain_number
from generator.recipe.read import Reading

__all__ = [
    "Shapes",
    "files_of",
    "loops_text",
    "mass_of",
    "parameters_of",
    "picture",
    "pieces",
    "proofs_of",
    "said_of",
    "size_of",
    "uses_of",
]

DIGITS: Final = 2
"""Decimals of a picture, mm: a tenth of a screen's dot."""
OPEN: Final = "#ffffff"
SUNK, ENGRAVED = 0.72, 0.4
"""How much darker a recess is than its face, and an engraving."""


class Shapes:
    """Collects shapes by their digest, so that variants can share them."""

    def __init__(self) -> None:
        self.by_digest: dict[str, str] = {}

    def add(self, text: str) -> str:
        """Keep a shape and return its digest."""
        digest = hashlib.sha256(text.encode()).hexdigest()[:16]
        self.by_digest[digest] = text
        return digest


def loops_text(region: Region) -> str:
    """Return the contours of a region exactly, as JSON: ``[[[x, y, bulge], …], …]``, mm."""
    return json.dumps([[list(v) for v in c.vertices] for c in region.contours], separators=(",", ":"))


def picture(plan: Plan, shapes: Shapes) -> tuple[tuple[str, str], ...]:
    """Return what the top of the cover shows, the lowest first: (colour, digest of an SVG path in mm, y up)."""
    drawn = [(plan.cover.material.colour, plan.cover.profile), *_recesses(plan.cover)]
    for insert in plan.inserts:
        drawn += [(insert.material.colour, insert.profile), *_recesses(insert)]
    return tuple((c, shapes.add(_path(r))) for c, r in drawn if r.contours)


@remembered
def _path(region: Region) -> str:
    return path_data(region, digits=DIGITS)


def _recesses(part: Part) -> Iterator[tuple[str, Region]]:
    """Yield what is open at the top of a part, the deepest last: a bolt hole is seen through its seat."""
    reaching = (f for f in part.features if f.z_to_mm >= part.thickness_mm - 1e-9)
    for f in sorted(reaching, key=lambda f: -f.z_from_mm):
        yield _colour(part, f), f.region


def _colour(part: Part, f: Feature) -> str:
    if f.z_from_mm <= 1e-9:
        return OPEN
    if f.fill is not None:
        return f.fill.colour
    return shaded(part.material.colour, ENGRAVED if f.layer.startswith("engraving") else SUNK)


def pieces(checked: Checked, shapes: Shapes) -> tuple[Piece, ...]:
    """Return the stock that a variant needs: the cover's blank, and an insert's outline with the box round it."""
    plan = checked.plan
    blank = bounds(plan.blank.region)
    cover = Piece("cover", plan.cover.material.name, plan.blank.thickness_mm, blank.width_mm, blank.height_mm)
    return (cover, *(_insert(p, shapes) for p in plan.inserts))


def _insert(part: Part, shapes: Shapes) -> Piece:
    box = bounds(part.profile)
    outline = shapes.add(loops_text(part.profile))
    through = [f.region for f in part.features if is_through(part, f)]
    cuts = shapes.add(loops_text(Region(tuple(c for r in through for c in r.contours)))) if through else ""
    return Piece(part.name, part.material.name, part.thickness_mm, box.width_mm, box.height_mm, outline, cuts)


def size_of(plan: Plan) -> tuple[float, float, float]:
    """Return length, width and thickness of the cover, mm."""
    box = bounds(plan.cover.profile)
    return round(box.width_mm, 6), round(box.height_mm, 6), plan.cover.thickness_mm


def mass_of(plan: Plan) -> float:
    """Return the mass of cover and inserts, g."""
    return round(sum(mass_g(p) for p in plan.parts), 6)


def said_of(findings: Sequence[Finding]) -> tuple[Said, ...]:
    """Return the findings as plain data, in their order."""
    return tuple(Said(f.severity.value, f.check, f.message) for f in findings)


def parameters_of(reading: Reading) -> dict[str, str]:
    """Return the parameters of a recipe as they stand in a text."""
    return {n: v if isinstance(v, str) else plain_number(v) for n, v in reading.recipe.parameters.items()}


def uses_of(reading: Reading) -> dict[str, str]:
    """Return the SHA-256 of every file that a recipe was read from, and of those that it uses as they are now."""
    used = [os.path.normpath(os.path.join(reading.folder, name)) for name in reading.used_files]
    return {f.name: f.sha256 for f in reading.files} | {path: file_digest(path) for path in used}


def files_of(built: Built) -> Mapping[str, str]:
    """Return the SHA-256 of every file of a pack, its manifest included, by relative path."""
    assert built.folder is not None
    manifest = read_manifest(Path(built.folder))
    assert manifest is not None
    listed = {path: entry.sha256 for path, entry in manifest.files.items()}
    return {**listed, MANIFEST: file_digest(str(Path(built.folder) / MANIFEST))}


def proofs_of(built: Built) -> int:
    """Return how many comparisons held when the pack was made; of one that was there its report tells."""
    if built.proofs or built.folder is None:
        return len(built.proofs)
    try:
        return len(json.loads((Path(built.folder) / REPORT_JSON).read_bytes())["proofs"])
    except (OSError, ValueError, KeyError, TypeError):
        return 0
