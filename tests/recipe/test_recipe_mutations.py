"""Valid recipes spoiled at random: every one is read or gives located mistakes, and nothing else is ever raised."""

from __future__ import annotations

import copy
import json
from random import Random
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from recipe_samples import INCHES, LARGE, SMALL, read_text

from generator.base.errors import RecipeError
from generator.recipe.mistakes import render_mistakes
from generator.recipe.resolve import digest, resolved_yaml

RECIPES = [SMALL, LARGE, INCHES]
SCALARS: list[Any] = [
    *(None, True, False, 0, -1, 1, 7, 1e300, -(10**400), 1e-320, float("inf"), float("nan"), 2**70),
    *("", " ", "~", "Null", "no", "none", "same", "tangent", "../x", "/etc/passwd", "con", "a" * 300, "1.10", "1e999"),
    *(
        "wall",
        "wall + 2",
        "wal + 2",
        "1 / 0",
        "9 ** 9 ** 9",
        "(" * 90,
        "{",
        "}",
        "{plot}",
        "{nope}",
        "{{",
        "{p",
        "plot - x",
    ),
    *(
        "6 mm",
        "1/4 in",
        "30 deg",
        "3 mm ** 2",
        "1/0 in",
        "0x1F",
        "017",
        ".inf",
        "1_000",
        "−1",
        "½",
        "٣",
        "\x85",
        "\u2028",
    ),
    *(
        "M6",
        "m6",
        "ISO 4762",
        "EN AW-6082 T6",
        "#b9bcc0",
        "\U0001f600",
        "<<",
        "=",
        "*a",
        "&a",
        "!!int 3",
        "- a",
        "a: b",
    ),
]
GROUPS: list[Any] = [
    [],
    {},
    [[]],
    [None],
    {"": 1},
    [1, 2],
    [[1, 2]],
    [1, 2, 3],
    {"disc": {"radius": 3}},
    {"disc": None},
]
NAMES = ["colour", "at", "radius", "add", "cut", "thread", "disc", "slot", "name"]
BYTES = [
    b"\0",
    b"\xff",
    b"\t",
    b"\r",
    b"\x07",
    b"{",
    b"[",
    b"- ",
    b": ",
    b"'",
    b'"',
    b"#",
    b"&a ",
    b"*a",
    b"!",
    b"|",
    b"%",
]
BYTES += [
    b"---\n",
    b"...\n",
    b"\xef\xbb\xbf",
    b"<<: ",
    b"? ",
    "ä°−\u2028".encode(),
    b"\n",
    b"  ",
    b"based_on: r.yaml\n",
]


def spots(tree: Any) -> list[tuple[Any, Any]]:
    """Return every (group, key or index) of a tree."""
    found: list[tuple[Any, Any]] = []
    rest = [tree]
    while rest:
        group = rest.pop()
        keys = list(group) if isinstance(group, dict) else range(len(group)) if isinstance(group, list) else ()
        for key in keys:
            found.append((group, key))
            rest.append(group[key])
    return found


def spoil_tree(tree: Any, random: Random) -> Any:
    """Delete, rename, add, swap or replace somewhere in a recipe."""
    all_spots = spots(tree)
    if not all_spots:
        return tree
    group, key = random.choice(all_spots)
    other_group, other_key = random.choice(all_spots)
    what = random.randrange(7)
    if what == 0:
        del group[key]
    elif what == 1:
        group[key] = copy.deepcopy(random.choice(SCALARS))
    elif what == 2:
        group[key] = copy.deepcopy(random.choice(GROUPS))
    elif what == 3:
        group[key] = copy.deepcopy(other_group[other_key])
    elif what == 4 and isinstance(group, dict):
        renamed = str(key)[: random.randrange(8)] + random.choice(["", "x", "_", " ", "é"])
        group[renamed] = group.pop(key)
    elif what == 5 and isinstance(group, dict):
        group[random.choice(NAMES)] = copy.deepcopy(other_group[other_key])
    elif what == 6:
        nested: Any = group[key]
        for _ in range(random.choice([1, 3, 45])):
            nested = [nested] if random.random() < 0.5 else {random.choice(["add", "cut", "x"]): nested}
        group[key] = nested
    return tree


