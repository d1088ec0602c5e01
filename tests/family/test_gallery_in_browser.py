"""The gallery in a real browser, from the disk: search, order, filters, keys, a phone, paper, two thousand variants."""

from __future__ import annotations

import base64
import io
import json
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pypdfium2
import pytest

from generator.family.returns.gallery import gallery_files
from tests.family.many_variants import HOLDERS, built, many, ran
from tests.family.test_gallery import HOSTILE, hostile
from tests.outputs.browser import Browser, needs_browser

pytestmark = needs_browser
NAMES = "[...document.querySelectorAll('.variant h2')].map(e => e.textContent)"
SHOWN = "document.querySelector('#shown').textContent"


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with Browser() as one:
        yield one


def written(run) -> Path:
    run.folder.mkdir(parents=True, exist_ok=True)
    path = run.folder / "gallery.html"
    path.write_bytes(gallery_files(run)["gallery.html"])
    return path


@pytest.fixture(scope="module")
def page(tmp_path_factory) -> Path:
    return written(many(tmp_path_factory.mktemp("hundred"), 100))


@pytest.fixture(scope="module")
def large(tmp_path_factory) -> Path:
    return written(many(tmp_path_factory.mktemp("large"), 2000))


def opened(browser: Browser, page: Path, address: str = "") -> Browser:
    browser.said.clear()
    browser.asked.clear()
    browser.send("Page.navigate", url="about:blank")
    browser.size(1280, 1000)
    browser.media()
    if address:
        browser.send("Page.navigate", url=page.resolve().as_uri() + address)
        browser.wait_for("document.documentElement?.dataset.ready === 'gallery'")
    else:
        browser.open(page)
    return browser


@pytest.fixture
def gallery(browser, page) -> Browser:
    return opened(browser, page)


def filled(browser: Browser) -> list[str]:
    """The names of all cards, once all are there."""
    browser.wait_for("document.documentElement.dataset.filled")
    return browser.ask(NAMES)


def give(browser: Browser, selector: str, value: str | bool) -> None:
    key = "checked" if isinstance(value, bool) else "value"
    browser.ask(
        f"(() => {{ const e = document.querySelector({json.dumps(selector)}); e.{key} = {json.dumps(value)}; "
        "e.dispatchEvent(new Event('input', {bubbles: true})); })()"
    )


def test_it_opens_from_the_disk_says_nothing_and_fetches_nothing(gallery):
    assert filled(gallery) == [*(f"plot-{n}" for n in range(1, 100)), "tag-100"]
    assert gallery.ask(SHOWN) == "100 of 100 variants"
    assert gallery.said == []
    assert {url for url in gallery.asked if not url.startswith("file:")} <= {"about:blank"}


@pytest.mark.parametrize(
    ("words", "names"),
    [
        ("plot-77", ["plot-77"]),
        ("OAK r350", []),
        ("oak r290 plot-7", ["plot-7", "plot-77"]),
        ("pocket-wall", ["plot-13"]),
        ("less than 0.8", ["plot-13"]),
        ("crashed", ["plot-16"]),
        ("died TWICE", ["plot-16"]),
        ("not made", ["tag-100"]),
        ("1 pieces fall plot-6", ["plot-63"]),
        ("no such words", []),
    ],
)
def test_all_words_must_be_found_in_name_values_or_findings(gallery, words, names):
    give(gallery, "#words", words)
    assert filled(gallery) == names
    assert gallery.ask(SHOWN) == f"{len(names)} of 100 variants"
    assert gallery.ask("document.querySelector('#none').hidden") == bool(names)


def test_accents_and_capitals_do_not_matter_in_a_search(browser, tmp_path):
    dones = [built(1, "tag-1"), built(2, "tag-2")]
    opened(browser, written(ran(tmp_path, dones, [{"holder": "Ähre & Söhne"}, {"holder": "Ahorn"}])))
    for words in ("ähre", "AHRE", "sohne", "Söhne &"):
        give(browser, "#words", words)
        assert filled(browser) == ["tag-1"], words


