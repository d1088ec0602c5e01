"""``coverplate compare``: what changed between two recipes or packs."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path
from typing import Any

from generator.base.errors import Mistake, OutputError, RecipeError
from generator.base.units import LengthUnit
from generator.base.whole_file import write_whole
from generator.build.compare.areas import AreaChange
from generator.build.compare.compare import Comparison, compare
from generator.build.compare.figures import by_group, finer
from generator.build.compare.holes import SAME_MM, HoleChange
from generator.build.compare.picture import area_words, depth_words, picture_png, picture_svg
from generator.cli import codes
from generator.cli.tell import Console
from generator.outline.contour import Point

ENDINGS = (".svg", ".png")


def run(options: argparse.Namespace, console: Console) -> int:
    """Compare, tell, draw if asked to, and return the exit code."""
    _demand_ending(options.picture)
    found = compare(options.old, options.new, sets=options.sets)
    if options.picture:
        _write(Path(options.picture), found)
    if console.json:
        console.document(_answer(found) | ({"picture": options.picture} if options.picture else {}))
        return codes.FINE
    for line in found.told:
        console.problem(line)
    if found.revision_is_stale:
        name = found.new.report["name"]
        console.problem(
            f"both are {name}, revision {found.new.revision}, and do not show the same: raise `revision`, "
            "or sheets of both will be taken for one another"
        )
    for line in _lines(found):
        console.say(line)
    if options.picture:
        console.say(f"drawn in {options.picture}")
    return codes.FINE


def _demand_ending(path: str) -> None:
    if path and Path(path).suffix.lower() not in ENDINGS:
        remedy = "end the name with .svg or .png"
        raise RecipeError([Mistake("--picture", 0, 0, "", f"`{path}`", "a file for an SVG or PNG picture", remedy)])


def _write(path: Path, found: Comparison) -> None:
    """Write the picture in one step."""
    content = picture_png(found) if path.suffix.lower() == ".png" else picture_svg(found).encode("utf-8")
    try:
        write_whole(path, content)
    except OSError as error:
        remedy = "" if path.parent.is_dir() else f"; make the folder {path.parent} first"
        raise OutputError(f"{path} cannot be written: {error.strerror or error}{remedy}") from error


# ------------------------------------------------------------------ for people
def _lines(found: Comparison) -> Iterator[str]:
    unit = found.new.unit
    yield f"from {found.old.named} to {found.new.named}"
    if found.is_same:
        yield "nothing differs"
        return
    for group, changes in by_group(found.changes).items():
        yield f"{group}:"
        yield from (f"    {c.what}: {c.old} -> {c.new}" for c in changes)
    if found.holes:
        yield "holes and seats:"
        yield from (f"    {_hole(h, unit)}" for h in found.holes)
    if found.areas:
        yield "areas, layer by layer:"
        yield from (f"    {_area(a, unit)}" for a in found.areas)
    if found.findings:
        yield "findings:"
        for f in found.findings:
            yield f"    {f.kind}: {f.severity}: {f.message} [{f.check}]"
            if f.old_message:
                yield f"        it was: {f.old_message}"
    yield from _reissue(found)


def _hole(h: HoleChange, unit: LengthUnit) -> str:
    named = f"{h.part} {h.name}" + (f" (was {h.old_name})" if h.old_name and h.old_name != h.name else "")
    said = [f"{named}: {h.kind}"]
    if h.old_at and h.new_at and h.moved_mm > 0.0:
        fine = finer(unit, (h.old_at.x, h.new_at.x), (h.old_at.y, h.new_at.y), (h.moved_mm, 0.0))
        said.append(f"by {fine.length(h.moved_mm)}, from {_place(h.old_at, fine)} to {_place(h.new_at, fine)}")
    elif at := h.new_at or h.old_at:
        said.append(f"at {_place(at, unit)}")
    if h.old_mm and h.new_mm and abs(h.old_mm - h.new_mm) > SAME_MM:
        fine = finer(unit, (h.old_mm, h.new_mm))
        said.append(f"diameter {fine.length(h.old_mm)} -> {fine.length(h.new_mm)}")
    elif h.kind in ("added", "removed") and (size := h.new_mm or h.old_mm):
        said.append(f"diameter {unit.length(size)}")
    return ", ".join(said)


def _place(at: Point, unit: LengthUnit) -> str:
    return f"({unit.figure(at.x)}, {unit.figure(at.y)})"


def _area(a: AreaChange, unit: LengthUnit) -> str:
    depths = f"; {depth_words(a, unit)}" if a.depths_differ else ""
    return f"{a.part} {a.layer}: {area_words(a, unit)}{depths}"


def _reissue(found: Comparison) -> Iterator[str]:
    if not found.reissue:
        yield "no file has to be reissued"
        return
    yield "to be reissued:"
    for why in dict.fromkeys(r.why for r in found.reissue):
        yield f"    {why}: " + ", ".join(r.path for r in found.reissue if r.why == why)


# ------------------------------------------------------------------ for scripts
def _answer(found: Comparison) -> dict[str, Any]:
    """Return the JSON answer; lengths mm, areas mm², masses g."""
    return {
        "old": _side(found, old=True),
        "new": _side(found, old=False),
        "status": "same" if found.is_same else "different",
        "revision_is_stale": found.revision_is_stale,
        "told": list(found.told),
        "changes": [{"group": c.group, "what": c.what, "old": c.old_value, "new": c.new_value} for c in found.changes],
        "holes": [asdict(h) | {"moved_mm": round(h.moved_mm, 6)} for h in found.holes],
        "areas": [_area_data(a) for a in found.areas],
        "findings": [asdict(f) for f in found.findings],
        "reissue": [asdict(r) for r in found.reissue],
    }


def _side(found: Comparison, *, old: bool) -> dict[str, Any]:
    version = found.old if old else found.new
    return {"named": version.named, "name": version.report["name"], "revision": version.revision}


def _area_data(a: AreaChange) -> dict[str, Any]:
    return {
        "part": a.part,
        "layer": a.layer,
        "added_mm2": round(a.added_mm2, 6),
        "removed_mm2": round(a.removed_mm2, 6),
        "old_depths_mm": [a.old.from_mm, a.old.to_mm] if a.old else None,
        "new_depths_mm": [a.new.from_mm, a.new.to_mm] if a.new else None,
    }
