"""The page in a real browser, from the disk: what is seen, what keys and pointer do, and that nothing is fetched."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from browser import Browser, needs_browser
from recipe_works import RECIPES, work_of

from generator.outputs import visual_report

pytestmark = needs_browser
LATCH = next(p for p in RECIPES if p.stem == "gate-latch")
SAYS = "document.querySelector('#{}-says').innerText"


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with Browser() as one:
        yield one


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    return tmp_path_factory.mktemp("pages")


def written(folder: Path, path: Path, **changes: object) -> Path:
    work = replace(work_of(path), **changes)
    file = folder / f"{path.stem}.html"
    file.write_bytes(dict(visual_report.write(work))["report.html"])
    return file


@pytest.fixture
def latch(browser, folder) -> Browser:
    browser.said.clear()
    browser.asked.clear()
    browser.size(1280, 1100)
    browser.media()
    browser.open(written(folder, LATCH))
    return browser


def canvas(browser: Browser) -> np.ndarray:
    """The canvas as it is seen, as numbers (height, width, 3)."""
    box = browser.ask(
        "(() => { document.querySelector('#views').scrollIntoView(); "
        "const b = document.querySelector('#solid').getBoundingClientRect(); "
        "return [b.left, b.top, b.right, b.bottom]; })()"
    )
    return np.asarray(browser.picture().crop([round(v) for v in box]), dtype=int)


def differs(a: np.ndarray, b: np.ndarray) -> float:
    """Share of the dots that are not alike."""
    return float((np.abs(a - b).max(axis=2) > 24).mean())


def slide(browser: Browser, selector: str, value: object) -> None:
    browser.ask(
        f"(() => {{ const e = document.querySelector('{selector}'); e.value = '{value}'; "
        "e.dispatchEvent(new Event('input', {bubbles: true})); })()"
    )
    browser.settle()


def plan_place(browser: Browser, x: float, y: float) -> tuple[float, float]:
    """Where a point of the plan (mm) lies on the screen, by the browser's own matrix."""
    at = browser.ask(
        "(() => { const s = document.querySelector('#plan'); s.scrollIntoView({block: 'center'}); "
        f"const m = s.querySelector('g').getScreenCTM(); const p = new DOMPoint({x}, {y}).matrixTransform(m); "
        "return [p.x, p.y]; })()"
    )
    return float(at[0]), float(at[1])


@pytest.mark.parametrize("path", RECIPES, ids=lambda p: p.stem)
def test_every_recipe_opens_from_the_disk_and_says_nothing_in_the_console(browser, folder, path):
    browser.said.clear()
    browser.asked.clear()
    browser.size(1280, 1100)
    browser.open(written(folder, path))
    seen = canvas(browser)
    assert browser.ask("document.documentElement.dataset.ready") == "solid and plan"
    assert browser.said == []
    assert {url.split(":")[0] for url in browser.asked} == {"file"}
    ground = seen[2, 2]
    assert 0.1 < float((np.abs(seen - ground).max(axis=2) > 12).mean()) < 0.9


@pytest.mark.parametrize(("width", "phone"), [(360, True), (768, False), (1280, False)])
def test_nothing_sticks_out_sideways(latch, width, phone):
    latch.size(width, 800, phone=phone)
    assert latch.ask("document.documentElement.scrollWidth") <= width
    small = latch.ask(
        "[...document.querySelectorAll('button, select, input[type=range]')].filter(e => e.offsetParent && "
        "e.getBoundingClientRect().height < 24).length"
    )
    assert small == 0  # WCAG 2.2, 2.5.8: targets of at least 24 by 24 px


def test_sliders_take_the_parts_apart_and_cut_them(latch):
    whole = canvas(latch)
    slide(latch, "#apart", 80)
    apart = canvas(latch)
    assert differs(whole, apart) > 0.05
    slide(latch, "#apart", 0)
    assert differs(whole, canvas(latch)) < 0.001
    slide(latch, "#cut", "y")
    cut = canvas(latch)
    slide(latch, "#cut-at", 700)
    farther = canvas(latch)
    assert differs(whole, cut) > 0.05
    assert differs(cut, farther) > 0.03
    assert "y = " in latch.ask("document.querySelector('#cut-says').textContent")
    slide(latch, "#cut", "")
    assert differs(whole, canvas(latch)) < 0.001