def test_every_order_is_what_it_says(gallery):
    data = gallery.ask("JSON.parse(document.getElementById('data').textContent).variants")
    by_name = {v["name"]: v for v in data}
    for key, value in (("size", "area"), ("mass", "grams"), ("time", "seconds")):
        give(gallery, "#sort", key)
        figures = [by_name[n].get(value, 0) for n in filled(gallery)]
        assert figures == sorted(figures, reverse=True), key
    give(gallery, "#sort", "name")
    assert filled(gallery)[:3] == ["plot-1", "plot-2", "plot-3"]  # as numbers are read
    give(gallery, "#turned", True)
    assert filled(gallery)[:3] == ["tag-100", "plot-99", "plot-98"]
    give(gallery, "#turned", False)
    give(gallery, "#sort", "findings")
    names = filled(gallery)
    assert names[:6] == ["plot-14", "plot-13", "plot-15", "plot-16", "plot-17", "tag-100"]
    assert set(names[6:19]) == {f"plot-{n}" for n in range(7, 100, 7)} - {"plot-14"}  # two warnings
    give(gallery, "#sort", "number")
    assert filled(gallery)[-1] == "tag-100"


def test_filters_show_any_of_what_is_ticked_and_count_what_they_would_leave(gallery):
    def boxes(into: str) -> dict[str, int]:
        found = gallery.ask(
            f"[...document.querySelectorAll('#{into} label')].map(e => [e.querySelector('.word').textContent, "
            "Number(e.querySelector('.many').textContent)])"
        )
        return dict(found)

    assert boxes("statuses") == {
        "built": 94, "forbidden": 1, "wrong": 1, "failed": 1, "crashed": 1, "hung": 1, "not made": 1,
    }  # fmt: skip
    assert boxes("checks") == {
        "parameters.plot": 1, "pocket-wall": 1, "load-bearing": 95, "fallen-pieces": 13, "bolt-length": 95,
        "making-estimate": 95,
    }  # fmt: skip
    gallery.click("#checks input[value='fallen-pieces']")
    assert filled(gallery) == [f"plot-{n}" for n in range(7, 100, 7) if n != 14]
    assert boxes("statuses")["built"] == 13
    assert boxes("checks")["pocket-wall"] == 1
    gallery.click("#checks input[value='pocket-wall']")
    assert gallery.ask(SHOWN) == "14 of 100 variants"
    gallery.click("#statuses input[value='1']")
    assert filled(gallery) == ["plot-13"]
    assert gallery.ask("document.querySelector('#chosen').textContent") == "(3 chosen)"
    gallery.click("#clear")
    assert gallery.ask(SHOWN) == "100 of 100 variants"
    assert gallery.ask("document.activeElement.id") == "words"


def test_what_was_asked_for_is_there_again_by_its_address(browser, page):
    opened(browser, page)
    give(browser, "#words", "oak & ähre")
    give(browser, "#words", "oak")
    give(browser, "#sort", "mass")
    browser.click("#statuses input[value='0']")
    names = filled(browser)
    address = browser.ask("location.hash")
    opened(browser, page, address)
    assert filled(browser) == names
    assert browser.ask("document.querySelector('#words').value") == "oak"
    opened(browser, page, "#sort=constructor&status=none&words=%E0%A4%A")
    assert browser.said == []
    assert browser.ask("document.querySelector('#sort').value") == "number"


def test_everything_is_reached_by_keys(gallery):
    gallery.send("Input.dispatchKeyEvent", type="keyDown", key="Tab", windowsVirtualKeyCode=9)
    seen = []
    for _ in range(33):
        seen.append(
            gallery.ask("(() => { const e = document.activeElement; return e.id || e.value || e.textContent; })()")
        )
        gallery.press("Tab", 9)
    assert seen[:4] == ["To the variants", "Contact sheet", "Cut list", "Table"]
    assert seen[4:11] == ["words", "sort", "turned", "Filters ", "0", "1", "2"]
    assert "fallen-pieces" in seen
    assert seen[21:25] == ["1 warning, 2 notes", "report", "text", "files"]
    outline = gallery.ask("getComputedStyle(document.activeElement).outlineStyle")
    assert outline == "solid"
    gallery.ask("document.querySelector('#words').focus()")
    for key in "plot-77":
        gallery.press(key)
    assert filled(gallery) == ["plot-77"]
    gallery.ask("document.querySelector('.variant summary').focus()")
    gallery.press("Enter", 13)
    told = gallery.ask("[...document.querySelectorAll('.said li')].map(e => e.textContent)")
    assert [t.rsplit(" ", 1)[1] for t in told] == ["fallen-pieces", "load-bearing", "bolt-length", "making-estimate"]


