"""The page's text: everything that can be read, listened to and printed without a script."""

from __future__ import annotations

import hashlib
import json
from base64 import b64encode
from collections.abc import Iterable, Mapping, Sequence
from importlib import resources
from string import Template
from typing import Any, Final

from generator.base.cautions import Caution, cautions
from generator.base.finding import Finding
from generator.base.units import LengthUnit, decimal, length_unit
from generator.outline.measure import bounds
from generator.outputs.lettering import xml_text
from generator.outputs.output import Work
from generator.outputs.plan_style import Row, legend_rows
from generator.outputs.scene import inserts_of
from generator.outputs.svg_sheet import Style
from generator.outputs.visual.data import findings_of, page_data
from generator.outputs.visual.plan import page_plan
from generator.part.describe import FeatureRow, feature_rows
from generator.part.mass import mass_g
from generator.part.part import Face, Layer, Part, Plan

__all__ = ["SCRIPTS", "page"]

SCRIPTS: Final = ("measure.js", "body.js", "solid.js", "page.js")
KINDS: Final = {"forbids": "Forbids building", "warns": "Warning", "notes": "Note"}


def page(work: Work) -> str:
    """Return the whole page; same work, same text."""
    plan, rows, findings = work.plan, legend_rows(work.layers), findings_of(work)
    data = page_data(work, rows)
    style, script = _file("page.css"), "\n".join(_file(name) for name in SCRIPTS)
    title = xml_text(plan.title or plan.name)
    return Template(_file("page.html")).substitute(
        title=title,
        subtitle=f"Pack {_code(plan.name)}, revision {xml_text(plan.revision)}. Lengths are in "
        f"{length_unit(plan.units).plural}; x and y as seen from the top face, z = 0 at the cover's bottom face.",
        style=style,
        style_hash=_digest(style),
        script=script,
        script_hash=_digest(script),
        loud="".join(_caution(c) for c in cautions(load_bearing=plan.load_bearing) if c.loud),
        finding_count=len(findings),
        part_boxes="\n".join(_part_box(body["name"]) for body in data["parts"]),
        layer_boxes="\n".join([*(_layer_box(row) for row in rows), *_extra_boxes(plan, findings)]),
        plan=page_plan(plan, rows, findings),
        findings=_findings(findings),
        sizes=_sizes(plan),
        features=_features(plan),
        parameters=_parameters(work),
        files=_files(work),
        cautions="".join(_caution(c) for c in cautions(load_bearing=plan.load_bearing)),
        footer=_footer(work),
        data=_json(data),
    )


def _file(name: str) -> str:
    return (resources.files(__package__) / name).read_text(encoding="utf-8")


def _digest(text: str) -> str:
    """Return what a content security policy knows a script or style by."""
    return b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode()


def _json(data: Mapping[str, Any]) -> str:
    """Return the data as JSON in which nothing can end the element it stands in."""
    text = json.dumps(data, ensure_ascii=True, separators=(",", ":"), allow_nan=False)
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _code(text: str) -> str:
    return f"<code>{xml_text(text)}</code>"


def _table(head: Sequence[str], rows: Iterable[Sequence[str]], *, right: Sequence[int] = ()) -> str:
    """Return a table; ``rows`` hold HTML. On a narrow screen every row becomes a list with the heads before it."""
    kinds = [' class="number"' if i in right else "" for i in range(len(head))]
    titles = "".join(f'<th scope="col"{k}>{h}</th>' for h, k in zip(head, kinds, strict=True))
    lines = "".join(
        "<tr>"
        + "".join(f'<td data-head="{h}"{k}>{c}</td>' for h, k, c in zip(head, kinds, row, strict=True))
        + "</tr>\n"
        for row in rows
    )
    table = f'<table class="stacked"><thead><tr>{titles}</tr></thead>\n<tbody>{lines}</tbody></table>'
    return f'<div class="wide">{table}</div>'


# ------------------------------------------------------------------ what is switched on and off
def _part_box(name: str) -> str:
    word = xml_text(name.replace("-", " ", 1))
    return f'<label><input type="checkbox" checked data-part="{xml_text(name)}"> {word}</label>'


def _layer_box(row: Row) -> str:
    layer = row.layer
    return (
        f'<label><input type="checkbox" checked data-layer="{xml_text(layer.name)}">{_swatch(row.style)}'
        f"<span>{xml_text(layer.name)}<br><small>{xml_text(_where(layer))}</small></span></label>"
    )


def _extra_boxes(plan: Plan, findings: Sequence[Finding]) -> list[str]:
    """Return the boxes of what is drawn over the layers."""
    extras = [("flip-axis", "flip axis")]
    if plan.clamps or plan.tabs:
        extras.append(("holding", "clamps and tabs"))
    if any(f.point_mm for f in findings):
        extras.append(("findings", "places of findings"))
    return [f'<label><input type="checkbox" checked data-layer="{name}"> {word}</label>' for name, word in extras]


def _swatch(style: Style) -> str:
    return f'<svg viewBox="0 0 12 6" aria-hidden="true"><path d="M1 1H11V5H1Z" {style.attributes()}/></svg>'


