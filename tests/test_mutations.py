"""Valid recipes, spoiled at random: a person gets a sentence, never a traceback, and never half a pack."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from generator.cli import codes, main
from generator.outputs.manifest import verify_pack

ROOT = Path(__file__).parents[1]
RECIPES = {p.name: p.read_text(encoding="utf-8") for p in sorted((ROOT / "recipes").glob("*.yaml"))}
ODD = [
    "0", "-1", "1e9", "1e308", "1e999", ".inf", "-.inf", ".nan", "null", "true", "no", "017", "1:30", "''", "[]", "{}",
    "3 mm", "1/0", "1/4 in", "2 kg", "../x", "/etc/passwd", "name.yaml", "x" * 200, "é€\U0001f600", "1e-7", "99999",
    "[1, 2, 3]", "{disc: {radius: 5}}", "reach", "-reach", "boss * boss", "sqrt(-1)", "30°", "M6", "ISO 4762",
]  # fmt: skip
NUMBER = re.compile(r"(?<![\w.-])-?\d+(?:\.\d+)?(?![\w.])")


def spoil(text: str, chance: random.Random) -> str:
    """Return ``text`` with one thing changed."""
    lines = text.splitlines()
    at = chance.randrange(len(lines))
    way = chance.randrange(9)
    if way == 0:
        del lines[at]
    elif way == 1:
        lines.insert(at, lines[chance.randrange(len(lines))])
    elif way == 2:
        lines[at] = "  " * chance.randrange(3) + lines[at]
    elif way == 3:
        lines[at] = re.sub(r"[a-z_]+(?=:)", lambda m: m[0][:-1] + chance.choice("xyz_"), lines[at], count=1)
    elif way == 4:
        cut = chance.randrange(len(lines[at]) + 1)
        lines[at] = lines[at][:cut] + chance.choice("{}[],:&*!%@`\"'\t\x00#-") + lines[at][cut:]
    else:
        return spoil_number(text, chance)
    return "\n".join(lines) + "\n"


def spoil_number(text: str, chance: random.Random) -> str:
    """Return ``text`` with one number made another: odd, scaled or of the other sign."""
    found = list(NUMBER.finditer(text))
    m = chance.choice(found)
    value = float(m[0])
    other = chance.choice([chance.choice(ODD), f"{value * chance.choice([-1, 0, 0.5, 0.9, 1.1, 2, 10]):g}"])
    return text[: m.start()] + other + text[m.end() :]


def no_traceback_and_no_half_pack(name, seed, folder, capsys, outputs):
    chance = random.Random(seed)
    text = RECIPES[name]
    for _ in range(chance.choice([1, 1, 1, 2, 3])):
        text = spoil(text, chance)
    for other, whole in RECIPES.items():
        (folder / other).write_text(whole, encoding="utf-8")
    recipe = folder / name
    recipe.write_text(text, encoding="utf-8")
    out = folder / "out"
    code = main(["build", str(recipe), "--out", str(out), "--outputs", outputs])
    said = capsys.readouterr()
    assert code in (codes.FINE, codes.FORBIDDEN, codes.WRONG), said.err + "\n" + text
    assert "Traceback" not in said.err + said.out
    assert code == codes.FINE or said.err
    packs = list(out.iterdir()) if out.exists() else []
    assert len(packs) == (code == codes.FINE)
    for pack in packs:
        assert verify_pack(pack) == ()
    for p in sorted(out.rglob("*"), reverse=True):
        p.rmdir() if p.is_dir() else p.unlink()


def tries(n: int):
    return settings(
        max_examples=n,
        derandomize=True,
        deadline=None,
        database=None,
        suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
    )


which = st.sampled_from(sorted(RECIPES))
seeds = st.integers(0, 2**32 - 1)


@given(which, seeds)
@tries(80)
def test_spoiled_recipes(tmp_path, capsys, name, seed):
    no_traceback_and_no_half_pack(name, seed, tmp_path, capsys, "layers-dxf")


@pytest.mark.slow
@given(which, seeds)
@tries(2000)
def test_two_thousand_spoiled_recipes(tmp_path, capsys, name, seed):
    no_traceback_and_no_half_pack(name, seed, tmp_path, capsys, "layers-dxf")


@pytest.mark.slow
@given(which, seeds)
@tries(150)
def test_spoiled_recipes_with_every_output(tmp_path, capsys, name, seed):
    no_traceback_and_no_half_pack(name, seed, tmp_path, capsys, "step,layers-dxf,previews,plan-svg")
