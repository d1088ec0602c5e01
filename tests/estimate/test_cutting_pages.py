"""What the pages on cutters and on two faces show is what the program says."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from generator.build.judge import check
from generator.checks import CHECKS
from generator.estimate.flip import play_mm
from generator.recipe.model_dowels import Dowels

ROOT = Path(__file__).parents[2]
PAGES = {name: (ROOT / f"docs/{name}.md").read_text(encoding="utf-8") for name in ("cutting", "flip")}
EXAMPLES = [(name, text) for name, page in PAGES.items() for text in re.findall(r"```yaml\n(.*?)```", page, flags=re.S)]


def judged(example: str, tmp_path: Path):
    (tmp_path / "gate-latch.yaml").write_bytes((ROOT / "recipes/gate-latch.yaml").read_bytes())
    recipe = tmp_path / "example.yaml"
    recipe.write_text(f"based_on: gate-latch.yaml\nname: example\n{example}", encoding="utf-8")
    return check(recipe)


@pytest.mark.parametrize(("page", "example"), EXAMPLES, ids=[f"{n}-{i}" for i, (n, _) in enumerate(EXAMPLES)])
def test_examples_are_sound(page, example, tmp_path):
    checked = judged(example, tmp_path)
    themes = {"cutting", "flip"}
    ours = {c.id for c in CHECKS if c.run.__module__.split(".")[-2] in themes}
    assert not checked.forbids
    assert not [f for f in checked.findings if f.check in ours and f.severity.value == "warns"]


@pytest.mark.parametrize("page", PAGES)
def test_checks_that_are_named_are_there(page):
    named = set(re.findall(r"^\| `([a-z-]+)` \|", PAGES[page], flags=re.M)) | set(
        re.findall(r"`([a-z]+-[a-z-]+)`", PAGES[page])
    )
    assert named
    assert {n for n in named if "-" in n} <= {c.id for c in CHECKS}


def test_the_play_that_is_told():
    assert play_mm(Dowels(diameter=6.0)) == pytest.approx(0.008)
    assert play_mm(Dowels(diameter=6.0, fit="H11", pins="h8")) == pytest.approx(0.093)


def test_the_bending_that_is_told(tmp_path):
    steel = "cover: {material: 1.4301 annealed}\ntools: {finisher: {stick_out: %s}, rougher: {kind: drill}}\n"
    for out, told in ((15, True), (13, False)):
        found = [f for f in judged(steel % out, tmp_path).findings if f.check == "cutter-deflection"]
        assert bool([f for f in found if f.path == "tools.finisher"]) is told
        if told:
            assert found[0].figure == pytest.approx(0.07, abs=0.005)
