"""Expressions: values against exact fractions, units, bounds, and errors with their column."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.recipe.expression import ExpressionError, evaluate, names_in, parse_expression
from generator.recipe.quantity import Quantity, QuantityError

KNOWN = {"plot": Quantity(21.0), "wall": Quantity(3.0), "pitch": Quantity(40.0, 1.0), "tilt": Quantity(30.0, 0.0, 1.0)}


def look_up(name: str) -> Quantity:
    if name not in KNOWN:
        raise QuantityError(f"the unknown name `{name}`")
    return KNOWN[name]


def value(text: str, unit_mm: float = 1.0) -> Quantity:
    return evaluate(parse_expression(text), look_up, unit_mm)


def outcome(text: str) -> tuple[ExpressionError | None, float]:
    try:
        return None, value(text).number
    except ExpressionError as error:
        return error, 0.0


PLAIN = {
    "1 + 2 * 3": 7.0,
    "(1 + 2) * 3": 9.0,
    "2 ** 3 ** 2": 512.0,
    "-2 ** 2": -4.0,
    "2 ** -1": 0.5,
    "2 ** -2 ** 2": 0.0625,
    "--3": 3.0,
    "10 - 4 - 3": 3.0,
    "64 / 4 / 2": 8.0,
    "plot * 2": 42.0,
    "min(3, 1, 2) + max(1, plot)": 22.0,
    "abs(-3.5)": 3.5,
    "sqrt(9)": 3.0,
    "sin(30)": 0.5,
    "cos(60)": 0.5,
    "sin(tilt)": 0.5,
    "cos(-90)": 0.0,
    "sin(360000)": 0.0,
    "round(2.5) + round(-2.5) + round(1.4)": 1.0,
    "floor(-1.5)": -2.0,
    "ceil(1.2)": 2.0,
    "pi": math.pi,
    "3 1/4": 3.25,
    "2 * 3 1/4": 6.5,
    ".5 + 1.": 1.5,
    "1e3": 1000.0,
    "pitch / 20 mm": 2.0,
    "  7  ": 7.0,
}
LENGTHS = {
    "6 mm": 6.0,
    "6mm": 6.0,
    "2 cm": 20.0,
    "0.5 m": 500.0,
    "1/4 in": 6.35,
    "1/4 inch": 6.35,
    "3 1/4 in": 82.55,
    "(1 + 1) in": 50.8,
    "-1/2 in": -12.7,
    "wall + 2 mm": 5.0,
    "pitch - 1": 39.0,
    "2 * pitch": 80.0,
    "pitch / 2 + wall": 23.0,
    "plot mm": 21.0,
    "sqrt(pitch ** 2 + 30 mm ** 2)": 50.0,
    "max(pitch, 50)": 50.0,
    "round(2.6 mm)": 3.0,
    "pitch * pitch / pitch": 40.0,
    "1/3 * 3 in": 25.4,
}
ANGLES = {"30 deg": 30.0, "tilt * 2": 60.0, "tilt + 15": 45.0, "45°": 45.0, "360 deg / 5": 72.0}


@pytest.mark.parametrize(("text", "number"), PLAIN.items())
def test_plain_numbers(text: str, number: float) -> None:
    got = value(text)
    assert got.is_plain
    assert got.number == pytest.approx(number, rel=1e-15)


@pytest.mark.parametrize(("text", "mm"), LENGTHS.items())
def test_lengths(text: str, mm: float) -> None:
    got = value(text)
    assert got.is_length
    assert got.number == pytest.approx(mm, rel=1e-15)


@pytest.mark.parametrize(("text", "degrees"), ANGLES.items())
def test_angles(text: str, degrees: float) -> None:
    got = value(text)
    assert got.is_angle
    assert got.number == pytest.approx(degrees, rel=1e-15)


def test_plain_numbers_meet_lengths_in_the_recipes_unit() -> None:
    assert value("wall + 2 mm", 25.4).number == pytest.approx(3 * 25.4 + 2)
    assert value("round(40 mm)", 25.4).number == pytest.approx(2 * 25.4)
    assert value("max(1, 2 mm)", 25.4).number == 25.4


@pytest.mark.parametrize("degrees", range(-720, 721, 15))
def test_whole_turns_and_fractions(degrees: int) -> None:
    sine, cosine = value(f"sin({degrees})").number, value(f"cos({degrees})").number
    assert sine == pytest.approx(math.sin(math.radians(degrees)), abs=1e-14)
    assert cosine == pytest.approx(math.cos(math.radians(degrees)), abs=1e-14)
    assert sine**2 + cosine**2 == pytest.approx(1.0, rel=1e-15)


WRONG = {
    "": (0, "the end of the expression"),
    "1 +": (3, "the end of the expression"),
    "(1 + 2": (6, "the end of the expression"),
    "1 + * 2": (4, "`*`"),
    "2 wall": (2, "`wall` right behind `2`"),
    "3 oz": (2, "`oz` right behind `3`"),
    "wall (2)": (0, "the unknown function `wall`"),
    "1 2": (2, "`2` right behind `1`"),
    "1)": (1, "`)`"),
    "3,5": (1, "a comma"),
    "sin()": (4, "`)`"),
    "sin(1, 2)": (0, "2 values for `sin`"),
    "sine(1)": (0, "the unknown function `sine`"),
    "mm": (0, "the unit `mm` without a number"),
    "3 mm mm": (5, "`mm` right behind `mm`"),
    "(3 mm) in": (7, "`in` behind a length"),
    "3 ^ 2": (2, "`^`"),
    "3 × 2": (2, "`×`"),
    "__import__('os')": (11, "`'`"),
    "wall.__class__": (4, "`.`"),
    "1 / 0": (2, "a division by zero"),
    "1 / (wall - 3)": (2, "a division by zero"),
    "0 ** -1": (2, "0 to a negative power"),
    "(0 - 8) ** 0.5": (8, "a fractional power of a negative number"),
    "9 ** 9 ** 9": (2, "a number beyond all bounds"),
    "1e400": (0, "a number beyond all bounds"),
    "1e15 * 10": (5, "a number beyond all bounds"),
    "sqrt(-1)": (0, "the square root of a negative number"),
    "tan(90)": (0, "the tangent of a right angle"),
    "3 mm + 2 deg": (5, "a length with an angle"),
    "2 ** (1 mm)": (2, "a length"),
    "sin(3 mm)": (0, "a length"),
    "walll + 2": (0, "the unknown name `walll`"),
    "2 * nope": (4, "the unknown name `nope`"),
    "1 in / 0 in": (5, "a division by zero"),
    "1/0 in": (2, "a division by zero"),
}


@pytest.mark.parametrize(("text", "told"), WRONG.items())
def test_errors_name_the_character(text: str, told: tuple[int, str]) -> None:
    with pytest.raises(ExpressionError) as caught:
        value(text)
    assert (caught.value.offset, caught.value.found) == told


@pytest.mark.parametrize(
    "text",
    ["(" * 21 + "1" + ")" * 21, "1" + "+1" * 150, "9" * 501, "2" + "**1" * 25, "abs(" * 30 + "1" + ")" * 30],
)
def test_size_and_depth_are_bounded(text: str) -> None:
    with pytest.raises(ExpressionError):
        parse_expression(text)


def test_long_sums_and_many_minus_signs_are_no_recursion() -> None:
    assert value("1" + "+1" * 99).number == 100.0
    assert value("-" * 198 + "1").number == 1.0


def test_names_in() -> None:
    assert names_in(parse_expression("a * sin(b + 2 mm) - pi ** c")) == {"a", "b", "c"}


NUMBERS = st.integers(1, 999).map(lambda n: (str(n), Fraction(n))) | st.decimals(
    "0.01", "99", places=2, allow_nan=False
).map(lambda d: (str(d), Fraction(d)))


def _joined(children: st.SearchStrategy[tuple[str, Fraction | None]]) -> st.SearchStrategy[tuple[str, Fraction | None]]:
    def combine(
        parts: tuple[tuple[str, Fraction | None], str, tuple[str, Fraction | None]],
    ) -> tuple[str, Fraction | None]:
        (left, a), sign, (right, b) = parts
        text = f"({left}) {sign} ({right})"
        if a is None or b is None or (sign == "/" and b == 0):
            return text, None
        return text, {"+": a + b, "-": a - b, "*": a * b, "/": a / b if b else a}[sign]

    return st.tuples(children, st.sampled_from("+-*/"), children).map(combine)


@settings(derandomize=True, deadline=None, max_examples=300)
@given(st.recursive(NUMBERS, _joined, max_leaves=12))
def test_trees_against_exact_fractions(tree: tuple[str, Fraction | None]) -> None:
    text, exact = tree
    error, got = outcome(text)
    if error:
        assert exact is None or abs(exact) > 10**12 or error.found == "a division by zero"
        return
    scale = max(float(abs(exact)), 1.0) if exact is not None else math.inf
    # cancellation costs digits: compare against the largest step of the calculation, at most 1e6 here
    assert exact is None or abs(got - float(exact)) <= 1e-6 * scale


@st.composite
def flat_expressions(draw: st.DrawFn) -> tuple[str, Fraction]:
    """Draw ``a op b op c`` without brackets and work it out by precedence with fractions."""
    numbers = draw(st.lists(st.integers(1, 60), min_size=1, max_size=8))
    signs = draw(st.lists(st.sampled_from("+-*/"), min_size=len(numbers) - 1, max_size=len(numbers) - 1))
    text = str(numbers[0])
    sums: list[Fraction] = [Fraction(numbers[0])]
    for sign, n in zip(signs, numbers[1:], strict=True):
        text += f" {sign} {n}"
        if sign in "*/":
            sums[-1] = sums[-1] * n if sign == "*" else sums[-1] / n
        else:
            sums.append(Fraction(n) if sign == "+" else Fraction(-n))
    return text, sum(sums, Fraction(0))


@settings(derandomize=True, deadline=None, max_examples=300)
@given(flat_expressions())
def test_precedence_against_exact_fractions(pair: tuple[str, Fraction]) -> None:
    text, exact = pair
    assert value(text).number == pytest.approx(float(exact), rel=1e-11, abs=1e-3)


@settings(derandomize=True, deadline=None, max_examples=400)
@given(st.text(alphabet="0123456789+-*/(), .mindegpwal°e_^", max_size=40))
def test_any_text_gives_a_number_or_a_located_error(text: str) -> None:
    error, got = outcome(text)
    assert math.isfinite(got)
    if error:
        assert 0 <= error.offset <= len(text)
        assert error.found
