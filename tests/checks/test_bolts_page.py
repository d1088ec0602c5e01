"""What the page on bolts shows does what it says."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml
from harness import WARNS

from generator.build.judge import check

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs/bolts.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"```yaml\n(.*?)```", PAGE, flags=re.S)
BASE = {
    "name": "page",
    "original": {
        "height": 4,
        "load_bearing": False,
        "footprint": {"rectangle": {"size": [96, 60], "radius": 6}},
    },
    "cover": {
        "stock": {"thickness": 14},
        "outer": {"even_margin": {"margin": 8}},
        "seats": {"screw": "ISO 4762"},
    },
}


def judged(tmp_path: Path, number: int):
    example = yaml.safe_load(EXAMPLES[number])
    whole = {**BASE, **{key: {**BASE[key], **example.get(key, {})} for key in ("original", "cover")}}
    path = tmp_path / "page.yaml"
    path.write_text(yaml.safe_dump(whole), encoding="utf-8")
    return check(str(path))


@pytest.mark.parametrize("number", range(len(EXAMPLES)))
def test_every_example_can_be_made(tmp_path, number):
    found = judged(tmp_path, number)
    assert not found.forbids
    assert not any(o.crash for o in found.outcomes)


def test_bolts_of_which_all_is_said_are_only_told_of_what_they_clamp(tmp_path):
    told = {(f.check, f.code) for f in judged(tmp_path, 0).findings if f.path.startswith("original.bolts")}
    assert told == {("floor-over-gap", "stands-clear")}


def test_heads_on_the_original_are_out_of_its_joint(tmp_path):
    found = judged(tmp_path, 1)
    codes = {(f.check, f.code) for f in found.findings}
    assert ("load-bearing", "on-original") in codes
    assert not {f.check for f in found.findings if f.severity is WARNS} & {
        "load-bearing",
        "floor-over-gap",
        "weak-head",
    }


def test_every_key_of_bolts_is_told():
    from generator.recipe.model_bolts import Bolts

    for key in ("property_class", "screw", "passes", "into", "length", "washer", "threads", "torque", "holds"):
        assert f"| `{key}` |" in PAGE
        assert key in Bolts.__dataclass_fields__


def test_the_torque_in_plastic_that_the_page_tells(tmp_path):
    into = {"material": "plastic", "depth": 12}
    bolts = [{"thread": "M6", "at": [[-32, 0], [32, 0]], "property_class": "12.9", "into": into, "passes": 0}]
    path = tmp_path / "page.yaml"
    whole = {**BASE, "original": {**BASE["original"], "bolts": bolts}}
    path.write_text(yaml.safe_dump(whole), encoding="utf-8")
    (torque,) = (f for f in check(str(path)).findings if f.check == "tightening-torque")
    assert "at most about 4.5 N m" in torque.message
    assert "in 12 mm of plastic is told 4.5 N m" in PAGE