def _where(layer: Layer) -> str:
    return f"{layer.part.replace('-', ' ', 1)}, {layer.face.value} face"


# ------------------------------------------------------------------ text
def _caution(caution: Caution) -> str:
    kind = ' class="loud"' if caution.loud else ""
    return f"<p{kind}><strong>{xml_text(caution.title)}.</strong> {xml_text(caution.text)}</p>\n"


def _findings(findings: Sequence[Finding]) -> str:
    if not findings:
        return "<p>No check has anything to say.</p>"
    items = "".join(_finding(number, f) for number, f in enumerate(findings, start=1))
    return f'<ol class="findings">\n{items}</ol>'


def _finding(number: int, f: Finding) -> str:
    where = [f.feature, f"{f.face} face" if f.face else ""]
    if f.point_mm:
        where.append(f"at x {decimal(f.point_mm[0], 2)}, y {decimal(f.point_mm[1], 2)} mm")
    limit = "" if f.limit is None else f", limit {decimal(f.limit, 3)} {f.unit}".rstrip()
    figure = "" if f.figure is None else f"{decimal(f.figure, 3)} {f.unit}".rstrip() + limit
    details = (
        ("Where", ", ".join(filter(None, where))),
        ("Found", figure),
        ("Source", f.source),
        ("To mend it", f.remedy),
    )
    lines = "".join(f'<p class="detail">{name}: {xml_text(text)}</p>' for name, text in details if text)
    path = f'<p class="detail">In the recipe: {_code(f.path)}</p>' if f.path else ""
    button = (
        f'<button type="button" hidden data-show="{number}" aria-label="Show the place of finding {number}">'
        "Show the place</button>"
        if f.point_mm
        else ""
    )
    kind = f.severity.value
    return (
        f'<li id="finding-{number}" class="{kind}"><span class="kind">{number} · {KINDS[kind]}</span> '
        f'<span class="message">{xml_text(f.message)}</span>{lines}{path}{button}</li>\n'
    )


def _mass(grams: float) -> str:
    return f"{decimal(grams / 1000.0, 3)} kg" if grams >= 1000.0 else f"{decimal(grams, 1)} g"


def _sizes(plan: Plan) -> str:
    unit = length_unit(plan.units)
    parts = (plan.cover, *inserts_of(plan))
    rows = [(xml_text(p.name), _box(p, unit), _mass(mass_g(p)), xml_text(p.material.name)) for p in parts]
    if len(parts) > 1:
        rows.append(("together", "", _mass(sum(map(mass_g, parts))), ""))
    blank = bounds(plan.blank.region)
    rows.append(("blank", unit.length(blank.width_mm, blank.height_mm, plan.blank.thickness_mm), "", ""))
    return _table(("part", "size", "mass", "material"), rows, right=(2,))


def _box(part: Part, unit: LengthUnit) -> str:
    box = bounds(part.profile)
    return unit.length(box.width_mm, box.height_mm, part.thickness_mm)


def _features(plan: Plan) -> str:
    unit = length_unit(plan.units)
    head = ("part", "feature", "face", "shape", "size", "depth", "floor left")
    rows = [_feature(part, row, unit) for part in (plan.cover, *inserts_of(plan)) for row in feature_rows(part)]
    return _table(head, rows, right=(5, 6)) if rows else "<p>None.</p>"


def _feature(part: Part, row: FeatureRow, unit: LengthUnit) -> Sequence[str]:
    size = f"⌀ {unit.length(row.diameter_mm)}" if row.diameter_mm else unit.length(row.width_mm, row.height_mm)
    floor = unit.length(row.floor_mm) if row.floor_mm > 0.0 else "none"
    face = "top" if row.face is Face.TOP else "bottom"
    return xml_text(part.name), xml_text(row.name), face, row.shape, size, unit.length(row.depth_mm), floor


def _parameters(work: Work) -> str:
    given = work.recipe.parameters if work.recipe else {}
    if not given:
        return "<p>The recipe has none.</p>"
    rows = [(_code(name), xml_text(v) if isinstance(v, str) else decimal(v)) for name, v in given.items()]
    said = '<p class="quiet">A value that the recipe writes with a unit is a length, given here in mm.</p>'
    return said + _table(("name", "value"), rows, right=(1,))


def _files(work: Work) -> str:
    if not work.made:
        return "<p>This page was made alone; the manifest lists the files of a pack.</p>"
    rows = [
        (_code(path), str(len(content)), _code(hashlib.sha256(content).hexdigest()))
        for path, content in sorted(work.made.items())
    ]
    said = (
        '<p class="quiet">What the pack held when this page was written. <code>manifest.json</code> lists it again, '
        "with this page and the reports.</p>"
    )
    return said + _table(("file", "bytes", "SHA-256"), rows, right=(1,))


def _footer(work: Work) -> str:
    made = ", ".join(f"{name} {version}" for name, version in sorted(work.tool_versions.items()))
    return f"<p>Recipe SHA-256: {_code(work.recipe_digest)}</p>\n<p>Made with {xml_text(made)}.</p>"
