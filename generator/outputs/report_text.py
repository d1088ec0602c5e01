"""``report.md``: the report's data in words and tables, for the person who made the recipe and the one who cuts it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final, TypeAlias

from generator.base.units import INCH, decimal
from generator.outputs.markdown import escape, table
from generator.outputs.report_bolts import bolts_text
from generator.outputs.report_cutting import cutting_text
from generator.outputs.report_fit import fit_text
from generator.outputs.report_making import making_text

__all__ = ["report_text"]

Data: TypeAlias = dict[str, Any]

SEVERITIES: Final = (
    ("forbids", "Forbids building", "{} that forbids building", "{} that forbid building"),
    ("warns", "Warnings", "{} warning", "{} warnings"),
    ("notes", "Notes", "{} note", "{} notes"),
)

PROVENANCE: Final = {
    "cross-checked": "two tables agree",
    "read": "read in one table",
    "derived": "derived from the same standard",
    "memory": "from memory",
}
"""The words of ``base/standards.py`` as a reader who does not know them understands them."""

HOW_TO_READ: Final = (
    "- Every file holds closed outlines only, in millimetres, scale 1:1, at z = 0.",
    "- **Top-face layers** are drawn as seen from the top. Do not mirror them.",
    "- **Bottom-face layers** are already mirrored in the flip axis: they are drawn as the machine sees the blank once "
    "its bottom face is up. Do not mirror them again. Their DXF layers end in `-flipped`.",
    "- Depths count from the face that is up.",
    "- `layers/all-layers.dxf` holds both faces in one frame, for checking; cut from the layers of one face at a time.",
)


def report_text(data: Data) -> str:
    """Return the report as Markdown; ``data`` is what ``report_data`` gives."""
    inch = data["recipe_units"] == "inch"
    blocks = [
        _head(data, inch),
        _loud(data),
        _glance(data, inch),
        _findings(data),
        *(_part(part, inch) for part in data["parts"]),
        _bolts(data, inch),
        bolts_text(data["bolting"]),
        _blank(data, inch),
        _tolerances(data, inch),
        cutting_text(data["cutting"], inch),
        fit_text(data["fit"], inch),
        making_text(data["making"]),
        _layers(data, inch),
        _proofs(data),
        _cautions(data),
        _files(data),
    ]
    return "\n\n".join("\n".join(lines) for lines in blocks if lines) + "\n"


# ------------------------------------------------------------------ figures
def _plain(value: float, digits: int = 3) -> str:
    """Return a number without needless digits."""
    return decimal(value, digits)


def _mm(value: float, inch: bool, unit: bool = True) -> str:
    """Return a length in mm, and in inches beside it where the recipe is in inches."""
    text = _plain(value) + (" mm" if unit else "")
    return f"{text} ({INCH.length(value)})" if inch else text


def _mass(grams: float) -> str:
    return f"{_plain(grams / 1000.0, 3)} kg" if grams >= 1000.0 else f"{_plain(grams, 1)} g"


def _box(extent: Data, thickness: float, inch: bool) -> str:
    xmin, ymin, xmax, ymax = extent["box_mm"] or (0.0, 0.0, 0.0, 0.0)
    sizes = (xmax - xmin, ymax - ymin, thickness)
    text = " × ".join(_plain(s) for s in sizes) + " mm"
    return f"{text} ({INCH.length(*sizes)})" if inch else text


# ------------------------------------------------------------------ sections
def _head(data: Data, inch: bool) -> list[str]:
    title = escape(data["title"] or data["name"])
    units = "millimetres, inches in brackets" if inch else "millimetres"
    lines = [
        f"# {title}",
        "",
        f"Pack `{data['name']}`, revision {escape(data['revision'])}. Lengths are in {units}; "
        "x and y as seen from the top, z = 0 at the cover's bottom face.",
    ]
    return [*lines, "", f"Notes: {escape(data['notes'])}"] if data["notes"] else lines


def _loud(data: Data) -> list[str]:
    return [line for c in data["cautions"] if c["loud"] for line in (f"> **{c['title']}.**", f"> {c['text']}")]


def _glance(data: Data, inch: bool) -> list[str]:
    counts = [
        (one if n == 1 else many).format(n) for key, _, one, many in SEVERITIES if (n := _count(data["findings"], key))
    ]
    rows = [
        (
            escape(p["name"]),
            _box(p["profile"], p["thickness_mm"], inch),
            _mass(p["mass_g"]),
            escape(p["material"]["name"]),
        )
        for p in data["parts"]
    ]
    rows += [
        (f"fill of {escape(fill['feature'])}", f"{_plain(fill['volume_mm3'], 1)} mm³", "", escape(fill["name"]))
        for p in data["parts"]
        for fill in p["fills"]
    ]
    lines = ["## At a glance", "", *table(("part", "size", "mass", "material"), rows, right=(2,)), ""]
    holding = sum(p["holds"] for p in data["proofs"])
    lines.append(f"- Findings: {', '.join(counts) or 'none'}")
    lines.append(f"- Proofs: {holding} of {len(data['proofs'])} hold")
    lines.append(f"- The original stands {_mm(data['original']['height_mm'], inch)} proud and {_bears(data)}.")
    return lines


def _bears(data: Data) -> str:
    return "**bears load**" if data["original"]["bears_load"] else "bears no load, as the recipe says"


def _count(findings: Sequence[Data], severity: str) -> int:
    return sum(f["severity"] == severity for f in findings)


def _findings(data: Data) -> list[str]:
    checks = data["checks"]
    lines = ["## What the checks say"]
    for severity, title, _, _ in SEVERITIES:
        found = [f for f in data["findings"] if f["severity"] == severity]
        if found:
            lines += ["", f"### {title}", ""]
            lines += [line for f in found for line in _finding(f)]
    if not data["findings"]:
        lines += ["", "No check has anything to say."]
    if checks["passed"]:
        lines += ["", f"Passed: {', '.join(map(escape, checks['passed']))}."]
    for crash in checks["crashed"]:
        lines += [
            "",
            f"**The check {escape(crash['check'])} failed to run** (a fault of coverplate): {escape(crash['crash'])}",
        ]
    return lines


def _finding(f: Data) -> list[str]:
    where = [escape(f["feature"])] if f["feature"] else []
    if f["face"]:
        where.append(f"{f['face']} face")
    if f["at_mm"]:
        where.append("at " + ", ".join(_plain(v, 2) for v in f["at_mm"]))
    place = f" ({', '.join(where)})" if where else ""
    lines = [f"- **{escape(f['message'])}**{place}"]
    if f["figure"] is not None:
        limit = "" if f["limit"] is None else f", limit {_plain(f['limit'])} {f['unit'] or ''}".rstrip()
        lines.append(f"  - Found {_plain(f['figure'])} {f['unit'] or ''}".rstrip() + limit)
    if f["source"]:
        lines.append(f"  - Source: {escape(f['source'])}")
    if f["remedy"]:
        lines.append(f"  - To mend it: {escape(f['remedy'])}")
    if f["path"]:
        lines.append(f"  - In the recipe: {escape(f['path'])}")
    return lines


def _part(part: Data, inch: bool) -> list[str]:
    material = part["material"]
    known = PROVENANCE.get(material["provenance"], escape(material["provenance"]))
    about = f"{escape(material['name'])}, {_plain(material['density_kg_m3'], 1)} kg/m³ (figures: {known})"
    size = _box(part["profile"], part["thickness_mm"], inch)
    lines = [f"## Part: {escape(part['name'])}", "", f"- Size: {size}", f"- Material: {about}"]
    lines.append(f"- Mass: {_mass(part['mass_g'])}; volume {_plain(part['volume_mm3'] / 1000.0, 3)} cm³")
    x, y, z = part["centre_of_mass_mm"]
    lines.append(f"- Centre of mass: x {_plain(x, 2)}, y {_plain(y, 2)}, z {_plain(z, 2)} mm")
    if part["rim_break_mm"]:
        lines.append(f"- Edge break on the visible rim: {_mm(part['rim_break_mm'], inch)} × 45°")
    if part["seat_z_mm"]:
        lines.append(f"- Sits {_mm(part['seat_z_mm'], inch)} above the cover's bottom face")
    if part["gap"]:
        gap = part["gap"]
        fit = f", fit `{gap['fit']}`" if gap["fit"] else ""
        lines.append(f"- Gap to the pocket wall: {_mm(gap['gap_mm'], inch)} a side{fit} ({escape(gap['source'])})")
    for fill in part["fills"]:
        how_much = f"{_plain(fill['volume_mm3'], 1)} mm³, flush"
        lines.append(f"- {escape(fill['feature'])} is filled: {escape(fill['name'])} ({fill['colour']}), {how_much}")
    if part["features"]:
        head = ("feature", "face", "shape", "depth", "floor left", "size")
        lines += ["", *table(head, [_feature(f, inch) for f in part["features"]], right=(3, 4))]
    return lines


def _feature(f: Data, inch: bool) -> tuple[str, ...]:
    size = f"⌀ {_mm(f['diameter_mm'], inch, False)}" if f["diameter_mm"] else ""
    size = size or f"{_mm(f['width_mm'], inch, False)} × {_mm(f['height_mm'], inch, False)}"
    left = f["floor_left_mm"]
    floor = "" if left is None else "none" if left <= 0.0 else _mm(left, inch, False)
    return escape(f["name"]), f["face"], f["shape"], _mm(f["depth_mm"], inch, False), floor, size


def _bolts(data: Data, inch: bool) -> list[str]:
    if not data["bolts"]:
        return ["## Bolts", "", "None."]
    rows = [
        (
            escape(b["name"]),
            _mm(b["at_mm"][0], inch, False),
            _mm(b["at_mm"][1], inch, False),
            f"⌀ {_mm(b['hole_mm'], inch, False)}",
            escape(b["thread"] or ""),
            escape(b["screw"] or "no seat"),
            escape(b["hole_source"]),
        )
        for b in data["bolts"]
    ]
    return ["## Bolts", "", *table(("bolt", "x", "y", "hole", "thread", "seat for", "hole from"), rows, right=(1, 2))]


def _blank(data: Data, inch: bool) -> list[str]:
    blank = data["blank"]
    axis = "x" if blank["flip_axis"]["direction"] == "y" else "y"
    lines = ["## Blank and flip", "", f"- Blank: {_box(blank, blank['thickness_mm'], inch)}"]
    lines.append(f"- Turned over about the line {axis} = {_mm(blank['flip_axis']['at_mm'], inch)}")
    if blank["dowels_at_mm"]:
        at = "; ".join(f"x {_mm(x, inch, False)}, y {_mm(y, inch, False)}" for x, y in blank["dowels_at_mm"])
        lines.append(f"- Dowels ⌀ {_mm(blank['dowel_mm'], inch)} at {at}")
    else:
        lines.append("- No dowels: register the blank by other means before turning it over")
    if data["tools"]:
        tools = (f"{escape(t['name'])} ⌀ {_mm(t['diameter_mm'], inch)}" for t in data["tools"])
        lines.append(f"- End mills at hand: {', '.join(tools)}")
    return lines


def _tolerances(data: Data, inch: bool) -> list[str]:
    given = data["tolerances"]
    if given is None:
        return []
    return [
        "## Tolerances",
        "",
        f"- General tolerances: {escape(given['general'])}",
        f"- The footprint is known to ± {_mm(given['footprint_mm'], inch)} (95 %), its bolts to ± "
        f"{_mm(given['bolts_mm'], inch)}, its height to ± {_mm(given['height_mm'], inch)}",
        f"- The machine cuts to ± {_mm(given['position_mm'], inch)} in position, "
        f"± {_mm(given['size_mm'], inch)} in size, ± {_mm(given['depth_mm'], inch)} in depth; "
        f"the two faces lie within {_mm(given['flip_mm'], inch)} of each other after the flip",
    ]


def _layers(data: Data, inch: bool) -> list[str]:
    rows = [
        (
            escape(layer["name"]),
            escape(layer["part"]),
            f"{layer['face']}, mirrored" if layer["mirrored"] else layer["face"],
            _mm(layer["from_mm"], inch, False),
            _mm(layer["to_mm"], inch, False),
            str(layer["contours"]),
            _plain(layer["area_mm2"], 2),
        )
        for layer in data["layers"]
    ]
    head = ("layer", "part", "face up", "from depth", "to depth", "outlines", "area mm²")
    return ["## Layers", "", *HOW_TO_READ, "", *table(head, rows, right=(3, 4, 5, 6))]


def _proofs(data: Data) -> list[str]:
    """Return the proofs gathered by what was compared, with the worst of each; all of them are in ``report.json``."""
    if not data["proofs"]:
        return []
    groups: dict[tuple[str, str, float], list[Data]] = {}
    for p in data["proofs"]:
        groups.setdefault((p["what"], p["unit"], p["limit"]), []).append(p)
    rows = []
    for (what, unit, limit), group in groups.items():
        worst = max(group, key=lambda p: p["deviation"])
        verdict = "holds" if all(p["holds"] for p in group) else "**FAILED**"
        at = escape(worst["feature"]) if worst["deviation"] > 0.0 else ""
        rows.append(
            (escape(what), str(len(group)), f"{worst['deviation']:.2g}", at, f"{limit:.2g}", escape(unit), verdict)
        )
    head = ("compared", "times", "worst", "worst at", "limit", "unit", "verdict")
    said = "Every output was read back and compared with the plan. Each comparison by itself stands in `report.json`."
    return ["## What was proven", "", said, "", *table(head, rows, right=(1, 2, 4))]


def _cautions(data: Data) -> list[str]:
    return ["## Cautions", "", *(f"- **{c['title']}.** {c['text']}" for c in data["cautions"])]


def _files(data: Data) -> list[str]:
    rows = [(f"`{f['path']}`", str(f["bytes"]), f"`{f['sha256'][:12]}`") for f in data["files"]]
    made = ", ".join(f"{name} {version}" for name, version in data["versions"].items())
    return [
        "## Files",
        "",
        *table(("file", "bytes", "SHA-256 begins"), rows, right=(1,)),
        "",
        "Full digests stand in `manifest.json`, with those of this report.",
        "",
        f"Recipe SHA-256: `{data['recipe_sha256']}`",
        "",
        f"Made with {escape(made)}.",
    ]
