"""The page as a file: its size, what it would fetch, its words, its bodies; no browser is needed for these."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from dataclasses import replace
from html.parser import HTMLParser

import numpy as np
import pytest
import sample_plans
import trimesh
from recipe_works import RECIPES, work_of

from generator.outputs import OUTPUTS, plan_svg, prints, visual_report
from generator.outputs.proofs import demand
from generator.outputs.visual.page import SCRIPTS
from generator.part.mass import mass_g, volume_mm3

NASTY = "</script><b>\"&'<img src=x onerror=alert(1)> $data ${data}"


def page_of(work) -> str:
    files = dict(visual_report.write(work))
    demand(visual_report.prove(work, files))
    assert set(files) == {"report.html"}
    return files["report.html"].decode("utf-8")


class Elements(HTMLParser):
    """Every element with its attributes, and the text outside scripts."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.code: dict[str, list[str]] = {"script": [], "style": []}
        self.words = ""
        self._in = ""
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.found.append((tag, dict(attrs)))
        self._in = tag if tag in self.code else self._in

    def handle_endtag(self, tag):
        self._in = "" if tag == self._in else self._in

    def handle_data(self, data):
        if self._in:
            self.code[self._in].append(data)
        else:
            self.words += data


@pytest.mark.parametrize("path", RECIPES, ids=lambda p: p.stem)
def test_page_of_every_recipe_is_small_alone_and_tells_of_the_other_files(path):
    work = work_of(path)
    made = {**dict(plan_svg.OUTPUT.write(work)), **dict(prints.OUTPUT.write(work))}
    work = replace(work, made=made)
    html = page_of(work)
    assert len(html.encode()) < 2_000_000
    assert not re.search(r"(?i)\b(https?|ftp|wss?):", re.sub(r"(?s)<main>.*</main>", "", html))
    assert "url(" not in html
    assert "@import" not in html
    read = Elements(html)
    for tag, attrs in read.found:
        assert tag not in ("link", "iframe", "object", "embed", "img", "base", "form")
        assert not {"src", "srcset", "action", "style"} & set(attrs)
        assert not [name for name in attrs if name.startswith("on")]
        assert attrs.get("href", "#").startswith("#")
    for name, content in made.items():
        assert name in read.words
        assert hashlib.sha256(content).hexdigest() in read.words
    for part in work.plan.parts:
        grams = mass_g(part)
        assert (f"{grams:.1f}".rstrip("0").rstrip(".") + " g" if grams < 1000 else " kg") in read.words
    for outcome in work.outcomes:
        for finding in outcome.findings:
            assert " ".join(finding.message.split()) in " ".join(read.words.split())
    for name in work.recipe.parameters:
        assert name in read.words


@pytest.mark.parametrize("path", RECIPES, ids=lambda p: p.stem)
def test_bodies_to_turn_are_closed_and_as_large_as_the_parts(path):
    """Read by hand out of the JSON and asked of another library."""
    work = work_of(path)
    data = json.loads(re.search(r'(?s)id="data">(.*?)</script>', page_of(work))[1])
    bodies = {body["name"]: body for body in data["parts"]}
    for part in work.plan.parts:
        mesh = bodies[part.name]["mesh"]
        points = np.frombuffer(base64.b64decode(mesh["points"]), dtype="<f4").reshape(-1, 3)
        numbers = np.frombuffer(base64.b64decode(mesh["triangles"]), dtype="<u4" if mesh["wide"] else "<u2")
        body = trimesh.Trimesh(points, numbers.reshape(-1, 3), process=False)
        assert body.is_watertight
        assert body.volume == pytest.approx(volume_mm3(part), abs=0.02 * body.area)
        assert bodies[part.name]["seat"] == pytest.approx(part.seat_z_mm, abs=1e-4)


