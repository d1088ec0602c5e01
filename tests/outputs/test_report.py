"""The report says everything that matters, truly, and cannot be led astray by what a recipe says."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from html import unescape

import pytest
import sample_plans
from pack_tools import ROOT

from generator.base.cautions import CAUTIONS, LOAD_BEARING
from generator.base.finding import Severity
from generator.build.judge import check
from generator.checks.check import Outcome
from generator.outputs import layers_dxf
from generator.outputs.markdown import escape, table
from generator.outputs.output import Proof, Work
from generator.outputs.report import report_files

WORK = sample_plans.work()
FILES = dict(layers_dxf.write(WORK))
PROOFS = (
    Proof("volume: solid against regions", "cover", 3.14159e-12, 1e-6, "relative"),
    Proof("volume: solid against regions", "insert-crest", 0.0, 1e-9, "relative"),
    Proof("contours: DXF read back against region", "seats", 2e-16, 1e-3, "mm"),
)


def reports(work=WORK, proofs=PROOFS, files=FILES):
    made = report_files(work, proofs, files)
    return made["report.md"].decode(), json.loads(made["report.json"])


TEXT, DATA = reports()


def section(text, title):
    return text.split(f"\n## {title}\n")[1].split("\n## ")[0]


# ------------------------------------------------------------------ what is said
def test_both_reports_are_made():
    assert set(report_files(WORK, PROOFS, FILES)) == {"report.md", "report.json"}


def test_sizes_mass_and_material():
    cover, insert = DATA["parts"]
    assert cover["profile"]["box_mm"] == [-55.0, -25.0, 55.0, 25.0]
    assert cover["thickness_mm"] == 12.0
    assert cover["profile"]["area_mm2"] == pytest.approx(3000 + 3.141592653589793 * 625, abs=1e-6)
    assert insert["mass_g"] == pytest.approx(23.9 * 7.9 * 1.5 * 8470e-6, abs=1e-6)
    assert cover["mass_g"] == pytest.approx(cover["volume_mm3"] * 2700e-6, abs=1e-6)
    assert cover["material"]["provenance"] == "cross-checked"
    assert "| cover        | 110 × 50 × 12 mm" in TEXT
    assert "figures: from memory" in section(TEXT, "Part: insert-crest")
    assert "Sits 10.5 mm above the cover's bottom face" in TEXT


def test_features_with_face_depth_and_floor():
    rows = {f["name"]: f for f in DATA["parts"][0]["features"]}
    assert rows["bottom-pocket"] | {"area_mm2": 0} == {
        "name": "bottom-pocket", "layer": "bottom-pocket", "face": "bottom", "shape": "flat floor", "depth_mm": 3.4,
        "floor_left_mm": 2.2, "width_mm": 64.6, "height_mm": 24.6, "diameter_mm": None, "area_mm2": 0,
        "at_mm": [0.0, 0.0], "corner_radius_mm": 12.3,
    }  # fmt: skip
    assert rows["bolt-1"]["shape"] == "through"
    assert rows["bolt-1"]["floor_left_mm"] is None
    assert rows["seat-bolt-1"]["diameter_mm"] == 11.0
    assert re.search(r"\| bottom-pocket +\| bottom \| flat floor \| +3\.4 \| +2\.2 \| 64\.6 × 24\.6 +\|", TEXT)


def test_layers_say_face_mirroring_depth_and_file():
    rows = {(r["name"], r["face"]): r for r in DATA["layers"]}
    pocket = rows["bottom-pocket", "bottom"]
    assert pocket["mirrored"] is True
    assert (pocket["from_mm"], pocket["to_mm"], pocket["contours"]) == (0.0, 3.4, 1)
    assert pocket["file"] in FILES
    assert pocket["dxf_layer"] == "bottom-pocket-flipped"
    assert rows["seats", "top"]["mirrored"] is False
    layers = section(TEXT, "Layers")
    assert "already mirrored in the flip axis" in layers
    assert "Do not mirror them again" in layers
    assert re.search(r"\| bottom-pocket +\| cover +\| bottom, mirrored \|", layers)


def test_layer_without_file_is_told_as_such():
    _, data = reports(files={})
    assert {r["file"] for r in data["layers"]} == {None}


def test_bolts_with_the_source_of_their_holes():
    assert DATA["bolts"][1] == {
        "name": "bolt-2", "at_mm": [20.0, 0.0], "hole_mm": 6.6, "hole_source": "ISO 273 medium",
        "thread": "M6", "screw": "ISO 4762",
    }  # fmt: skip
    assert "ISO 273 medium" in section(TEXT, "Bolts")
    text, data = reports(replace(WORK, plan=replace(WORK.plan, bolts=())))
    assert data["bolts"] == []
    assert section(text, "Bolts").strip() == "None."


def test_findings_by_severity_with_figure_limit_source_and_remedy():
    forbids = replace(sample_plans.FINDING, severity=Severity.FORBIDS, message="First.", code="a")
    notes = replace(sample_plans.FINDING, severity=Severity.NOTES, message="Third.", code="c", figure=None, limit=None)
    work = replace(WORK, outcomes=(Outcome("one", (notes,)), Outcome("two", (sample_plans.FINDING, forbids))))
    text, data = reports(work)
    assert [f["severity"] for f in data["findings"]] == ["forbids", "warns", "notes"]
    said = section(text, "What the checks say")
    assert said.index("### Forbids building") < said.index("### Warnings") < said.index("### Notes")
    assert "(inlay-pocket-crest, top face, at 0, 16.9)" in said
    assert "  - Found 0.8 mm, limit 1 mm\n  - Source: common practice, no source\n" in said
    assert "  - To mend it: set inlays.crest.pocket_depth to 1.3" in said
    assert "1 that forbids building, 1 warning, 1 note" in text


def test_crashed_check_is_not_hidden():
    assert DATA["checks"]["crashed"] == [{"check": "flip", "crash": "KeyError: 'x'"}]
    assert "**The check flip failed to run**" in TEXT


def test_no_findings():
    text, data = reports(replace(WORK, outcomes=(Outcome("thin-floor"),)))
    assert data["findings"] == []
    assert data["checks"] == {"passed": ["thin-floor"], "found": [], "crashed": []}
    assert "No check has anything to say." in text
    assert "Findings: none" in text


def test_proofs_with_figures():
    assert DATA["proofs"][0] == {
        "what": "volume: solid against regions", "feature": "cover", "deviation": 3.14e-12, "limit": 1e-6,
        "unit": "relative", "holds": True,
    }  # fmt: skip
    proven = section(TEXT, "What was proven")
    assert re.search(r"\| volume: solid against regions +\| +1 \| 3\.1e-12 \| cover", proven)
    assert "Proofs: 3 of 3 hold" in TEXT


def test_all_cautions_always_and_loud_with_a_load_bearing_original():
    quiet_text, quiet = reports(sample_plans.work(plan=sample_plans.plan(load_bearing=False)))
    assert [c["id"] for c in quiet["cautions"]] == [c.id for c in CAUTIONS]
    assert [c["id"] for c in DATA["cautions"]] == [LOAD_BEARING.id, *(c.id for c in CAUTIONS)]
    for caution in CAUTIONS:
        assert caution.text in section(TEXT, "Cautions")
        assert caution.text in section(quiet_text, "Cautions")
    assert "> **THE ORIGINAL BEARS LOAD.**" in TEXT.split("\n## ")[0]  # before anything else
    assert "BEARS LOAD" not in quiet_text


def test_cautions_say_what_the_brief_of_the_project_asks():
    said = " ".join(c.text for c in CAUTIONS).lower()
    for word in ("never replaces, thins or carries load", "qualified engineer", "soft metal", "full travel", "deburr",
                 "guards", "eye and hearing", "held firmly", "chips", "local codes", "licensed practice"):  # fmt: skip
        assert word in said


def test_files_are_listed_with_their_digests():
    import hashlib

    assert {f["path"]: f["sha256"] for f in DATA["files"]} == {
        p: hashlib.sha256(c).hexdigest() for p, c in FILES.items()
    }
    assert all(f"`{path}`" in section(TEXT, "Files") for path in FILES)


def test_recipe_in_inches_shows_both():
    text, data = reports(replace(WORK, plan=replace(WORK.plan, units="inch")))
    assert data["recipe_units"] == "inch"
    assert data["parts"][0]["thickness_mm"] == 12.0
    assert "110 × 50 × 12 mm (4.3307 × 1.9685 × 0.4724 in)" in text
    assert "⌀ 6.6 (0.2598 in)" in text
    assert " in)" not in TEXT


def work_of(name, *sets):
    checked = check(ROOT / "recipes" / f"{name}.yaml", sets=sets)
    return replace(WORK, plan=checked.plan, layers=checked.layers, recipe=checked.reading.recipe)


def test_making_is_an_estimate_with_two_ends():
    text, data = reports(work_of("gate-latch", "cover.stock.price=9.5", "making.rate=60"))
    made = data["making"]
    cover = made["pieces"][0]
    assert cover["size_mm"] == pytest.approx([131.917, 93.106, 10], abs=1e-3)  # the blank as its layer has it
    assert cover["mass_g"] == pytest.approx(131.9166 * 93.106 * 10 * 2700e-6, rel=1e-4)
    assert cover["cost"] == made["material_cost"] == pytest.approx(9.5 * cover["mass_g"] / 1000, abs=0.005)
    assert made["work_cost"] == pytest.approx(made["whole_min"], abs=0.1)  # 60 an hour is one a minute
    assert made["setups"] == 3
    assert made["tool_changes"] >= made["tools"] == len({(s["kind"], s["diameter_mm"]) for s in made["steps"]})
    least, most = (sum(s["minutes"][k] for s in made["steps"]) for k in (0, 1))
    assert made["cutting_min"] == pytest.approx([least, most], abs=0.2)
    assert 0 < least < most
    said = section(text, "Making: an estimate")
    assert "of which 87 g are left" in said
    assert "charts: ATA 2022" in said
    assert "Work: " in said
    assert DATA["making"] is None


def test_the_fit_is_told_with_its_error_and_what_dominates():
    text, data = reports(work_of("gate-latch", "clearance.around=0.1"))
    fit = data["fit"]
    assert 0.9 < fit["chance"] == fit["fit"] / fit["samples"] < 0.997
    assert 0.0 < fit["standard_error"] < 0.01
    assert fit["clearance_mm"] == 0.1 < fit["clearance_wanted_mm"] < 0.2
    (wall, *_) = fit["sums"]
    assert wall["errors"][0]["key"] == "tolerances.footprint"
    assert sum(e["share"] for e in wall["errors"]) == pytest.approx(1.0, abs=1e-3)
    said = section(text, "Fit on the original")
    assert f"- {100 * fit['chance']:.2f} % of covers (± 0." in said
    assert "footprint 9" in said
    assert DATA["fit"] is None


def test_every_cut_of_the_plan_is_in_the_estimate():
    work = work_of("door-bell")
    made = {(s["part"], s["what"]) for s in reports(work)[1]["making"]["steps"]}
    for part in work.plan.parts:
        for f in part.features:
            assert {(part.name, f.name), (part.name, f.layer)} & made, f.name
        assert (part.name, part.layer) in made


def test_tolerances_of_the_recipe():
    work = work_of("gate-latch", "tolerances.general=ISO 2768-fH", "tolerances.footprint=0.08")
    text, data = reports(replace(work, plan=replace(work.plan, units="inch")))
    assert data["tolerances"] == {
        "general": "ISO 2768-fH", "footprint_mm": 0.08, "bolts_mm": 0.1, "bolt_play_mm": 0.0, "height_mm": 0.1,
        "position_mm": 0.05, "size_mm": 0.05, "depth_mm": 0.05, "flip_mm": 0.05,
    }  # fmt: skip
    assert "- General tolerances: ISO 2768-fH" in section(text, "Tolerances")
    assert "± 0.08 mm (0.0031 in) (95 %)" in text
    assert DATA["tolerances"] is None
    assert "## Tolerances" not in TEXT


def test_no_dowels():
    blank = replace(WORK.plan.blank, dowel_holes=type(WORK.plan.blank.dowel_holes)())
    text, data = reports(replace(WORK, plan=replace(WORK.plan, blank=blank)))
    assert data["blank"]["dowels_at_mm"] == []
    assert data["blank"]["dowel_mm"] is None
    assert "No dowels" in text


# ------------------------------------------------------------------ form
def keys_of(value):
    if isinstance(value, dict):
        for key, inner in value.items():
            yield key
            yield from keys_of(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from keys_of(inner)


def test_every_key_is_described():
    page = (ROOT / "docs" / "report.md").read_text(encoding="utf-8")
    free = set(DATA["versions"])
    assert {k for k in keys_of(DATA) if f"`{k}`" not in page} - free == set()


def test_json_is_plain_and_numbers_are_numbers():
    raw = report_files(WORK, PROOFS, FILES)["report.json"]
    assert b"NaN" not in raw
    assert b"Infinity" not in raw
    assert raw.endswith(b"}\n")
    for key in ("thickness_mm", "volume_mm3", "mass_g"):
        assert isinstance(DATA["parts"][0][key], float)


def test_tables_are_aligned_and_parse():
    markdown_it = pytest.importorskip("markdown_it")
    html = markdown_it.MarkdownIt("commonmark").enable("table").render(TEXT)
    assert html.count("<table>") == len(re.findall(r"^\| -", TEXT, flags=re.M)) == 6
    for block in re.findall(r"(?:^\|.*\n)+", TEXT, flags=re.M):
        assert len({len(line) for line in block.splitlines()}) == 1
    assert html.count("<h1>") == 1


HOSTILE = [
    "<script>alert(1)</script>",
    "a | b | c",
    "line\nbreak\n# Heading",
    "[click](javascript:x)",
    "![p](http://x/y.png)",
    "`code` *bold* __x__ ~~z~~",
    "&lt;b&gt; &amp;",
    "\\| back",
    "\x1b[31mred",
    "$x$",
]


@pytest.mark.parametrize("text", HOSTILE)
def test_texts_of_a_recipe_stay_texts(text):
    markdown_it = pytest.importorskip("markdown_it")
    finding = replace(sample_plans.FINDING, message=text, remedy=text, source=text, feature=text)
    bolts = tuple(replace(b, source=text) for b in WORK.plan.bolts)
    plan = replace(WORK.plan, title=text, revision=text, notes=text, bolts=bolts)
    said, _ = reports(replace(WORK, plan=plan, outcomes=(Outcome("x", (finding,)),)))
    render = markdown_it.MarkdownIt("commonmark").enable(["table", "strikethrough"]).render
    html = render(said)
    assert html.count("<h1>") == 1
    assert html.count("<table>") == render(TEXT).count("<table>")
    for tag in ("<script", "<a ", "<img", "<s>", "<em>"):
        assert tag not in html
    shown = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    assert unescape(re.search(r"<h1>(.*)</h1>", html)[1]) == shown


def test_escape_leaves_names_readable():
    assert escape("inlays.crest.pocket_depth") == "inlays.crest.pocket_depth"
    assert escape("_x_") == r"\_x\_"


def test_table():
    assert table(("a", "bc"), [("x", "1"), ("long one", "22")], right=(1,)) == [
        "| a        |  bc |",
        "| -------- | --: |",
        "| x        |   1 |",
        "| long one |  22 |",
    ]
    assert table(("a",), []) == ["| a   |", "| --- |"]


def test_gap_of_an_insert_is_told_with_its_source():
    checked = check(ROOT / "recipes" / "gate-latch.yaml")
    work = Work(checked.plan, checked.layers, checked.outcomes, "0" * 64, "", {}, recipe=checked.reading.recipe)
    text, data = reports(work, (), {})
    cover, insert = data["parts"]
    assert cover["gap"] is None
    assert (insert["gap"]["fit"], insert["gap"]["gap_mm"]) == ("hand", 0.05)
    assert "Gap to the pocket wall: 0.05 mm a side, fit `hand` (common practice, no source" in text
