"""Arithmetic in a recipe: a small parser of our own, bounded in size and depth; nothing is ever executed.

Grammar, loosest first (blanks anywhere between words)::

    sum      = product { ("+" | "-") product }
    product  = signed { ("*" | "/") signed }
    signed   = { "+" | "-" } power
    power    = value [ "**" signed ]
    value    = primary [ unit ]
    primary  = number | fraction unit | whole fraction | name | function "(" sum { "," sum } ")" | "(" sum ")"
    fraction = number "/" number

So ``1/4 in`` is a quarter of an inch, ``3 1/4 in`` three and a quarter, and ``-2**2`` is -4.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from typing import Final

from generator.base.errors import CoverplateError
from generator.base.frozen_record import frozen_record
from generator.recipe import quantity as q
from generator.recipe.mistakes import did_you_mean, listed
from generator.recipe.places import shown
from generator.recipe.quantity import Quantity, QuantityError

MOST_CHARS: Final = 500
MOST_TOKENS: Final = 200
MOST_DEPTH: Final = 20

FUNCTIONS: Final = {
    "min": (1, 50),
    "max": (1, 50),
    "abs": (1, 1),
    "sqrt": (1, 1),
    "sin": (1, 1),
    "cos": (1, 1),
    "tan": (1, 1),
    "round": (1, 1),
    "floor": (1, 1),
    "ceil": (1, 1),
}
"""Functions: fewest and most arguments. Angles in degrees."""
CONSTANTS: Final = {"pi": Quantity(math.pi)}
RESERVED: Final = frozenset({*FUNCTIONS, *CONSTANTS, *q.UNITS})
"""Words that no parameter may be called."""

_TOKEN: Final = re.compile(
    r"\s*(?:(?P<number>(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][-+]?[0-9]+)?)"
    r"|(?P<name>[A-Za-z_][A-Za-z0-9_]*|°)|(?P<sign>\*\*|[-+*/(),]))"
)
_ODD_SIGNS: Final = {
    "^": "write `**` for a power",
    "×": "write `*`",
    "·": "write `*`",
    "÷": "write `/`",
    "−": "write `-`",
    "–": "write `-`",
    '"': "write `in` for inches",
    "″": "write `in` for inches",
    "'": "write the length in inches or mm",
    "%": "divide by 100 instead",
    "{": "in an expression write the name without braces",
    "$": "write the name alone",
    "=": "write the expression alone",
}


class ExpressionError(CoverplateError):
    """An expression that cannot be read or has no answer; ``offset`` is the character concerned, from 0."""

    def __init__(self, offset: int, found: str, expected: str = "", remedy: str = "") -> None:
        self.offset, self.found, self.expected, self.remedy = offset, found, expected, remedy
        super().__init__(found)


@frozen_record
class Token:
    """A word of an expression: ``number``, ``name``, ``sign`` or ``end``, and where it begins."""

    kind: str
    text: str
    offset: int


@frozen_record
class Constant:
    """A number as written."""

    value: Quantity
    offset: int


@frozen_record
class Name:
    """A parameter or constant by name."""

    name: str
    offset: int


@frozen_record
class Operation:
    """A sign (``+ - * / **``, ``neg``), a unit or a function with what it is applied to."""

    sign: str
    operands: tuple[Expression, ...]
    offset: int


Expression = Constant | Name | Operation
Lookup = Callable[[str], Quantity]


def parse_expression(text: str) -> Expression:
    """Return what ``text`` says.

    Raises: ExpressionError: it is not an expression, or too long or too deep.
    """
    if len(text) > MOST_CHARS:
        raise ExpressionError(0, f"an expression of {len(text)} characters", f"at most {MOST_CHARS}")
    return _Parser(tuple(_tokens(text))).whole()


def _tokens(text: str) -> Iterator[Token]:
    at = 0
    count = 0
    end = len(text.rstrip())
    while at < end:
        match = _TOKEN.match(text, at)
        if not match or match.lastgroup is None:
            offset = at + len(text[at:]) - len(text[at:].lstrip())
            odd = text[offset]
            raise ExpressionError(offset, f"`{shown(odd)}`", "an expression", _ODD_SIGNS.get(odd, ""))
        count += 1
        if count > MOST_TOKENS:
            raise ExpressionError(at, f"more than {MOST_TOKENS} words", "a shorter expression")
        yield Token(match.lastgroup, match[match.lastgroup], match.start(match.lastgroup))
        at = match.end()
    yield Token("end", "", end)


class _Parser:
    """Reads the tokens of one expression from left to right."""

    def __init__(self, tokens: tuple[Token, ...]) -> None:
        self._tokens = tokens
        self._at = 0
        self._depth = 0

    def whole(self) -> Expression:
        result = self._sum()
        token = self._peek()
        if token.kind != "end":
            raise self._unexpected(token)
        return result

    def _peek(self, ahead: int = 0) -> Token:
        return self._tokens[min(self._at + ahead, len(self._tokens) - 1)]

    def _take(self, *signs: str) -> Token | None:
        token = self._peek()
        if token.kind == "sign" and token.text in signs:
            self._at += 1
            return token
        return None

    def _unexpected(self, token: Token) -> ExpressionError:
        before = self._tokens[self._at - 1] if self._at else None
        if token.kind == "end":
            return ExpressionError(token.offset, "the end of the expression", "a number or a name")
        if token.text == "," and before and before.kind == "number":
            return ExpressionError(token.offset, "a comma", "a decimal point", "write `3.5`, not `3,5`")
        follows = before is not None and (before.kind in ("number", "name") or before.text == ")")
        if before and follows and (token.kind in ("number", "name") or token.text == "("):
            return _unjoined(before, token)
        expected = "a sign or the end" if follows else "a number or a name"
        return ExpressionError(token.offset, f"`{token.text}`", expected)

    def _deeper(self, read: Callable[[], Expression]) -> Expression:
        self._depth += 1
        if self._depth > MOST_DEPTH:
            found = f"brackets or powers deeper than {MOST_DEPTH} levels"
            raise ExpressionError(self._peek().offset, found, "a simpler expression")
        result = read()
        self._depth -= 1
        return result

    def _sum(self) -> Expression:
        left = self._product()
        while sign := self._take("+", "-"):
            left = Operation(sign.text, (left, self._product()), sign.offset)
        return left

    def _product(self) -> Expression:
        left = self._signed()
        while sign := self._take("*", "/"):
            left = Operation(sign.text, (left, self._signed()), sign.offset)
        return left

    def _signed(self) -> Expression:
        signs = []
        while sign := self._take("+", "-"):
            signs.append(sign)
        result = self._power()
        for sign in reversed(signs):
            result = Operation("neg", (result,), sign.offset) if sign.text == "-" else result
        return result

    def _power(self) -> Expression:
        base = self._value()
        sign = self._take("**")
        return Operation("**", (base, self._deeper(self._signed)), sign.offset) if sign else base

    def _value(self) -> Expression:
        fraction = self._fraction()
        value = fraction or self._primary()
        token = self._peek()
        if token.kind == "name" and token.text in q.UNITS:
            self._at += 1
            return Operation(token.text, (value,), token.offset)
        return value

    def _fraction(self) -> Expression | None:
        """Return ``1/4`` before a unit, or ``3 1/4``, read as one number."""
        first = self._peek()
        whole = first.text.isdigit() and self._peek(1).kind == "number"
        start = 1 if whole else 0
        over, slash, under, unit = (self._peek(start + i) for i in range(4))
        if not (over.kind == under.kind == "number" and slash.text == "/"):
            return None
        if whole and not (over.text.isdigit() and under.text.isdigit()):
            return None
        if not whole and unit.text not in q.UNITS:
            return None
        self._at += start + 3
        value = q.divide(Quantity(float(over.text)), _nonzero(under))
        if whole:
            value = q.checked(value.number + float(first.text))
        return Constant(value, first.offset)

    def _primary(self) -> Expression:
        token = self._peek()
        if token.kind == "number":
            self._at += 1
            return Constant(_finite(token), token.offset)
        if token.kind == "name" and self._peek(1).text == "(":
            return self._call(token)
        if token.kind == "name" and token.text not in q.UNITS:
            self._at += 1
            return Name(token.text, token.offset)
        if self._take("("):
            inside = self._deeper(self._sum)
            self._close()
            return inside
        if token.kind == "name":
            raise ExpressionError(token.offset, f"the unit `{token.text}` without a number", "a number before the unit")
        raise self._unexpected(token)

    def _close(self) -> None:
        if not self._take(")"):
            token = self._peek()
            if token.kind == "end":
                raise ExpressionError(token.offset, "the end of the expression", "`)`", "close the bracket")
            raise self._unexpected(token)

    def _call(self, token: Token) -> Expression:
        if token.text not in FUNCTIONS:
            remedy = did_you_mean(token.text, FUNCTIONS)
            raise ExpressionError(token.offset, f"the unknown function `{token.text}`", listed(FUNCTIONS), remedy)
        self._at += 2
        arguments = [self._deeper(self._sum)]
        while self._take(","):
            arguments.append(self._deeper(self._sum))
        self._close()
        fewest, most = FUNCTIONS[token.text]
        if not fewest <= len(arguments) <= most:
            wanted = "1 value" if most == 1 else f"at most {most} values"
            raise ExpressionError(token.offset, f"{len(arguments)} values for `{token.text}`", wanted)
        return Operation(token.text, tuple(arguments), token.offset)


def _unjoined(before: Token, token: Token) -> ExpressionError:
    """Return the error for two words with no sign between them."""
    found = f"`{token.text}` right behind `{before.text}`"
    if before.kind == "number" and token.kind == "name":
        remedy = did_you_mean(token.text, q.UNITS) or "put a sign such as `*` between"
        return ExpressionError(token.offset, found, f"a sign, or one of the units {listed(q.UNITS)}", remedy)
    return ExpressionError(token.offset, found, "a sign", "put a sign such as `*` between")


def _finite(token: Token) -> Quantity:
    try:
        return q.checked(float(token.text))
    except QuantityError as error:
        raise ExpressionError(token.offset, error.found, error.expected, error.remedy) from None


def _nonzero(token: Token) -> Quantity:
    value = _finite(token)
    if not value.number:
        raise ExpressionError(token.offset, "a division by zero", "a divisor other than 0")
    return value


def names_in(expression: Expression) -> frozenset[str]:
    """Return the names that the expression uses, constants left out."""
    found: set[str] = set()
    rest = [expression]
    while rest:
        part = rest.pop()
        if isinstance(part, Name) and part.name not in CONSTANTS:
            found.add(part.name)
        elif isinstance(part, Operation):
            rest.extend(part.operands)
    return frozenset(found)


def evaluate(expression: Expression, lookup: Lookup, unit_mm: float) -> Quantity:
    """Return the value of ``expression``.

    Args:
        expression: from ``parse_expression``.
        lookup: gives the value of a name; may raise QuantityError.
        unit_mm: the recipe's unit of length, for plain numbers that meet lengths.
    Raises: ExpressionError: there is no answer; names the character.
    """
    try:
        if isinstance(expression, Constant):
            return expression.value
        if isinstance(expression, Name):
            constant = CONSTANTS.get(expression.name)
            return constant or lookup(expression.name)
        operands = [evaluate(o, lookup, unit_mm) for o in expression.operands]
        return _apply(expression.sign, operands, unit_mm)
    except QuantityError as error:
        raise ExpressionError(expression.offset, error.found, error.expected, error.remedy) from None


_ONE: Final[dict[str, Callable[[Quantity], Quantity]]] = {
    "neg": q.negate,
    "abs": q.absolute,
    "sqrt": q.root,
    "sin": q.sine,
    "cos": q.cosine,
    "tan": q.tangent,
}
_TWO: Final[dict[str, Callable[[Quantity, Quantity], Quantity]]] = {
    "*": q.multiply,
    "/": q.divide,
    "**": q.power,
}
_ROUNDING: Final[dict[str, Callable[[float], float]]] = {
    "round": q.nearest_whole,
    "floor": lambda x: float(math.floor(x)),
    "ceil": lambda x: float(math.ceil(x)),
}


def _apply(sign: str, operands: list[Quantity], unit_mm: float) -> Quantity:
    if sign in _ONE:
        return _ONE[sign](operands[0])
    if sign in _TWO:
        return _TWO[sign](operands[0], operands[1])
    if sign in q.UNITS:
        return q.with_unit(operands[0], sign)
    if sign in _ROUNDING:
        return q.rounded(operands[0], unit_mm, _ROUNDING[sign])
    if sign in ("min", "max"):
        return q.extreme(operands, unit_mm, largest=sign == "max")
    left, right = operands
    return q.add(left, q.negate(right) if sign == "-" else right, unit_mm)
