"""The gallery's text: what a browser without scripts shows, and that no word of a family becomes code."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest

from generator.family.returns.gallery import gallery_files
from generator.family.returns.tables import table_files
from generator.family.run import Ran
from generator.family.task import Said
from tests.family.many_variants import built, drawn, many, ran

HOSTILE = (
    '</script><img src=x onerror="document.title=1">',
    "\"'><b>&amp;",
    "<!--<script>",
    "</noscript><i>",
    "${title}",
)


class Page(HTMLParser):
    """What stands on a page, as a browser without scripts reads it."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.texts: dict[str, list[str]] = {}
        self.rows: list[list[str]] = []
        self._open: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        self._open.append(tag)
        if tag == "tr":
            self.rows.append([])
        if tag in ("td", "th"):
            self.rows[-1].append("")

    def handle_endtag(self, tag: str) -> None:
        while self._open and self._open.pop() != tag:
            pass

    def handle_data(self, data: str) -> None:
        self.texts.setdefault(self._open[-1] if self._open else "", []).append(data)
        if "td" in self._open or "th" in self._open:
            self.rows[-1][-1] += data


def text_of(run: Ran) -> str:
    files = gallery_files(run)
    assert list(files) == ["gallery.html"]
    return files["gallery.html"].decode("utf-8")


def data_of(text: str) -> dict:
    return json.loads(re.search(r'<script type="application/json" id="data">(.*?)</script>', text, re.S)[1])


@pytest.fixture(scope="module")
def hundred(tmp_path_factory) -> str:
    return text_of(many(tmp_path_factory.mktemp("gallery"), 100))


def hostile(folder: Path) -> Ran:
    """A family in which every text would break out of wherever it is put."""
    dones = [
        replace(built(k + 1, text), why=text, said=(Said("warns", text, text),), parameters={"say": text})
        for k, text in enumerate(HOSTILE)
    ]
    return ran(folder, dones, [{"say": text, "more": f"{text}{k}"} for k, text in enumerate(HOSTILE)], title=HOSTILE[0])


def test_the_table_without_scripts_has_every_variant(hundred):
    page = Page(hundred)
    head, *rows = page.rows
    assert head == ["no.", "name", "status", "plot", "holder", "metal", "size", "mass", "findings", ""]
    assert len(rows) == 100
    assert [r[1] for r in rows[:-1]] == [f"plot-{n}" for n in range(1, 100)]
    assert rows[6][2:9] == ["built ", "7", "Oak", "Cu-ETP R290", "104 × 46 × 10 mm", "94.5 g", "2 warnings, 2 notes"]
    assert rows[12][2].startswith("forbidden the wall beside bolt-1")
    assert rows[12][8] == "1 that forbids, 1 warning, 2 notes"
    assert rows[99][1:3] == ["tag-100", "not made it is new"]


def test_links_lead_to_files_of_the_pack_and_only_to_those(hundred):
    links = [a["href"] for tag, a in Page(hundred).tags if tag == "a" and "href" in a]
    assert links[:4] == ["#variants", "contact-sheet.pdf", "cut-list.pdf", "family.csv"]  # what comes back beside it
    assert links[4:7] == ["packs/plot-1/report.html", "packs/plot-1/report.md", "packs/plot-1/"]
    assert not [link for link in links if "plot-13/" in link]  # forbidden: no pack
    assert {v["links"] == [0, 1] for v in data_of(hundred)["variants"] if "links" in v} == {True}


def test_a_pack_without_a_page_of_its_own_is_not_linked_to_one(tmp_path):
    done = replace(built(1, "tag-1"), files={"report.md": "b" * 64})
    text = text_of(ran(tmp_path, [done], [{"plot": "1"}]))
    assert "packs/tag-1/report.html" not in text
    assert "packs/tag-1/report.md" in text
    assert data_of(text)["variants"][0]["links"] == [1]


def test_nothing_comes_from_elsewhere_and_only_its_own_script_may_run(hundred):
    """Content Security Policy Level 3: a digest of the very text between the tags allows it."""
    page = Page(hundred)
    for _, attrs in page.tags:
        for name in ("src", "href", "action", "data"):
            assert not re.match(r"(?i)\w+:|//", attrs.get(name) or ""), attrs
    policy = next(a["content"] for t, a in page.tags if t == "meta" and a.get("http-equiv"))
    assert "default-src 'none'" in policy
    for kind, pattern in (("style-src", r"<style>(.*?)</style>"), ("script-src", r"<script>(.*?)</script>")):
        (own,) = re.findall(pattern, hundred, re.S)
        digest = base64.b64encode(hashlib.sha256(own.encode()).digest()).decode()
        assert f"{kind} 'sha256-{digest}'" in policy
    assert "url(" not in hundred
    assert "@import" not in hundred