def spoil_bytes(data: bytes, random: Random) -> bytes:
    """Insert, delete, repeat or move bytes somewhere in a text."""
    a, b = sorted(random.randrange(len(data) + 1) for _ in range(2))
    what = random.randrange(6)
    if what == 0:
        return data[:a] + random.choice(BYTES) + data[a:]
    if what == 1:
        return data[:a] + data[min(b, a + 40) :]
    if what == 2:
        return data[:b] + data[a:b][:200] + data[b:]
    if what == 3:
        return data[:a] + random.randbytes(random.choice([1, 2, 30])) + data[a:]
    if what == 4:
        lines = data.split(b"\n")
        random.shuffle(lines)
        return b"\n".join(lines)
    return data[:a]


def as_yaml(tree: Any, random: Random) -> bytes:
    """Write a tree as YAML, in one of several ways."""
    if random.random() < 0.3:
        return json.dumps(tree).encode()
    width = random.choice([20, 80, 10_000])
    return yaml.safe_dump(tree, allow_unicode=random.random() < 0.5, sort_keys=False, width=width).encode()


def spoiled(seed: int) -> bytes:
    """Return a recipe spoiled in one to four places."""
    random = Random(seed)
    text = random.choice(RECIPES)
    data = text.encode()
    if random.random() < 0.6:
        tree = yaml.safe_load(text)
        for _ in range(random.randrange(1, 4)):
            tree = spoil_tree(copy.deepcopy(tree), random)
        data = as_yaml(tree, random)
    if random.random() < 0.4:
        data = spoil_bytes(data, random)
    return data


def survives(data: bytes, sets: tuple[str, ...] = ()) -> bool:
    """Read a recipe; check what it gives. Return whether it was right."""
    try:
        reading = read_text(data, *sets)
    except RecipeError as error:
        check_mistakes(error, data)
        return False
    again = resolved_yaml(reading)
    second = read_text(again)
    assert second.recipe == reading.recipe
    assert digest(second) == digest(reading)
    return True


def check_mistakes(error: RecipeError, data: bytes) -> None:
    """Every mistake has an address in the file and says something, on lines a terminal can show."""
    assert error.mistakes
    lines = data.count(b"\n") + data.count(b"\r") + data.count(b"\x85") + data.count(b"\xa8") + 2
    for mistake in error.mistakes:
        assert mistake.found
        assert mistake.file
        assert 0 <= mistake.line <= lines
        assert mistake.column >= 0
    said = render_mistakes(error)
    assert all(c.isprintable() or c == "\n" for c in said)


@settings(derandomize=True, deadline=None, max_examples=300)
@given(st.integers(0, 2**32))
def test_spoiled_recipes(seed: int) -> None:
    survives(spoiled(seed))


@pytest.mark.slow
def test_spoiled_recipes_by_the_thousand() -> None:
    right = sum(survives(spoiled(seed)) for seed in range(2_000))
    assert 20 < right < 1_900  # both roads are well travelled


@settings(derandomize=True, deadline=None, max_examples=200)
@given(st.binary(max_size=200))
def test_any_bytes(data: bytes) -> None:
    survives(data)


@settings(derandomize=True, deadline=None, max_examples=200)
@given(st.text(alphabet="ab:{}[],-&*!|>'\"#\n \t\\%@?", max_size=60))
def test_any_punctuation(text: str) -> None:
    survives(text.encode())


@settings(derandomize=True, deadline=None, max_examples=200)
@given(
    st.sampled_from(
        [
            "title",
            "parameters.plot",
            "original.bolts[0].at[1]",
            "cover.outer",
            "original.footprint.cut[0].slot.share",
            "x",
        ]
    ),
    st.one_of(
        st.text(max_size=20), st.sampled_from([str(s) for s in SCALARS]), st.sampled_from(["[", "[1, 2]", '"', "{a"])
    ),
)
def test_any_set(path: str, value: str) -> None:
    survives(LARGE.encode(), (f"{path}={value}",))


@settings(derandomize=True, deadline=None, max_examples=100)
@given(st.text(max_size=30))
def test_any_text_of_a_set(text: str) -> None:
    survives(SMALL.encode(), (text,))
