"""Parameters: what is a number and what a text, the order they are worked out in, and texts filled with them."""

from __future__ import annotations

import pytest
from recipe_samples import SMALL, mistakes_of, read_text


def values(parameters: str, *sets: str) -> dict[str, float | str]:
    return dict(read_text(f"{SMALL}parameters: {parameters}\n", *sets).recipe.parameters)


def told(parameters: str) -> list[str]:
    return [m.split(": ", 1)[1] for m in mistakes_of(f"{SMALL}parameters: {parameters}\n")]


SORTS: dict[str, float | str] = {
    "21": 21.0,
    "1e3": 1000.0,
    "017": 17.0,
    "0x1F": 31.0,
    "6 mm": 6.0,
    "1/4 in": 6.35,
    "30 deg": 30.0,
    "known * 2": 14.0,
    "known": 7.0,
    '"known * 2"': 14.0,
    "'(known + 1) mm'": 8.0,
    '"21"': "21",
    '"1/4 in"': "1/4 in",
    '"known"': "known",
    '"plot-known"': "plot-known",
    "Mill Lane": "Mill Lane",
    "no": "no",
    "A-frame": "A-frame",
    "Ada": "Ada",
    "plot-x": "plot-x",
    '"wal + 2"': "wal + 2",
    '"number {known}"': "number 7",
    '"{{known}}"': "{known}",
    '""': "",
}


@pytest.mark.parametrize(("written", "value"), SORTS.items())
def test_numbers_and_texts(written: str, value: float | str) -> None:
    assert values(f"{{x: {written}, known: 7}}")["x"] == value


def test_a_block_is_always_a_text() -> None:
    assert values("\n  x: |-\n    known * 2\n  known: 7")["x"] == "known * 2"


def test_order_does_not_matter() -> None:
    assert values("{a: b + 1, b: c * 2, c: 3, d: 'sum {a}'}") == {"a": 7, "b": 6, "c": 3, "d": "sum 7"}


def test_numbers_stand_in_texts_as_written() -> None:
    texts = "{p: 21, q: 1.50, r: 6 mm, s: p + 1, t: 2 * r, u: p / 4, v: 30 deg * 2, w: '1/4 in'}"
    recipe = read_text(f"{SMALL}parameters: {texts}\ntitle: '{{p}} {{q}} {{r}} {{s}} {{t}} {{u}} {{v}} {{w}}'\n").recipe
    assert recipe.title == "21 1.50 6 mm 22 12 mm 5.25 60° 1/4 in"


def test_a_quoted_quantity_may_be_used_as_a_number() -> None:
    assert values("{x: '1/4 in', y: x * 2}")["y"] == pytest.approx(12.7)


WRONG = {
    "{x: y, y: x}": [
        "parameters.x: found a circle of parameters: x → y → x; expected an end; give one of them a value of its own"
    ],
    "{a: b + 1, b: c, c: a * 2, d: a}": [
        "parameters.a: found a circle of parameters: a → b → c → a; expected an end; "
        "give one of them a value of its own"
    ],
    "{x: x}": [
        'parameters.x: found a circle of parameters: x → x; expected an end; quote it if it is a text: "x"',
    ],
    "{t: 'a {u}', u: 'b {t}'}": [
        "parameters.t: found a circle of parameters: t → u → t; expected an end; give one of them a value of its own"
    ],
    "{wall: 3, x: wal + 2}": [
        "parameters.x: found the unknown name `wal` in `wal + 2`; expected names of parameters, or a quoted text; "
        'did you mean `wall`?; quote it if it is a text: "wal + 2"'
    ],
    "{x: 1 / 0}": ["parameters.x: found a division by zero; expected a divisor other than 0"],
    "{x: .inf}": ["parameters.x: found `.inf`; expected at most 1e+15 in every step"],
    "{x: .nan}": ["parameters.x: found `.nan`; expected a number"],
    "{x: true}": [
        'parameters.x: found `true`; expected a number, an expression or a text; quote it if it is a text: "true"'
    ],
    "{x: Null}": [
        "parameters.x: found nothing (`Null`); expected a number, an expression or a text; "
        'quote it if it is a text: "Null"'
    ],
    "{x: [1]}": ["parameters.x: found a list of 1; expected a number, an expression or a text"],
    "{in: 1}": [
        "parameters.in: found the parameter name `in`, which means something else in expressions; expected another "
        "name; rename it, for example to `in_value`"
    ],
    "{my-wall: 1}": [
        "parameters.my-wall: found the parameter name `my-wall`; expected a letter followed by letters, digits and "
        "`_`; rename it"
    ],
    "{x: 'a {nope}'}": [
        "parameters.x: found the unknown name `nope`; expected the name of a parameter; add `nope` under `parameters`"
    ],
    "{x: 'a {b'}": [
        "parameters.x: found a single `{`; expected `{name}` of a parameter; write `{{` for the brace itself"
    ],
    "{p: 1, x: 'a {p + 1}'}": [
        "parameters.x: found `{p + 1}`; expected `{name}` of a parameter; only plain names stand in braces: give the "
        "expression a name under `parameters`"
    ],
    "[1]": ["parameters: found a list of 1; expected names with a value each, such as `{name: …}`"],
}


@pytest.mark.parametrize(("parameters", "expected"), WRONG.items())
def test_what_is_told(parameters: str, expected: list[str]) -> None:
    assert told(parameters) == expected


def test_what_uses_a_broken_parameter_says_nothing_more() -> None:
    text = (
        SMALL.replace("radius: 20", "radius: broken * 2")
        + "parameters: {broken: 1 / 0, also: broken}\ntitle: '{also}'\n"
    )
    assert len(mistakes_of(text)) == 1


def test_a_chain_of_a_thousand_is_no_recursion() -> None:
    chain = ", ".join(f"p{i}: p{i + 1} + 1" for i in range(1000))
    assert values(f"{{{chain}, p1000: 0}}")["p0"] == 1000


def test_texts_cannot_swell() -> None:
    lines = ", ".join(f"t{i}: '{{t{i + 1}}}{{t{i + 1}}}'" for i in range(40))
    assert "a text of more than 10000 characters" in told(f"{{{lines}, t40: xy}}")[0]


def test_set_comes_before_expressions() -> None:
    assert values("{plot: 21, next: plot + 1}", "parameters.plot=33") == {"plot": 33, "next": 34}