def test_no_word_of_a_family_becomes_code(tmp_path):
    text = text_of(hostile(tmp_path))
    page = Page(text)
    plain = Page(text_of(ran(tmp_path / "plain", [built(k, f"t-{k}") for k in range(1, 6)], [{"say": "a"}] * 5)))
    assert {t for t, _ in page.tags} <= {t for t, _ in plain.tags}
    assert [t for t, _ in page.tags if t == "script"] == ["script", "script"]
    names = [row[1] for row in page.rows[1:]]
    assert names == list(HOSTILE)
    assert [v["name"] for v in data_of(text)["variants"]] == list(HOSTILE)
    assert page.texts["title"] == [HOSTILE[0]]


def test_every_shape_and_every_text_stands_once(tmp_path):
    data = data_of(text_of(many(tmp_path, 60)))
    # outline, two seats, two holes, insert; and a number each of those that have a picture
    pictured = sum("picture" in v for v in data["variants"])
    assert pictured == 55
    assert len(data["shapes"]) == len(set(data["shapes"])) == 6 + pictured
    assert len({tuple(s) for s in data["said"]}) == len(data["said"])


def test_what_is_alike_in_all_is_told_once(tmp_path):
    values = [{"plot": str(k), "metal": "CuZn37 R350"} for k in (1, 2, 3)]
    text = text_of(ran(tmp_path, [built(k, f"tag-{k}") for k in (1, 2, 3)], values))
    assert "Alike in all: metal <bdi>CuZn37 R350</bdi>." in text
    assert text.count("CuZn37 R350") == 2  # there, and for the search
    assert [v["values"] for v in data_of(text)["variants"]] == [[[0, "1"]], [[0, "2"]], [[0, "3"]]]


@pytest.mark.parametrize(("width", "one_scale"), [(40.0, True), (30.0, False)])
def test_pictures_are_at_one_scale_unless_they_differ_by_more_than_three_times(tmp_path, width, one_scale):
    small = replace(built(2, "tag-2"), **drawn(2, width, width / 2))
    small = replace(small, picture=(small.picture[0],))
    text = text_of(ran(tmp_path, [built(1, "tag-1"), small], [{"plot": "1"}, {"plot": "2"}]))
    data = data_of(text)
    assert data["oneScale"] is one_scale
    boxes = [[float(n) for n in box.split()] for box, _ in data["pictures"]]
    assert (boxes[0][2] == boxes[1][2]) is one_scale
    assert boxes[0][2] == pytest.approx(104.0 * 1.04, abs=0.1)
    assert ("All pictures are at one scale." in text) is one_scale


BROKEN = ("", "M0 0", "M0 0L1 0L1 1ZC", "x", "M0 0L1 0A0 0 0 0 1 1 0Z", "M0 0A1 2 0 0 1 1 1Z")


@pytest.mark.parametrize("shape", BROKEN)
def test_a_shape_that_is_none_leaves_a_card_without_a_picture(tmp_path, shape):
    done = replace(built(1, "tag-1"), picture=(("#123456", "s"),), shapes={"s": shape})
    assert "picture" not in data_of(text_of(ran(tmp_path, [done], [{"plot": "1"}])))["variants"][0]


def test_sizes_are_in_the_unit_of_the_recipe(tmp_path):
    run = ran(tmp_path, [built(1, "tag-1")], [{"plot": "1"}])
    recipe = Path(run.family.recipe)
    recipe.write_bytes((Path(__file__).parents[2] / "recipes" / "canoe-yoke.yaml").read_bytes())
    size = data_of(text_of(run))["variants"][0]["size"]
    assert size == "4.0945 × 1.811 × 0.3937 in"  # 104 / 25.4, 46 / 25.4, 10 / 25.4
    recipe.unlink()
    assert data_of(text_of(run))["variants"][0]["size"] == "104 × 46 × 10 mm"


def test_the_caution_is_loud_only_where_an_original_bears_load(tmp_path):
    done = built(1, "tag-1")
    assert "THE ORIGINAL BEARS LOAD" in text_of(ran(tmp_path / "a", [done], [{"plot": "1"}]))
    quiet = replace(done, said=done.said[1:])
    text = text_of(ran(tmp_path / "b", [quiet], [{"plot": "1"}]))
    assert "THE ORIGINAL BEARS LOAD" not in text
    assert "never replaces, thins or carries load" in text


def test_the_same_family_gives_the_same_bytes_built_or_unchanged(tmp_path):
    first = many(tmp_path, 30)
    rows = tuple(
        replace(r, done=replace(r.done, status="unchanged")) if r.done and r.done.status == "built" else r
        for r in first.rows
    )
    again = replace(first, rows=rows)
    assert gallery_files(first) == gallery_files(first) == gallery_files(again)
    assert table_files(first) == table_files(again)
