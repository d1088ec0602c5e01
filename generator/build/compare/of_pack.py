"""A pack as one side of a comparison: what its files say, once they are known to be whole."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

from generator.base.errors import Mistake, RecipeError
from generator.build.compare.version import Cut, Data, Version
from generator.outline.clip import FillRule
from generator.outline.combine import regularise
from generator.outline.contour import Contour
from generator.outline.create import circle
from generator.outline.region import Region
from generator.outputs.dxf_read import ReadEntity, read_dxf
from generator.outputs.manifest import Manifest, PackFault, read_manifest, verify_pack
from generator.outputs.report import REPORT_JSON
from generator.outputs.report_data import FORMAT
from generator.part.part import Face, FlipAxis
from generator.part.setups import as_machined

__all__ = ["is_pack", "version_of_pack", "whole_pack"]

REBUILD: Final = "build it again from its recipe, or take it from where it was kept"


def is_pack(path: str | Path) -> bool:
    """Return True if ``path`` is a folder: a recipe is a file."""
    return Path(path).is_dir()


def version_of_pack(folder: str | Path) -> Version:
    """Return what the pack in ``folder`` says.

    Raises: RecipeError: files are missing or altered, each named with its SHA-256; or it is no pack that can be read.
    """
    manifest, told = whole_pack(folder)
    root = Path(folder)
    files = {path: (root / path).read_bytes() for path in manifest.files}
    report = _report(root, files)
    try:
        cuts = dict(_cuts(report, files))
        unread = frozenset((row["part"], row["name"]) for row in report["layers"]) - frozenset(cuts)
        return Version(str(folder), report, cuts, files, told, unread)
    except (KeyError, TypeError, ValueError, IndexError) as error:
        raise _refused(root / REPORT_JSON, f"a report that lacks {error}", "the report of a pack", REBUILD) from error


def whole_pack(folder: str | Path) -> tuple[Manifest, tuple[str, ...]]:
    """Return the manifest of a pack whose every file is as it was made, and a sentence on each file that is not of it.

    Raises: RecipeError: it is not; with every file that is missing or altered.
    """
    root = Path(folder)
    faults = verify_pack(root)
    manifest = read_manifest(root)
    if manifest is None:
        remedy = "name a recipe, or the folder of a pack, such as out/NAME"
        raise _refused(root, "a folder without the manifest of a pack", "a pack that build has made", remedy)
    bad = [f for f in faults if f.kind != "foreign"]
    if bad:
        raise RecipeError([_mistake(root, fault, manifest) for fault in bad])
    return manifest, tuple(f"{root}: {f.message}, and is not compared" for f in faults)


def _mistake(root: Path, fault: PackFault, manifest: Manifest) -> Mistake:
    entry = manifest.files.get(fault.file)
    expected = f"the file of {entry.size} bytes with SHA-256 {entry.sha256}" if entry else "a file that can be read"
    said = fault.message.removeprefix(f"{fault.file} ")
    found = "no such file" if fault.kind == "missing" else f"a file that {said}"
    return Mistake(str(root / fault.file), 0, 0, "", found, expected, REBUILD)


def _refused(path: Path, found: str, expected: str, remedy: str) -> RecipeError:
    return RecipeError([Mistake(str(path), 0, 0, "", found, expected, remedy)])


def _report(root: Path, files: dict[str, bytes]) -> Data:
    try:
        report: Any = json.loads(files[REPORT_JSON])
        known = report["format"] == FORMAT
    except (KeyError, ValueError, TypeError, RecursionError):
        known = False
    if not known:
        raise _refused(root / REPORT_JSON, "no report that can be read", f"`{FORMAT}`", REBUILD)
    return dict(report)


# ------------------------------------------------------------------ layers
def _cuts(report: Data, files: dict[str, bytes]) -> Iterator[tuple[tuple[str, str], Cut]]:
    """Yield every layer whose file is in the pack, turned to be seen from the top."""
    axis = report["blank"]["flip_axis"]
    flip = FlipAxis(axis["direction"], axis["at_mm"])
    for row in report["layers"]:
        file = row["file"]
        if file in files:
            read = read_dxf(files[file])
            region = _region(read.layers.get(row["dxf_layer"], ()))
            face = Face(row["face"])
            yield (
                (row["part"], row["name"]),
                Cut(as_machined(region, face, flip), row["from_mm"], row["to_mm"], face.value, file),
            )


def _region(entities: tuple[ReadEntity, ...]) -> Region:
    """Return the region that entities bound; a CIRCLE does not say on which side of it the area lies."""
    return regularise((_contour(e) for e in entities), rule=FillRule.EVEN_ODD)


def _contour(entity: ReadEntity) -> Contour:
    return circle(entity.centre, entity.radius_mm) if entity.kind == "CIRCLE" else Contour.of(entity.vertices)