def test_script_and_style_are_the_ones_that_the_policy_allows():
    """A browser runs what has the digest in the policy, and nothing else (W3C Content Security Policy Level 3)."""
    html = page_of(sample_plans.work())
    read = Elements(html)
    policy = next(a["content"] for tag, a in read.found if tag == "meta" and "http-equiv" in a)
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    for kind, code in (("script", read.code["script"][-1]), ("style", read.code["style"][0])):
        digest = base64.b64encode(hashlib.sha256(code.encode()).digest()).decode()
        assert f"{kind}-src 'sha256-{digest}'" in policy


def test_words_of_a_recipe_are_never_markup():
    work = sample_plans.work()
    spoiled = [
        replace(o, findings=tuple(replace(f, message=NASTY, remedy=NASTY, feature=NASTY) for f in o.findings))
        for o in work.outcomes
    ]
    work = replace(
        work,
        plan=replace(work.plan, title=NASTY, revision=NASTY),
        outcomes=tuple(spoiled),
        made={"a<b>.txt": b"x"},
        tool_versions={"<i>": "</body>"},
    )
    before, after = Elements(page_of(sample_plans.work(made={"a.txt": b"x"}))), Elements(page_of(work))
    assert [tag for tag, _ in after.found] == [tag for tag, _ in before.found]
    assert after.words.count(NASTY) >= 4


def test_same_work_same_bytes_and_it_is_the_last_output():
    work = sample_plans.work()
    assert page_of(work) == page_of(work)
    assert OUTPUTS[-1].name == "visual-report"


def test_page_without_findings_inserts_parameters_or_files():
    work = sample_plans.work(outcomes=())
    html = page_of(replace(work, plan=replace(work.plan, inserts=(), bolts=())))
    assert "No check has anything to say" in html
    assert "The recipe has none" in html


def test_lengths_are_told_in_the_unit_of_the_recipe():
    yoke = next(p for p in RECIPES if p.stem == "canoe-yoke")
    work = work_of(yoke)
    html = page_of(work)
    assert '"suffix":"in"' in html
    assert f"{work.plan.cover.thickness_mm / 25.4:.4f}".rstrip("0").rstrip(".") + " in" in html


def test_without_scripts_the_words_come_first_and_what_needs_scripts_is_not_shown():
    """Rules of the style, by hand: only the script says that it runs."""
    html = page_of(sample_plans.work())
    assert html.index("<noscript>") < html.index('id="views"')
    said = " ".join(re.search(r"(?s)<noscript>(.*?)</noscript>", html)[1].split())
    assert "allow scripts for this file; it loads nothing from any network" in said
    hidden = re.search(r":root:not\(\.live\) :is\((.*?)\) \{ display: none; \}", html)[1].split(", ")
    assert hidden == ["#solid-view", ".says", ".controls > .row", ".layers input"]
    assert 'class="live"' not in html
    assert 'document.documentElement.classList.add("live")' in html


def test_scripts_are_plain():
    code = Elements(page_of(sample_plans.work())).code["script"][-1]
    assert len(SCRIPTS) == 4
    assert max(map(len, code.splitlines())) <= 120
    for word in ("eval(", "innerHTML", "outerHTML", "document.write", "fetch(", "XMLHttpRequest", "import("):
        assert word not in code


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        (' data-layer="blank" d=', ' data-layer="blanc" d=', "layers drawn once"),
        ("<h2", '<img src="http://example.org/x.png"><h2', "addresses"),
        ("background: var(--ground)", "background: url(//example.org/x.png)", "addresses"),
        ("<title>", "<title>x", "title"),
        ('"triangles":"', '"triangles":"AAABAAIA', "body"),
        ("2d711642b726b04401627ca9fbac32f5c8530fb1903cc4db02258717921a4881", "0" * 64, "digests"),
    ],
)
def test_proofs_notice(old, new, what):
    work = sample_plans.work(made={"x.txt": b"x"})
    html = page_of(work)
    assert old in html
    spoiled = {"report.html": html.replace(old, new, 1).encode()}
    assert any(what in p.what and not p.holds for p in visual_report.prove(work, spoiled))
