"""Safe YAML with places: what is let through, and what is told where."""

from __future__ import annotations

import pytest
from recipe_samples import mistakes_of

from generator.base.errors import RecipeError
from generator.recipe.places import SourceText
from generator.recipe.text import MOST_DEPTH, ListNode, MapNode, Scalar, parse_text, source_text


def parsed(text: str | bytes) -> MapNode:
    data = text.encode() if isinstance(text, str) else text
    return parse_text(source_text("f.yaml", data))


def sentence(text: str | bytes) -> str:
    with pytest.raises(RecipeError) as caught:
        parsed(text)
    assert len(caught.value.mistakes) == 1
    return caught.value.mistakes[0].sentence()


def test_every_node_knows_its_place() -> None:
    root = parsed('a: 1\nb:\n  - "x y"\n  - {c: no}\n')
    a, b = root.get("a"), root.get("b")
    assert isinstance(a, Scalar)
    assert (a.place.line, a.place.column, a.value) == (1, 4, 1)
    assert isinstance(b, ListNode)
    quoted, inner = b.items
    assert isinstance(quoted, Scalar)
    assert (quoted.place.line, quoted.place.column, quoted.plain) == (3, 5, False)
    assert quoted.place_of(2).column == 8
    assert isinstance(inner, MapNode)
    assert inner.entries["c"][0].column == 6


def test_columns_count_characters_not_bytes() -> None:
    assert parsed("ä: {ö: 1}").get("ä").entries["ö"][0].column == 5  # type: ignore[union-attr]


def test_byte_order_mark_and_windows_line_ends() -> None:
    root = parsed(b"\xef\xbb\xbfa: 1\r\nb: 2\r\n")
    assert list(root.entries) == ["a", "b"]
    assert root.entries["b"][0].line == 2
    assert root.entries["b"][0].snippet() == "b: 2"


def test_anchors_and_aliases() -> None:
    root = parsed("a: &x 5\nb: *x\nc: &l [1, 2]\nd: *l\n")
    b, d = root.get("b"), root.get("d")
    assert isinstance(b, Scalar)
    assert (b.value, b.place.line) == (5, 2)
    assert isinstance(d, ListNode)


TOLD = {
    b"": "f.yaml: found an empty file; expected a recipe: keys with values, such as `name: garden-gate`; "
    "see docs/recipe.md",
    b"# only a comment\n": "f.yaml: found an empty file; expected a recipe: keys with values, such as "
    "`name: garden-gate`; see docs/recipe.md",
    b"just words": "f.yaml:1:1: found `just words`; expected a recipe: keys with values, such as "
    "`name: garden-gate`; see docs/recipe.md",
    b"- a\n- b\n": "f.yaml:1:1: found a list of 2; expected a recipe: keys with values, such as "
    "`name: garden-gate`; see docs/recipe.md",
    b"a: 1\n\0": "f.yaml: found a binary file; expected a UTF-8 text file; is this the right file?",
    b"\x89PNG\r\n\x1a\n\0\0": "f.yaml: found a binary file; expected a UTF-8 text file; is this the right file?",
    "a: ä".encode("latin-1"): "f.yaml:1:4: found the byte 0xE4, which is not UTF-8; expected a UTF-8 text file; "
    "save the file as UTF-8",
    "a: 1".encode("utf-16"): "f.yaml: found a UTF-16 file; expected a UTF-8 text file; save the file as UTF-8",
    b"a: 1\nb: \x07\n": "f.yaml:2:4: found the control character U+0007; expected readable text; delete it",
    b'a: "\\a"\n': "f.yaml:1:4: found an escaped control character; expected readable text; delete it",
    b"a: 1\nb: 2\na: 3\n": "f.yaml:3:1: found the key `a` a second time (first on line 1); expected each key once; "
    "delete one of them",
    b"a: 1\n---\nb: 2\n": "f.yaml:2:1: found a second document (`---`); expected one recipe a file; split the file",
    b"a: !!python/object/apply:os.system [ls]\n": "f.yaml:1:4: found the tag "
    "`tag:yaml.org,2002:python/object/apply:os.system`; expected a plain value; delete the tag; quote the value if it "
    "is text",
    b"a: !!int 5\n": "f.yaml:1:4: found the tag `tag:yaml.org,2002:int`; expected a plain value; delete the tag; "
    "quote the value if it is text",
    b"a: &x {b: 1}\nc:\n  <<: *x\n": "f.yaml:3:3: found the merge key `<<`; expected a key of the recipe; repeat the "
    "keys, or build a recipe on another with `based_on: other.yaml`",
    b"a: *nothing\n": "f.yaml:1:4: found the alias `*nothing` of no anchor; expected a value; put `&nothing` where it "
    "is meant",
    b"a: &x [*x]\n": "f.yaml:1:8: found the alias `*x` inside its own anchor; expected a value; write the value out",
    b"[a]: 1\n": "f.yaml:1:1: found a list of 1 as a key; expected a word",
    b'"": 1\n': "f.yaml:1:1: found an empty text as a key; expected a word",
}