@pytest.mark.parametrize(("width", "phone"), [(320, True), (390, True), (768, False), (1280, False), (2200, False)])
def test_nothing_sticks_out_sideways(gallery, width, phone):
    """WCAG 2.2, 1.4.10 (320 px wide) and 2.5.8 (targets of at least 24 by 24 px)."""
    gallery.size(width, 800, phone=phone)
    gallery.ask("document.querySelector('#filters').open = true")
    gallery.settle()
    assert gallery.ask("document.documentElement.scrollWidth") <= width
    small = gallery.ask(
        "[...document.querySelectorAll('button, select, input[type=search], .boxes label, .tick, summary, .links a')]"
        ".filter(e => e.offsetParent && e.getBoundingClientRect().height < 24).map(e => e.outerHTML).slice(0, 3)"
    )
    assert small == []


def luminance(colour: str) -> float:
    """Relative luminance of ``rgb(…)``, by WCAG 2.2."""
    shares = [int(n) / 255.0 for n in colour.removeprefix("rgb(").removesuffix(")").split(",")]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in shares]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_texts_stand_out_from_their_ground_in_both_schemes(gallery, scheme):
    """WCAG 2.2, 1.4.3: 4.5 to 1."""
    gallery.media(scheme=scheme)
    gallery.settle()
    pairs = gallery.ask(
        "['.variant h2', '.variant .state', '.variant dt', '.variant dd', '.figures', 'b.warns', 'b.notes', "
        "'.bad .state b', '.links a'].map(s => { const e = document.querySelector(s); "
        "return [getComputedStyle(e).color, getComputedStyle(e.closest('.variant')).backgroundColor]; })"
    )
    for ink, ground in pairs:
        light, dark = sorted((luminance(ink), luminance(ground)), reverse=True)
        assert (light + 0.05) / (dark + 0.05) >= 4.5, (ink, ground)


def test_pictures_show_the_cover_at_its_size_and_the_number_on_it(gallery):
    """Share of a card's picture by closed forms: an ellipse of 104 × 46 mm without insert, seats and holes."""
    gallery.size(500, 1600)
    gallery.settle()
    gallery.settle()
    box = gallery.ask(
        "(() => { const b = document.querySelector('.face svg').getBoundingClientRect(); "
        "return [b.left, b.top, b.right, b.bottom]; })()"
    )
    seen = np.asarray(gallery.picture().crop([round(v) for v in box]), dtype=int)
    metal = np.abs(seen - np.array([0xB9, 0xBC, 0xC0])).max(axis=2) < 10
    brass = np.abs(seen - np.array([0xD0, 0xAB, 0x55])).max(axis=2) < 10
    room = 2.0 * 0.02 * 104.0
    mm = min((box[2] - box[0]) / (104.0 + room), (box[3] - box[1]) / (46.0 + room))
    cover = np.pi * 52.0 * 23.0 - 36.0 * 18.0 - 2.0 * np.pi * 5.75**2
    assert metal.sum() / mm**2 == pytest.approx(cover, rel=0.04)
    assert brass.sum() / mm**2 == pytest.approx(36.0 * 18.0, rel=0.08)


def test_pictures_are_there_near_the_view_and_gone_far_from_it(browser, large):
    opened(browser, large)
    filled(browser)
    count = "document.querySelectorAll('.face svg').length"
    browser.wait_for(f"{count} > 0")
    assert browser.ask(count) < 60
    browser.ask("scrollTo(0, document.documentElement.scrollHeight / 2)")
    near = "[...document.querySelectorAll('.variant')].filter(e => { const b = e.getBoundingClientRect(); "
    browser.wait_for(near + "return b.bottom > 0 && b.top < innerHeight; }).every(e => e.querySelector('.face svg'))")
    assert browser.ask(count) < 100
    assert not browser.ask("document.querySelector('.variant .face svg')?.closest('.variant').previousSibling === null")