def test_cut_face_has_the_area_of_the_section(latch):
    """Cut level and seen from above, the hatched area is the part's section there, by the outlines' closed forms."""
    from generator.outline.measure import area, bounds
    from generator.part.slabs import slabs

    plan = work_of(LATCH).plan
    latch.click("button[data-view=top]")
    for name in ("insert-number", "original"):
        latch.click(f"input[data-part={name}]")
    share = 0.45
    slide(latch, "#cut", "z")
    slide(latch, "#cut-at", round(1000 * share))
    seen = canvas(latch)
    warm = (seen[:, :, 0] - seen[:, :, 2]) > 18
    # the stripes of the hatching are as dark as they are warm: close them
    wide = np.zeros_like(warm)
    for k in range(-2, 3):
        wide |= np.roll(warm, k, axis=1)
    filled = np.ones_like(warm)
    for k in range(-2, 3):
        filled &= np.roll(wide, k, axis=1)
    box = bounds(plan.cover.profile)
    rows, cols = np.flatnonzero(filled.any(axis=1)), np.flatnonzero(filled.any(axis=0))
    per_mm = (np.ptp(cols) + 1) / box.width_mm
    assert per_mm == pytest.approx((np.ptp(rows) + 1) / box.height_mm, rel=0.02)
    top = max(plan.cover.thickness_mm, *(p.seat_z_mm + p.thickness_mm for p in plan.inserts))
    slab = next(s for s in slabs(plan.cover) if s.z_from_mm <= share * top < s.z_to_mm)
    assert filled.sum() / per_mm**2 == pytest.approx(area(slab.lower), rel=0.02)


def test_cut_faces_of_cover_and_original_look_apart(latch):
    """The cover's is warm, that of the original, which is not made, has its own grey."""
    slide(latch, "#cut", "y")
    latch.click("input[data-part=insert-number]")
    warmth = {}
    for shown, other in (("cover", "original"), ("original", "cover")):
        latch.click(f"input[data-part={other}]")
        seen = canvas(latch)
        face = (seen[:, :, 0] - seen[:, :, 2]) > 18
        warmth[shown] = face.mean()
        latch.click(f"input[data-part={other}]")
    assert warmth["cover"] > 0.01 > 10.0 * warmth["original"]


def test_parts_and_layers_are_switched(latch):
    whole = canvas(latch)
    latch.click("input[data-part=cover]")
    assert differs(whole, canvas(latch)) > 0.05
    latch.click("input[data-part=cover]")
    path = "document.querySelector('#plan path[data-layer=bottom-pocket]')"
    assert latch.ask(f"getComputedStyle({path}).display") != "none"
    latch.click("input[data-layer=bottom-pocket]")
    assert latch.ask(f"getComputedStyle({path}).display") == "none"
    latch.click("button[data-layers=none]")
    assert latch.ask("document.querySelectorAll('#plan [data-layer]:not([hidden])').length") == 0
    latch.click("button[data-layers=all]")
    assert latch.ask("document.querySelectorAll('#plan [data-layer][hidden]').length") == 0


def test_solid_is_turned_and_zoomed_by_keys_alone(latch):
    latch.ask("document.querySelector('#solid').focus()")
    before = canvas(latch)
    latch.press("ArrowRight", 39)
    turned = canvas(latch)
    latch.press("+")
    larger = canvas(latch)
    assert differs(before, turned) > 0.01
    assert differs(turned, larger) > 0.01
    latch.press("Home", 36)
    assert differs(before, canvas(latch)) < 0.001
    latch.press("Enter", 13)
    told = latch.ask(SAYS.format("solid"))
    assert told.startswith("insert number")
    assert "z " in told
    seat = work_of(LATCH).plan.inserts[0].seat_z_mm
    own, over = re.search(r"z (\S+)\smm above its own bottom face, (\S+)\smm above that of the cover", told).groups()
    assert float(over) - float(own) == pytest.approx(seat, abs=0.011)


def test_tab_goes_through_every_control_and_shows_where_it_is(latch):
    reached, rings = set(), 0
    latch.ask("document.activeElement.blur(); window.scrollTo(0, 0)")
    many = latch.ask("document.querySelectorAll('button:not([hidden]), input:not(:disabled), select').length")
    for _ in range(many + 40):
        latch.press("Tab", 9)
        tag, number, ring = latch.ask(
            "(() => { const e = document.activeElement; const all = [...document.querySelectorAll('*')]; "
            "return [e.tagName, all.indexOf(e), getComputedStyle(e).outlineStyle]; })()"
        )
        if tag in ("BUTTON", "INPUT", "SELECT"):
            reached.add(number)
        rings += ring == "none" and tag != "BODY"
    assert len(reached) == many
    assert rings == 0


def test_every_control_has_a_name(latch):
    """By the browser's own accessibility tree."""
    nodes = latch.send("Accessibility.getFullAXTree")["nodes"]
    kinds = ("button", "checkbox", "slider", "combobox", "link", "image", "img")
    found = [n for n in nodes if not n["ignored"] and n["role"]["value"] in kinds]
    assert len(found) > 20
    assert [n["role"] for n in found if not n["name"].get("value", "").strip()] == []


def test_plan_measures_the_line_under_the_pointer(latch):
    bolt = work_of(LATCH).plan.bolts[0]
    latch.click("button[data-layers=none]")
    latch.click("input[data-layer=bolt-holes]")
    latch.point(*plan_place(latch, bolt.at.x, bolt.at.y + bolt.hole_mm / 2.0))
    told = latch.ask(SAYS.format("plan")).replace("\u00a0", " ")
    assert f"circle ⌀ {bolt.hole_mm:g} mm" in told
    assert "bolt holes" in told


