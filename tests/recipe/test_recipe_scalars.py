"""Unquoted scalars against the table of the core schema: YAML 1.2.2, section 10.3.2 "Tag Resolution"."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.recipe.scalars import kind_of, resolve_scalar

NULLS = ["null", "Null", "NULL", "~", ""]
BOOLS = {w: w.lower() == "true" for w in ("true", "True", "TRUE", "false", "False", "FALSE")}
INTS = {"0": 0, "-0": 0, "+12": 12, "-19": -19, "017": 17, "0017": 17, "0o14": 12, "0o7": 7, "0xC": 12, "0x3A": 58}
FLOATS = {
    "1e3": 1000.0,
    "-2E+05": -2e5,
    "+12e03": 12000.0,
    "12.03": 12.03,
    "0.": 0.0,
    "-0.0": -0.0,
    ".5": 0.5,
    "+.5e1": 5.0,
    "1.10": 1.1,
    "685.230_15e+03": None,
}
INFINITE = {".inf": math.inf, "-.Inf": -math.inf, "+.INF": math.inf}
TEXTS = [
    *("yes", "no", "on", "off", "Yes", "NO", "y", "n", "nULL", "tRUE", "none"),
    *("1:30", "190:20:30", "1_000", "0b101", "0X1F", "0o8", "0xG", "+0x1F", "-0o7", "1e", "e3", ".", "+", "-", "--1"),
    *("1.2.3", "1,5", "2001-12-14", "inf", "nan", ".iNF", "-.nan", "<<", "=", "1/4", "M6", "³", "٣"),
]


@pytest.mark.parametrize("text", NULLS)
def test_nulls(text: str) -> None:
    assert resolve_scalar(text) is None


@pytest.mark.parametrize(("text", "value"), BOOLS.items())
def test_bools(text: str, value: bool) -> None:
    assert resolve_scalar(text) is value


@pytest.mark.parametrize(("text", "value"), INTS.items())
def test_ints(text: str, value: int) -> None:
    got = resolve_scalar(text)
    assert got == value
    assert type(got) is int


@pytest.mark.parametrize(("text", "value"), [(t, v) for t, v in FLOATS.items() if v is not None])
def test_floats(text: str, value: float) -> None:
    got = resolve_scalar(text)
    assert got == value
    assert type(got) is float


def test_underscores_are_text() -> None:
    assert resolve_scalar("685.230_15e+03") == "685.230_15e+03"


@pytest.mark.parametrize(("text", "value"), INFINITE.items())
def test_infinities(text: str, value: float) -> None:
    assert resolve_scalar(text) == value


@pytest.mark.parametrize("text", [".nan", ".NaN", ".NAN"])
def test_not_a_number(text: str) -> None:
    got = resolve_scalar(text)
    assert isinstance(got, float)
    assert math.isnan(got)


@pytest.mark.parametrize("text", TEXTS)
def test_texts(text: str) -> None:
    assert resolve_scalar(text) == text


def test_endless_digits_are_quick_and_infinite() -> None:
    assert resolve_scalar("9" * 900_000) == math.inf
    assert resolve_scalar("0x" + "F" * 900_000) == math.inf


@settings(derandomize=True, deadline=None, max_examples=200)
@given(st.one_of(st.integers(-(10**20), 10**20), st.floats(allow_nan=False, allow_infinity=False)))
def test_numbers_as_python_writes_them(value: float) -> None:
    assert resolve_scalar(repr(value)) == value


def test_words_for_people() -> None:
    said = [kind_of(resolve_scalar(t)) for t in ("", "true", "7", "7.5", "seven")]
    assert said == ["nothing", "true or false", "a number", "a number", "a text"]