@pytest.mark.parametrize(("data", "told"), TOLD.items(), ids=[repr(k[:14]) for k in TOLD])
def test_what_is_told(data: bytes, told: str) -> None:
    assert sentence(data) == told


SYNTAX = {
    "a:\n\tb: 1\n": "indent with spaces, not with tabs",
    "a: b: c\n": "put quotes around a text that holds a colon, or mend the indentation",
    'a: "open\n': "close the quotes or brackets",
    "a: [1, 2\nb: 3\n": "close the bracket with `]`, separate with commas",
    "a: {b: 1\nc: 3\n": "close the brace with `}`, separate with commas",
    "a: 1\n b: 2\n": "put quotes around a text that holds a colon, or mend the indentation",
    "a: @x\n": "put quotes around the text",
    'a: "\\q"\n': "in double quotes write `\\\\` for a backslash, or use single quotes",
}


@pytest.mark.parametrize(("text", "remedy"), SYNTAX.items())
def test_syntax_errors_have_a_place_and_a_remedy(text: str, remedy: str) -> None:
    said = sentence(text)
    assert said.startswith("f.yaml:")
    assert "text that is not YAML" in said
    assert said.endswith(remedy)


def test_every_duplicate_key_is_told_at_once() -> None:
    with pytest.raises(RecipeError) as caught:
        parsed("a: 1\na: 2\nb: {c: 1, c: 2}\n")
    assert [(m.line, m.column) for m in caught.value.mistakes] == [(2, 1), (3, 11)]


def test_nesting_is_bounded() -> None:
    deep = MOST_DEPTH - 1
    assert parsed("a: " + "[" * deep + "]" * deep).get("a")
    assert "nesting deeper than 40 levels" in sentence("a: " + "[" * 60 + "]" * 60)
    assert "nesting deeper than 40 levels" in sentence("a: " + "{b: " * 60 + "1" + "}" * 60)


@pytest.mark.parametrize("brackets", ["[" * 400_000, "{a: " * 200_000, "- " * 400_000, "a: " + "[" * 900_000])
def test_brackets_without_end_are_refused(brackets: str) -> None:
    sentence(brackets)


def test_alias_bomb_is_refused() -> None:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{i}: &a{i} [" + ", ".join([f"*a{i - 1}"] * 9) + "]" for i in range(1, 12)]
    said = sentence("\n".join(lines))
    assert "more than 20 000 values (aliases counted each time)" in said


def test_large_files_are_refused() -> None:
    assert sentence(b"a: 1\n" * 2_000_000) == (
        "f.yaml: found more than 1000 kB; expected a recipe; a recipe has a few hundred lines"
    )
    assert "more than 20 000 values" in sentence("a: [" + "1," * 100_000 + "]")


def test_a_pure_parser_reads_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    import yaml

    from generator.recipe import text as module

    recipe = 'a: [1, {b: "c"}]\nd: &x no\ne: *x\nf: |-\n  two\n  lines\n'
    quick = parsed(recipe)
    monkeypatch.setattr(module, "_LOADER", yaml.SafeLoader)
    assert parsed(recipe) == quick
    for data, told in TOLD.items():
        assert sentence(data) == told


def test_source_text_lines_end_where_the_scanner_ends_them() -> None:
    source = SourceText("f", "a\r\nb\rc\nd\u2028e")
    assert source.lines == ("a", "b", "c", "d", "e")


def test_a_recipe_of_ten_megabytes_has_one_mistake() -> None:
    assert mistakes_of("x" * 10_000_000) == [
        "r.yaml: found more than 1000 kB; expected a recipe; a recipe has a few hundred lines"
    ]


NONSENSE = {
    "unknown keys": "\n".join(f"tytle{i}: {i}" for i in range(6000)),
    "unknown names": "parameters:\n" + "\n".join(f"  p{i}: q{i} + 1" for i in range(9000)),
    "a circle of thousands": "parameters:\n" + "\n".join(f"  p{i}: p{(i + 1) % 5000} + 1" for i in range(5000)),
    "a long path": "based_on: " + "a/" * 300_000 + "b",
    "a long key": "t" * 900_000 + ": 3",
    "a long text": "title: '" + "{{" * 400_000 + "'",
    "a long expression": "clearance: {around: " + "(" * 900_000 + "}",
    "a long number": "clearance: {around: " + "9" * 900_000 + "}",
    "a long word": "units: " + "i" * 900_000,
}


@pytest.mark.parametrize("nonsense", NONSENSE)
def test_nonsense_in_quantity_is_refused(nonsense: str) -> None:
    told = mistakes_of(NONSENSE[nonsense])
    assert 1 <= len(told) <= 101
    assert max(map(len, told)) < 1000