def test_plan_tells_the_depth_of_the_area_under_the_pointer(latch):
    plan = work_of(LATCH).plan
    pocket = next(f for f in plan.cover.features if f.layer == "bottom-pocket")
    inlay = next(f for f in plan.cover.features if f.layer.startswith("inlay-pocket"))
    latch.click("button[data-layers=none]")
    latch.point(*plan_place(latch, plan.bolts[0].at.x / 2.0, 0.0))
    told = latch.ask(SAYS.format("plan")).replace("\u00a0", " ")
    left = plan.cover.thickness_mm - inlay.depth_mm - pocket.depth_mm
    assert f"{pocket.depth_mm:g} mm deep from the bottom face" in told
    assert (
        f"cover: {left:.2f}".rstrip("0").rstrip(".") in told or f"{plan.cover.thickness_mm - pocket.depth_mm:g}" in told
    )


def test_solid_measures_what_is_under_the_pointer(latch):
    """From above, the middle of the cover is the insert, or what its artwork lets be seen."""
    plan = work_of(LATCH).plan
    latch.click("button[data-view=top]")
    latch.click("input[data-part=insert-number]")
    x, y = latch.middle("#solid")
    latch.point(x, y)
    told = latch.ask(SAYS.format("solid")).replace("\u00a0", " ")
    pocket = next(f for f in plan.cover.features if f.layer == "bottom-pocket")
    inlay = next(f for f in plan.cover.features if f.layer.startswith("inlay-pocket"))
    assert f"{inlay.depth_mm:g} mm deep from the top face" in told
    left = plan.cover.thickness_mm - inlay.depth_mm - pocket.depth_mm
    assert f"{left:.2f}".rstrip("0").rstrip(".") + " mm of material here" in told


def test_finding_is_shown_in_plan_and_solid(latch):
    number = latch.ask("document.querySelector('button[data-show]').dataset.show")
    latch.click("button[data-show]")
    assert latch.ask("document.querySelector('#plan .chosen').dataset.finding") == number
    assert latch.ask("!document.querySelector('#pin').hidden")
    assert latch.ask("document.querySelector('#pin').textContent") == number
    assert f"Finding {number}" in latch.ask(SAYS.format("solid"))
    top, height = latch.ask(
        "(() => { const b = document.querySelector('#solid').getBoundingClientRect(); return [b.top, innerHeight]; })()"
    )
    assert 0 <= top < height / 2
    assert latch.ask("document.querySelector('#back a').getAttribute('href')") == f"#finding-{number}"


def test_dark_and_light_have_enough_contrast(latch):
    """WCAG 2.2, 1.4.3: 4.5 to 1 for text; the formula of its relative luminance."""

    def luminance(colour: str) -> float:
        rgb = [int(v) / 255 for v in colour[colour.index("(") + 1 : -1].split(",")[:3]]
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in rgb]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    grounds = set()
    for scheme in ("light", "dark"):
        latch.media(scheme=scheme)
        for selector in ("p.keys", ".message", ".warns .kind", ".notes .kind", ".detail", ".loud", "td", "a", "small"):
            ink, ground = latch.ask(
                f"(() => {{ let e = document.querySelector('{selector}'); const ink = getComputedStyle(e).color; "
                "while (getComputedStyle(e).backgroundColor === 'rgba(0, 0, 0, 0)') e = e.parentElement; "
                "return [ink, getComputedStyle(e).backgroundColor]; })()"
            )
            low, high = sorted((luminance(ink), luminance(ground)))
            assert (high + 0.05) / (low + 0.05) >= 4.5, (scheme, selector, ink, ground)
            grounds.add((scheme, ground))
    assert len({ground for _, ground in grounds}) > 3


def test_title_that_is_markup_is_shown_as_words(browser, folder):
    nasty = "</script><b>bold</b>"
    plan = replace(work_of(LATCH).plan, title=nasty)
    browser.said.clear()
    browser.open(written(folder, LATCH, plan=plan))
    assert browser.ask("document.querySelector('h1').textContent") == nasty
    assert browser.ask("document.title") == nasty
    assert browser.ask("document.querySelectorAll('b').length") == 0
    assert browser.said == []


def test_on_paper_there_are_no_controls(latch):
    latch.media("print")
    assert latch.ask("[...document.querySelectorAll('button, nav, .controls')].filter(e => e.offsetParent).length") == 0
    assert latch.ask("document.querySelector('#plan').getBoundingClientRect().height") > 100
    latch.media()


def test_without_webgl_the_plan_still_works(folder):
    file = written(folder, LATCH)
    with Browser("--disable-gpu", "--disable-3d-apis") as plain:
        plain.size(1280, 1100)
        plain.open(file)
        assert plain.ask("document.documentElement.dataset.ready") == "plan"
        assert plain.ask("document.querySelector('#no-solid').offsetHeight") > 0
        plain.click("input[data-layer=bottom-pocket]")
        assert plain.ask("document.querySelector('#plan path[data-layer=bottom-pocket]').hasAttribute('hidden')")
        plain.click("button[data-show]")
        assert plain.ask("document.querySelectorAll('#plan .chosen').length") == 1
        assert [text for text in plain.said if "WebGL" not in text] == []