def test_two_thousand_variants_are_all_there_and_found(browser, large):
    opened(browser, large)
    assert len(filled(browser)) == 2000
    assert large.stat().st_size < 5_000_000
    give(browser, "#words", "oak")
    assert browser.ask(SHOWN) == "200 of 2000 variants"
    names = filled(browser)
    assert names == [f"plot-{n}" for n in range(1, 2000) if HOLDERS[n % 10] == "Oak"]
    at_once = browser.ask(
        "(() => { const e = document.querySelector('#words'); e.value = ''; "
        "e.dispatchEvent(new Event('input', {bubbles: true})); "
        "return document.querySelectorAll('.variant').length; })()"
    )
    assert at_once == 36  # first what is seen, then the rest
    assert len(filled(browser)) == 2000
    assert browser.said == []


def test_more_variants_than_are_added_unasked_come_as_they_are_reached(browser, tmp_path):
    opened(browser, written(many(tmp_path, 3300)))
    assert len(filled(browser)) < 3300
    assert not browser.ask("document.querySelector('#rest').hidden")
    browser.ask("document.querySelector('#more').click()")
    there = len(browser.ask(NAMES))
    assert 3000 <= there <= 3300
    assert browser.ask("document.activeElement.closest('.variant') !== null")
    browser.wait_for("(scrollTo(0, 1e9), document.querySelectorAll('.variant').length === 3300)")
    assert browser.ask("document.querySelector('#rest').hidden")


def test_strange_texts_are_shown_and_not_run(browser, tmp_path):
    opened(browser, written(hostile(tmp_path)))
    assert filled(browser) == list(HOSTILE)
    assert browser.ask("document.title") == HOSTILE[0]
    assert browser.ask("document.querySelectorAll('img, i').length") == 0
    browser.ask("for (const e of document.querySelectorAll('.said')) e.open = true")
    browser.settle()
    told = browser.ask("[...document.querySelectorAll('.said li')].map(e => e.firstChild.textContent.trim())")
    assert told == list(HOSTILE)
    links = browser.ask("[...document.querySelectorAll('.links a')].map(e => e.href)")
    assert {link.split("/out/tags/")[0] for link in links} == {tmp_path.as_uri()}
    assert all("/packs/" in link and "<" not in link for link in links)
    give(browser, "#words", "onerror")
    assert filled(browser) == [HOSTILE[0]]
    assert browser.said == []


def test_paper_shows_what_was_chosen_with_its_pictures(gallery):
    give(gallery, "#words", "oak r290")
    gallery.media("print")
    data = base64.b64decode(gallery.send("Page.printToPDF", printBackground=False)["data"])
    with pypdfium2.PdfDocument(io.BytesIO(data)) as document:
        text = "\n".join(p.get_textpage().get_text_range() for p in document)
        pages = [np.asarray(p.render(scale=1).to_numpy(), dtype=int) for p in document]
    assert [n for n in range(1, 100) if f"plot-{n}\r" in text or f"plot-{n}\n" in text] == [
        n for n in range(1, 100) if n % 10 == 7 and n % 2 == 1
    ]
    assert "Sort by" not in text
    brass = sum((np.abs(p[..., :3] - np.array([0x55, 0xAB, 0xD0])).max(axis=2) < 12).sum() for p in pages)
    assert brass > 2000  # the inserts: the renderer gives blue first


def test_without_scripts_there_is_a_table_and_nothing_dead(browser, page):
    browser.send("Emulation.setScriptExecutionDisabled", value=True)
    try:
        browser.size(1280, 1000)
        browser.send("Page.navigate", url=page.resolve().as_uri())
        browser.wait_for("document.readyState === 'complete' && document.querySelectorAll('tbody tr').length === 100")
        for selector in ("#find", "#variants", ".told", ".live-only"):
            assert browser.ask(f"document.querySelector('{selector}').offsetParent") is None
        assert browser.ask("document.querySelector('tbody tr').offsetHeight") > 0
    finally:
        browser.send("Emulation.setScriptExecutionDisabled", value=False)
