"""What must be alike in two variants: geometry of parts by the plane, and their files apart from names and texts."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, Final

from generator.base.sharing import digest_of
from generator.outputs.dxf_document import without_texts
from generator.outputs.layers_dxf import FOLDER
from generator.outputs.step import part_file_name
from generator.part.part import Part, Plan
from generator.solid.anonymous import anonymous_of

__all__ = ["file_likeness", "geometry_of", "recipe_likeness"]

TEXTS: Final = frozenset({"name", "title", "notes", "revision", "parameters", "order", "contact"})
"""Keys of a recipe that change no geometry by themselves."""


def recipe_likeness(resolved: Mapping[str, Any]) -> str:
    """Return a digest of all that a resolved recipe says of geometry and making: equal ones make equal parts."""
    said = {key: value for key, value in resolved.items() if key not in TEXTS}
    return hashlib.sha256(json.dumps(said, sort_keys=True).encode()).hexdigest()[:16]


def geometry_of(plan: Plan) -> dict[str, str]:
    """Return a digest of the geometry and material of every part, by its name; where it sits does not count."""
    return {part.name: _geometry(part) for part in plan.parts}


def _geometry(part: Part) -> str:
    bare = tuple(replace(f, path="", name="") for f in part.features)
    return digest_of(replace(part, seat_z_mm=0.0, features=bare))[:16]


def file_likeness(folder: Path, plan: Plan, files: Mapping[str, str]) -> dict[str, dict[str, str]]:
    """Return digests of the solids in a part's STEP file and of what is drawn on its layers, by part and file.

    Names, texts and sizes with limits do not count: how a part is held, and how exactly it is to be made, may vary.

    Args:
        folder: of the pack.
        plan: that it was made from.
        files: that it has.
    """
    return {part.name: dict(_of_part(folder, part, files)) for part in plan.parts}


def _of_part(folder: Path, part: Part, files: Mapping[str, str]) -> list[tuple[str, str]]:
    found = []
    step = part_file_name(part)
    if step in files:
        found.append((step, _solids_in((folder / step).read_bytes())[:16]))
    for file in sorted(files):
        if file.startswith(f"{FOLDER}/{part.name}_") and file.endswith(".dxf"):
            bare = without_texts((folder / file).read_bytes())
            found.append((file, hashlib.sha256(bare).hexdigest()[:16]))
    return found


def _solids_in(data: bytes) -> str:
    """Return a digest of the solids in a STEP file; of the file without names where they cannot be told apart."""
    anonymous = anonymous_of(data)
    blocks = anonymous.apart.blocks if anonymous.apart else ()
    return digest_of(*(block.digest for block in blocks)) if blocks else anonymous.key
